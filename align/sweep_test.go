package align_test

import (
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// mils makes a four-point sweep of readings in mils.
func mils(top, right, bottom, left float64) align.Sweep {
	m := func(v float64) unit.Length { return unit.Length(v) * align.Mil }
	return align.FourPoint(m(top), m(right), m(bottom), m(left))
}

// requireReadings asserts the readings of got in mils.
func requireReadings(t *testing.T, want []float64, got align.Sweep) {
	t.Helper()
	require.Len(t, got, len(want))
	for i, v := range want {
		require.InDelta(t, v, float64(got[i].Value/align.Mil), 1e-9, "reading %d", i)
	}
}

func TestWaysToWriteASweep(t *testing.T) {
	assert.Equal(t, align.Sweep{{0, 1}, {90, 2}, {180, 3}, {270, 4}}, align.FourPoint(1, 2, 3, 4))
	assert.Equal(t, align.Sweep{{0, 1}, {180, 3}}, align.TopBottom(1, 3))
	assert.Equal(t, align.Sweep{{90, 2}, {270, 4}}, align.Sides(2, 4))
	assert.Equal(t, align.Sweep{{45, 1}, {165, 2}, {285, 3}}, align.EvenSweep(45, 1, 2, 3))
	assert.Empty(t, align.EvenSweep(0))
}

// Piotrowski, Shaft Alignment Handbook, 3rd ed., CRC, 2007, p. 330, Fig. 8.10:
// two sets zeroed at 12 are written as if zeroed on the east side. (The last
// reading of the second set is cut off in the copy read; -10 follows.)
func TestRezeroedPublished(t *testing.T) {
	for _, c := range []struct{ in, want [4]float64 }{
		{[4]float64{0, -50, -40, 10}, [4]float64{50, 0, 10, 60}},
		{[4]float64{0, 30, 20, -10}, [4]float64{-30, 0, -10, -40}},
	} {
		s := mils(c.in[0], c.in[1], c.in[2], c.in[3])
		got, err := s.RezeroedAt(align.Three)
		require.NoError(t, err)
		requireReadings(t, c.want[:], got)
		again, err := s.Rezeroed(1)
		require.NoError(t, err)
		assert.Equal(t, got, again)
		requireReadings(t, c.in[:], s)
		sum, ok := got.SumRule()
		require.True(t, ok)
		assert.InDelta(t, 0, float64(sum), 1e-15, "both printed sets close exactly")
		assert.InDelta(t, float64(s.TIR()), float64(got.TIR()), 1e-15)
	}
}

func TestClosure(t *testing.T) {
	_, ok := mils(0, 1, 2, 3).Closure()
	assert.False(t, ok)
	for _, last := range []align.Clock{0, 360, -720} {
		s := append(mils(0, 1, 2, 3), align.Reading{At: last, Value: 0.5 * align.Mil})
		d, ok := s.Closure()
		assert.True(t, ok)
		assert.InDelta(t, 0.5, float64(d/align.Mil), 1e-12)
		f, err := s.Fit()
		require.NoError(t, err)
		assert.Equal(t, 4, f.Positions, "the closing reading is not one more reading")
	}
	_, ok = align.Sweep{{At: 0}, {At: 360}}.Closure()
	assert.False(t, ok, "two readings are no turn")
}

func TestSumRule(t *testing.T) {
	sum, ok := mils(0, 5, 10, 6).SumRule()
	assert.True(t, ok)
	assert.InDelta(t, -1, float64(sum/align.Mil), 1e-12)
	_, ok = align.TopBottom(0, 1).SumRule()
	assert.False(t, ok)
	_, ok = align.EvenSweep(45, 0, 0, 0, 0).SumRule()
	assert.False(t, ok)
	s := append(align.Sweep{{At: 30, Value: 1}}, mils(0, 5, 10, 6)...)
	s = append(s, align.Reading{At: 450, Value: 1}) // 3 o'clock again: the first one counts
	sum, ok = s.SumRule()
	assert.True(t, ok)
	assert.InDelta(t, -1, float64(sum/align.Mil), 1e-12)
}

func TestMirroredSweep(t *testing.T) {
	s := mils(0, 1, 2, 3)
	got := s.Mirrored()
	f, err := got.Fit()
	require.NoError(t, err)
	want, err := mils(0, 3, 2, 1).Fit()
	require.NoError(t, err)
	assert.InDelta(t, float64(want.Vertical), float64(f.Vertical), 1e-18)
	assert.InDelta(t, float64(want.Horizontal), float64(f.Horizontal), 1e-18)
	twice := got.Mirrored()
	for i := range s {
		assert.Equal(t, s[i].At.Normal(), twice[i].At.Normal())
	}
}

func TestMeanAndRepeatability(t *testing.T) {
	a := mils(0, 4, 10, 6)
	b := mils(20, 25, 30, 25) // another zero: less its level of 25, -5 0 5 0; a less 5 is -5 -1 5 1
	m, rep, err := align.Mean(a, b)
	require.NoError(t, err)
	requireReadings(t, []float64{-5, -0.5, 5, 0.5}, m)
	assert.InDelta(t, 1, float64(rep/align.Mil), 1e-9)

	// Levels 5 and 25.25: differences 0.25, 1.75, 0.25 and 1.25, the largest not last.
	_, rep, err = align.Mean(a, mils(20, 26, 30, 25))
	require.NoError(t, err)
	assert.InDelta(t, 1.75, float64(rep/align.Mil), 1e-9)

	one, rep, err := align.Mean(a)
	require.NoError(t, err)
	requireReadings(t, []float64{-5, -1, 5, 1}, one)
	assert.Zero(t, rep)

	three, rep, err := align.Mean(a, b, mils(1, 5, 11, 7))
	require.NoError(t, err)
	requireReadings(t, []float64{-5, -2.0 / 3, 5, 2.0 / 3}, three)
	assert.InDelta(t, 1, float64(rep/align.Mil), 1e-9)

	closed := append(mils(0, 4, 10, 6), align.Reading{At: 360, Value: 0.4 * align.Mil})
	m, _, err = align.Mean(closed, closed)
	require.NoError(t, err)
	requireReadings(t, []float64{-5, -1, 5, 1, -4.6}, m)
}

// A pump handbook's chapter on centrifugal pumps, Fig. 19 (the wording is that
// of Karassik et al., Pump Handbook; attribution from memory): a bracket that
// rolls over to -6 mil, readings 0, 5, 10, 5, corrected 0, 8, 16, 8.
func TestCorrectPublishedRollOver(t *testing.T) {
	sag := align.RollOver(-6 * align.Mil)
	got := sag.Correct(mils(0, 5, 10, 5))
	requireReadings(t, []float64{0, 8, 16, 8}, got)
	f, err := got.Fit()
	require.NoError(t, err)
	assert.InDelta(t, -8, float64(f.Vertical/align.Mil), 1e-9, "bottom reads plus: the touched shaft is low by 8")
	assert.InDelta(t, 3, float64(sag.Droop()/align.Mil), 1e-12)
}

// Bloch and Geitner, Machinery Component Maintenance and Repair, chapter 5,
// p. 186: the test relieves the bracket once, -0.004 in, and so the bottom
// reading of 0.160 in becomes 0.168 in.
func TestCorrectPublishedSingleDeflection(t *testing.T) {
	sag := align.SingleDeflection(-4 * align.Mil)
	requireReadings(t, []float64{0, 168}, sag.Correct(align.TopBottom(0, 160*align.Mil)))
	roll, ok := sag.RollOver()
	assert.True(t, ok)
	assert.InDelta(t, -8, float64(roll/align.Mil), 1e-12)
}

func TestSag(t *testing.T) {
	sag := align.RollOver(-6 * align.Mil)
	for _, c := range []struct {
		at   align.Clock
		want float64
	}{{0, 0}, {90, -3}, {180, -6}, {270, -3}, {60, -1.5}} {
		assert.InDelta(t, c.want, float64(sag.At(c.at)/align.Mil), 1e-12)
	}
	assert.Equal(t, "-0.1524 mm roll-over", sag.String())
	assert.Equal(t, "not measured", align.Sag{}.String())
	_, ok := align.Sag{}.RollOver()
	assert.False(t, ok, "not measured is not zero")
	roll, ok := align.NoSag().RollOver()
	assert.True(t, ok)
	assert.Zero(t, roll)
	assert.Empty(t, sag.Correct(nil))
}

// Wherever the dial was zeroed, a sweep corrected by hand and solved with no sag
// gives what the sag given with the dial gives.
func TestCorrectedSweepEqualsSagGiven(t *testing.T) {
	m := goodReverse()
	want := mustSolve(t, m)
	for i := range m.Dials {
		s, err := m.Dials[i].Sweep.Rezeroed(i + 1)
		require.NoError(t, err)
		s = append(s[2:], s[:2]...) // and starting elsewhere
		m.Dials[i].Sweep = m.Dials[i].Sag.Correct(s)
		m.Dials[i].Sag = align.NoSag()
	}
	requireAxis(t, want.Axis, mustSolve(t, m).Axis, 1e-15)
}

// Bloch and Geitner, p. 215: two face dials half a turn apart read -0.008 and
// +0.010 in; half of the difference, -0.009 in, is free of float.
func TestCancelFloatPublished(t *testing.T) {
	face, axial, err := align.CancelFloat(
		align.TopBottom(0, -8*align.Mil), align.Sweep{{At: 180}, {At: 0, Value: 10 * align.Mil}})
	require.NoError(t, err)
	requireReadings(t, []float64{0, -9}, face)
	assert.InDelta(t, 1, float64(axial[1]/align.Mil), 1e-12)
	assert.Zero(t, axial[0])
}

func TestCancelFloatTakesOutAnyFloat(t *testing.T) {
	d := align.Dial{Surface: align.FaceToward, Diameter: 0.2, Sag: align.NoSag()}
	a := align.Axis{Vertical: align.Line{Slope: 0.001}, Horizontal: align.Line{Slope: -0.002}}
	at := []align.Clock{0, 50, 130, 200, 310}
	over := make([]align.Clock, len(at))
	for i, c := range at {
		over[i] = c + 180
	}
	one, err := d.Predict(a, align.Spool{}, 0, at...)
	require.NoError(t, err)
	other, err := d.Predict(a, align.Spool{}, 180, over...)
	require.NoError(t, err)
	for i, shift := range []unit.Length{0, 1e-4, -3e-4, 2e-4, 5e-4} {
		one[i].Value += shift
		other[i].Value += shift
	}
	face, axial, err := align.CancelFloat(one, other)
	require.NoError(t, err)
	f, err := face.Fit()
	require.NoError(t, err)
	assert.InDelta(t, 0.1*0.001, float64(f.Vertical), 1e-15)
	assert.InDelta(t, 0.1*-0.002, float64(f.Horizontal), 1e-15)
	assert.InDelta(t, 5e-4, float64(axial[4]), 1e-15)
}

// Carrier 17/19EX, the half-turn rule, in one signed formula: what stays is the
// shafts', what turns is the hubs'.
func TestHalfTurn(t *testing.T) {
	shafts := align.Offset{Vertical: 0.12e-3, Horizontal: -0.03e-3}
	hubs := align.Offset{Vertical: -0.02e-3, Horizontal: 0.05e-3}
	h := align.HalfTurn{Before: shafts.Add(hubs), After: shafts.Sub(hubs)}
	assert.InDelta(t, 0, float64(h.Misalignment().Sub(shafts).Resultant()), 1e-18)
	assert.InDelta(t, 0, float64(h.HubError().Sub(hubs).Resultant()), 1e-18)
}
