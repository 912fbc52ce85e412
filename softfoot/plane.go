package softfoot

import (
	"fmt"
	"math"

	"collinear.example/align"
	"collinear.example/internal/lsq"
	"gonum.org/v1/gonum/unit"
)

// Faults of surfaces measured at points.
const (
	ErrTooFewPoints  align.Fault = "too-few-points"  // fewer than three points give no plane
	ErrTooManyPoints align.Fault = "too-many-points" // more than the computation is made for
)

// maxPoints bounds the points of one surface, so that no input runs for ever.
const maxPoints = 2048

// boundedLength wants a finite length that is small enough to be squared.
func boundedLength(field string, v unit.Length) error {
	if !align.IsFinite(v) {
		return fault(field, fmt.Sprint(float64(v))+" m", align.ErrNotFinite)
	}
	if math.Abs(float64(v)) > 1e6 {
		return fault(field, fmt.Sprint(float64(v))+" m", align.ErrOutOfRange)
	}
	return nil
}

// positiveLength wants a finite length above zero.
func positiveLength(field string, v unit.Length) error {
	if err := boundedLength(field, v); err != nil {
		return err
	}
	if v <= 0 {
		return fault(field, align.UnitMillimetre.Format(float64(v), 4), align.ErrOutOfRange)
	}
	return nil
}

// lengthFromZero wants a finite length of zero or more.
func lengthFromZero(field string, v unit.Length) error {
	if err := boundedLength(field, v); err != nil {
		return err
	}
	if v < 0 {
		return fault(field, align.UnitMillimetre.Format(float64(v), 4), align.ErrNegative)
	}
	return nil
}

// point is a place in plan with a height or a gap, in metres.
type point struct{ x, z, h float64 }

// frame moves and scales plan positions into the square from -1 to 1, so that
// one threshold decides for all sizes whether points lie in one line.
type frame struct{ x0, z0, scale float64 }

func frameOf(pts []point) frame {
	var f frame
	for _, p := range pts {
		f.x0 += p.x / float64(len(pts))
		f.z0 += p.z / float64(len(pts))
	}
	for _, p := range pts {
		f.scale = math.Max(f.scale, math.Max(math.Abs(p.x-f.x0), math.Abs(p.z-f.z0)))
	}
	return f
}

// plane is h = at + x*along + z*across.
type plane struct{ at, along, across float64 }

func (p plane) height(x, z float64) float64 { return p.at + float64(p.along*x) + float64(p.across*z) }

// off is how far a point lies above the plane.
func (p plane) off(q point) float64 { return q.h - p.height(q.x, q.z) }

// leastSquares fits the plane that minimises the sum of squared heights left
// over. Points in one line, or nearly so, are ErrUndetermined.
func leastSquares(field string, pts []point) (plane, error) {
	if len(pts) < 3 {
		return plane{}, fault(field, fmt.Sprintf("%d points", len(pts)), ErrTooFewPoints)
	}
	if len(pts) > maxPoints {
		return plane{}, fault(field, fmt.Sprintf("%d points", len(pts)), ErrTooManyPoints)
	}
	f := frameOf(pts)
	if f.scale < 1e-6 {
		return plane{}, fault(field, "all in one place", align.ErrUndetermined)
	}
	s := lsq.New(3)
	for _, p := range pts {
		s.Add(lsq.Row{1, (p.x - f.x0) / f.scale, (p.z - f.z0) / f.scale}, p.h)
	}
	if _, share := s.Weakest(); share < 1e-6 {
		return plane{}, fault(field, "all in one line", align.ErrUndetermined)
	}
	c := s.Solve()
	k := plane{along: c[1] / f.scale, across: c[2] / f.scale}
	k.at = c[0] - float64(k.along*f.x0) - float64(k.across*f.z0)
	return k, nil
}
