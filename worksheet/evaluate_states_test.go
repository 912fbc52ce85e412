package worksheet

import (
	"testing"

	"collinear.example/align"
	"collinear.example/thermal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// The pump was measured to rise by 0.03 at -620 and 0.05 at -180, which goes on by
// 0.02/440 a millimetre, and to go 0.02 toward 3 o'clock at -180 only. The motor
// grows by 315 x 12e-6 x 25 = 0.0945 at both ends. Cold the motor stands 0.018 and
// 0.046 high at 0 and 140, and 0.002 and -0.026 aside. At foot 380 the target is
// -(0.0945 - 0.05 - 560 x 0.02/440) and the motor stands at 0.05 + 220 x 0.0002.
func TestEvalStatesByHand(t *testing.T) {
	v := evaluated(t, soundJob())
	pump := func(x float64) float64 { return 0.05 + (x+180)*0.02/440 }
	aside := func(x float64) float64 { return 0.02 + (x+180)*0.02/440 }
	s := "states[0]."
	for id, want := range map[string]float64{
		s + "machines[1].supports[0].growth":                 0.0945,
		s + "machines[0].couplings[0].flex-near.vertical":    pump(0),
		s + "machines[0].couplings[0].flex-far.horizontal":   aside(140),
		s + "machines[1].couplings[0].flex-far.vertical":     0.0945,
		s + "couplings[0].relative.flex-near.vertical":       0.0945 - pump(0),
		s + "couplings[0].relative.flex-far.horizontal":      -aside(140),
		s + "couplings[0].sets[0].flex-near.vertical":        0.018 + 0.0945 - pump(0),
		s + "couplings[0].sets[0].flex-near.horizontal":      0.002 - aside(0),
		s + "couplings[0].sets[0].flex-far.vertical":         0.046 + 0.0945 - pump(140),
		s + "couplings[0].sets[0].flex-far.horizontal":       -0.026 - aside(140),
		"cold-target.couplings[0].flex-near.vertical":        pump(0) - 0.0945,
		"cold-target.couplings[0].flex-far.horizontal":       aside(140),
		"sets[0].moves.train.machines[1].feet[0].vertical":   -(0.0945 - pump(380)) - 0.094,
		"sets[0].moves.train.machines[1].feet[2].vertical":   -(0.0945 - pump(860)) - 0.19,
		"sets[0].moves.train.machines[1].feet[0].horizontal": aside(380) + 0.074,
	} {
		wantMM(t, v, id, want)
	}
	_, ok := v.Find(s + "machines[1].couplings[0].flex-far.horizontal")
	assert.False(t, ok, "growth is upright")
	f := found(t, v, "sets[0].moves.train.machines[1].feet[0].vertical")
	assert.Contains(t, f.Of, "to bring motor to the cold target for full load")
	assert.Contains(t, f.Inputs, "states")
}

// 26 in of steel that warms by 48 degF grows by 26 x 6.33e-6 x 48 in; a difference of
// temperatures never takes 32 off. A material goes by the value of package thermal.
func TestEvalGrowthInInches(t *testing.T) {
	r, err := Parse(goodRecords(t)["rim-and-face-inch.json"])
	require.NoError(t, err)
	v := evaluated(t, r)
	wantIn(t, v, "states[0].machines[0].supports[0].growth", align.UnitInch, 26*6.33e-6*48)
	steel := thermal.Find("carbon steel")
	want := -1.0
	for _, m := range steel {
		if m.Variant == "DOE fundamentals" {
			growth, err := thermal.FootMounted(thermal.Height{Length: 18 * align.Inch, Material: m, Cold: align.Fahrenheit(70), Hot: align.Fahrenheit(104)}).Growth()
			require.NoError(t, err)
			want = float64(growth)
		}
	}
	wantIn(t, v, "states[0].machines[1].supports[1].growth", align.UnitMetre, want)
}

// Two states that move the motor against the pump by 0.04 and by 0.02 up: half way,
// 0.03 low, serves both alike.
func TestEvalTargetOfTwoStates(t *testing.T) {
	r := soundJob()
	moved := func(up float64) []Moved { return []Moved{{Station: 380, Up: up}, {Station: 860, Up: up}} }
	still := Movement{Machine: "pump", Measured: []Moved{{Station: -620}, {Station: -180}}}
	r.States = []State{
		{Name: "half load", Machines: []Movement{still, {Machine: "motor", Measured: moved(0.02)}}},
		{Name: "full load", Machines: []Movement{still, {Machine: "motor", Measured: moved(0.04)}}},
	}
	v := evaluated(t, r)
	for _, id := range []string{"flex-near.vertical", "flex-far.vertical"} {
		wantMM(t, v, "cold-target.couplings[0]."+id, -0.03)
	}
	wantMM(t, v, "cold-target.couplings[0].flex-far.horizontal", 0)
	wantMM(t, v, "sets[0].moves.train.machines[1].feet[0].vertical", -0.03-0.094)
	wantMM(t, v, "states[1].couplings[0].sets[0].flex-near.vertical", 0.018+0.04)
	assert.Contains(t, found(t, v, "cold-target.couplings[0].flex-near.vertical").Says, "serves all states best")
	// Without flex planes the feet beside the coupling stand for them.
	r.Train.Couplings[0].FlexPlanes = nil
	v = evaluated(t, r)
	wantMM(t, v, "sets[0].moves.train.machines[1].feet[0].vertical", -0.03-0.094)
	r.Train.Machines[0].Feet = nil
	r.Gaps, r.Rises = nil, nil
	v = evaluated(t, r)
	wantError(t, v, "sets[0].moves", align.ErrMissing, "train.couplings[0].flexPlanes")
}

// A state that says nothing of one machine leaves the coupling open: not known is
// not zero. What is known of the other machine stays.
func TestEvalStateWithoutAMachine(t *testing.T) {
	r := soundJob()
	r.States[0].Machines = r.States[0].Machines[1:]
	v := evaluated(t, r)
	for _, id := range []string{"states[0].couplings[0]", "cold-target.couplings[0]", "sets[0].moves", "limits[0].sets[0].states[0]"} {
		wantError(t, v, id, align.ErrMissing, "states[0].machines")
	}
	wantMM(t, v, "states[0].machines[0].supports[0].growth", 0.0945)
	wantMM(t, v, "states[0].machines[0].couplings[0].flex-near.vertical", 0.0945)
	wantMM(t, v, "sets[0].offset.flex-far.vertical", 0.046)
	assert.Equal(t, Within, found(t, v, "limits[0].sets[0].cold.api-rp-686-flex-deviation").Verdict)
}

// Where no flex planes are known, a movement is said at the ends of what it was
// told from.
func TestEvalMovementWithoutFlexPlanes(t *testing.T) {
	r := soundJob()
	r.Train.Couplings[0].FlexPlanes = nil
	v := evaluated(t, r)
	wantMM(t, v, "states[0].machines[0].first.vertical", 0.03)
	wantMM(t, v, "states[0].machines[0].last.vertical", 0.05)
	wantMM(t, v, "states[0].machines[0].last.horizontal", 0.02)
	wantMM(t, v, "states[0].machines[1].last.vertical", 0.0945)
	assert.Contains(t, found(t, v, "states[0].machines[1].last.vertical").Says, "860 mm")
	wantError(t, v, "states[0].couplings[0]", align.ErrMissing, "train.couplings[0].flexPlanes")
	wantError(t, v, "limits[0].sets[0].cold", align.ErrMissing, "train.couplings[0].flexPlanes")
}

// Three supports that do not grow in one line: 0.0945, 0.189 and 0.0945 leave more
// than a mil of one another, and the warning says so.
func TestEvalSupportsOutOfLine(t *testing.T) {
	r := soundJob()
	m := &r.States[0].Machines[1]
	m.Supports = append(m.Supports, Support{Station: 620, Height: 315, Coefficient: 12e-6, Cold: 20, Hot: 70})
	f := found(t, evaluated(t, r), "states[0].machines[1].warnings")
	require.NotEmpty(t, f.Warnings)
	assert.Equal(t, string(align.WarnResidual), f.Warnings[0].Code)
	assert.Contains(t, f.Warnings[0].Field, "states[0].machines[1]")
}

// A set read hot is to be in line as it stands: no state is added to it, and it has
// no cold target. It is not what the readiness goes by while a cold set is there.
func TestEvalHotCheck(t *testing.T) {
	r := soundJob()
	r.Sets = append(r.Sets, soundSet(HotCheck))
	r.Sets[1].Dials[0].Readings[4].Value = 0.02 // does not close
	v := evaluated(t, r)
	wantMM(t, v, "sets[1].moves.train.machines[1].feet[0].vertical", -0.094)
	assert.Contains(t, found(t, v, "sets[1].moves.train.machines[1].feet[0].vertical").Of, "in line as it runs")
	assert.NotContains(t, found(t, v, "sets[1].moves.train.machines[1].feet[0].vertical").Inputs, "states")
	_, ok := v.Find("states[0].couplings[0].sets[1].flex-near.vertical")
	assert.False(t, ok)
	_, ok = v.Find("limits[0].sets[1].cold.share")
	assert.False(t, ok)
	found(t, v, "limits[0].sets[1].hot.share")
	assert.Equal(t, InOrder, statusOf(t, v, string(topicReadings), "coupling"))
	r.Sets = r.Sets[1:]
	assert.Equal(t, Blocks, statusOf(t, evaluated(t, r), string(topicReadings), "coupling"), "the only set there is")
}

// A machine measured at one place twice is refused by Check; one whose two stations
// lie closer than a micrometre cannot give a slope and stops nothing else.
func TestEvalMovementThatCannotBeComputed(t *testing.T) {
	r := soundJob()
	r.States[0].Machines[0].Measured[1].Station = -620 + 1e-7
	v := evaluated(t, r)
	f := found(t, v, "states[0].machines[0]")
	require.NotNil(t, f.Error)
	assert.Equal(t, align.ErrCoincident.Code(), f.Error.Code)
	wantMM(t, v, "states[0].machines[1].supports[0].growth", 0.0945)
	_, err := thermal.MeasuredMovement{First: thermal.MovedPoint{Station: -0.62}, Second: thermal.MovedPoint{Station: unit.Length(-0.62 + 1e-10)}}.Axis()
	require.ErrorIs(t, err, align.ErrCoincident)
}
