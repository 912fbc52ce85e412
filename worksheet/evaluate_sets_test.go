package worksheet

import (
	"math"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// By hand, from the readings alone. Far dial: bottom -0.16 less the sag -0.06 is
// -0.10, so the motor stands 0.05 high at 160; right less left is -0.11 - -0.05 =
// -0.06, so it stands 0.03 toward 9 o'clock. Near dial: -0.02 less -0.04 is +0.02
// and the sign turns, so it stands 0.01 high at -40; right less left is -0.02, the
// sign turns, so 0.01 toward 3 o'clock. Over 200 mm that is 0.04/200 = 0.2 mm/m up
// and -0.04/200 = -0.2 mm/m sideways. At 0: 0.01 + 40 x 0.0002 = 0.018 and 0.01 -
// 0.008 = 0.002; at 140: 0.046 and -0.026. The angle at a flex plane is the offset
// at the other one over 140 mm.
func TestEvalReverseIndicatorByHand(t *testing.T) {
	v := evaluated(t, soundJob())
	for id, want := range map[string]float64{
		"sets[0].offset.dials[0].vertical": 0.05, "sets[0].offset.dials[0].horizontal": -0.03,
		"sets[0].offset.dials[1].vertical": 0.01, "sets[0].offset.dials[1].horizontal": 0.01,
		"sets[0].offset.flex-near.vertical": 0.018, "sets[0].offset.flex-near.horizontal": 0.002,
		"sets[0].offset.flex-far.vertical": 0.046, "sets[0].offset.flex-far.horizontal": -0.026,
		"sag[0].roll-over": -0.06, "sag[0].droop": 0.03,
		"sag[1].roll-over": -0.04, "sag[1].droop": 0.02,
		"sets[0].dials[0].closure": 0, "sets[0].dials[1].closure": 0,
	} {
		wantMM(t, v, id, want)
	}
	wantSlope(t, v, "sets[0].slope.vertical", 0.2)
	wantSlope(t, v, "sets[0].slope.horizontal", -0.2)
	wantSlope(t, v, "sets[0].angle.flex-near", 1000*math.Hypot(0.046, 0.026)/140)
	wantSlope(t, v, "sets[0].angle.flex-far", 1000*math.Hypot(0.018, 0.002)/140)
	assert.Equal(t, "motor stands high", found(t, v, "sets[0].offset.flex-far.vertical").Plus)
	assert.Equal(t, "motor stands toward 9 o'clock", found(t, v, "sets[0].offset.flex-far.horizontal").Minus)
}

// The motor goes down by what it stands high, and so on: -(0.05 + 220 x 0.0002) =
// -0.094 at 380, -(0.05 + 700 x 0.0002) = -0.19 at 860; sideways 0.03 + 220 x 0.0002
// = 0.074 and 0.17 toward 3 o'clock. Without states the target is in line. A pump
// that may move goes the other way: up by e(-620) = 0.01 - 580 x 0.0002 = -0.106,
// and e(-180) = -0.018.
func TestEvalFootMovesByHand(t *testing.T) {
	r := soundJob()
	r.States = nil
	r.Train.Machines[0].Fixed = false
	v := evaluated(t, r)
	motor, pump := "sets[0].moves.train.machines[1].feet", "sets[0].moves.train.machines[0].feet"
	for id, want := range map[string]float64{
		motor + "[0].vertical": -0.094, motor + "[1].vertical": -0.094, motor + "[2].vertical": -0.19, motor + "[3].vertical": -0.19,
		motor + "[0].horizontal": 0.074, motor + "[3].horizontal": 0.17,
		pump + "[0].vertical": -0.106, pump + "[2].vertical": -0.018,
		pump + "[0].horizontal": 0.01 + 580*0.0002, pump + "[2].horizontal": 0.01 + 140*0.0002,
	} {
		wantMM(t, v, id, want)
	}
	f := found(t, v, motor+"[0].vertical")
	assert.Equal(t, "lower: take shims out", f.Minus)
	assert.Contains(t, f.Of, "to bring motor in line when standing cold, pump staying")
	assert.Empty(t, f.Words)
	fixed := evaluated(t, soundJob())
	_, ok := fixed.Find(pump + "[0].vertical")
	assert.False(t, ok, "a fixed machine is not told to move")
}

// There are 0.05 mm of shims of which 0.02 must stay under one foot: 0.03 of room
// for 0.094; another has 0.05 and no least; the bolts let one foot go 0.05 toward
// 3 o'clock, where 0.074 is asked, and a third 0.1, which is enough.
func TestEvalRoomAtTheFeet(t *testing.T) {
	r := soundJob()
	r.States = nil
	feet := r.Train.Machines[1].Feet
	feet[0].Shims, feet[0].Least, feet[0].Right = num(0.05), num(0.02), num(0.05)
	feet[1].Shims, feet[1].Right = num(0.05), num(0.1)
	feet[2].Shims, feet[2].Right = num(0.19), num(0.17)
	v := evaluated(t, r)
	path := "sets[0].moves.train.machines[1].feet"
	for id, want := range map[string]string{
		path + "[0].vertical": "base-bound: only 0.03 mm of room", path + "[0].horizontal": "bolt-bound: only 0.05 mm of room",
		path + "[1].vertical": "base-bound: only 0.05 mm of room", path + "[1].horizontal": "",
		path + "[2].vertical": "", path + "[2].horizontal": "", // just enough is enough
	} {
		assert.Equal(t, want, found(t, v, id).Words, id)
	}
	left := soundJob()
	left.States = nil
	for i := range left.Sets[0].Dials {
		d := &left.Sets[0].Dials[i]
		d.Readings[1], d.Readings[3] = Reading{90, d.Readings[3].Value}, Reading{270, d.Readings[1].Value}
	}
	left.Train.Machines[1].Feet[0].Left = num(0.05)
	v = evaluated(t, left)
	wantMM(t, v, path+"[0].horizontal", -0.074)
	assert.Equal(t, "bolt-bound: only 0.05 mm of room", found(t, v, path+"[0].horizontal").Words)
}

// One dial on the rim and one on the face, bracket on the pump, sag only of the rim.
// Rim: bottom -0.16 less -0.06 is -0.10: 0.05 high at 160. Face toward the bracket,
// swept on 100 mm: bottom less top is -0.02, so the slope is 0.02/100 = 0.2 mm/m up;
// right less left 0.02, so 0.2 mm/m toward 3 o'clock. At 0: 0.05 - 160 x 0.0002 =
// 0.018. A face that looks away turns the sign of the slope.
func TestEvalRimAndFaceByHand(t *testing.T) {
	for touches, sign := range map[string]float64{faceToward: 1, faceAway: -1} {
		r := soundJob()
		r.States = nil
		r.Sag = append(r.Sag, SagTest{Bracket: "face", Kind: rollOver, Reading: 0})
		r.Sets[0].Method = RimAndFace
		r.Sets[0].Dials[1] = Dial{Touches: touches, On: onFar, Station: 160, Diameter: 100, Bracket: "face", Readings: quarterTurn(0, 0, -0.02, -0.02, 0)}
		v := evaluated(t, r)
		wantSlope(t, v, "sets[0].slope.vertical", sign*0.2)
		wantSlope(t, v, "sets[0].slope.horizontal", sign*0.2)
		wantMM(t, v, "sets[0].offset.dials[0].vertical", 0.05)
		wantMM(t, v, "sets[0].offset.flex-near.vertical", 0.05-sign*0.032)
		wantMM(t, v, "sets[0].offset.flex-near.horizontal", -0.03-sign*0.032)
		wantMM(t, v, "sets[0].moves.train.machines[1].feet[0].vertical", -0.05-sign*0.044)
		_, ok := v.Find("sets[0].offset.dials[1].vertical")
		assert.False(t, ok, "a face dial shows no offset")
		assert.Equal(t, "align.RimAndFace", found(t, v, "sets[0].slope.vertical").Doc)
	}
}

// A record written by a person who looks along -x gives the same once right and left
// have been turned at the edge.
func TestEvalReadAgainst(t *testing.T) {
	r := soundJob()
	for i := range r.Sets[0].Dials {
		d := &r.Sets[0].Dials[i]
		d.Against = true
		for k := range d.Readings {
			d.Readings[k].At = 360 - d.Readings[k].At
		}
	}
	want, got := evaluated(t, soundJob()), evaluated(t, r)
	for _, id := range []string{"sets[0].offset.flex-near.horizontal", "sets[0].offset.flex-far.vertical", "sets[0].slope.horizontal"} {
		assert.InDelta(t, *found(t, want, id).Value, *found(t, got, id).Value, digits, id)
	}
}

// One dial comes back to 0.02, of which 0.01 is taken. On the other the left reads
// -0.04 in the place of 0: top and bottom are then 0 - 0.02 - (-0.02 - 0.04) = 0.04
// more than the sides, and every reading is a quarter of that off; at -0.24 it is
// 0.24 and 0.06, both over 0.05.
func TestEvalReadingsThatDoNotClose(t *testing.T) {
	r := soundJob()
	r.Sets[0].Dials[0].Readings[4].Value = 0.02
	r.Sets[0].Dials[1].Readings[3].Value = -0.04
	v := evaluated(t, r)
	wantMM(t, v, "sets[0].dials[0].closure", 0.02)
	wantVerdict(t, v, "sets[0].dials[0].closure", 1e-5, Over)
	wantMM(t, v, "sets[0].dials[1].sum-rule", 0.04)
	wantVerdict(t, v, "sets[0].dials[1].sum-rule", 5e-5, Within)
	wantMM(t, v, "sets[0].dials[1].residual", 0.01)
	r.Sets[0].Dials[1].Readings[3].Value = -0.24
	v = evaluated(t, r)
	wantMM(t, v, "sets[0].dials[1].sum-rule", 0.24)
	wantVerdict(t, v, "sets[0].dials[1].sum-rule", 5e-5, Over)
	wantMM(t, v, "sets[0].dials[1].residual", 0.06)
	wantVerdict(t, v, "sets[0].dials[1].residual", 5e-5, Over)
	r.Sets[0].Dials[0].Readings[4].Value = 0.01
	v = evaluated(t, r)
	wantVerdict(t, v, "sets[0].dials[0].closure", 1e-5, Within)
}

// The curved rim lets the sum differ from zero: for a rim of radius r that stands
// e off it is ((ev + droop)^2 - eh^2)/r, where the slope is next to nothing.
func TestEvalSumRuleOfACurvedRim(t *testing.T) {
	r := soundJob()
	r.Sets[0].Dials[0].Diameter = 0.02 // a needle, so that it shows
	v := evaluated(t, r)
	ev, eh, radius, slope := 0.05, 0.03, 0.01, 0.0002
	expected := ((ev+0.03)*(ev+0.03)-eh*eh)/radius + radius*(slope*slope-slope*slope)
	wantMM(t, v, "sets[0].dials[0].sum-rule", -expected)
	assert.Contains(t, found(t, v, "sets[0].dials[0].sum-rule").Inputs, "sets[0].dials[0].diameter")
}

// Four readings of 0.01 fix the first harmonic to 0.01/sqrt 2. At a dial the offset
// is known as well as that; half way between both dials as 1/sqrt 2 of it; the
// slope by sqrt 2 of it over 200 mm.
func TestEvalUncertainty(t *testing.T) {
	r := soundJob()
	r.Sets[0].Sigma = num(0.01)
	r.Train.Couplings[0].FlexPlanes = []float64{60}
	for i := range r.Sets[0].Dials {
		r.Sets[0].Dials[i].Readings = r.Sets[0].Dials[i].Readings[:4]
	}
	v := evaluated(t, r)
	one := 1e-5 / math.Sqrt2
	for id, want := range map[string]float64{
		"sets[0].offset.dials[0].vertical": one, "sets[0].offset.dials[1].horizontal": one,
		"sets[0].offset.flex.vertical":                 one / math.Sqrt2,
		"sets[0].slope.horizontal":                     one * math.Sqrt2 / 0.2,
		"sets[0].reading-sigma":                        0,
		"states[0].couplings[0].sets[0].flex.vertical": one / math.Sqrt2,
	} {
		f := found(t, v, id)
		if want == 0 {
			assert.Nil(t, f.Sigma, id)
			continue
		}
		require.NotNil(t, f.Sigma, id)
		assert.InDelta(t, want, *f.Sigma, digits, id)
	}
	wantMM(t, v, "sets[0].reading-sigma", 0.01)
	assert.Contains(t, found(t, v, "sets[0].reading-sigma").Says, "given")
	// At a foot 700 mm behind the far dial: weights (700+200)/200 = 4.5 and -3.5.
	f := found(t, v, "sets[0].moves.train.machines[1].feet[2].vertical")
	assert.InDelta(t, one*math.Hypot(4.5, 3.5), *f.Sigma, digits)
	assert.Empty(t, f.Warnings)
	// A foot 4.2 spans behind is far, and said to be so.
	r.Train.Machines[1].Feet[2].Station = 1000
	f = found(t, evaluated(t, r), "sets[0].moves.train.machines[1].feet[2].vertical")
	require.Len(t, f.Warnings, 1)
	assert.Equal(t, string(align.WarnExtrapolation), f.Warnings[0].Code)
	assert.Equal(t, "train.machines[1].feet[2]", f.Warnings[0].Field)
	assert.InDelta(t, 4.2, *f.Warnings[0].Value, digits)
}

// One reading 0.04 off spreads as -0.01, +0.01, -0.01, +0.01 over the four; two
// dials of four readings leave 8 - 2 - 4 = 2 to spare: sigma = sqrt(4 x 0.01^2/2).
func TestEvalUncertaintyFromScatter(t *testing.T) {
	r := soundJob()
	r.Sets[0].Dials[1].Readings[3].Value = -0.04
	v := evaluated(t, r)
	wantMM(t, v, "sets[0].reading-sigma", 0.01*math.Sqrt2)
	f := found(t, v, "sets[0].offset.dials[0].vertical")
	require.NotNil(t, f.Sigma)
	assert.InDelta(t, 1e-5, *f.Sigma, digits)
	// Where nothing scatters, nothing is said of the uncertainty.
	v = evaluated(t, soundJob())
	assert.Nil(t, found(t, v, "sets[0].offset.dials[0].vertical").Sigma)
	assert.Nil(t, found(t, v, "sets[0].reading-sigma").Value)
	assert.Contains(t, found(t, v, "sets[0].reading-sigma").Words, "not known")
}

// Tops and bottoms alone show the vertical plane and nothing else; both dials on
// one station do not even show that.
func TestEvalOnePlane(t *testing.T) {
	r := soundJob()
	for i := range r.Sets[0].Dials {
		rs := r.Sets[0].Dials[i].Readings
		r.Sets[0].Dials[i].Readings = []Reading{rs[0], rs[2]}
	}
	v := evaluated(t, r)
	wantMM(t, v, "sets[0].offset.flex-far.vertical", 0.046)
	assert.Contains(t, found(t, v, "sets[0].offset.horizontal").Words, "do not show it")
	for _, id := range []string{"sets[0].offset.flex-far.horizontal", "sets[0].slope.horizontal", "sets[0].angle.flex-near",
		"sets[0].moves.train.machines[1].feet[0].horizontal", "states[0].couplings[0].sets[0].flex-near.horizontal"} {
		_, ok := v.Find(id)
		assert.False(t, ok, id)
	}
	wantError(t, v, "limits[0].sets[0]", align.ErrUndetermined, "sets[0]")
}
