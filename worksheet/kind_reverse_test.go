package worksheet

import (
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// TestReverseAgainstLibrary holds every asked figure against
// align.ReverseIndicator.
func TestReverseAgainstLibrary(t *testing.T) {
	eachAligned(t, reverseKind(), func(t *testing.T, d Difficulty, r *Record, s *Sheet, v Values) {
		far, near, err := r.reverseDials(0)
		require.NoError(t, err)
		onFar, onNear := asDial(t, r, far), asDial(t, r, near)
		p, err := align.ReverseIndicator{OnFar: onFar, OnNear: onNear}.Solve()
		require.NoError(t, err)
		require.Equal(t, d != Plain, p.HorizontalKnown)
		for id, dial := range map[string]*align.Dial{"far": &onFar, "near": &onNear} {
			corrected := dial.Sag.Correct(dial.Sweep)
			i := len(corrected) / 2 // 6 o'clock of two readings or four
			if len(corrected) == 3 {
				i = 2
			}
			sameAligned(t, float64(corrected[i].Value-corrected[0].Value), v["corrected."+id], "corrected")
			o := p.At(dial.Station)
			sameAligned(t, float64(o.Vertical), v["offset."+id+".vertical"], "offset")
			if p.HorizontalKnown {
				sameAligned(t, float64(o.Horizontal), v["offset."+id+".horizontal"], "offset")
			}
		}
		sameAligned(t, p.Slope().Vertical, v["slope.vertical"], "slope")
		if p.HorizontalKnown {
			sameAligned(t, p.Slope().Horizontal, v["slope.horizontal"], "slope")
		}
		if d == Severe { // the side that was not read: the sums of opposite readings agree
			sweep := append(onNear.Sweep, align.Reading{At: align.Nine, Value: unit.Length(v["near.9"])})
			sum, ok := sweep.SumRule()
			require.True(t, ok)
			assert.InDelta(t, 0, float64(sum), 1e-15)
		}
		sameFeet(t, r, v, p)
	})
}

// reverseDemo is a job worked by hand, in mils and inches: dials at stations 0 and
// 8, feet at 14 and 34, sag -4 on the dial of the far hub and -6 on the other. The
// second shaft lies on y = 4 - 0.35 x, so it stands at 4 and 1.2 at the dials; the
// dial on the far hub reads -2(1.2) - 4 = -6.4, the other +2(4) - 6 = 2.
func reverseDemo() *Record {
	r := inMil(14, 34)
	r.Sag = []SagTest{{"a", rollOver, -4}, {"b", rollOver, -6}}
	r.Sets = []Set{{Stage: AsFound, Coupling: "coupling", Method: ReverseIndicator, Dials: []Dial{
		{Touches: rimDial, On: onFar, Station: 8, Bracket: "a", Readings: []Reading{{0, 0}, {180, -6.4}}},
		{Touches: rimDial, On: onNear, Station: 0, Bracket: "b", Readings: []Reading{{0, 0}, {180, 2}}},
	}}}
	return r
}

// TestReverseDemo holds the right answers and those of each mistake against hand
// arithmetic: where the feet then seem to stand, y = -move.
func TestReverseDemo(t *testing.T) {
	for _, c := range []struct {
		code              string
		inboard, outboard float64
	}{
		{"", -0.90, -7.90},                     // 4 - 0.35*14, 4 - 0.35*34
		{"not-halved", -1.80, -15.80},          // twice
		{"halved-twice", -0.45, -3.95},         // half
		{"sag-forgotten", 4.85, 10.35},         // 3.2 at 8, 1 at 0: 1 + 0.275 x
		{"sag-added", 10.60, 28.60},            // 5.2 at 8, -2 at 0: -2 + 0.9 x
		{"sag-half", 1.975, 1.225},             // 2.2 at 8, 2.5 at 0: 2.5 - 0.0375 x
		{"sag-far-only", 1.35, 1.85},           // 1.2 at 8, 1 at 0: 1 + 0.025 x
		{"sag-near-only", 2.60, 0.60},          // 3.2 at 8, 4 at 0: 4 - 0.1 x
		{"near-sign-kept", 5.10, 18.10},        // 1.2 at 8, -4 at 0: -4 + 0.65 x
		{"dials-exchanged", -6.10, -13.10},     // -4 at 8, -1.2 at 0: -1.2 - 0.35 x
		{"feet-from-far-dial", 1.90, -5.10},    // 4 - 0.35*6, 4 - 0.35*26
		{"inboard-for-outboard", -0.90, -0.90}, // 4 - 0.35*14 at both
		{"foot-spacing", -0.90, -3.00},         // 4 - 0.35*20
		{"span-half", -5.80, -19.80},           // 4 - 0.7 x
		{"feet-exchanged", -7.90, -0.90},
		{"position-for-move", 0.90, 7.90},
		// More of the same, worked likewise.
		{"dial-sign", -10.60, -28.60},          // corrected 10.4 and 4: -5.2 at 8, 2 at 0: 2 - 0.9 x
		{"offsets-turned", 0.90, 7.90},         // -4 + 0.35 x
		{"slope-sign", 8.90, 15.90},            // 4 + 0.35 x
		{"slope-added", 13.10, 26.10},          // 4 + 0.65 x
		{"far-not-halved", 1.20, -2.80},        // 2.4 at 8: 4 - 0.2 x
		{"near-not-halved", -3.90, -20.90},     // 8 at 0: 8 - 0.85 x
		{"sag-doubled", -6.65, -26.15},         // corrected 1.6 and 14: -0.8 at 8, 7 at 0: 7 - 0.975 x
		{"sag-of-other-bracket", -1.90, -8.90}, // corrected -0.4 and 6: 0.2 at 8, 3 at 0: 3 - 0.35 x
		{"span-to-feet", 1.20, -2.80},          // slope -2.8/14 = -0.2
		{"inboard-added-twice", -0.90, -12.80}, // 4 - 0.35*48
		{"distance-sign", 8.90, 15.90},         // 4 + 0.35 x
		{"offset-for-foot", 4.00, 4.00},        // the offset at station 0
		{"inboard-at-coupling", 1.20, -7.90},   // the offset at station 8
		{"offset-of-far-dial", -3.70, -10.70},  // 1.2 - 0.35 x
		{"far-sign-turned", -5.10, -18.10},     // -1.2 at 8, 4 at 0: 4 - 0.65 x
		{"division-doubled", 3.95, 2.45},       // corrected -8.8 and 10: 4.4 at 8, 5 at 0: 5 - 0.075 x
	} {
		v := working(t, reverseKind(), reverseDemo(), c.code)
		assert.InDelta(t, c.inboard, -inMils(v["move.inboard.vertical"]), 1e-9, c.code)
		assert.InDelta(t, c.outboard, -inMils(v["move.outboard.vertical"]), 1e-9, c.code)
	}
}
