package softfoot

import (
	"math"
	"slices"
	"sort"
	"strconv"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Rises are what a dial at each foot shows when that foot's bolt alone is
// loosened, all other bolts tight. A rise is a static movement: it is read
// directly and never halved.
type Rises struct {
	Feet []string
	Rise []align.Movement // positive up, in the order of Feet
}

func (r Rises) check() error {
	if len(r.Feet) < 3 {
		return fault("feet", strconv.Itoa(len(r.Feet)), ErrTooFewFeet)
	}
	if len(r.Feet) > MaxFeet {
		return fault("feet", strconv.Itoa(len(r.Feet)), ErrTooManyFeet)
	}
	if len(r.Rise) != len(r.Feet) {
		return fault("rise", strconv.Itoa(len(r.Rise))+" values", align.ErrMismatch)
	}
	for i, name := range r.Feet {
		if name == "" {
			return fault(at("feet", i), "", align.ErrMissing)
		}
		if slices.Contains(r.Feet[:i], name) {
			return fault(at("feet", i), strconv.Quote(name), ErrSameName)
		}
	}
	for i, v := range r.Rise {
		if err := boundedLength(at("rise", i), unit.Length(v)); err != nil {
			return err
		}
	}
	return nil
}

// Spread returns the largest rise less the smallest.
func (r Rises) Spread() align.Movement {
	if len(r.Rise) == 0 {
		return 0
	}
	lo, hi := r.Rise[0], r.Rise[0]
	for _, v := range r.Rise[1:] {
		lo, hi = min(lo, v), max(hi, v)
	}
	return hi - lo
}

// Excess is what the rises ask for.
type Excess struct {
	Common align.Movement // the rise that the feet have in common
	// Shim is each foot's rise less the common rise, zero for a foot that rises
	// no more than that: the first shim to try.
	Shim     []unit.Length
	Warnings []align.Warning
}

// Excess returns the shim that makes the rises near-equal: each foot's excess
// over the rise that the others have in common (US Bureau of Reclamation, FIST
// 2-1, p. 18: one leg of six rises 0.025 in and the others 0.015 in, shim 0.010
// in). Every bolted frame springs a little, so the aim is equal rises, not none.
//
// The common rise is the lower median: half of the feet or more rise no more.
// That is our reading of "the others"; the source has all others alike.
//
// A foot that falls when its bolt is loosened is warned about, and so are four
// feet, in order round a rectangle, with excess on both feet of one diagonal:
// shim one of them, or both by half, and read again.
func (r Rises) Excess() (Excess, error) {
	if err := r.check(); err != nil {
		return Excess{}, err
	}
	sorted := append([]align.Movement(nil), r.Rise...)
	sort.Slice(sorted, func(i, j int) bool { return sorted[i] < sorted[j] })
	e := Excess{Common: sorted[(len(sorted)-1)/2], Shim: make([]unit.Length, len(r.Rise))}
	for i, v := range r.Rise {
		e.Shim[i] = max(0, unit.Length(v-e.Common))
		if v < 0 {
			e.Warnings = append(e.Warnings, align.Warning{Code: WarnFallingFoot, Meaning: warningMeaning(WarnFallingFoot), Severity: align.Suspect,
				Field: r.Feet[i], Value: float64(v), Unit: align.UnitMillimetre})
		}
	}
	if s := e.Shim; len(s) == 4 && (bothOver(s[0], s[2]) || bothOver(s[1], s[3])) {
		e.Warnings = append(e.Warnings, align.Warning{Code: WarnDiagonalPair, Meaning: warningMeaning(WarnDiagonalPair), Severity: align.Notice,
			Field: "feet", Value: float64(max(s[0], s[1], s[2], s[3])), Limit: float64(thinnestLeaf), Unit: align.UnitMillimetre})
	}
	return e, nil
}

func bothOver(a, b unit.Length) bool { return a > thinnestLeaf && b > thinnestLeaf }

// RiseMatrix are the rises of every foot while each in turn is loosened:
// Rise[i][j] is what the dial at foot j shows when the bolt of foot i is
// loosened and all others are tight.
type RiseMatrix struct {
	Feet        []string
	Rise        [][]align.Movement
	OthersTight bool // whether the other bolts were tight; must be true
}

// Own returns the rises of the feet that were loosened, the diagonal of the
// matrix, with a warning for every foot that another one outdid: then the
// machine pivots, or the dials were exchanged.
//
// Errors: too-few-feet, mismatch, not-finite, and other-bolts-loose when the
// other bolts were not tight, because then the rises say nothing of one foot.
func (m RiseMatrix) Own() (Rises, []align.Warning, error) {
	if !m.OthersTight {
		return Rises{}, nil, fault("othersTight", "false", ErrOthersLoose)
	}
	if len(m.Rise) != len(m.Feet) {
		return Rises{}, nil, fault("rise", strconv.Itoa(len(m.Rise))+" rows", align.ErrMismatch)
	}
	out := Rises{Feet: m.Feet, Rise: make([]align.Movement, len(m.Feet))}
	var warnings []align.Warning
	for i, row := range m.Rise {
		if len(row) != len(m.Feet) {
			return Rises{}, nil, fault(at("rise", i), strconv.Itoa(len(row))+" values", align.ErrMismatch)
		}
		for j, v := range row {
			if err := boundedLength(at(at("rise", i), j), unit.Length(v)); err != nil {
				return Rises{}, nil, err
			}
		}
		out.Rise[i] = row[i]
		if j := largest(row); j != i && size(row[j])-size(row[i]) > float64(thinnestLeaf) {
			warnings = append(warnings, align.Warning{Code: WarnOtherFoot, Meaning: warningMeaning(WarnOtherFoot), Severity: align.Suspect,
				Field: m.Feet[j], Value: float64(row[j]), Limit: float64(row[i]), Unit: align.UnitMillimetre})
		}
	}
	return out, warnings, out.check()
}

func size(v align.Movement) float64 { return math.Abs(float64(v)) }

func largest(row []align.Movement) (at int) {
	for j, v := range row {
		if size(v) > size(row[at]) {
			at = j
		}
	}
	return at
}
