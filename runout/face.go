package runout

import (
	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// FaceSweep is a dial on a fixed base that touches a hub or flange face at a
// swept diameter while the shaft is turned.
//
// The shaft floats endwise as it turns; a thrust bearing, a stop or a second
// dial must take the float out. See FacePair.
type FaceSweep struct {
	Sweep    align.Sweep
	Diameter unit.Length // swept by the stem, not that of the hub; above zero
	Checks   SweepChecks
}

// Face is the runout of a face. The first harmonic is the tilt of the face to
// the axis of turning; everything else is warp.
type Face struct {
	Turn
	Diameter unit.Length // swept diameter
	// Float is the endwise movement of the shaft from its place at the first
	// reading, largest less smallest. Only FacePair knows it; nil otherwise.
	Float *align.TIR
}

// Solve resolves the sweep. It fails as NewSection does, and with
// ErrZeroDiameter when the swept diameter is not above zero.
func (f FaceSweep) Solve() (Face, error) { return f.solve(false) }

func (f FaceSweep) solve(oddOnly bool) (Face, error) {
	if err := align.CheckLength("diameter", f.Diameter); err != nil {
		return Face{}, ours(err)
	}
	if !(f.Diameter > 0) {
		return Face{}, fault("diameter", align.UnitMillimetre.Format(float64(f.Diameter), 3), align.ErrZeroDiameter)
	}
	c := f.Checks.filled()
	t, err := newTurn(f.Sweep, c, oddOnly)
	if err != nil {
		return Face{}, err
	}
	face := Face{Turn: t, Diameter: f.Diameter}
	tilt := face.Tilt()
	if !align.IsFinite(tilt.Vertical) || !align.IsFinite(tilt.Horizontal) || !align.IsFinite(tilt.Resultant()) {
		return Face{}, fault("diameter", align.UnitMillimetre.Format(float64(f.Diameter), 3), align.ErrOutOfRange)
	}
	face.check(c, WarnWarped)
	if size := tilt.Resultant(); size > c.Tilt {
		face.warn(align.Warning{Code: align.WarnSize, Severity: align.Serious, Field: "tilt", Value: size, Limit: c.Tilt, Unit: align.UnitMillimetrePerMetre})
	}
	return face, nil
}

// Tilt returns the slope of the face to a plane square to the axis of turning,
// rise toward the dial over run toward the mark:
//
//	slope = first harmonic / (D/2)
//
// which is the total indicator reading of a flat face over the swept diameter.
// Its resultant is the size; HighSpot is the direction.
func (f Face) Tilt() align.Slope {
	half := f.Diameter / 2
	return align.Slope{Vertical: float64(f.First.Vertical / half), Horizontal: float64(f.First.Horizontal / half)}
}

// String returns tilt, high spot and total indicator reading with their units.
func (f Face) String() string {
	return "tilt " + align.UnitMillimetrePerMetre.Format(f.Tilt().Resultant(), 4) + ", high spot at " + degrees(f.HighSpot()) + ", " + f.TIR.String()
}

// FacePair is two dials on a fixed base, 180 degrees apart on one face at the
// same swept diameter, read together while the shaft is turned. Half their
// difference is free of axial float.
//
// Half the difference keeps only what is opposite on opposite marks: the tilt
// and the other odd harmonics. A saddle-shaped warp drops out with the float and
// appears as float, so Second.Seen of the result is Hidden and Float is float and
// even warp together.
type FacePair struct {
	A, B     align.Sweep // B[i] is read while mark A[i].At is under dial a; closing readings in both or neither
	Diameter unit.Length // swept by both stems; above zero
	Checks   SweepChecks
}

// Solve cancels the float with align.CancelFloat and resolves what is left. It
// fails as FaceSweep.Solve does, and with ErrMismatch when the sweeps do not pair.
func (p FacePair) Solve() (Face, error) {
	sweep, axial, err := align.CancelFloat(p.A, p.B)
	if err != nil {
		return Face{}, ours(err)
	}
	f, err := FaceSweep{Sweep: sweep, Diameter: p.Diameter, Checks: p.Checks}.solve(true)
	if err != nil {
		return Face{}, err
	}
	float := floatOf(axial)
	if !align.IsFinite(float) {
		return Face{}, fault("b", "", align.ErrOutOfRange)
	}
	f.Float = &float
	return f, nil
}

// floatOf is the range of the axial movement.
func floatOf(axial []unit.Length) align.TIR {
	lo, hi := axial[0], axial[0]
	for _, v := range axial {
		lo, hi = min(lo, v), max(hi, v)
	}
	return align.TIR(hi - lo)
}
