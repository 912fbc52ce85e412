package corpus

import (
	"fmt"

	"collinear.example/align"
	"collinear.example/thermal"
	"gonum.org/v1/gonum/unit"
)

// thermalMachineComputations are about machines that warm up: on their supports,
// along the train and inside their bearings.
func thermalMachineComputations() map[string]Computation {
	return map[string]Computation{
		"thermal.machine":   computation(machineGrowth),
		"thermal.axial-gap": computation(axialGap),
		"thermal.end-float": computation(endFloat),
		"thermal.journal":   computation(journalShift),
		"thermal.movement":  computation(stationMovements),
	}
}

type supportAtInput struct {
	Station  Length         `json:"station"`
	Lateral  Length         `json:"lateral"`
	Segments []segmentInput `json:"segments"`
}

type keyInput struct {
	Station  Length        `json:"station"`
	Lateral  Length        `json:"lateral"`
	Material materialInput `json:"material"`
	Cold     Temperature   `json:"cold"`
	Hot      Temperature   `json:"hot"`
}

type machineInput struct {
	Supports      []supportAtInput `json:"supports"`
	Keys          []keyInput       `json:"keys,omitempty"`
	ResidualLimit *Length          `json:"residualLimit"`
	Stations      []Length         `json:"stations,omitempty"` // where the movement is wanted
}

func (in machineInput) machine() (m thermal.Machine, err error) {
	for i, s := range in.Supports {
		support, err := supportOf(s.Segments)
		if err != nil {
			return m, align.In(err, fmt.Sprintf("supports[%d]", i))
		}
		m.Supports = append(m.Supports, thermal.SupportAt{Station: s.Station.Of(), Lateral: s.Lateral.Of(), Support: support})
	}
	for i, k := range in.Keys {
		material, err := k.Material.material()
		if err != nil {
			return m, align.In(err, fmt.Sprintf("keys[%d]", i))
		}
		m.Keys = append(m.Keys, thermal.Key{
			Station: k.Station.Of(), Lateral: k.Lateral.Of(), Material: material,
			Cold: unit.Temperature(k.Cold), Hot: unit.Temperature(k.Hot),
		})
	}
	if in.ResidualLimit != nil {
		l := in.ResidualLimit.Of()
		m.ResidualLimit = &l
	}
	return m, nil
}

func machineGrowth(in machineInput) (r Result, err error) {
	m, err := in.machine()
	if err != nil {
		return r, err
	}
	g, err := m.Growth()
	if err != nil {
		return r, err
	}
	r.offsetsAt(g.Axis, in.Stations)
	for i, s := range g.Stations {
		name := fmt.Sprintf("support-station.%d", i)
		r.Length(name+".at", s.Station)
		r.Length(name+".growth", s.Growth)
		r.Length(name+".uneven", s.Uneven)
		r.Length(name+".residual", s.Residual)
		if s.RollKnown {
			r.Ratio(name+".roll", s.Roll)
		}
	}
	r.Warn(g.Warnings...)
	return r, nil
}

// offsetsAt adds slope and, as offset.0 and so on, the offsets at stations.
func (r *Result) offsetsAt(a align.Axis, stations []Length) {
	r.Slope("slope", a.Slope())
	for i, x := range stations {
		r.Offset(fmt.Sprintf("offset.%d", i), a.At(x.Of()))
	}
}

type axialPartInput struct {
	Material materialInput `json:"material"`
	Cold     Temperature   `json:"cold"`
	Hot      Temperature   `json:"hot"`
}

func (in axialPartInput) part(path string) (thermal.AxialPart, error) {
	m, err := in.Material.material()
	return thermal.AxialPart{Material: m, Cold: unit.Temperature(in.Cold), Hot: unit.Temperature(in.Hot)}, align.In(err, path)
}

type axialMachineInput struct {
	Fixed  Length         `json:"fixed"`
	Thrust Length         `json:"thrust"`
	End    Length         `json:"end"`
	Casing axialPartInput `json:"casing"`
	Rotor  axialPartInput `json:"rotor"`
	Shift  *Length        `json:"shift"`
}

func (in axialMachineInput) machine(path string) (m thermal.AxialMachine, err error) {
	m = thermal.AxialMachine{Fixed: in.Fixed.Of(), Thrust: in.Thrust.Of(), End: in.End.Of(), Shift: in.Shift.Of()}
	if m.Casing, err = in.Casing.part(path + ".casing"); err != nil {
		return m, err
	}
	m.Rotor, err = in.Rotor.part(path + ".rotor")
	return m, err
}

