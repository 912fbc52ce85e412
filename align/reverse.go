package align

import "gonum.org/v1/gonum/unit"

// ReverseIndicator is the two-indicator method: a rim dial on each shaft, each
// carried by a bracket on the other shaft, both shafts turned together. Which
// surface is touched and which shaft carries the bracket is set by the method;
// give station, sweep and sag of each dial.
type ReverseIndicator struct {
	OnFar  Dial // stem on the far shaft, bracket on the near one
	OnNear Dial // stem on the near shaft, bracket on the far one

	Sigma  unit.Length // standard uncertainty of one reading; zero: not known
	Checks Checks      // limits of the validity checks; zero: defaults
}

// dials returns the two dials with surface and bracket set.
func (r *ReverseIndicator) dials() [2]Dial {
	far, near := r.OnFar, r.OnNear
	far.Surface, far.Bracket, far.Reach = Rim, Near, ShaftToShaft
	near.Surface, near.Bracket, near.Reach = Rim, Far, ShaftToShaft
	if far.Name == "" {
		far.Name = "on far shaft"
	}
	if near.Name == "" {
		near.Name = "on near shaft"
	}
	return [2]Dial{far, near}
}

// Measurement returns the same measurement in general form.
func (r ReverseIndicator) Measurement() Measurement {
	d := r.dials()
	return Measurement{Dials: d[:], Sigma: r.Sigma, Checks: r.Checks}
}

// Solve returns the position with uncertainty, residuals and warnings.
func (r ReverseIndicator) Solve() (Position, error) {
	m := r.Measurement()
	return m.Solve()
}

// Axis returns the misalignment alone, by the closed form, without allocating:
// with eF half the corrected first harmonic at the dial on the far shaft
// (station xF) and eN that at the other (xN, sign turned),
//
//	e(x) = eN + (eF - eN)(x - xN)/(xF - xN)
//
// It is the same position as Solve finds. A plane that the clock positions do
// not show is an error here: use Solve for readings of one plane. Too narrow an
// arc is refused as Solve refuses it; there are no other checks and no warnings.
func (r *ReverseIndicator) Axis() (Axis, error) {
	far, err := r.OnFar.offset(&r.Checks)
	if err != nil {
		return Axis{}, In(err, "on far shaft")
	}
	near, err := r.OnNear.offset(&r.Checks)
	if err != nil {
		return Axis{}, In(err, "on near shaft")
	}
	return axisThrough(r.OnNear.Station, near.Neg(), r.OnFar.Station, far)
}

// axisThrough is AxisThrough for offsets already known to be finite.
func axisThrough(x1 unit.Length, o1 Offset, x2 unit.Length, o2 Offset) (Axis, error) {
	v, ok1 := through(x1, o1.Vertical, x2, o2.Vertical)
	h, ok2 := through(x1, o1.Horizontal, x2, o2.Horizontal)
	if !ok1 || !ok2 {
		return AxisThrough(x1, o1, x2, o2) // names the fault
	}
	return Axis{v, h}, nil
}

// offset is the corrected first harmonic of the dial's sweep in both planes:
// the touched centre less the carrying one for a rim dial.
func (d *Dial) offset(checks *Checks) (Offset, error) {
	if d.Turning != BothShafts {
		if err := d.checkTurning(); err != nil {
			return Offset{}, err
		}
	}
	o, v, h, arc := d.Sweep.harmonic()
	o.Vertical += d.Sag.rollOver / 2 // the sag's own first harmonic is -S/2 cos t
	if d.Turning == BracketShaft {
		o = o.Sub(*d.Runout)
	}
	if v && h && IsFinite(o.Vertical) && IsFinite(o.Horizontal) {
		return o, checks.refuseArc(arc)
	}
	if err := d.Sweep.Check(); err != nil {
		return Offset{}, err
	}
	if err := CheckLength("sag", d.Sag.rollOver); err != nil {
		return Offset{}, err
	}
	if v && h {
		return Offset{}, &InputError{Field: "sweep", Err: ErrOutOfRange}
	}
	return Offset{}, &InputError{Field: "sweep", Err: ErrTooFewPositions}
}
