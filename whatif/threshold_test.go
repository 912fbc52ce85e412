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

func plainScan(from, to float64, intervals int, width float64) whatif.Scan[float64] {
	return whatif.Scan[float64]{Name: "v", Unit: align.UnitOne, From: from, To: to, Intervals: intervals, Width: width}
}

// sin v >= 0 on -1 to 10: passes from 0 to pi and from 2 pi to 3 pi.
func TestThresholdFindsAllChanges(t *testing.T) {
	p, err := whatif.Threshold(context.Background(), plainScan(-1, 10, 20, 1e-9), func(v float64) (bool, error) {
		return math.Sin(v) >= 0, nil
	})
	require.NoError(t, err)
	require.Len(t, p.Changes, 4)
	for i, want := range []float64{0, math.Pi, 2 * math.Pi, 3 * math.Pi} {
		c := p.Changes[i]
		assert.Equal(t, i%2 == 0, c.PassesAbove())
		assert.LessOrEqual(t, math.Abs(c.Passes-c.Fails), 1e-9)
		assert.LessOrEqual(t, math.Min(c.Passes, c.Fails), want+1e-15)
		assert.GreaterOrEqual(t, math.Max(c.Passes, c.Fails), want-1e-15)
	}
	assert.False(t, p.AtFrom)
	assert.False(t, p.AtTo)
	assert.Equal(t, 21, p.Points)
	// 0.55 over 2^30 is 5e-10, over 2^29 still 1.02e-9.
	assert.Equal(t, 21+4*30, p.Runs)
}

func TestWherePassingIsSaid(t *testing.T) {
	p, err := whatif.Threshold(context.Background(), plainScan(0, 8, 8, 0.5), func(v float64) (bool, error) {
		return v >= 2 && v <= 4 || v >= 6, nil
	})
	require.NoError(t, err)
	assert.Equal(t, []whatif.Change[float64]{{Fails: 1.5, Passes: 2}, {Fails: 4.5, Passes: 4}, {Fails: 5.5, Passes: 6}}, p.Changes)
	assert.Equal(t, "passes from 2 to 4 and from 6 to 8", p.String())
}

func TestThresholdEverywhereAndNowhere(t *testing.T) {
	for _, yes := range []bool{true, false} {
		p, err := whatif.Threshold(context.Background(), plainScan(0, 1, 4, 0.1), func(float64) (bool, error) { return yes, nil })
		require.NoError(t, err)
		assert.Equal(t, yes, p.Everywhere)
		assert.Equal(t, !yes, p.Nowhere)
		assert.Empty(t, p.Changes)
		assert.Contains(t, p.String(), "5 points scanned, from 0 to 1")
	}
}

// Along a knob, by hand: the outboard move -(3.75 S + 10.35) mil is within 5 mil
// for sags from -4.0933 to -1.4267 mil.
func TestThresholdAlong(t *testing.T) {
	s := footStudy()
	k := whatif.RangeWith("sag", align.UnitMil, setSag, 0, -8*align.Mil, 9)
	p, err := whatif.ThresholdAlong(context.Background(), &s, k, 0.001*align.Mil, func(f feet) bool { return f.Verdict == "within" })
	require.NoError(t, err)
	require.Len(t, p.Changes, 2)
	assert.InDelta(t, -15.35/3.75, float64(p.Changes[0].Passes/align.Mil), 0.001)
	assert.InDelta(t, -5.35/3.75, float64(p.Changes[1].Passes/align.Mil), 0.001)

	roots, err := whatif.RootsAlong(context.Background(), &s, k, 1e-6*align.Mil, 0, func(f feet) unit.Length { return f.Moves.Outboard.Vertical })
	require.NoError(t, err)
	require.Len(t, roots, 1)
	assert.InDelta(t, -10.35/3.75, float64(roots[0].At()/align.Mil), 1e-6)
	assert.False(t, roots[0].Rising())

	_, err = whatif.ThresholdAlong(context.Background(), &s, k, align.Clock(1), func(feet) bool { return true })
	require.ErrorIs(t, err, align.ErrMismatch)
	list := whatif.ListWith("sag", align.UnitMil, setSag, 0, 1)
	_, err = whatif.ThresholdAlong(context.Background(), &s, list, align.Mil, func(feet) bool { return true })
	require.ErrorIs(t, err, whatif.ErrNotARange)
	_, err = whatif.ThresholdAlong(context.Background(), &s, k, align.Mil, nil)
	require.ErrorIs(t, err, align.ErrMissing)
}

