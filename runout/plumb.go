package runout

import (
	"math"
	"strconv"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Wires are the readings of four plumb wires at one elevation of a vertical
// shaft: the distance from each wire to the shaft surface. None may be
// negative. Wires hang straight, so what changes from one elevation to the next
// is the shaft.
//
// North, south, east and west name the wires, seen from above with east a
// quarter turn clockwise from north; they need not be the true compass. In the
// frame of package align, for a train that is walked downward (x down, the
// first machine on top), north is 12 o'clock, east 3, south 6 and west 9.
type Wires struct {
	North, South, East, West unit.Length
}

// Check returns align.ErrNotFinite or align.ErrNegative for a reading that
// cannot be a distance.
func (w Wires) Check() error {
	for _, r := range [...]struct {
		name  string
		value unit.Length
	}{{"north", w.North}, {"south", w.South}, {"east", w.East}, {"west", w.West}} {
		if err := plumbNotNegative(r.name, r.value); err != nil {
			return err
		}
	}
	return nil
}

// add returns w + c, wire by wire.
func (w Wires) add(c Wires) Wires {
	return Wires{w.North + c.North, w.South + c.South, w.East + c.East, w.West + c.West}
}

// Lean is how far one point of a vertical shaft stands from another, seen from
// above: north positive, east positive.
type Lean struct {
	North, East unit.Length
}

// Size returns the length of the lean, both directions combined.
func (l Lean) Size() unit.Length {
	return unit.Length(math.Hypot(float64(l.North), float64(l.East)))
}

// Bearing returns the direction of the lean in degrees clockwise from north, 0
// included and 360 excluded; 0 for no lean.
func (l Lean) Bearing() float64 { return float64(l.Offset().Clock()) }

// Offset returns the lean in the frame of package align for a train walked
// downward: north is 12 o'clock, east is 3 o'clock.
func (l Lean) Offset() align.Offset { return align.Offset{Vertical: l.North, Horizontal: l.East} }

// Sub returns l - m.
func (l Lean) Sub(m Lean) Lean { return Lean{l.North - m.North, l.East - m.East} }

// leastLean is the smallest lean that has a direction; anything less is the
// rounding of double arithmetic.
const leastLean = 1e-12 * align.Metre

// TowardNorthSouth returns "N" or "S", the wire toward which the lower point
// leans, or "plumb".
func (l Lean) TowardNorthSouth() string { return toward(l.North, "N", "S") }

// TowardEastWest returns "E" or "W", the wire toward which the lower point
// leans, or "plumb".
func (l Lean) TowardEastWest() string { return toward(l.East, "E", "W") }

func toward(v unit.Length, positive, negative string) string {
	switch {
	case v > leastLean:
		return positive
	case v < -leastLean:
		return negative
	}
	return "plumb"
}

// String returns both components with their direction, in millimetres.
func (l Lean) String() string { return l.In(align.UnitMillimetre, 4) }

// In returns both components with their direction, in u with the given
// decimals: "0.1524 mm toward N, 0.0190 mm toward W".
func (l Lean) In(u align.Unit, decimals int) string {
	return componentIn(u, decimals, l.North, l.TowardNorthSouth()) + ", " + componentIn(u, decimals, l.East, l.TowardEastWest())
}

func componentIn(u align.Unit, decimals int, v unit.Length, to string) string {
	return u.Format(math.Abs(float64(v)), decimals) + " toward " + to
}

// PlumbSheet is the worksheet of one lower elevation against the first one,
// with the shaft standing in one position.
type PlumbSheet struct {
	Constants  Wires       // added to bring the wires together at the first elevation
	Corrected  Wires       // lower readings with the constants added
	OutOfPlumb Lean        // of the lower point against the first; it leans toward the smaller reading
	SumNS      unit.Length // corrected north plus south
	SumEW      unit.Length // corrected east plus west
	Roundness  unit.Length // SumNS less SumEW, as a size: not zero when the shaft is not round or a reading is wrong
}

// NewPlumbSheet works out one position of the shaft from the readings at the
// first (highest) elevation and at a lower one.
//
// The constants are N1 - X1 for each wire X, so that all four read as the north
// wire does at the first elevation. With c the corrected lower readings, the
// lower point stands (cS - cN)/2 to the north and (cW - cE)/2 to the east of the
// first, and |(cN + cS) - (cE + cW)| should be zero (Bureau of Reclamation,
// FIST 2-1, Fig. 16). A change of diameter between the elevations drops out of
// both.
//
// Errors: align.ErrNotFinite, align.ErrNegative; align.ErrOutOfRange when the
// numbers are too large to add.
func NewPlumbSheet(first, lower Wires) (PlumbSheet, error) {
	if err := first.Check(); err != nil {
		return PlumbSheet{}, align.In(err, "first")
	}
	if err := lower.Check(); err != nil {
		return PlumbSheet{}, align.In(err, "lower")
	}
	s := plumbSheet(first, lower)
	if !align.IsFinite(s.SumNS) || !align.IsFinite(s.SumEW) {
		return PlumbSheet{}, plumbFault("lower", "", align.ErrOutOfRange)
	}
	return s, nil
}

func plumbSheet(first, lower Wires) PlumbSheet {
	s := PlumbSheet{Constants: Wires{South: first.North - first.South, East: first.North - first.East, West: first.North - first.West}}
	s.Corrected = lower.add(s.Constants)
	c := s.Corrected
	s.OutOfPlumb = Lean{North: (c.South - c.North) / 2, East: (c.West - c.East) / 2} // FIST 2-1, Fig. 16
	s.SumNS, s.SumEW = c.North+c.South, c.East+c.West
	s.Roundness = unit.Length(math.Abs(float64(s.SumNS - s.SumEW))) // FIST 2-1, Fig. 16
	return s
}

// WarnPlumbRoundness says that north plus south disagrees with east plus west
// by more than the worksheet allows: a misread wire, or a shaft that is not
// round there.
const WarnPlumbRoundness align.WarningCode = "plumb-roundness"

// ReclamationRoundness is how far north plus south may stand from east plus
// west on the plumb worksheet. The sheet asks for less than the value; a figure
// equal to it is let pass here, as with every limit.
func ReclamationRoundness() align.Limit {
	return align.Limit{Name: "N + S against E + W on the plumb sheet", Value: 0.002, Unit: align.UnitInch, Source: fist21 + ", p. 22, Fig. 16", Known: align.Read}
}

// CheckRoundness returns a WarnPlumbRoundness when the sums of the sheet differ
// by more than the limit; ReclamationRoundness is the published one.
func (s PlumbSheet) CheckRoundness(limit align.Limit) ([]align.Warning, error) {
	v, err := limit.Judge(float64(s.Roundness))
	if err != nil || v.Within {
		return nil, err
	}
	return []align.Warning{{
		Code: WarnPlumbRoundness, Meaning: warningMeaning(WarnPlumbRoundness), Severity: align.Suspect, Field: "wires",
		Value: v.Measured, Limit: limit.SI(), Unit: limit.Unit,
	}}, nil
}

func plumbFault(field, got string, fault align.Fault) error {
	return &align.InputError{Package: "runout", Field: field, Got: got, Err: fault}
}

func plumbCheckFinite(field string, v unit.Length) error {
	if align.IsFinite(v) {
		return nil
	}
	return plumbFault(field, strconv.FormatFloat(float64(v), 'g', -1, 64)+" m", align.ErrNotFinite)
}

func plumbNotNegative(field string, v unit.Length) error {
	if err := plumbCheckFinite(field, v); err != nil {
		return err
	}
	if v < 0 {
		return plumbFault(field, align.UnitMillimetre.Format(float64(v), 4), align.ErrNegative)
	}
	return nil
}

func plumbAboveZero(field string, v unit.Length, fault align.Fault) error {
	if err := plumbCheckFinite(field, v); err != nil {
		return err
	}
	if v <= 0 {
		return plumbFault(field, align.UnitMillimetre.Format(float64(v), 4), fault)
	}
	return nil
}
