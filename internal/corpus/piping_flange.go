package corpus

import (
	"math"
	"strings"

	"collinear.example/align"
	"collinear.example/piping"
	"gonum.org/v1/gonum/unit"
)

// pipingFlangeComputations are about how a pipe flange stands to its nozzle.
func pipingFlangeComputations() map[string]Computation {
	return map[string]Computation{
		"piping.flange-survey":  computation(flangeSurvey),
		"piping.flange-centres": computation(flangeCentres),
		"piping.bolt-holes":     computation(boltHoles),
		"piping.flange-limits":  computation(flangeLimits),
		"piping.flange-fit-up":  computation(flangeFitUp),
	}
}

type flangeGapInput struct {
	At  Angle  `json:"at"`
	Gap Length `json:"gap"`
}

type flangeWarmInput struct {
	Machine Temperature `json:"machine"`
	Pipe    Temperature `json:"pipe"`
}

type flangeSurveyInput struct {
	Gaps         []flangeGapInput `json:"gaps"`
	Diameter     Length           `json:"diameter"`
	FlangeOD     *Length          `json:"flangeOD"`
	RaisedFaceOD *Length          `json:"raisedFaceOD"`
	Gasket       *Length          `json:"gasket"`
	Sigma        *Length          `json:"sigma"`
	MaxResidual  *Length          `json:"maxResidual"`
	Temperature  *flangeWarmInput `json:"temperature"`
	On           *Length          `json:"on"`       // a diameter on which the opening is wanted too
	Mirrored     *bool            `json:"mirrored"` // written down by a person on the pipe's side
}

// clockOf returns an angle as a position, quarter turns exactly.
func clockOf(a Angle) align.Clock {
	d := float64(a) * (180 / math.Pi)
	if near := math.Round(d); math.Abs(d-near) < 1e-9 {
		d = near
	}
	return align.Clock(d)
}

func optionalLength(l *Length) *unit.Length {
	if l == nil {
		return nil
	}
	v := l.Of()
	return &v
}

func (in flangeSurveyInput) survey() piping.FlangeSurvey {
	s := piping.FlangeSurvey{
		Diameter: in.Diameter.Of(), FlangeOD: in.FlangeOD.Of(), RaisedFaceOD: in.RaisedFaceOD.Of(),
		Gasket: optionalLength(in.Gasket), Sigma: in.Sigma.Of(), MaxResidual: in.MaxResidual.Of(),
	}
	for _, g := range in.Gaps {
		s.Gaps = append(s.Gaps, piping.Gap{At: clockOf(g.At), Gap: g.Gap.Of()})
	}
	if t := in.Temperature; t != nil {
		s.Temperature = &piping.FlangeTemperature{Machine: unit.Temperature(t.Machine), Pipe: unit.Temperature(t.Pipe)}
	}
	if in.Mirrored != nil && *in.Mirrored {
		s = s.Mirrored()
	}
	return s
}

func flangeSurvey(in flangeSurveyInput) (r Result, err error) {
	s := in.survey()
	f, err := s.Solve()
	if err != nil {
		return r, err
	}
	r.Length("mean", f.Mean)
	r.Ratio("tilt.up", f.Tilt.Up)
	r.Ratio("tilt.right", f.Tilt.Right)
	r.Ratio("tilt.size", f.Tilt.Size())
	r.Number("widest", float64(f.Tilt.Widest())*math.Pi/180, align.AngleDim)
	r.Length("opening", f.Opening(f.Diameter))
	r.Length("max-minus-min", f.MaxMinusMin)
	r.Ratio("understates", f.Understates)
	r.Length("rms", f.RMS)
	r.Length("worst", f.Worst)
	r.Ratio("degrees-of-freedom", float64(f.DegreesOfFreedom))
	for i, g := range s.Gaps {
		r.Length(flangeEntry("residual", i), f.Residual(g))
	}
	if w, ok := s.Warp(); ok {
		r.Length("warp", w)
	}
	if s.Gasket != nil {
		r.Length("gap-error", f.Mean-*s.Gasket)
	}
	if in.On != nil {
		r.Length("opening.on", f.Opening(in.On.Of()))
	}
	if v, ok := f.OpeningSigma(f.Diameter); ok {
		r.Length("sigma.opening", v)
		r.Length("sigma.mean", unit.Length(math.Sqrt(f.Covariance[0][0])))
	}
	r.Warn(f.Warnings...)
	return r, nil
}

