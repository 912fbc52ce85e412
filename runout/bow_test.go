package runout_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"collinear.example/runout"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// swept is what a dial shows of a section whose centre is off by o: eight marks,
// the dial zeroed anywhere.
func swept(o align.Offset, zero unit.Length) align.Sweep {
	s := align.Sweep{}
	for k := range 8 {
		a := float64(k) * math.Pi / 4
		s = append(s, align.Reading{At: align.Clock(45 * k),
			Value: zero + o.Vertical*unit.Length(math.Cos(a)) + o.Horizontal*unit.Length(math.Sin(a))})
	}
	return s
}

func offset(v, h float64) align.Offset {
	return align.Offset{Vertical: unit.Length(v), Horizontal: unit.Length(h)}
}

// A shaft made of two straight limbs that meet at a known place must come back.
func TestBendComesBack(t *testing.T) {
	r := rand.New(rand.NewPCG(41, 42))
	for range 100 {
		x0 := 0.35 + 0.5*r.Float64()
		kv, kh := 1e-3*r.NormFloat64(), 1e-3*r.NormFloat64()
		a, b := offset(1e-4*r.NormFloat64(), 1e-4*r.NormFloat64()), offset(2e-4*r.NormFloat64(), 2e-4*r.NormFloat64())
		var s runout.Shaft
		for i := range 7 {
			x := 0.2 * float64(i)
			c := a.Add(b.Scale(x)).Add(offset(kv, kh).Scale(math.Max(0, x-x0)))
			s.Stations = append(s.Stations, runout.ShaftStation{Station: unit.Length(x), Sweep: swept(c, 1e-3)})
		}
		r.Shuffle(len(s.Stations), func(i, j int) { s.Stations[i], s.Stations[j] = s.Stations[j], s.Stations[i] })
		got, err := s.Bow()
		require.NoError(t, err)
		require.NotNil(t, got.Bend)
		require.False(t, got.CannotTell)
		require.InDelta(t, x0, float64(got.Bend.Station), 1e-5)
		require.InDelta(t, math.Hypot(kv, kh), got.Bend.Angle, 1e-7)
		require.InDelta(t, 0, float64(got.Bend.RMS), 1e-9)
		want := offset(-kv, -kh).Clock()
		turn := math.Abs(float64(want - got.Bend.Toward))
		require.Less(t, math.Min(turn, 360-turn), 0.1)
		end := a.Add(b.Scale(1.2)).Add(offset(kv, kh).Scale(1.2 - x0))
		require.InDelta(t, float64(end.Vertical), float64(got.Bend.After.At(1.2).Vertical), 1e-9)
		require.InDelta(t, float64(a.Horizontal), float64(got.Bend.Before.At(0).Horizontal), 1e-9)
	}
}

func TestLargestBowFromTheChord(t *testing.T) {
	s := runout.Shaft{Stations: []runout.ShaftStation{
		{Station: 0, Sweep: swept(offset(0, 0), 0)}, {Station: 0.5, Sweep: swept(offset(3e-5, 4e-5), 0)},
		{Station: 0.75, Sweep: swept(offset(1e-5, 1e-5), 0)}, {Station: 1, Sweep: swept(offset(0, 0), 0)},
	}}
	b, err := s.Bow()
	require.NoError(t, err)
	assert.InDelta(t, 5e-5, float64(b.Largest), 1e-12) // 3-4-5
	assert.Equal(t, unit.Length(0.5), b.LargestAt)
}

// A straight shaft in a skewed and eccentric chuck is no bent shaft.
func TestStraightShaft(t *testing.T) {
	var s runout.Shaft
	for i := range 5 {
		x := 0.1 * float64(i)
		s.Stations = append(s.Stations, runout.ShaftStation{Station: unit.Length(x), Sweep: swept(offset(1e-4+2e-4*x, -3e-4*x), 0)})
	}
	b, err := s.Bow()
	require.NoError(t, err)
	assert.InDelta(t, 1e-4, float64(b.Straight.Vertical.Offset), 1e-12)
	assert.InDelta(t, 2e-4, b.Straight.Vertical.Slope, 1e-12)
	assert.InDelta(t, -3e-4, b.Straight.Horizontal.Slope, 1e-12)
	assert.InDelta(t, 0, float64(b.StraightRMS), 1e-12)
	assert.InDelta(t, 0, float64(b.Largest), 1e-12)

	s.Stations = s.Stations[:2]
	b, err = s.Bow()
	require.NoError(t, err)
	assert.True(t, b.CannotTell)
	assert.Nil(t, b.Bend)
	s.Stations = s.Stations[:1]
	b, err = s.Bow()
	require.NoError(t, err)
	assert.True(t, b.CannotTell)
}

