package main

import (
	"slices"

	"collinear.example/align"
	"collinear.example/drawing"
	"collinear.example/whatif"
)

// draw returns the share of the limit against the temperature of the oil, with the
// temperatures between which it holds; or the budget of the move at the outboard
// pedestals.
func draw(s set, table *whatif.Table, bars bool) ([]byte, error) {
	if bars {
		return drawBudget(s)
	}
	share := slices.IndexFunc(table.Columns(), func(c whatif.Heading) bool { return c.Name == "share" })
	c, err := drawing.WhatIf(table, 0, share)
	if err != nil {
		return nil, err
	}
	c.Limits = []drawing.Mark{{Name: "all of the limit", At: 1}}
	h, err := holds(s)
	if err != nil {
		return nil, err
	}
	for _, one := range h.Changes {
		name := "holds below"
		if one.PassesAbove() {
			name = "holds above"
		}
		c.Thresholds = append(c.Thresholds, drawing.Mark{Name: name, At: float64(one.Passes)})
	}
	p, err := c.Draw()
	if err != nil {
		return nil, err
	}
	return p.SVG(), nil
}

func drawBudget(s set) ([]byte, error) {
	u, err := howSure(s)
	if err != nil {
		return nil, err
	}
	p, err := drawing.Budget("Budget of the move at the outboard pedestals", u.linear.Estimates[outOutboard].Budget(), align.UnitMillimetre).Draw()
	if err != nil {
		return nil, err
	}
	return p.SVG(), nil
}
