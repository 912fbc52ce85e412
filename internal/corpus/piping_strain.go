package corpus

import (
	"cmp"
	"fmt"
	"strings"

	"collinear.example/align"
	"collinear.example/piping"
	"gonum.org/v1/gonum/unit"
)

// pipingStrainComputations are about how a machine moves while it is bolted up.
func pipingStrainComputations() map[string]Computation {
	return map[string]Computation{
		"piping.strain-test": computation(strainTest),
		"piping.oblique":     computation(oblique),
	}
}

// spotInput is a point in the frame of the train.
type spotInput struct {
	X Length `json:"x"`
	Y Length `json:"y"`
	Z Length `json:"z"`
}

func (p spotInput) place() align.Place { return align.Place{X: p.X.Of(), Y: p.Y.Of(), Z: p.Z.Of()} }

type namedSpot struct {
	Name string    `json:"name"`
	At   spotInput `json:"at"`
}

func namedPlaces(in []namedSpot) (out []piping.NamedPlace) {
	for _, p := range in {
		out = append(out, piping.NamedPlace{Name: p.Name, At: p.At.place()})
	}
	return out
}

type indicatorInput struct {
	Name    string    `json:"name"`
	At      spotInput `json:"at"`
	Toward  []float64 `json:"toward"` // x, y and z of a vector of unit length
	Carrier *Kind     `json:"carrier"`
	Touches *Kind     `json:"touches"`
	Sigma   *Length   `json:"sigma"`
}

func (in indicatorInput) indicator() (piping.Indicator, error) {
	if len(in.Toward) != 3 {
		return piping.Indicator{}, fault("toward", fmt.Sprintf("%d numbers", len(in.Toward)), align.ErrMismatch)
	}
	carrier, err := kindFrom("carrier", in.Carrier, piping.BaseCarried, map[Kind]piping.Carrier{
		"base": piping.BaseCarried, "other-shaft": piping.OtherShaftCarried, "own-shaft": piping.OwnShaftCarried,
	})
	if err != nil {
		return piping.Indicator{}, err
	}
	touches, err := kindFrom("touches", in.Touches, piping.Casing, map[Kind]piping.Touched{
		"casing": piping.Casing, "foot": piping.Foot, "shaft": piping.Shaft,
	})
	return piping.Indicator{
		Name: in.Name, At: in.At.place(), Carrier: carrier, Touches: touches, Sigma: in.Sigma.Of(),
		Toward: align.Direction{X: in.Toward[0], Y: in.Toward[1], Z: in.Toward[2]},
	}, err
}

// shownInput is what one indicator shows.
type shownInput struct {
	By    string `json:"by"`
	Shows Length `json:"shows"`
}

type strainStepInput struct {
	Name     string       `json:"name"`
	Action   Kind         `json:"action"`
	Group    Kind         `json:"group"`
	Of       []string     `json:"of"`
	Readings []shownInput `json:"readings"`
	Rezeroed bool         `json:"rezeroed,omitempty"`
	Undoes   string       `json:"undoes,omitempty"`
}

type strainTestInput struct {
	Indicators []indicatorInput  `json:"indicators"`
	Start      []shownInput      `json:"start,omitempty"`
	Steps      []strainStepInput `json:"steps"`
	Shaft      spotInput         `json:"shaft"`
	Coupling   []Length          `json:"coupling"`
	Feet       []namedSpot       `json:"feet,omitempty"`
	Nozzles    []namedSpot       `json:"nozzles,omitempty"`
	Held       []Kind            `json:"held,omitempty"`
	Lever      *Length           `json:"lever"`
	Resolution *Length           `json:"resolution"`
	Cleared    bool              `json:"softFootCleared,omitempty"`
	Limit      *Length           `json:"limit"` // hold the movement against it
	Occasion   *Kind             `json:"occasion"`
}

func (in strainTestInput) test() (t piping.StrainTest, err error) {
	t = piping.StrainTest{
		Shaft: in.Shaft.place(), Feet: namedPlaces(in.Feet), Nozzles: namedPlaces(in.Nozzles),
		Lever: in.Lever.Of(), Resolution: in.Resolution.Of(), SoftFootCleared: in.Cleared,
	}
	for i, n := range in.Indicators {
		one, err := n.indicator()
		if err != nil {
			return t, align.In(err, fmt.Sprintf("indicators[%d]", i))
		}
		t.Indicators = append(t.Indicators, one)
	}
	for _, x := range in.Coupling {
		t.Coupling = append(t.Coupling, x.Of())
	}
	if in.Start != nil {
		if t.Start, err = shown("start", t.Indicators, in.Start); err != nil {
			return t, err
		}
	}
	if t.Held, err = heldWays(in.Held); err != nil {
		return t, err
	}
	for i := range in.Steps {
		s, err := in.Steps[i].step(t.Indicators)
		if err != nil {
			return t, align.In(err, fmt.Sprintf("steps[%d]", i))
		}
		t.Steps = append(t.Steps, s)
	}
	return t, nil
}

