package moves_test

import (
	"context"
	"math"
	"math/bits"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"collinear.example/moves"
	"collinear.example/piping"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// The search for the fewest feet, and what it may cost.

// fewestBySets tries every set of feet that may move, the small sets first, and
// returns the size of the first that keeps every limit, -1 for none.
func fewestBySets(t *testing.T, train *moves.Train) int {
	var feet []*moves.Foot
	trial := *train
	trial.Machines = append([]moves.Machine(nil), train.Machines...)
	for i := range trial.Machines {
		m := &trial.Machines[i]
		if m.Free == (piping.Ways{}) {
			continue
		}
		m.Feet = append([]moves.Foot(nil), m.Feet...)
		for k := range m.Feet {
			feet = append(feet, &m.Feet[k])
		}
	}
	ranges := make([]moves.FootRange, len(feet))
	for k, f := range feet {
		ranges[k] = f.Range
	}
	for size := range len(feet) + 1 {
		for set := range uint(1) << len(feet) {
			if bits.OnesCount(set) != size {
				continue
			}
			for k, f := range feet {
				f.Range = moves.Held()
				if set>>k&1 == 1 {
					f.Range = ranges[k]
				}
			}
			if mustPlan(t, &trial, moves.LeastShimChange).Feasible {
				return size
			}
		}
	}
	return -1
}

// moreThanMicrometre counts the feet that move by more than a micrometre, and a
// thousandth of it for those that were left exactly that.
func moreThanMicrometre(p *moves.Plan) (n int) {
	for _, feet := range p.Feet {
		for _, f := range feet {
			if max(math.Abs(float64(f.Move.Vertical)), math.Abs(float64(f.Move.Horizontal))) > 1.001e-6 {
				n++
			}
		}
	}
	return n
}

// The fewest feet are those that a search through all sets of feet finds, with a
// machine that may roll and with one that may not.
func TestFewestFeetAgainstEverySet(t *testing.T) {
	rnd := rand.New(rand.NewPCG(41, 2))
	seen := map[int]int{}
	for n := range 10 {
		train := planTrain(rnd, planPart{machines: 2, states: n % 2, room: 4e-4})
		train.Machines[0].Free = piping.Ways{}
		train.Machines[1].Free.TurnX = n%4 != 0
		want := fewestBySets(t, train)
		seen[want]++
		p := mustPlan(t, train, moves.FewestFeet, moves.LeastTotalMove)
		require.Equal(t, want >= 0, p.Feasible)
		if want < 0 {
			continue
		}
		require.True(t, p.Proved)
		require.InDelta(t, want, p.Values[0], 0)
		require.LessOrEqual(t, moreThanMicrometre(p), want, "what comes after keeps the number")
		alone := mustPlan(t, train, moves.FewestFeet)
		require.Equal(t, alone.Values[0], p.Values[0])
		require.InDelta(t, p.Values[1], float64(alone.Total), 1e-9, "without more to aim at the moves are as small as they can be")
	}
	require.GreaterOrEqual(t, len(seen), 3, "%v", seen)
}

// levelled is a train whose last machine must come up by 0.2 mm or more at
// station 0, with feet at the given stations in the plane of the shafts.
func levelled(ways piping.Ways, at ...unit.Length) *moves.Train {
	m := moves.Machine{Name: "motor", Free: ways}
	for _, x := range at {
		m.Feet = append(m.Feet, moves.Foot{At: align.Place{X: x}})
	}
	return &moves.Train{
		Machines: []moves.Machine{{Name: "pump"}, m},
		Couplings: []moves.Coupling{{
			Far: moves.ShaftOf{Machine: 1}, Found: align.Axis{Vertical: align.Line{Offset: -0.3e-3}},
			Offsets: []moves.OffsetLimit{{Limit: 0.1e-3}},
		}},
	}
}

// The budget counts looks, and something must be left of it for a proof. Looks by
// hand:
//
//	all is well: one, nothing moves
//	one foot: one in which it moves, one in which it stays, which is impossible;
//	  letting it move again cannot beat the first
//	two feet at 1 m and 2 m, the machine tilting: one in which the first foot
//	  moves half of what is wanted, one in which it stays and the second goes down,
//	  one in which both stay, which is impossible
func TestLooksOfTheSearchForFewestFeet(t *testing.T) {
	well := levelled(piping.Ways{ShiftY: true}, 1)
	well.Couplings[0].Found = align.Axis{}
	for _, c := range []struct {
		train *moves.Train
		looks int
		feet  float64
	}{
		{well, 1, 0},
		{levelled(piping.Ways{ShiftY: true}, 1), 2, 1},
		{levelled(piping.Ways{ShiftY: true, TurnZ: true}, 1, 2), 3, 1},
	} {
		for nodes := 1; nodes <= c.looks+2; nodes++ {
			p, err := c.train.Plan(context.Background(), moves.Options{Criteria: []moves.Criterion{moves.FewestFeet}, Nodes: nodes})
			require.NoError(t, err)
			require.True(t, p.Feasible)
			require.InDelta(t, c.feet, p.Values[0], 0)
			require.Equal(t, nodes > c.looks, p.Proved, "%d of %d looks", nodes, c.looks)
		}
	}
}

// One foot of the two at 1 m and 2 m is enough: the first moves 0.1 mm, or the
// second 0.2 mm. What is aimed at next takes the first, in either order.
func TestWhichOfTheFewestFeet(t *testing.T) {
	train := levelled(piping.Ways{ShiftY: true, TurnZ: true}, 1, 2)
	for _, criteria := range [][]moves.Criterion{
		{moves.FewestFeet, moves.LeastTotalMove}, {moves.LeastTotalMove, moves.FewestFeet}, {moves.FewestFeet}, {moves.LeastShimChange, moves.FewestFeet},
	} {
		p := mustPlan(t, train, criteria...)
		require.InDelta(t, 0.1e-3, float64(p.Total), 1e-8)
		require.InDelta(t, 0.1e-3, float64(p.Feet[1][0].Move.Vertical), 1e-8)
		require.InDelta(t, 0, float64(p.Feet[1][1].Move.Vertical), 1e-8)
		require.Equal(t, 1, p.Touched)
		for i, c := range criteria {
			want := 0.1e-3
			if c == moves.FewestFeet {
				want = 1
			}
			require.InDelta(t, want, p.Values[i], 1e-8)
		}
	}
	// What came first is kept: the best alignment takes both feet.
	train.Couplings[0].Slope = &moves.SlopeLimit{Limit: 1e-6}
	p := mustPlan(t, train, moves.BestAlignment, moves.FewestFeet)
	require.InDelta(t, 0, p.WorstCoupling, 1e-5)
	require.InDelta(t, 2, p.Values[1], 0)
}

// Without a word about it the budget is 2000 looks: a search that is proved within
// 4000 of them, but not within 2000, is not proved by default.
func TestDefaultBudgetIsTwoThousandLooks(t *testing.T) {
	if underRace {
		t.Skip("thousands of linear programs on one goroutine: nothing for the race detector, and a minute of it")
	}
	train := planTrain(rand.New(rand.NewPCG(20, 6)), planPart{machines: 4, room: 2e-3})
	for i := range train.Machines {
		train.Machines[i].Free.TurnX = train.Machines[i].Free.ShiftY
	}
	plan := func(nodes int) *moves.Plan {
		p, err := train.Plan(context.Background(), moves.Options{Criteria: []moves.Criterion{moves.FewestFeet}, Nodes: nodes})
		require.NoError(t, err)
		require.True(t, p.Feasible)
		return p
	}
	require.True(t, plan(4000).Proved)
	require.False(t, plan(0).Proved)
}

// A search for the fewest feet that is cut short says that it proves nothing.
func TestFewestFeetOfOneLook(t *testing.T) {
	rnd := rand.New(rand.NewPCG(8, 8))
	short := 0
	for range 20 {
		train := planTrain(rnd, planPart{machines: 3, room: 2e-3})
		long, err := train.Plan(context.Background(), moves.Options{Criteria: []moves.Criterion{moves.FewestFeet}})
		require.NoError(t, err)
		cut, err := train.Plan(context.Background(), moves.Options{Criteria: []moves.Criterion{moves.FewestFeet}, Nodes: 1})
		require.NoError(t, err)
		if !long.Feasible {
			continue
		}
		require.True(t, long.Proved)
		require.False(t, cut.Proved, "one look is the whole budget")
		require.LessOrEqual(t, long.Values[0], cut.Values[0])
		if cut.Values[0] > long.Values[0] {
			short++
		}
	}
	require.Positive(t, short)
}
