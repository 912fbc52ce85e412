package runout

import (
	"math"
	"strconv"

	"collinear.example/align"
	"collinear.example/internal/lsq"
	"gonum.org/v1/gonum/unit"
)

// CirclePoint is a measured point of a round surface in its plane.
type CirclePoint struct{ X, Y unit.Length }

// CircleFit is a circle through measured points. The residual of a point is its
// distance from the centre less the radius, positive outside.
type CircleFit struct {
	X, Y       unit.Length // centre
	Radius     unit.Length
	Mean       unit.Length   // mean distance of the points from the centre; the geometric radius is the same
	Residuals  []unit.Length // in the order of the points, against Radius
	SumSquares float64       // of the residuals, m^2
	RMS        unit.Length   // root of SumSquares over the number of points
	Scatter    unit.Length   // standard deviation of the distances from the centre, over the number of points
	Worst      unit.Length   // largest residual, in size
	Steps      int           // steps of the geometric fit; 0 for the algebraic one
}

// AlgebraicCircle returns the circle that minimises the sum of squares of
// x^2 + y^2 - 2 a x - 2 b y - c, linear in a, b and c; the centre is (a, b) and
// the radius sqrt(c + a^2 + b^2) (Kasa fit, from memory). It is quick and needs
// no start, but on a short arc it comes out too small: see GeometricCircle.
//
// Errors: align.ErrUndetermined for fewer than three points or points on one
// line, align.ErrNotFinite, align.ErrOutOfRange when the result overflows.
func AlgebraicCircle(points []CirclePoint) (CircleFit, error) {
	s, err := scaledPoints(points)
	if err != nil {
		return CircleFit{}, err
	}
	c, err := s.algebraic()
	if err != nil {
		return CircleFit{}, err
	}
	return s.result(points, c, 0)
}

// GeometricCircle returns the circle that minimises the sum of squares of the
// distances of the points from the circle: the least-squares circle of
// roundness measurement. It starts from AlgebraicCircle and takes Gauss-Newton
// steps, halved where a whole one does not improve the fit, and near the end
// Newton steps.
//
// Errors are those of AlgebraicCircle; align.ErrUndetermined too when the steps
// do not settle, as for points scattered about a straight line, whose best
// circle has no bound.
func GeometricCircle(points []CirclePoint) (CircleFit, error) {
	s, err := scaledPoints(points)
	if err != nil {
		return CircleFit{}, err
	}
	c, err := s.algebraic()
	if err != nil {
		return CircleFit{}, err
	}
	c.r = s.meanDistance(c)
	c, steps, ok := s.descend(c)
	if !ok {
		return CircleFit{}, plumbFault("points", "", align.ErrUndetermined)
	}
	return s.result(points, c, steps)
}

// circle is a circle in scaled coordinates.
type circle struct{ x, y, r float64 }

// scaled holds points moved to their middle and scaled to unit size.
type scaled struct {
	points     [][2]float64
	midX, midY float64
	scale      float64
}

func scaledPoints(points []CirclePoint) (s scaled, err error) {
	if len(points) < 3 {
		return s, plumbFault("points", strconv.Itoa(len(points))+" points", align.ErrUndetermined)
	}
	n := float64(len(points))
	for i, p := range points {
		if !align.IsFinite(p.X) || !align.IsFinite(p.Y) {
			return s, plumbFault("points["+strconv.Itoa(i)+"]", "", align.ErrNotFinite)
		}
		s.midX += float64(p.X) / n
		s.midY += float64(p.Y) / n
	}
	for _, p := range points {
		s.scale = max(s.scale, math.Hypot(float64(p.X)-s.midX, float64(p.Y)-s.midY))
	}
	if !align.IsFinite(s.scale) {
		return s, plumbFault("points", "", align.ErrOutOfRange)
	}
	if s.scale == 0 {
		return s, plumbFault("points", "", align.ErrUndetermined)
	}
	s.points = make([][2]float64, len(points))
	for i, p := range points {
		s.points[i] = [2]float64{(float64(p.X) - s.midX) / s.scale, (float64(p.Y) - s.midY) / s.scale}
	}
	return s, nil
}

