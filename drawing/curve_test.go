package drawing_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"sort"
	"strconv"
	"strings"
	"testing"

	"collinear.example/align"
	"collinear.example/drawing"
	"collinear.example/moves"
	"collinear.example/whatif"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// tick is a figure of an axis and where it stands on the paper.
type tick struct{ figure, at float64 }

// ticksOf reads an axis back from its labels: those of one anchor, of one type size,
// that stand in one line.
func ticksOf(t testing.TB, p *drawing.Page, anchor drawing.Anchor, along, across func(drawing.Point) float64) []tick {
	t.Helper()
	lines := map[int][]tick{}
	for _, x := range p.Texts() {
		v, err := strconv.ParseFloat(x.Words, 64)
		if err != nil || x.Anchor != anchor {
			continue
		}
		key := int(math.Round(1000 * across(x.At)))
		place := middleOf(x)
		lines[key] = append(lines[key], tick{v, along(place)})
	}
	var best []tick
	for _, l := range lines {
		if len(l) > len(best) {
			best = l
		}
	}
	sort.Slice(best, func(i, j int) bool { return best[i].figure < best[j].figure })
	require.GreaterOrEqual(t, len(best), 2)
	return best
}

func horizontally(p drawing.Point) float64 { return p.X }
func vertically(p drawing.Point) float64   { return p.Y }

// requireEven wants ticks of 1, 2 or 5 times a power of ten, evenly spaced, and
// returns the place of a figure by them.
func requireEven(t testing.TB, ticks []tick) func(float64) float64 {
	t.Helper()
	step := ticks[1].figure - ticks[0].figure
	mantissa := step / math.Pow(10, math.Floor(math.Log10(step)+1e-9))
	nearest := math.Inf(1)
	for _, k := range []float64{1, 2, 5} {
		nearest = min(nearest, math.Abs(mantissa-k))
	}
	require.Less(t, nearest, 1e-6, "step %g", step)
	per := (ticks[len(ticks)-1].at - ticks[0].at) / (ticks[len(ticks)-1].figure - ticks[0].figure)
	place := func(v float64) float64 { return ticks[0].at + (v-ticks[0].figure)*per }
	for _, k := range ticks {
		require.InDelta(t, place(k.figure), k.at, 1e-6)
	}
	return place
}

func curveDemo() drawing.Curve {
	c := drawing.Curve{
		Title: "Outboard foot against sag of the bracket",
		X:     drawing.Quantity{Name: "sag", Unit: align.UnitMil}, Y: drawing.Quantity{Name: "outboard foot", Unit: align.UnitMillimetre},
		Chosen:     []int{5, 6},
		Limits:     []drawing.Mark{{Name: "most", At: 0.05e-3}, {Name: "least", At: -0.05e-3}},
		Thresholds: []drawing.Mark{{Name: "passes from", At: -5 * float64(align.Mil)}},
	}
	for k := range 11 {
		sag := -8 + 0.8*float64(k)
		c.Points = append(c.Points, drawing.CurvePoint{X: sag * float64(align.Mil), Y: (0.003*sag*sag - 0.01*sag - 0.08) * 1e-3})
	}
	return c
}

func TestCurveToScale(t *testing.T) {
	c := curveDemo()
	p := drawnSheet(t, c)
	requireWhole(t, p)
	x := requireEven(t, ticksOf(t, p, drawing.Middle, horizontally, vertically))
	y := requireEven(t, ticksOf(t, p, drawing.End, vertically, horizontally))
	at := func(q drawing.CurvePoint) drawing.Point {
		return drawing.Point{X: x(q.X / 25.4e-6), Y: y(q.Y / 1e-3)}
	}
	lines := polygons(p, drawing.Wide, drawing.NoFill)
	curve := lines[len(lines)-1].Points
	require.Len(t, curve, len(c.Points))
	dots := circlesOf(p, 0.7, drawing.NoStroke, drawing.Solid)
	require.Len(t, dots, len(c.Points))
	for i, q := range c.Points {
		requireNear(t, at(q), curve[i])
		requireNear(t, at(q), dots[i])
	}
	rings := circlesOf(p, 1.8, drawing.Wide, drawing.NoFill)
	require.Len(t, rings, 2)
	requireNear(t, at(c.Points[5]), rings[0])
	requireNear(t, at(c.Points[6]), rings[1])
	limits := linesOf(p, drawing.Dashed)
	require.Len(t, limits, 2)
	assert.InDelta(t, y(0.05), limits[0].From.Y, 1e-6)
	assert.InDelta(t, y(-0.05), limits[1].From.Y, 1e-6)
	threshold := linesOf(p, drawing.Centre)
	require.Len(t, threshold, 1)
	assert.InDelta(t, x(-5), threshold[0].From.X, 1e-6)
	// -8 + 5*0.8 = -4 mil: 0.048 + 0.04 - 0.08 = 0.008 mm.
	for _, words := range []string{"-4", "0.008", "0.05", "-0.05", "-5", "sag, mil", "outboard foot, mm"} {
		assert.NotEmpty(t, textsOf(p, words), words)
	}
	assert.Contains(t, p.Description, "Chosen point 1: -4 mil, 0.008 mm.")
}

