package align

import (
	"math"

	"gonum.org/v1/gonum/unit"
)

// Place is a point in the frame of the train: X along it toward the last
// machine, Y up, Z to the right of a person who looks along +x. A station is an
// X.
type Place struct{ X, Y, Z unit.Length }

// Add returns the place a way further on.
func (p Place) Add(d Displacement) Place { return Place{p.X + d.X, p.Y + d.Y, p.Z + d.Z} }

// From returns the way from q to p.
func (p Place) From(q Place) Displacement { return Displacement{p.X - q.X, p.Y - q.Y, p.Z - q.Z} }

// Displacement is a way in the frame of the train, or how far a point moves:
// along +x, up, and to the right positive.
type Displacement struct{ X, Y, Z unit.Length }

// Size returns the straight length of the way.
func (d Displacement) Size() unit.Length {
	return unit.Length(math.Hypot(math.Hypot(float64(d.X), float64(d.Y)), float64(d.Z)))
}

// Add returns d + e.
func (d Displacement) Add(e Displacement) Displacement {
	return Displacement{d.X + e.X, d.Y + e.Y, d.Z + e.Z}
}

// Sub returns d - e.
func (d Displacement) Sub(e Displacement) Displacement {
	return Displacement{d.X - e.X, d.Y - e.Y, d.Z - e.Z}
}

// Scale returns the way multiplied by k.
func (d Displacement) Scale(k float64) Displacement {
	u := unit.Length(k)
	return Displacement{u * d.X, u * d.Y, u * d.Z}
}

// Along returns how far the way goes in a direction.
func (d Displacement) Along(n Direction) unit.Length {
	return unit.Length(n.X)*d.X + unit.Length(n.Y)*d.Y + unit.Length(n.Z)*d.Z
}

// Offset returns the part of the way across the shaft.
func (d Displacement) Offset() Offset { return Offset{Vertical: d.Y, Horizontal: d.Z} }

// Direction is a unit vector in the frame of the train. Make one with
// AlongTrain, Upward, Rightward, ClockDirection or DirectionOf.
type Direction struct{ X, Y, Z float64 }

// AlongTrain is the direction +x, from the first machine to the last.
func AlongTrain() Direction { return Direction{X: 1} }

// Upward is the direction +y.
func Upward() Direction { return Direction{Y: 1} }

// Rightward is the direction +z, to the right of a person who looks along +x.
func Rightward() Direction { return Direction{Z: 1} }

// ClockDirection returns the direction across the shaft toward a clock position:
// (0, cos t, sin t).
func ClockDirection(c Clock) Direction {
	up, right := c.Unit()
	return Direction{Y: up, Z: right}
}

// DirectionOf returns the direction of a vector of any length above zero.
func DirectionOf(x, y, z float64) (Direction, error) {
	for _, v := range [...]struct {
		name string
		v    float64
	}{{"x", x}, {"y", y}, {"z", z}} {
		if !IsFinite(v.v) {
			return Direction{}, &InputError{Field: "direction." + v.name, Err: ErrNotFinite}
		}
	}
	largest := max(math.Abs(x), math.Abs(y), math.Abs(z))
	if largest == 0 {
		return Direction{}, &InputError{Field: "direction", Err: ErrMissing}
	}
	x, y, z = x/largest, y/largest, z/largest
	n := math.Sqrt(x*x + y*y + z*z)
	return Direction{x / n, y / n, z / n}, nil
}

// Neg returns the opposite direction.
func (n Direction) Neg() Direction { return Direction{-n.X, -n.Y, -n.Z} }

// Dot returns the cosine of the angle between two directions.
func (n Direction) Dot(m Direction) float64 { return n.X*m.X + n.Y*m.Y + n.Z*m.Z }
