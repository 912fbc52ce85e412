package moves

import (
	"strconv"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// The faults of this package beside those of package align.
const (
	// ErrNothingMoves says that no machine of the train may move.
	ErrNothingMoves align.Fault = "nothing-may-move"
	// ErrStopped says that the search was stopped, by its budget or its context,
	// before it had an answer that is proved.
	ErrStopped align.Fault = "stopped"
)

// meaning says in words what a fault of this package means, "" for any other.
func meaning(err error) string {
	switch err {
	case ErrNothingMoves:
		return "no machine of the train may move"
	case ErrStopped:
		return "stopped before an answer was proved"
	}
	return ""
}

func fault(field, got string, err error) error {
	return &align.InputError{Package: "moves", Field: field, Got: got, Err: err, Meaning: meaning(err)}
}

func index(list string, i int) string { return list + "[" + strconv.Itoa(i) + "]" }

func mm(v unit.Length) string { return align.UnitMillimetre.Format(float64(v), 3) }

// Bounds of what is taken for an input at all (own choice): no train is longer
// than 10 km, no move or limit larger than 10 m.
const (
	maxPlace  unit.Length = 1e4
	maxLength unit.Length = 10
)

// bounded wants a finite length of no absurd size, of any sign.
func bounded(field string, v, most unit.Length) error {
	switch {
	case v >= -most && v <= most:
		return nil
	case !align.IsFinite(v):
		return fault(field, strconv.FormatFloat(float64(v), 'g', -1, 64)+" m", align.ErrNotFinite)
	}
	return fault(field, mm(v), align.ErrOutOfRange)
}

// fromZero wants a length of zero or more.
func fromZero(field string, v unit.Length) error {
	if err := bounded(field, v, maxLength); err != nil {
		return err
	}
	if v < 0 {
		return fault(field, mm(v), align.ErrNegative)
	}
	return nil
}

func checkPlace(field string, p align.Place) error {
	if err := bounded(field+".x", p.X, maxPlace); err != nil {
		return err
	}
	if err := bounded(field+".y", p.Y, maxPlace); err != nil {
		return err
	}
	return bounded(field+".z", p.Z, maxPlace)
}

func checkAxis(field string, a align.Axis) error {
	for _, l := range [...]struct {
		name string
		line align.Line
	}{{".vertical", a.Vertical}, {".horizontal", a.Horizontal}} {
		if err := bounded(field+l.name+".offset", l.line.Offset, maxLength); err != nil {
			return err
		}
		s := l.line.Slope
		if !align.IsFinite(s) {
			return fault(field+l.name+".slope", "", align.ErrNotFinite)
		}
		if s > 1 || s < -1 {
			return fault(field+l.name+".slope", align.UnitMillimetrePerMetre.Format(s, 1), align.ErrOutOfRange)
		}
	}
	return nil
}
