package moves_test

import (
	"context"
	"math"
	"math/bits"
	"math/rand/v2"
	"slices"
	"testing"

	"collinear.example/align"
	"collinear.example/moves"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// What limits the rounding: ranges, lists, twist, and how many combinations are
// looked at.

// nextOnList returns the heights of a list next to what is wanted that a foot can
// reach, the nearer first.
func nextOnList(list []unit.Length, wanted unit.Length, room moves.FootRange) (out []unit.Length) {
	var reach []unit.Length
	for _, h := range list {
		if h <= *room.Up && -h <= *room.Down {
			reach = append(reach, h)
		}
	}
	slices.Sort(reach)
	for i, h := range reach {
		if h > wanted {
			if i > 0 {
				out = append(out, reach[i-1])
			}
			return append(out, h)
		}
	}
	return reach[len(reach)-1:]
}

// Of lists of odd heights within the room of each foot, the best choice at the
// coupling is the one that trying all of them finds; and it twists no more than
// half of the largest difference that a foot has to choose from, or what is said.
func TestRoundingFromListsAgainstEveryChoice(t *testing.T) {
	rnd := rand.New(rand.NewPCG(71, 3))
	var short, single int
	for n := range 120 {
		train, wanted := roundTrain(rnd, 2, true)
		m := &train.Machines[1]
		lists := make([][]unit.Length, len(m.Feet))
		next := make([][]unit.Length, len(m.Feet))
		var limit unit.Length
		for k := range m.Feet {
			for range 30 {
				lists[k] = append(lists[k], unit.Length(rnd.NormFloat64()*8e-4))
			}
			lists[k] = append(lists[k], 0)
			m.Feet[k].Range = moves.Within(unit.Length(rnd.Float64()*8e-4), unit.Length(rnd.Float64()*8e-4), 1, 1)
			next[k] = nextOnList(lists[k], wanted[1].At(m.Feet[k].At).Y, m.Feet[k].Range)
			if len(next[k]) == 2 {
				limit = max(limit, (next[k][1]-next[k][0])/2)
			} else {
				single++
			}
		}
		r := moves.Rounding{Reachable: [][][]unit.Length{nil, lists}}
		if n%3 == 0 {
			limit = unit.Length(rnd.Float64() * 5e-5)
			r.Twist = &limit
		}
		got, err := moves.RoundShims(context.Background(), &train, wanted, r)
		require.NoError(t, err)
		best, least := math.Inf(1), unit.Length(math.Inf(1))
		for pass := range 2 { // the least twist first
			for set := range 1 << len(m.Feet) {
				shims := make([]unit.Length, len(m.Feet))
				for k := range shims {
					shims[k] = next[k][set>>k&1%len(next[k])]
				}
				motion, twist := refit(m.Feet, wanted[1], shims)
				least = min(least, unit.Length(twist))
				if pass == 0 || unit.Length(twist) > max(limit, least)+1e-9 {
					continue
				}
				e, err := train.Evaluate([]align.Motion{wanted[0], motion})
				require.NoError(t, err)
				best = min(best, e.WorstCoupling)
			}
		}
		require.True(t, got.Proved)
		require.InDelta(t, best, got.Evaluation.WorstCoupling, 2e-9, "case %d", n)
		for k, f := range got.Feet[1] {
			require.Contains(t, next[k], f.Shim)
		}
		twisted := false
		for _, w := range got.Warnings {
			if w.Code == moves.WarnTwisted {
				twisted = true
				require.Equal(t, "machines[1]", w.Field)
				require.InDelta(t, float64(least), w.Value, 1e-9)
				require.InDelta(t, float64(limit), w.Limit, 1e-12)
			}
		}
		require.Equal(t, least > limit+1e-9, twisted, "case %d", n)
		if twisted {
			short++
		}
	}
	require.Positive(t, short)
	require.Positive(t, single)
}

// manyFeet gives the second of two machines n feet in two rows, all to be rounded.
func manyFeet(seed uint64, n int) (moves.Train, []align.Motion) {
	rnd := rand.New(rand.NewPCG(seed, 77))
	train, wanted := roundTrain(rnd, 2, true)
	var feet []moves.Foot
	for k := range n {
		feet = append(feet, moves.Foot{At: align.Place{X: unit.Length(1.7 + 0.2*float64(k/2)), Z: unit.Length(0.5*float64(k%2) - 0.25)}})
	}
	train.Machines[1].Feet = feet
	return train, wanted
}

// Of eight feet every combination is looked at; of nine those that differ from the
// nearest rounding in two or fewer, and the answer says that it is not proved.
func TestRoundingOfEightAndOfNineFeet(t *testing.T) {
	const step = unit.Length(5e-5)
	for _, n := range []int{8, 9} {
		for seed := range uint64(6) {
			train, wanted := manyFeet(seed, n)
			feet := train.Machines[1].Feet
			r, err := moves.RoundShims(context.Background(), &train, wanted, moves.Rounding{Step: step})
			require.NoError(t, err)
			require.Equal(t, n == 8, r.Proved)
			best := math.Inf(1)
			for set := range uint(1) << n {
				if n > 8 && bits.OnesCount(set) > 2 {
					continue
				}
				shims := make([]unit.Length, n)
				for k := range feet {
					w := float64(wanted[1].At(feet[k].At).Y / step)
					shims[k] = unit.Length(math.Round(w)) * step
					if set>>k&1 == 1 { // the farther one
						shims[k] = unit.Length(math.Floor(w)+math.Ceil(w)-math.Round(w)) * step
					}
				}
				motion, twist := refit(feet, wanted[1], shims)
				if twist > float64(step)/2+1e-9 {
					continue
				}
				e, err := train.Evaluate([]align.Motion{wanted[0], motion})
				require.NoError(t, err)
				best = min(best, e.WorstCoupling)
			}
			require.InDelta(t, best, r.Evaluation.WorstCoupling, 2e-9, "%d feet, seed %d", n, seed)
			if n == 9 {
				w := r.Warnings[len(r.Warnings)-1]
				require.Equal(t, moves.WarnNotProved, w.Code)
				require.InDelta(t, 2097152, w.Limit, 0, "about two million couplings")
			}
		}
	}
}

// lifted is a train whose coupling wants more or less height than the plan gives
// to the one machine that moves.
func lifted(plan, want unit.Length) (moves.Train, []align.Motion) {
	train, wanted := roundTrain(rand.New(rand.NewPCG(9, 8)), 2, true)
	wanted[1] = align.Motion{Shift: align.Displacement{Y: plan}}
	c := &train.Couplings[0]
	c.Found = align.Axis{Vertical: align.Line{Offset: -want}}
	c.Gap, c.Slope, train.States = nil, nil, nil
	return train, wanted
}

// A move that can be made is made, also when the plan is a hair off the step or
// the listed height and the coupling would like the next one better.
func TestReachableMoveIsMade(t *testing.T) {
	const step = unit.Length(1e-3)
	list := []unit.Length{2e-3, 3e-3, 4e-3}
	for _, hair := range []unit.Length{0.9e-9, 0, -0.9e-9} {
		for _, want := range []unit.Length{2.1e-3, 3.9e-3} {
			for _, r := range []moves.Rounding{{Step: step}, {Reachable: [][][]unit.Length{nil, {list, list, list, list}}}} {
				train, wanted := lifted(3e-3+hair, want)
				out, err := moves.RoundShims(context.Background(), &train, wanted, r)
				require.NoError(t, err)
				for _, f := range out.Feet[1] {
					require.InDelta(t, 3e-3, float64(f.Shim), 1e-12, "%g, %g", hair, want)
				}
			}
		}
	}
	// Two micrometres off it are two heights, and with one foot the coupling has its
	// way.
	for want, shim := range map[unit.Length]float64{2.1e-3: 2e-3, 3.9e-3: 3e-3} {
		train, wanted := lifted(3e-3-2e-6, want)
		train.Machines[1].Feet = train.Machines[1].Feet[:1]
		out, err := moves.RoundShims(context.Background(), &train, wanted, moves.Rounding{Step: step})
		require.NoError(t, err)
		for _, f := range out.Feet[1] {
			require.InDelta(t, shim, float64(f.Shim), 1e-12)
		}
	}
}

// Where nothing is rounded, rounding to the nearest changes nothing either: a
// machine that is skipped makes its motion, whatever it stands on.
func TestNearestOfSkippedMachines(t *testing.T) {
	train, wanted := roundTrain(rand.New(rand.NewPCG(2, 30)), 3, false)
	r, err := moves.RoundShims(context.Background(), &train, wanted, moves.Rounding{Step: 5e-5, Skip: []int{0, 1, 2}})
	require.NoError(t, err)
	require.Equal(t, wanted, r.Motions)
	require.InDelta(t, r.Wanted, r.Nearest, 1e-12)
	require.InDelta(t, r.Wanted, r.Evaluation.WorstCoupling, 1e-12)
	require.Positive(t, r.Wanted)
	for i := range train.Machines {
		assert.Empty(t, r.Feet[i])
		assert.Zero(t, r.Twist[i])
	}
}

// The share with every foot at its nearest step, worked out from the feet.
func TestNearestIsThatOfEachFoot(t *testing.T) {
	const step = unit.Length(5e-5)
	for seed := range uint64(20) {
		train, wanted := roundTrain(rand.New(rand.NewPCG(seed, 31)), 2, true)
		wanted[1].Turn.X = 0
		feet := train.Machines[1].Feet
		shims := make([]unit.Length, len(feet))
		for k := range feet {
			shims[k] = unit.Length(math.Round(float64(wanted[1].At(feet[k].At).Y/step))) * step
		}
		motion, _ := refit(feet, wanted[1], shims)
		e, err := train.Evaluate([]align.Motion{wanted[0], motion})
		require.NoError(t, err)
		r, err := moves.RoundShims(context.Background(), &train, wanted, moves.Rounding{Step: step})
		require.NoError(t, err)
		require.InDelta(t, e.WorstCoupling, r.Nearest, 1e-9)
	}
}

// A machine with one foot, or with feet in one place, is lifted and not tilted: by
// the mean of what its feet are off the plan. 0.12 and 0.12 mm wanted on steps of
// 0.05 mm: 0.10 and 0.15 mm make the mean of 0.125 mm, and each foot is 0.025 mm
// off it.
func TestRoundingOfFeetInOnePlace(t *testing.T) {
	for n, want := range map[int]float64{1: 0.1e-3, 2: 0.125e-3} {
		train, wanted := lifted(0.12e-3, 0.124e-3)
		train.Machines[1].Feet = train.Machines[1].Feet[:1]
		for range n - 1 {
			train.Machines[1].Feet = append(train.Machines[1].Feet, train.Machines[1].Feet[0])
		}
		r, err := moves.RoundShims(context.Background(), &train, wanted, moves.Rounding{Step: 5e-5})
		require.NoError(t, err)
		for _, p := range []align.Place{{}, {X: 3}, {Z: 2}} {
			require.InDelta(t, want, float64(r.Motions[1].At(p).Y), 1e-12, "%d feet", n)
		}
		require.InDelta(t, math.Abs(0.1e-3-want), float64(r.Twist[1]), 1e-12)
		require.Len(t, r.Feet[1], n)
	}
}
