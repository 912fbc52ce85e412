package tolerance

import (
	"math"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// The conversions below take a size from one way of stating it to another. They
// are plain geometry; none of them knows a limit.

// ReadingOf returns the total indicator reading of a rim sweep on a shaft that
// stands off by a resultant of offset: twice the offset.
func ReadingOf(offset unit.Length) align.TIR {
	return align.TIR(2 * max(offset, -offset))
}

// GapOf returns the gap difference over a diameter that belongs to a slope:
// slope times diameter.
func GapOf(slope float64, diameter unit.Length) unit.Length {
	return unit.Length(slope) * diameter
}

// SlopeOfGap returns the slope that belongs to a gap difference over a
// diameter, or to a face sweep of that diameter. The diameter must be greater
// than zero.
func SlopeOfGap(gap, diameter unit.Length) (float64, error) {
	if !align.IsFinite(gap) {
		return 0, inputError("gap", "", align.ErrNotFinite)
	}
	if !align.IsFinite(diameter) {
		return 0, inputError("diameter", "", align.ErrNotFinite)
	}
	if diameter <= 0 {
		return 0, inputError("diameter", align.UnitMillimetre.Format(float64(diameter), 3), align.ErrZeroDiameter)
	}
	s := float64(gap / diameter)
	if !align.IsFinite(s) {
		return 0, inputError("gap", "", align.ErrOutOfRange)
	}
	return s, nil
}

// SlopeOfAngle returns rise over run of an angle.
func SlopeOfAngle(a unit.Angle) float64 { return math.Tan(float64(a)) }

// AngleOfSlope returns the angle of a rise over run.
func AngleOfSlope(s float64) unit.Angle { return unit.Angle(math.Atan(s)) }