// The number of a chosen point stands beside it and clear of the curve, whether it falls
// or rises.
func TestCurveNumbers(t *testing.T) {
	falling, rising := curveDemo(), curveDemo()
	for i := range rising.Points {
		rising.Points[i].Y *= -1
	}
	requireNumbersClear(t, drawnSheet(t, falling))
	requireNumbersClear(t, drawnSheet(t, rising))
}

func requireNumbersClear(t *testing.T, p *drawing.Page) {
	t.Helper()
	lines := polygons(p, drawing.Wide, drawing.NoFill)
	curve := lines[len(lines)-1].Points
	for i, ring := range circlesOf(p, 1.8, drawing.Wide, drawing.NoFill) {
		near := drawing.Text{At: drawing.Point{X: -1e3}}
		for _, x := range textsOf(p, strconv.Itoa(i+1)) {
			if between(middleOf(x), ring) < between(middleOf(near), ring) {
				near = x
			}
		}
		require.Less(t, between(middleOf(near), ring), 8.0)
		box := near.Bounds()
		for k := 1; k < len(curve); k++ {
			for step := range 200 {
				f := float64(step) / 200
				q := drawing.Point{X: curve[k-1].X + f*(curve[k].X-curve[k-1].X), Y: curve[k-1].Y + f*(curve[k].Y-curve[k-1].Y)}
				require.False(t, q.X > box.Left && q.X < box.Right && q.Y > box.Top && q.Y < box.Bottom)
			}
		}
	}
}

// The title block says how long a step is on the paper.
func TestCurveStatesItsScales(t *testing.T) {
	p := drawnSheet(t, curveDemo())
	for _, axis := range []struct {
		after string
		ticks []tick
	}{{"across: ", ticksOf(t, p, drawing.Middle, horizontally, vertically)}, {"up: ", ticksOf(t, p, drawing.End, vertically, horizontally)}} {
		var words []string
		for _, x := range p.Texts() {
			if rest, ok := strings.CutPrefix(x.Words, axis.after); ok && strings.Contains(rest, "on paper") {
				words = strings.Fields(rest) // 0.02 mm is 12.3 mm on paper
			}
		}
		require.Len(t, words, 7)
		assert.InDelta(t, axis.ticks[1].figure-axis.ticks[0].figure, parsed(t, words[0]), 1e-9)
		assert.InEpsilon(t, math.Abs(axis.ticks[1].at-axis.ticks[0].at), parsed(t, words[3]), 1e-3)
	}
}

func TestCurveOfTradeOff(t *testing.T) {
	c := drawing.TradeOff([]moves.Point{{Alignment: 0.9, Flange: 0.2}, {Alignment: 0.5, Flange: 0.6}, {Alignment: 0.4, Flange: 1.1}}, 1)
	p := drawnSheet(t, c)
	x := requireEven(t, ticksOf(t, p, drawing.Middle, horizontally, vertically))
	y := requireEven(t, ticksOf(t, p, drawing.End, vertically, horizontally))
	ring := circlesOf(p, 1.8, drawing.Wide, drawing.NoFill)
	require.Len(t, ring, 1)
	requireNear(t, drawing.Point{X: x(60), Y: y(50)}, ring[0])
	assert.InDelta(t, y(100), linesOf(p, drawing.Dashed)[0].From.Y, 1e-6)
	assert.Contains(t, p.Description, "(60 %, 50 %)")
}

