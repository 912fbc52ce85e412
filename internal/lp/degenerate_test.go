package lp_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/internal/lp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestEmptyProblems(t *testing.T) {
	assert.Equal(t, lp.Optimal, solve(t, lp.New(0)).Status)

	none := lp.New(0)
	none.Add(nil, -1, 1)
	assert.Equal(t, lp.Optimal, solve(t, none).Status)
	none.Add(nil, 1, 2)
	assert.Equal(t, lp.Infeasible, solve(t, none).Status)

	rows := lp.New(2) // no rows, no cost
	assert.Equal(t, lp.Optimal, solve(t, rows).Status)
	rows.C[1] = -1 // no rows, a cost
	assert.Equal(t, lp.Unbounded, solve(t, rows).Status)
	rows.Upper[1] = 7
	sol := solve(t, rows)
	assert.Equal(t, lp.Optimal, sol.Status)
	assert.Equal(t, -7.0, sol.Objective)
	assert.Equal(t, -1.0, sol.VarDual[1])
}

func TestZeroRows(t *testing.T) {
	p := lp.New(2)
	p.Add([]float64{0, 0}, -1, 0)
	p.Add([]float64{0, 0}, 0, 0)
	assert.Equal(t, lp.Optimal, solve(t, p).Status)
	p.Add([]float64{0, 0}, 1e-9, inf)
	sol := solve(t, p)
	assert.Equal(t, lp.Infeasible, sol.Status)
	assert.Positive(t, sol.RowDual[2])
}

func TestFixedVariablesAndZeroWidths(t *testing.T) {
	p := lp.New(3)
	p.C = []float64{1, 1, 1}
	for j := range 2 {
		p.Lower[j], p.Upper[j] = float64(j+1), float64(j+1)
	}
	p.Add([]float64{1, 1, 1}, 6, 6)
	p.Add([]float64{2, 2, 2}, 12, 12) // the same once more
	sol := solve(t, p)
	assert.Equal(t, lp.Optimal, sol.Status)
	assert.InDeltaSlice(t, []float64{1, 2, 3}, sol.X, 1e-12)
	p.Add([]float64{3, 3, 3}, 19, 20)
	assert.Equal(t, lp.Infeasible, solve(t, p).Status)
}

// Beale's example, on which Dantzig's rule with the lowest row cycles (E. M. L.
// Beale, Naval Research Logistics Quarterly 2, 1955; from memory). The optimum
// -1/20 is that of the oracle too.
func TestBealeDoesNotCycle(t *testing.T) {
	p := lp.New(4)
	p.C = []float64{-0.75, 150, -0.02, 6}
	for j := range 4 {
		p.Lower[j] = 0
	}
	p.Add([]float64{0.25, -60, -0.04, 9}, -inf, 0)
	p.Add([]float64{0.5, -90, -0.02, 3}, -inf, 0)
	p.Add([]float64{0, 0, 1, 0}, -inf, 1)
	st, best := decide(p)
	require.Equal(t, lp.Optimal, st)
	require.InDelta(t, -0.05, best, 1e-15)
	sol := solve(t, p)
	require.Equal(t, lp.Optimal, sol.Status)
	require.InDelta(t, best, sol.Objective, 1e-12)
}

// The cube that Klee and Minty squashed; the last corner has 5^n.
func TestKleeMinty(t *testing.T) {
	for n := 2; n <= 8; n++ {
		p := lp.New(n)
		for i := range n {
			p.Lower[i] = 0
			p.C[i] = -math.Pow(2, float64(n-1-i))
			row := make([]float64, n)
			for j := range i {
				row[j] = math.Pow(2, float64(i-j+1))
			}
			row[i] = 1
			p.Add(row, -inf, math.Pow(5, float64(i+1)))
		}
		assert.InEpsilon(t, -math.Pow(5, float64(n)), solve(t, p).Objective, 1e-12)
	}
}

// A perfect fit: every row meets zero, all at one vertex.
func TestPerfectFits(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 22))
	for range 300 {
		p := minimax(r, 2+r.IntN(7), 4+2*r.IntN(30))
		x, n := make([]float64, len(p.C)), len(p.C)
		if r.IntN(2) == 0 {
			for j := range n - 1 {
				x[j] = r.Float64()
			}
		}
		for i, row := range p.Rows {
			at := 0.0
			for j := range n - 1 {
				at += row[j] * x[j]
			}
			if math.IsInf(p.Lo[i], 0) {
				p.Hi[i] = at
			} else {
				p.Lo[i] = at
			}
		}
		p.Lower[n-1] = -inf // the rows alone hold the deviation up
		sol := solve(t, p)
		require.Equal(t, lp.Optimal, sol.Status)
		require.InDelta(t, 0, sol.Objective, 1e-12)
	}
}

func TestDuplicateAndNearlyParallelRows(t *testing.T) {
	r := rand.New(rand.NewPCG(23, 24))
	for k := range 600 {
		n := 2 + r.IntN(8)
		w := optimal(r, n, 20, 0.3)
		p := w.p
		near := math.Pow(10, -float64(6+k%11)) // from 1e-6 to nothing but rounding
		row := make([]float64, n)
		for i := range 20 {
			for j, v := range p.Rows[i] {
				row[j] = v
				if k%2 == 0 {
					row[j] *= 1 + near*r.NormFloat64()
				}
			}
			lo, hi := p.Lo[i], p.Hi[i]
			if k%2 == 0 { // off by what the change of the row asks for, and wider
				lo, hi = lo-10*near, hi+10*near
			}
			p.Add(row, lo, hi)
		}
		sol := solve(t, p)
		require.Equal(t, lp.Optimal, sol.Status, "problem %d", k)
		require.LessOrEqual(t, sol.Objective, w.best+1e-4*(1+math.Abs(w.best)), "problem %d", k)
		if k%2 == 1 {
			require.InDelta(t, w.best, sol.Objective, 1e-8*(1+math.Abs(w.best)), "problem %d", k)
		}
	}
}

// Many constraints through one point of an assignment polytope: as degenerate as
// problems come.
func TestAssignment(t *testing.T) {
	r := rand.New(rand.NewPCG(25, 26))
	for range 40 {
		k := 2 + r.IntN(4)
		p := lp.New(k * k)
		for j := range p.C {
			p.C[j], p.Lower[j], p.Upper[j] = float64(r.IntN(5)), 0, 1
		}
		for i := range k {
			row, col := make([]float64, k*k), make([]float64, k*k)
			for j := range k {
				row[i*k+j], col[j*k+i] = 1, 1
			}
			p.Add(row, 1, 1)
			p.Add(col, 1, 1)
		}
		require.InDelta(t, cheapest(p.C, k, 0, 0), solve(t, p).Objective, 1e-9)
	}
}

// cheapest tries every assignment.
func cheapest(c []float64, k, row, used int) float64 {
	if row == k {
		return 0
	}
	best := inf
	for j := range k {
		if used&(1<<j) == 0 {
			best = min(best, c[row*k+j]+cheapest(c, k, row+1, used|1<<j))
		}
	}
	return best
}
