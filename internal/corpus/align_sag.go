package corpus

import (
	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// alignSag are the computations on bracket sag.
func alignSag() map[string]Computation {
	return map[string]Computation{
		"align.sag-correction": computation(sagCorrection),
		"align.bracket-sag":    computation(bracketSag),
	}
}

type sagCorrectionInput struct {
	Sag   sagInput `json:"sag"`
	Sweep Sweep    `json:"sweep"`
}

func sagCorrection(in sagCorrectionInput) (r Result, err error) {
	sag, err := in.Sag.sag("input.sag")
	if err != nil {
		return r, err
	}
	s := align.Sweep(in.Sweep)
	if err := s.Check(); err != nil {
		return r, err
	}
	rollOver, _ := sag.RollOver()
	if err := align.CheckLength("sag", rollOver); err != nil {
		return r, err
	}
	r.Length("roll-over", rollOver)
	r.Length("droop", sag.Droop())
	r.Sweep("reading", sag.Correct(s))
	if f, err := sag.Correct(s).Fit(); err == nil {
		planes{f.VerticalKnown, f.HorizontalKnown}.offset(&r, "harmonic", f.Offset())
	}
	return r, nil
}

type bracketInput struct {
	Length        Length    `json:"length"`
	OuterDiameter Length    `json:"outerDiameter"`
	InnerDiameter *Length   `json:"innerDiameter"`
	Bars          int       `json:"bars,omitempty"`
	Modulus       float64   `json:"modulusPascal"`
	Density       float64   `json:"densityKilogramPerCubicMetre"`
	EndMass       float64   `json:"endMassKilogram,omitempty"`
	Measured      *sagInput `json:"measured"`
}

func bracketSag(in bracketInput) (r Result, err error) {
	p, err := align.Bracket{
		Length: unit.Length(in.Length), OuterDiameter: unit.Length(in.OuterDiameter), InnerDiameter: in.InnerDiameter.Of(),
		Bars:     in.Bars,
		Material: align.BarMaterial{Modulus: unit.Pressure(in.Modulus), Density: in.Density},
		EndMass:  unit.Mass(in.EndMass),
	}.PredictSag()
	if err != nil {
		return r, err
	}
	r.Length("droop", p.Droop)
	r.Ratio("end-slope", p.EndSlope)
	r.Length("roll-over", p.RollOver())
	if in.Measured == nil {
		return r, nil
	}
	sag, err := in.Measured.sag("input.measured")
	if err != nil {
		return r, err
	}
	if s, _ := sag.RollOver(); !align.IsFinite(s) {
		return r, fault("input.measured", "", align.ErrNotFinite)
	}
	r.Warn(p.CheckSag(sag)...)
	return r, nil
}
