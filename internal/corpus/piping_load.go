package corpus

import (
	"fmt"
	"math"

	"collinear.example/align"
	"collinear.example/piping"
	"gonum.org/v1/gonum/unit"
)

// pipingLoadComputations are about pipes as springs and what they may do to a
// machine's connections.
func pipingLoadComputations() map[string]Computation {
	return map[string]Computation{
		"piping.section":          computation(pipeSection),
		"piping.modulus":          computation(pipeModulus),
		"piping.closing":          computation(pipeClosing),
		"piping.nozzle-load":      computation(pipeNozzleLoad),
		"piping.restrained":       computation(restrainedPipe),
		"piping.free-length":      computation(freeLength),
		"piping.share-offset":     computation(shareOffset),
		"piping.flexibility-test": computation(flexibilityTest),
		"piping.misfit-screen":    computation(misfitScreen),
	}
}

// Force is a force in an input, written [1280, "N"].
type Force unit.Force

func (f *Force) fromTree(path string, t any) error {
	_, si, err := quantityOf(path, t, align.ForceDim)
	*f = Force(si)
	return err
}

// Torque is a moment in an input, written [460, "lbf.ft"].
type Torque unit.Torque

func (m *Torque) fromTree(path string, t any) error {
	_, si, err := quantityOf(path, t, align.MomentDim)
	*m = Torque(si)
	return err
}

// Pressure is a pressure, a stress or a modulus in an input, written [29e6, "psi"].
type Pressure unit.Pressure

func (p *Pressure) fromTree(path string, t any) error {
	_, si, err := quantityOf(path, t, align.PressureDim)
	*p = Pressure(si)
	return err
}

// sectionInput is a schedule 40 pipe by its nominal size, or any by its dimensions.
type sectionInput struct {
	NPS     *float64 `json:"nps"`
	Outside *Length  `json:"outside"`
	Wall    *Length  `json:"wall"`
}

func (in sectionInput) section() (piping.PipeSection, error) {
	if in.NPS == nil {
		return piping.PipeSection{Outside: in.Outside.Of(), Wall: in.Wall.Of()}, nil
	}
	if in.Outside != nil || in.Wall != nil {
		return piping.PipeSection{}, fault("input.nps", "dimensions are given too", align.ErrMismatch)
	}
	return piping.Schedule40(*in.NPS)
}

type sectionsInput struct {
	Section sectionInput `json:"section"`
	Unit    UnitName     `json:"unit"`
}

func pipeSection(in sectionsInput) (r Result, err error) {
	u := align.Unit(in.Unit)
	if u.Dimension() != align.LengthDim {
		return r, fault("input.unit", string(u), align.ErrWrongUnit)
	}
	s, err := in.Section.section()
	if err != nil {
		return r, err
	}
	p, err := s.Properties()
	if err != nil {
		return r, err
	}
	one := u.SI(1)
	r.Length("outside", s.Outside)
	r.Length("wall", s.Wall)
	r.Length("inside", p.Inside)
	r.Ratio("area-in-unit", float64(p.Area)/math.Pow(one, 2))
	r.Ratio("inertia-in-unit", p.Inertia/math.Pow(one, 4))
	r.Ratio("modulus-in-unit", p.Modulus/math.Pow(one, 3))
	return r, nil
}

type modulusPoint struct {
	At    Temperature `json:"at"`
	Value Pressure    `json:"value"`
}

type modulusInput struct {
	Name     *string        `json:"name"`
	Variant  *string        `json:"variant"`
	Constant *Pressure      `json:"constant"`
	Points   []modulusPoint `json:"points,omitempty"`
	At       Temperature    `json:"at"`
}

func (in modulusInput) modulus() (m piping.ElasticModulus, err error) {
	if in.Name != nil {
		variant := ""
		if in.Variant != nil {
			variant = *in.Variant
		}
		return piping.ModulusOf(*in.Name, variant)
	}
	if in.Constant != nil {
		m.Constant = unit.Pressure(*in.Constant)
	}
	for _, p := range in.Points {
		m.Points = append(m.Points, piping.ModulusPoint{At: unit.Temperature(p.At), Value: unit.Pressure(p.Value)})
	}
	return m, nil
}

func pipeModulus(in modulusInput) (r Result, err error) {
	m, err := in.modulus()
	if err != nil {
		return r, err
	}
	at := unit.Temperature(in.At)
	e, err := m.At(at)
	r.Number("modulus", float64(e), align.PressureDim)
	r.Warn(m.AppendRangeWarning(nil, "at", at)...)
	return r, err
}

