package align_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/unit"
)

// stem finds where a stem pointing at the carrying axis along -n meets a
// cylinder about the touched axis, by bisection on the distance to that axis:
// no algebra shared with the library.
func stem(e align.Offset, s align.Slope, radius float64, c align.Clock) float64 {
	ang := float64(c) * math.Pi / 180
	n := r3.Vec{Y: math.Cos(ang), Z: math.Sin(ang)}
	dir := r3.Unit(r3.Vec{X: 1, Y: s.Vertical, Z: s.Horizontal})
	centre := r3.Vec{Y: float64(e.Vertical), Z: float64(e.Horizontal)}
	distance := func(rho float64) float64 {
		return r3.Norm(r3.Cross(r3.Sub(r3.Scale(rho, n), centre), dir))
	}
	lo, hi := radius/2, radius*2
	for range 200 {
		mid := (lo + hi) / 2
		if distance(mid) < radius {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}

func TestPredictExactAgainstGeometry(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 22))
	for range 200 {
		a := randomAxis(r)
		d := align.Dial{
			Bracket: align.Shaft(r.IntN(2)), Station: unit.Length(r.Float64() * 0.3),
			Diameter: unit.Length(0.02 + 0.2*r.Float64()), Sag: align.RollOver(-unit.Length(r.Float64()) * 2e-4),
		}
		e := a.At(d.Station)
		if d.Bracket == align.Far {
			e = e.Neg()
		}
		e.Vertical += d.Sag.Droop()
		at := clocks(r, 7, 360)
		got, err := d.PredictExact(a, align.Spool{}, at[0], at...)
		require.NoError(t, err)
		zero := stem(e, a.Slope(), float64(d.Diameter)/2, at[0])
		for i, c := range at {
			require.InDelta(t, stem(e, a.Slope(), float64(d.Diameter)/2, c)-zero, float64(got[i].Value), 1e-13)
		}
		flat, err := d.Predict(a, align.Spool{}, at[0], at...)
		require.NoError(t, err)
		size := float64(e.Resultant())
		second := 2*size*size/float64(d.Diameter) + float64(d.Diameter)*math.Pow(a.Slope().Resultant(), 2)
		for i := range at {
			require.InDelta(t, float64(got[i].Value), float64(flat[i].Value), second*1.1, "first order agrees to second order")
		}
	}
}

func TestExpectedSumRuleAgainstExactReadings(t *testing.T) {
	r := rand.New(rand.NewPCG(23, 24))
	for range 200 {
		a := randomAxis(r)
		d := align.Dial{Bracket: align.Shaft(r.IntN(2)), Station: 0.1, Diameter: 0.06, Sag: align.RollOver(-1e-4)}
		s, err := d.PredictExact(a, align.Spool{}, align.Twelve, align.Twelve, align.Three, align.Six, align.Nine)
		require.NoError(t, err)
		sum, ok := s.SumRule()
		require.True(t, ok)
		want := float64(d.ExpectedSumRule(a))
		require.InDelta(t, float64(sum), want, 1e-9+0.02*math.Abs(want))
	}
	face := align.Dial{Surface: align.FaceToward, Diameter: 0.1}
	assert.Zero(t, face.ExpectedSumRule(randomAxis(r)))
	assert.Zero(t, (&align.Dial{}).ExpectedSumRule(randomAxis(r)), "no diameter, no expectation")
}

func TestSolveExactTakesOutTheCurve(t *testing.T) {
	r := rand.New(rand.NewPCG(25, 26))
	worstFlat, worstExact := 0.0, 0.0
	for range 100 {
		a := align.Axis{
			Vertical:   align.Line{Offset: unit.Length(1.5e-3 * r.NormFloat64()), Slope: 3e-3 * r.NormFloat64()},
			Horizontal: align.Line{Offset: unit.Length(1.5e-3 * r.NormFloat64()), Slope: 3e-3 * r.NormFloat64()},
		}
		m := align.Measurement{Dials: []align.Dial{
			{Bracket: align.Near, Station: 0.2, Diameter: 0.05, Sag: align.RollOver(-1e-4)},
			{Bracket: align.Far, Station: 0, Diameter: 0.05, Sag: align.RollOver(-1e-4)},
		}}
		for i := range m.Dials {
			s, err := m.Dials[i].PredictExact(a, align.Spool{}, 0, 0, 100, 230)
			require.NoError(t, err)
			m.Dials[i].Sweep = s
		}
		flat, err := m.Solve()
		require.NoError(t, err)
		exact, err := m.SolveExact()
		require.NoError(t, err)
		worstFlat = math.Max(worstFlat, float64(flat.At(0.2).Sub(a.At(0.2)).Resultant()))
		worstExact = math.Max(worstExact, float64(exact.At(0.2).Sub(a.At(0.2)).Resultant()))
	}
	assert.Greater(t, worstFlat, 1e-5, "three positions on a small hub: the curve matters")
	assert.Less(t, worstExact, 1e-10)
}

