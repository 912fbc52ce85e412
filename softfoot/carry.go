package softfoot

import (
	"math"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Plane is where the soles of a rigid machine are: its height at a point is
//
//	y = Height + Along (x - x0) + Across (z - z0)
//
// with (x0, z0) the point From. Along is positive when the soles rise along
// +x, Across when they rise toward +z. Slopes are rise over run.
type Plane struct {
	From          Point
	Height        unit.Length
	Along, Across float64
}

// At returns the height of the plane at a point.
func (p Plane) At(q Point) unit.Length {
	dx, dz := float64(q.Station-p.From.Station), float64(q.Lateral-p.From.Lateral)
	return p.Height + unit.Length(float64(p.Along*dx)+float64(p.Across*dz))
}

// Rest is one way in which a machine stands still: on three feet, its soles in
// Plane, every other foot on its pad or above it.
type Rest struct {
	Three [3]int     // the feet that hold it, in rising order of their place in Feet
	Load  [3]float64 // share of the weight on each of Three; together 1
	Plane Plane
	// Off is how far the centre of gravity would have to be from the one used
	// for the machine to come to rest this way; zero for the sure ones.
	Off unit.Length

	touching uint32 // bit i: foot i is on its pad
}

// Carries reports whether foot i is on its pad: one of the three, or another
// whose pad happens to be in the same plane.
func (r Rest) Carries(i int) bool { return i >= 0 && i < MaxFeet && r.touching&(1<<i) != 0 }

// LoadKnown reports whether the shares of Load are determined: they are when
// exactly three feet touch. With more, a rigid machine may share its weight in
// many ways and Load is one of them.
func (r Rest) LoadKnown() bool { return onesIn(r.touching) == 3 }

func onesIn(set uint32) (n int) {
	for ; set != 0; set &= set - 1 {
		n++
	}
	return n
}

// Seating is how a loose machine stands on its pads.
type Seating struct {
	// Rests are the ways to rest, the surest first. One is a steady machine.
	// Two or more rock: the centre of gravity is above the line between two
	// feet, or as near to it as CentreWithin says.
	Rests    []Rest
	Centre   Point
	Assumed  bool // Centre is the middle of the feet because none was given
	Warnings []align.Warning

	machine Machine
}

// Rocks reports whether there is more than one way to rest.
func (s Seating) Rocks() bool { return len(s.Rests) > 1 }

// Flat reports whether every foot is on its pad.
func (s Seating) Flat() bool {
	return len(s.Rests) == 1 && onesIn(s.Rests[0].touching) == len(s.machine.Feet)
}

// Gap returns the gap under a foot in a way to rest, never negative: zero for
// a foot that carries, and for a rest or foot that does not exist.
//
//	gap = plane(x, z) - pad height
func (s Seating) Gap(rest, foot int) unit.Length {
	if rest < 0 || rest >= len(s.Rests) || foot < 0 || foot >= len(s.machine.Feet) || s.Rests[rest].Carries(foot) {
		return 0
	}
	return max(0, s.Rests[rest].Plane.At(s.machine.Feet[foot].At())-s.machine.height(foot))
}

// Carrying returns the names of the feet that touch in a way to rest.
func (s Seating) Carrying(rest int) []string {
	var names []string
	if rest < 0 || rest >= len(s.Rests) {
		return nil
	}
	for i, f := range s.machine.Feet {
		if s.Rests[rest].Carries(i) {
			names = append(names, f.Name)
		}
	}
	return names
}

// Seat finds which feet carry a machine that stands loose on uneven pads.
//
// The machine comes to rest with its centre of gravity as low as the pads
// allow:
//
//	minimise plane(centre) subject to plane(foot i) >= height i
//
// The answer is a plane on three pads whose triangle, seen from above, holds
// the centre of gravity, with no pad above the plane; statics of a rigid body
// on frictionless pads, so pipes and couplings must be free. When the centre is
// above the line between two feet the plane is not unique: both positions are
// returned and WarnRocks says so.
//
// Errors are those of CheckFeet, missing or mismatched gaps or heights,
// negative gaps, a height spread above one hundredth of the span
// (ErrTiltTooLarge) and ErrCentreOutside.
func (m Machine) Seat() (Seating, error) {
	if err := m.check(); err != nil {
		return Seating{}, err
	}
	s := Seating{machine: m, Rests: make([]Rest, 0, 2)}
	s.Centre, s.Assumed = m.Balance()
	var held bool
	s.Rests, held = m.rests(s.Rests, s.Centre)
	if !held {
		return Seating{}, fault("centre", millimetres(s.Centre.Station)+", "+millimetres(s.Centre.Lateral), ErrCentreOutside)
	}
	if len(s.Rests) == 0 {
		return Seating{}, fault("heights", "", align.ErrUndetermined)
	}
	s.warn()
	return s, nil
}

// rests appends every way to rest to out, the surest first, and says whether
// some three feet have the centre between them.
func (m *Machine) rests(out []Rest, centre Point) (rests []Rest, held bool) {
	exact := 1e-9 * spanOf(m.Feet)
	reach := max(exact, float64(m.CentreWithin))
	for k := 2; k < len(m.Feet); k++ {
		for j := 1; j < k; j++ {
			for i := range j {
				r, off, ok := m.on([3]int{i, j, k}, centre)
				if !ok {
					continue
				}
				held = held || off <= exact
				if off > reach || !m.supports(&r) {
					continue
				}
				if off > exact {
					r.Off = unit.Length(off)
				}
				out = addRest(out, r)
			}
		}
	}
	return out, held
}

// addRest puts r in its place in the order of Off, unless the same position is
// there already on other feet of the same plane: then the three feet nearest
// around the centre stand for it.
func addRest(rests []Rest, r Rest) []Rest {
	at := len(rests)
	for i := range rests {
		if rests[i].touching&r.touching != r.touching {
			continue
		}
		if r.Off >= rests[i].Off {
			return rests
		}
		at, r.touching = i, rests[i].touching
		break
	}
	if at == len(rests) {
		rests = append(rests, r)
	}
	rests[at] = r
	for ; at > 0 && rests[at].Off < rests[at-1].Off; at-- {
		rests[at], rests[at-1] = rests[at-1], rests[at]
	}
	return rests
}

// on returns the machine on three feet and how far the centre is outside their
// triangle. ok is false when the three are in line.
func (m *Machine) on(three [3]int, centre Point) (r Rest, off float64, ok bool) {
	a, b, c := m.Feet[three[0]].At(), m.Feet[three[1]].At(), m.Feet[three[2]].At()
	long := max(distance(a, b), distance(b, c), distance(c, a))
	area := doubleArea(a, b, c)
	if math.Abs(area) <= thin*long*long {
		return r, 0, false
	}
	p, off := nearest(centre, a, b, c)
	r.Three = three
	r.Load = shares(p, a, b, c)
	r.Plane = through(centre, a, b, c, m.height(three[0]), m.height(three[1]), m.height(three[2]))
	return r, off, true
}

// through returns the plane through three points, counted from a point.
//
//	slopes from Cramer's rule on the two edges that leave a
func through(from, a, b, c Point, ha, hb, hc unit.Length) Plane {
	area := doubleArea(a, b, c)
	bx, bz, bh := float64(b.Station-a.Station), float64(b.Lateral-a.Lateral), float64(hb-ha)
	cx, cz, ch := float64(c.Station-a.Station), float64(c.Lateral-a.Lateral), float64(hc-ha)
	p := Plane{From: a, Height: ha}
	p.Along = (float64(bh*cz) - float64(ch*bz)) / area
	p.Across = (float64(bx*ch) - float64(cx*bh)) / area
	p.Height, p.From = p.At(from), from
	return p
}

// shares returns the weights, together 1, that put p at the weighted mean of
// the corners: the loads of three feet by moments. Rounding below zero is cut.
func shares(p, a, b, c Point) [3]float64 {
	area := doubleArea(a, b, c)
	w := [3]float64{
		max(0, doubleArea(p, b, c)/area),
		max(0, doubleArea(p, c, a)/area),
		max(0, doubleArea(p, a, b)/area),
	}
	sum := w[0] + w[1] + w[2]
	return [3]float64{w[0] / sum, w[1] / sum, w[2] / sum}
}

// nearest returns the point of triangle a, b, c nearest to p, and how far it is.
func nearest(p, a, b, c Point) (Point, float64) {
	s := math.Copysign(1, doubleArea(a, b, c))
	if s*doubleArea(p, a, b) >= 0 && s*doubleArea(p, b, c) >= 0 && s*doubleArea(p, c, a) >= 0 {
		return p, 0
	}
	best := onEdge(p, a, b)
	for _, q := range [2]Point{onEdge(p, b, c), onEdge(p, c, a)} {
		if distance(p, q) < distance(p, best) {
			best = q
		}
	}
	return best, distance(p, best)
}

// onEdge returns the point of the line from a to b nearest to p.
func onEdge(p, a, b Point) Point {
	ex, ez := float64(b.Station-a.Station), float64(b.Lateral-a.Lateral)
	px, pz := float64(p.Station-a.Station), float64(p.Lateral-a.Lateral)
	t := (float64(px*ex) + float64(pz*ez)) / (float64(ex*ex) + float64(ez*ez))
	t = min(1, max(0, t))
	return Point{a.Station + unit.Length(t*ex), a.Lateral + unit.Length(t*ez)}
}

// supports reports whether no pad is above the plane, and notes those in it.
func (m *Machine) supports(r *Rest) bool {
	for i, f := range m.Feet {
		gap := r.Plane.At(f.At()) - m.height(i)
		if gap < -touch {
			return false
		}
		if gap <= touch {
			r.touching |= 1 << i
		}
	}
	for _, i := range r.Three {
		r.touching |= 1 << i
	}
	return true
}

// thinnestLeaf is the thinnest leaf of a usual set of feelers; common
// practice, no source.
const thinnestLeaf = align.Mil

// warn adds what is suspect about a seating.
func (s *Seating) warn() {
	if s.Assumed {
		s.Warnings = append(s.Warnings, align.Warning{Code: WarnCentreAssumed, Meaning: warningMeaning(WarnCentreAssumed), Severity: align.Notice, Field: "centre"})
	}
	if s.Rocks() {
		s.Warnings = append(s.Warnings, align.Warning{Code: WarnRocks, Meaning: warningMeaning(WarnRocks), Severity: align.Notice, Field: "feet"})
	}
	if s.machine.Gaps == nil {
		return
	}
	if d := s.disagreement(); d > thinnestLeaf {
		s.Warnings = append(s.Warnings, align.Warning{Code: WarnNotResting, Meaning: warningMeaning(WarnNotResting), Severity: align.Suspect, Field: "gaps",
			Value: float64(d), Limit: float64(thinnestLeaf), Unit: align.UnitMillimetre})
	}
}

// disagreement returns the largest gap measured at a foot that should carry,
// for the way to rest that agrees best. A machine held up by its pipe or its
// coupling shows such gaps.
func (s *Seating) disagreement() unit.Length {
	var best unit.Length
	for k, r := range s.Rests {
		var worst unit.Length
		for _, i := range r.Three {
			worst = max(worst, s.machine.Gaps[i])
		}
		if k == 0 || worst < best {
			best = worst
		}
	}
	return best
}
