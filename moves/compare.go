package moves

import (
	"context"

	"collinear.example/align"
	"collinear.example/internal/lp"
	"collinear.example/piping"
)

// Way is one way of going about it, for comparison.
type Way struct {
	Name string
	*Plan
}

// Alternatives works out the usual ways side by side:
//
//	each machine that may move, moved alone
//	all that may move together
//	alignment first: best alignment, what it leaves of the flanges as it comes
//	pipe first: the piped machines put where their flanges want them, then the
//	  others aligned to them
//	both: best alignment and flange fit together
//
// The last three are there only when flanges are to be fitted; their goals count
// as wishes then, so that each way shows what it leaves of them. The joint way is
// never worse than the others by its own measure, the larger of the shares.
//
// Errors: those of Plan.
func (t *Train) Alternatives(ctx context.Context, o Options) ([]Way, error) {
	if err := t.Check(); err != nil {
		return nil, err
	}
	if err := o.fill(); err != nil {
		return nil, err
	}
	var out []Way
	add := func(name string, p *Plan, err error) error {
		if err == nil {
			out = append(out, Way{name, p})
		}
		return err
	}
	movers := 0
	for i := range t.Machines {
		if len(t.Machines[i].ways()) > 0 {
			movers++
		}
	}
	for i := range t.Machines {
		if movers < 2 || len(t.Machines[i].ways()) == 0 {
			continue
		}
		p, err := t.only(i).Plan(ctx, o)
		if err := add("move "+t.Machines[i].Name+" alone", p, err); err != nil {
			return nil, err
		}
	}
	if p, err := t.Plan(ctx, o); add("move all that may", p, err) != nil {
		return nil, err
	}
	if !t.asks() {
		return out, nil
	}
	wish := t.wishing()
	judged := func(p *Plan, err error) (*Plan, error) { // by the goals as they are
		if err != nil {
			return nil, err
		}
		p.Evaluation, err = t.evaluate(p.Motions)
		p.Feasible = p.Within()
		return p, err
	}
	align := Options{Criteria: []Criterion{BestAlignment, LeastTotalMove}, Sides: o.Sides}
	if p, err := judged(wish.Plan(ctx, align)); add("alignment first", p, err) != nil {
		return nil, err
	}
	if p, err := judged(wish.pipeFirst(ctx, o.Sides)); add("pipe first", p, err) != nil {
		return nil, err
	}
	both := Options{Criteria: []Criterion{BestTogether, LeastTotalMove}, Sides: o.Sides}
	if p, err := judged(wish.Plan(ctx, both)); add("both together", p, err) != nil {
		return nil, err
	}
	return out, nil
}

// only returns the train with one machine that may move.
func (t *Train) only(machine int) *Train {
	out := *t
	out.Machines = append([]Machine(nil), t.Machines...)
	for i := range out.Machines {
		if i != machine {
			out.Machines[i].Free = piping.Ways{}
		}
	}
	return &out
}

// pipeFirst puts the piped machines where their flanges fit best within what
// their feet allow, and aligns the others to them.
func (t *Train) pipeFirst(ctx context.Context, sides int) (*Plan, error) {
	piped := *t
	piped.Machines = append([]Machine(nil), t.Machines...)
	for i := range piped.Machines {
		if len(piped.Machines[i].Goals) == 0 {
			piped.Machines[i].Free = piping.Ways{}
		}
	}
	p := newProgram(&piped, sides, usesOf([]Criterion{BestFlangeFit, LeastTotalMove}), true)
	var x []float64
	for _, c := range []Criterion{BestFlangeFit, LeastTotalMove} {
		p.aim(c)
		s, err := p.solve(ctx)
		if err != nil {
			return nil, err
		}
		if s.Status == lp.Infeasible {
			return piped.explained(ctx, Options{Sides: sides})
		}
		p.keep(s.Objective)
		x = s.X
	}
	return t.rest(ctx, p.motions(x), sides)
}

