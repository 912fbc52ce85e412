package align

import (
	"math"

	"gonum.org/v1/gonum/unit"
)

// Offset is how far one centreline stands from another at one station: up
// positive, right positive.
type Offset struct {
	Vertical   unit.Length
	Horizontal unit.Length
}

// Resultant returns the size of the offset, both planes combined.
func (o Offset) Resultant() unit.Length {
	return unit.Length(math.Hypot(float64(o.Vertical), float64(o.Horizontal)))
}

// Clock returns the clock position toward which the offset points; 12 o'clock
// when the offset is zero.
func (o Offset) Clock() Clock { return clockOf(float64(o.Vertical), float64(o.Horizontal)) }

// Add returns o + p.
func (o Offset) Add(p Offset) Offset {
	return Offset{o.Vertical + p.Vertical, o.Horizontal + p.Horizontal}
}

// Sub returns o - p.
func (o Offset) Sub(p Offset) Offset {
	return Offset{o.Vertical - p.Vertical, o.Horizontal - p.Horizontal}
}

// Neg returns the opposite offset.
func (o Offset) Neg() Offset { return Offset{-o.Vertical, -o.Horizontal} }

// Scale returns the offset multiplied by k.
func (o Offset) Scale(k float64) Offset {
	return Offset{unit.Length(k) * o.Vertical, unit.Length(k) * o.Horizontal}
}

// String returns both components in words, in millimetres.
func (o Offset) String() string { return o.In(UnitMillimetre, 3) }

// In returns both components in words, in u with the given decimals: "0.120 mm
// high, 0.050 mm to the left".
func (o Offset) In(u Unit, decimals int) string {
	v, h := " high, ", " to the right"
	if o.Vertical < 0 {
		v = " low, "
	}
	if o.Horizontal < 0 {
		h = " to the left"
	}
	return u.Format(math.Abs(float64(o.Vertical)), decimals) + v + u.Format(math.Abs(float64(o.Horizontal)), decimals) + h
}

// Slope is the slope of a centreline in both planes, rise over run along +x.
type Slope struct {
	Vertical   float64
	Horizontal float64
}

// Resultant returns the angle between the lines, small-angle, in radians.
func (s Slope) Resultant() float64 { return math.Hypot(s.Vertical, s.Horizontal) }

// Axis is a centreline of rotation, or the difference of two, in both planes.
// The misalignment of two coupled shafts is always far minus near.
type Axis struct {
	Vertical   Line
	Horizontal Line
}

// AxisThrough returns the axis through the offset o1 at station x1 and o2 at
// x2. Known positions of two feet, or of two bearings, enter here.
func AxisThrough(x1 unit.Length, o1 Offset, x2 unit.Length, o2 Offset) (Axis, error) {
	v, err := Through(Point{x1, o1.Vertical}, Point{x2, o2.Vertical})
	if err != nil {
		return Axis{}, In(err, "vertical")
	}
	h, err := Through(Point{x1, o1.Horizontal}, Point{x2, o2.Horizontal})
	if err != nil {
		return Axis{}, In(err, "horizontal")
	}
	return Axis{v, h}, nil
}

// At returns the offset at station x.
func (a Axis) At(x unit.Length) Offset { return Offset{a.Vertical.At(x), a.Horizontal.At(x)} }

// Slope returns the slope in both planes.
func (a Axis) Slope() Slope { return Slope{a.Vertical.Slope, a.Horizontal.Slope} }

// Add returns the sum of two axes, station by station.
func (a Axis) Add(b Axis) Axis {
	return Axis{a.Vertical.Add(b.Vertical), a.Horizontal.Add(b.Horizontal)}
}

// Sub returns the difference of two axes, station by station. With a the far
// shaft and b the near one this is the misalignment.
func (a Axis) Sub(b Axis) Axis {
	return Axis{a.Vertical.Sub(b.Vertical), a.Horizontal.Sub(b.Horizontal)}
}

// Neg returns the axis with all signs turned: the near shaft seen from the far
// one.
func (a Axis) Neg() Axis { return Axis{a.Vertical.Neg(), a.Horizontal.Neg()} }

// Mirrored returns the same pair of shafts for a reader who walks the train the
// other way, so that near and far, left and right and the sign of every station
// change. The misalignment, far minus near, becomes -e at station -x in the
// vertical plane; in the horizontal plane right and left change as well.
func (a Axis) Mirrored() Axis {
	return Axis{
		Vertical:   Line{Offset: -a.Vertical.Offset, Slope: a.Vertical.Slope},
		Horizontal: Line{Offset: a.Horizontal.Offset, Slope: -a.Horizontal.Slope},
	}
}

// Shifted returns the same axis with stations counted from a new zero that
// stands at station x of the old count.
func (a Axis) Shifted(x unit.Length) Axis {
	return Axis{a.Vertical.Shifted(x), a.Horizontal.Shifted(x)}
}

// String returns both lines with units.
func (a Axis) String() string {
	return "vertical " + a.Vertical.String() + "; horizontal " + a.Horizontal.String()
}

func (a Axis) finite() bool { return a.Vertical.finite() && a.Horizontal.finite() }
