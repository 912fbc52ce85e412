package main

import (
	"fmt"

	"collinear.example/align"
	"collinear.example/internal/record"
	"collinear.example/runout"
	"collinear.example/softfoot"
	"gonum.org/v1/gonum/unit"
)

// survey is what was looked at and measured, in SI units and in the frame of
// package align.
type survey struct {
	title, plant, note string
	length, reading    align.Unit

	observations []softfoot.Observation
	foundation   *softfoot.Foundation
	base         softfoot.Base
	baseLimits   softfoot.BaseLimits
	stock        *softfoot.ShimStock
	feet         []foot
	shafts       []shaft
	hubs         []hub
}

// foot is one foot with the gaps at its corners, all bolts loose.
type foot struct {
	softfoot.Foot
	face  softfoot.FootFace
	wedge softfoot.Wedge // filled in by the work
}

// shaft is the runout of a shaft extension.
type shaft struct {
	name     string
	standard runout.Standard
	diameter unit.Length
	place    runout.Place
	sweep    align.Sweep
}

// hub is the runout of a coupling hub and of the shaft beside it.
type hub struct {
	name   string
	rule   runout.HandbookRule
	sweep  align.Sweep
	beside align.Sweep // empty: not read
}

type surveyReader struct {
	record.Reader
	s survey
}

// parseSurvey reads a survey strictly.
func parseSurvey(data []byte) (*survey, error) {
	tree, err := record.Parse(data)
	if err != nil {
		return nil, err
	}
	r := &surveyReader{}
	o := r.Object("", tree, "title", "plant", "note", "units", "looked", "foundation", "base", "shims", "feet", "shafts", "hubs")
	s := &r.s
	r.units(o)
	s.title, s.plant, s.note = o.Text("title"), o.TextOr("plant", ""), o.TextOr("note", "")
	r.each(o, "looked", r.observation)
	if o.Has("foundation") {
		r.foundation(o.Object("foundation", "kind", "block", "machines", "unit"))
	}
	if o.Has("base") {
		r.base(o.Object("base", "limits", "points"))
	}
	if o.Has("shims") {
		r.shims(o.Object("shims", "leaves", "most", "within"))
	}
	r.each(o, "feet", r.foot)
	r.each(o, "shafts", r.shaft)
	r.each(o, "hubs", r.hub)
	if err := r.Err(); err != nil {
		return nil, err
	}
	return s, nil
}

// each reads the entries of an optional list of objects.
func (r *surveyReader) each(o record.Object, name string, read func(path string, v any)) {
	if !o.Has(name) {
		return
	}
	for i, v := range o.List(name, 1) {
		if r.Err() != nil {
			return
		}
		read(fmt.Sprintf("%s[%d]", o.Path(name), i), v)
	}
}

func (r *surveyReader) units(o record.Object) {
	u := o.Object("units", "length", "reading")
	r.s.length = u.Unit("length", align.LengthDim)
	r.s.reading = u.Unit("reading", align.LengthDim)
}

func (r *surveyReader) distance(o record.Object, name string) unit.Length {
	return unit.Length(r.s.length.SI(o.Number(name)))
}

func (r *surveyReader) observation(path string, v any) {
	o := r.Object(path, v, "item", "finding", "place", "note")
	items := softfoot.Items()
	words := make([]string, len(items))
	for i, it := range items {
		words[i] = string(it)
	}
	item := o.Word("item", words...)
	findings := map[string]softfoot.Finding{"sound": softfoot.Sound, "slight": softfoot.Slight, "severe": softfoot.Severe}
	finding := o.Word("finding", "sound", "slight", "severe")
	r.s.observations = append(r.s.observations, softfoot.Observation{
		Item: softfoot.Item(item), Finding: findings[finding], Place: o.TextOr("place", ""), Note: o.TextOr("note", ""),
	})
}

func (r *surveyReader) foundation(o record.Object) {
	kinds := map[string]softfoot.MachineKind{"rotating": softfoot.Rotating, "reciprocating": softfoot.Reciprocating}
	kind := o.Word("kind", "rotating", "reciprocating")
	u := o.Word("unit", string(align.UnitKilogram), string(align.UnitPound))
	if r.Err() != nil {
		return
	}
	r.s.foundation = &softfoot.Foundation{
		Kind: kinds[kind], Block: align.Unit(u).SI(o.Number("block")), Machines: align.Unit(u).SI(o.Number("machines")),
	}
}

