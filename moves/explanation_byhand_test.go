package moves_test

import (
	"context"
	"math"
	"testing"

	"collinear.example/align"
	"collinear.example/moves"
	"collinear.example/piping"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What limits have to give, of trains so small that it is worked out by hand.

// givesOf returns what one kind of limit alone has to give.
func givesOf(t *testing.T, p *moves.Plan, kind moves.Kind) moves.Relaxation {
	t.Helper()
	require.False(t, p.Feasible)
	for _, r := range p.Why.Relaxations {
		if r.Kind == kind {
			return r
		}
	}
	require.Fail(t, "nothing of this kind gives", "%v", kind)
	return moves.Relaxation{}
}

// The motor can come up by 0.15 mm of 0.3 mm. A resultant limit of 0.1 mm is a
// polygon, so that its side is at 0.1 mm times the cosine of a sixteenth of half a
// turn: the limit has to be 0.15 mm over that cosine. A slope of 1 mm/m that cannot
// be turned out is the same of its own limit, whichever the offsets have.
func TestGivesOfResultants(t *testing.T) {
	side := math.Cos(math.Pi / 16)
	for _, resultant := range []bool{true, false} {
		train := levelled(piping.Ways{ShiftY: true}, 1)
		train.Machines[1].Feet[0].Range = moves.Within(0.15e-3, 0.15e-3, 1, 1)
		train.Couplings[0].Offsets[0].Resultant = resultant
		train.Couplings[0].Slope = &moves.SlopeLimit{Limit: 1e-3, Resultant: !resultant}
		want := 0.05e-3
		if resultant {
			want = 0.15e-3/side - 0.1e-3
		}
		r := givesOf(t, mustPlan(t, train), moves.CouplingLimit)
		require.Len(t, r.Gives, 1)
		assert.InDelta(t, want, r.Gives[0].Amount, 1e-10)
		assert.InDelta(t, want, r.Sum, 1e-10)
		assert.False(t, r.Gives[0].Ref.Slope)
		assert.Zero(t, r.Gives[0].Ref.Toward)

		train = levelled(piping.Ways{ShiftY: true}, 1)
		train.Couplings[0].Found = align.Axis{Vertical: align.Line{Slope: 1e-3}}
		train.Couplings[0].Offsets[0].Resultant = !resultant
		train.Couplings[0].Slope = &moves.SlopeLimit{Limit: 0.4e-3, Resultant: resultant}
		want = 0.6e-3
		if resultant {
			want = 1e-3/side - 0.4e-3
		}
		r = givesOf(t, mustPlan(t, train), moves.CouplingLimit)
		require.Len(t, r.Gives, 1)
		assert.InDelta(t, want, r.Gives[0].Amount, 1e-10)
		assert.True(t, r.Gives[0].Ref.Slope)
	}
}

// The pump has to come up by 0.3 mm for the end of a tolerance of 0.1 mm that must
// be kept, and has room for 0.1 mm: the room or the tolerance gives 0.2 mm. The
// compromise keeps the feet, and brings the flange as near as they let it.
func TestGivesOfAFlange(t *testing.T) {
	train := pipedPump(t, 0.1e-3, 0.2e-3)
	train.Couplings[0].Offsets[0].Resultant = true
	for i := range train.Machines[0].Goals[0].Parts {
		train.Machines[0].Goals[0].Parts[i].Hard = true
	}
	train.Machines[0].Feet[0].Range = moves.Within(0.1e-3, 0.1e-3, 1, 1)
	p := mustPlan(t, train)
	for _, kind := range []moves.Kind{moves.FootVertical, moves.FlangeGoal} {
		r := givesOf(t, p, kind)
		require.Len(t, r.Gives, 1)
		assert.InDelta(t, 0.2e-3, r.Gives[0].Amount, 1e-10, "%v", kind)
		assert.InDelta(t, 0.2e-3, r.Sum, 1e-10)
	}
	require.Len(t, p.Why.Relaxations, 2, "no other kind helps alone")
	assert.InDelta(t, 0.2e-3, p.Why.Together.Sum, 1e-10)
	require.Len(t, p.Why.Conflict, 2)
	assert.Equal(t, []moves.Kind{moves.FootVertical, moves.FootLateral}, p.Why.Kept)
	assert.InDelta(t, 0.1e-3, float64(p.Motions[0].Shift.Y), 1e-9)
	assert.InDelta(t, 0.1e-3, float64(p.Motions[1].Shift.Y), 1e-9)
	assert.InDelta(t, 3, p.WorstHard, 1e-5)

	// A coupling that cannot be kept leaves the flange kept: the motor stays 0.5 mm
	// low, and the pump at the near end of the tolerance, 0.3 mm up.
	train.Machines[0].Feet[0].Range = moves.FootRange{}
	train.Machines[1].Free = piping.Ways{}
	p = mustPlan(t, train)
	assert.Equal(t, []moves.Kind{moves.FlangeGoal}, p.Why.Kept)
	assert.InDelta(t, 0.3e-3, float64(p.Motions[0].Shift.Y), 1e-9)
	assert.InDelta(t, 1.5, p.WorstCoupling, 1e-5)
}

// A gap that is 0.5 mm too wide with 0.1 mm allowed, and machines that do not move
// along: the gap alone has to give, 0.4 mm, and is the whole conflict.
func TestGivesOfAGap(t *testing.T) {
	for _, sign := range []float64{1, -1} {
		train := levelled(piping.Ways{ShiftY: true}, 1)
		train.Couplings[0].Found = align.Axis{}
		train.Couplings[0].Offsets[0].Resultant = true
		train.Couplings[0].Gap = &moves.AxialGap{Tolerance: 1e-4}
		train.Couplings[0].Gap.Error = 5e-4
		if sign < 0 {
			train.Couplings[0].Gap.Error = -5e-4
		}
		p := mustPlan(t, train)
		r := givesOf(t, p, moves.GapLimit)
		require.Len(t, p.Why.Relaxations, 1)
		require.Len(t, r.Gives, 1)
		assert.InDelta(t, 0.4e-3, r.Gives[0].Amount, 1e-10)
		require.Len(t, p.Why.Conflict, 1)
		assert.Equal(t, moves.GapLimit, p.Why.Conflict[0].Kind)
		assert.InDelta(t, 5, p.WorstCoupling, 1e-9)
		assert.InDelta(t, sign*0.5e-3, float64(p.Couplings[0].Gap), 1e-12)
	}
}

// A search for the fewest feet that is stopped says so, whatever comes after it.
func TestFewestFeetStops(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	stop()
	for _, criteria := range [][]moves.Criterion{{moves.FewestFeet}, {moves.FewestFeet, moves.LeastTotalMove}} {
		_, err := levelled(piping.Ways{ShiftY: true}, 1).Plan(ctx, moves.Options{Criteria: criteria})
		require.ErrorIs(t, err, moves.ErrStopped)
	}
}
