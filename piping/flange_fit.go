package piping

import (
	"math"
	"slices"

	"collinear.example/align"
	"collinear.example/internal/lsq"
	"gonum.org/v1/gonum/unit"
)

// The warnings of flange surveys.
const (
	// WarnFewPositions is a survey of three clock positions: the tilt is found,
	// and no reading is left to check it. Value is 3, Limit 4.
	WarnFewPositions align.WarningCode = "few-positions"
	// WarnFlangeWarm is a survey with the two sides at different temperatures:
	// the joint will not stand like that cold. Value is the difference.
	WarnFlangeWarm align.WarningCode = "flanges-not-alike-warm"
	// WarnUnbalancedHoles is a rotation from holes on one side, without the
	// centre offset: part of that offset may be in it. Value is how much of it,
	// as an arc for each unit of offset.
	WarnUnbalancedHoles align.WarningCode = "holes-on-one-side"
)

// Gap is the clear distance between the two faces at a clock position.
type Gap struct {
	At  align.Clock
	Gap unit.Length // zero or more; zero where the faces touch
}

// FlangeTemperature is the metal temperature of the two sides during a survey.
type FlangeTemperature struct{ Machine, Pipe unit.Temperature }

// FlangeSurvey is a set of gaps between two flange faces, read with the bolts
// out or loose and nothing pulling the pipe.
type FlangeSurvey struct {
	Gaps         []Gap        // at three clock positions or more, usually four or eight
	Diameter     unit.Length  // of the circle on which the gaps were read
	FlangeOD     unit.Length  // zero: not given
	RaisedFaceOD unit.Length  // zero: not given, or a flat face
	Gasket       *unit.Length // thickness when seated; nil: not given; zero: faces meet
	Sigma        unit.Length  // standard uncertainty of one gap; zero: taken from the scatter
	MaxResidual  unit.Length  // warn above it; zero: 0.1 mm, own choice
	Temperature  *FlangeTemperature
}

// Mirrored returns a survey that was written down by a person who looked from
// the pipe toward the machine, as one seen from the machine.
func (s FlangeSurvey) Mirrored() FlangeSurvey {
	gaps := make([]Gap, len(s.Gaps))
	for i, g := range s.Gaps {
		gaps[i] = Gap{g.At.Mirrored(), g.Gap}
	}
	s.Gaps = gaps
	return s
}

// FaceFit is how the two faces of a survey stand to each other.
type FaceFit struct {
	Mean     unit.Length // gap at the centre of the plane that fits best
	Tilt     Tilt
	Diameter unit.Length // as surveyed

	Worst            unit.Length // the residual of the largest size: gap read less gap fitted
	WorstAt          align.Clock
	RMS              unit.Length // root mean square residual over the degrees of freedom; 0 when there are none
	DegreesOfFreedom int

	Sigma      unit.Length // standard uncertainty of one gap, zero when unknown
	SigmaFrom  align.SigmaSource
	Covariance [3][3]float64 // of mean (m), tilt up and tilt right; zero when Sigma is unknown

	// MaxMinusMin is the widest less the narrowest gap read. It is less than
	// Opening on the same diameter when no position meets the widest gap:
	// at most by the share Understates of the opening.
	MaxMinusMin unit.Length
	Understates float64

	Warnings []align.Warning
}

// Bounds of a survey (own choice).
const (
	maxPositions                          = 360
	leastArc                              = 30.0 // degrees from the first to the last position
	usualMaxResidual     unit.Length      = 0.1e-3
	alikeWarm            align.TempRise   = 20
	samePosition                          = 1e-6 // degrees
	maxFlangeTemperature unit.Temperature = 10000
)

// Solve fits a plane to the gaps by least squares:
//
//	gap(t) = mean + (diameter/2) (up cos t + right sin t)
//
// (geometry of two planes at a small angle; for equally spaced positions these
// are the sums of a Fourier series). The mean of the gaps read is Mean only when
// the positions are spread evenly.
//
// What the plane leaves, Worst and RMS, is a warped or dished face or a bad
// reading; see Warp for four positions. An offset of the flanges or a rotation
// does not show in the gaps.
//
// Errors: align.ErrZeroDiameter, align.ErrTooFewPositions for fewer than three
// different positions, align.ErrArcTooNarrow for less than 30 degrees of arc,
// align.ErrMismatch when the circle is larger than the flange,
// align.ErrNotFinite, align.ErrNegative and align.ErrOutOfRange. Warnings:
// few-positions, align.WarnNarrowArc, align.WarnResidual, align.WarnSize,
// flanges-not-alike-warm.
func (s FlangeSurvey) Solve() (FaceFit, error) {
	if err := s.check(); err != nil {
		return FaceFit{}, err
	}
	var buf [16]spot
	spots := buf[:0]
	for _, g := range s.Gaps {
		up, right := g.At.Unit()
		spots = append(spots, spot{float64(g.At.Normal()), up, right, float64(g.Gap)})
	}
	slices.SortFunc(spots, spot.compare)
	distinct := distinctSpots(spots)
	if distinct < 3 {
		return FaceFit{}, flangeFault("gaps", countOf(distinct, "different positions"), align.ErrTooFewPositions)
	}
	arc := 360 - widestStep(spots)
	if arc < leastArc {
		return FaceFit{}, flangeFault("gaps", align.UnitDegree.Format(arc*math.Pi/180, 1)+" of arc", align.ErrArcTooNarrow)
	}
	f := s.fit(spots)
	f.Understates = 1 - narrowestWidth(spots)/2
	f.warn(s, distinct, arc)
	return f, nil
}

