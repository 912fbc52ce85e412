package drawing

import (
	"errors"
	"strconv"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// ErrDoesNotFit says that something does not fit the sheet at the scale that was
// asked for.
const ErrDoesNotFit align.Fault = "does-not-fit"

// Bounds of what is drawn at all (own choice): no train is longer than 10 km, no
// offset, movement or gap larger than a metre.
const (
	maxStation unit.Length = 1e4
	maxOffset  unit.Length = 1
)

func sheetFault(field, got string, err error) error {
	meaning := ""
	if err == ErrDoesNotFit {
		meaning = "does not fit the sheet at this scale"
	}
	return &align.InputError{Package: "drawing", Field: field, Got: got, Err: err, Meaning: meaning}
}

// of makes an error of another package one of this package, with the field before
// it, so that every message starts alike.
func of(field string, err error) error {
	if field != "" {
		err = align.In(err, field)
	}
	var e *align.InputError
	if !errors.As(err, &e) {
		return err
	}
	return &align.InputError{Package: "drawing", Field: e.Field, Got: e.Got, Err: e.Err, Meaning: e.Meaning}
}

func item(list string, i int) string { return list + "[" + strconv.Itoa(i) + "]" }

// checkBetween wants a finite length no larger than most, of any sign.
func checkBetween(field string, v, most unit.Length) error {
	switch {
	case v >= -most && v <= most:
		return nil
	case !align.IsFinite(v):
		return sheetFault(field, strconv.FormatFloat(float64(v), 'g', -1, 64)+" m", align.ErrNotFinite)
	}
	return sheetFault(field, align.UnitMillimetre.Format(float64(v), 3), align.ErrOutOfRange)
}

// checkFromZero wants a length of zero or more.
func checkFromZero(field string, v, most unit.Length) error {
	if err := checkBetween(field, v, most); err != nil {
		return err
	}
	if v < 0 {
		return sheetFault(field, align.UnitMillimetre.Format(float64(v), 3), align.ErrNegative)
	}
	return nil
}

// checkCount wants no more things than a sheet holds.
func checkCount(field string, n, most int) error {
	if n > most {
		return sheetFault(field, strconv.Itoa(n), align.ErrOutOfRange)
	}
	return nil
}

// checkUnit wants millimetres or mils; nothing stands for millimetres.
func checkUnit(u align.Unit) error {
	switch {
	case u == "", u == align.UnitMillimetre, u == align.UnitMil:
		return nil
	case u.Dimension() == align.NoDimension:
		return sheetFault("unit", strconv.Quote(string(u)), align.ErrUnknownUnit)
	}
	return sheetFault("unit", strconv.Quote(string(u)), align.ErrWrongUnit)
}

// checkLine wants a line whose offset and slope are finite and not absurd.
func checkLine(field string, l align.Line) error {
	if err := checkBetween(field+".offset", l.Offset, maxStation); err != nil {
		return err
	}
	switch {
	case l.Slope >= -1 && l.Slope <= 1:
		return nil
	case !align.IsFinite(l.Slope):
		return sheetFault(field+".slope", strconv.FormatFloat(l.Slope, 'g', -1, 64), align.ErrNotFinite)
	}
	return sheetFault(field+".slope", align.UnitMillimetrePerMetre.Format(l.Slope, 1), align.ErrOutOfRange)
}
