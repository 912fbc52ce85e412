package align

import "gonum.org/v1/gonum/unit"

// Turn is a small rotation in radians about the three directions of the frame,
// right-handed: X positive rolls the top to the right, Y positive swings the far
// end to the left, Z positive lifts the far end.
type Turn struct{ X, Y, Z float64 }

// Motion is a small motion of a rigid body: its point About shifts, and the body
// turns about that point.
type Motion struct {
	About Place
	Shift Displacement
	Turn  Turn
}

// At returns how far a point of the body moves:
//
//	d(p) = shift + turn x (p - about)
//
// (rigid body, small angles: the second-order part, the turn squared times half
// the distance, is left out; at 1 mm/m over 1 m that is half a micrometre).
func (m Motion) At(p Place) Displacement {
	r := p.From(m.About)
	return Displacement{
		X: m.Shift.X + unit.Length(m.Turn.Y)*r.Z - unit.Length(m.Turn.Z)*r.Y,
		Y: m.Shift.Y + unit.Length(m.Turn.Z)*r.X - unit.Length(m.Turn.X)*r.Z,
		Z: m.Shift.Z + unit.Length(m.Turn.X)*r.Y - unit.Length(m.Turn.Y)*r.X,
	}
}

// Axis returns the movement of a shaft of the body that runs along x through the
// given place: up and to the right, station by station.
func (m Motion) Axis(through Place) Axis {
	at := m.At(Place{X: 0, Y: through.Y, Z: through.Z})
	return Axis{
		Vertical:   Line{Offset: at.Y, Slope: m.Turn.Z},
		Horizontal: Line{Offset: at.Z, Slope: -m.Turn.Y},
	}
}

// Moved returns the same motion described about another point of the body.
func (m Motion) Moved(about Place) Motion {
	return Motion{About: about, Shift: m.At(about), Turn: m.Turn}
}

// Add returns the motion of first m, then n, small angles, described about the
// point of m.
func (m Motion) Add(n Motion) Motion {
	n = n.Moved(m.About)
	return Motion{m.About, m.Shift.Add(n.Shift), Turn{m.Turn.X + n.Turn.X, m.Turn.Y + n.Turn.Y, m.Turn.Z + n.Turn.Z}}
}

// Neg returns the motion that undoes m.
func (m Motion) Neg() Motion {
	return Motion{m.About, m.Shift.Scale(-1), Turn{-m.Turn.X, -m.Turn.Y, -m.Turn.Z}}
}
