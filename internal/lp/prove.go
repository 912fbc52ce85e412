package lp

import (
	"errors"
	"math"
)

var errSingular = errors.New("the basis is singular")

// polishing holds what the final solution of a basis needs.
type polishing struct {
	rows, cols []int // rows whose slack is outside, variables that are inside
	lu         []float64
	perm       []int
	rhs, sol   []float64

	answer
}

// answer is a candidate solution in scaled terms.
type answer struct {
	x, y, z, ray []float64
}

// prove solves the basis at hand from the scaled data, checks what that gives
// and returns it in the caller's terms.
func (s *Solver) prove(st Status) (Solution, error) {
	if err := s.factor(); err != nil {
		return Solution{}, err
	}
	n, m := s.n, s.m
	floats := make([]float64, 3*n+m)
	w := &s.ws
	w.answer = answer{x: floats[:n:n]}
	w.y, w.z = floats[n:n+m:n+m], floats[n+m:2*n+m:2*n+m]
	s.point()
	switch st {
	case Optimal:
		s.multipliers(s.c)
	case Infeasible:
		s.farkas()
		w.x = nil
	case Unbounded:
		w.ray = floats[2*n+m:]
		s.direction()
		w.y, w.z = nil, nil
	}
	if err := s.check(st, w.answer, verifyTol); err != nil {
		return Solution{}, err
	}
	return s.unscale(st)
}

// factor splits the basis and factors its matrix: rows outside, variables inside.
func (s *Solver) factor() error {
	w := &s.ws
	w.rows, w.cols = reuse(w.rows, s.n)[:0], reuse(w.cols, s.n)[:0]
	for _, k := range s.nonb {
		if k >= s.n {
			w.rows = append(w.rows, k-s.n)
		}
	}
	for _, k := range s.basic {
		if k < s.n {
			w.cols = append(w.cols, k)
		}
	}
	k := len(w.rows)
	if cap(w.lu) < k*k {
		w.lu = make([]float64, s.n*s.n)
		w.perm = make([]int, s.n)
		w.rhs, w.sol = make([]float64, s.n), make([]float64, s.n)
	}
	w.lu = w.lu[:k*k]
	for i, r := range w.rows {
		for j, c := range w.cols {
			w.lu[i*k+j] = s.a[r*s.n+c]
		}
	}
	return w.decompose(k)
}

// decompose factors lu in place with partial pivoting.
func (w *polishing) decompose(k int) error {
	for i := range k {
		w.perm[i] = i
	}
	for c := range k {
		best, r := 0.0, -1
		for i := c; i < k; i++ {
			if v := math.Abs(w.lu[i*k+c]); v > best {
				best, r = v, i
			}
		}
		if r < 0 {
			return errSingular
		}
		if r != c {
			for j := range k {
				w.lu[r*k+j], w.lu[c*k+j] = w.lu[c*k+j], w.lu[r*k+j]
			}
			w.perm[r], w.perm[c] = w.perm[c], w.perm[r]
		}
		top := w.lu[c*k : c*k+k]
		for i := c + 1; i < k; i++ {
			line := w.lu[i*k : i*k+k]
			if line[c] == 0 {
				continue
			}
			f := line[c] / top[c]
			line[c] = f
			addScaled(line[c+1:], -f, top[c+1:])
		}
	}
	return nil
}

// forward solves K v = rhs, where K is the factored matrix.
func (w *polishing) forward(k int) {
	for i := range k {
		w.sol[i] = w.rhs[w.perm[i]] - dot(w.lu[i*k:i*k+i], w.sol)
	}
	for i := k - 1; i >= 0; i-- {
		line := w.lu[i*k : i*k+k]
		w.sol[i] = (w.sol[i] - dot(line[i+1:], w.sol[i+1:])) / line[i]
	}
}

// backward solves v K = rhs; rhs is overwritten.
func (w *polishing) backward(k int) {
	b := w.rhs[:k]
	for i := range k {
		line := w.lu[i*k : i*k+k]
		b[i] /= line[i]
		addScaled(b[i+1:], -b[i], line[i+1:])
	}
	for i := k - 1; i >= 0; i-- {
		addScaled(b[:i], -b[i], w.lu[i*k:i*k+i])
	}
	for i := range k {
		w.sol[w.perm[i]] = b[i]
	}
}

// precise adds products in about twice the working precision (T. Ogita,
// S. M. Rump and S. Oishi, SIAM J. Sci. Comput. 26, 2005, Dot2; from memory).
type precise struct{ sum, rest float64 }

func (p *precise) add(a, b float64) {
	h := float64(a * b)
	low := math.FMA(a, b, -h)
	t := p.sum + h
	z := t - p.sum
	p.rest += ((p.sum - (t - z)) + (h - z)) + low
	p.sum = t
}