// shown puts readings by name into the order of the indicators.
func shown(field string, indicators []piping.Indicator, in []shownInput) ([]piping.Reading, error) {
	out := make([]piping.Reading, len(indicators))
	for k, one := range in {
		at := -1
		for i := range indicators {
			if indicators[i].Name == one.By {
				at = i
				break
			}
		}
		path := fmt.Sprintf("%s[%d].by", field, k)
		switch {
		case at < 0:
			return nil, fault(path, one.By, align.ErrMismatch)
		case out[at].Given:
			return nil, fault(path, one.By, piping.ErrGivenTwice)
		}
		out[at] = piping.Shows(align.Movement(one.Shows.Of()))
	}
	return out, nil
}

func (in *strainStepInput) step(indicators []piping.Indicator) (s piping.Step, err error) {
	s = piping.Step{Name: in.Name, Of: in.Of, Rezeroed: in.Rezeroed, Undoes: in.Undoes}
	s.Action, err = kindFrom("action", &in.Action, piping.Tighten, map[Kind]piping.Action{
		"tighten": piping.Tighten, "loosen": piping.Loosen, "fit": piping.Fit, "remove": piping.Remove,
	})
	if err != nil {
		return s, err
	}
	s.Group, err = kindFrom("group", &in.Group, piping.Feet, map[Kind]piping.Group{
		"feet": piping.Feet, "flange": piping.Flange, "support": piping.Support,
	})
	if err != nil {
		return s, err
	}
	s.Readings, err = shown("readings", indicators, in.Readings)
	return s, err
}

func heldWays(in []Kind) (w piping.Ways, err error) {
	ways := map[Kind]*bool{
		"shift-x": &w.ShiftX, "shift-y": &w.ShiftY, "shift-z": &w.ShiftZ,
		"turn-x": &w.TurnX, "turn-y": &w.TurnY, "turn-z": &w.TurnZ,
	}
	for i := range in {
		way, err := kindFrom(fmt.Sprintf("held[%d]", i), &in[i], nil, ways)
		if err != nil {
			return w, err
		}
		*way = true
	}
	return w, nil
}

func strainTest(in strainTestInput) (r Result, err error) {
	t, err := in.test()
	if err != nil {
		return r, err
	}
	s, err := t.Result()
	if err != nil {
		return r, err
	}
	r.Warn(s.Warnings...)
	for k := range s.Steps {
		r.movements(fmt.Sprintf("step.%d", k), &s.Steps[k].Step)
	}
	r.movements("final", s.Final())
	for i, c := range s.Coupling {
		name := fmt.Sprintf("largest.coupling.%d", i)
		r.component(name+".up", c.Up.Component)
		r.component(name+".right", c.Right.Component)
	}
	r.causes(s)
	for i, c := range s.Closures {
		name := fmt.Sprintf("closure.%d", i)
		r.Length(name+".worst", unit.Length(c.Worst))
		r.Length(name+".limit", unit.Length(c.Limit))
		r.Text(name+".within", yesNo(c.Within, "yes", "no"))
	}
	return r, r.judged(in, &s)
}

// judged holds the movement against the limit of the input, if there is one.
func (r *Result) judged(in strainTestInput, s *piping.StrainResult) error {
	occasion, err := kindFrom("occasion", in.Occasion, piping.BoltingUp, map[Kind]piping.Occasion{
		"bolting-up": piping.BoltingUp, "pipe-on-against-free": piping.PipeOnAgainstFree,
		"feet-freed": piping.FeetFreed, "deformed": piping.Deformed,
	})
	if err != nil || in.Limit == nil {
		return err
	}
	vs, err := s.Judge(piping.MovementLimit{Limit: align.Limit{Value: float64(*in.Limit), Unit: align.UnitMetre}, Occasion: occasion})
	for i, v := range vs {
		name := fmt.Sprintf("verdict.%d", i)
		r.Text(name, v.Outcome.String())
		r.Text(name+".of", v.Quantity+" "+v.Plane)
	}
	return err
}

