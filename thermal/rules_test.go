package thermal_test

import (
	"math"
	"testing"

	"collinear.example/align"
	"collinear.example/thermal"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// A motor 15 in high that warms by 80 degC, which is 144 degF: the four rules
// give 12.96, 6.48, 8.75 and 5 mil. Adding 32 to the difference would give 15.84.
func TestRulesOfThumbDisagree(t *testing.T) {
	got, ws, err := thermal.RulesOfThumb(15*align.Inch, 80*align.CelsiusRise)
	require.NoError(t, err)
	for i, want := range []float64{15 * 6e-3 * 144, 15 * 6e-3 * 144 / 2, 7 * 15.0 / 12, 4 * 15.0 / 12} {
		require.Equal(t, thermal.Rule(i), got[i].Rule)
		require.InDelta(t, want, float64(got[i].Growth/align.Mil), 1e-9)
	}
	require.Greater(t, math.Abs(float64(got[0].Growth/align.Mil)-15.84), 2.0)
	require.Len(t, ws, 1)
	require.Equal(t, thermal.WarnRules, ws[0].Code)
	require.InDelta(t, 12.96, align.UnitMil.FromSI(ws[0].Value), 1e-9)
	require.InDelta(t, 5, align.UnitMil.FromSI(ws[0].Limit), 1e-9)
}

func TestRulesAreCommonPractice(t *testing.T) {
	for r := thermal.RiseOfHeight; r <= thermal.FourMilPerFoot; r++ {
		source, known := r.Source()
		require.Contains(t, source, "p. 236")
		require.Equal(t, align.CommonPractice, known)
		require.NotEqual(t, "unknown rule", r.String())
	}
	require.Equal(t, "unknown rule", thermal.Rule(9).String())
}

// No wish of the temperature: the rules by the foot give the same at any rise,
// and all rules are in proportion to height.
func TestRulesScale(t *testing.T) {
	for r := thermal.RiseOfHeight; r <= thermal.FourMilPerFoot; r++ {
		one, err := r.Growth(0.4, 30)
		require.NoError(t, err)
		two, err := r.Growth(0.8, 30)
		require.NoError(t, err)
		require.InDelta(t, 2*float64(one), float64(two), 1e-18)
		warm, err := r.Growth(0.4, 60)
		require.NoError(t, err)
		want := one
		if r <= thermal.HalfRiseOfHeight {
			want = 2 * one
		}
		require.InDelta(t, float64(want), float64(warm), 1e-18)
	}
}

func TestBadRules(t *testing.T) {
	for _, c := range []struct {
		field  string
		height unit.Length
		rise   align.TempRise
		fault  align.Fault
	}{
		{"height", 0, 10, align.ErrMissing},
		{"height", -1, 10, align.ErrNegative},
		{"height", unit.Length(math.NaN()), 10, align.ErrNotFinite},
		{"height", 1e8, 10, align.ErrOutOfRange},
		{"rise", 1, -10, align.ErrNegative},
		{"rise", 1, align.TempRise(math.Inf(1)), align.ErrNotFinite},
		{"rise", 1, 1e6, align.ErrOutOfRange},
	} {
		_, _, err := thermal.RulesOfThumb(c.height, c.rise)
		require.ErrorIs(t, err, c.fault)
		var e *align.InputError
		require.ErrorAs(t, err, &e)
		require.Equal(t, c.field, e.Field)
	}
	_, err := thermal.Rule(4).Growth(1, 10)
	require.ErrorIs(t, err, align.ErrUnknownKind)
}
