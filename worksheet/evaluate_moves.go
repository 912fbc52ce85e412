package worksheet

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"collinear.example/align"
	"collinear.example/moves"
	"collinear.example/thermal"
	"gonum.org/v1/gonum/unit"
)

// usualSigma stands for the uncertainty of an offset where the record gives none:
// a division of a dial (common practice, no source). The scatter of a few readings
// is often much less by luck, and would then accuse a good move.
const usualSigma = 0.01 * align.Millimetre

// movesMade says where the moves were to bring the shafts, and compares that with
// the next set of readings at the same coupling.
func (e *evaluator) movesMade() {
	for k := range e.placed {
		before := &e.placed[k]
		if before.err != nil || e.Sets[k].Stage == HotCheck {
			continue
		}
		next := e.nextSet(k)
		made := e.movesBetween(before.coupling, k, next)
		if len(made) > 0 {
			e.moveMade(before, next, made)
		}
	}
}

// nextSet is the next set at the same coupling standing cold; -1 when there is
// none.
func (e *evaluator) nextSet(k int) int {
	for i := k + 1; i < len(e.Sets); i++ {
		if e.Sets[i].Coupling == e.Sets[k].Coupling && e.Sets[i].Stage != HotCheck {
			return i
		}
	}
	return -1
}

// movesBetween are the moves of the coupling's machines after one set and before
// the next.
func (e *evaluator) movesBetween(c *Coupling, k, next int) (out []int) {
	for i, m := range e.Moves {
		if m.After >= k && (next < 0 || m.After < next) && (m.Machine == c.Near || m.Machine == c.Far) {
			out = append(out, i)
		}
	}
	return out
}

func (e *evaluator) moveMade(before *placed, next int, made []int) {
	c := before.coupling
	id := fmt.Sprintf("moves.sets[%d]", before.set)
	s := source{part: PartMoves, of: "moves made after " + e.setWords(before.set)}.
		by("e(x) after = e(x) before + far move - near move; each machine moves as a rigid body", "thermal.State.Position").
		from(paths("moves", made)...).and(e.wholeSet(before.set)...)
	for _, name := range unique(movedMachines(e.Moves, made)) {
		i, _ := e.machine(name)
		s = s.and(at("train.machines", i) + ".feet")
	}
	var motion [2]align.Axis
	for i, name := range []string{c.Near, c.Far} {
		a, err := e.motionOf(s, id, name, made)
		if err != nil {
			e.failed(s, id, "where the moves were to bring the shafts", err)
			return
		}
		motion[i] = a
	}
	st := thermal.State{Name: "moves", Near: motion[0], Far: motion[1]}
	after, err := st.Position(before.pos.Axis)
	if err != nil {
		e.failed(s, id, "where the moves were to bring the shafts", err)
		return
	}
	places := e.movePlaces(before)
	e.axisAt(s, id+".predicted", c.Far+" against "+c.Near+", as the moves were to leave it", after, places, before)
	if next < 0 {
		e.words(s, id+".next", "the next set of readings", "none: nobody looked what the moves did", weighs(plain))
		return
	}
	e.compare(s, id, before, next, st, places)
}

func movedMachines(moves []MoveMade, made []int) (out []string) {
	for _, i := range made {
		out = append(out, moves[i].Machine)
	}
	return out
}

func paths(list string, of []int) (out []string) {
	for _, i := range of {
		out = append(out, at(list, i))
	}
	return out
}

// motionOf is how a machine's shaft was moved: the best line through the moves of
// its feet. Of feet at one station that were moved the mean counts; where no foot
// of a station is named, nothing was moved there.
func (e *evaluator) motionOf(s source, id, machine string, made []int) (align.Axis, error) {
	i, _ := e.machine(machine)
	m := &e.Train.Machines[i]
	byStation := map[float64][]align.KnownOffset{}
	var order []float64
	moved := false
	for _, f := range m.Feet {
		if !slices.Contains(order, f.Station) {
			order = append(order, f.Station)
		}
		o, ok := e.moveAt(machine, f.Name, made)
		if ok {
			moved = true
			byStation[f.Station] = append(byStation[f.Station], align.KnownOffset{Station: unit.Length(e.Units.length(f.Station)), Offset: o})
		}
	}
	if !moved {
		return align.Axis{}, nil
	}
	line := align.Measurement{}
	for _, x := range order {
		list := byStation[x]
		if len(list) == 0 {
			list = []align.KnownOffset{{Station: unit.Length(e.Units.length(x))}}
		}
		line.Offsets = append(line.Offsets, list...)
	}
	p, err := line.Solve()
	if err != nil {
		return align.Axis{}, align.In(err, at("train.machines", i)+".feet")
	}
	for _, w := range p.Warnings {
		if w.Code == align.WarnResidual {
			e.words(s, id+"."+at("train.machines", i)+".rigid", machine+", moves of its feet", "do not fit one rigid body: a foot may hang or stand alone", warned(id, []align.Warning{w}), weighs(plain))
		}
	}
	return p.Axis, nil
}

