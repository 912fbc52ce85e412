package worksheet

import (
	"math"
	"strconv"

	"collinear.example/align"
	"collinear.example/softfoot"
	"gonum.org/v1/gonum/unit"
)

// The choices of a verdict, in the order of their indexes.
var withinOrOver = []string{"within", "over"}

// overLimit is the index of the verdict: 0 within, 1 over. What is equal to the
// limit is within, as in align.Limit.
func overLimit(measured, limit float64) float64 {
	if float64(math.Abs(measured)*(1-1e-9)) <= limit {
		return 0
	}
	return 1
}

// meanDecimals are those asked of means and halves of readings.
func (u Units) meanDecimals() int {
	if u.Reading == align.UnitMil {
		return 2
	}
	return 3
}

// size is a length in SI units that must be above zero.
func (u Units) size(field string, v float64) (float64, error) {
	si := u.length(v)
	if !(si > 0) || !align.IsFinite(si) {
		return 0, fault(field, strconv.FormatFloat(v, 'g', -1, 64)+" "+string(u.Length), align.ErrOutOfRange)
	}
	return si, nil
}

// quarters returns the readings at 12, 3, 6 and 9 o'clock; there must be one of
// each, and a closing one is left out.
func quarters(field string, rs []Reading) (at [4]float64, err error) {
	var have [4]bool
	for i, p := range rs {
		n := p.At / 90
		if n == 4 {
			n = 0
		}
		if n != math.Trunc(n) || n < 0 || n > 3 {
			return at, fault(field+"["+strconv.Itoa(i)+"].at", strconv.FormatFloat(p.At, 'g', -1, 64)+" deg", align.ErrMismatch)
		}
		if k := int(n); !have[k] {
			at[k], have[k] = p.Value, true
		}
	}
	if have != [4]bool{true, true, true, true} {
		return at, fault(field, "", align.ErrTooFewPositions)
	}
	return at, nil
}

// quarterNames are the clock positions of quarters, as they stand in ids.
var quarterNames = [4]string{"12", "3", "6", "9"}

// shelf returns the stock of a record as package softfoot takes it; nil when there
// is none.
func (r *Record) shelf() *softfoot.ShimStock {
	if r.Stock == nil {
		return nil
	}
	k := &softfoot.ShimStock{MaxLeaves: r.Stock.MaxLeaves, Within: unit.Length(r.Units.reading(r.Stock.Within))}
	for _, t := range r.Stock.Leaves {
		k.Leaves = append(k.Leaves, unit.Length(r.Units.reading(t)))
	}
	return k
}

// notRectangle is the fault of package softfoot about a layout, with what it means.
func notRectangle(field, got string) error {
	return &align.InputError{Package: "worksheet", Field: field, Got: got, Err: softfoot.ErrNotRectangle, Meaning: "are not the four corners of a rectangle"}
}

// The largest stock for which packs are looked for here (own choice): the search
// goes through all of them.
const (
	mostThicknesses = 12
	mostInStack     = 6
)

// smallStock refuses a stock for which the search would be long.
func smallStock(k *softfoot.ShimStock) error {
	if len(k.Leaves) > mostThicknesses || k.MaxLeaves > mostInStack {
		return fault("stock", strconv.Itoa(len(k.Leaves))+" thicknesses, "+strconv.Itoa(k.MaxLeaves)+" leaves in a stack", align.ErrOutOfRange)
	}
	return nil
}

// leavesOf names an entry of a plan that counts leaves.
func leavesOf(u align.Unit, thickness float64) string {
	return "leaves of " + strconv.FormatFloat(thickness, 'f', -1, 64) + " " + string(u)
}

// angleOf is the clock angle of a vector, from 0 up to a full turn.
func angleOf(up, right float64) float64 {
	a := math.Atan2(right, up)
	if a < 0 {
		a += 2 * math.Pi
	}
	return a
}

