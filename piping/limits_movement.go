package piping

import (
	"math"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Outcome is what comes of holding a movement against a limit.
type Outcome uint8

// The outcomes. What is not determined is Undecided; it never passes.
const (
	Undecided Outcome = iota
	Within
	Over
)

// String returns the outcome in words.
func (o Outcome) String() string {
	switch o {
	case Within:
		return "within"
	case Over:
		return "over"
	}
	return "not determined"
}

// Occasion says on what occasion a limit of movement applies.
type Occasion uint8

// The occasions.
const (
	// BoltingUp is from the flanges free to all of them tight, or back.
	BoltingUp Occasion = iota
	// PipeOnAgainstFree compares the alignment with the pipe on and with it free.
	PipeOnAgainstFree
	// FeetFreed is the loosening of the hold-down bolts with the pipe on.
	FeetFreed
	// Deformed is the bending of the machine itself.
	Deformed
)

// String returns the occasion in words.
func (o Occasion) String() string {
	switch o {
	case BoltingUp:
		return "bolting up"
	case PipeOnAgainstFree:
		return "pipe on against pipe free"
	case FeetFreed:
		return "feet freed"
	case Deformed:
		return "deformation"
	}
	return "unknown occasion"
}

// MovementLimit is a limit of static movement with its source. Limits of
// BoltingUp and PipeOnAgainstFree apply to the vertical and the horizontal each
// by itself: together they admit a movement of the root of 2 times the limit.
type MovementLimit struct {
	align.Limit
	Occasion Occasion
}

const mbch = "H. P. Bloch and F. K. Geitner, Machinery Component Maintenance and Repair, alignment checklist, p. 173"

// MovementLimits returns every limit of movement of this library. They differ,
// and which one binds is for the owner of the machine to say. The caller owns
// what it gets.
//
// The 0.25 and 0.38 mm of shaft displacement behind the nozzle-load tables of
// API 610, 8th ed., appendix F.1, are a design criterion for piping under its
// operating loads, and no limit for bolting up; they are not in the list.
func MovementLimits() []MovementLimit {
	mm, in, mil := align.UnitMillimetre, align.UnitInch, align.UnitMil
	hub := "coupling hub, vertical and horizontal each"
	return []MovementLimit{
		{align.Limit{Name: "movement while flanges are tightened", Place: hub, Value: 0.05, Unit: mm,
			Source: "API RP 686, ch. 6, 4.6 to 4.8, as transcribed, edition not stated", Known: align.ReadSecondhand}, BoltingUp},
		{align.Limit{Name: "movement while the last flanges are tightened", Place: "coupling, vertical and horizontal each", Value: 0.003, Unit: in,
			Source: mbch, Known: align.Read}, BoltingUp},
		{align.Limit{Name: "change of alignment, pipe on against pipe free", Place: "coupling, vertical and horizontal each", Value: 0.001, Unit: in,
			Source: "H. P. Bloch and F. K. Geitner, Major Process Equipment Maintenance and Repair, horizontal pumps, step 9, p. 19", Known: align.Read}, PipeOnAgainstFree},
		{align.Limit{Name: "deformation by piping", Place: "machine", Value: 0.002, Unit: in,
			Source: "Kane's dictionary, entry Piping strain; a trade dictionary, not a standard", Known: align.Read}, Deformed},
		{align.Limit{Name: "movement when the feet are freed, stricter habit", Place: "coupling, any direction", Value: 3, Unit: mil,
			Source: "common practice", Known: align.CommonPractice}, FeetFreed},
		{align.Limit{Name: "movement when the feet are freed, wider habit", Place: "coupling, any direction", Value: 4, Unit: mil,
			Source: "common practice", Known: align.CommonPractice}, FeetFreed},
	}
}

// MovementVerdict is one movement held against a limit.
type MovementVerdict struct {
	Limit    MovementLimit
	Quantity string // what was judged: "largest", "final", "change", "feet freed", "residual", "oblique"
	Place    string // where: a coupling station, an indicator, or a step and a station
	Plane    string // "up", "right", or "any direction"
	Outcome  Outcome
	// Measured is the size found; when the outcome is Undecided it is the part
	// that is known, if any.
	Measured align.Movement
	Sigma    align.Movement // standard uncertainty of Measured
	// Clear says that Measured is farther from the limit than twice Sigma.
	Clear bool
}

// Verdict returns the verdict as package align has it, for a printed report. It
// is false when the outcome is Undecided.
func (v *MovementVerdict) Verdict() (align.Verdict, bool) {
	if v.Outcome == Undecided {
		return align.Verdict{}, false
	}
	return align.Verdict{Limit: v.Limit.Limit, Measured: float64(v.Measured), Within: v.Outcome == Within}, true
}

// exceeds lets a size equal to the limit pass although conversion rounds both.
func exceeds(v, limit float64) bool {
	v = math.Abs(v)
	return v > limit && float64(v*(1-1e-12)) > limit
}

// Judge holds the movements of the test against one limit, every quantity by
// itself.
//
//	bolting up         largest running movement and that after the last step, at
//	                   each station, up and to the right; and, where a plane is
//	                   not known, each oblique indicator on the shaft
//	pipe on or free    movement from the first to the last step, likewise
//	feet freed         each step that loosens feet, across the train
//	deformation        the largest residual of an indicator on the casing, which
//	                   shows a part of the deformation at most
//
// A limit that the known part already exceeds is Over; otherwise whatever is not
// determined, or not at every step, is Undecided.
//
// Errors: missing for a result that no test has made; not-finite or negative limits; unknown-kind for an occasion that is
// none, wrong-unit for a limit that is not a length.
func (r *StrainResult) Judge(l MovementLimit) ([]MovementVerdict, error) {
	limit := l.SI()
	switch {
	case l.Unit.Dimension() != align.LengthDim:
		return nil, strainFault("limit", string(l.Unit), align.ErrWrongUnit)
	case len(r.Steps) == 0 || len(r.Coupling) == 0:
		return nil, strainFault("result", "", align.ErrMissing)
	case l.Occasion > Deformed:
		return nil, strainFault("occasion", l.Occasion.String(), align.ErrUnknownKind)
	}
	if err := checkSize("limit", unit.Length(limit)); err != nil {
		return nil, err
	}
	switch l.Occasion {
	case BoltingUp:
		return append(r.judgeCoupling(l), r.judgeOblique(l)...), nil
	case PipeOnAgainstFree:
		return r.judgeFinal(nil, l, "change"), nil
	case FeetFreed:
		return r.judgeFeet(l), nil
	}
	return []MovementVerdict{r.judgeResidual(l)}, nil
}

// JudgeAll holds the test against every limit of MovementLimits.
func (r *StrainResult) JudgeAll() ([]MovementVerdict, error) {
	var out []MovementVerdict
	for _, l := range MovementLimits() {
		vs, err := r.Judge(l)
		if err != nil {
			return nil, err
		}
		out = append(out, vs...)
	}
	return out, nil
}

// decide fills in outcome and size.
func (v MovementVerdict) decide(c Component, complete bool) MovementVerdict {
	limit := v.Limit.SI()
	v.Measured, v.Sigma = align.Movement(math.Abs(float64(c.Value))), c.Sigma
	v.Clear = math.Abs(float64(v.Measured)-limit) > 2*float64(c.Sigma)
	switch {
	case exceeds(float64(c.Value), limit):
		v.Outcome = Over
	case c.Known && complete:
		v.Outcome = Within
	default:
		v.Clear = false
	}
	return v
}

func (r *StrainResult) judgeCoupling(l MovementLimit) (out []MovementVerdict) {
	for i := range r.Coupling {
		c := &r.Coupling[i]
		v := MovementVerdict{Limit: l, Quantity: "largest", Place: index("coupling", i), Plane: "up"}
		out = append(out, v.decide(c.Up.Component, c.Up.Complete))
		v.Plane = "right"
		out = append(out, v.decide(c.Right.Component, c.Right.Complete))
	}
	return r.judgeFinal(out, l, "final")
}

func (r *StrainResult) judgeFinal(out []MovementVerdict, l MovementLimit, quantity string) []MovementVerdict {
	for i := range r.Coupling {
		c := &r.Coupling[i]
		v := MovementVerdict{Limit: l, Quantity: quantity, Place: index("coupling", i), Plane: "up"}
		out = append(out, v.decide(c.FinalUp, true))
		v.Plane = "right"
		out = append(out, v.decide(c.FinalRight, true))
	}
	return out
}

// judgeOblique asks what a dial at an angle proves where a plane is not known.
func (r *StrainResult) judgeOblique(l MovementLimit) (out []MovementVerdict) {
	if r.Coupling[0].Up.Complete && r.Coupling[0].Right.Complete {
		return nil
	}
	for i := range r.oblique {
		o := &r.oblique[i]
		if o.touches != Shaft {
			continue
		}
		v := MovementVerdict{Limit: l, Quantity: "oblique", Place: index("indicators", o.indicator), Plane: "up or right", Measured: o.largest}
		up, right := o.at.Unit()
		if most := l.SI() * (math.Abs(up) + math.Abs(right)); exceeds(float64(o.largest), most) {
			v.Outcome = Over
		}
		v.Measured = align.Movement(math.Abs(float64(o.largest)))
		out = append(out, v)
	}
	return out
}

func (r *StrainResult) judgeFeet(l MovementLimit) (out []MovementVerdict) {
	for k := range r.Causes {
		if !r.Causes[k].frees {
			continue
		}
		for i := range r.Coupling {
			at := r.Steps[k].Step.coupling(i)
			p := &at
			v := MovementVerdict{Limit: l, Quantity: "feet freed", Place: index("steps", k) + "." + index("coupling", i), Plane: "any direction"}
			size := across(p)
			if !size.Known { // what is known of it is the least it can be
				size = Component{Value: align.Movement(math.Hypot(float64(p.Up.Value), float64(p.Right.Value))), Sigma: max(p.Up.Sigma, p.Right.Sigma)}
			}
			out = append(out, v.decide(size, true))
		}
	}
	return out
}

func (r *StrainResult) judgeResidual(l MovementLimit) MovementVerdict {
	v := MovementVerdict{Limit: l, Quantity: "residual", Place: "casing", Plane: "any direction"}
	m := r.Final()
	worst := Component{Known: m.Casing.Used() > m.Casing.Rank()}
	for i, off := range m.Residuals() {
		if m.solver().onShaft>>i&1 == 0 && math.Abs(float64(off)) > math.Abs(float64(worst.Value)) {
			worst.Value = off
		}
	}
	return v.decide(worst, true)
}
