package whatif

import (
	"errors"
	"strconv"

	"collinear.example/align"
	"collinear.example/uncertainty"
)

// The faults of this package, besides those of package align and those shared
// with package uncertainty (ErrNoOutputs, ErrTrialFailed, ErrTooManyTrials,
// ErrCancelled).
const (
	ErrTooManyRows align.Fault = "too-many-rows" // over MaxRows or MaxFigures
	ErrRowFailed   align.Fault = "row-failed"    // the job said why in words only, without a code
	ErrNoCrossing  align.Fault = "no-crossing"   // the ends of the range lie on the same side
	ErrNotARange   align.Fault = "not-a-range"   // a range is wanted, not a list or a distribution
	ErrNotListed   align.Fault = "not-listed"    // values are wanted, not a distribution
)

// meaning says in words what a fault of this package means, "" for those of
// package align, which say it themselves.
func meaning(f align.Fault) string {
	switch f {
	case ErrTooManyRows:
		return "more rows than the bound allows"
	case ErrRowFailed:
		return "the job could not be computed"
	case ErrNoCrossing:
		return "both ends lie on the same side of the value"
	case ErrNotARange:
		return "is not a range of values"
	case ErrNotListed:
		return "is a distribution: only a Latin hypercube draws from one"
	case uncertainty.ErrNoOutputs:
		return "no column of the kind wanted is given"
	case uncertainty.ErrTrialFailed:
		return "the job cannot be computed"
	case uncertainty.ErrTooManyTrials:
		return "more work than the bound allows"
	case uncertainty.ErrCancelled:
		return "the work was cancelled"
	}
	return ""
}

func fault(field, got string, f align.Fault) error {
	return &align.InputError{Package: "whatif", Field: field, Got: got, Err: f, Meaning: meaning(f)}
}

// caused is a fault with the error that led to it: errors.Is and errors.As find
// both, and the message holds both.
func caused(field, got string, f align.Fault, cause error) error {
	return &align.InputError{Package: "whatif", Field: field, Got: got, Err: errors.Join(f, cause),
		Meaning: meaning(f) + ": " + cause.Error()}
}

// cancelled says how much was done before the context ended.
func cancelled(what string, done, of int, unit string, cause error) error {
	return caused(what, strconv.Itoa(done)+" of "+strconv.Itoa(of)+" "+unit+" done", uncertainty.ErrCancelled, cause)
}

func index(list string, i int) string { return list + "[" + strconv.Itoa(i) + "]" }

func plain(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }
