package main

import (
	"errors"
	"fmt"

	"collinear.example/align"
	"collinear.example/drawing"
	"collinear.example/worksheet"
	"gonum.org/v1/gonum/unit"
)

var errNoPlot = errors.New("-svg: this exercise has no dials on the rims and feet of the second machine to plot, such as reverse-indicator has")

// graphPaper returns the sheet on which the exercise is plotted by hand, in the
// vertical plane, and with the solution the line that should be found.
func graphPaper(e *worksheet.Exercise, solved bool) ([]byte, error) {
	r := e.Record
	if len(r.Sets) == 0 || len(r.Sets[0].Dials) < 2 || len(r.Train.Machines) < 2 || len(r.Train.Machines[1].Feet) == 0 {
		return nil, errNoPlot
	}
	at := func(v float64) unit.Length { return unit.Length(r.Units.Length.SI(v)) }
	g := drawing.GraphPaper{Title: fmt.Sprintf("%s, %s", e.Title, r.Plant), Paper: drawing.A4, Unit: align.UnitMillimetre}
	if r.Units.Reading == align.UnitMil {
		g.Unit = align.UnitMil
	}
	for _, d := range r.Sets[0].Dials {
		if d.Touches != "rim" {
			return nil, errNoPlot
		}
		name := r.Train.Machines[0].Name
		if d.On == "far" {
			name = r.Train.Machines[1].Name
		}
		g.Stations = append(g.Stations, drawing.PaperStation{Name: "dial on the " + name + " hub", At: at(d.Station)})
	}
	dials := len(g.Stations)
	for _, f := range r.Train.Machines[1].Feet {
		g.Stations = append(g.Stations, drawing.PaperStation{Name: f.Name + " feet", At: at(f.Station), Foot: true})
	}
	lo, hi := g.Stations[0].At, g.Stations[0].At
	for _, s := range g.Stations {
		lo, hi = min(lo, s.At), max(hi, s.At)
	}
	g.From, g.To = lo-(hi-lo)/20, hi+(hi-lo)/20
	if solved {
		s, err := solution(e, &g, dials)
		if err != nil {
			return nil, err
		}
		g.Solution = s
	}
	p, err := g.Draw()
	if err != nil {
		return nil, err
	}
	return p.SVG(), nil
}

// solution plots the offsets at the dials and draws the shaft through them.
func solution(e *worksheet.Exercise, g *drawing.GraphPaper, dials int) (*drawing.PaperSolution, error) {
	v, err := e.Record.Evaluate()
	if err != nil {
		return nil, err
	}
	s := &drawing.PaperSolution{}
	for i := range dials {
		f, ok := v.Find(fmt.Sprintf("sets[0].offset.dials[%d].vertical", i))
		if !ok || f.Value == nil {
			return nil, errNoPlot
		}
		s.Points = append(s.Points, align.Point{Station: g.Stations[i].At, Offset: unit.Length(*f.Value)})
	}
	line, err := align.Through(s.Points[0], s.Points[1])
	if err != nil {
		return nil, err
	}
	s.Shafts = []drawing.PaperShaft{{Name: e.Record.Train.Machines[1].Name, Line: line}}
	for i := dials; i < len(g.Stations); i++ {
		s.Feet = append(s.Feet, drawing.PaperFoot{Station: i})
	}
	return s, nil
}
