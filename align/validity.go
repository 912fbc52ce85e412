package align

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/unit"
)

// Checks holds the limits of the validity checks. A limit of zero takes the
// default. The defaults are common practice, no source, and are there to be
// changed.
type Checks struct {
	Closure       unit.Length // largest closing difference; default 0.01 mm
	SumRule       unit.Length // largest departure from the expected sum; default 0.05 mm
	Residual      unit.Length // largest residual of one reading; default 0.05 mm
	Arc           float64     // magnification of errors by a short arc; default 2
	ArcRefused    float64     // magnification over which the arc is refused; default 10
	Extrapolation float64     // distance outside the measured span, in spans; default 4
	Sag           unit.Length // largest roll-over sag of a rim bracket; default 1 mm
	Size          unit.Length // largest believable offset at a dial; default 5 mm
	Slope         float64     // largest believable slope; default 0.02
}

// DefaultChecks returns the limits used where Checks holds zero (common
// practice, no source).
func DefaultChecks() Checks {
	return Checks{
		Closure: 0.01 * Millimetre, SumRule: 0.05 * Millimetre, Residual: 0.05 * Millimetre,
		Arc: 2, ArcRefused: defaultArcRefused, Extrapolation: 4,
		Sag: 1 * Millimetre, Size: 5 * Millimetre, Slope: 0.02,
	}
}

// filled returns c with zeros replaced by the defaults.
func (c Checks) filled() Checks {
	d := DefaultChecks()
	or := func(v, def unit.Length) unit.Length {
		if v > 0 {
			return v
		}
		return def
	}
	orF := func(v, def float64) float64 { return float64(or(unit.Length(v), unit.Length(def))) }
	return Checks{
		Closure: or(c.Closure, d.Closure), SumRule: or(c.SumRule, d.SumRule), Residual: or(c.Residual, d.Residual),
		Arc: orF(c.Arc, d.Arc), ArcRefused: orF(c.ArcRefused, d.ArcRefused),
		Extrapolation: orF(c.Extrapolation, d.Extrapolation),
		Sag:           or(c.Sag, d.Sag), Size: or(c.Size, d.Size), Slope: orF(c.Slope, d.Slope),
	}
}

// noteArc remembers the dial whose clock positions magnify errors most, and
// returns ErrArcTooNarrow when that is past the limit.
func (m *Measurement) noteArc(g *gathered, i int, mo moments) error {
	v, h := mo.magnification()
	worst := math.Max(v, h)
	if worst > g.arc {
		g.arc, g.arcDial = worst, i
	}
	if err := m.Checks.refuseArc(worst); err != nil {
		return In(err, fieldName("dials", i, m.Dials[i].Name))
	}
	return nil
}

// refuseArc returns ErrArcTooNarrow when errors are magnified past the limit.
func (c *Checks) refuseArc(magnified float64) error {
	limit := c.ArcRefused
	if !(limit > 0) {
		limit = defaultArcRefused
	}
	if magnified <= limit {
		return nil
	}
	return &InputError{
		Field: "sweep",
		Got:   fmt.Sprintf("errors magnified %.1f times, limit %g", magnified, limit),
		Err:   ErrArcTooNarrow,
	}
}

// defaultArcRefused is the default of Checks.ArcRefused.
const defaultArcRefused = 10

// magnification is the arc factor of both planes; see Fit.ArcVertical.
func (m moments) magnification() (vertical, horizontal float64) {
	det := m.cc*m.ss - m.cs*m.cs
	return math.Sqrt(m.ss / det * m.n / 2), math.Sqrt(m.cc / det * m.n / 2)
}

// validate adds the warnings of the protective checks.
func (m *Measurement) validate(p *Position, g *gathered) {
	limits := m.Checks.filled()
	k := 0
	for i := range m.Dials {
		n := len(m.Dials[i].Sweep.core())
		m.checkDial(p, limits, i, p.Residuals[k:k+n])
		k += n
	}
	for _, r := range p.Residuals[k:] {
		if over(r, limits.Residual) {
			p.warn(WarnResidual, Suspect, "known offsets and slopes", r, limits.Residual)
			break
		}
	}
	if g.arc > limits.Arc {
		field := fieldName("dials", g.arcDial, m.Dials[g.arcDial].Name)
		p.Warnings = append(p.Warnings, Warning{Code: WarnNarrowArc, Severity: Suspect, Field: field, Value: g.arc, Limit: limits.Arc, Unit: UnitOne})
	}
	if p.VerticalKnown != p.HorizontalKnown {
		p.Warnings = append(p.Warnings, Warning{Code: WarnOnePlane, Severity: Notice})
	}
	m.checkOrder(p)
	if s := p.Slope().Resultant(); s > limits.Slope {
		p.Warnings = append(p.Warnings, Warning{Code: WarnSize, Severity: Serious, Field: "slope", Value: s, Limit: limits.Slope, Unit: UnitMillimetrePerMetre})
	}
}

// over reports whether a size is beyond its limit. What equals the limit passes,
// although the conversion of units rounds both.
func over(v, limit unit.Length) bool { return math.Abs(float64(v)) > float64(limit)*(1+1e-9) }