func TestThresholdReportsThePoint(t *testing.T) {
	job := twoDials()
	scan := whatif.Scan[unit.Length]{Name: "dial distance", Unit: align.UnitInch, From: -4 * align.Inch, To: 4 * align.Inch,
		Intervals: 2, Width: align.Mil}
	_, err := whatif.Threshold(context.Background(), scan, func(d unit.Length) (bool, error) {
		j := job
		j.OnFar.Station = d
		_, err := computeFeet(&j)
		return true, err
	})
	require.ErrorIs(t, err, uncertainty.ErrTrialFailed)
	require.ErrorIs(t, err, align.ErrCoincident)
	assert.Contains(t, err.Error(), "whatif: dial distance = 0 in: ")
}

// The root of each closed form, with its slope.
func TestRoots(t *testing.T) {
	for name, c := range map[string]struct {
		f        func(float64) float64
		from, to float64
		value    float64
		want     float64
	}{
		"square":  {func(v float64) float64 { return v * v }, 0.5, 9, 2, math.Sqrt2},
		"cosine":  {func(v float64) float64 { return math.Cos(v) - v }, 0, 1, 0, 0.7390851332151607}, // fixed point of cos, from memory; cos of it is itself
		"exp":     {math.Exp, -50, 60, 3, math.Log(3)},
		"cube":    {func(v float64) float64 { return v * v * v }, -1, 1.5, 0, 0},
		"ninth":   {func(v float64) float64 { return math.Pow(v-1, 9) }, -3, 2, 0, 1},
		"falling": {func(v float64) float64 { return -math.Atan(v - 3) }, -1000, 7, 0, 3},
		"huge":    {func(v float64) float64 { return 1e300 * (v - 5) }, -1, 20, 0, 5},
	} {
		runs := 0
		got, err := whatif.Root(context.Background(), plainScan(c.from, c.to, 0, 1e-10), c.value, func(v float64) (float64, error) {
			runs++
			return c.f(v), nil
		})
		require.NoError(t, err, name)
		assert.InDelta(t, c.want, got.At(), 1e-10, name)
		assert.LessOrEqual(t, got.High-got.Low, 1e-10, name)
		most := 2 + 1 + int(math.Ceil(math.Log2((c.to-c.from)/1e-10))) // both ends, one more than bisection
		assert.LessOrEqual(t, runs, most, name)
		if name == "square" || name == "cosine" {
			assert.Less(t, runs, most/2, name+" interpolates")
		}
	}
	all, err := whatif.Roots(context.Background(), plainScan(-1, 10, 20, 1e-9), 0, func(v float64) (float64, error) { return math.Sin(v), nil })
	require.NoError(t, err)
	require.Len(t, all, 4)
	for i := range all {
		assert.InDelta(t, float64(i)*math.Pi, all[i].At(), 1e-9)
		assert.Equal(t, i%2 == 0, all[i].Rising())
	}
	touch, err := whatif.Roots(context.Background(), plainScan(-1, 1, 2, 1e-9), 0, func(v float64) (float64, error) { return v * v, nil })
	require.NoError(t, err)
	assert.Equal(t, []whatif.Crossing[float64, float64]{{}}, touch)
	jump, err := whatif.Root(context.Background(), plainScan(-1, 2, 1, 1e-9), 0, func(v float64) (float64, error) { return math.Copysign(7, v-1), nil })
	require.NoError(t, err)
	assert.Equal(t, 14.0, jump.AtHigh-jump.AtLow)
}

