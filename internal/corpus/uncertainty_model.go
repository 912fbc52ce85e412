package corpus

import (
	"context"
	"strconv"

	"collinear.example/align"
	"collinear.example/uncertainty"
)

// uncertaintyModelComputations propagate distributions through a job.
func uncertaintyModelComputations() map[string]Computation {
	return map[string]Computation{
		"uncertainty.linear":   computation(linearModel),
		"uncertainty.simulate": computation(simulateModel),
	}
}

// modelInput is a formula with its inputs, or one of two alignment jobs, with
// sources. Exactly one of the three is given.
type modelInput struct {
	Formula          *Kind                  `json:"formula"`
	Inputs           []quantityInput        `json:"inputs,omitempty"`
	ReverseIndicator *reverseIndicatorInput `json:"reverseIndicator"`
	RimAndFace       *rimAndFaceInput       `json:"rimAndFace"`
	Sources          []modelSourceInput     `json:"sources"`
	Correlations     []correlationInput     `json:"correlations,omitempty"`
}

// modelSourceInput is one source: of an input of a formula, or what it varies of
// an alignment job.
type modelSourceInput struct {
	Name         string            `json:"name"`
	Of           string            `json:"of,omitempty"`    // the input of a formula
	Vary         *Kind             `json:"vary"`            // readings, clock-angles, sag, station, diameter, foot, tape
	Dials        []Kind            `json:"dials,omitempty"` // on-far, on-near, rim, face
	Foot         *Kind             `json:"foot"`            // near-inboard, near-outboard, far-inboard, far-outboard
	Distribution distributionInput `json:"distribution"`
}

// groupOf is the line of the budget of source i of an input; a source of readings
// becomes one for each reading.
func groupOf(i int) string { return strconv.Itoa(i) }

// model is what is asked of a Model, whatever its job.
type model interface {
	Linear() (uncertainty.Linear, error)
	Simulate(context.Context, uncertainty.Simulation) (*uncertainty.Sample, error)
	SimulateTo(context.Context, uncertainty.Simulation, uncertainty.Precision) (*uncertainty.Sample, error)
}

func (in *modelInput) model() (model, []uncertainty.Output, error) {
	given := 0
	for _, is := range []bool{in.Formula != nil, in.ReverseIndicator != nil, in.RimAndFace != nil} {
		if is {
			given++
		}
	}
	switch {
	case given == 0:
		return nil, nil, fault("input.formula", "", align.ErrMissing)
	case given > 1:
		return nil, nil, fault("input", "more than one job", align.ErrMismatch)
	case in.Formula != nil:
		m, err := in.formulaModel()
		if err != nil {
			return nil, nil, err
		}
		return m, m.Outputs, nil
	}
	m, err := in.alignmentModel()
	if err != nil {
		return nil, nil, err
	}
	return m, m.Outputs, nil
}

type linearInput struct {
	Model       modelInput `json:"model"`
	Probability *Ratio     `json:"probability"`
}

func linearModel(in linearInput) (r Result, err error) {
	m, _, err := in.Model.model()
	if err != nil {
		return r, err
	}
	l, err := m.Linear()
	if err != nil {
		return r, err
	}
	for k, e := range l.Estimates {
		prefix := e.Name + "."
		if err := estimate(&r, prefix, e, in.Probability); err != nil {
			return r, err
		}
		for _, line := range e.Budget() {
			r.Ratio(prefix+"share."+line.Group, line.Share)
			r.Number(prefix+"part."+line.Group, line.Sigma, differenceDim(e.Unit.Dimension()))
		}
		for j := range k {
			if other := l.Estimates[j]; e.Sigma > 0 && other.Sigma > 0 {
				r.Ratio(prefix+"correlation."+strconv.Itoa(j), l.Covariance[k][j]/e.Sigma/other.Sigma)
			}
		}
	}
	r.Warn(l.Warnings...)
	return r, nil
}

type simulateInput struct {
	Model       modelInput    `json:"model"`
	Seed        int           `json:"seed"`
	Trials      int           `json:"trials,omitempty"` // in whole blocks of 10,000; at most a million here
	Steady      *steadyInput  `json:"steady"`           // in the place of trials
	Probability Ratio         `json:"probability"`
	Within      []withinInput `json:"within,omitempty"` // all to hold together
	Validate    *int          `json:"validate"`         // digits to which the linear law is held against it
}

