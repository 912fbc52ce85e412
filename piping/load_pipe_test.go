package piping_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"collinear.example/piping"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/floats/scalar"
	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/unit"
)

func straightRun(t testing.TB, far piping.FarEnd) piping.StraightPipe {
	t.Helper()
	s, err := piping.Schedule40(6)
	require.NoError(t, err)
	nu := 0.3
	return piping.StraightPipe{Section: s, Modulus: 2.01e11, Length: 3.2, Far: far, Poisson: &nu}
}

func direction(t testing.TB, x, y, z float64) align.Direction {
	t.Helper()
	d, err := align.DirectionOf(x, y, z)
	require.NoError(t, err)
	return d
}

func randomMisfit(r *rand.Rand) piping.PipeMisfit {
	return piping.PipeMisfit{
		Shift: align.Displacement{X: unit.Length(r.NormFloat64() * 1e-3), Y: unit.Length(r.NormFloat64() * 1e-3), Z: unit.Length(r.NormFloat64() * 1e-3)},
		Turn:  align.Turn{X: r.NormFloat64() * 1e-3, Y: r.NormFloat64() * 1e-3, Z: r.NormFloat64() * 1e-3},
	}
}

func nozzleLoad(t testing.TB, p piping.StraightPipe, a align.Direction, m piping.PipeMisfit) piping.Load {
	t.Helper()
	l, err := p.NozzleLoad(a, m)
	require.NoError(t, err)
	return l
}

// A pipe that has to come up pulls the nozzle down, one that has to be stretched
// pulls it toward the pipe.
func TestNozzleLoadSigns(t *testing.T) {
	p := straightRun(t, piping.Anchored)
	up := nozzleLoad(t, p, align.AlongTrain(), piping.PipeMisfit{Shift: align.Displacement{Y: 1e-3}})
	require.Negative(t, float64(up.Force.Y))
	require.Negative(t, float64(up.Moment.Z))
	gap := nozzleLoad(t, p, align.AlongTrain(), piping.PipeMisfit{Shift: align.Displacement{X: -1e-3}})
	require.Positive(t, float64(gap.Force.X))

	c, err := p.CloseOffset(1e-3)
	require.NoError(t, err)
	requireLoad(t, newtons(0, -float64(c.Force), 0, 0, 0, -float64(c.Moment)), up, 1e-6)
}

// Loads of misfits add, and grow in proportion.
func TestNozzleLoadSuperposition(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	a := direction(t, 0.2, -0.9, 0.5)
	for _, far := range []piping.FarEnd{piping.Anchored, piping.Hinged} {
		p := straightRun(t, far)
		for range 50 {
			m, n := randomMisfit(r), randomMisfit(r)
			sum := piping.PipeMisfit{Shift: m.Shift.Add(n.Shift.Scale(2)), Turn: align.Turn{
				X: m.Turn.X + 2*n.Turn.X, Y: m.Turn.Y + 2*n.Turn.Y, Z: m.Turn.Z + 2*n.Turn.Z,
			}}
			requireLoad(t, nozzleLoad(t, p, a, m).Add(nozzleLoad(t, p, a, n).Scale(2)), nozzleLoad(t, p, a, sum), 1e-4)
		}
	}
}

