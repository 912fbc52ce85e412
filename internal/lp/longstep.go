package lp

import "math"

// breakpoint is a place along a step where a basic variable reaches a limit.
type breakpoint struct {
	at, to, size float64
	row          int
}

// before orders breakpoints by place, then by row.
func (b breakpoint) before(c breakpoint) bool {
	if b.at != c.at {
		return b.at < c.at
	}
	return b.row < c.row
}

// breaks is a heap with the nearest breakpoint on top.
type breaks []breakpoint

func (h breaks) sink(i int) {
	for {
		c := 2*i + 1
		if c >= len(h) {
			return
		}
		if c+1 < len(h) && h[c+1].before(h[c]) {
			c++
		}
		if !h[c].before(h[i]) {
			return
		}
		h[i], h[c] = h[c], h[i]
		i = c
	}
}

func (h breaks) order() {
	for i := len(h)/2 - 1; i >= 0; i-- {
		h.sink(i)
	}
}

func (h *breaks) pop() breakpoint {
	old := *h
	top, last := old[0], len(old)-1
	old[0] = old[last]
	*h = old[:last]
	h.sink(0)
	return top
}

// longRatio chooses the pivot while limits are violated. The sum of violations
// along the step is convex and has a corner wherever a basic variable reaches a
// limit, so the step goes on over the corners until the sum would rise.
func (s *Solver) longRatio(q int, sign float64) (r int, to float64) {
	s.corners(sign)
	s.breaks.order()
	slope := -math.Abs(s.d1[q])
	bland := s.lowestIndex()
	var chosen breakpoint
	r = -1
	for len(s.breaks) > 0 {
		b := s.breaks.pop()
		if slope >= 0 && b.at > chosen.at+stillTol {
			break
		}
		tied := r >= 0 && b.at <= chosen.at+stillTol
		switch {
		case r < 0, !tied && (b.size >= shakyTol || b.size >= chosen.size),
			tied && bland && s.basic[b.row] < s.basic[chosen.row],
			tied && !bland && b.size > chosen.size:
			chosen, r = b, b.row
		}
		slope += b.size
	}
	return r, chosen.to
}

// corners gathers the breakpoints of a step: a variable outside its limits has
// one at each limit that it meets, one inside has one.
func (s *Solver) corners(sign float64) {
	s.breaks = s.breaks[:0]
	for i, f := range s.col {
		size := math.Abs(f)
		if size < pivotTol {
			continue
		}
		side := s.side(i)
		rising := f > 0 == (sign > 0)
		first, second := s.edge[i].lo, s.edge[i].hi
		if !rising {
			first, second = second, first
		}
		// Moving up, lo comes first and counts only for a variable below it.
		if side > 0 && rising || side < 0 && !rising {
			s.corner(i, first, size)
		} else if side != 0 {
			continue
		}
		s.corner(i, second, size)
	}
}

func (s *Solver) corner(row int, limit, size float64) {
	if math.IsInf(limit, 0) {
		return
	}
	at := max(0, math.Abs(limit-s.xb[row])/size)
	s.breaks = append(s.breaks, breakpoint{at, limit, size, row})
}
