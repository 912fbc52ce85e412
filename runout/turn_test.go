package runout_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"collinear.example/runout"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/unit"
)

const um = align.Micrometre

// surface is a surface known harmonic by harmonic.
type surface struct {
	constant   float64
	size, high [5]float64 // amplitude and high spot in degrees, by order; order 0 unused
}

func (s surface) at(c align.Clock) unit.Length {
	v := s.constant
	for k := 1; k < len(s.size); k++ {
		v += s.size[k] * math.Cos(float64(k)*(float64(c)-s.high[k])*math.Pi/180)
	}
	return unit.Length(v)
}

func (s surface) sweep(marks ...align.Clock) align.Sweep {
	out := make(align.Sweep, len(marks))
	for i, m := range marks {
		out[i] = align.Reading{At: m, Value: s.at(m)}
	}
	return out
}

func evenMarks(n int, start align.Clock) []align.Clock {
	out := make([]align.Clock, n)
	for i := range out {
		out[i] = start + align.Clock(360*float64(i)/float64(n))
	}
	return out
}

// oval is an eccentric oval without higher harmonics.
func oval(r *rand.Rand) surface {
	s := surface{constant: (r.Float64() - 0.5) * 1e-3}
	for k := 1; k <= 2; k++ {
		s.size[k], s.high[k] = (0.05+r.Float64())*1e-4, r.Float64()*360/float64(k)
	}
	return s
}

func codes(ws []align.Warning) []string {
	out := []string{}
	for _, w := range ws {
		out = append(out, string(w.Code))
	}
	return out
}

// angleApart is the smallest difference of two directions of period turn.
func angleApart(a align.Clock, b, turn float64) float64 {
	return math.Abs(math.Remainder(float64(a)-b, turn))
}

func TestKnownSurfaceComesBack(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 300 {
		s := oval(r)
		n := 5 + r.IntN(20)
		got, err := runout.NewSection(s.sweep(evenMarks(n, align.Clock(r.Float64()*360))...), runout.SweepChecks{})
		require.NoError(t, err)
		require.Equal(t, runout.Full, got.Second.Seen)
		require.InDelta(t, s.size[1], float64(got.Eccentricity()), 1e-15)
		require.InDelta(t, s.size[2], float64(got.Ovality()), 1e-15)
		require.InDelta(t, s.constant, float64(got.Constant), 1e-15)
		require.Less(t, angleApart(got.HighSpot(), s.high[1], 360), 1e-7)
		require.Less(t, angleApart(got.Second.HighSpot(), s.high[2], 180), 1e-7)
		require.Less(t, float64(got.Rest.Worst), 1e-15)
		require.InDelta(t, 2*s.size[1], float64(got.FirstTIR), 1e-15)
	}
}

// On uneven marks an oval must not leak into the eccentricity.
func TestOvalDoesNotLeakOnUnevenMarks(t *testing.T) {
	s := surface{size: [5]float64{0, 40e-6, 30e-6}, high: [5]float64{0, 75, 20}}
	sweep := s.sweep(0, 50, 120, 190, 230, 300, 340)
	got, err := runout.NewSection(sweep, runout.SweepChecks{})
	require.NoError(t, err)
	require.InDelta(t, 40e-6, float64(got.Eccentricity()), 1e-15)
	plain, err := sweep.Fit()
	require.NoError(t, err)
	require.Greater(t, math.Abs(float64(plain.Offset().Resultant())-40e-6), 1e-6, "the marks chosen do show the trap")
}

func TestFourMarksShowOneDirection(t *testing.T) {
	for _, start := range []align.Clock{0, 45, 17, 300} {
		for _, lobe := range []float64{0, 10, 45, 80, 90, 133} {
			s := surface{size: [5]float64{0, 40e-6, 30e-6}, high: [5]float64{0, 75, lobe}}
			got, err := runout.NewSection(s.sweep(evenMarks(4, start)...), runout.SweepChecks{})
			require.NoError(t, err)
			require.Equal(t, runout.OneDirection, got.Second.Seen)
			require.InDelta(t, 40e-6, float64(got.Eccentricity()), 1e-15, "an oval does not enter the eccentricity of four quarter marks")
			seen := 30e-6 * math.Cos(2*(lobe-float64(start))*math.Pi/180)
			require.InDelta(t, math.Abs(seen), float64(got.Ovality()), 1e-15)
			double := 2 * float64(start) * math.Pi / 180
			require.InDelta(t, seen*math.Cos(double), float64(got.Second.Cosine), 1e-15)
			require.InDelta(t, seen*math.Sin(double), float64(got.Second.Sine), 1e-15)
			require.Zero(t, got.Rest.Worst)
			require.Zero(t, got.Rest.DoF)
		}
	}
}