// Turning pipe and misfit together turns the load and nothing else.
func TestNozzleLoadTurnsWithThePipe(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 5))
	p := straightRun(t, piping.Hinged)
	for range 50 {
		rot := r3.NewRotation(r.Float64()*6, r3.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()})
		m := randomMisfit(r)
		l := nozzleLoad(t, p, align.Upward(), m)
		s := rot.Rotate(r3.Vec{X: float64(m.Shift.X), Y: float64(m.Shift.Y), Z: float64(m.Shift.Z)})
		w := rot.Rotate(r3.Vec{X: m.Turn.X, Y: m.Turn.Y, Z: m.Turn.Z})
		a := rot.Rotate(r3.Vec{Y: 1})
		got := nozzleLoad(t, p, direction(t, a.X, a.Y, a.Z), piping.PipeMisfit{
			Shift: align.Displacement{X: unit.Length(s.X), Y: unit.Length(s.Y), Z: unit.Length(s.Z)},
			Turn:  align.Turn{X: w.X, Y: w.Y, Z: w.Z},
		})
		f := rot.Rotate(r3.Vec{X: float64(l.Force.X), Y: float64(l.Force.Y), Z: float64(l.Force.Z)})
		k := rot.Rotate(r3.Vec{X: float64(l.Moment.X), Y: float64(l.Moment.Y), Z: float64(l.Moment.Z)})
		requireLoad(t, newtons(f.X, f.Y, f.Z, k.X, k.Y, k.Z), got, 1e-4)
	}
}

// The energy of a closed misfit is never negative, so no misfit pushes itself
// further open.
func TestClosingTakesWork(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 6))
	for _, far := range []piping.FarEnd{piping.Anchored, piping.Hinged} {
		p := straightRun(t, far)
		for range 200 {
			m := randomMisfit(r)
			l := nozzleLoad(t, p, direction(t, r.NormFloat64(), r.NormFloat64(), r.NormFloat64()), m)
			work := float64(l.Force.X)*float64(m.Shift.X) + float64(l.Force.Y)*float64(m.Shift.Y) + float64(l.Force.Z)*float64(m.Shift.Z) +
				float64(l.Moment.X)*m.Turn.X + float64(l.Moment.Y)*m.Turn.Y + float64(l.Moment.Z)*m.Turn.Z
			require.Negative(t, work)
		}
	}
}

// Twice the length makes an eighth of the force and a quarter of the moment.
func TestLengthScaling(t *testing.T) {
	for _, far := range []piping.FarEnd{piping.Anchored, piping.Hinged} {
		p := straightRun(t, far)
		a, err := p.CloseOffset(1e-3)
		require.NoError(t, err)
		tilt, err := p.CloseTilt(1e-3)
		require.NoError(t, err)
		p.Length *= 2
		b, err := p.CloseOffset(1e-3)
		require.NoError(t, err)
		require.InEpsilon(t, float64(a.Force)/8, float64(b.Force), 1e-12)
		require.InEpsilon(t, float64(a.Moment)/4, float64(b.Moment), 1e-12)
		half, err := p.CloseTilt(1e-3)
		require.NoError(t, err)
		require.InEpsilon(t, float64(tilt.Moment)/2, float64(half.Moment), 1e-12)
		require.InEpsilon(t, float64(tilt.Force)/4, float64(half.Force), 1e-12)
	}
}

// A beam in balance: the moments at the ends are carried by the force over the
// length.
func TestClosingInBalance(t *testing.T) {
	for _, far := range []piping.FarEnd{piping.Anchored, piping.Hinged} {
		p := straightRun(t, far)
		offset, err := p.CloseOffset(2e-3)
		require.NoError(t, err)
		tilt, err := p.CloseTilt(-3e-3)
		require.NoError(t, err)
		for _, c := range []piping.Closing{offset, tilt} {
			require.InEpsilon(t, float64(c.Moment+c.FarMoment), float64(c.Force)*float64(p.Length), 1e-12)
		}
	}
}

// A hinged far end is softer in everything.
func TestHingedIsSofter(t *testing.T) {
	a, err := straightRun(t, piping.Anchored).CloseOffset(1e-3)
	require.NoError(t, err)
	h, err := straightRun(t, piping.Hinged).CloseOffset(1e-3)
	require.NoError(t, err)
	require.InEpsilon(t, 4, float64(a.Force/h.Force), 1e-12)
	require.InEpsilon(t, 2, float64(a.Moment/h.Moment), 1e-12)
}

