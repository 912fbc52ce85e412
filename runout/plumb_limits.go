package runout

import (
	"math"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// fist21 is the manual behind every limit of this file. It says to use them
// only where the maker of the unit gives none.
const fist21 = "US Bureau of Reclamation, FIST 2-1, Alignment of Vertical Shaft Hydrounits (rev. 2000)"

const fist21Table = fist21 + ", p. 10, Table 1"

// ReclamationOrbit returns the largest static runout of a vertical shaft, a
// diameter of the orbit: 0.002 in x L/D. L is the length of shaft from the thrust
// bearing to the place where runout is measured, D the diameter of the thrust
// runner. Both must be above zero.
func ReclamationOrbit(length, runner unit.Length) (align.Limit, error) {
	if err := plumbAboveZero("length", length, align.ErrOutOfRange); err != nil {
		return align.Limit{}, err
	}
	if err := plumbAboveZero("runner", runner, align.ErrZeroDiameter); err != nil {
		return align.Limit{}, err
	}
	return reclamation("static runout (orbit diameter)", 0.002*float64(length/runner)) // FIST 2-1, Table 1
}

// ReclamationPlumb returns how far the centre of runout at the lowest reading
// may stand from plumb under the highest one: 0.000025 x H, H the height between
// the two, which must be above zero.
func ReclamationPlumb(height unit.Length) (align.Limit, error) {
	if err := plumbAboveZero("height", height, align.ErrOutOfRange); err != nil {
		return align.Limit{}, err
	}
	return reclamation("plumb of the centre of runout", 0.000025*float64(height/align.Inch)) // FIST 2-1, Table 1
}

// ReclamationStraightness returns how far a reading point may stand from the
// straight line that joins the top and bottom ones: 0.003 in.
func ReclamationStraightness() align.Limit {
	l, _ := reclamation("shaft straightness", 0.003) // FIST 2-1, Table 1; finite
	l.Place = "any reading point, from the line through top and bottom"
	return l
}

func reclamation(name string, inches float64) (align.Limit, error) {
	if !align.IsFinite(inches) {
		return align.Limit{}, plumbFault(name, "", align.ErrOutOfRange)
	}
	return align.Limit{Name: name, Value: inches, Unit: align.UnitInch, Source: fist21Table, Known: align.Read}, nil
}

// ClearanceItem names a thing on a vertical unit whose limit is a share of a
// clearance, an air gap, a radius or a diameter.
type ClearanceItem string

// The items of the Reclamation table that ReclamationShare knows, with what
// each is a share of.
const (
	StatorAirGap         ClearanceItem = "stator-air-gap"         // nominal design air gap
	StatorConcentricity  ClearanceItem = "stator-concentricity"   // nominal design air gap; to the turbine guide bearing
	UpperGuideBearing    ClearanceItem = "upper-guide-bearing"    // diametral bearing clearance; concentricity
	LowerGuideBearing    ClearanceItem = "lower-guide-bearing"    // diametral bearing clearance; concentricity
	SealRings            ClearanceItem = "seal-rings"             // diametral seal ring clearance; concentricity
	StatorCircularity    ClearanceItem = "stator-circularity"     // nominal design air gap
	RotorCircularity     ClearanceItem = "rotor-circularity"      // nominal design air gap
	StatorVerticality    ClearanceItem = "stator-verticality"     // nominal design air gap; to plumb
	RotorVerticality     ClearanceItem = "rotor-verticality"      // nominal design air gap; to the generator shaft
	WicketGateToCentre   ClearanceItem = "wicket-gate-to-centre"  // radius from the unit's centre
	WicketGateToGate     ClearanceItem = "wicket-gate-to-gate"    // diameter of the gate circle
	WicketGatePlumb      ClearanceItem = "wicket-gate-plumb"      // smallest diametral bushing clearance
	FacingPlateParallel  ClearanceItem = "facing-plate-parallel"  // total wicket gate clearance, top plus bottom
	FacingPlateLevelness ClearanceItem = "facing-plate-levelness" // total wicket gate clearance, top plus bottom
)

// share returns what the item is called, its limit as a share and what it is a
// share of (FIST 2-1, Table 1).
func (i ClearanceItem) share() (name string, share float64, of string) {
	const gap, bearing = "nominal design air gap", "diametral bearing clearance"
	switch i {
	case StatorAirGap:
		return "stator air gap", 0.05, gap
	case StatorConcentricity:
		return "concentricity of the stator", 0.05, gap
	case UpperGuideBearing:
		return "concentricity of the upper guide bearing", 0.2, bearing
	case LowerGuideBearing:
		return "concentricity of the lower guide bearing", 0.2, bearing
	case SealRings:
		return "concentricity of the seal rings", 0.1, "diametral seal ring clearance"
	case StatorCircularity:
		return "circularity of the stator", 0.05, gap
	case RotorCircularity:
		return "circularity of the rotor", 0.05, gap
	case StatorVerticality:
		return "verticality of the stator", 0.05, gap
	case RotorVerticality:
		return "verticality of the rotor", 0.05, gap
	case WicketGateToCentre:
		return "wicket gate to unit centre", 0.0002, "radius"
	case WicketGateToGate:
		return "between wicket gates", 0.0001, "gate circle diameter"
	}
	return i.gateShare()
}

func (i ClearanceItem) gateShare() (name string, share float64, of string) {
	const total = "total wicket gate clearance"
	switch i {
	case WicketGatePlumb:
		return "plumb of the wicket gates", 0.2, "smallest diametral bushing clearance"
	case FacingPlateParallel:
		return "parallelism of the facing plates", 0.2, total
	case FacingPlateLevelness:
		return "levelness of the facing plates", 0.2, total
	}
	return "", 0, ""
}

// ReclamationShare returns the limit of an item as a share of its reference: a
// clearance, an air gap, a radius or a diameter, as the constants say. Limits
// printed with a plus-or-minus sign hold to both sides: Judge takes sizes. The
// manual relaxes wicket gate plumb and facing plate level in some cases.
//
// Errors: align.ErrUnknownKind for an item not in the table, align.ErrOutOfRange
// for a reference that is not above zero.
func ReclamationShare(item ClearanceItem, reference unit.Length) (align.Limit, error) {
	name, share, of := item.share()
	if name == "" {
		return align.Limit{}, plumbFault("item", string(item), align.ErrUnknownKind)
	}
	if err := plumbAboveZero("reference", reference, align.ErrOutOfRange); err != nil {
		return align.Limit{}, err
	}
	l, err := reclamation(name, share*float64(reference/align.Inch))
	l.Source += ", share of the " + of
	return l, err
}

// WarnShaftNotFree says that the shaft did not move far enough under a light
// push by hand to hang free, so plumb readings would show what holds it.
const WarnShaftNotFree align.WarningCode = "shaft-not-free"

// freeShaft is the least movement of a shaft that hangs free (FIST 2-1, p. 19).
const freeShaft = 0.005 * align.Inch

// CheckShaftFree returns a WarnShaftNotFree when the shaft, pushed lightly by
// hand, moves less than 0.005 in (FIST 2-1, p. 19). The sign of the movement does
// not matter. Test it in every position before reading the wires.
func CheckShaftFree(push align.Movement) ([]align.Warning, error) {
	if err := plumbCheckFinite("push", unit.Length(push)); err != nil {
		return nil, err
	}
	size := math.Abs(float64(push))
	if size >= float64(freeShaft)*(1-1e-12) {
		return nil, nil
	}
	return []align.Warning{{
		Code: WarnShaftNotFree, Meaning: warningMeaning(WarnShaftNotFree), Severity: align.Serious, Field: "push",
		Value: size, Limit: float64(freeShaft), Unit: align.UnitInch,
	}}, nil
}