func (r *surveyReader) base(o record.Object) {
	name := o.Text("limits")
	if r.Err() != nil {
		return
	}
	limits, err := softfoot.BaseProfile(name)
	if err != nil {
		r.Fail(o.Path("limits"), record.Show(name), align.CodeOf(err)+", want the name of a set of limits such as api-686")
		return
	}
	r.s.baseLimits = limits
	r.each(o, "points", func(path string, v any) {
		p := r.Object(path, v, "pad", "station", "lateral", "height")
		r.s.base.Points = append(r.s.base.Points, softfoot.BasePoint{
			Pad: p.Text("pad"), Station: r.distance(p, "station"), Lateral: r.distance(p, "lateral"),
			Height: unit.Length(r.s.reading.SI(p.Number("height"))),
		})
	})
}

func (r *surveyReader) shims(o record.Object) {
	s := softfoot.ShimStock{MaxLeaves: int(o.Number("most")), Within: unit.Length(r.s.reading.SI(o.Number("within")))}
	if m := o.Number("most"); float64(int(m)) != m {
		r.Fail(o.Path("most"), record.Show(o.Field("most")), "want a whole number")
	}
	for i, v := range o.List("leaves", 1) {
		s.Leaves = append(s.Leaves, unit.Length(r.s.reading.SI(r.Number(fmt.Sprintf("%s[%d]", o.Path("leaves"), i), v))))
	}
	r.s.stock = &s
}

func (r *surveyReader) foot(path string, v any) {
	o := r.Object(path, v, "name", "station", "lateral", "length", "width", "gaps")
	f := foot{Foot: softfoot.Foot{Name: o.Text("name"), Station: r.distance(o, "station"), Lateral: r.distance(o, "lateral")}}
	length, width := r.distance(o, "length"), r.distance(o, "width")
	g := o.Object("gaps", "firstLeft", "firstRight", "lastLeft", "lastRight")
	if r.Err() != nil {
		return
	}
	at := func(name string) unit.Length { return unit.Length(r.s.reading.SI(g.Number(name))) }
	f.face = softfoot.FourCorners(length, width, softfoot.CornerGaps{
		FirstLeft: at("firstLeft"), FirstRight: at("firstRight"), LastLeft: at("lastLeft"), LastRight: at("lastRight"),
	})
	r.s.feet = append(r.s.feet, f)
}

// sweep reads marks and readings: [[degrees, reading], ...].
func (r *surveyReader) sweep(o record.Object, name string) align.Sweep {
	var s align.Sweep
	for i, v := range o.List(name, 3) {
		path := fmt.Sprintf("%s[%d]", o.Path(name), i)
		pair, ok := v.([]any)
		if !ok || len(pair) != 2 {
			r.Fail(path, record.Show(v), "want [degrees, reading]")
			return nil
		}
		s = append(s, align.Reading{
			At: align.Clock(r.Number(path+"[0]", pair[0])), Value: unit.Length(r.s.reading.SI(r.Number(path+"[1]", pair[1]))),
		})
	}
	return s
}

func (r *surveyReader) shaft(path string, v any) {
	o := r.Object(path, v, "name", "standard", "diameter", "place", "marks")
	places := map[string]runout.Place{"end": runout.EndOfExtension, "middle": runout.MiddleOfExtension}
	s := shaft{name: o.Text("name"), standard: runout.Standard(o.Text("standard")), diameter: r.distance(o, "diameter")}
	s.place = places[o.Word("place", "end", "middle")]
	s.sweep = r.sweep(o, "marks")
	r.s.shafts = append(r.s.shafts, s)
}

func (r *surveyReader) hub(path string, v any) {
	o := r.Object(path, v, "name", "rule", "marks", "shaftBeside")
	h := hub{name: o.Text("name")}
	name := o.Text("rule")
	if r.Err() != nil {
		return
	}
	rule, err := runout.NamedRule(name)
	if err != nil {
		r.Fail(o.Path("rule"), record.Show(name), "want pump-handbook or chiller-maker")
		return
	}
	h.rule, h.sweep = rule, r.sweep(o, "marks")
	if o.Has("shaftBeside") {
		h.beside = r.sweep(o, "shaftBeside")
	}
	r.s.hubs = append(r.s.hubs, h)
}