// A motor that may be lifted: 0.1 mm of a move takes a twentieth of a 2 mm limit away.
func TestCurveOfFootMoves(t *testing.T) {
	train := &moves.Train{
		Machines: []moves.Machine{
			{Name: "pump"},
			{Name: "motor", Free: moves.TwoPlanes(), About: align.Place{X: 1}, Feet: []moves.Foot{{Name: "in", At: align.Place{X: 0.8}}, {Name: "out", At: align.Place{X: 1.4}}}},
		},
		Couplings: []moves.Coupling{{Name: "coupling", Near: moves.ShaftOf{Machine: 0}, Far: moves.ShaftOf{Machine: 1},
			Found:   align.Axis{Vertical: align.Line{Offset: -1 * oneMM}},
			Offsets: []moves.OffsetLimit{{Station: 0.5, Limit: 2 * oneMM}}}},
	}
	lift := func(v unit.Length) []align.Motion {
		return []align.Motion{{}, {About: align.Place{X: 1}, Shift: align.Displacement{Y: v}}}
	}
	c, err := drawing.FootMoves(train, [][]align.Motion{lift(0), lift(0.1 * oneMM), lift(0.4 * oneMM)}, align.UnitMillimetre)
	require.NoError(t, err)
	for i, want := range []drawing.CurvePoint{{X: 0, Y: 0.5}, {X: 0.1e-3, Y: 0.45}, {X: 0.4e-3, Y: 0.3}} {
		assert.InDelta(t, want.X, c.Points[i].X, 1e-12)
		assert.InDelta(t, want.Y, c.Points[i].Y, 1e-9)
	}
	drawnSheet(t, c)
	_, err = drawing.FootMoves(train, [][]align.Motion{nil}, align.UnitMillimetre)
	require.ErrorIs(t, err, align.ErrMismatch)
	_, err = drawing.FootMoves(nil, nil, align.UnitMillimetre)
	require.ErrorIs(t, err, align.ErrMissing)
}

// parabola is a what-if table of y = x^2 for x from 1 to 4 mm, failing at 3.
func parabola(t testing.TB) *whatif.Table {
	type job struct{ x unit.Length }
	study := whatif.Study[job, unit.Length]{
		Columns: []whatif.Column[unit.Length]{
			whatif.Number("square", align.UnitMillimetre, 2, func(v unit.Length) unit.Length { return v }),
			whatif.Text("words", func(unit.Length) string { return "x" }),
		},
		Compute: func(j *job) (unit.Length, error) {
			if math.Abs(float64(j.x)-3e-3) < 1e-9 {
				return 0, fmt.Errorf("no answer at 3")
			}
			return j.x * j.x * 1e3, nil
		},
	}
	table, err := study.Run(context.Background(), whatif.Each(whatif.Range("length", align.UnitMillimetre, func(j *job) *unit.Length { return &j.x }, 1*oneMM, 4*oneMM, 4)), whatif.Options{})
	require.NoError(t, err)
	return table
}

func TestCurveOfWhatIf(t *testing.T) {
	table := parabola(t)
	c, err := drawing.WhatIf(table, 0, 0)
	require.NoError(t, err)
	require.Len(t, c.Points, 3, "the row that failed is left out")
	p := drawnSheet(t, c)
	x := requireEven(t, ticksOf(t, p, drawing.Middle, horizontally, vertically))
	y := requireEven(t, ticksOf(t, p, drawing.End, vertically, horizontally))
	dots := circlesOf(p, 0.7, drawing.NoStroke, drawing.Solid)
	for i, v := range []float64{1, 2, 4} {
		requireNear(t, drawing.Point{X: x(v), Y: y(v * v)}, dots[i])
	}
	for _, bad := range [][2]int{{-1, 0}, {1, 0}, {0, -1}, {0, 2}, {0, 1}} {
		_, err := drawing.WhatIf(table, bad[0], bad[1])
		require.ErrorIs(t, err, align.ErrOutOfRange, "%v", bad)
	}
	_, err = drawing.WhatIf(nil, 0, 0)
	require.ErrorIs(t, err, align.ErrMissing)
}

func TestCurveGolden(t *testing.T) { sameAsGolden(t, "curve", drawnSheet(t, curveDemo()).SVG()) }

func randQuantity(r *rand.Rand, name string) drawing.Quantity {
	if r.IntN(4) == 0 {
		return drawing.Quantity{Name: name, Unit: align.UnitOne, Percent: true}
	}
	units := []align.Unit{align.UnitMillimetre, align.UnitMil, align.UnitOne, align.UnitCelsius, align.UnitFahrenheitRise, align.UnitPoundForceInch, align.UnitMillimetrePerMetre, align.UnitRPM, align.UnitMicrometrePerMetre}
	return drawing.Quantity{Name: name, Unit: units[r.IntN(len(units))]}
}

// randFigure is a figure whose size as printed is anything from 1e-9 to 1e11, near a
// middle or all over.
func randFigure(r *rand.Rand, q drawing.Quantity, size, middle float64) float64 {
	v := middle + size*(2*r.Float64()-1)
	if q.Percent {
		return v / 100
	}
	return q.Unit.SI(v)
}

