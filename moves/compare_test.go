package moves_test

import (
	"context"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"collinear.example/moves"
	"collinear.example/piping"
	"github.com/stretchr/testify/require"
)

func pipedTrains(t *testing.T, seed uint64, n int, f func(train *moves.Train)) {
	t.Helper()
	rnd := rand.New(rand.NewPCG(seed, 64))
	for made := 0; made < n; {
		train := planTrain(rnd, planPart{machines: 2 + rnd.IntN(3), states: rnd.IntN(3), flanges: true, room: 3e-3})
		asks := false
		for i := range train.Machines {
			asks = asks || len(train.Machines[i].Goals) > 0
		}
		if asks {
			made++
			f(train)
		}
	}
}

// The joint way is never worse than any other by its own measure, the larger of
// the shares at couplings and flanges, and the sequential ways are what they say.
func TestJointIsNeverWorse(t *testing.T) {
	better := 0
	pipedTrains(t, 1, 120, func(train *moves.Train) {
		ways, err := train.Alternatives(context.Background(), moves.Options{})
		require.NoError(t, err)
		by := map[string]moves.Way{}
		for _, w := range ways {
			by[w.Name] = w
			e, err := train.Evaluate(w.Motions)
			require.NoError(t, err)
			require.Equal(t, e.Couplings, w.Couplings)
		}
		require.Len(t, by, len(ways), "each name once")
		all, joint := by["move all that may"], by["both together"]
		first, pipe := by["alignment first"], by["pipe first"]
		if !joint.Feasible {
			require.False(t, first.Feasible)
			return
		}
		measure := func(w moves.Way) float64 { return max(w.WorstCoupling, w.WorstFlange) }
		for _, w := range ways {
			if w.Feasible {
				require.LessOrEqual(t, measure(joint), measure(w)+1e-6, w.Name)
			}
		}
		require.LessOrEqual(t, first.WorstCoupling, joint.WorstCoupling+1e-6)
		require.LessOrEqual(t, pipe.WorstFlange, joint.WorstFlange+1e-6)
		require.True(t, all.Feasible)
		if measure(joint) < min(measure(first), measure(pipe))-1e-3 {
			better++
		}
		for i := range train.Machines {
			if w, ok := by["move "+train.Machines[i].Name+" alone"]; ok && w.Feasible {
				require.LessOrEqual(t, all.Values[0], w.Values[0]+1e-6)
			}
		}
	})
	require.Greater(t, better, 10, "the joint way is worth having")
}

// A trade-off falls, bends one way only, and each point is what its motions give.
func TestTradeOff(t *testing.T) {
	const n = 9
	curved := 0
	pipedTrains(t, 2, 60, func(train *moves.Train) {
		points, err := train.TradeOff(context.Background(), n, moves.Options{})
		require.NoError(t, err)
		if points == nil {
			return
		}
		require.Len(t, points, n)
		for i, p := range points {
			e, err := train.Evaluate(p.Motions)
			require.NoError(t, err)
			require.LessOrEqual(t, e.WorstCoupling, p.Alignment+1e-6)
			require.LessOrEqual(t, e.WorstFlange, p.Flange+1e-6)
			require.LessOrEqual(t, p.Alignment, 1+1e-9)
			if i == 0 {
				continue
			}
			require.LessOrEqual(t, p.Alignment, points[i-1].Alignment+1e-6)
			require.GreaterOrEqual(t, p.Flange, points[i-1].Flange-1e-6)
			if i == n-1 {
				continue
			}
			// The optimum of a linear program is convex in its right-hand side.
			require.LessOrEqual(t, p.Alignment, (points[i-1].Alignment+points[i+1].Alignment)/2+1e-6)
		}
		if points[0].Alignment > points[n-1].Alignment+1e-3 {
			curved++
		}
	})
	require.Greater(t, curved, 10)
}

func TestCompareRefuses(t *testing.T) {
	train := planTrain(rand.New(rand.NewPCG(3, 64)), planPart{machines: 2, room: 1e-3})
	for i := range train.Machines {
		train.Machines[i].Goals = nil
	}
	ctx := context.Background()
	for _, points := range []int{-1, 0, 1, 101} {
		_, err := train.TradeOff(ctx, points, moves.Options{})
		require.Equal(t, "out-of-range", align.CodeOf(err))
	}
	_, err := train.TradeOff(ctx, 5, moves.Options{})
	require.Equal(t, "missing", align.CodeOf(err))
	_, err = train.Alternatives(ctx, moves.Options{Sides: 9})
	require.Equal(t, "out-of-range", align.CodeOf(err))
	for i := range train.Machines {
		train.Machines[i].Free = piping.Ways{}
	}
	_, err = train.Alternatives(ctx, moves.Options{})
	require.ErrorIs(t, err, moves.ErrNothingMoves)
}
