package runout

import (
	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// LineShaftVerdict is a line shaft held against the limits of LineShaft and
// LineShaftAnyFoot.
type LineShaftVerdict struct {
	Whole align.Verdict // the largest total indicator reading of all stations
	// AnyFoot is the largest change of runout between two stations not more than
	// a foot apart; nil when no two stations stand so close, and then the shaft
	// is only half judged.
	AnyFoot *align.Verdict
}

// Within reports whether every limit that could be judged is met.
func (v LineShaftVerdict) Within() bool {
	return v.Whole.Within && (v.AnyFoot == nil || v.AnyFoot.Within)
}

// JudgeLineShaft holds the line shaft of a vertical pump, of that length and
// turned on rollers near its ends, against the published straightness (Bloch and
// Geitner, vol. 4, p. 103; see LineShaft).
//
// The source does not say how the reading within one foot is taken. Here it is
// twice the size of the difference of two eccentricity vectors: the total
// indicator reading that the one station would show if the shaft turned about
// the other.
//
// Errors: those of LineShaft and of Bow.
func (s Shaft) JudgeLineShaft(length unit.Length) (LineShaftVerdict, error) {
	limit, err := LineShaft(length)
	if err != nil {
		return LineShaftVerdict{}, err
	}
	b, err := s.Bow()
	if err != nil {
		return LineShaftVerdict{}, err
	}
	worst := align.TIR(0)
	for _, st := range s.Stations {
		worst = max(worst, st.Sweep.TIR())
	}
	var v LineShaftVerdict
	if v.Whole, err = limit.Judge(float64(worst)); err != nil {
		return LineShaftVerdict{}, ours(err)
	}
	change, ok := b.changeInFoot()
	if !ok {
		return v, nil
	}
	foot, err := LineShaftAnyFoot().Judge(float64(change))
	if err != nil {
		return LineShaftVerdict{}, ours(err)
	}
	v.AnyFoot = &foot
	return v, nil
}

// changeInFoot returns twice the largest difference of two vectors not more than
// a foot apart, and whether there are two such stations.
func (b ShaftBow) changeInFoot() (change align.TIR, ok bool) {
	for i, x := range b.At {
		for j := i + 1; j < len(b.At) && b.At[j]-x <= align.Foot*(1+edge); j++ {
			change, ok = max(change, 2*align.TIR(b.Centres[j].Sub(b.Centres[i]).Resultant())), true
		}
	}
	return change, ok
}
