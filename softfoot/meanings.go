package softfoot

import "collinear.example/align"

// meaning says in words what a fault of this package means, "" for any other.
func meaning(err error) string {
	switch err {
	case ErrTooFewFeet:
		return "fewer than three feet do not hold a machine"
	case ErrTooManyFeet:
		return "more feet than can be worked out"
	case ErrSamePlace:
		return "two feet stand on one spot"
	case ErrSameName:
		return "two feet have one name"
	case ErrInLine:
		return "all feet stand in one line, nothing stops a roll"
	case ErrCentreOutside:
		return "the centre of gravity lies outside the feet, the machine would tip over"
	case ErrNotRectangle:
		return "twist has a meaning only for four feet in a rectangle, given round it"
	case ErrOthersLoose:
		return "a rise counts only while all other bolts are tight"
	case ErrGapsAndHeights:
		return "gaps and heights are two descriptions of the same thing, give one"
	case ErrTiltTooLarge:
		return "heights so uneven that small angles do not hold"
	case ErrTooFewPoints:
		return "fewer than three points give no plane"
	case ErrTooManyPoints:
		return "more points than can be worked out"
	}
	return ""
}

// warningMeaning says in words what a warning of this package means, "" for any
// other.
func warningMeaning(c align.WarningCode) string {
	switch c {
	case WarnCentreAssumed:
		return "no centre of gravity given, the middle of the feet was taken"
	case WarnRocks:
		return "the machine can rest in more than one way"
	case WarnNotResting:
		return "the gaps are not those of a machine at rest, something else holds it"
	case WarnDiagonalPair:
		return "two feet of one diagonal rise more: shim one of them fully or both by half, never both fully"
	case WarnOtherFoot:
		return "another foot moves more than the one whose bolt was loosened"
	case WarnFallingFoot:
		return "a foot falls when it is loosened: its bolt held it up, or the dial is reversed"
	case WarnManyShims:
		return "more shims than the rule allows"
	case WarnShimResidual:
		return "what the shims leave open is more than wanted"
	case WarnBentFoot:
		return "the corners do not lie in one plane, the foot or its pad is bent"
	}
	return ""
}
