package lp_test

import (
	"context"
	"math/rand/v2"
	"testing"

	"collinear.example/internal/lp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// limited returns p with only the given limits and no cost.
func limited(p *lp.Problem, bounds []lp.Bound) *lp.Problem {
	q := lp.New(len(p.C))
	for _, row := range p.Rows {
		q.Add(row, -inf, inf)
	}
	for _, b := range bounds {
		switch {
		case b.Row && b.Upper:
			q.Hi[b.Index] = p.Hi[b.Index]
		case b.Row:
			q.Lo[b.Index] = p.Lo[b.Index]
		case b.Upper:
			q.Upper[b.Index] = p.Upper[b.Index]
		default:
			q.Lower[b.Index] = p.Lower[b.Index]
		}
	}
	return q
}

// irreducible checks the two things a conflict is for.
func irreducible(t *testing.T, p *lp.Problem, bounds []lp.Bound, status func(*lp.Problem) lp.Status) {
	t.Helper()
	require.NotEmpty(t, bounds)
	require.Equal(t, lp.Infeasible, status(limited(p, bounds)), "%v is no conflict", bounds)
	for k := range bounds {
		rest := append(append([]lp.Bound(nil), bounds[:k]...), bounds[k+1:]...)
		require.NotEqual(t, lp.Infeasible, status(limited(p, rest)), "%v without %v", bounds, bounds[k])
	}
}

func TestConflictAgainstEveryVertex(t *testing.T) {
	r := rand.New(rand.NewPCG(41, 42))
	for n := 0; n < 150; {
		p := small(r)
		if len(p.C) > 3 {
			continue
		}
		bounds, err := p.Conflict(context.Background())
		require.NoError(t, err)
		st, _ := decide(p)
		if st != lp.Infeasible {
			require.Nil(t, bounds)
			continue
		}
		irreducible(t, p, bounds, func(q *lp.Problem) lp.Status { st, _ := decide(q); return st })
		n++
	}
}

func TestConflictOfLargerProblems(t *testing.T) {
	r := rand.New(rand.NewPCG(43, 44))
	for range 150 {
		n, m := size(r)
		p := infeasible(r, n, m)
		bounds, err := p.Conflict(context.Background())
		require.NoError(t, err)
		require.LessOrEqual(t, len(bounds), n+1, "Helly: a conflict in n variables has at most n+1 limits")
		irreducible(t, p, bounds, func(q *lp.Problem) lp.Status { return solve(t, q).Status })
	}
}

func TestConflictByHand(t *testing.T) {
	p := lp.New(2)
	p.Lower[0], p.Upper[0] = 0, 1
	p.Lower[1], p.Upper[1] = 0, 1
	p.Add([]float64{1, 0}, -inf, 5)
	p.Add([]float64{1, 1}, 3, 4)
	bounds, err := p.Conflict(context.Background())
	require.NoError(t, err)
	assert.ElementsMatch(t, []lp.Bound{{Row: true, Index: 1}, {Index: 0, Upper: true}, {Index: 1, Upper: true}}, bounds)
}
