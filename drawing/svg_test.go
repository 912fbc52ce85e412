package drawing_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"regexp"
	"strings"
	"testing"

	"collinear.example/drawing"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// svgNames returns the ids of a drawing and the names that it refers to.
func svgNames(t *testing.T, svg []byte) (ids, references []string) {
	t.Helper()
	for _, m := range regexp.MustCompile(`url\(#([^)]*)\)`).FindAllStringSubmatch(string(svg), -1) {
		references = append(references, m[1])
	}
	d := xml.NewDecoder(bytes.NewReader(svg))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return ids, references
		}
		require.NoError(t, err)
		if e, ok := token.(xml.StartElement); ok {
			for _, a := range e.Attr {
				switch a.Name.Local {
				case "id":
					ids = append(ids, a.Value)
				case "aria-labelledby":
					references = append(references, strings.Fields(a.Value)...)
				}
			}
		}
	}
}

// Several drawings in one HTML page keep their names and their styles to themselves.
func TestSVGNames(t *testing.T) {
	hatched := drawing.Polyline{Points: []drawing.Point{{X: 1, Y: 1}, {X: 5, Y: 1}, {X: 5, Y: 5}}, Closed: true, Stroke: drawing.Narrow, Fill: drawing.Hatched}
	pages := []drawing.Page{
		{Width: 10, Height: 10, Title: "one", Shapes: []drawing.Shape{hatched}},
		{Width: 10, Height: 10, Title: "two", Shapes: []drawing.Shape{hatched}},
		{Width: 10, Height: 10, Title: "one", Description: "another", Shapes: []drawing.Shape{hatched}},
		{Width: 10, Height: 10, Title: "one", Shapes: []drawing.Shape{hatched, drawing.Circle{Radius: 1}}},
		{Width: 10, Height: 10, Title: "one", Shapes: []drawing.Shape{drawing.Line{Stroke: drawing.Wide}, hatched}},
		{Width: 10, Height: 10, Title: "one", Shapes: []drawing.Shape{drawing.Line{Stroke: drawing.Narrow}, hatched}},
		{Width: 10, Height: 10, Title: "one", Shapes: []drawing.Shape{drawing.Text{Words: "a", Size: 3}, hatched}},
		{Width: 10, Height: 10, Title: "one", Shapes: []drawing.Shape{drawing.Text{Words: "a", Size: 3, Bold: true}, hatched}},
		{Width: 10, Height: 10, Title: "one", Shapes: []drawing.Shape{drawing.Text{Words: "a", Size: 4}, hatched}},
		{Width: 10, Height: 10, ID: `figure"> <b>7`, Title: "one", Shapes: []drawing.Shape{hatched}},
	}
	seen := map[string]bool{}
	for i := range pages {
		svg := pages[i].SVG()
		ids, references := svgNames(t, svg)
		require.Len(t, ids, 3)
		require.Len(t, references, 3)
		for _, name := range references {
			assert.Contains(t, ids, name)
		}
		for _, id := range ids {
			assert.False(t, seen[id], "%s of page %d is there already", id, i)
			assert.Regexp(t, `^[a-z]+-[A-Za-z0-9_-]+$`, id)
			seen[id] = true
		}
		assert.Equal(t, svg, pages[i].SVG(), "the same page makes the same bytes")
	}
	ids, _ := svgNames(t, pages[9].SVG())
	assert.Equal(t, "title-figureb7", ids[0])

	style := regexp.MustCompile(`(?s)<style>(.*)</style>`).FindStringSubmatch(string(pages[0].SVG()))[1]
	for _, selector := range regexp.MustCompile(`([^{}]+)\{`).FindAllStringSubmatch(style, -1) {
		s := strings.TrimSpace(selector[1])
		assert.True(t, strings.HasPrefix(s, ".collinear-drawing") || strings.HasPrefix(s, "@media"), s)
	}
}

