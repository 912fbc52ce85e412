package align

import (
	"errors"
	"strconv"

	"gonum.org/v1/gonum/unit"
)

// Fault is a reason why something cannot be computed. Every Fault is a
// constant with a permanent code word, the same word the reference corpus and
// other languages use. Test for one with errors.Is.
type Fault string

// Error returns what the fault means in words.
func (f Fault) Error() string {
	if s := f.meaning(); s != "" {
		return s
	}
	return string(f)
}

// Code returns the permanent code word of the fault.
func (f Fault) Code() string { return string(f) }

// The faults of this package. Other packages of the module add their own.
const (
	ErrNotFinite        Fault = "not-finite"
	ErrMissing          Fault = "missing"
	ErrTooFewPositions  Fault = "too-few-positions"
	ErrCoincident       Fault = "coincident-stations"
	ErrZeroDiameter     Fault = "zero-diameter"
	ErrNegative         Fault = "negative"
	ErrOutOfRange       Fault = "out-of-range"
	ErrUnknownUnit      Fault = "unknown-unit"
	ErrWrongUnit        Fault = "wrong-unit"
	ErrTouchedShaftOnly Fault = "touched-shaft-only"
	ErrRunoutUnknown    Fault = "runout-unknown"
	ErrUndetermined     Fault = "undetermined"
	ErrUnknownKind      Fault = "unknown-kind"
	ErrMismatch         Fault = "mismatch"
	ErrSpool            Fault = "spool-not-given"
	ErrMixedUncertainty Fault = "mixed-uncertainty"
	ErrArcTooNarrow     Fault = "arc-too-narrow"
)

func (f Fault) meaning() string {
	switch f {
	case ErrNotFinite:
		return "is not a finite number"
	case ErrMissing:
		return "is missing"
	case ErrTooFewPositions:
		return "too few clock positions: give three or more, or two opposite ones for one plane"
	case ErrCoincident:
		return "stations coincide: no slope can be found between them"
	case ErrZeroDiameter:
		return "diameter must be greater than zero"
	case ErrNegative:
		return "must not be negative"
	case ErrOutOfRange:
		return "is out of range"
	case ErrUnknownUnit:
		return "is not a known unit"
	case ErrWrongUnit:
		return "is a unit of another kind of quantity"
	case ErrTouchedShaftOnly:
		return "only the touched shaft was turned: that shows its runout, not alignment"
	case ErrRunoutUnknown:
		return "only the bracket's shaft was turned, so the runout of the touched surface must be given"
	case ErrUndetermined:
		return "the readings do not determine the position"
	case ErrUnknownKind:
		return "is not one of the known kinds"
	case ErrMismatch:
		return "does not match what it is paired with"
	case ErrSpool:
		return "a dial touches the spool, but the spool's flex planes are not given"
	case ErrMixedUncertainty:
		return "uncertainty is given for some readings and not for others"
	case ErrArcTooNarrow:
		return "the clock positions span too narrow an arc to find an offset"
	}
	return ""
}

// InputError says which input could not be used and why. It carries the field,
// the value as given and its unit, and wraps a Fault.
type InputError struct {
	Package string // prefix of the message; "align" when empty
	Field   string // such as "dials[1].diameter"
	Got     string // the offending value with its unit, "" when there is none
	Err     error  // the fault
	// Meaning says in words what a fault of another package means; "" for the
	// faults of package align, which say it themselves.
	Meaning string
}

// Why returns what is wrong in words, without field and value.
func (e *InputError) Why() string {
	if e.Meaning != "" {
		return e.Meaning
	}
	return e.Err.Error()
}

// Error returns one line naming package, field, value with unit and fault.
func (e *InputError) Error() string {
	s := e.Package
	if s == "" {
		s = "align"
	}
	s += ": "
	if e.Field != "" {
		s += e.Field
		if e.Got != "" {
			s += " = " + e.Got
		}
		s += ": "
	}
	return s + e.Why()
}

// Unwrap returns the fault.
func (e *InputError) Unwrap() error { return e.Err }

// In returns err with path put before the name of its field, so that a caller
// who knows where an input sits can say so: In(err, "dials[1]").
func In(err error, path string) error {
	var e *InputError
	if !errors.As(err, &e) {
		return err
	}
	c := *e
	switch {
	case c.Field == "":
		c.Field = path
	default:
		c.Field = path + "." + c.Field
	}
	return &c
}

// CodeOf returns the permanent code word of the first Fault in err's chain,
// "" when there is none.
func CodeOf(err error) string {
	var f Fault
	if errors.As(err, &f) {
		return f.Code()
	}
	return ""
}

// IsFinite reports whether v is neither infinite nor not-a-number.
func IsFinite[T ~float64](v T) bool { return v-v == 0 } // infinity less infinity is not a number

// CheckLength returns ErrNotFinite with field and value when v is not finite.
func CheckLength(field string, v unit.Length) error {
	if IsFinite(v) {
		return nil
	}
	return &InputError{Field: field, Got: strconv.FormatFloat(float64(v), 'g', -1, 64) + " m", Err: ErrNotFinite}
}

// checkPositive wants a finite length above zero.
func checkPositive(field string, v unit.Length, fault Fault) error {
	if err := CheckLength(field, v); err != nil {
		return err
	}
	if v > 0 {
		return nil
	}
	return &InputError{Field: field, Got: UnitMillimetre.Format(float64(v), 3), Err: fault}
}

// checkNotNegative wants a finite length of zero or more.
func checkNotNegative(field string, v unit.Length) error {
	if err := CheckLength(field, v); err != nil {
		return err
	}
	if v >= 0 {
		return nil
	}
	return &InputError{Field: field, Got: UnitMillimetre.Format(float64(v), 3), Err: ErrNegative}
}
