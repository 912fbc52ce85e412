package tolerance

import (
	"math"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// GearMesh is one toothed mesh of a gear coupling: hub in sleeve.
type GearMesh struct {
	PitchDiameter unit.Length
	Speed         unit.Frequency
	// Angle is the slope between hub and sleeve at this mesh, the deviation per
	// flex separation of the other one; see FlexDeviation.
	Angle float64
}

// Sliding is how fast the teeth of a gear coupling slide in and out.
type Sliding struct {
	Peak unit.Velocity
	Mean unit.Velocity // over a turn, of the speed without its sign
}

// Sliding returns the sliding velocity of the teeth. A tooth at pitch radius R
// moves axially by z = R tan(a) cos(wt), so that the peak velocity is
// pi D N tan(a) and the mean 2 D N tan(a), with N in revolutions a second.
// (Derived here; limits are the coupling maker's.)
func (m GearMesh) Sliding() (Sliding, error) {
	if err := m.check(); err != nil {
		return Sliding{}, err
	}
	k := float64(m.PitchDiameter) * float64(m.Speed) * math.Abs(m.Angle)
	if !align.IsFinite(math.Pi * k) {
		return Sliding{}, inputError("mesh", "", align.ErrOutOfRange)
	}
	return Sliding{Peak: unit.Velocity(math.Pi * k), Mean: unit.Velocity(2 * k)}, nil
}

func (m GearMesh) check() error {
	switch {
	case !align.IsFinite(m.PitchDiameter):
		return inputError("mesh.pitch-diameter", "", align.ErrNotFinite)
	case m.PitchDiameter <= 0:
		return inputError("mesh.pitch-diameter", align.UnitMillimetre.Format(float64(m.PitchDiameter), 3), align.ErrZeroDiameter)
	case !align.IsFinite(m.Speed):
		return inputError("mesh.speed", "", align.ErrNotFinite)
	case m.Speed < 0:
		return inputError("mesh.speed", align.UnitRPM.Format(float64(m.Speed), 1), align.ErrNegative)
	case !align.IsFinite(m.Angle):
		return inputError("mesh.angle", "", align.ErrNotFinite)
	}
	return nil
}
