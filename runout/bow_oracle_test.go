package runout_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"collinear.example/runout"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/unit"
)

// freeLimb is a line through some points of one limb, both planes.
type freeLimb struct {
	n, mean, sxx float64
	v, h         [2]float64 // intercept and slope of each plane
	left         float64    // sum of squares
}

func limbOf(x, v, h []float64) (l freeLimb) {
	l.n, l.mean = float64(len(x)), stat.Mean(x, nil)
	for _, s := range x {
		l.sxx += (s - l.mean) * (s - l.mean)
	}
	l.v[0], l.v[1] = stat.LinearRegression(x, v, nil, false)
	l.h[0], l.h[1] = stat.LinearRegression(x, h, nil, false)
	for i, s := range x {
		l.left += math.Pow(v[i]-l.v[0]-l.v[1]*s, 2) + math.Pow(h[i]-l.h[0]-l.h[1]*s, 2)
	}
	return l
}

func (l freeLimb) variance(x float64) float64 { return 1/l.n + (x-l.mean)*(x-l.mean)/l.sxx }

// hudson returns the least sum of squares of two limbs that meet, and the
// break, by another way than the package: two free lines for each way of sharing
// out the stations, and the price |g|^2/w of closing the step g between them at
// x, where w is the variance of that step. The price is searched finely.
func hudson(x, v, h []float64) (sum, at float64) {
	sum = math.Inf(1)
	for k := 2; k <= len(x)-2; k++ {
		a, b := limbOf(x[:k], v[:k], h[:k]), limbOf(x[k:], v[k:], h[k:])
		const n = 20000
		for i := range n + 1 {
			s := x[k-1] + (x[k]-x[k-1])*float64(i)/n
			gv := b.v[0] + b.v[1]*s - a.v[0] - a.v[1]*s
			gh := b.h[0] + b.h[1]*s - a.h[0] - a.h[1]*s
			if ss := a.left + b.left + (gv*gv+gh*gh)/(a.variance(s)+b.variance(s)); ss < sum {
				sum, at = ss, s
			}
		}
	}
	return sum, at
}

// The break found must be the best of all: noisy bends, even bows and straight
// shafts, whose sum of squares has several valleys.
func TestBendAgainstFreeLimbs(t *testing.T) {
	r := rand.New(rand.NewPCG(1966, 3))
	for range 40 {
		n := 4 + r.IntN(8)
		x, v, h := make([]float64, n), make([]float64, n), make([]float64, n)
		var s runout.Shaft
		kind, brk := r.IntN(3), 0.2+0.1*float64(n)*r.Float64()
		for i := range n {
			x[i] = 0.2*float64(i) + 0.1*r.Float64()
			bow := 0.0
			switch kind {
			case 0:
				bow = 3e-4 * math.Max(0, x[i]-brk)
			case 1:
				bow = 1e-4 * x[i] * x[i]
			}
			v[i], h[i] = bow+2e-6*r.NormFloat64(), -0.5*bow+2e-6*r.NormFloat64()
			s.Stations = append(s.Stations, runout.ShaftStation{Station: unit.Length(x[i]), Sweep: swept(offset(v[i], h[i]), 0)})
		}
		got, err := s.Bow()
		require.NoError(t, err)
		sum, at := hudson(x, v, h)
		ours := math.Pow(float64(got.Bend.RMS), 2) * float64(2*n-7)
		require.LessOrEqual(t, ours, sum*(1+1e-6), "the oracle found a better break at %v than %v", at, got.Bend.Station)
		require.InDelta(t, sum, ours, sum*1e-4)
	}
}

// someShaft is a shaft of n stations with a bend, an oval left out.
func someShaft(r *rand.Rand, n int) []align.Offset {
	out := make([]align.Offset, n)
	for i := range out {
		k := math.Max(0, float64(i)-0.45*float64(n))
		out[i] = offset(2e-5*k+2e-6*r.NormFloat64(), -3e-5*k+2e-6*r.NormFloat64())
	}
	return out
}

func shaftOf(centres []align.Offset, step float64) (s runout.Shaft) {
	for i, c := range centres {
		s.Stations = append(s.Stations, runout.ShaftStation{Station: unit.Length(step * float64(i)), Sweep: swept(c, 1e-4)})
	}
	return s
}

