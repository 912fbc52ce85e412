package uncertainty

import (
	"context"
	"math"
	"strconv"
	"strings"

	"collinear.example/align"
)

// Precision is how steady the answers of a simulation must be before it stops.
type Precision struct {
	Probability float64 // coverage probability of the intervals, 0 < p < 1
	Digits      int     // significant decimal digits of the standard uncertainty that shall be right, 1 to 4
	Most        int     // bound on the trials; 0 stands for ten million, or what MaxNumbers leaves
}

const mostTrials = 10_000_000

// NumericalTolerance returns the tolerance that goes with so many significant
// decimal digits of a standard uncertainty: with u = c x 10^l and c a whole
// number of that many digits, 10^l/2 (JCGM 101:2008, 7.9.2). Digits are 1 to 4.
func NumericalTolerance(sigma float64, digits int) (float64, error) {
	if digits < 1 || digits > 4 {
		return 0, fault("digits", strconv.Itoa(digits), align.ErrOutOfRange)
	}
	if !(sigma > 0) || !align.IsFinite(sigma) {
		return 0, fault("sigma", strconv.FormatFloat(sigma, 'g', -1, 64), ErrNoUncertainty)
	}
	// Printing rounds first: 0.0996 to two digits is 0.10, whose last place is 0.01.
	text := strconv.FormatFloat(sigma, 'e', digits-1, 64)
	exponent, err := strconv.Atoi(text[strings.IndexByte(text, 'e')+1:])
	if err != nil {
		return 0, fault("sigma", text, align.ErrOutOfRange)
	}
	return math.Pow(10, float64(exponent-digits+1)) / 2, nil
}

// SimulateTo simulates until, for every output, twice the standard deviation of
// the mean, of the standard uncertainty and of both ends of the symmetric interval
// is within the numerical tolerance of its standard uncertainty (JCGM 101:2008,
// 7.9). The averages are over sequences of at least 10,000 trials and at least
// 100/(1-p). An output that does not vary is steady from the start. Trials of
// Simulation is not used.
//
// It fails as Simulate does. When the bound on trials comes first, the sample so
// far comes back together with ErrNotReached.
func (m *Model[J]) SimulateTo(ctx context.Context, s Simulation, p Precision) (*Sample, error) {
	if err := checkProbability(p.Probability); err != nil {
		return nil, err
	}
	if p.Digits < 1 || p.Digits > 4 {
		return nil, fault("digits", strconv.Itoa(p.Digits), align.ErrOutOfRange)
	}
	run, err := m.newRun(ctx, s)
	if err != nil {
		return nil, err
	}
	each := int(math.Ceil(math.Max(blockTrials, 100/(1-p.Probability)) / blockTrials)) // blocks a sequence
	most := p.Most
	if most == 0 {
		most = min(mostTrials, MaxNumbers/len(m.Outputs))
	}
	sequences := most / (each * blockTrials)
	if sequences < 2 || most > MaxNumbers/len(m.Outputs) {
		return nil, fault("most trials", strconv.Itoa(p.Most), align.ErrOutOfRange)
	}
	return m.untilSteady(run, p, each, sequences)
}

// untilSteady adds sequences until the rule is met. A wave of them is worked out
// at a time, and what a wave did beyond the sequence at which the rule was met is
// dropped, so that the result does not depend on the size of the wave.
func (m *Model[J]) untilSteady(r *run[J], p Precision, each, sequences int) (*Sample, error) {
	figures := make([]sequenceFigures, len(m.Outputs))
	length := each * blockTrials * len(m.Outputs)
	for h := 0; h < sequences; {
		wave := min(sequences, h+max(2, (r.workers+each-1)/each))
		if err := r.extend(wave*each, sequences*each); err != nil {
			return nil, err
		}
		for ; h < wave; h++ {
			part := Sample{m.Outputs, r.values[h*length : (h+1)*length]}
			steady := true
			for i := range figures {
				if err := figures[i].add(&part, i, p.Probability); err != nil {
					return nil, err
				}
				steady = figures[i].steady(p.Digits) && steady
			}
			if steady {
				return &Sample{m.Outputs, r.values[:(h+1)*length]}, nil
			}
		}
	}
	return &Sample{m.Outputs, r.values}, fault("simulation", strconv.Itoa(len(r.values)/len(m.Outputs))+" trials", ErrNotReached)
}

// sequenceFigures are running sums of the four figures of one output over the
// sequences: mean, standard deviation, low and high end.
type sequenceFigures struct {
	n         int
	mean, sum [4]float64 // of the figures, and of the squares about the mean
}

func (f *sequenceFigures) add(part *Sample, i int, p float64) error {
	d, err := part.Output(i)
	if err != nil {
		return err
	}
	x, err := d.Symmetric(p)
	if err != nil {
		return err
	}
	f.n++
	for k, v := range [4]float64{d.Mean, d.Sigma, x.Low, x.High} {
		delta := v - f.mean[k]
		f.mean[k] += delta / float64(f.n)
		f.sum[k] += delta * (v - f.mean[k])
	}
	return nil
}

// steady applies the rule: the standard deviation of the mean of each figure over
// n sequences is s = sqrt(sum/(n(n-1))), and 2s must be within the tolerance.
func (f *sequenceFigures) steady(digits int) bool {
	if f.n < 2 {
		return false
	}
	if f.mean[1] <= rounding(f.mean[0]) { // does not vary
		return true
	}
	tolerance, err := NumericalTolerance(f.mean[1], digits)
	if err != nil {
		return false
	}
	n := float64(f.n)
	for _, ss := range f.sum {
		if 2*math.Sqrt(ss/(n*(n-1))) > tolerance {
			return false
		}
	}
	return true
}

// Validation holds the linear law against a simulation.
type Validation struct {
	Linear, Simulated Interval
	Tolerance         float64 // numerical tolerance, SI units
	LowDiffers        float64 // sizes of the differences at the ends, SI units
	HighDiffers       float64
	Valid             bool // both are within the tolerance
}

// Validate compares the interval of the linear law with that of a simulation of
// the same model: the linear law is validated when both ends agree within the
// numerical tolerance for so many digits of the standard uncertainty (JCGM
// 101:2008, 8.1). The simulation itself should be steady to a fifth of that (8.2):
// one more digit than asked here.
func Validate(e Estimate, d Distributed, p float64, digits int) (Validation, error) {
	x, err := e.Expanded(p)
	if err != nil {
		return Validation{}, err
	}
	s, err := d.Symmetric(p)
	if err != nil {
		return Validation{}, err
	}
	tolerance, err := NumericalTolerance(e.Sigma, digits)
	if err != nil {
		return Validation{}, err
	}
	v := Validation{
		Linear: Interval{e.Output, p, x.Low(), x.High()}, Simulated: s, Tolerance: tolerance,
		LowDiffers: math.Abs(x.Low() - s.Low), HighDiffers: math.Abs(x.High() - s.High),
	}
	v.Valid = v.LowDiffers <= tolerance && v.HighDiffers <= tolerance
	return v, nil
}