func (s *FlangeSurvey) check() error {
	if n := len(s.Gaps); n > maxPositions {
		return flangeFault("gaps", countOf(n, "positions"), align.ErrOutOfRange)
	}
	if err := checkFlangeDiameter("diameter", s.Diameter); err != nil {
		return err
	}
	if err := checkFlangeSizes(s.FlangeOD, s.RaisedFaceOD); err != nil {
		return err
	}
	if s.FlangeOD > 0 && float64(s.Diameter) > float64(s.FlangeOD)*(1+1e-9) {
		return flangeSays("diameter", align.UnitMillimetre.Format(float64(s.Diameter), 1), align.ErrMismatch, "is larger than the flange")
	}
	if s.Gasket != nil {
		if err := checkFlangeFromZero("gasket", *s.Gasket); err != nil {
			return err
		}
	}
	if err := checkFlangeFromZero("sigma", s.Sigma); err != nil {
		return err
	}
	if err := checkFlangeFromZero("maxResidual", s.MaxResidual); err != nil {
		return err
	}
	for i, g := range s.Gaps {
		if err := checkFlangeClock("at", g.At); err != nil {
			return align.In(err, numbered("gaps", i))
		}
		if err := checkFlangeFromZero("gap", g.Gap); err != nil {
			return align.In(err, numbered("gaps", i))
		}
	}
	return s.Temperature.check()
}

// checkFlangeSizes wants diameters that are zero, not given, or real, the raised
// face no larger than the flange.
func checkFlangeSizes(flange, raised unit.Length) error {
	if err := checkFlangeFromZero("flangeOD", flange); err != nil {
		return err
	}
	if err := checkFlangeFromZero("raisedFaceOD", raised); err != nil {
		return err
	}
	if flange > 0 && raised > flange {
		return flangeSays("raisedFaceOD", align.UnitMillimetre.Format(float64(raised), 1), align.ErrMismatch, "is larger than the flange")
	}
	return nil
}

func (t *FlangeTemperature) check() error {
	if t == nil {
		return nil
	}
	for _, v := range [...]struct {
		name string
		t    unit.Temperature
	}{{"temperature.machine", t.Machine}, {"temperature.pipe", t.Pipe}} {
		switch {
		case !align.IsFinite(v.t):
			return flangeFault(v.name, plainNumber(float64(v.t))+" K", align.ErrNotFinite)
		case v.t == 0:
			return flangeFault(v.name, "0 K", align.ErrMissing)
		case v.t < 0 || v.t > maxFlangeTemperature:
			return flangeFault(v.name, plainNumber(float64(v.t))+" K", align.ErrOutOfRange)
		}
	}
	return nil
}

// fit solves for mean and tilt, the tilt scaled by the radius so that the three
// unknowns are of one size.
func (s *FlangeSurvey) fit(spots []spot) FaceFit {
	r := float64(s.Diameter) / 2
	f := FaceFit{Diameter: s.Diameter, DegreesOfFreedom: len(spots) - 3}
	sys := lsq.New(3)
	lo, hi := spots[0].value, spots[0].value
	for _, p := range spots {
		sys.Add(lsq.Row{1, p.up, p.right}, p.value)
		lo, hi = min(lo, p.value), max(hi, p.value)
	}
	x := sys.Solve()
	f.Mean, f.Tilt, f.MaxMinusMin = unit.Length(x[0]), Tilt{x[1] / r, x[2] / r}, unit.Length(hi-lo)
	sum := 0.0
	for _, p := range spots {
		rest := p.value - x[0] - float64(x[1]*p.up) - float64(x[2]*p.right)
		sum += float64(rest * rest)
		if math.Abs(rest) > math.Abs(float64(f.Worst)) {
			f.Worst, f.WorstAt = unit.Length(rest), align.Clock(p.at)
		}
	}
	if f.DegreesOfFreedom > 0 {
		f.RMS = unit.Length(math.Sqrt(sum / float64(f.DegreesOfFreedom)))
	}
	f.uncertainty(s.Sigma, &sys, r)
	return f
}

