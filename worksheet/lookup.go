package worksheet

import (
	"fmt"

	"collinear.example/align"
)

// reverseDials returns the dials of a set taken with two rim dials.
func (r *Record) reverseDials(set int) (far, near *Dial, err error) {
	if set >= len(r.Sets) {
		return nil, nil, fault("sets", "", align.ErrMissing)
	}
	for i := range r.Sets[set].Dials {
		switch d := &r.Sets[set].Dials[i]; {
		case d.Touches != "rim":
			return nil, nil, fault(fmt.Sprintf("sets[%d].dials[%d].touches", set, i), d.Touches, align.ErrUnknownKind)
		case d.On == "far":
			far = d
		case d.On == "near":
			near = d
		}
	}
	if far == nil || near == nil {
		return nil, nil, fault(fmt.Sprintf("sets[%d].dials", set), "", align.ErrMissing)
	}
	return far, near, nil
}

// feetOf returns the feet of a machine by its place in the train.
func (r *Record) feetOf(machine int) ([]Foot, error) {
	if machine >= len(r.Train.Machines) || len(r.Train.Machines[machine].Feet) == 0 {
		return nil, fault(fmt.Sprintf("train.machines[%d].feet", machine), "", align.ErrMissing)
	}
	return r.Train.Machines[machine].Feet, nil
}

// sagOf returns the roll-over sag of a bracket in SI units.
func (r *Record) sagOf(bracket string) (float64, bool) {
	for _, s := range r.Sag {
		if s.Bracket != bracket {
			continue
		}
		v := r.Units.reading(s.Reading)
		if s.Kind == "single-deflection" {
			v *= 2
		}
		return v, true
	}
	return 0, false
}
