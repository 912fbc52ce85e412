package piping_test

import (
	"testing"

	"collinear.example/align"
	"collinear.example/piping"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The limits as published, converted: 0.05 mm; 0.003 in = 0.0762 mm; 0.001 in =
// 0.0254 mm; 0.002 in = 0.0508 mm; 3 and 4 mil of common practice.
func TestMovementLimits(t *testing.T) {
	want := []float64{0.05, 0.0762, 0.0254, 0.0508, 0.0762, 0.1016}
	limits := piping.MovementLimits()
	require.Len(t, limits, len(want))
	for i, l := range limits {
		assert.InDelta(t, want[i]*1e-3, l.SI(), 1e-15, l.Name)
		assert.NotEmpty(t, l.Source)
	}
	assert.Equal(t, align.ReadSecondhand, limits[0].Known)
	assert.Equal(t, align.CommonPractice, limits[4].Known)
}

func outcomes(t *testing.T, r piping.StrainResult, l piping.MovementLimit) map[string]piping.Outcome {
	t.Helper()
	vs, err := r.Judge(l)
	require.NoError(t, err)
	out := map[string]piping.Outcome{}
	for _, v := range vs {
		out[v.Quantity+" "+v.Place+" "+v.Plane] = v.Outcome
		if got, ok := v.Verdict(); ok {
			assert.Equal(t, v.Outcome == piping.Within, got.Within)
		}
	}
	return out
}

// Vertical and horizontal each by itself: 0.05 and 0.05 mm are within 0.05 mm
// although together they are 0.0707. The largest counts by itself even if the
// machine came back.
func TestJudgeBoltingUp(t *testing.T) {
	r := resultOf(t, hubTest(
		flangeStep("suction", piping.Tighten, "suction", dialsShow(0.05, -0.06)),
		flangeStep("discharge", piping.Tighten, "discharge", dialsShow(0.02, -0.05)),
	))
	assert.Equal(t, map[string]piping.Outcome{
		"largest coupling[0] up": piping.Within, "largest coupling[0] right": piping.Over,
		"final coupling[0] up": piping.Within, "final coupling[0] right": piping.Within,
	}, outcomes(t, r, piping.MovementLimits()[0]))
	assert.Equal(t, map[string]piping.Outcome{
		"change coupling[0] up": piping.Within, "change coupling[0] right": piping.Over,
	}, outcomes(t, r, piping.MovementLimits()[2]))
	assert.Empty(t, outcomes(t, r, piping.MovementLimits()[4])) // no feet were freed
	vs, err := r.JudgeAll()
	require.NoError(t, err)
	assert.Len(t, vs, 4+4+2+1)
	assert.False(t, vs[0].Clear) // at the limit
	assert.Equal(t, piping.Undecided, vs[10].Outcome)
}

// What is missing at one step may have been larger, so the largest does not pass;
// what is known and over fails all the same.
func TestJudgeMissing(t *testing.T) {
	first := flangeStep("suction", piping.Tighten, "suction", dialsShow(0.01, 0.08))
	first.Readings[0] = piping.Reading{}
	second := flangeStep("discharge", piping.Tighten, "discharge", dialsShow(0.02, -0.05))
	second.Readings[1] = piping.Reading{}
	r := resultOf(t, hubTest(first, second))
	assert.Equal(t, map[string]piping.Outcome{
		"largest coupling[0] up": piping.Undecided, "largest coupling[0] right": piping.Over,
		"final coupling[0] up": piping.Within, "final coupling[0] right": piping.Undecided,
	}, outcomes(t, r, piping.MovementLimits()[0]))
}

// Freed feet count in any direction: 0.06 up and 0.05 left are 0.078 mm.
func TestJudgeFeet(t *testing.T) {
	test := hubTest(
		feetStep("free", piping.Loosen, dialsShow(0.06, -0.05)),
		feetStep("bolt", piping.Tighten, dialsShow(0, 0)),
	)
	r := resultOf(t, test)
	at := "feet freed steps[0].coupling[0] any direction"
	assert.Equal(t, map[string]piping.Outcome{at: piping.Over}, outcomes(t, r, piping.MovementLimits()[4]))
	assert.Equal(t, map[string]piping.Outcome{at: piping.Within}, outcomes(t, r, piping.MovementLimits()[5]))
	test.Steps[0].Readings[1] = piping.Reading{}
	r = resultOf(t, test)
	assert.Equal(t, map[string]piping.Outcome{at: piping.Undecided}, outcomes(t, r, piping.MovementLimits()[4]))
	test.Steps[0].Readings[0] = piping.Shows(of(0.09))
	r = resultOf(t, test)
	assert.Equal(t, map[string]piping.Outcome{at: piping.Over}, outcomes(t, r, piping.MovementLimits()[4]))
}

func TestJudgeRefuses(t *testing.T) {
	r := resultOf(t, sixWays())
	for code, l := range map[string]piping.MovementLimit{
		"wrong-unit":   {Limit: align.Limit{Value: 1, Unit: align.UnitRPM}},
		"unknown-kind": {Limit: align.Limit{Value: 1, Unit: align.UnitMil}, Occasion: 9},
		"negative":     {Limit: align.Limit{Value: -1, Unit: align.UnitMil}},
		"out-of-range": {Limit: align.Limit{Value: 1, Unit: align.UnitMetre}},
	} {
		_, err := r.Judge(l)
		assert.Equal(t, code, align.CodeOf(err))
	}
}
