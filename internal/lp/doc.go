// Package lp solves small dense linear programmes and proves every answer.
//
// A Problem asks for the x that makes C·x least while every row stays between
// its two limits and every variable between its two bounds:
//
//	minimise C·x  subject to  Lo[i] <= Rows[i]·x <= Hi[i],  Lower <= x <= Upper
//
// Limits may be infinite, and two equal limits make an equation. It is meant for
// some sixty variables and some eight hundred rows.
//
// # How
//
// The problem is first scaled by powers of two, which is exact. A dense
// dictionary then holds the basic variables as linear functions of the others,
// and the bounded-variable simplex method (G. B. Dantzig, Linear Programming and
// Extensions, 1963, ch. 18; from memory) walks it: first it makes the sum of the
// violations least, passing over breakpoints while the sum still falls, then the
// objective. Every row has one slack with two bounds, so ranges cost nothing.
// Prices are weighed by reference weights (P. M. J. Harris, Mathematical
// Programming 5, 1973; from memory) and ratios relaxed by a tolerance so that
// the pivot may be a large one. After a run of steps that go nowhere the lowest
// index decides (R. G. Bland, Mathematics of Operations Research 2, 1977; from
// memory), so that no basis comes twice.
//
// # Proof
//
// The basis found is solved anew from the scaled data, with refinement, and the
// answer is checked: an optimum by its multipliers, an infeasible problem by the
// multipliers of Farkas' lemma, an unbounded one by its ray. What fails is
// worked again with more care. Stopped is returned when nothing can be proved;
// no answer is ever a guess.
//
// The same input gives the same answer on every processor. A problem may be
// solved from several goroutines at once as long as none changes it; a Solver
// belongs to one goroutine. For many small problems, Solver.Reset saves the making
// of storage, about a third of the time; Solver.Resolve starts from the last basis.
package lp
