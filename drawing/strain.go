package drawing

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"collinear.example/align"
	"collinear.example/piping"
	"gonum.org/v1/gonum/unit"
)

// StrainPath is the way the shaft goes during a strain test, seen along the train:
// the movement of its centreline at one coupling station from the start, up toward
// 12 and to the right toward 3, one numbered point after each step. The list beside
// it says what was done in each step.
//
// It takes the test and works it out itself (StrainTest.Result), so that path and
// list belong together.
type StrainPath struct {
	Title   string // what the drawing shows, such as the name of the machine
	Test    piping.StrainTest
	Station int         // index in Test.Coupling
	Limit   unit.Length // radius of the dashed circle round the start, zero for none
	Unit    align.Unit  // UnitMillimetre or UnitMil; nothing is millimetres
}

// Measures of the strain path in millimetres.
const (
	strainHalf = 72.0 // half the side of the square that holds the path
	strainRoom = 66.0 // farthest that a point or the limit stands from the start
	strainMost = 32   // steps

	strainReach = 100 * align.Millimetre // largest movement, so that its figure fits the list

	// strainFar is how many times the largest movement the limit may be before its
	// circle is left out, so that the path can still be seen.
	strainFar = 6
)

// Draw returns the path on an A4 sheet. The scale is the largest of 1, 2 or 5 times a
// power of ten that fits; it is the same in both directions. A step after which the
// movement is not known in both directions breaks the path and is listed without a
// point.
//
// Errors: those of StrainTest.Check; out-of-range for more than 32 steps, a station
// that is not there or a movement beyond 100 mm; negative, not-finite for the limit;
// unknown-unit, wrong-unit.
func (p StrainPath) Draw() (*Page, error) {
	d, err := p.plan()
	if err != nil {
		return nil, err
	}
	name := named(p.Title, "Strain test")
	s := newSheet(a4Long, a4Short, 1, titleBlock{
		title: name, kind: "strain test, seen looking along +x",
		scales: [2]string{"movement " + d.scale.String(), d.scale.tenth(d.unit)},
		units:  [2]string{"movement: " + string(d.unit), "read directly, not halved"},
	})
	s.Description = d.description(name)
	d.frame(s)
	d.path(s)
	d.list(s)
	s.scaleBar(Point{d.box().Left, s.body.Bottom - 5}, d.scale, d.unit, 25)
	return s.Page, nil
}

// strainPlan is what a strain path needs, worked out.
type strainPlan struct {
	printer
	steps   []piping.Step
	station unit.Length
	places  printer
	moved   []piping.PointMovement // after each step, since the start
	limit   unit.Length
	far     bool // the limit is too far out to be drawn
	scale   ratio
	start   Point
}

func (p StrainPath) plan() (*strainPlan, error) {
	if err := checkUnit(p.Unit); err != nil {
		return nil, err
	}
	if err := checkFromZero("limit", p.Limit, maxOffset); err != nil {
		return nil, err
	}
	if err := checkCount("test.steps", len(p.Test.Steps), strainMost); err != nil {
		return nil, err
	}
	r, err := p.Test.Result()
	if err != nil {
		return nil, of("test", err)
	}
	if p.Station < 0 || p.Station >= len(p.Test.Coupling) {
		return nil, sheetFault("station", strconv.Itoa(p.Station), align.ErrOutOfRange)
	}
	d := &strainPlan{printer: small(p.Unit), places: large(p.Unit), steps: p.Test.Steps, station: p.Test.Coupling[p.Station], limit: p.Limit, start: Point{94, 92}}
	most := unit.Length(0)
	for i := range r.Steps {
		m := r.Steps[i].Running.Shaft().At[p.Station]
		for _, c := range [...]piping.Component{m.Up, m.Right} {
			if err := checkBetween(item("test.steps", i)+".movement", unit.Length(c.Value), strainReach); err != nil {
				return nil, err
			}
		}
		d.moved = append(d.moved, m)
		if drawn(m) {
			most = max(most, sizeOf(m))
		}
	}
	d.far = most > 0 && d.limit > strainFar*most
	if !d.far {
		most = max(most, d.limit)
	}
	d.scale = fitRatio(most, strainRoom)
	return d, nil
}

