package moves

import (
	"math"

	"collinear.example/align"
	"collinear.example/piping"
	"gonum.org/v1/gonum/unit"
)

// FootMove is what a motion does at one foot.
type FootMove struct {
	Foot  string
	Move  align.Move  // up, and toward 3 o'clock
	Along unit.Length // toward the last machine
	// Share is the largest share of a limit of the foot that is used; 0 where
	// nothing limits it.
	Share float64
}

// Part is one limit at a coupling in one state.
type Part struct {
	Station unit.Length // of an offset limit; 0 for a slope
	Slope   bool
	Plane   Plane
	Found   float64 // metres, or rise over run
	Limit   float64
	Share   float64
}

// Plane says in which plane a limit is used most.
type Plane uint8

// The planes.
const (
	Vertical Plane = iota
	Horizontal
	Both // the resultant
)

// String returns the plane in lower case.
func (p Plane) String() string {
	switch p {
	case Horizontal:
		return "horizontal"
	case Both:
		return "resultant"
	}
	return "vertical"
}

// StateResult is where a coupling runs in one state.
type StateResult struct {
	State string
	Axis  align.Axis // far less near, running
	Worst Part       // the limit used most
}

// CouplingResult is where a coupling stands after the moves.
type CouplingResult struct {
	Name   string
	Cold   align.Axis // far less near, standing still: what the dials are to show
	States []StateResult
	Worst  float64     // largest share over all states, the gap included
	Gap    unit.Length // error of the gap after the moves; 0 where it is not looked at
}

// FlangeResult is how one flange stands after the moves.
type FlangeResult struct {
	Machine int
	Name    string
	Misfit  piping.Misfit
	Left    [piping.GoalParts]float64 // what is asked less what is done, metres or radians
	Share   [piping.GoalParts]float64 // of the tolerance
	Worst   float64
}

// Evaluation is where everything stands after given motions.
type Evaluation struct {
	Feet      [][]FootMove // by machine
	Couplings []CouplingResult
	Flanges   []FlangeResult
	// WorstCoupling, WorstFoot and WorstFlange are the largest shares; of the
	// flanges, wishes are counted as well.
	WorstCoupling float64
	WorstFoot     float64
	WorstFlange   float64
	WorstHard     float64     // of the flanges that must be kept
	Largest       unit.Length // largest move of a foot up, down or sideways
	Total         unit.Length // of all of them, both directions
	Shims         unit.Length // of the moves up and down
	Touched       int         // feet that move by more than a micrometre
}

// Within reports whether every limit is kept, to one part in 10^9.
func (e *Evaluation) Within() bool {
	return max(e.WorstCoupling, e.WorstFoot, e.WorstHard) <= 1+1e-9
}

// touchedFrom is how far a foot moves before it counts as moved.
const touchedFrom = align.Micrometre * (1 + 1e-6)

// Evaluate returns where everything stands when each machine has made its motion.
//
//	misalignment = found + movement of the state + far motion - near motion
//
// (rigid bodies, small motions; align.Motion). It knows nothing of which ways are
// free: what is asked of it is worked out.
//
// Errors: those of Check; mismatch when there is not one motion for each machine;
// not-finite; out-of-range for motions too large to be small.
func (t *Train) Evaluate(motions []align.Motion) (Evaluation, error) {
	if err := t.Check(); err != nil {
		return Evaluation{}, err
	}
	if len(motions) != len(t.Machines) {
		return Evaluation{}, fault("motions", "", align.ErrMismatch)
	}
	return t.evaluate(motions)
}

func (t *Train) evaluate(motions []align.Motion) (e Evaluation, err error) {
	for i := range motions {
		if err := checkMotion(&motions[i]); err != nil {
			return Evaluation{}, align.In(err, index("motions", i))
		}
	}
	for i := range t.Machines {
		m := &t.Machines[i]
		e.Feet = append(e.Feet, m.feet(motions[i], &e))
		for k := range m.Goals {
			f, err := flangeOf(&m.Goals[k], motions[i])
			if err != nil {
				return e, align.In(align.In(err, index("goals", k)), index("machines", i))
			}
			f.Machine = i
			e.WorstFlange = max(e.WorstFlange, f.Worst)
			e.WorstHard = max(e.WorstHard, hardest(&m.Goals[k], &f))
			e.Flanges = append(e.Flanges, f)
		}
	}
	states := t.states()
	for i := range t.Couplings {
		c := t.Couplings[i].result(i, motions, states)
		e.WorstCoupling = max(e.WorstCoupling, c.Worst)
		e.Couplings = append(e.Couplings, c)
	}
	return e, nil
}

