package align

import (
	"cmp"
	"fmt"
)

// WarningCode names a kind of suspicion. Codes are permanent and are the same
// words in the reference corpus.
type WarningCode string

// The warnings of this package.
const (
	WarnClosure        WarningCode = "closure"            // the dial did not come back to its first reading
	WarnSumRule        WarningCode = "sum-rule"           // top plus bottom disagrees with left plus right
	WarnRepeatability  WarningCode = "repeatability"      // two sets of the same readings disagree
	WarnResidual       WarningCode = "residual"           // a reading lies far from the fitted position
	WarnNarrowArc      WarningCode = "narrow-arc"         // the clock positions span a poor arc
	WarnExtrapolation  WarningCode = "long-extrapolation" // a foot lies far outside the measured span
	WarnGeometryOrder  WarningCode = "geometry-order"     // the stations stand in an unusual order
	WarnSagPositive    WarningCode = "sag-positive"       // a bracket that rises under its own weight
	WarnSagNotMeasured WarningCode = "sag-not-measured"   // no sag test was given for a bracket
	WarnSagSize        WarningCode = "sag-size"           // sag is large against what beam theory or habit expects
	WarnSize           WarningCode = "implausible-size"   // probably a wrong unit
	WarnOnePlane       WarningCode = "one-plane"          // only one plane could be found
	WarnRunoutLeft     WarningCode = "runout-left-in"     // given runout not used, because both shafts turned
)

// Severity says how much a warning matters.
type Severity uint8

// Severities, mildest first.
const (
	Notice  Severity = iota // worth knowing
	Suspect                 // look again before you rely on the answer
	Serious                 // the answer is probably wrong
)

// String returns the severity in lower case.
func (s Severity) String() string {
	switch s {
	case Notice:
		return "notice"
	case Suspect:
		return "suspect"
	case Serious:
		return "serious"
	}
	return fmt.Sprintf("severity(%d)", uint8(s))
}

// Warning says that something was computed but is suspect. Value and Limit are
// in SI units; Unit is the unit to print them in.
type Warning struct {
	Code     WarningCode
	Severity Severity
	Field    string  // which input, such as "dials[0]"
	Value    float64 // what was found
	Limit    float64 // what it was held against
	Unit     Unit    // unit in which to print both
	// Meaning says in words what a code of another package means; "" for the
	// codes of package align, which are known here.
	Meaning string
}

// String returns one line with field, finding, value and limit.
func (w Warning) String() string { return w.In(w.Unit) }

// In returns the warning with its numbers printed in u when u measures the
// same kind of quantity, and in the warning's own unit otherwise.
func (w Warning) In(u Unit) string {
	if u.Dimension() != w.Unit.Dimension() {
		u = w.Unit
	}
	s := string(w.Code)
	if m := cmp.Or(w.Code.meaning(), w.Meaning); m != "" {
		s += ": " + m
	}
	if w.Field != "" {
		s = w.Field + ": " + s
	}
	if u.Dimension() == NoDimension {
		return s
	}
	return fmt.Sprintf("%s (%s, limit %s)", s, u.Format(w.Value, decimalsFor(u)), u.Format(w.Limit, decimalsFor(u)))
}

// decimalsFor returns a sensible number of decimals for a check value.
func decimalsFor(u Unit) int {
	switch u {
	case UnitRPM, UnitPSI:
		return 0
	case UnitNewton, UnitPoundForce, UnitNewtonMetre, UnitPoundForceFoot, UnitPoundForceInch, UnitMegapascal:
		return 1
	case UnitMil, UnitMicrometre, UnitOne, UnitDegree, UnitMicrometrePerMetre, UnitCelsius, UnitFahrenheit, UnitKelvin, UnitCelsiusRise, UnitFahrenheitRise:
		return 1
	case UnitMillimetre, UnitMilPerInch, UnitMillimetrePerMetre:
		return 3
	case UnitInch:
		return 4
	}
	return 5
}

func (c WarningCode) meaning() string {
	switch c {
	case WarnClosure:
		return "the dial did not come back to its first reading"
	case WarnSumRule:
		return "top plus bottom does not agree with left plus right"
	case WarnRepeatability:
		return "two sets of readings disagree"
	case WarnResidual:
		return "a reading lies far from the fitted position"
	case WarnNarrowArc:
		return "the clock positions span a narrow arc, errors are magnified"
	case WarnExtrapolation:
		return "far outside the measured span, errors grow with the distance"
	case WarnGeometryOrder:
		return "stations stand in an unusual order, check the tape readings"
	case WarnSagPositive:
		return "the sag test is positive, a drooping bracket reads negative at 6 o'clock"
	case WarnSagNotMeasured:
		return "no sag test given, sag taken as zero"
	case WarnSagSize:
		return "sag is unusually large, check the kind of test"
	case WarnSize:
		return "unusually large, check the unit"
	case WarnOnePlane:
		return "only one plane could be found from these clock positions"
	case WarnRunoutLeft:
		return "both shafts turned together, so the given runout was not used"
	}
	return ""
}
