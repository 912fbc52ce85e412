package whatif

import (
	"context"
	"strconv"
	"strings"

	"collinear.example/align"
)

// Change is a place where passing turns into failing: it lies between two values
// no farther apart than the width of the scan.
type Change[Q ~float64] struct {
	Fails  Q // nearest value found that fails
	Passes Q // nearest value found that passes
}

// PassesAbove reports whether the larger values are those that pass.
func (c Change[Q]) PassesAbove() bool { return c.Passes > c.Fails }

// Passing is where along one input something passes.
type Passing[Q ~float64] struct {
	Changes    []Change[Q] // in rising order
	AtFrom     bool        // passes at the lower end
	AtTo       bool        // passes at the upper end
	Points     int         // points of the scan
	Runs       int         // how many times it was worked out in all
	Unit       align.Unit
	Name       string // of the input
	From, To   Q
	Everywhere bool // passes at every point scanned
	Nowhere    bool // passes at no point scanned
}

// Threshold scans a range of one input and returns every place found where
// passing turns into failing or back, each narrowed by bisection to the width of
// the scan. A stretch that passes or fails between two neighbouring points of the
// scan, and not at either, is not seen: take more intervals.
//
// It fails with ErrTrialFailed, naming the point, where passes fails; with
// ErrMissing, ErrNotFinite, ErrOutOfRange, ErrUnknownUnit or ErrWrongUnit for a
// scan that cannot be made; and with ErrCancelled when the context ends.
func Threshold[Q ~float64](ctx context.Context, s Scan[Q], passes func(Q) (bool, error)) (Passing[Q], error) {
	if err := s.check(); err != nil {
		return Passing[Q]{}, err
	}
	if passes == nil {
		return Passing[Q]{}, fault("passes", "", align.ErrMissing)
	}
	p := Passing[Q]{Unit: s.Unit, Name: s.Name, From: s.From, To: s.To, Points: s.Intervals + 1}
	ask := asker[Q, bool]{ctx: ctx, scan: &s, f: passes}
	before, yes := false, 0
	for i := range s.Intervals + 1 {
		now, err := ask.at(s.point(i))
		if err != nil {
			return Passing[Q]{}, err
		}
		if now {
			yes++
		}
		if i == 0 {
			p.AtFrom = now
		} else if now != before {
			c, err := narrow(&ask, s.point(i-1), s.point(i), now)
			if err != nil {
				return Passing[Q]{}, err
			}
			p.Changes = append(p.Changes, c)
		}
		before = now
	}
	p.AtTo, p.Runs = before, ask.count
	p.Everywhere, p.Nowhere = yes == p.Points, yes == 0
	return p, nil
}

// narrow halves the interval until it is no wider than the scan wants, or no
// number lies within; above says that the upper end passes and not the lower.
func narrow[Q ~float64](a *asker[Q, bool], low, high Q, above bool) (Change[Q], error) {
	for high-low > a.scan.Width {
		mid, ok := middle(low, high)
		if !ok {
			break
		}
		passes, err := a.at(mid)
		if err != nil {
			return Change[Q]{}, err
		}
		if passes == above {
			high = mid
		} else {
			low = mid
		}
	}
	if above {
		return Change[Q]{Fails: low, Passes: high}, nil
	}
	return Change[Q]{Fails: high, Passes: low}, nil
}

// String says where it passes: "passes from 312.5 mm to 480 mm".
func (p Passing[Q]) String() string {
	switch {
	case p.Everywhere:
		return "passes everywhere on the " + p.scanned()
	case p.Nowhere:
		return "passes nowhere on the " + p.scanned()
	}
	var parts []string
	from, open := p.From, p.AtFrom
	for _, c := range p.Changes {
		if c.PassesAbove() {
			from, open = c.Passes, true
			continue
		}
		parts = append(parts, p.stretch(from, c.Passes))
		open = false
	}
	if open {
		parts = append(parts, p.stretch(from, p.To))
	}
	return "passes " + strings.Join(parts, " and ")
}

func (p *Passing[Q]) stretch(from, to Q) string {
	return "from " + printAt(p.Unit, from) + " to " + printAt(p.Unit, to)
}

func (p *Passing[Q]) scanned() string {
	return strconv.Itoa(p.Points) + " points scanned, " + p.stretch(p.From, p.To)
}
