package lp

import "math"

// pivot exchanges the basic variable of row r with the nonbasic one of column q.
// s.col holds column q. Values are not touched.
func (s *Solver) pivot(r, q int) {
	n := s.n
	pr := s.t[r*n : r*n+n]
	inv := 1 / pr[q]
	s.reweigh(pr, q)
	for j, v := range pr {
		pr[j] = float64(-v * inv)
	}
	pr[q] = inv
	for i, f := range s.col[:s.m] {
		if f == 0 || i == r {
			continue
		}
		line := s.t[i*n : i*n+n : i*n+n]
		line[q] = 0
		addScaled(line, f, pr)
	}
	f := s.d[q]
	s.d[q] = 0
	addScaled(s.d, f, pr)
	s.nonb[q], s.basic[r] = s.basic[r], s.nonb[q]
	s.setEdge(r)
	s.pivots++
	s.fresh++
}

// reweigh updates the reference weights before a pivot on column q of line pr.
func (s *Solver) reweigh(pr []float64, q int) {
	inv, top := 1/pr[q], s.weight[q]
	for j, v := range pr {
		if v == 0 {
			continue
		}
		g := float64(v * inv)
		s.weight[j] = max(s.weight[j], float64(float64(g*g)*top))
	}
	s.weight[q] = max(1, float64(float64(inv*inv)*top))
	if s.weight[q] < 1e10 {
		return
	}
	for j := range s.weight { // a new frame of reference
		s.weight[j] = 1
	}
}

// addScaled adds f*p to line.
func addScaled(line []float64, f float64, p []float64) {
	p = p[:len(line)]
	j := 0
	for ; j+4 <= len(line); j += 4 {
		l, q := line[j:j+4:j+4], p[j:j+4:j+4]
		l[0] += float64(f * q[0])
		l[1] += float64(f * q[1])
		l[2] += float64(f * q[2])
		l[3] += float64(f * q[3])
	}
	for ; j < len(line); j++ {
		line[j] += float64(f * p[j])
	}
}

func (s *Solver) readColumn(q int) {
	for i, at := 0, q; i < s.m; i, at = i+1, at+s.n {
		s.col[i] = s.t[at]
	}
}

// refactor makes the dictionary of the present basis from the scaled data, always
// pivoting on the largest coefficient that is left. It says whether that worked;
// if not the basis is singular and the dictionary is of no use.
func (s *Solver) refactor() bool {
	n, m := s.n, s.m
	enter := make([]bool, n)   // variables that belong in the basis
	leave := make([]bool, m)   // rows whose slack belongs outside
	keep := make([]float64, n) // where the variables outside were
	keepRow := make([]float64, m)
	for _, k := range s.basic {
		if k < n {
			enter[k] = true
		}
	}
	count := 0
	for j, k := range s.nonb {
		if k < n {
			keep[k] = s.xn[j]
			continue
		}
		leave[k-n], keepRow[k-n] = true, s.xn[j]
		count++
	}
	copy(s.t, s.a)
	copy(s.d, s.c)
	for j := range s.nonb {
		s.nonb[j] = j
	}
	for i := range s.basic {
		s.basic[i] = n + i
	}
	pivots := s.pivots
	for range count {
		r, q := s.largest(leave, enter)
		if r < 0 {
			s.pivots = pivots
			return false
		}
		s.readColumn(q)
		s.pivot(r, q)
		leave[r], enter[q] = false, false
	}
	s.pivots = pivots
	for j, k := range s.nonb {
		if k < n {
			s.xn[j] = keep[k]
		} else {
			s.xn[j] = keepRow[k-n]
		}
	}
	s.rest()
	return true
}

// largest finds the largest coefficient in the marked rows and columns, -1 when
// all of them are nothing but rounding.
func (s *Solver) largest(rows, cols []bool) (r, q int) {
	best := 1e-13
	r, q = -1, -1
	for i, use := range rows {
		if !use {
			continue
		}
		line := s.t[i*s.n : (i+1)*s.n]
		for j, v := range line {
			if v = math.Abs(v); cols[j] && v > best {
				best, r, q = v, i, j
			}
		}
	}
	return r, q
}
