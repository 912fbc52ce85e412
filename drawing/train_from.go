package drawing

import (
	"cmp"
	"math"
	"slices"
	"strconv"

	"collinear.example/align"
	"collinear.example/moves"
	"collinear.example/piping"
	"gonum.org/v1/gonum/unit"
)

// Chain returns the shafts of a train from the misalignments at its couplings, far
// less near, in their order, with the first shaft as the line of zero:
//
//	shaft(i+1) = shaft(i) + misalignment(i)
func Chain(misalignments []align.Axis) []align.Axis { return chainFrom(align.Axis{}, misalignments) }

func chainFrom(first align.Axis, misalignments []align.Axis) []align.Axis {
	shafts := append(make([]align.Axis, 0, len(misalignments)+1), first)
	for _, e := range misalignments {
		shafts = append(shafts, shafts[len(shafts)-1].Add(e))
	}
	return shafts
}

// UncertaintyOf returns the uncertainty of the far shaft against the near one as a
// measurement found it, widened by the coverage factor k. With the covariance of
// offset and slope at a station x the two are not correlated at
//
//	about = x - cov(offset, slope)/var(slope)
//
// (law of propagation). It is zero where the measurement does not know its own
// uncertainty; see align.Position.SigmaFrom.
func UncertaintyOf(p *align.Position, k float64) Uncertainty {
	c := p.Covariance(0)
	return Uncertainty{Vertical: bandOf(c[0][0], c[0][1], c[1][1], k), Horizontal: bandOf(c[2][2], c[2][3], c[3][3], k)}
}

func bandOf(offset, both, slope, k float64) Band {
	if !(slope > 0) {
		return Band{Offset: unit.Length(k * math.Sqrt(max(0, offset)))}
	}
	return Band{
		About:  unit.Length(-both / slope),
		Offset: unit.Length(k * math.Sqrt(max(0, offset-both*both/slope))),
		Slope:  k * math.Sqrt(slope),
	}
}

// FlangeCut returns the cut through a pair of flanges from a clock position of the
// flange to the opposite one:
//
//	gap at either end = mean +- (diameter/2) (tilt . n)
//
// (geometry, n the direction of the clock position). The offset is the part of it
// along the cut.
func FlangeCut(m piping.Misfit, diameter unit.Length, at align.Clock) Flange {
	up, right := at.Unit()
	opening := diameter / 2 * unit.Length(m.Tilt.Up*up+m.Tilt.Right*right)
	f := Flange{
		Name: m.Pair.Name, Diameter: diameter,
		Gaps: [2]FlangeGap{{at.Normal().String(), m.Mean + opening}, {(at + 180).Normal().String(), m.Mean - opening}},
	}
	if m.Offset != nil {
		off := unit.Length(up)*m.Offset.Up + unit.Length(right)*m.Offset.Right
		f.Offset = &off
	}
	return f
}

// FromMoves returns the train of a plan as found, after the motions, and running in
// each of its states, with the moves of the feet of those machines that may move. The
// motions are those of a moves.Plan, or any others, one for each machine.
//
// The first shaft as found is the line of zero. How it moves itself when the train
// runs is not known to a plan: it is drawn where it stands, and the others against it.
// Flex planes are the first and the last station at which a coupling has an offset
// limit. A casing is drawn a little beyond its outer feet. Title, plant and unit are
// left to be filled in; more than two states must be cut down to two before Draw.
//
// Errors: those of moves.Train.Evaluate; mismatch for couplings that do not join each
// machine to the next; missing for a machine without feet and a coupling without
// offset limits.
func FromMoves(t *moves.Train, motions []align.Motion) (Train, error) {
	e, err := t.Evaluate(motions)
	if err != nil {
		return Train{}, err
	}
	if len(t.Couplings) != len(t.Machines)-1 {
		return Train{}, trainMismatch("couplings", strconv.Itoa(len(t.Couplings)), "there must be one coupling between each machine and the next")
	}
	var out Train
	for i := range t.Couplings {
		c, err := couplingFrom(&t.Couplings[i], i)
		if err != nil {
			return Train{}, align.In(err, item("couplings", i))
		}
		out.Couplings = append(out.Couplings, c)
	}
	for i := range t.Machines {
		m := &t.Machines[i]
		if len(m.Feet) == 0 {
			return Train{}, sheetFault(item("machines", i)+".feet", "", align.ErrMissing)
		}
		drawn := Machine{Name: m.Name, Feet: feetFrom(m, e.Feet[i])}
		out.Machines = append(out.Machines, drawn)
		out.casing(i)
	}
	out.States = statesFrom(t, motions, &e)
	return out, nil
}

