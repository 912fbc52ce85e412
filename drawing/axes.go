package drawing

import (
	"math"
	"strconv"
	"strings"

	"collinear.example/align"
)

// ticks are round figures along an axis: whole multiples of 1, 2 or 5 times a power
// of ten.
type ticks struct {
	first    float64 // multiple of step
	step     float64
	count    int
	decimals int
}

// ticksFor returns the ticks between lo and hi, both included, at most most of them.
// The range is no narrower than widened makes it.
func ticksFor(lo, hi float64, most int) ticks {
	step := roundUp((hi - lo) / float64(most))
	const hair = 1e-9
	for {
		first, last := math.Ceil(lo/step-hair), math.Floor(hi/step+hair)
		if n := int(last-first) + 1; n <= most {
			return ticks{first, step, n, max(0, -int(math.Floor(math.Log10(step)+hair)))}
		}
		step = roundUp(step * 1.5)
	}
}

// at returns tick i.
func (t ticks) at(i int) float64 { return (t.first + float64(i)) * t.step }

// label prints tick i.
func (t ticks) label(i int) string {
	s := strconv.FormatFloat(t.at(i), 'f', t.decimals, 64)
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-")
	}
	return s
}

// width returns how wide the widest label is.
func (t ticks) width(size float64) (w float64) {
	for i := range t.count {
		w = max(w, TextWidth(t.label(i), size))
	}
	return w
}

// axis carries figures from lo to hi along the paper from one place to another.
type axis struct {
	lo, hi   float64
	from, to float64 // millimetres on the paper
	ticks    ticks
}

// mm returns where a figure stands.
func (a axis) mm(v float64) float64 { return a.from + (v-a.lo)/(a.hi-a.lo)*(a.to-a.from) }

// ticksBelow draws the ticks of an axis that runs to the right below y.
func (s *sheet) ticksBelow(a axis, y, size float64) {
	pitch := math.Abs(a.mm(a.ticks.at(0)+a.ticks.step) - a.mm(a.ticks.at(0)))
	for i := range a.ticks.count {
		x := a.mm(a.ticks.at(i))
		s.Draw(Line{From: Point{x, y}, To: Point{x, y + 1.5}, Stroke: Narrow})
		s.writeMid(Point{x, y + 2 + halfBox*size}, a.ticks.label(i), size, pitch-0.5, Middle)
	}
}

// ticksLeft draws the ticks of an axis that runs up the left of x.
func (s *sheet) ticksLeft(a axis, x, size float64) {
	for i := range a.ticks.count {
		y := a.mm(a.ticks.at(i))
		s.Draw(Line{From: Point{x - 1.5, y}, To: Point{x, y}, Stroke: Narrow})
		s.writeMid(Point{x - 2.2, y}, a.ticks.label(i), size, 30, End)
	}
}

// grid draws faint lines through the ticks of both axes.
func (s *sheet) grid(x, y axis) {
	for i := range x.ticks.count {
		at := x.mm(x.ticks.at(i))
		s.Draw(Line{From: Point{at, y.from}, To: Point{at, y.to}, Stroke: Faint})
	}
	for i := range y.ticks.count {
		at := y.mm(y.ticks.at(i))
		s.Draw(Line{From: Point{x.from, at}, To: Point{x.to, at}, Stroke: Faint})
	}
}

// Quantity says what an axis or a bar shows: a name, and the unit in which its figures
// are printed. The figures themselves are in SI units.
type Quantity struct {
	Name    string
	Unit    align.Unit // UnitOne for a plain ratio
	Percent bool       // print a plain ratio in percent
}

// mostFigure bounds the size of a figure in its unit (own choice).
const mostFigure = 1e12

// check wants a known unit.
func (q Quantity) check(field string) error {
	switch {
	case q.Unit.Dimension() == align.NoDimension:
		return sheetFault(field+".unit", strconv.Quote(string(q.Unit)), align.ErrUnknownUnit)
	case q.Percent && q.Unit != align.UnitOne:
		return sheetFault(field+".unit", strconv.Quote(string(q.Unit)), align.ErrWrongUnit)
	}
	return nil
}

// checkFigure wants a figure that is finite and not absurd in its unit.
func (q Quantity) checkFigure(field string, si float64) error {
	switch v := q.shown(si); {
	case !align.IsFinite(si) || !align.IsFinite(v):
		return sheetFault(field, strconv.FormatFloat(si, 'g', -1, 64), align.ErrNotFinite)
	case math.Abs(v) > mostFigure:
		return sheetFault(field, significant(v, 6)+" "+q.suffix(), align.ErrOutOfRange)
	}
	return nil
}

// shown returns the figure as printed: in its unit, or in percent.
func (q Quantity) shown(si float64) float64 {
	if q.Percent {
		return 100 * si
	}
	return q.Unit.FromSI(si)
}

// suffix is the unit as printed, "" for a plain ratio.
func (q Quantity) suffix() string {
	switch {
	case q.Percent:
		return "%"
	case q.Unit == align.UnitOne:
		return ""
	}
	return string(q.Unit)
}

// number prints a figure with four significant digits and without its unit.
func (q Quantity) number(si float64) string { return significant(q.shown(si), 4) }

// figure prints a figure with four significant digits and its unit.
func (q Quantity) figure(si float64) string {
	return strings.TrimSpace(q.number(si) + " " + q.suffix())
}

// suffixed is the unit with a power of ten before it, where that is not zero.
func (q Quantity) suffixed(power int) string {
	if power == 0 {
		return q.suffix()
	}
	return strings.TrimSpace("10^" + strconv.Itoa(power) + " " + q.suffix())
}

// head is the name with the unit, and the power of ten of an axis where it has one.
func (q Quantity) head(power int) string {
	name := named(q.Name, "value")
	if u := q.suffixed(power); u != "" {
		return name + ", " + u
	}
	return name
}

// widened makes a range fit for an axis: one that is narrower than a ten-thousandth of
// its figures is opened round its middle, so that its ticks stay short.
func widened(lo, hi float64) (float64, float64) {
	least := max(1e-4*max(math.Abs(lo), math.Abs(hi)), 1e-9)
	if hi-lo >= least {
		return lo, hi
	}
	mid := lo + (hi-lo)/2
	open := max(0.05*math.Abs(mid), least)
	return mid - open, mid + open
}

// powerFor returns the power of ten, a multiple of three, by which figures up to a
// size are divided so that their ticks stay short; zero for usual sizes.
func powerFor(size float64) int {
	if size == 0 || size >= 0.01 && size < 1e5 {
		return 0
	}
	return 3 * int(math.Floor(math.Log10(size)/3))
}
