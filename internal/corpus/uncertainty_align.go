package corpus

import (
	"math"

	"collinear.example/align"
	"collinear.example/uncertainty"
	"gonum.org/v1/gonum/unit"
)

// alignmentJob is a reverse-indicator or a rim-and-face set with what is asked of
// it.
type alignmentJob struct {
	reverse  *align.ReverseIndicator
	face     *align.RimAndFace
	stations []unit.Length
	// feet are those of the near and the far machine; asked says which count.
	feet  [2]align.Feet
	asked [2]bool
}

func copyAlignmentJob(dst, src *alignmentJob) {
	reverse, face, stations := dst.reverse, dst.face, dst.stations
	*dst = *src
	dst.stations = append(stations[:0], src.stations...)
	if src.reverse != nil {
		if reverse == nil {
			reverse = new(align.ReverseIndicator)
		}
		uncertainty.CopyReverse(reverse, src.reverse)
		dst.reverse = reverse
	}
	if src.face != nil {
		if face == nil {
			face = new(align.RimAndFace)
		}
		uncertainty.CopyRimAndFace(face, src.face)
		dst.face = face
	}
}

func (j *alignmentJob) solve() (align.Position, error) {
	if j.reverse != nil {
		return j.reverse.Solve()
	}
	return j.face.Solve()
}

// compute gives slopes, offsets at the stations and moves at the feet, vertical
// before horizontal, in the order of outputs.
func (j *alignmentJob) compute(out []float64) error {
	p, err := j.solve()
	if err != nil {
		return err
	}
	if !p.VerticalKnown || !p.HorizontalKnown {
		return fault("input", "one plane only", align.ErrTooFewPositions)
	}
	s := p.Slope()
	out[0], out[1] = s.Vertical, s.Horizontal
	k := 2
	put := func(o align.Offset) {
		out[k], out[k+1] = float64(o.Vertical), float64(o.Horizontal)
		k += 2
	}
	for _, x := range j.stations {
		put(p.At(x))
	}
	if j.asked[0] {
		m := p.MoveNearFeet(j.feet[0])
		put(align.Offset(m.Inboard))
		put(align.Offset(m.Outboard))
	}
	if j.asked[1] {
		m := p.MoveFarFeet(j.feet[1])
		put(align.Offset(m.Inboard))
		put(align.Offset(m.Outboard))
	}
	return nil
}

// alignmentModel is the model of one of the two jobs.
func (in *modelInput) alignmentModel() (*uncertainty.Model[alignmentJob], error) {
	job, ask, err := in.job()
	if err != nil {
		return nil, err
	}
	if in.Inputs != nil {
		return nil, fault("input.inputs", "not of an alignment job", align.ErrMismatch)
	}
	if ask.Target != nil {
		return nil, fault("input.ask.target", "a target adds nothing to the uncertainty", align.ErrMismatch)
	}
	if err := ask.check(); err != nil {
		return nil, err
	}
	outputs := planeOutputs("slope", align.UnitOne)
	for _, s := range ask.Stations {
		job.stations = append(job.stations, unit.Length(s.At))
		outputs = append(outputs, planeOutputs("offset."+s.Name, align.UnitMetre)...)
	}
	for i, f := range []*feetInput{ask.Near, ask.Far} {
		if f == nil {
			continue
		}
		job.feet[i], job.asked[i] = f.feet(), true
		machine := []string{"near", "far"}[i]
		outputs = append(outputs, planeOutputs(machine+".inboard", align.UnitMetre)...)
		outputs = append(outputs, planeOutputs(machine+".outboard", align.UnitMetre)...)
	}
	m := &uncertainty.Model[alignmentJob]{
		Job: job, Copy: copyAlignmentJob, Correlations: correlationsOf(in.Correlations), Outputs: outputs,
		Compute: func(j *alignmentJob, out []float64) error { return j.compute(out) },
	}
	for i := range in.Sources {
		s, err := in.Sources[i].sources(indexed("input.sources", i), &m.Job)
		if err != nil {
			return nil, err
		}
		for _, one := range s {
			m.Sources = append(m.Sources, one.In(groupOf(i)))
		}
	}
	return m, nil
}