func (p *precise) value() float64 { return p.sum + p.rest }

// point works out x: the variables outside lie on their bounds, the rows outside
// on their limits. The second pass corrects what the first left over.
func (s *Solver) point() {
	w, n := &s.ws, s.n
	for j, k := range s.nonb {
		if k < n {
			w.x[k] = s.xn[j]
		}
	}
	for range 2 {
		at := 0
		for j, k := range s.nonb {
			if k < n {
				continue
			}
			left := precise{sum: s.xn[j]}
			for v, a := range s.a[(k-n)*n : (k-n+1)*n] {
				left.add(-a, w.x[v])
			}
			w.rhs[at] = left.value()
			at++
		}
		w.forward(at)
		for i, c := range w.cols {
			w.x[c] += w.sol[i]
		}
	}
}

// multipliers works out y and z so that cost = sum y*row + z, with z zero for
// the variables inside whatever it was before for them is kept (see farkas), and
// takes out what rounding alone gave the wrong sign.
func (s *Solver) multipliers(cost []float64) {
	w, n := &s.ws, s.n
	for range 2 {
		for i, c := range w.cols {
			left := precise{sum: cost[c]}
			left.add(-1, w.z[c])
			for r, y := range w.y {
				if y != 0 {
					left.add(-y, s.a[r*n+c])
				}
			}
			w.rhs[i] = left.value()
		}
		w.backward(len(w.cols))
		for i, r := range w.rows {
			w.y[r] += w.sol[i]
		}
	}
	for j, k := range s.nonb {
		if k >= n {
			w.y[k-n] = s.signed(j, k, w.y[k-n])
		}
	}
	for j, k := range s.nonb {
		if k >= n {
			continue
		}
		left := precise{sum: cost[k]}
		for r, y := range w.y {
			if y != 0 {
				left.add(-y, s.a[r*n+k])
			}
		}
		w.z[k] = s.signed(j, k, left.value())
	}
}

// signed returns a multiplier, or zero when it is small and its sign is wrong for
// the limit on which variable k stands.
func (s *Solver) signed(j, k int, v float64) float64 {
	if math.Abs(v) > 2*dualTol {
		return v
	}
	if v > 0 && s.xn[j] > s.lo[k] || v < 0 && s.xn[j] < s.hi[k] {
		return 0
	}
	return v
}

// farkas works out the multipliers that prove the violations: one for every
// variable inside that breaks a limit, the rest from 0 = sum y*row + z.
func (s *Solver) farkas() {
	w, n := &s.ws, s.n
	for i, k := range s.basic {
		f := s.side(i)
		if k < n {
			w.z[k] = f
		} else {
			w.y[k-n] = f
		}
	}
	zero := make([]float64, n)
	s.multipliers(zero)
}

// direction works out the ray along which the objective falls: the one column
// that no row blocks.
func (s *Solver) direction() {
	w, n := &s.ws, s.n
	q, sign := s.price(s.d)
	if q < 0 {
		return
	}
	out := s.nonb[q]
	if out < n {
		w.ray[out] = sign
	}
	for range 2 {
		at := 0
		for _, k := range s.nonb {
			if k < n {
				continue
			}
			left := precise{}
			if k == out {
				left.sum = sign
			}
			for v, a := range s.a[(k-n)*n : (k-n+1)*n] {
				left.add(-a, w.ray[v])
			}
			w.rhs[at] = left.value()
			at++
		}
		w.forward(at)
		for i, c := range w.cols {
			w.ray[c] += w.sol[i]
		}
	}
}

// unscale returns the proved answer in the caller's terms.
func (s *Solver) unscale(st Status) (Solution, error) {
	w, sc := &s.ws, &s.sc
	sol := Solution{Status: st, Pivots: s.pivots, X: w.x, RowDual: w.y, VarDual: w.z, Ray: w.ray}
	cost := sc.cost
	if st == Infeasible {
		cost = 0
	}
	for j := range w.x {
		w.x[j] = float64(w.x[j]*power(sc.col[j])) * power(sc.size)
	}
	for j := range w.ray {
		w.ray[j] *= power(sc.col[j])
	}
	for i := range w.y {
		w.y[i] = float64(w.y[i]*power(sc.row[i])) * power(-cost)
	}
	for j := range w.z {
		w.z[j] = float64(w.z[j]*power(-sc.col[j])) * power(-cost)
	}
	if w.x != nil {
		sol.Objective = dot(s.p.C, w.x)
	}
	w.answer = answer{}
	for _, v := range [][]float64{sol.X, sol.RowDual, sol.VarDual, sol.Ray, {sol.Objective}} {
		if notFinite(v) >= 0 {
			return Solution{}, errors.New("the answer is too large to write down")
		}
	}
	return sol, nil
}
