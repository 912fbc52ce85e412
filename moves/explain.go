package moves

import (
	"context"
	"math"
	"slices"

	"collinear.example/align"
	"collinear.example/internal/lp"
	"collinear.example/piping"
	"gonum.org/v1/gonum/unit"
)

// Explanation says why nothing fits, and what would have to give.
type Explanation struct {
	// Conflict is a smallest set of limits that cannot be kept together: leave any
	// one of them out and the others can be. There may be other such sets.
	Conflict []Ref
	// Relaxations say what one kind of limit alone would have to give, with all
	// the others kept; kinds that cannot help alone are not there.
	Relaxations []Relaxation
	// Together is what all limits would have to give in sum, when each may.
	Together Relaxation
	// Compromise is the best that can be had while the limits that are hardest to
	// change are kept: feet and flanges first, then feet alone, then nothing.
	Compromise []align.Motion
	Kept       []Kind // the kinds that the compromise keeps
}

// Relaxation is how much wider limits would have to be.
type Relaxation struct {
	Kind  Kind // of the limits that give way; meaningless in Together
	Gives []Give
	Sum   float64 // of the amounts, metres, turns by their arc at the lever
}

// Give is how much one limit would have to be wider.
type Give struct {
	Ref    Ref
	Amount float64 // metres, or radians for a turn or a slope
}

// explained returns the plan of a train that cannot keep its limits.
func (t *Train) explained(ctx context.Context, o Options) (*Plan, error) {
	w := &Explanation{}
	all := newProgram(t, o.Sides, uses{}, false)
	bounds, err := all.p.Conflict(ctx)
	if err != nil {
		return nil, fault("program", err.Error(), ErrStopped)
	}
	for _, b := range bounds {
		if !b.Row {
			continue
		}
		ref := all.refs[b.Index]
		if !b.Upper {
			ref.Toward = (ref.Toward + 180).Normal()
		}
		w.Conflict = append(w.Conflict, ref)
	}
	for _, k := range []Kind{FootVertical, FootLateral, CouplingLimit, GapLimit, FlangeGoal} {
		r, ok, err := t.relax(ctx, o.Sides, func(ref Ref) bool { return ref.Kind == k })
		if err != nil {
			return nil, err
		}
		if ok {
			r.Kind = k
			w.Relaxations = append(w.Relaxations, r)
		}
	}
	w.Together, _, err = t.relax(ctx, o.Sides, func(Ref) bool { return true })
	if err != nil {
		return nil, err
	}
	if err := t.compromise(ctx, o, w); err != nil {
		return nil, err
	}
	if w.Compromise == nil { // nothing could be solved at all: leave everything where it is
		w.Compromise = make([]align.Motion, len(t.Machines))
	}
	p := &Plan{Motions: w.Compromise, Why: w, Proved: true}
	if p.Evaluation, err = t.evaluate(p.Motions); err != nil {
		return nil, err
	}
	// Limits that miss each other by less than rounding do not conflict.
	p.Feasible = len(bounds) == 0 && p.Within()
	return p, nil
}

// relax finds the least sum by which the limits that may give would have to be
// wider; ok is false when that does not help. A limit at a coupling gives in all
// directions at once, a range at the end that is too short.
func (t *Train) relax(ctx context.Context, sides int, may func(Ref) bool) (r Relaxation, ok bool, err error) {
	p := newProgram(t, sides, uses{}, false)
	gives, of := p.givers(may)
	if len(gives) == 0 {
		return r, false, nil
	}
	n := len(p.row)
	wide := lp.New(n + len(gives))
	copy(wide.Lower, p.p.Lower)
	copy(wide.Upper, p.p.Upper)
	for j := range gives {
		wide.Lower[n+j], wide.C[n+j] = 0, 1
	}
	row := make([]float64, len(wide.C))
	for i, ref := range p.refs {
		clear(row)
		copy(row, p.p.Rows[i])
		lower, upper := of[i][0], of[i][1]
		if lower >= 0 && lower == upper { // |row.x + at| <= k (limit + give), as two rows
			k := p.apothem(ref)
			row[n+lower] = k
			wide.Add(row, p.p.Lo[i], math.Inf(1))
			row[n+lower] = -k
			wide.Add(row, math.Inf(-1), p.p.Hi[i])
			continue
		}
		if lower >= 0 {
			row[n+lower] = 1
		}
		if upper >= 0 {
			row[n+upper] = -1
		}
		wide.Add(row, p.p.Lo[i], p.p.Hi[i])
	}
	p.p = wide
	s, err := p.solve(ctx)
	if err != nil || s.Status == lp.Infeasible {
		return r, false, err
	}
	for j, ref := range gives {
		if v := s.X[n+j]; v > 1e-7 {
			r.Gives = append(r.Gives, Give{ref, v * p.unitOf(ref)})
			r.Sum += v * step
		}
	}
	return r, true, nil
}

