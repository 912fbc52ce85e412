package drawing

import (
	"fmt"
	"math"
	"strings"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Clock is a clock diagram of one dial sweep: the readings round a circle at their
// clock positions, as a person sees them who looks along +x, with the radius
// exaggerated. A reading larger than the mean of the fit stands outside the dashed
// circle, a smaller one inside it.
//
// The curve through them is the least-squares fit of Sweep.Fit,
//
//	r(t) = constant + vertical cos t + horizontal sin t
//
// drawn point by point, so that a reading that fits lies on it; its centre is off by
// the first harmonic (vertical, horizontal). A short thick stroke from the curve to
// a reading is what the fit leaves over.
type Clock struct {
	Title string      // what the drawing shows, such as the name of the dial
	Sweep align.Sweep // as read, looking along +x; 1 to 36 readings beside the closing one, none beyond a metre
	Unit  align.Unit  // UnitMillimetre or UnitMil; nothing is millimetres
}

// Measures of the clock diagram in millimetres.
const (
	clockRing  = 58.0 // radius of the ring that carries the hours
	clockMean  = 37.0 // radius of the dashed circle
	clockDeep  = 11.0 // most that a reading may stand from the dashed circle
	clockLabel = 64.0 // radius at which the numbers stand
	clockFew   = 16   // up to so many readings are lettered large
	clockMost  = 36
)

// Draw returns the diagram on an A4 sheet. The scale of the radius is the largest
// of 1, 2 or 5 times a power of ten that fits.
//
// Errors: those of Sweep.Fit; out-of-range for too many readings or one beyond a
// metre; unknown-unit, wrong-unit.
func (c Clock) Draw() (*Page, error) {
	d, err := c.plan()
	if err != nil {
		return nil, err
	}
	s := newSheet(a4Long, a4Short, 1, titleBlock{
		title: named(c.Title, "Dial sweep"), kind: "clock diagram, seen looking along +x",
		scales: [2]string{"radius of readings " + d.scale.String(), d.scale.tenth(d.unit)},
		units:  [2]string{"readings: " + string(d.unit), ""},
	})
	s.Description = d.description(named(c.Title, "a dial"))
	d.face(s)
	d.fitted(s)
	d.points(s)
	d.numbers(s)
	d.list(s)
	s.scaleBar(Point{s.body.Left + 5, s.body.Bottom - 5}, d.scale, d.unit, 25)
	return s.Page, nil
}

// clockPlan is what a clock diagram needs, worked out.
type clockPlan struct {
	printer
	sweep   align.Sweep
	fit     align.Fit
	core    []align.Reading // without the closing reading
	closure unit.Length
	closes  bool
	scale   ratio
	centre  Point
	size    float64 // of the numbers
}

func (c Clock) plan() (*clockPlan, error) {
	if err := checkUnit(c.Unit); err != nil {
		return nil, err
	}
	d := &clockPlan{printer: small(c.Unit), sweep: c.Sweep, core: c.Sweep, centre: Point{92, 98}, size: typeNote}
	if err := checkCount("sweep", len(c.Sweep), clockMost+1); err != nil {
		return nil, err
	}
	for i, r := range c.Sweep {
		if err := checkBetween(item("sweep", i)+".value", r.Value, maxOffset); err != nil {
			return nil, err
		}
	}
	var err error
	if d.fit, err = c.Sweep.Fit(); err != nil {
		return nil, of("", err)
	}
	if d.closure, d.closes = c.Sweep.Closure(); d.closes {
		d.core = c.Sweep[:len(c.Sweep)-1]
	}
	if err := checkCount("sweep", len(d.core), clockMost); err != nil {
		return nil, err
	}
	if len(d.core) > clockFew {
		d.size = typeSmall
	}
	deep := unit.Length(0)
	if d.whole() {
		deep = unit.Length(math.Hypot(float64(d.fit.Vertical), float64(d.fit.Horizontal)))
	}
	for _, r := range d.core {
		deep = max(deep, unit.Length(math.Abs(float64(r.Value-d.fit.Constant))))
	}
	d.scale = fitRatio(deep, clockDeep)
	return d, nil
}

// whole reports whether the fit knows both planes, so that it can be drawn all round.
func (d *clockPlan) whole() bool { return d.fit.VerticalKnown && d.fit.HorizontalKnown }

// at is the place of a reading: its radius from the dashed circle to scale.
func (d *clockPlan) at(t align.Clock, value unit.Length) Point {
	return d.polar(t, clockMean+d.scale.mm(value-d.fit.Constant))
}

func (d *clockPlan) polar(t align.Clock, radius float64) Point {
	up, right := t.Unit()
	return d.centre.Add(radius*right, -radius*up)
}

// value is what the fit makes of a clock position.
func (d *clockPlan) value(t align.Clock) unit.Length {
	up, right := t.Unit()
	return d.fit.Constant + unit.Length(up)*d.fit.Vertical + unit.Length(right)*d.fit.Horizontal
}

// face draws the ring with the hours, the centrelines and the dashed circle.
func (d *clockPlan) face(s *sheet) {
	s.Draw(Circle{Centre: d.centre, Radius: clockRing, Stroke: Wide}, Circle{Centre: d.centre, Radius: clockMean, Stroke: Dashed})
	s.crossAt(d.centre, clockMean+clockDeep, Centre)
	for hour := range 12 {
		t := align.OClock(float64(hour))
		s.Draw(Line{From: d.polar(t, clockRing-2.5), To: d.polar(t, clockRing), Stroke: Narrow})
		if hour%3 == 0 {
			name := fmt.Sprint((hour+11)%12 + 1)
			s.writeMid(d.polar(t, clockRing-5.5), name, typeNote, 6, Middle)
		}
	}
}

// fitted draws the curve of the fit, where it is known all round, and how far its
// centre is off.
func (d *clockPlan) fitted(s *sheet) {
	off := d.centre.Add(d.scale.mm(d.fit.Horizontal), -d.scale.mm(d.fit.Vertical))
	if d.whole() {
		curve := Polyline{Closed: true, Stroke: Narrow}
		for k := range 120 {
			t := align.Clock(3 * k)
			curve.Points = append(curve.Points, d.at(t, d.value(t)))
		}
		s.Draw(curve)
	}
	if distance(off, d.centre) > 0.5 {
		s.Draw(Line{From: d.centre, To: off, Stroke: Wide, Arrow: AtEnd})
	}
	s.Draw(Circle{Centre: d.centre, Radius: 0.9, Stroke: Narrow, Fill: Paper})
}

// points draws the rays, what the fit leaves over, and the readings.
func (d *clockPlan) points(s *sheet) {
	for _, r := range d.core {
		s.Draw(Line{From: d.polar(r.At, clockMean-clockDeep), To: d.polar(r.At, clockMean+clockDeep), Stroke: Faint})
	}
	for _, r := range d.core {
		on, as := d.at(r.At, d.value(r.At)), d.at(r.At, r.Value)
		if distance(on, as) > 0.05 {
			s.Draw(Line{From: on, To: as, Stroke: Wide})
		}
		s.Draw(Circle{Centre: as, Radius: 0.7, Stroke: NoStroke, Fill: Solid})
	}
}

// numbers writes the readings outside the ring at their clock positions. Those on
// each side are spread down the side; a single one at 12 or at 6 stands in the
// middle above or below all others.
func (d *clockPlan) numbers(s *sheet) {
	pitch := rowOf(d.size)
	tall := max(2*clockLabel, float64(len(d.core))*pitch) / 2
	var sides [2][]align.Reading // right, left
	alone := map[align.Clock]int{}
	for _, r := range d.core {
		alone[r.At.Normal()]++
	}
	for _, r := range d.core {
		t := r.At.Normal()
		switch {
		case len(d.core) <= clockFew && t == align.Twelve && alone[t] == 1:
			s.writeMid(d.centre.Add(0, -tall-pitch/2), d.signed(r.Value), d.size, 25, Middle)
		case len(d.core) <= clockFew && t == align.Six && alone[t] == 1:
			s.writeMid(d.centre.Add(0, tall+pitch/2), d.signed(r.Value), d.size, 25, Middle)
		case t < align.Six:
			sides[0] = append(sides[0], r)
		default:
			sides[1] = append(sides[1], r)
		}
	}
	for side, list := range sides {
		d.side(s, list, side == 1, tall)
	}
}

// side writes the numbers of one side with leaders to the ring. They follow the
// ring as far as it reaches and never come nearer to the middle than gap.
func (d *clockPlan) side(s *sheet, list []align.Reading, left bool, tall float64) {
	wanted := make([]float64, len(list))
	for i, r := range list {
		wanted[i] = d.polar(r.At, clockLabel).Y
	}
	const gap = 6
	for i, y := range spread(wanted, rowOf(d.size), d.centre.Y-tall, d.centre.Y+tall) {
		dy := y - d.centre.Y
		out := max(gap, math.Sqrt(max(0, clockLabel*clockLabel-dy*dy)))
		at, anchor := Point{d.centre.X + out, y}, Start
		if left {
			at, anchor = Point{d.centre.X - out, y}, End
		}
		s.writeMid(at, d.signed(list[i].Value), d.size, 20, anchor)
		end := at.Add(-0.8, 0)
		if left {
			end = at.Add(0.8, 0)
		}
		s.Draw(Line{From: d.polar(list[i].At, clockRing), To: end, Stroke: Faint})
	}
}

// list writes the readings with what is left over, and what follows, on the right.
func (d *clockPlan) list(s *sheet) {
	left := 190.0
	rows := make([][]string, len(d.core))
	for i, r := range d.core {
		rows[i] = []string{hour(r.At), d.signed(r.Value), d.signed(d.value(r.At)), d.signed(r.Value - d.value(r.At))}
	}
	cols := []column{{"o'clock", 19, End}, {"reading", 26, End}, {"fit", 26, End}, {"left over", 26, End}}
	y := s.table(Point{left, s.body.Top + 4}, cols, rows, d.size)
	s.notes(Point{left, y + 3}, d.remarks(), d.size, s.body.Right-left-3, s.body.Bottom-1)
}

func hour(t align.Clock) string { return strings.TrimSuffix(t.String(), " o'clock") }

// remarks says what the diagram shows in words and numbers.
func (d *clockPlan) remarks() []string {
	out := []string{d.offset()}
	if d.whole() {
		out = append(out, "Left over: at most "+d.with(d.fit.Worst)+".")
	}
	out = append(out, d.closing())
	if v, ok := d.sweep.SumRule(); ok {
		out = append(out, "Top + bottom less left + right: "+d.signed(v)+" "+string(d.unit)+".")
	}
	out = append(out, "Bracket sag is not taken out.")
	if d.whole() {
		return append(out, "Curve: fitted circle. Arrow: offset of its centre. Dashed: mean of the fit, "+d.with(d.fit.Constant)+".")
	}
	return append(out, "Dashed: mean of the fit, "+d.with(d.fit.Constant)+". No curve: one plane was not read.")
}

// offset says where the centre of the fitted circle lies.
func (d *clockPlan) offset() string {
	up, right := d.fit.Vertical, d.fit.Horizontal
	switch words := strings.Split(d.toward(up, right), ", "); {
	case d.whole():
		return "Centre of the fitted circle: " + words[0] + ", " + words[1] + "."
	case d.fit.VerticalKnown:
		return "Centre of the fitted circle: " + words[0] + "; not known sideways."
	default:
		return "Centre of the fitted circle: " + words[1] + "; not known up and down."
	}
}

func (d *clockPlan) closing() string {
	if !d.closes {
		return "Closure: no closing reading taken."
	}
	return "Closure: last reading less first " + d.signed(d.closure) + " " + string(d.unit) + "."
}

func (d *clockPlan) description(name string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "Clock diagram of %s, %s in %s:", name, counted(len(d.core), "reading"), d.unit)
	for i, r := range d.core {
		if i > 0 {
			b.WriteString(",")
		}
		fmt.Fprintf(&b, " %s at %s", d.signed(r.Value), r.At)
	}
	b.WriteString(". " + strings.Join(d.remarks(), " "))
	return b.String()
}
