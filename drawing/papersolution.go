package drawing

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/unit"
)

// ranked is a thing with its rank from the left.
type ranked struct{ index, rank int }

// byPlace ranks things by where they stand.
func byPlace(places []float64) []ranked {
	out := make([]ranked, len(places))
	for i := range out {
		out[i].index = i
	}
	slices.SortStableFunc(out, func(a, b ranked) int { return cmp.Compare(places[a.index], places[b.index]) })
	for i := range out {
		out[i].rank = i
	}
	return out
}

// move is what the foot is to do: the offset wanted less that of its shaft.
func (d *paperPlan) move(f PaperFoot) unit.Length {
	x := d.Stations[f.Station].At
	return d.Solution.Wanted.At(x) - d.Solution.Shafts[f.Shaft].Line.At(x)
}

// moveAt says what the foot at a station is to do, "" where there is none.
func (d *paperPlan) moveAt(station int) string {
	for _, f := range d.Solution.Feet {
		if f.Station == station {
			return d.words(d.move(f))
		}
	}
	return ""
}

// words says a move: "raise 0.120 mm", "0.050 mm to 9".
func (d *paperPlan) words(v unit.Length) string {
	size := d.size(v)
	switch {
	case strings.Trim(strings.TrimSuffix(size, string(d.unit)), "0. ") == "":
		return "no move"
	case d.Horizontal && v > 0:
		return size + " to 3"
	case d.Horizontal:
		return size + " to 9"
	case v > 0:
		return "raise " + size
	}
	return "lower " + size
}

// solution draws the shafts, the wanted line, the moves of the feet and the points.
func (d *paperPlan) solution(s *sheet) {
	p := d.Solution
	s.Draw(Line{From: d.at(d.From, p.Wanted.At(d.From)), To: d.at(d.To, p.Wanted.At(d.To)), Stroke: CentreWide})
	labels := placer{room: d.field.Grown(-d.k), width: d.nameWide(), height: (2*halfBox*typeNote + 1) * d.k}
	for _, l := range p.Shafts {
		from, to := d.ends(l)
		a, b := d.at(from, l.Line.At(from)), d.at(to, l.Line.At(to))
		s.Draw(Line{From: a, To: b, Stroke: Wide})
		labels.line(a, b)
	}
	for _, t := range d.Stations {
		x := d.at(t.At, 0).X
		labels.line(Point{x, d.field.Top}, Point{x, d.field.Bottom})
	}
	for _, f := range p.Feet {
		x := d.Stations[f.Station].At
		from, to := d.at(x, p.Shafts[f.Shaft].Line.At(x)), d.at(x, p.Wanted.At(x))
		s.Draw(Circle{Centre: from, Radius: 1.2 * d.k, Stroke: Wide, Fill: Paper})
		if distance(from, to) > 0.05 {
			beside := math.Copysign(2.4*d.k, (d.field.Left+d.field.Right)/2-from.X)
			s.Draw(Line{From: from.Add(beside, 0), To: to.Add(beside, 0), Stroke: Wide, Arrow: AtEnd})
			labels.line(from, to)
		}
	}
	for _, q := range p.Points {
		at := d.at(q.Station, q.Offset)
		s.crossAt(at, 1.8*d.k, Narrow)
		s.Draw(Circle{Centre: at, Radius: 0.9 * d.k, Stroke: NoStroke, Fill: Solid})
		labels.line(at.Add(-1.5*d.k, 0), at.Add(1.5*d.k, 0))
	}
	d.names(s, &labels)
}

// nameWide is how much room the longest name of a shaft needs.
func (d *paperPlan) nameWide() float64 {
	w := 8 * d.k
	for i := range d.Solution.Shafts {
		w = max(w, TextWidth(d.shaftName(i), typeNote*d.k)+2*d.k)
	}
	return w
}

func (d *paperPlan) shaftName(i int) string {
	return clipped(named(d.Solution.Shafts[i].Name, "shaft "+strconv.Itoa(i+1)), typeNote*d.k, min(40*d.k, 0.8*(d.field.Right-d.field.Left)-2*d.k))
}

// names writes the names of the shafts beside them, on plain paper.
func (d *paperPlan) names(s *sheet, labels *placer) {
	for i, l := range d.Solution.Shafts {
		from, to := d.ends(l)
		x := from + (to-from)*0.4
		p := d.at(x, l.Line.At(x))
		mid := labels.place(p, -math.Pi/2)
		s.rectangle(labels.box(mid).Grown(-0.3), Narrow, Paper)
		s.leader(labels.box(mid), p)
		s.writeMid(mid, d.shaftName(i), typeNote*d.k, labels.width, Middle)
	}
}

func (d *paperPlan) description(name string) string {
	var b strings.Builder
	view := "side view, offsets up positive"
	if d.Horizontal {
		view = "plan view, offsets toward 3 positive"
	}
	fmt.Fprintf(&b, "Graph paper for %s, %s, %s, stations %s to %s at %s, offsets at %s, %s. Stations:", name, d.Paper, view,
		d.places.with(d.From), d.places.with(d.To), ratio(1/d.reduction), ratio(d.magnification), d.square())
	for i, t := range d.Stations {
		fmt.Fprintf(&b, " %s at %s;", named(t.Name, "station "+strconv.Itoa(i+1)), d.places.with(t.At))
	}
	if d.Solution == nil {
		return strings.TrimSuffix(b.String(), ";") + ". Blank."
	}
	b.WriteString(" plotted points:")
	for _, p := range d.Solution.Points {
		fmt.Fprintf(&b, " %s at %s;", d.with(p.Offset), d.places.with(p.Station))
	}
	for i, l := range d.Solution.Shafts {
		from, to := d.ends(l)
		fmt.Fprintf(&b, " %s from %s at %s to %s at %s;", d.shaftName(i), d.with(l.Line.At(from)), d.places.with(from), d.with(l.Line.At(to)), d.places.with(to))
	}
	for _, f := range d.Solution.Feet {
		fmt.Fprintf(&b, " at %s: %s;", named(d.Stations[f.Station].Name, "station "+strconv.Itoa(f.Station+1)), d.words(d.move(f)))
	}
	return strings.TrimSuffix(b.String(), ";") + "."
}
