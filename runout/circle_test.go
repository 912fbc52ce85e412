package runout_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"collinear.example/runout"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

func roughCircle(r *rand.Rand, n int, arc, radius, noise float64) []runout.CirclePoint {
	points := make([]runout.CirclePoint, n)
	for i := range points {
		sin, cos := math.Sincos(arc * (float64(i) + r.Float64()/2) / float64(n))
		d := radius + noise*r.NormFloat64()
		points[i] = runout.CirclePoint{X: unit.Length(2 + d*cos), Y: unit.Length(-1 + d*sin)}
	}
	return points
}

// scatterAbout is what GeometricCircle makes least, worked out for any centre.
func scatterAbout(points []runout.CirclePoint, x, y float64) float64 {
	mean, sum := 0.0, 0.0
	for _, p := range points {
		mean += math.Hypot(float64(p.X)-x, float64(p.Y)-y) / float64(len(points))
	}
	for _, p := range points {
		d := math.Hypot(float64(p.X)-x, float64(p.Y)-y) - mean
		sum += d * d
	}
	return sum
}

func TestGeometricCircleAgainstSearch(t *testing.T) {
	// A slow search by ever smaller squares finds the same centre.
	r := rand.New(rand.NewPCG(11, 12))
	for _, arc := range []float64{2 * math.Pi, math.Pi, 1.2} {
		points := roughCircle(r, 15, arc, 0.5, 0.01)
		got, err := runout.GeometricCircle(points)
		require.NoError(t, err)
		x, y, h := 2.0, -1.0, 0.1
		for h > 1e-10 {
			bx, by := x, y
			for _, d := range [][2]float64{{h, 0}, {-h, 0}, {0, h}, {0, -h}, {h, h}, {-h, -h}, {h, -h}, {-h, h}} {
				if scatterAbout(points, x+d[0], y+d[1]) < scatterAbout(points, bx, by) {
					bx, by = x+d[0], y+d[1]
				}
			}
			if bx == x && by == y {
				h /= 2
			}
			x, y = bx, by
		}
		// A search on values sees the minimum to the root of the rounding.
		assert.InDelta(t, x, float64(got.X), 1e-6)
		assert.InDelta(t, y, float64(got.Y), 1e-6)
		assert.LessOrEqual(t, got.SumSquares, scatterAbout(points, x, y)*(1+1e-12))
		assert.InDelta(t, float64(got.Radius), float64(got.Mean), 1e-14)
		alg, err := runout.AlgebraicCircle(points)
		require.NoError(t, err)
		assert.LessOrEqual(t, got.SumSquares, alg.SumSquares)
	}
}

func TestCircleMovedTurnedMirroredScaled(t *testing.T) {
	points := roughCircle(rand.New(rand.NewPCG(21, 1)), 12, 4, 0.5, 0.01)
	for name, fit := range map[string]func([]runout.CirclePoint) (runout.CircleFit, error){
		"geometric": runout.GeometricCircle, "algebraic": runout.AlgebraicCircle,
	} {
		t.Run(name, func(t *testing.T) {
			a, err := fit(points)
			require.NoError(t, err)
			sin, cos := math.Sincos(0.7)
			image := func(x, y unit.Length) (unit.Length, unit.Length) {
				y = -y
				return 25.4*(unit.Length(cos)*x-unit.Length(sin)*y) + 3, 25.4*(unit.Length(sin)*x+unit.Length(cos)*y) - 8
			}
			moved := make([]runout.CirclePoint, len(points))
			for i, p := range points {
				moved[i].X, moved[i].Y = image(p.X, p.Y)
			}
			b, err := fit(moved)
			require.NoError(t, err)
			x, y := image(a.X, a.Y)
			assert.InDelta(t, float64(x), float64(b.X), 1e-10)
			assert.InDelta(t, float64(y), float64(b.Y), 1e-10)
			assert.InDelta(t, 25.4*float64(a.Radius), float64(b.Radius), 1e-10)
			assert.InDelta(t, 25.4*float64(a.RMS), float64(b.RMS), 1e-11)
			for i := range a.Residuals {
				assert.InDelta(t, 25.4*float64(a.Residuals[i]), float64(b.Residuals[i]), 1e-10)
			}
		})
	}
}

func TestCircleExact(t *testing.T) {
	for _, radius := range []float64{1e-6, 1, 1e6} {
		got, err := runout.GeometricCircle(roughCircle(rand.New(rand.NewPCG(4, 4)), 9, 2, radius, 0))
		require.NoError(t, err)
		assert.InEpsilon(t, radius, float64(got.Radius), 1e-8)
		assert.LessOrEqual(t, float64(got.Worst), 1e-9*max(radius, 1e-6))
	}
}

