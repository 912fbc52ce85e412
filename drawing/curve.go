package drawing

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"collinear.example/align"
	"collinear.example/moves"
	"collinear.example/whatif"
)

// Curve is one figure against another: what one thing costs of another, or one input
// against one result. Points are joined by straight lines in the order given. The
// constructors TradeOff, FootMoves and WhatIf make one from a result.
type Curve struct {
	Title  string       // what the drawing shows
	X, Y   Quantity     // what runs to the right, and what runs up
	Points []CurvePoint // 1 to 1000
	Chosen []int        // indices of points to be marked and listed, at most 12
	// Limits are figures of Y drawn as dashed lines across, at most 6.
	Limits []Mark
	// Thresholds are figures of X drawn as centrelines upward, at most 6.
	Thresholds []Mark
}

// CurvePoint is one point in SI units.
type CurvePoint struct{ X, Y float64 }

// Mark is a figure in SI units that stands out, and what it is.
type Mark struct {
	Name string
	At   float64
}

// Bounds of a curve.
const (
	curvePoints = 1000
	curveChosen = 12
	curveMarks  = 6
)

// shareOf is a share of a limit or a tolerance, in percent.
func shareOf(name string) Quantity { return Quantity{name, align.UnitOne, true} }

// TradeOff returns the curve of Train.TradeOff: the largest share of a limit at any
// coupling against the largest share of a tolerance at any flange, with the limit of
// 100 % drawn. The points chosen are indices of points.
func TradeOff(points []moves.Point, chosen ...int) Curve {
	c := Curve{
		Title: "Alignment against flange fit",
		X:     shareOf("largest share at a flange"), Y: shareOf("largest share at a coupling"),
		Limits: []Mark{{"limit", 1}}, Chosen: chosen,
	}
	for _, p := range points {
		c.Points = append(c.Points, CurvePoint{p.Flange, p.Alignment})
	}
	return c
}

// FootMoves returns the largest share of a limit at any coupling against the largest
// move of a foot, u being the unit of the moves, for the motions of several points or
// plans. Errors: those of Train.Evaluate.
func FootMoves(t *moves.Train, motions [][]align.Motion, u align.Unit, chosen ...int) (Curve, error) {
	c := Curve{
		Title: "Alignment against moves",
		X:     Quantity{"largest move of a foot", u, false}, Y: shareOf("largest share at a coupling"),
		Limits: []Mark{{"limit", 1}}, Chosen: chosen,
	}
	if t == nil {
		return Curve{}, sheetFault("train", "", align.ErrMissing)
	}
	for i, m := range motions {
		e, err := t.Evaluate(m)
		if err != nil {
			return Curve{}, of(item("motions", i), err)
		}
		c.Points = append(c.Points, CurvePoint{float64(e.Largest), e.WorstCoupling})
	}
	return c, nil
}

// WhatIf returns one column of a what-if table against one of its knobs, rows without a
// figure left out. Errors: missing for a table without a figure there; out-of-range for
// a knob or a column that is not there.
func WhatIf(t *whatif.Table, knob, column int) (Curve, error) {
	if t == nil {
		return Curve{}, sheetFault("table", "", align.ErrMissing)
	}
	knobs, columns := t.Knobs(), t.Columns()
	if knob < 0 || knob >= len(knobs) {
		return Curve{}, sheetFault("knob", strconv.Itoa(knob), align.ErrOutOfRange)
	}
	if column < 0 || column >= len(columns) || columns[column].IsText() {
		return Curve{}, sheetFault("column", strconv.Itoa(column), align.ErrOutOfRange)
	}
	x, y := knobs[knob], columns[column]
	c := Curve{Title: named(y.Name, "result") + " against " + named(x.Name, "input"), X: Quantity{x.Name, x.Unit, false}, Y: Quantity{y.Name, y.Unit, false}}
	for row := range t.Len() {
		v, known := t.Value(row, knob)
		f, found := t.Number(row, column)
		if known && found {
			c.Points = append(c.Points, CurvePoint{v, f})
		}
	}
	if len(c.Points) == 0 {
		return Curve{}, sheetFault("table", "", align.ErrMissing)
	}
	return c, nil
}

// Draw returns the curve on an A4 sheet. Both axes carry ticks of 1, 2 or 5 times a
// power of ten; neither need begin at zero.
//
// Errors: missing without points; not-finite; out-of-range for counts beyond those
// stated, an index that is not there, or a figure beyond 10^12 in its unit;
// unknown-unit; wrong-unit for a percentage of anything but a ratio.
func (c Curve) Draw() (*Page, error) {
	if err := c.check(); err != nil {
		return nil, err
	}
	d := c.plan()
	s := newSheet(a4Long, a4Short, 1, titleBlock{
		title: named(c.Title, "Curve"), kind: "curve",
		scales: [2]string{"across: " + d.x.scale(), "up: " + d.y.scale()},
		units:  [2]string{"across: " + d.x.unit(), "up: " + d.y.unit()},
	})
	s.Description = c.description(named(c.Title, "a curve"))
	s.grid(d.x.axis, d.y.axis)
	s.rectangle(d.box, Narrow, NoFill)
	s.ticksBelow(d.x.axis, d.box.Bottom, typeNote)
	s.ticksLeft(d.y.axis, d.box.Left, typeNote)
	s.writeMid(Point{d.box.Left, s.body.Top + 5}, d.y.head(), typeNote, 120, Start)
	s.writeMid(Point{(d.box.Left + d.box.Right) / 2, d.box.Bottom + 10}, d.x.head(), typeNote, 120, Middle)
	d.marks(s)
	d.line(s)
	d.list(s)
	return s.Page, nil
}

