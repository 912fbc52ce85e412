package align

import (
	"math"

	"gonum.org/v1/gonum/unit"
)

// residuals fills in what the position leaves unexplained.
func (m *Measurement) residuals(p *Position, g *gathered, all []sample) {
	out := make([]unit.Length, 0, g.readings)
	rest := all
	for i := range m.Dials {
		d := &m.Dials[i]
		h := d.harmonicOf(p.Axis, m.Spool)
		n := len(d.Sweep.core())
		c := rest[:n]
		rest = rest[n:]
		mean := 0.0
		from := len(out)
		for _, r := range c {
			v := r.value - float64(h.Vertical)*r.up - float64(h.Horizontal)*r.right
			mean += v
			out = append(out, unit.Length(v))
		}
		mean /= float64(len(c))
		for k := range out[from:] {
			out[from+k] -= unit.Length(mean)
		}
	}
	for i := range m.Offsets {
		o := m.Offsets[i].Offset.Sub(p.At(m.Offsets[i].Station))
		out = append(out, o.Vertical, o.Horizontal)
	}
	for i := range m.Slopes {
		k := &m.Slopes[i]
		s := p.Slope()
		out = append(out,
			unit.Length(k.Slope.Vertical-s.Vertical)*k.Over,
			unit.Length(k.Slope.Horizontal-s.Horizontal)*k.Over)
	}
	p.Residuals = out
	p.DoF = g.readings - len(m.Dials) - g.unknowns()
	p.ChiSquare = m.weighted(out)
}

// weighted is the sum of squared residuals, each over its uncertainty.
func (m *Measurement) weighted(res []unit.Length) float64 {
	sum, k := 0.0, 0
	take := func(n int, sigma unit.Length) {
		w := m.weight(sigma)
		for range n {
			e := float64(res[k]) * w
			sum += e * e
			k++
		}
	}
	for i := range m.Dials {
		take(len(m.Dials[i].Sweep.core()), m.Dials[i].Sigma)
	}
	for i := range m.Offsets {
		take(2, m.Offsets[i].Sigma)
	}
	for i := range m.Slopes {
		take(2, m.Slopes[i].Sigma)
	}
	return sum
}

// harmonicOf is the first harmonic a dial shows for a misalignment, sag and
// runout left out.
func (d *Dial) harmonicOf(a Axis, spool Spool) Offset {
	k := d.Gain(spool)
	return Offset{
		Vertical:   unit.Length(k.ByOffset)*a.Vertical.Offset + k.BySlope*unit.Length(a.Vertical.Slope),
		Horizontal: unit.Length(k.ByOffset)*a.Horizontal.Offset + k.BySlope*unit.Length(a.Horizontal.Slope),
	}
}

// finish scales the covariance: by nothing when uncertainties were given (the
// weights hold them), by the variance about the fit when they were not.
func (m *Measurement) finish(p *Position, g *gathered) {
	switch {
	case g.given:
		p.SigmaFrom, p.Sigma = SigmaGiven, m.Sigma
		return
	case p.DoF > 0:
		p.SigmaFrom = SigmaResiduals
		p.Sigma = unit.Length(math.Sqrt(p.ChiSquare / float64(p.DoF)))
	}
	v := float64(p.Sigma) * float64(p.Sigma)
	for i := range p.cov {
		for j := range p.cov[i] {
			p.cov[i][j] *= v
		}
	}
	p.ChiSquare = 0
}

// Spread is the standard uncertainty of an offset in either plane; both parts
// are sizes, never negative.
type Spread struct {
	Vertical   unit.Length
	Horizontal unit.Length
}

// String returns both parts with their unit.
func (s Spread) String() string {
	return "vertical " + UnitMillimetre.Format(float64(s.Vertical), 4) + ", horizontal " + UnitMillimetre.Format(float64(s.Horizontal), 4)
}

// finite reports whether every number of the position is finite: readings of
// absurd size overflow in the squares first.
func (p *Position) finite() bool {
	if !p.Axis.finite() || !IsFinite(p.Sigma) || !IsFinite(p.ChiSquare) || !IsFinite(p.Condition) {
		return false
	}
	largest := 0.0
	for i := range p.cov {
		for j := range p.cov[i] {
			largest = max(largest, math.Abs(p.cov[i][j])) // NaN stays
		}
	}
	lever := 1 + math.Abs(float64(p.centre)) // Covariance(0) is at most this squared times largest
	if !IsFinite(4 * largest * lever * lever) {
		return false
	}
	for _, r := range p.Residuals {
		if !IsFinite(r) {
			return false
		}
	}
	for i := range p.Warnings {
		if !IsFinite(p.Warnings[i].Value) {
			return false
		}
	}
	return true
}

// OffsetSigma returns the standard uncertainty of the offset at station x in
// either plane. It is zero, and means nothing, when SigmaFrom is SigmaUnknown.
func (p *Position) OffsetSigma(x unit.Length) Spread {
	l := float64(x - p.centre)
	at := func(i int) unit.Length { // var(a + b l) = var a + 2 l cov + l^2 var b
		return unit.Length(math.Sqrt(math.Max(0, p.cov[i][i]+l*(2*p.cov[i][i+1]+l*p.cov[i+1][i+1]))))
	}
	return Spread{at(0), at(2)}
}

// SlopeSigma returns the standard uncertainty of the slope in either plane.
func (p *Position) SlopeSigma() Slope {
	return Slope{math.Sqrt(p.cov[1][1]), math.Sqrt(p.cov[3][3])}
}

// Covariance returns the covariance matrix of (vertical offset, vertical slope,
// horizontal offset, horizontal slope) with the offsets taken at station x, in
// SI units. It holds zeros when SigmaFrom is SigmaUnknown.
func (p *Position) Covariance(x unit.Length) [4][4]float64 {
	l := float64(x - p.centre)
	t := [4][4]float64{{1, l, 0, 0}, {0, 1, 0, 0}, {0, 0, 1, l}, {0, 0, 0, 1}}
	var tc, out [4][4]float64
	for i := range t {
		for j := range t {
			for k := range t {
				tc[i][j] += t[i][k] * p.cov[k][j]
			}
		}
	}
	for i := range t {
		for j := range t {
			for k := range t {
				out[i][j] += tc[i][k] * t[j][k]
			}
		}
	}
	return out
}