// The free length for a stress and the stress of that length undo each other.
func TestFreeLengthRoundTrip(t *testing.T) {
	p := straightRun(t, piping.Anchored)
	l, err := piping.FreeLengthFor(p.Section.Outside, p.Modulus, 4e-3, 6e7)
	require.NoError(t, err)
	p.Length = l
	c, err := p.CloseOffset(4e-3)
	require.NoError(t, err)
	require.InEpsilon(t, 6e7, float64(c.Stress), 1e-12)
}

// A thin wall tends to pi D t and pi D^3 t/8.
func TestThinWall(t *testing.T) {
	p, err := piping.PipeSection{Outside: 1, Wall: 1e-6}.Properties()
	require.NoError(t, err)
	require.InEpsilon(t, math.Pi*1e-6, float64(p.Area), 2e-6)
	require.InEpsilon(t, math.Pi*1e-6/8, p.Inertia, 5e-6)
	require.True(t, scalar.EqualWithinRel(p.Modulus, 2*p.Inertia, 1e-15))
}

func TestShareOffsetAddsUp(t *testing.T) {
	got, err := piping.ShareOffset(-0.004, []unit.Length{1.5, 0.7, 4, 2.2})
	require.NoError(t, err)
	sum := unit.Length(0)
	for _, v := range got {
		require.Negative(t, float64(v))
		sum += v
	}
	require.InDelta(t, -0.004, float64(sum), 1e-17)
}

func TestModulusIsContinuousAndHeld(t *testing.T) {
	for _, m := range piping.Moduli() {
		require.NoError(t, m.Check())
		require.NotEmpty(t, m.Source)
		for _, p := range m.Points {
			at, err := m.At(p.At)
			require.NoError(t, err)
			require.InEpsilon(t, float64(p.Value), float64(at), 1e-12)
			before, err := m.At(p.At - 1e-7)
			require.NoError(t, err)
			require.InEpsilon(t, float64(p.Value), float64(before), 1e-8)
			require.Empty(t, m.AppendRangeWarning(nil, "at", p.At))
		}
		require.Equal(t, len(m.Points) > 0, len(m.AppendRangeWarning(nil, "at", 2000)) == 1)
	}
}

// Loads and misfit go together: closing the tolerable portion just meets the
// limit.
func TestScreenPortion(t *testing.T) {
	p := straightRun(t, piping.Anchored)
	limits := []piping.NozzleLimits{nozzleOf(t, 6, piping.TopNozzle, piping.SI)}
	n, err := piping.NEMASM23().Nozzle("inlet", 6*align.Inch)
	require.NoError(t, err)
	m := piping.PipeMisfit{Shift: align.Displacement{X: 2e-3, Z: -1e-3}, Turn: align.Turn{X: 1e-3}}
	for _, l := range append(limits, n) {
		s, err := piping.ScreenMisfit(p, align.Upward(), m, l)
		require.NoError(t, err)
		k := s.Portion
		scaled := piping.PipeMisfit{Shift: m.Shift.Scale(k), Turn: align.Turn{X: k * m.Turn.X}}
		again, err := piping.ScreenMisfit(p, align.Upward(), scaled, l)
		require.NoError(t, err)
		require.InEpsilon(t, 1, again.Portion, 1e-9)
		require.InEpsilon(t, 1, again.Governs.Share(), 1e-9)
		require.Contains(t, s.String(), "not a pipe stress analysis")
	}
	none, err := piping.ScreenMisfit(p, align.Upward(), piping.PipeMisfit{}, n)
	require.NoError(t, err)
	require.True(t, none.Boundless && none.Within)
	require.Zero(t, none.Portion)
	_, err = piping.ScreenMisfit(p, align.Upward(), m, nil)
	require.ErrorIs(t, err, align.ErrMissing)
}

