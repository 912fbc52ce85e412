package main

import (
	"cmp"
	"slices"

	"collinear.example/align"
	"collinear.example/drawing"
)

// draw returns the foot whose gap tapers most, with the shims that fill it.
func (s *survey) draw() ([]byte, error) {
	worst := slices.MaxFunc(s.feet, func(a, b foot) int { return cmp.Compare(a.wedge.Open-a.wedge.Tight, b.wedge.Open-b.wedge.Tight) })
	d := drawing.FootWedge{Title: "foot " + worst.Name, Face: worst.face}
	if s.reading == align.UnitMil || s.reading == align.UnitInch {
		d.Unit = align.UnitMil
	}
	if s.stock != nil {
		shim, _, err := s.stock.SteppedShim(worst.wedge)
		if err != nil {
			return nil, err
		}
		d.Shim = &shim
	}
	p, err := d.Draw()
	if err != nil {
		return nil, err
	}
	return p.SVG(), nil
}
