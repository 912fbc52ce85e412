package runout

import (
	"math"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// PressFit is a hub of plain cylindrical shape on a solid shaft of the same
// material. A keyway, a flange or a long overhang of the shaft changes the stress;
// turning fast loosens the hub. None of these is allowed for.
type PressFit struct {
	Shaft   unit.Length   // diameter d; above zero
	Outside unit.Length   // outside diameter D of the hub; larger than the shaft
	Modulus unit.Pressure // E of both; above zero
}

// Pressure returns the pressure between shaft and hub for an interference i on
// the diameter:
//
//	p = E (i/d) (1 - c^2)/2,  c = d/D
//
// (Lame, thick cylinder on a solid shaft of the same material; from memory.)
// Errors: align.ErrZeroDiameter, align.ErrNotFinite, align.ErrNegative,
// align.ErrMismatch when the hub is not larger than the shaft, align.ErrOutOfRange.
func (f PressFit) Pressure(interference unit.Length) (unit.Pressure, error) {
	wall, err := f.wall()
	if err != nil {
		return 0, err
	}
	if err := checkSize("interference", float64(interference), align.UnitMillimetre); err != nil {
		return 0, err
	}
	p := unit.Pressure(float64(f.Modulus) * float64(interference/f.Shaft) * wall / 2)
	if !align.IsFinite(p) {
		return 0, fault("pressure", "", align.ErrOutOfRange)
	}
	return p, nil
}

// Interference returns the interference on the diameter that gives pressure p:
// the inverse of Pressure, with the same errors.
func (f PressFit) Interference(p unit.Pressure) (unit.Length, error) {
	wall, err := f.wall()
	if err != nil {
		return 0, err
	}
	if err := checkSize("pressure", float64(p), align.UnitMegapascal); err != nil {
		return 0, err
	}
	i := f.Shaft * unit.Length(2*float64(p/f.Modulus)/wall)
	if !align.IsFinite(i) {
		return 0, fault("interference", "", align.ErrOutOfRange)
	}
	return i, nil
}

// BoreStress returns the tension around the bore of the hub under pressure p, the
// largest stress in it:
//
//	s = p (1 + c^2)/(1 - c^2),  c = d/D
//
// (Lame; from memory.) Errors are those of Pressure.
func (f PressFit) BoreStress(p unit.Pressure) (unit.Pressure, error) {
	wall, err := f.wall()
	if err != nil {
		return 0, err
	}
	if err := checkSize("pressure", float64(p), align.UnitMegapascal); err != nil {
		return 0, err
	}
	s := unit.Pressure(float64(p) * ((2 - wall) / wall))
	if !align.IsFinite(s) {
		return 0, fault("bore stress", "", align.ErrOutOfRange)
	}
	return s, nil
}

// wall checks f and returns 1 - c^2.
func (f PressFit) wall() (float64, error) {
	if err := checkDiameter("shaft", f.Shaft); err != nil {
		return 0, err
	}
	if err := checkDiameter("outside", f.Outside); err != nil {
		return 0, err
	}
	if err := checkAbove("modulus", float64(f.Modulus), align.UnitMegapascal); err != nil {
		return 0, err
	}
	c := float64(f.Shaft / f.Outside)
	wall := float64(1-c) * float64(1+c) // 1 - c^2 without loss of digits
	if f.Outside <= f.Shaft || wall <= 0 {
		return 0, fault("outside", align.UnitMillimetre.Format(float64(f.Outside), 3)+", not larger than the shaft", align.ErrMismatch)
	}
	return wall, nil
}

// Grip is a seat that holds by friction.
type Grip struct {
	Diameter unit.Length // of the seat, d; above zero
	Length   unit.Length // of the seat, L; above zero
	Friction float64     // coefficient; above zero; HubFriction is customary
}

// Torque returns the torque at which the hub begins to slip:
//
//	T = pi mu p L d^2/2
//
// (Statics.) Divide by a margin of safety of your own. Errors: align.ErrZeroDiameter,
// align.ErrNotFinite, align.ErrNegative, align.ErrOutOfRange.
func (g Grip) Torque(p unit.Pressure) (unit.Torque, error) {
	arm, err := g.arm()
	if err != nil {
		return 0, err
	}
	if err := checkSize("pressure", float64(p), align.UnitMegapascal); err != nil {
		return 0, err
	}
	t := unit.Torque(float64(p) * arm)
	if !align.IsFinite(t) {
		return 0, fault("torque", "", align.ErrOutOfRange)
	}
	return t, nil
}

// Pressure returns the pressure that holds torque t without any margin: the
// inverse of Torque, with the same errors. The sign of the torque does not matter.
func (g Grip) Pressure(t unit.Torque) (unit.Pressure, error) {
	arm, err := g.arm()
	if err != nil {
		return 0, err
	}
	if !align.IsFinite(t) {
		return 0, fault("torque", align.UnitNewtonMetre.Format(float64(t), 1), align.ErrNotFinite)
	}
	p := unit.Pressure(math.Abs(float64(t)) / arm)
	if !align.IsFinite(p) {
		return 0, fault("pressure", "", align.ErrOutOfRange)
	}
	return p, nil
}

// arm checks g and returns pi mu L d^2/2, torque per pressure.
func (g Grip) arm() (float64, error) {
	if err := checkDiameter("diameter", g.Diameter); err != nil {
		return 0, err
	}
	if err := checkAbove("length", float64(g.Length), align.UnitMillimetre); err != nil {
		return 0, err
	}
	if err := checkAbove("friction", g.Friction, align.UnitOne); err != nil {
		return 0, err
	}
	arm := math.Pi * g.Friction * float64(g.Length) * float64(g.Diameter) * float64(g.Diameter) / 2
	if !align.IsFinite(arm) || arm == 0 {
		return 0, fault("diameter", align.UnitMillimetre.Format(float64(g.Diameter), 3), align.ErrOutOfRange)
	}
	return arm, nil
}
