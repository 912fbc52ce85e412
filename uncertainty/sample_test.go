package uncertainty

import (
	"math"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

type lengthOf = unit.Length

func distributed(v ...float64) Distributed { return newDistributed(Output{"x", align.UnitOne}, v) }

// TestIntervals: by hand. Of the ten values the shortest interval with q = 8 steps
// is from the 1st to the 9th (width 8), the symmetric one has r = (10-8+1)/2 = 1.
func TestIntervals(t *testing.T) {
	d := distributed(9, 1, 2, 3, 4, 5, 6, 7, 8, 100)
	s, err := d.Shortest(0.8)
	require.NoError(t, err)
	assert.Equal(t, [2]float64{1, 9}, [2]float64{s.Low, s.High})
	y, err := d.Symmetric(0.8)
	require.NoError(t, err)
	assert.Equal(t, [2]float64{1, 9}, [2]float64{y.Low, y.High})
	// q = 5: symmetric r = (10-5+1)/2 = 3, so 3 to 8; the shortest is the first of equals, 1 to 6.
	y, err = d.Symmetric(0.5)
	require.NoError(t, err)
	assert.Equal(t, [2]float64{3, 8}, [2]float64{y.Low, y.High})
	s, err = d.Shortest(0.5)
	require.NoError(t, err)
	assert.Equal(t, [2]float64{1, 6}, [2]float64{s.Low, s.High})
	assert.InDelta(t, 5, s.Width(), 0)

	assert.InDelta(t, 14.5, d.Mean, 1e-12)
	q, err := d.Quantile(0.5)
	require.NoError(t, err)
	assert.InDelta(t, 5.5, q, 1e-12)
	for p, want := range map[float64]float64{0.01: 1, 0.99: 100, 0.05: 1, 0.15: 2} {
		q, err = d.Quantile(p)
		require.NoError(t, err)
		assert.InDelta(t, want, q, 1e-12, p)
	}
	for _, p := range []float64{0, 1, math.NaN()} {
		_, err = d.Shortest(p)
		assert.ErrorIs(t, err, align.ErrOutOfRange)
		_, err = d.Quantile(p)
		assert.ErrorIs(t, err, align.ErrOutOfRange)
	}
	_, err = d.Symmetric(0.99)
	assert.ErrorIs(t, err, ErrTooFewTrials)
}

// TestNumericalTolerance: JCGM 101:2008, 7.9.2, examples from memory: u = 0.35 to
// two digits gives 0.005; 0.000 04 to one digit 0.000 005; 2 kg to two 0.05.
func TestNumericalTolerance(t *testing.T) {
	for _, c := range []struct {
		sigma  float64
		digits int
		want   float64
	}{{0.35, 2, 0.005}, {0.00004, 1, 0.000005}, {2, 2, 0.05}, {0.0996, 2, 0.005}, {1e-300, 1, 5e-301}, {123456, 3, 500}} {
		got, err := NumericalTolerance(c.sigma, c.digits)
		require.NoError(t, err)
		assert.InEpsilon(t, c.want, got, 1e-12)
	}
	_, err := NumericalTolerance(0, 2)
	assert.ErrorIs(t, err, ErrNoUncertainty)
	_, err = NumericalTolerance(1, 0)
	assert.ErrorIs(t, err, align.ErrOutOfRange)
}

// TestProportion: Clopper and Pearson by closed form at the ends: with 0 of n the
// upper limit is 1 - (tail)^(1/n); and 5 of 10 gives 0.187 to 0.813 (a standard
// table figure, from memory).
func TestProportion(t *testing.T) {
	low, high, err := Proportion{0, 20}.Interval(0.95)
	require.NoError(t, err)
	assert.Zero(t, low)
	assert.InDelta(t, 1-math.Pow(0.025, 1.0/20), high, 1e-9)
	low, high, err = Proportion{20, 20}.Interval(0.95)
	require.NoError(t, err)
	assert.InDelta(t, math.Pow(0.025, 1.0/20), low, 1e-9)
	assert.InDelta(t, 1, high, 0)
	low, high, err = Proportion{5, 10}.Interval(0.95)
	require.NoError(t, err)
	assert.InDelta(t, 0.187, low, 0.0005)
	assert.InDelta(t, 0.813, high, 0.0005)
	for _, p := range []Proportion{{}, {-1, 3}, {4, 3}} {
		_, _, err = p.Interval(0.95)
		assert.ErrorIs(t, err, ErrTooFewTrials)
	}
	assert.Zero(t, Proportion{}.Share())
}

func TestOutputOutOfRange(t *testing.T) {
	s := Sample{[]Output{{"x", align.UnitOne}}, []float64{1, 2, 3}}
	for _, i := range []int{-1, 1} {
		_, err := s.Output(i)
		assert.ErrorIs(t, err, align.ErrMismatch)
	}
}
