package drawing

import "math"

// Type sizes in millimetres; capitals are about seven tenths as high.
const (
	typeSmall = 2.8
	typeNote  = 3.5
	typeTitle = 4.5
)

// Measures of a sheet in millimetres.
const (
	sheetEdge   = 7.0  // paper outside the border
	blockHeight = 14.0 // of the title block along the lower border
	a4Long      = 297.0
	a4Short     = 210.0
)

// rowOf is how far apart two lines of a type size stand: a little more than the
// box of a text is high, so that no two of them touch.
func rowOf(size float64) float64 { return 1.3 * size }

// titleBlock says what a sheet shows, at which scales and in which unit.
type titleBlock struct {
	title  string    // the name of the thing drawn
	kind   string    // what kind of drawing it is, and from where it is seen
	scales [2]string // one or two lines
	units  [2]string // one or two lines
}

// sheet is a page with a border and a title block. Everything else is drawn
// inside body.
type sheet struct {
	*Page
	body Box
}

// newSheet returns an empty sheet. Scales and units are written by this package and
// fit their fields on an A4 sheet; title and kind are cut to theirs. On a larger sheet
// border, block and lettering are k times as large.
func newSheet(width, height, k float64, b titleBlock) *sheet {
	s := &sheet{Page: &Page{Width: width, Height: height, Title: b.title + ", " + b.kind}}
	frame := s.Paper().Grown(-sheetEdge * k)
	s.rectangle(frame, Wide, NoFill)
	s.body = frame
	s.body.Bottom -= blockHeight * k
	s.Draw(Line{From: Point{frame.Left, s.body.Bottom}, To: Point{frame.Right, s.body.Bottom}, Stroke: Wide})
	wide, pad := frame.Right-frame.Left, 2*k
	edges := [...]float64{frame.Left, frame.Left + 0.40*wide, frame.Left + 0.78*wide, frame.Right}
	for _, x := range edges[1:3] {
		s.Draw(Line{From: Point{x, s.body.Bottom}, To: Point{x, frame.Bottom}, Stroke: Narrow})
	}
	upper, lower := s.body.Bottom+5.5*k, s.body.Bottom+11.5*k
	room := func(i int) float64 { return edges[i+1] - edges[i] - 2*pad }
	s.Draw(Text{At: Point{edges[0] + pad, upper}, Words: clipped(b.title, typeTitle*k, room(0)), Size: typeTitle * k, Bold: true})
	s.write(Point{edges[0] + pad, lower}, b.kind, typeNote*k, room(0), Start)
	for i, lines := range [...][2]string{b.scales, b.units} {
		s.write(Point{edges[i+1] + pad, upper}, lines[0], typeNote*k, room(i+1), Start)
		s.write(Point{edges[i+1] + pad, lower}, lines[1], typeNote*k, room(i+1), Start)
	}
	return s
}

// write draws words cut to a width; nothing where there are none.
func (s *sheet) write(at Point, words string, size, width float64, a Anchor) {
	words = clipped(words, size, width)
	if words == "" {
		return
	}
	s.Draw(Text{At: at, Words: words, Size: size, Anchor: a})
}

// writeMid draws words whose middle stands at the height of at.
func (s *sheet) writeMid(at Point, words string, size, width float64, a Anchor) {
	s.write(at.Add(0, midDrop*size), words, size, width, a)
}

// midDrop is how far the baseline lies below the middle of a text's box, in type
// sizes: half of 0.8 above less 0.25 below.
const midDrop = (0.8 - 0.25) / 2

// halfBox is half the height of a text's box, in type sizes.
const halfBox = (0.8 + 0.25) / 2

// rectangle draws the edges of a box.
func (s *sheet) rectangle(b Box, stroke Stroke, fill Fill) {
	s.Draw(Polyline{Points: []Point{{b.Left, b.Top}, {b.Right, b.Top}, {b.Right, b.Bottom}, {b.Left, b.Bottom}}, Closed: true, Stroke: stroke, Fill: fill})
}

// column is a column of a table: its head and how wide it is.
type column struct {
	head   string
	width  float64
	anchor Anchor // Start or End
}

// table draws heads and rows from the upper left corner and returns the lower
// edge. Every text is cut to its column, so no two of them meet; the caller sees to
// it that the rows fit the sheet.
func (s *sheet) table(at Point, cols []column, rows [][]string, size float64) float64 {
	row := rowOf(size)
	line := func(y float64, cells []string) {
		x := at.X
		for i, c := range cols {
			place := Point{x, y + row/2}
			if c.anchor == End {
				place.X = x + c.width - 1.5
			}
			s.writeMid(place, cells[i], size, c.width-1.5, c.anchor)
			x += c.width
		}
	}
	heads, wide := make([]string, len(cols)), 0.0
	for i, c := range cols {
		heads[i], wide = c.head, wide+c.width
	}
	line(at.Y, heads)
	y := at.Y + row
	s.Draw(Line{From: Point{at.X, y}, To: Point{at.X + wide - 1.5, y}, Stroke: Narrow})
	y += 0.6
	for _, cells := range rows {
		line(y, cells)
		y += row
	}
	return y
}

// notes draws lines of words below each other, each broken where it does not fit
// the width, and returns the lower edge. What would go below bottom is left out,
// so the caller sees to it that all fits.
func (s *sheet) notes(at Point, lines []string, size, width, bottom float64) float64 {
	row := rowOf(size)
	for _, words := range lines {
		for _, part := range wrapped(words, size, width) {
			if at.Y+row > bottom {
				return at.Y
			}
			s.writeMid(Point{at.X, at.Y + row/2}, part, size, width, Start)
			at.Y += row
		}
	}
	return at.Y
}

// crossAt draws a small cross.
func (s *sheet) crossAt(p Point, half float64, stroke Stroke) {
	s.Draw(Line{From: p.Add(-half, 0), To: p.Add(half, 0), Stroke: stroke}, Line{From: p.Add(0, -half), To: p.Add(0, half), Stroke: stroke})
}

// distance is the distance between two points of the paper.
func distance(p, q Point) float64 { return math.Hypot(p.X-q.X, p.Y-q.Y) }
