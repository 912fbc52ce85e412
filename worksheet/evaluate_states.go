package worksheet

import (
	"fmt"
	"math"

	"collinear.example/align"
	"collinear.example/thermal"
	"gonum.org/v1/gonum/unit"
)

const topicStates topic = "movement from standing cold to running"

// runningState is one state with how each machine's shaft moves into it.
type runningState struct {
	name     string
	path     string
	machines []machineMovement // in the order of the record
}

// machineMovement is how one machine's shaft moves, cold to running.
type machineMovement struct {
	machine  string
	axis     align.Axis
	supports []unit.Length // growth of each, none where the movement was measured
	warnings []align.Warning
	err      error
}

// solveStates finds how the machines move into every state.
func (e *evaluator) solveStates() {
	for i := range e.States {
		st := &e.States[i]
		out := runningState{name: st.Name, path: at("states", i)}
		for k := range st.Machines {
			out.machines = append(out.machines, e.movement(fmt.Sprintf("states[%d].machines[%d]", i, k), &st.Machines[k]))
		}
		e.running = append(e.running, out)
	}
}

func (e *evaluator) movement(path string, m *Movement) machineMovement {
	out := machineMovement{machine: m.Machine}
	if len(m.Measured) == 2 {
		p := func(v Moved) thermal.MovedPoint {
			return thermal.MovedPoint{Station: unit.Length(e.Units.length(v.Station)),
				Offset: align.Offset{Vertical: unit.Length(e.Units.reading(v.Up)), Horizontal: unit.Length(e.Units.reading(v.Right))}}
		}
		out.axis, out.err = thermal.MeasuredMovement{First: p(m.Measured[0]), Second: p(m.Measured[1])}.Axis()
		out.err = align.In(out.err, path+".measured")
		return out
	}
	hot := thermal.Machine{Name: m.Machine}
	for i := range m.Supports {
		s, err := e.supportOf(&m.Supports[i], at(path+".supports", i))
		if err != nil {
			out.err = err
			return out
		}
		growth, err := s.Support.Growth()
		if err != nil {
			out.err = align.In(err, at(path+".supports", i))
			return out
		}
		hot.Supports, out.supports = append(hot.Supports, s), append(out.supports, growth)
	}
	g, err := hot.Growth()
	out.axis, out.warnings, out.err = g.Axis, g.Warnings, align.In(err, path)
	return out
}

// supportOf is a support as package thermal has it.
func (e *evaluator) supportOf(s *Support, path string) (thermal.SupportAt, error) {
	m := thermal.Material{Kind: thermal.Constant, Coefficient: align.UnitPerKelvin.SI(s.Coefficient)}
	if e.Units.Temperature == align.UnitFahrenheit {
		m.Coefficient = align.UnitPerFahrenheit.SI(s.Coefficient)
	}
	if s.Material != "" {
		var err error
		if m, err = materialOf(s, path); err != nil {
			return thermal.SupportAt{}, err
		}
	}
	t := func(v float64) unit.Temperature { return unit.Temperature(e.Units.Temperature.SI(v)) }
	return thermal.SupportAt{Station: unit.Length(e.Units.length(s.Station)), Support: thermal.FootMounted(thermal.Height{
		Length: unit.Length(e.Units.length(s.Height)), Material: m, Cold: t(s.Cold), Hot: t(s.Hot),
	})}, nil
}

// of returns how a machine moves into the state.
func (s *runningState) of(machine string) (align.Axis, error) {
	for i := range s.machines {
		if m := &s.machines[i]; m.machine == machine {
			return m.axis, m.err
		}
	}
	return align.Axis{}, fault(s.path+".machines", machine, align.ErrMissing)
}

// at returns the state at a coupling.
func (s *runningState) at(c *Coupling) (thermal.State, error) {
	near, err := s.of(c.Near)
	if err != nil {
		return thermal.State{}, err
	}
	far, err := s.of(c.Far)
	return thermal.State{Name: s.name, Near: near, Far: far}, err
}

// states adds how every machine moves, where each set of readings would run, and
// the cold targets.
func (e *evaluator) states() {
	for i := range e.running {
		e.stateMovements(i)
		for k := range e.Train.Couplings {
			e.stateAt(i, &e.Train.Couplings[k])
		}
	}
	e.coldTargets()
}

