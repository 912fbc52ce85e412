package runout

import (
	"math"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Unbalance is a mass times its distance from the axis of turning, in
// kilogram metres. One is a million gram millimetres.
type Unbalance float64

// String returns the unbalance in gram millimetres.
func (u Unbalance) String() string { return align.UnitGramMillimetre.Format(float64(u), 1) }

// EccentricMass is a hub, half coupling or other part that runs off centre.
//
// The part is taken as balanced about its own centre, and that centre as the
// one the dial found: a hub turned all over and then bored eccentric. A rough
// outside, a keyway or a missing half key add unbalance of their own.
type EccentricMass struct {
	Mass         unit.Mass   // of the part; not negative
	Eccentricity unit.Length // distance of its centre from the axis, not the total indicator reading; not negative
}

// Unbalance returns the unbalance
//
//	U = m e
//
// toward the high spot. (ISO 21940-11, definition from memory.) It fails with
// ErrNegative, ErrNotFinite or ErrOutOfRange.
func (m EccentricMass) Unbalance() (Unbalance, error) {
	if err := checkSize("mass", float64(m.Mass), align.UnitKilogram); err != nil {
		return 0, err
	}
	if err := checkSize("eccentricity", float64(m.Eccentricity), align.UnitMillimetre); err != nil {
		return 0, err
	}
	u := Unbalance(float64(m.Mass) * float64(m.Eccentricity))
	if !align.IsFinite(u) {
		return 0, fault("unbalance", "", align.ErrOutOfRange)
	}
	return u, nil
}

// Grade is a balance quality grade of ISO 21940-11: specific unbalance times
// angular speed, in metres a second. Grade G 6.3 is 6.3 millimetres a second.
type Grade float64

// The balance quality grades of ISO 21940-11 (list from memory; check the
// standard for which kind of rotor takes which).
const (
	G0p4  Grade = 0.4e-3
	G1    Grade = 1e-3
	G2p5  Grade = 2.5e-3
	G6p3  Grade = 6.3e-3
	G16   Grade = 16e-3
	G40   Grade = 40e-3
	G100  Grade = 100e-3
	G250  Grade = 250e-3
	G630  Grade = 630e-3
	G1600 Grade = 1600e-3
	G4000 Grade = 4000e-3
)

// String returns the grade in millimetres a second.
func (g Grade) String() string { return align.UnitMillimetrePerSec.Format(float64(g), 2) }

// Limit returns the grade as a limit, to judge what Running.Grade gives.
func (g Grade) Limit() align.Limit {
	u := align.UnitMillimetrePerSec
	// Back in mm/s a grade such as 6.3 must be what is printed: the division
	// may leave a last bit.
	printed := math.Round(u.FromSI(float64(g))*1e9) / 1e9
	return align.Limit{
		Name: "specific unbalance times angular speed", Place: "running speed",
		Value: printed, Unit: u, Source: "ISO 21940-11, balance quality grades", Known: align.FromMemory,
	}
}

// Running is a rotor, or a part of one, at its running speed.
type Running struct {
	Mass  unit.Mass      // of the whole rotor, or of the part to be graded alone; above zero
	Speed unit.Frequency // revolutions a second; above zero
}

// Grade returns the grade at which unbalance u runs:
//
//	G = e w,  e = U/m,  w = 2 pi n
//
// (ISO 21940-11, definition from memory.) A sign of u is left out. It fails with
// ErrNotFinite or ErrOutOfRange, the last also for a mass or speed of zero.
func (r Running) Grade(u Unbalance) (Grade, error) {
	w, err := r.check()
	if err != nil {
		return 0, err
	}
	if !align.IsFinite(u) {
		return 0, fault("unbalance", "", align.ErrNotFinite)
	}
	g := Grade(math.Abs(float64(u)) / float64(r.Mass) * w)
	if !align.IsFinite(g) {
		return 0, fault("grade", "", align.ErrOutOfRange)
	}
	return g, nil
}

// Permissible returns the residual unbalance that grade g permits at this speed
// for the whole rotor, and the same per mass:
//
//	e = G/w,  U = m e
//
// (ISO 21940-11, definition from memory.) It fails as Grade does, and with
// ErrNegative for a grade under zero.
func (r Running) Permissible(g Grade) (residual Unbalance, specific unit.Length, err error) {
	w, err := r.check()
	if err != nil {
		return 0, 0, err
	}
	if err := checkSize("grade", float64(g), align.UnitMillimetrePerSec); err != nil {
		return 0, 0, err
	}
	specific = unit.Length(float64(g) / w)
	residual = Unbalance(float64(r.Mass) * float64(specific))
	if !align.IsFinite(specific) || !align.IsFinite(residual) {
		return 0, 0, fault("grade", g.String(), align.ErrOutOfRange)
	}
	return residual, specific, nil
}

// check returns the angular speed in radians a second.
func (r Running) check() (float64, error) {
	if err := checkAbove("mass", float64(r.Mass), align.UnitKilogram); err != nil {
		return 0, err
	}
	if err := checkAbove("speed", float64(r.Speed), align.UnitRPM); err != nil {
		return 0, err
	}
	w := 2 * math.Pi * float64(r.Speed)
	if !align.IsFinite(w) {
		return 0, fault("speed", "", align.ErrOutOfRange)
	}
	return w, nil
}

// checkSize wants a finite value of zero or more.
func checkSize(field string, v float64, u align.Unit) error {
	if !align.IsFinite(v) {
		return fault(field, u.Format(v, 3), align.ErrNotFinite)
	}
	if v < 0 {
		return fault(field, u.Format(v, 3), align.ErrNegative)
	}
	return nil
}

// checkAbove wants a finite value above zero.
func checkAbove(field string, v float64, u align.Unit) error {
	if err := checkSize(field, v, u); err != nil {
		return err
	}
	if v == 0 {
		return fault(field, u.Format(v, 3), align.ErrOutOfRange)
	}
	return nil
}
