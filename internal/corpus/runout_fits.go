package corpus

import (
	"collinear.example/align"
	"collinear.example/runout"
	"gonum.org/v1/gonum/unit"
)

// runoutFitComputations are hubs on shafts: zones and fits, bores and keyways,
// heating, tapers, press fits and what is customary.
func runoutFitComputations() map[string]Computation {
	return map[string]Computation{
		"runout.zone":         computation(zone),
		"runout.hub-fit":      computation(hubFit),
		"runout.pair":         computation(pairFit),
		"runout.measured-fit": computation(measuredFit),
		"runout.fit-practice": computation(fitPractice),
		"runout.inch-bore":    computation(inchBore),
		"runout.keyway":       computation(keyway),
		"runout.hub-heating":  computation(hubHeating),
		"runout.taper-seat":   computation(taperSeat),
		"runout.press-fit":    computation(pressFit),
		"runout.grip":         computation(grip),
	}
}

type zoneInput struct {
	Zone     string `json:"zone"`
	Diameter Length `json:"diameter"`
}

func (r *Result) deviations(prefix string, d runout.Deviations) {
	r.Length(prefix+"lower", d.Lower)
	r.Length(prefix+"upper", d.Upper)
	r.Text(prefix+"known", string(d.Known))
}

func zone(in zoneInput) (r Result, err error) {
	d, err := runout.ZoneOf(runout.Zone(in.Zone), in.Diameter.Of())
	if err != nil {
		return r, err
	}
	r.deviations("", d)
	r.Length("width", d.Width())
	return r, nil
}

func (r *Result) fit(f runout.Fit) {
	r.Length("least", f.Least)
	r.Length("most", f.Most)
	r.Text("kind", string(f.Kind()))
}

func hubFit(in zoneInput) (r Result, err error) {
	f, err := runout.HubFit(runout.Zone(in.Zone), in.Diameter.Of())
	if err != nil {
		return r, err
	}
	r.fit(f)
	r.Text("known", string(f.Known))
	return r, nil
}

type deviationsInput struct {
	Lower Length `json:"lower"`
	Upper Length `json:"upper"`
}

func (d deviationsInput) deviations() runout.Deviations {
	return runout.Deviations{Lower: d.Lower.Of(), Upper: d.Upper.Of()}
}

type pairInput struct {
	Hole  deviationsInput `json:"hole"`
	Shaft deviationsInput `json:"shaft"`
}

func pairFit(in pairInput) (r Result, err error) {
	f, err := runout.Pair(in.Hole.deviations(), in.Shaft.deviations())
	if err != nil {
		return r, err
	}
	r.fit(f)
	return r, nil
}

type measuredFitInput struct {
	Shaft Length  `json:"shaft"`
	Bore  Length  `json:"bore"`
	Seat  *string `json:"seat"` // held against what is customary; not when absent
}

func measuredFit(in measuredFitInput) (r Result, err error) {
	m := runout.MeasuredFit{Shaft: in.Shaft.Of(), Bore: in.Bore.Of()}
	i, err := m.Interference()
	if err != nil {
		return r, err
	}
	share, err := m.PerDiameter()
	if err != nil {
		return r, err
	}
	r.Length("interference", i)
	r.Ratio("per-diameter", share)
	if in.Seat == nil {
		return r, nil
	}
	p, err := runout.PracticeOf(runout.Seat(*in.Seat))
	if err != nil {
		return r, err
	}
	against, err := p.Judge(share)
	if err != nil {
		return r, err
	}
	r.Text("practice", string(against))
	return r, nil
}

type practiceInput struct {
	Seat         string `json:"seat"`
	Interference *Ratio `json:"interference"` // per diameter; no verdict when absent
}

func fitPractice(in practiceInput) (r Result, err error) {
	p, err := runout.PracticeOf(runout.Seat(in.Seat))
	if err != nil {
		return r, err
	}
	r.Ratio("least", p.Least)
	if p.Most > 0 {
		r.Ratio("most", p.Most)
	}
	r.Text("known", string(p.Known))
	if in.Interference == nil {
		return r, nil
	}
	against, err := p.Judge(float64(*in.Interference))
	if err != nil {
		return r, err
	}
	r.Text("practice", string(against))
	return r, nil
}

type inchBoreInput struct {
	Bore Length `json:"bore"`
}

func inchBore(in inchBoreInput) (r Result, err error) {
	b, err := runout.AGMABore(in.Bore.Of())
	if err != nil {
		return r, err
	}
	r.Length("key-width", b.KeyWidth)
	r.Length("keyway-depth", b.KeywayDepth)
	r.Length("across", b.Across)
	r.deviations("clearance-bore.", b.ClearanceBore())
	r.deviations("interference-bore.", b.InterferenceBore())
	r.deviations("key-width.", b.KeyWidthDeviations())
	r.deviations("across.", b.AcrossDeviations())
	return r, nil
}

type keywayInput struct {
	Bore  Length `json:"bore"`
	Width Length `json:"width"`
	Depth Length `json:"depth"`
}

