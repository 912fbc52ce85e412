package align

import (
	"fmt"

	"gonum.org/v1/gonum/unit"
)

// RimAndFace is the rim-and-face method: from one bracket, one dial on the rim
// and one on the face of the other shaft's hub. Give station, sweep and sag of
// the rim dial; swept diameter, sweep and sag of the face dial, and its Surface
// when the face looks away from the bracket's machine.
type RimAndFace struct {
	Bracket Shaft // which shaft carries the bracket
	Rim     Dial
	Face    Dial // Surface Rim (the zero value) is taken as FaceToward

	Sigma  unit.Length // standard uncertainty of one reading; zero: not known
	Checks Checks      // limits of the validity checks; zero: defaults
}

// dials returns the two dials with bracket and surfaces set.
func (r *RimAndFace) dials() [2]Dial {
	rim, face := r.Rim, r.Face
	rim.Surface, rim.Bracket, rim.Reach = Rim, r.Bracket, ShaftToShaft
	face.Bracket, face.Reach = r.Bracket, ShaftToShaft
	if face.Surface == Rim {
		face.Surface = FaceToward
	}
	if rim.Name == "" {
		rim.Name = "rim"
	}
	if face.Name == "" {
		face.Name = "face"
	}
	return [2]Dial{rim, face}
}

// Measurement returns the same measurement in general form.
func (r RimAndFace) Measurement() Measurement {
	d := r.dials()
	return Measurement{Dials: d[:], Sigma: r.Sigma, Checks: r.Checks}
}

// Solve returns the position with uncertainty, residuals and warnings.
func (r RimAndFace) Solve() (Position, error) {
	m := r.Measurement()
	return m.Solve()
}

// Axis returns the misalignment alone, by the closed form, without allocating:
// the offset at the rim dial is the rim's first harmonic (sign turned when the
// far shaft carries the bracket), the slope is the face's first harmonic over
// half the swept diameter. It is the same position as Solve finds. Too narrow an
// arc is refused as Solve refuses it; there are no other checks and no warnings.
func (r *RimAndFace) Axis() (Axis, error) {
	rim, err := r.Rim.offset(&r.Checks)
	if err != nil {
		return Axis{}, In(err, "rim")
	}
	face, err := r.Face.offset(&r.Checks)
	if err != nil {
		return Axis{}, In(err, "face")
	}
	if err := checkPositive("face.diameter", r.Face.Diameter, ErrZeroDiameter); err != nil {
		return Axis{}, err
	}
	if r.Bracket == Far {
		rim = rim.Neg()
	}
	if r.Face.Surface == FaceAway {
		face = face.Neg()
	}
	half := r.Face.Diameter / 2
	a := Axis{
		Vertical:   lineAt(r.Rim.Station, rim.Vertical, float64(face.Vertical/half)),
		Horizontal: lineAt(r.Rim.Station, rim.Horizontal, float64(face.Horizontal/half)),
	}
	if !a.finite() {
		return Axis{}, &InputError{Field: "readings", Err: ErrOutOfRange}
	}
	return a, nil
}

// lineAt is the line of given slope through the offset y at station x.
func lineAt(x, y unit.Length, slope float64) Line {
	return Line{y - unit.Length(slope)*x, slope}
}

// CancelFloat combines two face dials that stand 180 degrees apart on one
// bracket and are read together, so that the axial float of the shaft drops
// out: each reading of the result is half of a less b, at a's clock position.
// The second result is the float at each position, half their sum less that at
// the first.
//
// Both sweeps hold a's clock positions: b[i] is read while dial a stands at
// a[i].At, and its own position may be given as such or 180 degrees on.
// (Bloch and Geitner, Machinery Component Maintenance and Repair, chapter 5,
// p. 215: readings of -0.008 and +0.010 in give half of -0.018.)
func CancelFloat(a, b Sweep) (face Sweep, axial []unit.Length, err error) {
	if err := a.Check(); err != nil {
		return nil, nil, In(err, "a")
	}
	if err := b.Check(); err != nil {
		return nil, nil, In(err, "b")
	}
	if len(a) != len(b) {
		return nil, nil, &InputError{Field: "b", Got: fmt.Sprint(len(b), " readings"), Err: ErrMismatch}
	}
	face, axial = make(Sweep, len(a)), make([]unit.Length, len(a))
	for i := range a {
		turn := (b[i].At - a[i].At).Normal()
		if turn != 0 && turn != 180 {
			return nil, nil, &InputError{Field: fmt.Sprintf("b[%d].at", i), Got: b[i].At.String(), Err: ErrMismatch}
		}
		face[i] = Reading{a[i].At, (a[i].Value - b[i].Value) / 2}
		axial[i] = (a[i].Value+b[i].Value)/2 - (a[0].Value+b[0].Value)/2
	}
	return face, axial, nil
}
