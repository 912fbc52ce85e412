package main

import (
	"collinear.example/align"
	"collinear.example/drawing"
	"collinear.example/internal/page"
)

// draw returns where the shafts stand in every state when they are set to the cold
// target.
func (a *answer) draw(units string) ([]byte, error) {
	c := drawing.StateChart{Title: "cold target, " + a.title, Cold: a.best().Axis, Cases: a.cases, Criterion: a.criterion()}
	if units == page.Inch {
		c.Unit = align.UnitMil
	}
	p, err := c.Draw()
	if err != nil {
		return nil, err
	}
	return p.SVG(), nil
}
