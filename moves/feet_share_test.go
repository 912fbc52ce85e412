package moves_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"collinear.example/moves"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// Shares and words of the limits at feet.

// A foot that must not move has its limit used up by a picometre.
func TestShareOfAFootThatIsHeld(t *testing.T) {
	train, _ := roundTrain(rand.New(rand.NewPCG(1, 1)), 2, true)
	for i := range train.Machines[1].Feet {
		train.Machines[1].Feet[i].Range = moves.Held()
	}
	for _, size := range []unit.Length{0.5e-12, -0.5e-12, 3e-12} {
		for _, d := range []align.Displacement{{Y: size}, {Z: size}} {
			e, err := train.Evaluate([]align.Motion{{}, {Shift: d}})
			require.NoError(t, err)
			for _, f := range e.Feet[1] {
				assert.InEpsilon(t, math.Abs(float64(size))/1e-12, f.Share, 1e-9)
			}
		}
	}
}

// A foot at the end of its room has used all of it, also when rounding puts it a
// hair past the end.
func TestShareAtTheEndOfTheRoom(t *testing.T) {
	train, _ := roundTrain(rand.New(rand.NewPCG(1, 1)), 2, true)
	room := unit.Length(1e-3)
	for i := range train.Machines[1].Feet {
		train.Machines[1].Feet[i].Range = moves.FootRange{Up: &room, Down: &room, Left: &room, Right: &room}
	}
	for _, k := range []float64{0.5, 1, 1 + 5e-10, 1.5} {
		for _, d := range []align.Displacement{{Y: 1e-3}, {Y: -1e-3}, {Z: 1e-3}, {Z: -1e-3}} {
			e, err := train.Evaluate([]align.Motion{{}, {Shift: d.Scale(k)}})
			require.NoError(t, err)
			want := k
			if k < 1.1 && k > 1 {
				want = 1
			}
			for _, f := range e.Feet[1] {
				assert.InDelta(t, want, f.Share, 1e-12)
			}
		}
	}
}

// Limits at feet in words, by the direction they hold.
func TestWordsOfFeet(t *testing.T) {
	train := planTrain(rand.New(rand.NewPCG(1, 1)), planPart{machines: 2})
	for _, c := range []struct {
		kind   moves.Kind
		toward align.Clock
		want   string
	}{
		{moves.FootVertical, 0, "shims to add under machine 2, foot 1"},
		{moves.FootVertical, 180, "shims to take out under machine 2, foot 1"},
		{moves.FootVertical, -180, "shims to take out under machine 2, foot 1"},
		{moves.FootLateral, 90, "bolt holes toward 3 o'clock at machine 2, foot 1"},
		{moves.FootLateral, 270, "bolt holes toward 9 o'clock at machine 2, foot 1"},
	} {
		assert.Equal(t, c.want, train.Words(moves.Ref{Kind: c.kind, Machine: 1, Toward: c.toward}))
	}
}
