// Package rigid fits the small motion of a rigid body to readings taken in
// single directions at single points, and says what such readings cannot show.
//
// A reading at the point s (from the body's reference point) along the unit
// vector n is, for a shift t and a small turn w,
//
//	reading = n.t + w.(s x n)
//
// (K.-L. Low, Linear least-squares optimization for point-to-plane ICP, UNC
// TR04-004, 2004, eq. 10, as quoted; derived here as well). The six unknowns are
// tx ty tz wx wy wz. Readings seldom determine all of them: the singular value
// decomposition parts what they determine from what they do not.
package rigid

import (
	"math"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Unknowns is the number of ways a rigid body can move.
const Unknowns = 6

// Vector holds one number for each way to move: shifts along x, y, z, then turns
// about x, y, z. It is a motion, or what a motion is multiplied by to give a
// number.
type Vector [Unknowns]float64

// Dot returns the sum of the products.
func (v Vector) Dot(w Vector) (s float64) {
	for i := range v {
		s += float64(v[i] * w[i])
	}
	return s
}

// Reading returns the vector that gives, from a motion about the point about,
// how far point p moves in direction n: [n, s x n].
func Reading(p, about align.Place, n align.Direction) Vector {
	s := p.From(about)
	x, y, z := float64(s.X), float64(s.Y), float64(s.Z)
	return Vector{n.X, n.Y, n.Z, float64(y*n.Z) - float64(z*n.Y), float64(z*n.X) - float64(x*n.Z), float64(x*n.Y) - float64(y*n.X)}
}

// Motion returns the motion that v holds.
func (v Vector) Motion(about align.Place) align.Motion {
	return align.Motion{
		About: about,
		Shift: align.Displacement{X: unit.Length(v[0]), Y: unit.Length(v[1]), Z: unit.Length(v[2])},
		Turn:  align.Turn{X: v[3], Y: v[4], Z: v[5]},
	}
}

// Fit is the decomposition of a set of readings: A = U S V', with the turns
// measured by their arc at a lever.
type Fit struct {
	rows  int
	lever float64
	u     []float64 // rows x 6, columns of unit length where s > 0
	s     Vector    // singular values, not in order
	v     [Unknowns]Vector
	rank  int
	least float64 // singular values up to it count as none
}

// smallest is the smallest singular value, as a share of the largest, that still
// counts. Below it a figure would be the rounding of the places as entered.
const smallest = 1e-9

// New decomposes readings. Each row is a reading's vector, times its weight if
// it has one. A way to move that is not free is taken as none. Lever is the
// length at which a turn counts as much as a shift: about the size of the body;
// it must be greater than zero.
func New(rows []Vector, free [Unknowns]bool, lever float64) Fit {
	f := Fit{rows: len(rows), lever: lever, u: make([]float64, len(rows)*Unknowns)}
	for i, row := range rows {
		for j := range Unknowns {
			switch {
			case !free[j]:
			case j < 3:
				f.u[i*Unknowns+j] = row[j]
			default:
				f.u[i*Unknowns+j] = row[j] / lever
			}
		}
	}
	for j := range Unknowns {
		f.v[j][j] = 1
	}
	for range maxSweeps {
		if !f.sweep() {
			break
		}
	}
	f.finish()
	return f
}

const maxSweeps = 40 // five are usual

// sweep makes every pair of columns orthogonal by a rotation (one-sided Jacobi:
// M. R. Hestenes, 1958; from memory). It reports whether any pair was not.
func (f *Fit) sweep() (turned bool) {
	for p := range Unknowns {
		for q := p + 1; q < Unknowns; q++ {
			var a, b, c float64
			for i := 0; i < len(f.u); i += Unknowns {
				x, y := f.u[i+p], f.u[i+q]
				a += float64(x * x)
				b += float64(y * y)
				c += float64(x * y)
			}
			if math.Abs(c) <= 1e-15*math.Sqrt(a)*math.Sqrt(b) || c == 0 {
				continue
			}
			turned = true
			z := (b - a) / (2 * c)
			t := math.Copysign(1/(math.Abs(z)+math.Hypot(1, z)), z)
			cos := 1 / math.Hypot(1, t)
			f.rotate(p, q, cos, cos*t)
		}
	}
	return turned
}

func (f *Fit) rotate(p, q int, cos, sin float64) {
	for i := 0; i < len(f.u); i += Unknowns {
		x, y := f.u[i+p], f.u[i+q]
		f.u[i+p], f.u[i+q] = float64(cos*x)-float64(sin*y), float64(sin*x)+float64(cos*y)
	}
	for i := range Unknowns {
		x, y := f.v[i][p], f.v[i][q]
		f.v[i][p], f.v[i][q] = float64(cos*x)-float64(sin*y), float64(sin*x)+float64(cos*y)
	}
}

// finish takes the lengths out of the columns.
func (f *Fit) finish() {
	largest := 0.0
	for j := range Unknowns {
		n := 0.0
		for i := 0; i < len(f.u); i += Unknowns {
			n = math.Hypot(n, f.u[i+j])
		}
		f.s[j] = n
		largest = max(largest, n)
	}
	f.least = smallest * largest
	for j := range Unknowns {
		if f.s[j] <= f.least {
			continue
		}
		f.rank++
		for i := 0; i < len(f.u); i += Unknowns {
			f.u[i+j] /= f.s[j]
		}
	}
}

// Rank returns how many independent ways to move the readings determine.
func (f *Fit) Rank() int { return f.rank }

// Condition returns the largest over the smallest singular value that counts, 0
// when none does.
func (f *Fit) Condition() float64 {
	lo, hi := math.Inf(1), 0.0
	for _, s := range f.s {
		if s > f.least {
			lo, hi = min(lo, s), max(hi, s)
		}
	}
	if hi == 0 {
		return 0
	}
	return hi / lo
}

// Solve returns the motion of least squares for readings y, each times its
// weight. What the readings do not determine is none in it: ask Determined
// before using a figure.
func (f *Fit) Solve(y []float64) (x Vector) {
	for j := range Unknowns {
		if f.s[j] <= f.least {
			continue
		}
		k := 0.0
		for i := range y {
			k += float64(f.u[i*Unknowns+j] * y[i])
		}
		k /= f.s[j]
		for i := range Unknowns {
			x[i] += float64(k * f.v[i][j])
		}
	}
	for j := 3; j < Unknowns; j++ {
		x[j] /= f.lever
	}
	return x
}

// scaled returns g in the scaled unknowns.
func (f *Fit) scaled(g Vector) Vector {
	for j := 3; j < Unknowns; j++ {
		g[j] /= f.lever
	}
	return g
}

// along returns the part of g along the j-th direction.
func (f *Fit) along(g Vector, j int) (s float64) {
	for i := range Unknowns {
		s += float64(g[i] * f.v[i][j])
	}
	return s
}

// Determined reports whether the readings determine g times the motion. A way
// to move that is not free is none, and counts as determined.
func (f *Fit) Determined(g Vector, free [Unknowns]bool) bool {
	for j := range g {
		if !free[j] {
			g[j] = 0
		}
	}
	g = f.scaled(g)
	size := math.Sqrt(g.Dot(g))
	for j := range Unknowns {
		if f.s[j] <= f.least && math.Abs(f.along(g, j)) > 1e-7*size {
			return false
		}
	}
	return true
}

// Covariance returns the covariance of g and h times the motion, for readings
// of unit variance after weighting. It is meant for what is determined.
func (f *Fit) Covariance(g, h Vector) (c float64) {
	g, h = f.scaled(g), f.scaled(h)
	for j := range Unknowns {
		if f.s[j] > f.least {
			c += float64(f.along(g, j)/f.s[j]) * float64(f.along(h, j)/f.s[j])
		}
	}
	return c
}
