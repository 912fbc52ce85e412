package align_test

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/unit"
)

// qrCircle fits 1, cos t, sin t by gonum's QR and returns the three
// coefficients, the covariance and the sum of squares left over.
func qrCircle(t *testing.T, s align.Sweep) (x []float64, cov *mat.Dense, left float64) {
	t.Helper()
	a, y := circleRows(s)
	var qr mat.QR
	qr.Factorize(a)
	var sol mat.VecDense
	err := qr.SolveVecTo(&sol, false, y)
	if _, poor := err.(mat.Condition); !poor {
		require.NoError(t, err)
	}
	var r mat.VecDense
	r.MulVec(a, &sol)
	r.SubVec(y, &r)
	var full mat.Dense
	qr.RTo(&full)
	var inv mat.Dense // of R alone: the normal matrix would lose half of the digits
	err = inv.Inverse(full.Slice(0, 3, 0, 3))
	if _, poor := err.(mat.Condition); !poor {
		require.NoError(t, err)
	}
	cov = new(mat.Dense)
	cov.Mul(&inv, inv.T())
	return sol.RawVector().Data, cov, mat.Dot(&r, &r)
}

func TestFitAgainstQR(t *testing.T) {
	r := rand.New(rand.NewPCG(31, 1))
	for _, arc := range []float64{360, 270, 180, 120, 90} {
		for range 40 {
			s := make(align.Sweep, 0, 12)
			for _, c := range clocks(r, 4+r.IntN(9), arc) {
				s = append(s, align.Reading{At: c, Value: unit.Length(1e-4 * r.NormFloat64())})
			}
			f, err := s.Fit()
			require.NoError(t, err)
			x, cov, left := qrCircle(t, s)
			for i, got := range []unit.Length{f.Constant, f.Vertical, f.Horizontal} {
				require.InDelta(t, x[i], float64(got), 1e-12*magnitude(x[i], 1e-4))
			}
			for i := range 2 {
				for j := range 2 {
					want := cov.At(i+1, j+1)
					require.InDelta(t, want, f.Cov[i][j], 1e-10*magnitude(want, 1))
				}
			}
			n := len(s)
			require.Equal(t, n, f.Positions)
			require.Equal(t, n-3, f.DoF)
			require.InDelta(t, math.Sqrt(left/float64(n-3)), float64(f.RMS), 1e-14)
			require.InEpsilon(t, math.Sqrt(cov.At(1, 1)*float64(n)/2), f.ArcVertical, 1e-9)
			require.InEpsilon(t, math.Sqrt(cov.At(2, 2)*float64(n)/2), f.ArcHorizontal, 1e-9)
			require.GreaterOrEqual(t, float64(f.Worst)*1.0000001, float64(f.RMS)*math.Sqrt(float64(n-3)/float64(n)))
		}
	}
}

// exactCircle solves the normal equations in rational arithmetic, for the
// directions and readings as they stand in float64: the truth that both
// float64 ways approach.
func exactCircle(s align.Sweep) (vertical, horizontal float64) {
	var m [3][4]*big.Rat
	for i := range m {
		for j := range m[i] {
			m[i][j] = new(big.Rat)
		}
	}
	rat := func(v float64) *big.Rat { return new(big.Rat).SetFloat64(v) }
	for _, r := range s {
		u, v := r.At.Unit()
		row := []*big.Rat{rat(1), rat(u), rat(v), rat(float64(r.Value))}
		for i := range 3 {
			for j := range 4 {
				m[i][j].Add(m[i][j], new(big.Rat).Mul(row[i], row[j]))
			}
		}
	}
	for k := range 3 { // Gauss and Jordan
		p := new(big.Rat).Set(m[k][k])
		for j := range 4 {
			m[k][j].Quo(m[k][j], p)
		}
		for i := range 3 {
			if i == k {
				continue
			}
			f := new(big.Rat).Set(m[i][k])
			for j := range 4 {
				m[i][j].Sub(m[i][j], new(big.Rat).Mul(f, m[k][j]))
			}
		}
	}
	vertical, _ = m[1][3].Float64()
	horizontal, _ = m[2][3].Float64()
	return vertical, horizontal
}

// On arcs down to 10 degrees the centred sums must be as good as QR, both held
// against rational arithmetic.
func TestFitOnShortArcsIsAsGoodAsQR(t *testing.T) {
	r := rand.New(rand.NewPCG(32, 1))
	for _, arc := range []float64{60, 30, 20, 10} {
		var worstFit, worstQR float64
		for range 60 {
			v, h := 1e-4*r.NormFloat64(), 1e-4*r.NormFloat64()
			var s align.Sweep
			for _, c := range clocks(r, 8, arc) {
				u, w := direction(c)
				s = append(s, align.Reading{At: c, Value: unit.Length(3e-4 + v*u + h*w + 1e-6*r.NormFloat64())})
			}
			f, err := s.Fit()
			require.NoError(t, err)
			x, _, _ := qrCircle(t, s)
			wantV, wantH := exactCircle(s)
			size := math.Hypot(wantV, wantH)
			worstFit = math.Max(worstFit, math.Hypot(float64(f.Vertical)-wantV, float64(f.Horizontal)-wantH)/size)
			worstQR = math.Max(worstQR, math.Hypot(x[1]-wantV, x[2]-wantH)/size)
		}
		t.Logf("arc %g deg: worst relative error %.1e, gonum QR %.1e", arc, worstFit, worstQR)
		assert.Less(t, worstFit, math.Max(10*worstQR, 1e-12), "arc %g", arc)
		assert.Less(t, worstFit, 1e-9, "arc %g", arc)
	}
}

