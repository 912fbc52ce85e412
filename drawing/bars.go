package drawing

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"collinear.example/align"
	"collinear.example/uncertainty"
	"collinear.example/whatif"
)

// Bars are horizontal bars on one scale, the longest first: what each source of an
// uncertainty contributes, or what each input does to a result. The constructors
// Budget, Contributions and Effects make them from a result.
type Bars struct {
	Title string   // what the drawing shows
	Of    Quantity // what the bars measure
	Bars  []Bar    // 1 to 1000; the 24 longest are drawn, the rest counted
	// Low and High say what the lower and the upper end of a bar stand for, where
	// bars reach to both sides. The part toward Low is hatched, that toward High
	// tinted. Without them every bar is one figure and tinted.
	Low, High string
	Note      string // head of the column of notes, none when empty
}

// Bar is one bar. A bar of one figure has High alone and Low zero.
type Bar struct {
	Label     string
	Low, High float64 // where it ends with its input low and high, in SI units from the line of zero
	Note      string
}

// Measures of the bars.
const (
	barsMost  = 1000
	barsDrawn = 24
)

// Budget returns the bars of an uncertainty budget (Estimate.Budget): the share of the
// variance of each group, and its standard uncertainty in u beside it.
func Budget(title string, lines []uncertainty.Line, u align.Unit) Bars {
	b := Bars{Title: title, Of: shareOf("share of the variance"), Note: "uncertainty"}
	for _, l := range lines {
		b.Bars = append(b.Bars, Bar{Label: l.Group, High: l.Share, Note: figureIn(u, l.Sigma)})
	}
	return b
}

// Contributions returns the bars of every source of an estimate: its share of the
// variance, and its effect beside it with the sign that a larger source has.
func Contributions(e uncertainty.Estimate) Bars {
	b := Bars{Title: e.Name, Of: shareOf("share of the variance"), Note: "effect"}
	for _, p := range e.Parts {
		b.Bars = append(b.Bars, Bar{Label: p.Source, High: p.Share, Note: plus(p.Effect) + figureIn(e.Unit, p.Effect)})
	}
	return b
}

// Effects returns the bars of a table of derivatives for one of its columns: what the
// figure does when one input at a time goes a step down and a step up, from where it
// stands. Errors: out-of-range for a column that is not there; missing for no table.
func Effects(d *whatif.Derivatives, column int) (Bars, error) {
	if d == nil {
		return Bars{}, sheetFault("derivatives", "", align.ErrMissing)
	}
	if column < 0 || column >= len(d.Columns) || column >= len(d.Base) {
		return Bars{}, sheetFault("column", strconv.Itoa(column), align.ErrOutOfRange)
	}
	if len(d.Effects) < len(d.Inputs) || len(d.Steps) < len(d.Inputs) {
		return Bars{}, sheetFault("derivatives.effects", strconv.Itoa(len(d.Effects)), align.ErrMismatch)
	}
	c := d.Columns[column]
	b := Bars{Title: c.Name, Of: Quantity{"change of " + c.Name, differenceOf(c.Unit), false}, Low: "one step down", High: "one step up", Note: "step"}
	for i, in := range d.Inputs {
		if column >= len(d.Effects[i]) {
			return Bars{}, sheetFault(item("derivatives.effects", i), strconv.Itoa(len(d.Effects[i])), align.ErrMismatch)
		}
		e := d.Effects[i][column]
		b.Bars = append(b.Bars, Bar{in.Name, e.Low - d.Base[column], e.High - d.Base[column], figureIn(differenceOf(in.Unit), d.Steps[i])})
	}
	return b, nil
}

// differenceOf is the unit of a difference of two values in u.
func differenceOf(u align.Unit) align.Unit {
	switch u {
	case align.UnitCelsius, align.UnitKelvin:
		return align.UnitCelsiusRise
	case align.UnitFahrenheit:
		return align.UnitFahrenheitRise
	}
	return u
}

// figureIn prints a figure in u with three significant digits, "-" for one that
// cannot be printed.
func figureIn(u align.Unit, si float64) string {
	v := u.FromSI(si)
	if !align.IsFinite(v) {
		return "-"
	}
	return strings.TrimSpace(significant(v, 3) + " " + Quantity{Unit: u}.suffix())
}

