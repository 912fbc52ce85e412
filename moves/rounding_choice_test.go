package moves_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"collinear.example/moves"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// Which heights the feet take.

// Two feet on a line that runs at an angle to the train get the shims that they
// are told: the turn is about the level line across that of the feet.
func TestRoundingOfAnObliqueLine(t *testing.T) {
	rnd := rand.New(rand.NewPCG(11, 13))
	for _, z := range []unit.Length{0.2, -0.2, 0.7} {
		train, wanted := roundTrain(rnd, 2, true)
		train.Machines[1].Feet = []moves.Foot{{Name: "inboard", At: align.Place{X: 1.8, Z: z}}, {Name: "outboard", At: align.Place{X: 2.7, Z: -z / 2}}}
		r, err := moves.RoundShims(context.Background(), &train, wanted, moves.Rounding{Step: 5e-5})
		require.NoError(t, err)
		for j, f := range r.Feet[1] {
			require.InDelta(t, float64(f.Shim), float64(r.Motions[1].At(train.Machines[1].Feet[j].At).Y), 1e-12)
		}
	}
}

// 0.12 mm are wanted on steps of 0.05 mm with 0.10 mm of room: 0.10 mm is next to
// it and within the room to the last digit, up as down.
func TestRoundingToTheEndOfTheRoom(t *testing.T) {
	room := unit.Length(0.1e-3)
	for _, sign := range []unit.Length{1, -1} {
		train, wanted := roundTrain(rand.New(rand.NewPCG(9, 8)), 2, true)
		wanted[1] = align.Motion{Shift: align.Displacement{Y: sign * 0.12e-3}}
		for i := range train.Machines[1].Feet {
			train.Machines[1].Feet[i].Range = moves.FootRange{Up: &room, Down: &room}
		}
		r, err := moves.RoundShims(context.Background(), &train, wanted, moves.Rounding{Step: 5e-5})
		require.NoError(t, err)
		for _, f := range r.Feet[1] {
			require.InDelta(t, float64(sign)*0.1e-3, float64(f.Shim), 1e-12)
		}
	}
}

// lastAlone is a train of three of which only the last is rounded, while the first
// coupling is so far over its limit that nothing the last one does is seen in the
// worst: its feet then take the heights nearest to the plan.
func lastAlone(seed uint64) (moves.Train, []align.Motion, moves.Rounding) {
	train, wanted := roundTrain(rand.New(rand.NewPCG(seed, 8)), 3, true)
	for i := range train.Couplings[0].Offsets {
		train.Couplings[0].Offsets[i].Limit *= 1e-4
	}
	return train, wanted, moves.Rounding{Step: 5e-5, Skip: []int{0, 1}}
}

func TestFeetTakeTheNearestHeights(t *testing.T) {
	for seed := range uint64(20) {
		train, wanted, rounding := lastAlone(seed)
		wanted[2].Turn.X = 0
		r, err := moves.RoundShims(context.Background(), &train, wanted, rounding)
		require.NoError(t, err)
		for _, f := range r.Feet[2] {
			require.InDelta(t, math.Round(float64(f.Wanted)/5e-5)*5e-5, float64(f.Shim), 1e-12, "seed %d", seed)
		}
	}
}

// With packs of 0 and 0.4 mm a foot may twist by half of that, if nothing else is
// said: feet that want 0.05, 0.25, 0.25 and 0.45 mm get one of nothing and three
// of 0.4 mm, which are 0.1 mm off a plane each.
func TestTwistThatListsAllow(t *testing.T) {
	train, wanted, rounding := lastAlone(1)
	feet := train.Machines[2].Feet
	middle := align.Place{X: (feet[0].At.X + feet[2].At.X) / 2}
	wanted[2] = align.Motion{About: middle, Shift: align.Displacement{Y: 0.25e-3}}
	long := float64(feet[2].At.X - feet[0].At.X)
	wanted[2].Turn = align.Turn{Z: 0.2e-3 / long, X: -0.2e-3 / 0.5}
	list := []unit.Length{0, 0.4e-3}
	rounding.Step, rounding.Reachable = 0, [][][]unit.Length{nil, nil, {list, list, list, list}}
	r, err := moves.RoundShims(context.Background(), &train, wanted, rounding)
	require.NoError(t, err)
	shims := 0.0
	for _, f := range r.Feet[2] {
		shims += float64(f.Shim)
	}
	require.InDelta(t, 1.2e-3, shims, 1e-12)
	require.InDelta(t, 0.1e-3, float64(r.Twist[2]), 1e-12)
	none := unit.Length(0)
	rounding.Twist = &none
	r, err = moves.RoundShims(context.Background(), &train, wanted, rounding)
	require.NoError(t, err)
	require.InDelta(t, 0, float64(r.Twist[2]), 1e-9)
}

// A height on the list that is just what is wanted is the only one next to it.
func TestWantedHeightOnTheList(t *testing.T) {
	train, wanted := roundTrain(rand.New(rand.NewPCG(9, 8)), 2, true)
	wanted[1] = align.Motion{Shift: align.Displacement{Y: 3e-4}}
	list := []unit.Length{2e-4, 2.5e-4, 3e-4, 3.5e-4, 4e-4}
	r, err := moves.RoundShims(context.Background(), &train, wanted, moves.Rounding{Reachable: [][][]unit.Length{nil, {list, list, list, list}}})
	require.NoError(t, err)
	for _, f := range r.Feet[1] {
		require.InDelta(t, 3e-4, float64(f.Shim), 1e-15)
	}
}
