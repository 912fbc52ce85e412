package tolerance

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/integrate/quad"
)

// disc is a circle about zero and a normal point in its principal axes.
type disc struct {
	radius        float64
	along, across float64 // the mean
	major, minor  float64 // standard uncertainties along and across
}

const (
	reach       = 9  // standard uncertainties beyond which nothing is left to nine decimals
	perPanel    = 16 // points of Gauss-Legendre in a panel
	widestPanel = 1  // in standard uncertainties
)

// probability integrates density times chord probability along the major axis.
// With x = radius sin(t) the integrand is smooth at the ends of the circle, and
// the panels end where the chord's probability rises or falls.
func (d disc) probability() float64 {
	if d.radius == 0 {
		return 0
	}
	ends := d.ends()
	sum := 0.0
	for i := 1; i < len(ends); i++ {
		if ends[i] > ends[i-1] {
			sum += quad.Fixed(d.density, ends[i-1], ends[i], perPanel, quad.Legendre{}, 0)
		}
	}
	return min(1, max(0, sum))
}

func (d disc) density(t float64) float64 {
	sin, cos := math.Sincos(t)
	z := (d.radius*sin - d.along) / d.major
	half := d.radius * cos
	f := math.Exp(-z*z/2) / (d.major * math.Sqrt(2*math.Pi))
	return f * between(d.across, d.minor, -half, half) * d.radius * cos
}

// ends returns the ends of the panels, as angles t.
func (d disc) ends() []float64 {
	lo, hi := max(-d.radius, d.along-reach*d.major), min(d.radius, d.along+reach*d.major)
	if lo >= hi {
		return nil
	}
	xs := []float64{lo, hi}
	for x := lo; x < hi; { // the density's own panels; radius/64 where it is wide
		x += max(widestPanel*d.major, (hi-lo)/64)
		xs = append(xs, x)
	}
	for k := -reach; k <= reach; k++ { // where the edge of the circle crosses the spread across
		if y := math.Abs(d.across + float64(k)*d.minor); y < d.radius {
			c := chord(d.radius, y)
			xs = append(xs, c, -c)
		}
	}
	sort.Float64s(xs)
	ts := make([]float64, 0, len(xs))
	for _, x := range xs {
		if x >= lo && x <= hi {
			ts = append(ts, math.Asin(max(-1, min(1, x/d.radius))))
		}
	}
	return ts
}