func (r *Result) causes(s piping.StrainResult) {
	for k := range s.Causes {
		c := &s.Causes[k]
		name := fmt.Sprintf("step.%d", k)
		reasons := make([]string, len(c.Reasons))
		for i, why := range c.Reasons {
			reasons[i] = string(why)
		}
		r.Text(name+".not-separable", cmp.Or(strings.Join(reasons, " "), "none"))
		r.component(name+".pull.up", c.Pull.Up)
		r.component(name+".pull.right", c.Pull.Right)
	}
	for _, g := range []piping.Group{piping.Feet, piping.Flange, piping.Support} {
		if c, _, ok := s.Most(g); ok {
			r.Text("most."+g.String(), s.Steps[c.Step].Name)
			r.component("most."+g.String()+".size", c.Size)
		}
	}
}

// movements adds what is known; what is not is left out.
func (r *Result) movements(name string, m *piping.Movements) {
	r.Ratio(name+".rank", float64(m.Casing.Rank()))
	r.Ratio(name+".shaft-rank", float64(m.Touched.Rank()))
	undetermined := m.Casing.Undetermined()
	r.Text(name+".undetermined", cmp.Or(strings.Join(undetermined.Names(), ", "), "none"))
	turns := [3]float64{m.Casing.Motion().Turn.X, m.Casing.Motion().Turn.Y, m.Casing.Motion().Turn.Z}
	for i, known := range [3]bool{m.Casing.Known().TurnX, m.Casing.Known().TurnY, m.Casing.Known().TurnZ} {
		if known {
			r.Ratio(name+".turn."+"xyz"[i:i+1], turns[i])
			r.Ratio(name+".turn."+"xyz"[i:i+1]+".sigma", m.Casing.Sigma()[3+i])
		}
	}
	for _, group := range []struct {
		name   string
		points []piping.PointMovement
	}{{".coupling", m.Shaft().At}, {".foot", m.Feet()}, {".nozzle", m.Nozzles()}} {
		for i, p := range group.points {
			at := fmt.Sprintf("%s%s.%d", name, group.name, i)
			r.component(at+".along", p.Along)
			r.component(at+".up", p.Up)
			r.component(at+".right", p.Right)
		}
	}
	if m.Shaft().VerticalSlope.Known {
		r.Ratio(name+".slope.vertical", m.Shaft().VerticalSlope.Value)
	}
	if m.Shaft().HorizontalSlope.Known {
		r.Ratio(name+".slope.horizontal", m.Shaft().HorizontalSlope.Value)
	}
	for i, reading := range m.Indicators {
		if reading.Given {
			r.Length(fmt.Sprintf("%s.moved.%d", name, i), unit.Length(reading.Value))
			r.Length(fmt.Sprintf("%s.residual.%d", name, i), unit.Length(m.Residuals()[i]))
		}
	}
}

func (r *Result) component(name string, c piping.Component) {
	if c.Known {
		r.Length(name, unit.Length(c.Value))
		r.Length(name+".sigma", unit.Length(c.Sigma))
	}
}

type obliqueInput struct {
	At         Angle   `json:"at"` // clock position
	Reading    Length  `json:"reading"`
	Limit      *Length `json:"limit"`
	Least      *Length `json:"least"` // that the dial shows
	Toward     *Angle  `json:"toward"`
	Vertical   *Length `json:"vertical"`
	Horizontal *Length `json:"horizontal"`
}

func oblique(in obliqueInput) (r Result, err error) {
	o := piping.Oblique{At: clockOf(in.At), Reading: align.Movement(in.Reading)}
	least, err := o.Least()
	if err != nil {
		return r, err
	}
	r.Length("least", unit.Length(least))
	after, before, err := o.Blind()
	if err != nil {
		return r, err
	}
	r.Number("blind.after", align.UnitDegree.SI(float64(after)), align.AngleDim)
	r.Number("blind.before", align.UnitDegree.SI(float64(before)), align.AngleDim)
	if in.Limit != nil {
		if err := r.obliqueLimit(o, in.Limit.Of()); err != nil {
			return r, err
		}
	}
	if in.Least != nil && in.Toward != nil {
		size, ok, err := o.Visible(clockOf(*in.Toward), align.Movement(*in.Least))
		if err != nil {
			return r, err
		}
		r.Text("visible", yesNo(ok, "yes", "no"))
		if ok {
			r.Length("visible.size", unit.Length(size))
		}
	}
	if in.Vertical != nil && in.Horizontal != nil {
		left, err := o.Redundancy(align.Movement(*in.Vertical), align.Movement(*in.Horizontal))
		if err != nil {
			return r, err
		}
		r.Length("redundancy", unit.Length(left))
	}
	return r, nil
}

func (r *Result) obliqueLimit(o piping.Oblique, limit unit.Length) error {
	most, err := o.MostWithin(limit)
	if err != nil {
		return err
	}
	outcome, err := o.Judge(limit)
	r.Length("most", unit.Length(most))
	r.Text("verdict", outcome.String())
	return err
}