func plus(v float64) string {
	if v > 0 {
		return "+"
	}
	return ""
}

// Draw returns the bars on a sheet as wide as A4 and as high as they need, at most A4.
//
// Errors: missing without bars; not-finite; out-of-range for more than 1000 bars or a
// figure beyond 10^12 in its unit; unknown-unit, wrong-unit.
func (b Bars) Draw() (*Page, error) {
	if err := b.check(); err != nil {
		return nil, err
	}
	d := b.plan()
	s := newSheet(a4Long, d.bottom()+12+blockHeight+sheetEdge, 1, titleBlock{
		title: named(b.Title, "Bars"), kind: d.kind(),
		scales: [2]string{d.x.scale(), "bars to scale from the line of zero"},
		units:  [2]string{"bars: " + d.x.unit(), ""},
	})
	s.Description = d.description(named(b.Title, "bars"))
	d.axis(s)
	for i := range d.shown {
		d.bar(s, i)
	}
	d.under(s)
	return s.Page, nil
}

func (b Bars) check() error {
	if len(b.Bars) == 0 {
		return sheetFault("bars", "", align.ErrMissing)
	}
	if err := checkCount("bars", len(b.Bars), barsMost); err != nil {
		return err
	}
	if err := b.Of.check("of"); err != nil {
		return err
	}
	for i, v := range b.Bars {
		if err := b.Of.checkFigure(item("bars", i)+".low", v.Low); err != nil {
			return err
		}
		if err := b.Of.checkFigure(item("bars", i)+".high", v.High); err != nil {
			return err
		}
	}
	return nil
}

// barsPlan is what the bars need, worked out.
type barsPlan struct {
	Bars
	shown []Bar // the longest first
	rest  int
	x     quantityAxis
	row   float64
	top   float64
}

// Places of the columns in millimetres.
const (
	barsLabel = sheetEdge + 4
	barsLeft  = 80.0
	barsRight = 202.0
	barsTop   = 24.0
)

func (b Bars) plan() barsPlan {
	d := barsPlan{Bars: b, top: barsTop}
	d.shown = slices.Clone(b.Bars)
	slices.SortStableFunc(d.shown, func(p, q Bar) int { return cmp.Compare(q.long(), p.long()) })
	if len(d.shown) > barsDrawn {
		d.rest = len(d.shown) - barsDrawn
		d.shown = d.shown[:barsDrawn]
	}
	values := []float64{b.Of.shown(0)}
	for _, v := range d.shown {
		values = append(values, b.Of.shown(v.Low), b.Of.shown(v.High))
	}
	d.x = axisOf(b.Of, values, barsLeft, barsRight, 6)
	d.row = min(8, 146/float64(len(d.shown)))
	return d
}

// long is how far a bar reaches from the line of zero.
func (b Bar) long() float64 { return max(math.Abs(b.Low), math.Abs(b.High)) }

// twoSided reports whether bars stand for a low and a high input.
func (b Bars) twoSided() bool { return b.Low != "" || b.High != "" }

func (d *barsPlan) kind() string {
	if d.twoSided() {
		return "effects, one input at a time, the largest first"
	}
	return "contributions, the largest first"
}

// bottom is the lower end of the bars.
func (d *barsPlan) bottom() float64 { return d.top + d.row*float64(len(d.shown)) }

// axis draws the scale above the bars and the heads of the columns.
func (d *barsPlan) axis(s *sheet) {
	s.writeMid(Point{(barsLeft + barsRight) / 2, s.body.Top + 5}, d.x.head(), typeNote, 122, Middle)
	for i := range d.x.ticks.count {
		x := d.x.mm(d.x.ticks.at(i))
		s.Draw(Line{From: Point{x, d.top - 1.5}, To: Point{x, d.bottom()}, Stroke: Faint})
		s.writeMid(Point{x, d.top - 4}, d.x.ticks.label(i), typeSmall, 22, Middle)
	}
	zero := d.x.place(0)
	s.Draw(Line{From: Point{barsLeft, d.top}, To: Point{barsRight, d.top}, Stroke: Narrow},
		Line{From: Point{zero, d.top - 1.5}, To: Point{zero, d.bottom()}, Stroke: Wide})
	heads := [2]string{d.Low, d.High}
	if !d.twoSided() {
		heads = [2]string{"", d.x.unit()}
	}
	// The heads stand beside that of the axis: beside the labels of its ticks a wide last
	// one would have no room.
	y := s.body.Top + 5
	s.writeMid(Point{barsRight + 24, y}, heads[0], typeSmall, 23, End)
	s.writeMid(Point{barsRight + 46, y}, heads[1], typeSmall, 21.5, End)
	s.writeMid(Point{s.body.Right - 2, y}, d.Note, typeSmall, 38, End)
}

