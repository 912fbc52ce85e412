package piping

import (
	"math"
	"strconv"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// PipeSection is the cross-section of a pipe by its true dimensions; the nominal
// resultantOf of a pipe is neither its outside nor its inside diameter.
type PipeSection struct {
	Name    string
	Outside unit.Length // outside diameter, above zero
	Wall    unit.Length // wall thickness, above zero and less than half of Outside
}

// SectionProperties are what the stiffness of a pipe is found from.
type SectionProperties struct {
	Inside  unit.Length // inside diameter
	Area    unit.Area   // of the metal
	Inertia float64     // second moment of area about a diameter, m^4
	Modulus float64     // section modulus, m^3
}

// Properties returns inside diameter, area, second moment and section modulus:
//
//	d = D - 2 t
//	A = pi/4 (D^2 - d^2) = pi t (D - t)
//	I = pi/64 (D^4 - d^4) = A (D^2 + d^2)/16
//	Z = 2 I/D
//
// (geometry of a ring; the tabulated properties of schedule 40 pipe agree, R. L.
// Mott, Machine Elements in Mechanical Design, 4th ed., Table A16-6).
//
// Errors: missing, negative, not-finite or out-of-range dimensions;
// wall-too-thick.
func (s PipeSection) Properties() (SectionProperties, error) {
	if err := loadExtent("outside", s.Outside); err != nil {
		return SectionProperties{}, err
	}
	if err := loadExtent("wall", s.Wall); err != nil {
		return SectionProperties{}, err
	}
	inside := s.Outside - 2*s.Wall
	if inside <= 0 {
		return SectionProperties{}, loadFault("wall", align.UnitMillimetre.Format(float64(s.Wall), 3), ErrWallTooThick)
	}
	D, d, t := float64(s.Outside), float64(inside), float64(s.Wall)
	area := math.Pi * t * (D - t)
	inertia := area * (float64(D*D) + float64(d*d)) / 16
	return SectionProperties{Inside: inside, Area: unit.Area(area), Inertia: inertia, Modulus: 2 * inertia / D}, nil
}

// Schedule40Source is where the dimensions of Schedule40 were read.
const Schedule40Source = "R. L. Mott, Machine Elements in Mechanical Design, 4th ed., Table A16-6, p. A-36"

type pipeRow struct{ nps, outside, wall float64 } // inches

func schedule40Rows() [15]pipeRow {
	return [15]pipeRow{
		{0.5, 0.840, 0.109}, {1, 1.315, 0.133}, {1.5, 1.900, 0.145}, {2, 2.375, 0.154}, {2.5, 2.875, 0.203},
		{3, 3.500, 0.216}, {3.5, 4.000, 0.226}, {4, 4.500, 0.237}, {5, 5.563, 0.258}, {6, 6.625, 0.280},
		{8, 8.625, 0.322}, {10, 10.750, 0.365}, {12, 12.750, 0.406}, {16, 16.000, 0.500}, {18, 18.000, 0.562},
	}
}

// Schedule40 returns the section of schedule 40 pipe of a nominal pipe size in
// inches, such as 6 or 2.5: 1/2, 1, 1 1/2, 2, 2 1/2, 3, 3 1/2, 4, 5, 6, 8, 10,
// 12, 16 and 18. The dimensions are those of Schedule40Source. Another pipe is
// given by its own dimensions.
//
// Errors: not-in-table.
func Schedule40(nps float64) (PipeSection, error) {
	for _, r := range schedule40Rows() {
		if r.nps == nps {
			return PipeSection{
				Name:    "NPS " + strconv.FormatFloat(nps, 'g', -1, 64) + " schedule 40",
				Outside: unit.Length(align.UnitInch.SI(r.outside)),
				Wall:    unit.Length(align.UnitInch.SI(r.wall)),
			}, nil
		}
	}
	return PipeSection{}, loadFault("nps", loadNumber(nps, ""), ErrNotInTable)
}