// Whatever the numbers, a load comes out finite or an error does.
func FuzzNozzleLoad(f *testing.F) {
	f.Add(0.168, 0.007, 2e11, 3.0, 1.0, 0.0, 0.0, 1e-3, 0.0, 1e-3)
	f.Add(1e-9, 1e-10, 1e13, 1e-9, 0.0, 1.0, 0.0, 1e6, -1e6, 0.1)
	f.Add(math.NaN(), math.Inf(1), -1.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
	f.Fuzz(func(t *testing.T, outside, wall, e, length, ax, ay, az, shift, other, turn float64) {
		nu := 0.3
		for _, far := range []piping.FarEnd{0, piping.Anchored, piping.Hinged, 9} {
			p := piping.StraightPipe{
				Section: piping.PipeSection{Outside: unit.Length(outside), Wall: unit.Length(wall)},
				Modulus: unit.Pressure(e), Length: unit.Length(length), Far: far, Poisson: &nu,
			}
			m := piping.PipeMisfit{Shift: align.Displacement{X: unit.Length(shift), Y: unit.Length(other)}, Turn: align.Turn{Y: turn, Z: turn}}
			l, err := p.NozzleLoad(align.Direction{X: ax, Y: ay, Z: az}, m)
			if err != nil {
				require.NotEmpty(t, align.CodeOf(err))
				require.Zero(t, l)
				continue
			}
			for _, v := range loadParts(l) {
				require.True(t, align.IsFinite(v))
			}
			vs, err := piping.NEMASM23().JudgeSingle(piping.Connection{Nominal: 0.1, Load: l})
			if err == nil {
				require.True(t, align.IsFinite(vs.Measured))
			}
		}
	})
}

// What is printed says what it is and in which unit.
func TestLoadWords(t *testing.T) {
	require.Equal(t, "anchored, hinged, far end(0)", piping.Anchored.String()+", "+piping.Hinged.String()+", "+piping.FarEnd(0).String())
	require.Equal(t, "US customary, SI", piping.USCustomary.String()+", "+piping.SI.String())
	require.Equal(t, "NEMA SM 23, US customary", piping.NEMASM23().Name())
	vs, err := nozzleOf(t, 6, piping.TopNozzle, piping.SI).JudgeNozzle(newtons(2000, 0, 0, 0, 0, 0))
	require.NoError(t, err)
	require.Contains(t, vs[0].String(), "2000.0 N, within the limit by 490.0 N; FX at top nozzle NPS 6: at most 2490.0 N")
}

// The table of B31.9 in both forms, through the Go side: the same run, limits
// rounded apart.
func TestFlexibilityForms(t *testing.T) {
	run := piping.FlexibilityTest{Outside: 0.1143, Movement: 0.02, Developed: 9, Straight: 6, Units: piping.SI}
	si, err := run.Judge()
	require.NoError(t, err)
	run.Units = piping.USCustomary
	us, err := run.Judge()
	require.NoError(t, err)
	require.Equal(t, si.Measured, us.Measured)
	require.InEpsilon(t, 0.1143*0.02/9, us.Measured, 1e-12)
	require.InEpsilon(t, us.Limit.SI(), si.Limit.SI(), 2e-4)
	require.Less(t, si.Limit.SI(), us.Limit.SI())
}

// A pipe whose growth is blocked is as strained as one stretched by CloseGap.
func TestRestrainedAgainstGap(t *testing.T) {
	p := straightRun(t, piping.Anchored)
	s, err := p.Section.Properties()
	require.NoError(t, err)
	r, err := piping.RestrainedPipe{Area: s.Area, Modulus: p.Modulus, Length: p.Length, Strain: 1.1e-3}.Load()
	require.NoError(t, err)
	f, err := p.CloseGap(-r.Free)
	require.NoError(t, err)
	require.InEpsilon(t, float64(f), float64(r.Force), 1e-12)
	require.Negative(t, float64(r.Force))
	with, err := piping.RestrainedPipe{Area: s.Area, Modulus: p.Modulus, Length: p.Length, Strain: 1.1e-3, Gap: r.Free / 4}.Load()
	require.NoError(t, err)
	require.InEpsilon(t, float64(r.Force)*0.75, float64(with.Force), 1e-12)
}
