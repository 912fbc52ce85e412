package lp

import (
	"context"
	"math"
)

// The tolerances of the search, in scaled terms. Answers are then checked to
// verifyTol, which is wider than what the search works to.
const (
	verifyTol = 1e-9
	primalTol = 1e-10
	dualTol   = 1e-10
	pivotTol  = 1e-10 // a coefficient below this cannot block a step
	shakyTol  = 1e-6  // a pivot below this is taken from a fresh dictionary only
	stillTol  = 1e-12 // a step below this goes nowhere
)

// lastTry is the number of the try in another scale.
const lastTry = 4

// Solver solves one problem, and solves it again from the last basis after its
// costs or limits were changed or rows were added.
type Solver struct {
	p    *Problem
	err  error
	n, m int

	sc       scaling
	colPower []float64
	a        []float64 // scaled rows, one after another
	c        []float64
	lo, hi   []float64 // scaled limits: the n variables, then the m rows

	// The dictionary: basic = t * nonbasic. Numbers 0..n-1 are variables, n.. rows.
	t           []float64
	basic, nonb []int
	xb, xn      []float64
	edge        []edge    // the limits of the basic variables
	d, d1       []float64 // derivatives of the objective, of the sum of violations
	weight      []float64 // reference weights of the nonbasic columns
	col         []float64
	breaks      breaks

	pivots, fresh int // pivots in all, and since the dictionary was made
	still         int // steps in a row that went nowhere
	careful       bool
	reason        string

	ws      polishing
	store   []float64
	numbers []int
}

// edge holds the limits of a basic variable, as they are and relaxed by the
// tolerance of the search.
type edge struct{ low, lo, hi, high float64 }

func (s *Solver) setEdge(i int) {
	lo, hi := s.lo[s.basic[i]], s.hi[s.basic[i]]
	s.edge[i] = edge{lo - allowance(lo, primalTol), lo, hi, hi + allowance(hi, primalTol)}
}

// NewSolver returns a solver of p. The problem stays the caller's: it may change
// C, Lower, Upper, Lo and Hi, or Add rows, and then call Resolve.
func NewSolver(p *Problem) *Solver {
	s := new(Solver)
	s.Reset(p)
	return s
}

// Reset turns the solver to another problem and uses its storage again.
func (s *Solver) Reset(p *Problem) {
	s.p = p
	s.load(false)
}

// load reads and scales the whole problem.
func (s *Solver) load(largest bool) {
	p := s.p
	if s.err = p.validate(); s.err != nil {
		return
	}
	n, m := len(p.C), len(p.Rows)
	s.n, s.m = n, m
	s.sc.balance(p.Rows, n)
	s.sc.size = s.sc.magnitude(p, largest)
	s.store = reuse(s.store, 2*m*n+4*m+8*n)
	floats := s.store
	cut := func(k int) []float64 {
		part := floats[:k:k]
		floats = floats[k:]
		return part
	}
	s.a, s.t = cut(m*n), cut(m*n)
	s.lo, s.hi = cut(n+m), cut(n+m)
	s.xb, s.col = cut(m), cut(m)
	s.c, s.d, s.d1, s.weight, s.xn, s.colPower = cut(n), cut(n), cut(n), cut(n), cut(n), cut(n)
	s.edge, s.breaks = reuse(s.edge, m), reuse(s.breaks, 2*m)
	for j, e := range s.sc.col {
		s.colPower[j] = power(e)
	}
	s.numbers = reuse(s.numbers, n+m)
	s.nonb, s.basic = s.numbers[:n:n], s.numbers[n:]
	for i, row := range p.Rows {
		s.scaleRow(i, row)
	}
	s.scaleLimits()
	s.scaleCosts()
	s.cold()
}

// reuse returns a slice of n elements, in the storage of old if that is enough.
// What it holds is left over.
func reuse[T any](old []T, n int) []T {
	if cap(old) >= n {
		return old[:n]
	}
	return make([]T, n)
}

func (s *Solver) scaleRow(i int, row []float64) {
	f := power(s.sc.row[i])
	line := s.a[i*s.n : (i+1)*s.n]
	for j, v := range row {
		line[j] = float64(v*s.colPower[j]) * f
	}
}

func (s *Solver) scaleCosts() {
	s.sc.cost = s.sc.costExponent(s.p.C)
	f := power(s.sc.cost)
	for j, v := range s.p.C {
		if negligible(v) {
			v = 0
		}
		s.c[j] = float64(v*s.colPower[j]) * f
	}
}

func (s *Solver) scaleLimits() {
	p, size := s.p, power(-s.sc.size)
	for j := range s.n {
		f := power(-s.sc.col[j])
		s.setLimits(j, float64(p.Lower[j]*f)*size, float64(p.Upper[j]*f)*size)
	}
	for i := range s.m {
		f := power(s.sc.row[i])
		s.setLimits(s.n+i, float64(p.Lo[i]*f)*size, float64(p.Hi[i]*f)*size)
	}
}

