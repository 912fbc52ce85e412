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

var inf = math.Inf(1)

// solve solves and has the answer proved once more from outside.
func solve(t *testing.T, p *lp.Problem) lp.Solution {
	t.Helper()
	sol, err := p.Solve(context.Background())
	require.NoError(t, err)
	require.NotEqual(t, lp.Stopped, sol.Status, sol.Reason)
	require.NoError(t, p.Verify(sol, 1e-9))
	return sol
}

// small returns a problem of a few small whole numbers: full of ties, zero rows,
// duplicates and degenerate vertices.
func small(r *rand.Rand) *lp.Problem {
	n, m := 1+r.IntN(4), r.IntN(8)
	if n == 4 {
		m = min(m, 5) // the oracle tries every set of four
	}
	p := lp.New(n)
	whole := func(k int) float64 { return float64(r.IntN(2*k+1) - k) }
	for j := range n {
		p.C[j] = whole(3)
		switch r.IntN(5) {
		case 0:
			p.Lower[j] = whole(2)
		case 1:
			p.Upper[j] = whole(2)
		case 2:
			p.Lower[j] = whole(2)
			p.Upper[j] = p.Lower[j] + float64(r.IntN(3))
		case 3:
			p.Lower[j] = 0
		}
	}
	row := make([]float64, n)
	for range m {
		if r.IntN(6) > 0 { // else the row before once more
			for j := range row {
				row[j] = whole(2)
			}
		}
		lo, hi := whole(3), inf
		switch r.IntN(4) {
		case 0:
			hi = lo
		case 1:
			hi = lo + float64(r.IntN(4))
		case 2:
			lo, hi = -inf, lo
		}
		p.Add(row, lo, hi)
	}
	return p
}

func TestSmallProblemsAgainstEveryVertex(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	count := map[lp.Status]int{}
	for k := range 1500 {
		p := small(r)
		want, best := decide(p)
		sol := solve(t, p)
		require.Equal(t, want, sol.Status, "problem %d: %+v", k, p)
		if want == lp.Optimal {
			require.InDelta(t, best, sol.Objective, 1e-9, "problem %d: %+v", k, p)
		}
		count[want]++
	}
	assert.Greater(t, count[lp.Optimal], 150)
	assert.Greater(t, count[lp.Infeasible], 150)
	assert.Greater(t, count[lp.Unbounded], 150)
	t.Log(count)
}

// What cannot be scaled back whole is refused; what is too small to matter counts as
// none.
func TestNumbersBeyondTheirRange(t *testing.T) {
	p := lp.New(1)
	p.C[0], p.Lower[0], p.Upper[0] = 0x1p481, 0, 1
	_, err := p.Solve(t.Context())
	require.ErrorIs(t, err, lp.ErrTooLarge)
	p.C[0] = 1
	p.Add([]float64{-0x1p481}, 0, 1)
	_, err = p.Solve(t.Context())
	require.ErrorIs(t, err, lp.ErrTooLarge)

	p = lp.New(1)
	p.C[0], p.Lower[0], p.Upper[0] = 0x1p-481, 0, 1
	sol, err := p.Solve(t.Context())
	require.NoError(t, err)
	require.Equal(t, lp.Optimal, sol.Status)
	require.NoError(t, p.Verify(sol, 1e-9))
}