func TestSolveExactLeavesFacesAndUnknownRimsAlone(t *testing.T) {
	r := rand.New(rand.NewPCG(27, 28))
	m := setups(r)["rim and face toward, near"]
	read(t, r, &m, randomAxis(r), 5, 360)
	m.Dials[0].Diameter = 0
	p, err := m.Solve()
	require.NoError(t, err)
	q, err := m.SolveExact()
	require.NoError(t, err)
	requireAxis(t, p.Axis, q.Axis, 1e-15)
}

func TestPredictRefuses(t *testing.T) {
	rim := align.Dial{Station: 0.1, Diameter: 0.1}
	for name, c := range map[string]struct {
		dial  align.Dial
		axis  align.Axis
		zero  align.Clock
		at    align.Clock
		exact bool
		want  error
	}{
		"axis":           {dial: rim, axis: align.Axis{Vertical: align.Line{Slope: math.NaN()}}, want: align.ErrNotFinite},
		"zero":           {dial: rim, zero: align.Clock(math.Inf(1)), want: align.ErrNotFinite},
		"position":       {dial: rim, at: align.Clock(math.NaN()), want: align.ErrNotFinite},
		"face diameter":  {dial: align.Dial{Surface: align.FaceAway}, want: align.ErrZeroDiameter},
		"exact diameter": {dial: align.Dial{}, exact: true, want: align.ErrZeroDiameter},
		"spool":          {dial: align.Dial{Reach: align.NearToSpool}, want: align.ErrCoincident},
		"touched shaft":  {dial: align.Dial{Turning: align.TouchedShaft}, want: align.ErrTouchedShaftOnly},
		"sag":            {dial: align.Dial{Sag: align.RollOver(unit.Length(math.NaN()))}, want: align.ErrNotFinite},
		"station":        {dial: align.Dial{Station: unit.Length(math.Inf(-1))}, want: align.ErrNotFinite},
		"off the hub":    {dial: rim, exact: true, axis: align.Axis{Vertical: align.Line{Offset: 0.06}}, want: align.ErrOutOfRange},
	} {
		t.Run(name, func(t *testing.T) {
			f := c.dial.Predict
			if c.exact {
				f = c.dial.PredictExact
			}
			_, err := f(c.axis, align.Spool{}, c.zero, c.at)
			require.ErrorIs(t, err, c.want)
		})
	}
}

func TestSolveExactRefusesAnOffsetLargerThanTheHub(t *testing.T) {
	m := goodReverse()
	m.Dials[0].Diameter = 0.1e-3 // a tenth of a millimetre: probably a wrong unit
	p, err := m.SolveExact()
	checkFault(t, err, align.ErrOutOfRange, "dials[0] (on far shaft).offset", "mm")
	assert.Equal(t, align.Position{}, p)
}

func TestFaceFaceTakesAFaceWhenNoneIsNamed(t *testing.T) {
	r := rand.New(rand.NewPCG(29, 30))
	m := setups(r)["face-face over a spool"]
	a := randomAxis(r)
	read(t, r, &m, a, 5, 360)
	near, far := m.Dials[0], m.Dials[1]
	near.Surface, far.Surface = align.Rim, align.Rim // the zero value
	p, err := align.FaceFace{Spool: m.Spool, NearFace: near, FarFace: far}.Solve()
	require.NoError(t, err)
	requireAxis(t, a, p.Axis, 1e-11)
}
