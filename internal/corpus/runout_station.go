package corpus

import (
	"fmt"
	"math"

	"collinear.example/align"
	"collinear.example/runout"
	"gonum.org/v1/gonum/unit"
)

// runoutStationComputations are the measures of one station: rim, face,
// opposite marks, and what an eccentric hub does at speed.
func runoutStationComputations() map[string]Computation {
	return map[string]Computation{
		"runout.section":               computation(section),
		"runout.face":                  computation(faceRunout),
		"runout.face-pair":             computation(facePair),
		"runout.opposite-marks":        computation(oppositeMarks),
		"runout.unbalance":             computation(unbalance),
		"runout.permissible-unbalance": computation(permissibleUnbalance),
	}
}

// Radians of a clock position, the SI unit of an angle.
func radians(c align.Clock) float64 { return float64(c) * (math.Pi / 180) }

func (r *Result) turn(t runout.Turn) {
	r.Offset("first", t.First)
	r.Length("first.size", t.First.Resultant())
	r.Number("high-spot", radians(t.HighSpot()), align.AngleDim)
	r.Length("total", unit.Length(t.TIR))
	r.Length("first.total", unit.Length(t.FirstTIR))
	r.Length("first.total-at-marks", unit.Length(t.FirstMarks))
	r.Text("second.seen", t.Second.Seen.String())
	if t.Second.Seen != runout.Hidden {
		r.Length("second.cosine", t.Second.Cosine)
		r.Length("second.sine", t.Second.Sine)
		r.Length("second.size", t.Second.Size())
		r.Number("second.high-spot", radians(t.Second.HighSpot()), align.AngleDim)
	}
	r.residual("off", t.Off)
	r.residual("rest", t.Rest)
	if t.Closes {
		r.Length("closure", t.Closure)
	}
	r.Ratio("missed", t.Missed)
	r.Length("missed.total", t.MissedTIR())
	r.Warn(t.Warnings...)
}

func (r *Result) residual(name string, v runout.Residual) {
	r.Length(name+".rms", v.RMS)
	r.Length(name+".worst", v.Worst)
	r.Ratio(name+".degrees-of-freedom", float64(v.DoF))
}

func section(in sweepInput) (r Result, err error) {
	s, err := runout.NewSection(align.Sweep(in.Sweep), runout.SweepChecks{})
	if err != nil {
		return r, err
	}
	r.turn(s.Turn)
	r.Length("eccentricity", s.Eccentricity())
	return r, nil
}

type faceInput struct {
	Sweep    Sweep  `json:"sweep"`
	Diameter Length `json:"diameter"` // swept
}

func faceRunout(in faceInput) (r Result, err error) {
	f, err := runout.FaceSweep{Sweep: align.Sweep(in.Sweep), Diameter: in.Diameter.Of()}.Solve()
	if err != nil {
		return r, err
	}
	r.face(f)
	return r, nil
}

func (r *Result) face(f runout.Face) {
	r.turn(f.Turn)
	r.Slope("tilt", f.Tilt())
	r.Ratio("tilt.size", f.Tilt().Resultant())
}

type facePairInput struct {
	A        Sweep  `json:"a"`
	B        Sweep  `json:"b"` // read while dial a stands at the marks of a
	Diameter Length `json:"diameter"`
}

func facePair(in facePairInput) (r Result, err error) {
	f, err := runout.FacePair{A: align.Sweep(in.A), B: align.Sweep(in.B), Diameter: in.Diameter.Of()}.Solve()
	if err != nil {
		return r, err
	}
	r.face(f)
	r.Length("float", unit.Length(*f.Float))
	return r, nil
}

func oppositeMarks(in sweepInput) (r Result, err error) {
	o, err := runout.OppositeMarks(align.Sweep(in.Sweep))
	if err != nil {
		return r, err
	}
	for i, p := range o.Pairs {
		r.Length(fmt.Sprintf("runout.%d", i), p.Runout)
		r.Length(fmt.Sprintf("bend.%d", i), p.Bend())
	}
	r.Number("largest.at", radians(o.Largest.At), align.AngleDim)
	r.Length("largest.runout", o.Largest.Runout)
	r.Length("largest.bend", o.Largest.Bend())
	r.Ratio("understates", o.Understates)
	return r, nil
}

// massOf reads a mass in kilograms.
func massOf(field string, q Quantity) (unit.Mass, error) {
	si, err := quantityAs(field, q, align.MassDim)
	return unit.Mass(si), err
}

// quantityAs returns the SI value of a quantity that must be of dim.
func quantityAs(field string, q Quantity, dim align.Dimension) (float64, error) {
	if q.Unit.Dimension() != dim {
		return 0, fault(field, string(q.Unit), align.ErrWrongUnit)
	}
	return q.SI, nil
}

type unbalanceInput struct {
	Mass         Quantity  `json:"mass"`
	Eccentricity Length    `json:"eccentricity"`
	Rotor        *Quantity `json:"rotor"` // mass of the whole rotor; the part itself when absent
	Speed        Frequency `json:"speed"`
	Grade        *Quantity `json:"grade"` // limit, as a velocity; no verdict when absent
}

func unbalance(in unbalanceInput) (r Result, err error) {
	mass, err := massOf("input.mass", in.Mass)
	if err != nil {
		return r, err
	}
	rotor := mass
	if in.Rotor != nil {
		if rotor, err = massOf("input.rotor", *in.Rotor); err != nil {
			return r, err
		}
	}
	u, err := runout.EccentricMass{Mass: mass, Eccentricity: in.Eccentricity.Of()}.Unbalance()
	if err != nil {
		return r, err
	}
	g, err := runout.Running{Mass: rotor, Speed: unit.Frequency(in.Speed)}.Grade(u)
	if err != nil {
		return r, err
	}
	r.Number("unbalance", float64(u), align.UnbalanceDim)
	r.Number("grade", float64(g), align.VelocityDim)
	if in.Grade == nil {
		return r, nil
	}
	limit, err := quantityAs("input.grade", *in.Grade, align.VelocityDim)
	if err != nil {
		return r, err
	}
	v, err := runout.Grade(limit).Limit().Judge(float64(g))
	if err != nil {
		return r, err
	}
	r.verdict(v)
	return r, nil
}

func (r *Result) verdict(v align.Verdict) {
	word := "within"
	if !v.Within {
		word = "over"
	}
	r.Text("verdict", word)
	r.Ratio("share", v.Share())
}

type permissibleInput struct {
	Rotor Quantity  `json:"rotor"`
	Speed Frequency `json:"speed"`
	Grade Quantity  `json:"grade"`
}

func permissibleUnbalance(in permissibleInput) (r Result, err error) {
	rotor, err := massOf("input.rotor", in.Rotor)
	if err != nil {
		return r, err
	}
	g, err := quantityAs("input.grade", in.Grade, align.VelocityDim)
	if err != nil {
		return r, err
	}
	u, e, err := runout.Running{Mass: rotor, Speed: unit.Frequency(in.Speed)}.Permissible(runout.Grade(g))
	if err != nil {
		return r, err
	}
	r.Number("unbalance", float64(u), align.UnbalanceDim)
	r.Length("specific", e)
	return r, nil
}
