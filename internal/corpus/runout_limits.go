package corpus

import (
	"collinear.example/align"
	"collinear.example/runout"
	"gonum.org/v1/gonum/unit"
)

// runoutLimitComputations are published limits of runout.
func runoutLimitComputations() map[string]Computation {
	return map[string]Computation{
		"runout.extension-limit":     computation(extensionLimit),
		"runout.flange-limit":        computation(flangeLimit),
		"runout.pump-rotor-limit":    computation(pumpRotorLimit),
		"runout.chemical-pump-limit": computation(chemicalPumpLimit),
		"runout.line-shaft-limit":    computation(lineShaftLimit),
		"runout.hydro-limit":         computation(hydroLimit),
	}
}

// published adds a limit with its place and how it is known.
func (r *Result) published(name string, l align.Limit) {
	r.Number(name, l.SI(), l.Unit.Dimension())
	r.Text(name+".place", l.Place)
	r.Text(name+".known", string(l.Known))
}

type extensionInput struct {
	Standard string  `json:"standard"`
	Diameter Length  `json:"diameter"`
	Runout   *Length `json:"runout"` // total indicator reading; no verdict when absent
	Place    *Kind   `json:"place"`  // of the dial: end or middle
}

func extensionLimit(in extensionInput) (r Result, err error) {
	s := runout.Standard(in.Standard)
	l, err := runout.ShaftLimit(s, in.Diameter.Of())
	if err != nil {
		return r, err
	}
	r.published("limit", l)
	if in.Runout == nil {
		return r, nil
	}
	place, err := kindFrom("input.place", in.Place, "", map[Kind]runout.Place{
		"end": runout.EndOfExtension, "middle": runout.MiddleOfExtension,
	})
	if err != nil {
		return r, err
	}
	v, err := runout.ShaftReading{Diameter: in.Diameter.Of(), Runout: align.TIR(in.Runout.Of()), Place: place}.Judge(s)
	if err != nil {
		return r, err
	}
	r.verdict(v)
	return r, nil
}

type flangeInput struct {
	Standard string `json:"standard"`
	Rabbet   Length `json:"rabbet"`
}

func flangeLimit(in flangeInput) (r Result, err error) {
	l, err := runout.FlangeLimit(runout.Standard(in.Standard), in.Rabbet.Of())
	if err != nil {
		return r, err
	}
	r.published("limit", l)
	return r, nil
}

type pumpRotorInput struct {
	Span     Length `json:"span"`
	Diameter Length `json:"diameter"`
}

func pumpRotorLimit(in pumpRotorInput) (r Result, err error) {
	rotor := runout.PumpRotor{Span: in.Span.Of(), Diameter: in.Diameter.Of()}
	flexible, err := rotor.Flexible()
	if err != nil {
		return r, err
	}
	shaft, whole, err := rotor.Limits()
	if err != nil {
		return r, err
	}
	r.Text("rotor", "stiff")
	if flexible {
		r.Text("rotor", "flexible")
	}
	r.published("shaft.limit", shaft)
	r.published("rotor.limit", whole)
	return r, nil
}

type chemicalPumpInput struct {
	Part Kind `json:"part"` // shaft or sleeve
}

func chemicalPumpLimit(in chemicalPumpInput) (r Result, err error) {
	l, err := kindFrom("input.part", &in.Part, align.Limit{}, map[Kind]align.Limit{
		"shaft": runout.ASMEB73Shaft(), "sleeve": runout.ASMEB73Sleeve(),
	})
	if err != nil {
		return r, err
	}
	r.published("limit", l)
	return r, nil
}

type lineShaftLimitInput struct {
	Length Length `json:"length"`
}

func lineShaftLimit(in lineShaftLimitInput) (r Result, err error) {
	l, err := runout.LineShaft(in.Length.Of())
	if err != nil {
		return r, err
	}
	r.published("whole", l)
	r.published("any-foot", runout.LineShaftAnyFoot())
	return r, nil
}

type hydroInput struct {
	Part     string    `json:"part"`
	Speed    Frequency `json:"speed"`
	Runout   *Length   `json:"runout"`   // full indicator difference; no verdict when absent
	Distance *Length   `json:"distance"` // to the mirror plate
}

func hydroLimit(in hydroInput) (r Result, err error) {
	part, speed := runout.HydroPart(in.Part), unit.Frequency(in.Speed)
	l, err := runout.HydroLimit(part, speed)
	if err != nil {
		return r, err
	}
	r.published("limit", l)
	if part == runout.TurbineJournal {
		most, err := runout.HydroCap(speed)
		if err != nil {
			return r, err
		}
		r.published("cap", most)
	}
	if in.Runout == nil {
		return r, nil
	}
	return hydroVerdict(r, runout.HydroRunout{
		Part: part, Speed: speed, Runout: align.TIR(in.Runout.Of()), Distance: in.Distance.Of(),
	})
}

// hydroVerdict adds what is measured against the limit and, for the turbine
// journal, the cap, with the verdict on all of it.
func hydroVerdict(r Result, h runout.HydroRunout) (Result, error) {
	verdicts, err := h.Judge()
	if err != nil {
		return r, err
	}
	r.Text("verdict", "within")
	for i, v := range verdicts {
		name := [2]string{"limit", "cap"}[i]
		r.Number(name+".measured", v.Measured, v.Limit.Unit.Dimension())
		r.Text(name+".verdict", "within")
		if !v.Within {
			r.Text(name+".verdict", "over")
			r.Text("verdict", "over")
		}
	}
	return r, nil
}
