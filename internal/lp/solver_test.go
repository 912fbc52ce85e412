package lp_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/internal/lp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func again(t *testing.T, s *lp.Solver, p *lp.Problem) lp.Solution {
	t.Helper()
	sol, err := s.Resolve(context.Background())
	require.NoError(t, err)
	require.NotEqual(t, lp.Stopped, sol.Status, sol.Reason)
	require.NoError(t, p.Verify(sol, 1e-9))
	return sol
}

// A warm start gives what a cold one gives, after any run of changes.
func TestResolveAfterChanges(t *testing.T) {
	r := rand.New(rand.NewPCG(51, 52))
	reached := 0
	for k := range 300 {
		n, m := size(r)
		p := optimal(r, n, m, 0.4).p
		s := lp.NewSolver(p)
		again(t, s, p)
		for range 6 {
			switch r.IntN(4) {
			case 0:
				p.C[r.IntN(n)] = r.NormFloat64()
			case 1:
				row := make([]float64, n)
				for j := range row {
					row[j] = r.NormFloat64()
				}
				at := r.NormFloat64()
				p.Add(row, at, at+r.Float64())
			case 2:
				j := r.IntN(n)
				p.Lower[j] = r.NormFloat64()
				p.Upper[j] = p.Lower[j] + r.Float64()
			case 3:
				if len(p.Rows) > 0 {
					p.Hi[r.IntN(len(p.Rows))] = inf
				}
			}
			warm, cold := again(t, s, p), solve(t, p)
			require.Equal(t, cold.Status, warm.Status, "problem %d", k)
			if cold.Status == lp.Optimal { // the point that a ray starts from is free
				require.InDelta(t, cold.Objective, warm.Objective, 1e-8*(1+math.Abs(cold.Objective)))
				reached++
			}
		}
	}
	require.Greater(t, reached, 200)
}

// First the least largest deviation, then the least sum of moves that keeps it.
func TestLexicographic(t *testing.T) {
	r := rand.New(rand.NewPCG(53, 54))
	for range 100 {
		p := minimax(r, 5, 12)
		s := lp.NewSolver(p)
		first := again(t, s, p)
		p.Add([]float64{0, 0, 0, 0, 1}, -inf, first.Objective)
		copy(p.C, []float64{1, 1, 1, 1, 0})
		second := again(t, s, p)
		require.Equal(t, lp.Optimal, second.Status)
		require.InDelta(t, first.Objective, second.X[4], 1e-8)
		require.InDelta(t, solve(t, p).Objective, second.Objective, 1e-8)
	}
}

func TestSameAnswerEveryTime(t *testing.T) {
	r := rand.New(rand.NewPCG(55, 56))
	var used lp.Solver
	for range 100 {
		p := optimal(r, 10, 30, 0.5).p
		a, b := solve(t, p), solve(t, p)
		require.Equal(t, a, b)
		used.Reset(p)
		c, err := used.Solve(context.Background())
		require.NoError(t, err)
		require.Equal(t, a, c)
	}
}

// Solving allocates for its answer and not for its pivots.
func TestPivotsDoNotAllocate(t *testing.T) {
	r := rand.New(rand.NewPCG(57, 58))
	count := func(n, m int) float64 {
		p := minimax(r, n, m)
		s := lp.NewSolver(p)
		return testing.AllocsPerRun(10, func() {
			s.Reset(p)
			sol, err := s.Solve(context.Background())
			if err != nil || sol.Status != lp.Optimal {
				t.Error(sol.Status, err)
			}
		})
	}
	assert.Equal(t, count(3, 6), count(20, 120))
}

// Rows handed out before stay as they are while more are added.
func TestAddCopies(t *testing.T) {
	p := lp.New(2)
	row := []float64{0, 0}
	for i := range 100 {
		row[0], row[1] = float64(i), float64(-i)
		require.Equal(t, i, p.Add(row, 0, 1))
	}
	for i, got := range p.Rows {
		assert.Equal(t, []float64{float64(i), float64(-i)}, got)
	}
}
