package moves_test

import (
	"context"
	"fmt"
	"testing"

	"collinear.example/align"
	"collinear.example/moves"
	"collinear.example/piping"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// docTrain is the motor and the pump of the package documentation.
func docTrain() moves.Train {
	const mm = align.Millimetre
	foot := func(name string, x unit.Length) moves.Foot {
		return moves.Foot{Name: name, At: align.Place{X: x * mm, Y: -300 * mm}}
	}
	return moves.Train{
		Machines: []moves.Machine{
			{Name: "motor", Free: moves.TwoPlanes(), Feet: []moves.Foot{foot("outboard", -1000), foot("inboard", -400)}},
			{Name: "pump", Free: moves.TwoPlanes(), Feet: []moves.Foot{foot("inboard", 400), foot("outboard", 1000)}},
		},
		Couplings: []moves.Coupling{{
			Name: "main", Near: moves.ShaftOf{Machine: 0}, Far: moves.ShaftOf{Machine: 1},
			Found:   align.Axis{Vertical: align.Line{Slope: -0.25e-3}},
			Offsets: moves.FlexPlanes(-100*mm, 100*mm, 1e-8, false, "in line"),
		}},
	}
}

// The example of the package documentation, each figure by hand.
func TestDocExample(t *testing.T) {
	train := docTrain()
	alone := docTrain()
	alone.Machines[1].Free = piping.Ways{}
	p, err := alone.Plan(context.Background(), moves.Options{})
	require.NoError(t, err)
	require.True(t, p.Feasible)
	assert.InDelta(t, 0.25e-3, float64(p.Feet[0][0].Move.Vertical), 1e-8)
	assert.InDelta(t, 0.10e-3, float64(p.Feet[0][1].Move.Vertical), 1e-8)

	up := 0.20 * align.Millimetre
	alone.Machines[0].Feet[0].Range.Up = &up
	p, err = alone.Plan(context.Background(), moves.Options{})
	require.NoError(t, err)
	require.False(t, p.Feasible)
	require.NotEmpty(t, p.Why.Conflict)
	require.NotEmpty(t, p.Why.Relaxations)
	assert.Equal(t, moves.FootVertical, p.Why.Relaxations[0].Kind)
	assert.InDelta(t, 0.05e-3, p.Why.Relaxations[0].Sum, 1e-7)

	p, err = train.Plan(context.Background(), moves.Options{Criteria: []moves.Criterion{moves.SmallestLargestMove}})
	require.NoError(t, err)
	// Half of the angle each, about the middle of the feet: 0.125 mm/m over 600 mm.
	assert.InDelta(t, 0.0375e-3, float64(p.Largest), 1e-8)
	for i, want := range [][]float64{{0.0375, -0.0375}, {-0.0375, 0.0375}} {
		for k, w := range want {
			assert.InDelta(t, w, float64(p.Feet[i][k].Move.Vertical)*1e3, 1e-5)
		}
	}
}

func ExampleTrain_Plan() {
	train := docTrain()
	plan, err := train.Plan(context.Background(), moves.Options{Criteria: []moves.Criterion{moves.SmallestLargestMove}})
	if err != nil {
		fmt.Println(err)
		return
	}
	for i, m := range train.Machines {
		for _, f := range plan.Feet[i] {
			fmt.Printf("%s, %s: %s\n", m.Name, f.Foot, f.Move.VerticalWords(align.UnitMillimetre, 3))
		}
	}
	// Output:
	// motor, outboard: add 0.037 mm
	// motor, inboard: take out 0.037 mm
	// pump, inboard: take out 0.037 mm
	// pump, outboard: add 0.037 mm
}
