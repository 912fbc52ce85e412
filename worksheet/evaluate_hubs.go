package worksheet

import (
	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// hubGaps works out the gaps between two hubs, and parts the faults of the hubs
// from the misalignment where half a turn was made between.
func (e *evaluator) hubGaps() {
	last := map[string]int{}
	for i := range e.Hubs {
		h, path := &e.Hubs[i], at("hubs", i)
		s := e.hubSource(h).by("gaps are not halved: bottom less top and left less right over the diameter", "align.FaceGaps.Slope").from(path+".gaps", path+".diameter")
		g, err := e.faceGaps(h)
		if err != nil {
			e.failed(s, path, "gaps of the hub faces", align.In(err, path))
			continue
		}
		k, err := g.Slope()
		if err != nil {
			e.failed(s, path, "gaps of the hub faces", align.In(err, path))
			continue
		}
		for _, p := range bothOfThem {
			e.slope(s, path+".slope."+p.name, "slope of the far hub's face against the near one, "+p.name, p.slopeOf(k.Slope), slopeWords(p))
		}
		e.straightedge(path, h)
		before, ok := last[h.Coupling]
		if ok && halfTurnApart(e.Hubs[before].Turned, h.Turned) && e.Hubs[before].Diameter == h.Diameter {
			e.halfTurn(before, i)
		}
		last[h.Coupling] = i
	}
}

func (e *evaluator) hubSource(h *HubGaps) source {
	return source{part: PartRunout, of: "hubs of " + h.Coupling + " by gaps", topic: topicGaps, about: h.Coupling}
}

func slopeWords(p plane) option {
	if p.vertical {
		return signed("far shaft rises along x, gap wider at the bottom", "far shaft falls along x, gap wider at the top")
	}
	return signed("far shaft leads toward 3 o'clock, gap wider at the left", "far shaft leads toward 9 o'clock, gap wider at the right")
}

func halfTurnApart(a, b float64) bool {
	return align.Clock(b-a).Normal() == 180
}

// faceGaps are the gaps at the quarter positions, as package align has them.
func (e *evaluator) faceGaps(h *HubGaps) (align.FaceGaps, error) {
	q, err := e.quarterGaps("gaps", h.Gaps)
	return align.FaceGaps{Diameter: unit.Length(e.Units.length(h.Diameter)), Top: q[0], Right: q[1], Bottom: q[2], Left: q[3]}, err
}

func (e *evaluator) quarterGaps(field string, rs []Reading) (out [4]unit.Length, err error) {
	q, err := quarters(field, rs)
	for i := range q {
		out[i] = unit.Length(e.Units.reading(q[i]))
	}
	return out, err
}

func (e *evaluator) straightedge(path string, h *HubGaps) {
	if h.Straightedge == nil {
		return
	}
	path += ".straightedge"
	s := e.hubSource(h).by("half of bottom less top and of left less right", "align.StraightedgeGaps.Offset").from(path + ".gaps")
	q, err := e.quarterGaps("gaps", h.Straightedge.Gaps)
	if err != nil {
		e.failed(s, path, "gaps under the straightedge", align.In(err, path))
		return
	}
	o := align.StraightedgeGaps{Top: q[0], Right: q[1], Bottom: q[2], Left: q[3]}.Offset()
	for _, p := range bothOfThem {
		e.length(s, path+".offset."+p.name, "offset of the far hub by the straightedge, "+p.name, p.of(o), upRight(p.vertical, "far hub stands off"))
	}
}

// halfTurn parts what turned with the hubs from what stayed, as slopes.
func (e *evaluator) halfTurn(before, after int) {
	h, path := &e.Hubs[after], at("hubs", after)
	s := e.hubSource(h).by("half the sum stays, half the difference turns with the hubs", "align.HalfTurn").from(at("hubs", before)+".gaps", path+".gaps")
	a, errA := e.faceGaps(&e.Hubs[before])
	b, errB := e.faceGaps(h)
	if errA != nil || errB != nil {
		return // said at each
	}
	turn := align.HalfTurn{Before: gapDifference(a), After: gapDifference(b)}
	for _, p := range bothOfThem {
		e.length(s, path+".stayed."+p.name, "gap difference that stayed, the misalignment, "+p.name, p.of(turn.Misalignment()), differenceWords(p))
		e.length(s, path+".turned."+p.name, "gap difference that turned with the hubs, as it stood first, "+p.name, p.of(turn.HubError()), differenceWords(p))
	}
}

func differenceWords(p plane) option {
	if p.vertical {
		return signed("wider at the bottom", "wider at the top")
	}
	return signed("wider at the left", "wider at the right")
}

// gapDifference is the difference of the gaps, bottom less top and left less
// right: the quantity that the half turn parts.
func gapDifference(g align.FaceGaps) align.Offset {
	return align.Offset{Vertical: g.Bottom - g.Top, Horizontal: g.Left - g.Right}
}
