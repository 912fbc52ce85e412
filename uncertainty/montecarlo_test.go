package uncertainty

import (
	"context"
	"math"
	"slices"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
)

// TestSimulationAgreesWithLinear: the reverse-indicator job is linear in its
// readings, so the simulation's covariance must be that of the law, within five
// standard errors sqrt((s_ii s_jj + s_ij^2)/n) of a covariance of normal values.
func TestSimulationAgreesWithLinear(t *testing.T) {
	const n = 200_000
	m := reverseModel(SagTest("bracket", Normal(4*align.Micrometre), onFar, onNear))
	m.Sources = append(m.Sources, SagTest("near again", Normal(3*align.Micrometre), onNear))
	m.Correlations = []Correlation{{"bracket", "near again", 0.6}, {"reading, far at 12 o'clock", "reading, far at 6 o'clock", -0.4}}
	l, err := m.Linear()
	require.NoError(t, err)
	s, err := m.Simulate(context.Background(), Simulation{Seed: 5, Trials: n})
	require.NoError(t, err)
	assert.Equal(t, n, s.Trials())
	got := s.Covariance()
	for i := range got {
		for j := range got {
			want := l.Covariance[i][j]
			se := math.Sqrt((l.Covariance[i][i]*l.Covariance[j][j] + want*want) / n)
			assert.InDelta(t, want, got[i][j], 5*se)
		}
	}
	d, err := s.Output(0)
	require.NoError(t, err)
	assert.InDelta(t, l.Estimates[0].Value, d.Mean, 5*l.Estimates[0].Sigma/math.Sqrt(n))
	v, err := Validate(l.Estimates[0], d, 0.95, 1)
	require.NoError(t, err)
	assert.True(t, v.Valid)
}

// TestWorkersDoNotMatter: one goroutine or many, the same trials to the last bit;
// another seed, others.
func TestWorkersDoNotMatter(t *testing.T) {
	m := reverseModel()
	run := func(seed uint64, workers int) []float64 {
		s, err := m.Simulate(context.Background(), Simulation{Seed: seed, Trials: 50_000, Workers: workers})
		require.NoError(t, err)
		return s.values
	}
	one := run(9, 1)
	assert.True(t, slices.Equal(one, run(9, 2)))
	assert.True(t, slices.Equal(one, run(9, 7)))
	assert.False(t, slices.Equal(one, run(10, 1)))

	steady := func(workers int) []float64 {
		s, err := m.SimulateTo(context.Background(), Simulation{Seed: 9, Workers: workers}, Precision{Probability: 0.95, Digits: 1})
		require.NoError(t, err)
		return s.values
	}
	assert.True(t, slices.Equal(steady(1), steady(5)))
}

// TestJobIsLeftAlone: trials work on copies.
func TestJobIsLeftAlone(t *testing.T) {
	m := reverseModel()
	before := reverseJob()
	_, err := m.Simulate(context.Background(), Simulation{Trials: 1})
	require.NoError(t, err)
	assert.Equal(t, before, m.Job)
}

func TestProgressAndCancel(t *testing.T) {
	m := reverseModel()
	var seen []int
	ctx, cancel := context.WithCancel(context.Background())
	_, err := m.Simulate(ctx, Simulation{Trials: 40_000, Workers: 2, Progress: func(done, of int) {
		assert.Equal(t, 40_000, of)
		seen = append(seen, done)
	}})
	require.NoError(t, err)
	assert.Equal(t, []int{10_000, 20_000, 30_000, 40_000}, seen)

	_, err = m.Simulate(ctx, Simulation{Trials: 400_000, Workers: 1, Progress: func(done, _ int) {
		if done == 20_000 {
			cancel()
		}
	}})
	require.ErrorIs(t, err, ErrCancelled)
	_, err = m.SimulateTo(ctx, Simulation{}, Precision{Probability: 0.95, Digits: 2})
	require.ErrorIs(t, err, ErrCancelled)
}

func TestSimulateRefuses(t *testing.T) {
	ctx := context.Background()
	m := sumModel(Normal(1.0), Rectangular(1.0))
	for _, s := range []Simulation{{Trials: -1}, {Workers: -1}} {
		_, err := m.Simulate(ctx, s)
		require.ErrorIs(t, err, align.ErrNegative)
	}
	_, err := m.Simulate(ctx, Simulation{Trials: MaxNumbers + blockTrials})
	require.ErrorIs(t, err, ErrTooManyTrials)
	m.Correlations = []Correlation{{"x1", "x2", 0.5}}
	_, err = m.Simulate(ctx, Simulation{})
	require.ErrorIs(t, err, ErrNotNormal)
	m.Correlations = nil
	for _, p := range []Precision{{Probability: 1, Digits: 2}, {Probability: 0.95}, {Probability: 0.95, Digits: 5}, {Probability: 0.95, Digits: 2, Most: 10}} {
		_, err = m.SimulateTo(ctx, Simulation{}, p)
		require.ErrorIs(t, err, align.ErrOutOfRange)
	}

	// A job that fails beyond two standard uncertainties fails at the same trial
	// whoever works it out.
	m.Compute = func(a *additive, out []float64) error {
		if a[0] > 4 {
			return align.ErrOutOfRange
		}
		return nil
	}
	_, one := m.Simulate(ctx, Simulation{Seed: 2, Workers: 1})
	_, many := m.Simulate(ctx, Simulation{Seed: 2, Workers: 4})
	require.ErrorIs(t, one, ErrTrialFailed)
	assert.Equal(t, one.Error(), many.Error())
}

// TestNotReached: the bound comes first; the sample so far comes back.
func TestNotReached(t *testing.T) {
	m := sumModel(Normal(1.0), Normal(1.0))
	s, err := m.SimulateTo(context.Background(), Simulation{Seed: 1}, Precision{Probability: 0.95, Digits: 4, Most: 30_000})
	require.ErrorIs(t, err, ErrNotReached)
	assert.Equal(t, 30_000, s.Trials())
}

