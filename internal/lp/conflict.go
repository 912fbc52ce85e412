package lp

import (
	"context"
	"math"
)

// Bound names one limit: of a row or of a variable, upper or lower.
type Bound struct {
	Row   bool // a limit of Rows[Index], and not a bound of variable Index
	Index int
	Upper bool
}

// Conflict returns limits that cannot all be met although any one of them can be
// dropped and the others met: an irreducible infeasible subset, found by the
// deletion filter of J. W. Chinneck and E. W. Dravnieks (ORSA Journal on
// Computing 3, 1991; from memory), started from the limits that Farkas' lemma
// uses. It returns nil when the problem is feasible, and ErrStopped when the
// search ended before it was sure. There may be other such subsets.
func (p *Problem) Conflict(ctx context.Context) ([]Bound, error) {
	sol, err := p.Solve(ctx)
	if err != nil {
		return nil, err
	}
	switch sol.Status {
	case Optimal, Unbounded:
		return nil, nil
	case Stopped:
		return nil, ErrStopped
	}
	kept := sol.support()
	for i := 0; i < len(kept); {
		without := append(append([]Bound(nil), kept[:i]...), kept[i+1:]...)
		part, rows := p.only(without)
		sol, err := part.Solve(ctx)
		if err != nil {
			return nil, err
		}
		switch sol.Status {
		case Stopped:
			return nil, ErrStopped
		case Infeasible:
			kept = shrink(without, sol, rows)
			i = countNeeded(kept, i, without)
		default:
			i++ // this one is needed
		}
	}
	return kept, nil
}

// support lists the limits that the multipliers stand on.
func (sol *Solution) support() []Bound {
	var out []Bound
	for i, y := range sol.RowDual {
		if y != 0 {
			out = append(out, Bound{Row: true, Index: i, Upper: y < 0})
		}
	}
	for j, z := range sol.VarDual {
		if z != 0 {
			out = append(out, Bound{Index: j, Upper: z < 0})
		}
	}
	return out
}

// only returns the problem of finding a point that meets the given limits, and
// which of its rows is which row of p.
func (p *Problem) only(limits []Bound) (*Problem, map[int]int) {
	q := New(len(p.C))
	rows := make(map[int]int)
	for _, b := range limits {
		lo, hi := &q.Lower, &q.Upper
		fromLo, fromHi, at := p.Lower, p.Upper, b.Index
		if b.Row {
			k, ok := rows[b.Index]
			if !ok {
				k = q.Add(p.Rows[b.Index], math.Inf(-1), math.Inf(1))
				rows[b.Index] = k
			}
			lo, hi, fromLo, fromHi, at = &q.Lo, &q.Hi, p.Lo, p.Hi, k
		}
		if b.Upper {
			(*hi)[at] = fromHi[b.Index]
		} else {
			(*lo)[at] = fromLo[b.Index]
		}
	}
	return q, rows
}

// shrink keeps of the limits those that the multipliers of the part stand on.
func shrink(limits []Bound, sol Solution, rows map[int]int) []Bound {
	var out []Bound
	for _, b := range limits {
		v := 0.0
		if b.Row {
			v = sol.RowDual[rows[b.Index]]
		} else {
			v = sol.VarDual[b.Index]
		}
		if v < 0 == b.Upper && v != 0 {
			out = append(out, b)
		}
	}
	return out
}

// countNeeded counts how many of the first i limits, all known to be needed, are
// left in kept. A needed limit stays needed in any smaller conflict.
func countNeeded(kept []Bound, i int, before []Bound) int {
	needed := make(map[Bound]bool, i)
	for _, b := range before[:i] {
		needed[b] = true
	}
	n := 0
	for _, b := range kept {
		if needed[b] {
			n++
		}
	}
	return n
}