func planeOutputs(name string, u align.Unit) []uncertainty.Output {
	return []uncertainty.Output{{Name: name + ".vertical", Unit: u}, {Name: name + ".horizontal", Unit: u}}
}

func (in *modelInput) job() (job alignmentJob, ask *asked, err error) {
	if r := in.ReverseIndicator; r != nil {
		far, err := r.OnFar.dial("input.reverseIndicator.onFar", align.Rim, true)
		if err != nil {
			return job, nil, err
		}
		near, err := r.OnNear.dial("input.reverseIndicator.onNear", align.Rim, true)
		job.reverse = &align.ReverseIndicator{OnFar: far, OnNear: near, Sigma: r.Sigma.Of()}
		return job, question(r.Ask), err
	}
	r := in.RimAndFace
	bracket, err := shaftOf("input.rimAndFace.bracket", r.Bracket)
	if err != nil {
		return job, nil, err
	}
	rim, err := r.Rim.dial("input.rimAndFace.rim", align.Rim, true)
	if err != nil {
		return job, nil, err
	}
	face, err := r.Face.dial("input.rimAndFace.face", align.FaceToward, true)
	job.face = &align.RimAndFace{Bracket: bracket, Rim: rim, Face: face, Sigma: r.Sigma.Of()}
	return job, question(r.Ask), err
}

// dials are the ways to a dial of a job, by its word.
func (j *alignmentJob) dials() map[Kind]dialOf {
	if j.reverse != nil {
		return map[Kind]dialOf{
			"on-far":  func(j *alignmentJob) *align.Dial { return &j.reverse.OnFar },
			"on-near": func(j *alignmentJob) *align.Dial { return &j.reverse.OnNear },
		}
	}
	return map[Kind]dialOf{
		"rim":  func(j *alignmentJob) *align.Dial { return &j.face.Rim },
		"face": func(j *alignmentJob) *align.Dial { return &j.face.Face },
	}
}

// feetFields are the ways to the stations of the feet, by their words.
var feetFields = map[Kind]func(*alignmentJob) *unit.Length{
	"near-inboard":  func(j *alignmentJob) *unit.Length { return &j.feet[0].Inboard },
	"near-outboard": func(j *alignmentJob) *unit.Length { return &j.feet[0].Outboard },
	"far-inboard":   func(j *alignmentJob) *unit.Length { return &j.feet[1].Inboard },
	"far-outboard":  func(j *alignmentJob) *unit.Length { return &j.feet[1].Outboard },
}

// sources are those that one entry of an input stands for.
func (s *modelSourceInput) sources(path string, job *alignmentJob) (out []uncertainty.Source[alignmentJob], err error) {
	if s.Of != "" {
		return nil, fault(path+".of", s.Of, align.ErrMismatch)
	}
	if s.Distribution.Kind == "repeats" {
		return nil, fault(path+".distribution.kind", "the readings stand in the job", align.ErrMismatch)
	}
	what, err := kindFrom(path+".vary", s.Vary, variable{}, variables)
	if err != nil {
		return nil, err
	}
	if what.of == nil {
		return nil, fault(path+".vary", "", align.ErrMissing)
	}
	dials, err := s.dials(path, job, what.dials)
	if err != nil {
		return nil, err
	}
	if (s.Foot != nil) != what.foot {
		return nil, fault(path+".foot", "", align.ErrMismatch)
	}
	foot, err := kindFrom(path+".foot", s.Foot, nil, feetFields)
	if err != nil {
		return nil, err
	}
	d, _, err := s.Distribution.parse(path+".distribution", what.dim, what.scale)
	if err != nil {
		return nil, err
	}
	return what.of(varied{s.Name, d, job, dials, foot}), nil
}

