package corpus

import (
	"math"

	"collinear.example/align"
	"collinear.example/tolerance"
	"gonum.org/v1/gonum/unit"
)

// toleranceGradeComputations are about sizes held against limits.
func toleranceGradeComputations() map[string]Computation {
	return map[string]Computation{
		"tolerance.measure":              computation(measureShafts),
		"tolerance.slope-of-gap":         computation(slopeOfGap),
		"tolerance.angle-of-slope":       computation(angleOfSlope),
		"tolerance.gear-sliding":         computation(gearSliding),
		"tolerance.share":                computation(shareOf),
		"tolerance.conformity":           computation(conformity),
		"tolerance.conformity-resultant": computation(conformityResultant),
		"tolerance.decide":               computation(decideOne),
		"tolerance.decide-resultant":     computation(decideBoth),
		"tolerance.grade":                computation(gradeSet),
		"tolerance.highest-speed":        computation(highestSpeed),
	}
}

type measureInput struct {
	Quantity     string             `json:"quantity"`
	Place        string             `json:"place"`
	Planes       string             `json:"planes"`
	Misalignment axisInput          `json:"misalignment"`
	Geometry     limitGeometryInput `json:"geometry"`
}

func measureShafts(in measureInput) (r Result, err error) {
	e, err := in.Misalignment.axis("input.misalignment")
	if err != nil {
		return r, err
	}
	m, err := tolerance.Quantity(in.Quantity).Of(e, in.Geometry.geometry(), tolerance.Place(in.Place), tolerance.Planes(in.Planes))
	if err != nil {
		return r, err
	}
	r.measured(m)
	return r, nil
}

func (r *Result) measured(m tolerance.Measured) {
	r.Number("value", m.Value, m.Quantity.Dimension())
	r.Text("plane", m.Plane.String())
	if m.AtStation {
		r.Length("station", m.Station)
	}
}

type gapInput struct {
	Gap      Length `json:"gap"`
	Diameter Length `json:"diameter"`
}

func slopeOfGap(in gapInput) (r Result, err error) {
	s, err := tolerance.SlopeOfGap(unit.Length(in.Gap), unit.Length(in.Diameter))
	if err != nil {
		return r, err
	}
	r.Ratio("slope", s)
	r.Number("angle", float64(tolerance.AngleOfSlope(s)), align.AngleDim)
	return r, nil
}

type angleSlopeInput struct {
	Slope    Ratio  `json:"slope"`
	Diameter Length `json:"diameter"`
}

func angleOfSlope(in angleSlopeInput) (r Result, err error) {
	r.Number("angle", float64(tolerance.AngleOfSlope(float64(in.Slope))), align.AngleDim)
	r.Length("gap", tolerance.GapOf(float64(in.Slope), unit.Length(in.Diameter)))
	r.Ratio("slope", tolerance.SlopeOfAngle(tolerance.AngleOfSlope(float64(in.Slope))))
	return r, nil
}

type meshInput struct {
	PitchDiameter Length    `json:"pitchDiameter"`
	Speed         Frequency `json:"speed"`
	Angle         Ratio     `json:"angle"`
}

func gearSliding(in meshInput) (r Result, err error) {
	s, err := tolerance.GearMesh{
		PitchDiameter: unit.Length(in.PitchDiameter), Speed: unit.Frequency(in.Speed), Angle: float64(in.Angle),
	}.Sliding()
	if err != nil {
		return r, err
	}
	r.Number("peak", float64(s.Peak), align.VelocityDim)
	r.Number("mean", float64(s.Mean), align.VelocityDim)
	return r, nil
}

// usedInput is a size and the limit it is held against, in like units.
type usedInput struct {
	Size  Quantity `json:"size"`
	Limit Quantity `json:"limit"`
}

type shareInput struct {
	Combine string      `json:"combine"`
	Used    []usedInput `json:"used"`
	// Beside is the limit of one more quantity: how much of it may be used.
	Beside *Quantity `json:"beside"`
}

func shareOf(in shareInput) (r Result, err error) {
	var shares []float64
	for _, u := range in.Used {
		if u.Size.Unit.Dimension() != u.Limit.Unit.Dimension() {
			return r, fault("input.used", string(u.Size.Unit), align.ErrWrongUnit)
		}
		v, err := align.Limit{Name: "size", Value: u.Limit.Number, Unit: u.Limit.Unit}.Judge(u.Size.SI)
		if err != nil {
			return r, err
		}
		shares = append(shares, v.Share())
	}
	c := tolerance.Combine(in.Combine)
	share, err := c.Share(shares...)
	if err != nil {
		return r, err
	}
	left, err := c.Left(shares...)
	if err != nil {
		return r, err
	}
	r.Ratio("share", share)
	r.Text("verdict", "within")
	if float64(share*(1-1e-12)) > 1 {
		r.Text("verdict", "over")
	}
	if in.Beside != nil {
		r.Number("left", left*in.Beside.SI, in.Beside.Unit.Dimension())
	}
	return r, nil
}

type conformityInput struct {
	Value Ratio  `json:"value"`
	Sigma Ratio  `json:"sigma"`
	Lower *Ratio `json:"lower"` // none when absent
	Upper *Ratio `json:"upper"`
}

