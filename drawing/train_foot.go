package drawing

import (
	"cmp"
	"math"
	"strings"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// footMark is the foot, or the feet, of a machine at one station with one move.
type footMark struct {
	machine int
	station unit.Length
	aside   float64 // of its arrow on the paper, where another mark has the same station
	names   []string
	move    *align.Move
	number  int // in the list
}

// markFeet takes feet of a machine at one station together when they move alike.
func (s *trainSheet) markFeet() {
	for i := range s.t.Machines {
		first := len(s.feet)
		for k := range s.t.Machines[i].Feet {
			f := &s.t.Machines[i].Feet[k]
			mark := footMark{machine: i, station: f.Station, names: []string{Shortened(f.Name, labelSize, 40)}, move: f.Move, number: len(s.feet) + 1}
			if n := len(s.feet); n > first && s.feet[n-1].station == f.Station {
				before := &s.feet[n-1]
				if sameMove(before.move, f.Move) {
					before.names = append(before.names, mark.names...)
					continue
				}
				const apart = 0.8
				before.aside, mark.aside = -apart, apart
			}
			s.feet = append(s.feet, mark)
		}
	}
}

// sameMove reports whether two moves are the same but for rounding.
func sameMove(a, b *align.Move) bool {
	if a == nil || b == nil {
		return a == b
	}
	const least = 1e-9
	return math.Abs(float64(a.Vertical-b.Vertical)) <= least && math.Abs(float64(a.Horizontal-b.Horizontal)) <= least
}

// called is the name of the feet of a mark: what several have in common, or that of
// the first.
func (f *footMark) called() string {
	common := f.names[0]
	for _, n := range f.names[1:] {
		common = commonStart(common, n)
	}
	return cmp.Or(common, f.names[0])
}

// commonStart returns the whole words with which both texts begin.
func commonStart(a, b string) string {
	x, y := strings.Fields(a), strings.Fields(b)
	n := 0
	for n < len(x) && n < len(y) && x[n] == y[n] {
		n++
	}
	return strings.TrimRight(strings.Join(x[:n], " "), ",;:")
}

// moved reports whether any foot is to be moved.
func (s *trainSheet) moved() bool {
	for i := range s.feet {
		if m := s.feet[i].move; m != nil && *m != (align.Move{}) {
			return true
		}
	}
	return false
}

// moveLine returns from where to where a foot moves, seen at the shaft as found; ok is
// false where no move or no state as found is given.
func (v *trainView) moveLine(f *footMark) (from, to unit.Length, ok bool) {
	if f.move == nil {
		return 0, 0, false
	}
	for k := range v.t.States {
		if s := &v.t.States[k]; s.Kind == AsFound {
			from = v.plane.line(s.Shafts[f.machine]).At(f.station)
			return from, from + v.plane.move(f.move), true
		}
	}
	return 0, 0, false
}

// footLabel makes the label of the move at a foot, nil where there is nothing to say.
func (v *trainView) footLabel(f *footMark) *trainLabel {
	l := &trainLabel{at: v.x(f.station) + f.aside}
	if v.plane == sidePlane {
		l.name = f.called()
	}
	if f.move != nil {
		word, size := v.plane.moveWords().say(v.figures.move, v.plane.move(f.move))
		l.rows = append(l.rows, []string{word})
		if size != "" {
			l.rows = append(l.rows, []string{size})
		}
	}
	if l.name == "" && len(l.rows) == 0 {
		return nil
	}
	l.size()
	return l
}

// drawFeet draws the feet, the arrows of their moves, and leaders to the labels.
func (v *trainView) drawFeet() {
	for i := range v.t.Machines {
		m := &v.t.Machines[i]
		for k := range m.Feet {
			f := &m.Feet[k]
			const half = 1.6
			box := Box{max(v.x(m.Start), v.x(f.Station)-half), v.field.Bottom, min(v.x(m.End), v.x(f.Station)+half), v.feetEnd}
			if v.plane == sidePlane || f.Side != LeftSide {
				v.rectangle(box, Narrow, NoFill)
			}
			if v.plane == topPlane && f.Side != RightSide {
				box.Top, box.Bottom = v.field.Top-footHigh, v.field.Top
				v.rectangle(box, Narrow, NoFill)
			}
		}
	}
	for i := range v.feet {
		v.moveToScale(&v.feet[i])
	}
	for i, l := range v.moves {
		v.moveArrow(&v.feet[v.marked[i]], l)
		l.draw(v.Page, v.moveTop)
	}
}

// moveToScale draws the move at the shaft, from where it was found.
func (v *trainView) moveToScale(f *footMark) {
	from, to, ok := v.moveLine(f)
	if !ok {
		return
	}
	x := v.x(f.station) + f.aside
	a, b := Point{x, v.y(from)}, Point{x, v.y(to)}
	if distance(a, b) < 0.2 {
		return // less than the width of a line
	}
	v.Draw(Line{From: a, To: b, Stroke: Narrow, Arrow: AtEnd})
}

// moveArrow draws which way the foot goes, close to it, and a leader to the label.
func (v *trainView) moveArrow(f *footMark, l *trainLabel) {
	upper, lower := Point{l.at, v.feetEnd}, Point{l.at, v.arrowEnd}
	v.segment(lower, Point{l.mid, v.moveTop}, Narrow)
	if f.move == nil {
		v.segment(upper, lower, Narrow)
		return
	}
	way := v.plane.move(f.move)
	if v.plane == topPlane {
		way = -way // down on the paper is toward 3 o'clock
	}
	switch {
	case v.figures.move.size(way) == v.figures.move.with(0):
		v.segment(upper, lower, Narrow)
	case way > 0:
		v.Draw(Line{From: lower, To: upper, Stroke: Narrow, Arrow: AtEnd})
	default:
		v.Draw(Line{From: upper, To: lower, Stroke: Narrow, Arrow: AtEnd})
	}
}
