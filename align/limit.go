package align

// Known says how a figure from a source came to be known.
type Known string

// The ways a published figure can be known.
const (
	Read           Known = "read"            // read in the source itself
	ReadSecondhand Known = "read-secondhand" // read as quoted by somebody else
	FromMemory     Known = "memory"          // not seen; check before relying on it
	CommonPractice Known = "common-practice" // a habit of the trade without a source
)

// Limit is the most that something may be, with where it comes from. The value
// is kept as printed, in the printed unit, so that no conversion can blur it.
type Limit struct {
	Name   string  // what is limited, such as "shaft runout"
	Place  string  // where it is measured, such as "end of the extension"
	Value  float64 // in Unit, as printed
	Unit   Unit
	Source string // citation with clause or page
	Known  Known
}

// SI returns the limit in SI units.
func (l Limit) SI() float64 { return l.Unit.SI(l.Value) }

// String returns name, value with unit, place and source.
func (l Limit) String() string {
	s := l.Name
	if l.Place != "" {
		s += " at " + l.Place
	}
	s += ": at most " + l.Unit.Format(l.SI(), decimalsFor(l.Unit)) + " (" + l.Source
	switch l.Known {
	case FromMemory:
		s += "; from memory"
	case ReadSecondhand:
		s += "; second-hand"
	case CommonPractice:
		s += "; common practice, no source"
	}
	return s + ")"
}

// Judge holds a measured size, in SI units of the limit's kind, against the
// limit. The sign of the measured value does not matter. A size equal to the
// limit is within it.
func (l Limit) Judge(measured float64) (Verdict, error) {
	if !IsFinite(measured) || !IsFinite(l.SI()) {
		return Verdict{}, &InputError{Field: l.Name, Err: ErrNotFinite}
	}
	if l.SI() < 0 {
		return Verdict{}, &InputError{Field: l.Name + " limit", Got: l.Unit.Format(l.SI(), decimalsFor(l.Unit)), Err: ErrNegative}
	}
	if measured < 0 {
		measured = -measured
	}
	return Verdict{Limit: l, Measured: measured, Within: withinLimit(measured, l.SI())}, nil
}

// withinLimit lets a measured value equal to the printed limit pass although
// unit conversion rounds both: one part in 10^12 is no difference.
func withinLimit(measured, limit float64) bool {
	return measured <= limit || float64(measured*(1-1e-12)) <= limit
}

// Verdict is a measured size held against a limit.
type Verdict struct {
	Limit    Limit
	Measured float64 // SI units, as a size
	Within   bool
}

// Margin returns what is left of the limit in SI units, negative when it is
// exceeded.
func (v Verdict) Margin() float64 { return v.Limit.SI() - v.Measured }

// Share returns the measured size as a share of the limit: 1 is at the limit.
// A limit of zero that is met has share 0, and one that is exceeded a share of
// the largest number there is.
func (v Verdict) Share() float64 {
	l := v.Limit.SI()
	switch {
	case l > 0:
		return v.Measured / l
	case v.Within:
		return 0
	}
	return maxShare
}

const maxShare = 1e308

// String says the outcome with value, limit, margin and source.
func (v Verdict) String() string {
	word := "within"
	if !v.Within {
		word = "over"
	}
	u := v.Limit.Unit
	return u.Format(v.Measured, decimalsFor(u)) + ", " + word + " the limit by " + u.Format(abs(v.Margin()), decimalsFor(u)) + "; " + v.Limit.String()
}

func abs(x float64) float64 {
	if x < 0 {
		return -x
	}
	return x
}
