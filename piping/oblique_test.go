package piping_test

import (
	"math"
	"testing"

	"collinear.example/align"
	"collinear.example/piping"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

func of(v float64) align.Movement { return align.Movement(unit.Length(v) * align.Millimetre) }

// Up 0.05 and right 0.05 read 0.07071 at 45 degrees and nothing at 135.
func TestObliqueGeometry(t *testing.T) {
	for _, c := range []struct {
		at   align.Clock
		want float64
	}{{45, 0.07071}, {135, 0}} {
		left, err := piping.Oblique{At: c.at, Reading: of(c.want)}.Redundancy(of(0.05), of(0.05))
		require.NoError(t, err)
		assert.InDelta(t, 0, float64(left)*1e3, 5e-6)
	}
	o := piping.Oblique{At: 45, Reading: of(-0.03)}
	most, err := o.MostWithin(0.05 * align.Millimetre)
	require.NoError(t, err)
	assert.InDelta(t, 0.07071, float64(most)*1e3, 5e-6)
	least, err := o.Least()
	require.NoError(t, err)
	assert.InDelta(t, 0.03, float64(least)*1e3, 1e-12)
	after, before, err := o.Blind()
	require.NoError(t, err)
	assert.Equal(t, align.Clock(135), after)
	assert.Equal(t, align.Clock(315), before)
}

// What a lone dial can prove, against a search over every movement within the
// limits: a reading at or below the most proves nothing, one above proves that a
// limit is broken.
func TestObliqueProof(t *testing.T) {
	limit := 0.05
	for at := align.Clock(0); at < 360; at += 7.5 {
		largest := 0.0
		up, right := at.Unit()
		for i := -20; i <= 20; i++ {
			for j := -20; j <= 20; j++ {
				largest = math.Max(largest, limit*(float64(i)/20*up+float64(j)/20*right))
			}
		}
		for reading, want := range map[float64]piping.Outcome{
			largest * 0.999: piping.Undecided, -largest * 0.999: piping.Undecided, 0: piping.Undecided,
			largest * 1.001: piping.Over, -largest * 1.001: piping.Over,
		} {
			got, err := piping.Oblique{At: at, Reading: of(reading)}.Judge(unit.Length(limit) * align.Millimetre)
			require.NoError(t, err)
			assert.Equal(t, want, got, "%v %v", at, reading)
		}
	}
}

// Least visible movement: along the dial the resolution, 60 degrees off twice
// that, across it none.
func TestObliqueVisible(t *testing.T) {
	o := piping.Oblique{At: 45}
	for _, c := range []struct {
		toward align.Clock
		want   float64
		ok     bool
	}{{45, 0.01, true}, {225, 0.01, true}, {105, 0.02, true}, {0, 0.01 * math.Sqrt2, true}, {135, 0, false}, {315, 0, false}} {
		got, ok, err := o.Visible(c.toward, of(0.01))
		require.NoError(t, err)
		assert.Equal(t, c.ok, ok, c.toward)
		assert.InDelta(t, c.want, float64(got)*1e3, 1e-12)
	}
}

func TestObliqueRefuses(t *testing.T) {
	nan := math.NaN()
	for name, c := range map[string]struct {
		f    func() error
		code string
	}{
		"at":         {func() error { _, err := piping.Oblique{At: align.Clock(nan)}.Least(); return err }, "not-finite"},
		"reading":    {func() error { _, _, err := piping.Oblique{Reading: align.Movement(nan)}.Blind(); return err }, "not-finite"},
		"unit":       {func() error { _, err := piping.Oblique{Reading: 2}.Least(); return err }, "out-of-range"},
		"toward":     {func() error { _, _, err := piping.Oblique{}.Visible(align.Clock(nan), 0); return err }, "not-finite"},
		"least":      {func() error { _, _, err := piping.Oblique{}.Visible(0, -1e-5); return err }, "negative"},
		"limit":      {func() error { _, err := piping.Oblique{}.Judge(-1e-5); return err }, "negative"},
		"limit size": {func() error { _, err := piping.Oblique{}.MostWithin(3); return err }, "out-of-range"},
		"vertical":   {func() error { _, err := piping.Oblique{}.Redundancy(align.Movement(nan), 0); return err }, "not-finite"},
		"horizontal": {func() error { _, err := piping.Oblique{}.Redundancy(0, 5); return err }, "out-of-range"},
	} {
		assert.Equal(t, c.code, align.CodeOf(c.f()), name)
	}
}

// In a test, a lone dial at 45 degrees leaves both planes open and says so; only
// a reading over 1.414 times the limit decides anything.
func TestLoneOblique(t *testing.T) {
	for reading, want := range map[float64]piping.Outcome{0: piping.Undecided, 0.07: piping.Undecided, -0.0708: piping.Over} {
		test := hubTest(flangeStep("make", piping.Tighten, "suction", dialsShow(reading)))
		test.Indicators = test.Indicators[:1]
		test.Indicators[0].At, test.Indicators[0].Toward = placeMM(0, 56, 56), piping.StandingAt(45)
		r := resultOf(t, test)
		assert.Contains(t, codes(r.Warnings), piping.WarnLoneOblique)
		vs, err := r.Judge(piping.MovementLimits()[0])
		require.NoError(t, err)
		for _, v := range vs {
			if v.Quantity == "oblique" {
				assert.Equal(t, want, v.Outcome, reading)
				continue
			}
			assert.Equal(t, piping.Undecided, v.Outcome)
		}
		assert.Equal(t, "oblique", vs[len(vs)-1].Quantity)
	}
}
