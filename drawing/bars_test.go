package drawing_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"collinear.example/drawing"
	"collinear.example/uncertainty"
	"collinear.example/whatif"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

func barsDemo() drawing.Bars {
	return drawing.Budget("Outboard foot, move up", []uncertainty.Line{
		{Group: "sag of the brackets", Share: 0.31, Sigma: 0.008e-3},
		{Group: "dial readings", Share: 0.62, Sigma: 0.0115e-3},
		{Group: "correlated part", Share: -0.03, Sigma: 0.0025e-3},
		{Group: "distance between the dials", Share: 0.1, Sigma: 0.0046e-3},
	}, align.UnitMillimetre)
}

func TestBarsToScale(t *testing.T) {
	p := drawnSheet(t, barsDemo())
	requireWhole(t, p)
	x := requireEven(t, ticksOf(t, p, drawing.Middle, horizontally, vertically))
	bars := polygons(p, drawing.Narrow, drawing.Tint)
	require.Len(t, bars, 4)
	last := 0.0
	for i, share := range []float64{62, 31, 10, -3} { // the longest first
		b := bars[i].Bounds()
		assert.InDelta(t, x(min(0, share)), b.Left, 1e-6)
		assert.InDelta(t, x(max(0, share)), b.Right, 1e-6)
		assert.Greater(t, b.Top, last)
		last = b.Bottom
		words := [...]string{"dial readings", "sag of the brackets", "distance between the dials", "correlated part"}[i]
		label := textsOf(p, words)
		require.Len(t, label, 1)
		assert.InDelta(t, (b.Top+b.Bottom)/2, middleOf(label[0]).Y, 1e-6)
	}
	for _, words := range []string{"62", "31", "10", "-3", "0.0115 mm", "0.008 mm"} {
		assert.NotEmpty(t, textsOf(p, words), words)
	}
}

// Two inputs a and b, figure 3a - 2b^2 at a = 1, b = 2 mm: a step of 0.1 in a changes it
// by 0.3 either way; b one step of 0.5 up takes 2 (2.5^2 - 4) = 4.5 away, one down adds
// 2 (4 - 1.5^2) = 3.5.
func TestBarsOfDerivatives(t *testing.T) {
	type job struct{ a, b unit.Length }
	study := whatif.Study[job, unit.Length]{
		Job:     job{1 * oneMM, 2 * oneMM},
		Columns: []whatif.Column[unit.Length]{whatif.Number("figure", align.UnitMillimetre, 2, func(v unit.Length) unit.Length { return v })},
		Compute: func(j *job) (unit.Length, error) { return 3*j.a - 2e3*j.b*j.b, nil },
	}
	d, err := study.Derivatives(context.Background(),
		whatif.StepOf("a", align.UnitMillimetre, func(j *job) *unit.Length { return &j.a }, 0.1*oneMM),
		whatif.StepOf("b", align.UnitMillimetre, func(j *job) *unit.Length { return &j.b }, 0.5*oneMM))
	require.NoError(t, err)
	bars, err := drawing.Effects(d, 0)
	require.NoError(t, err)
	p := drawnSheet(t, bars)
	requireWhole(t, p)
	x := requireEven(t, ticksOf(t, p, drawing.Middle, horizontally, vertically))
	up, down := polygons(p, drawing.Narrow, drawing.Tint), polygons(p, drawing.Narrow, drawing.Hatched)
	require.Len(t, up, 3) // with that of the legend
	require.Len(t, down, 3)
	assert.InDelta(t, x(-4.5), up[0].Bounds().Left, 1e-6)
	assert.InDelta(t, x(0), up[0].Bounds().Right, 1e-6)
	assert.InDelta(t, x(3.5), down[0].Bounds().Right, 1e-6)
	assert.InDelta(t, x(0.3), up[1].Bounds().Right, 1e-6)
	assert.InDelta(t, x(-0.3), down[1].Bounds().Left, 1e-6)
	for _, words := range []string{"+3.5", "-4.5", "-0.3", "+0.3", "0.5 mm", "0.1 mm", "change of figure, mm"} {
		assert.NotEmpty(t, textsOf(p, words), words)
	}
	_, err = drawing.Effects(d, 1)
	require.ErrorIs(t, err, align.ErrOutOfRange)
	_, err = drawing.Effects(nil, 0)
	require.ErrorIs(t, err, align.ErrMissing)
	d.Effects = d.Effects[:1]
	_, err = drawing.Effects(d, 0)
	require.ErrorIs(t, err, align.ErrMismatch)
}

