package runout

import (
	"strconv"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Seat is a way in which a coupling hub sits on its shaft.
type Seat string

// The seats that practice gives an interference for.
const (
	StraightKeyless Seat = "straight-keyless"
	StraightKeyed   Seat = "straight-keyed"  // keyed and to be taken off again
	TaperHydraulic  Seat = "taper-hydraulic" // keyless taper, mounted with oil pressure
	KeylessOfAPI671 Seat = "keyless-api-671" // the least that API 671 asks for
)

// Practice is a range of interference per unit of bore diameter.
type Practice struct {
	Seat   Seat
	Least  float64 // plain ratio: 0.001 is one mil per inch
	Most   float64 // zero when no upper end is given
	Source string
	Known  align.Known
}

// PracticeOf returns what is customary for a seat, in mils per inch of bore:
//
//	straight, keyless                      1.0 to 1.5
//	straight, keyed, to be taken off again 0.5 to 0.75
//	keyless taper, hydraulic               2.0 to 2.5
//	API 671                                at least 1.5
//
// Source: a textbook on compressors, chapter on coupling hubs. To which seats the
// figure of API 671 applies is not plain there; check the standard. Practice is no
// replacement for the coupling maker's fit. Another seat is align.ErrUnknownKind.
func PracticeOf(s Seat) (Practice, error) {
	const mil = align.MilPerInch
	p := Practice{Seat: s, Source: "textbook on compressors, chapter on coupling hubs", Known: align.Read}
	switch s {
	case StraightKeyless:
		p.Least, p.Most = 1.0*mil, 1.5*mil
	case StraightKeyed:
		p.Least, p.Most = 0.5*mil, 0.75*mil
	case TaperHydraulic:
		p.Least, p.Most = 2.0*mil, 2.5*mil
	case KeylessOfAPI671:
		p.Least = 1.5 * mil
		p.Source, p.Known = "API 671 as quoted in a textbook on compressors", align.ReadSecondhand
	default:
		return Practice{}, fault("seat", strconv.Quote(string(s)), align.ErrUnknownKind)
	}
	return p, nil
}

// Against says where a value lies from a range.
type Against string

// Where a value lies.
const (
	UnderRange  Against = "under"
	WithinRange Against = "within"
	OverRange   Against = "over"
)

// Judge says whether an interference per unit of diameter is usual. The ends
// belong to the range. A value that is not finite is align.ErrNotFinite.
func (p Practice) Judge(perDiameter float64) (Against, error) {
	if !align.IsFinite(perDiameter) {
		return "", fault("interference per diameter", align.UnitMilPerInch.Format(perDiameter, 3), align.ErrNotFinite)
	}
	switch {
	case perDiameter < float64(p.Least*(1-edge)):
		return UnderRange, nil
	case p.Most > 0 && perDiameter > float64(p.Most*(1+edge)):
		return OverRange, nil
	}
	return WithinRange, nil
}

// HubFriction is the coefficient of friction with which holding torque is
// customarily worked out (textbook on compressors). To size the force or the oil
// pressure that takes a hub off, 0.24 has been advised: twice as much (Bloch,
// Improving Machinery Reliability, p. 219).
const HubFriction = 0.12

// TaperAPI671 is the customary taper of keyless hubs, on the diameter: half an
// inch per foot (API 671, second-hand).
const TaperAPI671 = 0.5 * align.InchPerFoot

// TaperSeat is a hub on a tapered shaft end.
type TaperSeat struct {
	Taper        float64     // change of DIAMETER over length, rise over run; 1/24 is half an inch per foot
	Interference unit.Length // wanted, on the diameter; not negative
}

// Advance returns how far the hub must be pushed on from the place where it
// first touches metal to metal:
//
//	advance = interference / taper
//
// (Geometry.) Both parts must have the same temperature, and the first place is
// to be measured with clean, dry parts without O-rings. Errors:
// align.ErrNotFinite, align.ErrNegative, align.ErrOutOfRange for a taper that is
// not above zero or an advance too long to write.
func (t TaperSeat) Advance() (unit.Length, error) {
	if err := checkAbove("taper", t.Taper, align.UnitInchPerFoot); err != nil {
		return 0, err
	}
	if err := checkSize("interference", float64(t.Interference), align.UnitMillimetre); err != nil {
		return 0, err
	}
	a := t.Interference / unit.Length(t.Taper)
	if !align.IsFinite(a) {
		return 0, fault("taper", align.UnitInchPerFoot.Format(t.Taper, 6), align.ErrOutOfRange)
	}
	return a, nil
}
