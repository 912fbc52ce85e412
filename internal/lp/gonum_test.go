package lp_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/internal/lp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	gonumlp "gonum.org/v1/gonum/optimize/convex/lp"
)

// standard writes p the way gonum's simplex wants it: every variable the
// difference of two that are at least zero, every finite limit an equation with
// a slack of its own. The objective is C·x.
func standard(p *lp.Problem) ([]float64, *mat.Dense, []float64) {
	type less struct {
		row []float64
		at  float64
	}
	var ls []less
	n := len(p.C)
	add := func(row []float64, lo, hi float64) {
		if !math.IsInf(hi, 0) {
			ls = append(ls, less{row, hi})
		}
		if !math.IsInf(lo, 0) {
			neg := make([]float64, n)
			for j, v := range row {
				neg[j] = -v
			}
			ls = append(ls, less{neg, -lo})
		}
	}
	for i, row := range p.Rows {
		add(row, p.Lo[i], p.Hi[i])
	}
	for j := range n {
		unit := make([]float64, n)
		unit[j] = 1
		add(unit, p.Lower[j], p.Upper[j])
	}
	c := make([]float64, 2*n+len(ls))
	for j, v := range p.C {
		c[j], c[n+j] = v, -v
	}
	a, rhs := mat.NewDense(len(ls), len(c), nil), make([]float64, len(ls))
	for i, l := range ls {
		for j, v := range l.row {
			a.Set(i, j, v)
			a.Set(i, n+j, -v)
		}
		a.Set(i, 2*n+i, 1)
		rhs[i] = l.at
	}
	return c, a, rhs
}

// gonum's simplex is a witness only where it reaches an optimum; its errors count
// as no verdict, for in badly scaled problems it calls bounded ones unbounded.
func TestOptimumAgreesWithGonum(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	agreed, total := 0, 300
	for range total {
		p := minimax(r, 2+r.IntN(4), 6+2*r.IntN(8))
		sol := solve(t, p)
		require.Equal(t, lp.Optimal, sol.Status)
		c, a, rhs := standard(p)
		best, _, err := gonumlp.Simplex(c, a, rhs, 1e-10, nil)
		if err != nil {
			continue
		}
		agreed++
		require.InDelta(t, best, sol.Objective, 1e-8)
	}
	t.Logf("gonum reached an optimum in %d of %d problems, the same each time", agreed, total)
	assert.Greater(t, agreed, total/2)
}
