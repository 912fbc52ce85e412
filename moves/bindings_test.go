package moves_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"collinear.example/moves"
	"collinear.example/piping"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// Which feet are told to be at the end of their room.

// atEnd returns the ends of the ranges of feet that a plan has used up.
func atEnd(train *moves.Train, p *moves.Plan) (out []moves.Ref) {
	for i, feet := range p.Feet {
		for k, f := range feet {
			r := train.Machines[i].Feet[k].Range
			for _, e := range []struct {
				kind   moves.Kind
				toward align.Clock
				left   unit.Length
			}{
				{moves.FootVertical, 0, *r.Up - f.Move.Vertical},
				{moves.FootVertical, 180, *r.Down + f.Move.Vertical},
				{moves.FootLateral, 90, *r.Right - f.Move.Horizontal},
				{moves.FootLateral, 270, *r.Left + f.Move.Horizontal},
			} {
				if math.Abs(float64(e.left)) < 1e-10 {
					out = append(out, moves.Ref{Kind: e.kind, Machine: i, Foot: k, Toward: e.toward})
				}
			}
		}
	}
	return out
}

// The feet that are told, with those that are the same limit, are those that stand
// at the end of their room by where the plan puts them, each told once: of two
// feet at one station that with the lesser room, and both where they are alike.
func TestFeetThatBindAreAtTheEnd(t *testing.T) {
	rnd := rand.New(rand.NewPCG(19, 6))
	var told, pairs, alone int
	for n := range 60 {
		train := planTrain(rnd, planPart{machines: 2 + n%2, states: n % 3, room: 2e-4})
		for i := range train.Machines {
			f := train.Machines[i].Feet
			if rnd.IntN(2) == 0 {
				f[1].Range.Up, f[3].Range.Left = f[0].Range.Up, f[2].Range.Left
			}
			if rnd.IntN(2) == 0 {
				f[1].Range.Down, f[3].Range.Right = f[0].Range.Down, f[2].Range.Right
			}
			train.Machines[i].Free.TurnX = n%5 == 0
		}
		p := mustPlan(t, train)
		if !p.Feasible {
			continue
		}
		// What binds is that of the first criterion, and so is the plan for it.
		p = mustPlan(t, train, moves.BestAlignment)
		var got []moves.Ref
		for _, b := range p.Binding {
			if b.Ref.Kind != moves.FootVertical && b.Ref.Kind != moves.FootLateral {
				continue
			}
			got = append(append(got, b.Ref), b.Same...)
			told++
			if len(b.Same) > 0 {
				pairs++
				for _, s := range b.Same {
					require.Equal(t, b.Ref.Kind, s.Kind)
					require.Equal(t, b.Ref.Toward, s.Toward)
					require.Equal(t, train.Machines[b.Ref.Machine].Feet[b.Ref.Foot].At.X, train.Machines[s.Machine].Feet[s.Foot].At.X)
				}
			} else {
				alone++
			}
		}
		require.ElementsMatch(t, atEnd(train, p), got, "case %d", n)
		require.True(t, nonIncreasing(p.Binding), "those that buy most come first")
	}
	require.Positive(t, pairs)
	require.Positive(t, alone)
	require.Greater(t, told, 30)
}

func nonIncreasing(b []moves.Binding) bool {
	for i := 1; i < len(b); i++ {
		if b[i].Gain > b[i-1].Gain {
			return false
		}
	}
	return true
}

// Machines that slide along the train only have feet whose ends are met without a
// move: still the ends of one foot are not those of another machine, or of its bolt
// holes.
func TestFeetOfSlidingMachines(t *testing.T) {
	train := pair(0, 0)
	for i := range train.Machines {
		train.Machines[i].Free = piping.Ways{ShiftX: true}
		train.Machines[i].Feet[0].Range = moves.Held()
	}
	train.Couplings[0] = moves.Coupling{Far: moves.ShaftOf{Machine: 1}, Gap: &moves.AxialGap{Error: 5e-4, Tolerance: 1e-4}}
	p := mustPlan(t, train)
	require.True(t, p.Feasible)
	require.InDelta(t, -4e-4, float64(p.Motions[1].Shift.X-p.Motions[0].Shift.X), 1e-9)
	feet := map[moves.Ref]bool{}
	for _, b := range p.Binding {
		require.Empty(t, b.Same)
		if b.Ref.Kind == moves.FootVertical || b.Ref.Kind == moves.FootLateral {
			feet[moves.Ref{Kind: b.Ref.Kind, Machine: b.Ref.Machine}] = true
		}
	}
	require.Len(t, feet, 4, "both ways at both feet")
}

// A limit that binds is not the same as itself, and a train that is unsound is
// not evaluated.
func TestBindingLimitsAndOthers(t *testing.T) {
	rnd := rand.New(rand.NewPCG(21, 3))
	seen := 0
	for range 20 {
		train := planTrain(rnd, planPart{machines: 3, states: 1, room: 3e-4})
		p := mustPlan(t, train)
		for _, b := range p.Binding {
			seen++
			require.NotContains(t, b.Same, b.Ref)
		}
	}
	require.Positive(t, seen)
	train, _ := roundTrain(rnd, 2, true)
	train.Machines[1].Feet[0].At.X = unit.Length(math.NaN())
	_, err := train.Evaluate(make([]align.Motion, 2))
	require.ErrorIs(t, err, align.ErrNotFinite)
}

// Of two feet at one station with the same room, on a machine that does not roll,
// neither binds without the other.
func TestTwinFeetBindTogether(t *testing.T) {
	rnd := rand.New(rand.NewPCG(5, 21))
	twins := 0
	for range 30 {
		train := planTrain(rnd, planPart{machines: 2, room: 1.5e-4})
		for i := range train.Machines {
			f := train.Machines[i].Feet
			f[1].Range, f[3].Range = f[0].Range, f[2].Range
		}
		p := mustPlan(t, train)
		for _, b := range p.Binding {
			if b.Ref.Kind != moves.FootVertical && b.Ref.Kind != moves.FootLateral {
				continue
			}
			require.Len(t, b.Same, 1)
			require.Equal(t, b.Ref.Foot^1, b.Same[0].Foot)
			require.Equal(t, b.Ref.Machine, b.Same[0].Machine)
			twins++
		}
	}
	require.Positive(t, twins)
}