// bar draws one row.
func (d *barsPlan) bar(s *sheet, i int) {
	b := d.shown[i]
	y := d.top + d.row*(float64(i)+0.5)
	half := 0.3 * d.row
	zero := d.x.place(0)
	part := func(v float64, fill Fill) {
		if x := d.x.place(v); math.Abs(x-zero) > 0.01 {
			s.rectangle(Box{min(x, zero), y - half, max(x, zero), y + half}, Narrow, fill)
		}
	}
	low, high := "", significant(d.shownIn(b.High), 3)
	if d.twoSided() {
		low, high = plus(b.Low)+significant(d.shownIn(b.Low), 3), plus(b.High)+high
		d.nested(part, b)
	} else {
		part(b.High, Tint)
	}
	s.writeMid(Point{barsLabel, y}, b.Label, typeSmall, barsLeft-barsLabel-2, Start)
	s.writeMid(Point{barsRight + 24, y}, low, typeSmall, 23, End)
	s.writeMid(Point{barsRight + 46, y}, high, typeSmall, 21.5, End)
	s.writeMid(Point{s.body.Right - 2, y}, b.Note, typeSmall, 38, End)
}

// nested draws both parts of a bar; where both reach to the same side the longer one
// comes first, so that the shorter can be seen before it.
func (d *barsPlan) nested(part func(float64, Fill), b Bar) {
	if math.Abs(b.Low) > math.Abs(b.High) {
		part(b.Low, Hatched)
		part(b.High, Tint)
		return
	}
	part(b.High, Tint)
	part(b.Low, Hatched)
}

// shownIn is a figure in the unit of the axis, with its power of ten taken out.
func (d *barsPlan) shownIn(si float64) float64 { return d.Of.shown(si) * math.Pow10(-d.x.power) }

// under says what the fills stand for and what is left out.
func (d *barsPlan) under(s *sheet) {
	y := s.body.Bottom - 5
	x := float64(barsLabel)
	if d.twoSided() {
		for _, k := range [...]struct {
			words string
			fill  Fill
		}{{d.Low, Hatched}, {d.High, Tint}} {
			s.rectangle(Box{x, y - 1.5, x + 6, y + 1.5}, Narrow, k.fill)
			s.writeMid(Point{x + 8, y}, k.words, typeSmall, 50, Start)
			x += 60
		}
	}
	if d.rest > 0 {
		s.writeMid(Point{s.body.Right - 2, y}, d.left(), typeSmall, 120, End)
	}
}

// left says how many bars are left out and what is known of them.
func (d *barsPlan) left() string {
	last := d.shown[len(d.shown)-1].long()
	return strconv.Itoa(d.rest) + " more, none beyond " + strings.TrimSpace(significant(d.shownIn(last), 3)+" "+d.x.suffixed(d.x.power)) + ", not drawn"
}

func (d *barsPlan) description(name string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "Bars: %s, %s, %s.", name, d.x.head(), d.kind())
	for _, v := range d.shown {
		fmt.Fprintf(&b, " %s:", named(v.Label, "bar"))
		if d.twoSided() {
			fmt.Fprintf(&b, " %s%s, %s%s", plus(v.Low), significant(d.shownIn(v.Low), 3), plus(v.High), significant(d.shownIn(v.High), 3))
		} else {
			fmt.Fprintf(&b, " %s", significant(d.shownIn(v.High), 3))
		}
		if v.Note != "" {
			fmt.Fprintf(&b, " (%s %s)", named(d.Note, "note"), named(v.Note, "-"))
		}
		b.WriteString(";")
	}
	out := strings.TrimSuffix(b.String(), ";") + "."
	if d.twoSided() {
		out += " The first figure is for " + named(d.Low, "low") + ", the second for " + named(d.High, "high") + "."
	}
	if d.rest > 0 {
		out += " " + d.left() + "."
	}
	return out
}
