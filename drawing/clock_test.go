package drawing_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"collinear.example/drawing"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

func clockDemo() drawing.Clock {
	s := append(align.FourPoint(0, 0.12*oneMM, -0.16*oneMM, -0.27*oneMM), align.Reading{At: align.Twelve, Value: 0.01 * oneMM})
	return drawing.Clock{Title: "Rim dial on the pump hub", Sweep: s}
}

// Four readings: mean (0 + 0.12 - 0.16 - 0.27)/4 = -0.0775, first harmonic (0 + 0.16)/2
// = 0.08 up and (0.12 + 0.27)/2 = 0.195 to the right. Every place follows from these and
// the scale printed on the sheet.
func TestClockToScale(t *testing.T) {
	p := drawnSheet(t, clockDemo())
	requireWhole(t, p)
	scale := stated(t, p, "radius of readings")
	var centre drawing.Point
	var mean float64
	for _, s := range p.Shapes {
		if c, ok := s.(drawing.Circle); ok && c.Stroke == drawing.Dashed {
			centre, mean = c.Centre, c.Radius
		}
	}
	require.NotZero(t, mean)
	dots := circlesOf(p, 0.7, drawing.NoStroke, drawing.Solid)
	require.Len(t, dots, 4, "the closing reading is not drawn as a fifth")
	radius := func(v float64) float64 { return mean + scale*(v+0.0775) }
	requireNear(t, centre.Add(0, -radius(0)), dots[0])
	requireNear(t, centre.Add(radius(0.12), 0), dots[1])
	requireNear(t, centre.Add(0, radius(-0.16)), dots[2])
	requireNear(t, centre.Add(-radius(-0.27), 0), dots[3])

	var arrows []drawing.Line
	for _, l := range linesOf(p, drawing.Wide) {
		if l.Arrow == drawing.AtEnd {
			arrows = append(arrows, l)
		}
	}
	require.Len(t, arrows, 1)
	requireNear(t, centre, arrows[0].From)
	requireNear(t, centre.Add(0.195*scale, -0.08*scale), arrows[0].To)

	curve := polygons(p, drawing.Narrow, drawing.NoFill)[0]
	for k, q := range curve.Points {
		sin, cos := math.Sincos(float64(k) / float64(len(curve.Points)) * 2 * math.Pi)
		r := mean + scale*(0.08*cos+0.195*sin)
		requireNear(t, centre.Add(r*sin, -r*cos), q)
	}
	assert.True(t, mentions(p, "Closure: last reading less first +0.010 mm."))
	assert.True(t, mentions(p, "Centre of the fitted circle: 0.080 mm toward 12, 0.195 mm toward 3."))
	// 0 - (-0.0775 + 0.08) = -0.0025 at 12, and the same size at the others.
	assert.True(t, mentions(p, "Left over: at most 0.003 mm.") || mentions(p, "Left over: at most 0.002 mm."))
}

// Numbers stand outside the ring toward their clock positions, and a stroke from the
// curve to a reading is as long as what is left over.
func TestClockNumbersAndLeftOver(t *testing.T) {
	s := align.EvenSweep(0, 0.10*oneMM, 0.09*oneMM, 0.02*oneMM, -0.06*oneMM, -0.11*oneMM, -0.07*oneMM, -0.01*oneMM, 0.04*oneMM)
	fit, err := s.Fit()
	require.NoError(t, err)
	p := drawnSheet(t, drawing.Clock{Title: "dial", Sweep: s})
	scale := stated(t, p, "radius of readings")
	ring := circlesOf(p, 58, drawing.Wide, drawing.NoFill)
	require.Len(t, ring, 1)
	for i, r := range s {
		up, right := r.At.Unit()
		words := fmt.Sprintf("%+.3f", 1e3*float64(r.Value))
		var found bool
		for _, x := range textsOf(p, words) {
			m := middleOf(x)
			dx, dy := m.X-ring[0].X, ring[0].Y-m.Y
			if n := math.Hypot(dx, dy); n < 90 && n > 58 {
				found = true
				assert.Greater(t, (dx*right+dy*up)/n, math.Cos(15*math.Pi/180), "reading %d", i)
			}
		}
		assert.True(t, found, words)
	}
	var strokes []float64
	for _, l := range linesOf(p, drawing.Wide) {
		if l.Arrow == drawing.NoArrow && between(l.From, ring[0]) < 57 && between(l.From, ring[0]) > 25 {
			strokes = append(strokes, between(l.From, l.To))
		}
	}
	var want []float64
	for _, r := range s {
		up, right := r.At.Unit()
		left := float64(r.Value) - float64(fit.Constant) - up*float64(fit.Vertical) - right*float64(fit.Horizontal)
		if d := scale * 1e3 * math.Abs(left); d > 0.05 {
			want = append(want, d)
		}
	}
	require.InDeltaSlice(t, want, strokes, 1e-6)
}

func TestClockOnePlane(t *testing.T) {
	p := drawnSheet(t, drawing.Clock{Sweep: align.TopBottom(0, -0.3*oneMM)})
	assert.Empty(t, polygons(p, drawing.Narrow, drawing.NoFill), "no curve where a plane is not known")
	assert.True(t, mentions(p, "0.150 mm toward 12; not known sideways."))
	p = drawnSheet(t, drawing.Clock{Sweep: align.Sides(0, 0.3*oneMM)})
	assert.True(t, mentions(p, "0.150 mm toward 9; not known up and down."))
	assert.True(t, mentions(p, "Closure: no closing reading taken."))
}

