package drawing

import (
	"math"
	"strconv"

	"gonum.org/v1/gonum/unit"
)

// draw draws the whole view, from the lightest to the heaviest.
func (v *trainView) draw() {
	v.heading()
	v.zero()
	for k := range v.t.States {
		v.bands(&v.t.States[k])
	}
	for i := range v.t.Couplings {
		v.coupling(i)
	}
	v.machines()
	for k := range v.t.States {
		v.centrelines(k)
	}
	v.drawFeet()
	v.leaders()
	v.ruler()
}

func (v *trainView) heading() {
	words := "Side view (vertical plane): up is drawn up"
	if v.plane == topPlane {
		words = "Top view (horizontal plane) from above: 3 o'clock, to the right of one who looks along the train, is drawn down"
	}
	const size = 3.2
	v.Draw(Text{At: Point{trainLeft, v.top + 2.9}, Words: words, Size: size, Bold: true})
	v.Draw(Text{At: Point{trainRight, v.top + 2.9}, Words: v.scales(), Size: size, Anchor: End})
}

func (s *trainSheet) scales() string {
	return "along " + scaleWords(s.along) + ", across " + scaleWords(s.across)
}

// zero draws the line of zero and, in the strip before it, a bar of a round length
// across, toward the side where there is more of the field.
func (v *trainView) zero() {
	const at = fieldLeft - 3
	y := v.y(0)
	v.segment(Point{at, y}, Point{fieldRight, y}, Faint)
	u := v.figures.offset.unit
	one := v.across.mm(unit.Length(u.SI(1)))
	n := roundDown(9 / one)
	sign, way := "+", 1.0
	if v.highest < -v.lowest {
		sign, way = "-", -1
	}
	end := v.y(unit.Length(way * u.SI(n)))
	v.segment(Point{at, y}, Point{at, end}, Narrow)
	for _, tick := range [...]float64{y, end} {
		v.segment(Point{at - 1, tick}, Point{at + 1, tick}, Narrow)
	}
	v.Draw(Text{At: Point{at - 1.6, (y+end)/2 + midDrop*labelSize}, Words: sign + significant(n, 4) + " " + string(u), Size: labelSize, Anchor: End})
}

// bandSteps is into how many pieces the edge of a band is cut; it is a hyperbola.
const bandSteps = 12

// bands tints what a centreline may stand off.
func (v *trainView) bands(s *State) {
	if len(s.Uncertain) == 0 {
		return
	}
	for i := range v.t.Machines {
		l, ends := v.plane.line(s.Shafts[i]), v.ends(i)
		points := make([]Point, 2*bandSteps+2)
		for k := range bandSteps + 1 {
			x := ends[0] + (ends[1]-ends[0])*unit.Length(k)/bandSteps
			w := v.halfWidth(s, i, x)
			points[k] = Point{v.x(x), v.y(l.At(x) + w)}
			points[len(points)-1-k] = Point{v.x(x), v.y(l.At(x) - w)}
		}
		v.Draw(Polyline{Points: points, Closed: true, Fill: Tint})
	}
}

// coupling draws the outline between the flex planes and the limits at them.
func (v *trainView) coupling(i int) {
	c := &v.t.Couplings[i]
	b := v.outline(i)
	if c.single() {
		v.segment(Point{b.Left, b.Top}, Point{b.Left, b.Bottom}, Narrow)
	} else {
		v.rectangle(b, Narrow, NoFill)
	}
	half := windowHalf
	if apart := b.Right - b.Left; apart > 0 {
		half = max(windowLeast, min(half, 0.4*apart))
	}
	for _, w := range v.windows(i) {
		x := v.x(w.station)
		v.rectangle(Box{x - half, v.y(w.middle + w.limit), x + half, v.y(w.middle - w.limit)}.upright(), Narrow, Tint)
	}
}

// Half of how wide the limits at a flex plane are drawn along the train, which means
// nothing.
const (
	windowHalf  = 1.1
	windowLeast = 0.3
)

