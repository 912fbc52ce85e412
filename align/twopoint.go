package align

import "gonum.org/v1/gonum/unit"

// TwoPoint is the position from offsets known at two stations by any means:
// straightedge and feelers, a scope, proximity probes, a drawing.
type TwoPoint struct {
	A, B KnownOffset

	Sigma  unit.Length // standard uncertainty of one value; zero: not known
	Checks Checks      // limits of the validity checks; zero: defaults
}

// Measurement returns the same measurement in general form.
func (t TwoPoint) Measurement() Measurement {
	return Measurement{Offsets: []KnownOffset{t.A, t.B}, Sigma: t.Sigma, Checks: t.Checks}
}

// Solve returns the position with uncertainty and warnings.
func (t TwoPoint) Solve() (Position, error) {
	m := t.Measurement()
	return m.Solve()
}

// OffsetAndGaps is the position from the offset known at one station and the
// gaps between the hub faces: straightedge and feelers.
type OffsetAndGaps struct {
	Offset KnownOffset
	Gaps   FaceGaps

	Sigma  unit.Length // standard uncertainty of one value; zero: not known
	Checks Checks      // limits of the validity checks; zero: defaults
}

// Measurement returns the same measurement in general form.
func (o OffsetAndGaps) Measurement() (Measurement, error) {
	s, err := o.Gaps.Slope()
	if err != nil {
		return Measurement{}, In(err, "gaps")
	}
	return Measurement{
		Offsets: []KnownOffset{o.Offset}, Slopes: []KnownSlope{s}, Sigma: o.Sigma, Checks: o.Checks,
	}, nil
}

// Solve returns the position with uncertainty and warnings.
func (o OffsetAndGaps) Solve() (Position, error) {
	m, err := o.Measurement()
	if err != nil {
		return Position{}, err
	}
	return m.Solve()
}

// FaceGaps are gaps between the two hub faces, taken with feelers or a taper
// gauge at four places while the shafts stand still. They are gaps, not a dial
// sweep: nothing is halved, and the slope divides by the diameter on which they
// were taken.
type FaceGaps struct {
	Diameter                 unit.Length // of the circle on which the gaps were taken
	Top, Right, Bottom, Left unit.Length
	Sigma                    unit.Length // standard uncertainty of one gap
}

// Slope returns the slope of the far shaft against the near one:
// (bottom - top)/D and (left - right)/D. A gap that is wide at the top means
// that the far shaft falls away from the coupling.
func (g FaceGaps) Slope() (KnownSlope, error) {
	for _, v := range [...]struct {
		name string
		gap  unit.Length
	}{{"top", g.Top}, {"right", g.Right}, {"bottom", g.Bottom}, {"left", g.Left}} {
		if err := CheckLength(v.name, v.gap); err != nil {
			return KnownSlope{}, err
		}
	}
	if err := checkNotNegative("sigma", g.Sigma); err != nil {
		return KnownSlope{}, err
	}
	if err := checkPositive("diameter", g.Diameter, ErrZeroDiameter); err != nil {
		return KnownSlope{}, err
	}
	const root2 = 1.4142135623730951 // a difference of two gaps
	return KnownSlope{
		Slope: Slope{float64((g.Bottom - g.Top) / g.Diameter), float64((g.Left - g.Right) / g.Diameter)},
		Over:  g.Diameter,
		Sigma: root2 * g.Sigma,
	}, nil
}

// StraightedgeGaps are the gaps under a straightedge that is held on the near
// hub at four places and reaches over the far hub. A gap is negative where the
// far hub stands proud and the straightedge must be held off the near one.
type StraightedgeGaps struct {
	Top, Right, Bottom, Left unit.Length
}

// Offset returns the offset of the far shaft, (bottom - top)/2 and
// (left - right)/2, whatever the two hub diameters are. Taking one side alone
// would add half the difference of the diameters.
func (g StraightedgeGaps) Offset() Offset {
	return Offset{(g.Bottom - g.Top) / 2, (g.Left - g.Right) / 2}
}