type steadyInput struct {
	Digits int `json:"digits"`
	Most   int `json:"most"` // trials; at most a million here
}

// withinInput wants an output within two bounds.
type withinInput struct {
	Output string   `json:"output"`
	Lower  Quantity `json:"lower"`
	Upper  Quantity `json:"upper"`
}

// mostTrials bounds what one vector may ask for.
const mostTrials = 1_000_000

func (in *simulateInput) sample(m model) (*uncertainty.Sample, error) {
	if in.Seed < 0 {
		return nil, fault("input.seed", strconv.Itoa(in.Seed), align.ErrNegative)
	}
	run := uncertainty.Simulation{Seed: uint64(in.Seed), Trials: in.Trials}
	if in.Steady == nil {
		if in.Trials == 0 {
			return nil, fault("input.trials", "", align.ErrMissing)
		}
		if in.Trials > mostTrials && in.Trials <= uncertainty.MaxNumbers {
			return nil, fault("input.trials", strconv.Itoa(in.Trials), uncertainty.ErrTooManyTrials)
		}
		return m.Simulate(context.Background(), run)
	}
	if in.Steady.Most <= 0 || in.Steady.Most > mostTrials {
		return nil, fault("input.steady.most", strconv.Itoa(in.Steady.Most), align.ErrOutOfRange)
	}
	return m.SimulateTo(context.Background(), run, uncertainty.Precision{
		Probability: float64(in.Probability), Digits: in.Steady.Digits, Most: in.Steady.Most,
	})
}

func simulateModel(in simulateInput) (r Result, err error) {
	m, outputs, err := in.Model.model()
	if err != nil {
		return r, err
	}
	s, err := in.sample(m)
	if err != nil {
		return r, err
	}
	r.Ratio("trials", float64(s.Trials()))
	for i, o := range outputs {
		if err := in.output(&r, m, s, i, o.Name+"."); err != nil {
			return r, err
		}
	}
	return r, in.within(&r, s, outputs)
}

// output adds mean, standard deviation and intervals of one output, and the
// comparison with the linear law.
func (in *simulateInput) output(r *Result, m model, s *uncertainty.Sample, i int, prefix string) error {
	d, err := s.Output(i)
	if err != nil {
		return err
	}
	p := float64(in.Probability)
	dim := d.Unit.Dimension()
	r.Number(prefix+"mean", d.Mean, dim)
	r.Number(prefix+"sigma", d.Sigma, differenceDim(dim))
	if err := intervals(r, prefix, d, p); err != nil || in.Validate == nil {
		return err
	}
	l, err := m.Linear()
	if err != nil {
		return err
	}
	v, err := uncertainty.Validate(l.Estimates[i], d, p, *in.Validate)
	if err != nil {
		return err
	}
	r.Text(prefix+"validated", strconv.FormatBool(v.Valid))
	r.Number(prefix+"tolerance", v.Tolerance, differenceDim(dim))
	return nil
}

// within adds the share of the trials in which every bound is kept.
func (in *simulateInput) within(r *Result, s *uncertainty.Sample, outputs []uncertainty.Output) error {
	if in.Within == nil {
		return nil
	}
	at := make([]int, len(in.Within))
	for i := range in.Within {
		w := &in.Within[i]
		path := indexed("input.within", i)
		at[i] = -1
		for k, o := range outputs {
			if o.Name == w.Output {
				at[i] = k
			}
		}
		if at[i] < 0 {
			return fault(path+".output", w.Output, align.ErrMismatch)
		}
		for _, q := range []*Quantity{&w.Lower, &w.Upper} {
			if err := q.of(path, outputs[at[i]].Unit.Dimension()); err != nil {
				return err
			}
			if !align.IsFinite(q.SI) {
				return fault(path, "", align.ErrNotFinite)
			}
		}
	}
	p := s.Count(func(out []float64) bool {
		for i, w := range in.Within {
			if !(out[at[i]] >= w.Lower.SI && out[at[i]] <= w.Upper.SI) {
				return false
			}
		}
		return true
	})
	r.Ratio("within", p.Share())
	return nil
}
