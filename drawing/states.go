package drawing

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"collinear.example/align"
	"collinear.example/thermal"
	"gonum.org/v1/gonum/unit"
)

// StateChart shows where two coupled shafts stand from off-line to running: the states
// along, the offset (far less near) up, at both flex planes and in both planes, with
// the window of the limit as a tinted band. State 0 is off-line, as the dials show it;
// no limit is drawn there.
type StateChart struct {
	Title string         // what the drawing shows
	Cold  align.Axis     // far less near, off-line
	Cases []thermal.Case // 1 to thermal.MaxCases, in the order in which they come
	// Criterion gives the two stations, such as the flex planes, and their limits.
	// With thermal.Resultant the band is the limit of the resultant: to be inside it
	// in both planes is needed and not enough; the list tells.
	Criterion thermal.Criterion
	Unit      align.Unit // UnitMillimetre or UnitMil; nothing is millimetres
}

// Draw returns the chart on a sheet as wide as A4 and as high as its list needs. The
// four fields have one scale.
//
// Errors: those of thermal.JudgeColdTarget; out-of-range for an offset beyond ten
// metres; unknown-unit, wrong-unit.
func (c StateChart) Draw() (*Page, error) {
	d, err := c.plan()
	if err != nil {
		return nil, err
	}
	s := newSheet(a4Long, d.height(), 1, titleBlock{
		title: named(c.Title, "States"), kind: "far shaft less near shaft, off-line to running",
		scales: [2]string{"offset: " + d.scaleAxis().scale(), "states evenly spaced, not to scale"},
		units:  [2]string{"offset: " + string(d.unit), "stations: " + string(d.places.unit)},
	})
	s.Description = d.description(named(c.Title, "a coupling"))
	for i := range 4 {
		d.field(s, i%2, i/2)
	}
	d.list(s)
	return s.Page, nil
}

// statesPlan is what a chart of states needs, worked out.
type statesPlan struct {
	printer
	places   printer
	criteria thermal.Criterion
	names    []string
	at       [][2]align.Offset // by state, the off-line one first: at the near and the far station
	limit    [][2]unit.Length  // by case
	share    []float64         // by case
	lo, hi   float64           // metres
}

// Measures of the fields in millimetres.
const (
	statesTop  = sheetEdge + 10.0
	statesHigh = 48.0
	statesStep = 62.0 // from one field to the one below
	statesSide = 24.0 // left of a field, for its ticks
	statesWide = 112.0
	statesMost = 10 * align.Metre
)

func (c StateChart) plan() (*statesPlan, error) {
	if err := checkUnit(c.Unit); err != nil {
		return nil, err
	}
	t, err := thermal.JudgeColdTarget(c.Cold, c.Cases, c.Criterion)
	if err != nil {
		return nil, of("", err)
	}
	d := &statesPlan{printer: small(c.Unit), places: large(c.Unit), criteria: c.Criterion, names: []string{"off-line"}}
	d.limit, d.share = make([][2]unit.Length, len(c.Cases)), make([]float64, len(c.Cases))
	for _, k := range t.Checks {
		d.limit[k.State][k.Shaft] = k.Limit
		d.share[k.State] = max(d.share[k.State], k.Share)
	}
	stations := [2]unit.Length{c.Criterion.Near.Station, c.Criterion.Far.Station}
	for i := range len(c.Cases) + 1 {
		var o [2]align.Offset
		for k, x := range stations {
			o[k] = c.Cold.At(x)
			if i > 0 {
				o[k] = o[k].Add(c.Cases[i-1].Relative().At(x))
			}
		}
		d.at = append(d.at, o)
		if i > 0 {
			d.names = append(d.names, named(c.Cases[i-1].Name, "state "+strconv.Itoa(i)))
		}
	}
	return d, d.bounds()
}

// bounds finds the range of the offsets and the limits.
func (d *statesPlan) bounds() error {
	for i, o := range d.at {
		for k := range o {
			for _, v := range [...]unit.Length{o[k].Vertical, o[k].Horizontal} {
				if err := checkBetween(item("states", i)+".offset", v, statesMost); err != nil {
					return err
				}
				d.lo, d.hi = min(d.lo, float64(v)), max(d.hi, float64(v))
			}
		}
	}
	for _, l := range d.limit {
		for _, v := range l {
			d.lo, d.hi = min(d.lo, -float64(v)), max(d.hi, float64(v))
		}
	}
	return nil
}

func (d *statesPlan) height() float64 {
	return d.listTop() + rowOf(typeSmall)*float64(len(d.at)+3) + 6 + blockHeight + sheetEdge
}

func (d *statesPlan) listTop() float64 { return statesTop + 2*statesStep + 1 }

// upAxis is the axis of the offsets of a field whose upper edge is at top.
func (d *statesPlan) upAxis(top float64) quantityAxis {
	q := Quantity{"offset", d.unit, false}
	return axisOf(q, []float64{q.shown(d.lo), q.shown(d.hi)}, top+statesHigh, top, 7)
}

func (d *statesPlan) scaleAxis() quantityAxis { return d.upAxis(0) }

