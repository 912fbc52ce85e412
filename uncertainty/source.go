package uncertainty

import (
	"math/rand/v2"
)

// Source is one thing that is not known exactly: a distribution of deviations,
// and what a deviation does to a job of type J. A job is any struct of the
// caller's, or one of the library's own such as align.ReverseIndicator. Make one
// with Vary or VaryWith.
//
// One Source may move several fields of the job: that is how one tape that is
// wrong for every distance, or one bracket that carries two dials, is said.
type Source[J any] struct {
	Name  string
	Group string // sources of one group are added up in the budget; Name when empty
	// Random says that a repeat brings a fresh deviation, so that a mean of n
	// repeats has 1/n of the variance: the scatter of a reading does, a tape that
	// is wrong does not.
	Random bool

	d     spread
	apply func(*J, float64)
}

// Vary returns the source that adds its deviation to one field:
//
//	Vary("D", Normal(0.5*align.Millimetre), func(j *align.ReverseIndicator) *unit.Length {
//		return &j.OnFar.Station
//	})
func Vary[J any, Q ~float64](name string, d Distribution[Q], field func(*J) *Q) Source[J] {
	return Source[J]{Name: name, d: d.d, apply: func(j *J, deviation float64) { *field(j) += Q(deviation) }}
}

// VaryWith returns the source whose deviation is put into the job by apply.
func VaryWith[J any, Q ~float64](name string, d Distribution[Q], apply func(*J, Q)) Source[J] {
	return Source[J]{Name: name, d: d.d, apply: func(j *J, deviation float64) { apply(j, Q(deviation)) }}
}

// In returns the source as one of a group.
func (s Source[J]) In(group string) Source[J] {
	s.Group = group
	return s
}

// AsRandom returns the source as one that repeats average out.
func (s Source[J]) AsRandom() Source[J] {
	s.Random = true
	return s
}

// Sigma returns the standard uncertainty, in the unit of the field varied.
func (s Source[J]) Sigma() float64 { return s.d.sigma() }

// DoF returns the degrees of freedom of Sigma; ok is false when it is certain.
func (s Source[J]) DoF() (dof float64, ok bool) { return s.d.dof, s.d.dof != 0 }

// Shape returns the form of the distribution.
func (s Source[J]) Shape() Shape { return s.d.shape }

// Check returns an error when the distribution cannot be used or the source does
// nothing.
func (s Source[J]) Check() error {
	if s.apply == nil {
		return fault("source "+s.Name, "", ErrNoSources)
	}
	return s.d.check("source " + s.Name)
}

// Draw returns one deviation drawn at random. The source must have passed Check.
func (s *Source[J]) Draw(r *rand.Rand) float64 { return s.d.draw(r) }

// Quantile returns the deviation not exceeded with probability p, 0 < p < 1. The
// source must have passed Check.
func (s *Source[J]) Quantile(p float64) float64 { return s.d.quantile(p) }

// Apply puts a deviation into the job.
func (s *Source[J]) Apply(j *J, deviation float64) { s.apply(j, deviation) }

// groupName is the line of the budget the source belongs to.
func (s *Source[J]) groupName() string {
	if s.Group != "" {
		return s.Group
	}
	return s.Name
}
