package corpus

import (
	"strconv"

	"collinear.example/align"
	"collinear.example/uncertainty"
)

// uncertaintyTableComputations are about sums of contributions whose
// sensitivities are given: a budget on paper.
func uncertaintyTableComputations() map[string]Computation {
	return map[string]Computation{
		"uncertainty.combine":      computation(combineTable),
		"uncertainty.needed":       computation(neededOf),
		"uncertainty.repeat-first": computation(repeatFirst),
	}
}

// tableInput is y = sum of sensitivity times (value + deviation).
type tableInput struct {
	Unit          UnitName           `json:"unit"` // of y
	Contributions []tableEntryInput  `json:"contributions"`
	Correlations  []correlationInput `json:"correlations,omitempty"`
}

type tableEntryInput struct {
	Name         string            `json:"name"`
	Group        string            `json:"group,omitempty"`
	Random       bool              `json:"random,omitempty"` // averaged out by repeats
	Value        *Quantity         `json:"value"`            // zero, or the mean of repeats, when absent
	Distribution distributionInput `json:"distribution"`
	Sensitivity  *float64          `json:"sensitivity"` // SI unit of y per SI unit of the contribution; 1 when absent
}

type correlationInput struct {
	First       string `json:"first"`
	Second      string `json:"second"`
	Coefficient Ratio  `json:"coefficient"`
}

func correlationsOf(in []correlationInput) (out []uncertainty.Correlation) {
	for _, c := range in {
		out = append(out, uncertainty.Correlation{First: c.First, Second: c.Second, Coefficient: float64(c.Coefficient)})
	}
	return out
}

// table is the job of a tableInput.
type table struct{ x []float64 }

func copyTable(dst, src *table) { dst.x = append(dst.x[:0], src.x...) }

func (in *tableInput) model() (*uncertainty.Model[table], error) {
	c := make([]float64, len(in.Contributions))
	m := &uncertainty.Model[table]{
		Copy:         copyTable,
		Correlations: correlationsOf(in.Correlations),
		Outputs:      []uncertainty.Output{{Name: "y", Unit: align.Unit(in.Unit)}},
		Compute: func(t *table, out []float64) error {
			out[0] = 0
			for i, x := range t.x {
				out[0] += c[i] * x
			}
			return nil
		},
	}
	for i := range in.Contributions {
		a := &in.Contributions[i]
		path := indexed("input.contributions", i)
		c[i] = 1
		if a.Sensitivity != nil {
			c[i] = *a.Sensitivity
		}
		d, mean, err := a.Distribution.parse(path+".distribution", a.Distribution.dimension(), 1)
		if err != nil {
			return nil, err
		}
		if a.Value != nil {
			mean = a.Value.SI
		}
		m.Job.x = append(m.Job.x, mean)
		s := uncertainty.Vary(a.Name, d, func(t *table) *float64 { return &t.x[i] })
		if a.Random {
			s = s.AsRandom()
		}
		m.Sources = append(m.Sources, s.In(a.Group))
	}
	return m, nil
}

// estimate works the table out.
func (in *tableInput) estimate() (uncertainty.Estimate, []align.Warning, error) {
	m, err := in.model()
	if err != nil {
		return uncertainty.Estimate{}, nil, err
	}
	l, err := m.Linear()
	if err != nil {
		return uncertainty.Estimate{}, nil, err
	}
	return l.Estimates[0], l.Warnings, nil
}

type combineInput struct {
	Unit          UnitName           `json:"unit"`
	Contributions []tableEntryInput  `json:"contributions"`
	Correlations  []correlationInput `json:"correlations,omitempty"`
	Probability   *Ratio             `json:"probability"`
}

func combineTable(in combineInput) (r Result, err error) {
	t := tableInput{in.Unit, in.Contributions, in.Correlations}
	e, ws, err := t.estimate()
	if err != nil {
		return r, err
	}
	if err := estimate(&r, "", e, in.Probability); err != nil {
		return r, err
	}
	dim := differenceDim(e.Unit.Dimension())
	for i, p := range e.Parts {
		r.Ratio("share."+strconv.Itoa(i), p.Share)
		r.Number("effect."+strconv.Itoa(i), p.Effect, dim)
	}
	for i, l := range e.Budget() {
		line := "budget." + strconv.Itoa(i)
		r.Text(line+".group", l.Group)
		r.Ratio(line+".sources", float64(l.Sources))
		r.Ratio(line+".share", l.Share)
		r.Number(line+".sigma", l.Sigma, dim)
	}
	r.Warn(ws...)
	return r, nil
}

// estimate adds value, sigma and degrees-of-freedom, and with a probability
// factor, half, low and high.
func estimate(r *Result, prefix string, e uncertainty.Estimate, p *Ratio) error {
	dim := e.Unit.Dimension()
	r.Number(prefix+"value", e.Value, dim)
	r.Number(prefix+"sigma", e.Sigma, differenceDim(dim))
	if e.DoFKnown {
		r.Ratio(prefix+"degrees-of-freedom", e.DoF)
	}
	if p == nil {
		return nil
	}
	x, err := e.Expanded(float64(*p))
	if err != nil {
		return err
	}
	r.Ratio(prefix+"factor", x.Factor)
	r.Number(prefix+"half", x.Half, differenceDim(dim))
	r.Number(prefix+"low", x.Low(), dim)
	r.Number(prefix+"high", x.High(), dim)
	return nil
}

// differenceDim is the dimension of a difference of two values.
func differenceDim(d align.Dimension) align.Dimension {
	if d == align.TemperatureDim {
		return align.RiseDim
	}
	return d
}

type neededInput struct {
	Table  tableInput `json:"table"`
	Group  string     `json:"group"`
	Wanted Quantity   `json:"wanted"` // standard uncertainty of y
}

func neededOf(in neededInput) (r Result, err error) {
	e, _, err := in.Table.estimate()
	if err != nil {
		return r, err
	}
	dim := differenceDim(e.Unit.Dimension())
	if err := in.Wanted.of("input.wanted", dim); err != nil {
		return r, err
	}
	n, err := e.Needed(in.Group, in.Wanted.SI)
	if err != nil {
		return r, err
	}
	r.Ratio("factor", n.Factor)
	r.Number("rest", n.Rest, dim)
	if n.Sigma != 0 {
		for i := range e.Parts {
			if e.Parts[i].Group == in.Group {
				r.Number("sigma", n.Sigma, in.Table.Contributions[i].Distribution.dimension())
			}
		}
	}
	return r, nil
}

type repeatInput struct {
	Table tableInput `json:"table"`
	Times int        `json:"times"`
}

func repeatFirst(in repeatInput) (r Result, err error) {
	e, _, err := in.Table.estimate()
	if err != nil {
		return r, err
	}
	savings, err := e.RepeatFirst(in.Times)
	if err != nil {
		return r, err
	}
	r.Ratio("count", float64(len(savings)))
	for i, s := range savings {
		name := strconv.Itoa(i)
		r.Text(name+".group", s.Group)
		r.Number(name+".sigma", s.Sigma, differenceDim(e.Unit.Dimension()))
		r.Ratio(name+".saved", s.Saved)
	}
	return r, nil
}
