package worksheet

import (
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestRimFaceAgainstLibrary holds every asked figure against align.RimAndFace, the
// bracket on either shaft and either face touched.
func TestRimFaceAgainstLibrary(t *testing.T) {
	seen := map[[2]string]bool{}
	eachAligned(t, rimFaceKind(), func(t *testing.T, d Difficulty, r *Record, s *Sheet, v Values) {
		rim, face, _, err := r.rimFaceDials(0)
		require.NoError(t, err)
		seen[[2]string{rim.On, face.Touches}] = true
		m := align.RimAndFace{Rim: asDial(t, r, rim), Face: asDial(t, r, face)}
		m.Bracket = m.Rim.Bracket
		p, err := m.Solve()
		require.NoError(t, err)
		require.Equal(t, d != Plain, p.HorizontalKnown)
		sameAligned(t, float64(p.At(m.Rim.Station).Vertical), v["offset.rim.vertical"], "offset")
		sameAligned(t, p.Slope().Vertical, v["slope.vertical"], "slope")
		if p.HorizontalKnown {
			sameAligned(t, float64(p.At(m.Rim.Station).Horizontal), v["offset.rim.horizontal"], "offset")
			sameAligned(t, p.Slope().Horizontal, v["slope.horizontal"], "slope")
		}
		for id, dial := range map[string]align.Dial{"rim": m.Rim, "face": m.Face} {
			c := dial.Sag.Correct(dial.Sweep)
			sameAligned(t, float64(c[len(c)/2].Value-c[0].Value), v["corrected."+id], "corrected")
		}
		sameFeet(t, r, v, p)
	})
	assert.Len(t, seen, 4)
}

// rimFaceJob is a rim-and-face job in mils and inches with the rim dial at station
// 0 on the far hub, zeroed at 12.
func rimFaceJob(rim, face, swept, hub, sag float64, feet ...float64) *Record {
	r := inMil(feet...)
	r.Sag = []SagTest{{"rim", rollOver, sag}, {"face", rollOver, 0}}
	r.Sets = []Set{{Stage: AsFound, Coupling: "coupling", Method: RimAndFace, Dials: []Dial{
		{Touches: rimDial, On: onFar, Diameter: hub, Bracket: "rim", Readings: []Reading{{0, 0}, {180, rim}}},
		{Touches: faceToward, On: onFar, Diameter: swept, Bracket: "face", Readings: []Reading{{0, 0}, {180, face}}},
	}}}
	return r
}

// TestRimFacePublished works McMillan, Rotating Machinery: Practical Solutions to
// Unbalance and Misalignment (Fairmont Press, 2004), Fig. 8-13: rim -8 and face +2
// mil on a sweep of 10 in, feet at 18 and 48 in. The book reads +0.5 and -5.5 mil
// off a graph, to the nearest mil; the arithmetic gives 4 - 0.2*18 = 0.4 and
// 4 - 0.2*48 = -5.6.
func TestRimFacePublished(t *testing.T) {
	v := working(t, rimFaceKind(), rimFaceJob(-8, 2, 10, 0, 0, 18, 48), "")
	assert.InDelta(t, 4, inMils(v["offset.rim.vertical"]), 1e-9)
	assert.InDelta(t, -0.2e-3, v["slope.vertical"], 1e-12)
	assert.InDelta(t, 0.4, -inMils(v["move.inboard.vertical"]), 1e-9)
	assert.InDelta(t, -5.6, -inMils(v["move.outboard.vertical"]), 1e-9)
	assert.InDelta(t, 0.5, -inMils(v["move.inboard.vertical"]), 0.15)
	assert.InDelta(t, -5.5, -inMils(v["move.outboard.vertical"]), 0.15)
}

// TestRimFaceDemo holds each mistake against hand arithmetic on the line
// y = 4 - 0.35 x: sag -6, so the rim reads -2(4) - 6 = -14 at 6; swept diameter 5,
// so the face reads 0.35*5 = 1.75. The figures are where the feet seem to stand.
func TestRimFaceDemo(t *testing.T) {
	for _, c := range []struct {
		code              string
		inboard, outboard float64
	}{
		{"", -0.90, -7.90},
		{"face-halved", 1.55, -1.95},                             // 4 - 0.175 x
		{"radius-for-diameter", -5.80, -19.80},                   // 4 - 0.7 x
		{"face-sign", 8.90, 15.90},                               // 4 + 0.35 x
		{"hub-for-swept-diameter", 4 - 1.75/6*14, 4 - 1.75/6*34}, // -0.083, -5.917
		{"not-halved", 3.10, -3.90},                              // 8 - 0.35 x
		{"halved-twice", -2.90, -9.90},                           // 2 - 0.35 x
		{"rim-sign", -8.90, -15.90},                              // -4 - 0.35 x
		{"offsets-turned", 0.90, 7.90},                           // -4 + 0.35 x
		{"sag-forgotten", 2.10, -4.90},                           // reading -14: 7 - 0.35 x
		{"sag-added", 5.10, -1.90},                               // reading -20: 10 - 0.35 x
		{"sag-half", 0.60, -6.40},                                // reading -11: 5.5 - 0.35 x
		{"face-not-divided", 4 - 1.75*14, 4 - 1.75*34},           // slope 1.75
		{"face-as-offset", 2.25, 2.25},                           // 4 - 1.75
		{"dial-sign", -5.10, 1.90},                               // rim 14 + 6 = 20, face -1.75: -10 + 0.35 x
		{"foot-spacing", -0.90, -3.00},                           // 4 - 0.35*20
		{"slope-in-degrees", 4 - 0.35*57.29577951308232*14, 4 - 0.35*57.29577951308232*34},
	} {
		v := working(t, rimFaceKind(), rimFaceJob(-14, 1.75, 5, 6, -6, 14, 34), c.code)
		assert.InDelta(t, c.inboard, -inMils(v["move.inboard.vertical"]), 1e-9, c.code)
		assert.InDelta(t, c.outboard, -inMils(v["move.outboard.vertical"]), 1e-9, c.code)
	}
}

// TestRimFaceSigns: with the bracket on the far shaft the rim turns its sign and
// the face does not; on the back of the hub the face does (rules of the ITT Goulds
// 3196 manual, p. 31, for the bracket on the near shaft, and first principles).
func TestRimFaceSigns(t *testing.T) {
	r := rimFaceJob(-8, 2, 10, 0, 0, 18, 48)
	set := &r.Sets[0]
	set.Dials[0].On, set.Dials[1].On = onNear, onNear
	v := working(t, rimFaceKind(), r, "")
	assert.InDelta(t, -4, inMils(v["offset.rim.vertical"]), 1e-9)
	assert.InDelta(t, -0.2e-3, v["slope.vertical"], 1e-12)
	set.Dials[1].Touches = faceAway
	v = working(t, rimFaceKind(), r, "")
	assert.InDelta(t, 0.2e-3, v["slope.vertical"], 1e-12)
}
