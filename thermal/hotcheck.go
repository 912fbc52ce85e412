package thermal

import (
	"fmt"
	"math"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// ErrTooFewReadings says that a hot check has fewer than three readings.
const ErrTooFewReadings align.Fault = "too-few-readings"

// WarnTimeConstant says that the readings hardly tell how fast the machine cools:
// the standard uncertainty of the rate is more than half the rate.
const WarnTimeConstant align.WarningCode = "time-constant-uncertain"

// CoolReading is one value read while the machine cools.
type CoolReading struct {
	After unit.Time   // since the stop, zero or more
	Value unit.Length // a dial reading or an offset, always of the same kind
}

// HotCheck is a value read several times after a stop, to find what it was when
// the machine still ran: by the time brackets are on, part of the growth is
// gone. One HotCheck is one value; an alignment needs four, two stations in two
// planes.
type HotCheck struct {
	Readings []CoolReading // three or more, by rising time; four or more for an uncertainty
	Sigma    unit.Length   // standard uncertainty of one reading; zero: taken from the scatter
}

// Cooling is a value that goes from AtStop to Final with one time constant.
type Cooling struct {
	AtStop   unit.Length // the value at the stop
	Final    unit.Length // the value when all is cold
	Constant unit.Time   // time constant tau

	// Standard uncertainties, nil when they cannot be told: three readings and no
	// Sigma given.
	Sigma *CoolingSigma

	DegreesOfFreedom int         // readings less three
	RMS              unit.Length // root mean square of what the curve leaves, over the degrees of freedom; 0 when there are none
	Warnings         []align.Warning
}

// CoolingSigma are standard uncertainties.
type CoolingSigma struct {
	AtStop   unit.Length
	Final    unit.Length
	Constant unit.Time
}

// At returns the value a time after the stop; AtStop for any time before it.
func (c Cooling) At(after unit.Time) unit.Length {
	if !(after > 0) {
		return c.AtStop
	}
	return c.Final + (c.AtStop-c.Final)*unit.Length(math.Exp(-float64(after/c.Constant)))
}

// Limits on the rate searched, in units of the time from first to last reading.
const (
	slowestRate = 1e-3
	fastestRate = 700.0
)

// Solve finds the curve
//
//	v(t) = final + (at stop - final) exp(-t/tau)
//
// (lumped body in a steady surrounding, standard result) by least squares. For a
// given tau the curve is linear in the other two, so only tau is searched: over
// a fixed grid, then by golden section, then by Gauss-Newton steps on all three
// (separable least squares; Golub and Pereyra 1973, from memory). Three readings
// are met exactly where a curve meets them.
//
// ErrUndetermined comes back when the readings lie on a straight line, bend the
// wrong way, do not change at all, or have settled before the second one: no
// time constant follows then. A first reading later than half the time constant,
// and a record shorter than one, give the warning long-extrapolation.
func (h HotCheck) Solve() (Cooling, error) {
	if err := h.check(); err != nil {
		return Cooling{}, err
	}
	f := newCoolFit(h.Readings)
	rate, ok := f.rate()
	if !ok {
		return Cooling{}, fault("readings", "no time constant fits", align.ErrUndetermined)
	}
	return f.result(h, rate)
}

func (h HotCheck) check() error {
	if len(h.Readings) < 3 {
		return fault("readings", fmt.Sprint(len(h.Readings)), ErrTooFewReadings)
	}
	if err := fromZero("sigma", h.Sigma, maxOffset); err != nil {
		return err
	}
	for i, r := range h.Readings {
		if err := checkTime("after", r.After); err != nil {
			return align.In(err, at("readings", i))
		}
		if err := bounded("value", r.Value, maxOffset); err != nil {
			return align.In(err, at("readings", i))
		}
		if i > 0 && r.After-h.Readings[i-1].After < minStep {
			return fault(at("readings", i)+".after", plain(float64(r.After), "s"), ErrNotAscending)
		}
	}
	return nil
}

// minStep is the least time between two readings.
const minStep unit.Time = 1e-3

// coolFit holds the readings scaled to their own span: times from the first
// reading in units of the record's length, values from the last one in units of
// the largest difference from it.
type coolFit struct {
	t, v        []float64
	start, span float64 // of the times, seconds
	zero, size  float64 // of the values, metres
}

func newCoolFit(rs []CoolReading) *coolFit {
	first, last := rs[0], rs[len(rs)-1]
	f := &coolFit{start: float64(first.After), span: float64(last.After - first.After), zero: float64(last.Value)}
	for _, r := range rs {
		f.size = max(f.size, math.Abs(float64(r.Value)-f.zero))
	}
	f.t, f.v = make([]float64, 0, len(rs)), make([]float64, 0, len(rs))
	for _, r := range rs {
		f.t = append(f.t, (float64(r.After)-f.start)/f.span)
		v := 0.0
		if f.size > 0 {
			v = (float64(r.Value) - f.zero) / f.size
		}
		f.v = append(f.v, v)
	}
	return f
}

// rate returns the rate 1/tau in units of 1/span; ok is false when none stands
// out inside the range searched.
func (f *coolFit) rate() (k float64, ok bool) {
	if f.size == 0 {
		return 0, false
	}
	if len(f.t) == 3 {
		return f.rateOfThree()
	}
	return f.searchRate()
}

// rateOfThree solves (v3 - v1)/(v2 - v1) = (1 - e^-k)/(1 - e^-k t2) for k, times
// counted from the first reading to the last as 0 to 1. The right side falls
// from 1/t2 (a straight line) to 1 (settled at once) as k grows.
func (f *coolFit) rateOfThree() (k float64, ok bool) {
	a, b := f.v[1]-f.v[0], f.v[2]-f.v[0]
	excess := func(k float64) float64 { // times a, no division by a small change
		return b*math.Expm1(-k*f.t[1]) - a*math.Expm1(-k)
	}
	lo, hi := slowestRate, fastestRate
	atLo, atHi := excess(lo), excess(hi)
	if atLo == 0 || atHi == 0 || (atLo > 0) == (atHi > 0) {
		return 0, false
	}
	for range 200 {
		mid := math.Sqrt(lo * hi)
		if mid <= lo || mid >= hi {
			break
		}
		if (excess(mid) > 0) == (atLo > 0) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return math.Sqrt(lo * hi), true
}

const gridSteps = 280

// searchRate returns the rate of least squares: the best of a grid, narrowed by
// golden section. A best rate at either end of the grid is none.
func (f *coolFit) searchRate() (k float64, ok bool) {
	step := math.Log(fastestRate/slowestRate) / gridSteps
	at := func(i float64) float64 { return slowestRate * math.Exp(step*i) }
	best, least := 0, math.Inf(1)
	for i := range gridSteps + 1 {
		if s := f.sumSquares(at(float64(i))); s < least {
			best, least = i, s
		}
	}
	if best == 0 || best == gridSteps || f.sumSquares(at(gridSteps)) <= least*(1+1e-9)+1e-28 {
		return 0, false
	}
	lo, hi := float64(best-1), float64(best+1)
	const golden = 0.6180339887498949
	for range 60 {
		a, b := hi-golden*(hi-lo), lo+golden*(hi-lo)
		if f.sumSquares(at(a)) <= f.sumSquares(at(b)) {
			hi = b
		} else {
			lo = a
		}
	}
	return f.polish(at((lo + hi) / 2)), true
}

// linear returns the best level and height of v = level + height e^-kt.
func (f *coolFit) linear(k float64) (level, height float64) {
	var me, mv float64
	n := float64(len(f.t))
	for i, t := range f.t {
		me += math.Exp(-k * t)
		mv += f.v[i]
	}
	me, mv = me/n, mv/n
	var see, sev float64
	for i, t := range f.t {
		d := math.Exp(-k*t) - me
		see += float64(d * d)
		sev += float64(d * (f.v[i] - mv))
	}
	height = sev / see
	return mv - float64(height*me), height
}

func (f *coolFit) sumSquares(k float64) (s float64) {
	level, height := f.linear(k)
	for i, t := range f.t {
		d := f.v[i] - level - float64(height*math.Exp(-k*t))
		s += float64(d * d)
	}
	return s
}
