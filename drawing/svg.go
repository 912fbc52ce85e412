package drawing

import (
	"hash/fnv"
	"math"
	"strconv"
	"strings"
)

// SVG returns the drawing as Scalable Vector Graphics (W3C Recommendation, SVG 1.1
// second edition, from memory): millimetres, one style sheet, no scripts, no outside
// parts, the same bytes for the same page. On a dark screen ink and paper change
// places.
//
// Several drawings may stand in one HTML page: the style sheet speaks of nothing
// outside a drawing, and the names inside carry the page's ID.
func (p *Page) SVG() []byte {
	w := svgWriter{id: p.nameTag(), out: make([]byte, 0, 2500+len(p.Description)+120*len(p.Shapes))}
	w.open(p)
	for _, s := range p.Shapes {
		w.shape(s)
	}
	return append(w.out, "</svg>\n"...)
}

// svgClass is the class of every drawing, so that its style sheet does not reach
// the rest of an HTML page.
const svgClass = "collinear-drawing"

const svgStyle = `<style>
.collinear-drawing { color: #000; }
.collinear-drawing .ink { stroke: currentColor; fill: none; stroke-linejoin: round; }
.collinear-drawing .bare { stroke: none; }
.collinear-drawing .paper { fill: #fff; }
.collinear-drawing .tint { fill: currentColor; fill-opacity: 0.12; }
.collinear-drawing .solid { fill: currentColor; }
.collinear-drawing text { fill: currentColor; font-family: "Liberation Sans", Arial, Helvetica, sans-serif; }
@media (prefers-color-scheme: dark) { .collinear-drawing { color: #eee; } .collinear-drawing .paper { fill: #111; } .collinear-drawing .tint { fill-opacity: 0.22; } }
@media print { .collinear-drawing { color: #000; } .collinear-drawing .paper { fill: #fff; } .collinear-drawing .tint { fill-opacity: 0.12; } }
</style>
`

// svgWriter appends the elements one after the other.
type svgWriter struct {
	id  string
	out []byte
}

func (w *svgWriter) add(parts ...string) {
	for _, s := range parts {
		w.out = append(w.out, s...)
	}
}

// attr appends an attribute with a number.
func (w *svgWriter) attr(name string, v float64) {
	w.add(" ", name, `="`)
	w.out = append(appendNumber(w.out, v), '"')
}

func (w *svgWriter) open(p *Page) {
	size := number(p.Width) + " " + number(p.Height)
	w.add(`<svg xmlns="http://www.w3.org/2000/svg" class="`, svgClass, `" width="`, number(p.Width), `mm" height="`, number(p.Height),
		`mm" viewBox="0 0 `, size, `" role="img" aria-labelledby="title-`, w.id, ` description-`, w.id, `">`, "\n",
		`<title id="title-`, w.id, `">`, escape(p.Title), "</title>\n",
		`<desc id="description-`, w.id, `">`, escape(p.Description), "</desc>\n",
		svgStyle,
		`<defs><pattern id="hatch-`, w.id, `" width="1.5" height="1.5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">`,
		`<path d="M0 0V1.5" stroke="currentColor" stroke-width="0.2"/></pattern></defs>`, "\n",
		`<rect class="bare paper" width="`, number(p.Width), `" height="`, number(p.Height), `"/>`, "\n")
}

func (w *svgWriter) shape(s Shape) {
	switch s := s.(type) {
	case Line:
		w.add("<line")
		w.attr("x1", s.From.X)
		w.attr("y1", s.From.Y)
		w.attr("x2", s.To.X)
		w.attr("y2", s.To.Y)
		w.paint(s.Stroke, NoFill)
		w.arrows(s)
	case Polyline:
		w.polyline(s)
	case Circle:
		w.add("<circle")
		w.attr("cx", s.Centre.X)
		w.attr("cy", s.Centre.Y)
		w.attr("r", s.Radius)
		w.paint(s.Stroke, s.Fill)
	case Text:
		w.text(s)
	}
}

func (w *svgWriter) polyline(s Polyline) {
	if len(s.Points) == 0 {
		return
	}
	name := "<polyline"
	if s.Closed {
		name = "<polygon"
	}
	w.add(name, ` points="`)
	for i, p := range s.Points {
		if i > 0 {
			w.out = append(w.out, ' ')
		}
		w.out = append(appendNumber(w.out, p.X), ',')
		w.out = appendNumber(w.out, p.Y)
	}
	w.add(`"`)
	w.paint(s.Stroke, s.Fill)
}

// arrowLong is the length of an arrowhead in millimetres.
const arrowLong = 2.5

// arrows draws filled heads, 20 degrees in all as ISO 129 has them (from memory). A
// line that is too short for its heads gets shorter ones.
func (w *svgWriter) arrows(l Line) {
	switch l.Arrow {
	case AtEnd:
		w.head(l.From, l.To, arrowLong)
	case AtBothEnds:
		half := math.Hypot(l.To.X-l.From.X, l.To.Y-l.From.Y) / 2
		w.head(l.From, l.To, min(arrowLong, half))
		w.head(l.To, l.From, min(arrowLong, half))
	}
}

