package uncertainty

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"collinear.example/align"
)

// figure is [number, unit] where the number may be the text of an infinity.
type figure [2]any

func (f figure) value(t *testing.T) float64 {
	switch v := f[0].(type) {
	case float64:
		return v
	case string:
		x, err := strconv.ParseFloat(v, 64)
		require.NoError(t, err)
		return x
	}
	t.Fatalf("not a number: %v", f[0])
	return 0
}

type riskVectors struct {
	Vectors []struct {
		ID    string
		Input struct {
			Mean, Sigma, Measuring figure
			Tolerance, Acceptance  struct{ Lower, Upper figure }
		}
		Expect []struct {
			Name             string
			Exact, Tolerance float64
		}
	}
}

// mpmath integrates along the measured value, this package along the true one.
func TestGlobalRiskAgainstMpmath(t *testing.T) {
	text, err := os.ReadFile("../testdata/vectors/uncertainty/global-risk.json")
	require.NoError(t, err)
	var all riskVectors
	require.NoError(t, json.Unmarshal(text, &all))
	require.Len(t, all.Vectors, 34)
	for _, v := range all.Vectors {
		in := v.Input
		r, err := Inspection[float64]{
			Prior:      Prior[float64]{in.Mean.value(t), in.Sigma.value(t)},
			Measuring:  in.Measuring.value(t),
			Tolerance:  Range[float64]{in.Tolerance.Lower.value(t), in.Tolerance.Upper.value(t)},
			Acceptance: Range[float64]{in.Acceptance.Lower.value(t), in.Acceptance.Upper.value(t)},
		}.Risk()
		require.NoError(t, err, v.ID)
		got := map[string]float64{"consumer": r.Consumer, "producer": r.Producer, "conforming": r.Conforming, "accepted": r.Accepted}
		require.Len(t, v.Expect, len(got), v.ID)
		for _, e := range v.Expect {
			assert.InDelta(t, e.Exact, got[e.Name], e.Tolerance, "%s %s", v.ID, e.Name)
		}
	}
}

// drawn is an inspection with widths over many powers of ten.
func drawnInspection(r *rand.Rand) Inspection[float64] {
	spread := func() float64 { return math.Pow(10, 8*r.Float64()-4) }
	i := Inspection[float64]{Prior: Prior[float64]{r.NormFloat64(), spread()}, Measuring: spread()}
	at := func() Range[float64] {
		a, b := i.Prior.Mean+i.Prior.Sigma*2*r.NormFloat64(), i.Prior.Mean+i.Prior.Sigma*2*r.NormFloat64()
		return Range[float64]{min(a, b), max(a, b)}
	}
	i.Tolerance, i.Acceptance = at(), at()
	return i
}

// What is accepted is good or bad: R_C + (conforming - R_P) = accepted, and the
// right side has a closed form. Swapping which side is accepted swaps nothing else.
func TestGlobalRiskAddsUp(t *testing.T) {
	r := rand.New(rand.NewPCG(106, 9))
	for range 3000 {
		i := drawnInspection(r)
		g, err := i.Risk()
		require.NoError(t, err)
		assert.InDelta(t, g.Accepted, g.Consumer+g.Conforming-g.Producer, 1e-12, "%+v", i)
	}
}

// With tolerance and acceptance at the prior's mean the two-dimensional normal
// distribution has a closed form: P(y > 0, measured < 0) = arccos(rho)/(2 pi), rho
// = u0/sqrt(u0^2 + um^2) (Sheppard, 1899, from memory).
func TestGlobalRiskSheppard(t *testing.T) {
	for _, um := range []float64{1e-6, 1e-3, 0.1, 1, 7, 1e4} {
		g, err := Inspection[float64]{Prior: Prior[float64]{5, 1}, Measuring: um, Tolerance: AtMost(5.0), Acceptance: AtMost(5.0)}.Risk()
		require.NoError(t, err)
		want := math.Atan2(um, 1) / (2 * math.Pi)
		assert.InDelta(t, want, g.Consumer, 1e-12, um)
		assert.InDelta(t, want, g.Producer, 1e-12, um)
	}
}

