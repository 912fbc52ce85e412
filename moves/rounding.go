package moves

import (
	"context"
	"math"
	"strconv"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// The warnings of rounding.
const (
	// WarnTwisted says that no rounding of a machine keeps its feet in one plane as
	// nearly as asked: the one that comes nearest was taken.
	WarnTwisted align.WarningCode = "feet-twisted"
	// WarnNotProved says that the search ran into its bound on work.
	WarnNotProved align.WarningCode = "not-proved"
	// WarnFlangeLost says that a flange that must be kept, and was, is lost by
	// rounding.
	WarnFlangeLost align.WarningCode = "flange-lost-by-rounding"
)

// Rounding says what heights the shims can make.
type Rounding struct {
	// Step is the smallest difference the shims can make, above zero: a foot goes
	// up or down by whole steps. Not needed where every foot has a list.
	Step unit.Length
	// Reachable are the changes of height that can be made at a foot, by machine
	// and foot, in any order. Nil, or a foot with an empty list: whole steps.
	Reachable [][][]unit.Length
	// Skip are machines that do not stand on shims (jacks, flanges): they make
	// their motion as it is.
	Skip []int
	// Twist is how far a rounded foot may be out of the plane of its machine's
	// feet; nil is half a step, or half of the largest difference between the two
	// heights that a foot has to choose from where there is no step. With four feet
	// at the corners of a rectangle the nearest rounding always keeps half a step.
	Twist *unit.Length
}

// RoundedFoot is one foot after rounding.
type RoundedFoot struct {
	Foot   string
	Wanted unit.Length // change of height by the plan
	Shim   unit.Length // change that the shims make
	// Left is the shim less the plane of the rounded feet: positive lifts the foot
	// against the others, so the smallest of them is the soft one.
	Left unit.Length
}

// Rounded is a plan that the shims can make.
type Rounded struct {
	Motions    []align.Motion  // of the planes of the rounded feet; sideways as planned
	Feet       [][]RoundedFoot // by machine; none of one that stays or is skipped
	Evaluation Evaluation
	Wanted     float64 // worst share at the couplings before rounding
	Nearest    float64 // the same when every foot is rounded to the nearest by itself
	// Twist is by machine how far the worst foot is out of the plane: soft foot that
	// the rounding makes.
	Twist []unit.Length
	// Proved says that no other choice of up or down, within the limit on twist, is
	// better at the couplings.
	Proved   bool
	Warnings []align.Warning
}

// RoundShims rounds the moves of the feet up or down to what the shims can make,
// so that the worst share of a limit at the couplings is smallest.
//
// A foot goes to the next height below or above what is planned, whichever is
// within its range; a move that can be made is made, and a machine that is to stay
// stays. The machine then stands in
// the plane that the rounded feet give by least squares: height, pitch and roll,
// as far as its feet tell (of a machine whose feet stand in one line roll stays as
// planned). What a foot is out of that plane is soft foot, and is limited by
// r.Twist; of machines that cannot keep it, the roundings with the least twist are
// taken, with the warning feet-twisted. Sideways the feet go as planned.
//
// The worst share is never larger than that of the nearest rounding, as long as
// that keeps the limit on twist. On a tie the least squares of what the feet are
// off the plan decide.
//
// Up to eight feet of one machine all combinations are looked at; of a machine
// with more feet to choose for, those that differ from the nearest rounding in two
// feet or fewer. Combinations of machines are searched by branch and bound, at
// most about two million couplings looked at; beyond that the best one found is
// returned with the warning not-proved.
//
// Errors: those of Train.Evaluate; missing, not-finite, negative, out-of-range for
// the step and the lists; mismatch for lists that do not fit the train; base-bound or
// out-of-range when a foot can reach no height next to what is planned; stopped
// when ctx ends first.
func RoundShims(ctx context.Context, t *Train, motions []align.Motion, r Rounding) (Rounded, error) {
	for i := range motions {
		if err := checkMotion(&motions[i]); err != nil {
			return Rounded{}, align.In(err, index("motions", i))
		}
	}
	before, err := t.Evaluate(motions)
	if err != nil {
		return Rounded{}, err
	}
	if err := r.check(t); err != nil {
		return Rounded{}, err
	}
	s := roundSearch{ctx: ctx, t: t, states: t.states()}
	out := Rounded{Wanted: before.WorstCoupling}
	for i := range t.Machines {
		c, err := r.choices(t, i, motions[i])
		if err != nil {
			return Rounded{}, align.In(err, index("machines", i))
		}
		if c.short {
			out.Warnings = append(out.Warnings, afterWarning(WarnTwisted, align.Suspect, index("machines", i),
				float64(c.all[0].twist), float64(c.limit), align.UnitMillimetre))
		}
		s.machines = append(s.machines, c)
	}
	if err := s.run(); err != nil {
		return Rounded{}, err
	}
	return s.finish(out, before)
}

// checkMotion wants a motion whose numbers are finite and of no absurd size.
func checkMotion(m *align.Motion) error {
	if err := checkPlace("about", m.About); err != nil {
		return err
	}
	for _, v := range [...]unit.Length{m.Shift.X, m.Shift.Y, m.Shift.Z} {
		if err := bounded("shift", v, maxLength); err != nil {
			return err
		}
	}
	for _, v := range [...]float64{m.Turn.X, m.Turn.Y, m.Turn.Z} {
		if !align.IsFinite(v) {
			return fault("turn", "", align.ErrNotFinite)
		}
		if v > 1 || v < -1 {
			return fault("turn", align.UnitOne.Format(v, 3)+" rad", align.ErrOutOfRange)
		}
	}
	return nil
}

func (r *Rounding) check(t *Train) error {
	if err := fromZero("step", r.Step); err != nil {
		return err
	}
	if r.Step != 0 && (r.Step < 1e-6 || r.Step > 1) {
		return fault("step", mm(r.Step), align.ErrOutOfRange)
	}
	if r.Twist != nil {
		if err := fromZero("twist", *r.Twist); err != nil {
			return err
		}
	}
	for i, m := range r.Skip {
		if m < 0 || m >= len(t.Machines) {
			return fault(index("skip", i), strconv.Itoa(m), align.ErrMismatch)
		}
	}
	if r.Reachable != nil && len(r.Reachable) != len(t.Machines) {
		return fault("reachable", strconv.Itoa(len(r.Reachable)), align.ErrMismatch)
	}
	for i, feet := range r.Reachable {
		if feet != nil && len(feet) != len(t.Machines[i].Feet) {
			return fault(index("reachable", i), strconv.Itoa(len(feet)), align.ErrMismatch)
		}
		for j, heights := range feet {
			for k, h := range heights {
				if err := bounded(index(index(index("reachable", i), j), k), h, maxLength); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

func (r *Rounding) skips(machine int) bool {
	for _, m := range r.Skip {
		if m == machine {
			return true
		}
	}
	return false
}

func (r *Rounding) reachable(machine, foot int) []unit.Length {
	if r.Reachable == nil || r.Reachable[machine] == nil {
		return nil
	}
	return r.Reachable[machine][foot]
}

// sameHeight is the difference below which two heights are one.
const sameHeight unit.Length = 1e-9

// next returns the heights next to what is wanted, below and above, that are
// within the range of the foot.
func (r *Rounding) next(heights []unit.Length, wanted unit.Length, room FootRange) (below, above unit.Length, okBelow, okAbove bool) {
	allowed := func(v unit.Length) bool {
		return (room.Up == nil || v <= *room.Up+sameHeight) && (room.Down == nil || -v <= *room.Down+sameHeight)
	}
	if len(heights) == 0 {
		n := math.Floor(float64(wanted/r.Step) + 1e-6)
		below, above = unit.Length(n)*r.Step, unit.Length(n+1)*r.Step
		if wanted-below <= sameHeight {
			return below, below, allowed(below), allowed(below)
		}
		return below, above, allowed(below), allowed(above)
	}
	for _, h := range heights {
		if !allowed(h) {
			continue
		}
		if h <= wanted+sameHeight && (!okBelow || h > below) {
			below, okBelow = h, true
		}
		if h >= wanted-sameHeight && (!okAbove || h < above) {
			above, okAbove = h, true
		}
	}
	return below, above, okBelow, okAbove
}

// footChoice are the one or two heights that a foot has to choose from.
type footChoice struct {
	wanted  unit.Length
	heights [2]unit.Length // the nearer first
	n       int
}

func (r *Rounding) foot(machine, i int, f *Foot, wanted unit.Length) (c footChoice, err error) {
	heights := r.reachable(machine, i)
	if len(heights) == 0 && r.Step == 0 {
		return c, fault("step", "", align.ErrMissing)
	}
	c.wanted = wanted
	below, above, okBelow, okAbove := r.next(heights, wanted, f.Range)
	switch {
	case okBelow && okAbove && above-below > sameHeight:
		c.n, c.heights = 2, [2]unit.Length{below, above}
		if above-wanted < wanted-below {
			c.heights = [2]unit.Length{above, below}
		}
	case okBelow:
		c.n, c.heights[0] = 1, below
	case okAbove:
		c.n, c.heights[0] = 1, above
	case wanted < 0:
		return c, afterFault("move", mm(wanted), ErrBaseBound)
	default:
		return c, fault("move", mm(wanted), align.ErrOutOfRange)
	}
	return c, nil
}
