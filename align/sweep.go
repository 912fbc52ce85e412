package align

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/unit"
)

// Reading is one dial reading at one clock position: positive when the stem is
// pushed in.
type Reading struct {
	At    Clock
	Value unit.Length
}

// Sweep is one dial's readings over a turn, or part of a turn, in the order
// they were taken. At least three clock positions determine both planes; two
// opposite ones determine one. The zero of the dial may stand anywhere: only
// differences within one sweep matter.
//
// When the last reading stands at the clock position of the first, it is the
// closing reading: it is held against the first (see Closure) and not used
// otherwise. Any other repeated position is one more reading.
//
// A sweep is a dial sweep. What a dial shows while a shaft stands still is a
// Movement, another type, because a sweep is halved and a movement is not.
type Sweep []Reading

// FourPoint returns the usual sweep: readings at 12, 3, 6 and 9 o'clock.
func FourPoint(top, right, bottom, left unit.Length) Sweep {
	return Sweep{{Twelve, top}, {Three, right}, {Six, bottom}, {Nine, left}}
}

// TopBottom returns a sweep read at 12 and 6 o'clock only: the vertical plane.
func TopBottom(top, bottom unit.Length) Sweep {
	return Sweep{{Twelve, top}, {Six, bottom}}
}

// Sides returns a sweep read at 3 and 9 o'clock only: the horizontal plane.
func Sides(right, left unit.Length) Sweep {
	return Sweep{{Three, right}, {Nine, left}}
}

// EvenSweep returns readings at equal steps clockwise over one full turn,
// the first one at start.
func EvenSweep(start Clock, values ...unit.Length) Sweep {
	s := make(Sweep, len(values))
	for i, v := range values {
		s[i] = Reading{start + Clock(360*float64(i)/float64(len(values))), v}
	}
	return s
}

// core returns the sweep without its closing reading.
func (s Sweep) core() Sweep {
	if len(s) > 2 && s[0].At.Normal() == s[len(s)-1].At.Normal() {
		return s[:len(s)-1]
	}
	return s
}

// Closure returns the closing reading less the first one, and whether there
// was a closing reading. A dial that held still reads the same again.
func (s Sweep) Closure() (difference unit.Length, ok bool) {
	if len(s.core()) == len(s) {
		return 0, false
	}
	return s[len(s)-1].Value - s[0].Value, true
}

// SumRule returns top plus bottom less left and right, and whether the sweep
// holds all four quarter positions. Its expected value is not quite zero; see
// ExpectedSumRule.
func (s Sweep) SumRule() (difference unit.Length, ok bool) {
	var at [4]unit.Length
	var have [4]bool
	for _, r := range s.core() {
		i, quarter := r.At.quarter()
		if quarter && !have[i] {
			at[i], have[i] = r.Value, true
		}
	}
	if have != [4]bool{true, true, true, true} {
		return 0, false
	}
	return (at[0] + at[2]) - (at[1] + at[3]), true
}

// quarter returns which quarter position c is: 0 for 12, 1 for 3, 2 for 6, 3
// for 9 o'clock.
func (c Clock) quarter() (int, bool) {
	switch c.Normal() {
	case Twelve:
		return 0, true
	case Three:
		return 1, true
	case Six:
		return 2, true
	case Nine:
		return 3, true
	}
	return 0, false
}

// Rezeroed returns the sweep as the dial would have shown it if it had been
// set to zero at the clock position of reading i.
func (s Sweep) Rezeroed(i int) (Sweep, error) {
	if i < 0 || i >= len(s) {
		return nil, &InputError{Field: "reading", Got: fmt.Sprint(i), Err: ErrOutOfRange}
	}
	return s.shifted(-s[i].Value), nil
}

// RezeroedAt returns the sweep as the dial would have shown it if it had been
// set to zero at clock position c, which must be one of those read.
func (s Sweep) RezeroedAt(c Clock) (Sweep, error) {
	for i, r := range s {
		if r.At.Normal() == c.Normal() {
			return s.Rezeroed(i)
		}
	}
	return nil, &InputError{Field: "clock position", Got: c.String(), Err: ErrMissing}
}

func (s Sweep) shifted(by unit.Length) Sweep {
	out := make(Sweep, len(s))
	for i, r := range s {
		out[i] = Reading{r.At, r.Value + by}
	}
	return out
}

// Mirrored returns the sweep as a person looking along +x would have written
// it, when it was recorded by someone looking along -x: 3 and 9 o'clock change.
func (s Sweep) Mirrored() Sweep {
	out := make(Sweep, len(s))
	for i, r := range s {
		out[i] = Reading{-r.At, r.Value}
	}
	return out
}

// TIR returns the largest less the smallest reading. Readings at a few clock
// positions can miss the extremes of the surface.
func (s Sweep) TIR() TIR {
	if len(s) == 0 {
		return 0
	}
	lo, hi := s[0].Value, s[0].Value
	for _, r := range s[1:] {
		lo, hi = min(lo, r.Value), max(hi, r.Value)
	}
	return TIR(hi - lo)
}

// Check returns an error when a clock position or a value is not finite.
func (s Sweep) Check() error {
	for i, r := range s {
		if IsFinite(r.Value) && IsFinite(r.At) {
			continue
		}
		if !IsFinite(r.At) {
			return &InputError{Field: fmt.Sprintf("sweep[%d].at", i), Got: fmt.Sprint(float64(r.At)) + " deg", Err: ErrNotFinite}
		}
		return &InputError{Field: fmt.Sprintf("sweep[%d].value", i), Got: fmt.Sprint(float64(r.Value)) + " m", Err: ErrNotFinite}
	}
	return nil
}

// Mean returns the average of several sweeps of the same dial, taken at the
// same clock positions in the same order, each with its own zero. The second
// result is the repeatability: the largest difference between any two of the
// sweeps at one position after their own zero is taken out.
func Mean(sweeps ...Sweep) (Sweep, unit.Length, error) {
	if len(sweeps) == 0 {
		return nil, 0, &InputError{Field: "sweeps", Err: ErrMissing}
	}
	n := len(sweeps[0])
	if n == 0 {
		return nil, 0, &InputError{Field: "sweeps[0]", Err: ErrTooFewPositions}
	}
	for k, s := range sweeps {
		if err := s.Check(); err != nil {
			return nil, 0, In(err, fmt.Sprintf("sweeps[%d]", k))
		}
		if len(s) != n {
			return nil, 0, &InputError{Field: fmt.Sprintf("sweeps[%d]", k), Got: fmt.Sprint(len(s), " readings"), Err: ErrMismatch}
		}
	}
	out := make(Sweep, n)
	worst := 0.0
	for i := range out {
		at := sweeps[0][i].At
		lo, hi, sum := math.Inf(1), math.Inf(-1), 0.0
		for k, s := range sweeps {
			if s[i].At.Normal() != at.Normal() {
				return nil, 0, &InputError{Field: fmt.Sprintf("sweeps[%d][%d].at", k, i), Got: s[i].At.String(), Err: ErrMismatch}
			}
			v := float64(s[i].Value - s.level())
			lo, hi, sum = math.Min(lo, v), math.Max(hi, v), sum+v
		}
		out[i] = Reading{at, unit.Length(sum / float64(len(sweeps)))}
		worst = math.Max(worst, hi-lo)
	}
	return out, unit.Length(worst), nil
}

// level is the mean reading, the closing reading left out.
func (s Sweep) level() unit.Length {
	c := s.core()
	sum := unit.Length(0)
	for _, r := range c {
		sum += r.Value
	}
	return sum / unit.Length(len(c))
}
