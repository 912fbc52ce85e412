package lp_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/internal/lp"
	"github.com/stretchr/testify/require"
)

// known is a problem whose answer follows from how it was made.
type known struct {
	p    *lp.Problem
	best float64
}

// optimal makes a problem around a point x and multipliers: every limit with a
// multiplier binds at x, and the costs are what they add up to, so that x is an
// optimum. ties says how often a limit binds without a multiplier.
func optimal(r *rand.Rand, n, m int, ties float64) known {
	p := lp.New(n)
	x := make([]float64, n)
	for j := range x {
		x[j] = r.NormFloat64()
		if r.IntN(4) == 0 {
			x[j] = 0
		}
	}
	for j := range n {
		if r.IntN(3) > 0 {
			var z float64
			p.Lower[j], p.Upper[j], z = around(r, x[j], ties)
			p.C[j] += z
		}
	}
	row := make([]float64, n)
	for range m {
		at := 0.0
		for j := range row {
			row[j] = math.Round(r.NormFloat64()*64) / 64
			if r.IntN(3) == 0 {
				row[j] = 0
			}
			at += row[j] * x[j]
		}
		lo, hi, y := around(r, at, ties)
		p.Add(row, lo, hi)
		for j, v := range row {
			p.C[j] += y * v
		}
	}
	best := 0.0
	for j, c := range p.C {
		best += c * x[j]
	}
	return known{p, best}
}

// around returns limits about a value and a multiplier that suits them.
func around(r *rand.Rand, at, ties float64) (lo, hi, y float64) {
	lo, hi = at-r.Float64()-0.01, at+r.Float64()+0.01
	switch r.IntN(6) {
	case 0:
		lo, y = at, r.Float64()
	case 1:
		hi, y = at, -r.Float64()
	case 2:
		lo, hi, y = at, at, r.NormFloat64()
	case 3:
		lo = -inf
	case 4:
		hi = inf
	}
	if r.Float64() < ties {
		y = 0
	}
	return lo, hi, y
}

// infeasible makes a problem whose last row contradicts a sum of the others.
func infeasible(r *rand.Rand, n, m int) *lp.Problem {
	k := optimal(r, n, m, 0.5)
	p := k.p
	row, most := make([]float64, n), 0.0
	for i := range min(m, n+2) {
		y := 0.0
		switch {
		case p.Hi[i] < inf:
			y = r.Float64() + 0.1
			most += y * p.Hi[i]
		case p.Lo[i] > -inf:
			y = -r.Float64() - 0.1
			most += y * p.Lo[i]
		}
		for j, v := range p.Rows[i] {
			row[j] += y * v
		}
	}
	// The row is at most `most`; ask for more.
	p.Add(row, most+0.01+r.Float64(), inf)
	return p
}

// unbounded makes a feasible problem with a direction that nothing stops.
func unbounded(r *rand.Rand, n, m int) *lp.Problem {
	p := optimal(r, n, m, 0.5).p
	ray := make([]float64, n)
	along := 0.0
	for j := range ray {
		ray[j] = r.NormFloat64()
		p.C[j] = r.NormFloat64()
		along += p.C[j] * ray[j]
	}
	if along > 0 {
		for j := range ray {
			ray[j] = -ray[j]
		}
	}
	for j, d := range ray {
		open(&p.Lower[j], &p.Upper[j], d)
	}
	for i, row := range p.Rows {
		d := 0.0
		for j, v := range row {
			d += v * ray[j]
		}
		open(&p.Lo[i], &p.Hi[i], d)
	}
	return p
}

// open takes away the limit that stands in the way of a move.
func open(lo, hi *float64, move float64) {
	if move > 0 {
		*hi = inf
	} else if move < 0 {
		*lo = -inf
	}
}

func size(r *rand.Rand) (n, m int) { return 1 + r.IntN(14), r.IntN(40) }

func TestOptimalByConstruction(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	for k := range 3000 {
		n, m := size(r)
		w := optimal(r, n, m, float64(k%3)/2)
		sol := solve(t, w.p)
		require.Equal(t, lp.Optimal, sol.Status, "problem %d", k)
		require.InDelta(t, w.best, sol.Objective, 1e-8*(1+math.Abs(w.best)), "problem %d", k)
	}
}

func TestInfeasibleByConstruction(t *testing.T) {
	r := rand.New(rand.NewPCG(13, 14))
	for k := range 2000 {
		n, m := size(r)
		require.Equal(t, lp.Infeasible, solve(t, infeasible(r, n, m)).Status, "problem %d", k)
	}
}

func TestUnboundedByConstruction(t *testing.T) {
	r := rand.New(rand.NewPCG(15, 16))
	for k := range 2000 {
		n, m := size(r)
		require.Equal(t, lp.Unbounded, solve(t, unbounded(r, n, m)).Status, "problem %d", k)
	}
}

func TestLargeByConstruction(t *testing.T) {
	r := rand.New(rand.NewPCG(17, 18))
	for k := range 12 {
		w := optimal(r, 30+r.IntN(31), 200+r.IntN(600), float64(k%3)/2)
		sol := solve(t, w.p)
		require.Equal(t, lp.Optimal, sol.Status)
		require.InDelta(t, w.best, sol.Objective, 1e-8*(1+math.Abs(w.best)))
		require.Equal(t, lp.Infeasible, solve(t, infeasible(r, 40, 300)).Status)
		require.Equal(t, lp.Unbounded, solve(t, unbounded(r, 40, 300)).Status)
	}
}

// changed returns p with variable j measured in units of 1/col[j], row i times
// row[i], and all in another order. The optimum does not change.
func changed(r *rand.Rand, p *lp.Problem, decades float64) *lp.Problem {
	n := len(p.C)
	factor := func() float64 { return math.Pow(10, decades*(2*r.Float64()-1)) }
	q, cols := lp.New(n), r.Perm(n)
	unit := make([]float64, n)
	for j, to := range cols {
		unit[j] = factor()
		q.C[to] = p.C[j] * unit[j]
		q.Lower[to], q.Upper[to] = p.Lower[j]/unit[j], p.Upper[j]/unit[j]
	}
	row := make([]float64, n)
	for _, i := range r.Perm(len(p.Rows)) {
		f := factor()
		for j, to := range cols {
			row[to] = p.Rows[i][j] * unit[j] * f
		}
		q.Add(row, p.Lo[i]*f, p.Hi[i]*f)
	}
	return q
}

// Other units and another order give the same answer: micrometres beside
// kilometres, rows from a millionth to a million.
func TestUnitsAndOrderDoNotMatter(t *testing.T) {
	r := rand.New(rand.NewPCG(19, 20))
	for k := range 800 {
		n, m := size(r)
		w := optimal(r, n, m, 0.3)
		sol := solve(t, changed(r, w.p, 6))
		require.Equal(t, lp.Optimal, sol.Status, "problem %d", k)
		require.InDelta(t, w.best, sol.Objective, 1e-8*(1+math.Abs(w.best)), "problem %d", k)
		require.Equal(t, lp.Infeasible, solve(t, changed(r, infeasible(r, n, m), 6)).Status, "problem %d", k)
		require.Equal(t, lp.Unbounded, solve(t, changed(r, unbounded(r, n, m), 6)).Status, "problem %d", k)
	}
}
