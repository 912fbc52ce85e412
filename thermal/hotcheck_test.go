package thermal

import (
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

func curve(stop, final, tau float64, times ...float64) (rs []CoolReading) {
	for _, t := range times {
		v := final + (stop-final)*math.Exp(-t/tau)
		rs = append(rs, CoolReading{unit.Time(t), unit.Length(v)})
	}
	return rs
}

func TestHotCheckRecoversTheCurve(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 400 {
		stop, final := 1e-3*r.NormFloat64(), 1e-3*r.NormFloat64()
		tau := 600 * math.Exp(2*r.NormFloat64())
		var times []float64
		at := 0.2 * tau * r.Float64()
		for range 3 + r.IntN(6) {
			times = append(times, at)
			at += tau * (0.2 + 0.5*r.Float64())
		}
		c, err := HotCheck{Readings: curve(stop, final, tau, times...)}.Solve()
		require.NoError(t, err)
		size := math.Abs(stop - final)
		require.InDelta(t, stop, float64(c.AtStop), 1e-8*size)
		require.InDelta(t, final, float64(c.Final), 1e-8*size)
		require.InDelta(t, tau, float64(c.Constant), 1e-7*tau)
		require.Equal(t, c.AtStop, c.At(0))
		require.Equal(t, c.AtStop, c.At(unit.Time(math.Inf(-1))))
		require.InDelta(t, final+(stop-final)/math.E, float64(c.At(unit.Time(tau))), 1e-7*size)
	}
}

// For readings at equal intervals the ratio of the two changes is exp(-h/tau).
func TestHotCheckOfThreeAgainstClosedForm(t *testing.T) {
	mm := float64(align.Millimetre)
	v1, v2, v3 := 0.40*mm, 0.30*mm, 0.24*mm // ratio 0.6
	h := 600.0
	c, err := HotCheck{Readings: []CoolReading{
		{600, unit.Length(v1)}, {1200, unit.Length(v2)}, {1800, unit.Length(v3)},
	}}.Solve()
	require.NoError(t, err)
	require.InDelta(t, -h/math.Log(0.6), float64(c.Constant), 1e-6)
	require.InDelta(t, v1-(v2-v1)*(v2-v1)/(v3-2*v2+v1), float64(c.Final), 1e-12) // Aitken's limit
	final := float64(c.Final)
	require.InDelta(t, final+(v1-final)/0.6, float64(c.AtStop), 1e-12)
	require.Nil(t, c.Sigma)
	require.Zero(t, c.DegreesOfFreedom)
}

func TestHotCheckRefusesWhatDeterminesNothing(t *testing.T) {
	mm := align.Millimetre
	line := func(f func(t float64) float64, times ...float64) (rs []CoolReading) {
		for _, t := range times {
			rs = append(rs, CoolReading{unit.Time(t), unit.Length(f(t)) * mm})
		}
		return rs
	}
	for name, rs := range map[string][]CoolReading{
		"straight, three":  line(func(t float64) float64 { return 0.4 - 1e-4*t }, 60, 600, 1200),
		"straight, five":   line(func(t float64) float64 { return 0.4 - 1e-4*t }, 60, 600, 1200, 1800, 2500),
		"wrong bend three": line(func(t float64) float64 { return 0.4 - 1e-7*t*t }, 60, 600, 1200),
		"wrong bend five":  line(func(t float64) float64 { return 0.4 - 1e-7*t*t }, 60, 600, 1200, 1500, 1900),
		"no change":        line(func(float64) float64 { return 0.4 }, 60, 600, 1200, 1800),
		"settled":          line(func(t float64) float64 { return map[bool]float64{true: 0.4, false: 0.1}[t < 100] }, 60, 600, 1200, 1800),
		"settled, three":   line(func(t float64) float64 { return map[bool]float64{true: 0.4, false: 0.1}[t < 100] }, 60, 600, 1200),
		"zigzag three":     line(func(t float64) float64 { return map[bool]float64{true: 0.4, false: 0.1}[t == 600] }, 60, 600, 1200),
	} {
		_, err := HotCheck{Readings: rs}.Solve()
		require.ErrorIs(t, err, align.ErrUndetermined, name)
	}
	// A record that starts twenty time constants late says nothing of the stop.
	c, err := HotCheck{Readings: curve(0.001, 0, 60, 12000, 12030, 12060, 12100)}.Solve()
	if err != nil {
		require.ErrorIs(t, err, align.ErrUndetermined)
		return
	}
	require.NotEmpty(t, c.Warnings)
}

func TestHotCheckErrors(t *testing.T) {
	good := curve(1e-3, 0, 600, 60, 300, 600, 900)
	change := func(f func(rs []CoolReading)) []CoolReading {
		rs := append([]CoolReading(nil), good...)
		f(rs)
		return rs
	}
	nan := math.NaN()
	for _, c := range []struct {
		h    HotCheck
		want error
	}{
		{HotCheck{}, ErrTooFewReadings},
		{HotCheck{Readings: good[:2]}, ErrTooFewReadings},
		{HotCheck{Readings: change(func(r []CoolReading) { r[1].After = r[0].After })}, ErrNotAscending},
		{HotCheck{Readings: change(func(r []CoolReading) { r[2].After = 10 })}, ErrNotAscending},
		{HotCheck{Readings: change(func(r []CoolReading) { r[0].After = -1 })}, align.ErrNegative},
		{HotCheck{Readings: change(func(r []CoolReading) { r[3].After = unit.Time(nan) })}, align.ErrNotFinite},
		{HotCheck{Readings: change(func(r []CoolReading) { r[3].After = 1e12 })}, align.ErrOutOfRange},
		{HotCheck{Readings: change(func(r []CoolReading) { r[3].Value = unit.Length(math.Inf(1)) })}, align.ErrNotFinite},
		{HotCheck{Readings: change(func(r []CoolReading) { r[3].Value = 1000 })}, align.ErrOutOfRange},
		{HotCheck{Readings: good, Sigma: -1}, align.ErrNegative},
		{HotCheck{Readings: good, Sigma: unit.Length(nan)}, align.ErrNotFinite},
	} {
		_, err := c.h.Solve()
		require.ErrorIs(t, err, c.want)
		var e *align.InputError
		require.ErrorAs(t, err, &e)
		require.Equal(t, "thermal", e.Package)
	}
}

// The stated uncertainty must be the scatter that noise of that size gives.
func TestHotCheckUncertaintyAgainstSimulation(t *testing.T) {
	const noise, n = 1e-6, 4000
	r := rand.New(rand.NewPCG(9, 9))
	clean := curve(5e-4, 1e-4, 2400, 300, 900, 1800, 3600, 5400, 7200, 10800)
	var sum, squares [3]float64
	var said CoolingSigma
	for k := range n {
		rs := append([]CoolReading(nil), clean...)
		for i := range rs {
			if k > 0 {
				rs[i].Value += unit.Length(noise * r.NormFloat64())
			}
		}
		c, err := HotCheck{Readings: rs, Sigma: noise}.Solve()
		require.NoError(t, err)
		if k == 0 {
			said = *c.Sigma
			continue
		}
		for i, v := range []float64{float64(c.AtStop), float64(c.Final), float64(c.Constant)} {
			sum[i] += v
			squares[i] += v * v
		}
	}
	for i, want := range []float64{float64(said.AtStop), float64(said.Final), float64(said.Constant)} {
		mean := sum[i] / (n - 1)
		got := math.Sqrt(squares[i]/(n-1) - mean*mean)
		require.InEpsilon(t, want, got, 0.06) // five standard errors of a deviation from 4000 trials
	}
}

func TestHotCheckScalesAndShifts(t *testing.T) {
	rs := curve(5e-4, 1e-4, 2400, 300, 900, 1800, 3600, 7200)
	rs[2].Value += 4e-6
	rs[3].Value -= 3e-6
	base, err := HotCheck{Readings: rs}.Solve()
	require.NoError(t, err)
	var other []CoolReading
	for _, r := range rs { // another zero of the dial, seen from the other side, in other units
		other = append(other, CoolReading{r.After, -25.4*r.Value + 0.003})
	}
	c, err := HotCheck{Readings: other}.Solve()
	require.NoError(t, err)
	require.InEpsilon(t, float64(base.Constant), float64(c.Constant), 1e-9)
	require.InDelta(t, float64(-25.4*base.AtStop+0.003), float64(c.AtStop), 1e-11)
	require.InEpsilon(t, float64(25.4*base.Sigma.AtStop), float64(c.Sigma.AtStop), 1e-6)
}

func TestHotCheckWarnsOfALateStart(t *testing.T) {
	c, err := HotCheck{Readings: curve(5e-4, 1e-4, 1200, 900, 1500, 2400, 3600)}.Solve()
	require.NoError(t, err)
	require.Len(t, c.Warnings, 1)
	require.Equal(t, align.WarnExtrapolation, c.Warnings[0].Code)
	require.InDelta(t, 900, c.Warnings[0].Value, 1e-9)
	require.InDelta(t, 600, c.Warnings[0].Limit, 1e-4)

	c, err = HotCheck{Readings: curve(5e-4, 1e-4, 1200, 60, 300, 600, 3000)}.Solve()
	require.NoError(t, err)
	require.Empty(t, c.Warnings)

	c, err = HotCheck{Readings: curve(5e-4, 1e-4, 1200, 60, 120, 200, 300), Sigma: 2e-5}.Solve()
	require.NoError(t, err)
	require.Equal(t, []align.WarningCode{align.WarnExtrapolation, WarnTimeConstant},
		[]align.WarningCode{c.Warnings[0].Code, c.Warnings[1].Code})
}

func BenchmarkHotCheck(b *testing.B) {
	h := HotCheck{Readings: curve(5e-4, 1e-4, 2400, 300, 900, 1800, 3600, 7200)}
	b.ReportAllocs()
	for b.Loop() {
		_, _ = h.Solve()
	}
}

// Whatever the readings are, what comes back is an error or finite numbers.
func FuzzHotCheck(f *testing.F) {
	f.Add(60.0, 600.0, 900.0, 1800.0, 0.4, 0.3, 0.25, 0.2, 0.0)
	f.Add(0.0, 1e-3, 2e-3, 1e9, 1.0, 0.5, 0.25, 0.0, 1e-6)
	f.Fuzz(func(t *testing.T, t1, t2, t3, t4, v1, v2, v3, v4, sigma float64) {
		rs := []CoolReading{
			{unit.Time(t1), unit.Length(v1)}, {unit.Time(t2), unit.Length(v2)},
			{unit.Time(t3), unit.Length(v3)}, {unit.Time(t4), unit.Length(v4)},
		}
		for _, n := range []int{3, 4} {
			c, err := HotCheck{Readings: rs[:n], Sigma: unit.Length(sigma)}.Solve()
			if err != nil {
				require.NotEmpty(t, align.CodeOf(err))
				continue
			}
			all := []float64{float64(c.AtStop), float64(c.Final), float64(c.Constant), float64(c.RMS)}
			if s := c.Sigma; s != nil {
				all = append(all, float64(s.AtStop), float64(s.Final), float64(s.Constant))
			}
			for _, w := range c.Warnings {
				all = append(all, w.Value, w.Limit)
			}
			for _, v := range all {
				if !align.IsFinite(v) {
					t.Fatalf("%v: %v", rs[:n], c)
				}
			}
			require.Greater(t, float64(c.Constant), 0.0)
		}
	})
}
