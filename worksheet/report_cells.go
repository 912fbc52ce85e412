package worksheet

import (
	"math"
	"strconv"
	"strings"

	"collinear.example/align"
	"collinear.example/internal/page"
)

// tables writes the values of a group: one table, or two where all that was judged
// stands before or behind all that was not.
func (w *reportWriter) tables(d *document, fs []*Finding) {
	var rows []*Finding
	for _, f := range fs {
		if f.Value != nil {
			rows = append(rows, f)
		}
	}
	changes, last := 0, 0
	for i := range rows {
		if i > 0 && rows[i].judged() != rows[i-1].judged() {
			changes, last = changes+1, i
		}
	}
	if changes == 1 {
		w.table(d, rows[:last])
		rows = rows[last:]
	}
	if len(rows) > 0 {
		w.table(d, rows)
	}
}

func (f *Finding) judged() bool { return f.Limit != nil || f.Verdict != "" }

// table writes values. Columns that would be empty are left out.
func (w *reportWriter) table(d *document, rows []*Finding) {
	var unsure, limited, judged bool
	for _, f := range rows {
		unsure, limited, judged = unsure || f.Sigma != nil, limited || f.Limit != nil, judged || f.Verdict != ""
	}
	head := []string{"what", "found"}
	for _, c := range []struct {
		shown bool
		title string
	}{{unsure, "std. uncertainty"}, {limited, "limit"}, {judged, "verdict"}} {
		if c.shown {
			head = append(head, c.title)
		}
	}
	table := [][]string{head}
	for _, f := range rows {
		row := []string{f.Says, w.found(f)}
		if unsure {
			row = append(row, w.sigma(f))
		}
		if limited {
			row = append(row, w.limit(f))
		}
		if judged {
			row = append(row, verdictWords(f.Verdict))
		}
		table = append(table, row)
	}
	d.table(table)
}

// verdictWords is a verdict as people read it, loud where it is not good.
func verdictWords(v string) string {
	if v == Within {
		return v
	}
	return strings.ToUpper(strings.ReplaceAll(v, "-", " "))
}

// found prints the value with what its sign means.
func (w *reportWriter) found(f *Finding) string {
	if f.Plus == "" {
		return w.size(*f.Value, f.Unit)
	}
	s := w.signed(*f.Value, f.Unit)
	switch {
	case s == w.signed(0, f.Unit):
		return s
	case *f.Value > 0:
		return s + ", " + f.Plus
	}
	return s + ", " + f.Minus
}

// scale is a unit and the decimals to which a report prints it.
type scale struct {
	unit     align.Unit
	decimals int
}

// scales are the metric scale and the inch one of a quantity; they are the same
// for what has no two.
func scales(u align.Unit) (metric, inch scale) {
	switch {
	case u == align.UnitOne:
		return scale{u, 1}, scale{u, 1}
	case u.Dimension() == align.LengthDim:
		return scale{align.UnitMillimetre, 3}, scale{align.UnitMil, 1}
	case u.Dimension() == align.RatioDim:
		return scale{align.UnitMillimetrePerMetre, 3}, scale{align.UnitMilPerInch, 3}
	case u.Dimension() == align.TemperatureDim:
		return scale{align.UnitCelsius, 1}, scale{align.UnitFahrenheit, 1}
	case u.Dimension() == align.RiseDim:
		return scale{align.UnitCelsiusRise, 1}, scale{align.UnitFahrenheitRise, 1}
	}
	return scale{u, 1}, scale{u, 1}
}

// size prints a value as it is: a size has no plus sign.
func (s scale) size(v float64) string {
	if s.unit != align.UnitOne {
		return page.Format(s.unit, v, s.decimals)
	}
	percent := strconv.FormatFloat(math.Round(v*1e12)/1e10, 'f', s.decimals, 64)
	if strings.Trim(percent, "-0.") == "" {
		percent = strings.TrimPrefix(percent, "-")
	}
	return percent + " %"
}

// signed prints a value with its sign; zero has none.
func (s scale) signed(v float64) string {
	if text := s.size(v); v <= 0 || text == s.size(0) {
		return text
	}
	return "+" + s.size(v)
}

// unsure prints an uncertainty: one that is too small for the decimals is not
// none.
func (s scale) unsure(v float64) string {
	if text := s.size(v); text != s.size(0) {
		return text
	}
	last := s.unit.SI(math.Pow(10, -float64(s.decimals)))
	if s.unit == align.UnitOne { // in percent
		last /= 100
	}
	return "under " + s.size(last)
}

// in prints in the units of the report.
func (w *reportWriter) in(u align.Unit, text func(scale) string) string {
	metric, inch := scales(u)
	if metric == inch {
		return text(metric)
	}
	return w.page.In(text(metric), text(inch))
}

func (w *reportWriter) size(v float64, u align.Unit) string {
	return w.in(u, func(s scale) string { return s.size(v) })
}

func (w *reportWriter) signed(v float64, u align.Unit) string {
	return w.in(u, func(s scale) string { return s.signed(v) })
}

func (w *reportWriter) sigma(f *Finding) string {
	if f.Sigma == nil {
		return ""
	}
	u := f.Unit
	if u.Dimension() == align.TemperatureDim { // a difference has no zero to add
		u = align.UnitCelsiusRise
	}
	return w.in(u, func(s scale) string { return s.unsure(*f.Sigma) })
}

// limit prints the limit with the number of its source.
func (w *reportWriter) limit(f *Finding) string {
	l := f.Limit
	if l == nil {
		return ""
	}
	key := LimitsSource{l.Source, l.Edition, string(l.Known), l.Table}
	n, ok := w.marks[key]
	if !ok {
		w.sources = append(w.sources, key)
		n = len(w.sources)
		w.marks[key] = n
	}
	return w.size(l.Value, f.Unit) + " (" + strconv.Itoa(n) + ")"
}