func TestQuarterOfSumRule(t *testing.T) {
	s := align.FourPoint(0, 30*um, -20*um, 30*um)
	sum, ok := s.SumRule()
	require.True(t, ok)
	got, err := runout.NewSection(s, runout.SweepChecks{})
	require.NoError(t, err)
	require.InDelta(t, float64(sum)/4, float64(got.Second.Cosine), 1e-18)
}

// Three marks cannot tell an oval from an eccentricity of the same size.
func TestThreeMarksReadAnOvalAsEccentric(t *testing.T) {
	s := surface{size: [5]float64{0, 0, 30e-6}, high: [5]float64{0, 0, 0}}
	got, err := runout.NewSection(s.sweep(evenMarks(3, 0)...), runout.SweepChecks{})
	require.NoError(t, err)
	require.Equal(t, runout.Hidden, got.Second.Seen)
	require.InDelta(t, 30e-6, float64(got.Eccentricity()), 1e-15)
	require.Zero(t, got.Ovality())
	require.Contains(t, codes(got.Warnings), "second-harmonic-hidden")
}

// A short arc carries both harmonics only with errors magnified: it is hidden.
func TestShortArcHidesSecondHarmonic(t *testing.T) {
	s := surface{size: [5]float64{0, 10e-6}, high: [5]float64{0, 75}}
	got, err := runout.NewSection(s.sweep(0, 25, 50, 75, 100, 125), runout.SweepChecks{})
	require.NoError(t, err)
	require.Equal(t, runout.Hidden, got.Second.Seen)
	require.Contains(t, codes(got.Warnings), "narrow-arc")
	require.Equal(t, 1.0, got.Missed)
	_, err = runout.NewSection(s.sweep(0, 5, 10, 15), runout.SweepChecks{})
	require.ErrorIs(t, err, align.ErrArcTooNarrow)
}

// Turning the marks turns the answer; mirroring them mirrors it; the zero of the
// dial and the unit change nothing; readings add.
func TestProperties(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	solve := func(s align.Sweep) runout.Section {
		out, err := runout.NewSection(s, runout.SweepChecks{})
		require.NoError(t, err)
		return out
	}
	for range 200 {
		n := 3 + r.IntN(10)
		a, b := make(align.Sweep, n), make(align.Sweep, n)
		sum, turned, inches := make(align.Sweep, n), make(align.Sweep, n), make(align.Sweep, n)
		by := align.Clock(r.Float64() * 360)
		for i, m := range evenMarks(n, 0) {
			a[i] = align.Reading{At: m, Value: unit.Length(r.NormFloat64() * 1e-5)}
			b[i] = align.Reading{At: m, Value: unit.Length(r.NormFloat64() * 1e-5)}
			sum[i] = align.Reading{At: m, Value: a[i].Value + b[i].Value}
			turned[i] = align.Reading{At: m + by, Value: a[i].Value + 3*align.Millimetre}
			inches[i] = align.Reading{At: m, Value: a[i].Value * 25.4}
		}
		p, q, s, u, in := solve(a), solve(b), solve(sum), solve(turned), solve(inches)
		require.InDelta(t, float64(p.First.Vertical+q.First.Vertical), float64(s.First.Vertical), 1e-18)
		require.InDelta(t, float64(p.Second.Sine+q.Second.Sine), float64(s.Second.Sine), 1e-18)
		require.InDelta(t, float64(p.Eccentricity()), float64(u.Eccentricity()), 1e-16)
		require.InDelta(t, float64(p.Ovality()), float64(u.Ovality()), 1e-16)
		require.InDelta(t, float64(p.TIR), float64(u.TIR), 1e-16)
		require.InDelta(t, float64(p.Off.RMS), float64(u.Off.RMS), 1e-16)
		require.Less(t, angleApart(u.HighSpot(), float64(p.HighSpot()+by), 360), 1e-6)
		require.InDelta(t, 25.4*float64(p.Eccentricity()), float64(in.Eccentricity()), 1e-17)
		m := solve(a.Mirrored())
		require.InDelta(t, float64(p.First.Vertical), float64(m.First.Vertical), 1e-18)
		require.InDelta(t, -float64(p.First.Horizontal), float64(m.First.Horizontal), 1e-18)
		require.InDelta(t, -float64(p.Second.Sine), float64(m.Second.Sine), 1e-18)
	}
}

