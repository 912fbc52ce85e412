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

// body is a flange in space, exactly: the centre of its face and three directions
// square to each other. It knows nothing of small angles.
type body struct{ c, a, u, r r3.Vec }

func vec(d align.Direction) r3.Vec { return r3.Vec{X: d.X, Y: d.Y, Z: d.Z} }

func bodyOf(t testing.TB, p piping.FlangePair) body {
	t.Helper()
	f, err := p.Frame()
	require.NoError(t, err)
	return body{r3.Vec{X: float64(p.Centre.X), Y: float64(p.Centre.Y), Z: float64(p.Centre.Z)}, vec(f.Axis), vec(f.Up), vec(f.Right)}
}

// moved turns the body by a rotation of any size about a point, then shifts it.
func (b body) moved(about, shift, turn r3.Vec) body {
	if angle := r3.Norm(turn); angle > 0 {
		q := r3.NewRotation(angle, turn)
		b.c = r3.Add(about, q.Rotate(r3.Sub(b.c, about)))
		b.a, b.u, b.r = q.Rotate(b.a), q.Rotate(b.u), q.Rotate(b.r)
	}
	b.c = r3.Add(b.c, shift)
	return b
}

func (b body) motion(m align.Motion) body {
	p := func(x, y, z unit.Length) r3.Vec { return r3.Vec{X: float64(x), Y: float64(y), Z: float64(z)} }
	return b.moved(p(m.About.X, m.About.Y, m.About.Z), p(m.Shift.X, m.Shift.Y, m.Shift.Z), r3.Vec{X: m.Turn.X, Y: m.Turn.Y, Z: m.Turn.Z})
}

func (b body) toward(at align.Clock) r3.Vec {
	sin, cos := math.Sincos(float64(at) * math.Pi / 180)
	return r3.Add(r3.Scale(cos, b.u), r3.Scale(sin, b.r))
}

// measured takes the readings of a joint of two bodies: gaps along the machine's
// axis from points of its face to the plane of the other, rims and holes as they
// stand in space.
func measured(machine, pipe body, pair piping.FlangePair, gasket unit.Length) piping.FlangeJoint {
	const radius, rim, circle = 0.12, 0.17, 0.15
	j := piping.FlangeJoint{Pair: pair,
		Faces: piping.FlangeSurvey{Diameter: 2 * radius, FlangeOD: 2 * rim, Gasket: &gasket},
		Rim:   &piping.RimSurvey{}, Holes: &piping.HoleSurvey{BoltCircle: 2 * circle},
	}
	for k := range 8 {
		at := align.Clock(10 + 45*k)
		n := machine.toward(at)
		from := r3.Add(machine.c, r3.Scale(radius, n))
		gap := r3.Dot(r3.Sub(pipe.c, from), pipe.a) / r3.Dot(machine.a, pipe.a)
		step := r3.Dot(r3.Sub(r3.Add(pipe.c, r3.Scale(rim, pipe.toward(at))), machine.c), n) - rim
		hole := r3.Sub(r3.Add(pipe.c, r3.Scale(circle, pipe.toward(at))), machine.c)
		j.Faces.Gaps = append(j.Faces.Gaps, piping.Gap{At: at, Gap: unit.Length(gap)})
		j.Rim.Steps = append(j.Rim.Steps, piping.RimStep{At: at, Step: unit.Length(step)})
		j.Holes.Holes = append(j.Holes.Holes, piping.HoleStep{At: at, Along: unit.Length(r3.Dot(hole, machine.toward(at+90)))})
	}
	return j
}

// misplaced returns a pipe flange near the machine's, gap apart, off by about
// size in every way.
func misplaced(draw *rand.Rand, b body, gap, size float64) body {
	v := func() r3.Vec {
		return r3.Vec{X: size * draw.NormFloat64(), Y: size * draw.NormFloat64(), Z: size * draw.NormFloat64()}
	}
	return b.moved(b.c, r3.Add(r3.Scale(gap, b.a), v()), v())
}

func solved(t testing.TB, j piping.FlangeJoint) piping.JointFit {
	t.Helper()
	f, err := j.Solve()
	require.NoError(t, err)
	return f
}

func assertMisfit(t *testing.T, want, got piping.Misfit, within float64) {
	t.Helper()
	assert.InDelta(t, float64(want.Mean), float64(got.Mean), within)
	assert.InDelta(t, want.Tilt.Up, got.Tilt.Up, within)
	assert.InDelta(t, want.Tilt.Right, got.Tilt.Right, within)
	require.NotNil(t, got.Offset)
	require.NotNil(t, got.Rotation)
	assert.InDelta(t, float64(want.Offset.Up), float64(got.Offset.Up), within)
	assert.InDelta(t, float64(want.Offset.Right), float64(got.Offset.Right), within)
	assert.InDelta(t, *want.Rotation, *got.Rotation, within)
}

