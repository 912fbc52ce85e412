package uncertainty

import (
	"fmt"
	"math"
	"strconv"

	"gonum.org/v1/gonum/stat/distuv"

	"collinear.example/align"
)

// Expanded is an interval about an estimate that holds the true value with a
// stated probability.
type Expanded struct {
	Output
	Probability float64
	Factor      float64 // coverage factor k
	DoF         int     // degrees of freedom that gave it; 0: none needed, normal
	Value       float64 // the estimate, SI units
	Half        float64 // expanded uncertainty U = k u_c, SI units
}

// Low returns the lower end of the interval.
func (x Expanded) Low() float64 { return x.Value - x.Half }

// High returns the upper end of the interval.
func (x Expanded) High() float64 { return x.Value + x.Half }

// String returns value, expanded uncertainty, factor and probability.
func (x Expanded) String() string {
	return fmt.Sprintf("%s +/- %s (coverage factor %.2f, %g %%)",
		x.Unit.Format(x.Value, 4), differenceUnit(x.Unit).Format(x.Half, 4), x.Factor, round(100*x.Probability))
}

func round(v float64) float64 { return math.Round(v*1e6) / 1e6 }

// Expanded returns the interval for a coverage probability p, 0 < p < 1. The
// factor is the point of the t distribution with the effective degrees of freedom
// cut down to a whole number, or of the normal distribution where there are none
// (JCGM 100:2008, 6.2.1, 6.3.3 and G.4.1). It fails with ErrOutOfRange, and with
// ErrTooFewRepeats when less than one degree of freedom is left.
func (e Estimate) Expanded(p float64) (Expanded, error) {
	if err := checkProbability(p); err != nil {
		return Expanded{}, err
	}
	x := Expanded{Output: e.Output, Probability: p, Value: e.Value}
	upper := (1 + p) / 2
	switch {
	case !e.DoFKnown || e.DoF >= mostDoF:
		x.Factor = distuv.UnitNormal.Quantile(upper)
	case e.DoF < 1:
		return Expanded{}, fault("degrees of freedom", strconv.FormatFloat(e.DoF, 'g', 3, 64), ErrTooFewRepeats)
	default:
		// The formula's rounding must not turn a whole number into the next lower one.
		x.DoF = int(e.DoF * (1 + 1e-12))
		x.Factor = distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(x.DoF)}.Quantile(upper)
	}
	x.Half = x.Factor * e.Sigma
	if !align.IsFinite(x.Half) {
		return Expanded{}, fault("expanded uncertainty", "", align.ErrNotFinite)
	}
	return x, nil
}

func checkProbability(p float64) error {
	if p > 0 && p < 1 {
		return nil
	}
	return fault("probability", strconv.FormatFloat(p, 'g', -1, 64), align.ErrOutOfRange)
}
