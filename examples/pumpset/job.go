package main

import (
	"fmt"
	"math"
	"strconv"

	"collinear.example/align"
	"collinear.example/internal/record"
	"collinear.example/tolerance"
	"gonum.org/v1/gonum/unit"
)

// job is one alignment job, in SI units and in the frame of package align.
type job struct {
	title, plant, citation, note string

	length  align.Unit // of stations and diameters, as recorded
	reading align.Unit // of readings, sag and moves, as recorded
	speed   string     // as recorded, with its unit; "" when not given

	near, far  machine
	moving     align.Shaft
	flexPlanes []unit.Length // none, one or two
	limits     *tolerance.Set
	turning    unit.Frequency // zero when the job does not say

	method    string
	sigma     unit.Length // standard uncertainty of one reading; zero: not given
	dials     []dial
	target    *target
	published []published
}

// machine is one of the two machines.
type machine struct {
	name string
	feet []foot // none: not given
}

// foot is a pair of feet that stand at one station.
type foot struct {
	name    string
	station unit.Length
}

// dial is one indicator with the sets of readings as they were written down.
type dial struct {
	align.Dial // Sweep is filled in later
	against    bool
	sagTest    string
	sagReading unit.Length
	sets       []align.Sweep // in the frame of package align

	repeatability unit.Length // largest difference between sets; 0 for one set
}

// target is the position wanted when the machines stand still: far less near.
type target struct {
	why  string
	axis align.Axis
}

// published is a printed answer to hold against the job's own.
type published struct {
	shaft     align.Shaft
	foot      string
	vertical  bool
	height    bool // the printed figure is the height of the shaft at the foot, not the move
	printed   string
	value     unit.Length
	tolerance unit.Length
	reason    string
}

// The methods a job may name.
const (
	methodReverse = "reverse-indicator"
	methodRimFace = "rim-and-face"
	methodDials   = "dials"
)

// Sizes beyond which a number is taken for a slip of the pen or of the unit,
// and the least distance over which a slope is worth anything.
const (
	maxStation = 1000 * align.Metre
	maxReading = 1 * align.Metre
	leastSpan  = 1 * align.Millimetre
)

// machine returns one of the two machines.
func (j *job) machine(s align.Shaft) *machine {
	if s == align.Near {
		return &j.near
	}
	return &j.far
}

// jobReader reads a job; the units come first.
type jobReader struct {
	record.Reader
	job job
}

// parseJob reads a job strictly: unknown fields, missing units and values of the
// wrong type are refused, and what is missing is never taken for zero.
func parseJob(data []byte) (*job, error) {
	tree, err := record.Parse(data)
	if err != nil {
		return nil, err
	}
	r := &jobReader{}
	r.read(tree)
	if r.Err() != nil {
		return nil, r.Err()
	}
	return &r.job, nil
}

func (r *jobReader) read(tree any) {
	o := r.Object("", tree, "title", "plant", "citation", "note", "units", "speed", "machines", "moving", "flexPlanes", "limits",
		"method", "readingUncertainty", "dials", "target", "published")
	j := &r.job
	r.units(o)
	j.title = o.Text("title")
	j.plant = o.TextOr("plant", "")
	j.citation = o.TextOr("citation", "")
	j.note = o.TextOr("note", "")
	r.machines(o)
	r.flexPlanes(o)
	r.limits(o)
	j.method = o.Word("method", methodReverse, methodRimFace, methodDials)
	if o.Has("readingUncertainty") {
		j.sigma = r.measured(o, "readingUncertainty", maxReading)
		if j.sigma <= 0 {
			r.Fail("readingUncertainty", record.Show(o.Field("readingUncertainty")), "must be greater than zero; leave it out when it is not known")
		}
	}
	for i, v := range o.List("dials", 1) {
		if r.Err() != nil {
			return
		}
		j.dials = append(j.dials, r.dial(fmt.Sprintf("dials[%d]", i), i, v))
	}
	r.checkMethod()
	r.checkSpan()
	r.target(o)
	r.published(o)
}

func (r *jobReader) units(o record.Object) {
	u := o.Object("units", "length", "reading", "speed")
	r.job.length = u.Unit("length", align.LengthDim)
	r.job.reading = u.Unit("reading", align.LengthDim)
	if !o.Has("speed") && !u.Has("speed") {
		return
	}
	su := u.Unit("speed", align.FrequencyDim)
	v := o.Number("speed")
	if r.Err() == nil && !(v > 0 && v < 1e6) {
		r.Fail("speed", record.Show(o.Field("speed"))+" "+string(su), "is out of range")
	}
	r.job.turning = unit.Frequency(su.SI(v))
	r.job.speed = strconv.FormatFloat(v, 'f', -1, 64) + " " + string(su)
}

// distance reads a length in the unit of stations.
func (r *jobReader) distance(o record.Object, name string) unit.Length {
	v := o.Number(name)
	return r.lengthOf(o.Path(name), v, r.job.length, maxStation)
}

// measured reads a length in the unit of readings.
func (r *jobReader) measured(o record.Object, name string, limit unit.Length) unit.Length {
	v := o.Number(name)
	return r.lengthOf(o.Path(name), v, r.job.reading, limit)
}

func (r *jobReader) lengthOf(field string, v float64, u align.Unit, limit unit.Length) unit.Length {
	if r.Err() != nil {
		return 0
	}
	si := u.SI(v)
	if math.Abs(si) > float64(limit) {
		r.Fail(field, fmt.Sprintf("%g %s", v, u), fmt.Sprintf("is out of range (more than %g m)", float64(limit)))
	}
	return unit.Length(si)
}