// The slow way: gonum's QR on the full matrix of columns.
func TestAgainstFullMatrix(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 200 {
		n := 6 + r.IntN(12)
		s := make(align.Sweep, n)
		a, y := mat.NewDense(n, 5, nil), mat.NewVecDense(n, nil)
		for i, m := range evenMarks(n, 0) {
			m += align.Clock(r.Float64() * 20)
			s[i] = align.Reading{At: m, Value: unit.Length(r.NormFloat64() * 1e-5)}
			sin, cos := math.Sincos(float64(m) * math.Pi / 180)
			a.SetRow(i, []float64{1, cos, sin, cos*cos - sin*sin, 2 * sin * cos})
			y.SetVec(i, float64(s[i].Value))
		}
		var x, fit mat.VecDense
		require.NoError(t, x.SolveVec(a, y))
		fit.MulVec(a, &x)
		fit.SubVec(y, &fit)
		got, err := runout.NewSection(s, runout.SweepChecks{})
		require.NoError(t, err)
		if got.Second.Seen != runout.Full {
			continue
		}
		for i, v := range []unit.Length{got.Constant, got.First.Vertical, got.First.Horizontal, got.Second.Cosine, got.Second.Sine} {
			require.InDelta(t, x.AtVec(i), float64(v), 1e-17)
		}
		require.InDelta(t, mat.Norm(&fit, 2)/math.Sqrt(float64(n-5)), float64(got.Rest.RMS), 1e-17, "n %d", n)
		require.InDelta(t, mat.Norm(&fit, math.Inf(1)), float64(got.Rest.Worst), 1e-17)
	}
}

// However the high spot lies, the marks miss no more of the range than Missed
// says, and for an even number of marks somewhere they miss just that.
func TestMissedBoundsTheRange(t *testing.T) {
	for n := 3; n <= 16; n++ {
		worst := 0.0
		for step := range 720 {
			s := surface{size: [5]float64{0, 1e-4}, high: [5]float64{0, float64(step) / 2}}
			got, err := runout.NewSection(s.sweep(evenMarks(n, 0)...), runout.SweepChecks{})
			require.NoError(t, err)
			require.InDelta(t, 1-math.Cos(math.Pi/float64(n)), got.Missed, 1e-14)
			missed := float64(2e-4) - float64(got.TIR)
			require.LessOrEqual(t, missed, float64(got.MissedTIR())+1e-15)
			require.InDelta(t, float64(got.TIR), float64(got.FirstMarks), 1e-15)
			worst = max(worst, missed)
		}
		if n%2 == 0 && 360%n == 0 {
			require.InDelta(t, 2e-4*(1-math.Cos(math.Pi/float64(n))), worst, 1e-15)
		}
	}
}

func TestClosingReading(t *testing.T) {
	s := append(align.FourPoint(0, 10*um, 20*um, 10*um), align.Reading{At: 360, Value: 40 * um})
	got, err := runout.NewSection(s, runout.SweepChecks{})
	require.NoError(t, err)
	require.True(t, got.Closes)
	require.InDelta(t, 40e-6, float64(got.Closure), 1e-18)
	require.InDelta(t, 20e-6, float64(got.TIR), 1e-18, "the closing reading is no part of the range")
	require.Equal(t, 4, got.Positions)
	require.Equal(t, []string{"closure"}, codes(got.Warnings))
}

func TestWarnings(t *testing.T) {
	// Out of round by the saddle of a face-check in an army manual.
	got, err := runout.NewSection(align.FourPoint(0, 76.2*um, -50.8*um, 76.2*um), runout.SweepChecks{})
	require.NoError(t, err)
	require.Equal(t, []string{"not-round", "residual"}, codes(got.Warnings))
	quiet, err := runout.NewSection(align.FourPoint(0, 76.2*um, -50.8*um, 76.2*um), runout.SweepChecks{Shape: 1, Residual: 1})
	require.NoError(t, err)
	require.Empty(t, quiet.Warnings)
	big, err := runout.NewSection(align.FourPoint(0, 10, 20, 10), runout.SweepChecks{})
	require.NoError(t, err)
	require.Contains(t, codes(big.Warnings), "implausible-size")
}

