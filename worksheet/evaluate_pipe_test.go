package worksheet

import (
	"math"
	"strings"
	"testing"

	"collinear.example/align"
	"collinear.example/piping"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Gaps on 420 mm, looking at the machine's flange: 3.65, 3.40, 3.30, 3.50 at 12, 3,
// 6, 9. Mean 3.4625; 12 less 6 is 0.35, 3 less 9 is -0.10: the opening is
// hypot(0.35, 0.10) and widest 15.9 degrees before 12, 11.5 o'clock; the warp is
// (3.65 + 3.30 - 3.40 - 3.50)/4 = 0.0125. That is what every reading is off, with one
// reading to spare: sigma = 2 x 0.0125, of the opening sqrt 2 of it. On the raised face
// of 380 mm the opening is 380/420 of it, and API RP 686 allows 0.001 x 380 = 0.38.
func TestEvalFlangeByHand(t *testing.T) {
	r := soundJob()
	r.Joints[1] = FlangeSurvey{Machine: "motor", Name: "cooling water", Rule: "api-rp-686", Reference: "raised-face", Diameter: 420, FlangeOD: 485, RaisedFaceOD: 380,
		Gasket: 3.2, Gaps: quarterTurn(3.65, 3.40, 3.30, 3.50), OffsetUp: num(-0.4), OffsetSide: num(0.9)}
	v := evaluated(t, r)
	opening := math.Hypot(0.35, 0.10)
	for id, want := range map[string]float64{
		"mean": 3.4625, "opening": opening, "warp": 0.0125, "gap-error": 0.2625, "rule.parallelism": opening * 380 / 420, "rule.gap": 0.2625,
	} {
		wantMM(t, v, "joints[1]."+id, want)
	}
	wantSlope(t, v, "joints[1].tilt", opening/0.42)
	wantVerdict(t, v, "joints[1].rule.parallelism", 0.38e-3, Within)
	f := found(t, v, "joints[1].opening")
	assert.Equal(t, "widest at 11.5 o'clock, looking at the machine's flange", f.Words)
	require.NotNil(t, f.Sigma)
	assert.InDelta(t, 0.025e-3*math.Sqrt2, *f.Sigma, digits)
	assert.Contains(t, found(t, v, "joints[1].rule.holes").Words, "not measured")
	assert.Contains(t, found(t, v, "joints[1].fit").Words, "not all that is limited was measured")
	for i := range r.Joints[1].Gaps { // twice the opening about the same mean
		g := &r.Joints[1].Gaps[i].Value
		*g += *g - 3.4625
	}
	v = evaluated(t, r)
	wantMM(t, v, "joints[1].opening", 2*opening)
	wantVerdict(t, v, "joints[1].rule.parallelism", 0.38e-3, Over)
}

// The handbook allows 1/32 in over the raised face and 1/8 in between the centres:
// 0.3 up and 0.4 to the side are 0.5 off.
func TestEvalFlangeCentres(t *testing.T) {
	r := soundJob()
	v := evaluated(t, r)
	wantMM(t, v, "joints[0].rule.centre", 0.5)
	wantVerdict(t, v, "joints[0].rule.centre", 3.175e-3, Within)
	wantMM(t, v, "joints[0].rule.parallelism", 0.2*216/200)
	wantVerdict(t, v, "joints[0].rule.parallelism", 0.79375e-3, Within)
	r.Joints[0].OffsetUp = num(-3.2)
	wantVerdict(t, evaluated(t, r), "joints[0].rule.centre", 3.175e-3, Over)
	r.Joints[0].OffsetSide = nil
	v = evaluated(t, r)
	assert.Contains(t, found(t, v, "joints[0].offset").Words, "one way only")
	assert.Contains(t, found(t, v, "joints[0].rule.centre").Words, "not measured")
}

// ASME B31.3 limits a slope, 1 mm in 200 mm, and it is printed as one.
func TestEvalFlangeSlopeLimit(t *testing.T) {
	r := soundJob()
	r.Joints[0].Rule = "asme-b31.3-si"
	f := found(t, evaluated(t, r), "joints[0].rule.parallelism")
	require.NotNil(t, f.Value)
	assert.Equal(t, align.UnitMillimetrePerMetre, f.Unit)
	assert.Equal(t, align.UnitOne, f.SI)
	assert.InDelta(t, 0.2/200, *f.Value, digits)
	assert.Equal(t, Within, f.Verdict)
}

// A rule that needs the size of the flange, and none given: the rule cannot be
// applied, the survey stands.
func TestEvalFlangeRuleThatCannotBeApplied(t *testing.T) {
	r := soundJob()
	r.Joints[0].FlangeOD, r.Joints[0].RaisedFaceOD = 0, 0
	v := evaluated(t, r)
	wantError(t, v, "joints[0].rule", align.ErrMissing, "joints[0].flangeOD")
	wantMM(t, v, "joints[0].mean", 3.1)
	wantMM(t, v, "joints[0].opening", 0.2)
}

// Readings since the start, 0.035 then 0.042 then 0.003: the steps alone are 0.035,
// 0.007 and -0.039, nothing is halved, and the most since the start is 0.042. A
// loosened flange shows the opposite of its pull: the shaft rose, so the pipe
// pulled it down.
func TestEvalStrainByHand(t *testing.T) {
	r := soundJob()
	r.Strain = []StrainLog{{Machine: "pump", Limit: 0.04, Source: "agreed for this job",
		Dials: []StrainDial{
			{Name: "top", Station: 70, Toward: "up", Touches: "shaft"}, {Name: "side", Station: 70, Toward: "left", Touches: "shaft"},
			{Name: "end", Station: -700, Toward: "back", Touches: "casing"},
		},
		Steps: []StrainStep{
			{Action: "loosen", What: "suction flange", Readings: []float64{0.035, -0.01, 0}},
			{Action: "loosen", What: "discharge flange", Readings: []float64{0.042, -0.018, 0.06}},
			{Action: "tighten", What: "both flanges", Readings: []float64{0.003, -0.002, 0}},
		}}}
	v := evaluated(t, r)
	for id, want := range map[string]float64{
		"steps[0].dials[0]": 0.035, "steps[1].dials[0]": 0.007, "steps[2].dials[0]": -0.039, "dials[0].largest": 0.042,
		"steps[0].dials[1]": -0.01, "steps[1].dials[1]": -0.008, "dials[1].largest": -0.018,
		"steps[1].dials[2]": 0.06, "steps[2].dials[2]": -0.06, "dials[2].largest": 0.06,
	} {
		wantMM(t, v, "strain[0]."+id, want)
	}
	wantVerdict(t, v, "strain[0].dials[0].largest", 4e-5, Over)
	wantVerdict(t, v, "strain[0].dials[1].largest", 4e-5, Within)
	assert.Nil(t, found(t, v, "strain[0].dials[2].largest").Limit, "a dial on the casing is not limited")
	assert.Equal(t, "agreed for this job", found(t, v, "strain[0].dials[0].largest").Limit.Source)
	assert.Equal(t, "shaft moves toward 3 o'clock", found(t, v, "strain[0].dials[1].largest").Minus)
	assert.Equal(t, "casing moves toward the first machine", found(t, v, "strain[0].dials[2].largest").Plus)
	assert.Equal(t, "0.035 mm down, 0.010 mm toward 9 o'clock, 0.000 mm toward the last machine", found(t, v, "strain[0].steps[0].pull").Words)
	assert.Equal(t, []string{"strain[0].steps[1].readings[0]", "strain[0].steps[0].readings[0]"}, found(t, v, "strain[0].steps[1].dials[0]").Inputs)
}

// What was let go is made up again: 0.03 came back as 0.01. Dials read to 0.01, so a
// movement is known to 0.01/sqrt 6 and the sum of two should be within 2 sqrt 2 of
// that, 0.01155: it comes back. 0.02 would not.
func TestEvalStrainClosure(t *testing.T) {
	r := soundJob()
	limit := 2 * math.Sqrt2 * 1e-5 / math.Sqrt(6)
	for back, verdict := range map[float64]string{0.01: Within, 0.02: Over} {
		r.Strain[0].Steps[1].Readings[0] = back
		v := evaluated(t, r)
		wantMM(t, v, "strain[0].closures[0]", back)
		wantVerdict(t, v, "strain[0].closures[0]", limit, verdict)
		assert.Contains(t, found(t, v, "strain[0].closures[0]").Says, "dial top")
	}
}

// Feet that are freed show the pull of the pipe mixed with what soft feet do, so that
// it is not laid to the pipe.
func TestEvalStrainOfFeet(t *testing.T) {
	r := soundJob()
	r.Strain[0].Steps = []StrainStep{
		{Action: "loosen", What: "all feet", Readings: []float64{0.02, 0.01}},
		{Action: "loosen", What: "spring hanger", Readings: []float64{0.03, 0.01}},
		{Action: "tighten", What: "spring hanger", Readings: []float64{0.02, 0.01}},
	}
	v := evaluated(t, r)
	assert.Equal(t, piping.Feet, groupOf("all feet"))
	assert.Equal(t, piping.Support, groupOf("Spring hanger"))
	assert.Equal(t, piping.Flange, groupOf("suction flange"))
	feet := found(t, v, "strain[0].steps[0].pull").Words
	assert.Contains(t, feet, "not determined")
	assert.Contains(t, feet, "soft-foot-not-cleared")
	assert.Equal(t, "0.010 mm down, 0.000 mm toward 3 o'clock", strings.Split(found(t, v, "strain[0].steps[1].pull").Words, " (")[0])
	wantMM(t, v, "strain[0].closures[0]", 0)
}

func TestEvalStrainWithoutAShaftDial(t *testing.T) {
	r := soundJob()
	for i := range r.Strain[0].Dials {
		r.Strain[0].Dials[i].Touches = "casing"
	}
	v := evaluated(t, r)
	assert.Contains(t, found(t, v, "strain[0].no-shaft-dial").Words, "cannot be applied")
	assert.Empty(t, found(t, v, "strain[0].dials[0].largest").Verdict)
}

// One dial at 45 degrees with a limit of 0.05 up and 0.05 to the side can show at
// most 0.05 (cos 45 + sin 45) = 0.0707 within them: 0.08 is over for certain, 0.06
// proves nothing, and so does a reading of nothing at all. Two more dials that show
// 0.04 up and 0.01 toward 9 o'clock make (0.04 - 0.01)/sqrt 2 of it.
func TestEvalObliqueDialByHand(t *testing.T) {
	r := soundJob()
	r.Oblique = []ObliqueDial{{Machine: "pump", What: "suction flange", Station: 70, At: 45, Reading: 0.08, Limit: 0.05, Source: "agreed for this job"}}
	v := evaluated(t, r)
	wantMM(t, v, "oblique[0].least", 0.08)
	assert.Equal(t, "broken for certain", found(t, v, "oblique[0].verdict").Words)
	_, ok := v.Find("oblique[0].redundancy")
	assert.False(t, ok)
	r.Oblique[0].Up, r.Oblique[0].Right = num(0.04), num(-0.01)
	for _, reading := range []float64{0.06, -0.06, 0} {
		r.Oblique[0].Reading = reading
		v = evaluated(t, r)
		wantMM(t, v, "oblique[0].least", math.Abs(reading))
		assert.Contains(t, found(t, v, "oblique[0].verdict").Words, "cannot be told by one dial")
		wantMM(t, v, "oblique[0].redundancy", reading-0.03/math.Sqrt2)
	}
}
