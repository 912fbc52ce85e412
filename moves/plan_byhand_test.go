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
	"gonum.org/v1/gonum/unit"
)

// Plans of trains so small that everything about them is worked out by hand. The
// motor of levelled stands 0.3 mm low at the coupling, with 0.1 mm allowed.

// pair is levelled with both machines on one foot each that goes up and down only.
func pair(pump, motor float64) *moves.Train {
	t := levelled(piping.Ways{ShiftY: true}, 1)
	t.Machines[0].Feet = []moves.Foot{{At: align.Place{X: -1}}}
	t.Machines[0].Free = piping.Ways{ShiftY: true}
	t.Machines[0].Weight, t.Machines[1].Weight = pump, motor
	return t
}

// Moves of 0.2 mm together are wanted. The sum of moves times weights is least
// when only the cheap machine moves; the largest move times weight is least when
// both are alike: 0.15 mm of the motor and 0.05 mm, thrice, of the pump.
func TestWeightsByHand(t *testing.T) {
	for _, c := range []struct {
		criterion   moves.Criterion
		pump, motor float64 // weights
		value       float64
		down, up    float64 // of pump and motor
	}{
		{moves.LeastTotalMove, 3, 0, 0.2e-3, 0, 0.2e-3},
		{moves.LeastTotalMove, 0, 3, 0.2e-3, 0.2e-3, 0},
		{moves.LeastTotalMove, 3, 2, 0.4e-3, 0, 0.2e-3},
		{moves.LeastShimChange, 3, 2, 0.4e-3, 0, 0.2e-3},
		{moves.SmallestLargestMove, 3, 1, 0.15e-3, 0.05e-3, 0.15e-3},
		{moves.SmallestLargestMove, 1, 3, 0.15e-3, 0.15e-3, 0.05e-3},
		{moves.SmallestLargestMove, 0, 0, 0.1e-3, 0.1e-3, 0.1e-3},
	} {
		p := mustPlan(t, pair(c.pump, c.motor), c.criterion)
		require.True(t, p.Feasible)
		assert.InDelta(t, c.value, p.Values[0], 1e-9, "%+v", c)
		assert.InDelta(t, -c.down, float64(p.Motions[0].Shift.Y), 1e-9, "%+v", c)
		assert.InDelta(t, c.up, float64(p.Motions[1].Shift.Y), 1e-9, "%+v", c)
		assert.InDelta(t, 0, float64(p.Motions[0].Shift.Z), 0)
	}
}

// The weight of a machine that stays is not taken for that of one that moves.
func TestWeightOfAStillMachine(t *testing.T) {
	train := pair(3, 0)
	train.Machines[0].Free = piping.Ways{}
	for _, criterion := range []moves.Criterion{moves.LeastTotalMove, moves.LeastShimChange, moves.SmallestLargestMove} {
		assert.InDelta(t, 0.2e-3, mustPlan(t, train, criterion).Values[0], 1e-9)
	}
}

// Shims count what goes up and down, and moves count both ways: 0.2 mm up and
// 0.4 mm aside.
func TestShimsAndMovesByHand(t *testing.T) {
	train := levelled(piping.Ways{ShiftY: true, ShiftZ: true}, 1)
	train.Couplings[0].Found.Horizontal.Offset = 0.5e-3
	for criterion, want := range map[moves.Criterion]float64{
		moves.LeastTotalMove: 0.6e-3, moves.LeastShimChange: 0.2e-3, moves.SmallestLargestMove: 0.4e-3, moves.FewestFeet: 1,
	} {
		p := mustPlan(t, train, criterion)
		require.True(t, p.Feasible)
		assert.InDelta(t, want, p.Values[0], 1e-8, "%v", criterion)
		if criterion != moves.SmallestLargestMove && criterion != moves.LeastShimChange {
			assert.InDelta(t, 0.2e-3, float64(p.Motions[1].Shift.Y), 1e-8)
			assert.InDelta(t, -0.4e-3, float64(p.Motions[1].Shift.Z), 1e-8)
		}
	}
}

