package uncertainty

import (
	"math"
	"strconv"

	"gonum.org/v1/gonum/unit"

	"collinear.example/align"
	"collinear.example/tolerance"
)

// Range is the values from Lower to Upper, both included: a tolerance interval
// (what the true value must keep to) or an acceptance interval (what the measured
// value must keep to, to be accepted). Either end may be infinite. The zero value
// is not a range: a tolerance that was not given is not zero.
type Range[Q ~float64] struct{ Lower, Upper Q }

// Within returns the range from -limit to limit: a limit that holds both ways.
func Within[Q ~float64](limit Q) Range[Q] { return Range[Q]{-limit, limit} }

// AtMost returns the range of all values up to upper.
func AtMost[Q ~float64](upper Q) Range[Q] { return Range[Q]{Q(math.Inf(-1)), upper} }

// AtLeast returns the range of all values from lower on.
func AtLeast[Q ~float64](lower Q) Range[Q] { return Range[Q]{lower, Q(math.Inf(1))} }

// Holds reports whether v lies in the range; its ends belong to it.
func (r Range[Q]) Holds(v Q) bool { return r.Lower <= v && v <= r.Upper }

// Check returns ErrMissing for the zero value, ErrNotFinite when an end is not a
// number or both are the same infinity, and ErrMismatch when the lower end is
// above the upper one.
func (r Range[Q]) Check() error { return r.check("range") }

func (r Range[Q]) check(field string) error {
	switch {
	case r == Range[Q]{}:
		return fault(field, "", align.ErrMissing)
	case math.IsNaN(float64(r.Lower)) || math.IsInf(float64(r.Lower), 1):
		return fault(field+".lower", show(r.Lower), align.ErrNotFinite)
	case math.IsNaN(float64(r.Upper)) || math.IsInf(float64(r.Upper), -1):
		return fault(field+".upper", show(r.Upper), align.ErrNotFinite)
	case r.Lower > r.Upper:
		return fault(field+".lower", show(r.Lower)+" above upper "+show(r.Upper), align.ErrMismatch)
	}
	return nil
}

// Guarded returns the range with a guard band of the given width taken off inside
// each finite end; a negative width widens it. (JCGM 106:2012, 8.3: guarded
// acceptance, and guarded rejection for a negative width; clause from memory.) It
// fails with ErrOutOfRange when the bands leave nothing, and with what Check
// fails with.
func (r Range[Q]) Guarded(width Q) (Range[Q], error) {
	if err := r.Check(); err != nil {
		return r, err
	}
	if !align.IsFinite(width) {
		return r, fault("guard band", show(width), align.ErrNotFinite)
	}
	if r.Lower+width > r.Upper-width {
		return r, fault("guard band", show(width), align.ErrOutOfRange)
	}
	return Range[Q]{r.Lower + width, r.Upper - width}, nil
}

// shrunk is Guarded for a width already known to fit, but for rounding.
func (r Range[Q]) shrunk(width Q) Range[Q] {
	g := Range[Q]{r.Lower + width, r.Upper - width}
	if g.Lower > g.Upper {
		middle := r.Lower + (r.Upper-r.Lower)/2
		return Range[Q]{middle, middle}
	}
	return g
}

// Prior is what is known of a quantity before it is measured: where a crew or a
// process usually leaves it, and how much that scatters. It is taken as normal.
type Prior[Q ~float64] struct {
	Mean  Q
	Sigma Q // standard deviation; zero says that it is always the same
}

func (p Prior[Q]) check(field string) error {
	if !align.IsFinite(p.Mean) {
		return fault(field+".mean", show(p.Mean), align.ErrNotFinite)
	}
	return checkSpread(field+".sigma", p.Sigma)
}

