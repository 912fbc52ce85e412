package main

import (
	"context"
	"fmt"
	"strings"

	"collinear.example/align"
	"collinear.example/thermal"
	"collinear.example/whatif"
	"gonum.org/v1/gonum/unit"
)

// study is the set with what is wanted of it, a column each.
func study(s set) *whatif.Study[set, outcome] {
	return &whatif.Study[set, outcome]{
		Job: s, Copy: copySet,
		Compute: func(s *set) (outcome, error) { return s.work() },
		Columns: []whatif.Column[outcome]{
			whatif.Text("as it stands", func(o outcome) string { return verdict(o.standing) }),
			whatif.Number("share", align.UnitOne, 2, func(o outcome) float64 { return o.standing.Worst }),
			whatif.Text("governs", func(o outcome) string { return governing(o.standing) }),
			whatif.Number("best at motor flex", align.UnitMillimetre, 3, func(o outcome) unit.Length { return o.best.Axis.At(motorFlex).Vertical }),
			whatif.Number("at pump flex", align.UnitMillimetre, 3, func(o outcome) unit.Length { return o.best.Axis.At(pumpFlex).Vertical }),
			whatif.Number("share then", align.UnitOne, 2, func(o outcome) float64 { return o.best.Worst }),
			whatif.Number("pump inboard", align.UnitMillimetre, 3, func(o outcome) unit.Length { return o.moves.Inboard.Vertical }),
			whatif.Number("pump outboard", align.UnitMillimetre, 3, func(o outcome) unit.Length { return o.moves.Outboard.Vertical }),
		},
	}
}

func verdict(t thermal.Target) string {
	if t.Within() {
		return "within"
	}
	return "over"
}

// governing names the states that reach the worst share.
func governing(t thermal.Target) string {
	var names []string
	for i, n := range stateNames {
		for _, c := range t.Governing {
			if c.State == i {
				names = append(names, n)
				break
			}
		}
	}
	return strings.Join(names, " and ")
}

// process is the knob of this study: the temperature of the oil.
func process(from, to float64, n int) whatif.Knob[set] {
	return whatif.Range("oil", align.UnitCelsius, func(s *set) *unit.Temperature { return &s.process },
		align.Celsius(from), align.Celsius(to), n)
}

// sweep turns the oil temperature from 60 to 300 degC.
func sweep(s set) (*whatif.Table, error) {
	return study(s).Run(context.Background(), whatif.Each(process(60, 300, 13)), whatif.Options{})
}

// holds returns at which oil temperatures the set stays within its limits as it
// stands, to a tenth of a degree.
func holds(s set) (whatif.Passing[unit.Temperature], error) {
	return whatif.ThresholdAlong(context.Background(), study(s), process(20, 350, 331), unit.Temperature(0.1),
		func(o outcome) bool { return o.standing.Within() })
}

// slopes moves one input at a time and returns the derivatives.
func slopes(s set) (*whatif.Derivatives, error) {
	d, err := study(s).Derivatives(context.Background(),
		whatif.StepOf("oil", align.UnitCelsius, func(s *set) *unit.Temperature { return &s.process }, 10),
		whatif.StepOf("warmth of the pedestals", align.UnitOne, func(s *set) *float64 { return &s.warmth }, 0.05),
		whatif.StepOf("motor frame", align.UnitCelsius, func(s *set) *unit.Temperature { return &s.motor }, 10),
		whatif.StepOf("height of the pedestals", align.UnitMillimetre, func(s *set) *unit.Length { return &s.pedestalHeight }, 5*align.Millimetre),
		whatif.StepWith("sag of the brackets", align.UnitMillimetre, addSag, 0.01*align.Millimetre),
	)
	if err != nil {
		return nil, fmt.Errorf("derivatives: %w", err)
	}
	return d, nil
}

// addSag changes the sag of both brackets.
func addSag(s *set, by unit.Length) {
	for _, d := range []*align.Dial{&s.readings.OnFar, &s.readings.OnNear} {
		if sag, ok := d.Sag.RollOver(); ok {
			d.Sag = align.RollOver(sag + by)
		}
	}
}