// givers numbers the limits that may give, and says for each row which of them
// its lower and its upper end belong to, -1 for none.
func (p *program) givers(may func(Ref) bool) (gives []Ref, of [][2]int) {
	of = make([][2]int, len(p.refs))
	seen := map[Ref]int{}
	number := func(ref Ref) int {
		j, is := seen[ref]
		if !is {
			j = len(gives)
			seen[ref], gives = j, append(gives, ref)
		}
		return j
	}
	for i, ref := range p.refs {
		of[i] = [2]int{-1, -1}
		switch {
		case !may(ref):
		case ref.Kind == CouplingLimit || ref.Kind == GapLimit || ref.Kind == FlangeGoal:
			ref.Toward = 0
			of[i] = [2]int{number(ref), number(ref)}
		default:
			of[i][1] = number(ref)
			ref.Toward = (ref.Toward + 180).Normal()
			of[i][0] = number(ref)
		}
	}
	return gives, of
}

// apothem is how far the rows of a limit move for each step by which the limit
// gives: less than one for the polygon of a resultant.
func (p *program) apothem(ref Ref) float64 {
	if ref.Kind != CouplingLimit {
		return 1
	}
	c := &p.t.Couplings[ref.Coupling]
	resultant := ref.Slope && c.Slope.Resultant
	for i := range c.Offsets {
		resultant = resultant || !ref.Slope && c.Offsets[i].Station == ref.Station && c.Offsets[i].Resultant
	}
	_, k := p.directions(resultant)
	return k
}

// compromise finds the best alignment, and the best flange fit, that feet and
// flanges allow, or feet alone, or else the motions with the least relaxation.
func (t *Train) compromise(ctx context.Context, o Options, w *Explanation) error {
	aims := []Criterion{BestAlignment, BestFlangeFit, LeastTotalMove}
	try := func(t *Train, keep ...Kind) (bool, error) {
		p := newProgram(t, o.Sides, usesOf(aims), true)
		for _, c := range aims {
			p.aim(c)
			s, err := p.solve(ctx)
			if err != nil || s.Status == lp.Infeasible {
				return false, err
			}
			p.keep(s.Objective)
			w.Compromise = p.motions(s.X)
		}
		for _, k := range keep {
			if slices.ContainsFunc(newProgram(t, o.Sides, uses{}, true).refs, func(r Ref) bool { return r.Kind == k }) {
				w.Kept = append(w.Kept, k)
			}
		}
		return true, nil
	}
	if done, err := try(t, FootVertical, FootLateral, FlangeGoal); done || err != nil {
		return err
	}
	if done, err := try(t.wishing(), FootVertical, FootLateral); done || err != nil {
		return err
	}
	_, err := try(t.wishing().loose())
	return err
}

// wishing returns the train with all flange goals as wishes.
func (t *Train) wishing() *Train {
	out := *t
	out.Machines = append([]Machine(nil), t.Machines...)
	for i := range out.Machines {
		m := &out.Machines[i]
		m.Goals = append([]piping.NozzleGoal(nil), m.Goals...)
		for k := range m.Goals {
			for j := range m.Goals[k].Parts {
				m.Goals[k].Parts[j].Hard = false
			}
		}
	}
	return &out
}

// loose returns the train with no limits at its feet.
func (t *Train) loose() *Train {
	out := *t
	out.Machines = append([]Machine(nil), t.Machines...)
	for i := range out.Machines {
		m := &out.Machines[i]
		m.Feet = append([]Foot(nil), m.Feet...)
		for k := range m.Feet {
			m.Feet[k].Range = FootRange{}
		}
	}
	return &out
}

// Words says a limit in words, with the names of the train.
func (t *Train) Words(r Ref) string {
	at := func(x unit.Length) string { return " at station " + align.UnitMillimetre.Format(float64(x), 1) }
	switch r.Kind {
	case FootVertical:
		m := &t.Machines[r.Machine]
		if math.Abs(float64(r.Toward.Normal())-180) < 1 {
			return "shims to take out under " + m.Name + ", " + m.Feet[r.Foot].Name
		}
		return "shims to add under " + m.Name + ", " + m.Feet[r.Foot].Name
	case FootLateral:
		m := &t.Machines[r.Machine]
		if r.Toward.Normal() > 180 {
			return "bolt holes toward 9 o'clock at " + m.Name + ", " + m.Feet[r.Foot].Name
		}
		return "bolt holes toward 3 o'clock at " + m.Name + ", " + m.Feet[r.Foot].Name
	case CouplingLimit:
		c := &t.Couplings[r.Coupling]
		where := at(r.Station)
		if r.Slope {
			where = ", slope"
		}
		return "coupling " + c.Name + where + ", " + t.states()[r.State].Name
	case GapLimit:
		return "axial gap of coupling " + t.Couplings[r.Coupling].Name
	case FlangeGoal:
		g := &t.Machines[r.Machine].Goals[r.Goal]
		return "flange " + g.Misfit.Pair.Name + ", " + piping.PartName(r.Part)
	}
	return "unknown limit"
}
