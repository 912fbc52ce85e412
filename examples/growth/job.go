package main

import (
	"fmt"
	"strings"

	"collinear.example/align"
	"collinear.example/internal/record"
	"collinear.example/thermal"
	"collinear.example/tolerance"
	"gonum.org/v1/gonum/unit"
)

// job is the record in SI units and in the frame of package align.
type job struct {
	title, plant, note string
	length, movement   align.Unit
	temperature        align.Unit

	near, far    machine
	spool        align.Spool
	limit        align.Limit // deviation over the flex separation
	limitWarning []align.Warning
	mode         thermal.Mode
	states       []state
	asFound      *align.Axis
	dials        []dial
}

// machine is one machine with the two places it rests at, cold.
type machine struct {
	name     string
	supports []support
}

type support struct {
	name     string
	station  unit.Length
	height   unit.Length
	material thermal.Material
	cold     unit.Temperature
}

// state is one way in which the machines stand.
type state struct {
	name      string
	widen     float64 // how much wider the limits are; 1 when not said
	near, far motion
}

// motion is what moves one shaft: measured, or worked out from the supports.
type motion struct {
	measured *thermal.MeasuredMovement
	layers   [][]thermal.Layer // by support; one layer without height stands for all of it
	moves    [][]thermal.Contribution
}

type dial struct {
	align.Dial
	against bool // its record is written by a person who looks along -x
}

const supportsOfMachine = 2

type jobReader struct {
	record.Reader
	job
	materials map[string]thermal.Material
	cold      unit.Temperature
}

// parseJob reads a job strictly.
func parseJob(data []byte) (*job, error) {
	tree, err := record.Parse(data)
	if err != nil {
		return nil, err
	}
	r := &jobReader{}
	o := r.Object("", tree, "title", "plant", "note", "units", "cold", "materials", "near", "far", "coupling", "judge", "states", "asFound", "dials")
	r.title, r.plant, r.note = o.Text("title"), o.TextOr("plant", ""), o.TextOr("note", "")
	r.units(o.Object("units", "length", "movement", "temperature"))
	r.cold = r.temperatureOf("cold", o.Number("cold"))
	r.readMaterials(o)
	r.near = r.machine(o.Object("near", "name", "supports"))
	r.far = r.machine(o.Object("far", "name", "supports"))
	r.coupling(o.Object("coupling", "flexPlanes", "limits"))
	if o.Word("judge", "each-plane", "resultant") == "resultant" {
		r.mode = thermal.Resultant
	}
	for i, v := range o.List("states", 1) {
		r.states = append(r.states, r.state(fmt.Sprintf("states[%d]", i), v))
	}
	if o.Has("asFound") {
		r.readAsFound(o)
	}
	if o.Has("dials") {
		for i, v := range o.List("dials", 1) {
			r.dials = append(r.dials, r.dial(fmt.Sprintf("dials[%d]", i), v))
		}
	}
	if err := r.Err(); err != nil {
		return nil, err
	}
	return &r.job, nil
}

func (r *jobReader) units(o record.Object) {
	r.length = o.Unit("length", align.LengthDim)
	r.movement = o.Unit("movement", align.LengthDim)
	r.temperature = o.Unit("temperature", align.TemperatureDim)
}

func (r *jobReader) temperatureOf(field string, v float64) unit.Temperature {
	if r.Err() != nil {
		return 0
	}
	t := unit.Temperature(r.temperature.SI(v))
	if t <= 0 {
		r.Fail(field, fmt.Sprintf("%g %s", v, r.temperature), "is at or below absolute zero")
	}
	return t
}

func (r *jobReader) distance(o record.Object, name string) unit.Length {
	v := o.Number(name)
	if r.Err() != nil {
		return 0
	}
	return unit.Length(r.length.SI(v))
}

func (r *jobReader) moved(o record.Object, name string) unit.Length {
	v := o.Number(name)
	if r.Err() != nil {
		return 0
	}
	return unit.Length(r.movement.SI(v))
}

func (r *jobReader) offset(o record.Object) align.Offset {
	return align.Offset{Vertical: r.moved(o, "vertical"), Horizontal: r.moved(o, "horizontal")}
}

