package uncertainty

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"collinear.example/align"
	"collinear.example/tolerance"
)

var inf = math.Inf(1)

// One limit: the values are points of the standard normal distribution from any
// printed table (Q(1) = 0.158655, Q(2) = 0.022750).
func TestSpecificRiskTable(t *testing.T) {
	for name, c := range map[string]struct {
		item               Item[float64]
		accepted           bool
		consumer, producer float64
	}{
		"two sigma below one limit":  {Item[float64]{Measured: 8, Sigma: 1, Tolerance: AtMost(10.0), Acceptance: AtMost(10.0)}, true, 0.0227501319481792, 0},
		"one sigma beyond one limit": {Item[float64]{Measured: 11, Sigma: 1, Tolerance: AtMost(10.0), Acceptance: AtMost(10.0)}, false, 0, 0.1586552539314571},
		"on the limit":               {Item[float64]{Measured: 10, Sigma: 1, Tolerance: AtMost(10.0), Acceptance: AtMost(10.0)}, true, 0.5, 0},
		"guarded away":               {Item[float64]{Measured: 8, Sigma: 1, Tolerance: AtMost(10.0), Acceptance: AtMost(7.0)}, false, 0, 1 - 0.0227501319481792},
		"both ways":                  {Item[float64]{Measured: 0, Sigma: 1, Tolerance: Within(1.0), Acceptance: Within(1.0)}, true, 2 * 0.1586552539314571, 0},
		"lower limit":                {Item[float64]{Measured: 2, Sigma: 1, Tolerance: AtLeast(0.0), Acceptance: AtLeast(0.0)}, true, 0.0227501319481792, 0},
		"certain and good":           {Item[float64]{Measured: 10, Tolerance: AtMost(10.0), Acceptance: AtMost(10.0)}, true, 0, 0},
		"certain, good and rejected": {Item[float64]{Measured: 10, Tolerance: AtMost(10.0), Acceptance: AtMost(9.0)}, false, 0, 1},
	} {
		r, err := c.item.Risk()
		require.NoError(t, err, name)
		assert.Equal(t, c.accepted, r.Accepted, name)
		assert.InDelta(t, c.consumer, r.Consumer, 1e-14, name)
		assert.InDelta(t, c.producer, r.Producer, 1e-14, name)
	}
}

// Far in the tail the digits stay: Q(10) = 7.619853024160527e-24 (mpmath).
func TestSpecificRiskKeepsDigits(t *testing.T) {
	r, err := Item[float64]{Measured: 0, Sigma: 1, Tolerance: AtMost(10.0), Acceptance: AtMost(10.0)}.Risk()
	require.NoError(t, err)
	assert.InEpsilon(t, 7.619853024160527e-24, r.Consumer, 1e-12)
}

// Equal uncertainties: the mean of both, and u/sqrt(2). By hand: prior 0 +- 3,
// measured 10 +- 4: y = 10 x 9/25 = 3.6, u = 12/5.
func TestPriorAfter(t *testing.T) {
	p, err := Prior[float64]{Mean: 2, Sigma: 1}.After(4, 1)
	require.NoError(t, err)
	assert.InDelta(t, 3, p.Mean, 1e-14)
	assert.InDelta(t, math.Sqrt(0.5), p.Sigma, 1e-14)
	p, err = Prior[float64]{Sigma: 3}.After(10, 4)
	require.NoError(t, err)
	assert.InDelta(t, 3.6, p.Mean, 1e-14)
	assert.InDelta(t, 2.4, p.Sigma, 1e-14)
	p, err = Prior[float64]{Mean: 2}.After(4, 1) // always 2
	require.NoError(t, err)
	assert.Equal(t, Prior[float64]{Mean: 2}, p)
	p, err = Prior[float64]{Mean: 2, Sigma: 1}.After(4, 0) // read without error
	require.NoError(t, err)
	assert.Equal(t, Prior[float64]{Mean: 4}, p)
}

// The prior of the item above, 3.6 +- 2.4, against a limit of 6: Q(1).
func TestSpecificRiskWithPrior(t *testing.T) {
	i := Item[float64]{Measured: 10, Sigma: 4, Tolerance: AtMost(6.0), Acceptance: AtMost(12.0), Prior: &Prior[float64]{Sigma: 3}}
	r, err := i.Risk()
	require.NoError(t, err)
	assert.InDelta(t, 0.1586552539314571, r.Consumer, 1e-13)
}

func TestSpecificGuard(t *testing.T) {
	w, err := SpecificGuard(AtMost(50*align.Micrometre), 8*align.Micrometre, 0.05)
	require.NoError(t, err)
	assert.InDelta(t, float64(tolerance.GuardOneSided)*8e-6, float64(w), 1e-17)
	w0, err := SpecificGuard(AtMost(1.0), 1, 0.5) // a value on the limit is good enough
	require.NoError(t, err)
	assert.Zero(t, w0)
	w0, err = SpecificGuard(Within(1.0), 0, 0.01)
	require.NoError(t, err)
	assert.Zero(t, w0)
	// Two ends: the two tails at the edge found add up to the risk asked for.
	w2, err := SpecificGuard(Within(2.0), 1, 0.1)
	require.NoError(t, err)
	q := func(z float64) float64 { return math.Erfc(z/math.Sqrt2) / 2 }
	assert.InDelta(t, 0.1, q(w2)+q(4-w2), 1e-12)
	assert.Less(t, w2, 2.0)
	// In the middle of +- 1 sigma the risk is 2 Q(1) = 0.317311: less cannot be had.
	_, err = SpecificGuard(Within(1.0), 1, 0.3)
	require.ErrorIs(t, err, ErrNothingSatisfies)
	assert.Contains(t, err.Error(), "0.317311")
	_, err = SpecificGuard(Within(1.0), 1, 0.3174)
	require.NoError(t, err)
}