func TestScanFaults(t *testing.T) {
	yes := func(float64) (bool, error) { return true, nil }
	for name, c := range map[string]struct {
		scan whatif.Scan[float64]
		want align.Fault
	}{
		"order":     {plainScan(1, 0, 1, 1), align.ErrOutOfRange},
		"width":     {plainScan(0, 1, 1, 0), align.ErrOutOfRange},
		"nan width": {plainScan(0, 1, 1, math.NaN()), align.ErrNotFinite},
		"nan":       {plainScan(math.NaN(), 1, 1, 1), align.ErrNotFinite},
		"wide":      {plainScan(-1.7e308, 1.7e308, 1, 1), align.ErrNotFinite},
		"none":      {plainScan(0, 1, 0, 1), align.ErrOutOfRange},
		"many":      {plainScan(0, 1, math.MaxInt, 1), align.ErrOutOfRange},
		"unit":      {whatif.Scan[float64]{To: 1, Intervals: 1, Width: 1}, align.ErrUnknownUnit},
	} {
		_, err := whatif.Threshold(context.Background(), c.scan, yes)
		require.ErrorIs(t, err, c.want, name)
	}
	_, err := whatif.Threshold(context.Background(), plainScan(0, 1, 1, 1), nil)
	require.ErrorIs(t, err, align.ErrMissing)
	f := func(v float64) (float64, error) { return 1 / v, nil }
	_, err = whatif.Root(context.Background(), plainScan(1, 2, 1, 1), 0, f)
	require.ErrorIs(t, err, whatif.ErrNoCrossing)
	_, err = whatif.Root(context.Background(), plainScan(0, 2, 1, 1), 0, f)
	require.ErrorIs(t, err, align.ErrNotFinite)
	_, err = whatif.Root(context.Background(), plainScan(1, 2, 1, 1), math.NaN(), f)
	require.ErrorIs(t, err, align.ErrNotFinite)
	ctx, stop := context.WithCancel(context.Background())
	stop()
	_, err = whatif.Threshold(ctx, plainScan(0, 1, 1, 1), yes)
	require.ErrorIs(t, err, uncertainty.ErrCancelled)
}

// FuzzThreshold: a step at any place is found to the width, or to the last bit,
// or an error has a code.
func FuzzThreshold(f *testing.F) {
	f.Add(0.0, 1.0, uint16(4), 1e-6, 0.3)
	f.Add(-1e300, 1e300, uint16(1), 5e-324, 1e-300)
	f.Add(math.NaN(), 1.0, uint16(0), math.Inf(1), 0.0)
	f.Fuzz(func(t *testing.T, from, to float64, n uint16, width, place float64) {
		scan := plainScan(from, to, int(n%500), width)
		p, err := whatif.Threshold(context.Background(), scan, func(v float64) (bool, error) { return v >= place, nil })
		roots, err2 := whatif.Roots(context.Background(), scan, 0, func(v float64) (float64, error) {
			if v >= place {
				return 1, nil
			}
			return -1, nil
		})
		require.Equal(t, align.CodeOf(err), align.CodeOf(err2))
		if err != nil {
			require.NotEmpty(t, align.CodeOf(err))
			return
		}
		require.Equal(t, from >= place, p.AtFrom)
		require.Equal(t, to >= place, p.AtTo)
		require.NotEmpty(t, p.String())
		if p.AtFrom == p.AtTo {
			require.Empty(t, p.Changes)
			require.Empty(t, roots)
			return
		}
		require.Len(t, p.Changes, 1)
		require.Len(t, roots, 1)
		c := p.Changes[0]
		require.True(t, c.PassesAbove())
		require.True(t, c.Fails < place && place <= c.Passes)
		require.True(t, c.Passes-c.Fails <= width || math.Nextafter(c.Fails, math.Inf(1)) == c.Passes)
		r := roots[0]
		require.True(t, r.Low < place && place <= r.High)
		require.True(t, r.High-r.Low <= width || math.Nextafter(r.Low, math.Inf(1)) == r.High)
	})
}
