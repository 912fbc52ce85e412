package moves

import (
	"math"

	"collinear.example/align"
	"collinear.example/internal/lp"
	"collinear.example/internal/rigid"
	"collinear.example/piping"
	"gonum.org/v1/gonum/unit"
)

// Kind is what a limit limits.
type Kind uint8

// The kinds of limits.
const (
	FootVertical  Kind = iota // shims: base-bound, or more than may be added
	FootLateral               // bolt holes: bolt-bound
	CouplingLimit             // offset or slope at a coupling in a state
	GapLimit                  // axial gap at a coupling
	FlangeGoal                // part of a flange goal that must be kept
)

// String returns the kind in words.
func (k Kind) String() string {
	switch k {
	case FootVertical:
		return "shims"
	case FootLateral:
		return "bolt holes"
	case CouplingLimit:
		return "coupling"
	case GapLimit:
		return "axial gap"
	case FlangeGoal:
		return "flange"
	}
	return "unknown kind"
}

// Ref names a limit of the train.
type Ref struct {
	Kind     Kind
	Machine  int // of a foot or a flange
	Foot     int
	Coupling int
	State    int
	Goal     int
	Part     int         // of the goal; see piping.PartName
	Station  unit.Length // of an offset limit
	Slope    bool
	// Toward is the direction in which the limit holds: the clock position for a
	// coupling or a foot. Of a range the two ends are opposite.
	Toward align.Clock
}

// ways returns the ways in which a machine may move, by their place in a
// rigid.Vector.
func (m *Machine) ways() (out []int) {
	for j, is := range waysOf(m.Free) {
		if is {
			out = append(out, j)
		}
	}
	return out
}

func waysOf(w piping.Ways) [rigid.Unknowns]bool {
	return [rigid.Unknowns]bool{w.ShiftX, w.ShiftY, w.ShiftZ, w.TurnX, w.TurnY, w.TurnZ}
}

// step is the unit of the shifts in the program: a tenth of a millimetre, so that
// its numbers are about one. Turns are in steps over the lever.
const step = 1e-4

// model is the train as a linear program.
type model struct {
	t      *Train
	sides  int
	first  []int // first column of each machine, -1 when it stays
	ways   [][]int
	levers []float64
	n      int // columns of motions
	p      *lp.Problem
	row    []float64
}

// newModel numbers the columns.
func newModel(t *Train, sides int) *model {
	m := &model{t: t, sides: sides}
	for i := range t.Machines {
		machine := &t.Machines[i]
		w := machine.ways()
		m.first = append(m.first, m.n)
		m.ways = append(m.ways, w)
		m.levers = append(m.levers, machine.lever())
		m.n += len(w)
	}
	return m
}

// lever is the largest distance of a foot or a nozzle from the point about which
// the machine turns, and no less than a decimetre.
func (m *Machine) lever() float64 {
	most := 0.1
	for i := range m.Feet {
		most = max(most, float64(m.Feet[i].At.From(m.About).Size()))
	}
	for i := range m.Goals {
		most = max(most, float64(m.Goals[i].At.From(m.About).Size()))
	}
	return most
}

// add adds k times what vector v gives of the motion of a machine to the row, in
// steps.
func (m *model) add(machine int, v rigid.Vector, k float64) {
	for c, j := range m.ways[machine] {
		a := k * v[j]
		if j >= 3 {
			a /= m.levers[machine]
		}
		m.row[m.first[machine]+c] += a
	}
}

func (m *model) clear() { clear(m.row) }

// motions reads the motions from the columns.
func (m *model) motions(x []float64) []align.Motion {
	out := make([]align.Motion, len(m.t.Machines))
	for i := range out {
		var v rigid.Vector
		for c, j := range m.ways[i] {
			v[j] = step * x[m.first[i]+c]
			if j >= 3 {
				v[j] /= m.levers[i]
			}
		}
		out[i] = v.Motion(m.t.Machines[i].About)
	}
	return out
}

// term is something linear in the motions with its limits: lo <= row.x <= hi,
// all in steps.
type term struct {
	ref Ref
	at  float64 // value with no motion
	// limit is the most it may be either way: |at + row.x| <= limit.
	limit float64
}

// feet calls f for the ranges of the feet.
func (m *model) feet(f func(ref Ref, lo, hi float64)) {
	bound := func(v *unit.Length, sign float64) float64 {
		if v == nil {
			return sign * math.Inf(1)
		}
		return sign * float64(*v) / step
	}
	for i := range m.t.Machines {
		if len(m.ways[i]) == 0 {
			continue
		}
		machine := &m.t.Machines[i]
		for k := range machine.Feet {
			r := &machine.Feet[k].Range
			if r.Down != nil || r.Up != nil {
				m.clear()
				m.add(i, upAt(machine, k), 1)
				f(Ref{Kind: FootVertical, Machine: i, Foot: k, Toward: align.Twelve}, bound(r.Down, -1), bound(r.Up, 1))
			}
			if r.Left != nil || r.Right != nil {
				m.clear()
				m.add(i, rightAt(machine, k), 1)
				f(Ref{Kind: FootLateral, Machine: i, Foot: k, Toward: align.Three}, bound(r.Left, -1), bound(r.Right, 1))
			}
		}
	}
}

