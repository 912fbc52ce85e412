package corpus

import (
	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// axisInput is a misalignment: either two points it passes through, or a line
// in each plane, the horizontal one straight when absent.
type axisInput struct {
	Through    []pointInput `json:"through,omitempty"`
	Vertical   *lineInput   `json:"vertical"`
	Horizontal *lineInput   `json:"horizontal"`
}

// pointInput is an offset at a station.
type pointInput struct {
	Station Length      `json:"station"`
	Offset  offsetInput `json:"offset"`
}

// lineInput is a line by its offset at station 0 and its slope.
type lineInput struct {
	Offset Length `json:"offset"`
	Slope  Ratio  `json:"slope"`
}

func (l *lineInput) line() align.Line {
	if l == nil {
		return align.Line{}
	}
	return align.Line{Offset: unit.Length(l.Offset), Slope: float64(l.Slope)}
}

func (a *axisInput) axis(path string) (align.Axis, error) {
	lines := a.Vertical != nil || a.Horizontal != nil
	switch {
	case lines && a.Through != nil:
		return align.Axis{}, fault(path, "points and lines", align.ErrMismatch)
	case lines:
		out := align.Axis{Vertical: a.Vertical.line(), Horizontal: a.Horizontal.line()}
		return out, checkAxis(path, out)
	case len(a.Through) != 2:
		return align.Axis{}, fault(path+".through", "", align.ErrMissing)
	}
	p, q := a.Through[0], a.Through[1]
	out, err := align.AxisThrough(unit.Length(p.Station), p.Offset.offset(), unit.Length(q.Station), q.Offset.offset())
	return out, align.In(err, path)
}

func checkAxis(path string, a align.Axis) error {
	for _, l := range []align.Line{a.Vertical, a.Horizontal} {
		if err := align.CheckLength("offset", l.Offset); err != nil {
			return align.In(err, path)
		}
		if !align.IsFinite(l.Slope) {
			return fault(path+".slope", "", align.ErrNotFinite)
		}
	}
	return nil
}
