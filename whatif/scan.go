package whatif

import (
	"context"
	"strconv"

	"collinear.example/align"
	"collinear.example/uncertainty"
)

// Scan is a range of one input of type Q in which something is looked for: first
// at evenly spaced points, then more finely wherever two neighbours differ. What
// changes twice between two neighbouring points is not seen.
type Scan[Q ~float64] struct {
	Name      string     // of the input, used in messages
	Unit      align.Unit // in which to print it
	From, To  Q          // From is less than To
	Intervals int        // 1 to MaxIntervals; there is one point more
	Width     Q          // how closely a place is to be known, above zero
}

// MaxIntervals bounds the intervals of a Scan.
const MaxIntervals = 1_000_000

func (s *Scan[Q]) check() error {
	var zero Q
	if err := checkUnit("scan", s.Unit, zero); err != nil {
		return err
	}
	size := Q(sizeOf[Q]())
	switch {
	case !printable(s.Unit, float64(s.From*size)) || !printable(s.Unit, float64(s.To*size)) || !align.IsFinite(s.To-s.From):
		return fault("scan", plain(float64(s.From))+" to "+plain(float64(s.To)), align.ErrNotFinite)
	case !(s.From < s.To):
		return fault("scan", s.print(s.From)+" to "+s.print(s.To), align.ErrOutOfRange)
	case !align.IsFinite(s.Width):
		return fault("scan.width", plain(float64(s.Width)), align.ErrNotFinite)
	case !(s.Width > 0):
		return fault("scan.width", s.print(s.Width), align.ErrOutOfRange)
	case s.Intervals < 1 || s.Intervals > MaxIntervals:
		return fault("scan.intervals", strconv.Itoa(s.Intervals), align.ErrOutOfRange)
	}
	return nil
}

// point is point i of the scan.
func (s *Scan[Q]) point(i int) Q {
	if i == s.Intervals {
		return s.To
	}
	return s.From + Q(float64(s.To-s.From)*(float64(i)/float64(s.Intervals)))
}

// print is a value with its unit.
func (s *Scan[Q]) print(v Q) string { return printAt(s.Unit, v) }

// printAt is a value with its unit and six significant digits.
func printAt[Q ~float64](u align.Unit, v Q) string {
	text := significant(u.FromSI(float64(v)*sizeOf[Q]()), 6)
	if u == align.UnitOne {
		return text
	}
	return text + " " + string(u)
}

// failed says at which point something could not be computed.
func (s *Scan[Q]) failed(at Q, err error) error {
	field := "point"
	if s.Name != "" {
		field = s.Name
	}
	return caused(field, s.print(at), uncertainty.ErrTrialFailed, err)
}

// middle is halfway between two values; ok is false when no number lies between.
func middle[Q ~float64](low, high Q) (mid Q, ok bool) {
	mid = low + (high-low)/2
	return mid, mid > low && mid < high
}

// asker calls a function at points of a scan, counts, and stops when the context
// ends.
type asker[Q ~float64, V any] struct {
	ctx   context.Context
	scan  *Scan[Q]
	f     func(Q) (V, error)
	count int
}

func (a *asker[Q, V]) at(x Q) (V, error) {
	var none V
	if err := a.ctx.Err(); err != nil {
		return none, caused("scan", strconv.Itoa(a.count)+" points done", uncertainty.ErrCancelled, err)
	}
	v, err := a.f(x)
	if err != nil {
		return none, a.scan.failed(x, err)
	}
	a.count++
	return v, nil
}