// field draws the offsets in one plane at one station: column 0 for the near one, row
// 0 for the vertical plane.
func (d *statesPlan) field(s *sheet, column, row int) {
	left := sheetEdge + statesSide + float64(column)*(statesWide+statesSide+1)
	top := statesTop + float64(row)*statesStep
	box := Box{left, top, left + statesWide, top + statesHigh}
	y := d.upAxis(top)
	pitch := statesWide / float64(len(d.at))
	along := func(i int) float64 { return left + pitch*(float64(i)+0.5) }
	d.band(s, y, along, pitch, column)
	for i := range y.ticks.count {
		at := y.mm(y.ticks.at(i))
		s.Draw(Line{From: Point{box.Left, at}, To: Point{box.Right, at}, Stroke: Faint})
	}
	s.rectangle(box, Narrow, NoFill)
	s.ticksLeft(y.axis, box.Left, typeSmall)
	zero := y.place(0)
	s.Draw(Line{From: Point{box.Left, zero}, To: Point{box.Right, zero}, Stroke: Centre})
	every := int(math.Ceil(4.2 / pitch))
	path := Polyline{Stroke: Wide}
	for i := range d.at {
		path.Points = append(path.Points, Point{along(i), y.place(d.offset(i, column, row))})
		if i%every == 0 {
			s.Draw(Line{From: Point{along(i), box.Bottom}, To: Point{along(i), box.Bottom + 1.2}, Stroke: Narrow})
			s.writeMid(Point{along(i), box.Bottom + 3.4}, strconv.Itoa(i), typeSmall, 4.2, Middle)
		}
	}
	s.Draw(path)
	for _, p := range path.Points {
		s.Draw(Circle{Centre: p, Radius: min(0.9, 0.35*pitch), Stroke: NoStroke, Fill: Solid})
	}
	s.writeMid(Point{box.Left, box.Top - 3}, d.head(column, row, y.suffixed(y.power)), typeSmall, statesWide, Start)
}

// offset is the offset in metres of state i at a station in a plane.
func (d *statesPlan) offset(i, station, plane int) float64 {
	o := d.at[i][station]
	if plane == 0 {
		return float64(o.Vertical)
	}
	return float64(o.Horizontal)
}

func (d *statesPlan) head(column, row int, unit string) string {
	plane, sense := "vertical", "up positive"
	if row == 1 {
		plane, sense = "horizontal", "toward 3 positive"
	}
	at, x := "near plane", d.criteria.Near.Station
	if column == 1 {
		at, x = "far plane", d.criteria.Far.Station
	}
	return plane + " at the " + at + " (" + d.places.with(x) + "), in " + unit + ", " + sense
}

// band draws the window of the limit, a step for each case.
func (d *statesPlan) band(s *sheet, y quantityAxis, along func(int) float64, pitch float64, station int) {
	var upper, lower []Point
	for i, l := range d.limit {
		v := float64(l[station])
		from, to := along(i+1)-pitch/2, along(i+1)+pitch/2
		upper = append(upper, Point{from, y.place(v)}, Point{to, y.place(v)})
		lower = append(lower, Point{from, y.place(-v)}, Point{to, y.place(-v)})
	}
	edge := append([]Point(nil), upper...)
	for i := len(lower) - 1; i >= 0; i-- {
		edge = append(edge, lower[i])
	}
	s.Draw(Polyline{Points: edge, Closed: true, Fill: Tint}, Polyline{Points: upper, Stroke: Dashed}, Polyline{Points: lower, Stroke: Dashed})
}

// list writes the states with their offsets and the share of the limit that is used.
func (d *statesPlan) list(s *sheet) {
	rows := make([][]string, len(d.at))
	for i, o := range d.at {
		row := []string{strconv.Itoa(i), d.names[i]}
		for k := range o {
			row = append(row, d.signed(o[k].Vertical), d.signed(o[k].Horizontal))
		}
		if i == 0 {
			rows[i] = append(row, "-", "-", "-")
			continue
		}
		rows[i] = append(row, d.bare(d.limit[i-1][0]), d.bare(d.limit[i-1][1]), significant(100*d.share[i-1], 4)+" %")
	}
	cols := []column{{"no.", 8, Start}, {"state", 92, Start}, {"near, up", 24, End}, {"near, right", 24, End}, {"far, up", 24, End}, {"far, right", 24, End},
		{"limit, near", 24, End}, {"limit, far", 24, End}, {"share", 25, End}}
	at := Point{s.body.Left + 5, d.listTop()}
	y := s.table(at, cols, rows, typeSmall)
	s.writeMid(Point{at.X, y + rowOf(typeSmall)/2 + 1}, d.legend(), typeSmall, s.body.Right-at.X-3, Start)
}

func (d *statesPlan) legend() string {
	if d.criteria.Mode == thermal.Resultant {
		return "Band: limit of the resultant of both planes. Share: resultant over limit, the larger of the two stations."
	}
	return "Band: limit of the offset in each plane. Share: the largest offset over its limit, of both stations and both planes."
}

func (d *statesPlan) description(name string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "States of %s, far shaft less near shaft in %s, at the near plane (station %s) and the far plane (station %s).",
		name, d.unit, d.places.with(d.criteria.Near.Station), d.places.with(d.criteria.Far.Station))
	for i, o := range d.at {
		fmt.Fprintf(&b, " %d %s: near up %s, right %s; far up %s, right %s", i, d.names[i],
			d.signed(o[0].Vertical), d.signed(o[0].Horizontal), d.signed(o[1].Vertical), d.signed(o[1].Horizontal))
		if i > 0 {
			fmt.Fprintf(&b, "; limits %s and %s, share %s %%", d.bare(d.limit[i-1][0]), d.bare(d.limit[i-1][1]), significant(100*d.share[i-1], 4))
		}
		b.WriteString(".")
	}
	return b.String() + " " + d.legend()
}
