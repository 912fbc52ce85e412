package thermal

import "collinear.example/align"

// meaning says in words what a fault of this package means, "" for any other.
func meaning(err error) string {
	switch err {
	case ErrTooFewPoints:
		return "has too few points to give a coefficient"
	case ErrNotAscending:
		return "does not rise from the one before"
	case ErrSameTemperature:
		return "a mean coefficient needs two different temperatures"
	case ErrTooFewReadings:
		return "a cooling curve needs three readings or more"
	}
	return ""
}

// warningMeaning says in words what a warning of this package means, "" for any
// other.
func warningMeaning(c align.WarningCode) string {
	switch c {
	case WarnTemperature:
		return "the expansion of this material is not known there, that at the nearest end was held"
	case WarnProfile:
		return "the temperatures do not reach both ends, the end readings were held"
	case WarnRules:
		return "the rules of thumb contradict each other"
	case WarnTimeConstant:
		return "the readings hardly tell how fast the machine cools"
	case WarnRollUnknown:
		return "nothing rests on the other side here, the growth was taken as that of the shaft"
	}
	return ""
}