func TestSVGSpeaks(t *testing.T) {
	p := drawing.Page{Width: 10, Height: 20, Title: `a "pump" & <motor>`, Description: "what is\nseen\x01"}
	svg := string(p.SVG())
	for _, w := range []string{`width="10mm" height="20mm" viewBox="0 0 10 20"`, `role="img"`, "a &quot;pump&quot; &amp; &lt;motor&gt;</title>", ">what is seen</desc>"} {
		assert.Contains(t, svg, w)
	}
}

// Coordinates are printed to a thousandth of a millimetre; nothing that is no number
// gets through.
func TestSVGNumbers(t *testing.T) {
	for _, v := range []float64{0, 1, -1, 0.001, -0.0004, 0.0006, 1.5, 12.34, -12.345678, 99.9996, 297, 0.1 + 0.2, 123456.789} {
		p := drawing.Page{Width: 10, Height: 10, Shapes: []drawing.Shape{drawing.Line{From: drawing.Point{X: v, Y: -v}, Stroke: drawing.Narrow}}}
		n := parseSVG(t, p.SVG())[0].numbers
		assert.InDelta(t, v, n[0], 0.0005+1e-12)
		assert.InDelta(t, -v, n[1], 0.0005+1e-12)
	}
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 1e300} {
		p := drawing.Page{Width: 10, Height: 10, Shapes: []drawing.Shape{drawing.Circle{Centre: drawing.Point{X: v}, Radius: 1, Fill: drawing.Solid}}}
		assert.Zero(t, parseSVG(t, p.SVG())[0].numbers[0])
	}
}

// An arrowhead touches the end of its line and lies along it; two on a short line share
// it.
func TestSVGArrows(t *testing.T) {
	from, to := drawing.Point{X: 10, Y: 10}, drawing.Point{X: 10, Y: 20}
	p := drawing.Page{Width: 30, Height: 30, Shapes: []drawing.Shape{drawing.Line{From: from, To: to, Stroke: drawing.Narrow, Arrow: drawing.AtEnd}}}
	shapes := parseSVG(t, p.SVG())
	require.Len(t, shapes, 2)
	assert.Equal(t, "polygon", shapes[1].kind)
	assert.InDeltaSlice(t, []float64{10, 20, 9.55, 17.5, 10.45, 17.5}, shapes[1].numbers, 1e-9)

	p.Shapes = []drawing.Shape{drawing.Line{From: from, To: drawing.Point{X: 10, Y: 11}, Stroke: drawing.Narrow, Arrow: drawing.AtBothEnds}}
	shapes = parseSVG(t, p.SVG())
	require.Len(t, shapes, 3)
	assert.InDelta(t, 10.5, shapes[1].numbers[3], 1e-9)
	assert.InDelta(t, 10.5, shapes[2].numbers[3], 1e-9)

	p.Shapes = []drawing.Shape{drawing.Line{From: from, To: from, Stroke: drawing.Narrow, Arrow: drawing.AtBothEnds}, drawing.Polyline{}, drawing.Text{Words: " \x00", Size: 3}}
	assert.Len(t, parseSVG(t, p.SVG()), 1, "nothing is drawn of what has no extent")
}

// Kinds of lines differ in dashes or width; fills by what is drawn, not by colour alone.
func TestSVGLooks(t *testing.T) {
	looks := map[string]drawing.Stroke{}
	for s := drawing.Narrow; s <= drawing.TripleDotted; s++ {
		p := drawing.Page{Width: 10, Height: 10, Shapes: []drawing.Shape{drawing.Line{To: drawing.Point{X: 9, Y: 9}, Stroke: s}}}
		look := regexp.MustCompile(`<line .*`).FindString(string(p.SVG()))
		_, again := looks[look]
		assert.False(t, again, look)
		looks[look] = s
	}
	for f, w := range map[drawing.Fill]string{drawing.Paper: `class="ink paper bare"`, drawing.Tint: `class="ink tint bare"`, drawing.Solid: `class="ink solid bare"`, drawing.Hatched: `style="fill: url(#hatch-`, drawing.NoFill: `class="ink bare"`} {
		p := drawing.Page{Width: 10, Height: 10, Shapes: []drawing.Shape{drawing.Circle{Radius: 1, Fill: f}}}
		assert.Contains(t, string(p.SVG()), w)
	}
}
