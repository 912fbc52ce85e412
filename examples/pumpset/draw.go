package main

import (
	"errors"

	"collinear.example/align"
	"collinear.example/drawing"
	"collinear.example/internal/page"
	"gonum.org/v1/gonum/unit"
)

// coverage widens the band of uncertainty about a shaft: about 95 in 100.
const coverage = 2

// draw returns the train as found and after the moves.
func draw(j *job, w *result, units string) ([]byte, error) {
	if len(j.flexPlanes) == 0 || len(j.near.feet) == 0 || len(j.far.feet) == 0 {
		return nil, errors.New("-svg: the drawing needs the flex planes and the feet of both machines")
	}
	first, last := j.flexPlanes[0], j.flexPlanes[len(j.flexPlanes)-1]
	c := drawing.Coupling{Name: "coupling", NearFlex: first, FarFlex: last}
	t := drawing.Train{
		Title: j.title, Plant: j.plant, Couplings: []drawing.Coupling{c},
		Machines: []drawing.Machine{machineOf(j, w, align.Near, first), machineOf(j, w, align.Far, last)},
		States: []drawing.State{
			{Kind: drawing.AsFound, Shafts: drawing.Chain([]align.Axis{w.position.Axis})},
			{Kind: drawing.AfterMove, Shafts: settled(j, w)},
		},
	}
	if w.position.SigmaFrom != align.SigmaUnknown {
		t.States[0].Uncertain = []drawing.Uncertainty{{}, drawing.UncertaintyOf(&w.position, coverage)}
	}
	if units == page.Inch || units == "" && j.reading != align.UnitMillimetre && j.reading != align.UnitMicrometre {
		t.Unit = align.UnitMil
	}
	p, err := t.Draw()
	if err != nil {
		return nil, err
	}
	return p.SVG(), nil
}

// settled is where the shafts are once the machine to move has moved: against the
// near shaft as found, which stays when the far machine moves.
func settled(j *job, w *result) []align.Axis {
	if j.moving == align.Far {
		return []align.Axis{{}, w.after}
	}
	// The far shaft stays, and the near one comes to it but for what is left.
	return []align.Axis{w.position.Sub(w.after), w.position.Axis}
}

// machineOf is a machine with the moves of its feet, if it is the one that moves. Its
// casing ends between its feet and the flex plane.
func machineOf(j *job, w *result, s align.Shaft, flex unit.Length) drawing.Machine {
	m, moves := j.machine(s), w.near
	if s == align.Far {
		moves = w.far
	}
	out := drawing.Machine{Name: m.name}
	for i, f := range m.feet {
		foot := drawing.Foot{Name: f.name, Station: f.station}
		if s == j.moving {
			foot.Move = &moves[i].move
		}
		out.Feet = append(out.Feet, foot)
	}
	near, far := out.Feet[0].Station, out.Feet[len(out.Feet)-1].Station
	over := (far - near) / 8
	out.Start, out.End = near-over, far+over
	if s == align.Near {
		out.End = (far + flex) / 2
	} else {
		out.Start = (near + flex) / 2
	}
	return out
}
