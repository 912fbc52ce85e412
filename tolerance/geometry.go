package tolerance

import (
	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Geometry is what a limit must know of the machine. Only what the table at
// hand asks for need be given.
type Geometry struct {
	Size  string // of the coupling, as the table names it
	Speed unit.Frequency

	// NearFlex and FarFlex are the stations of the flex planes; the same
	// station twice is a coupling with a single flex plane.
	NearFlex, FarFlex unit.Length
	// NearFace and FarFace are the stations of the hub faces, for limits that
	// speak of them.
	NearFace, FarFace unit.Length

	FaceDiameter   unit.Length // the gap difference is read on it
	RunoutLength   unit.Length
	RunnerDiameter unit.Length
	Clearance      unit.Length // diametral
}

// Centre returns the station midway between the flex planes.
func (g *Geometry) Centre() unit.Length { return g.NearFlex + (g.FarFlex-g.NearFlex)/2 }

// Separation returns the distance between the flex planes.
func (g *Geometry) Separation() unit.Length { return max(g.FarFlex-g.NearFlex, g.NearFlex-g.FarFlex) }

// measure returns the dimension that m names.
func (g *Geometry) measure(m Measure) (unit.Length, error) {
	var v unit.Length
	switch m {
	case FaceDiameter:
		v = g.FaceDiameter
	case FlexSeparation:
		v = g.Separation()
	case RunoutLength:
		v = g.RunoutLength
	case RunnerDiameter:
		v = g.RunnerDiameter
	case Clearance:
		v = g.Clearance
	default:
		return 0, inputError("measure", string(m), align.ErrUnknownKind)
	}
	if !align.IsFinite(v) {
		return 0, inputError(string(m), align.UnitMillimetre.Format(float64(v), 3), align.ErrNotFinite)
	}
	if v == 0 {
		return 0, inputError(string(m), "", align.ErrMissing)
	}
	if v < 0 {
		return 0, inputError(string(m), align.UnitMillimetre.Format(float64(v), 3), align.ErrNegative)
	}
	return v, nil
}