func (e *evaluator) stateMovements(i int) {
	st := &e.running[i]
	for k := range st.machines {
		m, path := &st.machines[k], fmt.Sprintf("states[%d].machines[%d]", i, k)
		s := source{part: PartStates, of: st.name + ": " + m.machine, topic: topicStates, about: m.machine}.
			by("measured at two stations, read directly", "thermal.MeasuredMovement").from(path)
		if m.err != nil {
			e.failed(s, path, "movement from cold to running", m.err)
			continue
		}
		for j, g := range m.supports {
			e.length(s.by("height times the strain of its material from cold to hot", "thermal.Support.Growth").from(at(path+".supports", j)),
				at(path+".supports", j)+".growth", "growth of the support at station "+e.station(e.States[i].Machines[k].Supports[j].Station), g, upRight(true, "shaft goes"))
		}
		if len(m.warnings) > 0 {
			e.words(s, path+".warnings", "what growth rests on", lookAgain, warned(path, m.warnings))
		}
		if len(m.supports) > 0 {
			s = s.by("line through the growth of the supports", "thermal.Machine.Growth")
		}
		for _, x := range e.placesOf(i, k) {
			o := m.axis.At(x.x)
			for _, pl := range bothOfThem {
				if len(m.supports) > 0 && !pl.vertical {
					continue // growth is upright
				}
				e.length(s, path+"."+x.id+"."+pl.name, "movement of the shaft at "+x.says+", "+pl.name, pl.of(o), upRight(pl.vertical, "shaft goes"), weighs(sound))
			}
		}
	}
}

// station prints a station of the record.
func (e *evaluator) station(x float64) string { return trimmed(x) + " " + string(e.Units.Length) }

// placesOf are the flex planes of the couplings of a machine in a state; where they
// are not known, the two ends of what its movement was told from.
func (e *evaluator) placesOf(state, entry int) (out []place) {
	m := &e.States[state].Machines[entry]
	machine := m.Machine
	for i := range e.Train.Couplings {
		c := &e.Train.Couplings[i]
		if c.Near != machine && c.Far != machine {
			continue
		}
		for _, x := range e.flexPlaces(c) {
			out = append(out, place{id: at("couplings", i) + "." + x.id, says: x.says + " of coupling " + c.Name, x: x.x})
		}
	}
	if len(out) > 0 {
		return out
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, s := range m.Supports {
		lo, hi = min(lo, s.Station), max(hi, s.Station)
	}
	for _, s := range m.Measured {
		lo, hi = min(lo, s.Station), max(hi, s.Station)
	}
	return []place{{id: "first", says: "station " + e.station(lo), x: unit.Length(e.Units.length(lo))},
		{id: "last", says: "station " + e.station(hi), x: unit.Length(e.Units.length(hi))}}
}

// stateAt adds where the shafts run in one state by every set at a coupling.
func (e *evaluator) stateAt(i int, c *Coupling) {
	ci := e.couplingPath(c)
	id := at("states", i) + "." + ci[len("train."):]
	s := source{part: PartStates, of: e.running[i].name + ": coupling " + c.Name, topic: topicStates, about: c.Name}.
		by("e(x) = cold(x) + far movement(x) - near movement(x)", "thermal.State.Position").from(at("states", i), ci)
	st, err := e.running[i].at(c)
	if err != nil {
		e.failed(s, id, "movement of the coupling into the state", err)
		return
	}
	places := e.flexPlaces(c)
	if len(places) == 0 {
		e.failed(s, id, "movement of the coupling into the state", fault(ci+".flexPlanes", "", align.ErrMissing), weighs(plain))
	}
	e.axisAt(s.by("far movement less near movement", "thermal.State.Relative"), id+".relative", c.Far+" against "+c.Near+", change from cold", st.Relative(), places, nil)
	for k := range e.placed {
		p := &e.placed[k]
		if p.coupling != c || p.err != nil || e.Sets[k].Stage == HotCheck {
			continue
		}
		run, err := st.Position(p.pos.Axis)
		here := s.from(at("sets", k), at("states", i))
		here.of = e.running[i].name + ": " + e.setWords(k)
		if err != nil {
			e.failed(here, at(id+".sets", k), "running position", err)
			continue
		}
		e.axisAt(here, at(id+".sets", k), c.Far+" against "+c.Near+", running", run, places, p)
	}
}

// axisAt adds an axis at places. A plane that the set does not show is left out.
func (e *evaluator) axisAt(s source, id, says string, a align.Axis, places []place, p *placed) {
	for _, x := range places {
		for _, pl := range bothOfThem {
			if p != nil && !p.known(pl) {
				continue
			}
			more := []option{upRight(pl.vertical, "far shaft stands"), weighs(plain)}
			if p != nil {
				more = append(more, uncertain(pl.sigmaOf(p.pos.OffsetSigma(x.x))))
			}
			e.length(s, id+"."+x.id+"."+pl.name, says+" at "+x.says+", "+pl.name, pl.of(a.At(x.x)), more...)
		}
	}
}
