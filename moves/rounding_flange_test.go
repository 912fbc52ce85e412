package moves_test

import (
	"context"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"collinear.example/moves"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// What rounding does to flanges.

// Rounding that puts a flange out of a tolerance that must be kept says so, and
// only then.
func TestRoundingSaysWhenAFlangeIsLost(t *testing.T) {
	var kept, lost int
	pipedTrains(t, 11, 60, func(train *moves.Train) {
		for i := range train.Machines {
			for k := range train.Machines[i].Goals {
				for j := range train.Machines[i].Goals[k].Parts {
					train.Machines[i].Goals[k].Parts[j].Hard = true
				}
			}
		}
		p := mustPlan(t, train)
		if !p.Feasible {
			return
		}
		r, err := moves.RoundShims(context.Background(), train, p.Motions, moves.Rounding{Step: 5e-5})
		require.NoError(t, err)
		said := false
		for _, w := range r.Warnings {
			said = said || w.Code == moves.WarnFlangeLost
		}
		require.Equal(t, r.Evaluation.WorstHard > 1+1e-9, said)
		if said {
			lost++
		} else if r.Evaluation.WorstHard > 0 {
			kept++
		}
	})
	require.Positive(t, kept)
	require.Positive(t, lost)
}

// What was lost before the rounding is not lost by it.
func TestFlangeThatWasLostBefore(t *testing.T) {
	looked := 0
	pipedTrains(t, 12, 60, func(train *moves.Train) {
		for i := range train.Machines {
			for k := range train.Machines[i].Goals {
				for j := range train.Machines[i].Goals[k].Parts {
					train.Machines[i].Goals[k].Parts[j].Hard = true
				}
			}
		}
		p := mustPlan(t, train)
		motions := append([]align.Motion(nil), p.Motions...)
		for i := range motions {
			if len(train.Machines[i].Goals) > 0 {
				motions[i].Shift.Y += 2e-4
			}
		}
		before, err := train.Evaluate(motions)
		require.NoError(t, err)
		if !p.Feasible || before.WorstHard <= 1+1e-6 || before.WorstHard > 2 {
			return
		}
		r, err := moves.RoundShims(context.Background(), train, motions, moves.Rounding{Step: 5e-5})
		if align.CodeOf(err) == "out-of-range" {
			return // past the room of a foot
		}
		require.NoError(t, err)
		if r.Evaluation.WorstHard > 1+1e-6 {
			looked++
		}
		for _, w := range r.Warnings {
			require.NotEqual(t, moves.WarnFlangeLost, w.Code)
		}
	})
	require.Positive(t, looked)
}

// The rounding of a flange warns of bolts that are off by more than half a step,
// and of no others; without a tilt no bolt is any distance from zero.
func TestRoundedFlangeWarnsPastHalfAStep(t *testing.T) {
	rnd := rand.New(rand.NewPCG(31, 5))
	const step = unit.Length(5e-5)
	third := 0
	for range 300 {
		b := moves.BoltCircle{Diameter: 0.5, Bolts: 3 + rnd.IntN(10)}
		s, err := b.Shims(align.Slope{Vertical: rnd.NormFloat64() * 3e-4, Horizontal: rnd.NormFloat64() * 3e-4})
		require.NoError(t, err)
		r, err := b.Round(s, step)
		require.NoError(t, err)
		warned := false
		for _, w := range r.Warnings {
			warned = warned || w.Code == moves.WarnShimsUneven
		}
		require.Equal(t, r.Uneven > step/2+1e-9, warned)
		if r.Uneven > step/3 && !warned {
			third++
		}
	}
	require.Positive(t, third)
	level, err := moves.BoltCircle{Diameter: 0.5, Bolts: 4}.Shims(align.Slope{})
	require.NoError(t, err)
	for _, bolt := range level.Bolts {
		assert.Zero(t, bolt.FromZero)
		assert.Zero(t, bolt.Shim)
	}
}

// A flange whose bolts are out of one plane by more than half a step says by how
// much, and what half a step is.
func TestUnevenBoltsAreTold(t *testing.T) {
	rnd := rand.New(rand.NewPCG(31, 6))
	const step = unit.Length(5e-5)
	seen := 0
	for range 200 {
		b := moves.BoltCircle{Diameter: 0.5, Bolts: 3 + rnd.IntN(10)}
		s, err := b.Shims(align.Slope{Vertical: rnd.NormFloat64() * 3e-4, Horizontal: rnd.NormFloat64() * 3e-4})
		require.NoError(t, err)
		r, err := b.Round(s, step)
		require.NoError(t, err)
		for _, w := range r.Warnings {
			seen++
			assert.Equal(t, moves.WarnShimsUneven, w.Code)
			assert.Equal(t, "shims", w.Field)
			assert.InDelta(t, float64(r.Uneven), w.Value, 1e-12)
			assert.InDelta(t, 2.5e-5, w.Limit, 1e-12)
		}
	}
	require.Positive(t, seen)
}
