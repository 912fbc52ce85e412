package piping_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"collinear.example/piping"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/unit"
)

const strainMM = align.Millimetre

func placeMM(x, y, z float64) align.Place {
	return align.Place{X: unit.Length(x) * strainMM, Y: unit.Length(y) * strainMM, Z: unit.Length(z) * strainMM}
}

func dialsShow(v ...float64) []piping.Reading {
	out := make([]piping.Reading, len(v))
	for i := range v {
		out[i] = piping.Shows(align.Movement(unit.Length(v[i]) * strainMM))
	}
	return out
}

// sixWays is a synthetic vector: eight dials on a casing, in a frame with x along
// the train, z up and y to the left; here y is up and z to the right.
func sixWays() piping.StrainTest {
	at := func(x, left, up float64) align.Place { return placeMM(x, up, -left) }
	up, left := align.Upward(), align.Rightward().Neg()
	return piping.StrainTest{
		Indicators: []piping.Indicator{
			{Name: "V1", At: at(300, 200, 0), Toward: up},
			{Name: "V2", At: at(300, -200, 0), Toward: up},
			{Name: "V3", At: at(-300, 200, 0), Toward: up},
			{Name: "V4", At: at(-300, -200, 0), Toward: up},
			{Name: "H1", At: at(300, 0, 250), Toward: left},
			{Name: "H2", At: at(-300, 0, 250), Toward: left},
			{Name: "A1", At: at(350, 0, 250), Toward: align.AlongTrain()},
			{Name: "D45", At: at(300, 120, 370), Toward: align.ClockDirection(315)},
		},
		Shaft:    at(0, 0, 250),
		Coupling: []unit.Length{450 * strainMM},
		Nozzles:  []piping.NamedPlace{{Name: "origin"}},
		Steps: []piping.Step{{
			Name: "discharge", Action: piping.Tighten, Group: piping.Flange, Of: []string{"discharge"},
			Readings: dialsShow(0.083, 0.043, 0.047, 0.007, -0.013, -0.061, 0.015, 0.05/math.Sqrt2),
		}},
	}
}

func nearly(t *testing.T, want float64, got piping.Component, tol float64) {
	t.Helper()
	require.True(t, got.Known)
	assert.InDelta(t, want, float64(got.Value)*1e3, tol)
}

// The vector's motion, and the movement at the coupling, come back.
func TestSixWays(t *testing.T) {
	test := sixWays()
	r, err := test.Result()
	require.NoError(t, err)
	m := r.Final()
	assert.Equal(t, 6, m.Casing.Rank())
	assert.Empty(t, m.Casing.Undetermined().Names())
	nearly(t, 0.03, m.Nozzles()[0].Along, 1e-9)
	nearly(t, 0.045, m.Nozzles()[0].Up, 1e-9)
	nearly(t, 0.012, m.Nozzles()[0].Right, 1e-9)
	assert.InDelta(t, 1e-4, m.Casing.Motion().Turn.X, 1e-12)
	assert.InDelta(t, 8e-5, m.Casing.Motion().Turn.Y, 1e-12)
	assert.InDelta(t, 6e-5, m.Casing.Motion().Turn.Z, 1e-12)
	c := m.Shaft().At[0]
	nearly(t, 0.015, c.Along, 1e-9)
	nearly(t, 0.072, c.Up, 1e-9)
	nearly(t, 0.001, c.Right, 1e-9)
	assert.Equal(t, piping.FromCasing, m.Shaft().Vertical)
	assert.InDelta(t, 0.072, float64(m.Shaft().Axis.At(450*strainMM).Vertical)*1e3, 1e-9)
	assert.InDelta(t, 0.001, float64(m.Shaft().Axis.At(450*strainMM).Horizontal)*1e3, 1e-9)
	assert.Empty(t, r.Warnings)
	cov, ok := m.Casing.Covariance()
	require.True(t, ok)
	for i, s := range m.Casing.Sigma() {
		assert.InDelta(t, s, math.Sqrt(cov[i][i]), 1e-12*s)
	}
}

