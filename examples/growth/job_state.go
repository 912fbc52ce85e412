package main

import (
	"fmt"

	"collinear.example/align"
	"collinear.example/internal/record"
	"collinear.example/thermal"
	"gonum.org/v1/gonum/unit"
)

// causes are the words for what moves a shaft beside the growth of its supports.
var causes = map[string]thermal.Cause{
	"oil film": thermal.CauseOilFilm, "gear load": thermal.CauseGearLoad, "pipe": thermal.CausePipe,
	"pressure": thermal.CausePressure, "other": thermal.OtherCause,
}

func (r *jobReader) state(path string, v any) (s state) {
	o := r.Object(path, v, "name", "widen", "near", "far")
	s.name, s.widen = o.Text("name"), 1
	if o.Has("widen") {
		s.widen = o.Number("widen")
		if r.Err() == nil && !(s.widen >= 1 && s.widen <= 10) {
			r.Fail(o.Path("widen"), record.Show(o.Field("widen")), "want 1 to 10")
		}
	}
	s.near = r.motion(o.Object("near", "temperatures", "moves", "measured"), r.near)
	s.far = r.motion(o.Object("far", "temperatures", "moves", "measured"), r.far)
	return s
}

func (r *jobReader) motion(o record.Object, m machine) (out motion) {
	out.moves = make([][]thermal.Contribution, supportsOfMachine)
	if o.Has("measured") {
		if o.Has("temperatures") || o.Has("moves") {
			r.Fail(o.Path("measured"), "", "stands beside what it replaces: a movement is measured or worked out")
			return out
		}
		out.measured = r.measured(o)
		return out
	}
	list := o.List("temperatures", supportsOfMachine)
	if r.Err() == nil && len(list) != supportsOfMachine {
		r.Fail(o.Path("temperatures"), record.Show(list), "want one entry for each support")
	}
	for i, v := range list {
		out.layers = append(out.layers, r.layers(fmt.Sprintf("%s[%d]", o.Path("temperatures"), i), v))
	}
	if !o.Has("moves") {
		return out
	}
	for i, v := range o.List("moves", 1) {
		r.move(fmt.Sprintf("%s[%d]", o.Path("moves"), i), v, m, out.moves)
	}
	return out
}

// layers reads one temperature for a whole support, or temperatures up its
// height.
func (r *jobReader) layers(path string, v any) []thermal.Layer {
	rows, isList := v.([]any)
	if !isList {
		return []thermal.Layer{{Temperature: r.temperatureOf(path, r.Number(path, v))}}
	}
	if len(rows) < 2 {
		r.Fail(path, record.Show(v), "want one temperature, or two or more pairs of height and temperature")
	}
	var out []thermal.Layer
	for i, row := range rows {
		field := fmt.Sprintf("%s[%d]", path, i)
		pair, ok := row.([]any)
		if !ok || len(pair) != 2 {
			r.Fail(field, record.Show(row), "want a pair such as [150, 40]: height and temperature")
			return nil
		}
		h := r.Number(field+"[0]", pair[0])
		t := r.temperatureOf(field+"[1]", r.Number(field+"[1]", pair[1]))
		if r.Err() != nil {
			return nil
		}
		out = append(out, thermal.Layer{Height: unit.Length(r.length.SI(h)), Temperature: t})
	}
	return out
}

func (r *jobReader) move(path string, v any, m machine, into [][]thermal.Contribution) {
	o := r.Object(path, v, "support", "cause", "name", "vertical", "horizontal")
	where, word := o.Text("support"), o.Text("cause")
	c := thermal.Contribution{Name: o.TextOr("name", ""), Offset: r.offset(o)}
	if r.Err() != nil {
		return
	}
	cause, known := causes[word]
	if !known {
		r.Fail(o.Path("cause"), record.Show(word), "want one of: oil film, gear load, pipe, pressure, other")
		return
	}
	c.Cause = cause
	for i, s := range m.supports {
		if s.name == where {
			into[i] = append(into[i], c)
			return
		}
	}
	r.Fail(o.Path("support"), record.Show(where), "is not a support of "+m.name)
}

func (r *jobReader) measured(o record.Object) *thermal.MeasuredMovement {
	list := o.List("measured", 2)
	if r.Err() == nil && len(list) != 2 {
		r.Fail(o.Path("measured"), record.Show(list), "want the movement at two stations")
	}
	var p [2]thermal.MovedPoint
	for i, v := range list {
		if r.Err() != nil {
			return nil
		}
		one := r.Object(fmt.Sprintf("%s[%d]", o.Path("measured"), i), v, "station", "vertical", "horizontal")
		p[i] = thermal.MovedPoint{Station: r.distance(one, "station"), Offset: r.offset(one)}
	}
	return &thermal.MeasuredMovement{First: p[0], Second: p[1]}
}

// machineIn returns the machine with the temperatures of one state.
func (m machine) machineIn(layers [][]thermal.Layer) thermal.Machine {
	out := thermal.Machine{Name: m.name}
	for i, s := range m.supports {
		seg := thermal.Segment{Name: s.name, Length: s.height, Material: s.material, Cold: s.cold}
		if l := layers[i]; len(l) == 1 {
			seg.Hot = l[0].Temperature
		} else {
			seg.Profile = l
		}
		out.Supports = append(out.Supports, thermal.SupportAt{
			Station: s.station, Support: thermal.Support{Name: s.name, Segments: []thermal.Segment{seg}},
		})
	}
	return out
}

// moves returns the movement of the shaft, the growth of each support, and what
// is suspect.
func (m machine) moves(v motion) (axis align.Axis, growth []unit.Length, warnings []align.Warning, err error) {
	if v.measured != nil {
		axis, err = v.measured.Axis()
		return axis, nil, nil, err
	}
	hot := m.machineIn(v.layers)
	g, err := hot.Growth()
	if err != nil {
		return axis, nil, nil, err
	}
	var at [supportsOfMachine]thermal.StationMovement
	for i, s := range m.supports {
		one := g.Axis.At(s.station)
		growth = append(growth, one.Vertical)
		at[i] = thermal.StationMovement{Station: s.station, Contributions: append([]thermal.Contribution{
			{Cause: thermal.CauseGrowth, Name: s.name, Offset: one},
		}, v.moves[i]...)}
	}
	axis, err = thermal.MovementAxis(at[0], at[1])
	return axis, growth, g.Warnings, err
}