func TestRefused(t *testing.T) {
	inf := unit.Length(math.Inf(1))
	for name, c := range map[string]struct {
		sweep align.Sweep
		want  error
	}{
		"nothing":    {nil, align.ErrTooFewPositions},
		"two":        {align.TopBottom(0, 1e-5), align.ErrTooFewPositions},
		"sides":      {align.Sides(0, 1e-5), align.ErrTooFewPositions},
		"one mark":   {align.Sweep{{At: 10}, {At: 10}, {At: 10}, {At: 10}}, align.ErrTooFewPositions},
		"infinite":   {align.FourPoint(0, inf, 0, 0), align.ErrNotFinite},
		"mark":       {align.Sweep{{At: align.Clock(math.NaN())}, {At: 90}, {At: 180}}, align.ErrNotFinite},
		"overflow":   {align.FourPoint(1e308, -1e308, 1e308, -1e308), align.ErrOutOfRange},
		"narrow arc": {surface{}.sweep(0, 3, 6), align.ErrArcTooNarrow},
	} {
		_, err := runout.NewSection(c.sweep, runout.SweepChecks{})
		require.ErrorIs(t, err, c.want, name)
		var e *align.InputError
		require.True(t, errors.As(err, &e), name)
		require.Equal(t, "runout", e.Package, name)
	}
}

func FuzzSection(f *testing.F) {
	f.Add(0.0, 90.0, 180.0, 270.0, 0.0, 1e-5, 2e-5, 1e-5, 0.3)
	f.Add(0.0, 45.0, 90.0, 180.0, 1e300, -1e300, 0.0, 1e-5, 1e-300)
	f.Fuzz(func(t *testing.T, a, b, c, d, ra, rb, rc, rd, diameter float64) {
		s := align.Sweep{
			{At: align.Clock(a), Value: unit.Length(ra)}, {At: align.Clock(b), Value: unit.Length(rb)},
			{At: align.Clock(c), Value: unit.Length(rc)}, {At: align.Clock(d), Value: unit.Length(rd)},
			{At: align.Clock(d + 30), Value: unit.Length(rb)}, {At: align.Clock(a), Value: unit.Length(rd)},
		}
		if got, err := runout.NewSection(s, runout.SweepChecks{}); err == nil {
			finiteTurn(t, got.Turn)
		}
		pair := runout.FacePair{A: s, B: s[:len(s):len(s)], Diameter: unit.Length(diameter)}
		if got, err := pair.Solve(); err == nil {
			finiteTurn(t, got.Turn)
			require.True(t, align.IsFinite(*got.Float))
		}
		if got, err := (runout.FaceSweep{Sweep: s, Diameter: unit.Length(diameter)}).Solve(); err == nil {
			finiteTurn(t, got.Turn)
			require.True(t, align.IsFinite(got.Tilt().Resultant()))
		}
		if got, err := runout.OppositeMarks(s[:4]); err == nil {
			require.True(t, align.IsFinite(got.Largest.Bend()))
		}
	})
}

func finiteTurn(t *testing.T, v runout.Turn) {
	t.Helper()
	for _, x := range []float64{
		float64(v.Constant), float64(v.First.Resultant()), float64(v.Second.Size()), float64(v.Second.HighSpot()),
		float64(v.TIR), float64(v.FirstTIR), float64(v.FirstMarks), float64(v.Off.RMS), float64(v.Off.Worst),
		float64(v.Rest.RMS), float64(v.Rest.Worst), float64(v.Closure), v.Missed, float64(v.MissedTIR()), float64(v.HighSpot()),
	} {
		require.True(t, align.IsFinite(x))
	}
	require.GreaterOrEqual(t, float64(v.TIR), 0.0)
	require.True(t, v.Missed >= 0 && v.Missed <= 1)
}

var keep float64

func BenchmarkSectionEightMarks(b *testing.B) {
	s := surface{size: [5]float64{0, 4e-5, 3e-6}, high: [5]float64{0, 75, 20}}.sweep(evenMarks(8, 0)...)
	b.ReportAllocs()
	for b.Loop() {
		got, err := runout.NewSection(s, runout.SweepChecks{})
		if err != nil {
			b.Fatal(err)
		}
		keep += float64(got.First.Vertical)
	}
}

func TestSectionDoesNotAllocate(t *testing.T) {
	s := surface{size: [5]float64{0, 4e-5, 3e-6}, high: [5]float64{0, 75, 20}}.sweep(evenMarks(8, 0)...)
	face := runout.FaceSweep{Sweep: s, Diameter: 0.2}
	require.Zero(t, testing.AllocsPerRun(100, func() {
		a, err := runout.NewSection(s, runout.SweepChecks{})
		b, err2 := face.Solve()
		if err != nil || err2 != nil {
			t.Fatal(err, err2)
		}
		keep += float64(a.First.Vertical) + b.Tilt().Vertical
	}))
}
