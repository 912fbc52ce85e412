package whatif

import (
	"context"
	"slices"

	"collinear.example/align"
	"collinear.example/uncertainty"
)

// Step is one input and how far to move it either way, to see what follows. Make
// one with StepOf, StepWith or StepOfSource.
type Step[J any] struct {
	Name string
	Unit align.Unit // of the input; the step and the derivative are printed in it

	step   float64 // in the unit of the field's type
	size   float64 // SI value of one unit of the field's type
	typed  any
	source *uncertainty.Source[J]
	add    func(*J, float64)
}

// StepOf moves a field by step, up and down from where it stands:
//
//	StepOf("span", align.UnitMillimetre, func(j *Job) *unit.Length { return &j.Span }, 1*align.Millimetre)
//
// A step of the size the input may be wrong by shows its effect; the derivative
// itself wants a step that is small against the input and large against rounding.
func StepOf[J any, Q ~float64](name string, u align.Unit, field func(*J) *Q, step Q) Step[J] {
	if field == nil {
		return StepWith[J, Q](name, u, nil, step)
	}
	return StepWith(name, u, func(j *J, by Q) { *field(j) += by }, step)
}

// StepWith is StepOf for an input that is not a plain field: add changes the job
// by a step up (positive) or down (negative).
func StepWith[J any, Q ~float64](name string, u align.Unit, add func(*J, Q), step Q) Step[J] {
	var zero Q
	s := Step[J]{Name: name, Unit: u, step: float64(step), size: sizeOf[Q](), typed: zero}
	if add != nil {
		s.add = func(j *J, by float64) { add(j, Q(by)) }
	}
	return s
}

// StepOfSource moves the job by one standard uncertainty of a source. The unit is
// that of the deviation, which must be in SI units: for a source that varies an
// align.Clock use StepOf.
func StepOfSource[J any](u align.Unit, s uncertainty.Source[J]) Step[J] {
	return Step[J]{Name: s.Name, Unit: u, size: 1, source: &s, add: s.Apply}
}

func (s *Step[J]) check(field string) error {
	switch {
	case s.Name == "":
		return fault(field+".name", "", align.ErrMissing)
	case s.add == nil:
		return fault(field+".field", "", align.ErrMissing)
	}
	if err := checkUnit(field, s.Unit, s.typed); err != nil {
		return err
	}
	if s.source != nil {
		if err := s.source.Check(); err != nil {
			return align.In(err, field)
		}
		s.step = s.source.Sigma()
	}
	switch {
	case !printable(s.Unit, s.step*s.size):
		return fault(field+".step", plain(s.step), align.ErrNotFinite)
	case !(s.step*s.size > 0):
		return fault(field+".step", plain(s.step), align.ErrOutOfRange)
	}
	return nil
}

// Effect is what one step of one input does to one column. All figures are in SI
// units.
type Effect struct {
	Low, High  float64 // the figure with the input one step down, and one step up
	Derivative float64 // (High - Low)/(2 step)
	// Curvature is High - 2 Base + Low. Where it is not small against High - Low a
	// straight line misleads: half of it is how far the line is off at one step.
	Curvature float64
}

// Derivatives is the table of derivatives: the effect of each step on each column
// of numbers.
type Derivatives struct {
	Inputs  []Heading // the inputs, in the order given
	Steps   []float64 // in SI units
	Columns []Heading // the columns that hold numbers
	Base    []float64 // each column with the job as it stands, in SI units
	Effects [][]Effect
}

// Derivatives moves one input at a time by its step, up and down, with the others
// as they stand:
//
//	derivative = (f(+h) - f(-h))/(2 h)       central difference
//	curvature  = f(+h) - 2 f(0) + f(-h)      h^2 times the second derivative
//
// (Standard formulas; the central difference is off by h^2/6 times the third
// derivative.) Effects stand as Effects[input][column].
//
// It fails with ErrTrialFailed, naming input and side, where the job cannot be
// computed; with ErrMissing, ErrNotFinite, ErrOutOfRange, ErrUnknownUnit or
// ErrWrongUnit for a step that cannot be used, with what Study.Check fails with,
// with ErrNoOutputs without a column of numbers, and with ErrCancelled.
func (s *Study[J, R]) Derivatives(ctx context.Context, steps ...Step[J]) (*Derivatives, error) {
	columns, err := s.checkNumbers()
	if err != nil {
		return nil, err
	}
	steps = slices.Clone(steps)
	if err := checkSteps(steps); err != nil {
		return nil, err
	}
	d := &Derivatives{Base: make([]float64, len(columns))}
	all := s.headings()
	for _, i := range columns {
		d.Columns = append(d.Columns, all[i])
	}
	var job J
	s.fresh(&job)
	if err := s.numbers(&job, columns, d.Base); err != nil {
		return nil, caused("job", "", uncertainty.ErrTrialFailed, err)
	}
	low, high := make([]float64, len(columns)), make([]float64, len(columns))
	for i := range steps {
		if ctx.Err() != nil {
			return nil, cancelled("derivatives", i, len(steps), "inputs", ctx.Err())
		}
		p := &steps[i]
		if err := s.stepped(p, -1, columns, low); err != nil {
			return nil, err
		}
		if err := s.stepped(p, 1, columns, high); err != nil {
			return nil, err
		}
		h := p.step * p.size
		d.Inputs = append(d.Inputs, Heading{Name: p.Name, Unit: p.Unit,
			Decimals: decimalsFor([]float64{differenceUnit(p.Unit).FromSI(h)})})
		d.Steps = append(d.Steps, h)
		if err := d.addEffects(low, high); err != nil {
			return nil, err
		}
	}
	return d, nil
}

func checkSteps[J any](steps []Step[J]) error {
	if len(steps) == 0 {
		return fault("steps", "", align.ErrMissing)
	}
	for i := range steps {
		if err := steps[i].check(index("steps", i)); err != nil {
			return err
		}
	}
	return nil
}

// stepped works the job out with one input a step up or down.
func (s *Study[J, R]) stepped(p *Step[J], sign float64, columns []int, out []float64) error {
	var job J
	s.fresh(&job)
	p.add(&job, sign*p.step)
	if err := s.numbers(&job, columns, out); err != nil {
		got := "a step of " + figure(differenceUnit(p.Unit), sign*p.step*p.size, 6) + " " + string(differenceUnit(p.Unit))
		return caused("input "+p.Name, got, uncertainty.ErrTrialFailed, err)
	}
	return nil
}

// addEffects works out the effects of the last input.
func (d *Derivatives) addEffects(low, high []float64) error {
	i := len(d.Inputs) - 1
	effects := make([]Effect, len(low))
	for k := range low {
		e := Effect{Low: low[k], High: high[k]}
		e.Derivative = (e.High/2 - e.Low/2) / d.Steps[i]
		e.Curvature = (e.High - d.Base[k]) - (d.Base[k] - e.Low)
		effects[k] = e
	}
	d.Effects = append(d.Effects, effects)
	for k := range effects {
		c := d.Columns[k]
		if !printable(differenceUnit(c.Unit), effects[k].Curvature) || !align.IsFinite(effects[k].Derivative) || !align.IsFinite(d.InUnits(i, k)) {
			return fault("derivative of "+c.Name+" by "+d.Inputs[i].Name, "", align.ErrNotFinite)
		}
	}
	return nil
}