func TestGlobalRiskLimits(t *testing.T) {
	q1 := 0.1586552539314571 // Q(1)
	prior := Prior[float64]{0, 1}
	// Perfect measuring and no guard: no wrong decision.
	g, err := Inspection[float64]{Prior: prior, Tolerance: Within(1.0), Acceptance: Within(1.0)}.Risk()
	require.NoError(t, err)
	assert.InDelta(t, 0, g.Consumer, 1e-15)
	assert.InDelta(t, 0, g.Producer, 1e-15)
	assert.InDelta(t, 1-2*q1, g.Accepted, 1e-14)
	// Perfect measuring, guarded to the mean: half of what is good is thrown out.
	g, err = Inspection[float64]{Prior: prior, Tolerance: Within(1.0), Acceptance: Range[float64]{-1, 0}}.Risk()
	require.NoError(t, err)
	assert.InDelta(t, (1-2*q1)/2, g.Producer, 1e-13)
	// Everything is accepted: all that is bad passes.
	g, err = Inspection[float64]{Prior: prior, Measuring: 0.5, Tolerance: Within(1.0), Acceptance: Range[float64]{-inf, inf}}.Risk()
	require.NoError(t, err)
	assert.InDelta(t, 2*q1, g.Consumer, 1e-13)
	assert.Zero(t, g.Producer)
	share, ok := g.OfAccepted()
	assert.True(t, ok)
	assert.InDelta(t, 2*q1, share, 1e-13)
	// A quantity that never changes.
	g, err = Inspection[float64]{Prior: Prior[float64]{Mean: 2}, Measuring: 1, Tolerance: AtMost(1.0), Acceptance: AtMost(1.0)}.Risk()
	require.NoError(t, err)
	assert.InDelta(t, q1, g.Consumer, 1e-14)
	_, ok = g.OfConforming()
	assert.False(t, ok)
	g, err = Inspection[float64]{Prior: Prior[float64]{Mean: 0}, Measuring: 1, Tolerance: AtMost(1.0), Acceptance: AtMost(1.0)}.Risk()
	require.NoError(t, err)
	assert.InDelta(t, q1, g.Producer, 1e-14)
	// A prior that says nothing: what is wrong is wrong only near the limits. Near one
	// limit with density 1/(u0 sqrt(2 pi)) the wrong accepts are that times um/sqrt(2
	// pi), because the mean of a positive part of a normal error is um/sqrt(2 pi).
	g, err = Inspection[float64]{Prior: Prior[float64]{0, 1e5}, Measuring: 1, Tolerance: AtMost(0.0), Acceptance: AtMost(0.0)}.Risk()
	require.NoError(t, err)
	assert.InEpsilon(t, 1e-5/(2*math.Pi), g.Consumer, 1e-9)
	// Mirrored problems agree.
	a, err := Inspection[float64]{Prior: Prior[float64]{0.3, 1}, Measuring: 0.4, Tolerance: Range[float64]{-1, 2}, Acceptance: Range[float64]{-0.8, 1.5}}.Risk()
	require.NoError(t, err)
	b, err := Inspection[float64]{Prior: Prior[float64]{-0.3, 1}, Measuring: 0.4, Tolerance: Range[float64]{-2, 1}, Acceptance: Range[float64]{-1.5, 0.8}}.Risk()
	require.NoError(t, err)
	assert.InDelta(t, a.Consumer, b.Consumer, 1e-14)
	assert.InDelta(t, a.Producer, b.Producer, 1e-14)
}

// A wider guard band never adds to the consumer's risk, nor takes from the
// producer's.
func TestGlobalRiskMonotone(t *testing.T) {
	i := Inspection[float64]{Prior: Prior[float64]{0.2, 0.7}, Measuring: 0.3, Tolerance: Within(1.0)}
	consumer, producer := 1.0, 0.0
	for w := -1.0; w <= 1; w += 0.02 {
		var err error
		i.Acceptance, err = i.Tolerance.Guarded(w)
		require.NoError(t, err)
		g, err := i.Risk()
		require.NoError(t, err)
		assert.Less(t, g.Consumer, consumer, w)
		assert.Greater(t, g.Producer, producer, w)
		consumer, producer = g.Consumer, g.Producer
	}
}