func (r *jobReader) machines(o record.Object) {
	m := o.Object("machines", "near", "far")
	r.job.near = r.machine(m, "near")
	r.job.far = r.machine(m, "far")
	r.job.moving = r.shaft(o, "moving")
	if r.Err() != nil {
		return
	}
	if len(r.job.machine(r.job.moving).feet) == 0 {
		r.Fail("machines."+r.job.moving.String()+".feet", "", "is missing, and this is the machine to move")
	}
	if r.job.near.name == r.job.far.name {
		r.Fail("machines.far.name", record.Show(r.job.far.name), "both machines have this name")
	}
	for _, n := range r.job.near.feet {
		for i, f := range r.job.far.feet {
			if f.station <= n.station {
				r.Fail(fmt.Sprintf("machines.far.feet[%d].station", i), r.station(f.station),
					"must be larger than every station of the near machine's feet")
			}
		}
	}
}

func (r *jobReader) station(x unit.Length) string {
	return strconv.FormatFloat(r.job.length.FromSI(float64(x)), 'g', 10, 64) + " " + string(r.job.length)
}

func (r *jobReader) machine(o record.Object, which string) (m machine) {
	mo := o.Object(which, "name", "feet")
	m.name = mo.Text("name")
	if !mo.Has("feet") {
		return m
	}
	for i, v := range mo.List("feet", 2) {
		field := fmt.Sprintf("%s.feet[%d]", mo.Where(), i)
		fo := r.Object(field, v, "name", "station")
		f := foot{fo.Text("name"), r.distance(fo, "station")}
		if r.Err() != nil {
			return m
		}
		for _, other := range m.feet {
			if other.name == f.name {
				r.Fail(field+".name", record.Show(f.name), "is given twice")
			}
			if math.Abs(float64(other.station-f.station)) < float64(leastSpan) {
				r.Fail(field+".station", r.station(f.station), "two pairs of feet stand at the same station")
			}
		}
		m.feet = append(m.feet, f)
	}
	return m
}

func (r *jobReader) shaft(o record.Object, name string) align.Shaft {
	if o.Word(name, "near", "far") == "far" {
		return align.Far
	}
	return align.Near
}

// limits looks up the limits that the job names.
func (r *jobReader) limits(o record.Object) {
	if !o.Has("limits") {
		return
	}
	id := o.Text("limits")
	if r.Err() != nil {
		return
	}
	set, err := tolerance.FindSet(id)
	switch {
	case err != nil:
		r.Fail("limits", record.Show(id), "is not a built-in set of limits")
	case len(r.job.flexPlanes) != 2:
		r.Fail("limits", record.Show(id), "needs the two flex planes of the coupling")
	}
	r.job.limits = &set
}

func (r *jobReader) flexPlanes(o record.Object) {
	if !o.Has("flexPlanes") {
		return
	}
	list := o.List("flexPlanes", 1)
	if len(list) > 2 {
		r.Fail("flexPlanes", record.Show(list), "want one or two")
	}
	for i, v := range list {
		field := fmt.Sprintf("flexPlanes[%d]", i)
		x := r.lengthOf(field, r.Number(field, v), r.job.length, maxStation)
		r.job.flexPlanes = append(r.job.flexPlanes, x)
		if i == 1 && r.Err() == nil && x-r.job.flexPlanes[0] < leastSpan {
			r.Fail(field, r.station(x), "must be larger than the first one")
		}
	}
}

// checkMethod holds the dials against the named method.
func (r *jobReader) checkMethod() {
	if r.Err() != nil || r.job.method == methodDials {
		return
	}
	d := r.job.dials
	if len(d) != 2 {
		r.Fail("dials", fmt.Sprintf("a list of %d", len(d)), r.job.method+" takes two dials")
		return
	}
	rims := 0
	for i := range d {
		if d[i].Surface == align.Rim {
			rims++
		}
	}
	switch {
	case r.job.method == methodReverse && rims != 2:
		r.Fail("dials", fmt.Sprintf("%d on a rim", rims), "reverse-indicator takes two dials on rims")
	case r.job.method == methodReverse && d[0].Bracket == d[1].Bracket:
		r.Fail("dials[1].bracket", record.Show(d[1].Bracket.String()), "reverse-indicator takes a bracket on each shaft")
	case r.job.method == methodRimFace && rims != 1:
		r.Fail("dials", fmt.Sprintf("%d on a rim", rims), "rim-and-face takes one dial on the rim and one on the face")
	case r.job.method == methodRimFace && d[0].Bracket != d[1].Bracket:
		r.Fail("dials[1].bracket", record.Show(d[1].Bracket.String()), "rim-and-face takes both dials on one bracket")
	}
}

// checkSpan refuses rim dials that all stand at nearly the same station when no
// face dial gives the slope.
func (r *jobReader) checkSpan() {
	if r.Err() != nil {
		return
	}
	lo, hi := r.job.span()
	if hi-lo < leastSpan {
		r.Fail("dials", "", "all dials stand at the same station: no slope can be found between them")
	}
}

// span is the stretch of the train over which the dials fix the line: from the
// first rim station to the last. A face dial of swept diameter D fixes the slope
// as two rim dials would that stand D apart.
func (j *job) span() (lo, hi unit.Length) {
	first := true
	widest := unit.Length(0)
	for i := range j.dials {
		d := &j.dials[i]
		if d.Surface != align.Rim {
			widest = max(widest, d.Diameter)
			continue
		}
		if first {
			lo, hi, first = d.Station, d.Station, false
		}
		lo, hi = min(lo, d.Station), max(hi, d.Station)
	}
	if hi-lo < widest {
		mid := (lo + hi) / 2
		lo, hi = mid-widest/2, mid+widest/2
	}
	return lo, hi
}
