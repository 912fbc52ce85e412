package drawing

import (
	"math"
	"strconv"
	"strings"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// mostRunes is how much of a name is looked at: more than fits any sheet.
const mostRunes = 400

// clipped is Shortened for names of any length: what lies beyond mostRunes is
// never looked at.
func clipped(words string, size, width float64) string {
	n := 0
	for i := range words {
		if n++; n > mostRunes {
			words = words[:i]
			break
		}
	}
	return Shortened(words, size, width)
}

// wrapped breaks words into lines no wider than width, between words where it can.
func wrapped(words string, size, width float64) (lines []string) {
	line := ""
	for _, w := range strings.Fields(Printable(words)) {
		w = clipped(w, size, width)
		if line != "" && TextWidth(line+" "+w, size) > width {
			lines, line = append(lines, line), ""
		}
		if line != "" {
			line += " "
		}
		line += w
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// named is a name as descriptions give it, or what stands for one that is missing.
func named(name, fallback string) string {
	if name = clipped(name, 1, 60); name == "" || name == "…" {
		return fallback
	}
	return name
}

// small returns how a drawing prints offsets, gaps and movements: millimetres to
// three decimals or mils to two.
func small(u align.Unit) printer {
	if u == align.UnitMil {
		return printer{u, 2}
	}
	return printer{align.UnitMillimetre, 3}
}

// large returns how a drawing prints stations and sizes: millimetres to one decimal,
// or inches to two beside mils.
func large(u align.Unit) printer {
	if u == align.UnitMil {
		return printer{align.UnitInch, 2}
	}
	return printer{align.UnitMillimetre, 1}
}

// printer prints figures in one unit.
type printer struct {
	unit     align.Unit
	decimals int
}

// with prints a length with its unit.
func (p printer) with(v unit.Length) string { return p.unit.Format(float64(v), p.decimals) }

// bare prints a length without its unit, where the drawing names it elsewhere.
func (p printer) bare(v unit.Length) string {
	return strings.TrimSuffix(p.with(v), " "+string(p.unit))
}

// signed prints a length without its unit and always with its sign, unless it is
// zero as printed.
func (p printer) signed(v unit.Length) string {
	s := p.bare(v)
	if v > 0 && strings.Trim(s, "0.") != "" {
		return "+" + s
	}
	return s
}

// toward says an offset in words: "0.120 mm toward 12, 0.050 mm toward 9".
func (p printer) toward(up, right unit.Length) string {
	v, h := " toward 12, ", " toward 3"
	if up < 0 {
		v = " toward 6, "
	}
	if right < 0 {
		h = " toward 9"
	}
	return p.size(up) + v + p.size(right) + h
}

func (p printer) size(v unit.Length) string { return p.with(unit.Length(math.Abs(float64(v)))) }

// counted is a number of things: "1 reading", "4 readings".
func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return strconv.Itoa(n) + " " + what + "s"
}

// significant prints a number with so many significant digits and no exponent
// where it is of a usual size.
func significant(v float64, digits int) string {
	if v == 0 {
		return "0"
	}
	if a := math.Abs(v); a < 1e-5 || a >= 1e9 {
		return strconv.FormatFloat(v, 'g', digits, 64)
	}
	decimals := digits - 1 - int(math.Floor(math.Log10(math.Abs(v))))
	s := strconv.FormatFloat(v, 'f', max(0, decimals), 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}