func TestGeometricCircleRefusesALine(t *testing.T) {
	// The corners of a long box: the fit is better the larger the circle, up or
	// down, so the only stationary centre, in the middle, is no minimum.
	var points []runout.CirclePoint
	for _, x := range []unit.Length{-4, -2, 0, 2, 4} {
		for _, y := range []unit.Length{-1e-3, 1e-3} {
			points = append(points, runout.CirclePoint{X: x, Y: y})
		}
	}
	require.Less(t, scatterAbout(points, 0, 1e5), scatterAbout(points, 0, 0))
	_, err := runout.GeometricCircle(points)
	require.ErrorIs(t, err, align.ErrUndetermined)
}

func TestCircleOfOrbitNeedsNoAngles(t *testing.T) {
	var points []runout.OrbitPoint
	for _, turned := range []float64{0, 80, 190, 260} {
		sin, cos := math.Sincos(turned * math.Pi / 180)
		points = append(points, runout.OrbitPoint{At: runout.Lean{North: unit.Length(1e-4 + 5e-5*cos), East: unit.Length(-2e-4 + 5e-5*sin)}})
	}
	got, err := runout.CircleOfOrbit(points)
	require.NoError(t, err)
	assert.InDelta(t, 5e-5, float64(got.Radius), 1e-16)
	assert.InDelta(t, 1e-4, float64(got.Y), 1e-16)
	assert.InDelta(t, -2e-4, float64(got.X), 1e-16)
}

func ExampleGeometricCircle() {
	mm := func(x, y unit.Length) runout.CirclePoint {
		return runout.CirclePoint{X: x * align.Millimetre, Y: y * align.Millimetre}
	}
	// An oval section: 2.2 mm across one way, 1.8 mm the other.
	c, err := runout.GeometricCircle([]runout.CirclePoint{mm(1.1, 0), mm(0, 0.9), mm(-1.1, 0), mm(0, -0.9)})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("radius", align.UnitMillimetre.Format(float64(c.Radius), 3))
	fmt.Println("worst point off by", align.UnitMillimetre.Format(float64(c.Worst), 3))
	// Output:
	// radius 1.000 mm
	// worst point off by 0.100 mm
}

func FuzzCircle(f *testing.F) {
	f.Add(1.1, 0.0, 0.0, 0.9, -1.1, 0.0, 0.0, -0.9)
	f.Add(0.0, 0.0, 1.0, 1.0, 2.0, 2.0, 3.0, 3.0)
	f.Add(1e308, -1e308, 1e-308, 0.0, -1e308, 1e308, 5.0, 5.0)
	f.Fuzz(func(t *testing.T, a, b, c, d, e, g, h, i float64) {
		points := []runout.CirclePoint{
			{X: unit.Length(a), Y: unit.Length(b)}, {X: unit.Length(c), Y: unit.Length(d)},
			{X: unit.Length(e), Y: unit.Length(g)}, {X: unit.Length(h), Y: unit.Length(i)},
		}
		alg, errA := runout.AlgebraicCircle(points)
		geo, errG := runout.GeometricCircle(points)
		for _, err := range []error{errA, errG} {
			if err != nil {
				require.NotEmpty(t, align.CodeOf(err))
			}
		}
		if errA != nil || errG != nil {
			return
		}
		for _, v := range []unit.Length{geo.X, geo.Y, geo.Radius, geo.RMS, geo.Worst, geo.Scatter, alg.Radius} {
			require.True(t, align.IsFinite(v))
		}
		size := math.Abs(a) + math.Abs(b) + math.Abs(c) + math.Abs(d) + math.Abs(e) + math.Abs(g) + math.Abs(h) + math.Abs(i)
		require.LessOrEqual(t, float64(geo.RMS), float64(alg.RMS)*(1+1e-9)+1e-12*(size+float64(geo.Radius)))
	})
}

func BenchmarkGeometricCircle(b *testing.B) {
	points := roughCircle(rand.New(rand.NewPCG(1, 1)), 8, 2*math.Pi, 0.5, 0.001)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := runout.GeometricCircle(points); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkFitOrbit(b *testing.B) {
	points := []runout.OrbitPoint{
		{Turned: 0, At: runout.Lean{North: 6, East: -0.75}}, {Turned: 90, At: runout.Lean{North: 7.25, East: 4.25}},
		{Turned: 180, At: runout.Lean{North: 2, East: 5.25}}, {Turned: 270, At: runout.Lean{North: 1, East: 0.25}},
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := runout.FitOrbit(points); err != nil {
			b.Fatal(err)
		}
	}
}
