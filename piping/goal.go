package piping

import (
	"math"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// GoalPart is one of the six things that the motion of a machine would have to
// do at a nozzle: shift the point of the goal along a direction, or turn about
// it.
type GoalPart struct {
	Asked     bool // false: not measured, so nothing is asked of it
	Turn      bool // Value and Tolerance are radians about Direction, else metres along it
	Direction align.Direction
	Value     float64
	Tolerance float64 // how far off it may be, greater than zero when asked
	Hard      bool    // a planner must keep the tolerance; otherwise it is a wish
}

// Off returns how much of a part is left after a motion, in its own unit: what
// is asked less what the motion does at the point.
func (p GoalPart) Off(m align.Motion, at align.Place) float64 {
	if p.Turn {
		return p.Value - turnAbout(m.Turn, p.Direction)
	}
	return p.Value - float64(m.At(at).Along(p.Direction))
}

// The parts of a goal, by their place in NozzleGoal.Parts.
const (
	PartGap       = iota // shift along the axis
	PartUp               // shift toward 12 o'clock
	PartRight            // shift toward 3 o'clock
	PartRotation         // turn about the axis
	PartTiltRight        // turn about 12 o'clock: takes up the tilt toward 3 o'clock
	PartTiltUp           // turn about 3 o'clock: takes up the tilt toward 12 o'clock
	GoalParts            // how many there are
)

// PartName returns the name of a part of a goal, "" for none.
func PartName(part int) string {
	switch part {
	case PartGap:
		return "gap"
	case PartUp:
		return "up"
	case PartRight:
		return "right"
	case PartRotation:
		return "rotation"
	case PartTiltRight:
		return "tilt-right"
	case PartTiltUp:
		return "tilt-up"
	}
	return ""
}

// NozzleGoal is the motion of a machine nozzle that would close its joint without
// pulling the pipe, with how far from it each part may be.
type NozzleGoal struct {
	Misfit Misfit
	At     align.Place // the point whose shift is asked: the misfit's PipeCentre
	Parts  [GoalParts]GoalPart
	Weight float64 // of this nozzle among several; zero: 1
}

// GoalTolerance is how far from the goal a nozzle may be left. A part that is
// asked needs a tolerance above zero.
type GoalTolerance struct {
	Gap      unit.Length
	Offset   unit.Length // up and right, each
	Tilt     float64     // up and right, each
	Rotation float64     // radians
	Hard     bool        // keep them, for a planner; a least-squares compromise knows wishes only
}

// Tolerances returns tolerances that keep a joint within the limits of a rule
// when each part is within its own:
//
//	tilt      the steepest tilt allowed / sqrt 2, so that both directions together keep it
//	offset    likewise, or the limit itself where it holds each way
//	holes     half for the offset and half for the rotation, where the rule limits both together
//
// (own choice of shares). A quantity that the rule does not limit is zero; the
// caller fills it in.
func (l FlangeLimits) Tolerances() GoalTolerance {
	var t GoalTolerance
	if l.Parallel != nil {
		t.Tilt = l.Parallel.steepest() / math.Sqrt2
	}
	if l.Gap != nil {
		t.Gap = unit.Length(l.Gap.Limit.SI())
	}
	least := func(a, b float64) float64 {
		if a == 0 {
			return b
		}
		return min(a, b)
	}
	if c := l.Centre; c != nil {
		k := math.Sqrt2
		if c.EachWay {
			k = 1
		}
		t.Offset = unit.Length(c.Limit.SI() / k)
	}
	radius := float64(l.Size.BoltCircle) / 2
	if l.Hole != nil {
		half := l.Hole.SI() / 2
		t.Offset = unit.Length(least(float64(t.Offset), half/math.Sqrt2))
		if radius > 0 {
			t.Rotation = half / radius
		}
	}
	if l.Rotation != nil && radius > 0 {
		t.Rotation = least(t.Rotation, l.Rotation.SI()/radius)
	}
	return t
}

// Goal returns the motion of the nozzle that closes the joint:
//
//	shift along the axis            gap less gasket (toward the pipe when the gap is too wide)
//	shift toward 12 and 3 o'clock   offset up and right
//	turn about the axis             rotation
//	turn about 12 o'clock           tilt right
//	turn about 3 o'clock            tilt up, the other way
//
// (rigid bodies, small motions; the inverse of After). A part that was not
// measured is not asked.
//
// Errors: those of Frame and of a misfit out of range; align.ErrMissing for an
// asked part without a tolerance, align.ErrNegative, align.ErrNotFinite.
func (m Misfit) Goal(t GoalTolerance) (NozzleGoal, error) {
	if err := m.check(); err != nil {
		return NozzleGoal{}, err
	}
	f, err := m.Pair.Frame()
	if err != nil {
		return NozzleGoal{}, align.In(err, "pair")
	}
	g := NozzleGoal{Misfit: m, At: m.PipeCentre()}
	gap, asked := m.GapError()
	g.Parts[PartGap] = GoalPart{Asked: asked, Direction: f.Axis, Value: float64(gap), Tolerance: float64(t.Gap)}
	g.Parts[PartUp] = GoalPart{Direction: f.Up, Tolerance: float64(t.Offset)}
	g.Parts[PartRight] = GoalPart{Direction: f.Right, Tolerance: float64(t.Offset)}
	if e := m.Offset; e != nil {
		g.Parts[PartUp].Asked, g.Parts[PartUp].Value = true, float64(e.Up)
		g.Parts[PartRight].Asked, g.Parts[PartRight].Value = true, float64(e.Right)
	}
	g.Parts[PartRotation] = GoalPart{Turn: true, Direction: f.Axis, Tolerance: t.Rotation}
	if m.Rotation != nil {
		g.Parts[PartRotation].Asked, g.Parts[PartRotation].Value = true, *m.Rotation
	}
	g.Parts[PartTiltRight] = GoalPart{Asked: true, Turn: true, Direction: f.Up, Value: m.Tilt.Right, Tolerance: t.Tilt}
	g.Parts[PartTiltUp] = GoalPart{Asked: true, Turn: true, Direction: f.Right, Value: -m.Tilt.Up, Tolerance: t.Tilt}
	for i := range g.Parts {
		g.Parts[i].Hard = t.Hard
	}
	if err := g.check(); err != nil {
		return NozzleGoal{}, err
	}
	return g, nil
}

// Motion returns the motion that meets every asked part exactly, with none of
// the others, described about the centre of the nozzle.
func (g NozzleGoal) Motion() align.Motion {
	m := align.Motion{About: g.At}
	for _, p := range g.Parts {
		switch {
		case !p.Asked:
		case p.Turn:
			m.Turn.X += p.Value * p.Direction.X
			m.Turn.Y += p.Value * p.Direction.Y
			m.Turn.Z += p.Value * p.Direction.Z
		default:
			v := unit.Length(p.Value)
			m.Shift = m.Shift.Add(align.Displacement{X: v * unit.Length(p.Direction.X), Y: v * unit.Length(p.Direction.Y), Z: v * unit.Length(p.Direction.Z)})
		}
	}
	return m.Moved(g.Misfit.Pair.Centre)
}

// maxWeight bounds the weight of a nozzle and the inverse of a tolerance, so that
// squares stay finite (own choice).
const maxWeight = 1e9

// Check returns what is wrong with the goal, nil when it can be planned for.
func (g *NozzleGoal) Check() error { return g.check() }

func (g *NozzleGoal) check() error {
	if err := g.Misfit.check(); err != nil {
		return err
	}
	switch {
	case !align.IsFinite(g.Weight):
		return flangeFault("weight", plainNumber(g.Weight), align.ErrNotFinite)
	case g.Weight < 0:
		return flangeFault("weight", plainNumber(g.Weight), align.ErrNegative)
	case g.Weight > maxWeight:
		return flangeFault("weight", plainNumber(g.Weight), align.ErrOutOfRange)
	}
	if err := checkFlangePlace("at", g.At); err != nil {
		return err
	}
	for i, p := range g.Parts {
		if err := p.check(); p.Asked && err != nil {
			return align.In(err, PartName(i))
		}
	}
	return nil
}

func (p GoalPart) check() error {
	most := float64(maxFlangeLength)
	if p.Turn {
		most = math.Pi
	}
	switch {
	case !align.IsFinite(p.Tolerance):
		return p.fault("tolerance", p.Tolerance, align.ErrNotFinite)
	case p.Tolerance == 0:
		return p.fault("tolerance", p.Tolerance, align.ErrMissing)
	case p.Tolerance < 0:
		return p.fault("tolerance", p.Tolerance, align.ErrNegative)
	case p.Tolerance < 1/maxWeight || p.Tolerance > most:
		return p.fault("tolerance", p.Tolerance, align.ErrOutOfRange)
	}
	if err := checkFlangeDirection("direction", p.Direction); err != nil {
		return err
	}
	switch {
	case !align.IsFinite(p.Value):
		return p.fault("value", p.Value, align.ErrNotFinite)
	case math.Abs(p.Value) > most:
		return p.fault("value", p.Value, align.ErrOutOfRange)
	}
	return nil
}

// fault is an error about a figure of the part, in its own unit.
func (p GoalPart) fault(field string, got float64, err error) error {
	name := " m"
	if p.Turn {
		name = " rad"
	}
	return flangeFault(field, plainNumber(got)+name, err)
}
