package moves_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/moves"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// What planning does with the train it is given.

// Planning, comparing and explaining leave the train as it was told: it is still
// that which the same numbers make once more.
func TestPlanLeavesTheTrain(t *testing.T) {
	hopeless := 0
	for seed := range uint64(25) {
		build := func() *moves.Train {
			return planTrain(rand.New(rand.NewPCG(seed, 99)), planPart{machines: 3, states: 2, flanges: true, room: 4e-4})
		}
		train := build()
		p := mustPlan(t, train)
		if !p.Feasible {
			hopeless++
		}
		require.Equal(t, build(), train, "seed %d", seed)
	}
	require.Positive(t, hopeless)
}

// A gap that is 0.5 mm too wide or too narrow is brought within 0.1 mm by the
// machine that may move along, whichever of the two that is.
func TestPlanClosesTheGap(t *testing.T) {
	for mover := range 2 {
		for _, wide := range []unit.Length{0.5e-3, -0.5e-3} {
			train, _ := roundTrain(rand.New(rand.NewPCG(17, 4)), 2, true)
			train.Machines[mover].Free.ShiftX = true
			train.Couplings[0].Gap = &moves.AxialGap{Error: wide, Tolerance: 1e-4}
			p := mustPlan(t, &train)
			require.True(t, p.Feasible)
			e, err := train.Evaluate(p.Motions)
			require.NoError(t, err)
			require.LessOrEqual(t, math.Abs(float64(e.Couplings[0].Gap)), 1e-4*(1+1e-6))
			closing := wide
			if mover == 1 {
				closing = -wide
			}
			require.Equal(t, closing > 0, p.Motions[mover].Shift.X > 0, "far moves against the error, near with it")
		}
	}
}
