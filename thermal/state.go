package thermal

import (
	"fmt"
	"math"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// State is one way in which the coupled machines stand: cold, on standby, a
// time after start, running at least or at most load, tripped and hot. Near and
// Far are the movements of the two shafts from the cold, off-line state in which
// alignment is read; the cold state itself has none.
type State struct {
	Name string
	Near align.Axis // movement of the near shaft, state less cold
	Far  align.Axis // movement of the far shaft, state less cold
}

// Relative returns the change of the misalignment from cold to this state,
// far less near: that both shafts rise alike changes nothing.
func (s State) Relative() align.Axis { return s.Far.Sub(s.Near) }

// Position returns the misalignment in this state, of machines that are
// misaligned by cold when cold:
//
//	e(x) = cold(x) + far movement(x) - near movement(x)
//
// (superposition; McMillan, Rotating Machinery, example 8-3, adds cold residual
// and growth in the same way).
func (s State) Position(cold align.Axis) (align.Axis, error) {
	if err := s.Check(); err != nil {
		return align.Axis{}, err
	}
	if err := boundedAxis("cold", cold); err != nil {
		return align.Axis{}, err
	}
	return cold.Add(s.Relative()), nil
}

// ColdTarget returns the cold misalignment that comes to nothing in this state:
//
//	target(x) = -(far movement(x) - near movement(x))
//
// (Piotrowski, Shaft Alignment Handbook, 3rd ed., ch. 16, pp. 540-541: the
// off-line line is drawn at minus the movement, so that it comes up to the
// running line).
func (s State) ColdTarget() (align.Axis, error) {
	if err := s.Check(); err != nil {
		return align.Axis{}, err
	}
	return s.Relative().Neg(), nil
}

// Check returns an error when an offset at station 0 is not finite or beyond ten
// metres, or a slope not finite or beyond 1.
func (s State) Check() error {
	if err := boundedAxis("near", s.Near); err != nil {
		return err
	}
	return boundedAxis("far", s.Far)
}

func boundedAxis(field string, a align.Axis) error {
	o := align.Offset{Vertical: a.Vertical.Offset, Horizontal: a.Horizontal.Offset}
	if err := boundedOffset(field, o); err != nil {
		return err
	}
	for _, v := range [...]struct {
		name  string
		slope float64
	}{{".vertical.slope", a.Vertical.Slope}, {".horizontal.slope", a.Horizontal.Slope}} {
		if !align.IsFinite(v.slope) {
			return fault(field+v.name, fmt.Sprint(v.slope), align.ErrNotFinite)
		}
		if math.Abs(v.slope) > 1 {
			return fault(field+v.name, fmt.Sprint(v.slope), align.ErrOutOfRange)
		}
	}
	return nil
}

// Between returns the state at a fraction of the way from one state to another:
// 0 is from, 1 is to, and a fraction between them is where every movement has
// come that far. Movements that do not keep step, such as a casing that warms
// before its pedestal, need states of their own.
func Between(name string, from, to State, fraction float64) (State, error) {
	if err := from.Check(); err != nil {
		return State{}, align.In(err, "from")
	}
	if err := to.Check(); err != nil {
		return State{}, align.In(err, "to")
	}
	if !align.IsFinite(fraction) {
		return State{}, fault("fraction", fmt.Sprint(fraction), align.ErrNotFinite)
	}
	if fraction < 0 || fraction > 1 {
		return State{}, fault("fraction", fmt.Sprint(fraction), align.ErrOutOfRange)
	}
	return State{
		Name: name,
		Near: scaled(from.Near, 1-fraction).Add(scaled(to.Near, fraction)),
		Far:  scaled(from.Far, 1-fraction).Add(scaled(to.Far, fraction)),
	}, nil
}

func scaled(a align.Axis, k float64) align.Axis {
	line := func(l align.Line) align.Line {
		return align.Line{Offset: unit.Length(k) * l.Offset, Slope: k * l.Slope}
	}
	return align.Axis{Vertical: line(a.Vertical), Horizontal: line(a.Horizontal)}
}

// WarmUp is the way from one state to another with one time constant.
type WarmUp struct {
	From, To State
	Constant unit.Time // time constant, above zero: 63 % of the way is done after it
}

// At returns the state a time after the start, which must not be negative:
//
//	fraction = 1 - exp(-t/tau)
//
// (first-order lag, a lumped body in a steady surrounding; standard result).
func (w WarmUp) At(name string, after unit.Time) (State, error) {
	if err := checkTime("constant", w.Constant); err != nil {
		return State{}, err
	}
	if w.Constant == 0 {
		return State{}, fault("constant", "0 s", align.ErrOutOfRange)
	}
	if err := checkTime("after", after); err != nil {
		return State{}, err
	}
	return Between(name, w.From, w.To, -math.Expm1(-float64(after/w.Constant)))
}

// Ambient is how the movements follow the temperature of the surroundings.
type Ambient struct {
	Base     State // at the ambient temperature for which movements were worked out
	PerRise  State // change of the movements for each kelvin that it gets warmer
	Low      align.TempRise
	High     align.TempRise // ambient range against that of Base; Low is not above High
	LowName  string
	HighName string
}

// States returns the states at both ends of the range:
//
//	movement = base + (change for each kelvin) (ambient - base ambient)
//
// (linear expansion). Every ambient temperature between them gives a state on
// the straight way from one to the other, so a target that keeps both within
// limits keeps all of them within limits.
func (a Ambient) States() (low, high State, err error) {
	if err := a.check(); err != nil {
		return State{}, State{}, err
	}
	if low, err = a.at(a.LowName, a.Low); err != nil {
		return State{}, State{}, err
	}
	high, err = a.at(a.HighName, a.High)
	return low, high, err
}

func (a Ambient) check() error {
	if err := a.Base.Check(); err != nil {
		return align.In(err, "base")
	}
	if err := a.PerRise.Check(); err != nil {
		return align.In(err, "perRise")
	}
	for _, v := range [...]struct {
		name string
		rise align.TempRise
	}{{"low", a.Low}, {"high", a.High}} {
		if !align.IsFinite(v.rise) {
			return fault(v.name, fmt.Sprint(float64(v.rise))+" K", align.ErrNotFinite)
		}
	}
	if a.Low > a.High {
		return fault("low", fmt.Sprint(float64(a.Low))+" K", align.ErrOutOfRange)
	}
	return nil
}

func (a Ambient) at(name string, rise align.TempRise) (State, error) {
	k := float64(rise)
	s := State{
		Name: name,
		Near: a.Base.Near.Add(scaled(a.PerRise.Near, k)),
		Far:  a.Base.Far.Add(scaled(a.PerRise.Far, k)),
	}
	return s, align.In(s.Check(), "ambient")
}

// maxTime is the longest time taken as meant, about thirty years.
const maxTime unit.Time = 1e9

// checkTime wants a finite time from zero up to maxTime.
func checkTime(field string, t unit.Time) error {
	switch {
	case t >= 0 && t <= maxTime:
		return nil
	case !align.IsFinite(t):
		return fault(field, plain(float64(t), "s"), align.ErrNotFinite)
	case t < 0:
		return fault(field, plain(float64(t), "s"), align.ErrNegative)
	}
	return fault(field, plain(float64(t), "s"), align.ErrOutOfRange)
}
