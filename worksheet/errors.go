package worksheet

import (
	"strconv"

	"collinear.example/align"
	"collinear.example/softfoot"
	"collinear.example/tolerance"
)

// The faults of this package, besides those of package align.
const (
	ErrUnreadable align.Fault = "unreadable-answer" // an answer that is no number, word or plan
)

// The faults of reading a record, besides missing, wrong-unit and the others of
// package align. The words are those that other packages of the module use.
const (
	ErrBadJSON       align.Fault = "bad-json"       // not JSON, not UTF-8, or nested too deep
	ErrGivenTwice    align.Fault = "given-twice"    // a field, a name or an entry that stands there already
	ErrUnknownField  align.Fault = "unknown-field"  // the format has no such field
	ErrWrongType     align.Fault = "wrong-type"     // such as a text where a number belongs, or null
	ErrUnknownFormat align.Fault = "unknown-format" // another format, or another version of it
	ErrTooLarge      align.Fault = "too-large"      // more than is taken for one job
	ErrBadText       align.Fault = "bad-text"       // blank at an end, too long, or not printable
	ErrUnknownName   align.Fault = "unknown-name"   // the name of a part that the record does not hold
	ErrOrder         align.Fault = "not-in-order"   // machines, flex planes or moves out of order
)

var meanings = map[align.Fault]string{
	ErrUnreadable: "cannot be read as an answer",

	ErrBadJSON:       "is not JSON that can be read",
	ErrGivenTwice:    "is given twice",
	ErrUnknownField:  "is not a field of a record",
	ErrWrongType:     "is not of the kind that belongs here",
	ErrUnknownFormat: "is not a format that is known here, want " + strconv.Quote(Format),
	ErrTooLarge:      "is more than is taken for one job",
	ErrBadText:       "is not a plain text: blank at an end, longer than 1000 bytes, or not printable",
	ErrUnknownName:   "names nothing that the record holds",
	ErrOrder:         "does not stand in order",

	softfoot.ErrTooManyFeet:   "is more than the computation takes",
	softfoot.ErrTooFewPoints:  "fewer than three points give no plane",
	tolerance.ErrUnknownTable: "is not a built-in set of limits",
}

func fault(field, got string, f align.Fault) error {
	return &align.InputError{Package: "worksheet", Field: field, Got: got, Err: f, Meaning: meanings[f]}
}
