package uncertainty

import (
	"fmt"

	"gonum.org/v1/gonum/stat/distuv"
)

// Proportion is how often something held in a number of trials.
type Proportion struct {
	Count, Trials int
}

// Share returns count over trials: the estimated probability.
func (p Proportion) Share() float64 {
	if p.Trials == 0 {
		return 0
	}
	return float64(p.Count) / float64(p.Trials)
}

// Interval returns the exact interval in which the probability lies with
// confidence c, 0 < c < 1: the points of beta distributions at (1-c)/2 on either
// side (Clopper and Pearson, Biometrika 26, 1934, from memory). It covers at
// least c, whatever the probability is.
func (p Proportion) Interval(c float64) (low, high float64, err error) {
	if err := checkProbability(c); err != nil {
		return 0, 0, err
	}
	if p.Trials <= 0 || p.Count < 0 || p.Count > p.Trials {
		return 0, 0, fault("proportion", fmt.Sprintf("%d of %d", p.Count, p.Trials), ErrTooFewTrials)
	}
	k, n, tail := float64(p.Count), float64(p.Trials), (1-c)/2
	high = 1
	if p.Count > 0 {
		low = distuv.Beta{Alpha: k, Beta: n - k + 1}.Quantile(tail)
	}
	if p.Count < p.Trials {
		high = distuv.Beta{Alpha: k + 1, Beta: n - k}.Quantile(1 - tail)
	}
	return low, high, nil
}

// String returns the share with its 95 % interval.
func (p Proportion) String() string {
	low, high, err := p.Interval(0.95)
	if err != nil {
		return fmt.Sprintf("%d of %d", p.Count, p.Trials)
	}
	return fmt.Sprintf("%.2f %% (%.2f to %.2f %% with 95 %% confidence, %d trials)", 100*p.Share(), 100*low, 100*high, p.Trials)
}
