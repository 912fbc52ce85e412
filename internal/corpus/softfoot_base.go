package corpus

import (
	"fmt"

	"collinear.example/align"
	"collinear.example/softfoot"
	"gonum.org/v1/gonum/unit"
)

// softfootBaseComputations are about the base under a machine: level, flat,
// sound and heavy enough.
func softfootBaseComputations() map[string]Computation {
	return map[string]Computation{
		"softfoot.base-survey":    computation(baseSurvey),
		"softfoot.base-limits":    computation(baseLimits),
		"softfoot.base-twist":     computation(baseTwist),
		"softfoot.level-reversal": computation(levelReversal),
		"softfoot.level-traverse": computation(levelTraverse),
		"softfoot.foundation":     computation(foundationMass),
		"softfoot.checklist":      computation(baseChecklist),
	}
}

type basePoint struct {
	Pad     string `json:"pad"`
	Station Length `json:"station"`
	Lateral Length `json:"lateral"`
	Height  Length `json:"height"`
}

func baseOf(points []basePoint) softfoot.Base {
	var b softfoot.Base
	for _, p := range points {
		b.Points = append(b.Points, softfoot.BasePoint{
			Pad: p.Pad, Station: p.Station.Of(), Lateral: p.Lateral.Of(), Height: p.Height.Of(),
		})
	}
	return b
}

type baseSurveyInput struct {
	Points  []basePoint `json:"points"`
	Profile *string     `json:"profile"` // name of a set of limits; no verdicts when absent
}

func baseSurvey(in baseSurveyInput) (r Result, err error) {
	s, err := baseOf(in.Points).Survey()
	if err != nil {
		return r, err
	}
	r.basePlane("plane", s.Plane)
	r.Length("flatness", s.Flatness)
	r.Ratio("flatness.per-length", s.FlatnessPerLength())
	r.Ratio("zone.along", s.ZoneAlong)
	r.Ratio("zone.across", s.ZoneAcross)
	r.Length("span", s.Span)
	r.Length("elevation", s.Elevation)
	r.Length("pad-elevation", s.PadElevation)
	r.Length("coplanarity", s.Coplanarity)
	for i, p := range s.Pads {
		name := fmt.Sprintf("pad.%d", i)
		r.Length(name+".mean", p.Mean)
		r.Length(name+".off", p.Off)
		if p.Known {
			r.basePlane(name, p.Plane)
		}
	}
	if in.Profile == nil {
		return r, nil
	}
	return r, r.baseVerdicts(s, *in.Profile)
}

func (r *Result) basePlane(name string, p softfoot.BasePlane) {
	r.Ratio(name+".along", p.SlopeAlong)
	r.Ratio(name+".across", p.SlopeAcross)
	r.Ratio(name+".slope", p.Slope())
	r.Length(name+".height", p.Height)
	r.Length(name+".rms", p.RMS)
	r.Length(name+".lowest", p.Lowest)
	r.Length(name+".highest", p.Highest)
}

func (r *Result) baseVerdicts(s softfoot.BaseSurvey, profile string) error {
	limits, err := softfoot.BaseProfile(profile)
	if err != nil {
		return err
	}
	verdicts, err := s.Judge(limits)
	if err != nil {
		return err
	}
	for _, v := range verdicts {
		word := "within"
		if !v.Within {
			word = "over"
		}
		r.Text(v.Quantity+".verdict", word)
		r.Ratio(v.Quantity+".share", v.Share())
	}
	return nil
}

type baseLimitsInput struct {
	Profile string `json:"profile"`
}

func baseLimits(in baseLimitsInput) (r Result, err error) {
	p, err := softfoot.BaseProfile(in.Profile)
	if err != nil {
		return r, err
	}
	r.limit("level", p.Level)
	r.limit("elevation", p.Elevation)
	r.limit("flatness", p.Flatness)
	r.limit("coplanar", p.Coplanar)
	return r, nil
}

func (r *Result) limit(name string, l *align.Limit) {
	if l != nil {
		r.Number(name, l.SI(), l.Unit.Dimension())
	}
}

type baseTwistInput struct {
	Points []basePoint `json:"points"`
}

func baseTwist(in baseTwistInput) (r Result, err error) {
	t, err := baseOf(in.Points).Twist()
	r.Length("twist", t)
	return r, err
}

type levelReversalInput struct {
	First  Ratio `json:"first"`
	Turned Ratio `json:"turned"`
}

func levelReversal(in levelReversalInput) (r Result, err error) {
	l, err := softfoot.LevelReversal{First: float64(in.First), Turned: float64(in.Turned)}.Solve()
	r.Ratio("slope", l.Slope)
	r.Ratio("zero-error", l.ZeroError)
	return r, err
}

// levelLeg has either a rise or the slope that the level shows on the leg.
type levelLeg struct {
	Length Length  `json:"length"`
	Rise   *Length `json:"rise"`
	Slope  *Ratio  `json:"slope"`
}

