package worksheet

import (
	"math"
	"testing"

	"collinear.example/align"
	"collinear.example/piping"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// TestObliqueAgainstLibrary holds every asked figure against piping.Oblique.
func TestObliqueAgainstLibrary(t *testing.T) {
	eachPipeJob(t, obliqueKind(), func(t *testing.T, d Difficulty, r *Record, s *Sheet, v Values) {
		in := &r.Oblique[0]
		o := piping.Oblique{At: align.Clock(in.At), Reading: align.Movement(r.Units.reading(in.Reading))}
		limit := unit.Length(r.Units.reading(in.Limit))
		least, err := o.Least()
		require.NoError(t, err)
		heldTo(t, float64(least), v["least"], "least")
		most, err := o.MostWithin(limit)
		require.NoError(t, err)
		heldTo(t, float64(most), v["most-within"], "most-within")
		outcome, err := o.Judge(limit)
		require.NoError(t, err)
		require.Equal(t, map[piping.Outcome]float64{piping.Over: 1, piping.Undecided: 2}[outcome], v["verdict"])
		if s.step("only-up") != nil {
			for id, toward := range map[string]align.Clock{"only-up": align.Twelve, "only-right": align.Three} {
				size, ok, err := o.Visible(toward, least)
				require.NoError(t, err)
				require.True(t, ok)
				heldTo(t, float64(size), math.Abs(v[id]), id)
			}
		}
		if st := s.step("blind"); st != nil {
			after, before, err := o.Blind()
			require.NoError(t, err)
			clocks := map[float64]string{45: "1:30", 135: "4:30", 225: "7:30", 315: "10:30"}
			one, other := clocks[float64(after)], clocks[float64(before)]
			require.Contains(t, []string{one + " and " + other, other + " and " + one}, st.Choices[int(v["blind"])])
		}
		if in.Up == nil {
			return
		}
		up := align.Movement(r.Units.reading(*in.Up))
		left, err := o.Redundancy(up, align.Movement(v["right"]))
		require.NoError(t, err)
		require.InDelta(t, 0, float64(left), 1e-15) // up and right together give the reading
		heldTo(t, math.Hypot(float64(up), v["right"]), v["whole"], "whole")
		if in.Right != nil {
			left, err := o.Redundancy(up, align.Movement(r.Units.reading(*in.Right)))
			require.NoError(t, err)
			require.InDelta(t, float64(left), v["left-over"], 1e-15)
			heldTo(t, float64(o.Reading-left), v["expected"], "expected")
		}
	})
}

func obliqueByHand(at, reading float64, up, right *float64) *Record {
	r := &Record{Format: Format, Title: "hand", Units: Units{Length: align.UnitMillimetre, Reading: align.UnitMillimetre}}
	r.Train.Machines = []Machine{{Name: "pump"}}
	r.Oblique = []ObliqueDial{{Machine: "pump", What: "discharge flange", At: at, Reading: reading, Up: up, Right: right, Limit: 0.05, Source: "hand"}}
	return r
}

// TestObliqueByHand: at 45 degrees a movement of 0.05 up and 0.05 to the right
// reads 0.0707 mm, the most within the limit; so 0.06 proves nothing and 0.08
// proves that a limit is broken. Straight up, 0.06 would be 0.0849. With 0.02 up it
// is (0.06 - 0.0141)/0.7071 = 0.0649 to the right.
func TestObliqueByHand(t *testing.T) {
	k := obliqueKind()
	v := worked(t, k, obliqueByHand(45, 0.06, nil, nil), "")
	for id, want := range map[string]float64{"least": 60e-6, "most-within": 70.7107e-6, "verdict": 2, "only-up": 84.8528e-6, "only-right": 84.8528e-6, "blind": 1} {
		assert.InDelta(t, want, v[id], 1e-10, id)
	}
	assert.EqualValues(t, 1, worked(t, k, obliqueByHand(45, -0.08, nil, nil), "")["verdict"])
	at315 := worked(t, k, obliqueByHand(315, 0.06, nil, nil), "")
	assert.InDelta(t, -84.8528e-6, at315["only-right"], 1e-10) // it stands on the left: plus is toward 9 o'clock
	assert.Zero(t, at315["blind"])
	up, right := 0.02, 0.05
	both := worked(t, k, obliqueByHand(45, 0.06, &up, &right), "")
	assert.InDelta(t, 64.8528e-6, both["right"], 1e-10)
	assert.InDelta(t, 67.8667e-6, both["whole"], 1e-10)     // root of 0.02^2 + 0.0648528^2
	assert.InDelta(t, 49.4975e-6, both["expected"], 1e-10)  // 0.07 * 0.70711
	assert.InDelta(t, 10.5025e-6, both["left-over"], 1e-10) // 0.06 - 0.0494975
	for _, c := range []struct {
		code, step string
		want       float64
	}{
		{"strain-halved", "least", 30e-6},
		{"dial-sign", "only-up", -84.8528e-6},
		{"oblique-reading-as-component", "only-up", 60e-6},
		{"oblique-multiplied", "only-up", 42.4264e-6},
		{"oblique-sign-of-side", "only-right", -84.8528e-6},
		{"oblique-limit-as-bound", "most-within", 50e-6},
		{"oblique-limit-as-bound", "verdict", 1},
		{"oblique-limits-added", "most-within", 100e-6},
		{"oblique-one-limit", "most-within", 35.3553e-6},
		{"oblique-least-part", "least", 42.4264e-6},
		{"oblique-least-as-if-up", "least", 84.8528e-6},
		{"oblique-small-is-within", "verdict", 0},
		{"oblique-blind-across", "blind", 0},
	} {
		assert.InDelta(t, c.want, worked(t, k, obliqueByHand(45, 0.06, nil, nil), c.code)[c.step], 1e-10, c.code)
	}
	for _, c := range []struct {
		code, step string
		want       float64
	}{
		{"oblique-vertical-forgotten", "right", 84.8528e-6},
		{"oblique-vertical-whole", "right", 56.5685e-6}, // 0.04/0.70711
		{"oblique-not-divided", "right", 45.8579e-6},    // 0.06 - 0.0141421
		{"oblique-added", "whole", 84.8528e-6},          // 0.02 + 0.0648528
		{"oblique-not-projected", "expected", 70e-6},
	} {
		assert.InDelta(t, c.want, worked(t, k, obliqueByHand(45, 0.06, &up, &right), c.code)[c.step], 1e-10, c.code)
	}
}