// What a limit that is used up buys:
//
//	least moves: a metre of offset limit is a metre of move
//	best alignment with 0.25 mm of room: 0.05 mm of 0.1 mm are left, a share of
//	  a half; a metre of room is 1/0.1 mm, a metre of limit 0.05 mm/(0.1 mm)^2
//	slope of 1 mm/m with 0.4 allowed and a foot 2 m away: 1.2 mm, 2 m for each
//	  radian
func TestGainsByHand(t *testing.T) {
	gains := func(p *moves.Plan) map[moves.Kind]float64 {
		require.True(t, p.Feasible)
		out := map[moves.Kind]float64{}
		for _, b := range p.Binding {
			require.Empty(t, b.Same)
			out[b.Ref.Kind] += b.Gain
		}
		return out
	}
	p := mustPlan(t, levelled(piping.Ways{ShiftY: true}, 1), moves.LeastTotalMove)
	require.Len(t, p.Binding, 1)
	assert.InDelta(t, 1, gains(p)[moves.CouplingLimit], 1e-6)
	assert.InDelta(t, 180, float64(p.Binding[0].Ref.Toward), 0, "the motor is still low")
	assert.False(t, p.Binding[0].Ref.Slope)

	train := levelled(piping.Ways{ShiftY: true}, 1)
	train.Machines[1].Feet[0].Range = moves.Within(0.25e-3, 0.25e-3, 1, 1)
	p = mustPlan(t, train, moves.BestAlignment)
	assert.InDelta(t, 0.5, p.Values[0], 1e-6)
	g := gains(p)
	assert.InDelta(t, 1e4, g[moves.FootVertical], 1e-2)
	assert.InDelta(t, 5e3, g[moves.CouplingLimit], 1e-2)
	assert.Equal(t, moves.FootVertical, p.Binding[0].Ref.Kind, "what buys most comes first")
	assert.InDelta(t, 0, float64(p.Binding[0].Ref.Toward), 0)
	require.Len(t, p.Binding, 2)
	assert.Equal(t, align.Clock(180), p.Binding[1].Ref.Toward, "the motor is still low")

	for _, sign := range []float64{1, -1} {
		train = levelled(piping.Ways{TurnZ: true}, 2)
		c := &train.Couplings[0]
		c.Found, c.Offsets = align.Axis{Vertical: align.Line{Slope: sign * 1e-3}}, nil
		c.Slope = &moves.SlopeLimit{Limit: 0.4e-3}
		p = mustPlan(t, train, moves.LeastTotalMove)
		assert.InDelta(t, 1.2e-3, p.Values[0], 1e-8)
		assert.InDelta(t, -sign*0.6e-3, p.Motions[1].Turn.Z, 1e-8)
		assert.InDelta(t, 2, gains(p)[moves.CouplingLimit], 1e-6)
		assert.True(t, p.Binding[0].Ref.Slope)
	}
}

// Two states that are alike bind each by itself, and only both made wider buy the
// metre: one of them alone buys nothing, or the other does.
func TestStatesAlikeBindApart(t *testing.T) {
	train := levelled(piping.Ways{ShiftY: true}, 1)
	train.States = []moves.State{{Name: "day", Relative: make([]align.Axis, 1)}, {Name: "night", Relative: make([]align.Axis, 1)}}
	p := mustPlan(t, train, moves.LeastTotalMove)
	require.Len(t, p.Binding, 2)
	for _, b := range p.Binding {
		require.Empty(t, b.Same)
	}
	assert.ElementsMatch(t, []int{0, 1}, []int{p.Binding[0].Ref.State, p.Binding[1].Ref.State})
	assert.InDelta(t, 1, p.Binding[0].Gain+p.Binding[1].Gain, 1e-6)
}

// A state in which the motor has grown by 0.15 mm and twice the limit is allowed
// asks nothing; the other one asks for 0.2 mm, or the first with a tenth of the
// limit for 0.14 mm more than nothing.
func TestStatesByHand(t *testing.T) {
	grown := func(by unit.Length) []align.Axis { return []align.Axis{{Vertical: align.Line{Offset: by}}} }
	for _, c := range []struct {
		states []moves.State
		want   float64
	}{
		{[]moves.State{{Relative: grown(0.15e-3), Widen: 2}}, 0},
		{[]moves.State{{Relative: grown(0.15e-3), Widen: 2}, {Relative: grown(0)}}, 0.2e-3},
		{[]moves.State{{Relative: grown(0.15e-3), Widen: 0.1}}, 0.14e-3},
		{[]moves.State{{Relative: grown(-0.1e-3)}, {Relative: grown(0.05e-3)}}, 0.3e-3},
	} {
		train := levelled(piping.Ways{ShiftY: true}, 1)
		train.States = c.states
		p := mustPlan(t, train, moves.LeastTotalMove)
		require.True(t, p.Feasible)
		assert.InDelta(t, c.want, p.Values[0], 1e-8)
	}
}

