package runout

import "collinear.example/align"

// warningMeaning says in words what a warning of this package means, "" for any
// other.
func warningMeaning(c align.WarningCode) string {
	switch c {
	case WarnHubTooHot:
		return "the hub would have to be hotter than allowed"
	case WarnNoHeatLimit:
		return "no highest temperature is given for the hub"
	case WarnNoMountingClearance:
		return "no clearance was asked for: the heated hub would just touch"
	case WarnFitSize:
		return "the interference is unusually large for the bore, check the unit"
	case WarnTurningSense:
		return "the points fit a turn the other way much better, marks counted counterclockwise?"
	case WarnPlumbRoundness:
		return "north plus south disagrees with east plus west: a misread wire, or a shaft that is not round there"
	case WarnShaftNotFree:
		return "the shaft moved too little under a push by hand to hang free"
	case WarnSecondHidden:
		return "too few positions to see whether the section is oval"
	case WarnNotRound:
		return "the section is not round"
	case WarnWarped:
		return "the face is not flat"
	}
	return ""
}
