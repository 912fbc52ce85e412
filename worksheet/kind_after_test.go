package worksheet

import (
	"math"
	"testing"

	"collinear.example/align"
	"collinear.example/moves"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// solved is the position of one set of readings.
func solved(t *testing.T, r *Record, set int) align.Position {
	t.Helper()
	far, near, err := r.reverseDials(set)
	require.NoError(t, err)
	p, err := align.ReverseIndicator{OnFar: rimDialOf(t, r, far), OnNear: rimDialOf(t, r, near)}.Solve()
	require.NoError(t, err)
	return p
}

// TestAfterAgainstLibrary holds every asked figure against align.ReverseIndicator
// and moves.Response; where the library names one explanation it is that of the
// sheet.
func TestAfterAgainstLibrary(t *testing.T) {
	named := 0
	eachPipeJob(t, afterKind(), func(t *testing.T, d Difficulty, r *Record, s *Sheet, v Values) {
		far, near, err := r.reverseDials(0)
		require.NoError(t, err)
		stations := []unit.Length{unit.Length(r.Units.length(near.Station)), unit.Length(r.Units.length(far.Station))}
		before, after := solved(t, r, 0), solved(t, r, 1)
		for i, id := range []string{"near", "far"} {
			heldTo(t, float64(before.At(stations[i]).Vertical), v["before."+id], "before")
			heldTo(t, float64(after.At(stations[i]).Vertical), v["after."+id], "after")
		}
		response := moves.Response{Before: before.Axis, Planned: before.Neg(), After: after.Axis, Stations: stations, Sigma: 10 * align.Micrometre}
		result, err := response.Compare()
		require.NoError(t, err)
		for i, id := range []string{"near", "far"} {
			require.True(t, result.Vertical.Stations[i].Usable)
			require.InDelta(t, result.Vertical.Stations[i].Ratio, v["ratio."+id], 1e-9)
		}
		for _, f := range r.Train.Machines[1].Feet {
			heldTo(t, float64(result.NextFar(unit.Length(r.Units.length(f.Station))).Vertical), v["move."+f.Name+".vertical"], "next move")
		}
		// Twice the root of 2 times 0.01 mm on 0.2 mm and more is less than a fifth.
		switch result.Vertical.Finding {
		case moves.Named:
			named++
			require.EqualValues(t, result.Vertical.Fits[0], v["meaning"])
		case moves.NoneFits:
			worst := 0.0
			for _, m := range moves.Mistakes() {
				if float64(m) == v["meaning"] {
					worst = max(math.Abs(v["ratio.near"]-m.Ratio()), math.Abs(v["ratio.far"]-m.Ratio()))
				}
			}
			require.LessOrEqual(t, worst, 0.2)
		}
	})
	assert.Greater(t, named, 400)
	for i, m := range moves.Mistakes() {
		assert.Equal(t, m.String(), afterMeanings[i])
	}
}

// afterByHand: before the move the offsets are 10 and 4 mil at the far and the
// near dial, after it -10 and -4: readings -20 and +8, then +20 and -8, no sag.
func afterByHand(far, near float64) *Record {
	r := milRecord(14, 34)
	r.Sag = []SagTest{{"a", rollOver, -4}, {"b", rollOver, -6}}
	for i, o := range [][2]float64{{10, 4}, {far, near}} {
		r.Sets = append(r.Sets, Set{Stage: []string{AsFound, AfterMove}[i], Coupling: "coupling", Method: ReverseIndicator, Dials: []Dial{
			{Touches: rimDial, On: onFar, Station: 8, Bracket: "a", Readings: []Reading{{0, 0}, {180, -2*o[0] - 4}}},
			{Touches: rimDial, On: onNear, Station: 0, Bracket: "b", Readings: []Reading{{0, 0}, {180, 2*o[1] - 6}}},
		}})
	}
	return r
}

// TestAfterByHand: a move of k times the right one leaves 1 - k (derived). With
// -10 and -4 left the slope is -0.75 mil/in; at feet 14 and 34 in away the shaft
// stands -4 - 10.5 = -14.5 and -4 - 25.5 = -29.5 mil, so raise both.
func TestAfterByHand(t *testing.T) {
	k := afterKind()
	for want, left := range map[string][2]float64{"right": {0, 0}, "not halved": {-10, -4}, "halved twice": {5, 2}, "wrong way": {20, 8}, "not moved": {10, 4}, "none of these": {10, 0}} {
		v := worked(t, k, afterByHand(left[0], left[1]), "")
		assert.Equal(t, want, afterMeanings[int(v["meaning"])])
		assert.InDelta(t, left[0]/10, v["ratio.far"], 1e-12)
		assert.InDelta(t, left[1]/4, v["ratio.near"], 1e-12)
	}
	v := worked(t, k, afterByHand(-10, -4), "")
	assert.InDelta(t, 14.5, mils(v["move.inboard.vertical"]), 1e-9)
	assert.InDelta(t, 29.5, mils(v["move.outboard.vertical"]), 1e-9)
	for _, c := range []struct {
		code, step string
		want       float64 // mils where it is a length
	}{
		{"not-halved", "before.far", 20}, {"halved-twice", "before.far", 5}, {"near-sign-kept", "after.near", 4}, {"offsets-turned", "after.far", 10},
		{"sag-forgotten", "before.far", 12},           // half of 20 + 4
		{"sag-added", "before.near", -2},              // half of 2 - 6
		{"sag-half", "before.near", 2.5},              // half of 2 + 3
		{"sag-doubled", "before.near", 7},             // half of 2 + 12
		{"after-sag-first-set-only", "after.far", -8}, // half of -16
		{"after-move-from-first", "move.inboard.vertical", -14.5},
		{"position-for-move", "move.inboard.vertical", -14.5},
		{"feet-exchanged", "move.inboard.vertical", 29.5},
		{"slope-sign", "move.inboard.vertical", -6.5},        // -(-4 + 10.5)
		{"feet-from-far-dial", "move.inboard.vertical", 8.5}, // -(-4 - 0.75*6)
	} {
		assert.InDelta(t, c.want, mils(worked(t, k, afterByHand(-10, -4), c.code)[c.step]), 1e-9, c.code)
	}
	for _, c := range []struct {
		code, step string
		left       [2]float64
		want       float64
	}{
		{"after-ratio-inverted", "ratio.far", [2]float64{5, 2}, 2},
		{"after-ratio-sign-lost", "ratio.far", [2]float64{-10, -4}, 1},
		{"after-share-moved", "ratio.far", [2]float64{-10, -4}, 2},
		{"after-one-place", "ratio.far", [2]float64{10, 0}, 0},
		{"after-minus-as-wrong-way", "meaning", [2]float64{-10, -4}, float64(moves.WrongWay)},
		{"after-half-as-not-halved", "meaning", [2]float64{5, 2}, float64(moves.NotHalved)},
	} {
		assert.InDelta(t, c.want, worked(t, k, afterByHand(c.left[0], c.left[1]), c.code)[c.step], 1e-12, c.code)
	}
}
