package align

import (
	"strconv"

	"gonum.org/v1/gonum/unit"
)

// Line is the trace of a centreline in one plane: y = Offset + Slope*x.
// Offset is positive up (vertical plane) or to the right (horizontal plane);
// Slope is rise over run, positive when the line rises along +x.
type Line struct {
	Offset unit.Length // at station 0
	Slope  float64     // rise over run
}

// Point is one point of a centreline in one plane.
type Point struct {
	Station unit.Length
	Offset  unit.Length
}

// Through returns the line through two points. Stations must differ.
func Through(p, q Point) (Line, error) {
	for _, v := range [...]struct {
		name string
		v    unit.Length
	}{{"p.station", p.Station}, {"p.offset", p.Offset}, {"q.station", q.Station}, {"q.offset", q.Offset}} {
		if err := CheckLength(v.name, v.v); err != nil {
			return Line{}, err
		}
	}
	l, ok := through(p.Station, p.Offset, q.Station, q.Offset)
	if !ok {
		return Line{}, &InputError{Field: "q.station", Got: UnitMillimetre.Format(float64(q.Station), 3), Err: ErrCoincident}
	}
	return l, nil
}

// through is the line through two points; ok is false when the stations are
// the same or so close that the slope overflows.
func through(x1, y1, x2, y2 unit.Length) (l Line, ok bool) {
	d := x2 - x1
	if d == 0 {
		return Line{}, false
	}
	slope := float64((y2 - y1) / d)
	l = Line{Offset: y1 - unit.Length(slope)*x1, Slope: slope}
	return l, IsFinite(slope) && IsFinite(l.Offset)
}

// At returns the offset of the line at station x.
func (l Line) At(x unit.Length) unit.Length { return l.Offset + unit.Length(l.Slope)*x }

// Add returns the line whose offsets are the sums of those of l and m.
func (l Line) Add(m Line) Line { return Line{l.Offset + m.Offset, l.Slope + m.Slope} }

// Sub returns the line whose offsets are those of l less those of m.
func (l Line) Sub(m Line) Line { return Line{l.Offset - m.Offset, l.Slope - m.Slope} }

// Neg returns the line with both signs turned.
func (l Line) Neg() Line { return Line{-l.Offset, -l.Slope} }

// Shifted returns the same line with its stations counted from a new zero that
// stands at station x of the old count.
func (l Line) Shifted(x unit.Length) Line { return Line{l.At(x), l.Slope} }

// String returns offset and slope with their units.
func (l Line) String() string {
	return UnitMillimetre.Format(float64(l.Offset), 4) + " at station 0, slope " +
		strconv.FormatFloat(l.Slope/MillimetrePerMetre, 'f', 4, 64) + " mm/m"
}

func (l Line) finite() bool { return IsFinite(l.Offset) && IsFinite(l.Slope) }
