package piping

import (
	"math"
	"strconv"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// FlangePair is a machine nozzle and the pipe flange that is to be bolted to it:
// where the joint stands in the frame of the train, and how its clock is turned.
//
// Clock positions of a flange are those seen by a person who looks along Axis,
// from the machine toward the pipe, with Up overhead. 3 o'clock is to that
// person's right. A survey written down by someone who stood on the pipe's side
// is turned at the edge with Mirrored.
type FlangePair struct {
	Name   string
	Centre align.Place     // centre of the face of the machine nozzle
	Axis   align.Direction // from the face of the nozzle toward the pipe flange
	Up     align.Direction // toward 12 o'clock; its part across Axis is used
}

// FlangeFrame is the set of three directions of a flange, square to each other:
// along its axis, toward 12 and toward 3 o'clock.
type FlangeFrame struct{ Axis, Up, Right align.Direction }

// leastAcross is the least share of Up that must lie across the axis: 0.1 is an
// angle of about 6 degrees between the two (own choice).
const leastAcross = 0.1

// Frame returns the directions of the flange. Right is Axis x Up, so that
// clockwise, for a person who looks along Axis, is right-handed about Axis.
//
// Errors: align.ErrNotFinite, align.ErrMissing for a direction that was not
// given, align.ErrOutOfRange for one that is not of unit length and for an Up
// that runs along the axis.
func (p FlangePair) Frame() (FlangeFrame, error) {
	if err := checkFlangePlace("centre", p.Centre); err != nil {
		return FlangeFrame{}, err
	}
	if err := checkFlangeDirection("axis", p.Axis); err != nil {
		return FlangeFrame{}, err
	}
	if err := checkFlangeDirection("up", p.Up); err != nil {
		return FlangeFrame{}, err
	}
	a, u := p.Axis, p.Up
	k := u.Dot(a) // up less its part along the axis
	x, y, z := u.X-float64(k*a.X), u.Y-float64(k*a.Y), u.Z-float64(k*a.Z)
	n := math.Sqrt(float64(x*x) + float64(y*y) + float64(z*z))
	if n < leastAcross {
		return FlangeFrame{}, flangeSays("up", plainNumber(n)+" of it across the axis", align.ErrOutOfRange, "runs along the axis: 12 o'clock lies across it")
	}
	u = align.Direction{X: x / n, Y: y / n, Z: z / n}
	return FlangeFrame{a, u, crossed(a, u)}, nil
}

// At returns the direction from the centre of the flange toward a clock
// position.
func (f FlangeFrame) At(c align.Clock) align.Direction {
	up, right := c.Unit()
	return align.Direction{
		X: up*f.Up.X + right*f.Right.X,
		Y: up*f.Up.Y + right*f.Right.Y,
		Z: up*f.Up.Z + right*f.Right.Z,
	}
}

// Across returns the part of a way that lies across the axis of the flange.
func (f FlangeFrame) Across(d align.Displacement) Across {
	return Across{d.Along(f.Up), d.Along(f.Right)}
}

// Across is a way across the axis of a flange: toward 12 o'clock and toward 3
// o'clock of that flange positive.
type Across struct{ Up, Right unit.Length }

// Size returns the straight length of the way.
func (a Across) Size() unit.Length {
	return unit.Length(math.Hypot(float64(a.Up), float64(a.Right)))
}

// Clock returns the clock position the way leads toward, 12 o'clock for none.
func (a Across) Clock() align.Clock { return align.Offset{Vertical: a.Up, Horizontal: a.Right}.Clock() }

// String returns size and clock position.
func (a Across) String() string {
	return align.UnitMillimetre.Format(float64(a.Size()), 2) + " toward " + a.Clock().String()
}

// Tilt is how the gap between two flange faces widens: rise over run toward 12
// and toward 3 o'clock of the flange. It is the tangent of the angle between the
// faces, and it does not depend on a diameter.
type Tilt struct{ Up, Right float64 }

// Size returns the steepest slope.
func (t Tilt) Size() float64 { return math.Hypot(t.Up, t.Right) }

// Widest returns the clock position of the widest gap, 12 o'clock when the faces
// are parallel.
func (t Tilt) Widest() align.Clock {
	return align.Offset{Vertical: unit.Length(t.Up), Horizontal: unit.Length(t.Right)}.Clock()
}

// Opening returns the widest less the narrowest gap on a diameter:
//
//	opening = diameter * size
//
// (geometry). A limit speaks of one diameter; use that one, not the one on which
// the gaps happened to be read.
func (t Tilt) Opening(diameter unit.Length) unit.Length { return diameter * unit.Length(t.Size()) }

// String returns the slope and where the gap is widest.
func (t Tilt) String() string {
	return align.UnitMillimetrePerMetre.Format(t.Size(), 3) + ", widest at " + t.Widest().String()
}

func crossed(a, b align.Direction) align.Direction {
	return align.Direction{
		X: float64(a.Y*b.Z) - float64(a.Z*b.Y),
		Y: float64(a.Z*b.X) - float64(a.X*b.Z),
		Z: float64(a.X*b.Y) - float64(a.Y*b.X),
	}
}

// Bounds of what is taken for an input at all (own choice): no train is longer
// than 10 km, no flange larger than 100 m.
const (
	maxFlangePlace  unit.Length = 1e4
	maxFlangeLength unit.Length = 100
)

// flangeFault is an error of the flange part of this package.
func flangeFault(field, got string, err error) error { return flangeSays(field, got, err, "") }

// flangeSays is flangeFault with words that fit better than those of the fault.
func flangeSays(field, got string, err error, words string) error {
	return &align.InputError{Package: "piping", Field: field, Got: got, Err: err, Meaning: words}
}

func plainNumber(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }

func numbered(list string, i int) string { return list + "[" + strconv.Itoa(i) + "]" }

// checkFlangeLength wants a finite length of no absurd size, of any sign.
func checkFlangeLength(field string, v, most unit.Length) error {
	switch {
	case !align.IsFinite(v):
		return flangeFault(field, plainNumber(float64(v))+" m", align.ErrNotFinite)
	case v < -most || v > most:
		return flangeFault(field, plainNumber(float64(v))+" m", align.ErrOutOfRange)
	}
	return nil
}

// checkFlangeFromZero wants a length of zero or more.
func checkFlangeFromZero(field string, v unit.Length) error {
	if err := checkFlangeLength(field, v, maxFlangeLength); err != nil {
		return err
	}
	if v < 0 {
		return flangeFault(field, align.UnitMillimetre.Format(float64(v), 3), align.ErrNegative)
	}
	return nil
}

// checkFlangeDiameter wants a length above a micrometre: less is none.
func checkFlangeDiameter(field string, v unit.Length) error {
	if err := checkFlangeFromZero(field, v); err != nil {
		return err
	}
	if v < align.Micrometre {
		return flangeFault(field, align.UnitMillimetre.Format(float64(v), 3), align.ErrZeroDiameter)
	}
	return nil
}

func checkFlangeClock(field string, c align.Clock) error {
	if !align.IsFinite(c) {
		return flangeFault(field, plainNumber(float64(c))+" deg", align.ErrNotFinite)
	}
	return nil
}

func checkFlangePlace(field string, p align.Place) error {
	if err := checkFlangeLength(field+".x", p.X, maxFlangePlace); err != nil {
		return err
	}
	if err := checkFlangeLength(field+".y", p.Y, maxFlangePlace); err != nil {
		return err
	}
	return checkFlangeLength(field+".z", p.Z, maxFlangePlace)
}

func checkFlangeDirection(field string, d align.Direction) error {
	size := d.Dot(d)
	switch {
	case !align.IsFinite(size):
		return flangeFault(field, "", align.ErrNotFinite)
	case size == 0:
		return flangeFault(field, "", align.ErrMissing)
	case math.Abs(size-1) > 1e-6:
		return flangeSays(field, plainNumber(math.Sqrt(size))+" long", align.ErrOutOfRange, "is not a direction of unit length")
	}
	return nil
}
