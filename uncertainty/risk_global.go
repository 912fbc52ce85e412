package uncertainty

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/integrate/quad"

	"collinear.example/align"
	"collinear.example/tolerance"
)

// Inspection is a check of many items of one kind: what is usually there, how
// well it is measured, what is allowed and what is accepted.
type Inspection[Q ~float64] struct {
	Prior      Prior[Q] // of the true values
	Measuring  Q        // standard uncertainty u_m of one measurement
	Tolerance  Range[Q] // of the true value
	Acceptance Range[Q] // of the measured value
}

// GlobalRisk is how an inspection does in the long run: probabilities for an item
// drawn at random, before it is measured.
type GlobalRisk struct {
	Consumer   float64 // accepted, and out of tolerance
	Producer   float64 // rejected, and within tolerance
	Conforming float64 // within tolerance
	Accepted   float64
}

// OfAccepted returns the share of the accepted items that are out of tolerance;
// ok is false when nothing is ever accepted.
func (r GlobalRisk) OfAccepted() (share float64, ok bool) { return ratio(r.Consumer, r.Accepted) }

// OfConforming returns the share of the items within tolerance that are rejected;
// ok is false when none is ever within tolerance.
func (r GlobalRisk) OfConforming() (share float64, ok bool) {
	return ratio(r.Producer, r.Conforming)
}

func ratio(a, b float64) (float64, bool) {
	if b == 0 {
		return 0, false
	}
	return min(a/b, 1), true
}

// Risk returns the global risks. With the true value y normal about y0 with
// standard deviation u0, and the measured one normal about y with u_m:
//
//	R_C = integral over y outside the tolerance of phi((y - y0)/u0)/u0 P(measured accepted | y) dy
//	R_P = integral over y inside the tolerance of  phi((y - y0)/u0)/u0 P(measured rejected | y) dy
//
// (JCGM 106:2012, 9.5, clause from memory.) The integrals are taken over z = (y -
// y0)/u0, where the prior has unit width, on panels no wider than 1 that end at
// the tolerance and acceptance limits and are no wider than u_m/u0 near the
// latter, so that neither a narrow prior nor a narrow measurement can be missed.
// The absolute error is below 1e-12. It fails with ErrMissing, ErrNotFinite,
// ErrNegative or ErrMismatch for the first field that cannot be used, and with
// ErrOutOfRange when u_m/u0 overflows.
func (i Inspection[Q]) Risk() (GlobalRisk, error) {
	if err := i.check(); err != nil {
		return GlobalRisk{}, err
	}
	if err := i.Acceptance.check("acceptance"); err != nil {
		return GlobalRisk{}, err
	}
	return i.risk(i.Acceptance, newPanelRule())
}

// GlobalGuard is the guard band that keeps the global consumer's risk.
type GlobalGuard[Q ~float64] struct {
	Width      Q        // of the band inside each finite end of the tolerance
	Acceptance Range[Q] // what is left to accept
	Risk       GlobalRisk
}

// GuardFor returns the smallest guard band, zero or more, that keeps the global
// consumer's risk at or below consumer. The Acceptance of the inspection is not
// used. The risk falls as the band grows, because less is accepted; the band is
// found by bisection. It fails with ErrOutOfRange unless 0 < consumer < 1, with
// what Risk fails with, and with ErrNothingSatisfies when no band within 1e9
// standard deviations does.
func (i Inspection[Q]) GuardFor(consumer float64) (GlobalGuard[Q], error) {
	if err := i.check(); err != nil {
		return GlobalGuard[Q]{}, err
	}
	if err := checkShare("consumer's risk", consumer); err != nil {
		return GlobalGuard[Q]{}, err
	}
	rule := newPanelRule()
	risk := func(w float64) (float64, error) {
		r, err := i.risk(i.Tolerance.shrunk(Q(w)), rule)
		return r.Consumer, err
	}
	most, err := i.widest(risk, consumer)
	if err != nil {
		return GlobalGuard[Q]{}, err
	}
	w, least, err := leastGuard(risk, most, consumer)
	if err != nil {
		return GlobalGuard[Q]{}, err
	}
	if least > consumer {
		return GlobalGuard[Q]{}, nothing("consumer's risk", plain(consumer), plain(least))
	}
	g := GlobalGuard[Q]{Width: Q(w), Acceptance: i.Tolerance.shrunk(Q(w))}
	g.Risk, err = i.risk(g.Acceptance, rule)
	return g, err
}

// widest is a guard band wide enough: half of a tolerance with two ends, else
// doubled until it does.
func (i Inspection[Q]) widest(risk func(float64) (float64, error), wanted float64) (float64, error) {
	if half := float64(i.Tolerance.Upper)/2 - float64(i.Tolerance.Lower)/2; align.IsFinite(half) {
		return half, nil
	}
	w := math.Hypot(float64(i.Prior.Sigma), float64(i.Measuring))
	for range 30 {
		r, err := risk(w)
		if err != nil || r <= wanted {
			return w, err
		}
		w *= 2
	}
	return w, nil
}

func (i Inspection[Q]) check() error {
	if err := i.Prior.check("prior"); err != nil {
		return err
	}
	if err := checkSpread("measuring", i.Measuring); err != nil {
		return err
	}
	return i.Tolerance.check("tolerance")
}

