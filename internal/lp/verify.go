package lp

import (
	"errors"
	"fmt"
	"math"
)

// ErrUnproved is wrapped by what Verify finds wrong.
var ErrUnproved = errors.New("lp: not proved")

// rounding is the part of the tolerance that goes with the size of the terms of
// a sum; for the usual tolerance of 1e-9 it is 1e-13 of them.
const rounding = 1e-4

// Verify checks a solution against the problem by its proof alone, in scaled
// terms, to the relative tolerance tol: an optimum for being feasible, for
// multipliers of the right signs that stand only on limits that bind, and for
// the costs they add up to; an infeasible problem for Farkas' inequality; an
// unbounded one for a feasible point and a ray. A tolerance of 1e-9 is usual. A
// solution with the status Stopped is refused.
func (p *Problem) Verify(sol Solution, tol float64) error {
	s := NewSolver(p)
	if s.err != nil {
		return s.err
	}
	a, err := s.rescale(sol)
	if err != nil {
		return err
	}
	if err := s.check(sol.Status, a, tol); err != nil {
		return fmt.Errorf("%w: %w", ErrUnproved, err)
	}
	if sol.Status == Infeasible {
		return nil
	}
	sum, size := 0.0, power(s.sc.size-s.sc.cost)
	for j, c := range p.C {
		v := float64(c * sol.X[j])
		sum += v
		size += math.Abs(v)
	}
	if !(math.Abs(sum-sol.Objective) <= tol*size) {
		return fmt.Errorf("%w: objective %g is not C·X = %g", ErrUnproved, sol.Objective, sum)
	}
	return nil
}

// rescale copies a solution into scaled terms.
func (s *Solver) rescale(sol Solution) (answer, error) {
	var a answer
	cost := s.sc.cost
	if sol.Status == Infeasible {
		cost = 0
	}
	scaled := func(v []float64, by func(k int) (float64, float64)) []float64 {
		out := make([]float64, len(v))
		for k, x := range v {
			f, g := by(k)
			out[k] = float64(x*f) * g
		}
		return out
	}
	shape := func(name string, v []float64, want int) error {
		if len(v) != want {
			return fmt.Errorf("%w: %s has %d elements and not %d", ErrUnproved, name, len(v), want)
		}
		if notFinite(v) >= 0 {
			return fmt.Errorf("%w: %s is not finite", ErrUnproved, name)
		}
		return nil
	}
	length := func(j int) (float64, float64) { return power(-s.sc.col[j]), power(-s.sc.size) }
	if sol.Status != Infeasible {
		if err := shape("X", sol.X, s.n); err != nil {
			return a, err
		}
		a.x = scaled(sol.X, length)
	}
	if sol.Status == Unbounded {
		if err := shape("Ray", sol.Ray, s.n); err != nil {
			return a, err
		}
		a.ray = scaled(sol.Ray, func(j int) (float64, float64) { return power(-s.sc.col[j]), 1 })
		return a, nil
	}
	if err := shape("RowDual", sol.RowDual, s.m); err != nil {
		return a, err
	}
	if err := shape("VarDual", sol.VarDual, s.n); err != nil {
		return a, err
	}
	a.y = scaled(sol.RowDual, func(i int) (float64, float64) { return power(-s.sc.row[i]), power(cost) })
	a.z = scaled(sol.VarDual, func(j int) (float64, float64) { return power(s.sc.col[j]), power(cost) })
	return a, nil
}

// check proves or refuses a candidate in scaled terms.
func (s *Solver) check(st Status, a answer, tol float64) error {
	switch st {
	case Optimal:
		if err := s.checkPoint(a.x, tol); err != nil {
			return err
		}
		if err := s.checkMultipliers(a, tol); err != nil {
			return err
		}
		return s.checkComplementary(a, tol)
	case Infeasible:
		return s.checkFarkas(a, tol)
	case Unbounded:
		if err := s.checkPoint(a.x, tol); err != nil {
			return err
		}
		return s.checkRay(a.ray, tol)
	}
	return errors.New("nothing was proved")
}

// activity returns row i times x, and the sum of the sizes of its terms.
func (s *Solver) activity(i int, x []float64) (sum, size float64) {
	for j, a := range s.a[i*s.n : (i+1)*s.n] {
		v := float64(a * x[j])
		sum += v
		size += math.Abs(v)
	}
	return sum, size
}

func (s *Solver) checkPoint(x []float64, tol float64) error {
	for j, v := range x {
		lo, hi := s.bounds(j)
		if !(v >= lo-allowance(lo, tol) && v <= hi+allowance(hi, tol)) {
			return fmt.Errorf("variable %d is outside its bounds", j)
		}
	}
	for i := range s.m {
		v, size := s.activity(i, x)
		lo, hi := s.bounds(s.n + i)
		slack := float64(tol * rounding * size)
		if !(v >= lo-allowance(lo, tol)-slack && v <= hi+allowance(hi, tol)+slack) {
			return fmt.Errorf("row %d is outside its limits", i)
		}
	}
	return nil
}