// feet works out the moves of the feet and adds them to the sums of e.
func (m *Machine) feet(motion align.Motion, e *Evaluation) []FootMove {
	out := make([]FootMove, len(m.Feet))
	for i := range m.Feet {
		f := &m.Feet[i]
		d := motion.At(f.At)
		out[i] = FootMove{Foot: f.Name, Move: align.Move{Vertical: d.Y, Horizontal: d.Z}, Along: d.X, Share: f.Range.share(d)}
		up, side := max(d.Y, -d.Y), max(d.Z, -d.Z)
		e.WorstFoot = max(e.WorstFoot, out[i].Share)
		e.Largest = max(e.Largest, up, side)
		e.Total += up + side
		e.Shims += up
		if max(up, side) > touchedFrom {
			e.Touched++
		}
	}
	return out
}

// share returns the largest share of a limit that a move uses. A foot that must
// not move has all of its limit used by a move of a picometre.
func (r *FootRange) share(d align.Displacement) (s float64) {
	const least = 1e-12
	of := func(v unit.Length, limit *unit.Length) {
		if limit != nil && v > 0 {
			s = max(s, float64(v)/max(float64(*limit), least))
		}
	}
	of(d.Y, r.Up)
	of(-d.Y, r.Down)
	of(d.Z, r.Right)
	of(-d.Z, r.Left)
	if s > 1 && s < 1+1e-9 {
		return 1 // on the limit, but for rounding
	}
	return s
}

// onShaft returns a point of a shaft line.
func (s *ShaftOf) onShaft(x unit.Length) align.Place {
	return align.Place{X: x, Y: s.Height, Z: s.Lateral}
}

func (c *Coupling) result(i int, motions []align.Motion, states []State) CouplingResult {
	near, far := motions[c.Near.Machine], motions[c.Far.Machine]
	moved := far.Axis(c.Far.onShaft(0)).Sub(near.Axis(c.Near.onShaft(0)))
	out := CouplingResult{Name: c.Name, Cold: c.Found.Add(moved)}
	for k := range states {
		r := StateResult{State: states[k].Name, Axis: out.Cold.Add(states[k].Relative[i])}
		r.Worst = c.worst(r.Axis, states[k].widen())
		out.Worst = max(out.Worst, r.Worst.Share)
		out.States = append(out.States, r)
	}
	if c.Gap != nil {
		at := c.middle()
		out.Gap = c.Gap.Error + far.At(c.Far.onShaft(at)).X - near.At(c.Near.onShaft(at)).X
		out.Worst = max(out.Worst, shareOf(math.Abs(float64(out.Gap)), float64(c.Gap.Tolerance)))
	}
	return out
}

// middle returns a station of the coupling.
func (c *Coupling) middle() unit.Length {
	if len(c.Offsets) == 0 {
		return 0
	}
	var sum unit.Length
	for i := range c.Offsets {
		sum += c.Offsets[i].Station
	}
	return sum / unit.Length(len(c.Offsets))
}

// shareOf is size over limit, without dividing by zero.
func shareOf(size, limit float64) float64 {
	const least = 1e-12
	return size / max(limit, least)
}

// worst returns the limit that a misalignment uses most.
func (c *Coupling) worst(e align.Axis, widen float64) (w Part) {
	see := func(p Part, v, h float64, resultant bool) {
		p.Found, p.Plane = math.Abs(v), Vertical
		switch {
		case resultant:
			p.Found, p.Plane = math.Hypot(v, h), Both
		case math.Abs(h) > p.Found:
			p.Found, p.Plane = math.Abs(h), Horizontal
		}
		p.Limit *= widen
		p.Share = p.Found / p.Limit
		if w.Limit == 0 || p.Share > w.Share {
			w = p
		}
	}
	for i := range c.Offsets {
		o := e.At(c.Offsets[i].Station)
		see(Part{Station: c.Offsets[i].Station, Limit: float64(c.Offsets[i].Limit)}, float64(o.Vertical), float64(o.Horizontal), c.Offsets[i].Resultant)
	}
	if c.Slope != nil {
		s := e.Slope()
		see(Part{Slope: true, Limit: c.Slope.Limit}, s.Vertical, s.Horizontal, c.Slope.Resultant)
	}
	return w
}

// flangeOf returns how a nozzle stands after a motion.
func flangeOf(g *piping.NozzleGoal, motion align.Motion) (f FlangeResult, err error) {
	f.Name = g.Misfit.Pair.Name
	for i, p := range g.Parts {
		if !p.Asked {
			continue
		}
		f.Left[i] = p.Off(motion, g.At)
		f.Share[i] = math.Abs(f.Left[i]) / p.Tolerance
		f.Worst = max(f.Worst, f.Share[i])
	}
	f.Misfit, err = g.Misfit.After(motion)
	return f, err
}

func hardest(g *piping.NozzleGoal, f *FlangeResult) (s float64) {
	for i, p := range g.Parts {
		if p.Asked && p.Hard {
			s = max(s, f.Share[i])
		}
	}
	return s
}