// readMaterials looks up the materials the job names; one name can have several
// right values, so the variant is part of the choice.
func (r *jobReader) readMaterials(o record.Object) {
	r.materials = map[string]thermal.Material{}
	for i, v := range o.List("materials", 1) {
		path := fmt.Sprintf("materials[%d]", i)
		m := r.Object(path, v, "as", "name", "variant")
		as, name, variant := m.Text("as"), m.Text("name"), m.Text("variant")
		if r.Err() != nil {
			return
		}
		var variants []string
		found := false
		for _, one := range thermal.Find(name) {
			variants = append(variants, one.Variant)
			if one.Variant == variant {
				r.materials[as], found = one, true
			}
		}
		switch {
		case len(variants) == 0:
			r.Fail(path+".name", record.Show(name), "is not a material of the library; there are: "+strings.Join(materialNames(), ", "))
		case !found:
			r.Fail(path+".variant", record.Show(variant), "is not known of "+name+"; there are: "+strings.Join(variants, "; "))
		}
	}
}

func materialNames() []string {
	var out []string
	for _, m := range thermal.Materials() {
		if len(out) == 0 || out[len(out)-1] != m.Name {
			out = append(out, m.Name)
		}
	}
	return out
}

func (r *jobReader) machine(o record.Object) (m machine) {
	m.name = o.Text("name")
	list := o.List("supports", supportsOfMachine)
	if r.Err() == nil && len(list) != supportsOfMachine {
		r.Fail(o.Path("supports"), record.Show(list), "want the two places along the shaft where the machine rests")
	}
	for i, v := range list {
		path := fmt.Sprintf("%s[%d]", o.Path("supports"), i)
		s := r.Object(path, v, "name", "station", "height", "material")
		one := support{name: s.Text("name"), station: r.distance(s, "station"), height: r.distance(s, "height"), cold: r.cold}
		as := s.Text("material")
		material, known := r.materials[as]
		if r.Err() == nil && !known {
			r.Fail(s.Path("material"), record.Show(as), "is not one of the job's materials")
		}
		one.material = material
		m.supports = append(m.supports, one)
	}
	return m
}

// coupling reads the flex planes and looks up the limit of the deviation there.
func (r *jobReader) coupling(o record.Object) {
	planes := o.List("flexPlanes", 2)
	if r.Err() == nil && len(planes) != 2 {
		r.Fail(o.Path("flexPlanes"), record.Show(planes), "want two stations")
	}
	id := o.Text("limits")
	if r.Err() != nil {
		return
	}
	at := func(i int) unit.Length {
		return unit.Length(r.length.SI(r.Number(fmt.Sprintf("%s[%d]", o.Path("flexPlanes"), i), planes[i])))
	}
	r.spool = align.Spool{NearFlex: at(0), FarFlex: at(1)}
	if err := r.spool.Check(); err != nil && r.Err() == nil {
		r.Set(record.FromLibrary(align.In(err, "coupling.flexPlanes")))
	}
	set, err := tolerance.FindSet(id)
	if err != nil {
		r.Fail(o.Path("limits"), record.Show(id), "is not a built-in set of limits")
		return
	}
	for _, t := range set.Tables {
		if t.Quantity != tolerance.FlexDeviation {
			continue
		}
		g := tolerance.Geometry{NearFlex: r.spool.NearFlex, FarFlex: r.spool.FarFlex}
		if r.limit, r.limitWarning, err = t.Limit(g); err != nil {
			r.Set(record.FromLibrary(align.In(err, o.Path("limits"))))
		}
		return
	}
	r.Fail(o.Path("limits"), record.Show(id), "does not limit the deviation at the flex planes")
}

func (r *jobReader) readAsFound(o record.Object) {
	var at [2]unit.Length
	var offsets [2]align.Offset
	list := o.List("asFound", 2)
	if r.Err() == nil && len(list) != 2 {
		r.Fail("asFound", record.Show(list), "want the offsets at two stations")
	}
	for i, v := range list {
		if r.Err() != nil {
			return
		}
		p := r.Object(fmt.Sprintf("asFound[%d]", i), v, "station", "vertical", "horizontal")
		at[i], offsets[i] = r.distance(p, "station"), r.offset(p)
	}
	if r.Err() != nil {
		return
	}
	a, err := align.AxisThrough(at[0], offsets[0], at[1], offsets[1])
	if err != nil {
		r.Set(record.FromLibrary(align.In(err, "asFound")))
	}
	r.asFound = &a
}

func (r *jobReader) dial(path string, v any) (d dial) {
	o := r.Object(path, v, "name", "bracket", "station", "recorded", "sag")
	d.Name, d.Station = o.Text("name"), r.distance(o, "station")
	if o.Word("bracket", "near", "far") == "far" {
		d.Bracket = align.Far
	}
	d.against = o.Word("recorded", "near-to-far", "far-to-near") == "far-to-near"
	d.Sag = align.RollOver(r.moved(o, "sag"))
	return d
}
