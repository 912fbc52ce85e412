package softfoot

import (
	"fmt"
	"math"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// BasePoint is the height of one place on a pad of a base.
type BasePoint struct {
	Pad     string      // name of the pad it lies on; never empty
	Station unit.Length // +x toward the last machine
	Lateral unit.Length // +z to the right
	Height  unit.Length // from any level datum, positive up
}

// Base is a base or soleplate surveyed at points.
type Base struct {
	Points []BasePoint // three or more, not in one line in plan; at most 2048
}

// BasePlane is the best plane through heights, by least squares.
type BasePlane struct {
	// Level both ways, as rise over run: positive where the base rises toward +x
	// and toward +z. A slope of 0.001 is 1 mm per metre and 0.012 in per foot.
	SlopeAlong, SlopeAcross float64
	Height                  unit.Length // at station 0, in the middle of the train
	RMS                     unit.Length // root mean square of heights off the plane
	Lowest, Highest         unit.Length // heights off the plane; lowest is negative or zero
}

// Slope returns the steepest slope, never negative.
func (p BasePlane) Slope() float64 { return math.Hypot(p.SlopeAlong, p.SlopeAcross) }

// String says the level both ways per metre and per foot.
func (p BasePlane) String() string {
	one := func(name string, s float64) string {
		return fmt.Sprintf("%s %s (%s)", name, align.UnitMillimetrePerMetre.Format(s, 3), align.UnitInchPerFoot.Format(s, 5))
	}
	return one("along", p.SlopeAlong) + ", " + one("across", p.SlopeAcross)
}

// Pad is what the points of one pad say.
type Pad struct {
	Name   string
	Points int
	Mean   unit.Length // mean of its heights
	// Off is the mean of its heights less the best plane of the whole base.
	Off unit.Length
	// Plane is the pad's own plane; Known is false when the pad has fewer than
	// three points, or all in one line.
	Plane BasePlane
	Known bool
}

// BaseSurvey is what the heights of a base say.
type BaseSurvey struct {
	Plane BasePlane
	// Flatness is the least distance in height of two parallel planes that
	// enclose all points (minimum zone); ZoneAlong and ZoneAcross are their
	// slopes. It is never more than Plane.Highest - Plane.Lowest.
	Flatness              unit.Length
	ZoneAlong, ZoneAcross float64
	// Touch are the points, up to four, that fix the minimum zone: metal off one
	// of these changes the flatness, metal off any other does not help.
	Touch []int
	// Span is the largest distance in plan between two points.
	Span unit.Length
	// Elevation is the highest point less the lowest one, with no plane taken out.
	Elevation unit.Length
	// PadElevation is the same between the mean heights of pads.
	PadElevation unit.Length
	// Coplanarity is the largest Off less the smallest: how far pads are from
	// one common plane, level or not.
	Coplanarity unit.Length
	Pads        []Pad // in the order in which they are first named
}

// Survey works the base out. Errors: not-finite, out-of-range, missing for a
// point without a pad, too-few-points, too-many-points, undetermined when all
// points lie in one line.
func (b Base) Survey() (BaseSurvey, error) {
	pts, err := b.points()
	if err != nil {
		return BaseSurvey{}, err
	}
	k, err := leastSquares("points", pts)
	if err != nil {
		return BaseSurvey{}, err
	}
	z := minimumZone(pts)
	s := BaseSurvey{
		Plane: planeOf(k, pts), Flatness: unit.Length(z.width), ZoneAlong: z.along, ZoneAcross: z.across,
		Touch: z.fixed, Span: planSpan(pts), Pads: b.pads(pts, k),
	}
	s.Elevation = rangeOfLengths(len(pts), func(i int) unit.Length { return unit.Length(pts[i].h) })
	s.PadElevation = rangeOfLengths(len(s.Pads), func(i int) unit.Length { return s.Pads[i].Mean })
	s.Coplanarity = rangeOfLengths(len(s.Pads), func(i int) unit.Length { return s.Pads[i].Off })
	return s, nil
}

// FlatnessPerLength returns flatness over Span, the way limits per metre and
// per foot are written. That their length is the longest distance surveyed is
// our reading: the quoted clauses do not say.
func (s BaseSurvey) FlatnessPerLength() float64 { return float64(s.Flatness / s.Span) }

func planeOf(k plane, pts []point) BasePlane {
	p := BasePlane{SlopeAlong: k.along, SlopeAcross: k.across, Height: unit.Length(k.at)}
	var sum float64
	for _, q := range pts {
		r := k.off(q)
		sum += r * r
		p.Lowest, p.Highest = min(p.Lowest, unit.Length(r)), max(p.Highest, unit.Length(r))
	}
	p.RMS = unit.Length(math.Sqrt(sum / float64(len(pts))))
	return p
}

func (b Base) points() ([]point, error) {
	pts := make([]point, len(b.Points))
	for i, p := range b.Points {
		if err := p.check(); err != nil {
			return nil, align.In(err, fmt.Sprintf("points[%d]", i))
		}
		pts[i] = point{float64(p.Station), float64(p.Lateral), float64(p.Height)}
	}
	return pts, nil
}

func (p BasePoint) check() error {
	if p.Pad == "" {
		return fault("pad", "", align.ErrMissing)
	}
	if err := boundedLength("station", p.Station); err != nil {
		return err
	}
	if err := boundedLength("lateral", p.Lateral); err != nil {
		return err
	}
	return boundedLength("height", p.Height)
}

func (b Base) pads(pts []point, k plane) []Pad {
	at := map[string]int{}
	var own [][]point
	var out []Pad
	for i, p := range b.Points {
		n, known := at[p.Pad]
		if !known {
			n = len(out)
			at[p.Pad] = n
			out, own = append(out, Pad{Name: p.Pad}), append(own, nil)
		}
		own[n] = append(own[n], pts[i])
	}
	for n := range out {
		out[n].Points = len(own[n])
		for _, q := range own[n] {
			out[n].Mean += unit.Length(q.h) / unit.Length(len(own[n]))
			out[n].Off += unit.Length(k.off(q)) / unit.Length(len(own[n]))
		}
		if padPlane, err := leastSquares("pad", own[n]); err == nil {
			out[n].Plane, out[n].Known = planeOf(padPlane, own[n]), true
		}
	}
	return out
}

// rangeOf returns the largest of n values less the smallest.
func rangeOfLengths(n int, value func(int) unit.Length) unit.Length {
	low, high := value(0), value(0)
	for i := 1; i < n; i++ {
		low, high = min(low, value(i)), max(high, value(i))
	}
	return high - low
}

func planSpan(pts []point) unit.Length {
	var most float64
	for i, p := range pts {
		for _, q := range pts[i+1:] {
			most = math.Max(most, math.Hypot(p.x-q.x, p.z-q.z))
		}
	}
	return unit.Length(most)
}

// Twist returns h1 - h2 + h3 - h4 for four heights at the corners of any
// quadrilateral, in whichever order they are given: positive when the corner
// given first stands on the high diagonal. For a rectangle it is the difference
// between the sums over the two diagonals. In general the weights are those that
// add up to nothing and leave every plane out,
//
//	sum(w) = 0, sum(w*x) = 0, sum(w*z) = 0, sum|w| = 4, w1 > 0
//
// (standard result; each weight is the area of the triangle of the other three).
// Errors: too-few-points or too-many-points unless there are four, undetermined when the first
// corner carries no weight because the other three lie in one line.
func (b Base) Twist() (unit.Length, error) {
	if n := len(b.Points); n != 4 {
		err := ErrTooFewPoints
		if n > 4 {
			err = ErrTooManyPoints
		}
		return 0, fault("points", fmt.Sprintf("%d, want four", n), err)
	}
	pts, err := b.points()
	if err != nil {
		return 0, err
	}
	f := frameOf(pts)
	for i := range pts {
		pts[i].x, pts[i].z = (pts[i].x-f.x0)/f.scale, (pts[i].z-f.z0)/f.scale
	}
	w := [4]float64{
		area(pts[1], pts[2], pts[3]), -area(pts[0], pts[2], pts[3]),
		area(pts[0], pts[1], pts[3]), -area(pts[0], pts[1], pts[2]),
	}
	if math.Abs(w[0]) < 1e-9 {
		return 0, fault("points", "three in one line", align.ErrUndetermined)
	}
	sum := math.Abs(w[0]) + math.Abs(w[1]) + math.Abs(w[2]) + math.Abs(w[3])
	var t float64
	for i, v := range w {
		t += float64(v * (pts[i].h - pts[0].h)) // a common height has no part in it
	}
	return unit.Length(4 * t / math.Copysign(sum, w[0])), nil
}
