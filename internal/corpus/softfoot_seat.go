package corpus

import (
	"fmt"
	"strings"

	"collinear.example/softfoot"
)

// softfootSeatComputations are about how a loose machine stands on its feet.
func softfootSeatComputations() map[string]Computation {
	return map[string]Computation{"softfoot.seat": computation(seat)}
}

type footInput struct {
	Name    string `json:"name"`
	Station Length `json:"station"`
	Lateral Length `json:"lateral"`
}

type placeInput struct {
	Station Length `json:"station"`
	Lateral Length `json:"lateral"`
}

type seatInput struct {
	Feet    []footInput `json:"feet"`
	Gaps    []Length    `json:"gaps,omitempty"`
	Heights []Length    `json:"heights,omitempty"`
	Centre  *placeInput `json:"centre"` // of gravity; the middle of the feet when absent
	Within  *Length     `json:"within"` // how far the true one may be from it
}

func seat(in seatInput) (r Result, err error) {
	m := machineOf(in.Feet, in.Gaps, in.Heights)
	m.CentreWithin = in.Within.Of()
	if in.Centre != nil {
		m.Centre = &softfoot.Point{Station: in.Centre.Station.Of(), Lateral: in.Centre.Lateral.Of()}
	}
	s, err := m.Seat()
	if err != nil {
		return r, err
	}
	r.Ratio("rests", float64(len(s.Rests)))
	r.Length("centre.station", s.Centre.Station)
	r.Length("centre.lateral", s.Centre.Lateral)
	for k := range s.Rests {
		r.rest(fmt.Sprintf("rest.%d", k), s, k, len(m.Feet))
	}
	r.Warn(s.Warnings...)
	return r, nil
}

func (r *Result) rest(name string, s softfoot.Seating, k, feet int) {
	one := s.Rests[k]
	r.Text(name+".carrying", strings.Join(s.Carrying(k), " "))
	r.Length(name+".height", one.Plane.Height)
	r.Ratio(name+".along", one.Plane.Along)
	r.Ratio(name+".across", one.Plane.Across)
	r.Length(name+".off", one.Off)
	for i := range feet {
		r.Length(fmt.Sprintf("%s.gap.%d", name, i), s.Gap(k, i))
	}
	if !one.LoadKnown() {
		return
	}
	for n, i := range one.Three {
		r.Ratio(fmt.Sprintf("%s.load.%d", name, i), one.Load[n])
	}
}
