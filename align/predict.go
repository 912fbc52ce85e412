package align

import (
	"math"

	"gonum.org/v1/gonum/unit"
)

// Predict returns the readings the dial would show for the misalignment a, zero
// at clock position zero, at the given positions: target readings, forecasts
// after a move and exercises come from here. Sag is in, and so is the touched
// surface's runout when only the bracket's shaft turns. The rim is taken as
// flat under the stem (first order); PredictExact rides on the curve.
//
// The spool is needed only for a dial that reaches to one.
func (d *Dial) Predict(a Axis, spool Spool, zero Clock, at ...Clock) (Sweep, error) {
	if err := d.checkPrediction(a, spool); err != nil {
		return nil, err
	}
	h := d.standing(a, spool)
	return sweepOf(func(c Clock) float64 {
		up, right := c.Unit()
		return float64(h.Vertical)*up + float64(h.Horizontal)*right + float64(d.Sag.At(c))
	}, zero, at)
}

// standing is the first harmonic from misalignment and, where it counts,
// runout.
func (d *Dial) standing(a Axis, spool Spool) Offset {
	h := d.harmonicOf(a, spool)
	if d.Turning == BracketShaft && d.Runout != nil {
		h = h.Add(*d.Runout)
	}
	return h
}

// PredictExact returns the same readings with the stem riding on the true round
// surface: a line from the carrying axis along -n meets the cylinder of radius
// r about the touched axis. With e the offset of the touched centre from the
// carrying one at the dial plus the droop, s the slope between the axes and
// rho the distance along n,
//
//	|rho n - e|^2 - ((rho n - e).s)^2/(1 + |s|^2) = r^2
//
// and the reading is rho. Face dials are linear already. It needs the diameter
// of the touched surface for a rim dial.
func (d *Dial) PredictExact(a Axis, spool Spool, zero Clock, at ...Clock) (Sweep, error) {
	if d.Surface != Rim {
		return d.Predict(a, spool, zero, at...)
	}
	if err := checkPositive("diameter", d.Diameter, ErrZeroDiameter); err != nil {
		return nil, err
	}
	if err := d.checkPrediction(a, spool); err != nil {
		return nil, err
	}
	e := d.standing(a, spool) // touched less carrying for a rim
	e.Vertical += d.Sag.Droop()
	s := d.relativeSlope(a, spool)
	r := float64(d.Diameter) / 2
	if float64(e.Resultant()) >= r {
		return nil, &InputError{Field: "offset", Got: UnitMillimetre.Format(float64(e.Resultant()), 3), Err: ErrOutOfRange}
	}
	return sweepOf(func(c Clock) float64 { return stemOnRim(e, s, r, c) }, zero, at)
}

// stemOnRim solves the quadratic of PredictExact for rho.
func stemOnRim(e Offset, s Slope, r float64, c Clock) float64 {
	u, v := c.Unit()
	ev, eh := float64(e.Vertical), float64(e.Horizontal)
	k := 1 / (1 + s.Vertical*s.Vertical + s.Horizontal*s.Horizontal)
	ns := u*s.Vertical + v*s.Horizontal
	es := ev*s.Vertical + eh*s.Horizontal
	qa := 1 - k*ns*ns
	qb := (u*ev + v*eh) - k*ns*es // half of the linear term, sign turned
	qc := ev*ev + eh*eh - k*es*es - r*r
	return (qb + math.Sqrt(qb*qb-qa*qc)) / qa
}

// relativeSlope is the slope of the touched axis against the carrying one. Its
// sign does not matter to the rim reading beyond second order.
func (d *Dial) relativeSlope(a Axis, spool Spool) Slope {
	s := a.Slope()
	if d.Reach == ShaftToShaft {
		return s
	}
	l := spool.Length()
	o := a.At(spool.FarFlex)
	p := Slope{float64(o.Vertical / l), float64(o.Horizontal / l)}
	if d.Reach == NearToSpool {
		return p
	}
	return Slope{s.Vertical - p.Vertical, s.Horizontal - p.Horizontal}
}

func (d *Dial) checkPrediction(a Axis, spool Spool) error {
	if !a.finite() {
		return &InputError{Field: "axis", Err: ErrNotFinite}
	}
	if d.Reach != ShaftToShaft {
		if err := spool.Check(); err != nil {
			return In(err, "spool")
		}
	}
	if d.Surface != Rim {
		if err := checkPositive("diameter", d.Diameter, ErrZeroDiameter); err != nil {
			return err
		}
	}
	if err := d.checkTurning(); err != nil {
		return err
	}
	if err := CheckLength("sag", d.Sag.rollOver); err != nil {
		return err
	}
	return CheckLength("station", d.Station)
}

// sweepOf returns f at the positions, less f at zero.
func sweepOf(f func(Clock) float64, zero Clock, at []Clock) (Sweep, error) {
	if !IsFinite(zero) {
		return nil, &InputError{Field: "zero", Err: ErrNotFinite}
	}
	base := f(zero)
	out := make(Sweep, len(at))
	for i, c := range at {
		out[i] = Reading{c, unit.Length(f(c) - base)}
	}
	if err := out.Check(); err != nil {
		return nil, err
	}
	return out, nil
}

// maxExactRounds bounds the corrections of SolveExact. Each round leaves about
// offset over radius of the error before, so real jobs settle in three or four.
const maxExactRounds = 15

// SolveExact returns the position with the curvature of the touched rims taken
// out: each rim dial whose Diameter is given is corrected by the difference
// between PredictExact and Predict at the position found, and the position is
// found again until it stands still. The correction matters for three-point and
// irregular sweeps on small hubs; even sweeps of four or more positions do not
// need it.
func (m *Measurement) SolveExact() (Position, error) {
	p, err := m.Solve()
	if err != nil {
		return Position{}, err
	}
	flat := *m
	flat.Dials = append([]Dial(nil), m.Dials...)
	for range maxExactRounds {
		before := p.Axis
		for i := range m.Dials {
			s, err := m.Dials[i].flattened(p.Axis, m.Spool)
			if err != nil {
				return Position{}, In(err, fieldName("dials", i, m.Dials[i].Name))
			}
			flat.Dials[i].Sweep = s
			if m.Dials[i].Surface == Rim {
				flat.Dials[i].Diameter = 0 // the curve is out: the sum rule must not expect it
			}
		}
		if p, err = flat.Solve(); err != nil {
			return Position{}, err
		}
		if settled(before, p.Axis) {
			break
		}
	}
	return p, nil
}

func settled(a, b Axis) bool {
	d := a.Sub(b)
	return math.Abs(float64(d.Vertical.Offset)) < 1e-12 && math.Abs(float64(d.Horizontal.Offset)) < 1e-12 &&
		math.Abs(d.Vertical.Slope) < 1e-12 && math.Abs(d.Horizontal.Slope) < 1e-12
}

// flattened returns the sweep less the second-order part of the readings.
func (d *Dial) flattened(a Axis, spool Spool) (Sweep, error) {
	if d.Surface != Rim || !(d.Diameter > 0) {
		return d.Sweep, nil
	}
	at := make([]Clock, len(d.Sweep))
	for i, r := range d.Sweep {
		at[i] = r.At
	}
	exact, err := d.PredictExact(a, spool, at[0], at...)
	if err != nil {
		return nil, err
	}
	linear, err := d.Predict(a, spool, at[0], at...)
	if err != nil {
		return nil, err
	}
	out := make(Sweep, len(at))
	for i, r := range d.Sweep {
		out[i] = Reading{r.At, r.Value - (exact[i].Value - linear[i].Value)}
	}
	return out, nil
}
