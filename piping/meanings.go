package piping

import "collinear.example/align"

// meaning says in words what a fault of a strain test means, "" for any other.
func meaning(err error) string {
	switch err {
	case ErrGivenTwice:
		return "is the name of two of them"
	case ErrDirection:
		return "is not a direction of unit length"
	case ErrTooManyIndicators:
		return "are more indicators than the 64 that are taken"
	case ErrAllHeld:
		return "leaves the machine no way to move"
	case ErrUnknownStep:
		return "is not the name of an earlier step"
	case ErrNotOpposite:
		return "is not undone by this step: action, group or things do not fit"
	case ErrUndoneTwice:
		return "is undone by two steps"
	}
	return ""
}

// warningMeaning says in words what a warning of a strain test means, "" for any
// other.
func warningMeaning(c align.WarningCode) string {
	switch c {
	case WarnDistortion:
		return "does not move with the rest of the machine, the casing or a bearing housing is bent"
	case WarnShaftDiffers:
		return "the shaft did not move as the casing did, look at bearings and housing"
	case WarnLoneOblique:
		return "one indicator at an angle is all there is, movement across it goes unseen"
	case WarnOtherMachine:
		return "the bracket reaches from shaft to shaft, the other machine was taken as still"
	case WarnReadingMissing:
		return "was not read at this step, which is not the same as zero"
	case WarnNotDetermined:
		return "the readings do not tell how the shaft moved there"
	}
	return ""
}