func TestRange(t *testing.T) {
	g, err := Within(10.0).Guarded(3)
	require.NoError(t, err)
	assert.Equal(t, Within(7.0), g)
	g, err = AtMost(10.0).Guarded(3)
	require.NoError(t, err)
	assert.Equal(t, AtMost(7.0), g)
	_, err = Within(10.0).Guarded(10.5)
	require.ErrorIs(t, err, align.ErrOutOfRange)
	assert.True(t, Within(1.0).Holds(-1))
	assert.False(t, Within(1.0).Holds(1.0001))
	assert.True(t, AtLeast(1.0).Holds(1e9))
}

// wantFault requires one error of the package that names field and fault.
func wantFault(t *testing.T, err error, code align.Fault, field, name string) {
	t.Helper()
	require.ErrorIs(t, err, code, name)
	var e *align.InputError
	require.True(t, errors.As(err, &e), name)
	assert.Equal(t, field, e.Field, name)
}

func TestRiskRefuses(t *testing.T) {
	nan := math.NaN()
	good := Item[unit.Length]{Sigma: 1e-6, Tolerance: Within(5e-5 * align.Metre), Acceptance: Within(4e-5 * align.Metre)}
	for _, c := range []struct {
		name, field string
		code        align.Fault
		spoil       func(i *Item[unit.Length])
	}{
		{"measured", "measured", align.ErrNotFinite, func(i *Item[unit.Length]) { i.Measured = unit.Length(nan) }},
		{"infinite sigma", "sigma", align.ErrNotFinite, func(i *Item[unit.Length]) { i.Sigma = unit.Length(inf) }},
		{"negative sigma", "sigma", align.ErrNegative, func(i *Item[unit.Length]) { i.Sigma = -1e-6 }},
		{"no tolerance", "tolerance", align.ErrMissing, func(i *Item[unit.Length]) { i.Tolerance = Range[unit.Length]{} }},
		{"no acceptance", "acceptance", align.ErrMissing, func(i *Item[unit.Length]) { i.Acceptance = Range[unit.Length]{} }},
		{"turned", "tolerance.lower", align.ErrMismatch, func(i *Item[unit.Length]) { i.Tolerance = Range[unit.Length]{2, 1} }},
		{"not a number", "acceptance.upper", align.ErrNotFinite, func(i *Item[unit.Length]) { i.Acceptance.Upper = unit.Length(nan) }},
		{"wrong infinity", "tolerance.lower", align.ErrNotFinite, func(i *Item[unit.Length]) {
			i.Tolerance = Range[unit.Length]{unit.Length(inf), unit.Length(inf)}
		}},
		{"prior", "prior.sigma", align.ErrNegative, func(i *Item[unit.Length]) { i.Prior = &Prior[unit.Length]{Sigma: -1} }},
		{"two certainties", "sigma", align.ErrMismatch, func(i *Item[unit.Length]) { i.Sigma, i.Prior = 0, &Prior[unit.Length]{} }},
	} {
		i := good
		c.spoil(&i)
		_, err := i.Risk()
		wantFault(t, err, c.code, c.field, c.name)
	}
	_, err := SpecificGuard(Within(1.0), 1, 1)
	wantFault(t, err, align.ErrOutOfRange, "risk", "risk 1")
	_, err = SpecificGuard(Within(1.0), 1, nan)
	wantFault(t, err, align.ErrOutOfRange, "risk", "risk NaN")
	i := good
	i.Sigma = -1e-6
	_, err = i.Risk()
	assert.Equal(t, "uncertainty: sigma = -0.001 mm: must not be negative", err.Error())
}

// Numbers of any kind give an answer within 0 to 1 or one error.
func FuzzSpecificRisk(f *testing.F) {
	f.Add(0.0, 1.0, -1.0, 1.0, 0.05)
	f.Add(1e300, 1e-300, math.Inf(-1), 0.0, 0.5)
	f.Fuzz(func(t *testing.T, measured, sigma, lower, upper, risk float64) {
		r := Range[float64]{lower, upper}
		got, err := Item[float64]{Measured: measured, Sigma: sigma, Tolerance: r, Acceptance: r}.Risk()
		if err == nil {
			for _, p := range []float64{got.Conforms, got.Consumer, got.Producer} {
				if !(p >= 0 && p <= 1) {
					t.Fatalf("risk %v", got)
				}
			}
		}
		w, err := SpecificGuard(r, sigma, risk)
		if err == nil && !(w >= 0 && align.IsFinite(w)) {
			t.Fatalf("guard %g", w)
		}
	})
}

func BenchmarkSpecificRisk(b *testing.B) {
	i := Item[unit.Length]{Measured: 30e-6, Sigma: 8e-6, Tolerance: Within(50 * align.Micrometre), Acceptance: Within(40 * align.Micrometre)}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := i.Risk(); err != nil {
			b.Fatal(err)
		}
	}
}
