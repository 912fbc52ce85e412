package corpus

import (
	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// alignGaps are the computations on gaps taken with feelers.
func alignGaps() map[string]Computation {
	return map[string]Computation{
		"align.face-gaps":         computation(faceGaps),
		"align.straightedge-gaps": computation(straightedgeGaps),
	}
}

type faceGapsInput struct {
	Diameter Length  `json:"diameter"`
	Top      Length  `json:"top"`
	Right    Length  `json:"right"`
	Bottom   Length  `json:"bottom"`
	Left     Length  `json:"left"`
	Sigma    *Length `json:"sigma"`
}

func (g faceGapsInput) gaps() align.FaceGaps {
	return align.FaceGaps{
		Diameter: unit.Length(g.Diameter), Top: unit.Length(g.Top), Right: unit.Length(g.Right),
		Bottom: unit.Length(g.Bottom), Left: unit.Length(g.Left), Sigma: g.Sigma.Of(),
	}
}

func faceGaps(in faceGapsInput) (r Result, err error) {
	k, err := in.gaps().Slope()
	if err != nil {
		return r, err
	}
	r.Slope("slope", k.Slope)
	return r, nil
}

type straightedgeInput struct {
	Top    Length `json:"top"`
	Right  Length `json:"right"`
	Bottom Length `json:"bottom"`
	Left   Length `json:"left"`
}

func straightedgeGaps(in straightedgeInput) (r Result, err error) {
	g := align.StraightedgeGaps{
		Top: unit.Length(in.Top), Right: unit.Length(in.Right), Bottom: unit.Length(in.Bottom), Left: unit.Length(in.Left),
	}
	for _, v := range []unit.Length{g.Top, g.Right, g.Bottom, g.Left} {
		if err := align.CheckLength("gap", v); err != nil {
			return r, err
		}
	}
	r.Offset("offset", g.Offset())
	return r, nil
}