// After returns what is known once the quantity was measured as measured with
// standard uncertainty sigma. With y0, u0 the prior:
//
//	y   = (u_m^2 y0 + u0^2 measured)/(u0^2 + u_m^2)
//	u^2 = u0^2 u_m^2/(u0^2 + u_m^2)
//
// (the normal prior of JCGM 106:2012, clause 6 and annex A, from memory; Bayes'
// theorem gives it.) It fails with ErrMismatch when both uncertainties are zero.
func (p Prior[Q]) After(measured, sigma Q) (Prior[Q], error) {
	if err := p.check("prior"); err != nil {
		return Prior[Q]{}, err
	}
	if !align.IsFinite(measured) {
		return Prior[Q]{}, fault("measured", show(measured), align.ErrNotFinite)
	}
	if err := checkSpread("sigma", sigma); err != nil {
		return Prior[Q]{}, err
	}
	if p.Sigma == 0 && sigma == 0 {
		return Prior[Q]{}, fault("sigma", show(sigma), align.ErrMismatch)
	}
	// With t = u0/hypot(u0, u_m): y = y0 + t^2 (measured - y0), u = u_m t.
	t := 0.0
	if p.Sigma > 0 {
		t = 1 / math.Hypot(1, float64(sigma/p.Sigma))
	}
	q := Prior[Q]{p.Mean + Q(t*t)*(measured-p.Mean), sigma * Q(t)}
	if !align.IsFinite(q.Mean) || !align.IsFinite(q.Sigma) {
		return Prior[Q]{}, fault("measured", show(measured), align.ErrOutOfRange)
	}
	return q, nil
}

// Item is one measured value that is to be accepted or rejected.
type Item[Q ~float64] struct {
	Measured   Q
	Sigma      Q        // standard uncertainty of the measured value
	Tolerance  Range[Q] // of the true value
	Acceptance Range[Q] // of the measured value
	// Prior is what was known before; nil when nothing was that counts.
	Prior *Prior[Q]
}

// SpecificRisk is the risk of the decision on one item.
type SpecificRisk struct {
	Accepted bool
	Conforms float64 // probability that the true value is within the tolerance
	Consumer float64 // probability that the item is out of tolerance though accepted; 0 when it was rejected
	Producer float64 // probability that the item is within tolerance though rejected; 0 when it was accepted
}

// Risk decides on the measured value and returns the specific risks, with p the
// conformance probability of tolerance.Conformity:
//
//	accepted:  consumer's risk 1 - p      rejected:  producer's risk p
//
// (JCGM 106:2012, 7 and 9.3, clauses from memory.) It fails with ErrMissing,
// ErrNotFinite, ErrNegative or ErrMismatch for the first field that cannot be
// used.
func (i Item[Q]) Risk() (SpecificRisk, error) {
	if err := i.check(); err != nil {
		return SpecificRisk{}, err
	}
	known := Prior[Q]{i.Measured, i.Sigma}
	if i.Prior != nil {
		var err error
		if known, err = i.Prior.After(i.Measured, i.Sigma); err != nil {
			return SpecificRisk{}, err
		}
	}
	in, out, err := inAndOut(float64(known.Mean), float64(known.Sigma), float64(i.Tolerance.Lower), float64(i.Tolerance.Upper))
	if err != nil {
		return SpecificRisk{}, err
	}
	r := SpecificRisk{Accepted: i.Acceptance.Holds(i.Measured), Conforms: in}
	if r.Accepted {
		r.Consumer = out
	} else {
		r.Producer = in
	}
	return r, nil
}

func (i Item[Q]) check() error {
	if !align.IsFinite(i.Measured) {
		return fault("measured", show(i.Measured), align.ErrNotFinite)
	}
	if err := checkSpread("sigma", i.Sigma); err != nil {
		return err
	}
	if err := i.Tolerance.check("tolerance"); err != nil {
		return err
	}
	return i.Acceptance.check("acceptance")
}

