package worksheet

import (
	"errors"
	"fmt"
	"reflect"

	"collinear.example/align"
	"collinear.example/internal/record"
)

// Bounds of what is taken for one job (own choice); a real record holds a few
// kilobytes.
const (
	maxSize    = 4 << 20 // bytes
	maxEntries = 10_000  // of all lists together
	// valueSize is more than the canonical form needs for the name, the indent
	// and the number of one value, or for the brackets of a list or an object.
	valueSize = 80
	maxValues = maxSize / valueSize
)

// Parse reads a record strictly and checks it as Check does. Fields that the
// format does not have, fields given twice, null, and numbers that a
// floating-point number cannot hold are refused; what has to be given and is
// missing is never taken for zero. An optional list that is empty reads as none.
//
// The error is one *align.InputError whose Field is the path of what cannot be
// used, such as sets[0].dials[1].station. Its codes are bad-json, given-twice,
// unknown-field, wrong-type, missing, out-of-range and too-large (more than 4 MiB
// or 10,000 entries in all its lists) from reading, and those of Check.
func Parse(data []byte) (*Record, error) {
	if len(data) > maxSize {
		return nil, fault("record", fmt.Sprintf("%d bytes, want at most %d", len(data), maxSize), ErrTooLarge)
	}
	if n := countValues(data); n > maxValues {
		return nil, fault("record", fmt.Sprintf("%d values, want at most %d", n, maxValues), ErrTooLarge)
	}
	tree, err := record.Parse(data)
	if err != nil {
		return nil, syntaxFault(err)
	}
	r := new(Record)
	if err := decode("", tree, reflect.ValueOf(r).Elem()); err != nil {
		return nil, err
	}
	if err := r.Check(); err != nil {
		return nil, err
	}
	return r, nil
}

// syntaxFault turns a fault of the tree into one with a code word.
func syntaxFault(err error) error {
	var e *record.Error
	if !errors.As(err, &e) {
		return fault("record", err.Error(), ErrBadJSON)
	}
	code := ErrBadJSON
	if e.Why == "is given twice" { // the one fault of the tree that is no fault of syntax
		code = ErrGivenTwice
	}
	return &align.InputError{Package: "worksheet", Field: e.Field, Got: e.Got, Err: code, Meaning: e.Why}
}

// countValues returns how many values a JSON text holds, or a little more: every
// value but the first of a list or an object stands behind a comma, and the first
// behind the bracket. It keeps the tree of a text that nobody would write by hand
// from growing large before it is refused.
func countValues(data []byte) int {
	n, inText, escaped := 0, false, false
	for _, c := range data {
		switch {
		case escaped:
			escaped = false
		case inText:
			escaped, inText = c == '\\', c != '"'
		case c == '"':
			inText = true
		case c == ',', c == '[', c == '{':
			n++
		}
	}
	return n
}
