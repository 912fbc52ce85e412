package align

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/unit"
)

// BarMaterial is what the bar of a bracket is made of.
type BarMaterial struct {
	Name    string
	Modulus unit.Pressure // Young's modulus
	Density float64       // kilograms per cubic metre
}

// SteelBar returns steel at room temperature (textbook values, from memory).
func SteelBar() BarMaterial { return BarMaterial{"steel", 205e9, 7850} }

// AluminiumBar returns aluminium at room temperature (textbook values, from
// memory).
func AluminiumBar() BarMaterial { return BarMaterial{"aluminium", 69e9, 2700} }

// CarbonBar returns carbon-fibre tube (from memory). The modulus varies widely
// with the lay-up; this is a middle value.
func CarbonBar() BarMaterial { return BarMaterial{"carbon tube", 110e9, 1600} }

// Bracket is a bar or tube that reaches from the shaft that carries it to the
// dial at its end.
type Bracket struct {
	Length        unit.Length // free length from clamp to dial
	OuterDiameter unit.Length // of one bar
	InnerDiameter unit.Length // of one bar; zero for a solid bar
	Bars          int         // bars side by side; zero means one
	Material      BarMaterial
	EndMass       unit.Mass // dial, its snug and its rod at the end
}

// PredictedSag is what beam theory says a bracket should do. It is never used
// to correct a reading: only a measured Sag is. The clamp and the joints always
// add to it.
type PredictedSag struct {
	Droop    unit.Length // how far the end hangs down, positive
	EndSlope float64     // slope of the bar at its end, positive drooping; tilts a face dial
}

// RollOver returns the predicted reading of a roll-over test, negative.
func (p PredictedSag) RollOver() unit.Length { return -2 * p.Droop }

// StandardGravity is the conventional acceleration of free fall (3rd General
// Conference on Weights and Measures, 1901), in metres per second squared.
const StandardGravity = 9.80665

// PredictSag returns the droop of the bracket as a cantilever under its own
// weight w per length and the load P at its end:
//
//	droop = w L^4/(8 E I) + P L^3/(3 E I)
//	slope = w L^3/(6 E I) + P L^2/(2 E I)
//
// with I = pi (D^4 - d^4)/64 for each bar (elementary beam theory, from memory;
// the tests integrate the bending moment numerically). It fails with
// ErrZeroDiameter, ErrOutOfRange, ErrNegative or ErrNotFinite.
func (b Bracket) PredictSag() (PredictedSag, error) {
	if err := b.check(); err != nil {
		return PredictedSag{}, err
	}
	d, in, l := float64(b.OuterDiameter), float64(b.InnerDiameter), float64(b.Length)
	bars := float64(max(b.Bars, 1))
	inertia := bars * math.Pi * (math.Pow(d, 4) - math.Pow(in, 4)) / 64 // I of all bars
	area := bars * math.Pi * (d*d - in*in) / 4
	ei := float64(b.Material.Modulus) * inertia
	w := area * b.Material.Density * StandardGravity
	p := float64(b.EndMass) * StandardGravity
	out := PredictedSag{
		Droop:    unit.Length(w*math.Pow(l, 4)/(8*ei) + p*math.Pow(l, 3)/(3*ei)),
		EndSlope: w*math.Pow(l, 3)/(6*ei) + p*l*l/(2*ei),
	}
	if !IsFinite(out.Droop) || !IsFinite(out.EndSlope) {
		return PredictedSag{}, &InputError{Field: "bracket", Err: ErrOutOfRange}
	}
	return out, nil
}

func (b Bracket) check() error {
	if err := checkPositive("length", b.Length, ErrOutOfRange); err != nil {
		return err
	}
	if err := checkPositive("outerDiameter", b.OuterDiameter, ErrZeroDiameter); err != nil {
		return err
	}
	if err := checkNotNegative("innerDiameter", b.InnerDiameter); err != nil {
		return err
	}
	if b.InnerDiameter >= b.OuterDiameter {
		return &InputError{Field: "innerDiameter", Got: UnitMillimetre.Format(float64(b.InnerDiameter), 3), Err: ErrOutOfRange}
	}
	if b.Bars < 0 {
		return &InputError{Field: "bars", Got: fmt.Sprint(b.Bars), Err: ErrNegative}
	}
	for _, v := range [...]struct {
		name string
		v    float64
		unit string
	}{{"material.modulus", float64(b.Material.Modulus), "Pa"}, {"material.density", b.Material.Density, "kg/m^3"}} {
		if !IsFinite(v.v) {
			return &InputError{Field: v.name, Got: fmt.Sprint(v.v, " ", v.unit), Err: ErrNotFinite}
		}
		if v.v <= 0 {
			return &InputError{Field: v.name, Got: fmt.Sprint(v.v, " ", v.unit), Err: ErrOutOfRange}
		}
	}
	if !IsFinite(b.EndMass) {
		return &InputError{Field: "endMass", Got: fmt.Sprint(float64(b.EndMass), " kg"), Err: ErrNotFinite}
	}
	if b.EndMass < 0 {
		return &InputError{Field: "endMass", Got: fmt.Sprint(float64(b.EndMass), " kg"), Err: ErrNegative}
	}
	return nil
}

// Bounds of a believable sag test, as shares of the predicted roll-over reading
// (common practice, no source): a test well under beam theory was probably read
// once and not rolled over, or has the wrong unit; one far over it has a loose
// clamp.
const (
	leastSagShare = 0.75
	mostSagShare  = 4
)

// CheckSag holds a measured sag against the prediction and returns a warning
// when the test cannot be believed: no sag at all, a positive sign, or a size
// outside what clamps and joints explain.
func (p PredictedSag) CheckSag(measured Sag) []Warning {
	s, ok := measured.RollOver()
	want := float64(p.RollOver())
	switch {
	case !ok:
		return []Warning{{Code: WarnSagNotMeasured, Severity: Notice, Field: "sag"}}
	case s > 0:
		return []Warning{{Code: WarnSagPositive, Severity: Serious, Field: "sag", Value: float64(s), Limit: want, Unit: UnitMillimetre}}
	case float64(s) < mostSagShare*want || float64(s) > leastSagShare*want:
		return []Warning{{Code: WarnSagSize, Severity: Suspect, Field: "sag", Value: float64(s), Limit: want, Unit: UnitMillimetre}}
	}
	return nil
}
