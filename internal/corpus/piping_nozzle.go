package corpus

import (
	"fmt"
	"strings"

	"collinear.example/align"
	"collinear.example/piping"
	"gonum.org/v1/gonum/unit"
)

// pipingNozzleComputations are about what a connection may carry.
func pipingNozzleComputations() map[string]Computation {
	return map[string]Computation{
		"piping.api-610-nozzle":  computation(api610Nozzle),
		"piping.api-610-pump":    computation(api610Pump),
		"piping.connection-size": computation(connectionSize),
		"piping.connections":     computation(connections),
	}
}

// nozzleInput is a nozzle of the table of API 610.
type nozzleInput struct {
	NPS   float64 `json:"nps"`
	Port  Kind    `json:"port"`
	Units Kind    `json:"units"`
}

func (in nozzleInput) nozzle() (n piping.API610Nozzle, err error) {
	port, err := kindFrom("input.nozzle.port", &in.Port, 0, map[Kind]piping.Port{
		"top": piping.TopNozzle, "side": piping.SideNozzle, "end": piping.EndNozzle,
	})
	if err != nil {
		return n, err
	}
	u, err := unitsOf("input.nozzle.units", in.Units)
	if err != nil {
		return n, err
	}
	return piping.API610(in.NPS, port, u)
}

// loadInput is a load; the axes are told by the computation.
type loadInput struct {
	Force  []Force  `json:"force"`
	Moment []Torque `json:"moment"`
}

func (in loadInput) three(path string) (f [3]unit.Force, m [3]unit.Torque, err error) {
	if len(in.Force) != 3 || len(in.Moment) != 3 {
		return f, m, fault(path, "give three forces and three moments", align.ErrMissing)
	}
	for i := range 3 {
		f[i], m[i] = unit.Force(in.Force[i]), unit.Torque(in.Moment[i])
	}
	return f, m, nil
}

// inAPI610Axes reads X along the shaft, Y across it to the left, Z up.
func (in loadInput) inAPI610Axes(path string) (piping.Load, error) {
	f, m, err := in.three(path)
	return piping.FromAPI610Axes(f, m), err
}

func (in loadInput) inTrainAxes(path string) (piping.Load, error) {
	f, m, err := in.three(path)
	return piping.Load{
		Force: piping.Forces{X: f[0], Y: f[1], Z: f[2]}, Moment: piping.Moments{X: m[0], Y: m[1], Z: m[2]},
	}, err
}

type api610NozzleInput struct {
	Nozzle nozzleInput `json:"nozzle"`
	Load   *loadInput  `json:"load"` // in the axes of the standard
}

// pipeVerdict adds a limit, and the share of it that is used.
func (r *Result) pipeVerdict(name string, v align.Verdict) {
	r.Number(name+".limit", v.Limit.SI(), v.Limit.Unit.Dimension())
	r.Number(name+".measured", v.Measured, v.Limit.Unit.Dimension())
	r.Ratio(name+".share", v.Share())
	r.Text(name+".verdict", judgedWord(v.Within))
}

func api610Nozzle(in api610NozzleInput) (r Result, err error) {
	n, err := in.Nozzle.nozzle()
	if err != nil {
		return r, err
	}
	var l piping.Load
	if in.Load != nil {
		if l, err = in.Load.inAPI610Axes("input.load"); err != nil {
			return r, err
		}
	}
	vs, err := n.JudgeNozzle(l)
	if err != nil {
		return r, err
	}
	for _, v := range vs {
		name := strings.ToLower(v.Limit.Name)
		r.Number(name+".limit", v.Limit.SI(), v.Limit.Unit.Dimension())
		if in.Load != nil {
			r.pipeVerdict(name, v)
		}
	}
	if in.Load != nil {
		r.Text("verdict", judgedWord(piping.AllWithin(vs)))
	}
	return r, nil
}

type pumpSideInput struct {
	Nozzle nozzleInput `json:"nozzle"`
	Load   loadInput   `json:"load"`   // in the axes of the standard
	Centre []Length    `json:"centre"` // in the axes of the standard
}

func (in pumpSideInput) connection(path string) (c piping.PumpConnection, err error) {
	if c.Nozzle, err = in.Nozzle.nozzle(); err != nil {
		return c, err
	}
	if len(in.Centre) != 3 {
		return c, fault(path+".centre", "give three lengths", align.ErrMissing)
	}
	c.Centre = align.Displacement{X: in.Centre[0].Of(), Y: in.Centre[2].Of(), Z: -in.Centre[1].Of()}
	c.Load, err = in.Load.inAPI610Axes(path + ".load")
	return c, err
}

type pumpInput struct {
	Suction   pumpSideInput `json:"suction"`
	Discharge pumpSideInput `json:"discharge"`
}

