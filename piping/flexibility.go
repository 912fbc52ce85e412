package piping

import (
	"math"
	"strconv"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// FreeLengthFor returns the length of straight pipe, held square at both ends,
// in which a sideways movement d makes just the bending stress s:
//
//	L = sqrt(3 E D d/S)
//
// (from S = M/Z with M = 6 EI d/L^2 and Z = 2 I/D: S = 3 E D d/L^2, guided
// cantilever). A longer run is bent less.
//
// Errors: missing, negative, not-finite or out-of-range outside diameter,
// modulus, movement or stress.
func FreeLengthFor(outside unit.Length, modulus unit.Pressure, d unit.Length, s unit.Pressure) (unit.Length, error) {
	if err := loadExtent("outside", outside); err != nil {
		return 0, err
	}
	if err := checkModulus("modulus", modulus); err != nil {
		return 0, err
	}
	if err := loadExtent("movement", d); err != nil {
		return 0, err
	}
	if err := loadPositive("stress", float64(s), 1, loadMostPressure, "Pa"); err != nil {
		return 0, err
	}
	return unit.Length(math.Sqrt(3 * float64(modulus) / float64(s) * float64(outside) * float64(d))), nil
}

// ShareOffset shares a sideways movement between parallel legs of one section
// that bend together one after the other, by the cubes of their lengths:
//
//	d_i = d L_i^3/sum(L_j^3)
//
// (guided cantilevers in series carry one force, so each gives way as its
// flexibility L^3/(12 EI); design manual of a piping contractor, pp. D.11-D.12).
//
// Errors: missing legs; missing, negative, not-finite or out-of-range lengths;
// not-finite or out-of-range movement.
func ShareOffset(d unit.Length, legs []unit.Length) ([]unit.Length, error) {
	if len(legs) == 0 {
		return nil, loadFault("legs", "", align.ErrMissing)
	}
	if err := loadBounded("offset", float64(d), loadMostLength, "m"); err != nil {
		return nil, err
	}
	sum := 0.0
	for i, l := range legs {
		if err := loadExtent("legs["+strconv.Itoa(i)+"]", l); err != nil {
			return nil, err
		}
		sum += float64(l * l * l)
	}
	out := make([]unit.Length, len(legs))
	for i, l := range legs {
		out[i] = d * unit.Length(float64(l*l*l)/sum)
	}
	return out, nil
}

// UnitSystem says in which units a rule is printed. The zero value is not one.
type UnitSystem uint8

// The unit systems of printed rules. The two forms of one rule differ by
// rounding: take the one that the job is specified in.
const (
	USCustomary UnitSystem = iota + 1 // lbf, lbf.ft, in
	SI                                // N, N.m, mm
)

// String returns the system in words.
func (u UnitSystem) String() string {
	switch u {
	case USCustomary:
		return "US customary"
	case SI:
		return "SI"
	}
	return "unit system(" + strconv.Itoa(int(u)) + ")"
}

func (u UnitSystem) check() error {
	switch u {
	case USCustomary, SI:
		return nil
	case 0:
		return loadFault("units", "", align.ErrMissing)
	}
	return loadFault("units", u.String(), align.ErrUnknownKind)
}

// FlexibilityTest is a pipe of one size with two anchors and no branch, for the
// simple test whether it needs an analysis.
type FlexibilityTest struct {
	Outside   unit.Length // outside diameter
	Movement  unit.Length // resultant of what must be absorbed, expansion and moved ends, above zero
	Developed unit.Length // length along the pipe, longer than Straight
	Straight  unit.Length // straight distance from anchor to anchor
	Units     UnitSystem  // the form of the limit
}

// Judge returns the verdict on
//
//	D Y/(L - U)^2 <= 0.03 with D, Y in in and L, U in ft, or 208.3 in mm and m
//
// (ASME B31.9, 919.4, eq. (8); the measured value is printed in mm2/m2, which
// is um/m). A run that fails is not thereby overstressed: it wants an analysis.
// The rule says nothing about the load on the nozzle.
//
// Errors: missing, negative, not-finite or out-of-range lengths; a developed
// length not above the straight one is out-of-range; missing or unknown units.
func (t FlexibilityTest) Judge() (align.Verdict, error) {
	for _, c := range [...]struct {
		field string
		v     unit.Length
	}{{"outside", t.Outside}, {"movement", t.Movement}, {"developed", t.Developed}, {"straight", t.Straight}} {
		if err := loadExtent(c.field, c.v); err != nil {
			return align.Verdict{}, err
		}
	}
	if err := t.Units.check(); err != nil {
		return align.Verdict{}, err
	}
	spare := float64(t.Developed - t.Straight)
	if spare < loadLeastLength {
		return align.Verdict{}, loadFault("developed", loadNumber(float64(t.Developed), "m"), align.ErrOutOfRange)
	}
	limit := 208.3
	if t.Units == USCustomary {
		limit = 0.03 / 144 * 1e6 // in2/ft2 in millionths
	}
	ratio := float64(float64(t.Outside)*float64(t.Movement)) / float64(spare*spare)
	return align.Limit{
		Name: "D Y/(L-U)^2", Value: limit, Unit: align.UnitMicrometrePerMetre,
		Source: "ASME B31.9, 919.4, eq. (8)", Known: align.Read,
	}.Judge(ratio)
}
