package thermal

import (
	"math"

	"collinear.example/align"
	"collinear.example/internal/lsq"
	"gonum.org/v1/gonum/unit"
)

// polish improves the rate by Gauss-Newton steps, which find the last digits
// that a search of the flat bottom of a sum of squares cannot see. A step is
// kept while steps shrink.
func (f *coolFit) polish(k float64) float64 {
	last := math.Inf(1)
	for range 50 {
		level, height := f.linear(k)
		s := lsq.New(3)
		for i, t := range f.t {
			e := math.Exp(-k * t)
			s.Add(lsq.Row{1, e, -height * t * e}, f.v[i]-level-height*e)
		}
		if _, share := s.Weakest(); !(share > lsq.Rank1Tolerance) {
			return k
		}
		step := s.Solve()[2]
		if !(math.Abs(step) < last) || !(k+step > 0) {
			return k
		}
		k += step
		last = math.Abs(step)
		if last <= 1e-15*k {
			return k
		}
	}
	return k
}

// result turns the fit back into seconds and metres.
func (f *coolFit) result(h HotCheck, k float64) (Cooling, error) {
	level, height := f.linear(k)
	tau := f.span / k
	back := math.Exp(f.start / tau) // from the first reading to the stop
	c := Cooling{
		AtStop:           unit.Length(f.zero + f.size*(level+float64(height*back))),
		Final:            unit.Length(f.zero + f.size*level),
		Constant:         unit.Time(tau),
		DegreesOfFreedom: len(f.t) - 3,
	}
	if !(math.Abs(float64(c.AtStop)) <= float64(maxOffset)) || !(math.Abs(float64(c.Final)) <= float64(maxOffset)) {
		return Cooling{}, fault("readings", "the value at the stop or the last one is beyond 10 m", align.ErrUndetermined)
	}
	if c.DegreesOfFreedom > 0 {
		c.RMS = unit.Length(f.size * math.Sqrt(f.sumSquares(k)/float64(c.DegreesOfFreedom)))
	}
	var rateShare float64
	c.Sigma, rateShare = f.sigma(h, c)
	c.Warnings = c.warn(h.Readings, rateShare)
	return c, nil
}

// sigma returns the standard uncertainties by linear propagation,
//
//	covariance = s^2 (J'J)^-1
//
// with J the derivatives of the curve by final value, value at the stop and rate,
// and s the given uncertainty of a reading or else the RMS of the residuals
// (standard result). rateShare is the uncertainty of the rate over the rate.
func (f *coolFit) sigma(h HotCheck, c Cooling) (s *CoolingSigma, rateShare float64) {
	one := float64(h.Sigma)
	if one == 0 {
		if c.DegreesOfFreedom == 0 {
			return nil, 0
		}
		one = float64(c.RMS)
	}
	// Columns: final, height at the first reading, rate, all in scaled units;
	// the value at the stop is final plus height times exp(rate start).
	k := f.span / float64(c.Constant)
	_, height := f.linear(k)
	sys := lsq.New(3)
	for _, t := range f.t {
		e := math.Exp(-k * t)
		sys.Add(lsq.Row{1, e, -height * t * e}, 0)
	}
	if _, share := sys.Weakest(); !(share > lsq.Rank1Tolerance) {
		return nil, math.Inf(1)
	}
	w := sys.InverseFactor()
	cov := sys.Covariance(&w)
	one /= f.size
	begin := f.start / f.span
	back := math.Exp(k * begin)
	g := [3]float64{1, back, height * begin * back} // of the value at the stop
	var stop float64
	for i := range g {
		for j := range g {
			stop += g[i] * cov[i][j] * g[j]
		}
	}
	rate := one * math.Sqrt(cov[2][2])
	s = &CoolingSigma{
		AtStop:   unit.Length(f.size * one * math.Sqrt(max(stop, 0))),
		Final:    unit.Length(f.size * one * math.Sqrt(cov[0][0])),
		Constant: unit.Time(f.span / k * (rate / k)), // tau = span/k
	}
	if !align.IsFinite(s.AtStop) || !align.IsFinite(s.Final) || !align.IsFinite(s.Constant) {
		return nil, math.Inf(1)
	}
	return s, rate / k
}

const (
	lateFirst     = 0.5 // first reading, in time constants: a factor 1.65 back to the stop
	shortRecord   = 1.0 // last reading, in time constants: 63 % of the way
	mostRateShare = 0.5
)

func (c Cooling) warn(rs []CoolReading, rateShare float64) (ws []align.Warning) {
	far := func(field string, value, limit float64) {
		ws = append(ws, align.Warning{Code: align.WarnExtrapolation, Severity: align.Suspect, Field: field,
			Value: value, Limit: limit, Unit: align.UnitMinute})
	}
	tau := float64(c.Constant)
	if t := float64(rs[0].After); t > lateFirst*tau {
		far("readings[0].after", t, lateFirst*tau)
	}
	if t := float64(rs[len(rs)-1].After - rs[0].After); t < shortRecord*tau {
		far("readings", t, shortRecord*tau)
	}
	if rateShare > mostRateShare {
		ws = append(ws, align.Warning{Code: WarnTimeConstant, Meaning: warningMeaning(WarnTimeConstant), Severity: align.Suspect, Field: "readings",
			Value: min(rateShare, 1e6), Limit: mostRateShare, Unit: align.UnitOne})
	}
	return ws
}