func couplingFrom(c *moves.Coupling, i int) (Coupling, error) {
	switch {
	case c.Near.Machine != i:
		return Coupling{}, trainMismatch("near.machine", strconv.Itoa(c.Near.Machine), "couplings must join each machine to the next, in their order")
	case c.Far.Machine != i+1:
		return Coupling{}, trainMismatch("far.machine", strconv.Itoa(c.Far.Machine), "couplings must join each machine to the next, in their order")
	case len(c.Offsets) == 0:
		return Coupling{}, sheetFault("offsets", "", align.ErrMissing)
	}
	byStation := func(a, b moves.OffsetLimit) int { return cmp.Compare(a.Station, b.Station) }
	out := Coupling{Name: c.Name, NearFlex: slices.MinFunc(c.Offsets, byStation).Station, FarFlex: slices.MaxFunc(c.Offsets, byStation).Station, Resultant: true}
	least := func(limit *unit.Length, o *moves.OffsetLimit) {
		if *limit == 0 || o.Limit < *limit {
			*limit = o.Limit
		}
	}
	for k := range c.Offsets {
		o := &c.Offsets[k]
		out.Resultant = out.Resultant && o.Resultant
		if o.Station == out.NearFlex {
			least(&out.NearLimit, o)
		}
		if o.Station == out.FarFlex {
			least(&out.FarLimit, o)
		}
	}
	return out, nil
}

// feetFrom returns the feet by rising station, with their sides where two stand at
// one station.
func feetFrom(m *moves.Machine, moved []moves.FootMove) []Foot {
	order := make([]int, len(m.Feet))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(m.Feet[a].At.X, m.Feet[b].At.X), cmp.Compare(m.Feet[a].At.Z, m.Feet[b].At.Z))
	})
	feet := make([]Foot, len(order))
	for k, i := range order {
		feet[k] = Foot{Name: m.Feet[i].Name, Station: m.Feet[i].At.X}
		if m.Free != (piping.Ways{}) {
			move := moved[i].Move
			feet[k].Move = &move
		}
		if k > 0 && feet[k-1].Station == feet[k].Station {
			feet[k-1].Side, feet[k].Side = LeftSide, RightSide
		}
	}
	return feet
}

// casing sets start and end of a machine: a tenth of the distance of its feet beyond
// the outer ones, or half of what there is up to the next flex plane.
func (t *Train) casing(i int) {
	m := &t.Machines[i]
	first, last := m.Feet[0].Station, m.Feet[len(m.Feet)-1].Station
	over := max((last-first)/10, 50*align.Millimetre)
	m.Start, m.End = first-over, last+over
	if i > 0 {
		m.Start = first - min(over, (first-t.Couplings[i-1].FarFlex)/2)
	}
	if i < len(t.Couplings) {
		m.End = last + min(over, (t.Couplings[i].NearFlex-last)/2)
	}
}

func statesFrom(t *moves.Train, motions []align.Motion, e *moves.Evaluation) []State {
	found := make([]align.Axis, len(t.Couplings))
	cold := make([]align.Axis, len(t.Couplings))
	for i := range t.Couplings {
		found[i], cold[i] = t.Couplings[i].Found, e.Couplings[i].Cold
	}
	first := motions[0].Axis(align.Place{})
	if len(t.Couplings) > 0 {
		near := &t.Couplings[0].Near
		first = motions[0].Axis(align.Place{Y: near.Height, Z: near.Lateral})
	}
	out := []State{{Kind: AsFound, Shafts: Chain(found)}, {Kind: AfterMove, Shafts: chainFrom(first, cold)}}
	for k := range t.States {
		running := make([]align.Axis, len(t.Couplings))
		for i := range running {
			running[i] = e.Couplings[i].States[k].Axis
		}
		out = append(out, State{Name: t.States[k].Name, Kind: Running, Shafts: chainFrom(first, running)})
	}
	return out
}
