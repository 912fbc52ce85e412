package tolerance

import (
	"fmt"

	"collinear.example/align"
)

// Outcome is what can be said of a size against a limit when the size is
// uncertain.
type Outcome uint8

// The outcomes.
const (
	Indeterminate Outcome = iota // the uncertainty reaches across the limit
	Pass                         // within the limit, uncertainty and all
	Fail                         // beyond the limit, uncertainty and all
)

// String returns the outcome in lower case.
func (o Outcome) String() string {
	switch o {
	case Indeterminate:
		return "indeterminate"
	case Pass:
		return "pass"
	case Fail:
		return "fail"
	}
	return fmt.Sprintf("outcome(%d)", uint8(o))
}

// Guard is the width of a guard band in standard uncertainties.
type Guard float64

// Guard bands in use.
const (
	// NoGuard decides on the measured size alone: shared risk.
	NoGuard Guard = 0
	// GuardOneSided keeps the risk of a wrong pass, and of a wrong fail, below
	// 5 % for a normal uncertainty against one limit: the default of
	// ISO 14253-1:2017 (clause from memory). The number is the 95 % point of the
	// standard normal distribution.
	GuardOneSided Guard = 1.6448536269514722
	// GuardExpanded is the expanded uncertainty with coverage factor 2, the rule
	// of the earlier editions of ISO 14253-1 (from memory).
	GuardExpanded Guard = 2
)

// Decision is a verdict with the uncertainty of the measured size taken in.
type Decision struct {
	align.Verdict
	Sigma   float64 // standard uncertainty of the measured size, SI units
	Guard   float64 // width of the guard band, SI units
	Outcome Outcome
	// Conforms is the probability that the true size is within the limit.
	Conforms float64
}

// String says outcome, size with uncertainty, limit and probability.
func (d Decision) String() string {
	u := d.Limit.Unit
	return fmt.Sprintf("%s: %s, standard uncertainty %s, guard band %s, conforms with probability %.3f; %s",
		d.Outcome, u.Format(d.Measured, 4), u.Format(d.Sigma, 4), u.Format(d.Guard, 4), d.Conforms, d.Limit)
}

// Decide weighs a quantity with a sign, such as the offset in one plane, and
// its standard uncertainty sigma, both in SI units, against a limit that holds
// both ways. With g the guard band, guard times sigma:
//
//	pass           |value| + g <= limit
//	fail           |value| - g >  limit
//	indeterminate  else
//
// This is the decision rule of ISO 14253-1 (proof of conformity and of
// nonconformity; from memory). The probability of conformity follows JCGM
// 106:2012, 7: see Conformity. For a resultant of two planes use
// DecideResultant: a resultant is not normal near zero.
func Decide(l align.Limit, value, sigma float64, guard Guard) (Decision, error) {
	v, err := l.Judge(value)
	if err != nil {
		return Decision{}, err
	}
	p, err := Conformity(value, sigma, -l.SI(), l.SI())
	if err != nil {
		return Decision{}, err
	}
	return decide(v, sigma, guard, p)
}

// DecideResultant weighs the resultant of two planes against a limit. The guard
// band is guard times the larger of the principal standard uncertainties, which
// is never too narrow. The probability of conformity is that of the point
// within the circle: see Normal2.Within.
func DecideResultant(l align.Limit, n Normal2, guard Guard) (Decision, error) {
	p, err := n.Within(l.SI())
	if err != nil {
		return Decision{}, err
	}
	v, err := l.Judge(n.resultant())
	if err != nil {
		return Decision{}, err
	}
	major, _, _ := n.principal()
	return decide(v, major, guard, p)
}

func decide(v align.Verdict, sigma float64, guard Guard, p float64) (Decision, error) {
	if !align.IsFinite(guard) {
		return Decision{}, inputError("guard", "", align.ErrNotFinite)
	}
	if guard < 0 {
		return Decision{}, inputError("guard", align.UnitOne.Format(float64(guard), 3), align.ErrNegative)
	}
	d := Decision{Verdict: v, Sigma: sigma, Guard: float64(guard) * sigma, Conforms: p}
	if !align.IsFinite(d.Guard) {
		return Decision{}, inputError("guard", "", align.ErrOutOfRange)
	}
	limit := v.Limit.SI()
	const even = 1e-12 // equal but for rounding counts as equal
	switch {
	case float64((v.Measured+d.Guard)*(1-even)) <= limit:
		d.Outcome = Pass
	case float64((v.Measured-d.Guard)*(1-even)) > limit:
		d.Outcome = Fail
	}
	return d, nil
}
