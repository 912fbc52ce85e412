package whatif

import (
	"context"
	"strconv"

	"collinear.example/align"
)

// ThresholdAlong is Threshold for a study, along a knob made by Range or
// RangeWith: the intervals of the scan are those between its n values. The type
// of the width is that of the knob's field; another type is an ErrMismatch. A knob
// that is not a range is an ErrNotARange.
func ThresholdAlong[J, R any, Q ~float64](ctx context.Context, s *Study[J, R], k Knob[J], width Q, passes func(R) bool) (Passing[Q], error) {
	scan, compute, err := along(s, k, width)
	if err != nil {
		return Passing[Q]{}, err
	}
	if passes == nil {
		return Passing[Q]{}, fault("passes", "", align.ErrMissing)
	}
	return Threshold(ctx, scan, func(v Q) (bool, error) {
		r, err := compute(v)
		if err != nil {
			return false, err
		}
		return passes(r), nil
	})
}

// RootsAlong is Roots for a study, along a knob made by Range or RangeWith, for a
// figure taken from the result. It fails as ThresholdAlong and Roots do.
func RootsAlong[J, R any, Q, V ~float64](ctx context.Context, s *Study[J, R], k Knob[J], width Q, value V, figure func(R) V) ([]Crossing[Q, V], error) {
	scan, compute, err := along(s, k, width)
	if err != nil {
		return nil, err
	}
	if figure == nil {
		return nil, fault("figure", "", align.ErrMissing)
	}
	return Roots(ctx, scan, value, func(v Q) (V, error) {
		r, err := compute(v)
		if err != nil {
			return 0, err
		}
		return figure(r), nil
	})
}

// along returns the scan that a knob stands for and the study with the knob
// turned. Columns are not wanted here.
func along[J, R any, Q ~float64](s *Study[J, R], k Knob[J], width Q) (Scan[Q], func(Q) (R, error), error) {
	var zero Q
	if s.Compute == nil {
		return Scan[Q]{}, nil, fault("compute", "", align.ErrMissing)
	}
	if err := k.check("knob"); err != nil {
		return Scan[Q]{}, nil, err
	}
	if k.kind != ranged {
		return Scan[Q]{}, nil, fault("knob", strconv.Quote(k.Name), ErrNotARange)
	}
	if any(zero) != k.typed {
		return Scan[Q]{}, nil, fault("width", "another type than the knob's", align.ErrMismatch)
	}
	scan := Scan[Q]{Name: k.Name, Unit: k.Unit, From: Q(min(k.from, k.to)), To: Q(max(k.from, k.to)),
		Intervals: k.n - 1, Width: width}
	return scan, func(v Q) (R, error) {
		var job J
		s.fresh(&job)
		k.set(&job, float64(v))
		return s.Compute(&job)
	}, nil
}
