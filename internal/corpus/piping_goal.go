package corpus

import (
	"strconv"
	"strings"

	"collinear.example/align"
	"collinear.example/piping"
	"gonum.org/v1/gonum/unit"
)

// pipingGoalComputations are about where a machine would have to go for its pipe
// to fit.
func pipingGoalComputations() map[string]Computation {
	return map[string]Computation{
		"piping.nozzle-goal":       computation(nozzleGoal),
		"piping.flange-after":      computation(flangeAfter),
		"piping.nozzle-compromise": computation(nozzleCompromise),
	}
}

func flangeEntry(name string, i int) string { return name + "." + strconv.Itoa(i) }

type flangePointInput struct {
	X Length `json:"x"`
	Y Length `json:"y"`
	Z Length `json:"z"`
}

func (p flangePointInput) of() align.Place { return align.Place{X: p.X.Of(), Y: p.Y.Of(), Z: p.Z.Of()} }

type flangePairInput struct {
	Name   *string              `json:"name"`
	Centre flangePointInput     `json:"centre"`
	Axis   flangeDirectionInput `json:"axis"` // of any length
	Up     flangeDirectionInput `json:"up"`
}

func (in flangePairInput) of() (p piping.FlangePair, err error) {
	if in.Name != nil {
		p.Name = *in.Name
	}
	p.Centre = in.Centre.of()
	if p.Axis, err = align.DirectionOf(in.Axis.X, in.Axis.Y, in.Axis.Z); err != nil {
		return p, align.In(err, "axis")
	}
	p.Up, err = align.DirectionOf(in.Up.X, in.Up.Y, in.Up.Z)
	return p, align.In(err, "up")
}

type flangeToleranceInput struct {
	Gap      *Length `json:"gap"`
	Offset   *Length `json:"offset"`
	Tilt     *Ratio  `json:"tilt"`
	Rotation *Angle  `json:"rotation"`
}

type flangeGoalInput struct {
	Flange    flangePairInput      `json:"flange"`
	Joint     flangeMisfitInput    `json:"joint"`
	Tolerance flangeToleranceInput `json:"tolerance"`
	Weight    *float64             `json:"weight"`
}

func (in flangeGoalInput) goal() (piping.NozzleGoal, error) {
	pair, err := in.Flange.of()
	if err != nil {
		return piping.NozzleGoal{}, err
	}
	t := piping.GoalTolerance{Gap: in.Tolerance.Gap.Of(), Offset: in.Tolerance.Offset.Of()}
	if v := in.Tolerance.Tilt; v != nil {
		t.Tilt = float64(*v)
	}
	if v := in.Tolerance.Rotation; v != nil {
		t.Rotation = float64(*v)
	}
	g, err := in.Joint.of(pair).Goal(t)
	if err == nil && in.Weight != nil {
		g.Weight = *in.Weight
	}
	return g, err
}

func nozzleGoal(in flangeGoalInput) (r Result, err error) {
	g, err := in.goal()
	if err != nil {
		return r, err
	}
	r.flangeMotion(g.Motion())
	var asked []string
	for i, p := range g.Parts {
		if p.Asked {
			asked = append(asked, piping.PartName(i))
			r.flangePart("part."+piping.PartName(i), p.Turn, p.Value)
		}
	}
	r.Text("asked", strings.Join(asked, " "))
	return r, nil
}

func (r *Result) flangePart(name string, turn bool, v float64) {
	if turn {
		r.Number(name, v, align.AngleDim)
		return
	}
	r.Length(name, unit.Length(v))
}

func (r *Result) flangeMotion(m align.Motion) {
	r.Length("shift.x", m.Shift.X)
	r.Length("shift.y", m.Shift.Y)
	r.Length("shift.z", m.Shift.Z)
	r.Number("turn.x", m.Turn.X, align.AngleDim)
	r.Number("turn.y", m.Turn.Y, align.AngleDim)
	r.Number("turn.z", m.Turn.Z, align.AngleDim)
}

type flangeTurnInput struct {
	X Angle `json:"x"`
	Y Angle `json:"y"`
	Z Angle `json:"z"`
}

type casingMotionInput struct {
	About flangePointInput `json:"about"`
	Shift flangePointInput `json:"shift"`
	Turn  flangeTurnInput  `json:"turn"`
}

type flangeAfterInput struct {
	Flange flangePairInput   `json:"flange"`
	Joint  flangeMisfitInput `json:"joint"`
	Motion casingMotionInput `json:"motion"`
}

func flangeAfter(in flangeAfterInput) (r Result, err error) {
	pair, err := in.Flange.of()
	if err != nil {
		return r, err
	}
	m, err := in.Joint.of(pair).After(align.Motion{
		About: in.Motion.About.of(), Shift: align.Displacement(in.Motion.Shift.of()),
		Turn: align.Turn{X: float64(in.Motion.Turn.X), Y: float64(in.Motion.Turn.Y), Z: float64(in.Motion.Turn.Z)},
	})
	if err != nil {
		return r, err
	}
	r.Length("mean", m.Mean)
	if e, ok := m.GapError(); ok {
		r.Length("gap-error", e)
	}
	r.Ratio("tilt.up", m.Tilt.Up)
	r.Ratio("tilt.right", m.Tilt.Right)
	if m.Offset != nil {
		r.flangeAcross("offset", *m.Offset)
	}
	if m.Rotation != nil {
		r.Number("rotation", *m.Rotation, align.AngleDim)
	}
	return r, nil
}

type compromiseInput struct {
	Goals []flangeGoalInput `json:"goals"`
	Free  []string          `json:"free"`
	About flangePointInput  `json:"about"`
}

func (in compromiseInput) ways() (w piping.Ways, err error) {
	list := map[string]*bool{
		"shift-x": &w.ShiftX, "shift-y": &w.ShiftY, "shift-z": &w.ShiftZ,
		"turn-x": &w.TurnX, "turn-y": &w.TurnY, "turn-z": &w.TurnZ,
	}
	for i, name := range in.Free {
		way, ok := list[name]
		if !ok {
			return w, fault(flangeEntry("free", i), strconv.Quote(name), align.ErrUnknownKind)
		}
		*way = true
	}
	return w, nil
}

func nozzleCompromise(in compromiseInput) (r Result, err error) {
	c := piping.Compromise{About: in.About.of()}
	if c.Free, err = in.ways(); err != nil {
		return r, err
	}
	for _, g := range in.Goals {
		goal, err := g.goal()
		if err != nil {
			return r, err
		}
		c.Goals = append(c.Goals, goal)
	}
	f, err := c.Solve()
	if err != nil {
		return r, err
	}
	r.flangeMotion(f.Motion)
	r.Ratio("rank", float64(f.Rank))
	r.Ratio("sum-squares", f.SumSquares)
	r.Text("within", strconv.FormatBool(f.Within))
	if len(f.Undetermined) > 0 {
		r.Text("undetermined", strings.Join(f.Undetermined, ", "))
	}
	for i, n := range f.Nozzles {
		for k, p := range c.Goals[i].Parts {
			if p.Asked {
				r.flangePart(flangeEntry("left", i)+"."+piping.PartName(k), p.Turn, n.Left[k])
			}
		}
	}
	return r, nil
}
