package corpus

import (
	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// asked is what a position computation is asked for, next to its readings.
type asked struct {
	Stations []stationInput `json:"stations,omitempty"`
	Near     *feetInput     `json:"near"`   // feet of the near machine
	Far      *feetInput     `json:"far"`    // feet of the far machine
	Target   *axisInput     `json:"target"` // misalignment wanted; zero when absent
}

// stationInput is a named station.
type stationInput struct {
	Name string `json:"name"`
	At   Length `json:"at"`
}

type feetInput struct {
	Inboard  Length `json:"inboard"`
	Outboard Length `json:"outboard"`
}

func (f feetInput) feet() align.Feet {
	return align.Feet{Inboard: unit.Length(f.Inboard), Outboard: unit.Length(f.Outboard)}
}

// position adds what was asked of a position: slope.vertical,
// offset.NAME.vertical for each station, the moves near.inboard.vertical and so
// on at the feet, condition, and where uncertainty is known sigma.NAME.vertical
// and sigma.slope.vertical. A plane that is not known is left out.
func (a *asked) position(p align.Position) (r Result, err error) {
	if err := a.check(); err != nil {
		return r, err
	}
	planes := planes{p.VerticalKnown, p.HorizontalKnown}
	planes.slope(&r, "slope", p.Slope())
	r.Ratio("condition", p.Condition)
	r.Ratio("degrees-of-freedom", float64(p.DoF))
	for _, s := range a.Stations {
		planes.offset(&r, "offset."+s.Name, p.At(unit.Length(s.At)))
	}
	if err := a.moves(&r, planes, p.Axis); err != nil {
		return r, err
	}
	if p.SigmaFrom != align.SigmaUnknown {
		planes.slope(&r, "sigma.slope", p.SlopeSigma())
		for _, s := range a.Stations {
			planes.offset(&r, "sigma."+s.Name, align.Offset(p.OffsetSigma(unit.Length(s.At))))
		}
	}
	r.Warn(p.Warnings...)
	return r, nil
}

// check wants finite stations.
func (a *asked) check() error {
	for _, s := range a.Stations {
		if err := align.CheckLength("input.ask."+s.Name, unit.Length(s.At)); err != nil {
			return err
		}
	}
	for _, f := range []*feetInput{a.Near, a.Far} {
		if f == nil {
			continue
		}
		if err := align.CheckLength("input.ask.inboard", unit.Length(f.Inboard)); err != nil {
			return err
		}
		if err := align.CheckLength("input.ask.outboard", unit.Length(f.Outboard)); err != nil {
			return err
		}
	}
	return nil
}

// moves adds the moves at the feet, to the target where there is one.
func (a *asked) moves(r *Result, planes planes, axis align.Axis) error {
	if a.Target != nil {
		t, err := a.Target.axis("input.target")
		if err != nil {
			return err
		}
		axis = axis.Sub(t)
	}
	if a.Near != nil {
		m := axis.MoveNearFeet(a.Near.feet())
		planes.offset(r, "near.inboard", align.Offset(m.Inboard))
		planes.offset(r, "near.outboard", align.Offset(m.Outboard))
	}
	if a.Far != nil {
		m := axis.MoveFarFeet(a.Far.feet())
		planes.offset(r, "far.inboard", align.Offset(m.Inboard))
		planes.offset(r, "far.outboard", align.Offset(m.Outboard))
	}
	return nil
}

// planes says which planes are known, so that the other is left out.
type planes struct{ vertical, horizontal bool }

func (p planes) offset(r *Result, name string, o align.Offset) {
	if p.vertical {
		r.Length(name+".vertical", o.Vertical)
	}
	if p.horizontal {
		r.Length(name+".horizontal", o.Horizontal)
	}
}

func (p planes) slope(r *Result, name string, s align.Slope) {
	if p.vertical {
		r.Ratio(name+".vertical", s.Vertical)
	}
	if p.horizontal {
		r.Ratio(name+".horizontal", s.Horizontal)
	}
}

// solved turns the outcome of a method into a result.
func (a *asked) solved(p align.Position, err error) (Result, error) {
	if err != nil {
		return Result{}, err
	}
	return a.position(p)
}
