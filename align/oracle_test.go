package align_test

import (
	"math"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/unit"
)

// This file holds the slow, obvious ways to the same answers. They share no
// code with the package beyond its input types.

// body is one of the three pieces that a dial can join.
type body int

const (
	nearBody body = iota
	spoolBody
	farBody
)

// bodies returns which body carries the bracket of d and which one it touches.
func bodies(d align.Dial) (carrying, touched body) {
	first, second := nearBody, farBody
	later := d.Bracket == align.Far
	switch d.Reach {
	case align.NearToSpool:
		second, later = spoolBody, d.OnSpool
	case align.FarToSpool:
		first, later = spoolBody, !d.OnSpool
	}
	if later {
		return second, first
	}
	return first, second
}

// lineOf returns offset at station 0 and slope of a body in one plane, for a
// far shaft y = a + b x and a near shaft y = 0: the spool runs from the near
// shaft at its near flex plane to the far shaft at its far one.
func lineOf(k body, a, b float64, s align.Spool) (offset, slope float64) {
	switch k {
	case farBody:
		return a, b
	case spoolBody:
		xn, xf := float64(s.NearFlex), float64(s.FarFlex)
		slope = (a + b*xf) / (xf - xn)
		return -slope * xn, slope
	}
	return 0, 0
}

// answer is the first harmonic in one plane that dial d shows when the far
// shaft stands at y = a + b x in that plane.
func answer(d align.Dial, s align.Spool, a, b float64) float64 {
	c, t := bodies(d)
	oc, sc := lineOf(c, a, b, s)
	ot, st := lineOf(t, a, b, s)
	if d.Surface == align.Rim {
		return (ot - oc) + (st-sc)*float64(d.Station)
	}
	// The face that looks toward the bracket: the touched plane leans back by
	// the slope between the bodies, taken later less earlier.
	lean := st - sc
	if t < c {
		lean = -lean
	}
	if d.Surface == align.FaceAway {
		lean = -lean
	}
	return lean * float64(d.Diameter) / 2
}

// direction is (cos t, sin t) by plain trigonometry.
func direction(c align.Clock) (up, right float64) {
	t := float64(c) * math.Pi / 180
	return math.Cos(t), math.Sin(t)
}

// open returns the readings that enter a fit: all but a closing one.
func open(s align.Sweep) align.Sweep {
	n := len(s)
	if n > 2 && math.Abs(math.Remainder(float64(s[0].At-s[n-1].At), 360)) < 1e-12 {
		return s[:n-1]
	}
	return s
}

// fullSystem is a measurement written out in full: one row for each reading,
// four columns for the position and one more for each dial's own zero.
type fullSystem struct {
	a    *mat.Dense
	y    *mat.VecDense
	cols int
}

// newFullSystem writes m out in full, each row over its own uncertainty.
func newFullSystem(m align.Measurement) fullSystem {
	weight := func(s unit.Length) float64 {
		switch {
		case s > 0:
			return 1 / float64(s)
		case m.Sigma > 0:
			return 1 / float64(m.Sigma)
		}
		return 1
	}
	cols := 4 + len(m.Dials)
	var rows [][]float64
	var y []float64
	add := func(w float64, row []float64, v float64) {
		for i := range row {
			row[i] *= w
		}
		rows, y = append(rows, row), append(y, w*v)
	}
	for i, d := range m.Dials {
		byOffset, bySlope := answer(d, m.Spool, 1, 0), answer(d, m.Spool, 0, 1)
		s, _ := d.Sag.RollOver()
		for _, r := range open(d.Sweep) {
			u, v := direction(r.At)
			row := make([]float64, cols)
			row[0], row[1], row[2], row[3], row[4+i] = byOffset*u, bySlope*u, byOffset*v, bySlope*v, 1
			value := float64(r.Value) - float64(s)*(1-u)/2
			if d.Turning == align.BracketShaft {
				value -= float64(d.Runout.Vertical)*u + float64(d.Runout.Horizontal)*v
			}
			add(weight(d.Sigma), row, value)
		}
	}
	for _, k := range m.Offsets {
		x := float64(k.Station)
		for plane, v := range []unit.Length{k.Offset.Vertical, k.Offset.Horizontal} {
			row := make([]float64, cols)
			row[2*plane], row[2*plane+1] = 1, x
			add(weight(k.Sigma), row, float64(v))
		}
	}
	for _, k := range m.Slopes {
		for plane, v := range []float64{k.Slope.Vertical, k.Slope.Horizontal} {
			row := make([]float64, cols)
			row[2*plane+1] = float64(k.Over)
			add(weight(k.Sigma), row, v*float64(k.Over))
		}
	}
	a := mat.NewDense(len(rows), cols, nil)
	for i, r := range rows {
		a.SetRow(i, r)
	}
	return fullSystem{a, mat.NewVecDense(len(y), y), cols}
}

