package drawing

import "gonum.org/v1/gonum/unit"

// trainView is one of the two views. From top to bottom: heading, figures at the
// couplings, names of the machines (in the side view), the field that is drawn to
// scale, feet, their moves, and the ruler of the stations. Nothing but leaders runs
// from one part to another, and they keep the order of what they lead to, so that
// they cross neither each other nor a text.
type trainView struct {
	*trainSheet
	plane trainPlane

	blocks []*trainLabel // figures at the couplings
	names  []*trainLabel // machines, with a place for each coupling's leader between
	moves  []*trainLabel // at the feet
	marked []int         // which foot mark a label of moves belongs to

	top, blockTop, blockEnd, nameTop, nameEnd float64
	field                                     Box
	feetEnd, arrowEnd, moveTop, rulerTop      float64

	lowest, highest unit.Length // of all that is drawn to scale, zero included
}

// numbered turns a label into a number that stands for it.
func (l *trainLabel) numbered(number string) *trainLabel {
	n := &trainLabel{at: l.at, rows: [][]string{{number}}}
	n.size()
	return n
}

func (v *trainView) makeLabels() {
	for i := range v.t.Couplings {
		v.blocks = append(v.blocks, v.block(i))
	}
	for i := range v.feet {
		if l := v.footLabel(&v.feet[i]); l != nil {
			v.moves, v.marked = append(v.moves, l), append(v.marked, i)
		}
	}
	if v.plane == topPlane {
		return
	}
	for i := range v.t.Machines {
		m := &v.t.Machines[i]
		name := &trainLabel{at: (v.x(m.Start) + v.x(m.End)) / 2, name: m.called(i)}
		name.size()
		v.names = append(v.names, name)
		if i < len(v.t.Couplings) {
			v.names = append(v.names, &trainLabel{at: v.middle(i), want: 0.4, least: 0.4})
		}
	}
}

// middle returns the place of a coupling on the paper.
func (s *trainSheet) middle(coupling int) float64 {
	c := &s.t.Couplings[coupling]
	return (s.x(c.NearFlex) + s.x(c.FarFlex)) / 2
}

// block makes the figures of a coupling: offsets at the flex planes by state, and
// the limits.
func (v *trainView) block(i int) *trainLabel {
	c := &v.t.Couplings[i]
	l := &trainLabel{at: v.middle(i), name: c.called(i), left: true}
	row := func(word, near, far string) {
		u := " " + string(v.figures.offset.unit)
		if c.single() {
			l.rows = append(l.rows, []string{word, near + u})
			return
		}
		l.rows = append(l.rows, []string{word, near, far + u})
	}
	for k := range v.t.States {
		s := &v.t.States[k]
		e := v.plane.line(s.misalignment(i))
		row(v.t.stateShort(k), v.figures.offset.signed(e.At(c.NearFlex)), v.figures.offset.signed(e.At(c.FarFlex)))
	}
	if near, far := c.limits(); near > 0 || far > 0 {
		word := "limit"
		if c.Resultant {
			word = "limit, resultant"
		}
		row(word, v.limitFigure(near), v.limitFigure(far))
	}
	l.size()
	return l
}

func (v *trainView) limitFigure(limit unit.Length) string {
	if limit == 0 {
		return "none"
	}
	return "±" + v.figures.offset.bare(limit)
}

func tallest(labels []*trainLabel) (h float64) {
	for _, l := range labels {
		h = max(h, l.height())
	}
	return h
}

// fixedHeight is the height of the view without its field.
func (v *trainView) fixedHeight() float64 {
	h := headingRow + footHigh + rulerRoom
	if len(v.blocks) > 0 {
		h += tallest(v.blocks) + fanRoom
	}
	if len(v.names) > 0 {
		h += labelRow + fanRoom
	}
	if v.plane == topPlane {
		h += footHigh
	}
	if len(v.moves) > 0 {
		h += arrowRoom + fanRoom + tallest(v.moves)
	}
	return h
}

// stand gives the parts of the view their places from y down.
func (v *trainView) stand(y, field float64) {
	v.top = y
	y += headingRow
	v.blockTop = y
	y += tallest(v.blocks)
	v.blockEnd = y
	if len(v.blocks) > 0 {
		y += fanRoom
	}
	v.nameTop, v.nameEnd = y, y
	if len(v.names) > 0 {
		v.nameEnd = y + labelRow
		y = v.nameEnd + fanRoom
	}
	if v.plane == topPlane {
		y += footHigh
	}
	v.field = Box{fieldLeft, y, fieldRight, y + field}
	v.feetEnd = v.field.Bottom + footHigh
	v.arrowEnd, v.moveTop, v.rulerTop = v.feetEnd, v.feetEnd, v.feetEnd
	if len(v.moves) > 0 {
		v.arrowEnd += arrowRoom
		v.moveTop = v.arrowEnd + fanRoom
		v.rulerTop = v.moveTop + tallest(v.moves)
	}
}

// extremes returns the lowest and the highest of all that is drawn to scale.
func (v *trainView) extremes() (lowest, highest unit.Length) {
	see := func(values ...unit.Length) {
		for _, y := range values {
			lowest, highest = min(lowest, y), max(highest, y)
		}
	}
	for k := range v.t.States {
		s := &v.t.States[k]
		for i := range v.t.Machines {
			l := v.plane.line(s.Shafts[i])
			for _, x := range v.ends(i) {
				w := v.halfWidth(s, i, x)
				see(l.At(x)-w, l.At(x)+w)
			}
		}
	}
	for i := range v.t.Couplings {
		for _, w := range v.windows(i) {
			see(w.middle-w.limit, w.middle+w.limit)
		}
	}
	for i := range v.feet {
		if from, to, ok := v.moveLine(&v.feet[i]); ok {
			see(from, to)
		}
	}
	return lowest, highest
}

// ends returns between which stations the centreline of a machine is drawn.
func (s *trainSheet) ends(i int) [2]unit.Length {
	from, to := s.t.reach(i)
	stub := unit.Length(trainStub * 1e-3 / float64(s.along))
	if i == 0 {
		from -= stub
	}
	if i == len(s.t.Machines)-1 {
		to += stub
	}
	return [2]unit.Length{from, to}
}

// halfWidth is the half width of the band about a centreline, zero for none.
func (v *trainView) halfWidth(s *State, i int, x unit.Length) unit.Length {
	if len(s.Uncertain) == 0 {
		return 0
	}
	return v.plane.band(s.Uncertain[i]).At(x)
}

// window is a limit drawn at a flex plane, about the near shaft in the last state.
type window struct{ station, middle, limit unit.Length }

func (v *trainView) windows(i int) (out []window) {
	c := &v.t.Couplings[i]
	near := v.plane.line(v.t.States[len(v.t.States)-1].Shafts[i])
	first, second := c.limits()
	if first > 0 {
		out = append(out, window{c.NearFlex, near.At(c.NearFlex), first})
	}
	if second > 0 && !c.single() {
		out = append(out, window{c.FarFlex, near.At(c.FarFlex), second})
	}
	return out
}

// y returns the place of an offset on the paper. In the side view up is up; in the
// top view, seen from above with the first machine to the left, 3 o'clock is down.
func (v *trainView) y(offset unit.Length) float64 {
	middle := (v.field.Top + v.field.Bottom) / 2
	d := v.across.mm(offset - (v.lowest+v.highest)/2)
	if v.plane == topPlane {
		return middle + d
	}
	return middle - d
}
