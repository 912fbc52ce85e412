package main

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"collinear.example/align"
	"collinear.example/drawing"
	"collinear.example/worksheet"
	"gonum.org/v1/gonum/unit"
)

var errNothingToDraw = errors.New("-svg: the drawing needs feet of every machine, flex planes of every coupling, and readings as found")

// sheet is the train to be drawn, from a record and what it was worked out to.
type sheet struct {
	*worksheet.Record
	v *worksheet.Evaluation
}

// draw returns the train as found, as left, and as left and running in the first
// two states.
func draw(r *worksheet.Record, v *worksheet.Evaluation, units string) ([]byte, error) {
	s := sheet{r, v}
	t := drawing.Train{}
	t.Title, _, _ = strings.Cut(r.Title, ":")
	t.Plant, _, _ = strings.Cut(r.Plant, " (")
	if units == string(worksheet.InInches) {
		t.Unit = align.UnitMil
	}
	for i := range r.Train.Couplings {
		c := &r.Train.Couplings[i]
		if len(c.FlexPlanes) != 2 {
			return nil, errNothingToDraw
		}
		t.Couplings = append(t.Couplings, drawing.Coupling{Name: c.Name, NearFlex: s.length(c.FlexPlanes[0]), FarFlex: s.length(c.FlexPlanes[1])})
	}
	for i := range r.Train.Machines {
		m, err := s.machine(i, t.Couplings)
		if err != nil {
			return nil, err
		}
		t.Machines = append(t.Machines, m)
	}
	t.States = s.states()
	if len(t.States) == 0 {
		return nil, errNothingToDraw
	}
	p, err := t.Draw()
	if err != nil {
		return nil, err
	}
	return p.SVG(), nil
}

func (s *sheet) length(v float64) unit.Length { return unit.Length(s.Units.Length.SI(v)) }

// machine is a machine with its feet by rising station; its casing ends halfway to
// the flex planes.
func (s *sheet) machine(i int, couplings []drawing.Coupling) (out drawing.Machine, err error) {
	m := &s.Train.Machines[i]
	out.Name = m.Name
	for _, f := range m.Feet {
		foot := drawing.Foot{Name: f.Name, Station: s.length(f.Station)}
		if f.Lateral != nil {
			foot.Side = drawing.LeftSide
			if *f.Lateral > 0 {
				foot.Side = drawing.RightSide
			}
		}
		foot.Move = s.move(m.Name, f.Name)
		out.Feet = append(out.Feet, foot)
	}
	if len(out.Feet) == 0 {
		return out, errNothingToDraw
	}
	slices.SortStableFunc(out.Feet, func(a, b drawing.Foot) int {
		return cmp.Or(cmp.Compare(a.Station, b.Station), cmp.Compare(b.Side, a.Side))
	})
	first, last := out.Feet[0].Station, out.Feet[len(out.Feet)-1].Station
	over := max((last-first)/10, 50*align.Millimetre)
	out.Start, out.End = first-over, last+over
	if i > 0 {
		out.Start = (first + couplings[i-1].FarFlex) / 2
	}
	if i < len(couplings) {
		out.End = (last + couplings[i].NearFlex) / 2
	}
	return out, nil
}

// move is what was done at a foot in all, nil when nothing was.
func (s *sheet) move(machine, foot string) *align.Move {
	var sum *align.Move
	for _, m := range s.Moves {
		if m.Machine != machine || m.Foot != foot {
			continue
		}
		if sum == nil {
			sum = &align.Move{}
		}
		sum.Vertical += unit.Length(s.Units.Reading.SI(m.Up))
		sum.Horizontal += unit.Length(s.Units.Reading.SI(m.Right))
	}
	return sum
}

// states are as found, as left, and as left when running, as far as every coupling
// has readings of them.
func (s *sheet) states() (out []drawing.State) {
	found, left := s.shafts(worksheet.AsFound, -1), s.shafts(worksheet.AsLeft, -1)
	if found == nil {
		return nil
	}
	out = append(out, drawing.State{Kind: drawing.AsFound, Shafts: found})
	if left == nil {
		return out
	}
	out = append(out, drawing.State{Name: "as left", Kind: drawing.AfterMove, Shafts: left})
	for k := range min(len(s.States), drawnRunning) {
		if running := s.shafts(worksheet.AsLeft, k); running != nil {
			out = append(out, drawing.State{Name: s.States[k].Name, Kind: drawing.Running, Shafts: running})
		}
	}
	return out
}

// drawnRunning is how many running states a sheet holds.
const drawnRunning = 2

// shafts are the centrelines by the last readings of a stage at each coupling, cold
// or in one of the states of running; nil where one is missing.
func (s *sheet) shafts(stage string, state int) []align.Axis {
	var chain []align.Axis
	for c := range s.Train.Couplings {
		set := -1
		for i := range s.Sets {
			if s.Sets[i].Coupling == s.Train.Couplings[c].Name && s.Sets[i].Stage == stage {
				set = i
			}
		}
		if set < 0 {
			return nil
		}
		a, ok := s.axis(c, set, state)
		if !ok {
			return nil
		}
		chain = append(chain, a)
	}
	out := drawing.Chain(chain)
	if stage == worksheet.AsFound {
		return out
	}
	first := s.moved(&s.Train.Machines[0])
	for i := range out {
		out[i] = out[i].Add(first)
	}
	return out
}

// moved is where a machine's shaft went by the moves at its feet: the line through
// those of its first and its last foot.
func (s *sheet) moved(m *worksheet.Machine) align.Axis {
	a, z := m.Feet[0], m.Feet[len(m.Feet)-1]
	from, to := s.move(m.Name, a.Name), s.move(m.Name, z.Name)
	if from == nil || to == nil {
		return align.Axis{}
	}
	axis, err := align.AxisThrough(s.length(a.Station), align.Offset(*from), s.length(z.Station), align.Offset(*to))
	if err != nil { // one station alone shows no line
		return align.Axis{}
	}
	return axis
}

// axis is the far shaft against the near one, from the findings at the flex planes.
func (s *sheet) axis(coupling, set, state int) (align.Axis, bool) {
	id := fmt.Sprintf("sets[%d].offset.", set)
	if state >= 0 {
		id = fmt.Sprintf("states[%d].couplings[%d].sets[%d].", state, coupling, set)
	}
	ok := true
	value := func(at, plane string) unit.Length {
		f, found := s.v.Find(id + at + "." + plane)
		if !found || f.Value == nil {
			ok = false
			return 0
		}
		return unit.Length(*f.Value)
	}
	c := &s.Train.Couplings[coupling]
	at := func(place string) align.Offset {
		return align.Offset{Vertical: value(place, "vertical"), Horizontal: value(place, "horizontal")}
	}
	a, err := align.AxisThrough(s.length(c.FlexPlanes[0]), at("flex-near"), s.length(c.FlexPlanes[1]), at("flex-far"))
	return a, ok && err == nil
}