func turned(o align.Offset, degrees float64) align.Offset {
	s, c := math.Sincos(degrees * math.Pi / 180)
	v, h := float64(o.Vertical), float64(o.Horizontal)
	return offset(c*v-s*h, s*v+c*h)
}

func sameMark(t *testing.T, want, got align.Clock) {
	t.Helper()
	d := math.Abs(float64((want - got).Normal()))
	assert.Less(t, math.Min(d, 360-d), 1e-2)
}

// Turning the marks turns directions and nothing else; another unit scales
// lengths; from the other end stations, sides and limbs change over.
func TestBowInvariances(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 11))
	for range 20 {
		n := 5 + r.IntN(5)
		centres := someShaft(r, n)
		base, err := shaftOf(centres, 0.25).Bow()
		require.NoError(t, err)

		angle := 360 * r.Float64()
		rotated := make([]align.Offset, n)
		for i, c := range centres {
			rotated[i] = turned(c, angle)
		}
		got, err := shaftOf(rotated, 0.25).Bow()
		require.NoError(t, err)
		assert.InDelta(t, float64(base.Bend.Station), float64(got.Bend.Station), 1e-5)
		assert.InDelta(t, base.Bend.Angle, got.Bend.Angle, 1e-9)
		assert.InDelta(t, float64(base.Largest), float64(got.Largest), 1e-12)
		assert.InDelta(t, float64(base.StraightRMS), float64(got.StraightRMS), 1e-12)
		sameMark(t, base.Bend.Toward+align.Clock(angle), got.Bend.Toward)

		scaled := make([]align.Offset, n)
		for i, c := range centres {
			scaled[i] = c.Scale(25.4)
		}
		got, err = shaftOf(scaled, 0.25*25.4).Bow()
		require.NoError(t, err)
		assert.InDelta(t, 25.4*float64(base.Bend.Station), float64(got.Bend.Station), 1e-4)
		assert.InDelta(t, base.Bend.Angle, got.Bend.Angle, 1e-9)
		assert.InDelta(t, 25.4*float64(base.Largest), float64(got.Largest), 1e-11)

		mirrored := make([]align.Offset, n)
		for i, c := range centres {
			mirrored[n-1-i] = align.Offset{Vertical: c.Vertical, Horizontal: -c.Horizontal}
		}
		got, err = shaftOf(mirrored, 0.25).Bow()
		require.NoError(t, err)
		assert.InDelta(t, 0.25*float64(n-1)-float64(base.Bend.Station), float64(got.Bend.Station), 1e-5)
		assert.InDelta(t, base.Bend.Angle, got.Bend.Angle, 1e-9)
		sameMark(t, base.Bend.Toward.Mirrored(), got.Bend.Toward)
		assert.InDelta(t, -base.Straight.Vertical.Slope, got.Straight.Vertical.Slope, 1e-12)
		assert.InDelta(t, base.Straight.Horizontal.Slope, got.Straight.Horizontal.Slope, 1e-12)

		// Where the stations are counted from, and where each dial was zeroed.
		moved := shaftOf(centres, 0.25)
		for i := range moved.Stations {
			moved.Stations[i].Station += 40
			moved.Stations[i].Sweep, err = moved.Stations[i].Sweep.Rezeroed(i % 8)
			require.NoError(t, err)
		}
		got, err = moved.Bow()
		require.NoError(t, err)
		assert.InDelta(t, 40+float64(base.Bend.Station), float64(got.Bend.Station), 1e-5)
		assert.InDelta(t, base.Bend.Angle, got.Bend.Angle, 1e-9)
	}
}

