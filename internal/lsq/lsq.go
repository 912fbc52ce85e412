// Package lsq solves small linear least-squares problems row by row.
//
// A System takes one equation a.x = y at a time and keeps only the triangular
// factor of the rows seen so far, built with Givens rotations, so it needs no
// storage for the rows and loses no more digits than a QR factorisation of the
// whole matrix. Up to MaxUnknowns unknowns fit in the value itself: a System on
// the stack allocates nothing.
//
// Source of the method: G. H. Golub and C. F. Van Loan, Matrix Computations,
// Givens QR (from memory); checked in the tests against gonum's mat.QR.
package lsq

import "math"

// MaxUnknowns is the largest number of unknowns a System can hold.
const MaxUnknowns = 8

// Row is one row of coefficients; entries past the system's size are ignored.
type Row [MaxUnknowns]float64

// System is a least-squares problem with n unknowns in triangular form.
type System struct {
	n    int
	rows int
	r    [MaxUnknowns]Row // upper triangle
	z    Row              // rotated right-hand side
	ssr  float64          // sum of squares left over
}

// New returns an empty system of n unknowns, 1 <= n <= MaxUnknowns. The call
// is made by this module alone, so n outside that range is a programming error.
func New(n int) System { return System{n: n} }

// Add takes in the equation a.x = y. Scale a and y by the square root of a
// weight to give the equation that weight.
func (s *System) Add(a Row, y float64) {
	s.rows++
	for k := 0; k < s.n; k++ {
		if a[k] == 0 {
			continue
		}
		rk := &s.r[k]
		h := math.Sqrt(rk[k]*rk[k] + a[k]*a[k])
		inv := 1 / h
		c, sn := rk[k]*inv, a[k]*inv
		rk[k], a[k] = h, 0
		for j := k + 1; j < s.n; j++ {
			rk[j], a[j] = c*rk[j]+sn*a[j], c*a[j]-sn*rk[j]
		}
		s.z[k], y = c*s.z[k]+sn*y, c*y-sn*s.z[k]
	}
	s.ssr += y * y
}

// Rows returns how many equations were added.
func (s *System) Rows() int { return s.rows }

// SumSquares returns the sum of the squared residuals at the solution.
func (s *System) SumSquares() float64 { return s.ssr }

// Rank1Tolerance is the smallest diagonal of the triangular factor, as a share
// of the largest, that still counts as determined.
const Rank1Tolerance = 1e-11

// Weakest returns the unknown with the smallest diagonal entry and that entry
// as a share of the largest one. A share under Rank1Tolerance means the
// equations do not determine the unknowns. The columns should be scaled alike.
func (s *System) Weakest() (k int, share float64) {
	largest, smallest := 0.0, math.Inf(1)
	for i := 0; i < s.n; i++ {
		d := math.Abs(s.r[i][i])
		if d > largest {
			largest = d
		}
		if d < smallest {
			smallest, k = d, i
		}
	}
	if largest == 0 {
		return 0, 0
	}
	return k, smallest / largest
}

// Solve returns the least-squares solution. Check Weakest first: a singular
// system has no finite answer.
func (s *System) Solve() (x Row) {
	for i := s.n - 1; i >= 0; i-- {
		v := s.z[i]
		for j := i + 1; j < s.n; j++ {
			v -= s.r[i][j] * x[j]
		}
		x[i] = v / s.r[i][i]
	}
	return x
}

// InverseFactor returns the inverse of the triangular factor R. The covariance
// of the solution for unit variance of y is InverseFactor times its transpose.
func (s *System) InverseFactor() (w [MaxUnknowns]Row) {
	for j := 0; j < s.n; j++ {
		w[j][j] = 1 / s.r[j][j]
		for i := j - 1; i >= 0; i-- {
			v := 0.0
			for k := i + 1; k <= j; k++ {
				v -= s.r[i][k] * w[k][j]
			}
			w[i][j] = v / s.r[i][i]
		}
	}
	return w
}

// Covariance returns the covariance of the solution for unit variance of y,
// (A'A)^-1, from the inverse factor the caller already has.
func (s *System) Covariance(w *[MaxUnknowns]Row) (c [MaxUnknowns]Row) {
	for i := 0; i < s.n; i++ {
		for j := i; j < s.n; j++ {
			v := 0.0
			for k := j; k < s.n; k++ {
				v += w[i][k] * w[j][k]
			}
			c[i][j], c[j][i] = v, v
		}
	}
	return c
}

// Condition returns the condition number of the triangular factor in the
// infinity norm, from the inverse the caller already has.
func (s *System) Condition(w *[MaxUnknowns]Row) float64 {
	a, b := 0.0, 0.0
	for i := 0; i < s.n; i++ {
		ra, rb := 0.0, 0.0
		for j := i; j < s.n; j++ {
			ra += math.Abs(s.r[i][j])
			rb += math.Abs(w[i][j])
		}
		a, b = math.Max(a, ra), math.Max(b, rb)
	}
	return a * b
}
