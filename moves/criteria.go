package moves

import (
	"math"
	"slices"

	"collinear.example/internal/lp"
	"collinear.example/piping"
)

// Criterion is what a plan makes as small as it can be, within all limits.
type Criterion uint8

// The criteria. Shares are of a limit or a tolerance: 1 is all of it.
const (
	BestAlignment       Criterion = iota // largest share at any coupling in any state
	BestFlangeFit                        // largest share of a tolerance at any flange, wishes included
	BestTogether                         // the larger of the two
	SmallestLargestMove                  // largest move of any foot, times the weight of its machine
	LeastTotalMove                       // sum of all moves of feet, times the weights
	LeastShimChange                      // sum of the moves up and down, times the weights
	FewestFeet                           // number of feet that move at all
)

// String returns the criterion in words.
func (c Criterion) String() string {
	switch c {
	case BestAlignment:
		return "best alignment"
	case BestFlangeFit:
		return "best flange fit"
	case BestTogether:
		return "best of alignment and flange fit together"
	case SmallestLargestMove:
		return "smallest largest move"
	case LeastTotalMove:
		return "least total move"
	case LeastShimChange:
		return "least shim change"
	case FewestFeet:
		return "fewest feet touched"
	}
	return "unknown criterion"
}

// program is a linear program of a train with the columns that its criteria
// need.
type program struct {
	*model
	solver   *lp.Solver // of p, once it was solved
	coupling int        // columns, -1 where not needed
	flange   int        //
	largest  int        //
	together int        // the larger of coupling and flange
	sizes    []int      // of the moves of feet, two for each foot of a machine that moves
	costs    []float64
	shims    []bool
	refs     []Ref      // by row
	same     [][2][]Ref // by row: the limits that make its lower and its upper end, where it is not refs alone
	merge    bool       // take limits with the same row together
	column   []int      // by row: the share or size column it goes with, limitKept or noLimit
}

// What a row can be beside one that goes with a share.
const (
	limitKept = -1 // a limit that must be kept as it is
	noLimit   = -2 // none: what an earlier criterion reached, or the size of a move
)

// uses says which columns a list of criteria needs.
type uses struct{ coupling, flange, together, largest, sizes bool }

func usesOf(criteria []Criterion) (u uses) {
	for _, c := range criteria {
		switch c {
		case BestAlignment:
			u.coupling = true
		case BestFlangeFit:
			u.flange = true
		case BestTogether:
			u.coupling, u.flange, u.together = true, true, true
		case SmallestLargestMove:
			u.largest = true
		case LeastTotalMove, LeastShimChange, FewestFeet:
			u.sizes = true
		}
	}
	return u
}

// newProgram writes the train down. Limits that must be kept are rows of their
// own, except that those at couplings are kept through their share column when
// there is one.
func newProgram(t *Train, sides int, u uses, relaxCouplings bool) *program {
	return programOf(t, sides, u, relaxCouplings, false)
}

func programOf(t *Train, sides int, u uses, relaxCouplings, merge bool) *program {
	p := &program{merge: merge, model: newModel(t, sides), coupling: -1, flange: -1, largest: -1, together: -1}
	n := p.n
	column := func(is bool) int {
		if !is {
			return -1
		}
		n++
		return n - 1
	}
	p.coupling, p.flange, p.largest = column(u.coupling && len(t.Couplings) > 0), column(u.flange && t.asks()), column(u.largest)
	p.together = column(u.together)
	if u.sizes {
		for i := range t.Machines {
			for range t.Machines[i].Feet {
				if len(p.ways[i]) > 0 {
					p.sizes = append(p.sizes, n, n+1)
					p.costs = append(p.costs, t.Machines[i].weight(), t.Machines[i].weight())
					p.shims = append(p.shims, true, false)
					n += 2
				}
			}
		}
	}
	p.p, p.row = lp.New(n), make([]float64, n)
	for j := p.n; j < n; j++ {
		p.p.Lower[j] = 0
	}
	rows := p.count(u)
	p.refs, p.column, p.same = make([]Ref, 0, rows), make([]int, 0, rows), make([][2][]Ref, 0, rows)
	p.p.Rows, p.p.Lo, p.p.Hi = make([][]float64, 0, rows), make([]float64, 0, rows), make([]float64, 0, rows)
	p.write(relaxCouplings)
	return p
}

// count returns about how many rows there will be.
func (p *program) count(u uses) int {
	rows, each := 4, 1
	if u.largest {
		each += 2
	}
	if u.sizes {
		each += 2
	}
	for i := range p.t.Machines {
		rows += 2*each*len(p.t.Machines[i].Feet) + 3*piping.GoalParts*len(p.t.Machines[i].Goals)
	}
	for i := range p.t.Couplings {
		for _, o := range p.t.Couplings[i].Offsets {
			directions := 2
			if o.Resultant {
				directions = p.sides / 2
			}
			rows += 2 * directions * max(1, len(p.t.States))
		}
	}
	return rows
}

// asks reports whether any flange is to be fitted.
func (t *Train) asks() bool {
	for i := range t.Machines {
		if len(t.Machines[i].Goals) > 0 {
			return true
		}
	}
	return false
}

func (p *program) rowOf(ref Ref, lo, hi float64, column int) {
	if column == limitKept && p.merge && p.joined(ref, lo, hi) {
		return
	}
	p.p.Add(p.row, lo, hi)
	p.refs, p.column, p.same = append(p.refs, ref), append(p.column, column), append(p.same, [2][]Ref{})
}