// risk works in units of the prior's standard deviation about its mean.
func (i Inspection[Q]) risk(acceptance Range[Q], rule panelRule) (GlobalRisk, error) {
	u0, um := float64(i.Prior.Sigma), float64(i.Measuring)
	if u0 == 0 {
		return i.fixed(acceptance)
	}
	z := func(v Q) float64 { return float64(v-i.Prior.Mean) / u0 }
	s := standard{
		rule: rule, width: um / u0,
		tl: z(i.Tolerance.Lower), tu: z(i.Tolerance.Upper), al: z(acceptance.Lower), au: z(acceptance.Upper),
	}
	if !align.IsFinite(s.width) {
		return GlobalRisk{}, fault("measuring", show(i.Measuring), align.ErrOutOfRange)
	}
	return s.risk()
}

// fixed is the risk when the true value is always the same.
func (i Inspection[Q]) fixed(acceptance Range[Q]) (GlobalRisk, error) {
	in, out, err := inAndOut(float64(i.Prior.Mean), float64(i.Measuring), float64(acceptance.Lower), float64(acceptance.Upper))
	if err != nil {
		return GlobalRisk{}, err
	}
	if i.Tolerance.Holds(i.Prior.Mean) {
		return GlobalRisk{Producer: out, Conforming: 1, Accepted: in}, nil
	}
	return GlobalRisk{Consumer: in, Accepted: in}, nil
}

// standard is an inspection with a standard normal prior.
type standard struct {
	rule           panelRule
	width          float64 // u_m/u0
	tl, tu, al, au float64
}

func (s standard) risk() (r GlobalRisk, err error) {
	if r.Conforming, err = tolerance.Conformity(0, 1, s.tl, s.tu); err != nil {
		return GlobalRisk{}, err
	}
	if r.Accepted, err = tolerance.Conformity(0, math.Hypot(1, s.width), s.al, s.au); err != nil {
		return GlobalRisk{}, err
	}
	below, err := s.integral(math.Inf(-1), s.tl, accepted)
	if err != nil {
		return GlobalRisk{}, err
	}
	above, err := s.integral(s.tu, math.Inf(1), accepted)
	if err != nil {
		return GlobalRisk{}, err
	}
	if r.Producer, err = s.integral(s.tl, s.tu, rejected); err != nil {
		return GlobalRisk{}, err
	}
	r.Consumer = min(below+above, 1)
	r.Producer = min(r.Producer, 1)
	return r, nil
}

// verdict says which probability is integrated.
type verdict bool

const (
	accepted verdict = true
	rejected verdict = false
)

// tails is how far from its highest point the normal density is followed: what
// lies beyond is less than 2e-18 of it.
const tails = 9

// vanished is where the normal density is below 1e-300.
const vanished = 38

// integral is that of phi(z) times the probability of the verdict at z.
func (s standard) integral(lo, hi float64, v verdict) (float64, error) {
	top := min(max(0, lo), hi) // where the density is highest
	if math.Abs(top) > vanished {
		return 0, nil
	}
	lo, hi = max(lo, top-tails), min(hi, top+tails)
	if !(lo < hi) {
		return 0, nil
	}
	ends := s.panels(lo, hi)
	sum := 0.0
	for k := 1; k < len(ends); k++ {
		half, mid := (ends[k]-ends[k-1])/2, (ends[k]+ends[k-1])/2
		for j, x := range s.rule.at {
			p, err := s.probability(mid+half*x, v)
			if err != nil {
				return 0, err
			}
			sum += half * s.rule.weight[j] * p
		}
	}
	return sum, nil
}

// panels are the ends of panels from lo to hi: whole numbers, and steps of u_m/u0
// about the acceptance limits while those are finer.
func (s standard) panels(lo, hi float64) []float64 {
	ends := make([]float64, 0, 64)
	ends = append(ends, lo, hi)
	add := func(z float64) {
		if lo < z && z < hi {
			ends = append(ends, z)
		}
	}
	for z := math.Ceil(lo); z < hi; z++ {
		add(z)
	}
	for _, a := range [...]float64{s.al, s.au} {
		if s.width > 1 || a < lo-tails || a > hi+tails {
			continue
		}
		for k := -tails; k <= tails; k++ {
			add(a + float64(k)*s.width)
		}
	}
	slices.Sort(ends)
	return ends
}

// probability is phi(z) times the probability of the verdict.
func (s standard) probability(z float64, v verdict) (float64, error) {
	density := math.Exp(-z*z/2) / math.Sqrt(2*math.Pi)
	if v == accepted {
		in, err := tolerance.Conformity(z, s.width, s.al, s.au)
		return density * in, err
	}
	_, out, err := inAndOut(z, s.width, s.al, s.au)
	return density * out, err
}

// panelRule is a Gauss-Legendre rule on [-1, 1].
type panelRule struct{ at, weight []float64 }

// panelPoints integrates a polynomial of degree 31 without error on each panel.
const panelPoints = 16

func newPanelRule() panelRule {
	r := panelRule{make([]float64, panelPoints), make([]float64, panelPoints)}
	quad.Legendre{}.FixedLocations(r.at, r.weight, -1, 1)
	return r
}