// upright returns the box with its edges in order.
func (b Box) upright() Box {
	return Box{min(b.Left, b.Right), min(b.Top, b.Bottom), max(b.Left, b.Right), max(b.Top, b.Bottom)}
}

// outline is where a coupling is drawn: from flex plane to flex plane, and a part of
// the field high that means nothing.
func (v *trainView) outline(i int) Box {
	c := &v.t.Couplings[i]
	off := 0.12 * (v.field.Bottom - v.field.Top)
	return Box{v.x(c.NearFlex), v.field.Top + off, v.x(c.FarFlex), v.field.Bottom - off}
}

func (v *trainView) machines() {
	for i := range v.t.Machines {
		m := &v.t.Machines[i]
		v.rectangle(Box{v.x(m.Start), v.field.Top, v.x(m.End), v.field.Bottom}, Wide, NoFill)
	}
	if v.plane == topPlane {
		return
	}
	first, last := &v.t.Machines[0], &v.t.Machines[len(v.t.Machines)-1]
	v.segment(Point{v.x(first.Start) - trainStub, v.feetEnd}, Point{v.x(last.End) + trainStub, v.feetEnd}, Narrow)
}

func (v *trainView) centrelines(state int) {
	s := &v.t.States[state]
	for i := range v.t.Machines {
		l, ends := v.plane.line(s.Shafts[i]), v.ends(i)
		v.segment(Point{v.x(ends[0]), v.y(l.At(ends[0]))}, Point{v.x(ends[1]), v.y(l.At(ends[1]))}, v.strokes[state])
	}
}

// leaders writes the figures at the couplings and the names of the machines, and
// leads from each to what it belongs to.
func (v *trainView) leaders() {
	fanEnd := v.field.Top
	if v.plane == topPlane {
		fanEnd -= footHigh
	}
	for i, l := range v.blocks {
		l.draw(v.Page, v.blockEnd-l.height())
		points := []Point{{l.mid, v.blockEnd}}
		if len(v.names) > 0 {
			x := v.names[2*i+1].mid
			points = append(points, Point{x, v.nameTop}, Point{x, v.nameEnd})
		}
		points = append(points, Point{l.at, fanEnd}, Point{l.at, v.outline(i).Top})
		v.Draw(Polyline{Points: points, Stroke: Narrow})
	}
	for i := range v.t.Machines {
		if len(v.names) == 0 {
			return
		}
		l, m := v.names[2*i], &v.t.Machines[i]
		l.draw(v.Page, v.nameTop)
		if l.mid < v.x(m.Start) || l.mid > v.x(m.End) {
			v.segment(Point{l.mid, v.nameEnd}, Point{l.at, v.field.Top}, Narrow)
		}
	}
}

// ruler rules the stations.
func (v *trainView) ruler() {
	const apart = 32 // between two figures on the paper
	u := v.figures.station.unit
	step, decimals := stationSteps(v.along, u, apart)
	from, _ := v.t.reach(0)
	_, to := v.t.reach(len(v.t.Machines) - 1)
	y := v.rulerTop + 1
	v.segment(Point{v.x(from), y}, Point{v.x(to), y}, Narrow)
	const parts = 10
	first, last := math.Ceil(u.FromSI(float64(from))/step*parts-hair), math.Floor(u.FromSI(float64(to))/step*parts+hair)
	for k := first; k <= last; k++ {
		x, long := v.x(unit.Length(u.SI(k*step/parts))), 0.9
		whole := math.Mod(k, parts) == 0
		if whole {
			long = 1.8
			w := strconv.FormatFloat(k/parts*step+0, 'f', decimals, 64) + " " + string(u)
			half := TextWidth(w, labelSize) / 2
			v.Draw(Text{At: Point{max(trainLeft+half, min(trainRight-half, x)), y + 4.1}, Words: w, Size: labelSize, Anchor: Middle})
		}
		v.segment(Point{x, y}, Point{x, y + long}, Narrow)
	}
}
