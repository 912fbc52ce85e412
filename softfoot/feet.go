package softfoot

import (
	"math"
	"strconv"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// The faults about feet, beside those of package align.
const (
	ErrTooFewFeet     align.Fault = "too-few-feet"             // fewer than three feet
	ErrTooManyFeet    align.Fault = "too-many-feet"            // more than MaxFeet
	ErrSamePlace      align.Fault = "feet-in-one-place"        // two feet on one spot
	ErrSameName       align.Fault = "feet-of-one-name"         // two feet cannot be told apart
	ErrInLine         align.Fault = "feet-in-line"             // all feet on one line: nothing stops a roll
	ErrCentreOutside  align.Fault = "centre-outside-feet"      // the machine would tip over
	ErrNotRectangle   align.Fault = "feet-not-a-rectangle"     // twist has no meaning for the layout or the order
	ErrOthersLoose    align.Fault = "other-bolts-loose"        // a rise read while other bolts were loose
	ErrGapsAndHeights align.Fault = "gaps-and-heights-both"    // two descriptions of the same thing
	ErrTiltTooLarge   align.Fault = "tilt-too-large-for-model" // heights so uneven that small angles do not hold
)

// The warnings about feet.
const (
	WarnCentreAssumed align.WarningCode = "centre-of-gravity-assumed" // the middle of the feet was taken
	WarnRocks         align.WarningCode = "machine-rocks"             // more than one way to rest
	WarnNotResting    align.WarningCode = "gaps-not-at-rest"          // something else than the feet holds the machine
	WarnDiagonalPair  align.WarningCode = "excess-on-one-diagonal"    // shim one fully or both by half, never both fully
	WarnOtherFoot     align.WarningCode = "another-foot-moves-more"   // than the one whose bolt was loosened
	WarnFallingFoot   align.WarningCode = "foot-falls-when-loosened"  // the bolt was holding it up, or the dial is reversed
)

// MaxFeet is the largest number of feet of one machine. All triples of feet
// are tried, so the work grows with the fourth power of their number.
const MaxFeet = 32

// touch is the gap that still counts as touching: a nanometre, far below what
// can be measured and far above rounding.
const touch unit.Length = 1e-9

// steepest is the largest height difference over the span of the feet for
// which a tilt may be treated as a small angle: its cosine is then off by one
// part in twenty thousand.
const steepest = 0.01

// Point is a place seen from above: Station along the train (x), Lateral to
// the right of a person who looks along +x (z).
type Point struct{ Station, Lateral unit.Length }

// Foot is one foot of a machine: its name and where the middle of its pad is.
type Foot struct {
	Name    string
	Station unit.Length // x, from the origin of the train
	Lateral unit.Length // z, to the right when looking along +x
}

// At returns where the foot is.
func (f Foot) At() Point { return Point{f.Station, f.Lateral} }

// Machine is a rigid machine that stands loose on its pads: three feet or more
// in any layout, and how uneven the pads are. Give Gaps or Heights, one value
// a foot in the order of Feet.
//
// A rigid machine has soft feet because pads and soles together are not flat.
// All that counts is the effective height of each pad: how far up it would
// first touch a true machine. A free gap g seen from the plane of the machine
// at rest is the effective height -g.
type Machine struct {
	Feet    []Foot
	Gaps    []unit.Length // free gap under each foot, all bolts loose, zero or more
	Heights []unit.Length // effective height of each pad, positive up, from any datum

	// Centre is the centre of gravity seen from above. When nil the middle of
	// the feet is taken and a warning says so.
	Centre *Point
	// CentreWithin is how far the true centre of gravity may be from Centre.
	// Every way to rest within that distance is reported.
	CentreWithin unit.Length
}

func fault(field, got string, err error) error {
	return &align.InputError{Package: "softfoot", Field: field, Got: got, Err: err, Meaning: meaning(err)}
}

func at(field string, i int) string { return field + "[" + strconv.Itoa(i) + "]" }

func millimetres(v unit.Length) string { return align.UnitMillimetre.Format(float64(v), 3) }

// finiteLength refuses what is not a number, naming the field.
func finiteLength(field string, v unit.Length) error {
	if align.IsFinite(v) {
		return nil
	}
	return fault(field, strconv.FormatFloat(float64(v), 'g', -1, 64)+" m", align.ErrNotFinite)
}

// notNegative refuses what is not a finite number of zero or more.
func notNegative(field string, v unit.Length) error {
	if err := finiteLength(field, v); err != nil {
		return err
	}
	if v < 0 {
		return fault(field, millimetres(v), align.ErrNegative)
	}
	return nil
}

// CheckFeet returns the first fault of a layout: fewer than three feet, more
// than MaxFeet, a foot without a name, two feet of one name or in one place,
// all feet in one line, or a position that is not finite or beyond a kilometre.
func CheckFeet(feet []Foot) error {
	if len(feet) < 3 {
		return fault("feet", strconv.Itoa(len(feet))+" feet", ErrTooFewFeet)
	}
	if len(feet) > MaxFeet {
		return fault("feet", strconv.Itoa(len(feet))+" feet", ErrTooManyFeet)
	}
	for i, f := range feet {
		if err := checkFoot(f); err != nil {
			return align.In(err, at("feet", i))
		}
	}
	span := spanOf(feet)
	for i, f := range feet {
		for j := range i {
			if f.Name == feet[j].Name {
				return fault(at("feet", i)+".name", strconv.Quote(f.Name), ErrSameName)
			}
			if distance(f.At(), feet[j].At()) <= 1e-6*span {
				return fault(at("feet", i), f.Name+" and "+feet[j].Name, ErrSamePlace)
			}
		}
	}
	if inLine(feet, span) {
		return fault("feet", "", ErrInLine)
	}
	return nil
}

const farthest unit.Length = 1000 // metres; beyond it a unit is surely wrong

// checkFoot and checkPoint name the field alone; who calls them says whose it
// is, and only when there is a fault: a good input costs no text.
func checkFoot(f Foot) error {
	if f.Name == "" {
		return fault("name", "", align.ErrMissing)
	}
	return checkPoint(f.At())
}

func checkPoint(p Point) error {
	if err := checkPosition("station", p.Station); err != nil {
		return err
	}
	return checkPosition("lateral", p.Lateral)
}

func checkPosition(field string, v unit.Length) error {
	if err := finiteLength(field, v); err != nil {
		return err
	}
	if v > farthest || v < -farthest {
		return fault(field, millimetres(v), align.ErrOutOfRange)
	}
	return nil
}

// spanOf returns the largest distance between two feet.
func spanOf(feet []Foot) float64 {
	var span float64
	for i := range feet {
		for j := range i {
			span = max(span, distance(feet[i].At(), feet[j].At()))
		}
	}
	return span
}

func distance(p, q Point) float64 {
	return math.Hypot(float64(p.Station-q.Station), float64(p.Lateral-q.Lateral))
}

// inLine reports whether no three feet span a triangle worth the name: one
// whose doubled area is above a millionth of the squared span.
func inLine(feet []Foot, span float64) bool {
	for i := range feet {
		for j := range i {
			for k := range j {
				if math.Abs(doubleArea(feet[i].At(), feet[j].At(), feet[k].At())) > thin*span*span {
					return false
				}
			}
		}
	}
	return true
}

const thin = 1e-6

// doubleArea returns twice the area of the triangle o, p, q, positive when it
// runs from the station axis toward the lateral axis.
func doubleArea(o, p, q Point) float64 {
	px, pz := float64(p.Station-o.Station), float64(p.Lateral-o.Lateral)
	qx, qz := float64(q.Station-o.Station), float64(q.Lateral-o.Lateral)
	return float64(px*qz) - float64(pz*qx)
}

// height returns the effective height of pad i.
func (m *Machine) height(i int) unit.Length {
	if m.Gaps != nil {
		return -m.Gaps[i]
	}
	return m.Heights[i]
}

// check returns the first fault of the machine.
func (m *Machine) check() error {
	if err := CheckFeet(m.Feet); err != nil {
		return err
	}
	if err := m.checkUneven(); err != nil {
		return err
	}
	if m.Centre != nil {
		if err := checkPoint(*m.Centre); err != nil {
			return align.In(err, "centre")
		}
	}
	return notNegative("centreWithin", m.CentreWithin)
}

// checkUneven returns the first fault of gaps or heights.
func (m *Machine) checkUneven() error {
	field, values := "heights", m.Heights
	switch {
	case m.Gaps != nil && m.Heights != nil:
		return fault("heights", "", ErrGapsAndHeights)
	case m.Gaps != nil:
		field, values = "gaps", m.Gaps
	case m.Heights == nil:
		return fault("gaps", "", align.ErrMissing)
	}
	if len(values) != len(m.Feet) {
		return fault(field, strconv.Itoa(len(values))+" for "+strconv.Itoa(len(m.Feet))+" feet", align.ErrMismatch)
	}
	low, high := values[0], values[0]
	for i, v := range values {
		if !align.IsFinite(v) {
			return finiteLength(at(field, i), v)
		}
		if m.Gaps != nil && v < 0 {
			return notNegative(at(field, i), v)
		}
		low, high = min(low, v), max(high, v)
	}
	if float64(high-low) > steepest*spanOf(m.Feet) {
		return fault(field, "spread "+millimetres(high-low), ErrTiltTooLarge)
	}
	return nil
}

// Balance returns the centre of gravity that is used and whether it was
// assumed: the middle (mean position) of the feet when none is given.
func (m *Machine) Balance() (at Point, assumed bool) {
	if m.Centre != nil {
		return *m.Centre, false
	}
	if len(m.Feet) == 0 {
		return Point{}, true
	}
	for _, f := range m.Feet {
		at.Station += f.Station
		at.Lateral += f.Lateral
	}
	n := unit.Length(len(m.Feet))
	return Point{at.Station / n, at.Lateral / n}, true
}