// The ranks that go with it: without the axial dial 5, of the four vertical
// dials alone 3; what is then open is said.
func TestSixWaysRanks(t *testing.T) {
	test := sixWays()
	test.Steps[0].Readings[6] = piping.Reading{}
	r, err := test.Result()
	require.NoError(t, err)
	assert.Equal(t, 5, r.Final().Casing.Rank())
	assert.Equal(t, []string{"shift along x"}, r.Final().Casing.Undetermined().Names())
	assert.False(t, r.Final().Shaft().At[0].Along.Known)
	assert.Zero(t, r.Final().Shaft().At[0].Along.Value)
	assert.True(t, r.Final().Shaft().At[0].Up.Known)
	_, ok := r.Final().Casing.Covariance()
	assert.False(t, ok)

	for i := 4; i < 8; i++ {
		test.Steps[0].Readings[i] = piping.Reading{}
	}
	r, err = test.Result()
	require.NoError(t, err)
	assert.Equal(t, 3, r.Final().Casing.Rank())
	assert.Equal(t, []string{"shift along x", "shift to the right", "turn about y"}, r.Final().Casing.Undetermined().Names())
	assert.Equal(t, piping.FromNothing, r.Final().Shaft().Horizontal)
	nearly(t, 0.072, r.Final().Shaft().At[0].Up, 1e-9)
	vs, err := r.Judge(piping.MovementLimits()[0])
	require.NoError(t, err)
	for _, v := range vs {
		if v.Plane == "right" {
			assert.Equal(t, piping.Undecided, v.Outcome)
		} else {
			assert.Equal(t, piping.Over, v.Outcome) // 0.072 over 0.05
		}
	}
}

// Six dials along the axes through one point: rank 3, the turns cannot be seen
// (published as an ill-posed case beside K.-L. Low's formula).
func TestDegenerate(t *testing.T) {
	test := sixWays()
	test.Indicators = nil
	for i, d := range []align.Direction{{X: 1}, {Y: 1}, {Z: 1}, {X: -1}, {Y: -1}, {Z: -1}} {
		test.Indicators = append(test.Indicators, piping.Indicator{
			Name: string(rune('a' + i)), At: align.Place{X: unit.Length(d.X), Y: unit.Length(d.Y), Z: unit.Length(d.Z)}, Toward: d,
		})
	}
	test.Shaft, test.Coupling = align.Place{}, []unit.Length{0}
	test.Steps[0].Readings = dialsShow(0.01, 0.02, 0.03, -0.01, -0.02, -0.03)
	r, err := test.Result()
	require.NoError(t, err)
	assert.Equal(t, 3, r.Final().Casing.Rank())
	assert.Equal(t, []string{"turn about x", "turn about y", "turn about z"}, r.Final().Casing.Undetermined().Names())
	nearly(t, 0.02, r.Final().Shaft().At[0].Up, 1e-9)
	assert.False(t, r.Final().Shaft().VerticalSlope.Known)
}

// turnedExactly moves a point exactly: about a reference, by a finite rotation.
func turnedExactly(p, about align.Place, m align.Motion) align.Displacement {
	w := r3.Vec{X: m.Turn.X, Y: m.Turn.Y, Z: m.Turn.Z}
	v := r3.Vec{X: float64(p.X - about.X), Y: float64(p.Y - about.Y), Z: float64(p.Z - about.Z)}
	q := r3.NewRotation(r3.Norm(w), w).Rotate(v)
	return m.Shift.Add(align.Displacement{X: unit.Length(q.X - v.X), Y: unit.Length(q.Y - v.Y), Z: unit.Length(q.Z - v.Z)})
}

// A casing moved exactly, by rotation matrices, gives its coupling, feet and
// nozzles back, up to the second order of the turn.
func TestExactMotion(t *testing.T) {
	draw := rand.New(rand.NewPCG(7, 1))
	for range 300 {
		test := anyTest(draw, 9, 1)
		about := align.Place{X: test.Coupling[0], Y: test.Shaft.Y, Z: test.Shaft.Z}
		m := anyMotion(draw, about, 1e-4)
		for i := range test.Indicators {
			d := turnedExactly(test.Indicators[i].At, about, m)
			test.Steps[0].Readings[i] = piping.Shows(align.Movement(d.Along(test.Indicators[i].Toward)))
		}
		r, err := test.Result()
		require.NoError(t, err)
		require.Equal(t, 6, r.Final().Casing.Rank())
		check := func(p align.Place, got piping.PointMovement) {
			want := turnedExactly(p, about, m)
			// Small angles leave out half the turn squared times the distance,
			// under 4 m here; nine random dials magnify that up to some ten times.
			w := m.Turn
			tol := 10 * (w.X*w.X + w.Y*w.Y + w.Z*w.Z) / 2 * 4 * 1e3
			nearly(t, float64(want.X)*1e3, got.Along, tol)
			nearly(t, float64(want.Y)*1e3, got.Up, tol)
			nearly(t, float64(want.Z)*1e3, got.Right, tol)
		}
		check(align.Place{X: test.Coupling[1], Y: test.Shaft.Y, Z: test.Shaft.Z}, r.Final().Shaft().At[1])
		check(test.Feet[0].At, r.Final().Feet()[0])
		check(test.Nozzles[0].At, r.Final().Nozzles()[0])
	}
}