// straightInput is a straight pipe from the nozzle to what holds it next.
type straightInput struct {
	Section sectionInput `json:"section"`
	Modulus Pressure     `json:"modulus"`
	Length  Length       `json:"length"`
	Far     Kind         `json:"far"`
	Poisson *float64     `json:"poisson"`
}

func (in straightInput) pipe() (p piping.StraightPipe, err error) {
	far, err := kindFrom("input.pipe.far", &in.Far, 0, map[Kind]piping.FarEnd{
		"anchored": piping.Anchored, "hinged": piping.Hinged,
	})
	if err != nil {
		return p, err
	}
	s, err := in.Section.section()
	return piping.StraightPipe{
		Section: s, Modulus: unit.Pressure(in.Modulus), Length: in.Length.Of(), Far: far, Poisson: in.Poisson,
	}, err
}

type closingInput struct {
	Pipe   straightInput `json:"pipe"`
	Offset *Length       `json:"offset"`
	Tilt   *Ratio        `json:"tilt"`
	Gap    *Length       `json:"gap"`
}

func pipeClosing(in closingInput) (r Result, err error) {
	p, err := in.Pipe.pipe()
	if err != nil {
		return r, err
	}
	var c piping.Closing
	switch {
	case in.Offset != nil && in.Tilt == nil && in.Gap == nil:
		c, err = p.CloseOffset(in.Offset.Of())
	case in.Tilt != nil && in.Offset == nil && in.Gap == nil:
		c, err = p.CloseTilt(float64(*in.Tilt))
	case in.Gap != nil && in.Offset == nil && in.Tilt == nil:
		f, err := p.CloseGap(in.Gap.Of())
		r.Number("force", float64(f), align.ForceDim)
		return r, err
	default:
		return r, fault("input.offset", "give one of offset, tilt and gap", align.ErrMissing)
	}
	r.Number("force", float64(c.Force), align.ForceDim)
	r.Number("moment", float64(c.Moment), align.MomentDim)
	r.Number("far-moment", float64(c.FarMoment), align.MomentDim)
	r.Number("stress", float64(c.Stress), align.PressureDim)
	return r, err
}

// misfitInput is a misfit and the way from the nozzle along the pipe.
type misfitInput struct {
	Away  []float64 `json:"away"`
	Shift []Length  `json:"shift"`
	Turn  []float64 `json:"turn,omitempty"` // radians
}

func (in misfitInput) misfit() (a align.Direction, m piping.PipeMisfit, err error) {
	if len(in.Away) != 3 || len(in.Shift) != 3 || in.Turn != nil && len(in.Turn) != 3 {
		return a, m, fault("input.misfit", "give three numbers each", align.ErrMissing)
	}
	if a, err = align.DirectionOf(in.Away[0], in.Away[1], in.Away[2]); err != nil {
		return a, m, align.In(err, "away")
	}
	m.Shift = align.Displacement{X: in.Shift[0].Of(), Y: in.Shift[1].Of(), Z: in.Shift[2].Of()}
	if in.Turn != nil {
		m.Turn = align.Turn{X: in.Turn[0], Y: in.Turn[1], Z: in.Turn[2]}
	}
	return a, m, nil
}

type nozzleLoadInput struct {
	Pipe   straightInput `json:"pipe"`
	Misfit misfitInput   `json:"misfit"`
}

// pipeLoad adds a load as name.force.x and so on.
func (r *Result) pipeLoad(name string, l piping.Load) {
	r.Number(name+"force.x", float64(l.Force.X), align.ForceDim)
	r.Number(name+"force.y", float64(l.Force.Y), align.ForceDim)
	r.Number(name+"force.z", float64(l.Force.Z), align.ForceDim)
	r.Number(name+"force.resultant", float64(l.Force.Size()), align.ForceDim)
	r.Number(name+"moment.x", float64(l.Moment.X), align.MomentDim)
	r.Number(name+"moment.y", float64(l.Moment.Y), align.MomentDim)
	r.Number(name+"moment.z", float64(l.Moment.Z), align.MomentDim)
	r.Number(name+"moment.resultant", float64(l.Moment.Size()), align.MomentDim)
}

