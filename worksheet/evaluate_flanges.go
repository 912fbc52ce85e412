package worksheet

import (
	"fmt"
	"math"

	"collinear.example/align"
	"collinear.example/piping"
	"gonum.org/v1/gonum/unit"
)

const topicFlange topic = "fit of the pipe's flanges"

// flanges works out every surveyed joint and holds it against its rule.
func (e *evaluator) flanges() {
	for i := range e.Joints {
		e.flange(at("joints", i), &e.Joints[i])
	}
}

func (e *evaluator) flange(path string, j *FlangeSurvey) {
	s := source{part: PartPipe, of: j.Machine + ", " + j.Name + " flange", topic: topicFlange, about: j.Machine}.
		by("plane through the gaps by least squares", "piping.FlangeSurvey.Solve").from(path+".gaps", path+".diameter", path+".gasket")
	survey := e.flangeSurvey(j)
	fit, err := survey.Solve()
	if err != nil {
		e.failed(s, path, "gaps of the flanges", align.In(err, path))
		return
	}
	// Clock positions are turned back into those of the record at the edge.
	widest := align.Clock(round(float64(fit.Tilt.Widest().Mirrored()))).Normal()
	warp, four := survey.Warp()
	if four {
		fit.Warnings = offAlike(fit.Warnings)
	}
	e.length(s, path+".mean", "mean gap, gasket and all", fit.Mean, warned(path, fit.Warnings))
	e.length(s, path+".opening", "widest less narrowest gap over the circle of the gaps", fit.Opening(fit.Diameter),
		advice("widest at "+widest.String()+", looking at the machine's flange"), sigmaOf(fit))
	e.slope(s, path+".tilt", "tilt of the pipe's flange to the machine's", fit.Tilt.Size())
	if four {
		e.length(s.by("a quarter of the first and third gap less the second and fourth", "piping.FlangeSurvey.Warp"), path+".warp", "warp of the faces", warp,
			signed("wide at the first position and the one opposite", "narrow at the first position and the one opposite"))
	}
	e.judgeFlange(s, path, j, e.misfit(j, fit))
}

// offAlike names no position in the warning about residuals of four gaps a quarter
// apart: all are off the plane by the same, so that the last digits would pick one.
func offAlike(ws []align.Warning) []align.Warning {
	for i := range ws {
		if ws[i].Code == align.WarnResidual {
			ws[i].Field, ws[i].Value = "gaps", math.Abs(ws[i].Value)
		}
	}
	return ws
}

func sigmaOf(fit piping.FaceFit) option {
	sigma, ok := fit.OpeningSigma(fit.Diameter)
	if !ok {
		sigma = 0
	}
	return uncertain(sigma)
}

// flangeSurvey is the survey as package piping has it: seen by a person who looks
// from the machine toward the pipe.
func (e *evaluator) flangeSurvey(j *FlangeSurvey) piping.FlangeSurvey {
	gasket := unit.Length(e.Units.reading(j.Gasket))
	out := piping.FlangeSurvey{Diameter: unit.Length(e.Units.length(j.Diameter)), FlangeOD: unit.Length(e.Units.length(j.FlangeOD)),
		RaisedFaceOD: unit.Length(e.Units.length(j.RaisedFaceOD)), Gasket: &gasket, MaxResidual: 0.1*align.Millimetre + hair}
	for _, g := range j.Gaps {
		out.Gaps = append(out.Gaps, piping.Gap{At: align.Clock(g.At), Gap: unit.Length(e.Units.reading(g.Value))})
	}
	return out.Mirrored()
}

func (e *evaluator) misfit(j *FlangeSurvey, fit piping.FaceFit) piping.Misfit {
	gasket := unit.Length(e.Units.reading(j.Gasket))
	m := piping.Misfit{Mean: fit.Mean, Gasket: &gasket, Tilt: fit.Tilt}
	if j.OffsetUp != nil && j.OffsetSide != nil {
		m.Offset = &piping.Across{Up: unit.Length(e.Units.reading(*j.OffsetUp)), Right: -unit.Length(e.Units.reading(*j.OffsetSide))}
	}
	return m
}

func (e *evaluator) judgeFlange(s source, path string, j *FlangeSurvey, m piping.Misfit) {
	if gap, ok := m.GapError(); ok {
		e.length(s.by("mean gap less gasket", "piping.Misfit.GapError"), path+".gap-error", "mean gap less the gasket", gap, signed("too wide", "too tight"))
	}
	if m.Offset == nil {
		e.words(s.from(path), path+".offset", "offset of the centres", "not measured, or one way only", weighs(suspect))
	}
	s = s.by("each quantity against the rule, by itself", "piping.Misfit.Judge").from(path, path+".rule")
	limits, err := flangeLimits(e.Units, j)
	if err != nil && j.FlangeOD == 0 { // it was not given, which is not zero
		err = fault("flangeOD", "", align.ErrMissing)
	}
	if err != nil {
		e.failed(s, path+".rule", "rule for the flanges", align.In(err, path))
		return
	}
	rep, err := m.Judge(limits, 0)
	if err != nil {
		e.failed(s, path+".rule", "rule for the flanges", align.In(err, path))
		return
	}
	for _, v := range rep.Verdicts {
		u := e.Units.Reading
		if v.Limit.Unit.Dimension() == align.RatioDim {
			u = e.Units.slopeUnit()
		}
		e.number(s, path+".rule."+string(v.Quantity), quantityWords(v.Quantity), v.Measured, u, judged(v.Verdict, stops))
	}
	for _, q := range rep.Unjudged {
		e.words(s, path+".rule."+string(q), quantityWords(q), "limited by the rule, but not measured", weighs(unseen))
	}
	e.words(s, path+".fit", "what the joint comes to", fmt.Sprintf("%s (cut and refit above %s, common practice, no source)", rep.Fit, e.thickness(rep.CutAbove)))
}

func quantityWords(q piping.FlangeQuantity) string {
	switch q {
	case piping.Parallelism:
		return "opening or tilt of the faces, as the rule takes it"
	case piping.GapError:
		return "mean gap less gasket, as the rule takes it"
	case piping.CentreOffset:
		return "offset of the centres"
	case piping.CentreUp:
		return "offset of the centres, up or down"
	case piping.CentreRight:
		return "offset of the centres, sideways"
	case piping.HoleOffset:
		return "offset of the bolt holes"
	case piping.HoleRotation:
		return "rotation of the bolt holes"
	}
	return string(q)
}
