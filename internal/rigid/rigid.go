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

// Fit is what a set of readings tells of a motion.
type Fit struct {
	lever     float64
	rank      int
	condition float64
	full      bool             // every way that is free is determined
	basis     [Unknowns]Vector // the first rank are square to each other and span what is determined, turns by their arc at the lever
	// w are motions whose coefficients have unit variance and no covariance: the
	// variance of g times the motion is the sum of (g.w)^2.
	w    [Unknowns]Vector
	back []Vector // the motion of least squares per unit of each reading
}

// New decomposes readings. Each row is a reading's vector, times its weight if
// it has one. A way to move that is not free is taken as none. Lever is the
// length at which a turn counts as much as a shift: about the size of the body;
// it must be greater than zero.
//
// Readings that are well apart are made square by orthogonalisation; those that
// are not, or that may be, go through the singular value decomposition. The
// tests hold the one against the other.
func New(rows []Vector, free [Unknowns]bool, lever float64) Fit {
	f := Fit{lever: lever, back: make([]Vector, len(rows))}
	ways := 0
	var scale Vector
	for j, is := range free {
		switch {
		case !is:
			continue
		case j < 3:
			scale[j] = 1
		default:
			scale[j] = 1 / lever
		}
		ways++
	}
	if !f.quick(rows, &scale, ways) {
		f.thorough(rows, &scale)
	}
	f.full = f.rank == ways
	f.unscale()
	return f
}

// unscale turns motions with turns by their arc into motions in radians.
func (f *Fit) unscale() {
	for k := range f.w {
		for j := 3; j < Unknowns; j++ {
			f.w[k][j] /= f.lever
		}
	}
	for k := range f.back {
		for j := 3; j < Unknowns; j++ {
			f.back[k][j] /= f.lever
		}
	}
}

// Rank returns how many independent ways to move the readings determine.
func (f *Fit) Rank() int { return f.rank }

// Condition returns how much the readings can magnify an error, 0 when they
// determine nothing: the largest singular value over the smallest that counts,
// or up to six times that.
func (f *Fit) Condition() float64 { return f.condition }

// Solve returns the motion of least squares for readings y, each times its
// weight. What the readings do not determine is none in it: ask Determined
// before using a figure.
func (f *Fit) Solve(y []float64) (x Vector) {
	for k, v := range y {
		b := &f.back[k]
		for i := range x {
			x[i] += float64(v * b[i])
		}
	}
	return x
}

// Determined reports whether the readings determine g times the motion. A way
// to move that is not free is none, and counts as determined.
func (f *Fit) Determined(g Vector, free [Unknowns]bool) bool {
	if f.full {
		return true
	}
	for j := range g {
		switch {
		case !free[j]:
			g[j] = 0
		case j >= 3:
			g[j] /= f.lever
		}
	}
	size := g.Dot(g)
	for k := range f.rank {
		c := g.Dot(f.basis[k])
		for j := range g {
			g[j] -= float64(c * f.basis[k][j])
		}
	}
	return g.Dot(g) <= float64(1e-14*size)
}

// Variance returns the variance of g times the motion, for readings of unit
// variance after weighting. It is meant for what is determined.
func (f *Fit) Variance(g Vector) (c float64) {
	for k := range f.rank {
		d := g.Dot(f.w[k])
		c += float64(d * d)
	}
	return c
}

// Covariance returns the covariance of g and h times the motion, for readings
// of unit variance after weighting. It is meant for what is determined.
func (f *Fit) Covariance(g, h Vector) (c float64) {
	for k := range f.rank {
		c += float64(g.Dot(f.w[k]) * h.Dot(f.w[k]))
	}
	return c
}
