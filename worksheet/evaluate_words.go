package worksheet

import (
	"slices"
	"strconv"
	"strings"

	"collinear.example/align"
)

// trimmed prints a number with no more than four decimals and no zeros behind.
func trimmed(v float64) string {
	return cut(strconv.FormatFloat(round(v), 'f', 4, 64))
}

// cut leaves out the zeros behind the point, and the sign of zero.
func cut(s string) string {
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}

// wordDecimals are the decimals of figures that stand in words, in the unit of
// readings: a tenth of a division of a dial or less.
func (u Units) wordDecimals() int {
	switch u.Reading {
	case align.UnitMicrometre, align.UnitMil:
		return 1
	case align.UnitMillimetre:
		return 3
	case align.UnitInch:
		return 4
	case align.UnitFoot:
		return 5
	}
	return 6 // metres
}

// joinedBy joins those texts that are not empty.
func joinedBy(between string, parts ...string) string {
	return strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), between)
}

// unique leaves out what was said before.
func unique(list []string) (out []string) {
	for _, s := range list {
		if !slices.Contains(out, s) {
			out = append(out, s)
		}
	}
	return out
}