func pipeNozzleLoad(in nozzleLoadInput) (r Result, err error) {
	p, err := in.Pipe.pipe()
	if err != nil {
		return r, err
	}
	away, m, err := in.Misfit.misfit()
	if err != nil {
		return r, err
	}
	l, err := p.NozzleLoad(away, m)
	r.pipeLoad("", l)
	return r, err
}

type restrainedInput struct {
	Area     float64  `json:"area"`
	AreaUnit UnitName `json:"areaUnit"` // the unit of length whose square area is in
	Modulus  Pressure `json:"modulus"`
	Length   Length   `json:"length"`
	Strain   Ratio    `json:"strain"`
	Gap      *Length  `json:"gap"`
}

func restrainedPipe(in restrainedInput) (r Result, err error) {
	u := align.Unit(in.AreaUnit)
	if u.Dimension() != align.LengthDim {
		return r, fault("input.areaUnit", string(u), align.ErrWrongUnit)
	}
	got, err := piping.RestrainedPipe{
		Area: unit.Area(in.Area * u.SI(1) * u.SI(1)), Modulus: unit.Pressure(in.Modulus),
		Length: in.Length.Of(), Strain: float64(in.Strain), Gap: in.Gap.Of(),
	}.Load()
	r.Length("free", got.Free)
	r.Length("blocked", got.Blocked)
	r.Number("stress", float64(got.Stress), align.PressureDim)
	r.Number("force", float64(got.Force), align.ForceDim)
	r.Number("stress.size", math.Abs(float64(got.Stress)), align.PressureDim)
	r.Number("force.size", math.Abs(float64(got.Force)), align.ForceDim)
	return r, err
}

type freeLengthInput struct {
	Outside  Length   `json:"outside"`
	Modulus  Pressure `json:"modulus"`
	Movement Length   `json:"movement"`
	Stress   Pressure `json:"stress"`
}

func freeLength(in freeLengthInput) (r Result, err error) {
	l, err := piping.FreeLengthFor(in.Outside.Of(), unit.Pressure(in.Modulus), in.Movement.Of(), unit.Pressure(in.Stress))
	r.Length("length", l)
	return r, err
}

type offsetShareInput struct {
	Offset Length   `json:"offset"`
	Legs   []Length `json:"legs"`
}

func shareOffset(in offsetShareInput) (r Result, err error) {
	shares, err := piping.ShareOffset(in.Offset.Of(), lengthsOf(in.Legs))
	for i, s := range shares {
		r.Length(fmt.Sprintf("leg.%d", i), s)
	}
	return r, err
}

type flexibilityInput struct {
	Outside   Length `json:"outside"`
	Movement  Length `json:"movement"`
	Developed Length `json:"developed"`
	Straight  Length `json:"straight"`
	Units     Kind   `json:"units"`
}

// unitsOf reads the form of a printed rule.
func unitsOf(path string, k Kind) (piping.UnitSystem, error) {
	return kindFrom(path, &k, 0, map[Kind]piping.UnitSystem{"us": piping.USCustomary, "si": piping.SI})
}

func flexibilityTest(in flexibilityInput) (r Result, err error) {
	u, err := unitsOf("input.units", in.Units)
	if err != nil {
		return r, err
	}
	v, err := piping.FlexibilityTest{
		Outside: in.Outside.Of(), Movement: in.Movement.Of(), Developed: in.Developed.Of(),
		Straight: in.Straight.Of(), Units: u,
	}.Judge()
	if err != nil {
		return r, err
	}
	r.Ratio("measured", v.Measured)
	r.Ratio("limit", v.Limit.SI())
	r.Text("verdict", judgedWord(v.Within))
	return r, nil
}

func judgedWord(ok bool) string {
	if ok {
		return "within"
	}
	return "over"
}

type screenInput struct {
	Pipe   straightInput `json:"pipe"`
	Misfit misfitInput   `json:"misfit"`
	Nozzle nozzleInput   `json:"nozzle"`
}

func misfitScreen(in screenInput) (r Result, err error) {
	p, err := in.Pipe.pipe()
	if err != nil {
		return r, err
	}
	away, m, err := in.Misfit.misfit()
	if err != nil {
		return r, err
	}
	n, err := in.Nozzle.nozzle()
	if err != nil {
		return r, err
	}
	s, err := piping.ScreenMisfit(p, away, m, n)
	if err != nil {
		return r, err
	}
	r.pipeLoad("", s.Load)
	r.Text("verdict", judgedWord(s.Within))
	r.Text("governs", s.Governs.Limit.Name)
	r.Ratio("portion", s.Portion)
	return r, nil
}