// 0.2 mm are wanted and 0.15 mm can be had: 0.05 mm are missing, of the room or of
// the limit, up as down and to either side. The compromise goes as far as it can.
func TestExplanationByHand(t *testing.T) {
	for _, c := range []struct {
		way          piping.Ways
		kind         moves.Kind
		found        align.Axis
		motion       align.Displacement
		foot, toward align.Clock
	}{
		{piping.Ways{ShiftY: true}, moves.FootVertical, align.Axis{Vertical: align.Line{Offset: -0.3e-3}}, align.Displacement{Y: 0.15e-3}, 0, 180},
		{piping.Ways{ShiftY: true}, moves.FootVertical, align.Axis{Vertical: align.Line{Offset: 0.3e-3}}, align.Displacement{Y: -0.15e-3}, 180, 0},
		{piping.Ways{ShiftZ: true}, moves.FootLateral, align.Axis{Horizontal: align.Line{Offset: -0.3e-3}}, align.Displacement{Z: 0.15e-3}, 90, 270},
		{piping.Ways{ShiftZ: true}, moves.FootLateral, align.Axis{Horizontal: align.Line{Offset: 0.3e-3}}, align.Displacement{Z: -0.15e-3}, 270, 90},
	} {
		train := levelled(c.way, 1)
		train.Couplings[0].Found = c.found
		train.Machines[1].Feet[0].Range = moves.Within(0.15e-3, 0.15e-3, 0.15e-3, 0.15e-3)
		p := mustPlan(t, train)
		require.False(t, p.Feasible)
		require.True(t, p.Proved)
		w := p.Why
		require.ElementsMatch(t, []moves.Ref{
			{Kind: c.kind, Machine: 1, Toward: c.foot}, {Kind: moves.CouplingLimit, Toward: c.toward},
		}, w.Conflict)
		require.Len(t, w.Relaxations, 2)
		for i, kind := range []moves.Kind{c.kind, moves.CouplingLimit} {
			r := w.Relaxations[i]
			assert.Equal(t, kind, r.Kind)
			require.Len(t, r.Gives, 1)
			assert.InDelta(t, 0.05e-3, r.Gives[0].Amount, 1e-9)
			assert.InDelta(t, 0.05e-3, r.Sum, 1e-9)
			assert.Equal(t, kind, r.Gives[0].Ref.Kind)
		}
		assert.Equal(t, c.foot, w.Relaxations[0].Gives[0].Ref.Toward)
		assert.InDelta(t, 0.05e-3, w.Together.Sum, 1e-9)
		assert.InDelta(t, float64(c.motion.Y), float64(w.Compromise[1].Shift.Y), 1e-9)
		assert.InDelta(t, float64(c.motion.Z), float64(w.Compromise[1].Shift.Z), 1e-9)
		assert.Equal(t, []moves.Kind{moves.FootVertical, moves.FootLateral}, w.Kept)
		assert.InDelta(t, 1.5, p.WorstCoupling, 1e-6)
	}
}

// A resultant limit is kept by a polygon drawn inside its circle. Straight down its
// side is met and not its corner: nearer than the limit by the cosine of half the
// angle of a side.
func TestPolygonByHand(t *testing.T) {
	for sides, want := range map[int]int{0: 16, 8: 8, 12: 12, 16: 16, 32: 32, 64: 64} {
		train := levelled(piping.Ways{ShiftY: true}, 1)
		train.Couplings[0].Offsets[0].Resultant = true
		p, err := train.Plan(context.Background(), moves.Options{Criteria: []moves.Criterion{moves.LeastTotalMove}, Sides: sides})
		require.NoError(t, err)
		require.True(t, p.Feasible)
		assert.InDelta(t, 0.3e-3-0.1e-3*math.Cos(math.Pi/float64(want)), p.Values[0], 1e-9, "%d sides", sides)
	}
}

// Sides are multiples of 4 from 8 to 64, looks from one to a million.
func TestOptionsThatAreTaken(t *testing.T) {
	train := levelled(piping.Ways{ShiftY: true}, 1)
	for sides := -4; sides <= 72; sides++ {
		_, err := train.Plan(context.Background(), moves.Options{Sides: sides})
		ok := sides == 0 || sides%4 == 0 && sides >= 8 && sides <= 64
		require.Equal(t, ok, err == nil, "%d sides", sides)
		if !ok {
			require.ErrorIs(t, err, align.ErrOutOfRange)
		}
	}
	for nodes, ok := range map[int]bool{-1: false, 0: true, 1: true, 1e6: true, 1e6 + 1: false} {
		_, err := train.Plan(context.Background(), moves.Options{Nodes: nodes})
		require.Equal(t, ok, err == nil, "%d looks", nodes)
	}
}
