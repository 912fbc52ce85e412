package corpus

import (
	"fmt"

	"collinear.example/align"
	"collinear.example/moves"
	"collinear.example/piping"
	"gonum.org/v1/gonum/unit"
)

// trainInput is a train of machines for the planner.
type trainInput struct {
	Machines  []trainMachineInput  `json:"machines"`
	Couplings []trainCouplingInput `json:"couplings"`
	States    []trainStateInput    `json:"states,omitempty"`
}

type trainMachineInput struct {
	Name   string            `json:"name"`
	Feet   *trainFeetInput   `json:"feet"`
	About  *flangePointInput `json:"about"` // the middle of the feet when absent
	Free   []string          `json:"free,omitempty"`
	Weight *float64          `json:"weight"`
	Goals  []trainGoalInput  `json:"goals,omitempty"`
}

// trainFeetInput is the feet of a machine, row by row: where each stands, x y z,
// and the room it has down, up, left and right, null for no limit.
type trainFeetInput struct {
	Unit  string        `json:"unit"`
	At    [][]float64   `json:"at"`
	Room  [][]footLimit `json:"room,omitempty"` // none: no limits
	Names []string      `json:"names,omitempty"`
}

// footLimit is a number or null.
type footLimit struct{ v *float64 }

func (l *footLimit) fromTree(path string, t any) error {
	if t == nil {
		return nil
	}
	n, err := numberOf(path, t)
	l.v = &n
	return err
}

type trainGoalInput struct {
	Flange    flangePairInput      `json:"flange"`
	Joint     flangeMisfitInput    `json:"joint"`
	Tolerance flangeToleranceInput `json:"tolerance"`
	Hard      bool                 `json:"hard"`
}

type trainShaftInput struct {
	Machine int     `json:"machine"`
	Height  *Length `json:"height"`
	Lateral *Length `json:"lateral"`
}

type trainCouplingInput struct {
	Name    *string            `json:"name"`
	Near    trainShaftInput    `json:"near"`
	Far     trainShaftInput    `json:"far"`
	Found   axisInput          `json:"found"`
	Offsets []trainOffsetInput `json:"offsets,omitempty"`
	Slope   *trainSlopeInput   `json:"slope"`
	Gap     *trainGapInput     `json:"gap"`
}

type trainOffsetInput struct {
	Station   Length `json:"station"`
	Limit     Length `json:"limit"`
	Resultant *bool  `json:"resultant"`
}

type trainSlopeInput struct {
	Limit     Ratio `json:"limit"`
	Resultant *bool `json:"resultant"`
}

type trainGapInput struct {
	Error     Length `json:"error"`
	Tolerance Length `json:"tolerance"`
}

type trainStateInput struct {
	Name     string      `json:"name"`
	Relative []axisInput `json:"relative"`
	Widen    *float64    `json:"widen"`
}

func (in *trainInput) train() (*moves.Train, error) {
	t := &moves.Train{}
	for i := range in.Machines {
		m, err := in.Machines[i].machine()
		if err != nil {
			return nil, align.In(err, fmt.Sprintf("input.machines[%d]", i))
		}
		t.Machines = append(t.Machines, m)
	}
	for i := range in.Couplings {
		c, err := in.Couplings[i].coupling()
		if err != nil {
			return nil, align.In(err, fmt.Sprintf("input.couplings[%d]", i))
		}
		t.Couplings = append(t.Couplings, c)
	}
	for i := range in.States {
		s, err := in.States[i].state()
		if err != nil {
			return nil, align.In(err, fmt.Sprintf("input.states[%d]", i))
		}
		t.States = append(t.States, s)
	}
	return t, nil
}

func (in *trainMachineInput) machine() (m moves.Machine, err error) {
	m.Name = in.Name
	if in.Feet != nil {
		if m.Feet, err = in.Feet.feet(); err != nil {
			return m, err
		}
	}
	m.About = middleOf(m.Feet)
	if in.About != nil {
		m.About = in.About.of()
	}
	if m.Free, err = (compromiseInput{Free: in.Free}).ways(); err != nil {
		return m, err
	}
	if in.Weight != nil {
		m.Weight = *in.Weight
	}
	for i := range in.Goals {
		g, err := in.Goals[i].goal()
		if err != nil {
			return m, align.In(err, fmt.Sprintf("goals[%d]", i))
		}
		m.Goals = append(m.Goals, g)
	}
	return m, nil
}

