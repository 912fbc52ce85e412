package rigid

import "math"

// wellApart is the condition up to which readings are surely independent, far
// from the smallest singular value that still counts.
const wellApart = 1e5

// quick finds what readings determine that are well apart, as many of them as
// there are free ways or more, or fewer. It reports false, and leaves f as it
// was, when they may depend on each other.
func (f *Fit) quick(rows []Vector, scale *Vector, ways int) bool {
	switch {
	case len(rows) == 0 || ways == 0:
		return false
	case len(rows) >= ways:
		return f.tall(rows, scale, ways)
	}
	return f.wide(rows, scale)
}

// triangle is the upper triangle of an orthogonalisation.
type triangle [Unknowns]Vector

// tall takes A = QR with the columns of A made square: the motion is R^-1 Q' y.
func (f *Fit) tall(rows []Vector, scale *Vector, ways int) bool {
	var q [Unknowns][]float64
	var way [Unknowns]int
	space := make([]float64, len(rows)*ways)
	n := 0
	for j := range Unknowns {
		if scale[j] == 0 {
			continue
		}
		q[n], space = space[:len(rows):len(rows)], space[len(rows):]
		for i := range rows {
			q[n][i] = rows[i][j] * scale[j]
		}
		way[n] = j
		n++
	}
	inverse, condition := orthogonal(q[:n])
	if !(condition <= wellApart) {
		return false
	}
	f.rank, f.condition = n, condition
	for k := range n {
		f.basis[k][way[k]] = 1
		for i := range k + 1 {
			f.w[k][way[i]] = inverse[i][k]
		}
		for r, u := range q[k] {
			for i := range Unknowns {
				f.back[r][i] += float64(u * f.w[k][i])
			}
		}
	}
	return true
}

// wide takes A' = QR with the rows of A made square: the shortest motion is
// Q R^-T y.
func (f *Fit) wide(rows []Vector, scale *Vector) bool {
	var space [Unknowns]Vector
	var q [Unknowns][]float64
	for k := range rows {
		for j := range Unknowns {
			space[k][j] = rows[k][j] * scale[j]
		}
		q[k] = space[k][:]
	}
	inverse, condition := orthogonal(q[:len(rows)])
	if !(condition <= wellApart) {
		return false
	}
	f.rank, f.condition = len(rows), condition
	for k := range rows {
		f.basis[k] = space[k]
		for i := k; i < len(rows); i++ {
			for j := range Unknowns {
				f.back[k][j] += float64(inverse[k][i] * space[i][j])
			}
		}
		f.w[k] = f.back[k]
	}
	return true
}

// orthogonal makes columns square to each other and of unit length, and returns
// the inverse of their triangle R and the product of the norms of R and its
// inverse, a bound of the condition; infinite when a column is in the others.
// Each column is taken twice over the earlier ones, which keeps them square to
// the last digits (Gram and Schmidt with reorthogonalisation; standard result).
func orthogonal(q [][]float64) (inverse triangle, condition float64) {
	var r triangle
	for k := range q {
		whole := math.Sqrt(dot(q[k], q[k]))
		for range 2 {
			for i := range k {
				c := dot(q[i], q[k])
				r[i][k] += c
				for m, x := range q[i] {
					q[k][m] -= float64(c * x)
				}
			}
		}
		n := math.Sqrt(dot(q[k], q[k]))
		if !(n > float64(whole/wellApart)) {
			return r, math.Inf(1)
		}
		r[k][k] = n
		for m := range q[k] {
			q[k][m] /= n
		}
	}
	return r.inverse(len(q))
}

func (r *triangle) inverse(n int) (out triangle, condition float64) {
	var a, b float64 // squares of the norms
	for k := range n {
		out[k][k] = 1 / r[k][k]
		for i := k - 1; i >= 0; i-- {
			s := 0.0
			for m := i + 1; m <= k; m++ {
				s += float64(r[i][m] * out[m][k])
			}
			out[i][k] = -s / r[i][i]
		}
		for i := range k + 1 {
			a += float64(r[i][k] * r[i][k])
			b += float64(out[i][k] * out[i][k])
		}
	}
	return out, math.Sqrt(a) * math.Sqrt(b)
}
