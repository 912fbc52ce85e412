package piping

import (
	"math"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Result works the test out: what every step did, by itself and in the sum
// since the start.
//
//	movement of a step   reading after it - reading before it, or the reading
//	                     itself where the dials were set to zero before it
//	running movement     sum of the movements, as far as no reading is missing
//	rigid motion         reading = n.shift + turn.(s x n), weighted least squares
//
// (n the direction, s the touched point from the reference; K.-L. Low, Linear
// least-squares optimization for point-to-plane ICP, UNC TR04-004, 2004, eq. 10,
// as quoted.) Where the readings do not determine something, the result says so
// and gives no figure.
//
// Errors: those of Check.
func (t *StrainTest) Result() (StrainResult, error) {
	if err := t.Check(); err != nil {
		return StrainResult{}, err
	}
	s := newSolver(t)
	r := StrainResult{Reference: t.reference(), Steps: make([]StepResult, len(t.Steps))}
	t.allot(r.Steps)
	scales := t.follow(r.Steps)
	for i := range r.Steps {
		one := &r.Steps[i]
		one.Name = t.Steps[i].Name
		s.work(&one.Step, 1)
		if i == 0 {
			s.work(&one.Running, scales[i])
			continue
		}
		s.add(&one.Running, &r.Steps[i-1].Running, &one.Step, scales[i])
	}
	r.extremes(len(t.Coupling))
	r.Closures = t.closures(s, r.Steps)
	r.Causes = t.causes(r.Steps)
	r.oblique = t.obliqueSeen(r.Steps)
	r.warn(t)
	return r, nil
}

// allot cuts the space for all steps out of one piece.
func (t *StrainTest) allot(steps []StepResult) {
	n := len(t.Indicators)
	readings := make([]Reading, 2*len(steps)*n)
	for i := range steps {
		for _, m := range [...]*Movements{&steps[i].Step, &steps[i].Running} {
			m.Indicators, readings = readings[:n:n], readings[n:]
		}
	}
}

// follow finds the movement of every indicator, step by step and running. It
// returns the standard uncertainty of the running movements in those of one
// movement: every new zero adds another difference of readings.
func (t *StrainTest) follow(steps []StepResult) (scales []float64) {
	zero := func(i int) Reading {
		if t.Start == nil {
			return Shows(0)
		}
		return t.Start[i]
	}
	scales = make([]float64, len(steps))
	zeroes := 1
	for k := range t.Steps {
		if k > 0 && t.Steps[k].Rezeroed {
			zeroes++
		}
		scales[k] = math.Sqrt(float64(zeroes))
	}
	for i := range t.Indicators {
		before, from, base := zero(i), zero(i), Shows(0)
		for k := range t.Steps {
			if t.Steps[k].Rezeroed {
				if k > 0 {
					base = steps[k-1].Running.Indicators[i]
				}
				before, from = Shows(0), Shows(0)
			}
			now := t.Steps[k].Readings[i]
			steps[k].Step.Indicators[i] = less(now, before)
			if base.Given {
				run := less(now, from)
				run.Value += base.Value
				steps[k].Running.Indicators[i] = only(run)
			}
			before = now
		}
	}
	return scales
}

// less returns a - b, not given when either is not.
func less(a, b Reading) Reading { return only(Reading{a.Value - b.Value, a.Given && b.Given}) }

// only takes the value out of a reading that was not given.
func only(r Reading) Reading {
	if !r.Given {
		return Reading{}
	}
	return r
}

// extremes fills in the largest and the last movements at the coupling.
func (r *StrainResult) extremes(stations int) {
	r.Coupling = make([]CouplingExtremes, stations)
	for c := range r.Coupling {
		e := &r.Coupling[c]
		e.Up, e.Right = Extreme{Step: -1, Complete: true}, Extreme{Step: -1, Complete: true}
		for k := range r.Steps {
			at := r.Steps[k].Running.coupling(c)
			e.Up.see(at.Up, k)
			e.Right.see(at.Right, k)
		}
		last := r.Final().coupling(c)
		e.FinalUp, e.FinalRight = last.Up, last.Right
	}
}

func (e *Extreme) see(c Component, step int) {
	switch {
	case !c.Known:
		e.Complete = false
	case !e.Known || math.Abs(float64(c.Value)) > math.Abs(float64(e.Value)):
		e.Component, e.Step = c, step
	}
}

// sure is how many standard uncertainties make a difference count.
const sure = 3

// warn adds what is suspect.
func (r *StrainResult) warn(t *StrainTest) {
	for i := range t.Indicators {
		if t.Indicators[i].Carrier != BaseCarried {
			r.add(WarnOtherMachine, align.Notice, index("indicators", i), 0, 0)
			break
		}
	}
	for k := range t.Steps {
		r.warnStep(t, k)
	}
	if len(t.Steps) > 1 { // otherwise the step has said it
		r.warnFit(t, -1, r.Final())
	}
	r.warnCoupling(t)
	for k := range r.Closures {
		if c := &r.Closures[k]; c.Complete && !c.Within {
			r.add(align.WarnClosure, align.Suspect, c.field(t), length(c.Worst), length(c.Limit))
		}
	}
}

func (r *StrainResult) warnStep(t *StrainTest, k int) {
	for i, now := range t.Steps[k].Readings {
		if !now.Given {
			r.add(WarnReadingMissing, align.Notice, index("steps", k)+"."+t.Indicators[i].Name, 0, 0)
		}
		if m := r.Steps[k].Step.Indicators[i]; m.Given && math.Abs(float64(m.Value)) > float64(largeMove) {
			r.add(align.WarnSize, align.Serious, index("steps", k)+"."+t.Indicators[i].Name, length(m.Value), largeMove)
		}
	}
	r.warnFit(t, k, &r.Steps[k].Step)
}

// warnFit compares every indicator with the motion of the casing, after step k
// or, with k less than zero, in the end.
func (r *StrainResult) warnFit(t *StrainTest, k int, m *Movements) {
	field := func(i int) string {
		if k < 0 {
			return "final." + t.Indicators[i].Name
		}
		return index("steps", k) + "." + t.Indicators[i].Name
	}
	for i, moved := range m.Indicators {
		if !moved.Given {
			continue
		}
		u := m.s.u[i] * m.Casing.scale
		if m.s.onShaft>>i&1 == 0 {
			if off := float64(m.residual(i)); math.Abs(off) > sure*u {
				r.addMove(WarnDistortion, field(i), off, sure*u)
			}
			continue
		}
		p := m.predicted(i)
		if !p.Known {
			continue
		}
		off, limit := float64(moved.Value-p.Value), sure*math.Hypot(u, float64(p.Sigma))
		if math.Abs(off) > limit {
			r.addMove(WarnShaftDiffers, field(i), off, limit)
		}
	}
}

// warnCoupling says what the readings leave open where it matters most.
func (r *StrainResult) warnCoupling(t *StrainTest) {
	up, right := true, true
	for c := range r.Coupling {
		up = up && r.Coupling[c].Up.Complete
		right = right && r.Coupling[c].Right.Complete
	}
	if !up {
		r.add(WarnNotDetermined, align.Suspect, "coupling up", 0, 0)
	}
	if !right {
		r.add(WarnNotDetermined, align.Suspect, "coupling right", 0, 0)
	}
	if up || right || len(r.oblique) != 1 || !r.oblique[0].alone {
		return
	}
	o := &r.oblique[0]
	r.add(WarnLoneOblique, align.Suspect, t.Indicators[o.indicator].Name, length(o.largest), 0)
}

func (r *StrainResult) add(c align.WarningCode, s align.Severity, field string, v, limit unit.Length) {
	w := strainWarning(c, s, field, v, limit)
	if v == 0 && limit == 0 {
		w.Unit = "" // there is no number to print
	}
	r.Warnings = append(r.Warnings, w)
}

func (r *StrainResult) addMove(c align.WarningCode, field string, v, limit float64) {
	r.add(c, align.Suspect, field, unit.Length(v), unit.Length(limit))
}
