package main

import (
	"fmt"

	"collinear.example/align"
	"collinear.example/internal/record"
	"collinear.example/piping"
	"gonum.org/v1/gonum/unit"
)

// job is the record in SI units and in the frame of package align.
type job struct {
	title, plant, note string
	length, reading    align.Unit
	machine, other     string
	tests              []test
	joints             []joint
}

// test is one strain test with its name and its day.
type test struct {
	name, when, note string
	piping.StrainTest
}

// joint is a surveyed flange joint with the rule it is judged by.
type joint struct {
	piping.FlangeJoint
	size piping.FlangeSize
	rule piping.FlangeRule
}

type jobReader struct {
	record.Reader
	job
	common piping.StrainTest // indicators and places, the same for all tests
}

// parseJob reads a job strictly.
func parseJob(data []byte) (*job, error) {
	tree, err := record.Parse(data)
	if err != nil {
		return nil, err
	}
	r := &jobReader{}
	o := r.Object("", tree, "title", "plant", "note", "units", "machine", "against", "shaft", "coupling", "feet", "nozzles", "held",
		"resolution", "indicators", "tests", "flanges")
	r.title, r.plant, r.note = o.Text("title"), o.TextOr("plant", ""), o.TextOr("note", "")
	u := o.Object("units", "length", "reading")
	r.length, r.reading = u.Unit("length", align.LengthDim), u.Unit("reading", align.LengthDim)
	r.machine, r.other = o.Text("machine"), o.Text("against")
	r.places(o)
	for i, v := range o.List("indicators", 1) {
		r.common.Indicators = append(r.common.Indicators, r.indicator(fmt.Sprintf("indicators[%d]", i), v))
	}
	for i, v := range o.List("tests", 1) {
		r.tests = append(r.tests, r.test(fmt.Sprintf("tests[%d]", i), v))
	}
	if o.Has("flanges") {
		for i, v := range o.List("flanges", 1) {
			r.joints = append(r.joints, r.joint(fmt.Sprintf("flanges[%d]", i), v))
		}
	}
	if err := r.Err(); err != nil {
		return nil, err
	}
	return &r.job, nil
}

// places reads the line of the shaft and the points whose movement is wanted.
func (r *jobReader) places(o record.Object) {
	t := &r.common
	s := o.Object("shaft", "height", "lateral")
	t.Shaft = align.Place{Y: s.Length("height", r.length), Z: s.Length("lateral", r.length)}
	for i, v := range o.List("coupling", 1) {
		x := r.Number(fmt.Sprintf("coupling[%d]", i), v)
		t.Coupling = append(t.Coupling, unit.Length(r.length.SI(x)))
	}
	t.Feet, t.Nozzles = r.points(o, "feet"), r.points(o, "nozzles")
	if o.Has("resolution") {
		t.Resolution = o.Length("resolution", r.reading)
	}
	if !o.Has("held") {
		return
	}
	for i, v := range o.List("held", 1) {
		way, isText := v.(string)
		at := map[string]*bool{
			"along": &t.Held.ShiftX, "up": &t.Held.ShiftY, "right": &t.Held.ShiftZ,
			"roll": &t.Held.TurnX, "swing": &t.Held.TurnY, "pitch": &t.Held.TurnZ,
		}[way]
		if !isText || at == nil {
			r.Fail(fmt.Sprintf("held[%d]", i), record.Show(v), "want one of: along, up, right, roll, swing, pitch")
			return
		}
		*at = true
	}
}

func (r *jobReader) points(o record.Object, name string) (out []piping.NamedPlace) {
	if !o.Has(name) {
		return nil
	}
	for i, v := range o.List(name, 1) {
		p := r.Object(fmt.Sprintf("%s[%d]", name, i), v, "name", "station", "height", "lateral")
		out = append(out, piping.NamedPlace{Name: p.Text("name"), At: p.Place(r.length)})
	}
	return out
}

// indicator reads a dial: where it touches, and in which direction the machine
// moves when the reading grows.
func (r *jobReader) indicator(path string, v any) (n piping.Indicator) {
	o := r.Object(path, v, "name", "station", "height", "lateral", "plus", "carrier", "touches")
	n.Name, n.At = o.Text("name"), o.Place(r.length)
	n.Toward = o.Direction("plus")
	switch o.Word("carrier", "base", "other shaft", "own shaft") {
	case "other shaft":
		n.Carrier = piping.OtherShaftCarried
	case "own shaft":
		n.Carrier = piping.OwnShaftCarried
	}
	switch o.Word("touches", "casing", "foot", "shaft") {
	case "foot":
		n.Touches = piping.Foot
	case "shaft":
		n.Touches = piping.Shaft
	}
	return n
}