func (c Curve) check() error {
	if len(c.Points) == 0 {
		return sheetFault("points", "", align.ErrMissing)
	}
	for _, n := range [...]struct {
		field   string
		n, most int
	}{{"points", len(c.Points), curvePoints}, {"chosen", len(c.Chosen), curveChosen}, {"limits", len(c.Limits), curveMarks}, {"thresholds", len(c.Thresholds), curveMarks}} {
		if err := checkCount(n.field, n.n, n.most); err != nil {
			return err
		}
	}
	if err := c.X.check("x"); err != nil {
		return err
	}
	if err := c.Y.check("y"); err != nil {
		return err
	}
	for i, p := range c.Points {
		if err := c.X.checkFigure(item("points", i)+".x", p.X); err != nil {
			return err
		}
		if err := c.Y.checkFigure(item("points", i)+".y", p.Y); err != nil {
			return err
		}
	}
	for i, k := range c.Chosen {
		if k < 0 || k >= len(c.Points) {
			return sheetFault(item("chosen", i), strconv.Itoa(k), align.ErrOutOfRange)
		}
	}
	for i, m := range c.Limits {
		if err := c.Y.checkFigure(item("limits", i)+".at", m.At); err != nil {
			return err
		}
	}
	for i, m := range c.Thresholds {
		if err := c.X.checkFigure(item("thresholds", i)+".at", m.At); err != nil {
			return err
		}
	}
	return nil
}

// curvePlan is what a curve needs, worked out.
type curvePlan struct {
	Curve
	box  Box
	x, y quantityAxis
}

// curveSide is how wide the column beside the curve is.
const curveSide = 84.0

func (c Curve) plan() curvePlan {
	var xs, ys []float64
	for _, p := range c.Points {
		xs, ys = append(xs, c.X.shown(p.X)), append(ys, c.Y.shown(p.Y))
	}
	for _, m := range c.Limits {
		ys = append(ys, c.Y.shown(m.At))
	}
	for _, m := range c.Thresholds {
		xs = append(xs, c.X.shown(m.At))
	}
	d := curvePlan{Curve: c, box: Box{Top: sheetEdge + 9 + 5*float64(min(1, len(c.Thresholds))), Right: a4Long - sheetEdge - curveSide - 5, Bottom: a4Short - sheetEdge - blockHeight - 15}}
	d.y = axisOf(c.Y, ys, d.box.Bottom, d.box.Top, 12)
	d.box.Left = sheetEdge + 6 + d.y.ticks.width(typeNote)
	d.x = axisOf(c.X, xs, d.box.Left, d.box.Right, 7)
	return d
}

// quantityAxis is an axis of a quantity; its figures are divided by a power of ten.
type quantityAxis struct {
	axis
	Quantity
	power int
}

// axisOf returns the axis that holds all values (as shown), with some room at both
// ends, from one place on the paper to another.
func axisOf(q Quantity, values []float64, from, to float64, most int) quantityAxis {
	lo, hi := values[0], values[0]
	for _, v := range values {
		lo, hi = min(lo, v), max(hi, v)
	}
	a := quantityAxis{Quantity: q, power: powerFor(max(math.Abs(lo), math.Abs(hi)))}
	k := math.Pow10(-a.power)
	lo, hi = widened(lo*k, hi*k)
	room := 0.05 * (hi - lo)
	a.axis = axis{lo: lo - room, hi: hi + room, from: from, to: to}
	a.ticks = ticksFor(a.lo, a.hi, most)
	return a
}

// place is where a figure in SI units stands.
func (a quantityAxis) place(si float64) float64 { return a.mm(a.shown(si) * math.Pow10(-a.power)) }

func (a quantityAxis) head() string { return a.Quantity.head(a.power) }

// unit is the unit with the power of ten, "plain ratio" where there is none.
func (a quantityAxis) unit() string {
	if u := a.suffixed(a.power); u != "" {
		return u
	}
	return "plain ratio"
}

// scale says how far apart the ticks stand in figures and on the paper.
func (a quantityAxis) scale() string {
	between := math.Abs(a.mm(a.ticks.step) - a.mm(0))
	step := significant(a.ticks.step, 4)
	switch {
	case a.power != 0:
		step += " x " + a.suffixed(a.power)
	case a.suffix() != "":
		step += " " + a.suffix()
	}
	return step + " is " + significant(between, 4) + " mm on paper"
}

func (d *curvePlan) at(p CurvePoint) Point { return Point{d.x.place(p.X), d.y.place(p.Y)} }

