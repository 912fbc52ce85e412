package main

import (
	"fmt"
	"slices"

	"collinear.example/align"
	"collinear.example/internal/record"
	"collinear.example/tolerance"
	"gonum.org/v1/gonum/unit"
)

// job is the record in SI units and in the frame of package align.
type job struct {
	title, plant, note string
	length, reading    align.Unit
	near, far          string // names of the machines
	misalignment       align.Axis
	sigma              unit.Length // standard uncertainty of an offset at either flex plane, in either plane
	axialGap           *unit.Length
	geometry           tolerance.Geometry
	sizes              map[string]string // of the coupling, by the id of the set
}

type jobReader struct {
	record.Reader
	job
	sets []tolerance.Set
}

// parseJob reads a job strictly. Sizes are named for one of the sets.
func parseJob(data []byte, sets []tolerance.Set) (*job, error) {
	tree, err := record.Parse(data)
	if err != nil {
		return nil, err
	}
	r := &jobReader{sets: sets}
	o := r.Object("", tree, "title", "plant", "note", "units", "speed", "machines", "coupling", "misalignment", "uncertainty", "axialGapError", "sizes")
	r.title, r.plant, r.note = o.Text("title"), o.TextOr("plant", ""), o.TextOr("note", "")
	u := o.Object("units", "length", "reading", "speed")
	r.length, r.reading = u.Unit("length", align.LengthDim), u.Unit("reading", align.LengthDim)
	speed := u.Unit("speed", align.FrequencyDim)
	n := o.Number("speed")
	if r.Err() == nil && n <= 0 {
		r.Fail("speed", record.Show(o.Field("speed"))+" "+string(speed), "must be greater than zero")
	}
	r.geometry.Speed = unit.Frequency(speed.SI(n))
	m := o.Object("machines", "near", "far")
	r.near, r.far = m.Text("near"), m.Text("far")
	r.coupling(o.Object("coupling", "flexPlanes", "hubFaces", "faceDiameter"))
	r.found(o)
	if o.Has("uncertainty") {
		r.sigma = r.read(o, "uncertainty")
		if r.Err() == nil && r.sigma < 0 {
			r.Fail("uncertainty", record.Show(o.Field("uncertainty"))+" "+string(r.reading), "must not be negative")
		}
	}
	if o.Has("axialGapError") {
		g := r.read(o, "axialGapError")
		r.axialGap = &g
	}
	r.readSizes(o)
	if err := r.Err(); err != nil {
		return nil, err
	}
	return &r.job, nil
}

func (r *jobReader) distance(o record.Object, name string) unit.Length {
	v := o.Number(name)
	if r.Err() != nil {
		return 0
	}
	return unit.Length(r.length.SI(v))
}

func (r *jobReader) read(o record.Object, name string) unit.Length {
	v := o.Number(name)
	if r.Err() != nil {
		return 0
	}
	return unit.Length(r.reading.SI(v))
}

// leastSpan is the least distance taken as meant.
const leastSpan = align.Millimetre

func (r *jobReader) coupling(o record.Object) {
	g := &r.geometry
	g.NearFlex, g.FarFlex = r.pair(o, "flexPlanes")
	g.NearFace, g.FarFace = g.NearFlex, g.FarFlex
	if o.Has("hubFaces") {
		g.NearFace, g.FarFace = r.pair(o, "hubFaces")
	}
	if o.Has("faceDiameter") {
		g.FaceDiameter = r.distance(o, "faceDiameter")
		if r.Err() == nil && g.FaceDiameter < leastSpan {
			r.Fail(o.Path("faceDiameter"), record.Show(o.Field("faceDiameter"))+" "+string(r.length), "must be 1 mm or more")
		}
	}
}

// pair reads two stations, the near one first.
func (r *jobReader) pair(o record.Object, name string) (x1, x2 unit.Length) {
	list := o.List(name, 2)
	if r.Err() == nil && len(list) != 2 {
		r.Fail(o.Path(name), record.Show(list), "want two stations")
	}
	if r.Err() != nil {
		return 0, 0
	}
	at := func(i int) unit.Length {
		return unit.Length(r.length.SI(r.Number(fmt.Sprintf("%s[%d]", o.Path(name), i), list[i])))
	}
	x1, x2 = at(0), at(1)
	if r.Err() == nil && x2-x1 < leastSpan {
		r.Fail(o.Path(name), record.Show(list), "want the near station first and the far one 1 mm or more beyond it")
	}
	return x1, x2
}

func (r *jobReader) found(o record.Object) {
	list := o.List("misalignment", 2)
	if r.Err() == nil && len(list) != 2 {
		r.Fail("misalignment", record.Show(list), "want the offsets at two stations")
	}
	var x [2]unit.Length
	var at [2]align.Offset
	for i, v := range list {
		if r.Err() != nil {
			return
		}
		p := r.Object(fmt.Sprintf("misalignment[%d]", i), v, "station", "vertical", "horizontal")
		x[i], at[i] = r.distance(p, "station"), align.Offset{Vertical: r.read(p, "vertical"), Horizontal: r.read(p, "horizontal")}
	}
	if r.Err() != nil {
		return
	}
	e, err := align.AxisThrough(x[0], at[0], x[1], at[1])
	if err != nil {
		r.Set(record.FromLibrary(align.In(err, "misalignment")))
	}
	r.misalignment = e
}

func (r *jobReader) readSizes(o record.Object) {
	r.sizes = map[string]string{}
	if !o.Has("sizes") {
		return
	}
	for i, v := range o.List("sizes", 1) {
		path := fmt.Sprintf("sizes[%d]", i)
		s := r.Object(path, v, "set", "size")
		set, size := s.Text("set"), s.Text("size")
		if r.Err() != nil {
			return
		}
		if _, twice := r.sizes[set]; twice {
			r.Fail(path+".set", record.Show(set), "is given twice")
		}
		if !slices.ContainsFunc(r.sets, func(s tolerance.Set) bool { return s.ID == set }) {
			r.Fail(path+".set", record.Show(set), "is not one of the sets of limits")
		}
		r.sizes[set] = size
	}
}
