package main

import (
	"fmt"

	"collinear.example/align"
	"collinear.example/internal/record"
	"collinear.example/piping"
)

// test reads one strain test; indicators and places are those of the job.
func (r *jobReader) test(path string, v any) (t test) {
	o := r.Object(path, v, "name", "when", "note", "softFootCleared", "start", "steps")
	t.name, t.when, t.note = o.Text("name"), o.TextOr("when", ""), o.TextOr("note", "")
	t.StrainTest = r.common
	t.SoftFootCleared = o.Word("softFootCleared", "yes", "no") == "yes"
	if o.Has("start") {
		t.Start = r.readings(o, "start")
	}
	for i, v := range o.List("steps", 1) {
		t.Steps = append(t.Steps, r.step(fmt.Sprintf("%s.steps[%d]", path, i), v))
	}
	return t
}

func (r *jobReader) step(path string, v any) (s piping.Step) {
	o := r.Object(path, v, "name", "action", "group", "of", "readings", "zeroed", "undoes")
	s.Name, s.Undoes = o.Text("name"), o.TextOr("undoes", "")
	s.Action = map[string]piping.Action{
		"tighten": piping.Tighten, "loosen": piping.Loosen, "fit": piping.Fit, "remove": piping.Remove,
	}[o.Word("action", "tighten", "loosen", "fit", "remove")]
	s.Group = map[string]piping.Group{
		"feet": piping.Feet, "flange": piping.Flange, "support": piping.Support,
	}[o.Word("group", "feet", "flange", "support")]
	for i, v := range o.List("of", 1) {
		name, isText := v.(string)
		if !isText {
			r.Fail(fmt.Sprintf("%s[%d]", o.Path("of"), i), record.Show(v), "want a name")
			return s
		}
		s.Of = append(s.Of, name)
	}
	if o.Has("zeroed") {
		s.Rezeroed = o.Word("zeroed", "yes", "no") == "yes"
	}
	s.Readings = r.readings(o, "readings")
	return s
}

// readings reads one entry for each indicator; null is one that was not read.
func (r *jobReader) readings(o record.Object, name string) (out []piping.Reading) {
	list := o.List(name, 1)
	if r.Err() == nil && len(list) != len(r.common.Indicators) {
		r.Fail(o.Path(name), record.Show(list), fmt.Sprintf("want one entry for each of the %d indicators, null for one not read", len(r.common.Indicators)))
	}
	for i, v := range list {
		if v == nil {
			out = append(out, piping.Reading{})
			continue
		}
		n := r.Number(fmt.Sprintf("%s[%d]", o.Path(name), i), v)
		if r.Err() != nil {
			return nil
		}
		out = append(out, piping.Shows(align.Movement(r.reading.SI(n))))
	}
	return out
}