// bounds returns the scaled limits of variable or row k with none left out.
func (s *Solver) bounds(k int) (lo, hi float64) {
	lo, hi = s.lo[k], s.hi[k]
	if !math.IsInf(lo, 0) && !math.IsInf(hi, 0) {
		return lo, hi
	}
	p, size := s.p, power(-s.sc.size)
	if k < s.n {
		f := power(-s.sc.col[k])
		return float64(p.Lower[k]*f) * size, float64(p.Upper[k]*f) * size
	}
	f := power(s.sc.row[k-s.n])
	return float64(p.Lo[k-s.n]*f) * size, float64(p.Hi[k-s.n]*f) * size
}

// leftOver returns, for variable by variable, cost - sum y*row - z and the sum
// of the sizes of the terms.
func (s *Solver) leftOver(cost []float64, a answer) (left, size []float64) {
	both := make([]float64, 2*s.n)
	left, size = both[:s.n:s.n], both[s.n:]
	for j, z := range a.z {
		left[j] = -z
		if cost != nil {
			left[j] += cost[j]
		}
		size[j] = math.Abs(z)
	}
	for i, y := range a.y {
		if y == 0 {
			continue
		}
		for j, v := range s.a[i*s.n : (i+1)*s.n] {
			t := float64(y * v)
			left[j] -= t
			size[j] += math.Abs(t)
		}
	}
	return left, size
}

func (s *Solver) checkMultipliers(a answer, tol float64) error {
	left, size := s.leftOver(s.c, a)
	for j, v := range left {
		if !(math.Abs(v) <= tol*(1+float64(rounding*size[j]))) {
			return fmt.Errorf("the multipliers do not add up to the cost of variable %d", j)
		}
	}
	return nil
}

// checkComplementary asks of every multiplier that the limit it stands on binds.
func (s *Solver) checkComplementary(a answer, tol float64) error {
	for j, z := range a.z {
		if err := s.binds(j, z, a.x[j], 0, tol); err != nil {
			return fmt.Errorf("variable %d: %w", j, err)
		}
	}
	for i, y := range a.y {
		if y == 0 {
			continue
		}
		v, size := s.activity(i, a.x)
		if err := s.binds(s.n+i, y, v, size, tol); err != nil {
			return fmt.Errorf("row %d: %w", i, err)
		}
	}
	return nil
}

func (s *Solver) binds(k int, multiplier, at, size, tol float64) error {
	if math.Abs(multiplier) <= tol {
		return nil
	}
	limit, hi := s.bounds(k)
	if multiplier < 0 {
		limit = hi
	}
	if !(math.Abs(at-limit) <= allowance(limit, tol)+float64(tol*rounding*size)) {
		return errors.New("a multiplier stands on a limit that does not bind")
	}
	return nil
}

func (s *Solver) checkFarkas(a answer, tol float64) error {
	top, total := 0.0, 0.0
	gap := precise{}
	for k := range s.n + s.m {
		v := 0.0
		if k < s.n {
			v = a.z[k]
		} else {
			v = a.y[k-s.n]
		}
		if v == 0 {
			continue
		}
		limit, hi := s.bounds(k)
		if v < 0 {
			limit = hi
		}
		if math.IsInf(limit, 0) {
			return errors.New("a multiplier stands on a limit that is not there")
		}
		gap.add(v, limit)
		total += math.Abs(float64(v * limit))
		top = max(top, math.Abs(v))
	}
	left, size := s.leftOver(nil, a)
	spread := 0.0
	for j, v := range left {
		if !(math.Abs(v) <= tol*(top+float64(rounding*size[j]))) {
			return fmt.Errorf("the multipliers leave something over for variable %d", j)
		}
		spread += math.Abs(v)
	}
	if !(gap.value() > float64(tol*rounding*total)+spread) {
		return errors.New("the multipliers do not prove a conflict")
	}
	return nil
}

func (s *Solver) checkRay(ray []float64, tol float64) error {
	top, fall, size := 0.0, 0.0, 0.0
	for j, v := range ray {
		top = max(top, math.Abs(v))
		t := float64(s.c[j] * v)
		fall -= t
		size += math.Abs(t)
	}
	worst := 0.0
	for k := range s.n + s.m {
		v, terms := 0.0, 0.0
		if k < s.n {
			v = ray[k]
		} else {
			v, terms = s.activity(k-s.n, ray)
		}
		out := 0.0
		lo, hi := s.bounds(k)
		if !math.IsInf(lo, 0) {
			out = max(out, -v)
		}
		if !math.IsInf(hi, 0) {
			out = max(out, v)
		}
		if !(out <= tol*(top+float64(rounding*terms))) {
			return errors.New("the ray leaves the limits")
		}
		worst = max(worst, out)
	}
	if !(fall > tol*rounding*size && fall > worst) {
		return errors.New("the objective does not fall along the ray")
	}
	return nil
}
