package tolerance

import (
	"strconv"

	"collinear.example/align"
)

// meaning says in words what a fault of this package means.
func meaning(f align.Fault) string {
	switch f {
	case ErrUnusable:
		return "its figures contradict themselves or cannot be what they say, and it is kept as a warning only"
	case ErrNotMonotone:
		return "the limit grows with speed"
	case ErrGap:
		return "the bands of speed leave a gap or overlap"
	case ErrUnknownSize:
		return "the table has no such size"
	case ErrNotOfShafts:
		return "cannot be told from the position of two shafts"
	case ErrUnknownTable:
		return "no built-in limits have that name"
	case ErrNothingGraded:
		return "none of its tables could be applied"
	case ErrOrder:
		return "rows do not stand in order of rising speed, size by size"
	case ErrTwice:
		return "is given twice"
	case ErrBadJSON:
		return "is not JSON that can be read"
	case ErrUnknownField:
		return "is not a field of the format"
	case ErrWrongType:
		return "is not of the kind that belongs there"
	case ErrUnknownFormat:
		return "is not the format of limits, " + strconv.Quote(Format)
	}
	return ""
}

// warningMeaning says in words what a warning of this package means, "" for any
// other.
func warningMeaning(c align.WarningCode) string {
	switch c {
	case WarnSuspect:
		return "something speaks against the figures of this table"
	case WarnBoundary:
		return "the source does not say to which band this speed belongs, the stricter was taken"
	case WarnBetween:
		return "the source does not say what holds between its speeds, the stricter was taken"
	case WarnHeld:
		return "the speed lies outside those listed, the nearest value was taken"
	case WarnOffTrend:
		return "the figure does not go with its neighbours, a misprint?"
	}
	return ""
}