func anyPlace(draw *rand.Rand) align.Place {
	l := func() unit.Length { return unit.Length(2*draw.Float64() - 1) }
	return align.Place{X: l(), Y: l(), Z: l()}
}

func anyMotion(draw *rand.Rand, about align.Place, size float64) align.Motion {
	g := func() float64 { return size * draw.NormFloat64() }
	return align.Motion{
		About: about, Shift: align.Displacement{X: unit.Length(g()), Y: unit.Length(g()), Z: unit.Length(g())},
		Turn: align.Turn{X: g(), Y: g(), Z: g()},
	}
}

// anyTest is a test of n casing dials and a number of flange steps without
// movement.
func anyTest(draw *rand.Rand, n, steps int) piping.StrainTest {
	test := piping.StrainTest{
		Shaft: anyPlace(draw), Coupling: []unit.Length{anyPlace(draw).X, anyPlace(draw).X},
		Feet: []piping.NamedPlace{{Name: "foot", At: anyPlace(draw)}}, Nozzles: []piping.NamedPlace{{Name: "nozzle", At: anyPlace(draw)}},
	}
	for i := range n {
		d, err := align.DirectionOf(draw.NormFloat64(), draw.NormFloat64(), draw.NormFloat64())
		if err != nil {
			panic(err)
		}
		test.Indicators = append(test.Indicators, piping.Indicator{Name: string(rune('a' + i)), At: anyPlace(draw), Toward: d})
	}
	for k := range steps {
		name := string(rune('A' + k))
		test.Steps = append(test.Steps, piping.Step{Name: name, Action: piping.Loosen, Group: piping.Flange, Of: []string{name}, Readings: make([]piping.Reading, n)})
	}
	return test
}

// The changes of slope are those between two stations, in both planes, whether
// the shaft itself or the casing was watched.
func TestSlopes(t *testing.T) {
	test := sixWays()
	test.Coupling = append(test.Coupling, 950*strainMM)
	for _, touches := range []piping.Touched{piping.Casing, piping.Shaft} {
		for i := range test.Indicators {
			test.Indicators[i].Touches = touches
		}
		r, err := test.Result()
		require.NoError(t, err)
		m := r.Final().Shaft()
		require.True(t, m.VerticalSlope.Known && m.HorizontalSlope.Known)
		assert.InDelta(t, float64(m.At[1].Up.Value-m.At[0].Up.Value)/0.5, m.VerticalSlope.Value, 1e-12)
		assert.InDelta(t, float64(m.At[1].Right.Value-m.At[0].Right.Value)/0.5, m.HorizontalSlope.Value, 1e-12)
		assert.InDelta(t, m.Axis.Horizontal.Slope, m.HorizontalSlope.Value, 1e-15)
		if touches == piping.Casing {
			assert.InDelta(t, 6e-5, m.VerticalSlope.Value, 1e-12)
			assert.InDelta(t, -8e-5, m.HorizontalSlope.Value, 1e-12)
		}
	}
}

// A shaft does not roll in its bearings, so a dial on top of the hub that looks
// across shows how far the shaft went sideways; on a casing it might have rolled.
func TestShaftDoesNotRoll(t *testing.T) {
	for touches, known := range map[piping.Touched]bool{piping.Shaft: true, piping.Casing: false} {
		test := hubTest(flangeStep("make", piping.Tighten, "suction", dialsShow(0.05, -0.02)))
		test.Indicators[1].At = test.Indicators[0].At
		for i := range test.Indicators {
			test.Indicators[i].Touches = touches
		}
		r, err := test.Result()
		require.NoError(t, err)
		assert.Equal(t, known, r.Final().Shaft().At[0].Right.Known)
	}
}

// Two dials that disagree count by the inverse square of their uncertainty.
func TestWeights(t *testing.T) {
	test := hubTest(flangeStep("make", piping.Tighten, "suction", dialsShow(0.03, 0.08)))
	test.Indicators[1] = test.Indicators[0]
	test.Indicators[1].Name, test.Indicators[0].Sigma, test.Indicators[1].Sigma = "worse", 1*align.Micrometre, 2*align.Micrometre
	r, err := test.Result()
	require.NoError(t, err)
	up := r.Final().Shaft().At[0].Up
	nearly(t, (4*0.03+0.08)/5, up, 1e-12)
	assert.InDelta(t, 2e-6/2.2360679774997896, float64(up.Sigma), 1e-18)
}