// Hub and shaft seen with other marks give the same accounts in the same order.
func TestDiagnosisDoesNotKnowTheMarks(t *testing.T) {
	r := rand.New(rand.NewPCG(23, 5))
	for range 40 {
		e := func() align.Offset { return offset(4e-5*r.NormFloat64(), 4e-5*r.NormFloat64()) }
		s0, s1, h0, h1, f := e(), e(), e(), e(), e()
		diagnose := func(angle float64) runout.HubDiagnosis {
			d, err := runout.HubCase{
				Shaft: []runout.ShaftStation{at(0, turned(s0, angle)), at(0.1, turned(s1, angle))},
				Hub:   []runout.ShaftStation{at(0.2, turned(h0, angle)), at(0.3, turned(h1, angle))},
				Face:  &runout.HubFace{Diameter: 0.25, Surface: align.FaceAway, Sweep: swept(turned(f, angle), 0)},
			}.Diagnose()
			require.NoError(t, err)
			return d
		}
		a, b := diagnose(0), diagnose(360*r.Float64())
		require.Len(t, b.Ranked, len(a.Ranked))
		for i := range a.Ranked {
			assert.Equal(t, a.Ranked[i].Causes, b.Ranked[i].Causes)
			assert.InDelta(t, float64(a.Ranked[i].Unexplained), float64(b.Ranked[i].Unexplained), 1e-14)
		}
		assert.Equal(t, a.CannotTell, b.CannotTell)
		// The vector difference is never smaller than the difference of sizes.
		line, err := align.AxisThrough(0, s0, 0.1, s1)
		require.NoError(t, err)
		for i, h := range []align.Offset{h0, h1} {
			s := line.At(unit.Length(0.2 + 0.1*float64(i)))
			assert.GreaterOrEqual(t, float64(a.Difference[i].Resultant())+1e-15, math.Abs(float64(h.Resultant()-s.Resultant())))
		}
	}
}

func TestJudgeLineShaft(t *testing.T) {
	s := shaftOf([]align.Offset{offset(0, 0), offset(8e-6, 0), offset(0, 8e-6), offset(0, 0)}, 0.25)
	v, err := s.JudgeLineShaft(10 * align.Foot)
	require.NoError(t, err)
	require.NotNil(t, v.AnyFoot)
	assert.True(t, v.Within())
	assert.InDelta(t, 1.6e-5*math.Sqrt2, v.AnyFoot.Measured, 1e-12)
	assert.InDelta(t, 0.005*0.0254, v.Whole.Limit.SI(), 1e-12)

	v, err = s.JudgeLineShaft(align.Foot) // 0.0005 in is 12.7 um, the reading 16 um
	require.NoError(t, err)
	assert.False(t, v.Within())

	far, err := shaftOf([]align.Offset{offset(0, 0), offset(1e-5, 0)}, 1).JudgeLineShaft(10 * align.Foot)
	require.NoError(t, err)
	assert.Nil(t, far.AnyFoot)
	assert.True(t, far.Within())

	_, err = s.JudgeLineShaft(0)
	require.ErrorIs(t, err, align.ErrOutOfRange)
	_, err = runout.Shaft{}.JudgeLineShaft(1)
	require.ErrorIs(t, err, align.ErrMissing)
}

// The noise of two close shaft stations, carried to a hub some way off, must not
// turn an eccentric bore into a skewed one.
func TestShortShaftBaseIsNotCarried(t *testing.T) {
	e := offset(5e-5, 0)
	d, err := runout.HubCase{
		Shaft: []runout.ShaftStation{at(0, offset(2e-6, 0)), at(0.01, offset(-2e-6, 0))},
		Hub:   []runout.ShaftStation{at(0.06, e), at(0.16, e)},
	}.Diagnose()
	require.NoError(t, err)
	require.False(t, d.CannotTell)
	assert.Equal(t, []runout.Cause{runout.BoredEccentric}, d.Best[0].Causes)
}

// Figures whose squares overflow are refused, not returned as infinities.
func TestDiagnoseRefusesOverflow(t *testing.T) {
	huge := func(x, v float64) runout.ShaftStation {
		return runout.ShaftStation{Station: unit.Length(x), Sweep: align.FourPoint(unit.Length(v), 0, unit.Length(-v), 0)}
	}
	_, err := runout.HubCase{
		Shaft: []runout.ShaftStation{huge(0, -1e160), huge(0.001, 1e160)},
		Hub:   []runout.ShaftStation{huge(0.2, 1e160), huge(0.3, -1e160)},
	}.Diagnose()
	require.ErrorIs(t, err, align.ErrOutOfRange)
}
