package corpus

import (
	"collinear.example/tolerance"
	"gonum.org/v1/gonum/unit"
)

// limitGeometryInput is what a limit must know of the machine.
type limitGeometryInput struct {
	Size           string     `json:"size,omitempty"`
	Speed          *Frequency `json:"speed"`
	NearFlex       *Length    `json:"nearFlex"`
	FarFlex        *Length    `json:"farFlex"`
	NearFace       *Length    `json:"nearFace"`
	FarFace        *Length    `json:"farFace"`
	FaceDiameter   *Length    `json:"faceDiameter"`
	RunoutLength   *Length    `json:"runoutLength"`
	RunnerDiameter *Length    `json:"runnerDiameter"`
	Clearance      *Length    `json:"clearance"`
}

func (g limitGeometryInput) geometry() tolerance.Geometry {
	out := tolerance.Geometry{
		Size:     g.Size,
		NearFlex: g.NearFlex.Of(), FarFlex: g.FarFlex.Of(),
		NearFace: g.NearFace.Of(), FarFace: g.FarFace.Of(),
		FaceDiameter: g.FaceDiameter.Of(), RunoutLength: g.RunoutLength.Of(),
		RunnerDiameter: g.RunnerDiameter.Of(), Clearance: g.Clearance.Of(),
	}
	if g.Speed != nil {
		out.Speed = unit.Frequency(*g.Speed)
	}
	return out
}
