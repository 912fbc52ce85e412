package corpus

import (
	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// alignLines are the computations on lines and axes.
func alignLines() map[string]Computation {
	return map[string]Computation{
		"align.through-two-points": computation(throughTwoPoints),
		"align.line-at":            computation(lineAt),
		"align.flex-angles":        computation(flexAngles),
		"align.mirrored-axis":      computation(mirroredAxis),
		"align.extrapolation":      computation(extrapolation),
	}
}

type linePointInput struct {
	Station Length `json:"station"`
	Offset  Length `json:"offset"`
}

func (p linePointInput) point() align.Point {
	return align.Point{Station: unit.Length(p.Station), Offset: unit.Length(p.Offset)}
}

type throughInput struct {
	P        linePointInput `json:"p"`
	Q        linePointInput `json:"q"`
	Stations []stationInput `json:"stations,omitempty"`
}

func throughTwoPoints(in throughInput) (r Result, err error) {
	if err := (&asked{Stations: in.Stations}).check(); err != nil {
		return r, err
	}
	l, err := align.Through(in.P.point(), in.Q.point())
	if err != nil {
		return r, err
	}
	r.Ratio("slope", l.Slope)
	r.Length("offset", l.Offset)
	for _, s := range in.Stations {
		r.Length("offset."+s.Name, l.At(unit.Length(s.At)))
	}
	return r, nil
}

type lineAtInput struct {
	Line lineInput `json:"line"`
	At   Length    `json:"at"`
}

func lineAt(in lineAtInput) (r Result, err error) {
	l := in.Line.line()
	if err := checkAxis("input.line", align.Axis{Vertical: l}); err != nil {
		return r, err
	}
	if err := align.CheckLength("at", unit.Length(in.At)); err != nil {
		return r, err
	}
	r.Length("offset", l.At(unit.Length(in.At)))
	return r, nil
}

type flexAnglesInput struct {
	Axis  axisInput  `json:"axis"`
	Spool spoolInput `json:"spool"`
}

func flexAngles(in flexAnglesInput) (r Result, err error) {
	a, err := in.Axis.axis("input.axis")
	if err != nil {
		return r, err
	}
	f, err := a.FlexAngles(in.Spool.spool())
	if err != nil {
		return r, err
	}
	r.Slope("near", f.Near)
	r.Slope("far", f.Far)
	r.Number("largest", f.Largest(), align.RatioDim)
	return r, nil
}

type mirroredInput struct {
	Axis axisInput `json:"axis"`
}

func mirroredAxis(in mirroredInput) (r Result, err error) {
	a, err := in.Axis.axis("input.axis")
	if err != nil {
		return r, err
	}
	m := a.Mirrored()
	r.Offset("offset", m.At(0))
	r.Slope("slope", m.Slope())
	return r, nil
}

type extrapolationInput struct {
	At    Length   `json:"at"`
	From  Length   `json:"from"` // the measured span
	To    Length   `json:"to"`
	Spans *float64 `json:"spans"` // limit, in spans; the default when absent
}

// extrapolation gives a warning or none, and how far outside in spans.
func extrapolation(in extrapolationInput) (r Result, err error) {
	at, from, to := unit.Length(in.At), unit.Length(in.From), unit.Length(in.To)
	for _, v := range []unit.Length{at, from, to} {
		if err := align.CheckLength("station", v); err != nil {
			return r, err
		}
	}
	if to <= from {
		return r, fault("input.to", "", align.ErrCoincident)
	}
	spans := 0.0
	if in.Spans != nil {
		spans = *in.Spans
	}
	r.Ratio("spans", max(float64((at-to)/(to-from)), float64((from-at)/(to-from)), 0))
	r.Warn(align.CheckExtrapolation(at, from, to, spans)...)
	return r, nil
}