// The misfit read off two flanges in space is the one they were placed with.
func TestJointReadsWhatIsThere(t *testing.T) {
	draw := rand.New(rand.NewPCG(5, 1))
	for range 200 {
		pair := someFlange(draw)
		m := bodyOf(t, pair)
		e, turn := [3]float64{}, [3]float64{}
		for i := range 3 {
			e[i], turn[i] = 2e-4*draw.NormFloat64(), 2e-4*draw.NormFloat64()
		}
		in := func(v [3]float64) r3.Vec {
			return r3.Add(r3.Scale(v[0], m.a), r3.Add(r3.Scale(v[1], m.u), r3.Scale(v[2], m.r)))
		}
		pipe := m.moved(m.c, in([3]float64{0.004 + e[0], e[1], e[2]}), in(turn))
		// Turned about 3 o'clock, right-handed, the pipe's face comes nearer at 12;
		// turned about 12 o'clock it goes away at 3.
		want := piping.Misfit{Mean: unit.Length(0.004 + e[0]), Tilt: piping.Tilt{Up: -turn[2], Right: turn[1]},
			Offset: &piping.Across{Up: unit.Length(e[1]), Right: unit.Length(e[2])}, Rotation: &turn[0]}
		assertMisfit(t, want, solved(t, measured(m, pipe, pair, 0.003)).Misfit, 2e-6)
	}
}

// What After foretells is what the readings show once the machine has truly been
// turned and shifted, about any point.
func TestAfterAgainstExactMotion(t *testing.T) {
	draw := rand.New(rand.NewPCG(6, 1))
	for range 300 {
		pair := someFlange(draw)
		m := bodyOf(t, pair)
		pipe := misplaced(draw, m, 0.004, 1e-4)
		n := func() float64 { return 1e-4 * draw.NormFloat64() }
		l := func() unit.Length { return unit.Length(draw.NormFloat64()) }
		move := align.Motion{About: align.Place{X: l(), Y: l(), Z: l()},
			Shift: align.Displacement{X: unit.Length(n()), Y: unit.Length(n()), Z: unit.Length(n())}, Turn: align.Turn{X: n(), Y: n(), Z: n()}}
		foretold, err := solved(t, measured(m, pipe, pair, 0.003)).After(move)
		require.NoError(t, err)
		after := m.motion(move)
		seen := solved(t, measured(after, pipe, foretold.Pair, 0.003))
		assertMisfit(t, seen.Misfit, foretold, 1e-6) // squares of 3e-4 times metres
		assert.InDelta(t, after.c.X, float64(foretold.Pair.Centre.X), 1e-6)
		assert.InDelta(t, after.a.Y, foretold.Pair.Axis.Y, 1e-6)
		assert.InDelta(t, after.u.Z, foretold.Pair.Up.Z, 1e-6)
	}
}

var wide = piping.GoalTolerance{Gap: 1e-3, Offset: 1e-3, Tilt: 1e-3, Rotation: 1e-3}

func goalOf(t testing.TB, m piping.Misfit) piping.NozzleGoal {
	t.Helper()
	g, err := m.Goal(wide)
	require.NoError(t, err)
	return g
}

// A machine that truly makes the motion of the goal meets its pipe.
func TestGoalClosesExactly(t *testing.T) {
	draw := rand.New(rand.NewPCG(7, 1))
	for range 300 {
		pair := someFlange(draw)
		m := bodyOf(t, pair)
		pipe := misplaced(draw, m, 0.005, 3e-4)
		f := solved(t, measured(m, pipe, pair, 0.003))
		move := goalOf(t, f.Misfit).Motion()
		assert.Equal(t, pair.Centre, move.About)
		seen := solved(t, measured(m.motion(move), pipe, pair, 0.003))
		none := 0.0
		assertMisfit(t, piping.Misfit{Mean: 0.003, Offset: &piping.Across{}, Rotation: &none}, seen.Misfit, 4e-6)
	}
}

// One nozzle alone with every way free is closed, by the motion of its goal, and
// About does not matter.
func TestCompromiseOfOne(t *testing.T) {
	draw := rand.New(rand.NewPCG(8, 1))
	for range 100 {
		pair := someFlange(draw)
		m := bodyOf(t, pair)
		g := goalOf(t, solved(t, measured(m, misplaced(draw, m, 0.005, 3e-4), pair, 0.003)).Misfit)
		about := align.Place{X: unit.Length(draw.NormFloat64()), Y: 1, Z: -1}
		c, err := piping.Compromise{Goals: []piping.NozzleGoal{g}, Free: piping.AllWays(), About: about}.Solve()
		require.NoError(t, err)
		assert.Equal(t, 6, c.Rank)
		assert.Empty(t, c.Undetermined)
		assert.True(t, c.Within)
		assert.InDelta(t, 0, c.SumSquares, 1e-18)
		want, got := g.Motion(), c.Motion.Moved(pair.Centre)
		assert.InDelta(t, float64(want.Shift.X), float64(got.Shift.X), 1e-12)
		assert.InDelta(t, float64(want.Shift.Y), float64(got.Shift.Y), 1e-12)
		assert.InDelta(t, want.Turn.Z, got.Turn.Z, 1e-12)
		e, ok := c.Nozzles[0].Misfit.GapError()
		assert.True(t, ok)
		assert.InDelta(t, 0, float64(e), 1e-12)
	}
}