func (l levelLeg) rise(path string) (unit.Length, error) {
	switch {
	case l.Rise != nil && l.Slope != nil:
		return 0, fault(path+".slope", "a rise is given too", align.ErrMismatch)
	case l.Rise != nil:
		return l.Rise.Of(), nil
	case l.Slope != nil:
		return softfoot.RiseOf(float64(*l.Slope), l.Length.Of()), nil
	}
	return 0, fault(path+".rise", "", align.ErrMissing)
}

type levelTraverseInput struct {
	Start  Length     `json:"start"`
	End    Length     `json:"end"`
	Legs   []levelLeg `json:"legs"`
	Spread *Kind      `json:"spread"` // by-length when absent
	Limit  *Length    `json:"limit"`
}

func levelTraverse(in levelTraverseInput) (r Result, err error) {
	t := softfoot.LevelTraverse{Start: in.Start.Of(), End: in.End.Of()}
	t.Spread, err = kindFrom("input.spread", in.Spread, softfoot.ByLength,
		map[Kind]softfoot.Spread{"by-length": softfoot.ByLength, "by-leg": softfoot.ByLeg})
	if err != nil {
		return r, err
	}
	if in.Limit != nil {
		limit := in.Limit.Of()
		t.Limit = &limit
	}
	for i, l := range in.Legs {
		rise, err := l.rise(fmt.Sprintf("input.legs[%d]", i))
		if err != nil {
			return r, err
		}
		t.Legs = append(t.Legs, softfoot.LevelLeg{Length: l.Length.Of(), Rise: rise})
	}
	h, warnings, err := t.Close()
	if err != nil {
		return r, err
	}
	r.Length("closure", h.Closure)
	for i := range h.AsRead {
		r.Length(fmt.Sprintf("as-read.%d", i), h.AsRead[i])
		r.Length(fmt.Sprintf("adjusted.%d", i), h.Adjusted[i])
	}
	r.Warn(warnings...)
	return r, nil
}

type foundationInput struct {
	Kind     Kind     `json:"kind"` // rotating or reciprocating
	Block    Quantity `json:"block"`
	Machines Quantity `json:"machines"`
}

func (in foundationInput) foundation(path string) (f softfoot.Foundation, err error) {
	f.Kind, err = kindFrom(path+".kind", &in.Kind, softfoot.Rotating,
		map[Kind]softfoot.MachineKind{"rotating": softfoot.Rotating, "reciprocating": softfoot.Reciprocating})
	if err != nil {
		return f, err
	}
	if f.Block, err = quantityAs(path+".block", in.Block, align.MassDim); err != nil {
		return f, err
	}
	f.Machines, err = quantityAs(path+".machines", in.Machines, align.MassDim)
	return f, err
}

func foundationMass(in foundationInput) (r Result, err error) {
	f, err := in.foundation("input")
	if err != nil {
		return r, err
	}
	v, err := f.Judge()
	if err != nil {
		return r, err
	}
	r.foundation("", v)
	return r, nil
}

func (r *Result) foundation(prefix string, v softfoot.FoundationVerdict) {
	r.Ratio(prefix+"ratio", v.Ratio)
	r.Ratio(prefix+"least", v.Least)
	r.Text(prefix+"outcome", v.Outcome.String())
}

type observationInput struct {
	Item    string `json:"item"`
	Finding Kind   `json:"finding"`
}

type checklistInput struct {
	Observations []observationInput `json:"observations"`
	Foundation   *foundationInput   `json:"foundation"`
}

func baseChecklist(in checklistInput) (r Result, err error) {
	var c softfoot.Checklist
	for i, o := range in.Observations {
		finding, err := kindFrom(fmt.Sprintf("input.observations[%d].finding", i), &o.Finding, softfoot.NotLookedAt,
			map[Kind]softfoot.Finding{
				"not-looked-at": softfoot.NotLookedAt, "sound": softfoot.Sound,
				"slight": softfoot.Slight, "severe": softfoot.Severe,
			})
		if err != nil {
			return r, err
		}
		c.Observations = append(c.Observations, softfoot.Observation{Item: softfoot.Item(o.Item), Finding: finding})
	}
	if in.Foundation != nil {
		f, err := in.Foundation.foundation("input.foundation")
		if err != nil {
			return r, err
		}
		c.Foundation = &f
	}
	j, err := c.Judge()
	if err != nil {
		return r, err
	}
	r.Text("outcome", j.Outcome.String())
	r.Ratio("missing", float64(len(j.Missing)))
	r.Ratio("repair", float64(len(j.Repair)))
	r.Ratio("watch", float64(len(j.Watch)))
	if j.Mass != nil {
		r.foundation("foundation.", *j.Mass)
	}
	return r, nil
}
