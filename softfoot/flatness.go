package softfoot

import "math"

// zone is the pair of parallel planes that enclose all points with the least
// difference in height: slopes, width, and the points that fix it.
type zone struct {
	along, across, width float64
	fixed                []int // up to four points that touch the planes
}

// minimumZone returns the planes h = c + along*x + across*z and the same plus
// width that enclose all points with the least width. Heights are compared, not
// distances square to the plane: for bases near level the two agree to the
// second order of the slope.
//
// Method: the width as a function of the two slopes is convex and made of
// planes, so it is least where either three points touch one plane and one the
// other, or two touch each (four active points; linear programming, standard
// result). All such slopes are tried, exactly, for a small set of points; the
// highest and the lowest of the rest join the set until none lies outside. The
// width for the set can only be too small and the width for all points only too
// large, so the answer is proved when both agree.
func minimumZone(pts []point) zone {
	f := frameOf(pts)
	local := make([]point, len(pts))
	for i, p := range pts {
		local[i] = point{(p.x - f.x0) / f.scale, (p.z - f.z0) / f.scale, p.h}
	}
	set := firstSet(local)
	best := zone{width: math.Inf(1)}
	for {
		z := zoneOfSet(local, set)
		low, high := extremes(local, nil, z.along, z.across)
		if w := spreadOver(local, low, high, z.along, z.across); w < best.width {
			best = zone{z.along, z.across, w, z.fixed}
		}
		grown := add(add(set, low), high)
		if len(grown) == len(set) {
			break
		}
		set = grown
	}
	best.along, best.across = best.along/f.scale, best.across/f.scale
	return best
}

// add appends i unless it is there.
func add(set []int, i int) []int {
	for _, have := range set {
		if have == i {
			return set
		}
	}
	return append(set, i)
}

// firstSet returns three points far apart, so that slopes are determined.
func firstSet(pts []point) []int {
	a := farthestPoint(pts, func(p point) float64 { return math.Hypot(p.x, p.z) })
	b := farthestPoint(pts, func(p point) float64 { return math.Hypot(p.x-pts[a].x, p.z-pts[a].z) })
	c := farthestPoint(pts, func(p point) float64 { return math.Abs(area(pts[a], pts[b], p)) })
	return add(add([]int{a}, b), c)
}

func farthestPoint(pts []point, size func(point) float64) int {
	at := 0
	for i, p := range pts {
		if size(p) > size(pts[at]) {
			at = i
		}
	}
	return at
}

// area is twice the signed area of a triangle in plan.
func area(a, b, c point) float64 {
	return float64((b.x-a.x)*(c.z-a.z)) - float64((c.x-a.x)*(b.z-a.z))
}

// over is the height of a point over the plane through the origin.
func over(p point, along, across float64) float64 {
	return p.h - float64(along*p.x) - float64(across*p.z)
}

// extremes returns the lowest and the highest point over the slopes, among set
// or, when it is nil, among all.
func extremes(pts []point, set []int, along, across float64) (low, high int) {
	n := len(set)
	if set == nil {
		n = len(pts)
	}
	for k := range n {
		i := k
		if set != nil {
			i = set[k]
		}
		if k == 0 {
			low, high = i, i
			continue
		}
		v := over(pts[i], along, across)
		if v < over(pts[low], along, across) {
			low = i
		}
		if v > over(pts[high], along, across) {
			high = i
		}
	}
	return low, high
}

func spreadOver(pts []point, low, high int, along, across float64) float64 {
	return over(pts[high], along, across) - over(pts[low], along, across)
}

// zoneOfSet tries every plane through three points of the set and every pair of
// planes through two points each.
func zoneOfSet(pts []point, set []int) zone {
	best := zone{width: math.Inf(1)}
	try := func(a, b, c, d point, fixed ...int) {
		along, across, ok := slopesOf(a, b, c, d)
		if !ok {
			return
		}
		low, high := extremes(pts, set, along, across)
		if w := spreadOver(pts, low, high, along, across); w < best.width {
			best = zone{along, across, w, add(add(fixed, low), high)}
		}
	}
	for i, p := range set {
		for j := i + 1; j < len(set); j++ {
			q := set[j]
			for k := i + 1; k < len(set); k++ {
				r := set[k]
				if k > j {
					try(pts[p], pts[q], pts[p], pts[r], p, q, r)
				}
				for l := k + 1; l < len(set) && k != j; l++ {
					if l != j {
						try(pts[p], pts[q], pts[r], pts[set[l]], p, q, r, set[l])
					}
				}
			}
		}
	}
	return best
}

// slopesOf returns the slopes of the direction that contains both lines, from
// a to b and from c to d; not ok when they are parallel in plan.
func slopesOf(a, b, c, d point) (along, across float64, ok bool) {
	x1, z1, h1 := b.x-a.x, b.z-a.z, b.h-a.h
	x2, z2, h2 := d.x-c.x, d.z-c.z, d.h-c.h
	det := float64(x1*z2) - float64(x2*z1)
	if math.Abs(det) <= 1e-10*math.Hypot(x1, z1)*math.Hypot(x2, z2) {
		return 0, 0, false
	}
	return (float64(h1*z2) - float64(h2*z1)) / det, (float64(x1*h2) - float64(x2*h1)) / det, true
}
