package worksheet

import (
	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// footMoves adds what would bring the shafts where they belong, at the feet of
// each machine that may move, the other one staying.
func (e *evaluator) footMoves(s source, path string, p *placed) {
	target, targetWords, err := e.targetOf(p)
	s.part = PartMoves
	s = s.by("far machine: target less misalignment; near machine: misalignment less target, at each foot", "align.Axis.MoveFar, align.Axis.MoveNear")
	if err != nil {
		e.failed(s, path+".moves", "cold target for the moves", err)
		return
	}
	if e.Sets[p.set].Stage != HotCheck && len(e.running) > 0 {
		s = s.and(append([]string{"states"}, e.flexInputs(p.coupling)...)...)
	}
	excess := p.pos.Sub(target)
	for _, side := range []align.Shaft{align.Near, align.Far} {
		name, other := p.coupling.Near, p.coupling.Far
		if side == align.Far {
			name, other = other, name
		}
		i, _ := e.machine(name)
		m := &e.Train.Machines[i]
		if m.Fixed {
			continue
		}
		here := s
		here.of = "to bring " + name + " " + targetWords + ", " + other + " staying; by " + s.of
		for k, f := range m.Feet {
			e.footMove(here, path, p, excess, side, m.Name, f, at(at("train.machines", i)+".feet", k))
		}
	}
}

func (e *evaluator) footMove(s source, path string, p *placed, excess align.Axis, side align.Shaft, machine string, f Foot, footPath string) {
	x := unit.Length(e.Units.length(f.Station))
	move := excess.MoveFar(x)
	if side == align.Near {
		move = excess.MoveNear(x)
	}
	s = s.and(footPath + ".station")
	sigma := p.pos.OffsetSigma(x)
	id := path + ".moves." + footPath
	lo, hi := p.span()
	ws := withoutField(align.CheckExtrapolation(x, lo, hi, 0))
	for _, pl := range bothOfThem {
		if !p.known(pl) {
			continue
		}
		words := signed("raise: add shims", "lower: take shims out")
		says := "foot " + f.Name + " of " + machine + ", up or down"
		if !pl.vertical {
			words = signed("move toward 3 o'clock", "move toward 9 o'clock")
			says = "foot " + f.Name + " of " + machine + ", sideways"
		}
		e.length(s, id+"."+pl.name, says, pl.moveOf(move), words, uncertain(pl.sigmaOf(sigma)), warned(footPath, ws), weighs(plain), e.roomFor(pl, f, pl.moveOf(move)))
	}
}

// roomFor says when a foot cannot go so far: too few shims, or a bolt in its hole.
func (e *evaluator) roomFor(pl plane, f Foot, move unit.Length) option {
	room := func(v *float64) *unit.Length {
		if v == nil {
			return nil
		}
		l := unit.Length(e.Units.reading(*v))
		return &l
	}
	var most *unit.Length
	why := ""
	switch {
	case pl.vertical && move < 0 && f.Shims != nil:
		most, why = room(f.Shims), "base-bound: only "
		if f.Least != nil {
			left := max(*most-*room(f.Least), 0)
			most = &left
		}
	case !pl.vertical && move < 0:
		most, why = room(f.Left), "bolt-bound: only "
	case !pl.vertical && move > 0:
		most, why = room(f.Right), "bolt-bound: only "
	}
	if most == nil || max(move, -move) <= *most+hair {
		return func(*Finding) {}
	}
	return advice(why + e.thickness(*most) + " of room")
}

// span is the stretch over which the dials fix the line: from one rim dial to the
// other. A face dial of swept diameter D fixes the slope as two rim dials would
// that stand D apart.
func (p *placed) span() (lo, hi unit.Length) {
	first, widest := true, unit.Length(0)
	for i := range p.dials {
		d := &p.dials[i]
		switch {
		case d.Surface != align.Rim:
			widest = max(widest, d.Diameter)
		case first:
			lo, hi, first = d.Station, d.Station, false
		default:
			lo, hi = min(lo, d.Station), max(hi, d.Station)
		}
	}
	if hi-lo < widest {
		mid := (lo + hi) / 2
		lo, hi = mid-widest/2, mid+widest/2
	}
	return lo, hi
}
