package uncertainty

import (
	"math"
	"slices"
	"strconv"

	"collinear.example/align"
)

// Sample holds the answers of a simulation, trial by trial.
type Sample struct {
	outputs []Output
	values  []float64
}

// Trials returns how many there are.
func (s *Sample) Trials() int { return len(s.values) / len(s.outputs) }

// Trial returns the answers of trial t, counted from 0, in SI units; the slice
// must not be changed.
func (s *Sample) Trial(t int) []float64 {
	w := len(s.outputs)
	return s.values[t*w : (t+1)*w : (t+1)*w]
}

// Covariance returns the covariance of the outputs over the trials, SI units.
func (s *Sample) Covariance() [][]float64 {
	w, n := len(s.outputs), float64(s.Trials())
	mean := make([]float64, w)
	for t := range s.Trials() {
		for i, v := range s.Trial(t) {
			mean[i] += v / n
		}
	}
	c := make([][]float64, w)
	for i := range c {
		c[i] = make([]float64, w)
	}
	for t := range s.Trials() {
		row := s.Trial(t)
		for i := range c {
			for j := range i + 1 {
				c[i][j] += (row[i] - mean[i]) * (row[j] - mean[j]) / (n - 1)
			}
		}
	}
	for i := range c {
		for j := range i {
			c[j][i] = c[i][j]
		}
	}
	return c
}

// Count returns in how many trials holds is true of the answers: whether every
// limit is kept in both planes and all states, whether a foot would be
// bolt-bound. The slice holds the outputs in SI units and must not be changed.
func (s *Sample) Count(holds func(out []float64) bool) Proportion {
	p := Proportion{Trials: s.Trials()}
	for t := range p.Trials {
		if holds(s.Trial(t)) {
			p.Count++
		}
	}
	return p
}

// Output returns output i, counted from 0, as a distribution. It sorts a copy of
// the answers, so keep it when it is asked more than once. An i that is none of
// the outputs is ErrMismatch.
func (s *Sample) Output(i int) (Distributed, error) {
	if i < 0 || i >= len(s.outputs) {
		return Distributed{}, fault("output", strconv.Itoa(i), align.ErrMismatch)
	}
	return newDistributed(s.outputs[i], s.column(i)), nil
}

func (s *Sample) column(i int) []float64 {
	v := make([]float64, s.Trials())
	for t := range v {
		v[t] = s.values[t*len(s.outputs)+i]
	}
	return v
}

// Distributed is one output of a simulation: what its value may be. Figures are
// in SI units.
type Distributed struct {
	Output
	Mean   float64
	Sigma  float64   // standard deviation: the standard uncertainty
	Sorted []float64 // every trial, by rising value
}

func newDistributed(o Output, v []float64) Distributed {
	d := Distributed{Output: o, Sorted: v}
	n := float64(len(v))
	for _, x := range v {
		d.Mean += x
	}
	d.Mean /= n
	ss := 0.0
	for _, x := range v {
		ss += (x - d.Mean) * (x - d.Mean)
	}
	d.Sigma = math.Sqrt(ss / (n - 1))
	slices.Sort(v)
	return d
}

// Interval is a coverage interval of an output, SI units.
type Interval struct {
	Output
	Probability float64
	Low, High   float64
}

// Width returns how wide the interval is.
func (i Interval) Width() float64 { return i.High - i.Low }

// String returns both ends with their unit.
func (i Interval) String() string {
	return i.Unit.Format(i.Low, 4) + " to " + i.Unit.Format(i.High, 4) + " (" +
		strconv.FormatFloat(round(100*i.Probability), 'g', -1, 64) + " %)"
}

// Symmetric returns the coverage interval that leaves the same probability on
// either side: with M trials and q = pM rounded, trials r to r + q with r =
// (M - q)/2 rounded (JCGM 101:2008, 7.7.2). It fails with ErrOutOfRange, and with
// ErrTooFewTrials when p needs more trials than there are.
func (d Distributed) Symmetric(p float64) (Interval, error) {
	q, err := d.inside(p)
	if err != nil {
		return Interval{}, err
	}
	r := (len(d.Sorted) - q + 1) / 2
	return d.interval(p, r, q), nil
}

// Shortest returns the shortest coverage interval: that r for which trial r + q
// less trial r is least (JCGM 101:2008, 7.7.4). It is to be preferred for a
// distribution that leans to one side. It fails as Symmetric does.
func (d Distributed) Shortest(p float64) (Interval, error) {
	q, err := d.inside(p)
	if err != nil {
		return Interval{}, err
	}
	best := 1
	for r := 1; r+q <= len(d.Sorted); r++ {
		if d.Sorted[r+q-1]-d.Sorted[r-1] < d.Sorted[best+q-1]-d.Sorted[best-1] {
			best = r
		}
	}
	return d.interval(p, best, q), nil
}

// inside returns q, the number of steps from the lower to the upper end.
func (d Distributed) inside(p float64) (int, error) {
	if err := checkProbability(p); err != nil {
		return 0, err
	}
	q := int(math.Round(p * float64(len(d.Sorted))))
	if q < 1 || q > len(d.Sorted)-1 {
		return 0, fault("probability", strconv.FormatFloat(p, 'g', -1, 64), ErrTooFewTrials)
	}
	return q, nil
}

// interval returns trials r to r+q, counted from 1 as the standard does.
func (d Distributed) interval(p float64, r, q int) Interval {
	r = max(1, min(r, len(d.Sorted)-q))
	return Interval{Output: d.Output, Probability: p, Low: d.Sorted[r-1], High: d.Sorted[r+q-1]}
}

// Quantile returns the value not exceeded with probability p, 0 < p < 1, linear
// between trials whose cumulative probabilities are (r - 1/2)/M (JCGM 101:2008,
// 7.5.1 and C.2).
func (d Distributed) Quantile(p float64) (float64, error) {
	if err := checkProbability(p); err != nil {
		return 0, err
	}
	if len(d.Sorted) == 0 {
		return 0, fault("trials", "0", ErrTooFewTrials)
	}
	at := p*float64(len(d.Sorted)) - 0.5
	if at <= 0 {
		return d.Sorted[0], nil
	}
	k := int(at)
	if k >= len(d.Sorted)-1 {
		return d.Sorted[len(d.Sorted)-1], nil
	}
	return d.Sorted[k] + (at-float64(k))*(d.Sorted[k+1]-d.Sorted[k]), nil
}
