package tolerance

import (
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The zener diode and the motor oil of JCGM 106:2012, clause 7 (from memory).
func TestConformityPublished(t *testing.T) {
	p, err := Conformity(-5.47, 0.05, math.Inf(-1), -5.40)
	require.NoError(t, err)
	assert.InDelta(t, 0.92, p, 0.005)
	p, err = Conformity(13.6, 1.8, 12.5, 16.3)
	require.NoError(t, err)
	assert.InDelta(t, 0.66, p, 0.005)
}

// For equal uncertainties about zero the resultant has the Rayleigh
// distribution.
func TestWithinRayleigh(t *testing.T) {
	for _, r := range []float64{0, 0.01, 0.5, 1, 3, 12} {
		p, err := Normal2{SigmaVertical: 1, SigmaHorizontal: 1}.Within(r)
		require.NoError(t, err)
		assert.InDelta(t, -math.Expm1(-r*r/2), p, 1e-10, r)
	}
}

// Slow oracle: points drawn at random.
func TestWithinAgainstDraws(t *testing.T) {
	draw := rand.New(rand.NewPCG(1, 2))
	const points = 200000
	for range 12 {
		n := Normal2{
			Vertical: draw.NormFloat64(), Horizontal: draw.NormFloat64(),
			SigmaVertical: math.Exp(draw.NormFloat64() * 1.5), SigmaHorizontal: math.Exp(draw.NormFloat64() * 1.5),
			Correlation: 1.98*draw.Float64() - 0.99,
		}
		radius := 3 * draw.Float64()
		in := 0
		other := math.Sqrt(1 - n.Correlation*n.Correlation)
		for range points {
			a, b := draw.NormFloat64(), draw.NormFloat64()
			v := n.Vertical + n.SigmaVertical*a
			h := n.Horizontal + n.SigmaHorizontal*(n.Correlation*a+other*b)
			if math.Hypot(v, h) <= radius {
				in++
			}
		}
		p, err := n.Within(radius)
		require.NoError(t, err)
		assert.InDelta(t, float64(in)/points, p, 5*math.Sqrt(0.25/points), "%+v radius %g", n, radius)
	}
}

// Turning the point and its uncertainty about zero changes nothing, and neither
// does the unit of length.
func TestWithinTurnedAndScaled(t *testing.T) {
	draw := rand.New(rand.NewPCG(3, 4))
	for range 200 {
		v, h := 3*draw.NormFloat64(), 3*draw.NormFloat64()
		major := math.Exp(2 * draw.NormFloat64())
		minor := major * math.Pow(10, -5*draw.Float64())
		radius := 4 * draw.Float64()
		straight, err := Normal2{Vertical: v, Horizontal: h, SigmaVertical: major, SigmaHorizontal: minor}.Within(radius)
		require.NoError(t, err)
		sin, cos := math.Sincos(2 * math.Pi * draw.Float64())
		vv := cos*cos*major*major + sin*sin*minor*minor
		hh := sin*sin*major*major + cos*cos*minor*minor
		k := math.Pow(10, 6*draw.Float64()-3)
		turned, err := Normal2{
			Vertical: k * (cos*v - sin*h), Horizontal: k * (sin*v + cos*h),
			SigmaVertical: k * math.Sqrt(vv), SigmaHorizontal: k * math.Sqrt(hh),
			Correlation: max(-1, min(1, sin*cos*(major*major-minor*minor)/math.Sqrt(vv*hh))),
		}.Within(k * radius)
		require.NoError(t, err)
		assert.InDelta(t, straight, turned, 1e-6, "major %g minor %g radius %g", major, minor, radius)
		assert.True(t, straight >= 0 && straight <= 1)
	}
}

// A bigger circle never holds the point with less probability.
func TestWithinGrows(t *testing.T) {
	n := Normal2{Vertical: 2, Horizontal: -1, SigmaVertical: 0.7, SigmaHorizontal: 0.01, Correlation: 0.4}
	last := 0.0
	for r := 0.0; r < 6; r += 0.03 {
		p, err := n.Within(r)
		require.NoError(t, err)
		assert.GreaterOrEqual(t, p, last-1e-9, r)
		last = p
	}
	assert.InDelta(t, 1, last, 1e-6)
}

// With one uncertainty vanishing the circle becomes a chord, with both a point.
func TestWithinDegenerate(t *testing.T) {
	p, err := Normal2{Horizontal: 3, SigmaVertical: 2}.Within(5)
	require.NoError(t, err)
	assert.InDelta(t, math.Erf(4/(2*math.Sqrt2)), p, 1e-12) // chord of half length 4
	p, err = Normal2{Horizontal: 3, SigmaVertical: 2, SigmaHorizontal: 1e-7}.Within(5)
	require.NoError(t, err)
	assert.InDelta(t, math.Erf(4/(2*math.Sqrt2)), p, 1e-7)
	p, err = Normal2{Horizontal: 6, SigmaVertical: 2}.Within(5)
	require.NoError(t, err)
	assert.Zero(t, p)
	p, err = Normal2{Horizontal: 3, Vertical: 4}.Within(5)
	require.NoError(t, err)
	assert.Equal(t, 1.0, p)
}

func TestWithinRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		n    Normal2
		r    float64
		code align.Fault
	}{
		"radius":      {Normal2{}, -1, align.ErrNegative},
		"no radius":   {Normal2{}, math.NaN(), align.ErrNotFinite},
		"sigma":       {Normal2{SigmaVertical: -1}, 1, align.ErrNegative},
		"vertical":    {Normal2{Vertical: math.Inf(1)}, 1, align.ErrNotFinite},
		"correlation": {Normal2{Correlation: 1.01}, 1, align.ErrOutOfRange},
	} {
		_, err := c.n.Within(c.r)
		assert.ErrorIs(t, err, c.code, name)
	}
}

func BenchmarkWithin(b *testing.B) {
	n := Normal2{Vertical: 20e-6, Horizontal: -30e-6, SigmaVertical: 8e-6, SigmaHorizontal: 5e-6, Correlation: 0.3}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := n.Within(50e-6); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkConformity(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Conformity(30e-6, 8e-6, -50e-6, 50e-6); err != nil {
			b.Fatal(err)
		}
	}
}
