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

// hubTest has a vertical and a horizontal dial on the coupling hub.
func hubTest(steps ...piping.Step) piping.StrainTest {
	return piping.StrainTest{
		Indicators: []piping.Indicator{
			{Name: "V", At: placeMM(0, 80, 0), Toward: piping.StandingAt(align.Twelve), Touches: piping.Shaft},
			{Name: "H", At: placeMM(0, 0, 80), Toward: piping.StandingAt(align.Three), Touches: piping.Shaft},
		},
		Coupling: []unit.Length{0},
		Steps:    steps,
	}
}

func flangeStep(name string, a piping.Action, of string, r []piping.Reading) piping.Step {
	return piping.Step{Name: name, Action: a, Group: piping.Flange, Of: []string{of}, Readings: r}
}

func feetStep(name string, a piping.Action, r []piping.Reading) piping.Step {
	return piping.Step{Name: name, Action: a, Group: piping.Feet, Of: []string{"all feet"}, Readings: r}
}

func resultOf(t *testing.T, test piping.StrainTest) piping.StrainResult {
	t.Helper()
	r, err := test.Result()
	require.NoError(t, err)
	return r
}

// Readings run on; a step is the difference, the sum is what the dial shows. A
// hub dial alone gives both planes at its station, unhalved, and no slope.
func TestRunningReadings(t *testing.T) {
	r := resultOf(t, hubTest(
		flangeStep("suction", piping.Tighten, "suction", dialsShow(0.02, -0.01)),
		flangeStep("discharge", piping.Tighten, "discharge", dialsShow(0.05, -0.07)),
	))
	nearly(t, 0.02, r.Steps[0].Step.Shaft().At[0].Up, 1e-12)
	nearly(t, 0.03, r.Steps[1].Step.Shaft().At[0].Up, 1e-12)
	nearly(t, -0.06, r.Steps[1].Step.Shaft().At[0].Right, 1e-12)
	nearly(t, -0.07, r.Final().Shaft().At[0].Right, 1e-12)
	assert.False(t, r.Final().Shaft().At[0].Along.Known)
	assert.False(t, r.Final().Shaft().VerticalSlope.Known)
	assert.Equal(t, piping.FromNothing, r.Final().Shaft().Vertical)
	assert.Equal(t, 2, r.Final().Touched.Rank())
	assert.InDelta(t, 0.01e-3/math.Sqrt(6), float64(r.Final().Shaft().At[0].Up.Sigma), 1e-18)
	most, all, ok := r.Most(piping.Flange)
	require.True(t, ok && all)
	assert.Equal(t, 1, most.Step)
	assert.InDelta(t, math.Hypot(0.03, 0.06), float64(most.Size.Value)*1e3, 1e-12)
	assert.True(t, most.Separable())
	assert.Equal(t, "0.030 mm up, 0.060 mm toward 9 o'clock", most.Movement.Words(align.UnitMillimetre, 3))
	assert.Equal(t, most.Movement, most.Pull) // made up: it moves the way the pipe pulls
	assert.Empty(t, r.Warnings)
}

// Setting the dials to zero between steps changes no movement; it costs
// uncertainty.
func TestRezeroed(t *testing.T) {
	a := flangeStep("a", piping.Loosen, "a", dialsShow(0.02, -0.01))
	b := flangeStep("b", piping.Loosen, "b", dialsShow(0.05, -0.07))
	c := flangeStep("c", piping.Loosen, "c", dialsShow(0.04, 0.01))
	one := resultOf(t, hubTest(a, b, c))
	b.Rezeroed, b.Readings = true, dialsShow(0.03, -0.06)
	c.Readings = dialsShow(0.02, 0.02)
	two := resultOf(t, hubTest(a, b, c))
	for k := range one.Steps {
		for i := range 2 {
			assert.InDelta(t, float64(one.Steps[k].Step.Indicators[i].Value), float64(two.Steps[k].Step.Indicators[i].Value), 1e-18)
			assert.InDelta(t, float64(one.Steps[k].Running.Indicators[i].Value), float64(two.Steps[k].Running.Indicators[i].Value), 1e-18)
		}
	}
	s1, s2 := one.Final().Shaft().At[0].Up.Sigma, two.Final().Shaft().At[0].Up.Sigma
	assert.InDelta(t, math.Sqrt2, float64(s2/s1), 1e-12)
	assert.Equal(t, one.Steps[0].Running.Shaft().At[0].Up.Sigma, two.Steps[0].Running.Shaft().At[0].Up.Sigma)
	// Zeroed before the first step: the start reading no longer counts.
	first := hubTest(a)
	first.Start, first.Steps[0].Rezeroed = dialsShow(3, -3), true
	r := resultOf(t, first)
	nearly(t, 0.02, r.Final().Shaft().At[0].Up, 1e-12)
}

