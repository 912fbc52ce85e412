package main

import (
	"errors"
	"strings"

	"collinear.example/align"
	"collinear.example/drawing"
	"collinear.example/internal/page"
)

// draw returns the train before and after the moves, or what alignment costs of
// flange fit.
func (a *answer) draw(o options) ([]byte, error) {
	if o.curve {
		return a.drawCurve()
	}
	t, err := drawing.FromMoves(&a.train, a.plan.Motions)
	if err != nil {
		return nil, err
	}
	t.Title, _, _ = strings.Cut(a.title, ":")
	t.Plant, _, _ = strings.Cut(a.plant, " (")
	if o.units == page.Inch {
		t.Unit = align.UnitMil
	}
	t.States = t.States[:min(len(t.States), drawnStates)]
	p, err := t.Draw()
	if err != nil {
		return nil, err
	}
	return p.SVG(), nil
}

// drawnStates is how many states a sheet holds: as found, after the move and two
// running.
const drawnStates = 4

func (a *answer) drawCurve() ([]byte, error) {
	if len(a.points) == 0 {
		return nil, errors.New("-curve: the job asks for no trade-off")
	}
	p, err := drawing.TradeOff(a.points).Draw()
	if err != nil {
		return nil, err
	}
	return p.SVG(), nil
}
