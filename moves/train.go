package moves

import (
	"collinear.example/align"
	"collinear.example/piping"
	"gonum.org/v1/gonum/unit"
)

// Foot is one foot of a machine: where it stands, and how far it may go.
type Foot struct {
	Name  string
	At    align.Place
	Range FootRange
}

// FootRange is how far a foot may go from where it stands. Each is zero or more;
// nil is no limit, and zero is not at all.
type FootRange struct {
	Down  *unit.Length // shim there is to take out: base-bound beyond it
	Up    *unit.Length // shim that may be added
	Left  *unit.Length // room in the bolt hole toward 9 o'clock: bolt-bound beyond it
	Right *unit.Length // and toward 3 o'clock
}

// Held is the range of a foot that must not move.
func Held() FootRange { return Within(0, 0, 0, 0) }

// Within returns a range with all four limits.
func Within(down, up, left, right unit.Length) FootRange {
	return FootRange{&down, &up, &left, &right}
}

// Shims is the pack under a foot: what there is and what must and may be.
type Shims struct {
	Present unit.Length
	Least   unit.Length // what must stay, zero for down to the base
	Most    unit.Length // what the pack may come to; zero: no limit
}

// Range returns how far the foot may go down and up, with no limit sideways. A
// pack that is already thinner than the least must be raised: Down is zero then,
// and the planner is not told to raise it.
func (s Shims) Range() FootRange {
	down := max(0, s.Present-s.Least)
	r := FootRange{Down: &down}
	if s.Most > 0 {
		up := max(0, s.Most-s.Present)
		r.Up = &up
	}
	return r
}

// Machine is one rigid machine of the train.
type Machine struct {
	Name string
	Feet []Foot // their moves follow from the machine's motion, so that they stay in one plane
	// About is the point about which its motion is described, near its feet. The
	// zero value is a point too.
	About align.Place
	// Free are the ways in which it may move; the zero value is a machine that
	// stays. See TwoPlanes.
	Free piping.Ways
	// Weight is what moving this machine costs against the others; zero is 1.
	Weight float64
	Goals  []piping.NozzleGoal // what its flanges ask; hard ones are kept, the others wished
}

// TwoPlanes returns the ways of a plain job: up and down, sideways, and tilted in
// both planes; no roll, and nothing along the train.
func TwoPlanes() piping.Ways {
	return piping.Ways{ShiftY: true, ShiftZ: true, TurnY: true, TurnZ: true}
}

// ShaftOf is a shaft line of a machine. A gear unit has two.
type ShaftOf struct {
	Machine int         // index in Train.Machines
	Height  unit.Length // of the line, in the frame of the feet
	Lateral unit.Length
}

// OffsetLimit is how far the two shafts of a coupling may stand apart at a
// station, running.
type OffsetLimit struct {
	Station   unit.Length
	Limit     unit.Length // above zero
	Resultant bool        // both planes together; else each plane by itself
	Source    string
}

// SlopeLimit is how far the two shafts of a coupling may be from parallel,
// running.
type SlopeLimit struct {
	Limit     float64 // rise over run, above zero
	Resultant bool
	Source    string
}

// AxialGap is the gap between two shaft ends. It matters where a machine may
// move along the train.
type AxialGap struct {
	Error     unit.Length // gap found less gap wanted, cold
	Tolerance unit.Length // zero or more
}

// Coupling joins the shafts of two machines.
type Coupling struct {
	Name      string
	Near, Far ShaftOf
	Found     align.Axis // far less near as found, standing still
	Offsets   []OffsetLimit
	Slope     *SlopeLimit // nil: not limited
	Gap       *AxialGap   // nil: not looked at
}

// FlexPlanes returns the offset limits at both flex planes that belong to a
// deviation over the distance between them, such as the 0.5 mm/m of API RP 686:
// deviation times separation at either. It is the same limit as that on the
// angles of a spool.
func FlexPlanes(near, far unit.Length, deviation float64, resultant bool, source string) []OffsetLimit {
	l := unit.Length(deviation) * max(far-near, near-far)
	return []OffsetLimit{{near, l, resultant, source}, {far, l, resultant, source}}
}

// State is one way in which the train runs: what the shafts have moved at each
// coupling, far less near, since they were read.
type State struct {
	Name     string
	Relative []align.Axis // in the order of the couplings
	// Widen is how much wider the limits are in this state; zero is 1. A start
	// that is short may be given more.
	Widen float64
}

// Train is the whole job: machines, couplings as found, and the states it runs
// in. Without states it is judged as it stands.
type Train struct {
	Machines  []Machine
	Couplings []Coupling
	States    []State
}

func (m *Machine) weight() float64 {
	if m.Weight == 0 {
		return 1
	}
	return m.Weight
}

func (s *State) widen() float64 {
	if s.Widen == 0 {
		return 1
	}
	return s.Widen
}

// states returns the states, or the one in which nothing has moved.
func (t *Train) states() []State {
	if len(t.States) > 0 {
		return t.States
	}
	return []State{{Name: "as it stands", Relative: make([]align.Axis, len(t.Couplings))}}
}