func api610Pump(in pumpInput) (r Result, err error) {
	var p piping.API610Pump
	if p.Suction, err = in.Suction.connection("input.suction"); err != nil {
		return r, err
	}
	if p.Discharge, err = in.Discharge.connection("input.discharge"); err != nil {
		return r, err
	}
	c, err := p.Judge()
	if err != nil {
		return r, err
	}
	for i, name := range []string{"fx", "fy", "fz", "mx", "my", "mz"} {
		// Against the table, not against twice the table.
		r.Ratio("suction."+name+".ratio", 2*c.Suction[i].Share())
		r.Ratio("discharge."+name+".ratio", 2*c.Discharge[i].Share())
	}
	r.Text("suction.parts", judgedWord(piping.AllWithin(c.Suction)))
	r.Text("discharge.parts", judgedWord(piping.AllWithin(c.Discharge)))
	r.pipeVerdict("f1", c.SuctionShares)
	r.pipeVerdict("f2", c.DischargeShares)
	r.pipeVerdict("f3", c.CentreForce)
	r.pipeVerdict("f4", c.CentreAcross)
	r.pipeVerdict("f5", c.CentreMoment)
	f, m := c.Centre.API610Axes()
	for i, axis := range []string{"x", "y", "z"} {
		r.Number("centre.force."+axis, float64(f[i]), align.ForceDim)
		r.Number("centre.moment."+axis, float64(m[i]), align.MomentDim)
	}
	r.Text("verdict", judgedWord(piping.AllWithin(c.Verdicts())))
	return r, nil
}

// ruleInput is a rule for connections, with how many times it is allowed.
type ruleInput struct {
	Standard Kind     `json:"standard"`
	Factor   *float64 `json:"factor"`
}

func (in ruleInput) rule() (rule piping.ConnectionRule, err error) {
	switch in.Standard {
	case "nema-sm-23":
		rule = piping.NEMASM23()
	case "api-617-us":
		rule, err = piping.API617(piping.USCustomary)
	case "api-617-si":
		rule, err = piping.API617(piping.SI)
	default:
		return rule, fault("input.rule.standard", string(in.Standard), align.ErrUnknownKind)
	}
	if err != nil || in.Factor == nil {
		return rule, err
	}
	return rule.Scaled(*in.Factor, "specification of the job")
}

type connectionSizeInput struct {
	Rule    ruleInput `json:"rule"`
	Nominal []Length  `json:"nominal"`
}

func connectionSize(in connectionSizeInput) (r Result, err error) {
	rule, err := in.Rule.rule()
	if err != nil {
		return r, err
	}
	sizes := lengthsOf(in.Nominal)
	for i, n := range sizes {
		d, err := rule.EquivalentDiameter(n)
		if err != nil {
			return r, err
		}
		r.Length(fmt.Sprintf("single.%d", i), d)
	}
	d, err := rule.CombinedDiameter(sizes...)
	r.Length("combined", d)
	return r, err
}

type connectionInput struct {
	Nominal Length    `json:"nominal"`
	Load    loadInput `json:"load"`
	Centre  []Length  `json:"centre,omitempty"`
}

type connectionsInput struct {
	Rule        ruleInput         `json:"rule"`
	Connections []connectionInput `json:"connections"`
}

func (in connectionInput) connection(path string) (c piping.Connection, err error) {
	c.Nominal = in.Nominal.Of()
	if in.Centre != nil {
		if len(in.Centre) != 3 {
			return c, fault(path+".centre", "give three lengths", align.ErrMissing)
		}
		c.Centre = align.Displacement{X: in.Centre[0].Of(), Y: in.Centre[1].Of(), Z: in.Centre[2].Of()}
	}
	c.Load, err = in.Load.inTrainAxes(path + ".load")
	return c, err
}

func connections(in connectionsInput) (r Result, err error) {
	rule, err := in.Rule.rule()
	if err != nil {
		return r, err
	}
	all := make([]piping.Connection, len(in.Connections))
	for i := range in.Connections {
		if all[i], err = in.Connections[i].connection(fmt.Sprintf("input.connections[%d]", i)); err != nil {
			return r, err
		}
		v, err := rule.JudgeSingle(all[i])
		if err != nil {
			return r, err
		}
		r.pipeVerdict(fmt.Sprintf("single.%d", i), v)
	}
	c, err := rule.JudgeCombined(all)
	if err != nil {
		return r, err
	}
	r.pipeLoad("combined.", c.Load)
	r.Length("combined.diameter", c.Diameter)
	r.pipeVerdict("combined.resultant", c.Resultant)
	for _, v := range c.Parts {
		r.pipeVerdict("combined."+strings.ToLower(v.Limit.Name), v)
	}
	return r, nil
}
