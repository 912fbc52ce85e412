package tolerance

import (
	"fmt"
	"math"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Plane names the plane a measured quantity lies in.
type Plane uint8

// The planes.
const (
	NoPlane Plane = iota // the quantity was read as such
	VerticalPlane
	HorizontalPlane
	BothPlanes // resultant
)

// String returns the plane in lower case.
func (p Plane) String() string {
	switch p {
	case NoPlane:
		return "as read"
	case VerticalPlane:
		return "vertical"
	case HorizontalPlane:
		return "horizontal"
	case BothPlanes:
		return "resultant"
	}
	return fmt.Sprintf("plane(%d)", uint8(p))
}

// Measured is a misalignment as one quantity: the size that governs, the plane
// and the station it is found at.
type Measured struct {
	Quantity Quantity
	Value    float64 // SI units, never negative
	Plane    Plane
	// AtStation says that the value belongs to Station; a slope has none.
	AtStation bool
	Station   unit.Length
}

// Of returns the misalignment e, far minus near and less any target, as
// this quantity. Offsets are taken at the place given, at both its stations if it
// has two, and the larger counts; of equal ones the vertical and the near one.
//
//	true offset             |e(x)|
//	rim reading             2 |e(x)|
//	angle, gap over diameter |slope|
//	gap difference          |slope| D
//	face reading per radius 2 |slope|
//	deviation per flex separation  the larger of |e(near)|, |e(far)|, over the separation
//
// The factors follow from the geometry of a dial sweep (package align). The
// last one is also the larger angle at the flex planes of a spool coupling.
// With planes EachPlane the larger of both planes counts, with Resultant both
// are combined.
func (q Quantity) Of(e align.Axis, g Geometry, place Place, planes Planes) (Measured, error) {
	m := Measured{Quantity: q}
	if err := m.take(&e, &g, place, planes); err != nil {
		return Measured{Quantity: q}, err
	}
	return m, nil
}

// take fills in m for its quantity.
func (m *Measured) take(e *align.Axis, g *Geometry, place Place, planes Planes) error {
	if err := checkAxis(e); err != nil {
		return err
	}
	if m.Quantity == AxialGap || m.Quantity == Runout || m.Quantity == RunoutPerLength {
		return inputError("quantity", string(m.Quantity), ErrNotOfShafts)
	}
	if planes != EachPlane && planes != Resultant {
		return inputError("planes", string(planes), align.ErrUnknownKind)
	}
	var err error
	switch m.Quantity {
	case TrueOffset, RimReading:
		err = m.offset(place, planes, e, g)
	case FlexDeviation:
		err = m.deviation(planes, e, g)
	case Angle, GapPerDiameter, FaceReadingPerRadius, GapDifference:
		err = m.slope(planes, e, g)
	default:
		return inputError("quantity", string(m.Quantity), align.ErrUnknownKind)
	}
	if err == nil && !align.IsFinite(m.Value) {
		return inputError("misalignment", "", align.ErrOutOfRange)
	}
	return err
}

func (m *Measured) offset(place Place, planes Planes, e *align.Axis, g *Geometry) error {
	x1, x2, err := g.stations(place)
	if err != nil {
		return err
	}
	m.larger(planes, e, x1, x2)
	if m.Quantity == RimReading {
		m.Value *= 2 // a total indicator reading is twice the offset
	}
	return nil
}

func (m *Measured) deviation(planes Planes, e *align.Axis, g *Geometry) error {
	s, err := g.measure(FlexSeparation)
	if err != nil {
		return err
	}
	m.larger(planes, e, g.NearFlex, g.FarFlex)
	m.Value /= float64(s)
	return nil
}

func (m *Measured) slope(planes Planes, e *align.Axis, g *Geometry) error {
	m.Value, m.Plane = governing(planes, e.Vertical.Slope, e.Horizontal.Slope)
	switch m.Quantity {
	case FaceReadingPerRadius:
		m.Value *= 2 // swept over twice the radius
	case GapDifference:
		d, err := g.measure(FaceDiameter)
		if err != nil {
			return err
		}
		m.Value *= float64(d)
	}
	return nil
}

// larger takes the larger offset of stations x1 and x2.
func (m *Measured) larger(planes Planes, e *align.Axis, x1, x2 unit.Length) {
	m.AtStation, m.Station = true, x1
	o := e.At(x1)
	m.Value, m.Plane = governing(planes, float64(o.Vertical), float64(o.Horizontal))
	if x2 == x1 {
		return
	}
	o = e.At(x2)
	if v, p := governing(planes, float64(o.Vertical), float64(o.Horizontal)); v > m.Value {
		m.Value, m.Plane, m.Station = v, p, x2
	}
}

// governing returns the size that counts and its plane.
func governing(planes Planes, v, h float64) (float64, Plane) {
	if planes == Resultant {
		return math.Hypot(v, h), BothPlanes
	}
	if v, h = math.Abs(v), math.Abs(h); h > v {
		return h, HorizontalPlane
	}
	return v, VerticalPlane
}

// stations returns the one or two stations of a place.
func (g *Geometry) stations(p Place) (x1, x2 unit.Length, err error) {
	switch p {
	case AtCentre:
		x1 = g.Centre()
		x2 = x1
	case AtFlexPlanes, NotStated:
		x1, x2 = g.NearFlex, g.FarFlex
	case AtHubFaces:
		x1, x2 = g.NearFace, g.FarFace
	default:
		return 0, 0, inputError("place", string(p), align.ErrUnknownKind)
	}
	if !align.IsFinite(x1) || !align.IsFinite(x2) {
		return 0, 0, inputError(string(p), "", align.ErrNotFinite)
	}
	return x1, x2, nil
}

// checkAxis wants finite numbers. Their sum is looked at first: it is finite
// for every sensible misalignment.
func checkAxis(e *align.Axis) error {
	if align.IsFinite(float64(e.Vertical.Offset) + e.Vertical.Slope + float64(e.Horizontal.Offset) + e.Horizontal.Slope) {
		return nil
	}
	for _, v := range [...]struct {
		name string
		v    float64
	}{
		{"vertical.offset", float64(e.Vertical.Offset)}, {"vertical.slope", e.Vertical.Slope},
		{"horizontal.offset", float64(e.Horizontal.Offset)}, {"horizontal.slope", e.Horizontal.Slope},
	} {
		if !align.IsFinite(v.v) {
			return inputError("misalignment."+v.name, "", align.ErrNotFinite)
		}
	}
	return nil
}