func (s *Solver) setLimits(k int, lo, hi float64) {
	if lo < -hugeBound {
		lo = math.Inf(-1)
	}
	if hi > hugeBound {
		hi = math.Inf(1)
	}
	s.lo[k], s.hi[k] = lo, hi
}

// allowance is the tolerance on a limit: relative for one above 1.
func allowance(limit, tol float64) float64 {
	if math.IsInf(limit, 0) {
		return tol
	}
	return float64(tol * max(1, math.Abs(limit)))
}

// cold makes the dictionary of the slack basis.
func (s *Solver) cold() {
	copy(s.t, s.a)
	copy(s.d, s.c)
	for j := range s.nonb {
		s.nonb[j], s.xn[j] = j, math.Inf(1) // on no bound yet
	}
	for i := range s.basic {
		s.basic[i] = s.n + i
	}
	s.rest()
}

// rest puts every nonbasic variable on a bound and works out the others.
func (s *Solver) rest() {
	s.fresh, s.still = 0, 0
	for j, k := range s.nonb {
		s.xn[j] = s.seat(s.xn[j], k, s.d[j])
		s.weight[j] = 1
	}
	s.values()
}

// seat returns the bound of variable k nearest to where it was, or for one that
// was on neither the bound that its cost prefers; zero when there is none.
func (s *Solver) seat(was float64, k int, cost float64) float64 {
	lo, hi := s.lo[k], s.hi[k]
	noLo, noHi := math.IsInf(lo, 0), math.IsInf(hi, 0)
	switch {
	case noLo && noHi:
		return 0
	case noLo:
		return hi
	case noHi:
		return lo
	case was == hi || was != lo && cost < 0:
		return hi
	}
	return lo
}

func (s *Solver) values() {
	for i := range s.xb {
		s.setEdge(i)
		s.xb[i] = dot(s.t[i*s.n:(i+1)*s.n], s.xn)
	}
}

func dot(a, b []float64) float64 {
	sum := 0.0
	b = b[:len(a)]
	for j, v := range a {
		sum += float64(v * b[j])
	}
	return sum
}

// Solve works the problem from the slack basis, or from where it stands.
func (s *Solver) Solve(ctx context.Context) (Solution, error) {
	if s.err != nil {
		return Solution{}, s.err
	}
	if n := notFinite(s.a); n >= 0 {
		return Solution{Reason: "coefficients too far apart to scale"}, nil
	}
	s.pivots, s.careful = 0, false
	// Each try starts with more care than the one before.
	for try := range lastTry + 1 {
		s.prepare(try)
		st := s.run(ctx)
		if st == Stopped && s.reason == endedByContext {
			break
		}
		if st == Stopped {
			continue
		}
		sol, err := s.prove(st)
		if err == nil && try == lastTry { // proved in another scale than Verify's
			err = s.p.Verify(sol, verifyTol)
		}
		if err == nil {
			return sol, nil
		}
		s.reason = err.Error()
	}
	return Solution{Reason: s.reason, Pivots: s.pivots}, nil
}

// prepare sets up a try: from the basis at hand, twice from the same basis in a
// dictionary made anew, from the slack basis with care, and with another scale.
func (s *Solver) prepare(try int) {
	switch try {
	case 1, 2:
		if !s.refactor() {
			s.cold()
		}
	case 3:
		s.careful = true
		s.cold()
	case lastTry:
		s.load(true)
		s.careful = true
	}
}

// Resolve reads the costs and limits of the problem again, takes in rows that
// were added, and solves from the last basis. The coefficients of earlier rows
// must not have changed; if they did, make a new Solver.
func (s *Solver) Resolve(ctx context.Context) (Solution, error) {
	if s.err != nil || len(s.p.C) != s.n || len(s.p.Rows) < s.m {
		s.load(false)
		return s.Solve(ctx)
	}
	if s.err = s.p.validate(); s.err != nil {
		return Solution{}, s.err
	}
	for i := s.m; i < len(s.p.Rows); i++ {
		s.grow(s.p.Rows[i])
	}
	s.sc.size = s.sc.magnitude(s.p, false)
	s.scaleLimits()
	s.scaleCosts()
	if !s.refactor() {
		s.cold()
	}
	return s.Solve(ctx)
}

// grow makes room for one more row, with its slack in the basis.
func (s *Solver) grow(row []float64) {
	exps := make([]int16, s.n)
	tabulate(exps, row)
	line := make([]float64, s.n)
	s.sc.row = append(s.sc.row, s.sc.rowExponent(exps))
	s.a, s.t = append(s.a, line...), append(s.t, line...)
	for _, v := range []*[]float64{&s.lo, &s.hi, &s.xb, &s.col} {
		*v = append(*v, 0)
	}
	s.basic = append(s.basic, s.n+s.m)
	s.edge = append(s.edge, edge{})
	s.scaleRow(s.m, row)
	s.m++
}