// The same sweep in mils is the same drawing with other figures.
func TestClockMil(t *testing.T) {
	d := clockDemo()
	a := drawnSheet(t, d)
	d.Unit = align.UnitMil
	b := drawnSheet(t, d)
	require.Equal(t, circlesOf(a, 0.7, drawing.NoStroke, drawing.Solid), circlesOf(b, 0.7, drawing.NoStroke, drawing.Solid))
	assert.True(t, mentions(b, "Closure: last reading less first +0.39 mil.")) // 0.01/0.0254 = 0.394
	assert.NotEmpty(t, textsOf(b, "+4.72"))                                    // 0.12/0.0254 = 4.724
}

func TestClockGolden(t *testing.T) { sameAsGolden(t, "clock", drawnSheet(t, clockDemo()).SVG()) }

func randClock(r *rand.Rand, name string) drawing.Clock {
	d := drawing.Clock{Title: name, Unit: anyUnit(r)}
	size := unit.Length(math.Pow(10, -7+7*r.Float64()))
	n := 3 + r.IntN(33)
	for range n {
		at := align.Clock(360 * r.Float64())
		switch r.IntN(3) {
		case 0:
			at = align.OClock(float64(r.IntN(24)) / 2)
		case 1:
			at = 10
		}
		d.Sweep = append(d.Sweep, align.Reading{At: at, Value: size * unit.Length(2*r.Float64()-1)})
	}
	d.Sweep[0].At, d.Sweep[1].At, d.Sweep[2].At = align.Twelve, align.Three, align.OClock(7)
	if r.IntN(2) == 0 {
		d.Sweep = append(d.Sweep, align.Reading{At: align.Twelve, Value: size / 50})
	}
	return d
}

func TestClockRandom(t *testing.T) {
	for seed := range uint64(300) {
		requireWhole(t, drawnSheet(t, randClock(rand.New(rand.NewPCG(seed, 1)), "dial")))
	}
}

func TestClockRefused(t *testing.T) {
	with := func(change func(*drawing.Clock)) drawing.Clock {
		d := clockDemo()
		change(&d)
		return d
	}
	nan := unit.Length(math.NaN())
	requireRefused(t, []refusal{
		{"no readings", drawing.Clock{}, align.ErrTooFewPositions, "sweep"},
		{"one reading", drawing.Clock{Sweep: align.Sweep{{At: 0, Value: 0}}}, align.ErrTooFewPositions, "sweep"},
		{"too many", drawing.Clock{Sweep: align.EvenSweep(0, make([]unit.Length, 37)...)}, align.ErrOutOfRange, "sweep"},
		{"far too many", drawing.Clock{Sweep: align.EvenSweep(0, make([]unit.Length, 500)...)}, align.ErrOutOfRange, "sweep"},
		{"not a number", with(func(d *drawing.Clock) { d.Sweep[1].Value = nan }), align.ErrNotFinite, "sweep[1].value"},
		{"infinite", with(func(d *drawing.Clock) { d.Sweep[2].Value = unit.Length(math.Inf(-1)) }), align.ErrNotFinite, "sweep[2].value"},
		{"position not a number", with(func(d *drawing.Clock) { d.Sweep[3].At = align.Clock(math.NaN()) }), align.ErrNotFinite, "sweep[3].at"},
		{"beyond a metre", with(func(d *drawing.Clock) { d.Sweep[0].Value = 1.1 }), align.ErrOutOfRange, "sweep[0].value"},
		{"unit of another kind", with(func(d *drawing.Clock) { d.Unit = align.UnitDegree }), align.ErrWrongUnit, "unit"},
		{"unknown unit", with(func(d *drawing.Clock) { d.Unit = "thou" }), align.ErrUnknownUnit, "unit"},
		{"inches", with(func(d *drawing.Clock) { d.Unit = align.UnitInch }), align.ErrWrongUnit, "unit"},
	})
}

func BenchmarkClock(b *testing.B) {
	d := clockDemo()
	b.ReportAllocs()
	for b.Loop() {
		p, err := d.Draw()
		if err != nil {
			b.Fatal(err)
		}
		p.SVG()
	}
}

func ExampleClock_Draw() {
	page, err := drawing.Clock{
		Title: "Rim dial on the pump hub",
		Sweep: align.FourPoint(0, 4*align.Mil, -6*align.Mil, -10*align.Mil),
		Unit:  align.UnitMil,
	}.Draw()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(page.Title)
	fmt.Println(page.Description)
	// The picture itself is page.SVG().

	// Output:
	// Rim dial on the pump hub, clock diagram, seen looking along +x
	// Clock diagram of Rim dial on the pump hub, 4 readings in mil: 0.00 at 12 o'clock, +4.00 at 3 o'clock, -6.00 at 6 o'clock, -10.00 at 9 o'clock. Centre of the fitted circle: 3.00 mil toward 12, 7.00 mil toward 3. Left over: at most 0.00 mil. Closure: no closing reading taken. Top + bottom less left + right: 0.00 mil. Bracket sag is not taken out. Curve: fitted circle. Arrow: offset of its centre. Dashed: mean of the fit, -3.00 mil.
}
