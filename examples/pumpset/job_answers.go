package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"collinear.example/align"
	"collinear.example/internal/record"
	"gonum.org/v1/gonum/unit"
)

// target reads the wanted position, given as offsets at two stations.
func (r *jobReader) target(o record.Object) {
	if !o.Has("target") || r.Err() != nil {
		return
	}
	t := o.Object("target", "why", "offsets")
	why := t.Text("why")
	list := t.List("offsets", 2)
	if len(list) > 2 {
		r.Fail("target.offsets", record.Show(list), "want two")
	}
	var x [2]unit.Length
	var at [2]align.Offset
	for i := range min(len(list), 2) {
		p := r.Object(fmt.Sprintf("target.offsets[%d]", i), list[i], "station", "vertical", "horizontal")
		x[i] = r.distance(p, "station")
		at[i] = align.Offset{Vertical: r.measured(p, "vertical", maxReading), Horizontal: r.measured(p, "horizontal", maxReading)}
	}
	if r.Err() != nil {
		return
	}
	if math.Abs(float64(x[1]-x[0])) < float64(leastSpan) {
		r.Fail("target.offsets[1].station", r.station(x[1]), "must differ from the first station")
		return
	}
	axis, err := align.AxisThrough(x[0], at[0], x[1], at[1])
	if err != nil {
		r.Set(record.FromLibrary(align.In(err, "target")))
		return
	}
	r.job.target = &target{why, axis}
}

// published reads the printed answers, which need their citation.
func (r *jobReader) published(o record.Object) {
	if !o.Has("published") || r.Err() != nil {
		return
	}
	if r.job.citation == "" {
		r.Fail("citation", "", "is missing, and the job holds published answers")
	}
	for i, v := range o.List("published", 1) {
		p := r.Object(fmt.Sprintf("published[%d]", i), v, "machine", "foot", "plane", "quantity", "printed", "tolerance", "reason")
		r.job.published = append(r.job.published, r.answer(p))
	}
}

// answer reads one printed answer. Half the last printed place is allowed unless
// a tolerance is given with its reason.
func (r *jobReader) answer(o record.Object) published {
	p := published{
		shaft: r.shaft(o, "machine"), foot: o.Text("foot"),
		vertical: o.Word("plane", "vertical", "horizontal") == "vertical",
		height:   o.Word("quantity", "move", "height") == "height",
		printed:  o.Text("printed"), reason: "half the last printed place",
	}
	if r.Err() != nil {
		return p
	}
	known := false
	for _, f := range r.job.machine(p.shaft).feet {
		known = known || f.name == p.foot
	}
	if !known {
		r.Fail(o.Path("foot"), record.Show(p.foot), "the "+p.shaft.String()+" machine has no feet of that name")
	}
	v, err := strconv.ParseFloat(p.printed, 64)
	if err != nil || strings.Trim(p.printed, "+-.0123456789") != "" {
		r.Fail(o.Path("printed"), record.Show(p.printed), "want the printed figure as a text such as \"-0.0027\"")
		return p
	}
	p.value = r.lengthOf(o.Path("printed"), v, r.job.reading, maxReading)
	_, decimals, _ := strings.Cut(p.printed, ".")
	p.tolerance = unit.Length(r.job.reading.SI(0.5 * math.Pow(10, -float64(len(decimals)))))
	if o.Has("tolerance") || o.Has("reason") {
		p.tolerance = r.measured(o, "tolerance", maxReading)
		p.reason = o.Text("reason")
		if p.tolerance < 0 {
			r.Fail(o.Path("tolerance"), record.Show(o.Field("tolerance")), "must not be negative")
		}
	}
	return p
}
