package drawing

import (
	"math"

	"gonum.org/v1/gonum/unit"
)

// on is a place of the foot on the paper, seen from above: along to the right, across
// (to the right hand of a person who looks along +x) down.
func (d *wedgePlan) on(along, across unit.Length) Point {
	return d.middle.Add(d.scale.mm(along), d.scale.mm(across))
}

// above draws the foot from above with the gaps and the line of steepest taper.
func (d *wedgePlan) above(s *sheet) {
	l, w := d.face.Length/2, d.face.Width/2
	low, high := d.on(-l, -w), d.on(l, w)
	s.rectangle(Box{low.X, low.Y, high.X, high.Y}, Wide, NoFill)
	room := Box{s.body.Left + 2, s.body.Top + 9, 177, 113}
	s.writeMid(Point{d.middle.X, s.body.Top + 5}, "left side (9 o'clock)", typeSmall, 80, Middle)
	s.writeMid(Point{d.middle.X, 115.5}, "right side (3 o'clock)", typeSmall, 80, Middle)
	s.writeMid(Point{room.Left, s.body.Top + 5}, "toward first machine", typeSmall, 45, Start)
	s.writeMid(Point{room.Right, s.body.Top + 5}, "toward last machine", typeSmall, 45, End)
	labels := placer{room: room, width: d.widest(), height: 2*halfBox*typeTitle + 0.4}
	labels.line(low, Point{high.X, low.Y})
	labels.line(low, Point{low.X, high.Y})
	labels.line(high, Point{high.X, low.Y})
	labels.line(high, Point{low.X, high.Y})
	d.leafEnds(s)
	open, tight := d.steepest(s)
	labels.line(tight, open)
	for _, g := range d.face.Gaps {
		labels.keep(around(d.on(g.Along, g.Across)))
	}
	for _, g := range d.face.Gaps {
		p := d.on(g.Along, g.Across)
		s.Draw(Circle{Centre: p, Radius: 0.8, Stroke: NoStroke, Fill: Solid})
		mid := labels.place(p, math.Atan2(p.Y-d.middle.Y, p.X-d.middle.X))
		s.leader(labels.box(mid), p)
		s.writeMid(mid, d.bare(g.Gap), typeNote, labels.width, Middle)
	}
	d.letters(s, &labels, open, tight)
}

// widest is how much room the widest gap needs.
func (d *wedgePlan) widest() float64 {
	w := TextWidth("0.000", typeNote)
	for _, g := range d.face.Gaps {
		w = max(w, TextWidth(d.bare(g.Gap), typeNote))
	}
	return w + 1.2
}

// steepest draws the line along which the section is taken, through the middle of the
// foot from the tight corner to the open one, and returns its ends. The middle arrow
// points to the open corner.
func (d *wedgePlan) steepest(s *sheet) (open, tight Point) {
	half := d.scale.mm(d.reach) / 2
	on := func(v float64) Point { return d.middle.Add(v*d.way[0], v*d.way[1]) }
	open, tight = on(half), on(-half)
	s.Draw(Line{From: tight, To: open, Stroke: Centre})
	ends := min(4, half/2)
	s.Draw(Line{From: open, To: on(half - ends), Stroke: Wide}, Line{From: tight, To: on(ends - half), Stroke: Wide})
	if !d.flat() {
		s.Draw(Line{From: on(-6), To: on(6), Stroke: Wide, Arrow: AtEnd})
	}
	return open, tight
}

// letters marks both ends of the section.
func (d *wedgePlan) letters(s *sheet, labels *placer, ends ...Point) {
	for _, end := range ends {
		mid := labels.place(end, math.Atan2(end.Y-d.middle.Y, end.X-d.middle.X))
		s.leader(labels.box(mid), end)
		s.writeMid(mid, "A", typeTitle, labels.width, Middle)
	}
}