// directions returns the clock positions in which a limit is written: both
// planes, or the normals of the polygon inscribed in the circle of a resultant,
// with the apothem over the radius.
func (m *model) directions(resultant bool) (at []align.Clock, share float64) {
	if !resultant {
		return []align.Clock{align.Twelve, align.Three}, 1
	}
	half := m.sides / 2
	for i := range half {
		at = append(at, align.Clock(float64(i)*180/float64(half)))
	}
	return at, math.Cos(math.Pi / float64(m.sides))
}

// couplings calls f for every limit at a coupling, state by state.
func (m *model) couplings(f func(t term)) {
	states := m.t.states()
	for i := range m.t.Couplings {
		c := &m.t.Couplings[i]
		for k := range c.Offsets {
			o := &c.Offsets[k]
			at, share := m.directions(o.Resultant)
			for _, toward := range at {
				n := align.ClockDirection(toward)
				m.clear()
				m.add(c.Far.Machine, rigid.Reading(c.Far.onShaft(o.Station), m.t.Machines[c.Far.Machine].About, n), 1)
				m.add(c.Near.Machine, rigid.Reading(c.Near.onShaft(o.Station), m.t.Machines[c.Near.Machine].About, n), -1)
				for s := range states {
					e := c.Found.Add(states[s].Relative[i]).At(o.Station)
					f(term{
						ref:   Ref{Kind: CouplingLimit, Coupling: i, State: s, Station: o.Station, Toward: toward},
						at:    (float64(e.Vertical)*n.Y + float64(e.Horizontal)*n.Z) / step,
						limit: share * float64(o.Limit) * states[s].widen() / step,
					})
				}
			}
		}
		if c.Slope != nil {
			m.slopes(i, states, f)
		}
	}
}

// slopeUnit is the length over which a slope is counted in steps.
const slopeUnit = 0.1

func (m *model) slopes(i int, states []State, f func(t term)) {
	c := &m.t.Couplings[i]
	at, share := m.directions(c.Slope.Resultant)
	for _, toward := range at {
		n := align.ClockDirection(toward)
		m.clear()
		// The slope is the turn about z up, and minus the turn about y to the right.
		v := rigid.Vector{4: -n.Z, 5: n.Y}
		m.add(c.Far.Machine, v, slopeUnit)
		m.add(c.Near.Machine, v, -slopeUnit)
		for s := range states {
			e := c.Found.Add(states[s].Relative[i]).Slope()
			f(term{
				ref:   Ref{Kind: CouplingLimit, Coupling: i, State: s, Slope: true, Toward: toward},
				at:    slopeUnit * (e.Vertical*n.Y + e.Horizontal*n.Z) / step,
				limit: share * slopeUnit * c.Slope.Limit * states[s].widen() / step,
			})
		}
	}
}

func (m *model) gaps(f func(ref Ref, lo, hi float64)) {
	for i := range m.t.Couplings {
		c := &m.t.Couplings[i]
		if c.Gap == nil {
			continue
		}
		at := c.middle()
		m.clear()
		m.add(c.Far.Machine, rigid.Reading(c.Far.onShaft(at), m.t.Machines[c.Far.Machine].About, align.AlongTrain()), 1)
		m.add(c.Near.Machine, rigid.Reading(c.Near.onShaft(at), m.t.Machines[c.Near.Machine].About, align.AlongTrain()), -1)
		e, tolerance := float64(c.Gap.Error)/step, float64(c.Gap.Tolerance)/step
		f(Ref{Kind: GapLimit, Coupling: i}, -tolerance-e, tolerance-e)
	}
}

// goalUnit is the size of a goal's part in the program: a step, for a turn over
// the lever.
func (m *model) goalUnit(machine int, p piping.GoalPart) float64 {
	if p.Turn {
		return step / m.levers[machine]
	}
	return step
}

// goals calls f for every asked part of every flange, with its row.
func (m *model) goals(f func(ref Ref, p piping.GoalPart)) {
	for i := range m.t.Machines {
		machine := &m.t.Machines[i]
		for k := range machine.Goals {
			g := &machine.Goals[k]
			for j, p := range g.Parts {
				if !p.Asked {
					continue
				}
				m.clear()
				if p.Turn {
					m.add(i, rigid.Vector{3: p.Direction.X, 4: p.Direction.Y, 5: p.Direction.Z}, m.levers[i])
				} else {
					m.add(i, rigid.Reading(g.At, machine.About, p.Direction), 1)
				}
				f(Ref{Kind: FlangeGoal, Machine: i, Goal: k, Part: j}, p)
			}
		}
	}
}

func upAt(m *Machine, foot int) rigid.Vector {
	return rigid.Reading(m.Feet[foot].At, m.About, align.Upward())
}

func rightAt(m *Machine, foot int) rigid.Vector {
	return rigid.Reading(m.Feet[foot].At, m.About, align.Rightward())
}
