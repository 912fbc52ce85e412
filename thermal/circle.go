package thermal

import (
	"math"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// moved is a movement at one station, in metres, with the limit that its state
// has there.
type moved struct{ v, h, limit float64 }

// midrange returns the c that makes the largest |c + m|/limit as small as it can
// be, and that smallest share. The intervals [-m - t limit, -m + t limit] have a
// common point as soon as every two of them meet (Helly's theorem on a line), so
//
//	t = max over pairs |m_i - m_j|/(limit_i + limit_j)
//
// and c lies where the deciding pair meets. With equal limits it is minus the
// middle of the range.
func midrange(n int, m func(i int) (at, limit float64)) (c, share float64) {
	first, _ := m(0)
	c = -first
	for i := range n {
		mi, li := m(i)
		for j := range i {
			mj, lj := m(j)
			if t := math.Abs(mi-mj) / (li + lj); t > share {
				share = t
				c = -(float64(mi*(lj/(li+lj))) + float64(mj*(li/(li+lj))))
			}
		}
	}
	return c, share
}

// place is a point of the plane, up and to the right.
type place struct{ v, h float64 }

// share returns the size of the offset that movement m leaves of a cold offset p,
// as a share of its limit.
func (p place) share(m moved) float64 { return math.Hypot(p.v+m.v, p.h+m.h) / m.limit }

// worst returns the largest share over all movements, and whose it is.
func (p place) worst(ms []moved) (share float64, which int) {
	for i, m := range ms {
		if s := p.share(m); s > share {
			share, which = s, i
		}
	}
	return share, which
}

// enclose returns the cold offset that makes the largest |p + m|/limit as small
// as it can be, and that share: the centre of the smallest circle round the
// points -m when all limits are one, and of the smallest weighted circle
// otherwise. Two or three of the points decide it (Helly's theorem in the
// plane). The deciding set is found by exchange: solve for a set of three or
// fewer, take in the point that lies worst, keep what decides the four. The
// share grows with each exchange, so it ends; when rounding stops it, what is
// best among all pairs and triples is taken.
//
// (Problem and Helly-type argument: R. Seidel, M. Sharir and E. Welzl on
// LP-type problems, from memory; every answer is held against the search of all
// pairs and triples in the tests.)
func enclose(all []moved) (p place, share float64) {
	from := all[0] // counted from here, no digits are lost to a common movement
	ms := make([]moved, len(all))
	for i, m := range all {
		ms[i] = moved{m.v - from.v, m.h - from.h, m.limit}
	}
	p, share = exchange(ms)
	return place{p.v - from.v, p.h - from.h}, share
}

func exchange(ms []moved) (p place, share float64) {
	basis := [4]moved{ms[0]}
	n := 1
	p = place{-ms[0].v, -ms[0].h}
	for range 16 * (len(ms) + 4) {
		worst, which := p.worst(ms)
		if worst <= share*(1+1e-14) {
			return p, worst
		}
		basis[n] = ms[which]
		next, t, size := decide(basis[:n+1])
		if t <= share {
			break
		}
		p, share, n = next, t, size
	}
	p, _, _ = decideAll(ms)
	share, _ = p.worst(ms)
	return p, share
}

// decide returns the best offset for up to four movements, and moves those that
// decide to the front of the list.
func decide(ms []moved) (p place, share float64, size int) {
	p, share, set := decideAll(ms)
	for k, i := range set {
		if i < 0 {
			break
		}
		size = k + 1
	}
	var keep [3]moved
	for k := range size {
		keep[k] = ms[set[k]]
	}
	copy(ms, keep[:size])
	return p, share, size
}

// decideAll tries every one, two and three of the movements as those that
// decide, and returns the offset with the smallest worst share and the deciding
// set, ended by -1. It is exact and slow: the fourth power of their number.
func decideAll(ms []moved) (p place, share float64, set [3]int) {
	share = math.Inf(1)
	try := func(q place, i, j, k int) {
		if w, _ := q.worst(ms); w < share {
			p, share, set = q, w, [3]int{i, j, k}
		}
	}
	for i := range ms {
		try(place{-ms[i].v, -ms[i].h}, i, -1, -1)
		for j := range i {
			try(meetTwo(ms[i], ms[j]), i, j, -1)
			for k := range j {
				roots, n := meetThree(ms[i], ms[j], ms[k])
				for _, q := range roots[:n] {
					try(q, i, j, k)
				}
			}
		}
	}
	return p, share, set
}

// meetTwo returns the offset between two movements at which both have the same
// share of their limits.
func meetTwo(a, b moved) place {
	wa, wb := b.limit/(a.limit+b.limit), a.limit/(a.limit+b.limit)
	return place{
		-(float64(wa*a.v) + float64(wb*b.v)),
		-(float64(wa*a.h) + float64(wb*b.h)),
	}
}

// meetThree returns the offsets at which three movements have the same share.
// With q = -m, measured from the first q, and u the share squared,
//
//	|p|^2 = u L1^2,  |p - q_j|^2 = u L_j^2
//	2 q_j.p = |q_j|^2 - u (L_j^2 - L1^2)        (the difference of the two)
//
// so p = a + b u, and |a + b u|^2 = u L1^2 is a quadratic in u. Three points in
// a line give none: there the deciding ones are two of them.
func meetThree(m1, m2, m3 moved) (roots [2]place, n int) {
	ax, ay := m1.v-m2.v, m1.h-m2.h // q2 from q1
	bx, by := m1.v-m3.v, m1.h-m3.h // q3 from q1
	size := math.Max(math.Hypot(ax, ay), math.Hypot(bx, by))
	top := math.Max(m1.limit, math.Max(m2.limit, m3.limit))
	if size == 0 {
		return roots, 0
	}
	ax, ay, bx, by = ax/size, ay/size, bx/size, by/size
	l1, l2, l3 := m1.limit/top, m2.limit/top, m3.limit/top
	det := 2 * (float64(ax*by) - float64(ay*bx))
	if math.Abs(det) < 1e-12 {
		return roots, 0
	}
	solve := func(r2, r3 float64) place {
		return place{(float64(r2*by) - float64(r3*ay)) / det, (float64(r3*ax) - float64(r2*bx)) / det}
	}
	a := solve(float64(ax*ax)+float64(ay*ay), float64(bx*bx)+float64(by*by))
	b := solve(float64(l1*l1)-float64(l2*l2), float64(l1*l1)-float64(l3*l3))
	us, k := quadratic(
		float64(b.v*b.v)+float64(b.h*b.h),
		2*(float64(a.v*b.v)+float64(a.h*b.h))-float64(l1*l1),
		float64(a.v*a.v)+float64(a.h*a.h),
	)
	for _, u := range us[:k] {
		q := place{a.v + float64(b.v*u), a.h + float64(b.h*u)}
		if u < 0 || !align.IsFinite(q.v) || !align.IsFinite(q.h) {
			continue
		}
		roots[n] = place{float64(q.v*size) - m1.v, float64(q.h*size) - m1.h}
		n++
	}
	return roots, n
}

// quadratic returns the real roots of a x^2 + b x + c without loss of digits
// (standard result).
func quadratic(a, b, c float64) (x [2]float64, n int) {
	d := float64(b*b) - float64(4*a*c)
	if d < 0 {
		return x, 0
	}
	q := -(b + math.Copysign(math.Sqrt(d), b)) / 2
	if q == 0 {
		return x, 0
	}
	x[0], n = c/q, 1
	if a != 0 {
		x[1], n = q/a, 2
	}
	return x, n
}

// Enclosing returns the smallest circle round the offsets: its centre and its
// radius. One or more offsets are needed, each finite and within ten metres.
func Enclosing(offsets []align.Offset) (centre align.Offset, radius unit.Length, err error) {
	if len(offsets) == 0 {
		return align.Offset{}, 0, fault("offsets", "", align.ErrMissing)
	}
	ms := make([]moved, len(offsets))
	for i, o := range offsets {
		if err := boundedOffset("offsets", o); err != nil {
			return align.Offset{}, 0, err
		}
		ms[i] = moved{-float64(o.Vertical), -float64(o.Horizontal), 1}
	}
	p, share := enclose(ms)
	return align.Offset{Vertical: unit.Length(p.v), Horizontal: unit.Length(p.h)}, unit.Length(share), nil
}
