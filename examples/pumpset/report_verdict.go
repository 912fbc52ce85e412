package main

import (
	"fmt"

	"collinear.example/align"
	"collinear.example/internal/page"
	"collinear.example/tolerance"
)

// verdicts holds what is to be taken away against the limits of the job. With an
// uncertainty it says so only where the odds of being wrong are below 5 %.
func (r *report) verdicts() {
	if r.j.limits == nil {
		r.Text("No limit is applied here: compare with the limits of the coupling's and the machines' makers at the running speed.")
		return
	}
	e := r.w.position.Axis.Sub(r.w.target)
	g := tolerance.Geometry{Speed: r.j.turning, NearFlex: r.j.flexPlanes[0], FarFlex: r.j.flexPlanes[1]}
	for i := range r.j.limits.Tables {
		t := &r.j.limits.Tables[i]
		one, err := t.Grade(e, g)
		if err != nil {
			r.Text("Limit: " + t.Title + " cannot be applied: " + err.Error() + ".")
			continue
		}
		word := "within"
		if !one.Within {
			word = "over"
		}
		r.Text(fmt.Sprintf("Limit: %s. What is to be taken away uses %s of it: %s%s.", one.Limit, page.Percent(one.Share()), word, r.sure(t, one, e)))
	}
}

// sure says whether the uncertainty leaves the verdict open. It is known for
// offsets at a station and for the deviation at a flex plane.
func (r *report) sure(t *tolerance.Table, one tolerance.Grade, e align.Axis) string {
	p := &r.w.position
	if p.SigmaFrom == align.SigmaUnknown || !one.Measured.AtStation || t.Planes != tolerance.Resultant {
		return ""
	}
	n := tolerance.NormalOf(e.At(one.Measured.Station), p.OffsetSigma(one.Measured.Station))
	k := one.Measured.Value / float64(e.At(one.Measured.Station).Resultant())
	n.Vertical, n.Horizontal, n.SigmaVertical, n.SigmaHorizontal = k*n.Vertical, k*n.Horizontal, k*n.SigmaVertical, k*n.SigmaHorizontal
	d, err := tolerance.DecideResultant(one.Limit, n, tolerance.GuardOneSided)
	switch {
	case err != nil:
		return ""
	case d.Outcome == tolerance.Indeterminate:
		return ", but the uncertainty reaches across the limit"
	}
	return ", uncertainty and all"
}
