package moves

import (
	"cmp"
	"context"
	"math"
	"slices"

	"collinear.example/align"
	"collinear.example/internal/lp"
)

// Options say what a plan is to reach.
type Options struct {
	// Criteria, the first one first: each is made as small as it can be without
	// giving up any of those before. None: BestAlignment, then LeastTotalMove.
	Criteria []Criterion
	// Sides of the polygon that stands for the circle of a resultant limit, drawn
	// inside it so that the limit is kept; 16 when zero, a multiple of 4 from 8 to
	// 64. With 16 sides the last 2 % of a limit may be left unused.
	Sides int
	// Nodes bounds the search for the fewest feet; zero is 2000.
	Nodes int
}

// Plan is what to do, or why nothing can be done.
type Plan struct {
	// Feasible says that every limit can be kept. When it is false the motions are
	// those of Why.Compromise.
	Feasible bool
	Motions  []align.Motion // by machine, about its point; a machine that stays has none
	Evaluation
	// Values are what was reached, in the order of the criteria: shares, metres
	// (times weights), or a number of feet.
	Values  []float64
	Binding []Binding // limits that are used up, those that buy most first
	Why     *Explanation
	// Proved is false when the search for the fewest feet came to the end of its
	// budget: the plan is feasible, but one with fewer feet may exist.
	Proved bool
}

// Binding is a limit that is used up.
type Binding struct {
	Ref Ref
	// Same are further limits that are the same limit of the same movement, such as
	// those of the other foot at a station: only all of them made wider buy Gain.
	Same []Ref
	// Gain is by how much the value of the first criterion falls for each metre
	// (radian, for a turn) that this limit is made wider: the multiplier of the
	// linear program. Zero: widening this one alone buys nothing. A limit at a
	// coupling has one for each direction and state in which it binds; widening it
	// everywhere buys their sum.
	Gain float64
}

// Plan finds the motions that keep every limit in every state and are best by the
// criteria. It is a linear program, solved exactly but for rounding and verified
// before it is believed; the same train gives the same plan.
//
// When no motions keep every limit, Feasible is false and Why says which limits
// conflict, and what would have to give.
//
// Errors: those of Check; out-of-range for options, and where the motions that would
// be needed are too large to be small; unknown-kind for a criterion;
// stopped when ctx ends first. A nil ctx is never done.
func (t *Train) Plan(ctx context.Context, o Options) (*Plan, error) {
	if err := t.Check(); err != nil {
		return nil, err
	}
	if err := o.fill(); err != nil {
		return nil, err
	}
	p := programOf(t, o.Sides, usesOf(o.Criteria), false, true)
	out := &Plan{Proved: true}
	var x []float64
	for i, c := range o.Criteria {
		if c == FewestFeet {
			n, proved, err := p.fewest(ctx, o.Nodes)
			if err != nil {
				return nil, err
			}
			if n < 0 {
				return t.explained(ctx, o)
			}
			out.Values, out.Proved = append(out.Values, float64(n)), out.Proved && proved
			x = nil
			continue
		}
		p.aim(c)
		s, err := p.solve(ctx)
		switch {
		case err != nil:
			return nil, err
		case s.Status == lp.Infeasible:
			return t.explained(ctx, o)
		}
		if i == 0 {
			out.Binding = p.binding(c, s)
		}
		out.Values = append(out.Values, value(c, s.Objective))
		x = s.X
		p.keep(s.Objective)
	}
	if x == nil { // the number of feet had the last word
		p.aim(LeastTotalMove)
		s, err := p.solve(ctx)
		if err != nil {
			return nil, err
		}
		x = s.X
	}
	out.Feasible, out.Motions = true, p.motions(x)
	var err error
	out.Evaluation, err = t.evaluate(out.Motions)
	return out, err
}

// value turns an objective into metres where it is a length.
func value(c Criterion, objective float64) float64 {
	switch c {
	case SmallestLargestMove, LeastTotalMove, LeastShimChange:
		return objective * step
	}
	return objective
}

