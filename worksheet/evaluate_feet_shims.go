package worksheet

import (
	"slices"
	"strconv"
	"strings"

	"collinear.example/align"
	"collinear.example/moves"
	"collinear.example/softfoot"
	"gonum.org/v1/gonum/unit"
)

// shimFor says what fills a gap, from the shelf where there is one.
func (e *evaluator) shimFor(s source, path string, w softfoot.Wedge, kinds []softfoot.SoftKind) {
	gap := slices.Contains(kinds, softfoot.Parallel) || slices.Contains(kinds, softfoot.Angular)
	stock := e.shelf()
	switch {
	case !gap || stock == nil:
	case slices.Contains(kinds, softfoot.Angular):
		s = s.by("the stepped shim of the fewest leaves that leaves no more than the stock calls near enough", "softfoot.ShimStock.SteppedShim").from(path, "stock")
		st, ws, err := stock.SteppedShim(w)
		if err != nil {
			e.failed(s, path+".stepped", "stepped shim", align.In(err, "stock"), weighs(plain))
			return
		}
		e.length(s, path+".stepped", "thickness of the stepped shim at the open corner", st.Total, advice(e.steps(st)), warned(path, ws))
		e.length(s, path+".stepped.residual", "largest gap that the stepped shim leaves", st.Residual)
	default:
		s = s.by("the stack of the fewest leaves that comes as near as the stock calls near enough", "softfoot.ShimStock.Stack").from(path, "stock")
		st, ws, err := stock.Stack(w.Mean)
		if err != nil {
			e.failed(s, path+".shim", "flat shim", align.In(err, "stock"), weighs(plain))
			return
		}
		e.length(s, path+".shim", "thickness of the flat shim from stock", st.Total, advice("leaves from the bottom: "+e.leaves(st.Pack())), warned(path, ws))
	}
}

// thickness prints a leaf in the unit of readings.
func (e *evaluator) thickness(t unit.Length) string {
	return cut(strconv.FormatFloat(e.Units.Reading.FromSI(float64(t)), 'f', e.Units.wordDecimals()+1, 64)) + " " + string(e.Units.Reading)
}

func (e *evaluator) leaves(list []unit.Length) string {
	if len(list) == 0 {
		return "none"
	}
	out := make([]string, len(list))
	for i, t := range list {
		out[i] = e.thickness(t)
	}
	return strings.Join(out, " + ")
}

func (e *evaluator) steps(st softfoot.SteppedShim) string {
	var out []string
	for _, l := range st.Leaves {
		reach := "all the way"
		if l.End < 1 {
			reach = e.Units.Length.Format(float64(l.EndAt), 1) + " from the open corner"
		}
		out = append(out, e.thickness(l.Thickness)+" "+reach)
	}
	return "leaves, longest first: " + strings.Join(out, ", ")
}

// seat says on which feet a machine rests, when every gap and every place is
// known.
func (e *evaluator) seat(path string, m *Machine, means map[[2]string]unit.Length) {
	s := source{part: PartFeet, of: m.Name + ", all feet", topic: topicFeet, about: m.Name}.
		by("statics of a rigid machine on uneven pads, from the mean gaps", "softfoot.Machine.Seat").from("gaps", path+".feet")
	body := softfoot.Machine{}
	for i, f := range m.Feet {
		mean, ok := means[[2]string{m.Name, f.Name}]
		if !ok {
			return // said by unreadFeet
		}
		if f.Lateral == nil {
			e.failed(s, path+".seat", "on which feet the machine rests", fault(at(path+".feet", i)+".lateral", "", align.ErrMissing), weighs(plain))
			return
		}
		body.Feet = append(body.Feet, softfoot.Foot{Name: f.Name, Station: unit.Length(e.Units.length(f.Station)), Lateral: unit.Length(e.Units.length(*f.Lateral))})
		body.Gaps = append(body.Gaps, mean)
	}
	if len(body.Feet) == 0 {
		return
	}
	seat, err := body.Seat()
	if err != nil {
		e.failed(s, path+".seat", "on which feet the machine rests", align.In(err, path), weighs(plain))
		return
	}
	var ways []string
	for i := range seat.Rests {
		ways = append(ways, strings.Join(seat.Carrying(i), ", "))
	}
	words := "rests on " + strings.Join(ways, "; or on ")
	w := plain
	if seat.Rocks() {
		words, w = words+": it rocks, so hold it down on the same three feet while gaps are read", suspect
	}
	// That the centre of gravity was assumed is worth knowing and no more.
	e.words(s, path+".seat", "on which feet the machine rests, bolts loose", words, warned(path, seat.Warnings), weighs(w))
}

// wantedMoves works out the packs for changes of height that are wanted.
func (e *evaluator) wantedMoves() {
	stock := e.shelf()
	for i := range e.Wanted {
		w, path := &e.Wanted[i], at("wanted", i)
		s := source{part: PartMoves, of: "wanted at " + footName(w.Machine, w.Foot)}.
			by("the pack that comes near enough with the fewest leaves", "moves.PackJob.Plan").from(path)
		f := e.footNamed(w.Machine, w.Foot)
		switch {
		case stock == nil:
			e.failed(s, path, "pack of shims", fault("stock", "", align.ErrMissing))
			continue
		case f == nil || f.Leaves == nil && f.Shims == nil:
			e.failed(s, path, "pack of shims", fault(path+".foot", w.Foot+" without its leaves", align.ErrMissing))
			continue
		}
		s = s.and("stock", e.footPath(w.Machine, w.Foot))
		job := moves.PackJob{Foot: w.Foot, Change: unit.Length(e.Units.reading(w.Up)), Present: e.present(f)}
		if f.Least != nil {
			job.Least = unit.Length(e.Units.reading(*f.Least))
		}
		p, ws, err := job.Plan(*stock)
		if err != nil {
			e.failed(s, path, "pack of shims", align.In(err, path))
			continue
		}
		words := "take out: " + e.leaves(p.Out) + "; put in: " + e.leaves(p.In) + "; from the bottom: " + e.leaves(p.Pack)
		e.length(s, path+".pack", "thickness of the pack after the move", p.Total, advice(words), warned(path, ws))
		e.length(s, path+".pack.error", "pack less what was wanted", p.Error, signed("thicker than wanted", "thinner than wanted"))
	}
}

// present are the leaves under a foot; a thickness without leaves is one leaf.
func (e *evaluator) present(f *Foot) (out []unit.Length) {
	for _, t := range f.Leaves {
		out = append(out, unit.Length(e.Units.reading(t)))
	}
	if f.Leaves == nil && f.Shims != nil && *f.Shims > 0 {
		out = append(out, unit.Length(e.Units.reading(*f.Shims)))
	}
	return out
}

// footPath is the path of a foot that the train has.
func (e *evaluator) footPath(machine, foot string) string {
	i, _ := e.machine(machine)
	return at(at("train.machines", i)+".feet", slices.IndexFunc(e.Train.Machines[i].Feet, func(f Foot) bool { return f.Name == foot }))
}

func (e *evaluator) footNamed(machine, foot string) *Foot {
	i, ok := e.machine(machine)
	if !ok {
		return nil
	}
	feet := e.Train.Machines[i].Feet
	k := slices.IndexFunc(feet, func(f Foot) bool { return f.Name == foot })
	if k < 0 {
		return nil
	}
	return &feet[k]
}