type axialGapInput struct {
	Near    axialMachineInput `json:"near"`
	Far     axialMachineInput `json:"far"`
	Cold    *Length           `json:"cold"`    // the gap as set, for the running one
	Running *Length           `json:"running"` // the gap as wanted, for the cold one
}

func axialGap(in axialGapInput) (r Result, err error) {
	var g thermal.AxialGap
	if g.Near, err = in.Near.machine("near"); err != nil {
		return r, err
	}
	if g.Far, err = in.Far.machine("far"); err != nil {
		return r, err
	}
	change, err := g.Change()
	if err != nil {
		return r, err
	}
	r.Length("change", change)
	if in.Cold != nil {
		running, err := g.Running(in.Cold.Of())
		if err != nil {
			return r, err
		}
		r.Length("running", running)
	}
	if in.Running == nil {
		return r, nil
	}
	cold, err := g.Cold(in.Running.Of())
	r.Length("cold", cold)
	return r, err
}

type endFloatInput struct {
	Bearing Length  `json:"bearing"` // total
	Travel  Length  `json:"travel"`  // to either side
	Centre  *Length `json:"centre"`
}

func endFloat(in endFloatInput) (r Result, err error) {
	c, err := thermal.EndFloat{Bearing: in.Bearing.Of(), Travel: in.Travel.Of(), Centre: in.Centre.Of()}.Judge()
	if err != nil {
		return r, err
	}
	r.Length("low", c.Low)
	r.Length("high", c.High)
	r.Ratio("share", c.Share.Measured)
	r.Text("window", yesNo(c.Inside, "inside", "outside"))
	r.Text("half-float", yesNo(c.Share.Within, "within", "over"))
	return r, nil
}

func yesNo(is bool, yes, no string) string {
	if is {
		return yes
	}
	return no
}

type journalInput struct {
	Clearance    Length   `json:"clearance"`    // diametral
	Load         float64  `json:"load"`         // clock degrees
	Eccentricity *Ratio   `json:"eccentricity"` // 1 when absent: against the bore
	Attitude     *float64 `json:"attitude"`     // degrees
	Turning      *Kind    `json:"turning"`      // clockwise, counterclockwise
}

func journalShift(in journalInput) (r Result, err error) {
	j := thermal.Journal{Clearance: in.Clearance.Of(), Load: align.Clock(in.Load), Eccentricity: 1}
	if in.Eccentricity != nil {
		j.Eccentricity = float64(*in.Eccentricity)
	}
	if in.Attitude != nil {
		j.Attitude = *in.Attitude
	}
	j.Turning, err = kindFrom("turning", in.Turning, thermal.SenseUnknown, map[Kind]thermal.Sense{
		"clockwise": thermal.Clockwise, "counterclockwise": thermal.Counterclockwise,
	})
	if err != nil {
		return r, err
	}
	s, err := j.Shift()
	if err != nil {
		return r, err
	}
	r.Offset("from-centre", s.FromCentre)
	r.Offset("from-rest", s.FromRest)
	return r, nil
}

type contributionInput struct {
	Cause  Kind        `json:"cause"`
	Offset offsetInput `json:"offset"`
}

type stationMovementInput struct {
	Station       Length              `json:"station"`
	Contributions []contributionInput `json:"contributions"`
}

type movementInput struct {
	First    stationMovementInput `json:"first"`
	Second   stationMovementInput `json:"second"`
	Stations []Length             `json:"stations,omitempty"`
}

func (in stationMovementInput) movement(path string) (m thermal.StationMovement, err error) {
	m.Station = in.Station.Of()
	for i, c := range in.Contributions {
		field := fmt.Sprintf("%s.contributions[%d].cause", path, i)
		cause, err := kindFrom(field, &c.Cause, thermal.OtherCause, map[Kind]thermal.Cause{
			"other": thermal.OtherCause, "growth": thermal.CauseGrowth, "oil-film": thermal.CauseOilFilm,
			"gear-load": thermal.CauseGearLoad, "pipe": thermal.CausePipe, "pressure": thermal.CausePressure,
		})
		if err != nil {
			return m, err
		}
		m.Contributions = append(m.Contributions, thermal.Contribution{Cause: cause, Offset: c.Offset.offset()})
	}
	return m, nil
}

func stationMovements(in movementInput) (r Result, err error) {
	first, err := in.First.movement("first")
	if err != nil {
		return r, err
	}
	second, err := in.Second.movement("second")
	if err != nil {
		return r, err
	}
	a, err := thermal.MovementAxis(first, second)
	if err != nil {
		return r, err
	}
	r.Offset("first", a.At(first.Station))
	r.Offset("second", a.At(second.Station))
	r.offsetsAt(a, in.Stations)
	return r, nil
}
