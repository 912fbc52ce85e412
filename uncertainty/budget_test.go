package uncertainty

import (
	"math"
	"testing"
	"testing/quick"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// threeFour has a group of effect 3 that repeats average out and one of effect 4
// that they do not: u = 5.
func threeFour(t *testing.T) Estimate {
	m := sumModel(Normal(3.0), Normal(4.0))
	m.Sources[0] = m.Sources[0].In("scatter").AsRandom()
	m.Sources[1] = m.Sources[1].In("tape")
	l, err := m.Linear()
	require.NoError(t, err)
	return l.Estimates[0]
}

func TestBudget(t *testing.T) {
	e := threeFour(t)
	assert.InDelta(t, 5, e.Sigma, 1e-12)
	assert.Equal(t, []string{"tape", "scatter"}, []string{e.Budget()[0].Group, e.Budget()[1].Group})
	assert.InDelta(t, 0.64, e.Budget()[0].Share, 1e-12)
	assert.InDelta(t, 4, e.Budget()[0].Sigma, 1e-12)
}

func TestRepeatFirst(t *testing.T) {
	e := threeFour(t)
	s, err := e.RepeatFirst(9)
	require.NoError(t, err)
	require.Len(t, s, 1, "repeats do not mend a tape")
	assert.Equal(t, "scatter", s[0].Group)
	assert.InDelta(t, math.Sqrt(1+16), s[0].Sigma, 1e-12)
	assert.InDelta(t, 1-math.Sqrt(17)/5, s[0].Saved, 1e-12)
	_, err = e.RepeatFirst(1)
	assert.ErrorIs(t, err, align.ErrOutOfRange)
	_, err = Estimate{}.RepeatFirst(2)
	assert.ErrorIs(t, err, ErrNoUncertainty)
}

func TestNeeded(t *testing.T) {
	e := threeFour(t)
	n, err := e.Needed("tape", math.Sqrt(9+1))
	require.NoError(t, err)
	assert.InDelta(t, 0.25, n.Factor, 1e-12)
	assert.InDelta(t, 1, n.Sigma, 1e-12)
	assert.InDelta(t, 3, n.Rest, 1e-12)
	_, err = e.Needed("tape", 2.9)
	assert.ErrorIs(t, err, ErrNotAttainable)
	_, err = e.Needed("rope", 1)
	assert.ErrorIs(t, err, align.ErrMismatch)
	for _, w := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		_, err = e.Needed("tape", w)
		assert.ErrorIs(t, err, align.ErrOutOfRange)
	}
}

// TestNeededIsTheInverse: with the factor applied, the law gives what was wanted,
// correlations and all.
func TestNeededIsTheInverse(t *testing.T) {
	check := func(a, b, c, r uint8, wantedPart uint8) bool {
		sa, sb, sc := 0.1+float64(a)/64, 0.1+float64(b)/64, 0.1+float64(c)/64
		rho := float64(r)/255*1.8 - 0.9
		model := func(k float64) Estimate {
			m := sumModel(Normal(k*sa), Normal(sb), Normal(sc))
			m.Correlations = []Correlation{{"x1", "x2", rho}}
			l, err := m.Linear()
			require.NoError(t, err)
			return l.Estimates[0]
		}
		e := model(1)
		wanted := e.Sigma * (0.5 + float64(wantedPart)/128)
		n, err := e.Needed("x1", wanted)
		if err != nil {
			// Then no factor does: the variance is least at k = -b/a, or at zero.
			least := math.Max(0, -rho*sb/sa)
			return model(least).Sigma > wanted*(1-1e-9)
		}
		return math.Abs(model(n.Factor).Sigma-wanted) < 1e-9*wanted
	}
	require.NoError(t, quick.Check(check, nil))
}