func conformity(in conformityInput) (r Result, err error) {
	lower, upper := math.Inf(-1), math.Inf(1)
	if in.Lower != nil {
		lower = float64(*in.Lower)
	}
	if in.Upper != nil {
		upper = float64(*in.Upper)
	}
	p, err := tolerance.Conformity(float64(in.Value), float64(in.Sigma), lower, upper)
	if err != nil {
		return r, err
	}
	r.Ratio("probability", p)
	return r, nil
}

type normalInput struct {
	Vertical        Length `json:"vertical"`
	Horizontal      Length `json:"horizontal"`
	SigmaVertical   Length `json:"sigmaVertical"`
	SigmaHorizontal Length `json:"sigmaHorizontal"`
	Correlation     *Ratio `json:"correlation"`
}

func (n normalInput) normal() tolerance.Normal2 {
	out := tolerance.Normal2{
		Vertical: float64(n.Vertical), Horizontal: float64(n.Horizontal),
		SigmaVertical: float64(n.SigmaVertical), SigmaHorizontal: float64(n.SigmaHorizontal),
	}
	if n.Correlation != nil {
		out.Correlation = float64(*n.Correlation)
	}
	return out
}

type conformityResultantInput struct {
	Point  normalInput `json:"point"`
	Radius Length      `json:"radius"`
}

func conformityResultant(in conformityResultantInput) (r Result, err error) {
	p, err := in.Point.normal().Within(float64(in.Radius))
	if err != nil {
		return r, err
	}
	r.Ratio("probability", p)
	return r, nil
}

type decideInput struct {
	Value Length `json:"value"`
	Sigma Length `json:"sigma"`
	Limit Length `json:"limit"`
	Guard Ratio  `json:"guard"` // in standard uncertainties
}

func lengthLimit(l Length) align.Limit {
	return align.Limit{Name: "offset", Value: float64(l), Unit: align.UnitMetre}
}

func decideOne(in decideInput) (r Result, err error) {
	d, err := tolerance.Decide(lengthLimit(in.Limit), float64(in.Value), float64(in.Sigma), tolerance.Guard(in.Guard))
	return r.decided(d, err)
}

type decideBothInput struct {
	Point normalInput `json:"point"`
	Limit Length      `json:"limit"`
	Guard Ratio       `json:"guard"`
}

func decideBoth(in decideBothInput) (r Result, err error) {
	d, err := tolerance.DecideResultant(lengthLimit(in.Limit), in.Point.normal(), tolerance.Guard(in.Guard))
	return r.decided(d, err)
}

func (r Result) decided(d tolerance.Decision, err error) (Result, error) {
	if err != nil {
		return r, err
	}
	r.Text("outcome", d.Outcome.String())
	r.Ratio("probability", d.Conforms)
	r.Ratio("share", d.Share())
	return r, nil
}

type gradeInput struct {
	Set          string             `json:"set"`
	Misalignment axisInput          `json:"misalignment"`
	AxialGap     *Length            `json:"axialGap"`
	Runout       *Length            `json:"runout"`
	Geometry     limitGeometryInput `json:"geometry"`
}

func gradeSet(in gradeInput) (r Result, err error) {
	e, err := in.Misalignment.axis("input.misalignment")
	if err != nil {
		return r, err
	}
	set, err := tolerance.FindSet(in.Set)
	if err != nil {
		return r, err
	}
	readings := tolerance.Readings{Misalignment: e, AxialGap: (*unit.Length)(in.AxialGap), Runout: (*unit.Length)(in.Runout)}
	g, err := set.Grade(readings, in.Geometry.geometry())
	if err != nil {
		return r, err
	}
	r.Ratio("share", g.Share)
	r.Text("verdict", "over")
	if g.Within {
		r.Text("verdict", "within")
	}
	for _, one := range g.Grades {
		r.Ratio(one.Table+".share", one.Share())
		r.Text(one.Table+".plane", one.Measured.Plane.String())
		r.Warn(one.Flags.Warnings(one.Table)...)
	}
	r.Ratio("ungraded", float64(len(g.Ungraded)))
	return r, nil
}

type highestSpeedInput struct {
	Set          string             `json:"set"`
	Table        string             `json:"table"`
	Misalignment axisInput          `json:"misalignment"`
	Geometry     limitGeometryInput `json:"geometry"`
}

func highestSpeed(in highestSpeedInput) (r Result, err error) {
	e, err := in.Misalignment.axis("input.misalignment")
	if err != nil {
		return r, err
	}
	set, err := tolerance.FindSet(in.Set)
	if err != nil {
		return r, err
	}
	t, err := set.Table(in.Table)
	if err != nil {
		return r, err
	}
	g := in.Geometry.geometry()
	sized, err := t.For(g.Size)
	if err != nil {
		return r, err
	}
	top, err := sized.HighestSpeed(e, g)
	if err != nil {
		return r, err
	}
	switch {
	case top.None:
		r.Text("answer", "none")
	case top.Unlimited:
		r.Text("answer", "unlimited")
	default:
		r.Text("answer", "up to")
		if top.Below {
			r.Text("answer", "below")
		}
		r.Number("speed", float64(top.Speed), align.FrequencyDim)
	}
	return r, nil
}
