package corpus

import (
	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// alignMoves are the computations from a misalignment to moves and back.
func alignMoves() map[string]Computation {
	return map[string]Computation{
		"align.moves":       computation(movesAtFeet),
		"align.after-moves": computation(afterMoves),
	}
}

type movesInput struct {
	Axis axisInput `json:"axis"`
	Ask  asked     `json:"ask"`
}

func movesAtFeet(in movesInput) (r Result, err error) {
	a, err := in.Axis.axis("input.axis")
	if err != nil {
		return r, err
	}
	if err := in.Ask.check(); err != nil {
		return r, err
	}
	both := planes{true, true}
	for _, s := range in.Ask.Stations {
		r.Offset("offset."+s.Name, a.At(unit.Length(s.At)))
	}
	return r, in.Ask.moves(&r, both, a)
}

type footMovesInput struct {
	Feet     feetInput   `json:"feet"`
	Inboard  offsetInput `json:"inboard"`
	Outboard offsetInput `json:"outboard"`
}

func (f footMovesInput) moves() align.FootMoves {
	return align.FootMoves{Inboard: align.Move(f.Inboard.offset()), Outboard: align.Move(f.Outboard.offset())}
}

type afterMovesInput struct {
	Axis axisInput       `json:"axis"`
	Near *footMovesInput `json:"near"`
	Far  *footMovesInput `json:"far"`
	Ask  *asked          `json:"ask"`
}

// afterMoves gives the misalignment that is left: slope.vertical,
// offset.NAME.vertical at the stations asked.
func afterMoves(in afterMovesInput) (r Result, err error) {
	a, err := in.Axis.axis("input.axis")
	if err != nil {
		return r, err
	}
	if in.Near != nil {
		if a, err = a.AfterNear(in.Near.Feet.feet(), in.Near.moves()); err != nil {
			return r, align.In(err, "input.near")
		}
	}
	if in.Far != nil {
		if a, err = a.AfterFar(in.Far.Feet.feet(), in.Far.moves()); err != nil {
			return r, align.In(err, "input.far")
		}
	}
	ask := question(in.Ask)
	if err := ask.check(); err != nil {
		return r, err
	}
	r.Slope("slope", a.Slope())
	for _, s := range ask.Stations {
		r.Offset("offset."+s.Name, a.At(unit.Length(s.At)))
	}
	return r, ask.moves(&r, planes{true, true}, a)
}
