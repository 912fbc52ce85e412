package align

import (
	"math"

	"gonum.org/v1/gonum/unit"
)

// Move is what to do at one foot: raise is positive, toward 3 o'clock is
// positive.
type Move struct {
	Vertical   unit.Length
	Horizontal unit.Length
}

// Words says both parts of the move for the person with the shims:
// Words(UnitMil, 1) gives "add 4.0 mil, move 1.5 mil toward 9 o'clock".
func (m Move) Words(u Unit, decimals int) string {
	return m.VerticalWords(u, decimals) + ", " + m.HorizontalWords(u, decimals)
}

// VerticalWords says the shim change: "add 4.0 mil", "take out 2.0 mil" or
// "leave".
func (m Move) VerticalWords(u Unit, decimals int) string {
	size := u.Format(math.Abs(float64(m.Vertical)), decimals)
	switch {
	case size == u.Format(0, decimals):
		return "leave the shims"
	case m.Vertical > 0:
		return "add " + size
	}
	return "take out " + size
}

// HorizontalWords says the sideways move: "move 1.5 mil toward 9 o'clock" or
// "leave sideways".
func (m Move) HorizontalWords(u Unit, decimals int) string {
	size := u.Format(math.Abs(float64(m.Horizontal)), decimals)
	switch {
	case size == u.Format(0, decimals):
		return "leave sideways"
	case m.Horizontal > 0:
		return "move " + size + " toward 3 o'clock"
	}
	return "move " + size + " toward 9 o'clock"
}

// String returns the move in words, in millimetres.
func (m Move) String() string { return m.Words(UnitMillimetre, 2) }

// Feet are the stations of the two pairs of feet of a machine. Inboard is
// nearer the coupling.
type Feet struct {
	Inboard  unit.Length
	Outboard unit.Length
}

// FootMoves are the moves at the two pairs of feet of a machine.
type FootMoves struct {
	Inboard  Move
	Outboard Move
}

// MoveFar returns the move, at a foot of the far machine that stands at station
// foot, that takes the misalignment a away: -a. For a target other than zero
// subtract it first: pos.Sub(target).MoveFar(foot).
func (a Axis) MoveFar(foot unit.Length) Move {
	return Move(a.At(foot).Neg())
}

// MoveNear returns the move, at a foot of the near machine that stands at
// station foot, that takes the misalignment a away: +a, because the near
// machine is brought to the far one.
func (a Axis) MoveNear(foot unit.Length) Move {
	return Move(a.At(foot))
}

// MoveFarFeet returns the moves at both pairs of feet of the far machine.
func (a Axis) MoveFarFeet(f Feet) FootMoves {
	return FootMoves{a.MoveFar(f.Inboard), a.MoveFar(f.Outboard)}
}

// MoveNearFeet returns the moves at both pairs of feet of the near machine.
func (a Axis) MoveNearFeet(f Feet) FootMoves {
	return FootMoves{a.MoveNear(f.Inboard), a.MoveNear(f.Outboard)}
}

// AfterFar returns the misalignment that is left when the far machine's feet
// have been moved as given. The feet must stand at different stations.
func (a Axis) AfterFar(f Feet, m FootMoves) (Axis, error) {
	moved, err := AxisThrough(f.Inboard, Offset(m.Inboard), f.Outboard, Offset(m.Outboard))
	if err != nil {
		return Axis{}, In(err, "feet")
	}
	return a.Add(moved), nil
}

// AfterNear returns the misalignment that is left when the near machine's feet
// have been moved as given. The feet must stand at different stations.
func (a Axis) AfterNear(f Feet, m FootMoves) (Axis, error) {
	moved, err := AxisThrough(f.Inboard, Offset(m.Inboard), f.Outboard, Offset(m.Outboard))
	if err != nil {
		return Axis{}, In(err, "feet")
	}
	return a.Sub(moved), nil
}