// rest aligns the machines without flanges, those with flanges having made the
// given motions. Where the couplings do not come within their limits the best
// that is left is returned as not feasible.
func (t *Train) rest(ctx context.Context, given []align.Motion, sides int) (*Plan, error) {
	left := *t
	left.Machines = append([]Machine(nil), t.Machines...)
	moves := false
	for i := range left.Machines {
		if len(left.Machines[i].Goals) > 0 {
			left.Machines[i].Free, left.Machines[i].Goals = piping.Ways{}, nil
		}
		moves = moves || len(left.Machines[i].ways()) > 0
	}
	left.Couplings = append([]Coupling(nil), t.Couplings...)
	for i := range left.Couplings {
		c := &left.Couplings[i]
		c.Found = c.result(i, given, nil).Cold
		if c.Gap != nil {
			gap := *c.Gap
			gap.Error = c.result(i, given, nil).Gap
			c.Gap = &gap
		}
	}
	plan := &Plan{Proved: true, Motions: given}
	if moves && len(left.Couplings) > 0 {
		motions, err := left.aligned(ctx, sides, false)
		if err == nil && motions == nil { // not within every limit: as near as it comes
			motions, err = left.aligned(ctx, sides, true)
		}
		if err != nil {
			return nil, err
		}
		if motions == nil {
			return left.explained(ctx, Options{Sides: sides})
		}
		plan.Motions = motions
		for i := range given {
			if len(t.Machines[i].Goals) > 0 {
				plan.Motions[i] = given[i]
			}
		}
	}
	var err error
	plan.Evaluation, err = t.evaluate(plan.Motions)
	plan.Feasible = plan.Within()
	return plan, err
}

// aligned returns the motions of the best alignment with the least moves, within every
// limit or, loosely, within those of the feet alone; nil when there are none.
func (t *Train) aligned(ctx context.Context, sides int, loosely bool) ([]align.Motion, error) {
	criteria := []Criterion{BestAlignment, LeastTotalMove}
	p := newProgram(t, sides, usesOf(criteria), loosely)
	var x []float64
	for _, c := range criteria {
		p.aim(c)
		s, err := p.solve(ctx)
		if err != nil {
			return nil, err
		}
		if s.Status == lp.Infeasible {
			return nil, nil
		}
		p.keep(s.Objective)
		x = s.X
	}
	return p.motions(x), nil
}

// Point is one point of a trade-off.
type Point struct {
	Alignment float64 // largest share of a limit at any coupling
	Flange    float64 // largest share of a tolerance at any flange
	Motions   []align.Motion
}

// TradeOff returns what alignment costs of flange fit: from the best flange fit
// that feet and couplings allow to the best alignment, in equal steps of the
// flange share, each with the best alignment that goes with it. Goals count as
// wishes. Points are two or more, at most 100.
//
// Errors: those of Plan; out-of-range for points; missing without goals or
// couplings. No points come back when no motion keeps the limits.
func (t *Train) TradeOff(ctx context.Context, points int, o Options) ([]Point, error) {
	if err := t.Check(); err != nil {
		return nil, err
	}
	if err := o.fill(); err != nil {
		return nil, err
	}
	switch {
	case points < 2 || points > 100:
		return nil, fault("points", align.UnitOne.Format(float64(points), 0), align.ErrOutOfRange)
	case !t.asks():
		return nil, fault("goals", "", align.ErrMissing)
	case len(t.Couplings) == 0:
		return nil, fault("couplings", "", align.ErrMissing)
	}
	wish := t.wishing()
	aims := []Criterion{BestAlignment, BestFlangeFit}
	end := func(first, second Criterion) (x []float64, p *program, err error) {
		p = newProgram(wish, o.Sides, usesOf(aims), false)
		for _, c := range []Criterion{first, second} {
			p.aim(c)
			s, err := p.solve(ctx)
			if err != nil || s.Status == lp.Infeasible {
				return nil, p, err
			}
			p.keep(s.Objective)
			x = s.X
		}
		return x, p, nil
	}
	x, p, err := end(BestFlangeFit, BestAlignment)
	if err != nil || x == nil {
		return nil, err
	}
	out := []Point{{x[p.coupling], x[p.flange], p.motions(x)}}
	if x, p, err = end(BestAlignment, BestFlangeFit); err != nil || x == nil {
		return nil, err
	}
	last := Point{x[p.coupling], x[p.flange], p.motions(x)}
	for k := 1; k < points-1; k++ {
		f := float64(k) / float64(points-1)
		p := newProgram(wish, o.Sides, usesOf(aims), false)
		p.p.Upper[p.flange] = out[0].Flange + f*(last.Flange-out[0].Flange)
		p.aim(BestAlignment)
		s, err := p.solve(ctx)
		if err != nil {
			return nil, err
		}
		if s.Status == lp.Optimal {
			out = append(out, Point{s.X[p.coupling], s.X[p.flange], p.motions(s.X)})
		}
	}
	return append(out, last), nil
}