func (w *svgWriter) head(from, to Point, long float64) {
	dx, dy := to.X-from.X, to.Y-from.Y
	n := math.Hypot(dx, dy)
	if n == 0 {
		return
	}
	long = min(long, n)
	dx, dy = dx/n*long, dy/n*long
	const half = 0.18 // tangent of ten degrees
	w.polyline(Polyline{Points: []Point{to, to.Add(-dx-dy*half, -dy+dx*half), to.Add(-dx+dy*half, -dy-dx*half)}, Closed: true, Fill: Solid})
}

func (w *svgWriter) text(t Text) {
	words := Printable(t.Words)
	if words == "" {
		return
	}
	w.add("<text")
	w.attr("x", t.At.X)
	w.attr("y", t.At.Y)
	w.attr("font-size", t.Size)
	w.attr("textLength", TextWidth(words, t.Size))
	w.add(` lengthAdjust="spacingAndGlyphs"`)
	switch t.Anchor {
	case Middle:
		w.add(` text-anchor="middle"`)
	case End:
		w.add(` text-anchor="end"`)
	}
	if t.Bold {
		w.add(` font-weight="bold"`)
	}
	w.add(">", escaper.Replace(words), "</text>\n")
}

// paint ends an element with the attributes of its stroke and its fill.
func (w *svgWriter) paint(s Stroke, f Fill) {
	w.add(` class="ink`)
	switch f {
	case Paper:
		w.add(" paper")
	case Tint:
		w.add(" tint")
	case Solid:
		w.add(" solid")
	}
	if s == NoStroke {
		w.add(" bare")
	}
	w.add(`"`)
	if f == Hatched {
		w.add(` style="fill: url(#hatch-`, w.id, `)"`)
	}
	if s != NoStroke {
		w.attr("stroke-width", s.width())
		if s == Faint {
			w.add(` stroke-opacity="0.5"`) // close lines must not turn into a grey field
		}
		for i, v := range s.dashes() {
			if i == 0 {
				w.add(` stroke-dasharray="`)
			} else {
				w.add(" ")
			}
			w.out = appendNumber(w.out, v)
		}
		if s.dashes() != nil {
			w.add(`"`)
		}
	}
	w.add("/>\n")
}

// number prints millimetres to a thousandth, the same on every machine; what is not
// finite or far off any paper prints as zero.
func number(v float64) string { return string(appendNumber(nil, v)) }

func appendNumber(out []byte, v float64) []byte {
	if !(math.Abs(v) < 1e6) {
		return append(out, '0')
	}
	n := int64(math.Round(v * 1000))
	if n < 0 {
		out, n = append(out, '-'), -n
	}
	out = strconv.AppendInt(out, n/1000, 10)
	if n %= 1000; n == 0 {
		return out
	}
	out = append(out, '.', byte('0'+n/100))
	if n %= 100; n == 0 {
		return out
	}
	out = append(out, byte('0'+n/10))
	if n %= 10; n == 0 {
		return out
	}
	return append(out, byte('0'+n))
}

var escaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;", "'", "&#39;")

// escape makes a text safe inside XML.
func escape(s string) string { return escaper.Replace(Printable(s)) }

// nameTag returns the page's ID with nothing in it that would break a name or a
// style, or, where it has none, a hash of all that is drawn (FNV-1a, standard). The
// hash sees numbers as they are printed, so that it is the same on every processor.
func (p *Page) nameTag() string {
	tag := strings.Map(func(r rune) rune {
		if r == '-' || r == '_' || r >= '0' && r <= '9' || r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' {
			return r
		}
		return -1
	}, p.ID)
	if tag != "" {
		return tag
	}
	return strconv.FormatUint(p.hash(), 36)
}

func (p *Page) hash() uint64 {
	h := fnv.New64a()
	b := make([]byte, 0, 4096)
	flush := func() {
		h.Write(b) // a hash never fails to write
		b = b[:0]
	}
	put := func(values ...float64) {
		for _, v := range values {
			b = append(appendNumber(b, v), ' ')
		}
	}
	point := func(q Point) { put(q.X, q.Y) }
	b = append(append(b, p.Title...), 0)
	b = append(append(b, p.Description...), 0)
	put(p.Width, p.Height)
	for _, s := range p.Shapes {
		switch s := s.(type) {
		case Line:
			b = append(b, 'l', byte(s.Stroke), byte(s.Arrow))
			point(s.From)
			point(s.To)
		case Polyline:
			b = append(b, 'p', byte(s.Stroke), byte(s.Fill), flag(s.Closed))
			for _, q := range s.Points {
				point(q)
			}
		case Circle:
			b = append(b, 'c', byte(s.Stroke), byte(s.Fill))
			point(s.Centre)
			put(s.Radius)
		case Text:
			b = append(b, 't', byte(s.Anchor), flag(s.Bold))
			point(s.At)
			put(s.Size)
			b = append(append(b, s.Words...), 0)
		}
		flush()
	}
	flush()
	return h.Sum64()
}

func flag(is bool) byte {
	if is {
		return 1
	}
	return 0
}
