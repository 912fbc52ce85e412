package uncertainty

import (
	"math"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// reverseJob is the set of the package documentation: dials 200 mm apart, five
// micrometres a reading, outboard feet 850 mm beyond the far dial.
func reverseJob() align.ReverseIndicator {
	return align.ReverseIndicator{
		OnNear: align.Dial{Station: 0, Sag: align.RollOver(-0.10 * align.Millimetre),
			Sweep: align.FourPoint(0, 0.11*align.Millimetre, -0.05*align.Millimetre, -0.16*align.Millimetre)},
		OnFar: align.Dial{Station: 0.2, Sag: align.RollOver(-0.10 * align.Millimetre),
			Sweep: align.FourPoint(0, -0.21*align.Millimetre, -0.35*align.Millimetre, -0.14*align.Millimetre)},
	}
}

func onFar(j *align.ReverseIndicator) *align.Dial  { return &j.OnFar }
func onNear(j *align.ReverseIndicator) *align.Dial { return &j.OnNear }

const outboard = 1.05 * align.Metre

func feetOutputs() []Output {
	return []Output{{"outboard feet, vertical", align.UnitMillimetre}, {"outboard feet, sideways", align.UnitMillimetre}}
}

func feet(j *align.ReverseIndicator, out []float64) error {
	a, err := j.Axis()
	if err != nil {
		return err
	}
	m := a.MoveFar(outboard)
	out[0], out[1] = float64(m.Vertical), float64(m.Horizontal)
	return nil
}

func reverseModel(more ...Source[align.ReverseIndicator]) Model[align.ReverseIndicator] {
	m := Model[align.ReverseIndicator]{Job: reverseJob(), Copy: CopyReverse, Outputs: feetOutputs(), Compute: feet}
	d := Normal(5 * align.Micrometre)
	m.Sources = append(m.Sources, Readings("reading, far", d, &m.Job, onFar)...)
	m.Sources = append(m.Sources, Readings("reading, near", d, &m.Job, onNear)...)
	m.Sources = append(m.Sources, more...)
	return m
}

// TestDocExample holds the figures of the package documentation, worked out by
// hand there.
func TestDocExample(t *testing.T) {
	m := reverseModel()
	l, err := m.Linear()
	require.NoError(t, err)
	want := math.Hypot(5.25, 4.25) * 5e-6 / math.Sqrt2
	for i := range l.Estimates {
		assert.InDelta(t, want, l.Estimates[i].Sigma, 1e-12)
	}
	assert.InDelta(t, 24e-6, want, 0.5e-6)
	assert.InDelta(t, 25e-6, math.Sqrt2*5e-6/math.Sqrt2/0.2, 0.5e-6)
	assert.InDelta(t, 0, l.Covariance[0][1], 1e-18, "the planes share no reading at the quarter positions")
	assert.Empty(t, l.Warnings)
}

// TestLinearAgreesWithCovariance holds the law against the covariance that the
// measurement model of package align works out by its own way.
func TestLinearAgreesWithCovariance(t *testing.T) {
	m := reverseModel()
	l, err := m.Linear()
	require.NoError(t, err)
	job := reverseJob()
	job.Sigma = 5 * align.Micrometre
	p, err := job.Solve()
	require.NoError(t, err)
	s := p.OffsetSigma(outboard)
	assert.InEpsilon(t, float64(s.Vertical), l.Estimates[0].Sigma, 1e-9)
	assert.InEpsilon(t, float64(s.Horizontal), l.Estimates[1].Sigma, 1e-9)
}

// TestSagTogether: one bracket carries both dials, so its sag is wrong for both.
// With equal weights of opposite sign the error at station x is dS/2 (1 - 2 lambda)
// (PITFALLS S1 of the field: zero midway between the dials): -dS/2 (2 x 5.25 - 1)
// in the position, the other way in the move.
func TestSagTogether(t *testing.T) {
	u := 4 * align.Micrometre
	m := Model[align.ReverseIndicator]{
		Job: reverseJob(), Copy: CopyReverse, Outputs: feetOutputs(), Compute: feet,
		Sources: []Source[align.ReverseIndicator]{SagTest("bracket", Normal(u), onFar, onNear)},
	}
	l, err := m.Linear()
	require.NoError(t, err)
	assert.InDelta(t, float64(u)/2*(2*5.25-1), l.Estimates[0].Sigma, 1e-12)
	assert.InDelta(t, 0, l.Estimates[1].Sigma, 1e-15)

	// Two brackets with independent tests: the two halves add in quadrature.
	m.Sources = []Source[align.ReverseIndicator]{SagTest("far", Normal(u), onFar), SagTest("near", Normal(u), onNear)}
	l, err = m.Linear()
	require.NoError(t, err)
	assert.InDelta(t, float64(u)/2*math.Hypot(5.25, 4.25), l.Estimates[0].Sigma, 1e-12)

	// The same two tests with correlation one are one bracket again.
	m.Correlations = []Correlation{{"far", "near", 1}}
	l, err = m.Linear()
	require.NoError(t, err)
	assert.InDelta(t, float64(u)/2*(2*5.25-1), l.Estimates[0].Sigma, 1e-12)
	sum := 0.0
	for _, p := range l.Estimates[0].Parts {
		sum += p.Share
	}
	assert.InDelta(t, 1, sum, 1e-12)
}

// TestTape: a tape that is wrong for every distance by the same share moves the
// dials and the feet alike; the position at the feet does not change at all, as
// lengths enter by their ratio alone.
func TestTape(t *testing.T) {
	type tapeJob struct {
		set  align.ReverseIndicator
		foot unit.Length
	}
	m := Model[tapeJob]{
		Job: tapeJob{reverseJob(), outboard},
		Copy: func(dst, src *tapeJob) {
			CopyReverse(&dst.set, &src.set)
			dst.foot = src.foot
		},
		Outputs: []Output{{"move", align.UnitMillimetre}},
		Compute: func(j *tapeJob, out []float64) error {
			a, err := j.set.Axis()
			out[0] = float64(a.MoveFar(j.foot).Vertical)
			return err
		},
		Sources: []Source[tapeJob]{Tape("tape", Normal(0.01),
			func(j *tapeJob) *unit.Length { return &j.set.OnFar.Station },
			func(j *tapeJob) *unit.Length { return &j.foot })},
	}
	l, err := m.Linear()
	require.NoError(t, err)
	assert.InDelta(t, 0, l.Estimates[0].Sigma, 1e-15)

	// The same error in the foot alone: slope times 1 % of 1050 mm.
	m.Sources = []Source[tapeJob]{Tape("tape", Normal(0.01), func(j *tapeJob) *unit.Length { return &j.foot })}
	l, err = m.Linear()
	require.NoError(t, err)
	a, err := m.Job.set.Axis()
	require.NoError(t, err)
	assert.InEpsilon(t, math.Abs(a.Vertical.Slope)*0.01*1.05, l.Estimates[0].Sigma, 1e-9)
}

// TestDistance: how the answer depends on D alone. e(x) = eN + (eF - eN) x/D, so
// d/dD = -(eF - eN) x/D^2.
func TestDistance(t *testing.T) {
	u := 2 * align.Millimetre
	m := Model[align.ReverseIndicator]{
		Job: reverseJob(), Copy: CopyReverse, Outputs: feetOutputs(), Compute: feet,
		Sources: []Source[align.ReverseIndicator]{
			Vary("D", Normal(u), func(j *align.ReverseIndicator) *unit.Length { return &j.OnFar.Station })},
	}
	l, err := m.Linear()
	require.NoError(t, err)
	a, err := m.Job.Axis()
	require.NoError(t, err)
	// The central difference over +-u has the relative error (u/D)^2 = 1e-4.
	want := math.Abs(a.Vertical.Slope) * 1.05 / 0.2 * float64(u)
	assert.InEpsilon(t, want, l.Estimates[0].Sigma, 1.1e-4)
}

func TestClockAnglesMoveTheClosingReading(t *testing.T) {
	job := reverseJob()
	job.OnFar.Sweep = append(job.OnFar.Sweep, align.Reading{At: align.Twelve, Value: 0})
	s := ClockAngles("angle", Normal(align.Clock(2)), &job, onFar)
	require.Len(t, s, 4)
	s[0].Apply(&job, 2)
	assert.Equal(t, align.Clock(2), job.OnFar.Sweep[0].At)
	assert.Equal(t, align.Clock(2), job.OnFar.Sweep[4].At)
}

func TestExpandedWithoutDoF(t *testing.T) {
	e := Estimate{Output: Output{"x", align.UnitMillimetre}, Value: 1e-3, Sigma: 1e-5}
	x, err := e.Expanded(0.95)
	require.NoError(t, err)
	assert.InDelta(t, 1.959964, x.Factor, 5e-7)
	assert.Equal(t, "1.0000 mm +/- 0.0196 mm (coverage factor 1.96, 95 %)", x.String())
	for _, p := range []float64{0, 1, -1, math.NaN()} {
		_, err := e.Expanded(p)
		assert.ErrorIs(t, err, align.ErrOutOfRange)
	}
	e.DoF, e.DoFKnown = 0.5, true
	_, err = e.Expanded(0.95)
	assert.ErrorIs(t, err, ErrTooFewRepeats)
}

// TestDoFOfOneSource: with one source alone the effective degrees of freedom are
// its own, and a whole number must not be cut to the one below.
func TestDoFOfOneSource(t *testing.T) {
	for dof := 1; dof < 60; dof++ {
		m := sumModel(NormalWith(0.3, float64(dof)), Normal(0.0))
		l, err := m.Linear()
		require.NoError(t, err)
		x, err := l.Estimates[0].Expanded(0.95)
		require.NoError(t, err)
		assert.Equal(t, dof, x.DoF)
	}
}

func TestModelRefuses(t *testing.T) {
	ok := func() Model[additive] { return sumModel(Normal(1.0), Normal(1.0)) }
	cases := []struct {
		name  string
		spoil func(*Model[additive])
		want  error
		field string
	}{
		{"no compute", func(m *Model[additive]) { m.Compute = nil }, align.ErrMissing, "compute"},
		{"no outputs", func(m *Model[additive]) { m.Outputs = nil }, ErrNoOutputs, "outputs"},
		{"no sources", func(m *Model[additive]) { m.Sources = nil }, ErrNoSources, "sources"},
		{"unit", func(m *Model[additive]) { m.Outputs[0].Unit = "furlong" }, align.ErrUnknownUnit, "output sum"},
		{"too many sources", func(m *Model[additive]) { m.Sources = make([]Source[additive], MaxSources+1) }, align.ErrOutOfRange, "sources"},
		{"too many outputs", func(m *Model[additive]) { m.Outputs = make([]Output, MaxOutputs+1) }, align.ErrOutOfRange, "outputs"},
		{"no distribution", func(m *Model[additive]) {
			m.Sources[0] = Vary("x1", Distribution[float64]{}, func(a *additive) *float64 { return &a[0] })
		}, align.ErrMissing, "source x1"},
		{"empty source", func(m *Model[additive]) { m.Sources[1] = Source[additive]{Name: "none"} }, ErrNoSources, "source none"},
		{"negative", func(m *Model[additive]) {
			m.Sources[0] = Vary("x1", Normal(-1.0), func(a *additive) *float64 { return &a[0] })
		}, align.ErrNegative, "source x1"},
		{"not finite", func(m *Model[additive]) {
			m.Sources[0] = Vary("x1", Normal(math.Inf(1)), func(a *additive) *float64 { return &a[0] })
		}, align.ErrNotFinite, "source x1"},
		{"unknown name", func(m *Model[additive]) { m.Correlations = []Correlation{{"x1", "x9", 0.5}} }, align.ErrMismatch, "correlations[0].second"},
		{"with itself", func(m *Model[additive]) { m.Correlations = []Correlation{{"x1", "x1", 0.5}} }, ErrCorrelation, "correlations[0]"},
		{"over one", func(m *Model[additive]) { m.Correlations = []Correlation{{"x1", "x2", 1.5}} }, ErrCorrelation, "correlations[0]"},
		{"same name", func(m *Model[additive]) {
			m.Sources[1].Name = "x1"
			m.Correlations = []Correlation{{"x1", "x2", 0.5}}
		}, ErrSameName, "correlations[0].first"},
		{"impossible set", func(m *Model[additive]) {
			*m = sumModel(Normal(1.0), Normal(1.0), Normal(1.0))
			m.Correlations = []Correlation{{"x1", "x2", 0.9}, {"x2", "x3", 0.9}, {"x1", "x3", -0.9}}
		}, ErrCorrelation, "correlations"},
		{"not a number comes out", func(m *Model[additive]) {
			m.Compute = func(a *additive, out []float64) error { out[0] = math.Sqrt(-1 - a[0]*a[0]); return nil }
		}, ErrTrialFailed, "job"},
		{"fails aside", func(m *Model[additive]) {
			m.Compute = func(a *additive, out []float64) error {
				if a[1] > 0.5 {
					return align.ErrOutOfRange
				}
				return nil
			}
		}, ErrTrialFailed, "source x2"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			m := ok()
			c.spoil(&m)
			_, err := m.Linear()
			require.ErrorIs(t, err, c.want)
			var in *align.InputError
			require.ErrorAs(t, err, &in)
			assert.Equal(t, "uncertainty", in.Package)
			assert.Equal(t, c.field, in.Field)
			assert.NotEmpty(t, in.Why())
		})
	}
}
