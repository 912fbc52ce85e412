package moves_test

import (
	"context"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"collinear.example/moves"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// Feet that do not stand at the corners of a rectangle at the height of the shafts.

// Feet below the shafts, at the corners of no rectangle: the plane is that of a QR
// of the whole matrix, and no foot goes sideways by being shimmed.
func TestRoundingOfFeetBelowTheShafts(t *testing.T) {
	rnd := rand.New(rand.NewPCG(53, 2))
	const step = unit.Length(5e-5)
	length := func(size float64) unit.Length { return unit.Length((rnd.Float64()*2 - 1) * size) }
	for n := range 40 {
		train, wanted := roundTrain(rnd, 2, true)
		var feet []moves.Foot
		shear := length(0.5)
		low := length(1)
		for k := range 3 + n%4 {
			z := 0.3 * unit.Length(2*(k%2)-1)
			feet = append(feet, moves.Foot{At: align.Place{X: 2 + 0.4*unit.Length(k/2) + shear*z, Y: low, Z: z + 0.2}})
		}
		train.Machines[1].Feet = feet
		r, err := moves.RoundShims(context.Background(), &train, wanted, moves.Rounding{Step: step})
		require.NoError(t, err)
		shims := make([]unit.Length, len(feet))
		for k, f := range r.Feet[1] {
			shims[k] = f.Shim
			was, is := wanted[1].At(feet[k].At), r.Motions[1].At(feet[k].At)
			require.InDelta(t, float64(was.Z), float64(is.Z), 1e-12)
			require.InDelta(t, float64(was.X), float64(is.X), 1e-12)
			require.InDelta(t, float64(f.Shim-is.Y), float64(f.Left), 1e-12)
		}
		motion, twist := refit(feet, wanted[1], shims)
		require.InDelta(t, twist, float64(r.Twist[1]), 1e-11)
		for _, p := range []align.Place{{}, {X: 3}, {Z: 1}} {
			require.InDelta(t, float64(motion.At(p).Y), float64(r.Motions[1].At(p).Y), 1e-10)
		}
	}
}

// Three feet give a plane whatever they are, so that every choice of up and down
// keeps it, and the best one is found.
func TestRoundingOfThreeFeet(t *testing.T) {
	rnd := rand.New(rand.NewPCG(54, 2))
	for range 20 {
		train, wanted := roundTrain(rnd, 2, true)
		train.Machines[1].Feet = train.Machines[1].Feet[:3]
		none := unit.Length(0)
		r, err := moves.RoundShims(context.Background(), &train, wanted, moves.Rounding{Step: 5e-5, Twist: &none})
		require.NoError(t, err)
		require.InDelta(t, 0, float64(r.Twist[1]), 1e-12)
		require.InDelta(t, bruteRounding(&train, wanted, 5e-5), r.Evaluation.WorstCoupling, 2e-9)
		for _, w := range r.Warnings {
			require.NotEqual(t, moves.WarnTwisted, w.Code)
		}
	}
}
