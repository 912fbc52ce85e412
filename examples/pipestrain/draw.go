package main

import (
	"collinear.example/align"
	"collinear.example/drawing"
	"collinear.example/internal/page"
	"gonum.org/v1/gonum/unit"
)

// draw returns the path of the shaft at the coupling in the first test, with the
// tightest limit on its largest movement.
func (a *answer) draw(units string) ([]byte, error) {
	t := &a.results[0]
	p := drawing.StrainPath{Title: a.machine + ", " + t.name, Test: t.StrainTest, Limit: t.tightest()}
	if units == page.Inch {
		p.Unit = align.UnitMil
	}
	drawn, err := p.Draw()
	if err != nil {
		return nil, err
	}
	return drawn.SVG(), nil
}

// tightest is the smallest limit on the largest movement, zero when there is none.
func (t *tested) tightest() (out unit.Length) {
	for i := range t.verdicts {
		v := &t.verdicts[i]
		if l := unit.Length(v.Limit.Limit.SI()); v.Quantity == "largest" && (out == 0 || l < out) {
			out = l
		}
	}
	return out
}
