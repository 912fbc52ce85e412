package drawing

import (
	"math"
	"strconv"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// GraphPaper is a worksheet on which shaft positions are plotted by hand: squared paper
// with the stations ruled across and labelled below, and the offsets ruled up both
// sides. Printed at full size it is exact: a millimetre of the drawing is a millimetre
// of paper. With a solution the same sheet shows what should have been drawn.
//
// With millimetres the small squares are 1 mm and every tenth line is stronger; with
// mils they are a tenth of an inch and every fifth line is stronger.
type GraphPaper struct {
	Title      string
	Paper      PaperSize
	Horizontal bool        // the plan view, offsets toward 3 positive; else the side view, offsets up positive
	From, To   unit.Length // stations at the left and the right end of the squares
	Stations   []PaperStation
	// Reduction is the scale of the stations, 1 : Reduction; zero takes the smallest
	// of 1, 2 or 5 times a power of ten that fits the paper.
	Reduction float64
	// Magnification is the scale of the offsets, Magnification : 1. Zero takes the
	// largest of 1, 2 or 5 times a power of ten up to 10000 that fits the solution, and
	// 100 without one or for one that is all zero.
	Magnification float64
	Middle        unit.Length // offset at the middle of the height
	Unit          align.Unit  // UnitMillimetre or UnitMil; nothing is millimetres
	Solution      *PaperSolution
}

// PaperStation is a station that is ruled on the sheet: a foot, a dial, a flex plane.
type PaperStation struct {
	Name string
	At   unit.Length
	Foot bool // a move is asked here: a line is left for it, or the solution filled in
}

// PaperSolution is what is drawn on the sheet when it is done.
type PaperSolution struct {
	Points []align.Point // what was plotted from the readings, at most 24
	Shafts []PaperShaft  // the shafts as found, 1 to 4
	// Wanted is the line on which the shafts are wanted; the zero value is the line of
	// zero.
	Wanted align.Line
	Feet   []PaperFoot
}

// PaperShaft is a shaft as found, drawn between two stations; the same twice is the
// whole sheet.
type PaperShaft struct {
	Name     string
	Line     align.Line
	From, To unit.Length
}

// PaperFoot says that the foot at a station carries a shaft. Its move is the offset
// wanted there less that of the shaft.
type PaperFoot struct {
	Station int // index in GraphPaper.Stations
	Shaft   int // index in PaperSolution.Shafts
}

// Bounds of a sheet of graph paper.
const (
	paperStations = 14
	paperPoints   = 24
	paperShafts   = 4
	paperSide     = 20.0 // beside the squares, for the offsets, on A4
	paperAbove    = 9.0  // above the squares, for the stations, on A4
	paperRuler    = 8.0  // below the labels, for the ruler, on A4
	// paperScale bounds both scales either way.
	paperScale = 1e5
	// paperReach is the largest offset of the middle, and the farthest from it that is
	// drawn, so that its figures fit.
	paperReach = 50 * align.Millimetre
)

// Draw returns the sheet.
//
// Errors: missing without stations; unknown-kind for the paper; out-of-range for counts
// beyond those stated, stations or points off the squares, indices that are not there
// and scales beyond 100000; does-not-fit when the stations or the solution need more
// paper at the scale asked for; not-finite, negative; unknown-unit, wrong-unit.
func (g GraphPaper) Draw() (*Page, error) {
	d, err := g.plan()
	if err != nil {
		return nil, err
	}
	kind := "side view, offsets up positive"
	if g.Horizontal {
		kind = "plan view, offsets toward 3 positive"
	}
	width, height, k := g.Paper.size()
	s := newSheet(width, height, k, titleBlock{
		title: named(g.Title, "Shaft positions"), kind: kind,
		scales: [2]string{"stations " + ratio(1/d.reduction).String() + ", offsets " + ratio(d.magnification).String(), d.square()},
		units:  [2]string{"offsets: " + string(d.unit), "stations: " + string(d.places.unit) + ", " + g.Paper.String()},
	})
	s.Description = d.description(named(g.Title, "shaft positions"))
	d.squares(s)
	d.rule(s)
	d.stations(s)
	d.ruler(s)
	if g.Solution != nil {
		d.solution(s)
	}
	return s.Page, nil
}

// paperPlan is a sheet of graph paper worked out.
type paperPlan struct {
	GraphPaper
	printer
	places        printer
	k             float64 // lettering
	small, strong float64 // distance of the lines, millimetres
	field         Box
	reduction     float64
	magnification float64
	labelWide     float64
	rows          int // of labels, one or two
}

func (g GraphPaper) plan() (*paperPlan, error) {
	if err := g.check(); err != nil {
		return nil, err
	}
	width, height, k := g.Paper.size()
	d := &paperPlan{GraphPaper: g, printer: small(g.Unit), places: large(g.Unit), k: k, small: 1, strong: 10}
	if d.unit == align.UnitMil {
		d.small, d.strong = 2.54, 12.7
	}
	room := width - 2*(sheetEdge+paperSide)*k
	if err := d.along(room); err != nil {
		return nil, err
	}
	wide := 1e3 * float64(g.To-g.From) / d.reduction
	d.field = Box{Left: (width - wide) / 2, Right: (width + wide) / 2, Top: (sheetEdge + paperAbove) * k}
	d.rows, d.labelWide = 1, d.widestLabel()
	if n := float64(len(g.Stations)); d.labelWide > room/n {
		d.rows, d.labelWide = 2, min(d.labelWide, 2*room/(n+1))
	}
	free := height - d.field.Top - d.labelsHigh() - (paperRuler+blockHeight+sheetEdge)*k
	d.field.Bottom = d.field.Top + 2*d.strong*math.Floor(free/(2*d.strong))
	return d, d.up()
}

// widestLabel is how much room the widest label below the squares needs, at most 42 mm
// on A4.
func (d *paperPlan) widestLabel() (w float64) {
	for i := range d.Stations {
		for _, words := range d.labelWords(i) {
			w = max(w, TextWidth(clipped(words, typeSmall*d.k, 40*d.k), typeSmall*d.k))
		}
	}
	return w + 2*d.k
}

// labelsHigh is how much room the labels below the squares need: three lines each, and
// the leaders.
func (d *paperPlan) labelsHigh() float64 {
	return d.k * (5 + float64(d.rows)*(3*rowOf(typeSmall)+1))
}

// along finds the scale of the stations.
func (d *paperPlan) along(room float64) error {
	length := 1e3 * float64(d.To-d.From)
	d.reduction = d.Reduction
	if d.reduction == 0 {
		d.reduction = 1 / roundDown(room/length)
	}
	if length/d.reduction > room*(1+1e-9) {
		return sheetFault("reduction", ratio(1/d.reduction).String()+", "+significant(length/d.reduction, 4)+" mm wide, the paper has "+significant(room, 4)+" mm", ErrDoesNotFit)
	}
	if length/d.reduction < 30*d.k {
		return sheetFault("reduction", ratio(1/d.reduction).String()+", "+significant(length/d.reduction, 4)+" mm wide", ErrDoesNotFit)
	}
	return nil
}

// up finds the scale of the offsets.
func (d *paperPlan) up() error {
	half := (d.field.Bottom - d.field.Top) / 2
	most, field := d.farthest()
	if most > paperReach {
		return sheetFault(field, align.UnitMillimetre.Format(float64(most), 3)+" from the middle", align.ErrOutOfRange)
	}
	d.magnification = d.Magnification
	switch {
	case d.magnification == 0 && most == 0:
		d.magnification = 100
	case d.magnification == 0:
		d.magnification = float64(fitRatio(most, half))
	}
	if 1e3*float64(most)*d.magnification > half*(1+1e-9) {
		return sheetFault(field, align.UnitMillimetre.Format(float64(most), 3)+" from the middle at "+ratio(d.magnification).String(), ErrDoesNotFit)
	}
	return nil
}

// farthest returns the largest distance from the middle that the solution needs, and
// where it comes from.
func (d *paperPlan) farthest() (most unit.Length, field string) {
	if d.Solution == nil {
		return 0, ""
	}
	take := func(name string, v unit.Length) {
		if v = unit.Length(math.Abs(float64(v - d.Middle))); v > most {
			most, field = v, name
		}
	}
	for i, p := range d.Solution.Points {
		take(item("solution.points", i), p.Offset)
	}
	for i, l := range d.Solution.Shafts {
		from, to := d.ends(l)
		take(item("solution.shafts", i), l.Line.At(from))
		take(item("solution.shafts", i), l.Line.At(to))
	}
	take("solution.wanted", d.Solution.Wanted.At(d.From))
	take("solution.wanted", d.Solution.Wanted.At(d.To))
	return most, field
}

// ends are the stations between which a shaft is drawn.
func (g *GraphPaper) ends(l PaperShaft) (from, to unit.Length) {
	if l.From == l.To {
		return g.From, g.To
	}
	return l.From, l.To
}

// at is the place of an offset at a station.
func (d *paperPlan) at(station, offset unit.Length) Point {
	return Point{
		d.field.Left + 1e3*float64(station-d.From)/d.reduction,
		(d.field.Top+d.field.Bottom)/2 - 1e3*float64(offset-d.Middle)*d.magnification,
	}
}

// square says what a square stands for, the same on paper of any size.
func (d *paperPlan) square() string {
	along := d.places.unit.FromSI(d.small * 1e-3 * d.reduction)
	up := d.unit.FromSI(d.small * 1e-3 / d.magnification)
	return significant(d.small, 3) + " mm square: " + significant(along, 4) + " " + string(d.places.unit) + " x " + significant(up, 4) + " " + string(d.unit)
}

// squares draws the squared paper: lines at whole squares of stations and of offsets.
func (d *paperPlan) squares(s *sheet) {
	d.lines(d.small, func(p Point, strong, across bool) {
		stroke := Faint
		if strong {
			stroke = Narrow
		}
		if across {
			s.Draw(Line{From: Point{d.field.Left, p.Y}, To: Point{d.field.Right, p.Y}, Stroke: stroke})
			return
		}
		s.Draw(Line{From: Point{p.X, d.field.Top}, To: Point{p.X, d.field.Bottom}, Stroke: stroke})
	})
	s.rectangle(d.field, Narrow, NoFill)
	if zero := d.at(d.From, 0).Y; zero > d.field.Top && zero < d.field.Bottom {
		s.Draw(Line{From: Point{d.field.Left, zero}, To: Point{d.field.Right, zero}, Stroke: CentreWide})
	}
}

// lines calls f for every line of the squares, those across (of one offset) last.
func (d *paperPlan) lines(pitch float64, f func(p Point, strong, across bool)) {
	every := int(math.Round(d.strong / pitch))
	along, up := pitch*d.reduction, pitch/d.magnification
	for i, last := firstLine(1e3*float64(d.From), along), lastLine(1e3*float64(d.To), along); i <= last; i++ {
		f(d.at(unit.Length(float64(i)*along*1e-3), 0), i%every == 0, false)
	}
	half := (d.field.Bottom - d.field.Top) / 2 / d.magnification
	mid := 1e3 * float64(d.Middle)
	for i, last := firstLine(mid-half, up), lastLine(mid+half, up); i <= last; i++ {
		f(d.at(d.From, unit.Length(float64(i)*up*1e-3)), i%every == 0, true)
	}
}

// firstLine and lastLine number the whole multiples of a step between two ends.
func firstLine(from, step float64) int { return int(math.Ceil(from/step - 1e-6)) }
func lastLine(to, step float64) int    { return int(math.Floor(to/step + 1e-6)) }

// rule writes the offsets beside the strong lines and the stations above them.
func (d *paperPlan) rule(s *sheet) {
	size := typeSmall * d.k
	along := printer{d.places.unit, decimalsOf(d.places.unit.FromSI(d.strong * 1e-3 * d.reduction))}
	up := printer{d.unit, decimalsOf(d.unit.FromSI(d.strong * 1e-3 / d.magnification))}
	wide := max(TextWidth(along.bare(d.From), size), TextWidth(along.bare(d.To), size)) + 3*d.k
	every := max(1, int(math.Ceil(wide/d.strong)))
	d.lines(d.strong, func(p Point, _, across bool) {
		if across {
			offset := d.Middle + unit.Length(((d.field.Top+d.field.Bottom)/2-p.Y)*1e-3/d.magnification)
			s.writeMid(Point{d.field.Left - 1.5*d.k, p.Y}, up.signed(offset), size, (paperSide-2)*d.k, End)
			s.writeMid(Point{d.field.Right + 1.5*d.k, p.Y}, up.signed(offset), size, (paperSide-2)*d.k, Start)
			return
		}
		station := d.From + unit.Length((p.X-d.field.Left)*1e-3*d.reduction)
		n := int(math.Round(1e3 * float64(station) / (d.strong * d.reduction)))
		if n%every == 0 {
			s.writeMid(Point{p.X, d.field.Top - 3*d.k}, along.bare(station), size, wide, Middle)
		}
	})
}

// decimalsOf is how many decimals show a step, at most four.
func decimalsOf(step float64) int {
	for n := range 4 {
		if x := step * math.Pow10(n); math.Abs(x-math.Round(x)) < 1e-6*x {
			return n
		}
	}
	return 4
}

// stations rules the stations and labels them below, in one row or in two by turns.
// With two rows neighbours stand half a label apart, so that the leaders of the lower
// row run between the labels of the upper one.
func (d *paperPlan) stations(s *sheet) {
	wanted := make([]float64, len(d.Stations))
	for i, t := range d.Stations {
		wanted[i] = d.at(t.At, 0).X
		s.Draw(Line{From: Point{wanted[i], d.field.Top}, To: Point{wanted[i], d.field.Bottom}, Stroke: Wide})
	}
	pitch := d.labelWide / float64(d.rows)
	over := (d.labelWide - pitch) / 2 // how far a label reaches beyond its place
	lo, hi := s.body.Left+d.k+over, s.body.Right-d.k-over
	places := spread(wanted, pitch, lo, hi)
	for _, i := range byPlace(places) {
		x, row := places[i.index], i.rank%d.rows
		top := d.field.Bottom + d.k*(5+float64(row)*(3*rowOf(typeSmall)+1))
		s.Draw(Line{From: Point{wanted[i.index], d.field.Bottom}, To: Point{x, d.field.Bottom + 4.5*d.k}, Stroke: Narrow})
		if row > 0 {
			s.Draw(Line{From: Point{x, d.field.Bottom + 4.5*d.k}, To: Point{x, top}, Stroke: Narrow})
		}
		d.label(s, Point{x, top}, i.index)
	}
}

// labelWords are the three lines of a station.
func (d *paperPlan) labelWords(i int) [3]string {
	t := d.Stations[i]
	last := ""
	switch {
	case d.Solution != nil:
		last = d.moveAt(i)
	case t.Foot:
		last = "move ........"
	}
	return [...]string{named(t.Name, "station "+strconv.Itoa(i+1)), d.places.with(t.At), last}
}

// label writes the lines of a station.
func (d *paperPlan) label(s *sheet, top Point, i int) {
	row := rowOf(typeSmall) * d.k
	for n, words := range d.labelWords(i) {
		s.writeMid(top.Add(0, (float64(n)+0.5)*row), words, typeSmall*d.k, d.labelWide-1.5*d.k, Middle)
	}
}

// ruler draws a line by which to see that the print has its size.
func (d *paperPlan) ruler(s *sheet) {
	at := Point{s.body.Left + 4*d.k, s.body.Bottom - paperRuler*d.k/2}
	long, words := 100.0, "100 mm on paper when printed to scale"
	if d.unit == align.UnitMil {
		long, words = 101.6, "4 in on paper when printed to scale"
	}
	s.Draw(Line{From: at, To: at.Add(long, 0), Stroke: Wide})
	for i := range 11 {
		x := long * float64(i) / 10
		s.Draw(Line{From: at.Add(x, -d.k), To: at.Add(x, d.k), Stroke: Narrow})
	}
	s.writeMid(at.Add(long+3*d.k, 0), words, typeSmall*d.k, 80*d.k, Start)
}