// joined takes a limit together with an earlier one that limits the same thing:
// feet at one station of a machine that does not roll. Apart, they would share
// what widening both buys in ways that mean nothing.
func (p *program) joined(ref Ref, lo, hi float64) bool {
	if ref.Kind > FootLateral {
		return false
	}
	for i, row := range p.p.Rows { // those of feet come first
		if p.refs[i].Kind != ref.Kind || p.refs[i].Machine != ref.Machine || !slices.Equal(row, p.row) {
			continue
		}
		if max(lo, p.p.Lo[i]) > min(hi, p.p.Hi[i]) {
			return false // they conflict, and stay apart to say so
		}
		p.join(i, 0, ref, lo, &p.p.Lo[i], lo > p.p.Lo[i])
		p.join(i, 1, ref, hi, &p.p.Hi[i], hi < p.p.Hi[i])
		return true
	}
	return false
}

// ownersOf returns the limits that make one end of a row.
func (p *program) ownersOf(i, end int) []Ref {
	if owners := p.same[i][end]; len(owners) > 0 {
		return owners
	}
	return []Ref{p.refs[i]}
}

// join takes one end of a limit into row i: as its end, beside it, or not at all.
func (p *program) join(i, end int, ref Ref, v float64, bound *float64, tighter bool) {
	switch {
	case tighter:
		*bound = v
		p.same[i][end] = []Ref{ref}
	case v == *bound:
		p.same[i][end] = append(p.ownersOf(i, end), ref)
	}
}

func (p *program) write(relaxCouplings bool) {
	p.feet(func(ref Ref, lo, hi float64) { p.rowOf(ref, lo, hi, limitKept) })
	p.couplings(func(t term) {
		if p.coupling < 0 {
			if !relaxCouplings {
				p.rowOf(t.ref, -t.limit-t.at, t.limit-t.at, limitKept)
			}
			return
		}
		p.shared(t, p.coupling, p.coupling)
	})
	if p.coupling >= 0 && !relaxCouplings {
		p.p.Upper[p.coupling] = 1
	}
	if !relaxCouplings {
		p.gaps(func(ref Ref, lo, hi float64) { p.rowOf(ref, lo, hi, limitKept) })
	}
	p.goals(func(ref Ref, g piping.GoalPart) {
		unit := p.goalUnit(ref.Machine, g)
		if g.Hard {
			p.rowOf(ref, (g.Value-g.Tolerance)/unit, (g.Value+g.Tolerance)/unit, limitKept)
		}
		if p.flange >= 0 {
			p.shared(term{ref, -g.Value / unit, g.Tolerance / unit}, p.flange, p.flange)
		}
	})
	if p.largest >= 0 || len(p.sizes) > 0 {
		p.moves()
	}
	for _, j := range []int{p.coupling, p.flange} {
		if p.together >= 0 && j >= 0 { // the share is no more than the larger one
			clear(p.row)
			p.row[j], p.row[p.together] = 1, -1
			p.rowOf(Ref{}, math.Inf(-1), 0, noLimit)
			clear(p.row)
		}
	}
}

// shared adds |at + row.x| <= limit share, as two rows.
func (p *program) shared(t term, column, as int) {
	p.row[column] = -t.limit
	p.rowOf(t.ref, math.Inf(-1), -t.at, as)
	p.row[column] = t.limit
	opposite := t.ref
	opposite.Toward = (t.ref.Toward + 180).Normal()
	p.rowOf(opposite, -t.at, math.Inf(1), as)
	p.row[column] = 0
}

// moves adds the sizes of the moves of the feet.
func (p *program) moves() {
	size := 0
	p.eachMove(func(ref Ref, weight float64) {
		if p.largest >= 0 {
			p.shared(term{ref, 0, 1 / weight}, p.largest, noLimit)
		}
		if len(p.sizes) > 0 {
			p.shared(term{ref, 0, 1}, p.sizes[size], noLimit)
			size++
		}
	})
}

// eachMove calls f with the row of every move of a foot, up and sideways.
func (p *program) eachMove(f func(ref Ref, weight float64)) {
	for i := range p.t.Machines {
		if len(p.ways[i]) == 0 {
			continue
		}
		m := &p.t.Machines[i]
		for k := range m.Feet {
			p.clear()
			p.add(i, upAt(m, k), 1)
			f(Ref{Kind: FootVertical, Machine: i, Foot: k}, m.weight())
			p.clear()
			p.add(i, rightAt(m, k), 1)
			f(Ref{Kind: FootLateral, Machine: i, Foot: k, Toward: 90}, m.weight())
		}
	}
}

// aim sets the criterion.
func (p *program) aim(c Criterion) {
	clear(p.p.C)
	switch c {
	case BestAlignment:
		p.cost(p.coupling, 1)
	case BestFlangeFit:
		p.cost(p.flange, 1)
	case BestTogether:
		p.cost(p.together, 1)
	case SmallestLargestMove:
		p.cost(p.largest, 1)
	case LeastTotalMove, LeastShimChange:
		for i, j := range p.sizes {
			if c == LeastTotalMove || p.shims[i] {
				p.p.C[j] = p.costs[i]
			}
		}
	}
}

func (p *program) cost(column int, k float64) {
	if column >= 0 {
		p.p.C[column] = k
	}
}

// slackOf is how much worse an earlier criterion may get for the sake of a later
// one: rounding.
const slackOf = 1e-9

// keep holds what was reached: a later criterion may not make it worse.
func (p *program) keep(value float64) {
	clear(p.row)
	copy(p.row, p.p.C)
	p.rowOf(Ref{}, math.Inf(-1), value+slackOf*(1+math.Abs(value)), noLimit)
	clear(p.row)
}
