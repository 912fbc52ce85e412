package tolerance

import "collinear.example/align"

// The faults of reading limits from JSON, beside missing, unknown-unit and the
// others.
const (
	// ErrBadJSON says that the text is not JSON, is too large or nests too deep,
	// or that it gives a field twice.
	ErrBadJSON align.Fault = "bad-json"
	// ErrUnknownField says that the format has no such field.
	ErrUnknownField align.Fault = "unknown-field"
	// ErrWrongType says that a value is not of the kind that belongs there.
	ErrWrongType align.Fault = "wrong-type"
	// ErrUnknownFormat says that the text is not in the format this package reads.
	ErrUnknownFormat align.Fault = "unknown-format"
)

// ErrOrder says that rows or factors do not stand in order of rising speed, or
// that the rows of a size do not stand together.
const ErrOrder align.Fault = "not-in-order"

// ErrTwice says that two tables of a set, or of what is looked up together, have
// one name.
const ErrTwice align.Fault = "given-twice"

// WarnOffTrend says that a row does not go with its neighbours: the figure may be
// a misprint.
const WarnOffTrend align.WarningCode = "off-trend"