func (p *Position) warn(c WarningCode, s Severity, field string, v, limit unit.Length) {
	p.Warnings = append(p.Warnings, Warning{Code: c, Severity: s, Field: field, Value: float64(v), Limit: float64(limit), Unit: UnitMillimetre})
}

func (m *Measurement) checkDial(p *Position, limits Checks, i int, residuals []unit.Length) {
	d := &m.Dials[i]
	name := func() string { return fieldName("dials", i, d.Name) }
	if c, ok := d.Sweep.Closure(); ok && over(c, limits.Closure) {
		p.warn(WarnClosure, Suspect, name(), c, limits.Closure)
	}
	if sum, ok := d.Sweep.SumRule(); ok {
		off := sum - d.ExpectedSumRule(p.Axis)
		if over(off, limits.SumRule) {
			p.warn(WarnSumRule, Suspect, name(), off, limits.SumRule)
		}
	}
	for _, r := range residuals {
		if over(r, limits.Residual) {
			p.warn(WarnResidual, Suspect, name(), r, limits.Residual)
			break
		}
	}
	m.checkSag(p, limits, d, name)
	if h := d.harmonicOf(p.Axis, m.Spool).Resultant(); h > limits.Size {
		p.warn(WarnSize, Serious, name(), h, limits.Size)
	}
	if d.Runout != nil && d.Turning == BothShafts {
		p.Warnings = append(p.Warnings, Warning{Code: WarnRunoutLeft, Severity: Notice, Field: name()})
	}
}

func (m *Measurement) checkSag(p *Position, limits Checks, d *Dial, name func() string) {
	s, measured := d.Sag.RollOver()
	switch {
	case !measured:
		p.Warnings = append(p.Warnings, Warning{Code: WarnSagNotMeasured, Severity: Notice, Field: name()})
	case d.Surface == Rim && s > 0:
		p.warn(WarnSagPositive, Serious, name(), s, 0)
	case over(s, limits.Sag):
		p.warn(WarnSagSize, Suspect, name(), s, limits.Sag)
	}
}

// checkOrder warns when a bracket on the near shaft touches the far one nearer
// than a bracket on the far shaft touches the near one: the stations have
// probably been exchanged.
func (m *Measurement) checkOrder(p *Position) {
	for i := range m.Dials {
		a := &m.Dials[i]
		if a.Reach != ShaftToShaft || a.Surface != Rim || a.Bracket != Near {
			continue
		}
		for j := range m.Dials {
			b := &m.Dials[j]
			if b.Reach != ShaftToShaft || b.Surface != Rim || b.Bracket != Far {
				continue
			}
			if b.Station > a.Station {
				p.warn(WarnGeometryOrder, Suspect, fieldName("dials", i, a.Name), a.Station, b.Station)
				return
			}
		}
	}
}

// ExpectedSumRule returns what top plus bottom less left and right should be
// for a rim dial when the shafts stand at the misalignment a. It is of second
// order, because the stem rides on a curved surface:
//
//	((ev + d)^2 - eh^2)/r + r (sv^2 - sh^2)
//
// with e the offset of the touched centre from the carrying one at the dial, s
// the slope, d the droop of the bracket and r the radius of the touched
// surface. It is zero for a face dial, and where the diameter is not given.
// (Derived here from the exact rim reading; Predict is the check.)
func (d *Dial) ExpectedSumRule(a Axis) unit.Length {
	if d.Surface != Rim || !(d.Diameter > 0) || d.Reach != ShaftToShaft {
		return 0
	}
	e := a.At(d.Station)
	if d.Bracket == Far {
		e = e.Neg()
	}
	if d.Turning == BracketShaft && d.Runout != nil {
		e = e.Add(*d.Runout)
	}
	r := float64(d.Diameter) / 2
	ev, eh := float64(e.Vertical+d.Sag.Droop()), float64(e.Horizontal)
	sv, sh := a.Vertical.Slope, a.Horizontal.Slope
	return unit.Length((ev*ev-eh*eh)/r + r*(sv*sv-sh*sh))
}

// CheckExtrapolation returns a warning when station x lies farther outside the
// measured span from lo to hi than the given number of spans (zero takes the
// default). Errors of the slope grow with that distance.
func CheckExtrapolation(x, lo, hi unit.Length, spans float64) []Warning {
	if !(spans > 0) {
		spans = DefaultChecks().Extrapolation
	}
	span := float64(hi - lo)
	out := math.Max(float64(x-hi), float64(lo-x))
	if !(span > 0) || out <= spans*span {
		return nil
	}
	return []Warning{{Code: WarnExtrapolation, Severity: Notice, Field: "foot", Value: out / span, Limit: spans, Unit: UnitOne}}
}

// CheckRepeatability returns a warning when the repeatability that Mean found
// is over the limit.
func CheckRepeatability(repeatability, limit unit.Length) []Warning {
	if !over(repeatability, limit) {
		return nil
	}
	return []Warning{{Code: WarnRepeatability, Severity: Suspect, Field: "sweeps", Value: float64(repeatability), Limit: float64(limit), Unit: UnitMillimetre}}
}