func TestGuardFor(t *testing.T) {
	r := rand.New(rand.NewPCG(106, 10))
	found := 0
	for range 60 {
		i := drawnInspection(r)
		i.Acceptance = Range[float64]{}
		if r.IntN(3) == 0 {
			i.Tolerance.Lower = -inf
		}
		g, err := i.GuardFor(0.01)
		require.NoError(t, err, "%+v", i)
		assert.LessOrEqual(t, g.Risk.Consumer, 0.01)
		if g.Width == 0 {
			continue
		}
		found++
		// A little less of a band is not enough.
		i.Acceptance = Range[float64]{i.Tolerance.Lower + g.Width*(1-1e-6), i.Tolerance.Upper - g.Width*(1-1e-6)}
		less, err := i.Risk()
		require.NoError(t, err)
		assert.Greater(t, less.Consumer, 0.01, "%+v", i)
	}
	assert.Greater(t, found, 10)
	// Good enough without a band.
	g, err := Inspection[float64]{Prior: Prior[float64]{0, 1}, Measuring: 0.1, Tolerance: Within(3.0)}.GuardFor(0.1)
	require.NoError(t, err)
	assert.Zero(t, g.Width)
	assert.Equal(t, Within(3.0), g.Acceptance)
}

func TestGlobalRiskRefuses(t *testing.T) {
	good := Inspection[float64]{Prior: Prior[float64]{0, 1}, Measuring: 0.5, Tolerance: Within(1.0), Acceptance: Within(0.5)}
	for _, c := range []struct {
		name, field string
		code        align.Fault
		spoil       func(i *Inspection[float64])
	}{
		{"mean", "prior.mean", align.ErrNotFinite, func(i *Inspection[float64]) { i.Prior.Mean = inf }},
		{"prior", "prior.sigma", align.ErrNegative, func(i *Inspection[float64]) { i.Prior.Sigma = -1 }},
		{"measuring", "measuring", align.ErrNegative, func(i *Inspection[float64]) { i.Measuring = -0.1 }},
		{"not finite", "measuring", align.ErrNotFinite, func(i *Inspection[float64]) { i.Measuring = math.NaN() }},
		{"ratio", "measuring", align.ErrOutOfRange, func(i *Inspection[float64]) { i.Prior.Sigma, i.Measuring = 1e-200, 1e200 }},
		{"tolerance", "tolerance", align.ErrMissing, func(i *Inspection[float64]) { i.Tolerance = Range[float64]{} }},
		{"acceptance", "acceptance.lower", align.ErrMismatch, func(i *Inspection[float64]) { i.Acceptance = Range[float64]{1, 0} }},
	} {
		i := good
		c.spoil(&i)
		_, err := i.Risk()
		wantFault(t, err, c.code, c.field, c.name)
	}
	for _, p := range []float64{0, 1, -0.1, math.NaN()} {
		_, err := good.GuardFor(p)
		wantFault(t, err, align.ErrOutOfRange, "consumer's risk", "probability")
	}
}

func FuzzGlobalRisk(f *testing.F) {
	f.Add(0.0, 1.0, 0.3, -1.0, 1.0, -0.5, 0.5)
	f.Add(1e17, 1.0, 1.0, -1.0, 1.0, 0.0, 1e300)
	f.Add(0.0, 1e-300, 1e-3, math.Inf(-1), 1.0, -0.5, 0.5)
	f.Fuzz(func(t *testing.T, mean, sigma, measuring, tl, tu, al, au float64) {
		i := Inspection[float64]{Prior[float64]{mean, sigma}, measuring, Range[float64]{tl, tu}, Range[float64]{al, au}}
		g, err := i.Risk()
		if err != nil {
			return
		}
		for _, p := range []float64{g.Consumer, g.Producer, g.Conforming, g.Accepted} {
			if !(p >= 0 && p <= 1) {
				t.Fatalf("%+v: %+v", i, g)
			}
		}
		if d := g.Consumer + g.Conforming - g.Producer - g.Accepted; math.Abs(d) > 1e-10 {
			t.Fatalf("%+v: %+v: off by %g", i, g, d)
		}
	})
}

func BenchmarkGlobalRisk(b *testing.B) {
	i := Inspection[float64]{Prior: Prior[float64]{0, 1}, Measuring: 0.3, Tolerance: Within(1.7), Acceptance: Within(1.5)}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := i.Risk(); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkGuardFor(b *testing.B) {
	i := Inspection[float64]{Prior: Prior[float64]{0, 1}, Measuring: 0.3, Tolerance: Within(1.7)}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := i.GuardFor(0.005); err != nil {
			b.Fatal(err)
		}
	}
}
