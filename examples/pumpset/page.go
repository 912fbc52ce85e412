package main

import (
	"math"
	"strings"
	"text/tabwriter"
	"unicode/utf8"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// The choices of -units.
const (
	unitsMillimetre = "mm"
	unitsInch       = "inch"
	unitsBoth       = "both"
)

const pageWidth = 100 // characters of running text; tables may be wider

// page is the report being written, with its choice of units. It prints no
// number without a unit.
type page struct {
	strings.Builder
	units string
}

// in prints a value in one or both systems: metric first, inch in brackets.
func (p *page) in(metric, inch string) string {
	switch p.units {
	case unitsMillimetre:
		return metric
	case unitsInch:
		return inch
	}
	return metric + " (" + strings.TrimSpace(inch) + ")"
}

// size prints a length without a sign.
func (p *page) size(v unit.Length) string {
	a := math.Abs(float64(v))
	return p.in(format(align.UnitMillimetre, a, 3), format(align.UnitMil, a, 1))
}

// signed prints a length with its sign; zero has none.
func (p *page) signed(v unit.Length) string {
	return p.in(signed(align.UnitMillimetre, float64(v), 3), signed(align.UnitMil, float64(v), 1))
}

// format is Format of the value rounded to a picometre (a slope to 1e-12), so
// that a value halfway between two figures prints alike on every processor.
func format(u align.Unit, si float64, decimals int) string {
	return u.Format(math.Round(si*1e12)/1e12, decimals)
}

// signed is format with a plus sign for positive values and a space for zero,
// so that columns line up.
func signed(u align.Unit, si float64, decimals int) string {
	s := format(u, si, decimals)
	switch {
	case strings.HasPrefix(s, "-"):
		return s
	case s == u.Format(0, decimals):
		return " " + s
	}
	return "+" + s
}

// station prints a place along the train.
func (p *page) station(x unit.Length) string {
	return p.in(signed(align.UnitMillimetre, float64(x), 1), signed(align.UnitInch, float64(x), 2))
}

// distance prints a length along or across the train.
func (p *page) distance(x unit.Length) string {
	return p.in(format(align.UnitMillimetre, float64(x), 1), format(align.UnitInch, float64(x), 2))
}

// slope prints a slope with its sign.
func (p *page) slope(s float64) string {
	return p.in(signed(align.UnitMillimetrePerMetre, s, 3), signed(align.UnitMilPerInch, s, 3))
}

// slopeSize prints a slope without a sign.
func (p *page) slopeSize(s float64) string {
	s = math.Abs(s)
	return p.in(format(align.UnitMillimetrePerMetre, s, 3), format(align.UnitMilPerInch, s, 3))
}

// shows reports whether a length prints as more than zero in the report's units.
func (p *page) shows(v unit.Length) bool { return p.size(v) != p.size(0) }

// heading starts a section.
func (p *page) heading(s string) {
	p.WriteString("\n" + strings.ToUpper(s) + "\n" + strings.Repeat("-", utf8.RuneCountInString(s)) + "\n")
}

// text prints running text, wrapped.
func (p *page) text(s string) { p.hang("", s) }

// hang prints running text behind a lead, later lines indented to match.
func (p *page) hang(lead, s string) {
	indent := utf8.RuneCountInString(lead)
	column := indent
	p.WriteString(lead)
	for i, word := range unbroken(s) {
		n := utf8.RuneCountInString(word)
		switch {
		case i == 0:
		case column+1+n > pageWidth:
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

// table prints rows in columns, indented by two.
func (p *page) table(rows ...[]string) {
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