// flatShare is the least diagonal share of the algebraic equations: under it
// the points lie on one line to within the rounding of their coordinates.
const flatShare = 1e-9

func (s scaled) algebraic() (circle, error) {
	sys := lsq.New(3)
	for _, p := range s.points {
		sys.Add(lsq.Row{2 * p[0], 2 * p[1], 1}, p[0]*p[0]+p[1]*p[1]) // x^2 + y^2 = 2ax + 2by + c
	}
	if _, share := sys.Weakest(); share < flatShare {
		return circle{}, plumbFault("points", "", align.ErrUndetermined)
	}
	v := sys.Solve()
	c := circle{v[0], v[1], math.Sqrt(v[2] + v[0]*v[0] + v[1]*v[1])}
	if !align.IsFinite(c.r) {
		return circle{}, plumbFault("points", "", align.ErrUndetermined)
	}
	return c, nil
}

func (s scaled) meanDistance(c circle) float64 {
	sum := 0.0
	for _, p := range s.points {
		sum += math.Hypot(p[0]-c.x, p[1]-c.y)
	}
	return sum / float64(len(s.points))
}

func (s scaled) sumSquares(c circle) float64 {
	sum := 0.0
	for _, p := range s.points {
		d := math.Hypot(p[0]-c.x, p[1]-c.y) - c.r
		sum += float64(d * d)
	}
	return sum
}

const (
	mostSteps   = 500
	mostHalved  = 40
	nearStep    = 1e-5  // step, as a share of the size of the circle, at which Newton takes over
	settledStep = 1e-14 // step of the size of rounding
	goodStep    = 1e-8  // a last step that no longer shrinks, but is good enough
)

// size is what steps are held against.
func (c circle) size() float64 { return 1 + math.Abs(c.x) + math.Abs(c.y) + c.r }

// descend takes Gauss-Newton steps until they are small, and then polishes.
func (s scaled) descend(c circle) (circle, int, bool) {
	best := s.sumSquares(c)
	for step := 1; step <= mostSteps; step++ {
		d, ok := s.step(c)
		if !ok {
			return c, step, false
		}
		near := math.Hypot(d.x, d.y) <= nearStep*c.size()
		next, sum, improved := s.halve(c, d, best)
		if near || !improved {
			return s.polish(c, step)
		}
		c, best = next, sum
	}
	return c, mostSteps, false
}

// polish takes Newton steps on the centre alone, the radius being the mean
// distance. Near the minimum the sum of squares is too flat to tell one step
// from the next, but its slope is not.
func (s scaled) polish(c circle, steps int) (circle, int, bool) {
	last := math.Inf(1)
	for ; steps <= mostSteps; steps++ {
		dx, dy, ok := s.newton(c)
		size := math.Hypot(dx, dy) / c.size()
		if !ok || !align.IsFinite(size) {
			return c, steps, false
		}
		if size >= last {
			return c, steps, last <= goodStep
		}
		c.x, c.y = c.x+dx, c.y+dy
		c.r = s.meanDistance(c)
		if size <= settledStep {
			return c, steps, true
		}
		last = size
	}
	return c, steps, false
}

