package tolerance

import "collinear.example/align"

// Quantity says what a limit limits. Different sources speak of different
// things under the same word; a limit on one must never be held against
// another.
type Quantity string

// The quantities that tables limit. All but the last two follow from the
// misalignment of two shafts, far minus near.
const (
	// TrueOffset is the distance between the two centrelines at a stated place.
	TrueOffset Quantity = "true-offset"
	// RimReading is the total indicator reading of a rim sweep: twice the true
	// offset in the plane of the dial.
	RimReading Quantity = "rim-total-indicator-reading"
	// Angle is the slope of one centreline against the other, rise over run, or
	// the angle for a limit printed in degrees.
	Angle Quantity = "angle"
	// GapDifference is the largest less the smallest gap between the hub faces
	// over the face diameter: slope times diameter. A face sweep of that
	// diameter reads the same.
	GapDifference Quantity = "gap-difference"
	// GapPerDiameter is the gap difference over the diameter it is read on,
	// which is the slope.
	GapPerDiameter Quantity = "gap-difference-per-diameter"
	// FaceReadingPerRadius is a face total indicator reading over the radius it
	// is swept on: twice the slope.
	FaceReadingPerRadius Quantity = "face-reading-per-radius"
	// FlexDeviation is the distance of the centrelines at a flex plane over the
	// distance between the flex planes, the larger of both planes.
	FlexDeviation Quantity = "deviation-per-flex-separation"
	// AxialGap is the departure of the gap between the shaft ends from the gap
	// wanted.
	AxialGap Quantity = "axial-gap-error"
	// Runout is a runout or an orbit diameter, a total indicator reading.
	Runout Quantity = "runout"
	// RunoutPerLength is a runout over the length it is read at, counted from
	// the guide or thrust bearing.
	RunoutPerLength Quantity = "runout-per-length"
)

// Dimension returns what kind of value the quantity has, before any angle is
// taken for a slope.
func (q Quantity) Dimension() align.Dimension {
	switch q {
	case TrueOffset, RimReading, GapDifference, AxialGap, Runout:
		return align.LengthDim
	case Angle, GapPerDiameter, FaceReadingPerRadius, FlexDeviation, RunoutPerLength:
		return align.RatioDim
	}
	return align.NoDimension
}

// ofMisalignment says whether the quantity follows from the position of two
// shafts alone.
func (q Quantity) ofMisalignment() bool {
	switch q {
	case TrueOffset, RimReading, Angle, GapDifference, GapPerDiameter, FaceReadingPerRadius, FlexDeviation:
		return true
	}
	return false
}

// Place says where along the train an offset is held against its limit.
type Place string

// The places a table can mean.
const (
	AtCentre     Place = "coupling-centre"
	AtFlexPlanes Place = "flex-planes" // both, the larger counts
	AtHubFaces   Place = "hub-faces"   // both, the larger counts
	NotStated    Place = "not-stated"  // the source does not say; graded at both flex planes
)

// Planes says whether the vertical and the horizontal plane are held against
// the limit one by one, or together as a resultant.
type Planes string

// The two readings of a limit.
const (
	EachPlane Planes = "each-plane"
	Resultant Planes = "resultant"
)

// Turned says which shafts turn while the quantity is read.
type Turned string

// Which shafts turn.
const (
	BothTurned      Turned = "both"
	OneTurned       Turned = "one"
	NoneTurned      Turned = "none" // feelers, straightedge, measured at standstill
	TurnedNotStated Turned = "not-stated"
)
