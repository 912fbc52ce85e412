package drawing_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"collinear.example/align"
	"collinear.example/drawing"
	"collinear.example/piping"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// twoDials is a strain test with an upright and a level dial on the hub, so that the
// shaft moves by just what they show. Readings are in millimetres, up and right.
func twoDials(readings ...[2]float64) piping.StrainTest {
	t := piping.StrainTest{
		Indicators: []piping.Indicator{
			{Name: "upright", At: align.Place{Y: 0.08}, Toward: piping.StandingAt(align.Twelve), Carrier: piping.OtherShaftCarried, Touches: piping.Shaft},
			{Name: "level", At: align.Place{Z: 0.08}, Toward: piping.StandingAt(align.Three), Carrier: piping.OtherShaftCarried, Touches: piping.Shaft},
		},
		Coupling: []unit.Length{0},
	}
	for i, r := range readings {
		name := "flange " + strconv.Itoa(i+1)
		t.Steps = append(t.Steps, piping.Step{Name: name, Action: piping.Loosen, Group: piping.Flange, Of: []string{name},
			Readings: []piping.Reading{shows(r[0]), shows(r[1])}})
	}
	return t
}

func shows(v float64) piping.Reading {
	return piping.Shows(align.Movement(unit.Length(v) * align.Millimetre))
}

func strainDemo() drawing.StrainPath {
	d := drawing.StrainPath{Title: "Pump P-101", Limit: 0.05 * oneMM, Test: twoDials([2]float64{0.02, -0.03}, [2]float64{0.09, -0.04}, [2]float64{0.06, 0.03}, [2]float64{0.01, 0.01})}
	d.Test.Steps[2].Action, d.Test.Steps[2].Group, d.Test.Steps[2].Name = piping.Fit, piping.Support, "spring support"
	return d
}

func TestStrainToScale(t *testing.T) {
	d := strainDemo()
	p := drawnSheet(t, d)
	requireWhole(t, p)
	scale := stated(t, p, "movement")
	starts := circlesOf(p, 1.4, drawing.Narrow, drawing.Paper)
	require.Len(t, starts, 1)
	start := starts[0]
	dots := circlesOf(p, 0.8, drawing.NoStroke, drawing.Solid)
	require.Len(t, dots, 4)
	want := [][2]float64{{0.02, -0.03}, {0.09, -0.04}, {0.06, 0.03}, {0.01, 0.01}}
	for i, m := range want {
		at := start.Add(scale*m[1], -scale*m[0])
		requireNear(t, at, dots[i])
		labels := textsOf(p, strconv.Itoa(i+1))
		require.NotEmpty(t, labels)
		near := math.Inf(1)
		for _, x := range labels {
			near = min(near, between(middleOf(x), at))
		}
		assert.Less(t, near, 8.0, "number of point %d", i+1)
	}
	var limit []float64
	for _, s := range p.Shapes {
		if c, ok := s.(drawing.Circle); ok && c.Stroke == drawing.Dashed {
			requireNear(t, start, c.Centre)
			limit = append(limit, c.Radius)
		}
	}
	require.InDeltaSlice(t, []float64{0.05 * scale}, limit, 1e-9)
	var way []drawing.Line
	for _, l := range linesOf(p, drawing.Narrow) {
		if l.Arrow == drawing.AtEnd {
			way = append(way, l)
		}
	}
	require.Len(t, way, 4)
	requireNear(t, start, way[0].From)
	for i, l := range way {
		requireNear(t, dots[i], l.To)
	}
	requireNear(t, dots[3], circlesOf(p, 1.8, drawing.Narrow, drawing.NoFill)[0])
	// The largest: sqrt(0.09^2 + 0.04^2) = 0.0985.
	for _, words := range []string{"Largest 0.098 mm after step 2.", "At the end: 0.010 mm toward 12, 0.010 mm toward 3.", "limit 0.050 mm, exceeded.", "fit support", "spring support", "loosen flange"} {
		assert.True(t, mentions(p, words), words)
	}
}

// Ticks stand where the scale says.
func TestStrainTicks(t *testing.T) {
	p := drawnSheet(t, strainDemo())
	scale := stated(t, p, "movement")
	start := circlesOf(p, 1.4, drawing.Narrow, drawing.Paper)[0]
	below, beside := 0, 0
	for _, x := range p.Texts() {
		v, err := strconv.ParseFloat(x.Words, 64)
		m := middleOf(x)
		switch {
		case err != nil:
		case x.Anchor == drawing.Middle && m.Y > start.Y+60:
			assert.InDelta(t, start.X+scale*v, m.X, 1e-6, x.Words)
			below++
		case x.Anchor == drawing.End && m.X < start.X-60:
			assert.InDelta(t, start.Y-scale*v, m.Y, 1e-6, x.Words)
			beside++
		}
	}
	assert.GreaterOrEqual(t, below, 3)
	assert.GreaterOrEqual(t, beside, 3)
}

func TestStrainNotKnown(t *testing.T) {
	d := strainDemo()
	d.Test.Steps[1].Readings[1] = piping.Reading{}
	d.Limit = 0
	p := drawnSheet(t, d)
	assert.Less(t, len(circlesOf(p, 0.8, drawing.NoStroke, drawing.Solid)), 4)
	assert.True(t, mentions(p, "not known in both directions: no point."))
	assert.True(t, mentions(p, "No limit given."))

	d = strainDemo()
	d.Test.Indicators = d.Test.Indicators[:1]
	for i := range d.Test.Steps {
		d.Test.Steps[i].Readings = d.Test.Steps[i].Readings[:1]
	}
	p = drawnSheet(t, d)
	assert.Empty(t, circlesOf(p, 0.8, drawing.NoStroke, drawing.Solid))
	assert.True(t, mentions(p, "4 steps not known in both directions"))
}