// leafEnds draws the edges of the leaves that end under the foot: lines across the
// taper, cut to the foot.
func (d *wedgePlan) leafEnds(s *sheet) {
	if d.shim == nil || d.flat() {
		return
	}
	l, w := d.scale.mm(d.face.Length)/2, d.scale.mm(d.face.Width)/2
	for _, leaf := range d.shim.Leaves {
		if leaf.End == 1 {
			continue
		}
		off := (0.5 - leaf.End) * d.scale.mm(d.reach) // from the middle toward the open corner
		mid := Point{off * d.way[0], off * d.way[1]}
		far := Point{-d.way[1] * (l + w) * 2, d.way[0] * (l + w) * 2}
		from, to, ok := clip(mid.Add(-far.X, -far.Y), mid.Add(far.X, far.Y), Box{-l, -w, l, w})
		if ok {
			s.Draw(Line{From: d.middle.Add(from.X, from.Y), To: d.middle.Add(to.X, to.Y), Stroke: Dashed})
		}
	}
}

// section draws the foot, the gap and the shim along the line of steepest taper, the
// open corner on the left.
func (d *wedgePlan) section(s *sheet) {
	long := d.scale.mm(d.reach)
	at := func(share float64, height unit.Length) Point {
		return d.base.Add(share*long, -d.deep.mm(height))
	}
	top := d.base.Y - wedgeDeep - 9
	s.writeMid(Point{d.middle.X, top - 5}, d.sectionHead(), typeNote, 150, Middle)
	s.Draw(Polyline{Closed: true, Fill: Hatched, Points: []Point{at(0, d.wedge.Open), {d.base.X, top}, {d.base.X + long, top}, at(1, d.wedge.Tight)}})
	s.Draw(Line{From: at(0, d.wedge.Open), To: Point{d.base.X, top}, Stroke: Wide}, Line{From: at(1, d.wedge.Tight), To: Point{d.base.X + long, top}, Stroke: Wide})
	bed := Box{d.base.X - 6, d.base.Y, d.base.X + long + 6, d.base.Y + 4}
	s.rectangle(bed, NoStroke, Hatched)
	s.Draw(Line{From: Point{bed.Left, bed.Top}, To: Point{bed.Right, bed.Top}, Stroke: Wide})
	d.leaves(s, at)
	s.Draw(Line{From: at(0, d.wedge.Open), To: at(1, d.wedge.Tight), Stroke: Wide})
	d.gapAt(s, at(0, 0), at(0, d.wedge.Open), -9, d.wedge.Open)
	d.gapAt(s, at(1, 0), at(1, d.wedge.Tight), 9, d.wedge.Tight)
	y := bed.Bottom + 4
	s.Draw(Line{From: Point{d.base.X, y}, To: Point{d.base.X + long, y}, Stroke: Narrow, Arrow: AtBothEnds})
	for _, x := range [...]float64{d.base.X, d.base.X + long} {
		s.Draw(Line{From: Point{x, bed.Bottom + 1}, To: Point{x, y + 1.5}, Stroke: Narrow})
	}
	s.writeMid(Point{d.middle.X, y + 3}, d.sizes.bare(d.reach), typeNote, 60, Middle)
}

func (d *wedgePlan) sectionHead() string {
	if d.flat() {
		return "section A-A, along the foot: no taper"
	}
	return "section A-A carried to both corners, open corner left"
}

// gapAt draws the gap at one end of the section as a dimension beside it.
func (d *wedgePlan) gapAt(s *sheet, low, high Point, beside float64, gap unit.Length) {
	x := low.X + beside
	for _, p := range [...]Point{low, high} {
		s.Draw(Line{From: p.Add(math.Copysign(1, beside), 0), To: Point{x + math.Copysign(1.5, beside), p.Y}, Stroke: Narrow})
	}
	line := Line{From: Point{x, low.Y}, To: Point{x, high.Y}, Stroke: Narrow}
	if distance(low, high) >= 6 {
		line.Arrow = AtBothEnds
	}
	s.Draw(line)
	anchor := Start
	if beside < 0 {
		anchor = End
	}
	s.writeMid(Point{x + math.Copysign(2, beside), (low.Y + high.Y) / 2}, d.bare(gap), typeNote, 20, anchor)
}

// leaves draws the stepped shim from the base upward, the open corner on the left, and
// numbers the leaves on the right of their ends.
func (d *wedgePlan) leaves(s *sheet, at func(share float64, height unit.Length) Point) {
	if d.shim == nil {
		return
	}
	sum := unit.Length(0)
	for _, l := range d.shim.Leaves {
		low, high := at(0, sum), at(l.End, sum+l.Thickness)
		s.rectangle(Box{low.X, high.Y, high.X, low.Y}, Narrow, Paper)
		sum += l.Thickness
	}
}
