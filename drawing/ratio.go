package drawing

import (
	"math"
	"strconv"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// ratio is a scale: the length on the paper over the length it stands for. Scales
// are 1, 2 or 5 times a power of ten, larger or smaller than life (ISO 5455, from
// memory).
type ratio float64

// The scales that are used.
const (
	leastRatio ratio = 1e-5
	mostRatio  ratio = 1e4
)

// fitRatio returns the largest scale at which a length fits into room, in
// millimetres on the paper.
func fitRatio(extent unit.Length, room float64) ratio {
	if !(extent > 0) {
		return mostRatio
	}
	return max(leastRatio, min(mostRatio, ratio(roundDown(room/(1e3*float64(extent))))))
}

// roundDown returns the largest of 1, 2 and 5 times a power of ten that is not above
// v, which is above zero. A hair above v counts as v, so that 0.3/0.1 is three.
func roundDown(v float64) float64 {
	exp := int(math.Floor(math.Log10(v)))
	best := tens(1, exp-1)
	for e := exp - 1; e <= exp+1; e++ {
		for _, k := range [...]float64{1, 2, 5} {
			if x := tens(k, e); x <= v*(1+1e-9) {
				best = x
			}
		}
	}
	return best
}

// roundUp returns the smallest of 1, 2 and 5 times a power of ten that is not below v.
func roundUp(v float64) float64 {
	exp := int(math.Floor(math.Log10(v)))
	for e := exp - 1; e <= exp; e++ {
		for _, k := range [...]float64{1, 2, 5} {
			if x := tens(k, e); x >= v*(1-1e-9) {
				return x
			}
		}
	}
	return tens(1, exp+1)
}

// tens is k times ten to a whole power, as near as a float64 can be.
func tens(k float64, exp int) float64 {
	if exp < 0 {
		return k / math.Pow10(-exp)
	}
	return k * math.Pow10(exp)
}

// mm returns how long a length is on the paper, in millimetres.
func (r ratio) mm(v unit.Length) float64 { return float64(v) * 1e3 * float64(r) }

// String returns the scale as drawings give it: "200 : 1" or "1 : 5".
func (r ratio) String() string {
	if r >= 1 {
		return strconv.FormatFloat(float64(r), 'f', -1, 64) + " : 1"
	}
	return "1 : " + significant(1/float64(r), 6)
}

// tenth says what ten millimetres on the paper stand for: "10 mm on paper = 0.05 mm".
func (r ratio) tenth(u align.Unit) string {
	v := 10e-3 / float64(r)
	return "10 mm on paper = " + significant(u.FromSI(v), 4) + " " + string(u)
}

// scaleBar draws a bar of a round length in u, at most room millimetres long, with
// its length beside it, so that the scale can still be read off a copy of another
// size. Room to the right of the bar must be left for its words.
func (s *sheet) scaleBar(at Point, r ratio, u align.Unit, room float64) {
	one := r.mm(unit.Length(u.SI(1)))
	n := roundDown(room / one)
	long := n * one
	s.Draw(Line{From: at, To: at.Add(long, 0), Stroke: Wide})
	for _, x := range [...]float64{0, long / 2, long} {
		s.Draw(Line{From: at.Add(x, -1), To: at.Add(x, 1), Stroke: Narrow})
	}
	s.writeMid(at.Add(long+2, 0), significant(n, 4)+" "+string(u), typeNote, 40, Start)
}
