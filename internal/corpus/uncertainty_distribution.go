package corpus

import (
	"slices"
	"strconv"

	"collinear.example/align"
	"collinear.example/uncertainty"
)

// uncertaintyDistributionComputations are about single distributions, samples and
// proportions.
func uncertaintyDistributionComputations() map[string]Computation {
	return map[string]Computation{
		"uncertainty.distribution":        computation(distributionOf),
		"uncertainty.coverage-factor":     computation(coverageFactor),
		"uncertainty.coverage-interval":   computation(coverageInterval),
		"uncertainty.proportion":          computation(proportion),
		"uncertainty.numerical-tolerance": computation(numericalTolerance),
	}
}

// distributionInput is a distribution by its kind and the sizes that kind needs;
// no other size may be given.
type distributionInput struct {
	Kind     Kind       `json:"kind"`             // normal, rectangular, triangular, trapezoidal, arc-sine, t, resolution, repeats
	Sigma    *Quantity  `json:"sigma"`            // normal; t: the scale
	Half     *Quantity  `json:"half"`             // half-width of the bounded ones
	Flat     *Quantity  `json:"flat"`             // half-width of a trapezoid's top
	Division *Quantity  `json:"division"`         // resolution
	DoF      *float64   `json:"degreesOfFreedom"` // t; normal and rectangular may have them
	Values   []Quantity `json:"values,omitempty"` // repeats
}

// numbers are the sizes of a distribution in the unit of the field it varies.
type numbers struct {
	sigma, half, flat, division, dof float64
	values                           []float64
}

// shapes says which sizes each kind has.
var shapes = map[Kind]struct {
	needs, may string
	of         func(numbers) uncertainty.Distribution[float64]
}{
	"normal":      {"s", "d", func(n numbers) uncertainty.Distribution[float64] { return uncertainty.NormalWith(n.sigma, n.dof) }},
	"rectangular": {"h", "d", func(n numbers) uncertainty.Distribution[float64] { return uncertainty.RectangularWith(n.half, n.dof) }},
	"triangular":  {"h", "", func(n numbers) uncertainty.Distribution[float64] { return uncertainty.Triangular(n.half) }},
	"trapezoidal": {"hf", "", func(n numbers) uncertainty.Distribution[float64] { return uncertainty.Trapezoidal(n.flat, n.half) }},
	"arc-sine":    {"h", "", func(n numbers) uncertainty.Distribution[float64] { return uncertainty.ArcSine(n.half) }},
	"t":           {"sd", "", func(n numbers) uncertainty.Distribution[float64] { return uncertainty.Student(n.sigma, n.dof) }},
	"resolution":  {"v", "", func(n numbers) uncertainty.Distribution[float64] { return uncertainty.Resolution(n.division) }},
	"repeats":     {"r", "", nil},
}

// parse returns the distribution, its sizes multiplied by scale; mean is that of
// repeats, else zero.
func (d *distributionInput) parse(path string, dim align.Dimension, scale float64) (out uncertainty.Distribution[float64], mean float64, err error) {
	if dim == align.TemperatureDim { // how far a temperature is off is a difference
		return out, 0, fault(path, "a temperature on a scale", align.ErrWrongUnit)
	}
	shape, ok := shapes[d.Kind]
	if !ok {
		return out, 0, fault(path+".kind", string(d.Kind), align.ErrUnknownKind)
	}
	n, err := d.numbers(path, dim, scale, shape.needs, shape.may)
	if err != nil {
		return out, 0, err
	}
	if shape.of == nil {
		mean, out, err = uncertainty.Repeats(n.values...)
		return out, mean, align.In(err, path)
	}
	out = shape.of(n)
	return out, 0, align.In(out.Check(), path)
}

// numbers reads the sizes: one of needs that is absent is missing, one that is in
// neither list is a mismatch.
func (d *distributionInput) numbers(path string, dim align.Dimension, scale float64, needs, may string) (n numbers, err error) {
	for _, f := range []struct {
		letter, name string
		q            *Quantity
		to           *float64
	}{
		{"s", "sigma", d.Sigma, &n.sigma}, {"h", "half", d.Half, &n.half},
		{"f", "flat", d.Flat, &n.flat}, {"v", "division", d.Division, &n.division},
	} {
		if err := wanted(path+"."+f.name, f.letter, needs, may, f.q != nil); err != nil {
			return n, err
		}
		if f.q == nil {
			continue
		}
		if err := f.q.of(path+"."+f.name, dim); err != nil {
			return n, err
		}
		*f.to = f.q.SI * scale
	}
	if err := wanted(path+".degreesOfFreedom", "d", needs, may, d.DoF != nil); err != nil {
		return n, err
	}
	if d.DoF != nil {
		n.dof = *d.DoF
		if n.dof == 0 { // the library's zero stands for infinitely many
			return n, fault(path+".degreesOfFreedom", "0", align.ErrOutOfRange)
		}
	}
	if err := wanted(path+".values", "r", needs, may, d.Values != nil); err != nil {
		return n, err
	}
	for i := range d.Values {
		if err := d.Values[i].of(indexed(path+".values", i), dim); err != nil {
			return n, err
		}
		n.values = append(n.values, d.Values[i].SI*scale)
	}
	return n, nil
}

// wanted refuses a size that is needed and absent, or given and not of the kind.
func wanted(path, letter, needs, may string, given bool) error {
	switch {
	case given == (letter == needs || len(needs) == 2 && (letter == needs[:1] || letter == needs[1:])):
		return nil
	case !given:
		return fault(path, "", align.ErrMissing)
	case letter == may:
		return nil
	}
	return fault(path, "not a size of this kind", align.ErrMismatch)
}

