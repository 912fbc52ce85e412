package corpus

import (
	"fmt"
	"strings"

	"collinear.example/align"
	"collinear.example/softfoot"
	"gonum.org/v1/gonum/unit"
)

// softfootFeetComputations are about what to do at the feet of a machine that
// does not sit.
func softfootFeetComputations() map[string]Computation {
	return map[string]Computation{
		"softfoot.twist":          computation(twist),
		"softfoot.shim-plans":     computation(shimPlans),
		"softfoot.rises":          computation(rises),
		"softfoot.rise-matrix":    computation(riseMatrix),
		"softfoot.foot-limits":    computation(footLimits),
		"softfoot.foot-diagnosis": computation(footDiagnosis),
	}
}

// machineOf is a machine that stands loose on uneven pads.
func machineOf(feet []footInput, gaps, heights []Length) softfoot.Machine {
	m := softfoot.Machine{Gaps: lengthsOf(gaps), Heights: lengthsOf(heights)}
	for _, f := range feet {
		m.Feet = append(m.Feet, softfoot.Foot{Name: f.Name, Station: f.Station.Of(), Lateral: f.Lateral.Of()})
	}
	return m
}

type twistInput struct {
	Feet    []footInput `json:"feet"`
	Gaps    []Length    `json:"gaps,omitempty"`
	Heights []Length    `json:"heights,omitempty"`
}

func twist(in twistInput) (r Result, err error) {
	v, err := machineOf(in.Feet, in.Gaps, in.Heights).Twist()
	if err != nil {
		return r, err
	}
	r.Length("twist", v)
	return r, nil
}

type shimPlansInput struct {
	Feet    []footInput `json:"feet"`
	Gaps    []Length    `json:"gaps,omitempty"`
	Heights []Length    `json:"heights,omitempty"`
	Remove  []Length    `json:"remove,omitempty"` // what can be taken out under each foot
}

// shimPlans gives the plans that add shims, or those that take them out when
// remove is given, best first.
func shimPlans(in shimPlansInput) (r Result, err error) {
	m := machineOf(in.Feet, in.Gaps, in.Heights)
	var plans []softfoot.Plan
	if in.Remove == nil {
		plans, err = m.AddPlans()
	} else {
		plans, err = m.TakeOutPlans(lengthsOf(in.Remove))
	}
	if err != nil {
		return r, err
	}
	r.Ratio("plans", float64(len(plans)))
	for k, p := range plans {
		name := fmt.Sprintf("plan.%d", k)
		r.Ratio(name+".shimmed", float64(p.Shimmed))
		r.Length(name+".total", p.Total)
		r.Length(name+".largest", p.Largest)
		for i, c := range p.Change {
			r.Length(fmt.Sprintf("%s.change.%d", name, i), c)
		}
	}
	if len(plans) > 0 {
		r.Length("least-total", leastTotal(plans))
	}
	return r, nil
}

func leastTotal(plans []softfoot.Plan) unit.Length {
	least := plans[0].Total
	for _, p := range plans {
		least = min(least, p.Total)
	}
	return least
}

type risesInput struct {
	Feet    []string `json:"feet"`
	Rises   []Length `json:"rises"`
	Profile *string  `json:"profile"` // criterion to hold them against; none when absent
}

func movements(list []Length) []align.Movement {
	out := make([]align.Movement, len(list))
	for i, v := range list {
		out[i] = align.Movement(v)
	}
	return out
}

func rises(in risesInput) (r Result, err error) {
	given := softfoot.Rises{Feet: in.Feet, Rise: movements(in.Rises)}
	e, err := given.Excess()
	if err != nil {
		return r, err
	}
	r.Length("common", unit.Length(e.Common))
	r.Length("spread", unit.Length(given.Spread()))
	for i, s := range e.Shim {
		r.Length(fmt.Sprintf("shim.%d", i), s)
	}
	r.Warn(e.Warnings...)
	if in.Profile == nil {
		return r, nil
	}
	return r, r.judgeRises(given, *in.Profile)
}

// judgeRises adds verdict.NAME for each foot and verdict.spread, within or over,
// where the profile limits them.
func (r *Result) judgeRises(given softfoot.Rises, profile string) error {
	p, err := softfoot.FootProfile(profile)
	if err != nil {
		return err
	}
	verdicts, err := given.Judge(p)
	if err != nil {
		return err
	}
	for i, v := range verdicts {
		name := "verdict.spread"
		if v.Foot != "" {
			name = fmt.Sprintf("verdict.%d", i)
		}
		word := "over"
		if v.Within {
			word = "within"
		}
		r.Text(name, word)
	}
	return nil
}

type riseMatrixInput struct {
	Feet        []string   `json:"feet"`
	OthersTight bool       `json:"othersTight"`
	Rises       [][]Length `json:"rises"` // a row for each bolt loosened, a value for each dial
}

func riseMatrix(in riseMatrixInput) (r Result, err error) {
	m := softfoot.RiseMatrix{Feet: in.Feet, OthersTight: in.OthersTight}
	for _, row := range in.Rises {
		m.Rise = append(m.Rise, movements(row))
	}
	own, warnings, err := m.Own()
	if err != nil {
		return r, err
	}
	for i, v := range own.Rise {
		r.Length(fmt.Sprintf("own.%d", i), unit.Length(v))
	}
	r.Length("spread", unit.Length(own.Spread()))
	r.Warn(warnings...)
	return r, nil
}

type footLimitsInput struct {
	Profile string `json:"profile"`
}

func footLimits(in footLimitsInput) (r Result, err error) {
	p, err := softfoot.FootProfile(in.Profile)
	if err != nil {
		return r, err
	}
	r.limit("each", p.Each)
	r.limit("spread", p.Spread)
	r.limit("feeler", p.Feeler)
	if p.MostShims > 0 {
		r.Ratio("shims", float64(p.MostShims))
	}
	return r, nil
}

type footDiagnosisInput struct {
	Face  *faceOfFoot `json:"face"`
	Rise  *Length     `json:"rise"`  // pipe and coupling as they were
	Free  *Length     `json:"free"`  // pipe and coupling free
	Least *Length     `json:"least"` // what counts; 0.05 mm when absent
}

// footDiagnosis gives kinds, the words of all that is proved, and verdict: soft,
// sits or cannot-tell.
func footDiagnosis(in footDiagnosisInput) (r Result, err error) {
	e := softfoot.FootEvidence{Least: in.Least.Of(), Rise: in.Rise.movement(), Free: in.Free.movement()}
	if in.Face != nil {
		face, err := in.Face.face()
		if err != nil {
			return r, err
		}
		e.Face = &face
	}
	d, err := e.Diagnose()
	if err != nil {
		return r, err
	}
	kinds := make([]string, len(d.Kinds))
	for i, k := range d.Kinds {
		kinds[i] = string(k)
	}
	if len(kinds) > 0 {
		r.Text("kinds", strings.Join(kinds, " "))
	}
	switch {
	case d.CannotTell:
		r.Text("verdict", "cannot-tell")
	case len(kinds) > 0:
		r.Text("verdict", "soft")
	default:
		r.Text("verdict", "sits")
	}
	return r, nil
}

// movement is the length as a static movement, nil when none is given.
func (l *Length) movement() *align.Movement {
	if l == nil {
		return nil
	}
	m := align.Movement(*l)
	return &m
}
