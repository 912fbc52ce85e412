package drawing

// Point is a place on the paper in millimetres: X to the right, Y down, from the
// upper left corner.
type Point struct{ X, Y float64 }

// Add returns the point moved by dx and dy.
func (p Point) Add(dx, dy float64) Point { return Point{p.X + dx, p.Y + dy} }

// Page is a drawing as a list of shapes on paper, in the order in which they are
// drawn. It is worked out first and printed afterwards, so that it can be tested
// without a printer: see Page.SVG.
type Page struct {
	Width, Height float64 // millimetres
	Title         string  // read out by a screen reader, and shown as the name of the drawing
	Description   string  // what is to be seen, in a few sentences, for those who cannot see it
	// ID keeps the names inside the SVG apart where several drawings stand in one
	// HTML page; letters, digits, "-" and "_" of it are used. Where it is empty one is
	// worked out from what is drawn, so that only two equal drawings share it.
	ID     string
	Shapes []Shape
}

// Shape is a Line, Polyline, Circle or Text.
type Shape interface {
	// Bounds returns the smallest upright box that holds the shape.
	Bounds() Box
}

// Line is a straight line.
type Line struct {
	From, To Point
	Stroke   Stroke
	Arrow    Arrow
}

// Arrow says which ends of a line carry an arrowhead.
type Arrow uint8

// The arrows.
const (
	NoArrow Arrow = iota
	AtEnd
	AtBothEnds
)

// Polyline is a line through several points, closed or open.
type Polyline struct {
	Points []Point
	Closed bool
	Stroke Stroke
	Fill   Fill
}

// Circle is a circle.
type Circle struct {
	Centre Point
	Radius float64
	Stroke Stroke
	Fill   Fill
}

// Text is one line of text. It is printed as text, never as outlines.
type Text struct {
	At     Point // on the baseline
	Words  string
	Size   float64 // height of a capital letter plus its line space, millimetres
	Anchor Anchor
	Bold   bool
}

// Anchor says which part of a text stands at its place.
type Anchor uint8

// The anchors.
const (
	Start Anchor = iota
	Middle
	End
)

// Fill says how the inside of a shape is drawn: never by a colour alone.
type Fill uint8

// The fills.
const (
	NoFill  Fill = iota
	Paper        // covers what lies below
	Tint         // a light tint of the ink: bands of uncertainty, windows of limits
	Solid        // all ink: arrowheads, dots
	Hatched      // narrow lines at 45 degrees: gaps, what is wanting
)

// Box is an upright rectangle on the paper.
type Box struct{ Left, Top, Right, Bottom float64 }

// Overlaps reports whether two boxes share more than their edges.
func (b Box) Overlaps(c Box) bool {
	return b.Left < c.Right && c.Left < b.Right && b.Top < c.Bottom && c.Top < b.Bottom
}

// Inside reports whether the box lies within another, edges included.
func (b Box) Inside(c Box) bool {
	return b.Left >= c.Left && b.Right <= c.Right && b.Top >= c.Top && b.Bottom <= c.Bottom
}

// Union returns the smallest box that holds both.
func (b Box) Union(c Box) Box {
	return Box{min(b.Left, c.Left), min(b.Top, c.Top), max(b.Right, c.Right), max(b.Bottom, c.Bottom)}
}

// Grown returns the box made larger by d on every side.
func (b Box) Grown(d float64) Box { return Box{b.Left - d, b.Top - d, b.Right + d, b.Bottom + d} }

func boxOf(points ...Point) Box {
	b := Box{points[0].X, points[0].Y, points[0].X, points[0].Y}
	for _, p := range points[1:] {
		b = b.Union(Box{p.X, p.Y, p.X, p.Y})
	}
	return b
}

// Bounds returns the box of the line without its arrowheads, which lie along it.
func (l Line) Bounds() Box { return boxOf(l.From, l.To) }

// Bounds returns the box of all points; an empty one when there are none.
func (l Polyline) Bounds() Box {
	if len(l.Points) == 0 {
		return Box{}
	}
	return boxOf(l.Points...)
}

// Bounds returns the box round the circle.
func (c Circle) Bounds() Box {
	return Box{c.Centre.X, c.Centre.Y, c.Centre.X, c.Centre.Y}.Grown(c.Radius)
}

// Bounds returns the box of the text. The width is that in which it is printed:
// the reader's font is made to fit it.
func (t Text) Bounds() Box {
	w := TextWidth(Printable(t.Words), t.Size)
	left := t.At.X
	switch t.Anchor {
	case Middle:
		left -= w / 2
	case End:
		left -= w
	}
	return Box{left, t.At.Y - 0.8*t.Size, left + w, t.At.Y + 0.25*t.Size}
}

// Draw adds shapes to the page.
func (p *Page) Draw(shapes ...Shape) { p.Shapes = append(p.Shapes, shapes...) }

// Paper returns the box of the whole page.
func (p *Page) Paper() Box { return Box{0, 0, p.Width, p.Height} }

// Texts returns every text of the page.
func (p *Page) Texts() (out []Text) {
	for _, s := range p.Shapes {
		if t, ok := s.(Text); ok {
			out = append(out, t)
		}
	}
	return out
}