// moveAt sums the moves made at one foot.
func (e *evaluator) moveAt(machine, foot string, made []int) (o align.Offset, ok bool) {
	for _, i := range made {
		if m := &e.Moves[i]; m.Machine == machine && m.Foot == foot {
			o, ok = o.Add(align.Offset{Vertical: unit.Length(e.Units.reading(m.Up)), Horizontal: unit.Length(e.Units.reading(m.Right))}), true
		}
	}
	return o, ok
}

// movePlaces are where a move is looked at: the flex planes, or else the dials.
func (e *evaluator) movePlaces(p *placed) []place {
	out := e.flexPlaces(p.coupling)
	if len(out) == 2 {
		return out
	}
	out = nil
	lo, hi := p.span()
	return append(out, place{id: "near", says: "station " + e.Units.Length.Format(float64(lo), 1), x: lo}, place{id: "far", says: "station " + e.Units.Length.Format(float64(hi), 1), x: hi})
}

// compare holds the next set of readings against what the moves were to do.
func (e *evaluator) compare(s source, id string, before *placed, next int, st thermal.State, places []place) {
	after := &e.placed[next]
	s = s.by("ratio = (after - predicted) / (before - predicted): 0 moved as planned, -1 twice as far, 1/2 half as far, 2 the wrong way, 1 not moved", "moves.Response.Compare").
		and(e.wholeSet(next)...)
	if after.err != nil {
		e.failed(s, id+".next", "what the moves did", after.err)
		return
	}
	r := moves.Response{Before: before.pos.Axis, Planned: st.Relative(), After: after.pos.Axis, Sigma: usualSigma}
	if sigma := knownSigma(before, after, places); sigma > 0 {
		r.Sigma = sigma
	}
	for _, x := range places {
		r.Stations = append(r.Stations, x.x)
	}
	res, err := r.Compare()
	if err != nil {
		e.failed(s, id+".next", "what the moves did", align.In(err, at("sets", next)))
		return
	}
	for i, pr := range []moves.PlaneResponse{res.Vertical, res.Horizontal} {
		pl := bothOfThem[i]
		if !before.known(pl) || !after.known(pl) {
			continue
		}
		for k, one := range pr.Stations {
			e.length(s, id+".off-plan."+places[k].id+"."+pl.name, "as measured after less as predicted, at "+places[k].says+", "+pl.name, one.Difference, upRight(pl.vertical, "far shaft came out further"))
			if one.Usable {
				e.number(s, id+".ratio."+places[k].id+"."+pl.name, "ratio of new to old error, at "+places[k].says+", "+pl.name, one.Ratio, align.UnitOne,
					uncertain(one.Uncertainty), signed("same side as before", "other side"))
			}
		}
		e.words(s, id+".finding."+pl.name, "what the moves did, "+pl.name, findingWords(pr), warned(id, warningsFor(res.Warnings, pl.name)), weighs(plain))
	}
}

// knownSigma is the largest uncertainty of an offset at the places: as given, or by
// the scatter of the readings but then no less than usualSigma; zero where none is
// known.
func knownSigma(before, after *placed, places []place) (most unit.Length) {
	for _, p := range []*placed{before, after} {
		if p.pos.SigmaFrom == align.SigmaResiduals {
			most = max(most, usualSigma)
		}
		for _, x := range places {
			o := p.pos.OffsetSigma(x.x)
			most = max(most, o.Vertical, o.Horizontal)
		}
	}
	return most
}

func warningsFor(ws []align.Warning, plane string) (out []align.Warning) {
	for _, w := range ws {
		if strings.HasPrefix(w.Field, plane) {
			out = append(out, w)
		}
	}
	return out
}

func findingWords(p moves.PlaneResponse) string {
	var fits []string
	for _, m := range p.Fits {
		fits = append(fits, m.Meaning())
	}
	out := ""
	switch p.Finding {
	case moves.Named:
		out = fits[0]
	case moves.Ambiguous:
		out = "one of " + strconv.Itoa(len(fits)) + ": " + strings.Join(fits, "; or ")
	case moves.NoneFits:
		out = "no one mistake explains it: pivot, soft foot, pipe, or two mistakes"
	default:
		out = "too little was moved to tell"
	}
	if p.Reached {
		out += "; the shafts came to where they were to come"
	}
	return out
}
