package thermal

import (
	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// AxialPart is a casing or a rotor, as far as it grows along the train.
type AxialPart struct {
	Material Material
	Cold     unit.Temperature // when the gap was measured
	Hot      unit.Temperature // mean over the length that counts, running
}

// strain returns the growth for each metre.
func (p AxialPart) strain() (float64, error) { return p.Material.Strain(p.Cold, p.Hot) }

// AxialMachine is what moves a shaft end along the train. The casing is held to
// the base at one station and grows from there; it takes the thrust bearing
// along, from which the rotor grows. A shaft that floats has no thrust bearing:
// give as Thrust the station where its axial position is held, such as the
// magnetic centre of a motor.
type AxialMachine struct {
	Name   string
	Fixed  unit.Length // station at which the casing is keyed to the base
	Thrust unit.Length // station of the thrust bearing
	End    unit.Length // station of the shaft end or hub face at the coupling
	Casing AxialPart
	Rotor  AxialPart
	Shift  unit.Length // further movement along +x: through the thrust clearance, to magnetic centre
}

// EndMovement returns how far the shaft end moves from cold to running, positive
// along +x:
//
//	movement = casing strain (thrust - fixed) + rotor strain (end - thrust) + shift
//
// (linear expansion from the fixed point; standard result). Stations may stand
// in any order: the signs take care of which way each part grows.
func (m AxialMachine) EndMovement() (unit.Length, error) {
	for _, v := range [...]struct {
		name string
		at   unit.Length
	}{{"fixed", m.Fixed}, {"thrust", m.Thrust}, {"end", m.End}} {
		if err := boundedStation(v.name, v.at); err != nil {
			return 0, err
		}
	}
	if err := bounded("shift", m.Shift, maxOffset); err != nil {
		return 0, err
	}
	casing, err := m.Casing.strain()
	if err != nil {
		return 0, align.In(err, "casing")
	}
	rotor, err := m.Rotor.strain()
	if err != nil {
		return 0, align.In(err, "rotor")
	}
	return unit.Length(casing)*(m.Thrust-m.Fixed) + unit.Length(rotor)*(m.End-m.Thrust) + m.Shift, nil
}

// AxialGap is the distance between two shaft ends, or between two hub faces. It
// closes when both shafts grow toward each other.
type AxialGap struct{ Near, Far AxialMachine }

// Change returns running gap less cold gap: the movement of the far end less
// that of the near one, negative when the gap closes.
func (g AxialGap) Change() (unit.Length, error) {
	n, err := g.Near.EndMovement()
	if err != nil {
		return 0, align.In(err, "near")
	}
	f, err := g.Far.EndMovement()
	if err != nil {
		return 0, align.In(err, "far")
	}
	return f - n, nil
}

// Running returns the gap in running from the one measured cold,
//
//	running = cold + far end movement - near end movement
//
// The result is negative when the ends would meet.
func (g AxialGap) Running(cold unit.Length) (unit.Length, error) {
	return g.shifted("cold", cold, 1)
}

// Cold returns the gap to set cold for the one wanted in running,
//
//	cold = running - (far end movement - near end movement)
func (g AxialGap) Cold(running unit.Length) (unit.Length, error) {
	return g.shifted("running", running, -1)
}

func (g AxialGap) shifted(field string, gap, sign unit.Length) (unit.Length, error) {
	if err := fromZero(field, gap, maxStation); err != nil {
		return 0, err
	}
	change, err := g.Change()
	if err != nil {
		return 0, err
	}
	return gap + sign*change, nil
}