// Where both parts reach to the same side the shorter is drawn over the longer one.
func TestBarsToOneSide(t *testing.T) {
	p := drawnSheet(t, drawing.Bars{Of: drawing.Quantity{Name: "change", Unit: align.UnitMil}, Low: "low", High: "high",
		Bars: []drawing.Bar{{Label: "x", Low: 3 * float64(align.Mil), High: 1 * float64(align.Mil)}}})
	at := func(fill drawing.Fill) (index int, width float64) {
		for i, s := range p.Shapes {
			if l, ok := s.(drawing.Polyline); ok && l.Fill == fill && l.Stroke == drawing.Narrow {
				return i, l.Bounds().Right - l.Bounds().Left
			}
		}
		return -1, 0
	}
	low, long := at(drawing.Hatched)
	high, short := at(drawing.Tint)
	assert.Less(t, low, high)
	assert.InEpsilon(t, 3, long/short, 1e-6)
}

func TestBarsOfAnEstimate(t *testing.T) {
	e := uncertainty.Estimate{Output: uncertainty.Output{Name: "outboard foot", Unit: align.UnitMil}, Parts: []uncertainty.Part{
		{Source: "sag", Effect: -0.3 * float64(align.Mil), Share: 0.36}, {Source: "dial", Effect: 0.4 * float64(align.Mil), Share: 0.64},
	}}
	p := drawnSheet(t, drawing.Contributions(e))
	for _, words := range []string{"-0.3 mil", "+0.4 mil", "36", "64"} {
		assert.NotEmpty(t, textsOf(p, words), words)
	}
}

func TestBarsLeftOut(t *testing.T) {
	b := drawing.Bars{Of: drawing.Quantity{Name: "share", Unit: align.UnitOne, Percent: true}}
	for i := range 30 {
		b.Bars = append(b.Bars, drawing.Bar{Label: fmt.Sprint("source ", i), High: float64(i+1) / 100})
	}
	p := drawnSheet(t, b)
	require.Len(t, polygons(p, drawing.Narrow, drawing.Tint), 24)
	assert.True(t, mentions(p, "6 more, none beyond 7 %, not drawn"))
	assert.Empty(t, textsOf(p, "source 5"))
	assert.NotEmpty(t, textsOf(p, "source 6"))
}

func TestBarsGolden(t *testing.T) { sameAsGolden(t, "bars", drawnSheet(t, barsDemo()).SVG()) }

func randBars(r *rand.Rand, name string) drawing.Bars {
	b := drawing.Bars{Title: name, Of: randQuantity(r, name)}
	if b.Of.Unit == align.UnitCelsius {
		b.Of.Unit = align.UnitCelsiusRise // bars are differences
	}
	size := math.Pow(10, -9+20*r.Float64())
	if r.IntN(2) == 0 {
		b.Low, b.High, b.Note = name, name, name
	}
	for range 1 + r.IntN(40) {
		v := drawing.Bar{Label: name, High: randFigure(r, b.Of, size, 0), Note: "0.123 mm"}
		if b.Low != "" {
			v.Low = randFigure(r, b.Of, size*r.Float64(), 0)
		}
		if r.IntN(10) == 0 {
			v.High = 0
		}
		b.Bars = append(b.Bars, v)
	}
	return b
}

func TestBarsRandom(t *testing.T) {
	for seed := range uint64(300) {
		requireWhole(t, drawnSheet(t, randBars(rand.New(rand.NewPCG(seed, 6)), "foot")))
	}
}

func TestBarsRefused(t *testing.T) {
	with := func(change func(*drawing.Bars)) drawing.Bars {
		b := barsDemo()
		change(&b)
		return b
	}
	requireRefused(t, []refusal{
		{"nothing", drawing.Bars{}, align.ErrMissing, "bars"},
		{"too many", with(func(b *drawing.Bars) { b.Bars = make([]drawing.Bar, 1001) }), align.ErrOutOfRange, "bars"},
		{"low not a number", with(func(b *drawing.Bars) { b.Bars[1].Low = math.NaN() }), align.ErrNotFinite, "bars[1].low"},
		{"high infinite", with(func(b *drawing.Bars) { b.Bars[0].High = math.Inf(1) }), align.ErrNotFinite, "bars[0].high"},
		{"too large", with(func(b *drawing.Bars) { b.Bars[0].High = 1e11 }), align.ErrOutOfRange, "bars[0].high"},
		{"no unit", with(func(b *drawing.Bars) { b.Of.Unit = "" }), align.ErrUnknownUnit, "of.unit"},
		{"percent of a length", with(func(b *drawing.Bars) { b.Of.Unit = align.UnitMil }), align.ErrWrongUnit, "of.unit"},
	})
}

func BenchmarkBars(b *testing.B) {
	d := barsDemo()
	b.ReportAllocs()
	for b.Loop() {
		p, err := d.Draw()
		if err != nil {
			b.Fatal(err)
		}
		p.SVG()
	}
}