func middleOf(feet []moves.Foot) (p align.Place) {
	n := unit.Length(len(feet))
	for i := range feet {
		p.X += feet[i].At.X / n
		p.Y += feet[i].At.Y / n
		p.Z += feet[i].At.Z / n
	}
	return p
}

func (in *trainFeetInput) feet() ([]moves.Foot, error) {
	u, err := align.ParseUnitOf(in.Unit, align.LengthDim)
	if err != nil {
		return nil, align.In(err, "feet")
	}
	if in.Room != nil && len(in.Room) != len(in.At) || in.Names != nil && len(in.Names) != len(in.At) {
		return nil, fault("feet", fmt.Sprintf("%d feet", len(in.At)), align.ErrMismatch)
	}
	length := func(v float64) unit.Length { return unit.Length(u.SI(v)) }
	feet := make([]moves.Foot, len(in.At))
	for i, at := range in.At {
		if len(at) != 3 {
			return nil, fault(fmt.Sprintf("feet.at[%d]", i), fmt.Sprintf("%d numbers", len(at)), align.ErrMismatch)
		}
		f := moves.Foot{Name: fmt.Sprintf("foot %d", i), At: align.Place{X: length(at[0]), Y: length(at[1]), Z: length(at[2])}}
		if in.Names != nil {
			f.Name = in.Names[i]
		}
		if in.Room != nil {
			room := in.Room[i]
			if len(room) != 4 {
				return nil, fault(fmt.Sprintf("feet.room[%d]", i), fmt.Sprintf("%d numbers", len(room)), align.ErrMismatch)
			}
			for k, end := range []**unit.Length{&f.Range.Down, &f.Range.Up, &f.Range.Left, &f.Range.Right} {
				if room[k].v != nil {
					v := length(*room[k].v)
					*end = &v
				}
			}
		}
		feet[i] = f
	}
	return feet, nil
}

func (in *trainGoalInput) goal() (piping.NozzleGoal, error) {
	g, err := flangeGoalInput{Flange: in.Flange, Joint: in.Joint, Tolerance: in.Tolerance}.goal()
	for i := range g.Parts {
		g.Parts[i].Hard = in.Hard
	}
	return g, err
}

func (in *trainShaftInput) shaft() moves.ShaftOf {
	return moves.ShaftOf{Machine: in.Machine, Height: in.Height.Of(), Lateral: in.Lateral.Of()}
}

func (in *trainCouplingInput) coupling() (c moves.Coupling, err error) {
	c = moves.Coupling{Near: in.Near.shaft(), Far: in.Far.shaft()}
	if in.Name != nil {
		c.Name = *in.Name
	}
	if c.Found, err = in.Found.axis("found"); err != nil {
		return c, err
	}
	for _, o := range in.Offsets {
		c.Offsets = append(c.Offsets, moves.OffsetLimit{Station: o.Station.Of(), Limit: o.Limit.Of(), Resultant: isSet(o.Resultant)})
	}
	if in.Slope != nil {
		c.Slope = &moves.SlopeLimit{Limit: float64(in.Slope.Limit), Resultant: isSet(in.Slope.Resultant)}
	}
	if in.Gap != nil {
		c.Gap = &moves.AxialGap{Error: in.Gap.Error.Of(), Tolerance: in.Gap.Tolerance.Of()}
	}
	return c, nil
}

func isSet(b *bool) bool { return b != nil && *b }

func (in *trainStateInput) state() (s moves.State, err error) {
	s.Name = in.Name
	for i := range in.Relative {
		a, err := in.Relative[i].axis(fmt.Sprintf("relative[%d]", i))
		if err != nil {
			return s, err
		}
		s.Relative = append(s.Relative, a)
	}
	if in.Widen != nil {
		s.Widen = *in.Widen
	}
	return s, nil
}
