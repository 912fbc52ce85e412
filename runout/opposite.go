package runout

import (
	"fmt"
	"math"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Opposite is one diameter of a section by the shop rule for bent shafts: the
// difference of the readings at opposite marks.
type Opposite struct {
	At     align.Clock // the mark of the pair that was read first
	Runout unit.Length // reading at that mark less the reading opposite; signed
}

// Bend returns half the runout: how far the centre of the section stands from
// the axis of turning along that diameter, positive toward the mark At.
func (o Opposite) Bend() unit.Length { return o.Runout / 2 }

// Opposites is a section read at pairs of opposite marks.
type Opposites struct {
	Pairs   []Opposite
	Largest Opposite // the pair with the largest runout in size, the first of equals
	// Understates is the largest share by which the bend of Largest can fall
	// short of the bend itself: 1 - cos(gap/2) for the widest gap between
	// neighbouring diameters; 1 - cos(22.5 deg) = 0.076 for eight even marks.
	Understates float64
}

// OppositeMarks applies the rule that the runout of a section is the difference
// of opposite marks and the bend half of it. The difference
//
//	r(t) - r(t + 180) = 2 e cos(t - high spot)
//
// cancels ovality and every other even harmonic; odd harmonics above the first
// stay in. (Rule: common practice in pump-shaft repair, marks 1-5, 2-6, 3-7 and
// 4-8. Identity derived here.)
//
// Every mark needs its opposite, read once. A closing reading is left out. It
// fails with ErrTooFewPositions, ErrMismatch, ErrNotFinite or ErrOutOfRange.
func OppositeMarks(s align.Sweep) (Opposites, error) {
	if err := s.Check(); err != nil {
		return Opposites{}, ours(err)
	}
	if _, closes := s.Closure(); closes {
		s = s[:len(s)-1]
	}
	if len(s) < 2 {
		return Opposites{}, fault("sweep", "", align.ErrTooFewPositions)
	}
	var o Opposites
	for i, r := range s {
		j, err := opposite(s, i)
		if err != nil {
			return Opposites{}, err
		}
		if j < i {
			continue
		}
		d := r.Value - s[j].Value
		if !align.IsFinite(d) {
			return Opposites{}, fault(fmt.Sprintf("sweep[%d].value", i), "", align.ErrOutOfRange)
		}
		o.Pairs = append(o.Pairs, Opposite{At: r.At.Normal(), Runout: d})
	}
	o.Largest = o.Pairs[0]
	for _, p := range o.Pairs {
		if math.Abs(float64(p.Runout)) > math.Abs(float64(o.Largest.Runout)) {
			o.Largest = p
		}
	}
	o.Understates = missedShare(s)
	return o, nil
}

// opposite returns the only reading opposite reading i.
func opposite(s align.Sweep, i int) (int, error) {
	const near = 1e-9 // degrees, for marks that were computed
	found := -1
	for j, r := range s {
		turn := float64((r.At - s[i].At + 90).Normal())
		if j != i && math.Abs(turn-90) <= near {
			return 0, fault(fmt.Sprintf("sweep[%d].at", max(i, j)), degrees(s[i].At.Normal())+", read twice", align.ErrMismatch)
		}
		if math.Abs(turn-270) <= near {
			found = j
		}
	}
	if found < 0 {
		return 0, fault(fmt.Sprintf("sweep[%d].at", i), degrees(s[i].At.Normal())+", opposite mark not read", align.ErrMismatch)
	}
	return found, nil
}
