package whatif

import (
	"context"
	"math"

	"collinear.example/align"
)

// Crossing is a place where a figure crosses a value. It lies between two inputs
// no farther apart than the width of the scan; where the figure met the value
// exactly both are the same.
type Crossing[Q, V ~float64] struct {
	Low, High     Q // the inputs it lies between
	AtLow, AtHigh V // the figure there: far apart, it jumps rather than crosses
}

// At returns the middle of the two inputs.
func (c Crossing[Q, V]) At() Q { return c.Low + (c.High-c.Low)/2 }

// Rising reports whether the figure goes up through the value.
func (c Crossing[Q, V]) Rising() bool { return c.AtHigh > c.AtLow }

// Roots scans a range of one input and returns, in rising order, every place
// found where the figure f crosses value, each narrowed to the width of the scan
// by the interpolate-truncate-project method (ITP), which interpolates where that
// helps and takes at most one step more than bisection (I. F. D. Oliveira and
// R. H. C. Takahashi, ACM Transactions on Mathematical Software 47(1), 2020, from
// memory). A figure that meets the value at a point of the scan without crossing
// it is returned too. Two crossings between neighbouring points are not seen. A
// figure that jumps past the value is returned with the figures on both sides.
//
// It fails with ErrTrialFailed, naming the point, where f fails or its figure is
// not finite; with what Threshold fails with for a scan; with ErrNotFinite for the
// value; and with ErrCancelled when the context ends.
func Roots[Q, V ~float64](ctx context.Context, s Scan[Q], value V, f func(Q) (V, error)) ([]Crossing[Q, V], error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	if f == nil {
		return nil, fault("function", "", align.ErrMissing)
	}
	if !align.IsFinite(value) {
		return nil, fault("value", plain(float64(value)), align.ErrNotFinite)
	}
	ask := &asker[Q, V]{ctx: ctx, scan: &s, f: finite(f, value)}
	var found []Crossing[Q, V]
	last := side[Q, V]{}
	for i := range s.Intervals + 1 {
		x := s.point(i)
		y, err := ask.at(x)
		if err != nil {
			return nil, err
		}
		now := side[Q, V]{x, y}
		switch {
		case y == value:
			found = append(found, Crossing[Q, V]{x, x, y, y})
		case i > 0 && last.y != value && (last.y < value) != (y < value):
			c, err := refine(ask, last, now, value)
			if err != nil {
				return nil, err
			}
			found = append(found, c)
		}
		last = now
	}
	return found, nil
}

// Root is Roots for a range at whose ends the figure lies on different sides of
// the value, which is checked: ErrNoCrossing otherwise. Intervals is not used.
func Root[Q, V ~float64](ctx context.Context, s Scan[Q], value V, f func(Q) (V, error)) (Crossing[Q, V], error) {
	s.Intervals = 1
	found, err := Roots(ctx, s, value, f)
	if err != nil {
		return Crossing[Q, V]{}, err
	}
	if len(found) == 0 {
		return Crossing[Q, V]{}, fault("range", s.print(s.From)+" to "+s.print(s.To), ErrNoCrossing)
	}
	return found[0], nil
}

// finite wants figures whose distance from the value is finite.
func finite[Q, V ~float64](f func(Q) (V, error), value V) func(Q) (V, error) {
	return func(x Q) (V, error) {
		y, err := f(x)
		if err != nil {
			return 0, err
		}
		if !align.IsFinite(y - value) {
			return 0, fault("figure", plain(float64(y)), align.ErrNotFinite)
		}
		return y, nil
	}
}

// side is a point of the figure's curve.
type side[Q, V ~float64] struct {
	x Q
	y V
}

// refine narrows a crossing between two points by the ITP method with the
// constants k1 = 0.2/(b - a), k2 = 2 and n0 = 1 of its authors (from memory).
func refine[Q, V ~float64](ask *asker[Q, V], a, b side[Q, V], value V) (Crossing[Q, V], error) {
	rises := a.y < value
	// A few units of the last place less than half the width, so that rounding costs
	// no step.
	width := float64(ask.scan.Width)
	eps := max(width/2-8*lastPlace(a.x, b.x), width/4)
	k1 := 0.2 / float64(b.x-a.x)
	// Bisection needs n steps to reach a width of 2 eps; one more is allowed.
	most := max(math.Ceil(math.Log2(float64(b.x-a.x)/(2*eps))), 0) + 1
	for step := 0.0; b.x-a.x > ask.scan.Width; step++ {
		reach := eps*math.Exp2(most-step) - float64(b.x-a.x)/2
		x, ok := project(a, b, value, k1, reach)
		if !ok {
			break
		}
		y, err := ask.at(x)
		switch {
		case err != nil:
			return Crossing[Q, V]{}, err
		case y == value:
			return Crossing[Q, V]{x, x, y, y}, nil
		case (y < value) == rises:
			a = side[Q, V]{x, y}
		default:
			b = side[Q, V]{x, y}
		}
	}
	return Crossing[Q, V]{a.x, b.x, a.y, b.y}, nil
}

// lastPlace is the unit of the last place of the larger of two numbers.
func lastPlace[Q ~float64](a, b Q) float64 {
	largest := max(math.Abs(float64(a)), math.Abs(float64(b)))
	return math.Nextafter(largest, math.MaxFloat64) - largest
}

// project is the next point: the straight line between the two points, moved a
// little toward the middle, and kept within reach of the middle. ok is false when
// no number lies between the two.
func project[Q, V ~float64](a, b side[Q, V], value V, k1, reach float64) (x Q, ok bool) {
	mid, ok := middle(a.x, b.x)
	if !ok {
		return 0, false
	}
	ya, yb := math.Abs(float64(a.y-value)), math.Abs(float64(b.y-value))
	width := float64(b.x - a.x)
	// The share of the way from a to b at which the line meets the value.
	off := width * (0.5 - ya/(ya+yb)) // how far the line lies before the middle
	toward := k1 * width * width
	switch {
	case !(toward <= math.Abs(off)): // also when ya + yb overflows
		off = 0
	case off > 0:
		off -= toward
	default:
		off += toward
	}
	off = max(min(off, reach), -reach)
	x = mid - Q(off)
	if !(reach >= 0) || x <= a.x || x >= b.x {
		return mid, true
	}
	return x, true
}
