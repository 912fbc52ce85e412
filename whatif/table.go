package whatif

import (
	"strings"

	"collinear.example/align"
)

// Heading is the head of a column of a Table.
type Heading struct {
	Name     string
	Unit     align.Unit // "" for a column of words
	Decimals int        // in plain text
}

// IsText reports whether the column holds words.
func (h Heading) IsText() bool { return h.Unit == "" }

// String returns the name with the unit: "outboard foot (mm)". A plain ratio and
// a text have none.
func (h Heading) String() string {
	name := strings.ToValidUTF8(h.Name, "\uFFFD")
	if h.IsText() || h.Unit == align.UnitOne {
		return name
	}
	return name + " (" + string(h.Unit) + ")"
}

// Table is what a Run found: a row for each combination, with the values of the
// knobs and the columns of the study. Numbers are in SI units here and printed
// in the units of the headings.
type Table struct {
	knobs, columns []Heading
	rows           int
	numeric        int       // how many columns hold numbers
	place          []int     // of each column among the numbers or the texts
	values         []float64 // of the knobs, row by row
	numbers        []float64 // row by row; not a number where there is none
	texts          []string
	computed       []bool // false for a row whose job failed
	errs           []error
}

// places counts the numeric columns and says where each column is kept.
func (t *Table) places() []int {
	place := make([]int, len(t.columns))
	words := 0
	for i := range t.columns {
		if t.columns[i].IsText() {
			place[i] = words
			words++
			continue
		}
		place[i] = t.numeric
		t.numeric++
	}
	return place
}

// Len returns the number of rows.
func (t *Table) Len() int { return t.rows }

// Knobs returns the headings of the knobs.
func (t *Table) Knobs() []Heading { return append([]Heading(nil), t.knobs...) }

// Columns returns the headings of the columns.
func (t *Table) Columns() []Heading { return append([]Heading(nil), t.columns...) }

func (t *Table) has(row, i int, list []Heading) bool {
	return row >= 0 && row < t.rows && i >= 0 && i < len(list)
}

// Value returns the value of a knob in a row, in SI units (a deviation as the
// source drew it); ok is false when there is no such row or knob.
func (t *Table) Value(row, knob int) (si float64, ok bool) {
	if !t.has(row, knob, t.knobs) {
		return 0, false
	}
	return t.values[row*len(t.knobs)+knob], true
}

// Number returns a figure in SI units; ok is false when the row has none there,
// because it failed or the column holds words.
func (t *Table) Number(row, column int) (si float64, ok bool) {
	if !t.has(row, column, t.columns) || t.columns[column].IsText() {
		return 0, false
	}
	v := t.numbers[row*t.numeric+t.place[column]]
	if !align.IsFinite(v) {
		return 0, false
	}
	return v, true
}

// Text returns the words of a column; ok is false when the row could not be
// computed or the column holds numbers.
func (t *Table) Text(row, column int) (words string, ok bool) {
	if !t.has(row, column, t.columns) || !t.columns[column].IsText() || !t.computed[row] {
		return "", false
	}
	return t.texts[row*(len(t.columns)-t.numeric)+t.place[column]], true
}

// Err returns why a row could not be computed, nil when it was.
func (t *Table) Err(row int) error {
	if row < 0 || row >= t.rows {
		return nil
	}
	return t.errs[row]
}

// Failed returns how many rows could not be computed.
func (t *Table) Failed() int {
	n := 0
	for _, err := range t.errs {
		if err != nil {
			n++
		}
	}
	return n
}

// codeOf is the code word of a row's error: that of its fault, or ErrRowFailed
// for an error without one.
func codeOf(err error) string {
	if code := align.CodeOf(err); code != "" {
		return code
	}
	return ErrRowFailed.Code()
}

// message is the error in words, valid in every encoding.
func message(err error) string { return strings.ToValidUTF8(err.Error(), "\uFFFD") }
