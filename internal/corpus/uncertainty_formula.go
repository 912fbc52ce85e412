package corpus

import (
	"math"
	"slices"

	"collinear.example/align"
	"collinear.example/uncertainty"
)

// formula is one of the fixed formulas whose inputs a vector may vary.
type formula struct {
	names   []string // of the inputs, in order; nil: any names
	dims    []align.Dimension
	outputs []uncertainty.Output // nil: y, in the unit of the first input
	of      func(x, out []float64)
}

func plainOutputs(names ...string) (out []uncertainty.Output) {
	for _, n := range names {
		out = append(out, uncertainty.Output{Name: n, Unit: align.UnitOne})
	}
	return out
}

func plainDims(n int) []align.Dimension { return slices.Repeat([]align.Dimension{align.RatioDim}, n) }

var formulas = map[Kind]formula{
	"sum": {of: func(x, out []float64) {
		out[0] = 0
		for _, v := range x {
			out[0] += v
		}
	}},
	"product": {outputs: plainOutputs("y"), of: func(x, out []float64) {
		out[0] = 1
		for _, v := range x {
			out[0] *= v
		}
	}},
	// JCGM 101:2008, 9.4.2 (from memory): x1^2 + x2^2.
	"comparison-loss": {
		names: []string{"x1", "x2"}, dims: plainDims(2), outputs: plainOutputs("y"),
		of: func(x, out []float64) { out[0] = x[0]*x[0] + x[1]*x[1] },
	},
	// JCGM 101:2008, 9.3.1 (from memory): (m + dm)(1 + (a - 1.2)(1/w - 1/r)) - 100 g,
	// masses in milligrams, densities in kg/m3.
	"mass-calibration": {
		names: []string{"reference", "correction", "air", "weight", "reference-density"},
		dims:  plainDims(5), outputs: plainOutputs("y"),
		of: func(x, out []float64) {
			out[0] = (x[0]+x[1])*(1+(x[2]-1.2)*(1/x[3]-1/x[4])) - 100_000
		},
	},
	// JCGM 100:2008, H.1.1, with the differences of H.1.2 (from memory):
	// (l_S (1 + a_S (t - dt)) + d)/(1 + (a_S + da) t).
	"end-gauge": {
		names:   []string{"standard", "difference", "expansion", "expansion-difference", "temperature", "temperature-difference"},
		dims:    []align.Dimension{align.LengthDim, align.LengthDim, align.ExpansionDim, align.ExpansionDim, align.RiseDim, align.RiseDim},
		outputs: []uncertainty.Output{{Name: "y", Unit: align.UnitMetre}},
		of: func(x, out []float64) {
			out[0] = (x[0]*(1+x[2]*(x[4]-x[5])) + x[1]) / (1 + (x[2]+x[3])*x[4])
		},
	},
	// JCGM 100:2008, H.2.2 (from memory): V cos(phi)/I, V sin(phi)/I, V/I in volts,
	// amperes, radians and ohms.
	"impedance": {
		names: []string{"voltage", "current", "phase"}, dims: plainDims(3), outputs: plainOutputs("resistance", "reactance", "impedance"),
		of: func(x, out []float64) {
			z := x[0] / x[1]
			out[0], out[1], out[2] = z*math.Cos(x[2]), z*math.Sin(x[2]), z
		},
	},
}

// quantityInput is a named value of a formula.
type quantityInput struct {
	Name  string   `json:"name"`
	Value Quantity `json:"value"`
}

// formulaModel is the model of a formula.
func (in *modelInput) formulaModel() (*uncertainty.Model[table], error) {
	f, err := kindFrom("input.formula", in.Formula, formula{}, formulas)
	if err != nil {
		return nil, err
	}
	x, dims, err := f.inputs(in.Inputs)
	if err != nil {
		return nil, err
	}
	outputs := f.outputs
	if outputs == nil {
		outputs = []uncertainty.Output{{Name: "y", Unit: in.Inputs[0].Value.Unit}}
	}
	m := &uncertainty.Model[table]{
		Job: table{x}, Copy: copyTable, Correlations: correlationsOf(in.Correlations),
		Outputs: outputs,
		Compute: func(t *table, out []float64) error {
			f.of(t.x, out)
			return nil
		},
	}
	for i := range in.Sources {
		s := &in.Sources[i]
		path := indexed("input.sources", i)
		k := slices.IndexFunc(in.Inputs, func(q quantityInput) bool { return q.Name == s.Of })
		if k < 0 {
			return nil, fault(path+".of", s.Of, align.ErrMismatch)
		}
		if s.Vary != nil || s.Dials != nil || s.Foot != nil {
			return nil, fault(path, "a formula varies only its inputs", align.ErrMismatch)
		}
		if f.names != nil {
			k = slices.Index(f.names, s.Of)
		}
		d, mean, err := s.Distribution.parse(path+".distribution", dims[k], 1)
		if err != nil {
			return nil, err
		}
		m.Job.x[k] += mean
		m.Sources = append(m.Sources, uncertainty.Vary(s.Name, d, func(t *table) *float64 { return &t.x[k] }).In(groupOf(i)))
	}
	return m, nil
}

// inputs returns the values in the order of the formula.
func (f formula) inputs(in []quantityInput) (x []float64, dims []align.Dimension, err error) {
	if len(in) == 0 || f.names != nil && len(in) != len(f.names) {
		return nil, nil, fault("input.inputs", "", align.ErrMissing)
	}
	x, dims = make([]float64, len(in)), slices.Clone(f.dims)
	for i := range in {
		k := i
		path := indexed("input.inputs", i)
		if slices.ContainsFunc(in[:i], func(q quantityInput) bool { return q.Name == in[i].Name }) {
			return nil, nil, fault(path+".name", in[i].Name, uncertainty.ErrSameName)
		}
		switch {
		case f.names != nil:
			if k = slices.Index(f.names, in[i].Name); k < 0 {
				return nil, nil, fault(path+".name", in[i].Name, align.ErrMismatch)
			}
		case f.outputs == nil:
			dims = append(dims, in[0].Value.Unit.Dimension())
		default:
			dims = append(dims, align.RatioDim)
		}
		if err := in[i].Value.of(path+".value", dims[k]); err != nil {
			return nil, nil, err
		}
		x[k] = in[i].Value.SI
	}
	return x, dims, nil
}