// SpecificGuard returns the smallest guard band, zero or more, that keeps the
// specific consumer's risk of every accepted value at or below risk, for a
// measurement with standard uncertainty sigma and no prior knowledge. The worst
// accepted value stands at an end of the acceptance interval; with Q the tail of
// the standard normal distribution and T the width of the tolerance, w solves
//
//	Q(w/sigma) + Q((T - w)/sigma) = risk      T infinite: w = sigma Q^-1(risk)
//
// (JCGM 106:2012, 8.3 and 9.3, from memory; the two-sided form is derived here.)
// For one limit, risk = 0.05 gives 1.645 sigma, tolerance.GuardOneSided. It fails
// with ErrOutOfRange unless 0 < risk < 1, and with ErrNothingSatisfies, naming the
// least risk there is, when even a value in the middle of the tolerance is too
// uncertain.
func SpecificGuard[Q ~float64](tol Range[Q], sigma Q, risk float64) (Q, error) {
	if err := tol.check("tolerance"); err != nil {
		return 0, err
	}
	if err := checkSpread("sigma", sigma); err != nil {
		return 0, err
	}
	if err := checkShare("risk", risk); err != nil {
		return 0, err
	}
	width := float64(tol.Upper) - float64(tol.Lower)
	s := float64(sigma)
	out := func(w float64) (float64, error) {
		_, o, err := inAndOut(w, s, 0, width) // the tolerance seen from one end
		return o, err
	}
	most := width / 2
	if math.IsInf(width, 1) {
		most = 40 * s // the tail is below the smallest number there
	}
	w, least, err := leastGuard(out, most, risk)
	if err != nil {
		return 0, err
	}
	if least > risk {
		return 0, nothing("risk", plain(risk), plain(least))
	}
	return Q(w), nil
}

// leastGuard returns the smallest w from 0 to most at which the falling function
// risk is at or below wanted, by bisection, and the least risk when there is none.
func leastGuard(risk func(float64) (float64, error), most, wanted float64) (w, got float64, err error) {
	if got, err = risk(0); err != nil || got <= wanted {
		return 0, got, err
	}
	if got, err = risk(most); err != nil || got > wanted {
		return most, got, err
	}
	lo, hi := 0.0, most
	for range 200 {
		mid := lo + (hi-lo)/2
		if mid <= lo || mid >= hi {
			break
		}
		r, err := risk(mid)
		if err != nil {
			return 0, 0, err
		}
		if r > wanted {
			lo = mid
		} else {
			hi, got = mid, r
		}
		if hi-lo <= 1e-13*hi {
			break
		}
	}
	return hi, got, nil
}

// inAndOut is the probability that a normal quantity lies between two bounds and
// that it does not, each without loss of digits.
func inAndOut(mean, sigma, lower, upper float64) (in, out float64, err error) {
	if in, err = tolerance.Conformity(mean, sigma, lower, upper); err != nil {
		return 0, 0, err
	}
	if sigma == 0 {
		return in, 1 - in, nil
	}
	below, err := tolerance.Conformity(mean, sigma, math.Inf(-1), lower)
	if err != nil {
		return 0, 0, err
	}
	above, err := tolerance.Conformity(mean, sigma, upper, math.Inf(1))
	return in, below + above, err
}

func checkSpread[Q ~float64](field string, sigma Q) error {
	if !align.IsFinite(sigma) {
		return fault(field, show(sigma), align.ErrNotFinite)
	}
	if sigma < 0 {
		return fault(field, show(sigma), align.ErrNegative)
	}
	return nil
}

func checkShare(field string, p float64) error {
	if p > 0 && p < 1 {
		return nil
	}
	return fault(field, plain(p), align.ErrOutOfRange)
}

// nothing is the fault of a search that found nothing good enough.
func nothing(field, wanted, best string) error {
	return &align.InputError{Package: "uncertainty", Field: field, Got: wanted, Err: ErrNothingSatisfies,
		Meaning: meanings[ErrNothingSatisfies] + ": the best attainable is " + best}
}

// show prints a value with the unit its type tells.
func show[Q ~float64](v Q) string {
	switch any(v).(type) {
	case unit.Length:
		return plain(float64(v)*1e3) + " mm"
	case unit.Temperature, align.TempRise:
		return plain(float64(v)) + " K"
	case align.Clock, Arc:
		return plain(float64(v)) + " deg"
	}
	return plain(float64(v))
}

func plain(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }
