package piping

import (
	"math"
	"strconv"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// FlangeQuantity is what a verdict on a joint is about.
type FlangeQuantity string

// The quantities that rules limit.
const (
	Parallelism  FlangeQuantity = "parallelism"
	GapError     FlangeQuantity = "gap"
	CentreOffset FlangeQuantity = "centre"
	CentreUp     FlangeQuantity = "centre-up"
	CentreRight  FlangeQuantity = "centre-right"
	HoleOffset   FlangeQuantity = "holes"
	HoleRotation FlangeQuantity = "rotation"
)

// FlangeVerdict is one quantity of a joint held against its limit.
type FlangeVerdict struct {
	Quantity FlangeQuantity
	align.Verdict
}

// FitUp says in practical terms what the verdicts on a joint come to. The
// classes are those of everyday work, not of a standard.
type FitUp uint8

// What there is to do about a joint.
const (
	FitUndecided FitUp = iota // nothing measured is over a limit, but not all that is limited was measured
	FitWithin                 // every limit is met
	FitByMoving               // over a limit, by so little that the machine could be moved to take it up
	FitByCutting              // over a limit and too far for that: cut the pipe and fit it anew
)

// String returns the class in words.
func (f FitUp) String() string {
	switch f {
	case FitUndecided:
		return "not all that is limited was measured"
	case FitWithin:
		return "within limits"
	case FitByMoving:
		return "could be taken up by moving the machine"
	case FitByCutting:
		return "cut and refit the pipe"
	}
	return "fit-up(" + strconv.Itoa(int(f)) + ")"
}

// UsualCutAbove is the misfit above which pipe is cut and refitted rather than
// the machine moved: 1/4 in (common practice, no source).
const UsualCutAbove = align.Inch / 4

// FlangeReport is what a rule says of a joint.
type FlangeReport struct {
	Rule     FlangeRule
	Verdicts []FlangeVerdict
	Unjudged []FlangeQuantity // limited by the rule, but not measured
	Fit      FitUp
	Largest  unit.Length // the largest misfit of those measured
	CutAbove unit.Length // as used
}

// Judge holds a misfit against the limits of a rule, quantity by quantity, and
// says what it comes to: a joint over a limit could be taken up by moving the
// machine when no misfit (gap less gasket, opening across the flange, offset,
// arc of the holes on the bolt circle) is over cutAbove, and is one for cutting
// and refitting otherwise. Zero stands for UsualCutAbove.
//
// That a machine could be moved does not say that it may: its coupling, the other
// nozzles, bolts and shims decide, and pipe is brought to the machine before the
// machine is brought to pipe.
//
// Errors: those of a misfit out of range, align.ErrNegative, align.ErrNotFinite.
func (m Misfit) Judge(l FlangeLimits, cutAbove unit.Length) (FlangeReport, error) {
	if err := m.check(); err != nil {
		return FlangeReport{}, err
	}
	if err := l.Size.check(); err != nil {
		return FlangeReport{}, err
	}
	if err := checkFlangeFromZero("cutAbove", cutAbove); err != nil {
		return FlangeReport{}, err
	}
	if cutAbove == 0 {
		cutAbove = UsualCutAbove
	}
	r := FlangeReport{Rule: l.Rule, CutAbove: cutAbove, Largest: m.largest(l.Size)}
	for _, judge := range [...]func(*FlangeReport, Misfit, FlangeLimits) error{
		(*FlangeReport).parallel, (*FlangeReport).gap, (*FlangeReport).centre, (*FlangeReport).holes,
	} {
		if err := judge(&r, m, l); err != nil {
			return FlangeReport{}, err
		}
	}
	r.Fit = r.class()
	return r, nil
}

func (m *Misfit) largest(s FlangeSize) unit.Length {
	most := m.Tilt.Opening(s.FlangeOD)
	if e, ok := m.GapError(); ok {
		most = max(most, e, -e)
	}
	if m.Offset != nil {
		most = max(most, m.Offset.Size())
	}
	if m.Rotation != nil {
		most = max(most, s.BoltCircle/2*unit.Length(math.Abs(*m.Rotation)))
	}
	return most
}

func (r *FlangeReport) class() FitUp {
	over := false
	for _, v := range r.Verdicts {
		over = over || !v.Within
	}
	switch {
	case over && r.Largest > r.CutAbove:
		return FitByCutting
	case over:
		return FitByMoving
	case len(r.Unjudged) > 0:
		return FitUndecided
	}
	return FitWithin
}

// judge adds a verdict, or the quantity to those not judged when it is not known.
func (r *FlangeReport) judge(q FlangeQuantity, l align.Limit, measured unit.Length, known bool) error {
	if !known {
		r.Unjudged = append(r.Unjudged, q)
		return nil
	}
	v, err := l.Judge(float64(measured))
	if err != nil {
		return err
	}
	r.Verdicts = append(r.Verdicts, FlangeVerdict{q, v})
	return nil
}

func (r *FlangeReport) parallel(m Misfit, l FlangeLimits) error {
	if l.Parallel == nil {
		return nil
	}
	v, err := l.Parallel.Judge(m.Tilt)
	if err != nil {
		return err
	}
	r.Verdicts = append(r.Verdicts, FlangeVerdict{Parallelism, v})
	return nil
}

func (r *FlangeReport) gap(m Misfit, l FlangeLimits) error {
	if l.Gap == nil {
		return nil
	}
	e, ok := m.GapError()
	if l.Gap.OnlyWide {
		e = max(e, 0)
	}
	return r.judge(GapError, l.Gap.Limit, e, ok)
}

func (r *FlangeReport) centre(m Misfit, l FlangeLimits) error {
	if l.Centre == nil {
		return nil
	}
	var e Across
	known := m.Offset != nil
	if known {
		e = *m.Offset
	}
	if !l.Centre.EachWay {
		return r.judge(CentreOffset, l.Centre.Limit, e.Size(), known)
	}
	if err := r.judge(CentreUp, l.Centre.Limit, e.Up, known); err != nil {
		return err
	}
	return r.judge(CentreRight, l.Centre.Limit, e.Right, known)
}

func (r *FlangeReport) holes(m Misfit, l FlangeLimits) error {
	circle := l.Size.BoltCircle
	if l.Hole != nil {
		most, ok := m.HoleOffset(circle)
		if err := r.judge(HoleOffset, *l.Hole, most, ok && circle > 0); err != nil {
			return err
		}
	}
	if l.Rotation == nil {
		return nil
	}
	arc := unit.Length(0)
	if m.Rotation != nil {
		arc = circle / 2 * unit.Length(*m.Rotation)
	}
	return r.judge(HoleRotation, *l.Rotation, arc, m.Rotation != nil && circle > 0)
}