// Two joints measured on one casing that was displaced as a whole are both closed
// by putting it back; any further motion makes the sum of squares larger.
func TestCompromiseOfOneDisplacedCasing(t *testing.T) {
	draw := rand.New(rand.NewPCG(9, 1))
	for range 100 {
		n := func() float64 { return 1e-4 * draw.NormFloat64() }
		away := align.Motion{Shift: align.Displacement{X: unit.Length(n()), Y: unit.Length(n()), Z: unit.Length(n())}, Turn: align.Turn{X: n(), Y: n(), Z: n()}}
		c := piping.Compromise{Free: piping.AllWays()}
		gasket := 0.003 * align.Metre
		none := 0.0
		for range 2 + draw.IntN(3) {
			fitted := piping.Misfit{Pair: someFlange(draw), Mean: gasket, Gasket: &gasket, Offset: &piping.Across{}, Rotation: &none}
			off, err := fitted.After(away)
			require.NoError(t, err)
			c.Goals = append(c.Goals, goalOf(t, off))
		}
		fit, err := c.Solve()
		require.NoError(t, err)
		before := 0.0
		for _, g := range c.Goals {
			for _, p := range g.Parts {
				before += math.Pow(p.Value/p.Tolerance, 2)
			}
		}
		// What is left is of second order: each misfit times a turn under 1e-3.
		assert.Less(t, fit.SumSquares, 1e-6*before)
		assert.InDelta(t, -away.Turn.X, fit.Motion.Turn.X, 1e-7)
		assert.InDelta(t, float64(-away.Shift.Y), float64(fit.Motion.Shift.Y), 1e-6)
	}
}

// With nozzles that cannot agree, no motion near the answer leaves less.
func TestCompromiseIsLeast(t *testing.T) {
	draw := rand.New(rand.NewPCG(10, 1))
	for range 100 {
		c := piping.Compromise{Free: piping.AllWays()}
		for range 2 {
			pair := someFlange(draw)
			m := bodyOf(t, pair)
			g := goalOf(t, solved(t, measured(m, misplaced(draw, m, 0.005, 3e-4), pair, 0.003)).Misfit)
			g.Weight = 0.5 + draw.Float64()
			c.Goals = append(c.Goals, g)
		}
		c.Free.TurnX = draw.IntN(2) == 0
		fit, err := c.Solve()
		require.NoError(t, err)
		sum := func(m align.Motion) (s float64) {
			for _, g := range c.Goals {
				for _, p := range g.Parts {
					left := p.Off(m, g.At) / p.Tolerance
					s += g.Weight * left * left
				}
			}
			return s
		}
		least := sum(fit.Motion)
		assert.InDelta(t, fit.SumSquares, least, 1e-9)
		assert.Positive(t, least)
		for range 20 {
			n := func() float64 { return 1e-5 * draw.NormFloat64() }
			near := fit.Motion.Add(align.Motion{About: fit.Motion.About,
				Shift: align.Displacement{X: unit.Length(n()), Y: unit.Length(n()), Z: unit.Length(n())}, Turn: align.Turn{Y: n(), Z: n()}})
			assert.Greater(t, sum(near), least)
		}
	}
}

// Gaps alone, on one nozzle that looks along the train, decide three ways of six.
func TestCompromiseUndetermined(t *testing.T) {
	gasket := 3 * milli
	f := solved(t, piping.FlangeJoint{
		Pair:  piping.FlangePair{Axis: align.AlongTrain(), Up: align.Upward()},
		Faces: piping.FlangeSurvey{Gaps: gapsOf(3.2, 3.1, 3.0, 3.1), Diameter: 0.2, Gasket: &gasket},
	})
	c, err := piping.Compromise{Goals: []piping.NozzleGoal{goalOf(t, f.Misfit)}, Free: piping.AllWays()}.Solve()
	require.NoError(t, err)
	assert.Equal(t, 3, c.Rank)
	assert.Equal(t, []string{"shift up", "shift to the right", "turn about x"}, c.Undetermined)
	assert.InDelta(t, 0.1, float64(c.Motion.Shift.X/milli), 1e-9)
	assert.InDelta(t, -0.001, c.Motion.Turn.Z, 1e-9) // opens 0.2 at the top over 200: the nozzle leans back there
}
