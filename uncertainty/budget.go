package uncertainty

import (
	"cmp"
	"math"
	"slices"
	"strconv"

	"collinear.example/align"
)

// Line is one line of an uncertainty budget: what a group of sources
// contributes to one output.
type Line struct {
	Group   string
	Sources int     // how many sources are in the group
	Sigma   float64 // standard uncertainty of the output from this group alone, SI units
	Share   float64 // of the variance; shares add up to 1. Negative where a correlation takes away.
}

// Budget returns the contributions by group, the largest share first.
func (e Estimate) Budget() []Line {
	lines := make([]Line, 0, len(e.Parts))
	for _, g := range e.groups() {
		in := e.inGroup(g)
		line := Line{Group: g, Sigma: math.Sqrt(max(e.variance(in, in), 0))}
		for i, p := range e.Parts {
			if in[i] {
				line.Sources++
				line.Share += p.Share
			}
		}
		lines = append(lines, line)
	}
	slices.SortStableFunc(lines, func(a, b Line) int { return cmp.Compare(b.Share, a.Share) })
	return lines
}

// groups returns the names of the groups in the order in which they first come.
func (e Estimate) groups() (names []string) {
	for _, p := range e.Parts {
		if !slices.Contains(names, p.Group) {
			names = append(names, p.Group)
		}
	}
	return names
}

// inGroup marks the parts of a group.
func (e Estimate) inGroup(group string) []bool {
	in := make([]bool, len(e.Parts))
	for i, p := range e.Parts {
		in[i] = p.Group == group
	}
	return in
}

// variance is the part of u_c^2 that the parts marked in a and in b have between
// them.
func (e Estimate) variance(a, b []bool) float64 {
	v := 0.0
	for i, p := range e.Parts {
		if !a[i] {
			continue
		}
		if e.cross == nil {
			if b[i] {
				v += p.Effect * p.Effect
			}
			continue
		}
		for j, q := range e.Parts {
			if b[j] {
				v += p.Effect * e.cross[i][j] * q.Effect
			}
		}
	}
	return v
}

// Saving says what repeating the measurements of one group buys.
type Saving struct {
	Group string
	Sigma float64 // combined standard uncertainty then, SI units
	Saved float64 // share of the combined standard uncertainty that goes away, 0 to 1
}

// RepeatFirst says which measurements to repeat first: for each group with
// sources that repeats average out (Random), the combined standard uncertainty
// when each of them is the mean of n readings in the place of one, best first.
// The variance of each such source becomes 1/n of what it was (JCGM 100:2008,
// 4.2.3). It fails with ErrOutOfRange when n is less than two, and with
// ErrNoUncertainty when there is nothing to save.
func (e Estimate) RepeatFirst(n int) ([]Saving, error) {
	if n < 2 {
		return nil, fault("repeats", strconv.Itoa(n), align.ErrOutOfRange)
	}
	if e.Sigma == 0 {
		return nil, fault("output "+e.Name, "", ErrNoUncertainty)
	}
	var out []Saving
	for _, g := range e.groups() {
		in := e.inGroup(g)
		random := false
		for i, p := range e.Parts {
			in[i] = in[i] && p.Random
			random = random || in[i]
		}
		if !random {
			continue
		}
		s := math.Sqrt(max(e.scaled(in, 1/math.Sqrt(float64(n))), 0))
		out = append(out, Saving{Group: g, Sigma: s, Saved: 1 - s/e.Sigma})
	}
	slices.SortStableFunc(out, func(a, b Saving) int { return cmp.Compare(a.Sigma, b.Sigma) })
	return out, nil
}

// scaled is the variance when the effects of the marked parts are multiplied by
// k: k^2 a + 2 k b + c with a theirs, c that of the others and b what they share.
func (e Estimate) scaled(in []bool, k float64) float64 {
	a, b, c := e.split(in)
	return k*k*a + 2*k*b + c
}

func (e Estimate) split(in []bool) (a, b, c float64) {
	out := make([]bool, len(in))
	for i := range in {
		out[i] = !in[i]
	}
	return e.variance(in, in), e.variance(in, out), e.variance(out, out)
}

// Needed is how well the sources of a group must be known.
type Needed struct {
	Group  string
	Factor float64 // by which each standard uncertainty of the group may be multiplied; below 1 it must shrink
	Sigma  float64 // largest standard uncertainty, where the group is a single source; else 0. In the source's own SI unit
	Rest   float64 // standard uncertainty of the output that the other sources leave, SI units
}

// Needed answers the inverse question: how well must one group of sources be
// known for a combined standard uncertainty of no more than wanted (SI units of
// the output)? With a the variance from the group, c that of the others and b
// what they share, the factor k solves k^2 a + 2 k b + c = wanted^2.
//
// It fails with ErrNotAttainable when the others alone are more than that, with
// ErrMismatch when no source is of that group, and with ErrNoUncertainty when the
// group does not touch the output.
func (e Estimate) Needed(group string, wanted float64) (Needed, error) {
	if !(wanted > 0) || !align.IsFinite(wanted) {
		return Needed{}, fault("wanted", e.Unit.Format(wanted, 4), align.ErrOutOfRange)
	}
	in := e.inGroup(group)
	if !slices.Contains(in, true) {
		return Needed{}, fault("group", strconv.Quote(group), align.ErrMismatch)
	}
	a, b, c := e.split(in)
	if a == 0 {
		return Needed{}, fault("group "+group, "", ErrNoUncertainty)
	}
	n := Needed{Group: group, Rest: math.Sqrt(max(c, 0))}
	// k = (-b + sqrt(b^2 + a (wanted^2 - c)))/a, the larger root.
	inside := b*b + a*(float64(wanted*wanted)-c)
	if inside < 0 {
		return n, notAttainable(e, group)
	}
	n.Factor = (math.Sqrt(inside) - b) / a
	if n.Factor < 0 {
		return n, notAttainable(e, group)
	}
	n.Sigma = e.single(in) * n.Factor
	return n, nil
}

func notAttainable(e Estimate, group string) error {
	return fault("output "+e.Name+", group "+group, "", ErrNotAttainable)
}

// single is the standard uncertainty of the group's only source, 0 when there
// are more.
func (e Estimate) single(in []bool) (sigma float64) {
	count := 0
	for i, p := range e.Parts {
		if in[i] {
			count++
			sigma = p.Sigma
		}
	}
	if count > 1 {
		return 0
	}
	return sigma
}