// A missing reading is not zero: its step and the next are not known, the sum
// is again; after a new zero it stays lost.
func TestMissingReading(t *testing.T) {
	a := flangeStep("a", piping.Loosen, "a", []piping.Reading{{}, piping.Shows(0)})
	b := flangeStep("b", piping.Loosen, "b", dialsShow(0.05, 0))
	r := resultOf(t, hubTest(a, b))
	assert.False(t, r.Steps[0].Step.Shaft().At[0].Up.Known)
	assert.False(t, r.Steps[1].Step.Shaft().At[0].Up.Known)
	nearly(t, 0.05, r.Final().Shaft().At[0].Up, 1e-12)
	assert.True(t, r.Causes[0].Has(piping.NotDetermined))
	assert.False(t, r.Coupling[0].Up.Complete)
	assert.True(t, r.Coupling[0].Right.Complete)
	assert.Equal(t, []align.WarningCode{piping.WarnReadingMissing, piping.WarnNotDetermined}, codes(r.Warnings))
	_, all, ok := r.Most(piping.Flange)
	assert.False(t, all || ok)
	b.Rezeroed = true
	r = resultOf(t, hubTest(a, b))
	nearly(t, 0.05, r.Steps[1].Step.Shaft().At[0].Up, 1e-12)
	assert.False(t, r.Final().Shaft().At[0].Up.Known)
}

func codes(ws []align.Warning) (out []align.WarningCode) {
	for _, w := range ws {
		out = append(out, w.Code)
	}
	return out
}

// Released, the machine springs back: the pipe pulled the other way. Freed feet
// let it go with the pipe.
func TestPull(t *testing.T) {
	test := hubTest(
		feetStep("free feet", piping.Loosen, dialsShow(0.03, 0.01)),
		feetStep("bolt feet", piping.Tighten, dialsShow(0, 0)),
		flangeStep("let go", piping.Loosen, "suction", dialsShow(-0.03, 0.02)),
		flangeStep("take out", piping.Remove, "suction", dialsShow(-0.04, 0.02)),
	)
	r := resultOf(t, test)
	nearly(t, 0.03, r.Causes[2].Pull.Up, 1e-12)
	nearly(t, -0.02, r.Causes[2].Pull.Right, 1e-12)
	nearly(t, 0.01, r.Causes[3].Pull.Up, 1e-12)
	assert.True(t, r.Causes[0].Has(piping.SoftFootOpen))
	assert.False(t, r.Causes[0].Pull.Up.Known)
	test.SoftFootCleared = true
	r = resultOf(t, test)
	assert.True(t, r.Causes[0].Separable())
	nearly(t, 0.03, r.Causes[0].Pull.Up, 1e-12)
	nearly(t, 0.03, r.Causes[1].Pull.Up, 1e-12)
	feet, _, ok := r.Most(piping.Feet)
	require.True(t, ok)
	assert.Equal(t, 0, feet.Step)
	flange, _, ok := r.Most(piping.Flange)
	require.True(t, ok)
	assert.Equal(t, 2, flange.Step)
	_, _, ok = r.Most(piping.Support)
	assert.False(t, ok)
}

// Feet touched between making and letting go of a flange, and two flanges in one
// step: no single thing is to blame.
func TestNotSeparable(t *testing.T) {
	both := flangeStep("both", piping.Loosen, "suction", dialsShow(0.06, 0))
	both.Of = append(both.Of, "vent")
	r := resultOf(t, hubTest(
		flangeStep("make", piping.Tighten, "suction", dialsShow(0.02, 0)),
		flangeStep("make other", piping.Tighten, "discharge", dialsShow(0.03, 0)),
		feetStep("feet", piping.Tighten, dialsShow(0.05, 0)),
		flangeStep("break", piping.Loosen, "suction", dialsShow(0.05, 0)),
		both,
		flangeStep("drain", piping.Loosen, "drain", dialsShow(0.05, 0)),
	))
	want := [][]piping.Reason{nil, nil, {piping.SoftFootOpen}, {piping.FeetBetween}, {piping.SeveralThings}, nil}
	for k, c := range r.Causes {
		assert.Equal(t, want[k], c.Reasons, k)
	}
	assert.False(t, r.Causes[3].Pull.Up.Known)
	assert.True(t, r.Causes[4].Pull.Up.Known)
}

