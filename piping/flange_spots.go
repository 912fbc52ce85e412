package piping

import (
	"cmp"
	"math"
	"strconv"
)

// spot is a clock position with its place on a circle of radius one, and what
// was read there.
type spot struct{ at, up, right, value float64 }

func (s spot) compare(t spot) int { return cmp.Compare(s.at, t.at) }

func countOf(n int, what string) string { return strconv.Itoa(n) + " " + what }

// stepAfter returns the degrees from a spot to the next one round the clock.
func stepAfter(s []spot, i int) float64 {
	if i+1 < len(s) {
		return s[i+1].at - s[i].at
	}
	return s[0].at + 360 - s[i].at
}

// distinctSpots counts the different positions of a sorted list.
func distinctSpots(s []spot) int {
	n := 0
	for i := range s {
		if stepAfter(s, i) > samePosition {
			n++
		}
	}
	return n
}

// widestStep returns the largest angle without a reading.
func widestStep(s []spot) float64 {
	most := 0.0
	for i := range s {
		most = max(most, stepAfter(s, i))
	}
	return most
}

// narrowestWidth returns the least width, over all directions, of the polygon
// that sorted spots span in a circle of radius one: the least that the largest
// less the smallest of cos(t - w) can be, whatever w. A polygon is narrowest
// square to one of its sides (standard result of computational geometry). For an
// even number n of equal steps it is 2 cos(180/n degrees).
func narrowestWidth(s []spot) float64 {
	least := 2.0
	for i, p := range s {
		q := s[(i+1)%len(s)]
		du, dr := q.up-p.up, q.right-p.right
		side := math.Sqrt(float64(du*du) + float64(dr*dr))
		if side < samePosition {
			continue
		}
		far := 0.0
		for _, o := range s {
			area := float64(du*(o.right-p.right)) - float64(dr*(o.up-p.up))
			far = max(far, math.Abs(area))
		}
		least = min(least, far/side)
	}
	return least
}
