package main

import (
	"fmt"
	"math"

	"collinear.example/align"
	"collinear.example/internal/record"
	"gonum.org/v1/gonum/unit"
)

// repeatLimit is the most that repeated sets may differ (common practice, no
// source).
const repeatLimit = 0.02 * align.Millimetre

// hair is room for the rounding of unit conversion, so that a value equal to its
// limit is within it.
const hair = 1e-6 * align.Micrometre

// result is the job worked out.
type result struct {
	position align.Position
	target   align.Axis // far less near, wanted; zero when the job names none
	excess   align.Axis // position less target: what the moves take away
	dials    []dialResult
	near     []footResult // moves if the near machine is the one that moves
	far      []footResult // moves if the far machine is
	after    align.Axis   // position after the moves of the machine to move
	answers  []answer
	warnings []align.Warning
}

// dialResult is what one dial says.
type dialResult struct {
	corrected     align.Sweep // mean of the sets, sag taken out
	residuals     []unit.Length
	worstClosure  unit.Length
	hasClosure    bool
	sum, expected unit.Length
	hasSum        bool
	worstResidual unit.Length
	forecast      align.Sweep // readings after the moves, sag in
}

// footResult is the move at one pair of feet.
type footResult struct {
	foot
	move  align.Move
	sigma align.Spread // standard uncertainty of the move; zero when not known
}

// answer is a printed answer beside ours.
type answer struct {
	published
	ours   unit.Length
	agrees bool
}

// work solves the job.
func work(j *job) (*result, error) {
	m := measurement(j)
	p, err := m.Solve()
	if err != nil {
		return nil, record.FromLibrary(err)
	}
	w := &result{position: p}
	if j.target != nil {
		w.target = j.target.axis
	}
	w.excess = p.Sub(w.target)
	w.near, w.far = w.moves(j, align.Near), w.moves(j, align.Far)
	if w.after, err = w.moved(j); err != nil {
		return nil, record.FromLibrary(err)
	}
	if err := w.readDials(j); err != nil {
		return nil, err
	}
	if err := w.compare(j); err != nil {
		return nil, err
	}
	w.collect(j)
	return w, nil
}

// measurement is the job as package align sees it. The dials stand in the order
// of the record, so that messages name the fields of the record.
func measurement(j *job) align.Measurement {
	m := align.Measurement{}
	for i := range j.dials {
		d := j.dials[i].Dial
		// The mean of n sets is known better by the root of n.
		d.Sigma = j.sigma / unit.Length(math.Sqrt(float64(len(j.dials[i].sets))))
		m.Dials = append(m.Dials, d)
	}
	return m
}

// moves returns the moves at the feet of one machine when the other stays.
func (w *result) moves(j *job, s align.Shaft) []footResult {
	var out []footResult
	for _, f := range j.machine(s).feet {
		move := w.excess.MoveNear(f.station)
		if s == align.Far {
			move = w.excess.MoveFar(f.station)
		}
		r := footResult{foot: f, move: move}
		if w.position.SigmaFrom != align.SigmaUnknown {
			r.sigma = w.position.OffsetSigma(f.station)
		}
		out = append(out, r)
	}
	return out
}

// moved returns the position after the moves at the first and the last pair of
// feet of the machine to move.
func (w *result) moved(j *job) (align.Axis, error) {
	list := w.near
	if j.moving == align.Far {
		list = w.far
	}
	a, b := list[0], list[len(list)-1]
	feet := align.Feet{Inboard: a.station, Outboard: b.station}
	moves := align.FootMoves{Inboard: a.move, Outboard: b.move}
	if j.moving == align.Far {
		return w.position.AfterFar(feet, moves)
	}
	return w.position.AfterNear(feet, moves)
}