// marks draws limits and thresholds, the names of the limits at the right of their
// lines and those of the thresholds above.
func (d *curvePlan) marks(s *sheet) {
	wanted := make([]float64, len(d.Limits))
	for i, m := range d.Limits {
		wanted[i] = d.y.place(m.At)
		s.Draw(Line{From: Point{d.box.Left, wanted[i]}, To: Point{d.box.Right, wanted[i]}, Stroke: Dashed})
	}
	for i, y := range spread(wanted, rowOf(typeSmall), d.box.Top, d.box.Bottom) {
		s.Draw(Line{From: Point{d.box.Right, wanted[i]}, To: Point{d.box.Right + 4, y}, Stroke: Faint})
		s.writeMid(Point{d.box.Right + 4.5, y}, named(d.Limits[i].Name, "limit"), typeSmall, 24, Start)
	}
	each := (d.box.Right - d.box.Left) / max(1, float64(len(d.Thresholds)))
	wide := min(42, each)
	above := make([]float64, len(d.Thresholds))
	for i, m := range d.Thresholds {
		above[i] = d.x.place(m.At)
		s.Draw(Line{From: Point{above[i], d.box.Top}, To: Point{above[i], d.box.Bottom}, Stroke: Centre})
	}
	for i, x := range spread(above, wide, d.box.Left, d.box.Right) {
		s.Draw(Line{From: Point{above[i], d.box.Top}, To: Point{x, d.box.Top - 1.8}, Stroke: Faint})
		s.writeMid(Point{x, d.box.Top - 3.5}, named(d.Thresholds[i].Name, "threshold"), typeSmall, wide-1, Middle)
	}
}

// line draws the curve, its points where they are few, and those chosen.
func (d *curvePlan) line(s *sheet) {
	curve := Polyline{Stroke: Wide}
	for _, p := range d.Points {
		curve.Points = append(curve.Points, d.at(p))
	}
	s.Draw(curve)
	if len(d.Points) <= 60 {
		for _, p := range curve.Points {
			s.Draw(Circle{Centre: p, Radius: 0.7, Stroke: NoStroke, Fill: Solid})
		}
	}
	labels := placer{room: d.box.Grown(-1), width: TextWidth("00", typeNote) + 0.8, height: 2*halfBox*typeNote + 0.4}
	for i := 1; i < len(curve.Points); i++ {
		labels.line(curve.Points[i-1], curve.Points[i])
	}
	for _, m := range d.Limits {
		y := d.y.place(m.At)
		labels.line(Point{d.box.Left, y}, Point{d.box.Right, y})
	}
	for _, k := range d.Chosen {
		labels.keep(around(curve.Points[k]))
	}
	for i, k := range d.Chosen {
		p := curve.Points[k]
		s.Draw(Circle{Centre: p, Radius: 1.8, Stroke: Wide})
		mid := labels.place(p, -math.Pi/4)
		s.leader(labels.box(mid), p)
		s.writeMid(mid, strconv.Itoa(i+1), typeNote, labels.width, Middle)
	}
}

// list writes the chosen points, limits and thresholds with their figures.
func (d *curvePlan) list(s *sheet) {
	at := Point{d.box.Right + 33, d.box.Top}
	if len(d.Chosen) > 0 {
		rows := make([][]string, len(d.Chosen))
		for i, k := range d.Chosen {
			p := d.Points[k]
			rows[i] = []string{strconv.Itoa(i + 1), d.X.number(p.X), d.Y.number(p.Y)}
		}
		at.Y = 4 + s.table(at, []column{{"no.", 8, Start}, {"across", 22, End}, {"up", 22, End}}, rows, typeSmall)
	}
	var rows [][]string
	for _, m := range d.Limits {
		rows = append(rows, []string{named(m.Name, "limit"), d.Y.number(m.At)})
	}
	for _, m := range d.Thresholds {
		rows = append(rows, []string{named(m.Name, "threshold"), d.X.number(m.At)})
	}
	if len(rows) > 0 {
		s.table(at, []column{{"line", 30, Start}, {"at", 22, End}}, rows, typeSmall)
	}
}

func (c Curve) description(name string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "Curve: %s. Across %s, up %s, %s:", name, c.X.head(0), c.Y.head(0), counted(len(c.Points), "point"))
	for i, p := range c.Points {
		if len(c.Points) > 24 && i > 0 && i < len(c.Points)-1 && i%(1+len(c.Points)/24) != 0 {
			continue // a screen reader is not helped by a thousand figures
		}
		fmt.Fprintf(&b, " (%s, %s)", c.X.figure(p.X), c.Y.figure(p.Y))
	}
	b.WriteString(".")
	for i, k := range c.Chosen {
		fmt.Fprintf(&b, " Chosen point %d: %s, %s.", i+1, c.X.figure(c.Points[k].X), c.Y.figure(c.Points[k].Y))
	}
	for _, m := range c.Limits {
		fmt.Fprintf(&b, " Limit, %s: %s.", named(m.Name, "limit"), c.Y.figure(m.At))
	}
	for _, m := range c.Thresholds {
		fmt.Fprintf(&b, " Threshold, %s: %s.", named(m.Name, "threshold"), c.X.figure(m.At))
	}
	return b.String()
}
