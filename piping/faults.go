package piping

import (
	"strconv"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// The faults of a strain test that package align does not have.
const (
	// ErrGivenTwice is a name that two indicators, two steps or two points share.
	ErrGivenTwice align.Fault = "given-twice"
	// ErrDirection is a direction that is not of unit length; make one with the
	// constructors of package align.
	ErrDirection align.Fault = "not-a-unit-vector"
	// ErrTooManyIndicators is more than 64 indicators.
	ErrTooManyIndicators align.Fault = "too-many-indicators"
	// ErrAllHeld is a test in which no way to move is left free.
	ErrAllHeld align.Fault = "all-ways-held"
	// ErrUnknownStep is a step that undoes one that does not come before it.
	ErrUnknownStep align.Fault = "unknown-step"
	// ErrNotOpposite is a step that cannot undo the one it names: another action
	// than the opposite, another group, or other things.
	ErrNotOpposite align.Fault = "not-opposite"
	// ErrUndoneTwice is a step that two others undo.
	ErrUndoneTwice align.Fault = "undone-twice"
)

// The warnings of a strain test.
const (
	// WarnDistortion is an indicator on the casing or a foot that does not fit a
	// rigid motion: the casing or a bearing housing was bent. Value is the
	// residual, Limit three standard uncertainties.
	WarnDistortion align.WarningCode = "casing-distortion"
	// WarnShaftDiffers is an indicator on the shaft that shows something else
	// than the casing's motion: the shaft moved in its bearings, or the bearing
	// housing on the casing. Value is the difference, Limit three standard
	// uncertainties of it.
	WarnShaftDiffers align.WarningCode = "shaft-differs-from-casing"
	// WarnLoneOblique says that one indicator between the vertical and the
	// horizontal is all that watches the shaft. Value is the reading.
	WarnLoneOblique align.WarningCode = "lone-oblique-indicator"
	// WarnOtherMachine says that a bracket joins the two shafts, so that the
	// other machine was taken as standing still.
	WarnOtherMachine align.WarningCode = "other-machine-taken-as-still"
	// WarnReadingMissing is an indicator that was not read at a step.
	WarnReadingMissing align.WarningCode = "reading-missing"
	// WarnNotDetermined says that the movement of the shaft at the coupling in a
	// plane does not follow from the readings.
	WarnNotDetermined align.WarningCode = "movement-not-determined"
)

// Bounds of what is taken for an input at all (own choice).
const (
	maxPlace     unit.Length = 1e4
	maxMovement  unit.Length = 0.1
	leastSigma   unit.Length = 1e-7
	largestSigma unit.Length = 1e-2
	leastLever   unit.Length = 1e-3
	largeMove                = 5 * align.Millimetre // probably a wrong unit
)

func strainFault(field, got string, err error) error {
	return &align.InputError{Package: "piping", Field: field, Got: got, Err: err, Meaning: meaning(err)}
}

func strainWarning(code align.WarningCode, s align.Severity, field string, v, limit unit.Length) align.Warning {
	return align.Warning{
		Code: code, Severity: s, Field: field, Value: float64(v), Limit: float64(limit),
		Unit: align.UnitMillimetre, Meaning: warningMeaning(code),
	}
}

func index(field string, i int) string { return field + "[" + strconv.Itoa(i) + "]" }

// checkWithin wants a finite length of a size up to most.
func checkWithin(field string, v, most unit.Length) error {
	switch {
	case !align.IsFinite(v):
		return strainFault(field, strconv.FormatFloat(float64(v), 'g', -1, 64)+" m", align.ErrNotFinite)
	case v < -most || v > most:
		return strainFault(field, strconv.FormatFloat(float64(v), 'g', 6, 64)+" m", align.ErrOutOfRange)
	}
	return nil
}

// checkPlace wants a place not absurdly far away. The name is put together only
// when there is something to say.
func checkPlace(field string, p align.Place) error {
	if within(p.X, maxPlace) && within(p.Y, maxPlace) && within(p.Z, maxPlace) {
		return nil
	}
	if err := checkWithin(field+".x", p.X, maxPlace); err != nil {
		return err
	}
	if err := checkWithin(field+".y", p.Y, maxPlace); err != nil {
		return err
	}
	return checkWithin(field+".z", p.Z, maxPlace)
}

// within is false for what is not a number.
func within(v, most unit.Length) bool { return v >= -most && v <= most }

// checkUncertainty wants zero, which is not given, or a believable length.
func checkUncertainty(field string, v unit.Length) error {
	if v == 0 || v >= leastSigma && v <= largestSigma {
		return nil
	}
	if err := checkWithin(field, v, largestSigma); err != nil {
		return err
	}
	fault := align.ErrOutOfRange
	if v < 0 {
		fault = align.ErrNegative
	}
	return strainFault(field, align.UnitMicrometre.Format(float64(v), 4), fault)
}
