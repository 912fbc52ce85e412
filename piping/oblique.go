package piping

import (
	"math"
	"strconv"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Oblique is a single indicator that looks at the shaft from between the
// vertical and the horizontal, usually at 45 degrees. It shows the part of a
// movement along its own line and nothing of the part across it:
//
//	r = V cos t + H sin t
//
// (projection; t the clock position of the dial, V up, H to the right). So it
// can prove that a limit is broken, and never that one is kept.
type Oblique struct {
	At      align.Clock    // where the dial stands, pointing at the centre
	Reading align.Movement // plus when the shaft came toward the dial
}

// check wants finite numbers of believable size.
func (o Oblique) check() error {
	if !align.IsFinite(o.At) {
		return strainFault("at", strconv.FormatFloat(float64(o.At), 'g', -1, 64)+" deg", align.ErrNotFinite)
	}
	return checkWithin("reading", length(o.Reading), maxMovement)
}

// Least returns the least size that the movement across the shaft can have had:
// the size of the reading.
//
// Errors: not-finite, out-of-range.
func (o Oblique) Least() (align.Movement, error) {
	if err := o.check(); err != nil {
		return 0, err
	}
	return align.Movement(math.Abs(float64(o.Reading))), nil
}

// Blind returns the two opposite clock positions toward which the shaft can move
// without the dial showing anything: a quarter before and after it. For a dial
// at 45 degrees they are 135 and 315.
//
// Errors: not-finite, out-of-range.
func (o Oblique) Blind() (after, before align.Clock, err error) {
	if err := o.check(); err != nil {
		return 0, 0, err
	}
	return (o.At + 90).Normal(), (o.At + 270).Normal(), nil
}

// Visible returns the least movement toward a clock position that this dial
// shows at all, when it shows nothing below least:
//
//	least / |cos(toward - at)|
//
// (projection). None is visible, and ok is false, toward the blind positions, or
// within a part in 10^9 of them.
//
// Errors: not-finite; out-of-range; negative for a least below zero.
func (o Oblique) Visible(toward align.Clock, least align.Movement) (size align.Movement, ok bool, err error) {
	if err := o.check(); err != nil {
		return 0, false, err
	}
	if !align.IsFinite(toward) {
		return 0, false, strainFault("toward", strconv.FormatFloat(float64(toward), 'g', -1, 64)+" deg", align.ErrNotFinite)
	}
	if err := checkSize("least", length(least)); err != nil {
		return 0, false, err
	}
	share := math.Abs(align.ClockDirection(o.At).Dot(align.ClockDirection(toward)))
	if share < 1e-9 {
		return 0, false, nil
	}
	return align.Movement(float64(least) / share), true, nil
}

// MostWithin returns the largest reading that a movement can give which keeps
// the same limit in the vertical and in the horizontal, each by itself:
//
//	limit (|cos t| + |sin t|)
//
// which at 45 degrees is the root of 2 times the limit (derived here: the
// largest projection of a square is that of a corner).
//
// Errors: not-finite; out-of-range; negative for a limit below zero.
func (o Oblique) MostWithin(limit unit.Length) (align.Movement, error) {
	if err := o.check(); err != nil {
		return 0, err
	}
	if err := checkSize("limit", limit); err != nil {
		return 0, err
	}
	up, right := o.At.Unit()
	return align.Movement(float64(limit) * (math.Abs(up) + math.Abs(right))), nil
}

// Judge holds the reading against a limit that applies to the vertical and to
// the horizontal, each by itself. The outcome is Over when no movement within
// the limits gives so large a reading, and Undecided otherwise; it is never
// Within.
//
// Errors: those of MostWithin.
func (o Oblique) Judge(limit unit.Length) (Outcome, error) {
	most, err := o.MostWithin(limit)
	if err != nil {
		return Undecided, err
	}
	if exceeds(float64(o.Reading), float64(most)) {
		return Over, nil
	}
	return Undecided, nil
}

// Redundancy returns what a vertical and a horizontal reading at the same
// station leave of the reading of this dial:
//
//	r - (V cos t + H sin t)
//
// It is zero but for the uncertainty of three readings; if not, one of the dials
// slipped, sticks or points elsewhere.
//
// Errors: not-finite, out-of-range.
func (o Oblique) Redundancy(vertical, horizontal align.Movement) (align.Movement, error) {
	if err := o.check(); err != nil {
		return 0, err
	}
	if err := checkWithin("vertical", length(vertical), maxMovement); err != nil {
		return 0, err
	}
	if err := checkWithin("horizontal", length(horizontal), maxMovement); err != nil {
		return 0, err
	}
	up, right := o.At.Unit()
	return o.Reading - align.Movement(up)*vertical - align.Movement(right)*horizontal, nil
}

// checkSize wants a finite length of zero or more.
func checkSize(field string, v unit.Length) error {
	if err := checkWithin(field, v, maxMovement); err != nil {
		return err
	}
	if v < 0 {
		return strainFault(field, align.UnitMillimetre.Format(float64(v), 4), align.ErrNegative)
	}
	return nil
}

// obliqueSeen is the largest running movement that an oblique indicator showed.
type obliqueSeen struct {
	indicator int
	at        align.Clock
	largest   align.Movement
	step      int
	touches   Touched
	alone     bool // no other indicator looks across the train
}

// obliqueSeen lists the indicators that look across the train at an angle.
func (t *StrainTest) obliqueSeen(steps []StepResult) []obliqueSeen {
	var out []obliqueSeen
	looking := 0
	for i := range t.Indicators {
		n := t.Indicators[i].sense()
		if math.Abs(n.X) > 1-1e-6 {
			continue
		}
		looking++
		if math.Abs(n.X) > 1e-6 || math.Abs(n.Y) < 0.01 || math.Abs(n.Z) < 0.01 {
			continue
		}
		o := obliqueSeen{indicator: i, at: align.Offset{Vertical: unit.Length(n.Y), Horizontal: unit.Length(n.Z)}.Clock(), touches: t.Indicators[i].Touches}
		for k := range steps {
			if m := steps[k].Running.Indicators[i]; m.Given && math.Abs(float64(m.Value)) > math.Abs(float64(o.largest)) {
				o.largest, o.step = m.Value, k
			}
		}
		out = append(out, o)
	}
	for i := range out {
		out[i].alone = looking == 1
	}
	return out
}
