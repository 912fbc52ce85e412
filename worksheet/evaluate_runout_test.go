package worksheet

import (
	"math"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Four marks 0, 0.05, 0.07, 0.01: the total indicator reading is 0.07, the first
// harmonic (0 - 0.07)/2 = -0.035 toward mark 0 and (0.05 - 0.01)/2 = 0.02 toward
// mark 90, so the eccentricity is hypot(0.035, 0.02) and the high spot 150 degrees;
// (0 + 0.07 - 0.05 - 0.01)/4 = 0.0025 is left at each. IEC 60072-1 allows 0.06 on a
// shaft over 50 up to 80 mm.
func TestEvalShaftRunoutByHand(t *testing.T) {
	r := soundJob()
	r.Runout[2].Readings = quarterTurn(0, 0.05, 0.07, 0.01, 0.004)
	v := evaluated(t, r)
	wantMM(t, v, "runout[2].tir", 0.07)
	wantVerdict(t, v, "runout[2].tir", 6e-5, Over)
	wantMM(t, v, "runout[2].closure", 0.004)
	wantMM(t, v, "runout[2].eccentricity", math.Hypot(0.035, 0.02))
	wantMM(t, v, "runout[2].off", 0.0025)
	assert.Equal(t, "high spot at mark 150 deg", found(t, v, "runout[2].eccentricity").Words)
	assert.Contains(t, found(t, v, "runout[2].tir").Limit.Source, "IEC 60072-1")
	assert.Equal(t, []string{"runout[2].readings", "runout[2].limit", "runout[2].diameter"}, found(t, v, "runout[2].tir").Inputs)
	_, ok := v.Find("runout[2].ovality")
	assert.False(t, ok, "four marks do not show an oval")
}

// Eight marks of a section that is 0.02 eccentric toward mark 45 and oval by 0.01
// along marks 0 and 180.
func TestEvalOvality(t *testing.T) {
	r := soundJob()
	s := &r.Runout[2]
	s.Readings = nil
	for deg := 0.0; deg < 360; deg += 45 {
		a := deg * math.Pi / 180
		s.Readings = append(s.Readings, Reading{At: deg, Value: 0.02*math.Cos(a-math.Pi/4) + 0.01*math.Cos(2*a)})
	}
	v := evaluated(t, r)
	wantMM(t, v, "runout[2].eccentricity", 0.02)
	wantMM(t, v, "runout[2].ovality", 0.01)
	wantMM(t, v, "runout[2].off", 0.01)
	// The highest and the lowest of the eight: at 0 0.02/sqrt 2 + 0.01, at 270
	// -0.02/sqrt 2 - 0.01.
	wantMM(t, v, "runout[2].tir", 2*(0.02/math.Sqrt2+0.01))
	_, ok := v.Find("runout[2].closure")
	assert.False(t, ok, "no closing reading")
}

// The handbook's rule: hub 0.002 in, shaft 0.001 in. A hub of 0.06 mm is over;
// beside a shaft of 0.02 it is bored off centre, beside one of 0.03 the shaft is
// bent, and without a sweep of the shaft nobody knows.
func TestEvalHubRule(t *testing.T) {
	r := soundJob()
	hub, shaft := &r.Runout[3], &r.Runout[2]
	hub.Readings, shaft.Limit = quarterTurn(0, 0.03, 0.06, 0.03), "pump-handbook"
	for tir, want := range map[float64]string{0.02: "the hub is bored off centre: replace or re-bore it", 0.03: "straighten or replace the shaft"} {
		shaft.Readings = quarterTurn(0, tir/2, tir, tir/2)
		v := evaluated(t, r)
		wantVerdict(t, v, "runout[3].tir", 50.8e-6, Over)
		assert.Equal(t, want, found(t, v, "runout[3].tir").Words)
		assert.Contains(t, found(t, v, "runout[3].tir").Inputs, "runout[2].readings")
		wantMM(t, v, "runout[2].tir", tir)
		assert.InDelta(t, 25.4e-6, found(t, v, "runout[2].tir").Limit.Value, digits)
		assert.Equal(t, tir > 0.0254, found(t, v, "runout[2].tir").Verdict == Over)
	}
	r.Runout = append(r.Runout[:2], r.Runout[3])
	assert.Equal(t, "read the shaft beside the hub", found(t, evaluated(t, r), "runout[2].tir").Words)
	r.Runout[2].Readings = quarterTurn(0, 0.02, 0.04, 0.02)
	v := evaluated(t, r)
	assert.Equal(t, "go on", found(t, v, "runout[2].tir").Words)
	wantVerdict(t, v, "runout[2].tir", 50.8e-6, Within)
}

// A face swept on 200 mm reads 0, 0.01, 0.04, 0.03: the first harmonic is (0 -
// 0.04)/2 and (0.01 - 0.03)/2, so the tilt is hypot(0.02, 0.01)/100 mm. No limit is
// known for a face.
func TestEvalFaceRunoutByHand(t *testing.T) {
	r := soundJob()
	r.Runout[3] = RunoutSweep{Machine: "motor", Part: hubFacePart, Diameter: 200, Readings: quarterTurn(0, 0.01, 0.04, 0.03, 0)}
	v := evaluated(t, r)
	wantMM(t, v, "runout[3].tir", 0.04)
	wantSlope(t, v, "runout[3].tilt", 1000*math.Hypot(0.02, 0.01)/100)
	f := found(t, v, "runout[3].tir")
	assert.Nil(t, f.Limit)
	assert.Empty(t, f.Verdict, "no limit, no verdict")
	assert.Equal(t, "held against no limit", f.Words)
}

// A limit that has nothing to say for the diameter leaves the value, without a
// verdict.
func TestEvalRunoutLimitOutOfItsRange(t *testing.T) {
	r := soundJob()
	r.Runout[2].Diameter = 3 // IEC 60072-1 begins above 6 mm
	v := evaluated(t, r)
	wantError(t, v, "runout[2].limit", align.ErrOutOfRange, "runout[2].diameter")
	wantMM(t, v, "runout[2].tir", 0.02)
	assert.Empty(t, found(t, v, "runout[2].tir").Verdict)
	r.Runout[2].Limit = ""
	v = evaluated(t, r)
	assert.Equal(t, "held against no limit", found(t, v, "runout[2].tir").Words)
}

// Gaps on 250 mm: bottom less top 3.24 - 3.10 = 0.14, so the slope is 0.14/250 =
// 0.56 mm/m; left less right 3.19 - 3.15 = 0.04, so 0.16 mm/m. After half a turn
// they are 0.11 and 0.06: (0.14 + 0.11)/2 = 0.125 stayed, 0.015 turned; (0.04 +
// 0.06)/2 = 0.05 stayed, -0.01 turned. Under the straightedge 0.15 at the top and
// -0.15 at the bottom: the far hub stands 0.15 low; -0.06 at the right and 0.06 at
// the left: 0.06 toward 3 o'clock.
func TestEvalHubGapsByHand(t *testing.T) {
	r := soundJob()
	r.Hubs = []HubGaps{
		{Coupling: "coupling", Diameter: 250, Gaps: quarterTurn(3.10, 3.15, 3.24, 3.19),
			Straightedge: &StraightedgeGaps{Station: 120, Gaps: quarterTurn(0.15, -0.06, -0.15, 0.06)}},
		{Coupling: "coupling", Diameter: 250, Turned: 180, Gaps: quarterTurn(3.12, 3.14, 3.23, 3.20)},
	}
	v := evaluated(t, r)
	for id, want := range map[string]float64{
		"hubs[1].stayed.vertical": 0.125, "hubs[1].turned.vertical": 0.015, "hubs[1].stayed.horizontal": 0.05, "hubs[1].turned.horizontal": -0.01,
		"hubs[0].straightedge.offset.vertical": -0.15, "hubs[0].straightedge.offset.horizontal": 0.06,
	} {
		wantMM(t, v, id, want)
	}
	wantSlope(t, v, "hubs[0].slope.vertical", 0.56)
	wantSlope(t, v, "hubs[0].slope.horizontal", 0.16)
	wantSlope(t, v, "hubs[1].slope.vertical", 0.44)
	assert.Equal(t, "far shaft rises along x, gap wider at the bottom", found(t, v, "hubs[0].slope.vertical").Plus)
	for what, spoil := range map[string]func(*HubGaps){
		"not half a turn":  func(h *HubGaps) { h.Turned = 90 },
		"another diameter": func(h *HubGaps) { h.Diameter = 240 },
	} {
		h := r.Hubs[1]
		spoil(&r.Hubs[1])
		_, ok := evaluated(t, r).Find("hubs[1].stayed.vertical")
		require.False(t, ok, what)
		r.Hubs[1] = h
	}
}
