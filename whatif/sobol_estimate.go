package whatif

import (
	"math"

	"collinear.example/align"
)

// indices works out the estimators from the figures drawn.
func (d *draws[J, R]) indices() ([]ColumnIndices, error) {
	all := d.study.headings()
	found := make([]ColumnIndices, len(d.columns))
	for k, c := range d.columns {
		found[k] = d.column(k)
		found[k].Heading = all[c]
		if !printable(all[c].Unit, found[k].Mean) || !printable(differenceUnit(all[c].Unit), found[k].Sigma) {
			return nil, fault("column "+all[c].Name, "", align.ErrNotFinite)
		}
	}
	return found, nil
}

// column works out one column. Figures are taken less their mean and over their
// largest size, so that no square overflows or vanishes.
func (d *draws[J, R]) column(k int) ColumnIndices {
	c := ColumnIndices{}
	shift, scale := d.size(k)
	c.Mean = shift
	if scale == 0 {
		c.Constant = true
		return c
	}
	at := func(n, m int) float64 {
		return (d.figures[(n*(len(d.sources)+2)+m)*len(d.columns)+k] - shift) / scale
	}
	// V = mean of f^2 over A and B, f being less its mean.
	v := 0.0
	for n := range d.samples {
		v += (at(n, 0)*at(n, 0) + at(n, 1)*at(n, 1)) / 2
	}
	v /= float64(d.samples)
	c.Sigma = scale * math.Sqrt(v)
	for i := range d.sources {
		x := Index{Source: d.sources[i].Name}
		// S_i = mean(f(B) (f(AB_i) - f(A)))/V (Saltelli and others 2010, from memory).
		x.First, x.FirstError = ratio(d.samples, func(n int) (float64, float64) {
			a, b := at(n, 0), at(n, 1)
			return b * (at(n, 2+i) - a), (a*a + b*b) / 2
		})
		// T_i = mean((f(A) - f(AB_i))^2)/(2 V) (Jansen 1999, from memory).
		x.Total, x.TotalError = ratio(d.samples, func(n int) (float64, float64) {
			a, b := at(n, 0), at(n, 1)
			return (a - at(n, 2+i)) * (a - at(n, 2+i)) / 2, (a*a + b*b) / 2
		})
		c.Indices = append(c.Indices, x)
	}
	return c
}

// size returns the mean of column k over A and B and the largest distance from
// it, 0 when every figure is the same.
func (d *draws[J, R]) size(k int) (mean, largest float64) {
	width := (len(d.sources) + 2) * len(d.columns)
	low, high := d.figures[k], d.figures[k]
	count := 0.0
	for n := range d.samples {
		for _, f := range [2]float64{d.figures[n*width+k], d.figures[n*width+len(d.columns)+k]} {
			low, high = min(low, f), max(high, f)
			count++
			mean += (f - mean) / count
		}
	}
	if low == high {
		return low, 0
	}
	return mean, max(high-mean, mean-low)
}

// ratio returns mean(g)/mean(v) over n terms and its standard error, that of the
// mean of (g - ratio v)/mean(v) (delta method, standard result).
func ratio(n int, term func(int) (g, v float64)) (r, standardError float64) {
	sumG, sumV := 0.0, 0.0
	for i := range n {
		g, v := term(i)
		sumG, sumV = sumG+g, sumV+v
	}
	r = sumG / sumV
	squares := 0.0
	for i := range n {
		g, v := term(i)
		squares += (g - r*v) * (g - r*v)
	}
	count := float64(n)
	return r, math.Sqrt(squares/(count-1)*count) / sumV
}