// TestSteady: at the precision asked for, repeated with other seeds, mean, standard
// uncertainty and both ends are right to the tolerance nearly always; the truth is
// known. The rule keeps two standard deviations of a figure within the tolerance,
// so an error over it is rare, but the rule looks often and stops when it is
// content: allow one in ten.
func TestSteady(t *testing.T) {
	m := sumModel(Normal(3.0), Normal(4.0))
	runs, most := uint64(40), 32 // more than 32 of 160, each with 10 %, would come once in ten thousand times
	if testing.Short() {
		runs, most = 4, 8 // so would 8 of 16 be, and rarer
	}
	outside, figures := 0, 0
	for seed := range runs {
		s, err := m.SimulateTo(context.Background(), Simulation{Seed: seed}, Precision{Probability: 0.95, Digits: 2})
		require.NoError(t, err)
		d, err := s.Output(0)
		require.NoError(t, err)
		i, err := d.Symmetric(0.95)
		require.NoError(t, err)
		z := distuv.UnitNormal.Quantile(0.975)
		for _, v := range [][2]float64{{d.Mean, 0}, {d.Sigma, 5}, {i.Low, -5 * z}, {i.High, 5 * z}} {
			figures++
			if math.Abs(v[0]-v[1]) > 0.05 {
				outside++
			}
		}
	}
	assert.LessOrEqual(t, outside, most, "of %d", figures)
}

// TestCoverage: of 4,000 simulated jobs the 95 % interval of the law must hold the
// truth in 95 % within its binomial band (four standard deviations), for readings
// that scatter by a known sigma.
func TestCoverage(t *testing.T) {
	const jobs = 4_000
	truth := reverseModel()
	l, err := truth.Linear()
	require.NoError(t, err)
	x, err := l.Estimates[0].Expanded(0.95)
	require.NoError(t, err)
	s, err := truth.Simulate(context.Background(), Simulation{Seed: 77, Trials: jobs})
	require.NoError(t, err)
	covered := 0
	for i := range jobs {
		if math.Abs(s.Trial(i)[0]-x.Value) <= x.Half {
			covered++
		}
	}
	assert.InDelta(t, 0.95*jobs, float64(covered), 4*math.Sqrt(0.95*0.05*jobs))
}

// TestCoverageOfRepeats: a mean of five, its scatter found from the five, covers
// 95 % only with the t factor; the normal factor would cover 87.8 %.
func TestCoverageOfRepeats(t *testing.T) {
	const jobs = 20_000
	type five [5]float64
	m := Model[five]{
		Outputs: []Output{{"mean", align.UnitOne}, {"s", align.UnitOne}},
		Compute: func(f *five, out []float64) error {
			mean, d, err := Repeats(f[:]...)
			out[0], out[1] = mean, d.Sigma()
			return err
		},
	}
	for i := range 5 {
		m.Sources = append(m.Sources, Vary("x", Normal(2.0), func(f *five) *float64 { return &f[i] }))
	}
	m.Job = five{1, 2, 3, 4, 5} // a scatter, so that the job itself can be computed
	for i := range m.Job {
		m.Job[i] *= 1e-9
	}
	s, err := m.Simulate(context.Background(), Simulation{Seed: 8, Trials: jobs})
	require.NoError(t, err)
	covered := s.Count(func(out []float64) bool {
		e := Estimate{Output: m.Outputs[0], Value: out[0], Sigma: out[1], DoF: 4, DoFKnown: true}
		x, err := e.Expanded(0.95)
		return err == nil && math.Abs(x.Value) <= x.Half
	})
	assert.InDelta(t, 0.95, covered.Share(), 4*math.Sqrt(0.95*0.05/jobs))
}

func TestCorrelatedDrawsInAnyOrder(t *testing.T) {
	const n = 200_000
	m := sumModel(Normal(1.0), Normal(2.0), Rectangular(1.0), Normal(3.0))
	m.Correlations = []Correlation{{"x4", "x1", 0.8}, {"x2", "x4", -0.5}}
	m.Outputs = []Output{{"1", align.UnitOne}, {"2", align.UnitOne}, {"3", align.UnitOne}, {"4", align.UnitOne}}
	m.Compute = func(a *additive, out []float64) error {
		copy(out, a[:])
		return nil
	}
	s, err := m.Simulate(context.Background(), Simulation{Seed: 4, Trials: n})
	require.NoError(t, err)
	want := [4][4]float64{{1, 0, 0, 2.4}, {0, 4, 0, -3}, {0, 0, 1.0 / 3, 0}, {2.4, -3, 0, 9}}
	got := s.Covariance()
	for i := range want {
		for j := range want {
			se := math.Sqrt((want[i][i]*want[j][j] + want[i][j]*want[i][j]) / n)
			assert.InDelta(t, want[i][j], got[i][j], 5*se)
		}
	}
}

func BenchmarkMillionReverseIndicatorTrials(b *testing.B) {
	m := reverseModel(
		SagTest("bracket", Normal(4*align.Micrometre), onFar, onNear),
		Together("D", Normal(align.Millimetre), func(j *align.ReverseIndicator) *lengthOf { return &j.OnFar.Station }))
	for _, w := range []struct {
		name    string
		workers int
	}{{"one-core", 1}, {"two-cores", 2}} {
		b.Run(w.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := m.Simulate(context.Background(), Simulation{Seed: 1, Trials: 1_000_000, Workers: w.workers}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkLinear(b *testing.B) {
	m := reverseModel()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := m.Linear(); err != nil {
			b.Fatal(err)
		}
	}
}