// drawn reports whether a movement is known in both directions.
func drawn(m piping.PointMovement) bool { return m.Up.Known && m.Right.Known }

func sizeOf(m piping.PointMovement) unit.Length {
	return unit.Length(math.Hypot(float64(m.Up.Value), float64(m.Right.Value)))
}

func (d *strainPlan) box() Box {
	return Box{d.start.X, d.start.Y, d.start.X, d.start.Y}.Grown(strainHalf)
}

func (d *strainPlan) at(m piping.PointMovement) Point {
	return d.start.Add(d.scale.mm(unit.Length(m.Right.Value)), -d.scale.mm(unit.Length(m.Up.Value)))
}

// frame draws the square with its scales, the clock positions, the centrelines through
// the start and the limit.
func (d *strainPlan) frame(s *sheet) {
	box := d.box()
	half := d.unit.FromSI(strainHalf / 1e3 / float64(d.scale))
	x := axis{lo: -half, hi: half, from: box.Left, to: box.Right}
	y := axis{lo: -half, hi: half, from: box.Bottom, to: box.Top}
	x.ticks, y.ticks = ticksFor(-half, half, 8), ticksFor(-half, half, 8)
	s.rectangle(box, Narrow, NoFill)
	s.ticksBelow(x, box.Bottom, typeSmall)
	s.ticksLeft(y, box.Left, typeSmall)
	s.writeMid(Point{d.start.X, box.Top - 3}, "12", typeNote, 10, Middle)
	s.writeMid(Point{box.Right + 3, d.start.Y}, "3", typeNote, 6, Middle)
	s.Draw(Line{From: Point{box.Left, d.start.Y}, To: Point{box.Right, d.start.Y}, Stroke: Centre},
		Line{From: Point{d.start.X, box.Bottom}, To: Point{d.start.X, box.Top}, Stroke: Centre})
	if d.limit > 0 && !d.far {
		s.Draw(Circle{Centre: d.start, Radius: d.scale.mm(d.limit), Stroke: Dashed})
	}
}

// path draws the way from point to point and numbers the points.
func (d *strainPlan) path(s *sheet) {
	labels := placer{room: d.box().Grown(-1), width: TextWidth("00", typeNote) + 0.8, height: 2*halfBox*typeNote + 0.4}
	from, whole := d.start, true
	var points []Point
	var numbers []int
	end := -1
	labels.keep(around(d.start))
	d.avoid(&labels)
	for i, m := range d.moved {
		if !drawn(m) {
			whole = false
			continue
		}
		to := d.at(m)
		if whole && distance(from, to) > 0.01 {
			s.Draw(Line{From: from, To: to, Stroke: Narrow, Arrow: AtEnd})
			labels.line(from, to)
		}
		labels.keep(around(to))
		points, numbers, end = append(points, to), append(numbers, i+1), len(points)
		from, whole = to, true
	}
	s.Draw(Circle{Centre: d.start, Radius: 1.4, Stroke: Narrow, Fill: Paper})
	for _, p := range points {
		s.Draw(Circle{Centre: p, Radius: 0.8, Stroke: NoStroke, Fill: Solid})
	}
	if end >= 0 {
		s.Draw(Circle{Centre: points[end], Radius: 1.8, Stroke: Narrow})
	}
	for i, p := range points {
		d.number(s, &labels, p, numbers[i])
	}
}

// avoid tells where the limit and the centrelines run.
func (d *strainPlan) avoid(labels *placer) {
	box := d.box()
	labels.line(Point{box.Left, d.start.Y}, Point{box.Right, d.start.Y})
	labels.line(Point{d.start.X, box.Top}, Point{d.start.X, box.Bottom})
	if d.limit == 0 || d.far {
		return
	}
	const sides = 72
	at := func(k int) Point {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / sides)
		return d.start.Add(d.scale.mm(d.limit)*sin, d.scale.mm(d.limit)*cos)
	}
	for k := range sides {
		labels.line(at(k), at(k+1))
	}
}

