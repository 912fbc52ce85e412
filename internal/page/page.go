// Package page writes the reports of the example programs: running text in
// lines that fit a page, columns, and numbers that never stand without a unit, in
// metric units, in inches or in both.
package page

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"text/tabwriter"
	"unicode/utf8"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// The choices of units.
const (
	Millimetre = "mm"
	Inch       = "inch"
	Both       = "both"
)

// CheckUnits refuses what is no choice of units.
func CheckUnits(units string) error {
	switch units {
	case Millimetre, Inch, Both:
		return nil
	}
	return fmt.Errorf("-units = %q: want mm, inch or both", units)
}

// Width is how many characters of running text stand on a line.
const Width = 100 // characters of running text; tables may be wider

// Page is the report being written, with its choice of units. It prints no
// number without a unit.
type Page struct {
	strings.Builder
	Units string
}

// In prints a value in one or both systems: metric first, inch in brackets.
func (p *Page) In(metric, inch string) string {
	switch p.Units {
	case Millimetre:
		return metric
	case Inch:
		return inch
	}
	return metric + " (" + strings.TrimSpace(inch) + ")"
}

// Size prints a length without a sign.
func (p *Page) Size(v unit.Length) string {
	a := math.Abs(float64(v))
	return p.In(Format(align.UnitMillimetre, a, 3), Format(align.UnitMil, a, 1))
}

// Signed prints a length with its sign; zero has none.
func (p *Page) Signed(v unit.Length) string {
	return p.In(Signed(align.UnitMillimetre, float64(v), 3), Signed(align.UnitMil, float64(v), 1))
}

// Format is the unit's Format of the value rounded to a picometre (a slope to 1e-12), so
// that a value halfway between two figures prints alike on every processor.
func Format(u align.Unit, si float64, decimals int) string {
	return u.Format(math.Round(si*1e12)/1e12, decimals)
}

// Signed is format with a plus sign for positive values and a space for zero,
// so that columns line up.
func Signed(u align.Unit, si float64, decimals int) string {
	s := Format(u, si, decimals)
	switch {
	case strings.HasPrefix(s, "-"):
		return s
	case s == u.Format(0, decimals):
		return " " + s
	}
	return "+" + s
}

// Station prints a place along the train.
func (p *Page) Station(x unit.Length) string {
	return p.In(Signed(align.UnitMillimetre, float64(x), 1), Signed(align.UnitInch, float64(x), 2))
}

// Distance prints a length along or across the train.
func (p *Page) Distance(x unit.Length) string {
	return p.In(Format(align.UnitMillimetre, float64(x), 1), Format(align.UnitInch, float64(x), 2))
}

// Slope prints a slope with its sign.
func (p *Page) Slope(s float64) string {
	return p.In(Signed(align.UnitMillimetrePerMetre, s, 3), Signed(align.UnitMilPerInch, s, 3))
}

// SlopeSize prints a slope without a sign.
func (p *Page) SlopeSize(s float64) string {
	s = math.Abs(s)
	return p.In(Format(align.UnitMillimetrePerMetre, s, 3), Format(align.UnitMilPerInch, s, 3))
}

// Shows reports whether a length prints as more than zero in the report's units.
func (p *Page) Shows(v unit.Length) bool { return p.Size(v) != p.Size(0) }

// Standing prints an offset in words, as where one shaft stands against another.
func (p *Page) Standing(o align.Offset) string {
	v, h := "high", "toward 3 o'clock"
	if o.Vertical < 0 {
		v = "low"
	}
	if o.Horizontal < 0 {
		h = "toward 9 o'clock"
	}
	return p.Size(o.Vertical) + " " + v + ", " + p.Size(o.Horizontal) + " " + h
}

// Percent prints a share in whole percent, rounded alike on every processor.
func Percent(share float64) string {
	return strconv.FormatFloat(math.Round(share*1e10)/1e8, 'f', 0, 64) + " %"
}

// Heading starts a section.
func (p *Page) Heading(s string) {
	p.WriteString("\n" + strings.ToUpper(s) + "\n" + strings.Repeat("-", utf8.RuneCountInString(s)) + "\n")
}

// Text prints running text, wrapped.
func (p *Page) Text(s string) { p.Hang("", s) }

// Hang prints running text behind a lead, later lines indented to match.
func (p *Page) Hang(lead, s string) {
	indent := utf8.RuneCountInString(lead)
	column := indent
	p.WriteString(lead)
	for i, word := range unbroken(s) {
		n := utf8.RuneCountInString(word)
		switch {
		case i == 0:
		case column+1+n > Width:
			p.WriteString("\n" + strings.Repeat(" ", indent))
			column = indent
		default:
			p.WriteString(" ")
			column++
		}
		p.WriteString(word)
		column += n
	}
	p.WriteString("\n")
}

// unbroken splits text into what must stay on one line: words, and numbers with
// the unit that follows.
func unbroken(s string) []string {
	var out []string
	for _, word := range strings.Fields(s) {
		last := len(out) - 1
		if last >= 0 && isUnit(strings.TrimRight(word, ".,;:)")) && strings.ContainsAny(out[last][len(out[last])-1:], "0123456789") {
			out[last] += " " + word
			continue
		}
		out = append(out, word)
	}
	return out
}

func isUnit(s string) bool {
	switch s {
	case "mm", "in", "mil", "mm/m", "mil/in", "o'clock":
		return true
	}
	return false
}

// Table prints rows in columns, indented by two.
func (p *Page) Table(rows ...[]string) {
	var b strings.Builder
	w := tabwriter.NewWriter(&b, 0, 8, 2, ' ', 0)
	for _, row := range rows {
		_, _ = w.Write([]byte("  " + strings.Join(row, "\t") + "\n")) // a Builder never fails
	}
	_ = w.Flush()
	for _, line := range strings.SplitAfter(b.String(), "\n") {
		p.WriteString(strings.TrimRight(line, " \n"))
		if strings.HasSuffix(line, "\n") {
			p.WriteString("\n")
		}
	}
}