func TestBowRefuses(t *testing.T) {
	good := swept(offset(0, 0), 0)
	for name, c := range map[string]struct {
		s    []runout.ShaftStation
		want error
	}{
		"none":       {nil, align.ErrMissing},
		"too many":   {make([]runout.ShaftStation, 300), align.ErrOutOfRange},
		"coincident": {[]runout.ShaftStation{{Station: 1, Sweep: good}, {Station: 1, Sweep: good}}, align.ErrCoincident},
		"station":    {[]runout.ShaftStation{{Station: unit.Length(math.NaN()), Sweep: good}}, align.ErrNotFinite},
		"empty":      {[]runout.ShaftStation{{}}, align.ErrTooFewPositions},
		"one plane":  {[]runout.ShaftStation{{Sweep: align.TopBottom(0, 1)}}, align.ErrTooFewPositions},
		"reading":    {[]runout.ShaftStation{{Sweep: align.FourPoint(0, 0, unit.Length(math.Inf(1)), 0)}}, align.ErrNotFinite},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := runout.Shaft{Stations: c.s}.Bow()
			require.ErrorIs(t, err, c.want)
		})
	}
}

func at(x float64, o align.Offset) runout.ShaftStation {
	return runout.ShaftStation{Station: unit.Length(x), Sweep: swept(o, 2e-4)}
}

func TestDiagnoseHub(t *testing.T) {
	shaft, bent := offset(2e-6, 1e-6), offset(6e-5, -2e-5)
	bore := offset(-5e-5, 3e-5)
	two := func(s align.Offset) []runout.ShaftStation { return []runout.ShaftStation{at(0, s), at(0.1, s)} }
	skew := func(x float64) align.Offset { return offset(1e-3*(x-0.2), 0) }
	for name, c := range map[string]struct {
		c      runout.HubCase
		want   []runout.Cause
		cannot bool
	}{
		"sound":          {runout.HubCase{Hub: []runout.ShaftStation{at(0.2, shaft), at(0.3, shaft)}, Shaft: two(shaft)}, nil, false},
		"bent shaft":     {runout.HubCase{Hub: []runout.ShaftStation{at(0.2, bent), at(0.3, bent)}, Shaft: two(bent)}, []runout.Cause{runout.BentShaft}, false},
		"eccentric":      {runout.HubCase{Hub: []runout.ShaftStation{at(0.2, shaft.Add(bore)), at(0.3, shaft.Add(bore))}, Shaft: two(shaft)}, []runout.Cause{runout.BoredEccentric}, false},
		"bent and bored": {runout.HubCase{Hub: []runout.ShaftStation{at(0.2, bent.Add(bore)), at(0.3, bent.Add(bore))}, Shaft: two(bent)}, []runout.Cause{runout.BentShaft, runout.BoredEccentric}, false},
		"skewed":         {runout.HubCase{Hub: []runout.ShaftStation{at(0.2, shaft.Add(skew(0.2))), at(0.3, shaft.Add(skew(0.3)))}, Shaft: two(shaft)}, []runout.Cause{runout.BoredSkewed}, false},
		"one station":    {runout.HubCase{Hub: []runout.ShaftStation{at(0.2, shaft.Add(bore))}, Shaft: two(shaft)}, []runout.Cause{runout.BoredEccentric}, true},
		"one station, face square": {runout.HubCase{Hub: []runout.ShaftStation{at(0.2, shaft.Add(bore))}, Shaft: two(shaft),
			Face: &runout.HubFace{Diameter: 0.2, Surface: align.FaceToward, Sweep: swept(offset(0, 0), 0)}}, []runout.Cause{runout.BoredEccentric}, false},
		"one station, face tilted": {runout.HubCase{Hub: []runout.ShaftStation{at(0.2, shaft.Add(bore))}, Shaft: two(shaft),
			Face: &runout.HubFace{Diameter: 0.2, Surface: align.FaceAway, Sweep: swept(offset(0, 1e-4), 0)}}, []runout.Cause{runout.BoredSkewed}, false},
		"loose": {runout.HubCase{Hub: []runout.ShaftStation{at(0.2, shaft), at(0.3, shaft)}, Shaft: two(shaft), Again: swept(bore, 0)}, []runout.Cause{runout.LooseFit}, false},
	} {
		t.Run(name, func(t *testing.T) {
			d, err := c.c.Diagnose()
			require.NoError(t, err)
			require.NotEmpty(t, d.Best)
			assert.Equal(t, c.want, d.Best[0].Causes)
			assert.Equal(t, c.cannot, d.CannotTell)
			assert.Len(t, d.Ranked, 3)
			if c.cannot {
				assert.Contains(t, d.Read, "second station")
			}
		})
	}
}