// solve returns vertical offset and slope, horizontal offset and slope, and the
// dials' constants, by Householder QR.
func (f fullSystem) solve() []float64 {
	var qr mat.QR
	var x mat.VecDense
	qr.Factorize(f.a)
	if err := qr.SolveVecTo(&x, false, f.y); err != nil {
		if _, poor := err.(mat.Condition); !poor {
			panic(err)
		}
	}
	return x.RawVector().Data
}

// covariance returns the inverse of A'A.
func (f fullSystem) covariance() *mat.Dense {
	var n, inv mat.Dense
	n.Mul(f.a.T(), f.a)
	if err := inv.Inverse(&n); err != nil {
		if _, poor := err.(mat.Condition); !poor {
			panic(err)
		}
	}
	return &inv
}

// leftOver returns the sum of the squared weighted residuals.
func (f fullSystem) leftOver(x []float64) float64 {
	var r mat.VecDense
	r.MulVec(f.a, mat.NewVecDense(len(x), x))
	r.SubVec(f.y, &r)
	return mat.Dot(&r, &r)
}

// circleRows is the plain design matrix of a sweep: 1, cos t, sin t.
func circleRows(s align.Sweep) (*mat.Dense, *mat.VecDense) {
	c := open(s)
	a, y := mat.NewDense(len(c), 3, nil), mat.NewVecDense(len(c), nil)
	for i, r := range c {
		u, v := direction(r.At)
		a.SetRow(i, []float64{1, u, v})
		y.SetVec(i, float64(r.Value))
	}
	return a, y
}

// vec3 is a point or direction in the frame (x, y, z).
type vec3 [3]float64

func (a vec3) dot(b vec3) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

// distanceToLine is how far p lies from the line through q along u.
func distanceToLine(p, q, u vec3) float64 {
	w := vec3{p[0] - q[0], p[1] - q[1], p[2] - q[2]}
	cross := vec3{w[1]*u[2] - w[2]*u[1], w[2]*u[0] - w[0]*u[2], w[0]*u[1] - w[1]*u[0]}
	return math.Sqrt(cross.dot(cross) / u.dot(u))
}

// builtReading walks out from the carrying axis along the stem's direction and
// finds by bisection where the stem touches the cylinder about the touched
// axis. It knows nothing of quadratics.
func builtReading(d align.Dial, a align.Axis, s align.Spool, c align.Clock) float64 {
	carrying, touched := bodies(d)
	x := float64(d.Station)
	q, u := vec3{x, 0, 0}, vec3{1, 0, 0}
	for plane, l := range []align.Line{a.Vertical, a.Horizontal} {
		oc, sc := lineOf(carrying, float64(l.Offset), l.Slope, s)
		ot, st := lineOf(touched, float64(l.Offset), l.Slope, s)
		q[1+plane], u[1+plane] = (ot-oc)+(st-sc)*x, st-sc
	}
	if d.Turning == align.BracketShaft {
		q[1] += float64(d.Runout.Vertical)
		q[2] += float64(d.Runout.Horizontal)
	}
	roll, _ := d.Sag.RollOver()
	hang := float64(roll) / 2 // the dial hangs down by this, negative
	up, right := direction(c)
	r := float64(d.Diameter) / 2
	lo, hi := 0.0, 3*r
	for range 200 {
		mid := (lo + hi) / 2
		p := vec3{x, hang + mid*up, mid * right}
		if distanceToLine(p, q, u) < r {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}

// magnitude returns the larger of |a| and floor, for relative comparisons.
func magnitude(a, floor float64) float64 { return math.Max(math.Abs(a), floor) }

// lengthOf makes a length of a number of metres.
func lengthOf(v float64) unit.Length { return unit.Length(v) }

// mustSolve returns the position, or fails the test.
func mustSolve(t testing.TB, m align.Measurement) align.Position {
	t.Helper()
	p, err := m.Solve()
	require.NoError(t, err)
	return p
}

// conditionNumber is that of the system with the slope columns over a metre.
func (f fullSystem) conditionNumber() float64 { return mat.Cond(f.a, 2) }
