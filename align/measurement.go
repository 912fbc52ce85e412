package align

import (
	"fmt"

	"gonum.org/v1/gonum/unit"
)

// Measurement is everything that was measured between two shafts at one time:
// any set of dials, and offsets or slopes found by other means. The named
// methods (ReverseIndicator, RimAndFace, ...) are short ways to write one.
type Measurement struct {
	Dials   []Dial
	Offsets []KnownOffset // offsets found with straightedge, feelers, scope, proximity probe ...
	Slopes  []KnownSlope  // slopes found from gaps
	Spool   Spool         // needed only when a dial reaches to a spool

	// Sigma is the standard uncertainty of one reading, for every dial and known
	// value that does not give its own. Zero everywhere means unknown: then the
	// scatter of the readings about the fit is used, when there is any.
	Sigma unit.Length

	// Checks holds the limits of the validity checks; the zero value takes
	// DefaultChecks.
	Checks Checks
}

// KnownOffset is the offset of the far shaft from the near one at a station,
// found by any means.
type KnownOffset struct {
	Station unit.Length
	Offset  Offset
	Sigma   unit.Length // standard uncertainty of each component; zero takes the Measurement's
}

// KnownSlope is the slope of the far shaft against the near one, found as a
// difference of gaps over a length.
type KnownSlope struct {
	Slope Slope
	Over  unit.Length // the diameter or length over which it was measured
	Sigma unit.Length // standard uncertainty of the difference; zero takes the Measurement's
}

// Position is where the far shaft stands relative to the near one, with what is
// known about how well.
type Position struct {
	Axis // the misalignment, far minus near

	VerticalKnown   bool // false when the clock positions say nothing of the plane;
	HorizontalKnown bool // its line is then zero and means nothing

	// Residuals are the readings less what the position explains, dial by dial
	// in the order given (closing readings left out), then the vertical and
	// horizontal parts of the known offsets, then of the known slopes (as
	// lengths over their Over).
	Residuals []unit.Length
	DoF       int         // equations beyond the number of unknowns
	Sigma     unit.Length // standard uncertainty of one reading: given, or found from the residuals
	SigmaFrom SigmaSource // where Sigma came from
	ChiSquare float64     // sum of (residual/sigma)^2 when Sigma was given; 0 otherwise
	Condition float64     // condition number of the scaled system; large means poor geometry

	Warnings []Warning

	centre unit.Length   // station about which cov is kept
	cov    [4][4]float64 // of vertical offset, vertical slope, horizontal offset, horizontal slope
}

// SigmaSource says where the uncertainty of a reading came from.
type SigmaSource uint8

// The sources of the uncertainty of one reading.
const (
	SigmaUnknown   SigmaSource = iota // not given, and no readings to spare
	SigmaGiven                        // given with the readings
	SigmaResiduals                    // from the scatter about the fit
)

// String names the source.
func (s SigmaSource) String() string {
	switch s {
	case SigmaUnknown:
		return "unknown"
	case SigmaGiven:
		return "given"
	case SigmaResiduals:
		return "from residuals"
	}
	return fmt.Sprintf("sigma source(%d)", uint8(s))
}

// Solve returns the position that fits all readings best, in the sense of
// weighted least squares, with every dial's own zero free.
//
// It fails with ErrUndetermined when the dials leave a plane's offset or slope
// open, and otherwise with the fault of the first input that cannot be used.
func (m *Measurement) Solve() (Position, error) {
	if err := m.check(); err != nil {
		return Position{}, err
	}
	var buf [solveSamples]sample
	g, all, err := m.gather(buf[:0])
	if err != nil {
		return Position{}, err
	}
	p, err := g.solve(m, all)
	if err != nil {
		return Position{}, err
	}
	m.residuals(&p, &g, all)
	m.finish(&p, &g)
	m.validate(&p, &g)
	if !p.finite() {
		return Position{}, &InputError{Field: "readings", Err: ErrOutOfRange}
	}
	return p, nil
}

func (m *Measurement) check() error {
	if len(m.Dials)+len(m.Offsets)+len(m.Slopes) == 0 {
		return &InputError{Field: "dials", Err: ErrMissing}
	}
	if err := checkNotNegative("sigma", m.Sigma); err != nil {
		return err
	}
	for i := range m.Dials {
		d := &m.Dials[i]
		if err := d.Check(); err != nil {
			return In(err, fieldName("dials", i, d.Name))
		}
		if d.Reach == ShaftToShaft {
			continue
		}
		if m.Spool == (Spool{}) {
			return &InputError{Field: fieldName("dials", i, d.Name), Err: ErrSpool}
		}
		if err := m.Spool.Check(); err != nil {
			return In(err, "spool")
		}
	}
	return m.checkKnown()
}

func (m *Measurement) checkKnown() error {
	for i := range m.Offsets {
		if err := m.Offsets[i].check(); err != nil {
			return In(err, fmt.Sprintf("offsets[%d]", i))
		}
	}
	for i := range m.Slopes {
		if err := m.Slopes[i].check(); err != nil {
			return In(err, fmt.Sprintf("slopes[%d]", i))
		}
	}
	return nil
}

func (k *KnownOffset) check() error {
	if err := CheckLength("station", k.Station); err != nil {
		return err
	}
	if err := CheckLength("offset.vertical", k.Offset.Vertical); err != nil {
		return err
	}
	if err := CheckLength("offset.horizontal", k.Offset.Horizontal); err != nil {
		return err
	}
	return checkNotNegative("sigma", k.Sigma)
}

func (k *KnownSlope) check() error {
	if !IsFinite(k.Slope.Vertical) {
		return &InputError{Field: "slope.vertical", Got: fmt.Sprint(k.Slope.Vertical), Err: ErrNotFinite}
	}
	if !IsFinite(k.Slope.Horizontal) {
		return &InputError{Field: "slope.horizontal", Got: fmt.Sprint(k.Slope.Horizontal), Err: ErrNotFinite}
	}
	if err := checkPositive("over", k.Over, ErrZeroDiameter); err != nil {
		return err
	}
	return checkNotNegative("sigma", k.Sigma)
}

// fieldName is "dials[1]", with the dial's own name when it has one.
func fieldName(list string, i int, name string) string {
	s := fmt.Sprintf("%s[%d]", list, i)
	if name != "" {
		s += " (" + name + ")"
	}
	return s
}
