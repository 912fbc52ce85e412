package thermal

import (
	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Strain returns the free thermal strain, growth over length, when the
// material goes from one temperature to another: positive when it grows.
//
//	Constant            strain = a*(T2 - T1)
//	MeanTable           strain = a(T2)*(T2 - Tref) - a(T1)*(T1 - Tref)
//	InstantaneousTable  strain = integral of a from T1 to T2
//	Polynomial          strain = p(T2) - p(T1)
//	Eurocode3Steel      strain = e(T2) - e(T1)
//
// A mean coefficient belongs to its reference temperature: a(T2)*(T2 - T1) is
// wrong unless T1 is the reference (definition of the mean coefficient, ASME
// BPVC II-D, table TE-1). Between entries a table is interpolated along a
// straight line in temperature. Outside it the coefficient of the end is held,
// and so is the slope at the end of a formula; AppendRangeWarning says when.
//
// Errors: those of Check; not-finite, missing (0 K) or out-of-range
// temperatures (below 0 K or above 10000 K).
func (m Material) Strain(from, to unit.Temperature) (float64, error) { return m.strain(from, to) }

func (m *Material) strain(from, to unit.Temperature) (float64, error) {
	if err := m.check(); err != nil {
		return 0, err
	}
	if err := checkTemperature("from", from); err != nil {
		return 0, err
	}
	if err := checkTemperature("to", to); err != nil {
		return 0, err
	}
	return checkedStrain(m.between(from, to))
}

// absurdStrain is more than any coefficient and temperature that pass the
// checks can give; only the terms of a polynomial, which have no bounds, can.
const absurdStrain = 100

// checkedStrain keeps what overflowed inside the library.
func checkedStrain(e float64) (float64, error) {
	if e > -absurdStrain && e < absurdStrain {
		return e, nil
	}
	return 0, fault("terms", plain(e, "of strain"), align.ErrOutOfRange)
}

// strainTo is strain for a caller that has checked the material already.
func (m *Material) strainTo(field string, from, to unit.Temperature) (float64, error) {
	if err := checkTemperature(field, to); err != nil {
		return 0, err
	}
	return checkedStrain(m.between(from, to))
}

// between is the strain of a checked material between checked temperatures.
func (m *Material) between(from, to unit.Temperature) float64 {
	switch m.Kind {
	case Constant:
		return m.Coefficient * float64(to-from) // definition of the coefficient
	case MeanTable:
		return m.fromReference(to) - m.fromReference(from)
	case InstantaneousTable:
		return integral(m.Points, to) - integral(m.Points, from)
	case Polynomial:
		return m.polynomial(to) - m.polynomial(from)
	}
	return eurocode(to) - eurocode(from)
}

// fromReference is the strain from the reference temperature of a mean table:
// a(T)*(T - Tref), definition of the mean coefficient.
func (m *Material) fromReference(t unit.Temperature) float64 {
	return interpolate(m.Points, t) * float64(t-m.Reference)
}

// interpolate reads a table along straight lines and holds its ends.
func interpolate(points []CoefficientPoint, t unit.Temperature) float64 {
	last := len(points) - 1
	switch {
	case t <= points[0].At:
		return points[0].Value
	case t >= points[last].At:
		return points[last].Value
	}
	lo, n := 0, last
	for n > 1 { // the entry sought is one of the n from lo on
		half := n / 2
		if points[lo+half].At <= t {
			lo += half
		}
		n -= half
	}
	p, q := &points[lo], &points[lo+1]
	share := float64(t-p.At) / float64(q.At-p.At)
	return p.Value + share*(q.Value-p.Value)
}

// integral is the area under a table from its first entry to t, by trapezoids,
// which are exact for straight lines between entries.
func integral(points []CoefficientPoint, t unit.Temperature) float64 {
	last := len(points) - 1
	if t <= points[0].At {
		return points[0].Value * float64(t-points[0].At)
	}
	sum := 0.0
	for i := range last {
		p, q := &points[i], &points[i+1]
		if t < q.At {
			return sum + (p.Value+interpolate(points[i:i+2], t))/2*float64(t-p.At)
		}
		sum += (p.Value + q.Value) / 2 * float64(q.At-p.At)
	}
	return sum + points[last].Value*float64(t-points[last].At)
}

// polynomial is the strain at t, with any constant; outside the range it goes
// on along the tangent at the end.
func (m *Material) polynomial(t unit.Temperature) float64 {
	end := min(max(t, m.From), m.To)
	x := float64(end)
	value, slope := 0.0, 0.0
	for i := len(m.Terms) - 1; i >= 0; i-- { // Horner's rule
		slope = slope*x + value
		value = value*x + m.Terms[i]
	}
	if t == end {
		return value
	}
	return value + slope*float64(t-end)
}

// Range of the closed form.
const (
	eurocodeFrom unit.Temperature = 20 + 273.15
	eurocodeTo   unit.Temperature = 1200 + 273.15

	plateauFrom = 750 - float64(sameTemperature) // degC, whatever the conversion rounds
)

// eurocode is the relative elongation of carbon steel, T in degC, from 20 degC
// (EN 1993-1-2, clause 3.4.1.1, equations 3.1a to 3.1c). The plateau stands for
// the change of crystal structure; at 750 degC the printed formulas step down
// by 8.4 millionths, and that step is kept.
func eurocode(t unit.Temperature) float64 {
	x := float64(t) - 273.15
	switch {
	case t < eurocodeFrom:
		return (1.2e-5 + 2*0.4e-8*20) * (x - 20) // tangent at 20 degC
	case x < plateauFrom:
		return 1.2e-5*x + 0.4e-8*x*x - 2.416e-4 // (3.1a)
	case x <= 860:
		return 1.1e-2 // (3.1b)
	}
	return 2e-5*x - 6.2e-3 // (3.1c), and its slope above 1200 degC
}