type flangeStepInput struct {
	At   Angle  `json:"at"`
	Step Length `json:"step"`
}

type rimSurveyInput struct {
	Steps     []flangeStepInput `json:"steps"`
	MachineOD *Length           `json:"machineOD"`
	PipeOD    *Length           `json:"pipeOD"`
	FitODs    *bool             `json:"fitODs"`
	Sigma     *Length           `json:"sigma"`
}

func (in rimSurveyInput) survey() piping.RimSurvey {
	s := piping.RimSurvey{MachineOD: in.MachineOD.Of(), PipeOD: in.PipeOD.Of(), Sigma: in.Sigma.Of(), FitODs: in.FitODs != nil && *in.FitODs}
	for _, v := range in.Steps {
		s.Steps = append(s.Steps, piping.RimStep{At: clockOf(v.At), Step: v.Step.Of()})
	}
	return s
}

func flangeCentres(in rimSurveyInput) (r Result, err error) {
	s := in.survey()
	f, err := s.Solve()
	if err != nil {
		return r, err
	}
	r.flangeAcross("offset", f.Offset)
	r.Length("half-difference", f.HalfDifference)
	r.Length("rms", f.RMS)
	if f.SigmaFrom != align.SigmaUnknown && f.BothKnown {
		r.Length("sigma.up", unit.Length(math.Sqrt(f.Covariance[0][0])))
		r.Length("sigma.right", unit.Length(math.Sqrt(f.Covariance[1][1])))
	}
	r.Warn(f.Warnings...)
	return r, nil
}

func (r *Result) flangeAcross(name string, a piping.Across) {
	r.Length(name+".up", a.Up)
	r.Length(name+".right", a.Right)
	r.Length(name+".size", a.Size())
}

type flangeHoleInput struct {
	At    Angle  `json:"at"`
	Along Length `json:"along"`
}

type flangeAcrossInput struct {
	Up    Length `json:"up"`
	Right Length `json:"right"`
}

func (a *flangeAcrossInput) of() *piping.Across {
	if a == nil {
		return nil
	}
	return &piping.Across{Up: a.Up.Of(), Right: a.Right.Of()}
}

type holesInput struct {
	Holes      []flangeHoleInput  `json:"holes"`
	BoltCircle Length             `json:"boltCircle"`
	Offset     *flangeAcrossInput `json:"offset"`
}

func boltHoles(in holesInput) (r Result, err error) {
	s := piping.HoleSurvey{BoltCircle: in.BoltCircle.Of()}
	for _, h := range in.Holes {
		s.Holes = append(s.Holes, piping.HoleStep{At: clockOf(h.At), Along: h.Along.Of()})
	}
	f, err := s.Solve(in.Offset.of())
	if err != nil {
		return r, err
	}
	r.Number("rotation", f.Rotation, align.AngleDim)
	r.Length("arc", f.Arc)
	r.Length("rms", f.RMS)
	r.Length("worst", f.Worst)
	r.Warn(f.Warnings...)
	return r, nil
}

type flangeSizeInput struct {
	Rule         string  `json:"rule"`
	FlangeOD     Length  `json:"flangeOD"`
	RaisedFaceOD *Length `json:"raisedFaceOD"`
	BoltCircle   *Length `json:"boltCircle"`
	Reference    *Kind   `json:"reference"`
	Gasket       *Length `json:"gasket"`
}