// Undone, the sum returns to zero within 2 u sqrt(n), or says where it did not.
func TestClosure(t *testing.T) {
	made := flangeStep("make", piping.Tighten, "suction", dialsShow(0.06, -0.02))
	undo := flangeStep("break", piping.Loosen, "suction", dialsShow(0.01, 0.001))
	undo.Undoes = "make"
	test := hubTest(made, undo)
	r := resultOf(t, test)
	require.Len(t, r.Closures, 1)
	c := r.Closures[0]
	limit := 2 * 0.01 / math.Sqrt(6) * math.Sqrt2 // 0.01155 mm
	assert.InDelta(t, limit, float64(c.Limit)*1e3, 1e-12)
	assert.InDelta(t, 0.01, float64(c.Worst)*1e3, 1e-12)
	assert.True(t, c.Within && c.Complete)
	test.Steps[1].Readings = dialsShow(0.012, 0.001)
	r = resultOf(t, test)
	assert.False(t, r.Closures[0].Within)
	assert.Equal(t, []align.WarningCode{align.WarnClosure}, codes(r.Warnings))
	assert.Equal(t, "steps[1].V", r.Warnings[0].Field)

	test.Steps = append(test.Steps, flangeStep("make 2", piping.Fit, "vent", dialsShow(0.02, 0)), flangeStep("break 2", piping.Remove, "vent", dialsShow(0.016, 0)))
	test.Steps[1].Readings = dialsShow(0.011, 0)
	test.Steps[3].Undoes = "make 2"
	r = resultOf(t, test)
	require.Len(t, r.Closures, 3)
	whole := r.Closures[2]
	assert.Equal(t, -1, whole.By)
	assert.InDelta(t, limit*math.Sqrt2, float64(whole.Limit)*1e3, 1e-12)
	assert.InDelta(t, 0.016, float64(whole.Worst)*1e3, 1e-12)
	assert.True(t, whole.Within)
	test.Steps[3].Readings[0] = piping.Reading{}
	r = resultOf(t, test)
	assert.False(t, r.Closures[2].Within || r.Closures[2].Complete)
}

// Brackets between the shafts: from the other shaft the reading is the
// machine's, from its own it is the opposite.
func TestCarriers(t *testing.T) {
	test := hubTest(flangeStep("make", piping.Tighten, "suction", dialsShow(0.06, -0.02)))
	test.Indicators[0].Carrier = piping.OtherShaftCarried
	test.Indicators[1].Carrier = piping.OwnShaftCarried
	r := resultOf(t, test)
	nearly(t, 0.06, r.Final().Shaft().At[0].Up, 1e-12)
	nearly(t, 0.02, r.Final().Shaft().At[0].Right, 1e-12)
	assert.Equal(t, []align.WarningCode{piping.WarnOtherMachine}, codes(r.Warnings))
	assert.Equal(t, align.Upward(), piping.StemAlong(align.Upward().Neg()))
}

// A bent casing and a shaft that does not follow it are told from each other.
func TestDistortion(t *testing.T) {
	test := sixWays()
	test.Indicators = append(test.Indicators, piping.Indicator{Name: "hub", At: placeMM(450, 330, 0), Toward: align.Upward(), Touches: piping.Shaft})
	test.Steps[0].Readings = append(test.Steps[0].Readings, dialsShow(0.072)...)
	r := resultOf(t, test)
	assert.Empty(t, r.Warnings)
	nearly(t, 0.072, r.Final().Predicted()[8], 1e-9)
	assert.Equal(t, piping.FromCasing, r.Final().Shaft().Vertical) // one dial gives no slope
	test.Steps[0].Readings[8] = piping.Shows(align.Movement(0.15 * strainMM))
	r = resultOf(t, test)
	assert.Equal(t, []align.WarningCode{piping.WarnShaftDiffers}, codes(r.Warnings))
	nearly(t, 0.15, r.Final().Shaft().At[0].Up, 1e-9) // the shaft's own dial comes first
	test.Steps[0].Readings[8] = piping.Reading{}
	test.Steps[0].Readings[3].Value += align.Movement(0.3 * strainMM)
	r = resultOf(t, test)
	assert.Contains(t, codes(r.Warnings), piping.WarnDistortion)
	vs, err := r.Judge(piping.MovementLimits()[3])
	require.NoError(t, err)
	assert.Equal(t, piping.Over, vs[0].Outcome)
}
