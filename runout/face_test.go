package runout_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"collinear.example/runout"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// A plane through three points of the face, worked in space, has the tilt that
// the dial shows.
func TestTiltIsThatOfThePlane(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	for range 200 {
		up, right, d := r.NormFloat64()*1e-3, r.NormFloat64()*1e-3, 0.05+r.Float64()
		s := make(align.Sweep, 8)
		for i, m := range evenMarks(8, 0) {
			sin, cos := math.Sincos(float64(m) * math.Pi / 180)
			s[i] = align.Reading{At: m, Value: unit.Length(0.001 + up*d/2*cos + right*d/2*sin)}
		}
		f, err := runout.FaceSweep{Sweep: s, Diameter: unit.Length(d)}.Solve()
		require.NoError(t, err)
		require.InDelta(t, up, f.Tilt().Vertical, 1e-14)
		require.InDelta(t, right, f.Tilt().Horizontal, 1e-14)
		require.InDelta(t, float64(f.FirstTIR), math.Hypot(up, right)*d, 1e-15, "reading of a flat face is tilt times swept diameter")
		require.Nil(t, f.Float)
		require.Empty(t, f.Warnings)
	}
}

// Total indicator reading and tilt are different things: a warped face.
func TestWarpedFace(t *testing.T) {
	f, err := runout.FaceSweep{Sweep: align.FourPoint(0, 3*align.Mil, -2*align.Mil, 3*align.Mil), Diameter: 10 * align.Inch}.Solve()
	require.NoError(t, err)
	require.InDelta(t, 5, float64(f.TIR)/float64(align.Mil), 1e-12)
	require.InDelta(t, 2, float64(f.FirstTIR)/float64(align.Mil), 1e-12)
	require.InDelta(t, -2, float64(f.Second.Cosine)/float64(align.Mil), 1e-12)
	require.InDelta(t, 0.2e-3, f.Tilt().Resultant(), 1e-15)
	require.Equal(t, []string{"warped-face", "residual"}, codes(f.Warnings))
}

// A shaft that floats while it turns spoils one dial and not the pair; even
// warp drops out of the pair and shows as float, odd warp stays.
func TestFacePairCancelsFloat(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 10))
	for range 100 {
		s := surface{size: [5]float64{0, 30e-6, 0, 4e-6}, high: [5]float64{0, r.Float64() * 360, 0, r.Float64() * 120}}
		var a, b align.Sweep
		lo, hi := 0.0, 0.0
		for i, m := range evenMarks(8, 0) {
			float := 0.0
			if i > 0 {
				float = r.NormFloat64() * 1e-4
			}
			lo, hi = min(lo, float), max(hi, float)
			a = append(a, align.Reading{At: m, Value: s.at(m) + unit.Length(float)})
			b = append(b, align.Reading{At: m + 180, Value: s.at(m+180) + unit.Length(float)})
		}
		f, err := runout.FacePair{A: a, B: b, Diameter: 0.3}.Solve()
		require.NoError(t, err)
		require.InDelta(t, 30e-6, float64(f.FirstTIR)/2, 1e-15)
		require.Less(t, angleApart(f.HighSpot(), s.high[1], 360), 1e-7)
		require.InDelta(t, hi-lo, float64(*f.Float), 1e-15)
		require.InDelta(t, 4e-6/math.Sqrt2*math.Sqrt(8.0/5), float64(f.Off.RMS), 1e-15, "the third harmonic stays in")
		require.Equal(t, runout.Hidden, f.Second.Seen)
		require.Contains(t, codes(f.Warnings), "second-harmonic-hidden")
	}
	saddle := surface{size: [5]float64{0, 30e-6, 20e-6}}
	f, err := runout.FacePair{A: saddle.sweep(evenMarks(8, 0)...), B: saddle.sweep(evenMarks(8, 180)...), Diameter: 0.3}.Solve()
	require.NoError(t, err)
	require.InDelta(t, 0, float64(f.Off.Worst), 1e-15)
	require.InDelta(t, 40e-6, float64(*f.Float), 1e-15, "even warp looks like float")
}

func TestFaceRefused(t *testing.T) {
	s := align.FourPoint(0, 1e-5, 2e-5, 1e-5)
	for name, c := range map[string]struct {
		f    runout.FaceSweep
		want error
	}{
		"no diameter":   {runout.FaceSweep{Sweep: s}, align.ErrZeroDiameter},
		"negative":      {runout.FaceSweep{Sweep: s, Diameter: -1}, align.ErrZeroDiameter},
		"not a number":  {runout.FaceSweep{Sweep: s, Diameter: unit.Length(math.NaN())}, align.ErrNotFinite},
		"tiny":          {runout.FaceSweep{Sweep: s, Diameter: 5e-324}, align.ErrOutOfRange},
		"too few marks": {runout.FaceSweep{Sweep: s[:2], Diameter: 1}, align.ErrTooFewPositions},
	} {
		_, err := c.f.Solve()
		require.ErrorIs(t, err, c.want, name)
	}
	_, err := runout.FacePair{A: s, B: s[:3], Diameter: 1}.Solve()
	require.ErrorIs(t, err, align.ErrMismatch)
	_, err = runout.FacePair{A: s, B: s, Diameter: 0}.Solve()
	require.ErrorIs(t, err, align.ErrZeroDiameter)
	steep, err := runout.FaceSweep{Sweep: align.FourPoint(0, 1e-3, 2e-3, 1e-3), Diameter: 0.05}.Solve()
	require.NoError(t, err)
	require.Contains(t, codes(steep.Warnings), "implausible-size")
}
