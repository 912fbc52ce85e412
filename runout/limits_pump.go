package runout

import (
	"strconv"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// PumpRotor is the rotor of a pump between its bearings. API 610 sorts rotors by
// the flexibility factor L^4/D^2.
type PumpRotor struct {
	Span     unit.Length // L, between the bearings; above zero
	Diameter unit.Length // D, of the shaft; above zero
}

// stiffFactor is the flexibility factor in square metres up to which a rotor
// counts as stiff: 1.9e9 mm^2. The inch figure printed beside it, 3.0e6 in^2, is
// 1.935e9 mm^2; the metric one is used. Both are printed as a plain "mm" and "in".
const stiffFactor = 1.9e9 * 1e-6

// FlexibilityFactor returns L^4/D^2 in square metres (API 610, 11th ed.; the
// meaning of L and D is from memory). It fails with align.ErrNotFinite,
// align.ErrZeroDiameter or align.ErrOutOfRange.
func (r PumpRotor) FlexibilityFactor() (float64, error) {
	if err := checkAbove("span", float64(r.Span), align.UnitMillimetre); err != nil {
		return 0, err
	}
	if err := checkDiameter("diameter", r.Diameter); err != nil {
		return 0, err
	}
	root := float64(r.Span) * float64(r.Span/r.Diameter)
	f := root * root // L^4/D^2 = (L^2/D)^2
	if !align.IsFinite(f) {
		return 0, fault("flexibility factor", "", align.ErrOutOfRange)
	}
	return f, nil
}

// Flexible reports whether the factor is over 1.9e9 mm^2. It fails as
// FlexibilityFactor does.
func (r PumpRotor) Flexible() (bool, error) {
	f, err := r.FlexibilityFactor()
	return f > float64(stiffFactor*(1+edge)), err
}

// Limits returns the largest total indicator readings of the bare shaft and of
// the assembled rotor whose parts are fitted with clearance: 40 and 90 um for a
// flexible rotor, 25 and 75 um for a stiff one.
//
// The two pump manuals that print the table of API 610, 11th ed., head BOTH rows
// with "over 1.9e9". The row 25/75 can only be that of stiff rotors, and is taken
// so from memory; the limits of that row say so. Check the standard itself.
func (r PumpRotor) Limits() (shaft, rotor align.Limit, err error) {
	flexible, err := r.Flexible()
	if err != nil {
		return shaft, rotor, err
	}
	const (
		table    = "API 610, 11th ed., table as printed in two pump manuals, pp. 76 and 86"
		conflict = table + "; both print 'over' at this row, taken as 'up to'"
	)
	shaft = align.Limit{
		Name: shaftRunout, Place: "shaft of a stiff rotor", Value: 25, Unit: align.UnitMicrometre,
		Source: conflict, Known: align.FromMemory,
	}
	if flexible {
		shaft.Place, shaft.Value, shaft.Source, shaft.Known = "shaft of a flexible rotor", 40, table, align.ReadSecondhand
	}
	rotor = shaft
	rotor.Name, rotor.Place, rotor.Value = "rotor runout", "stiff rotor, parts fitted with clearance", 75
	if flexible {
		rotor.Place, rotor.Value = "flexible rotor, parts fitted with clearance", 90
	}
	return shaft, rotor, nil
}

const b73 = "ASME B73.1, column in the table of a pump manual, p. 52"

// ASMEB73Shaft returns the largest shaft runout of a horizontal end suction
// chemical pump: 0.05 mm (ASME B73.1 as a pump manual prints it; the place along
// the shaft is not printed).
func ASMEB73Shaft() align.Limit {
	return align.Limit{Name: shaftRunout, Place: "pump shaft", Value: 0.05, Unit: align.UnitMillimetre, Source: b73, Known: align.ReadSecondhand}
}

// ASMEB73Sleeve returns the largest runout of the shaft sleeve of the same pump:
// 0.05 mm.
func ASMEB73Sleeve() align.Limit {
	return align.Limit{Name: "sleeve runout", Place: "shaft sleeve", Value: 0.05, Unit: align.UnitMillimetre, Source: b73, Known: align.ReadSecondhand}
}

const lineShaft = "Bloch and Geitner, Practical Machinery Management for Process Plants, vol. 4, p. 103"

// LineShaft returns the largest total indicator reading of the line shaft of a
// vertical pump of that length: 0.0005 in for each foot. The shaft lies on rollers
// near its ends and is read at several places. The length must be above zero.
// Errors: align.ErrNotFinite, align.ErrNegative, align.ErrOutOfRange.
func LineShaft(length unit.Length) (align.Limit, error) {
	if err := checkAbove("length", float64(length), align.UnitMillimetre); err != nil {
		return align.Limit{}, err
	}
	inches := 0.0005 * float64(length/align.Foot) // TIR = 0.0005 in/ft x L
	if !align.IsFinite(inches) {
		return align.Limit{}, fault("length", "", align.ErrOutOfRange)
	}
	return align.Limit{
		Name: "line shaft straightness", Place: "whole length, on rollers near the ends",
		Value: inches, Unit: align.UnitInch, Source: lineShaft, Known: align.Read,
	}, nil
}

// LineShaftAnyFoot returns the largest total indicator reading within any one
// foot of a line shaft: 0.001 in. The first digits are blurred in the copy read.
func LineShaftAnyFoot() align.Limit {
	return align.Limit{
		Name: "line shaft straightness", Place: "any one foot",
		Value: 0.001, Unit: align.UnitInch, Source: lineShaft + " (print blurred)", Known: align.Read,
	}
}

// HandbookRule is a published rule for a coupling hub that runs out: first the
// hub is read, and if it is over its limit, the shaft beside it. It goes by sizes
// alone; to tell causes apart, compare hub and shaft as vectors.
type HandbookRule struct {
	Hub   align.Limit
	Shaft align.Limit
}

// PumpHandbookRule returns the rule of a pump handbook: hub 0.002 in, shaft
// 0.001 in (Mackay, The Practical Pumping Handbook, 10.3.5, pp. 178-179).
func PumpHandbookRule() HandbookRule {
	return hubAndShaft(0.002, 0.001, "Mackay, The Practical Pumping Handbook, 10.3.5, pp. 178-179")
}

// ChillerRule returns the rule of a maker of chillers: hub and shaft 0.001 in
// (Carrier, manual of the centrifugal chillers 17/19EX, p. 215).
func ChillerRule() HandbookRule {
	return hubAndShaft(0.001, 0.001, "Carrier, centrifugal chillers 17/19EX, p. 215")
}

func hubAndShaft(hub, shaft float64, source string) HandbookRule {
	l := func(name, place string, v float64) align.Limit {
		return align.Limit{Name: name, Place: place, Value: v, Unit: align.UnitInch, Source: source, Known: align.Read}
	}
	return HandbookRule{Hub: l("hub runout", "coupling hub", hub), Shaft: l(shaftRunout, "shaft beside the hub", shaft)}
}

// Finding is what a HandbookRule concludes.
type Finding string

// The findings of a HandbookRule.
const (
	HubWithin       Finding = "hub-within"                  // the hub is within its limit: go on
	ReadShaft       Finding = "read-shaft"                  // the hub is over; the shaft has not been read yet
	HubEccentric    Finding = "hub-eccentric"               // the hub is over and the shaft is not: the hub is bored off centre
	StraightenShaft Finding = "straighten-or-replace-shaft" // both are over
)

// Decide applies the rule to a hub reading and, when it has been taken, to the
// shaft reading; shaft is nil when it has not. A reading equal to the limit is
// within it. Errors: align.ErrNotFinite, align.ErrNegative.
func (r HandbookRule) Decide(hub align.TIR, shaft *align.TIR) (Finding, error) {
	if err := checkSize("hub", float64(hub), align.UnitMillimetre); err != nil {
		return "", err
	}
	if shaft != nil {
		if err := checkSize("shaft", float64(*shaft), align.UnitMillimetre); err != nil {
			return "", err
		}
	}
	over, err := r.Hub.Judge(float64(hub))
	if err != nil {
		return "", ours(err)
	}
	if over.Within {
		return HubWithin, nil
	}
	if shaft == nil {
		return ReadShaft, nil
	}
	beside, err := r.Shaft.Judge(float64(*shaft))
	if err != nil {
		return "", ours(err)
	}
	if beside.Within {
		return HubEccentric, nil
	}
	return StraightenShaft, nil
}

// NamedRule returns the rule with that name, "pump-handbook" or "chiller-maker".
// Another name is align.ErrUnknownKind.
func NamedRule(name string) (HandbookRule, error) {
	switch name {
	case "pump-handbook":
		return PumpHandbookRule(), nil
	case "chiller-maker":
		return ChillerRule(), nil
	}
	return HandbookRule{}, fault("rule", strconv.Quote(name), align.ErrUnknownKind)
}