// dials are the dials that a source names.
func (s *modelSourceInput) dials(path string, job *alignmentJob, needed bool) (out []dialOf, err error) {
	if needed == (len(s.Dials) == 0) {
		return nil, fault(path+".dials", "", align.ErrMismatch)
	}
	for i := range s.Dials {
		d, err := kindFrom(indexed(path+".dials", i), &s.Dials[i], nil, job.dials())
		if err != nil {
			return nil, err
		}
		out = append(out, d)
	}
	return out, nil
}

// dialOf leads to a dial of a job.
type dialOf = func(*alignmentJob) *align.Dial

// varied is what a variable is made from.
type varied struct {
	name  string
	d     uncertainty.Distribution[float64]
	job   *alignmentJob
	dials []dialOf
	foot  func(*alignmentJob) *unit.Length
}

func (v varied) length() uncertainty.Distribution[unit.Length] {
	return uncertainty.Distribution[unit.Length](v.d)
}

// variable is a word for what can be varied of an alignment job: the kind of its
// deviation, and what turns that into the unit of the field.
type variable struct {
	dim         align.Dimension
	scale       float64
	dials, foot bool // which it needs
	of          func(varied) []uncertainty.Source[alignmentJob]
}

var variables = map[Kind]variable{
	"readings": {align.LengthDim, 1, true, false, func(v varied) (out []uncertainty.Source[alignmentJob]) {
		for _, dial := range v.dials {
			out = append(out, uncertainty.Readings(v.name, v.length(), v.job, dial)...)
		}
		return out
	}},
	"clock-angles": {align.AngleDim, 180 / math.Pi, true, false, func(v varied) (out []uncertainty.Source[alignmentJob]) {
		for _, dial := range v.dials {
			out = append(out, uncertainty.ClockAngles(v.name, uncertainty.Distribution[align.Clock](v.d), v.job, dial)...)
		}
		return out
	}},
	"sag": {align.LengthDim, 1, true, false, func(v varied) []uncertainty.Source[alignmentJob] {
		return []uncertainty.Source[alignmentJob]{uncertainty.SagTest(v.name, v.length(), v.dials...)}
	}},
	"station": {align.LengthDim, 1, true, false, func(v varied) []uncertainty.Source[alignmentJob] {
		return v.together(func(d *align.Dial) *unit.Length { return &d.Station })
	}},
	"diameter": {align.LengthDim, 1, true, false, func(v varied) []uncertainty.Source[alignmentJob] {
		return v.together(func(d *align.Dial) *unit.Length { return &d.Diameter })
	}},
	"foot": {align.LengthDim, 1, false, true, func(v varied) []uncertainty.Source[alignmentJob] {
		return []uncertainty.Source[alignmentJob]{uncertainty.Vary(v.name, v.length(), v.foot)}
	}},
	"tape": {align.RatioDim, 1, false, false, func(v varied) []uncertainty.Source[alignmentJob] {
		return []uncertainty.Source[alignmentJob]{uncertainty.Tape(v.name, v.d, v.job.distances()...)}
	}},
}

// together moves one field of all the dials named by the same.
func (v varied) together(field func(*align.Dial) *unit.Length) []uncertainty.Source[alignmentJob] {
	fields := make([]func(*alignmentJob) *unit.Length, len(v.dials))
	for i, dial := range v.dials {
		fields[i] = func(j *alignmentJob) *unit.Length { return field(dial(j)) }
	}
	return []uncertainty.Source[alignmentJob]{uncertainty.Together(v.name, v.length(), fields...)}
}

// distances are all that a tape measured along the train: the stations of the
// dials, those asked for and those of the feet.
func (j *alignmentJob) distances() (out []func(*alignmentJob) *unit.Length) {
	for _, dial := range j.dials() {
		out = append(out, func(j *alignmentJob) *unit.Length { return &dial(j).Station })
	}
	for i := range j.stations {
		out = append(out, func(j *alignmentJob) *unit.Length { return &j.stations[i] })
	}
	for _, foot := range feetFields {
		out = append(out, foot)
	}
	return out
}
