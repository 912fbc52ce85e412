package piping

import (
	"math"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Carrier says what an indicator stands on.
type Carrier uint8

// What an indicator can stand on.
const (
	// BaseCarried stands on the base or the floor, on what does not move.
	BaseCarried Carrier = iota
	// OtherShaftCarried sits on a bracket on the other machine's shaft and
	// touches the tested machine. It shows that machine's movement as long as the
	// other one stands still.
	OtherShaftCarried
	// OwnShaftCarried sits on a bracket on the tested machine's shaft and touches
	// the other machine's. It shows the opposite of what OtherShaftCarried shows;
	// the sign is turned by the library.
	OwnShaftCarried
)

// String returns the carrier in words.
func (c Carrier) String() string {
	switch c {
	case BaseCarried:
		return "on the base"
	case OtherShaftCarried:
		return "on the other shaft"
	case OwnShaftCarried:
		return "on the machine's own shaft"
	}
	return "unknown carrier"
}

// Touched says what part of the machine an indicator touches.
type Touched uint8

// What an indicator can touch.
const (
	Casing Touched = iota // the casing or a bearing housing
	Foot                  // a foot of the casing
	Shaft                 // the shaft or the coupling hub
)

// String returns the part in words.
func (t Touched) String() string {
	switch t {
	case Casing:
		return "casing"
	case Foot:
		return "foot"
	case Shaft:
		return "shaft"
	}
	return "unknown part"
}

// Indicator is a dial indicator that stays in place during a strain test.
type Indicator struct {
	Name string      // needed, and no two alike
	At   align.Place // the touched point
	// Toward is the direction in which the touched surface moves when the reading
	// grows, that is, when the stem is pushed in: toward the dial. A dial that
	// stands above the machine and points down has Toward = align.Upward(). See
	// StandingAt and StemAlong.
	Toward  align.Direction
	Carrier Carrier
	Touches Touched
	// Sigma is the standard uncertainty of one movement, a difference of two
	// readings. Zero takes the resolution of the test over the square root of 6.
	Sigma unit.Length
}

// StandingAt returns the Toward of a dial that stands at a clock position and
// points at the centre of the shaft: it reads plus when the machine comes toward
// that position. StandingAt(align.Twelve) reads plus for a machine that rises.
func StandingAt(c align.Clock) align.Direction { return align.ClockDirection(c) }

// StemAlong returns the Toward of a dial whose stem points, from the dial to
// the machine, in the direction given: the opposite of it.
func StemAlong(stem align.Direction) align.Direction { return stem.Neg() }

// sense returns the direction of the tested machine's movement that gives plus.
func (n *Indicator) sense() align.Direction {
	if n.Carrier == OwnShaftCarried {
		return n.Toward.Neg()
	}
	return n.Toward
}

// check returns what is wrong with the indicator, with its field.
func (n *Indicator) check() error {
	if n.Name == "" {
		return strainFault("name", "", align.ErrMissing)
	}
	if err := checkPlace("at", n.At); err != nil {
		return err
	}
	if err := checkDirection("toward", n.Toward); err != nil {
		return err
	}
	switch {
	case n.Carrier > OwnShaftCarried:
		return strainFault("carrier", n.Carrier.String(), align.ErrUnknownKind)
	case n.Touches > Shaft:
		return strainFault("touches", n.Touches.String(), align.ErrUnknownKind)
	case n.Carrier == OwnShaftCarried && n.Touches != Shaft:
		return strainFault("touches", n.Touches.String(), align.ErrMismatch)
	}
	return checkUncertainty("sigma", n.Sigma)
}

// checkDirection wants a direction of unit length, to a part in a million.
func checkDirection(field string, n align.Direction) error {
	if !align.IsFinite(n.X) || !align.IsFinite(n.Y) || !align.IsFinite(n.Z) {
		return strainFault(field, "", align.ErrNotFinite)
	}
	size := n.Dot(n)
	switch {
	case size == 0:
		return strainFault(field, "", align.ErrMissing)
	case !(math.Abs(size-1) <= 2e-6):
		return strainFault(field, "", ErrDirection)
	}
	return nil
}