func randCurve(r *rand.Rand, name string) drawing.Curve {
	c := drawing.Curve{Title: name, X: randQuantity(r, name), Y: randQuantity(r, name)}
	sizeX, sizeY := math.Pow(10, -9+20*r.Float64()), math.Pow(10, -9+20*r.Float64())
	midX, midY := 0.0, 0.0
	if r.IntN(2) == 0 {
		midX, midY = 1e5*sizeX*r.Float64(), -sizeY*100*r.Float64()
		sizeX = min(sizeX, 1e6)
		midX = min(midX, 1e11)
		sizeY, midY = min(sizeY, 1e6), max(midY, -1e11)
	}
	for range 1 + r.IntN(80) {
		c.Points = append(c.Points, drawing.CurvePoint{X: randFigure(r, c.X, sizeX, midX), Y: randFigure(r, c.Y, sizeY, midY)})
	}
	for range r.IntN(13) {
		c.Chosen = append(c.Chosen, r.IntN(len(c.Points)))
	}
	for range r.IntN(7) {
		c.Limits = append(c.Limits, drawing.Mark{Name: name, At: randFigure(r, c.Y, sizeY, midY)})
	}
	for range r.IntN(7) {
		c.Thresholds = append(c.Thresholds, drawing.Mark{Name: name, At: randFigure(r, c.X, sizeX, midX)})
	}
	return c
}

func TestCurveRandom(t *testing.T) {
	for seed := range uint64(300) {
		requireWhole(t, drawnSheet(t, randCurve(rand.New(rand.NewPCG(seed, 5)), "foot")))
	}
}

func TestCurveRefused(t *testing.T) {
	with := func(change func(*drawing.Curve)) drawing.Curve {
		c := curveDemo()
		change(&c)
		return c
	}
	requireRefused(t, []refusal{
		{"nothing", drawing.Curve{}, align.ErrMissing, "points"},
		{"too many points", with(func(c *drawing.Curve) { c.Points = make([]drawing.CurvePoint, 1001) }), align.ErrOutOfRange, "points"},
		{"too many chosen", with(func(c *drawing.Curve) { c.Chosen = make([]int, 13) }), align.ErrOutOfRange, "chosen"},
		{"chosen that is not there", with(func(c *drawing.Curve) { c.Chosen[1] = 11 }), align.ErrOutOfRange, "chosen[1]"},
		{"chosen below zero", with(func(c *drawing.Curve) { c.Chosen[0] = -1 }), align.ErrOutOfRange, "chosen[0]"},
		{"too many limits", with(func(c *drawing.Curve) { c.Limits = make([]drawing.Mark, 7) }), align.ErrOutOfRange, "limits"},
		{"too many thresholds", with(func(c *drawing.Curve) { c.Thresholds = make([]drawing.Mark, 7) }), align.ErrOutOfRange, "thresholds"},
		{"not a number", with(func(c *drawing.Curve) { c.Points[2].X = math.NaN() }), align.ErrNotFinite, "points[2].x"},
		{"infinite", with(func(c *drawing.Curve) { c.Points[3].Y = math.Inf(1) }), align.ErrNotFinite, "points[3].y"},
		{"too large", with(func(c *drawing.Curve) { c.Points[3].Y = 1e10 }), align.ErrOutOfRange, "points[3].y"},
		{"overflows in its unit", with(func(c *drawing.Curve) { c.Points[3].Y = math.MaxFloat64 }), align.ErrNotFinite, "points[3].y"},
		{"limit not a number", with(func(c *drawing.Curve) { c.Limits[1].At = math.NaN() }), align.ErrNotFinite, "limits[1].at"},
		{"threshold infinite", with(func(c *drawing.Curve) { c.Thresholds[0].At = math.Inf(-1) }), align.ErrNotFinite, "thresholds[0].at"},
		{"no unit", with(func(c *drawing.Curve) { c.X.Unit = "" }), align.ErrUnknownUnit, "x.unit"},
		{"percent of a length", with(func(c *drawing.Curve) { c.Y.Percent = true }), align.ErrWrongUnit, "y.unit"},
	})
}

func BenchmarkCurve(b *testing.B) {
	c := curveDemo()
	b.ReportAllocs()
	for b.Loop() {
		p, err := c.Draw()
		if err != nil {
			b.Fatal(err)
		}
		p.SVG()
	}
}

func ExampleTradeOff() {
	points := []moves.Point{{Alignment: 0.9, Flange: 0.2}, {Alignment: 0.5, Flange: 0.6}, {Alignment: 0.4, Flange: 1.1}}
	page, err := drawing.TradeOff(points, 1).Draw()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(page.Description)
	// Output:
	// Curve: Alignment against flange fit. Across largest share at a flange, %, up largest share at a coupling, %, 3 points: (20 %, 90 %) (60 %, 50 %) (110 %, 40 %). Chosen point 1: 60 %, 50 %. Limit, limit: 100 %.
}