func keyway(in keywayInput) (r Result, err error) {
	t, err := runout.Keyway{Bore: in.Bore.Of(), Width: in.Width.Of(), Depth: in.Depth.Of()}.Across()
	if err != nil {
		return r, err
	}
	r.Length("across", t)
	return r, nil
}

type hubHeatingInput struct {
	Bore         Length       `json:"bore"`
	Interference Length       `json:"interference"`
	Clearance    Length       `json:"clearance"` // [0, "mm"] where none is wanted
	Expansion    Quantity     `json:"expansion"`
	Shaft        *Temperature `json:"shaft"`
	Highest      *Temperature `json:"highest"`
}

func (t *Temperature) of() unit.Temperature {
	if t == nil {
		return 0
	}
	return unit.Temperature(*t)
}

func hubHeating(in hubHeatingInput) (r Result, err error) {
	alpha, err := quantityAs("input.expansion", in.Expansion, align.ExpansionDim)
	if err != nil {
		return r, err
	}
	h, err := runout.HubHeating{
		Bore: in.Bore.Of(), Interference: in.Interference.Of(), Clearance: in.Clearance.Of(),
		Expansion: alpha, Shaft: in.Shaft.of(), Highest: in.Highest.of(),
	}.Solve()
	if err != nil {
		return r, err
	}
	r.Number("rise", float64(h.Rise), align.RiseDim)
	if h.Temperature > 0 {
		r.Number("temperature", float64(h.Temperature), align.TemperatureDim)
	}
	r.Warn(h.Warnings...)
	return r, nil
}

type taperAdvanceInput struct {
	Taper        Ratio  `json:"taper"` // of the diameter
	Interference Length `json:"interference"`
}

func taperSeat(in taperAdvanceInput) (r Result, err error) {
	a, err := runout.TaperSeat{Taper: float64(in.Taper), Interference: in.Interference.Of()}.Advance()
	if err != nil {
		return r, err
	}
	r.Length("advance", a)
	return r, nil
}

type pressFitInput struct {
	Shaft        Length    `json:"shaft"`
	Outside      Length    `json:"outside"`
	Modulus      Quantity  `json:"modulus"`
	Interference *Length   `json:"interference"` // this or pressure
	Pressure     *Quantity `json:"pressure"`
}

func pressFit(in pressFitInput) (r Result, err error) {
	e, err := quantityAs("input.modulus", in.Modulus, align.PressureDim)
	if err != nil {
		return r, err
	}
	f := runout.PressFit{Shaft: in.Shaft.Of(), Outside: in.Outside.Of(), Modulus: unit.Pressure(e)}
	p, err := in.pressure(f)
	if err != nil {
		return r, err
	}
	i, err := f.Interference(p)
	if err != nil {
		return r, err
	}
	s, err := f.BoreStress(p)
	if err != nil {
		return r, err
	}
	r.Number("pressure", float64(p), align.PressureDim)
	r.Length("interference", i)
	r.Ratio("per-diameter", float64(i/f.Shaft))
	r.Number("bore-stress", float64(s), align.PressureDim)
	return r, nil
}

// pressure returns the pressure given, or that of the interference given.
func (in pressFitInput) pressure(f runout.PressFit) (unit.Pressure, error) {
	if (in.Interference == nil) == (in.Pressure == nil) {
		return 0, oneOf("input.interference", in.Interference == nil)
	}
	if in.Interference != nil {
		return f.Pressure(in.Interference.Of())
	}
	p, err := quantityAs("input.pressure", *in.Pressure, align.PressureDim)
	return unit.Pressure(p), err
}

// oneOf is the error for two fields of which exactly one is wanted.
func oneOf(field string, neither bool) error {
	if neither {
		return fault(field, "", align.ErrMissing)
	}
	return fault(field, "given twice over", align.ErrMismatch)
}

type gripInput struct {
	Diameter Length    `json:"diameter"`
	Length   Length    `json:"length"`
	Friction Ratio     `json:"friction"`
	Pressure *Quantity `json:"pressure"` // this or torque
	Torque   *Quantity `json:"torque"`
}

func grip(in gripInput) (r Result, err error) {
	g := runout.Grip{Diameter: in.Diameter.Of(), Length: in.Length.Of(), Friction: float64(in.Friction)}
	if (in.Pressure == nil) == (in.Torque == nil) {
		return r, oneOf("input.pressure", in.Pressure == nil)
	}
	if in.Pressure != nil {
		p, err := quantityAs("input.pressure", *in.Pressure, align.PressureDim)
		if err != nil {
			return r, err
		}
		t, err := g.Torque(unit.Pressure(p))
		r.Number("torque", float64(t), align.MomentDim)
		return r, err
	}
	t, err := quantityAs("input.torque", *in.Torque, align.MomentDim)
	if err != nil {
		return r, err
	}
	p, err := g.Pressure(unit.Torque(t))
	r.Number("pressure", float64(p), align.PressureDim)
	return r, err
}
