package worksheet

import (
	"slices"
	"strconv"
	"strings"

	"collinear.example/align"
)

// warnings writes the warnings of a group. What is said of several findings in
// the same words is written once.
func (w *reportWriter) warnings(d *document, fs []*Finding) {
	type said struct{ lead, text string }
	var order []said
	about := map[said][]string{}
	for _, f := range fs {
		for _, one := range f.Warnings {
			s := said{"LOOK AGAIN", w.warning(one)}
			if one.Severity == align.Notice.String() {
				s.lead = "WORTH KNOWING"
			}
			if f.Value == nil && one.Field != "" { // what it is about is in the field alone
				s.text += ", see " + one.Field
			}
			if _, ok := about[s]; !ok {
				order = append(order, s)
			}
			if !slices.Contains(about[s], f.Says) {
				about[s] = append(about[s], f.Says)
			}
		}
	}
	for _, s := range order {
		d.item(s.lead, joinedBy(": ", strings.Join(about[s], "; "), s.text)+".")
	}
}

// warning says what a warning means, its numbers in the units of the report.
func (w *reportWriter) warning(one FindingWarning) string {
	s := one.meaning()
	if one.Value == nil || one.Limit == nil {
		return s
	}
	return s + " (" + w.warned(one, *one.Value) + ", limit " + w.warned(one, *one.Limit) + ")"
}

// meaning is what a warning says without its field, code and numbers.
func (f FindingWarning) meaning() string {
	s := f.Says
	if f.Field != "" {
		s = strings.TrimPrefix(s, f.Field+": ")
	}
	s = strings.TrimPrefix(s, f.Code+": ")
	if i := strings.LastIndex(s, " ("); i >= 0 && f.Value != nil && strings.HasSuffix(s, ")") {
		s = s[:i]
	}
	return s
}

// warned prints a number of a warning. A plain number is a count, but for the two
// codes of package align that have a measure of their own.
func (w *reportWriter) warned(f FindingWarning, v float64) string {
	if f.Unit != align.UnitOne {
		return w.size(v, f.Unit)
	}
	switch align.WarningCode(f.Code) {
	case align.WarnExtrapolation:
		return decimal(v) + " spans"
	case align.WarnNarrowArc:
		return decimal(v) + " times"
	}
	return trimmed(v)
}

// decimal prints a number with one decimal, alike on every processor.
func decimal(v float64) string { return strconv.FormatFloat(round(v), 'f', 1, 64) }

// fault says why something could not be computed, without the name of the package
// that found it.
func (w *reportWriter) fault(e *FindingError) string {
	_, says, ok := strings.Cut(e.Says, ": ")
	if !ok || strings.ContainsAny(e.Says[:len(e.Says)-len(says)-2], " .[") {
		return e.Says
	}
	return says
}