func TestFitOfOnePlane(t *testing.T) {
	f, err := align.TopBottom(0, -8*align.Mil).Fit()
	require.NoError(t, err)
	assert.True(t, f.VerticalKnown)
	assert.False(t, f.HorizontalKnown)
	assert.InDelta(t, 4, float64(f.Vertical/align.Mil), 1e-12)
	assert.Zero(t, f.Horizontal)
	assert.InDelta(t, -4, float64(f.Constant/align.Mil), 1e-12)
	assert.InDelta(t, 0.5, f.Cov[0][0], 1e-15, "half of a difference")
	assert.Zero(t, f.DoF)
	assert.Zero(t, f.RMS)

	f, err = align.Sweep{{At: 30, Value: 3e-5}, {At: 330, Value: 1e-5}}.Fit()
	require.NoError(t, err, "the same height on both sides shows the horizontal plane")
	assert.False(t, f.VerticalKnown)
	assert.True(t, f.HorizontalKnown)
	assert.InDelta(t, 2e-5, float64(f.Horizontal), 1e-18) // (3 - 1)/(2 sin 30)
	assert.Equal(t, align.Offset{Horizontal: f.Horizontal}, f.Offset())
}

// Equal steps give the Fourier sums of NIST/SEMATECH e-Handbook, mpc344.
func TestFitOfEqualStepsIsTheFourierSum(t *testing.T) {
	r := rand.New(rand.NewPCG(33, 1))
	for n := 3; n <= 40; n++ { // past the readings that fit on the stack
		v := make([]unit.Length, n)
		for i := range v {
			v[i] = unit.Length(1e-4 * r.NormFloat64())
		}
		s := align.EvenSweep(align.Clock(between(r, 0, 360)), v...)
		var up, right float64
		for _, x := range s {
			c, w := direction(x.At)
			up += 2 / float64(n) * float64(x.Value) * c
			right += 2 / float64(n) * float64(x.Value) * w
		}
		f, err := s.Fit()
		require.NoError(t, err)
		require.InDelta(t, up, float64(f.Vertical), 1e-17)
		require.InDelta(t, right, float64(f.Horizontal), 1e-17)
		require.InDelta(t, 1, f.ArcVertical, 1e-12)
		require.InDelta(t, 1, f.ArcHorizontal, 1e-12)
	}
}

func TestFitTurnsWithTheClock(t *testing.T) {
	r := rand.New(rand.NewPCG(34, 1))
	for range 50 {
		var s, turned align.Sweep
		by := between(r, -400, 400)
		for _, c := range clocks(r, 7, 300) {
			v := unit.Length(1e-4 * r.NormFloat64())
			s = append(s, align.Reading{At: c, Value: v})
			turned = append(turned, align.Reading{At: c + align.Clock(by), Value: v + 7e-4})
		}
		f, err := s.Fit()
		require.NoError(t, err)
		g, err := turned.Fit()
		require.NoError(t, err)
		require.InDelta(t, float64(f.Offset().Resultant()), float64(g.Offset().Resultant()), 1e-15)
		want := (f.Offset().Clock() + align.Clock(by)).Normal()
		off := math.Remainder(float64(want-g.Offset().Clock()), 360)
		require.InDelta(t, 0, off, 1e-8)
		require.InDelta(t, float64(f.RMS), float64(g.RMS), 1e-15)
	}
}

func TestFitSecondAgainstQR(t *testing.T) {
	r := rand.New(rand.NewPCG(35, 1))
	for range 60 {
		n := 5 + r.IntN(12)
		var s align.Sweep
		a, y := mat.NewDense(n, 5, nil), mat.NewVecDense(n, nil)
		for i, c := range clocks(r, n, 360) {
			v := 1e-4 * r.NormFloat64()
			s = append(s, align.Reading{At: c, Value: unit.Length(v)})
			u, w := direction(c)
			u2, w2 := direction(2 * c)
			a.SetRow(i, []float64{1, u, w, u2, w2})
			y.SetVec(i, v)
		}
		f, err := s.FitSecond()
		require.NoError(t, err)
		var qr mat.QR
		var x, left mat.VecDense
		qr.Factorize(a)
		require.NoError(t, qr.SolveVecTo(&x, false, y))
		for i, got := range []unit.Length{f.Constant, f.Vertical, f.Horizontal, f.Cos2, f.Sin2} {
			require.InDelta(t, x.AtVec(i), float64(got), 1e-11*magnitude(x.AtVec(i), 1e-4))
		}
		require.Equal(t, n-5, f.DoF)
		if n > 5 {
			left.MulVec(a, &x)
			left.SubVec(y, &left)
			require.InDelta(t, math.Sqrt(mat.Dot(&left, &left)/float64(n-5)), float64(f.RMS), 1e-14)
		}
		require.GreaterOrEqual(t, f.Condition, 1.0)
	}
}

// A warped face is not a tilted one: TM 10-3930-664-24, p. 3-41, readings 0, 3,
// -2, 3 mil; the range is the printed 0.005 in while the tilt is 1 mil of first
// harmonic, and the rest is second harmonic: (0 + -2 - 3 - 3)/4 = -2 mil.
func TestWarpedFaceShowsInTheSumRule(t *testing.T) {
	s := mils(0, 3, -2, 3)
	f, err := s.Fit()
	require.NoError(t, err)
	assert.InDelta(t, 5, float64(s.TIR())/float64(align.Mil), 1e-9)
	assert.InDelta(t, 1, float64(f.Vertical/align.Mil), 1e-9)
	assert.InDelta(t, 0, float64(f.Horizontal/align.Mil), 1e-9)
	sum, _ := s.SumRule()
	assert.InDelta(t, -2, float64(sum/4/align.Mil), 1e-9)
	assert.InDelta(t, 2, float64(f.Worst/align.Mil), 1e-9)
}

// between returns a number from lo to hi.
func between(r *rand.Rand, lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }
