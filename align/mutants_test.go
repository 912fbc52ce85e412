package align_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/unit"
)

// The tests of this file were added because small mistakes made on purpose in the
// code (see internal/mutate) were not noticed by the others. Their expectations
// are worked out by hand beside them.

// Two opposite readings show one plane: half their difference, whose variance is
// half that of one reading. n/2 times 1/2 under the root is the factor of the arc.
func TestFitFromTwoOppositeReadings(t *testing.T) {
	f, err := align.TopBottom(5e-5, 1e-5).Fit()
	require.NoError(t, err)
	assert.True(t, f.VerticalKnown)
	assert.False(t, f.HorizontalKnown)
	assert.InDelta(t, 2e-5, float64(f.Vertical), 1e-18)
	assert.InDelta(t, 3e-5, float64(f.Constant), 1e-18)
	assert.Zero(t, f.Horizontal)
	assert.Equal(t, [2][2]float64{{0.5, 0}, {0, 0}}, f.Cov)
	assert.InDelta(t, math.Sqrt(0.5), f.ArcVertical, 1e-15)
	assert.Zero(t, f.ArcHorizontal)
	assert.Zero(t, f.DoF)

	f, err = align.Sides(-3e-5, 1e-5).Fit()
	require.NoError(t, err)
	assert.False(t, f.VerticalKnown)
	assert.True(t, f.HorizontalKnown)
	assert.InDelta(t, -2e-5, float64(f.Horizontal), 1e-18)
	assert.InDelta(t, -1e-5, float64(f.Constant), 1e-18)
	assert.Zero(t, f.Vertical)
	assert.Equal(t, [2][2]float64{{0, 0}, {0, 0.5}}, f.Cov)
	assert.InDelta(t, math.Sqrt(0.5), f.ArcHorizontal, 1e-15)
	assert.Zero(t, f.ArcVertical)

	// With a third reading at 6 o'clock there is one to spare.
	s := align.Sweep{{At: 0, Value: 4e-5}, {At: 180, Value: 1e-5}, {At: 180, Value: -1e-5}}
	f, err = s.Fit()
	require.NoError(t, err)
	assert.Equal(t, 3, f.Positions)
	assert.Equal(t, 1, f.DoF)
	assert.InDelta(t, 2e-5, float64(f.Vertical), 1e-18) // (4 - mean of 1 and -1)/2
	assert.InDelta(t, math.Sqrt2*1e-5, float64(f.RMS), 1e-17)
	assert.InDelta(t, 1e-5, float64(f.Worst), 1e-18)
}

// The closed forms halve quarter readings. A sweep that has but three of the
// quarter positions, or has them twice, must not be taken for one.
func TestAxisOfNearlyQuarterSweeps(t *testing.T) {
	for i := range 4 {
		for _, by := range []align.Clock{-30, 25} {
			s := align.FourPoint(1e-5, 4e-5, -6e-5, 2e-5)
			s[i].At += by
			requireAxisOfSolve(t, s)
		}
	}
	twice := append(align.FourPoint(1e-5, 4e-5, -6e-5, 2e-5), align.FourPoint(3e-5, -8e-5, -5e-5, 9e-5)...)
	requireAxisOfSolve(t, twice)
	r := align.ReverseIndicator{
		OnFar:  align.Dial{Station: 0.25, Sag: align.NoSag(), Sweep: twice},
		OnNear: align.Dial{Sag: align.NoSag(), Sweep: align.FourPoint(0, 0, 0, 0)},
	}
	a, err := r.Axis()
	require.NoError(t, err)
	// Mean of the two turns: top 2, right -2, bottom -5.5, left 5.5 (all e-5).
	assert.InDelta(t, 3.75e-5, float64(a.At(0.25).Vertical), 1e-18)
	assert.InDelta(t, -3.75e-5, float64(a.At(0.25).Horizontal), 1e-18)
}

func requireAxisOfSolve(t *testing.T, s align.Sweep) {
	t.Helper()
	r := align.ReverseIndicator{
		OnFar:  align.Dial{Station: 0.25, Sag: align.RollOver(-4e-5), Sweep: s},
		OnNear: align.Dial{Sag: align.RollOver(-2e-5), Sweep: s},
	}
	a, err := r.Axis()
	require.NoError(t, err)
	p, err := r.Solve()
	require.NoError(t, err)
	requireAxis(t, p.Axis, a, 1e-17)
}

// The float of two face dials, with the second dial's own clock position or that
// of the first one written down. Half the sums are 3, 4 and -1 (e-5).
func TestFloatOfTheShaft(t *testing.T) {
	a := align.Sweep{{At: 0, Value: 2e-5}, {At: 90, Value: 6e-5}, {At: 180, Value: -5e-5}}
	for _, on := range []align.Clock{0, 180, -180, 360} {
		b := align.Sweep{{At: on, Value: 4e-5}, {At: 90 + on, Value: 2e-5}, {At: 180 + on, Value: 3e-5}}
		face, axial, err := align.CancelFloat(a, b)
		require.NoError(t, err)
		for i, want := range [...][2]float64{{-1e-5, 0}, {2e-5, 1e-5}, {-4e-5, -4e-5}} {
			assert.Equal(t, a[i].At, face[i].At)
			assert.InDelta(t, want[0], float64(face[i].Value), 1e-19)
			assert.InDelta(t, want[1], float64(axial[i]), 1e-19)
		}
	}
	for _, on := range []align.Clock{1, 2, 90, 181} {
		_, _, err := align.CancelFloat(a, align.Sweep{{At: on}, {At: 90 + on}, {At: 180 + on}})
		checkFault(t, err, align.ErrMismatch, "b[0].at", "o'clock")
	}
}

func TestRezeroedAtEveryReading(t *testing.T) {
	s := align.FourPoint(1e-5, 4e-5, -6e-5, 2e-5)
	for i := range s {
		z, err := s.Rezeroed(i)
		require.NoError(t, err)
		assert.Zero(t, z[i].Value)
		c, err := s.RezeroedAt(s[i].At + 360)
		require.NoError(t, err)
		assert.Equal(t, z, c)
		for k := range s {
			assert.InDelta(t, float64(s[k].Value-s[i].Value), float64(z[k].Value), 1e-20)
		}
	}
}

// Three readings at one dial and four at the other leave one equation to spare:
// the sum rule of the four. Each of them is off by a quarter of it.
func TestOneReadingToSpare(t *testing.T) {
	r := align.ReverseIndicator{
		OnFar:  align.Dial{Station: 0.25, Sag: align.NoSag(), Sweep: align.FourPoint(0, 1e-5, 8e-5, -1e-5)},
		OnNear: align.Dial{Sag: align.NoSag(), Sweep: align.Sweep{{At: 0}, {At: 120, Value: 1e-5}, {At: 240, Value: 3e-5}}},
	}
	p, err := r.Solve()
	require.NoError(t, err)
	assert.Equal(t, 1, p.DoF)
	assert.Equal(t, align.SigmaResiduals, p.SigmaFrom)
	assert.InDelta(t, 4e-5, float64(p.Sigma), 1e-17) // root of four times (8/4)^2
	for i, want := range [...]float64{2e-5, -2e-5, 2e-5, -2e-5, 0, 0, 0} {
		assert.InDelta(t, want, float64(p.Residuals[i]), 1e-18)
	}
	// Half a difference of two readings has a variance of one half of theirs.
	assert.InDelta(t, 4e-5*math.Sqrt(0.5), float64(p.OffsetSigma(0.25).Vertical), 1e-16)
	assert.InDelta(t, 4e-5*math.Sqrt(0.5), float64(p.OffsetSigma(0.25).Horizontal), 1e-16)
	// Three positions at even steps give 2/3 of it.
	assert.InDelta(t, 4e-5*math.Sqrt(2.0/3), float64(p.OffsetSigma(0).Vertical), 1e-16)
	both := 4e-5 * math.Sqrt(0.5+2.0/3) / 0.25
	assert.InDelta(t, both, p.SlopeSigma().Vertical, 1e-15)
	assert.InDelta(t, both, p.SlopeSigma().Horizontal, 1e-15)
}

// The scaled system of two dials of like uncertainty has columns square to each
// other, one twice as long as the other: (1, 1/2) and (1, -1/2) for two rims, (1,
// 0) and (0, 1/2) for rim and face, (h/L, h/2L) and (-h/L, h/2L) for two faces
// over a spool longer than their diameter 2h.
func TestConditionByHand(t *testing.T) {
	four := align.FourPoint(0, 1e-5, -2e-5, -3e-5)
	for _, at := range []unit.Length{0, 3, -7} {
		rims := align.ReverseIndicator{
			OnFar:  align.Dial{Station: at + 0.25, Sag: align.NoSag(), Sweep: four},
			OnNear: align.Dial{Station: at, Sag: align.NoSag(), Sweep: four},
		}
		rimFace := align.RimAndFace{
			Rim:  align.Dial{Station: at, Sag: align.NoSag(), Sweep: four},
			Face: align.Dial{Diameter: 0.2, Sag: align.NoSag(), Sweep: four},
		}
		faces := align.FaceFace{
			Spool:    align.Spool{NearFlex: at, FarFlex: at + 0.5},
			NearFace: align.Dial{Diameter: 0.2, Sag: align.NoSag(), Sweep: four},
			FarFace:  align.Dial{Diameter: 0.2, Sag: align.NoSag(), Sweep: four},
		}
		for name, solve := range map[string]func() (align.Position, error){
			"rims": rims.Solve, "rim and face": rimFace.Solve, "faces": faces.Solve,
		} {
			p, err := solve()
			require.NoError(t, err)
			assert.InEpsilon(t, 2, p.Condition, 1e-9, "%s at %v", name, at)
		}
	}
}

// Where stations are counted from does not matter, to the uncertainty either.
func TestOriginDoesNotMatter(t *testing.T) {
	r := rand.New(rand.NewPCG(71, 1))
	const by = unit.Length(3)
	for name, m := range setups(r) {
		m.Sigma = 1e-5
		read(t, r, &m, randomAxis(r), 6, 300)
		p := mustSolve(t, m)
		far := m
		far.Spool = align.Spool{NearFlex: m.Spool.NearFlex + by, FarFlex: m.Spool.FarFlex + by}
		far.Dials = append([]align.Dial(nil), m.Dials...)
		for i := range far.Dials {
			far.Dials[i].Station += by
		}
		q := mustSolve(t, far)
		assert.InEpsilon(t, p.Condition, q.Condition, 1e-9, name)
		requireAxis(t, p.Axis, q.Shifted(by), 1e-12)
		a, b := p.Covariance(0.3), q.Covariance(0.3+by)
		for i := range a {
			for j := range a {
				assert.InDelta(t, a[i][j], b[i][j], 1e-9*math.Sqrt(a[i][i]*a[j][j]), name)
			}
		}
	}
}

// What a limit is held against may be as large as the limit: each warning is
// asked for, and its own value is then made the limit.
func TestAtTheLimitThereIsNoWarning(t *testing.T) {
	small := align.Checks{
		Closure: 1e-9, SumRule: 1e-9, Residual: 1e-9, Arc: 1e-3, Sag: 1e-9, Size: 1e-9, Slope: 1e-9, ArcRefused: 100,
	}
	narrow := align.Sweep{{At: 0, Value: 1e-5}, {At: 40}, {At: 90, Value: 2e-5}, {At: 130, Value: -1e-5}}
	far := align.FourPoint(0, 0.1e-3, -0.13e-3, -0.25e-3)
	far = append(far, align.Reading{At: 360, Value: 0.02e-3})
	for _, c := range []struct {
		code  align.WarningCode
		field string
		sweep align.Sweep
		set   func(*align.Checks, float64)
	}{
		{align.WarnClosure, "dials[0] (on far shaft)", far, func(c *align.Checks, v float64) { c.Closure = unit.Length(v) }},
		{align.WarnSumRule, "dials[0] (on far shaft)", far, func(c *align.Checks, v float64) { c.SumRule = unit.Length(v) }},
		{align.WarnSagSize, "dials[0] (on far shaft)", far, func(c *align.Checks, v float64) { c.Sag = unit.Length(v) }},
		{align.WarnSize, "dials[0] (on far shaft)", far, func(c *align.Checks, v float64) { c.Size = unit.Length(v) }},
		{align.WarnSize, "slope", far, func(c *align.Checks, v float64) { c.Slope = v }},
		{align.WarnNarrowArc, "dials[0] (on far shaft)", narrow, func(c *align.Checks, v float64) { c.Arc = v }},
	} {
		t.Run(fmt.Sprint(c.code, " ", c.field), func(t *testing.T) {
			m := goodReverse()
			m.Checks, m.Dials[0].Sweep = small, c.sweep
			w, ok := warningOf(mustSolve(t, m), c.code, c.field)
			require.True(t, ok)
			size := math.Abs(w.Value)
			c.set(&m.Checks, size)
			_, ok = warningOf(mustSolve(t, m), c.code, c.field)
			assert.False(t, ok, "at the limit")
			c.set(&m.Checks, size*(1-1e-8))
			_, ok = warningOf(mustSolve(t, m), c.code, c.field)
			assert.True(t, ok, "over the limit")
		})
	}
}

func warningOf(p align.Position, code align.WarningCode, field string) (align.Warning, bool) {
	for _, w := range p.Warnings {
		if w.Code == code && w.Field == field {
			return w, true
		}
	}
	return align.Warning{}, false
}

// Residuals exactly as large as their limit are let pass, of a dial and of a
// known offset.
func TestResidualAtTheLimit(t *testing.T) {
	m := goodReverse()
	m.Dials[0].Sweep[0].Value += 0.04e-3
	m.Offsets = []align.KnownOffset{{Station: 0.1, Sigma: 1, Offset: align.Offset{Vertical: 0.5e-3}}}
	m.Checks.Residual = 1e-9
	p := mustSolve(t, m)
	dial, known := 0.0, 0.0
	for i, r := range p.Residuals {
		if size := math.Abs(float64(r)); i < 4 {
			dial = math.Max(dial, size)
		} else if i >= 8 {
			known = math.Max(known, size)
		}
	}
	for field, limit := range map[string]float64{"dials[0] (on far shaft)": dial, "known offsets and slopes": known} {
		m.Checks.Residual = unit.Length(limit)
		_, ok := warningOf(mustSolve(t, m), align.WarnResidual, field)
		assert.False(t, ok, field)
		m.Checks.Residual = unit.Length(limit * (1 - 1e-8))
		_, ok = warningOf(mustSolve(t, m), align.WarnResidual, field)
		assert.True(t, ok, field)
	}
}

// The magnification by an arc that is poor in one plane only, against the
// inverse of the normal matrix of 1, cos t, sin t.
func TestArcPoorInOnePlane(t *testing.T) {
	for _, middle := range []align.Clock{0, 90, 180, 270} {
		at := []align.Clock{middle - 50, middle - 20, middle + 10, middle + 50}
		a := mat.NewDense(4, 3, nil)
		s := make(align.Sweep, 4)
		for i, c := range at {
			sin, cos := math.Sincos(float64(c) * math.Pi / 180)
			a.SetRow(i, []float64{1, cos, sin})
			s[i] = align.Reading{At: c}
		}
		var n, inverse mat.Dense
		n.Mul(a.T(), a)
		require.NoError(t, inverse.Inverse(&n))
		v, h := math.Sqrt(2*inverse.At(1, 1)), math.Sqrt(2*inverse.At(2, 2))
		m := goodReverse()
		m.Dials[0].Sweep = s
		w, ok := warningOf(mustSolve(t, m), align.WarnNarrowArc, "dials[0] (on far shaft)")
		require.True(t, ok)
		assert.InEpsilon(t, math.Max(v, h), w.Value, 1e-9)
		f, err := s.Fit()
		require.NoError(t, err)
		assert.InEpsilon(t, v, f.ArcVertical, 1e-9)
		assert.InEpsilon(t, h, f.ArcHorizontal, 1e-9)

		// The worse plane decides whether the arc is refused, in both ways to solve.
		worst := w.Value
		for _, limit := range []float64{math.Sqrt(v * h), math.Nextafter(worst, 0), worst, 1.01 * worst} {
			r := align.ReverseIndicator{
				OnFar:  align.Dial{Station: 0.2, Sag: align.NoSag(), Sweep: s},
				OnNear: align.Dial{Sag: align.NoSag(), Sweep: align.FourPoint(0, 0, 0, 0)},
				Checks: align.Checks{ArcRefused: limit},
			}
			_, byForm := r.Axis()
			_, byFit := r.Solve()
			if limit >= 1.01*worst {
				assert.NoError(t, byForm)
			} else if limit < 0.99*worst {
				assert.ErrorIs(t, byForm, align.ErrArcTooNarrow)
			}
			if limit >= worst {
				assert.NoError(t, byFit)
			} else {
				assert.ErrorIs(t, byFit, align.ErrArcTooNarrow)
			}
		}
	}
}

// Of two dials with the same arc the first is named.
func TestNarrowArcNamesTheFirst(t *testing.T) {
	m := goodReverse()
	for i := range m.Dials {
		m.Dials[i].Sweep = align.Sweep{{At: 0}, {At: 30}, {At: 60}, {At: 90}}
	}
	_, ok := warningOf(mustSolve(t, m), align.WarnNarrowArc, "dials[0] (on far shaft)")
	assert.True(t, ok)
	m.Dials[1].Sweep[3].At = 80
	_, ok = warningOf(mustSolve(t, m), align.WarnNarrowArc, "dials[1] (on near shaft)")
	assert.True(t, ok, "the narrower one is named")
}

// Which plane is left open, and whether by its offset or its slope.
func TestUndeterminedNamesPlaneAndKind(t *testing.T) {
	rim := func(x unit.Length, s align.Sweep) align.Dial {
		return align.Dial{Station: x, Sag: align.NoSag(), Sweep: s}
	}
	face := align.Dial{Surface: align.FaceToward, Diameter: 0.2, Sag: align.NoSag(), Sweep: align.FourPoint(0, 1e-5, 2e-5, 1e-5)}
	four, top, sides := align.FourPoint(0, 1e-5, 2e-5, 1e-5), align.TopBottom(0, 1e-5), align.Sides(0, 1e-5)
	for want, dials := range map[string][]align.Dial{
		"vertical offset":   {face, rim(0, sides)},
		"vertical slope":    {rim(0, four), rim(0.2, sides)},
		"horizontal offset": {face, rim(0, top)},
		"horizontal slope":  {rim(0, four), rim(0.2, top)},
	} {
		m := align.Measurement{Dials: dials}
		_, err := m.Solve()
		var in *align.InputError
		require.ErrorAs(t, err, &in, want)
		require.ErrorIs(t, err, align.ErrUndetermined)
		assert.Equal(t, want, in.Field)
	}
	m := align.Measurement{Dials: []align.Dial{rim(0, sides), rim(0, sides)}, Slopes: nil}
	m.Dials[1].Surface, m.Dials[1].Diameter = align.FaceToward, 0.2
	m.Dials[0].Surface, m.Dials[0].Diameter = align.FaceToward, 0.2
	_, err := m.Solve()
	var in *align.InputError
	require.ErrorAs(t, err, &in)
	assert.Equal(t, "horizontal offset", in.Field, "the only plane read")
}

// A size that misses the limit by rounding is within it, one that misses it by a
// part in a million is not.
func TestLimitLeavesRoomForRounding(t *testing.T) {
	l := align.Limit{Name: "gap", Value: 2, Unit: align.UnitMil}
	for over, within := range map[float64]bool{0: true, 1e-13: true, 5e-13: true, 1e-11: false, 1e-6: false, -1e-6: true, -0.5: true} {
		v, err := l.Judge(l.SI() * (1 + over))
		require.NoError(t, err)
		assert.Equal(t, within, v.Within, "%g", over)
	}
}

// A sag test is believed from three quarters of what beam theory says up to four
// times that, both included. The numbers are exact in binary.
func TestSagCheckAtItsBounds(t *testing.T) {
	p := align.PredictedSag{Droop: 0.5} // roll-over -1
	for _, c := range []struct {
		reading unit.Length
		warns   bool
	}{{-0.75, false}, {-4, false}, {-0.734375, true}, {-4.0625, true}, {-1, false}, {-3.5, false}} {
		assert.Equal(t, c.warns, len(p.CheckSag(align.RollOver(c.reading))) == 1, "%v", c.reading)
	}
}

// The values of the textbooks, from memory.
func TestBarMaterials(t *testing.T) {
	for _, c := range []struct {
		got              align.BarMaterial
		modulus, density float64
	}{{align.SteelBar(), 205e9, 7850}, {align.AluminiumBar(), 69e9, 2700}, {align.CarbonBar(), 110e9, 1600}} {
		assert.Equal(t, c.modulus, float64(c.got.Modulus), c.got.Name)
		assert.Equal(t, c.density, c.got.Density, c.got.Name)
	}
}

func TestUnitDirections(t *testing.T) {
	along, up, right := align.AlongTrain(), align.Upward(), align.Rightward()
	assert.Equal(t, align.Direction{X: 1, Y: 0, Z: 0}, along)
	assert.Equal(t, align.Direction{X: 0, Y: 1, Z: 0}, up)
	assert.Equal(t, align.Direction{X: 0, Y: 0, Z: 1}, right)
	assert.Equal(t, up, align.ClockDirection(align.Twelve))
	assert.Equal(t, right, align.ClockDirection(align.Three))
	n, err := align.DirectionOf(2, -6, 9) // 4 + 36 + 81 = 11^2
	require.NoError(t, err)
	for i, c := range [...][2]float64{{n.X, 2.0 / 11}, {n.Y, -6.0 / 11}, {n.Z, 9.0 / 11}} {
		assert.InDelta(t, c[1], c[0], 1e-15, i)
	}
	assert.Equal(t, align.Direction{X: -n.X, Y: -n.Y, Z: -n.Z}, n.Neg())
	assert.InDelta(t, -1, n.Dot(n.Neg()), 1e-15)
	m, err := align.DirectionOf(4, 4, 7) // 16 + 16 + 49 = 9^2
	require.NoError(t, err)
	assert.InDelta(t, (8.0-24+63)/99, n.Dot(m), 1e-16)
	d := align.Displacement{X: 1e-3, Y: 2e-3, Z: -4e-3}
	assert.InDelta(t, (2-12-36)/11.0*1e-3, float64(d.Along(n)), 1e-18)
	assert.InDelta(t, math.Sqrt(21)*1e-3, float64(d.Size()), 1e-18)
}

// Predicting takes nothing that is not finite and needs a diameter for a face.
func TestPredictRefusesEachInput(t *testing.T) {
	good := align.Dial{Station: 0.2, Diameter: 0.1, Sag: align.NoSag()}
	a := align.Axis{Vertical: align.Line{Offset: 1e-4}}
	for _, c := range []struct {
		fault align.Fault
		field string
		edit  func(*align.Dial)
	}{
		{align.ErrNotFinite, "station", func(d *align.Dial) { d.Station = nan }},
		{align.ErrNotFinite, "sag", func(d *align.Dial) { d.Sag = align.RollOver(inf) }},
		{align.ErrTouchedShaftOnly, "turning", func(d *align.Dial) { d.Turning = align.TouchedShaft }},
		{align.ErrCoincident, "spool.farFlex", func(d *align.Dial) { d.Reach = align.NearToSpool }},
		{align.ErrZeroDiameter, "diameter", func(d *align.Dial) { d.Surface, d.Diameter = align.FaceAway, 0 }},
	} {
		d := good
		c.edit(&d)
		_, err := d.Predict(a, align.Spool{}, 0, 0, 90)
		checkFault(t, err, c.fault, c.field, "")
		_, err = d.PredictExact(a, align.Spool{}, 0, 0, 90)
		checkFault(t, err, c.fault, c.field, "")
	}
	_, err := good.Predict(align.Axis{Horizontal: align.Line{Slope: math.NaN()}}, align.Spool{}, 0, 0)
	checkFault(t, err, align.ErrNotFinite, "axis", "")
	_, err = good.Predict(a, align.Spool{}, align.Clock(inf), 0)
	checkFault(t, err, align.ErrNotFinite, "zero", "")
	_, err = good.Predict(a, align.Spool{}, 0, align.Clock(inf))
	checkFault(t, err, align.ErrNotFinite, "sweep[0].at", "")
	big := align.Axis{Vertical: align.Line{Offset: 0.05}} // as far as the radius
	_, err = good.PredictExact(big, align.Spool{}, 0, 0)
	checkFault(t, err, align.ErrOutOfRange, "offset", "50.000 mm")
}

// No uncertainty that comes out is infinite, however large the given one is: it
// is refused first.
func TestUncertaintyNeverOverflows(t *testing.T) {
	refused := 0
	for _, at := range []unit.Length{0, 0.875, 5} { // the middle of the dials stands at 1 m for 0.875
		for sigma := 1e150; sigma < 1e157; sigma *= 1.1 {
			m := goodReverse()
			m.Sigma = unit.Length(sigma)
			for i := range m.Dials {
				m.Dials[i].Station = at + unit.Length(0.25*float64(1-i))
			}
			p, err := m.Solve()
			if err != nil {
				require.ErrorIs(t, err, align.ErrOutOfRange)
				refused++
				continue
			}
			for _, row := range p.Covariance(0) {
				for _, v := range row {
					require.True(t, align.IsFinite(v), "sigma %g at %v", sigma, at)
				}
			}
			require.True(t, align.IsFinite(p.OffsetSigma(0).Vertical))
		}
	}
	assert.Positive(t, refused)
}

// Every whole degree against plain trigonometry, beyond one turn too.
func TestUnitOfEveryDegree(t *testing.T) {
	for d := -400; d <= 800; d++ {
		up, right := align.Clock(d).Unit()
		sin, cos := math.Sincos(float64(d) * math.Pi / 180)
		require.InDelta(t, cos, up, 1e-14, d)
		require.InDelta(t, sin, right, 1e-14, d)
	}
	for d, want := range map[align.Clock][2]float64{0: {1, 0}, 90: {0, 1}, 180: {-1, 0}, 270: {0, -1}, 360: {1, 0}, -90: {0, -1}} {
		up, right := d.Unit()
		assert.Equal(t, want, [2]float64{up, right}, "quarter positions are exact")
	}
}

// The number of decimals of a limit is that of the instrument that reads it.
func TestLimitsPrintTheirDecimals(t *testing.T) {
	for u, want := range map[align.Unit]string{
		align.UnitRPM: "12 rpm", align.UnitPSI: "12 psi",
		align.UnitNewton: "12.3 N", align.UnitPoundForce: "12.3 lbf", align.UnitNewtonMetre: "12.3 N.m",
		align.UnitPoundForceFoot: "12.3 lbf.ft", align.UnitPoundForceInch: "12.3 lbf.in", align.UnitMegapascal: "12.3 MPa",
		align.UnitMil: "12.3 mil", align.UnitMicrometre: "12.3 um", align.UnitOne: "12.3", align.UnitDegree: "12.3 deg",
		align.UnitMicrometrePerMetre: "12.3 um/m", align.UnitCelsius: "12.3 degC", align.UnitFahrenheit: "12.3 degF",
		align.UnitKelvin: "12.3 K", align.UnitCelsiusRise: "12.3 degC-rise", align.UnitFahrenheitRise: "12.3 degF-rise",
		align.UnitMillimetre: "12.346 mm", align.UnitMilPerInch: "12.346 mil/in", align.UnitMillimetrePerMetre: "12.346 mm/m",
		align.UnitInch: "12.3457 in", align.UnitMetre: "12.34568 m", align.UnitFoot: "12.34568 ft",
	} {
		l := align.Limit{Name: "size", Value: 12.3456789, Unit: u, Source: "invented"}
		assert.Equal(t, "size: at most "+want+" (invented)", l.String())
	}
}

// The words of a fault of another package are those it brings along.
func TestInputErrorSpeaksForOtherPackages(t *testing.T) {
	e := &align.InputError{Package: "thermal", Field: "height", Got: "1 K", Err: align.Fault("own-word"), Meaning: "stands on its head"}
	assert.Equal(t, "stands on its head", e.Why())
	assert.Equal(t, "thermal: height = 1 K: stands on its head", e.Error())
	e.Meaning = ""
	assert.Equal(t, "own-word", e.Why())
}

func TestPlacesAndWays(t *testing.T) {
	p, d := align.Place{X: 1, Y: 2, Z: 3}, align.Displacement{X: 10, Y: 200, Z: 3000}
	assert.Equal(t, align.Place{X: 11, Y: 202, Z: 3003}, p.Add(d))
	assert.Equal(t, d, p.Add(d).From(p))
	assert.Equal(t, align.Displacement{X: 5, Y: 100, Z: 1500}, d.Scale(0.5))
	assert.Equal(t, align.Displacement{X: 11, Y: 202, Z: 3003}, d.Add(align.Displacement(p)))
	assert.Equal(t, align.Displacement{X: 9, Y: 198, Z: 2997}, d.Sub(align.Displacement(p)))
	assert.Equal(t, align.Offset{Vertical: 200, Horizontal: 3000}, d.Offset())
}

// Top, bottom and top once more are two positions with a closing reading.
func TestClosingReadingOfTwoPositions(t *testing.T) {
	s := append(align.TopBottom(1e-5, -3e-5), align.Reading{At: 0, Value: 2e-5})
	c, ok := s.Closure()
	assert.True(t, ok)
	assert.InDelta(t, 1e-5, float64(c), 1e-20)
	f, err := s.Fit()
	require.NoError(t, err)
	assert.Equal(t, 2, f.Positions)
	assert.InDelta(t, 2e-5, float64(f.Vertical), 1e-19)
	_, ok = align.Sweep{{At: 0}, {At: 0}}.Closure()
	assert.False(t, ok, "two readings at one position close nothing")
}

// Stations are held against each other for two rims between the shafts only.
func TestOrderOfStationsIsThatOfTwoRims(t *testing.T) {
	for name, c := range map[string]struct {
		edit func(*align.Dial)
		warn bool
	}{
		"rims":          {func(*align.Dial) {}, true},
		"face":          {func(d *align.Dial) { d.Surface, d.Diameter = align.FaceToward, 0.2 }, false},
		"spool":         {func(d *align.Dial) { d.Reach = align.FarToSpool }, false},
		"the same side": {func(d *align.Dial) { d.Bracket = align.Near }, false},
	} {
		m := goodReverse()
		m.Spool = align.Spool{NearFlex: 0.05, FarFlex: 0.15}
		m.Dials[1].Station = 0.5
		c.edit(&m.Dials[1])
		p, err := m.Solve()
		require.NoError(t, err, name)
		_, ok := warningOf(p, align.WarnGeometryOrder, "dials[0] (on far shaft)")
		assert.Equal(t, c.warn, ok, name)
	}
}