// A limit far beyond the path is told and not drawn, so that the path can be seen.
func TestStrainFarLimit(t *testing.T) {
	d := strainDemo()
	d.Limit = 2 * oneMM
	p := drawnSheet(t, d)
	for _, s := range p.Shapes {
		if c, ok := s.(drawing.Circle); ok {
			require.NotEqual(t, drawing.Dashed, c.Stroke)
		}
	}
	assert.True(t, mentions(p, "Limit 2.000 mm, beyond this drawing, not exceeded."))
	d.Test = twoDials([2]float64{0, 0})
	p = drawnSheet(t, d)
	assert.True(t, mentions(p, "Dashed circle: limit 2.000 mm, not exceeded."))
}

func TestStrainGolden(t *testing.T) {
	sameAsGolden(t, "strain", drawnSheet(t, strainDemo()).SVG())
}

func randStrain(r *rand.Rand, name string) drawing.StrainPath {
	size := math.Pow(10, -4+5.8*r.Float64())
	var moves [][2]float64
	for range 1 + r.IntN(32) {
		m := [2]float64{size * (2*r.Float64() - 1), size * (2*r.Float64() - 1)}
		if r.IntN(3) == 0 && len(moves) > 0 {
			m = moves[r.IntN(len(moves))] // back where it was
		}
		moves = append(moves, m)
	}
	d := drawing.StrainPath{Title: name, Unit: anyUnit(r), Test: twoDials(moves...)}
	for i := range d.Test.Steps {
		d.Test.Steps[i].Name = name + strconv.Itoa(i)
		d.Test.Steps[i].Action = piping.Action(r.IntN(4))
		if r.IntN(20) == 0 {
			d.Test.Steps[i].Readings[0] = piping.Reading{}
		}
	}
	if r.IntN(2) == 0 {
		d.Limit = unit.Length(size*math.Pow(10, 2*r.Float64()-1)) * align.Millimetre
	}
	return d
}

func TestStrainRandom(t *testing.T) {
	for seed := range uint64(300) {
		requireWhole(t, drawnSheet(t, randStrain(rand.New(rand.NewPCG(seed, 2)), "step")))
	}
}

func TestStrainRefused(t *testing.T) {
	with := func(change func(*drawing.StrainPath)) drawing.StrainPath {
		d := strainDemo()
		change(&d)
		return d
	}
	requireRefused(t, []refusal{
		{"nothing", drawing.StrainPath{}, align.ErrMissing, "test.indicators"},
		{"no steps", with(func(d *drawing.StrainPath) { d.Test.Steps = nil }), align.ErrMissing, "test.steps"},
		{"too many steps", with(func(d *drawing.StrainPath) { d.Test = twoDials(make([][2]float64, 33)...) }), align.ErrOutOfRange, "test.steps"},
		{"two steps of one name", with(func(d *drawing.StrainPath) { d.Test.Steps[1].Name = d.Test.Steps[0].Name }), piping.ErrGivenTwice, "test.steps[1].name"},
		{"a reading not a number", with(func(d *drawing.StrainPath) { d.Test.Steps[0].Readings[0] = shows(math.NaN()) }), align.ErrNotFinite, "test.steps[0].readings[0]"},
		{"station not there", with(func(d *drawing.StrainPath) { d.Station = 1 }), align.ErrOutOfRange, "station"},
		{"station below zero", with(func(d *drawing.StrainPath) { d.Station = -1 }), align.ErrOutOfRange, "station"},
		{"limit below zero", with(func(d *drawing.StrainPath) { d.Limit = -1e-6 }), align.ErrNegative, "limit"},
		{"limit infinite", with(func(d *drawing.StrainPath) { d.Limit = unit.Length(math.Inf(1)) }), align.ErrNotFinite, "limit"},
		{"limit beyond a metre", with(func(d *drawing.StrainPath) { d.Limit = 2 }), align.ErrOutOfRange, "limit"},
		{"moved too far", with(func(d *drawing.StrainPath) {
			d.Test = twoDials([2]float64{0, 80}, [2]float64{0, 80})
			d.Test.Steps[1].Rezeroed = true
		}), align.ErrOutOfRange, "test.steps[1].movement"},
		{"unit of another kind", with(func(d *drawing.StrainPath) { d.Unit = align.UnitRPM }), align.ErrWrongUnit, "unit"},
	})
}

func BenchmarkStrainPath(b *testing.B) {
	d := strainDemo()
	b.ReportAllocs()
	for b.Loop() {
		p, err := d.Draw()
		if err != nil {
			b.Fatal(err)
		}
		p.SVG()
	}
}

func ExampleStrainPath_Draw() {
	page, err := drawing.StrainPath{Title: "Pump P-101", Limit: 0.05 * align.Millimetre, Test: twoDials([2]float64{0.02, -0.03}, [2]float64{0.06, -0.04})}.Draw()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(page.Description)
	// Output:
	// Path of the shaft during the strain test of Pump P-101, 2 steps, movement in mm. 1 flange 1, loosen flange: up +0.020, right -0.030; 2 flange 2, loosen flange: up +0.060, right -0.040. Shaft at station 0.0 mm. Movement since the start. Largest 0.072 mm after step 2. At the end: 0.060 mm toward 12, 0.040 mm toward 9. Dashed circle: limit 0.050 mm, exceeded. Open circle: start. Ring: end.
}
