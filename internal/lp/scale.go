package lp

import "math"

// absent stands in the table of exponents for a coefficient that is zero.
const absent = math.MaxInt16

// hugeBound is the scaled size from which a limit is left out of the search. The
// answer is still checked against it.
const hugeBound = 0x1p200

// exponent returns e with 2^e <= |v| < 2^(e+1), for v neither zero nor subnormal.
func exponent(v float64) int { return int(math.Float64bits(v)>>52&0x7ff) - 1023 }

// power returns 2^e, kept within the normal numbers.
func power(e int) float64 {
	e = min(max(e, -1022), 1023)
	return math.Float64frombits(uint64(e+1023) << 52)
}

// scaling holds the exponents of the powers of two between the caller's terms
// and the scaled ones:
//
//	a' = a*2^(row+col)  x' = x*2^(-col-size)  b' = b*2^(row-size)  c' = c*2^(col+cost)
type scaling struct {
	row, col   []int
	size, cost int

	ints []int
	exps []int16
}

// balance chooses row and column exponents: geometric means in turn, then the
// largest coefficient of each column and at last of each row is brought to [1, 2).
func (sc *scaling) balance(rows [][]float64, n int) {
	m := len(rows)
	sc.exps = reuse(sc.exps, m*n)
	exps := sc.exps
	for i, r := range rows {
		tabulate(exps[i*n:i*n+n], r)
	}
	sc.ints = reuse(sc.ints, m+3*n)
	clear(sc.ints)
	ints := sc.ints
	sc.row, sc.col = ints[:m:m], ints[m:m+n:m+n]
	sum, count := ints[m+n:m+2*n], ints[m+2*n:]
	for range 2 {
		sc.byMean(exps, sum, count)
	}
	sc.byLargest(exps, sum)
}

// tabulate writes down the exponents of a row. A coefficient smaller than the
// row's largest by more than any units explain has no say in the scaling.
func tabulate(exps []int16, row []float64) {
	top := -2000
	for j, v := range row {
		exps[j] = absent
		if v != 0 {
			e := exponent(v)
			exps[j], top = int16(e), max(top, e)
		}
	}
	for j, e := range exps {
		if int(e) < top-80 {
			exps[j] = absent
		}
	}
}

func (sc *scaling) byMean(exps []int16, sum, count []int) {
	n := len(sc.col)
	clear(sum)
	clear(count)
	for i := range sc.row {
		line, total, k := exps[i*n:i*n+n], 0, 0
		for j, e := range line {
			if e != absent {
				total += int(e) + sc.col[j]
				k++
			}
		}
		if k == 0 {
			continue
		}
		mean := floorDiv(total, k)
		sc.row[i] = -mean
		for j, e := range line {
			if e != absent {
				sum[j] += int(e) - mean
				count[j]++
			}
		}
	}
	for j, k := range count {
		if k > 0 {
			sc.col[j] = -floorDiv(sum[j], k)
		}
	}
}

func (sc *scaling) byLargest(exps []int16, top []int) {
	n := len(sc.col)
	for j := range top {
		top[j] = math.MinInt32
	}
	for i, r := range sc.row {
		for j, e := range exps[i*n : i*n+n] {
			if e != absent {
				top[j] = max(top[j], int(e)+r)
			}
		}
	}
	for j, e := range top {
		if e != math.MinInt32 {
			sc.col[j] = -e
		}
	}
	for i := range sc.row {
		sc.row[i] = sc.rowExponent(exps[i*n : i*n+n])
	}
}

// rowExponent brings the largest coefficient of a row to [1, 2).
func (sc *scaling) rowExponent(exps []int16) int {
	best := math.MinInt32
	for j, e := range exps {
		if e != absent {
			best = max(best, int(e)+sc.col[j])
		}
	}
	if best == math.MinInt32 {
		return 0
	}
	return -best
}

// magnitude chooses the exponent of the lengths: the middle one of the limits of
// the rows that are finite and not zero, or of the bounds when the rows have none,
// so that a limit meant as "far away" does not drown the others.
func (sc *scaling) magnitude(p *Problem, largest bool) int {
	var h histogram
	h.add(p.Lo, sc.row, 1)
	h.add(p.Hi, sc.row, 1)
	if h.total == 0 || largest {
		h.add(p.Lower, sc.col, -1)
		h.add(p.Upper, sc.col, -1)
	}
	if h.total == 0 {
		return 0
	}
	if largest {
		return h.at(h.total - 1)
	}
	return h.at(h.total / 2)
}

// histogram counts exponents between -512 and 511; what lies outside counts as the nearest.
type histogram struct {
	count    [1024]int32
	total    int
	from, to int
}

func (h *histogram) add(vals []float64, exps []int, sign int) {
	for i, v := range vals {
		if v == 0 || math.IsInf(v, 0) {
			continue
		}
		k := min(max(exponent(v)+sign*exps[i], -512), 511) + 512
		h.count[k]++
		if h.total == 0 {
			h.from, h.to = k, k
		}
		h.from, h.to = min(h.from, k), max(h.to, k)
		h.total++
	}
}

// at returns the exponent with k others before it.
func (h *histogram) at(k int) int {
	for e := h.from; e < h.to; e++ {
		if k -= int(h.count[e]); k < 0 {
			return e - 512
		}
	}
	return h.to - 512
}

// costExponent brings the largest scaled cost to [1, 2).
func (sc *scaling) costExponent(c []float64) int {
	best := math.MinInt32
	for j, v := range c {
		if !negligible(v) {
			best = max(best, exponent(v)+sc.col[j])
		}
	}
	if best == math.MinInt32 {
		return 0
	}
	return -best
}

// Costs and rows may differ by 2^960 in size and no more: a multiplier is a quotient of
// two of them, and numbers below 2^-1022 are not held whole.
const largest, smallest = 0x1p480, 0x1p-480

// negligible reports whether a number is so small that it counts as none.
func negligible(v float64) bool { return math.Abs(v) < smallest }

func floorDiv(a, b int) int {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}
