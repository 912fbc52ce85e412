package whatif_test

import (
	"context"
	"math"
	"testing"

	"collinear.example/align"
	"collinear.example/uncertainty"
	"collinear.example/whatif"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

func ishigami() whatif.Study[pair, float64] {
	return plainStudy(func(p *pair) (float64, error) {
		s2 := math.Sin(p.Y)
		return math.Sin(p.X) + 7*s2*s2 + 0.1*p.Z*p.Z*p.Z*p.Z*math.Sin(p.X), nil
	})
}

func threeRectangular() []uncertainty.Source[pair] {
	d := uncertainty.Rectangular(math.Pi)
	return []uncertainty.Source[pair]{uncertainty.Vary("x", d, x), uncertainty.Vary("y", d, y), uncertainty.Vary("z", d, z)}
}

// ishigamiExact is worked out by hand for f = sin x + a sin^2 y + b z^4 sin x with
// each input even over -pi to pi. E(sin^2) = 1/2, E(sin^4) = 3/8, E(z^4) = pi^4/5
// and E(z^8) = pi^8/9, so
//
//	V(E(f|x)) = (1 + b pi^4/5)^2/2
//	V(E(f|y)) = a^2 (3/8 - 1/4) = a^2/8
//	V(E(f|z)) = 0, because E(sin x) = 0
//	V_xz      = (1 + 2 b pi^4/5 + b^2 pi^8/9)/2 - V_x = b^2 pi^8 (1/9 - 1/25)/2
//
// and the total of x and of z has V_xz on top.
func ishigamiExact() (first, total [3]float64) {
	const a, b = 7.0, 0.1
	p4 := math.Pow(math.Pi, 4)
	vx, vy, vxz := (1+b*p4/5)*(1+b*p4/5)/2, a*a/8, b*b*p4*p4*(1.0/9-1.0/25)/2
	v := vx + vy + vxz
	return [3]float64{vx / v, vy / v, 0}, [3]float64{(vx + vxz) / v, vy / v, vxz / v}
}

func TestIshigami(t *testing.T) {
	s := ishigami()
	first, total := ishigamiExact()
	found, err := s.Sobol(context.Background(), whatif.Sampling{Seed: 1, Samples: 1 << 16}, threeRectangular()...)
	require.NoError(t, err)
	require.Len(t, found, 1)
	assert.InDelta(t, 3.5, found[0].Mean, 0.05) // a/2; the standard error is 3.72/sqrt(131072) = 0.01
	for i, x := range found[0].Indices {
		assert.Less(t, x.FirstError, 0.02)
		assert.Less(t, x.TotalError, 0.02)
		assert.InDelta(t, first[i], x.First, 4*x.FirstError, x.Source)
		assert.InDelta(t, total[i], x.Total, 4*x.TotalError, x.Source)
	}
}

// Over many seeds the distance from the exact value is as large as the standard
// error says.
func TestIndexErrorsAreRight(t *testing.T) {
	s := ishigami()
	first, total := ishigamiExact()
	const seeds = 200
	var squares [6]float64
	for seed := range uint64(seeds) {
		found, err := s.Sobol(context.Background(), whatif.Sampling{Seed: seed, Samples: 1024}, threeRectangular()...)
		require.NoError(t, err)
		for i, x := range found[0].Indices {
			squares[i] += math.Pow((x.First-first[i])/x.FirstError, 2)
			squares[3+i] += math.Pow((x.Total-total[i])/x.TotalError, 2)
		}
	}
	for i := range squares {
		// The root mean square of 200 standard deviates is 1 within 1/sqrt(400) = 5 %;
		// four of these.
		assert.InDelta(t, 1, math.Sqrt(squares[i]/seeds), 0.20, i)
	}
}

// In a linear model the shares are c^2 s^2 over their sum, first and total alike.
func TestIndicesOfLinearModel(t *testing.T) {
	s := plainStudy(func(p *pair) (float64, error) { return 1e6 + 3*p.X - 2*p.Y + p.Z, nil })
	s.Columns = append(s.Columns, whatif.Number("constant", align.UnitOne, 1, func(float64) float64 { return 0.1 }))
	found, err := s.Sobol(context.Background(), whatif.Sampling{Seed: 3, Samples: 20_000},
		uncertainty.Vary("x", uncertainty.Normal(1.0), x),
		uncertainty.Vary("y", uncertainty.Rectangular(3.0), y), // sigma^2 = 3
		uncertainty.Vary("z", uncertainty.Triangular(6.0), z))  // sigma^2 = 6
	require.NoError(t, err)
	sum := 9.0*1 + 4*3 + 1*6
	for i, want := range []float64{9 / sum, 12 / sum, 6 / sum} {
		x := found[0].Indices[i]
		assert.InDelta(t, want, x.First, 4*x.FirstError)
		assert.InDelta(t, want, x.Total, 4*x.TotalError)
		assert.Less(t, x.TotalError, 0.01)
	}
	assert.InDelta(t, math.Sqrt(sum), found[0].Sigma, 0.1)
	assert.True(t, found[1].Constant)
	assert.Empty(t, found[1].Indices)
	assert.Equal(t, 0.1, found[1].Mean)
}

// The outboard foot of the two-dial job moves by -34/8 and by -(34/8 - 1) of half
// of each bottom reading (that of the near dial with its sign turned), and of half
// of each sag.
func TestIndicesOfTwoDials(t *testing.T) {
	s := footStudy()
	s.Copy = uncertainty.CopyReverse
	sag := func(j *align.ReverseIndicator, by unit.Length) {
		v, _ := j.OnNear.Sag.RollOver()
		j.OnNear.Sag = align.RollOver(v + by)
	}
	found, err := s.Sobol(context.Background(), whatif.Sampling{Seed: 5, Samples: 20_000},
		uncertainty.Vary("far bottom", uncertainty.Normal(0.5*align.Mil), func(j *align.ReverseIndicator) *unit.Length {
			return &j.OnFar.Sweep[2].Value
		}),
		uncertainty.Vary("near bottom", uncertainty.Normal(0.5*align.Mil), func(j *align.ReverseIndicator) *unit.Length {
			return &j.OnNear.Sweep[2].Value
		}),
		uncertainty.VaryWith("near sag", uncertainty.Normal(1*align.Mil), sag))
	require.NoError(t, err)
	variances := [3]float64{4.25 * 4.25 * 0.25, 3.25 * 3.25 * 0.25, 3.25 * 3.25}
	sum := variances[0] + variances[1] + variances[2]
	for i, x := range found[1].Indices {
		assert.InDelta(t, variances[i]/sum, x.First, 4*x.FirstError, x.Source)
		assert.InDelta(t, variances[i]/sum, x.Total, 4*x.TotalError, x.Source)
	}
	assert.InDelta(t, math.Sqrt(sum)/2*0.0254e-3, found[1].Sigma, 0.02*0.0254e-3)
}

func TestSobolWorkersAndFaults(t *testing.T) {
	s := ishigami()
	run := func(o whatif.Sampling, sources ...uncertainty.Source[pair]) ([]whatif.ColumnIndices, error) {
		return s.Sobol(context.Background(), o, sources...)
	}
	one, err := run(whatif.Sampling{Seed: 2, Samples: 3000, Options: whatif.Options{Workers: 1}}, threeRectangular()...)
	require.NoError(t, err)
	four, err := run(whatif.Sampling{Seed: 2, Samples: 3000, Options: whatif.Options{Workers: 4}}, threeRectangular()...)
	require.NoError(t, err)
	assert.Equal(t, one, four)
	_, err = run(whatif.Sampling{Samples: 63}, threeRectangular()...)
	require.ErrorIs(t, err, align.ErrOutOfRange)
	_, err = run(whatif.Sampling{Samples: 1000, Most: 4999}, threeRectangular()...)
	require.ErrorIs(t, err, uncertainty.ErrTooManyTrials)
	_, err = run(whatif.Sampling{Samples: 1000, Most: 5000}, threeRectangular()...)
	require.NoError(t, err)
	_, err = run(whatif.Sampling{Samples: math.MaxInt}, threeRectangular()...)
	require.ErrorIs(t, err, uncertainty.ErrTooManyTrials)
	_, err = run(whatif.Sampling{Samples: 1000})
	require.ErrorIs(t, err, align.ErrMissing)
	ctx, stop := context.WithCancel(context.Background())
	stop()
	_, err = s.Sobol(ctx, whatif.Sampling{Samples: 1000}, threeRectangular()...)
	require.ErrorIs(t, err, uncertainty.ErrCancelled)
	assert.Contains(t, err.Error(), "0 of 1000 samples")
	s.Compute = func(p *pair) (float64, error) { return 0, errPlain }
	_, err = run(whatif.Sampling{Samples: 1000}, threeRectangular()...)
	require.ErrorIs(t, err, uncertainty.ErrTrialFailed)
	require.ErrorIs(t, err, errPlain)
	assert.Contains(t, err.Error(), "sample 0")
}