// of wants a unit of that dimension; any when dim is NoDimension.
func (q *Quantity) of(path string, dim align.Dimension) error {
	if dim == align.NoDimension || q.Unit.Dimension() == dim {
		return nil
	}
	_, err := align.ParseUnitOf(string(q.Unit), dim)
	return align.In(err, path)
}

// dimension is that of the first size given.
func (d *distributionInput) dimension() align.Dimension {
	for _, q := range []*Quantity{d.Sigma, d.Half, d.Division} {
		if q != nil {
			return q.Unit.Dimension()
		}
	}
	if len(d.Values) > 0 {
		return d.Values[0].Unit.Dimension()
	}
	return align.NoDimension
}

type distributionQuestion struct {
	Distribution  distributionInput `json:"distribution"`
	Probabilities []Ratio           `json:"probabilities,omitempty"`
}

func distributionOf(in distributionQuestion) (r Result, err error) {
	dim := in.Distribution.dimension()
	d, mean, err := in.Distribution.parse("input.distribution", dim, 1)
	if err != nil {
		return r, err
	}
	r.Number("sigma", d.Sigma(), dim)
	if dof, ok := d.DoF(); ok {
		r.Ratio("degrees-of-freedom", dof)
	}
	if d.Shape() == uncertainty.StudentShape && in.Distribution.Values != nil {
		r.Number("mean", mean, dim)
	}
	for i, p := range in.Probabilities {
		q, err := d.Quantile(float64(p))
		if err != nil {
			return r, align.In(err, indexed("input.probabilities", i))
		}
		r.Number("quantile."+strconv.Itoa(i), q, dim)
	}
	return r, nil
}

type coverageFactorInput struct {
	Probabilities []Ratio  `json:"probabilities"`
	DoF           *float64 `json:"degreesOfFreedom"` // absent: the uncertainty is certain
}

func coverageFactor(in coverageFactorInput) (r Result, err error) {
	e := uncertainty.Estimate{Output: uncertainty.Output{Name: "y", Unit: align.UnitOne}, Sigma: 1}
	if in.DoF != nil {
		if !align.IsFinite(*in.DoF) {
			return r, fault("input.degreesOfFreedom", "", align.ErrNotFinite)
		}
		e.DoF, e.DoFKnown = *in.DoF, true
	}
	if len(in.Probabilities) == 0 {
		return r, fault("input.probabilities", "", align.ErrMissing)
	}
	for i, p := range in.Probabilities {
		x, err := e.Expanded(float64(p))
		if err != nil {
			return r, align.In(err, indexed("input.probabilities", i))
		}
		r.Ratio("factor."+strconv.Itoa(i), x.Factor)
	}
	return r, nil
}

type intervalInput struct {
	Unit          UnitName  `json:"unit"`
	Values        []float64 `json:"values"`
	Probability   Ratio     `json:"probability"`
	Probabilities []Ratio   `json:"probabilities,omitempty"` // of quantiles
}

func coverageInterval(in intervalInput) (r Result, err error) {
	u := align.Unit(in.Unit)
	if len(in.Values) == 0 {
		return r, fault("input.values", "", align.ErrMissing)
	}
	d := uncertainty.Distributed{Output: uncertainty.Output{Name: "y", Unit: u}}
	for i, v := range in.Values {
		if !align.IsFinite(v) {
			return r, fault(indexed("input.values", i), "", align.ErrNotFinite)
		}
		d.Sorted = append(d.Sorted, u.SI(v))
	}
	slices.Sort(d.Sorted)
	if err := intervals(&r, "", d, float64(in.Probability)); err != nil {
		return r, err
	}
	for i, p := range in.Probabilities {
		q, err := d.Quantile(float64(p))
		if err != nil {
			return r, align.In(err, indexed("input.probabilities", i))
		}
		r.Number("quantile."+strconv.Itoa(i), q, u.Dimension())
	}
	return r, nil
}

// intervals adds the two coverage intervals of a sample.
func intervals(r *Result, prefix string, d uncertainty.Distributed, p float64) error {
	s, err := d.Symmetric(p)
	if err != nil {
		return err
	}
	t, err := d.Shortest(p)
	if err != nil {
		return err
	}
	dim := d.Unit.Dimension()
	r.Number(prefix+"symmetric.low", s.Low, dim)
	r.Number(prefix+"symmetric.high", s.High, dim)
	r.Number(prefix+"shortest.low", t.Low, dim)
	r.Number(prefix+"shortest.high", t.High, dim)
	return nil
}

type proportionInput struct {
	Count      int   `json:"count"`
	Trials     int   `json:"trials"`
	Confidence Ratio `json:"confidence"`
}

func proportion(in proportionInput) (r Result, err error) {
	p := uncertainty.Proportion{Count: in.Count, Trials: in.Trials}
	low, high, err := p.Interval(float64(in.Confidence))
	if err != nil {
		return r, err
	}
	r.Ratio("share", p.Share())
	r.Ratio("low", low)
	r.Ratio("high", high)
	return r, nil
}

type numericalToleranceInput struct {
	Sigma  float64 `json:"sigma"` // in any unit; the tolerance is in the same
	Digits int     `json:"digits"`
}

func numericalTolerance(in numericalToleranceInput) (r Result, err error) {
	t, err := uncertainty.NumericalTolerance(in.Sigma, in.Digits)
	if err != nil {
		return r, err
	}
	r.Ratio("tolerance", t)
	return r, nil
}
