package tolerance

import (
	"math"

	"collinear.example/align"
)

// Conformity returns the probability that a quantity lies between lower and
// upper when it was measured as value with standard uncertainty sigma, for a
// normal distribution:
//
//	p = F((upper - value)/sigma) - F((lower - value)/sigma)
//
// with F the standard normal distribution function (JCGM 106:2012, 7.3 and 7.4,
// clause numbers from memory). Either bound may be infinite. With sigma zero
// the answer is 1 or 0; a value on a bound conforms.
func Conformity(value, sigma, lower, upper float64) (float64, error) {
	switch {
	case !align.IsFinite(value):
		return 0, inputError("value", "", align.ErrNotFinite)
	case math.IsNaN(lower) || math.IsNaN(upper):
		return 0, inputError("bounds", "", align.ErrNotFinite)
	case lower > upper:
		return 0, inputError("bounds", "", align.ErrMismatch)
	}
	if err := checkSigma("sigma", sigma); err != nil {
		return 0, err
	}
	return between(value, sigma, lower, upper), nil
}

func checkSigma(field string, sigma float64) error {
	if !align.IsFinite(sigma) {
		return inputError(field, "", align.ErrNotFinite)
	}
	if sigma < 0 {
		return inputError(field, align.UnitOne.Format(sigma, 6), align.ErrNegative)
	}
	return nil
}

// between is the probability that a normal quantity lies between two bounds.
func between(mean, sigma, lower, upper float64) float64 {
	if sigma == 0 {
		if lower <= mean && mean <= upper {
			return 1
		}
		return 0
	}
	a, b := (lower-mean)/(sigma*math.Sqrt2), (upper-mean)/(sigma*math.Sqrt2)
	// F(b) - F(a) is taken on the side of the tail that loses no digits.
	switch {
	case a > 0:
		return (math.Erfc(a) - math.Erfc(b)) / 2
	case b < 0:
		return (math.Erfc(-b) - math.Erfc(-a)) / 2
	}
	return (math.Erf(b) - math.Erf(a)) / 2
}

// Normal2 is a point in the plane across the shaft, such as an offset in both
// planes, with a normal uncertainty. All but the correlation are in SI units.
type Normal2 struct {
	Vertical, Horizontal           float64
	SigmaVertical, SigmaHorizontal float64 // standard uncertainties
	Correlation                    float64 // -1 to 1
}

// NormalOf returns the point that offset o with uncertainty s is. The two
// planes are taken as uncorrelated, as they are for readings a quarter turn
// apart.
func NormalOf(o align.Offset, s align.Spread) Normal2 {
	return Normal2{
		Vertical: float64(o.Vertical), Horizontal: float64(o.Horizontal),
		SigmaVertical: float64(s.Vertical), SigmaHorizontal: float64(s.Horizontal),
	}
}

func (n Normal2) resultant() float64 { return math.Hypot(n.Vertical, n.Horizontal) }

func (n Normal2) check() error {
	for _, v := range [...]struct {
		name string
		v    float64
	}{{"vertical", n.Vertical}, {"horizontal", n.Horizontal}, {"correlation", n.Correlation}} {
		if !align.IsFinite(v.v) {
			return inputError(v.name, "", align.ErrNotFinite)
		}
	}
	if err := checkSigma("sigma.vertical", n.SigmaVertical); err != nil {
		return err
	}
	if err := checkSigma("sigma.horizontal", n.SigmaHorizontal); err != nil {
		return err
	}
	if math.Abs(n.Correlation) > 1 {
		return inputError("correlation", align.UnitOne.Format(n.Correlation, 6), align.ErrOutOfRange)
	}
	return nil
}

// principal returns the larger and the smaller principal standard uncertainty
// and the angle of the larger one, from the vertical toward the horizontal.
func (n Normal2) principal() (major, minor, angle float64) {
	scale := max(n.SigmaVertical, n.SigmaHorizontal)
	if scale == 0 {
		return 0, 0, 0
	}
	v, h := n.SigmaVertical/scale, n.SigmaHorizontal/scale
	half, cov := (v*v-h*h)/2, n.Correlation*v*h
	mean, radius := (v*v+h*h)/2, math.Hypot(half, cov)
	angle = math.Atan2(cov, half) / 2
	major = scale * math.Sqrt(mean+radius)
	// det/major^2 loses no digits where mean-radius would
	det := v * h * math.Sqrt(max(0, (1-n.Correlation)*(1+n.Correlation)))
	minor = scale * det / math.Sqrt(mean+radius)
	return major, minor, angle
}

// Within returns the probability that the point lies within a circle of the
// given radius about zero, that is, that the resultant is within a limit. For
// equal uncertainties without correlation it is the distribution function of
// the Rice distribution; in general it is found by integrating, along the axis
// of the larger uncertainty, the density there times the normal probability of
// the chord across it. The answer is good to about nine decimals.
func (n Normal2) Within(radius float64) (float64, error) {
	if err := n.check(); err != nil {
		return 0, err
	}
	if !align.IsFinite(radius) {
		return 0, inputError("radius", "", align.ErrNotFinite)
	}
	if radius < 0 {
		return 0, inputError("radius", align.UnitMillimetre.Format(radius, 4), align.ErrNegative)
	}
	major, minor, angle := n.principal()
	sin, cos := math.Sincos(angle)
	along := cos*n.Vertical + sin*n.Horizontal
	across := cos*n.Horizontal - sin*n.Vertical
	if major == 0 {
		return between(math.Hypot(along, across), 0, 0, radius), nil
	}
	if minor < 1e-9*max(major, radius) { // a line of uncertainty: one chord
		if math.Abs(across) > radius {
			return 0, nil
		}
		half := chord(radius, across)
		return between(along, major, -half, half), nil
	}
	return disc{radius, along, across, major, minor}.probability(), nil
}

// chord returns half the chord of a circle at distance x from its centre.
func chord(radius, x float64) float64 {
	return math.Sqrt(max(0, (radius-x)*(radius+x)))
}