// readDials fills in what each dial says now and should say after the moves.
func (w *result) readDials(j *job) error {
	residuals := w.position.Residuals
	for i := range j.dials {
		d := &j.dials[i]
		r := dialResult{corrected: d.Sag.Correct(d.Sweep)}
		n := len(d.Sweep)
		if _, closing := d.Sweep.Closure(); closing {
			n--
		}
		r.residuals, residuals = residuals[:n], residuals[n:]
		for _, e := range r.residuals {
			r.worstResidual = larger(r.worstResidual, e)
		}
		for _, s := range d.sets {
			if c, ok := s.Closure(); ok {
				r.hasClosure, r.worstClosure = true, larger(r.worstClosure, c)
			}
		}
		r.sum, r.hasSum = d.Sweep.SumRule()
		r.expected = d.ExpectedSumRule(w.position.Axis)

		at := make([]align.Clock, n)
		for k := range at {
			at[k] = d.Sweep[k].At
		}
		var err error
		if r.forecast, err = d.Predict(w.after, align.Spool{}, at[0], at...); err != nil {
			return record.FromLibrary(align.In(err, fmt.Sprintf("dials[%d]", i)))
		}
		w.dials = append(w.dials, r)
	}
	return nil
}

// larger returns the one of larger size.
func larger(a, b unit.Length) unit.Length {
	if math.Abs(float64(b)) > math.Abs(float64(a)) {
		return b
	}
	return a
}

// compare holds the printed answers against ours. The printed figures are for
// the job as worked, target included.
func (w *result) compare(j *job) error {
	for i, p := range j.published {
		if known := w.position; p.vertical && !known.VerticalKnown || !p.vertical && !known.HorizontalKnown {
			return &record.Error{Field: fmt.Sprintf("published[%d].plane", i), Why: "the readings do not show this plane"}
		}
		list := w.near
		if p.shaft == align.Far {
			list = w.far
		}
		for _, f := range list {
			if f.name != p.foot {
				continue
			}
			ours := f.move.Horizontal
			if p.vertical {
				ours = f.move.Vertical
			}
			if p.height {
				ours = -ours // a shaft that stands high comes down by as much
			}
			room := p.tolerance + hair
			w.answers = append(w.answers, answer{p, ours, math.Abs(float64(ours-p.value)) <= float64(room)})
		}
	}
	return nil
}

// collect gathers the warnings of the library and those of the job: closure set
// by set (the library sees the mean only), repeatability and extrapolation.
func (w *result) collect(j *job) {
	limits := align.DefaultChecks()
	for i := range j.dials {
		d := &j.dials[i]
		for k, s := range d.sets {
			c, ok := s.Closure()
			if ok && math.Abs(float64(c)) > float64(limits.Closure+hair) {
				w.warnings = append(w.warnings, align.Warning{
					Code: align.WarnClosure, Severity: align.Suspect, Field: fmt.Sprintf("%s, set %d", d.Name, k+1),
					Value: float64(c), Limit: float64(limits.Closure), Unit: align.UnitMillimetre,
				})
			}
		}
		for _, warning := range align.CheckRepeatability(d.repeatability, repeatLimit+hair) {
			warning.Field = d.Name
			w.warnings = append(w.warnings, warning)
		}
	}
	for _, warning := range w.position.Warnings {
		if warning.Code != align.WarnClosure { // seen set by set above
			warning.Field = plainField(j, warning.Field)
			w.warnings = append(w.warnings, warning)
		}
	}
	w.extrapolation(j)
}

// plainField is the dial's name where the library names its place in the list.
func plainField(j *job, field string) string {
	for i := range j.dials {
		if field == fmt.Sprintf("dials[%d] (%s)", i, j.dials[i].Name) {
			return j.dials[i].Name
		}
	}
	return field
}

// extrapolation warns of feet far outside the stretch the dials measured.
func (w *result) extrapolation(j *job) {
	lo, hi := j.span()
	for _, s := range []align.Shaft{align.Near, align.Far} {
		m := j.machine(s)
		for _, f := range m.feet {
			for _, warning := range align.CheckExtrapolation(f.station, lo, hi, 0) {
				warning.Field = m.name + ", " + f.name + " feet"
				w.warnings = append(w.warnings, warning)
			}
		}
	}
}