// What a bracket is refused for is shown with its unit.
func TestBracketShowsTheValue(t *testing.T) {
	good := align.Bracket{Length: 0.3, OuterDiameter: 0.02, InnerDiameter: 0.01, Material: align.SteelBar(), EndMass: 0.2}
	for got, spoil := range map[string]func(*align.Bracket){
		"0.000 mm":     func(b *align.Bracket) { b.Length = 0 },
		"-20.000 mm":   func(b *align.Bracket) { b.OuterDiameter = -0.02 },
		"20.000 mm":    func(b *align.Bracket) { b.InnerDiameter = 0.02 },
		"-10.000 mm":   func(b *align.Bracket) { b.InnerDiameter = -0.01 },
		"-3":           func(b *align.Bracket) { b.Bars = -3 },
		"-1 Pa":        func(b *align.Bracket) { b.Material.Modulus = -1 },
		"0 kg/m^3":     func(b *align.Bracket) { b.Material.Density = 0 },
		"-0.5 kg":      func(b *align.Bracket) { b.EndMass = -0.5 },
		"+Inf kg":      func(b *align.Bracket) { b.EndMass = unit.Mass(inf) },
		"NaN kg/m^3":   func(b *align.Bracket) { b.Material.Density = math.NaN() },
		"-5000.000 mm": func(b *align.Bracket) { b.Length = -5 },
	} {
		b := good
		spoil(&b)
		_, err := b.PredictSag()
		var in *align.InputError
		require.ErrorAs(t, err, &in)
		assert.Equal(t, got, in.Got)
	}
}

// (3, 4, 12) is 13 long, in any order.
func TestDirectionOfAnyLength(t *testing.T) {
	for _, k := range []float64{1, -1, 1e-200, 1e200} {
		for _, v := range [][3]float64{{3, 4, 12}, {4, 12, 3}, {12, 3, 4}, {0, 5, 12}, {12, 0, 5}, {5, 12, 0}} {
			d, err := align.DirectionOf(k*v[0], k*v[1], k*v[2])
			require.NoError(t, err)
			s := math.Copysign(13, k)
			assert.InDeltaSlice(t, []float64{v[0] / s, v[1] / s, v[2] / s}, []float64{d.X, d.Y, d.Z}, 1e-15)
		}
	}
}

// Known offsets and slopes count with the dials: all have an uncertainty or none.
func TestKnownPartsMixUncertainties(t *testing.T) {
	for _, c := range []struct {
		dials, known unit.Length
		want         error
	}{{0, 0, nil}, {0, 1e-5, align.ErrMixedUncertainty}, {1e-5, 0, align.ErrMixedUncertainty}, {1e-5, 1e-5, nil}} {
		for _, slope := range []bool{false, true} {
			m := goodReverse()
			m.Sigma = 0
			for i := range m.Dials {
				m.Dials[i].Sigma = c.dials
			}
			if slope {
				m.Slopes = []align.KnownSlope{{Over: 0.1, Sigma: c.known}}
			} else {
				m.Offsets = []align.KnownOffset{{Station: 0.1, Sigma: c.known}}
			}
			_, err := m.Solve()
			require.ErrorIs(t, err, c.want)
		}
	}
}

// A dial that is read once more at two opposite marks says nothing new: the
// position stays what it was, also in the plane across those marks.
func TestDialReadAgainInOnePlane(t *testing.T) {
	want := mustSolve(t, goodReverse())
	for dial := range 2 {
		for _, first := range []int{0, 1} {
			m := goodReverse()
			again := m.Dials[dial]
			again.Name = "again"
			again.Sweep = align.Sweep{again.Sweep[first], again.Sweep[first+2]}
			m.Dials = append(m.Dials, again)
			got := mustSolve(t, m)
			for _, x := range []unit.Length{0, 0.2, 1} {
				assert.InDelta(t, float64(want.At(x).Vertical), float64(got.At(x).Vertical), 1e-15)
				assert.InDelta(t, float64(want.At(x).Horizontal), float64(got.At(x).Horizontal), 1e-15)
			}
		}
	}
}