// newton returns the Newton step of F = sum (d - mean d)^2 / 2 over the centre;
// ok is false where F is not curved upward. With u the direction from centre to
// point and e = d - mean d:
//
//	grad F = -sum e u
//	Hess F = sum u u' - n (mean u)(mean u)' + sum (e/d)(I - u u')
//
// (derived by differentiating twice).
func (s scaled) newton(c circle) (dx, dy float64, ok bool) {
	n := float64(len(s.points))
	var gx, gy, mx, my, xx, xy, yy float64
	for _, p := range s.points {
		x, y := p[0]-c.x, p[1]-c.y
		h := math.Hypot(x, y)
		if h == 0 {
			return 0, 0, false
		}
		ux, uy, e := x/h, y/h, h-c.r
		gx, gy = gx+e*ux, gy+e*uy
		mx, my = mx+ux/n, my+uy/n
		k := e / h
		xx, yy, xy = xx+ux*ux+k*uy*uy, yy+uy*uy+k*ux*ux, xy+(1-k)*ux*uy
	}
	xx, yy, xy = xx-n*mx*mx, yy-n*my*my, xy-n*mx*my
	det := float64(xx*yy) - float64(xy*xy)
	if xx <= 0 || det <= 0 {
		return 0, 0, false
	}
	return (gx*yy - gy*xy) / det, (gy*xx - gx*xy) / det, true
}

// step returns the Gauss-Newton step at c: the residual |p - centre| - r has the
// derivatives -(x-a)/d, -(y-b)/d and -1.
func (s scaled) step(c circle) (d circle, ok bool) {
	sys := lsq.New(3)
	for _, p := range s.points {
		dx, dy := p[0]-c.x, p[1]-c.y
		h := math.Hypot(dx, dy)
		if h == 0 { // a point at the centre gives the centre no direction
			sys.Add(lsq.Row{0, 0, 1}, -c.r)
			continue
		}
		sys.Add(lsq.Row{dx / h, dy / h, 1}, h-c.r)
	}
	if _, share := sys.Weakest(); share < lsq.Rank1Tolerance {
		return d, false
	}
	v := sys.Solve()
	return circle{v[0], v[1], v[2]}, true
}

// halve tries the step d from c, then half of it and so on, and returns the
// first circle that fits better.
func (s scaled) halve(c, d circle, best float64) (circle, float64, bool) {
	k := 1.0
	for range mostHalved {
		next := circle{c.x + k*d.x, c.y + k*d.y, 0}
		next.r = s.meanDistance(next) // the best radius of any centre
		if sum := s.sumSquares(next); sum < best {
			return next, sum, true
		}
		k /= 2
	}
	return c, best, false
}

func (s scaled) result(points []CirclePoint, c circle, steps int) (CircleFit, error) {
	f := CircleFit{
		X: unit.Length(s.midX + float64(s.scale*c.x)), Y: unit.Length(s.midY + float64(s.scale*c.y)),
		Radius: unit.Length(s.scale * c.r), Mean: unit.Length(s.scale * s.meanDistance(c)),
		Residuals: make([]unit.Length, len(points)), Steps: steps,
	}
	mean, scatter := s.meanDistance(c), 0.0
	for i, p := range s.points {
		h := math.Hypot(p[0]-c.x, p[1]-c.y) - mean
		scatter += h * h
		d := s.scale * (math.Hypot(p[0]-c.x, p[1]-c.y) - c.r)
		f.Residuals[i] = unit.Length(d)
		f.SumSquares += d * d
		f.Worst = max(f.Worst, unit.Length(math.Abs(d)))
	}
	f.RMS = unit.Length(math.Sqrt(f.SumSquares / float64(len(points))))
	f.Scatter = unit.Length(s.scale * math.Sqrt(scatter/float64(len(points))))
	for _, v := range [...]unit.Length{f.X, f.Y, f.Radius, f.Mean, f.RMS, unit.Length(f.SumSquares)} {
		if !align.IsFinite(v) {
			return CircleFit{}, plumbFault("points", "", align.ErrOutOfRange)
		}
	}
	return f, nil
}

// CircleOfOrbit returns the geometric least-squares circle of the points of an orbit
// without regard to the angles, for a shaft whose turns were not measured. X of
// the result is east and Y is north. Errors are those of GeometricCircle.
func CircleOfOrbit(points []OrbitPoint) (CircleFit, error) {
	flat := make([]CirclePoint, len(points))
	for i, p := range points {
		flat[i] = CirclePoint{X: p.At.East, Y: p.At.North}
	}
	return GeometricCircle(flat)
}
