package worksheet

import (
	"math"
	"testing"

	"collinear.example/align"
	"collinear.example/moves"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// setAt are the readings of shafts that stand off by v up and h to the right at the
// dial on the far hub, and by v2 and h2 at the one on the near hub.
func setAt(stage string, v, h, v2, h2 float64) Set {
	s := soundSet(stage)
	sweep := func(sign, v, h, sag float64) []Reading {
		return quarterTurn(0, sign*(h-v)+sag/2, -2*sign*v+sag, sign*(-h-v)+sag/2, 0)
	}
	s.Dials[0].Readings, s.Dials[1].Readings = sweep(1, v, h, -0.06), sweep(-1, v2, h2, -0.04)
	return s
}

func TestEvalSetAtIsTheSoundSet(t *testing.T) {
	got, want := setAt(AsFound, 0.05, -0.03, 0.01, 0.01), soundSet(AsFound)
	for i := range want.Dials {
		for k, r := range want.Dials[i].Readings {
			require.InDelta(t, r.Value, got.Dials[i].Readings[k].Value, 1e-15)
		}
	}
}

// movedJob stands 0.5 up and 0.3 toward 9 o'clock at the far dial, 0.1 and 0.1 at the
// near one, so 2 mm/m both ways. The motor was moved as asked: down by 0.5 + 220 x
// 0.002 = 0.94 and 0.5 + 700 x 0.002 = 1.9, toward 3 o'clock by 0.74 and 1.7.
func movedJob() *Record {
	r := soundJob()
	r.States = nil
	r.Sets = []Set{setAt(AsFound, 0.5, -0.3, 0.1, 0.1), setAt(AsLeft, 0, 0, 0, 0)}
	for i, f := range r.Train.Machines[1].Feet {
		up, right := -0.94, 0.74
		if i > 1 {
			up, right = -1.9, 1.7
		}
		r.Moves = append(r.Moves, MoveMade{After: 0, Machine: "motor", Foot: f.Name, Up: up, Right: right})
	}
	return r
}

// Moved as asked: nothing is predicted, nothing measured, the ratio is 0.
func TestEvalMoveMadeByHand(t *testing.T) {
	v := evaluated(t, movedJob())
	m := "moves.sets[0]."
	for _, p := range []string{"flex-near.vertical", "flex-near.horizontal", "flex-far.vertical", "flex-far.horizontal"} {
		wantMM(t, v, m+"predicted."+p, 0)
		wantMM(t, v, m+"off-plan."+p, 0)
	}
	for _, p := range []string{"flex-near.vertical", "flex-far.vertical", "flex-far.horizontal"} {
		wantIn(t, v, m+"ratio."+p, align.UnitOne, 0)
	}
	_, ok := v.Find(m + "ratio.flex-near.horizontal")
	assert.False(t, ok, "0.1 - 40 x 0.002 = 0.02 is too little to tell by a dial")
	for _, p := range []string{"vertical", "horizontal"} {
		assert.Equal(t, moves.MovedRight.Meaning()+"; the shafts came to where they were to come", found(t, v, m+"finding."+p).Words)
	}
	// The feet want what was done.
	wantMM(t, v, "sets[0].moves.train.machines[1].feet[2].vertical", -1.9)
	wantMM(t, v, "sets[0].moves.train.machines[1].feet[0].horizontal", 0.74)
	assert.Equal(t, []string{"moves[0]", "moves[1]", "moves[2]", "moves[3]", "sets[0]", "sag[0]", "sag[1]", "train.machines[1].feet"}, found(t, v, m+"predicted.flex-near.vertical").Inputs)
}

// What is left over what was to go names the mistake: after a move of k times the
// planned one 1 - k of the error is left.
func TestEvalMoveThatWentWrong(t *testing.T) {
	for _, c := range []struct {
		left    float64
		mistake moves.Mistake
	}{{-1, moves.NotHalved}, {0.5, moves.HalvedTwice}, {2, moves.WrongWay}, {1, moves.NotMoved}} {
		r := movedJob()
		r.Sets[1] = setAt(AsLeft, c.left*0.5, c.left*-0.3, c.left*0.1, c.left*0.1)
		v := evaluated(t, r)
		for _, p := range []string{"vertical", "horizontal"} {
			assert.Equal(t, c.mistake.Meaning(), found(t, v, "moves.sets[0].finding."+p).Words)
			wantIn(t, v, "moves.sets[0].ratio.flex-far."+p, align.UnitOne, c.left)
		}
		wantMM(t, v, "moves.sets[0].off-plan.flex-far.vertical", c.left*(0.1+180*0.002))
		ws := found(t, v, "moves.sets[0].finding.vertical").Warnings
		require.NotEmpty(t, ws)
		assert.Equal(t, string(moves.WarnOffPlan), ws[0].Code)
	}
}

// Where the readings fit by luck to the last digit, and the move is 0.01 off, the
// luck must not accuse it: a division of the dial stands for the uncertainty. By a
// given uncertainty of 0.001 it is off.
func TestEvalMoveAndTheUncertainty(t *testing.T) {
	r := movedJob()
	r.Sets[1] = setAt(AsLeft, 0.01, 0.01, 0.01, 0.01)
	v := evaluated(t, r)
	assert.Equal(t, moves.MovedRight.Meaning()+"; the shafts came to where they were to come", found(t, v, "moves.sets[0].finding.vertical").Words)
	f := found(t, v, "moves.sets[0].ratio.flex-far.vertical")
	require.NotNil(t, f.Sigma)
	assert.InDelta(t, math.Sqrt2*0.01/0.46, *f.Sigma, digits)
	r.Sets[0].Sigma, r.Sets[1].Sigma = num(0.001), num(0.001)
	v = evaluated(t, r)
	assert.NotContains(t, found(t, v, "moves.sets[0].finding.vertical").Words, "came to where")
}

// Feet of one pair that go differently: the mean counts, and the warning says that
// no rigid body goes so when they also do not fit the others. A pump that goes up
// by 0.1 at both ends takes 0.1 off.
func TestEvalMovesOfOddFeet(t *testing.T) {
	r := movedJob()
	r.Moves[0].Up, r.Moves[1].Up = -0.84, -1.04
	r.Moves = append(r.Moves, MoveMade{After: 0, Machine: "pump", Foot: "front left", Up: 0.1}, MoveMade{After: 0, Machine: "pump", Foot: "rear right", Up: 0.1})
	v := evaluated(t, r)
	wantMM(t, v, "moves.sets[0].predicted.flex-near.vertical", -0.1)
	wantMM(t, v, "moves.sets[0].predicted.flex-far.vertical", -0.1)
	f := found(t, v, "moves.sets[0].train.machines[1].rigid")
	require.Len(t, f.Warnings, 1)
	assert.Equal(t, string(align.WarnResidual), f.Warnings[0].Code)
	_, ok := v.Find("moves.sets[0].train.machines[0].rigid")
	assert.False(t, ok)
	// Two moves at one foot add up; a station of which no foot is named stays.
	r = movedJob()
	r.Moves = []MoveMade{{After: 0, Machine: "motor", Foot: "front left", Up: -0.4}, {After: 0, Machine: "motor", Foot: "front left", Up: -0.08}}
	v = evaluated(t, r)
	wantMM(t, v, "moves.sets[0].predicted.flex-far.vertical", 0.46-0.48*(860-140)/480)
}

// A move belongs between the set it was made after and the next of its coupling; a
// hot check is none.
func TestEvalMovesBetweenSets(t *testing.T) {
	r := movedJob()
	r.Sets = []Set{r.Sets[0], setAt(HotCheck, 0.3, 0, 0, 0), setAt(AfterMove, 0.2, 0, 0, 0), r.Sets[1]}
	for i := range r.Moves {
		r.Moves[i].After = 1 // behind the hot check
	}
	v := evaluated(t, r)
	wantMM(t, v, "moves.sets[0].predicted.flex-far.vertical", 0)
	wantMM(t, v, "moves.sets[0].off-plan.flex-far.vertical", 180*0.001)
	for _, id := range []string{"moves.sets[1].predicted.flex-far.vertical", "moves.sets[2].predicted.flex-far.vertical"} {
		_, ok := v.Find(id)
		assert.False(t, ok, id)
	}
	for i := range r.Moves {
		r.Moves[i].After = 3
	}
	v = evaluated(t, r)
	assert.Contains(t, found(t, v, "moves.sets[3].next").Words, "nobody looked")
	wantMM(t, v, "moves.sets[3].predicted.flex-far.vertical", -0.94+240*2e-3)
}

// A move after the last set is none between the two.
func TestEvalMoveAfterTheLastSet(t *testing.T) {
	r := movedJob()
	for i := range r.Moves {
		r.Moves[i].After = 1
	}
	v := evaluated(t, r)
	_, ok := v.Find("moves.sets[0].predicted.flex-far.vertical")
	assert.False(t, ok)
	wantMM(t, v, "moves.sets[1].predicted.flex-far.vertical", -0.94+240*2e-3)
}

// With one flex plane the move is looked at over the span of the dials.
func TestEvalMoveWithOneFlexPlane(t *testing.T) {
	r := movedJob()
	r.Train.Couplings[0].FlexPlanes = []float64{70}
	r.Moves = r.Moves[:2]
	v := evaluated(t, r)
	wantMM(t, v, "moves.sets[0].predicted.near.vertical", 0.1-0.94*(860+40)/480)
	wantMM(t, v, "moves.sets[0].predicted.far.vertical", 0.5-0.94*(860-160)/480)
	assert.Contains(t, found(t, v, "moves.sets[0].predicted.far.vertical").Says, "station 160.0 mm")
}

// 2.0 mm under the foot as leaves of 1, 0.5, 0.5: 0.3 more asks for 0.1 + 0.2; 0.55
// less takes out one 0.5 and puts in nothing that comes nearer than 0.05. Only 1.2
// may come out where 0.8 must stay.
func TestEvalWantedByHand(t *testing.T) {
	r := soundJob()
	feet := r.Train.Machines[1].Feet
	feet[0].Leaves, feet[1].Leaves, feet[2].Leaves, feet[2].Least = []float64{1, 0.5, 0.5}, []float64{1, 0.5, 0.5}, []float64{1, 0.5, 0.5}, num(0.8)
	r.Stock = &Stock{Leaves: []float64{0.1, 0.2}, MaxLeaves: 5, Within: 0.025}
	r.Wanted = []MoveWanted{
		{Machine: "motor", Foot: "front left", Up: 0.3}, {Machine: "motor", Foot: "front right", Up: -0.5},
		{Machine: "motor", Foot: "rear left", Up: -1.3}, {Machine: "motor", Foot: "rear right", Up: 0.2},
	}
	v := evaluated(t, r)
	wantMM(t, v, "wanted[0].pack", 2.3)
	wantMM(t, v, "wanted[0].pack.error", 0)
	assert.Contains(t, found(t, v, "wanted[0].pack").Words, "take out: none; put in: ")
	wantMM(t, v, "wanted[1].pack", 1.5)
	assert.Contains(t, found(t, v, "wanted[1].pack").Words, "take out: 0.5 mm; put in: none; from the bottom: ")
	wantError(t, v, "wanted[2]", align.ErrOutOfRange, "wanted[2].change")
	wantMM(t, v, "wanted[3].pack", 2.2) // 2 mm without leaves is one leaf
	r.Stock = nil
	v = evaluated(t, r)
	wantError(t, v, "wanted[0]", align.ErrMissing, "stock")
	r = soundJob()
	r.Wanted = []MoveWanted{{Machine: "motor", Foot: "front left", Up: 0.3}}
	r.Train.Machines[1].Feet[0].Shims = nil
	wantError(t, evaluated(t, r), "wanted[0]", align.ErrMissing, "wanted[0].foot")
}