func (o *Options) fill() error {
	if len(o.Criteria) == 0 {
		o.Criteria = []Criterion{BestAlignment, LeastTotalMove}
	}
	for i, c := range o.Criteria {
		if c > FewestFeet {
			return fault(index("criteria", i), "", align.ErrUnknownKind)
		}
		for _, e := range o.Criteria[:i] {
			if e == c {
				return fault(index("criteria", i), c.String(), align.ErrMismatch)
			}
		}
	}
	if o.Sides == 0 {
		o.Sides = 16
	}
	if o.Sides < 8 || o.Sides > 64 || o.Sides%4 != 0 {
		return fault("sides", align.UnitOne.Format(float64(o.Sides), 0), align.ErrOutOfRange)
	}
	if o.Nodes == 0 {
		o.Nodes = 2000
	}
	if o.Nodes < 1 || o.Nodes > 1e6 {
		return fault("nodes", align.UnitOne.Format(float64(o.Nodes), 0), align.ErrOutOfRange)
	}
	return nil
}

// solve solves the program as it stands. What cannot be proved is an error.
func (p *program) solve(ctx context.Context) (lp.Solution, error) {
	var s lp.Solution
	var err error
	if p.solver == nil {
		p.solver = lp.NewSolver(p.p)
		s, err = p.solver.Solve(ctx)
	} else { // costs, limits or rows have changed: go on from where it stands
		s, err = p.solver.Resolve(ctx)
	}
	if err != nil {
		return s, fault("program", err.Error(), align.ErrOutOfRange)
	}
	switch s.Status {
	case lp.Optimal, lp.Infeasible:
		return s, nil
	}
	return s, fault("program", s.Status.String(), ErrStopped)
}

// binding lists the limits that are used up, those that buy most first. A limit
// that is kept moves a bound b of its row, and the optimum by y db; one that is
// shared out, |at + row.x| <= limit share, moves the optimum by y share dlimit.
func (p *program) binding(c Criterion, s lp.Solution) (out []Binding) {
	for i, ref := range p.refs {
		y, at := s.RowDual[i], p.at(i, s.X)
		const near = 1e-7
		tight := math.Abs(at-p.p.Lo[i]) <= near || math.Abs(at-p.p.Hi[i]) <= near
		share := 1.0
		if j := p.column[i]; j >= 0 {
			share = s.X[j]
			tight = math.Abs(y) > near
		}
		if !tight || p.column[i] == noLimit {
			continue
		}
		refs := p.ends(i, math.Abs(at-p.p.Lo[i]) <= near)
		out = append(out, Binding{Ref: refs[0], Same: refs[1:], Gain: value(c, math.Abs(y)*share) / p.unitOf(ref)})
	}
	slices.SortStableFunc(out, func(a, b Binding) int { return cmp.Compare(b.Gain, a.Gain) })
	return out
}

// ends returns the limits that make the lower or the upper end of row i.
func (p *program) ends(i int, lower bool) []Ref {
	end := 1
	if lower && p.column[i] < 0 {
		end = 0
	}
	refs := slices.Clone(p.ownersOf(i, end))
	if end == 0 { // the other direction
		for k := range refs {
			refs[k].Toward = (refs[k].Toward + 180).Normal()
		}
	}
	return refs
}

// at is the value of a row.
func (p *program) at(i int, x []float64) (s float64) {
	for j, a := range p.p.Rows[i] {
		s += float64(a * x[j])
	}
	return s
}

// unitOf is the size of one in the row of a limit, in metres or radians.
func (p *program) unitOf(ref Ref) float64 {
	switch {
	case ref.Kind == FlangeGoal:
		return p.goalUnit(ref.Machine, p.t.Machines[ref.Machine].Goals[ref.Goal].Parts[ref.Part])
	case ref.Slope:
		return step / slopeUnit
	}
	return step
}