// numberAs is what a figure in one unit reads when its number is taken to be in
// another.
func numberAs(si float64, from, to align.Unit) float64 { return to.SI(from.FromSI(si)) }

// Mistakes that several of these kinds share; each kind says how they come out.

func slipEnds(alter func(s *Sheet) bool) Mistake {
	return Mistake{Code: "first-for-last", Says: "took the end toward the first machine for the one toward the last", Rank: 2, alter: alter}
}

func slipOneEdge(alter func(s *Sheet) bool) Mistake {
	return Mistake{Code: "one-edge-alone", Says: "went by one edge alone: the rise or taper is that of the means of both edges", Rank: 1, alter: alter}
}

func slipCornersAdded(alter func(s *Sheet) bool) Mistake {
	return Mistake{Code: "corners-added", Says: "took the difference of sums of two corners for that of their means, which is half of it", Rank: 2, alter: alter}
}

func slipStaticHalved(alter func(s *Sheet) bool) Mistake {
	return Mistake{Code: "static-halved", Says: "halved what is read directly: a gap or a height is no sweep of a dial", Rank: 1, alter: alter}
}

func slipHalfLength(alter func(s *Sheet) bool) Mistake {
	return Mistake{Code: "half-length", Says: "divided by half of the length, or by the radius in the place of the swept diameter", Rank: 1, alter: alter}
}

func slipNotDivided(alter func(s *Sheet) bool) Mistake {
	return Mistake{Code: "slope-not-divided", Says: "gave the difference itself for the slope, without dividing by the length or the diameter", Rank: 1, alter: alter}
}

func slipLengthWidth(alter func(s *Sheet) bool) Mistake {
	return Mistake{Code: "length-width-exchanged", Says: "took the length for the width and the width for the length", Rank: 2, alter: alter}
}

func slipSidesNotDiagonals(alter func(s *Sheet) bool) Mistake {
	return Mistake{Code: "sides-not-diagonals", Says: "held the left side against the right one: twist is one diagonal against the other", Rank: 2, alter: alter}
}

func slipAngleFrom3(alter func(s *Sheet) bool) Mistake {
	return Mistake{Code: "angle-from-3", Says: "counted the angle from 3 o'clock and the other way round, as in mathematics; a clock begins at 12", Rank: 2, alter: alter}
}

// scaleAny multiplies those of the steps that the sheet has, one at least.
func (s *Sheet) scaleAny(k float64, ids ...string) bool {
	some := false
	for _, id := range ids {
		some = s.scale(k, id) || some
	}
	return some
}

// putZero makes those of the steps that the sheet has nothing, one at least.
func (s *Sheet) putZero(ids ...string) bool { return s.scaleAny(0, ids...) }

// spreadOf is the largest of the figures less the smallest.
func (v Values) spreadOf(ids ...string) float64 {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, id := range ids {
		lo, hi = min(lo, v[id]), max(hi, v[id])
	}
	return hi - lo
}

// largestOf is the largest size of the figures.
func (v Values) largestOf(ids ...string) (most float64) {
	for _, id := range ids {
		most = max(most, math.Abs(v[id]))
	}
	return most
}

// tries bounds how many jobs are invented to find one whose answers are none of
// them nothing.
const tries = 200

// lively invents jobs until one can be worked and has no answer that rounds to
// nothing; after many the last one that can be worked is returned.
func lively(invent func() *Record, build func(r *Record) (*Sheet, error)) (best *Record) {
	for range tries {
		r := invent()
		s, err := build(r)
		if err != nil {
			continue
		}
		if best = r; s.lively() {
			return r
		}
	}
	return best
}

// lively reports whether every number asked is at least one unit of its last place.
func (s *Sheet) lively() bool {
	v := s.Work()
	for _, st := range s.asked() {
		if st.Choices == nil && st.Plan == nil && math.Abs(v[st.ID]) < st.place() {
			return false
		}
	}
	return true
}
