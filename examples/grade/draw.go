package main

import (
	"errors"

	"collinear.example/align"
	"collinear.example/drawing"
)

// draw returns the share of each limit that is used, the largest first.
func (j *job) draw(all []graded) ([]byte, error) {
	b := drawing.Bars{Title: "Shares of the limits, " + j.title, Of: drawing.Quantity{Name: "share of the limit", Unit: align.UnitOne, Percent: true}, Note: "verdict"}
	for _, g := range all {
		for i := range g.rows {
			r := &g.rows[i]
			b.Bars = append(b.Bars, drawing.Bar{Label: g.set.Title + ", " + r.table.Title, High: r.grade.Share(), Note: r.words()})
		}
	}
	if len(b.Bars) == 0 {
		return nil, errors.New("-svg: no table of these limits can be applied")
	}
	p, err := b.Draw()
	if err != nil {
		return nil, err
	}
	return p.SVG(), nil
}
