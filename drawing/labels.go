package drawing

import (
	"cmp"
	"math"
	"slices"
)

// spread moves places along a line apart so that no two stand closer than size,
// each as near to where it is wanted as can be (least squares), in the same order
// and all at least half a size inside lo and hi. The caller leaves room for them:
// len(wanted)*size is no more than hi-lo.
//
// With q the k-th place less k sizes the condition is that q does not fall, so this
// is isotonic regression: neighbours that would fall are pooled to their mean
// (pool-adjacent-violators, standard result). Clamping the pooled places to the
// ends keeps them apart.
func spread(wanted []float64, size, lo, hi float64) []float64 {
	order := make([]int, len(wanted))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(wanted[a], wanted[b]) })
	type pool struct {
		sum float64
		n   int
	}
	var pools []pool
	for k, i := range order {
		p := pool{wanted[i] - float64(k)*size, 1}
		for len(pools) > 0 {
			last := pools[len(pools)-1]
			if last.sum/float64(last.n) <= p.sum/float64(p.n) {
				break
			}
			p = pool{last.sum + p.sum, last.n + p.n}
			pools = pools[:len(pools)-1]
		}
		pools = append(pools, p)
	}
	out := make([]float64, len(wanted))
	first, last := lo+size/2, hi-size/2-float64(len(wanted)-1)*size
	k := 0
	for _, p := range pools {
		q := max(first, min(last, p.sum/float64(p.n)))
		for range p.n {
			out[order[k]] = q + float64(k)*size
			k++
		}
	}
	return out
}

// placer puts labels of one size near points so that none covers another or a mark
// that was kept free.
//
// There is always a place: cut the room into cells of the size of a label. A label
// or a mark no larger than that touches at most four cells, so as long as there are
// more than four cells for each of them one cell is untouched. The caller's limits
// see to that.
type placer struct {
	room          Box
	width, height float64 // of a label
	taken         []Box
	lines         [][2]Point // lines that are better not covered
}

// keep keeps a box free, no larger than a label.
func (p *placer) keep(b Box) { p.taken = append(p.taken, b) }

// line says that there is a line which labels had better not cover.
func (p *placer) line(a, b Point) { p.lines = append(p.lines, [2]Point{a, b}) }

// place returns the middle of a label for a point: near it in one of sixteen
// directions, the one nearest to toward first, where that is free, and else the
// nearest free cell.
func (p *placer) place(at Point, toward float64) Point {
	best, found := at, false
	least := math.Inf(1)
	for ring, gap := range [...]float64{1.2, 2.6, 4.5, 7, 10, 14} {
		for k := range 16 {
			turn := float64((k+1)/2) * (math.Pi / 8)
			if k%2 == 1 {
				turn = -turn
			}
			sin, cos := math.Sincos(toward + turn)
			reach := gap + math.Abs(cos)*p.width/2 + math.Abs(sin)*p.height/2
			mid := at.Add(cos*reach, sin*reach)
			b := p.box(mid)
			cost := gap + 0.15*float64(k) + 4*float64(p.crossed(b))
			if cost < least && p.free(b) {
				best, least, found = mid, cost, true
			}
		}
		if found && ring > 1 {
			break
		}
	}
	if !found {
		best = p.cell(at)
	}
	p.keep(p.box(best))
	return best
}

// cell returns the middle of the free cell nearest to a point.
func (p *placer) cell(at Point) Point {
	best, least := Point{(p.room.Left + p.room.Right) / 2, (p.room.Top + p.room.Bottom) / 2}, math.Inf(1)
	columns, rows := p.cells()
	for i := range columns {
		for j := range rows {
			mid := Point{p.room.Left + (float64(i)+0.5)*p.width, p.room.Top + (float64(j)+0.5)*p.height}
			if d := distance(mid, at); d < least && p.free(p.box(mid)) {
				best, least = mid, d
			}
		}
	}
	return best
}

// cells returns how many columns and rows of labels the room holds.
func (p *placer) cells() (columns, rows int) {
	const hair = 1e-9
	return int((p.room.Right-p.room.Left)/p.width + hair), int((p.room.Bottom-p.room.Top)/p.height + hair)
}

func (p *placer) box(mid Point) Box {
	return Box{mid.X - p.width/2, mid.Y - p.height/2, mid.X + p.width/2, mid.Y + p.height/2}
}

func (p *placer) free(b Box) bool {
	if !b.Inside(p.room.Grown(1e-9)) {
		return false
	}
	b = b.Grown(-1e-9) // cells side by side touch, and rounding must not make that an overlap
	for _, t := range p.taken {
		if t.Overlaps(b) {
			return false
		}
	}
	return true
}

// crossed counts the lines that run through a box.
func (p *placer) crossed(b Box) (n int) {
	for _, l := range p.lines {
		if through(l[0], l[1], b) {
			n++
		}
	}
	return n
}

// through reports whether the line from a to c runs through a box.
func through(a, c Point, b Box) bool {
	_, _, ok := clip(a, c, b)
	return ok
}

// clip returns the part of the line from a to c that lies within a box, and whether
// there is any, by cutting it at each pair of edges (the way of Liang and Barsky, from
// memory).
func clip(a, c Point, b Box) (from, to Point, ok bool) {
	first, last := 0.0, 1.0
	cut := func(start, way, lo, hi float64) bool {
		if way == 0 {
			return start > lo && start < hi
		}
		t, u := (lo-start)/way, (hi-start)/way
		first, last = max(first, min(t, u)), min(last, max(t, u))
		return first < last
	}
	if !cut(a.X, c.X-a.X, b.Left, b.Right) || !cut(a.Y, c.Y-a.Y, b.Top, b.Bottom) {
		return a, c, false
	}
	way := Point{c.X - a.X, c.Y - a.Y}
	return a.Add(first*way.X, first*way.Y), a.Add(last*way.X, last*way.Y), true
}

// leader draws a thin line from a label's box to what it belongs to, unless they
// stand close together.
func (s *sheet) leader(label Box, to Point) {
	from := Point{max(label.Left, min(to.X, label.Right)), max(label.Top, min(to.Y, label.Bottom))}
	if distance(from, to) < 3.2 {
		return
	}
	s.Draw(Line{From: from, To: to, Stroke: Faint})
}
