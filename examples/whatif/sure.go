package main

import (
	"context"

	"collinear.example/align"
	"collinear.example/uncertainty"
	"gonum.org/v1/gonum/unit"
)

// The outputs whose uncertainty is asked.
const (
	outShare = iota
	outInboard
	outOutboard
)

// model is the set with everything in it that is not known exactly.
func model(s set) uncertainty.Model[set] {
	m := uncertainty.Model[set]{
		Job: s, Copy: copySet,
		Outputs: []uncertainty.Output{
			{Name: "share of the limit as it stands", Unit: align.UnitOne},
			{Name: "move at the inboard pedestals", Unit: align.UnitMillimetre},
			{Name: "move at the outboard pedestals", Unit: align.UnitMillimetre},
		},
		Compute: func(s *set, out []float64) error {
			o, err := s.work()
			if err != nil {
				return err
			}
			out[outShare] = o.standing.Worst
			out[outInboard] = float64(o.moves.Inboard.Vertical)
			out[outOutboard] = float64(o.moves.Outboard.Vertical)
			return nil
		},
	}
	far := func(s *set) *align.Dial { return &s.readings.OnFar }
	near := func(s *set) *align.Dial { return &s.readings.OnNear }
	scatter := uncertainty.Normal(5 * align.Micrometre)
	division := uncertainty.Resolution(10 * align.Micrometre)
	for _, d := range []func(*set) *align.Dial{far, near} {
		m.Sources = append(m.Sources, uncertainty.Readings("scatter of the readings", scatter, &m.Job, d)...)
		m.Sources = append(m.Sources, uncertainty.Readings("division of the dials", division, &m.Job, d)...)
	}
	m.Sources = append(m.Sources,
		uncertainty.SagTest("sag of the brackets", uncertainty.Normal(8*align.Micrometre), far, near),
		uncertainty.Together("place of the far dial", uncertainty.Rectangular(2*align.Millimetre),
			func(s *set) *unit.Length { return &s.readings.OnFar.Station }),
		uncertainty.Vary("temperature of the oil", uncertainty.Rectangular(unit.Temperature(5)), func(s *set) *unit.Temperature { return &s.process }),
		uncertainty.Vary("warmth of the pedestals", uncertainty.Triangular(0.06), func(s *set) *float64 { return &s.warmth }),
		uncertainty.Vary("temperature of the motor", uncertainty.Rectangular(unit.Temperature(8)), func(s *set) *unit.Temperature { return &s.motor }),
		uncertainty.Tape("expansion of the steel", uncertainty.Rectangular(0.05), func(s *set) *float64 { return &s.steel.Coefficient }),
		uncertainty.Tape("expansion of the iron", uncertainty.Rectangular(0.08), func(s *set) *float64 { return &s.iron.Coefficient }),
		uncertainty.Together("tape on the heights", uncertainty.Rectangular(3*align.Millimetre),
			func(s *set) *unit.Length { return &s.pedestalHeight }, func(s *set) *unit.Length { return &s.motorHeight }),
	)
	return m
}

// sureness is what is known of how sure the answers are.
type sureness struct {
	linear    uncertainty.Linear
	expanded  []uncertainty.Expanded
	sample    *uncertainty.Sample
	within    uncertainty.Proportion
	shares    uncertainty.Interval // of the share, by the simulation
	checked   uncertainty.Validation
	repeat    []uncertainty.Saving
	needed    uncertainty.Needed
	wanted    unit.Length
	attainErr error
}

// howSure works out budget, simulation and what follows.
func howSure(s set) (out sureness, err error) {
	m := model(s)
	if out.linear, err = m.Linear(); err != nil {
		return out, err
	}
	for _, e := range out.linear.Estimates {
		x, err := e.Expanded(0.95)
		if err != nil {
			return out, err
		}
		out.expanded = append(out.expanded, x)
	}
	if out.sample, err = m.Simulate(context.Background(), uncertainty.Simulation{Seed: 2, Trials: 100_000}); err != nil {
		return out, err
	}
	out.within = out.sample.Count(func(v []float64) bool { return v[outShare] <= 1 })
	share, err := out.sample.Output(outShare)
	if err != nil {
		return out, err
	}
	if out.shares, err = share.Shortest(0.95); err != nil {
		return out, err
	}
	outboard, err := out.sample.Output(outOutboard)
	if err != nil {
		return out, err
	}
	move := out.linear.Estimates[outOutboard]
	if out.checked, err = uncertainty.Validate(move, outboard, 0.95, 1); err != nil {
		return out, err
	}
	if out.repeat, err = move.RepeatFirst(4); err != nil {
		return out, err
	}
	out.wanted = 0.035 * align.Millimetre
	out.needed, out.attainErr = move.Needed("sag of the brackets", float64(out.wanted))
	return out, nil
}

// methods compares where dials could be put on this set.
func methods() ([]uncertainty.MethodSigma, unit.Length, error) {
	at, err := uncertainty.Positions(4, align.Twelve, uncertainty.FullTurn)
	if err != nil {
		return nil, 0, err
	}
	g := uncertainty.Geometry{
		Reverse: &uncertainty.Rims{First: -130 * align.Millimetre, Second: 130 * align.Millimetre},
		Face:    &uncertainty.Faced{Rim: 130 * align.Millimetre, Swept: 140 * align.Millimetre},
		At:      at, Sigma: 7 * align.Micrometre,
	}
	ms, err := g.CompareMethods(pumpOutboard)
	if err != nil {
		return nil, 0, err
	}
	cross, err := g.SlopeCrossover()
	return ms, cross, err
}