// around is what a point keeps free of labels.
func around(p Point) Box { return Box{p.X, p.Y, p.X, p.Y}.Grown(1.5) }

// number writes the number of a point outside it, seen from the start.
func (d *strainPlan) number(s *sheet, labels *placer, p Point, n int) {
	toward := -math.Pi / 4
	if distance(p, d.start) > 0.5 {
		toward = math.Atan2(p.Y-d.start.Y, p.X-d.start.X)
	}
	mid := labels.place(p, toward)
	s.leader(labels.box(mid), p)
	s.writeMid(mid, strconv.Itoa(n), typeNote, labels.width, Middle)
}

// list writes the steps and what they add up to.
func (d *strainPlan) list(s *sheet) {
	const left = 175.5
	size := typeSmall
	rows := [][]string{{"0", "start", "", d.bare(0), d.bare(0), d.bare(0)}}
	for i, m := range d.moved {
		step := &d.steps[i]
		rows = append(rows, append([]string{strconv.Itoa(i + 1), step.Name, done(step)}, d.figures(m)...))
	}
	cols := []column{{"no.", 7, Start}, {"step", 37, Start}, {"done", 23, Start}, {"up", 15, End}, {"right", 15, End}, {"size", 15, End}}
	y := s.table(Point{left, s.body.Top + 4}, cols, rows, size)
	s.notes(Point{left, y + 3}, d.remarks(), size, s.body.Right-left-3, s.body.Bottom-1)
}

// figures are the movement up and to the right and its size, "-" where not known.
func (d *strainPlan) figures(m piping.PointMovement) []string {
	out := []string{"-", "-", "-"}
	if m.Up.Known {
		out[0] = d.signed(unit.Length(m.Up.Value))
	}
	if m.Right.Known {
		out[1] = d.signed(unit.Length(m.Right.Value))
	}
	if drawn(m) {
		out[2] = d.bare(sizeOf(m))
	}
	return out
}

// done says what a step does: "loosen flange".
func done(s *piping.Step) string { return s.Action.String() + " " + s.Group.String() }

// remarks says what is drawn and what it comes to.
func (d *strainPlan) remarks() []string {
	out := []string{"Shaft at station " + d.places.with(d.station) + ". Movement since the start."}
	largest, at, missing := unit.Length(-1), 0, 0
	for i, m := range d.moved {
		switch {
		case !drawn(m):
			missing++
		case sizeOf(m) > largest:
			largest, at = sizeOf(m), i+1
		}
	}
	if largest >= 0 {
		out = append(out, fmt.Sprintf("Largest %s after step %d.", d.with(largest), at))
	}
	if last := d.moved[len(d.moved)-1]; drawn(last) {
		out = append(out, "At the end: "+d.toward(unit.Length(last.Up.Value), unit.Length(last.Right.Value))+".")
	}
	if missing > 0 {
		out = append(out, counted(missing, "step")+" not known in both directions: no point.")
	}
	out = append(out, d.limiting(largest)...)
	return append(out, "Open circle: start. Ring: end.")
}

func (d *strainPlan) limiting(largest unit.Length) []string {
	if d.limit == 0 {
		return []string{"No limit given."}
	}
	words := "Dashed circle: limit " + d.with(d.limit)
	if d.far {
		words = "Limit " + d.with(d.limit) + ", beyond this drawing"
	}
	switch {
	case largest < 0:
		return []string{words + "."}
	case largest > d.limit:
		return []string{words + ", exceeded."}
	}
	return []string{words + ", not exceeded."}
}

func (d *strainPlan) description(name string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "Path of the shaft during the strain test of %s, %s, movement in %s.", name, counted(len(d.steps), "step"), d.unit)
	for i, m := range d.moved {
		f := d.figures(m)
		fmt.Fprintf(&b, " %d %s, %s: up %s, right %s;", i+1, named(d.steps[i].Name, "step"), done(&d.steps[i]), f[0], f[1])
	}
	return strings.TrimSuffix(b.String(), ";") + ". " + strings.Join(d.remarks(), " ")
}
