package piping

import (
	"math"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// HoleStep is how far a bolt hole of the pipe flange stands from its fellow in
// the machine flange, along the bolt circle, clockwise positive.
type HoleStep struct {
	At    align.Clock
	Along unit.Length
}

// HoleSurvey is a set of such readings on one joint.
type HoleSurvey struct {
	Holes      []HoleStep  // one or more
	BoltCircle unit.Length // its diameter
}

// Mirrored returns a survey written down by a person who looked from the pipe
// toward the machine, as one seen from the machine: clock positions and the
// sense of the steps turn over.
func (s HoleSurvey) Mirrored() HoleSurvey {
	holes := make([]HoleStep, len(s.Holes))
	for i, h := range s.Holes {
		holes[i] = HoleStep{h.At.Mirrored(), -h.Along}
	}
	s.Holes = holes
	return s
}

// RotationFit is how far the bolt holes of the pipe flange are turned.
type RotationFit struct {
	Rotation float64     // radians, clockwise positive: right-handed about the axis of the flange
	Arc      unit.Length // the same along the bolt circle

	Worst            unit.Length // residual of the largest size
	WorstAt          align.Clock
	RMS              unit.Length // over the degrees of freedom; 0 when there are none
	DegreesOfFreedom int
	Warnings         []align.Warning
}

// balanced is the part of a centre offset that may still be in the mean of the
// holes without a warning (own choice).
const balanced = 0.05

// Solve finds the rotation by least squares:
//
//	along(t) = radius * rotation - up sin t + right cos t
//
// (first order; up and right are the offset of the centres). Without that
// offset, nil, it is taken as none: holes spread evenly round the circle cancel
// it, holes on one side do not, and the warning holes-on-one-side says so.
//
// Errors: align.ErrMissing without holes, align.ErrZeroDiameter,
// align.ErrNotFinite, align.ErrNegative, align.ErrOutOfRange.
func (s HoleSurvey) Solve(centre *Across) (RotationFit, error) {
	var e Across
	if centre != nil {
		e = *centre
	}
	if err := s.check(e); err != nil {
		return RotationFit{}, err
	}
	n, sum, ups, rights := float64(len(s.Holes)), 0.0, 0.0, 0.0
	for _, h := range s.Holes {
		sum += float64(h.Along - shownBy(e, h.At))
		up, right := h.At.Unit()
		ups, rights = ups+up, rights+right
	}
	arc := sum / n
	f := RotationFit{Rotation: 2 * arc / float64(s.BoltCircle), Arc: unit.Length(arc), DegreesOfFreedom: len(s.Holes) - 1}
	f.rest(s, e)
	if part := math.Hypot(ups, rights) / n; centre == nil && part > balanced {
		f.Warnings = append(f.Warnings, align.Warning{
			Code: WarnUnbalancedHoles, Severity: align.Suspect, Field: "holes",
			Value: part, Limit: balanced, Unit: align.UnitOne, Meaning: flangeMeaning(WarnUnbalancedHoles),
		})
	}
	return f, nil
}

func (s *HoleSurvey) check(e Across) error {
	if err := checkFlangeDiameter("boltCircle", s.BoltCircle); err != nil {
		return err
	}
	switch n := len(s.Holes); {
	case n == 0:
		return flangeFault("holes", "", align.ErrMissing)
	case n > maxPositions:
		return flangeFault("holes", countOf(n, "holes"), align.ErrOutOfRange)
	}
	if err := checkAcross("centre", e); err != nil {
		return err
	}
	for i, h := range s.Holes {
		if err := checkFlangeClock("at", h.At); err != nil {
			return align.In(err, numbered("holes", i))
		}
		// more than half the circle is not a step to the fellow of a hole
		if err := checkFlangeLength("along", h.Along, s.BoltCircle*math.Pi/2); err != nil {
			return align.In(err, numbered("holes", i))
		}
	}
	return nil
}

func checkAcross(field string, e Across) error {
	if err := checkFlangeLength(field+".up", e.Up, maxFlangeLength); err != nil {
		return err
	}
	return checkFlangeLength(field+".right", e.Right, maxFlangeLength)
}

// shownBy is what an offset of the centres gives along the circle at a position.
func shownBy(e Across, at align.Clock) unit.Length {
	up, right := at.Unit()
	return unit.Length(float64(up*float64(e.Right)) - float64(right*float64(e.Up)))
}

func (f *RotationFit) rest(s HoleSurvey, e Across) {
	sum := 0.0
	for _, h := range s.Holes {
		rest := float64(h.Along - shownBy(e, h.At) - f.Arc)
		sum += float64(rest * rest)
		if math.Abs(rest) > math.Abs(float64(f.Worst)) {
			f.Worst, f.WorstAt = unit.Length(rest), h.At.Normal()
		}
	}
	if f.DegreesOfFreedom > 0 {
		f.RMS = unit.Length(math.Sqrt(sum / float64(f.DegreesOfFreedom)))
	}
}
