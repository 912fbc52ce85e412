package runout

import (
	"strconv"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// PlumbPosition is one position of the shaft in a plumb survey.
type PlumbPosition struct {
	// Turned is how far the shaft was turned from the first position, degrees
	// clockwise seen from above; give a shaft turned the other way negative.
	Turned float64
	Wires  []Wires // one for each elevation of the survey, from the top down
}

// PlumbSurvey is what four plumb wires showed at two or more elevations with
// the shaft in three or more positions; four positions a quarter turn apart are
// usual. The wires may be moved between positions, not between elevations.
type PlumbSurvey struct {
	Elevations []unit.Length // from the top down, up positive, from any datum
	Positions  []PlumbPosition
}

// PlumbStand is how the shaft stood in one position.
type PlumbStand struct {
	Turned     float64
	Sheets     []PlumbSheet // one for each elevation below the first
	Deviations []Deviation  // from the chord, one for each elevation; empty with two elevations
}

// Bow is the part of the deviation from the chord at one elevation that turns
// with the shaft, and the part that does not.
type Bow struct {
	Elevation unit.Length
	Shaft     Lean // of the shaft itself, at turn 0
	Fixed     Lean // does not turn: a disturbed wire or a misreading, not the shaft
}

// PlumbResult is a plumb survey worked out.
type PlumbResult struct {
	Height   unit.Length // between the highest and the lowest reading
	Stands   []PlumbStand
	Orbits   []Orbit // of each elevation below the first, about the first
	Bows     []Bow   // of the elevations between top and bottom
	Warnings []align.Warning
}

// Lowest returns the orbit at the lowest elevation, the static runout.
func (r PlumbResult) Lowest() Orbit { return r.Orbits[len(r.Orbits)-1] }

// Slope returns the slope of the line of centres of runout from the highest to
// the lowest reading, how far from plumb per unit of height.
func (r PlumbResult) Slope() float64 {
	return float64(r.Lowest().Centre.Size() / r.Height)
}

// Farthest returns the largest deviation from the chord over all positions; the
// zero Deviation with only two elevations.
func (r PlumbResult) Farthest() (worst Deviation) {
	for _, s := range r.Stands {
		if d := Farthest(s.Deviations); d.Away.Size() > worst.Away.Size() {
			worst = d
		}
	}
	return worst
}

// Solve works out every position and what they show together. The centre of
// runout is where the shaft point would hang if it had no runout: when that is
// plumb, the shaft is out of plumb by half the runout in every position (FIST
// 2-1, p. 12).
//
// Errors: align.ErrMissing for fewer than two elevations, align.ErrCoincident
// and align.ErrOutOfRange for elevations that do not go down,
// align.ErrTooFewPositions and align.ErrArcTooNarrow for the turns,
// align.ErrMismatch when a position does not have a set of wires for each
// elevation, align.ErrNotFinite, align.ErrNegative. Warnings: those of
// PlumbSheet.CheckRoundness against ReclamationRoundness, and of FitOrbit.
func (p PlumbSurvey) Solve() (PlumbResult, error) {
	if err := p.check(); err != nil {
		return PlumbResult{}, err
	}
	n := len(p.Elevations)
	r := PlumbResult{Height: p.Elevations[0] - p.Elevations[n-1]}
	for i := range p.Positions {
		s, err := p.stand(i)
		if err != nil {
			return PlumbResult{}, err
		}
		r.Stands = append(r.Stands, s)
	}
	if err := r.orbits(n - 1); err != nil {
		return PlumbResult{}, err
	}
	if err := r.bows(); err != nil {
		return PlumbResult{}, err
	}
	return r, r.roundness()
}

func (p PlumbSurvey) check() error {
	if len(p.Elevations) < 2 {
		return plumbFault("elevations", strconv.Itoa(len(p.Elevations))+" elevations, want two or more", align.ErrMissing)
	}
	if err := checkDescending("elevations", p.Elevations); err != nil {
		return err
	}
	for i, s := range p.Positions {
		if len(s.Wires) != len(p.Elevations) {
			return plumbFault(plumbPath(i)+".wires", strconv.Itoa(len(s.Wires))+" sets", align.ErrMismatch)
		}
	}
	return nil
}

func plumbPath(i int) string { return "positions[" + strconv.Itoa(i) + "]" }

func (p PlumbSurvey) stand(i int) (PlumbStand, error) {
	in := p.Positions[i]
	s := PlumbStand{Turned: in.Turned}
	points := []ShaftPoint{{Elevation: p.Elevations[0]}}
	for k, w := range in.Wires[1:] {
		sheet, err := NewPlumbSheet(in.Wires[0], w)
		if err != nil {
			return s, align.In(err, plumbPath(i)+".wires["+strconv.Itoa(k+1)+"]")
		}
		s.Sheets = append(s.Sheets, sheet)
		points = append(points, ShaftPoint{p.Elevations[k+1], sheet.OutOfPlumb})
	}
	if len(points) < 3 {
		return s, nil
	}
	var err error
	s.Deviations, err = FromChord(points)
	return s, align.In(err, plumbPath(i))
}

// orbits fits the orbit at each lower elevation.
func (r *PlumbResult) orbits(levels int) error {
	points := make([]OrbitPoint, len(r.Stands))
	for k := range levels {
		for i, s := range r.Stands {
			points[i] = OrbitPoint{s.Turned, s.Sheets[k].OutOfPlumb}
		}
		o, err := FitOrbit(points)
		if err != nil {
			return align.In(err, "positions")
		}
		r.Orbits = append(r.Orbits, o)
		r.Warnings = append(r.Warnings, o.Warnings...)
	}
	return nil
}

// bows splits the deviations into what turns and what stays.
func (r *PlumbResult) bows() error {
	between := len(r.Orbits) - 1
	points := make([]OrbitPoint, len(r.Stands))
	for k := 1; k <= between; k++ {
		for i, s := range r.Stands {
			points[i] = OrbitPoint{s.Turned, s.Deviations[k].Away}
		}
		o, err := FitOrbit(points)
		if err != nil {
			return align.In(err, "positions")
		}
		r.Bows = append(r.Bows, Bow{r.Stands[0].Deviations[k].Elevation, o.Throw, o.Centre})
	}
	return nil
}

func (r *PlumbResult) roundness() error {
	for i, s := range r.Stands {
		for k, sheet := range s.Sheets {
			ws, err := sheet.CheckRoundness(ReclamationRoundness())
			if err != nil {
				return err
			}
			for _, w := range ws {
				w.Field = plumbPath(i) + ".wires[" + strconv.Itoa(k+1) + "]"
				r.Warnings = append(r.Warnings, w)
			}
		}
	}
	return nil
}

// PlumbLimits are the limits a plumb survey is held against: the maker's, or
// where there are none those of ReclamationLimits.
type PlumbLimits struct {
	Orbit        align.Limit // diameter of the lowest orbit
	Plumb        align.Limit // lean of the lowest centre of runout
	Straightness align.Limit // from the chord
}

// ReclamationLimits returns the limits of the Reclamation table for a shaft of
// the given length from thrust bearing to the place of the runout reading, the
// diameter of the thrust runner, and the height between the highest and lowest
// plumb readings. Errors are those of ReclamationOrbit and ReclamationPlumb.
func ReclamationLimits(length, runner, height unit.Length) (l PlumbLimits, err error) {
	if l.Orbit, err = ReclamationOrbit(length, runner); err != nil {
		return PlumbLimits{}, err
	}
	if l.Plumb, err = ReclamationPlumb(height); err != nil {
		return PlumbLimits{}, err
	}
	l.Straightness = ReclamationStraightness()
	return l, nil
}

// Judge holds the survey against limits: the diameter of the orbit, the plumb of
// its centre and, with three or more elevations, the straightness, in this
// order. Errors are those of align.Limit.Judge.
func (r PlumbResult) Judge(l PlumbLimits) ([]align.Verdict, error) {
	lowest := r.Lowest()
	out := make([]align.Verdict, 0, 3)
	for _, c := range []struct {
		limit align.Limit
		size  unit.Length
		known bool
	}{
		{l.Orbit, lowest.Diameter, true},
		{l.Plumb, lowest.Centre.Size(), true},
		{l.Straightness, r.Farthest().Away.Size(), len(r.Orbits) > 1},
	} {
		if !c.known {
			continue
		}
		v, err := c.limit.Judge(float64(c.size))
		if err != nil {
			return nil, err
		}
		out = append(out, v)
	}
	return out, nil
}