// The difference of two runouts is a vector: magnitudes alone would call this
// hub good although it is bored off by 0.06 mm.
func TestMagnitudesMislead(t *testing.T) {
	h, s := offset(3e-5, 0), offset(-3e-5, 0)
	d, err := runout.HubCase{Hub: []runout.ShaftStation{at(0.2, h), at(0.3, h)}, Shaft: []runout.ShaftStation{at(0, s)}}.Diagnose()
	require.NoError(t, err)
	assert.InDelta(t, 6e-5, float64(d.Difference[0].Resultant()), 1e-12)
	assert.InDelta(t, 0, float64(d.Hub[0].Resultant()-d.Shaft[0].Resultant()), 1e-12)
	assert.Equal(t, []runout.Cause{runout.BentShaft, runout.BoredEccentric}, d.Best[0].Causes)
}

func TestOvalHubIsSeen(t *testing.T) {
	s := swept(offset(0, 0), 0)
	for i := range s {
		s[i].Value += unit.Length(4e-5 * math.Cos(2*float64(s[i].At)*math.Pi/180))
	}
	d, err := runout.HubCase{Hub: []runout.ShaftStation{{Station: 0.2, Sweep: s}}, Shaft: []runout.ShaftStation{at(0, offset(0, 0))}}.Diagnose()
	require.NoError(t, err)
	assert.InDelta(t, 4e-5, float64(d.Oval), 1e-12)
	assert.Equal(t, []runout.Cause{runout.OutOfRound}, d.Best[0].Causes)
}

func TestDiagnoseRefuses(t *testing.T) {
	ok := []runout.ShaftStation{at(0, offset(0, 0))}
	face := func(d float64, s align.Surface, sw align.Sweep) *runout.HubFace {
		return &runout.HubFace{Diameter: unit.Length(d), Surface: s, Sweep: sw}
	}
	for name, c := range map[string]struct {
		c    runout.HubCase
		want error
	}{
		"no hub":       {runout.HubCase{Shaft: ok}, align.ErrMissing},
		"no shaft":     {runout.HubCase{Hub: ok}, align.ErrMissing},
		"hub sweep":    {runout.HubCase{Hub: []runout.ShaftStation{{}}, Shaft: ok}, align.ErrTooFewPositions},
		"shaft sweep":  {runout.HubCase{Hub: ok, Shaft: []runout.ShaftStation{{}}}, align.ErrTooFewPositions},
		"again":        {runout.HubCase{Hub: ok, Shaft: ok, Again: align.TopBottom(0, 0)}, align.ErrTooFewPositions},
		"least":        {runout.HubCase{Hub: ok, Shaft: ok, Least: -1}, align.ErrNegative},
		"least nan":    {runout.HubCase{Hub: ok, Shaft: ok, Least: unit.Length(math.NaN())}, align.ErrNotFinite},
		"diameter":     {runout.HubCase{Hub: ok, Shaft: ok, Face: face(0, align.FaceToward, ok[0].Sweep)}, align.ErrZeroDiameter},
		"diameter nan": {runout.HubCase{Hub: ok, Shaft: ok, Face: face(math.NaN(), align.FaceToward, ok[0].Sweep)}, align.ErrNotFinite},
		"surface":      {runout.HubCase{Hub: ok, Shaft: ok, Face: face(0.2, align.Rim, ok[0].Sweep)}, align.ErrUnknownKind},
		"face sweep":   {runout.HubCase{Hub: ok, Shaft: ok, Face: face(0.2, align.FaceAway, nil)}, align.ErrTooFewPositions},
		"one place":    {runout.HubCase{Hub: append(ok, ok...), Shaft: ok}, align.ErrCoincident},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := c.c.Diagnose()
			require.ErrorIs(t, err, c.want)
		})
	}
}
