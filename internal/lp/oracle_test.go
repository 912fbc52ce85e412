package lp_test

import (
	"math/big"

	"collinear.example/internal/lp"
)

// The oracle decides small problems by trying every vertex in rational
// arithmetic. It knows nothing of scaling, tolerances or pivots.

// half is one inequality row·x <= at.
type half struct {
	row []*big.Rat
	at  *big.Rat
}

// halves writes all finite limits of p as inequalities.
func halves(p *lp.Problem) []half {
	var out []half
	add := func(row []float64, lo, hi float64) {
		up, down := make([]*big.Rat, len(row)), make([]*big.Rat, len(row))
		for j, v := range row {
			up[j] = new(big.Rat).SetFloat64(v)
			down[j] = new(big.Rat).Neg(up[j])
		}
		if h := new(big.Rat).SetFloat64(hi); h != nil {
			out = append(out, half{up, h})
		}
		if l := new(big.Rat).SetFloat64(lo); l != nil {
			out = append(out, half{down, l.Neg(l)})
		}
	}
	for i, row := range p.Rows {
		add(row, p.Lo[i], p.Hi[i])
	}
	for j := range p.C {
		unit := make([]float64, len(p.C))
		unit[j] = 1
		add(unit, p.Lower[j], p.Upper[j])
	}
	return out
}

func dotRat(a, b []*big.Rat) *big.Rat {
	s := new(big.Rat)
	for j := range a {
		s.Add(s, new(big.Rat).Mul(a[j], b[j]))
	}
	return s
}

// solveRat solves a square system, nil when it is singular.
func solveRat(rows [][]*big.Rat, rhs []*big.Rat) []*big.Rat {
	n := len(rhs)
	m := make([][]*big.Rat, n)
	for i := range m {
		for _, v := range rows[i] {
			m[i] = append(m[i], new(big.Rat).Set(v))
		}
		m[i] = append(m[i], new(big.Rat).Set(rhs[i]))
	}
	for c := range n {
		r := c
		for r < n && m[r][c].Sign() == 0 {
			r++
		}
		if r == n {
			return nil
		}
		m[c], m[r] = m[r], m[c]
		for i := range n {
			if i == c || m[i][c].Sign() == 0 {
				continue
			}
			f := new(big.Rat).Quo(m[i][c], m[c][c])
			for j := c; j <= n; j++ {
				m[i][j].Sub(m[i][j], new(big.Rat).Mul(f, m[c][j]))
			}
		}
	}
	x := make([]*big.Rat, n)
	for i := range n {
		x[i] = m[i][n].Quo(m[i][n], m[i][i])
	}
	return x
}

// bestVertex returns the least cost over the vertices of the inequalities, or
// nil when there is no vertex. The set must hold no line.
func bestVertex(hs []half, c []*big.Rat) *big.Rat {
	n := len(c)
	var best *big.Rat
	rows, rhs := make([][]*big.Rat, n), make([]*big.Rat, n)
	var choose func(from, k int)
	choose = func(from, k int) {
		if k < n {
			for i := from; i < len(hs); i++ {
				rows[k], rhs[k] = hs[i].row, hs[i].at
				choose(i+1, k+1)
			}
			return
		}
		x := solveRat(rows, rhs)
		if x == nil {
			return
		}
		for _, h := range hs {
			if dotRat(h.row, x).Cmp(h.at) > 0 {
				return
			}
		}
		if v := dotRat(c, x); best == nil || v.Cmp(best) < 0 {
			best = v
		}
	}
	choose(0, 0)
	return best
}

// decide returns the status of p and its optimum. Each free variable is split
// into a difference of two, so that what is feasible has a vertex, and the
// problem is unbounded when it falls along the cone of its directions.
func decide(p *lp.Problem) (lp.Status, float64) {
	n := len(p.C)
	hs := halves(p)
	c := make([]*big.Rat, n)
	for j, v := range p.C {
		c[j] = new(big.Rat).SetFloat64(v)
	}
	best := bestVertex(withoutLines(hs, n), c)
	if best == nil {
		return lp.Infeasible, 0
	}
	// Directions: the same rows with zero limits, in the box -1 <= d <= 1.
	cone := make([]half, 0, len(hs)+2*n)
	for _, h := range hs {
		cone = append(cone, half{h.row, new(big.Rat)})
	}
	for j := range n {
		for _, v := range []int64{1, -1} {
			row := make([]*big.Rat, n)
			for k := range row {
				row[k] = new(big.Rat)
			}
			row[j].SetInt64(v)
			cone = append(cone, half{row, big.NewRat(1, 1)})
		}
	}
	if bestVertex(cone, c).Sign() < 0 {
		return lp.Unbounded, 0
	}
	v, _ := best.Float64()
	return lp.Optimal, v
}

// withoutLines adds equations d = 0 for variables along which the set goes on
// both ways, until it holds no line. The optimum of a bounded problem and its
// feasibility do not change.
func withoutLines(hs []half, n int) []half {
	out := append([]half(nil), hs...)
	var rows [][]*big.Rat
	for _, h := range hs {
		rows = append(rows, h.row)
	}
	for j := range n {
		unit := make([]*big.Rat, n)
		for k := range unit {
			unit[k] = new(big.Rat)
		}
		unit[j].SetInt64(1)
		if rank(append(rows[:len(rows):len(rows)], unit)) == rank(rows) {
			continue
		}
		rows = append(rows, unit)
		minus := make([]*big.Rat, n)
		for k := range minus {
			minus[k] = new(big.Rat).Neg(unit[k])
		}
		out = append(out, half{unit, new(big.Rat)}, half{minus, new(big.Rat)})
	}
	return out
}

func rank(rows [][]*big.Rat) int {
	if len(rows) == 0 {
		return 0
	}
	var m [][]*big.Rat
	for _, r := range rows {
		var line []*big.Rat
		for _, v := range r {
			line = append(line, new(big.Rat).Set(v))
		}
		m = append(m, line)
	}
	k := 0
	for c := range m[0] {
		r := k
		for r < len(m) && m[r][c].Sign() == 0 {
			r++
		}
		if r == len(m) {
			continue
		}
		m[k], m[r] = m[r], m[k]
		for i := k + 1; i < len(m); i++ {
			f := new(big.Rat).Quo(m[i][c], m[k][c])
			for j := c; j < len(m[0]); j++ {
				m[i][j].Sub(m[i][j], new(big.Rat).Mul(f, m[k][j]))
			}
		}
		k++
	}
	return k
}
