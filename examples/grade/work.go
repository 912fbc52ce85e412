package main

import (
	"math"

	"collinear.example/tolerance"
)

// graded is one set of limits with what the misalignment earns by it.
type graded struct {
	set   tolerance.Set
	grade tolerance.SetGrade
	err   error // no table of the set can be applied
	rows  []row
}

// row is one table of a set.
type row struct {
	table    *tolerance.Table
	grade    tolerance.Grade
	decision *tolerance.Decision // nil where the uncertainty is not known
	top      *tolerance.TopSpeed // nil for a quantity read as such
}

func (j *job) gradeAll(sets []tolerance.Set) []graded {
	out := make([]graded, len(sets))
	for i := range sets {
		out[i] = j.gradeSet(&sets[i])
	}
	return out
}

func (j *job) gradeSet(s *tolerance.Set) graded {
	g := j.geometry
	g.Size = j.sizes[s.ID]
	out := graded{set: *s}
	out.grade, out.err = s.Grade(tolerance.Readings{Misalignment: j.misalignment, AxialGap: j.axialGap}, g)
	if out.err != nil {
		return out
	}
	for _, one := range out.grade.Grades {
		t, err := s.Table(one.Table)
		if err != nil {
			continue // every grade is of a table of the set
		}
		r := row{table: t, grade: one, decision: j.decide(t, one)}
		if top, err := t.HighestSpeed(j.misalignment, g); err == nil {
			r.top = &top
		}
		out.rows = append(out.rows, r)
	}
	return out
}

// decide weighs the uncertainty of the offsets at the flex planes. With u that
// of an offset, a slope over the flex separation S has u sqrt(2)/S, and what is
// a multiple of offset or slope has the multiple of its uncertainty.
func (j *job) decide(t *tolerance.Table, one tolerance.Grade) *tolerance.Decision {
	if j.sigma == 0 || one.Measured.Plane == tolerance.NoPlane {
		return nil
	}
	v, h, sigma := j.components(t, one.Measured)
	if t.Planes == tolerance.EachPlane {
		if one.Measured.Plane == tolerance.HorizontalPlane {
			v = h
		}
		d, err := tolerance.Decide(one.Limit, v, sigma, tolerance.GuardOneSided)
		return unless(d, err)
	}
	n := tolerance.Normal2{Vertical: v, Horizontal: h, SigmaVertical: sigma, SigmaHorizontal: sigma}
	d, err := tolerance.DecideResultant(one.Limit, n, tolerance.GuardOneSided)
	return unless(d, err)
}

func unless(d tolerance.Decision, err error) *tolerance.Decision {
	if err != nil {
		return nil
	}
	return &d
}

// components returns the quantity in both planes and its uncertainty in each.
func (j *job) components(t *tolerance.Table, m tolerance.Measured) (v, h, sigma float64) {
	s := float64(j.geometry.Separation())
	if m.AtStation {
		o := j.misalignment.At(m.Station)
		v, h, sigma = float64(o.Vertical), float64(o.Horizontal), j.sigmaAt(m)
	} else {
		slope := j.misalignment.Slope()
		v, h, sigma = slope.Vertical, slope.Horizontal, float64(j.sigma)*math.Sqrt2/s
	}
	k := 1.0
	switch t.Quantity {
	case tolerance.RimReading, tolerance.FaceReadingPerRadius:
		k = 2
	case tolerance.GapDifference:
		k = float64(j.geometry.FaceDiameter)
	case tolerance.FlexDeviation:
		k = 1 / s
	}
	return k * v, k * h, k * sigma
}

// sigmaAt is the uncertainty of an offset at any station of the line through
// two independent offsets: with f the share of the way between them,
// u sqrt((1-f)^2 + f^2).
func (j *job) sigmaAt(m tolerance.Measured) float64 {
	f := float64((m.Station - j.geometry.NearFlex) / j.geometry.Separation())
	return float64(j.sigma) * math.Hypot(1-f, f)
}

// counts says how the tables part.
func counts(all []graded) (within, over, unclear, tables int) {
	for _, g := range all {
		for _, r := range g.rows {
			tables++
			switch {
			case r.outcome() == tolerance.Pass:
				within++
			case r.outcome() == tolerance.Fail:
				over++
			default:
				unclear++
			}
		}
	}
	return within, over, unclear, tables
}

// outcome is that of the decision, or of the size alone.
func (r row) outcome() tolerance.Outcome {
	switch {
	case r.decision != nil:
		return r.decision.Outcome
	case r.grade.Within:
		return tolerance.Pass
	}
	return tolerance.Fail
}

// fault returns why a set cannot be applied, table by table when they differ.
func (g graded) faults() []tolerance.Ungraded {
	var out []tolerance.Ungraded
	for _, u := range g.grade.Ungraded {
		if len(out) == 0 || out[len(out)-1].Err.Error() != u.Err.Error() {
			out = append(out, u)
		}
	}
	return out
}
