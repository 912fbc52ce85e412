package lp

import (
	"context"
	"math"
)

const (
	endedByContext = "the context ended"
	endedByBudget  = "the budget of pivots is spent"
)

// run walks the dictionary until it shows an answer, which is still to be proved.
func (s *Solver) run(ctx context.Context) Status {
	budget := s.pivots + 500 + 30*(s.m+s.n)
	for step := 0; s.pivots+step < 2*budget && s.pivots < budget; step++ {
		if ctx != nil && step%16 == 0 && ctx.Err() != nil {
			s.reason = endedByContext
			return Stopped
		}
		if s.careful && s.fresh >= 25 && !s.refactor() {
			break
		}
		prices, violated := s.d, s.violation()
		if violated {
			prices = s.d1
		}
		q, sign := s.price(prices)
		if q < 0 && violated {
			return Infeasible
		}
		if q < 0 {
			return Optimal
		}
		s.readColumn(q)
		if st := s.advance(q, sign, violated); st != Stopped {
			return st
		}
	}
	s.reason = endedByBudget
	return Stopped
}

// advance makes one step along column q; it returns Stopped to go on.
func (s *Solver) advance(q int, sign float64, violated bool) Status {
	var r int
	var to float64
	if violated {
		r, to = s.longRatio(q, sign)
	} else {
		r, to = s.ratio(sign)
	}
	k := s.nonb[q]
	span := s.hi[k] - s.lo[k]
	if r < 0 {
		if !math.IsInf(span, 0) {
			s.flip(q, sign)
			return Stopped
		}
		if violated { // the price was rounding: no variable answers to it
			return Infeasible
		}
		return Unbounded
	}
	if math.Abs(s.col[r]) < shakyTol && s.fresh > 0 && s.refactor() {
		return Stopped
	}
	step := (to - s.xb[r]) / s.col[r]
	if math.Abs(step) >= span {
		s.flip(q, sign)
		return Stopped
	}
	s.shift(step)
	if math.Abs(step) > stillTol {
		s.still = 0
	} else {
		s.still++
	}
	entering := s.xn[q] + step
	s.pivot(r, q)
	s.xn[q], s.xb[r] = to, entering
	return Stopped
}

// flip moves a nonbasic variable from one bound to the other.
func (s *Solver) flip(q int, sign float64) {
	k := s.nonb[q]
	to := s.lo[k]
	if sign > 0 {
		to = s.hi[k]
	}
	s.shift(to - s.xn[q])
	s.xn[q] = to
	s.still = 0
}

func (s *Solver) shift(step float64) {
	for i, f := range s.col {
		s.xb[i] += float64(f * step)
	}
}

// violation says whether a basic variable is outside its limits, and works out
// the derivatives of the sum of violations.
func (s *Solver) violation() bool {
	found := false
	for i := range s.basic {
		f := s.side(i)
		if f == 0 {
			continue
		}
		if !found {
			clear(s.d1)
			found = true
		}
		addScaled(s.d1, -f, s.t[i*s.n:(i+1)*s.n])
	}
	return found
}

// side is +1 for a basic variable below its limits, -1 for one above.
func (s *Solver) side(i int) float64 {
	x, e := s.xb[i], &s.edge[i]
	if x >= e.low && x <= e.high {
		return 0
	}
	if x < e.low {
		return 1
	}
	return -1
}

// lowestIndex says whether Bland's rule is in force.
func (s *Solver) lowestIndex() bool { return s.still > 2*s.n+10 }

// price chooses the column to move and the way it moves, -1 when none helps.
// Free variables come first, since they never have to leave the basis again.
func (s *Solver) price(d []float64) (q int, sign float64) {
	q = -1
	best, free, bland := 0.0, false, s.lowestIndex()
	for j, k := range s.nonb {
		v := d[j]
		up, down := s.xn[j] < s.hi[k], s.xn[j] > s.lo[k]
		if !(v < -dualTol && up || v > dualTol && down) {
			continue
		}
		if bland {
			if q < 0 || k < s.nonb[q] {
				q = j
			}
			continue
		}
		worth := float64(v*v) / s.weight[j]
		loose := up && down
		if loose == free && worth <= best || free && !loose {
			continue
		}
		q, best, free = j, worth, loose
	}
	if q >= 0 {
		sign = -math.Copysign(1, d[q])
	}
	return q, sign
}

// ratio chooses the row that blocks the step and the limit it reaches, -1 when
// none does. Limits are relaxed by half the tolerance; among the rows that then
// block, the largest coefficient is the safest pivot.
func (s *Solver) ratio(sign float64) (r int, to float64) {
	bland := s.lowestIndex()
	most := s.blocking(sign, bland)
	if bland {
		most = max(most, 0) + stillTol
	}
	r = -1
	best := 0.0
	for _, b := range s.breaks {
		if b.at > most {
			continue
		}
		if bland && r >= 0 && s.basic[b.row] > s.basic[r] {
			continue
		}
		if bland || b.size > best {
			r, to, best = b.row, b.to, b.size
		}
	}
	return r, to
}

// blocking gathers in s.breaks every row that may block the step first, and
// returns the length at which the first relaxed limit is met.
func (s *Solver) blocking(sign float64, bland bool) float64 {
	s.breaks = s.breaks[:0]
	most := math.Inf(1)
	for i, f := range s.col {
		rate := float64(f * sign)
		e := &s.edge[i]
		limit, relaxed := e.hi, e.high
		if rate < pivotTol {
			if rate > -pivotTol {
				continue
			}
			limit, relaxed = e.lo, e.low
		}
		if limit > math.MaxFloat64 || limit < -math.MaxFloat64 {
			continue
		}
		at := (limit - s.xb[i]) / rate
		if at > most {
			continue
		}
		s.breaks = append(s.breaks, breakpoint{at, limit, math.Abs(f), i})
		if !bland {
			at = (float64(0.5*(limit+relaxed)) - s.xb[i]) / rate
		}
		most = min(most, at)
	}
	return most
}
