package drawing_test

import (
	"encoding/xml"
	"io"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"collinear.example/align"
	"collinear.example/drawing"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

const oneMM = align.Millimetre

// drawer is anything that makes a page.
type drawer interface {
	Draw() (*drawing.Page, error)
}

// drawnSheet makes the page and holds it against what must be true of every sheet.
func drawnSheet(t testing.TB, d drawer) *drawing.Page {
	t.Helper()
	p, err := d.Draw()
	require.NoError(t, err)
	requireSoundSheet(t, p)
	again, err := d.Draw()
	require.NoError(t, err)
	require.Equal(t, p.SVG(), again.SVG(), "the same input makes the same bytes")
	return p
}

// requireSoundSheet wants texts that neither overlap nor leave the page, shapes on the
// page with finite numbers, words for a screen reader, and well-formed XML.
func requireSoundSheet(t testing.TB, p *drawing.Page) {
	t.Helper()
	paper := p.Paper().Grown(1e-6)
	for _, s := range p.Shapes {
		b := s.Bounds()
		if !(isFinite(b.Left) && isFinite(b.Top) && isFinite(b.Right) && isFinite(b.Bottom)) || !b.Inside(paper) {
			require.Fail(t, "leaves the page", "%#v", s)
		}
	}
	texts := p.Texts()
	for i, a := range texts {
		if a.Words == "" || drawing.Printable(a.Words) != a.Words {
			require.Fail(t, "not printable", "%q", a.Words)
		}
		box := a.Bounds().Grown(-1e-6)
		for _, b := range texts[:i] {
			if box.Overlaps(b.Bounds()) {
				require.Fail(t, "texts overlap", "%q at %v over %q at %v", a.Words, a.At, b.Words, b.At)
			}
		}
	}
	require.NotEmpty(t, p.Title)
	require.NotEmpty(t, p.Description)
	require.NotContains(t, p.Description, "NaN")
	require.NotContains(t, p.Description, "Inf")
	requireXML(t, p.SVG())
}

func requireXML(t testing.TB, svg []byte) {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(string(svg)))
	for {
		if _, err := d.Token(); err == io.EOF {
			return
		} else {
			require.NoError(t, err)
		}
	}
}

func isFinite(v float64) bool { return v-v == 0 }

// requireWhole wants no text that was cut: with short names every figure must be
// there to its last digit.
func requireWhole(t testing.TB, p *drawing.Page) {
	t.Helper()
	for _, x := range p.Texts() {
		require.NotContains(t, x.Words, "…")
	}
}

// stated returns the scale, paper over life, that a sheet gives after some words:
// "radius of readings 50 : 1".
func stated(t testing.TB, p *drawing.Page, after string) float64 {
	t.Helper()
	for _, x := range p.Texts() {
		_, rest, found := strings.Cut(x.Words, after+" ")
		if !found {
			continue
		}
		f := strings.Fields(strings.ReplaceAll(rest, ",", " "))
		if len(f) >= 3 && f[1] == ":" {
			return parsed(t, f[0]) / parsed(t, f[2])
		}
	}
	require.Fail(t, "no scale", after)
	return 0
}

func parsed(t testing.TB, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return v
}

// circlesOf returns the middles of all circles of a radius with a stroke and a fill.
func circlesOf(p *drawing.Page, radius float64, stroke drawing.Stroke, fill drawing.Fill) (out []drawing.Point) {
	for _, s := range p.Shapes {
		if c, ok := s.(drawing.Circle); ok && math.Abs(c.Radius-radius) < 1e-9 && c.Stroke == stroke && c.Fill == fill {
			out = append(out, c.Centre)
		}
	}
	return out
}

// linesOf returns all lines with a stroke.
func linesOf(p *drawing.Page, stroke drawing.Stroke) (out []drawing.Line) {
	for _, s := range p.Shapes {
		if l, ok := s.(drawing.Line); ok && l.Stroke == stroke {
			out = append(out, l)
		}
	}
	return out
}

// polygons returns all polylines with a stroke and a fill.
func polygons(p *drawing.Page, stroke drawing.Stroke, fill drawing.Fill) (out []drawing.Polyline) {
	for _, s := range p.Shapes {
		if l, ok := s.(drawing.Polyline); ok && l.Stroke == stroke && l.Fill == fill {
			out = append(out, l)
		}
	}
	return out
}

// textsOf returns all texts with just these words.
func textsOf(p *drawing.Page, words string) (out []drawing.Text) {
	for _, x := range p.Texts() {
		if x.Words == words {
			out = append(out, x)
		}
	}
	return out
}

// mentions reports whether any text holds the words.
func mentions(p *drawing.Page, words string) bool {
	all := make([]string, 0, len(p.Shapes))
	for _, x := range p.Texts() {
		all = append(all, x.Words)
	}
	return strings.Contains(strings.Join(all, " "), words) // notes are broken into lines
}

// middleOf is the middle of a text's box.
func middleOf(x drawing.Text) drawing.Point {
	b := x.Bounds()
	return drawing.Point{X: (b.Left + b.Right) / 2, Y: (b.Top + b.Bottom) / 2}
}

func between(a, b drawing.Point) float64 { return math.Hypot(a.X-b.X, a.Y-b.Y) }

// requireNear wants a point within a micrometre of the paper.
func requireNear(t testing.TB, want, got drawing.Point) {
	t.Helper()
	require.InDelta(t, want.X, got.X, 1e-3)
	require.InDelta(t, want.Y, got.Y, 1e-3)
}

// paperMM is a length in millimetres.
func paperMM(v unit.Length) float64 { return 1e3 * float64(v) }

// refusal is an input that must be refused with a fault at a field.
type refusal struct {
	name  string
	d     drawer
	fault error
	field string
}

func requireRefused(t *testing.T, cases []refusal) {
	t.Helper()
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			p, err := c.d.Draw()
			require.Nil(t, p)
			require.ErrorIs(t, err, c.fault)
			var e *align.InputError
			require.ErrorAs(t, err, &e)
			require.Equal(t, "drawing", e.Package)
			require.Equal(t, c.field, e.Field)
			require.True(t, strings.HasPrefix(err.Error(), "drawing: "+c.field))
			require.NotContains(t, err.Error(), "\n")
		})
	}
}

// anyUnit returns one of the units of a drawing.
func anyUnit(r *rand.Rand) align.Unit {
	return [...]align.Unit{"", align.UnitMillimetre, align.UnitMil}[r.IntN(3)]
}
