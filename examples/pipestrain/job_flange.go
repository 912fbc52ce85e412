package main

import (
	"fmt"

	"collinear.example/align"
	"collinear.example/internal/record"
	"collinear.example/piping"
	"gonum.org/v1/gonum/unit"
)

// joint reads one surveyed flange joint. A record taken by a person who looked
// from the pipe toward the machine is turned here, at the edge, and nowhere else.
func (r *jobReader) joint(path string, v any) (j joint) {
	o := r.Object(path, v, "name", "station", "height", "lateral", "leads", "twelve", "recorded", "outside", "raisedFace", "boltCircle",
		"gasket", "gaps", "gapsOn", "rim", "holes", "rule")
	j.Pair = piping.FlangePair{Name: o.Text("name"), Centre: o.Place(r.length), Axis: o.Direction("leads"), Up: o.Direction("twelve")}
	fromPipe := o.Word("recorded", "machine-to-pipe", "pipe-to-machine") == "pipe-to-machine"
	j.size = piping.FlangeSize{FlangeOD: o.Length("outside", r.length), Reference: piping.ByFlangeOD}
	if o.Has("raisedFace") {
		j.size.RaisedFaceOD = o.Length("raisedFace", r.length)
	}
	if o.Has("boltCircle") {
		j.size.BoltCircle = o.Length("boltCircle", r.length)
	}
	j.Faces = piping.FlangeSurvey{Diameter: o.Length("gapsOn", r.length), FlangeOD: j.size.FlangeOD, RaisedFaceOD: j.size.RaisedFaceOD}
	if o.Has("gasket") {
		g := o.Length("gasket", r.reading)
		j.Faces.Gasket, j.size.Gasket = &g, &g
	}
	for _, p := range r.clocked(o, "gaps") {
		j.Faces.Gaps = append(j.Faces.Gaps, piping.Gap{At: p.at, Gap: p.value})
	}
	if o.Has("rim") {
		j.Rim = &piping.RimSurvey{}
		for _, p := range r.clocked(o, "rim") {
			j.Rim.Steps = append(j.Rim.Steps, piping.RimStep{At: p.at, Step: p.value})
		}
	}
	if o.Has("holes") {
		j.Holes = &piping.HoleSurvey{BoltCircle: j.size.BoltCircle}
		for _, p := range r.clocked(o, "holes") {
			j.Holes.Holes = append(j.Holes.Holes, piping.HoleStep{At: p.at, Along: p.value})
		}
	}
	if fromPipe {
		j.mirror()
	}
	j.rule = piping.FlangeRule(o.Word("rule", string(piping.RP686Flange), string(piping.B313FlangeSI), string(piping.B313FlangeUS),
		string(piping.PCC1FlangeSI), string(piping.PCC1FlangeUS), string(piping.HandbookFlange)))
	return j
}

func (j *joint) mirror() {
	j.Faces = j.Faces.Mirrored()
	if j.Rim != nil {
		m := j.Rim.Mirrored()
		j.Rim = &m
	}
	if j.Holes != nil {
		m := j.Holes.Mirrored()
		j.Holes = &m
	}
}

// clocked is a reading at a clock position.
type clocked struct {
	at    align.Clock
	value unit.Length
}

// clocked reads a list of pairs such as [3, 0.12]: an hour of the clock and a
// reading.
func (r *jobReader) clocked(o record.Object, name string) (out []clocked) {
	for i, v := range o.List(name, 1) {
		field := fmt.Sprintf("%s[%d]", o.Path(name), i)
		pair, ok := v.([]any)
		if !ok || len(pair) != 2 {
			r.Fail(field, record.Show(v), "want a pair such as [3, 0.12]: a clock position in hours and a reading")
			return nil
		}
		at := r.Hour(field+"[0]", pair[0])
		n := r.Number(field+"[1]", pair[1])
		if r.Err() != nil {
			return nil
		}
		out = append(out, clocked{at, unit.Length(r.reading.SI(n))})
	}
	return out
}