func (f *FaceFit) uncertainty(given unit.Length, sys *lsq.System, r float64) {
	switch {
	case given > 0:
		f.Sigma, f.SigmaFrom = given, align.SigmaGiven
	case f.DegreesOfFreedom > 0:
		f.Sigma, f.SigmaFrom = f.RMS, align.SigmaResiduals
	default:
		return
	}
	w := sys.InverseFactor()
	c := sys.Covariance(&w)
	v := float64(f.Sigma) * float64(f.Sigma)
	scale := [3]float64{1, 1 / r, 1 / r}
	for i := range f.Covariance {
		for j := range f.Covariance {
			f.Covariance[i][j] = v * c[i][j] * scale[i] * scale[j]
		}
	}
}

// At returns the gap of the fitted plane at a clock position on the diameter of
// the survey.
func (f FaceFit) At(c align.Clock) unit.Length {
	up, right := c.Unit()
	return f.Mean + f.Diameter/2*unit.Length(float64(f.Tilt.Up*up)+float64(f.Tilt.Right*right))
}

// Residual returns the gap read less the gap of the fitted plane there.
func (f FaceFit) Residual(g Gap) unit.Length { return g.Gap - f.At(g.At) }

// Opening returns the widest less the narrowest gap of the fitted plane on a
// diameter.
func (f FaceFit) Opening(diameter unit.Length) unit.Length { return f.Tilt.Opening(diameter) }

// OpeningSigma returns the standard uncertainty of Opening on a diameter, to
// first order, and whether it is known. Near parallel faces have no direction to
// take it along; there the larger of the two tilts' uncertainties is used.
func (f FaceFit) OpeningSigma(diameter unit.Length) (unit.Length, bool) {
	if f.SigmaFrom == align.SigmaUnknown {
		return 0, false
	}
	v := max(f.Covariance[1][1], f.Covariance[2][2])
	if n := f.Tilt.Size(); n > 0 {
		u, r := f.Tilt.Up/n, f.Tilt.Right/n
		v = float64(u*u)*f.Covariance[1][1] + 2*float64(u*r)*f.Covariance[1][2] + float64(r*r)*f.Covariance[2][2]
	}
	return diameter * unit.Length(math.Sqrt(max(v, 0))), true
}

// Warp returns, for gaps at exactly four positions a quarter apart, how far the
// faces are from planes:
//
//	warp = (g0 + g180 - g90 - g270) / 4
//
// (the one pattern of four gaps that a plane cannot follow). Positive: wide at
// the first position and the one opposite. ok is false for any other set of
// positions.
func (s FlangeSurvey) Warp() (warp unit.Length, ok bool) {
	if len(s.Gaps) != 4 {
		return 0, false
	}
	var sum [2]unit.Length
	var seen [4]bool
	for _, g := range s.Gaps {
		if !align.IsFinite(g.At) || !align.IsFinite(g.Gap) {
			return 0, false
		}
		turn := float64((g.At - s.Gaps[0].At).Normal()) / 90
		k := int(math.Round(turn))
		if math.Abs(turn-float64(k)) > 1e-6 || seen[k%4] {
			return 0, false
		}
		seen[k%4] = true
		sum[k%2] += g.Gap
	}
	return (sum[0] - sum[1]) / 4, true
}

func (f *FaceFit) warn(s FlangeSurvey, distinct int, arc float64) {
	add := func(c align.WarningCode, sev align.Severity, field string, v, limit float64, u align.Unit) {
		f.Warnings = append(f.Warnings, align.Warning{Code: c, Severity: sev, Field: field, Value: v, Limit: limit, Unit: u, Meaning: flangeMeaning(c)})
	}
	if distinct == 3 {
		add(WarnFewPositions, align.Notice, "gaps", 3, 4, align.UnitOne)
	}
	if arc < 180-samePosition {
		add(align.WarnNarrowArc, align.Suspect, "gaps", arc*math.Pi/180, math.Pi, align.UnitDegree)
	}
	limit := s.MaxResidual
	if limit == 0 {
		limit = usualMaxResidual
	}
	if math.Abs(float64(f.Worst)) > float64(limit)*(1+1e-9) {
		add(align.WarnResidual, align.Suspect, "gaps at "+f.WorstAt.String(), float64(f.Worst), float64(limit), align.UnitMillimetre)
	}
	if half := s.Diameter / 2; f.Mean > half {
		add(align.WarnSize, align.Serious, "gaps", float64(f.Mean), float64(half), align.UnitMillimetre)
	}
	if t := s.Temperature; t != nil {
		if d := align.RiseBetween(t.Pipe, t.Machine); d > alikeWarm || d < -alikeWarm {
			add(WarnFlangeWarm, align.Notice, "temperature", float64(d), float64(alikeWarm), align.UnitCelsiusRise)
		}
	}
}

// flangeMeaning says in words what a warning of flange surveys means.
func flangeMeaning(c align.WarningCode) string {
	switch c {
	case WarnFewPositions:
		return "three positions fit any plane, nothing is left to check them"
	case WarnFlangeWarm:
		return "the two sides are not alike warm, the joint will stand otherwise when they are"
	case WarnUnbalancedHoles:
		return "holes on one side alone also show the centre offset"
	}
	return ""
}