func (in flangeSizeInput) limits() (piping.FlangeLimits, error) {
	reference, err := kindFrom("reference", in.Reference, piping.ReferenceUnstated,
		map[Kind]piping.Reference{"flange": piping.ByFlangeOD, "raised-face": piping.ByRaisedFaceOD})
	if err != nil {
		return piping.FlangeLimits{}, err
	}
	return piping.FlangeLimitsOf(piping.FlangeRule(in.Rule), piping.FlangeSize{
		FlangeOD: in.FlangeOD.Of(), RaisedFaceOD: in.RaisedFaceOD.Of(), BoltCircle: in.BoltCircle.Of(),
		Reference: reference, Gasket: optionalLength(in.Gasket),
	})
}

func flangeLimits(in flangeSizeInput) (r Result, err error) {
	l, err := in.limits()
	if err != nil {
		return r, err
	}
	if p := l.Parallel; p != nil {
		r.Text("parallelism.known", string(p.Limit.Known))
		r.Ratio("parallelism.faces", float64(p.Faces))
		if p.Over == 0 {
			r.Ratio("parallelism.slope", p.Limit.SI())
			r.Length("parallelism", unit.Length(p.Limit.SI())*in.FlangeOD.Of())
		} else {
			r.Length("parallelism", unit.Length(p.Limit.SI()))
			r.Length("parallelism.over", p.Over)
		}
	}
	if l.Gap != nil {
		r.Length("gap", unit.Length(l.Gap.Limit.SI()))
	}
	if l.Centre != nil {
		r.Length("centre", unit.Length(l.Centre.Limit.SI()))
	}
	if l.Hole != nil {
		r.Length("holes", unit.Length(l.Hole.SI()))
	}
	if l.Rotation != nil {
		r.Length("rotation", unit.Length(l.Rotation.SI()))
	}
	return r, nil
}

type flangeTiltInput struct {
	Up    Ratio `json:"up"`
	Right Ratio `json:"right"`
}

type flangeDirectionInput struct {
	X float64 `json:"x"`
	Y float64 `json:"y"`
	Z float64 `json:"z"`
}

type flangeMisfitInput struct {
	Mean     Length             `json:"mean"`
	Gasket   *Length            `json:"gasket"`
	Tilt     flangeTiltInput    `json:"tilt"`
	Offset   *flangeAcrossInput `json:"offset"`
	Rotation *Angle             `json:"rotation"`
}

func (in flangeMisfitInput) of(pair piping.FlangePair) piping.Misfit {
	m := piping.Misfit{
		Pair: pair, Mean: in.Mean.Of(), Gasket: optionalLength(in.Gasket), Offset: in.Offset.of(),
		Tilt: piping.Tilt{Up: float64(in.Tilt.Up), Right: float64(in.Tilt.Right)},
	}
	if in.Rotation != nil {
		v := float64(*in.Rotation)
		m.Rotation = &v
	}
	return m
}

type fitUpInput struct {
	Joint    flangeMisfitInput `json:"joint"`
	Limits   flangeSizeInput   `json:"limits"`
	CutAbove *Length           `json:"cutAbove"`
}

func flangeFitUp(in fitUpInput) (r Result, err error) {
	l, err := in.Limits.limits()
	if err != nil {
		return r, err
	}
	rep, err := in.Joint.of(piping.FlangePair{}).Judge(l, in.CutAbove.Of())
	if err != nil {
		return r, err
	}
	for _, v := range rep.Verdicts {
		word := "within"
		if !v.Within {
			word = "over"
		}
		r.Text("verdict."+string(v.Quantity), word)
		r.Ratio("share."+string(v.Quantity), v.Share())
	}
	var open []string
	for _, q := range rep.Unjudged {
		open = append(open, string(q))
	}
	if len(open) > 0 {
		r.Text("unjudged", strings.Join(open, " "))
	}
	r.Text("fit", map[piping.FitUp]string{
		piping.FitUndecided: "undecided", piping.FitWithin: "within", piping.FitByMoving: "move", piping.FitByCutting: "cut",
	}[rep.Fit])
	r.Length("largest", rep.Largest)
	return r, nil
}
