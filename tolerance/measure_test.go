package tolerance

import (
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

var shaftQuantities = []Quantity{TrueOffset, RimReading, Angle, GapDifference, GapPerDiameter, FaceReadingPerRadius, FlexDeviation}

func randomCase(draw *rand.Rand) (align.Axis, Geometry) {
	mm := func(s float64) unit.Length { return unit.Length(s*draw.NormFloat64()) * align.Millimetre }
	e := align.Axis{
		Vertical:   align.Line{Offset: mm(0.1), Slope: 1e-3 * draw.NormFloat64()},
		Horizontal: align.Line{Offset: mm(0.1), Slope: 1e-3 * draw.NormFloat64()},
	}
	near := mm(100)
	g := Geometry{
		NearFlex: near, FarFlex: near + unit.Length(0.02+0.3*draw.Float64()),
		FaceDiameter: unit.Length(0.05 + 0.3*draw.Float64()), Speed: 1500 * align.RPM,
	}
	g.NearFace, g.FarFace = g.NearFlex-5*align.Millimetre, g.FarFlex+5*align.Millimetre
	return e, g
}

// A misalignment worked by hand: 0.10 mm high at the near flex plane, 0.30 mm
// at the far one 200 mm on, 0.05 mm to the left throughout.
func TestOfByHand(t *testing.T) {
	const mm = align.Millimetre
	e, err := align.AxisThrough(0, align.Offset{Vertical: 0.10 * mm, Horizontal: -0.05 * mm}, 200*mm, align.Offset{Vertical: 0.30 * mm, Horizontal: -0.05 * mm})
	require.NoError(t, err)
	g := Geometry{FarFlex: 200 * mm, NearFace: 20 * mm, FarFace: 180 * mm, FaceDiameter: 150 * mm}
	for _, c := range []struct {
		q      Quantity
		place  Place
		planes Planes
		want   float64
		plane  Plane
		at     unit.Length
	}{
		{TrueOffset, AtCentre, EachPlane, 0.2e-3, VerticalPlane, 100 * mm},
		{TrueOffset, AtFlexPlanes, EachPlane, 0.3e-3, VerticalPlane, 200 * mm},
		{TrueOffset, NotStated, EachPlane, 0.3e-3, VerticalPlane, 200 * mm},
		{TrueOffset, AtHubFaces, EachPlane, 0.28e-3, VerticalPlane, 180 * mm},
		{TrueOffset, AtFlexPlanes, Resultant, math.Hypot(0.3e-3, 0.05e-3), BothPlanes, 200 * mm},
		{RimReading, AtCentre, EachPlane, 0.4e-3, VerticalPlane, 100 * mm},
		{Angle, NotStated, EachPlane, 1e-3, VerticalPlane, 0},
		{GapPerDiameter, NotStated, Resultant, 1e-3, BothPlanes, 0},
		{GapDifference, NotStated, EachPlane, 0.15e-3, VerticalPlane, 0},
		{FaceReadingPerRadius, NotStated, EachPlane, 2e-3, VerticalPlane, 0},
		{FlexDeviation, AtFlexPlanes, EachPlane, 1.5e-3, VerticalPlane, 200 * mm},
	} {
		m, err := c.q.Of(e, g, c.place, c.planes)
		require.NoError(t, err, c.q)
		assert.InDelta(t, c.want, m.Value, 1e-15, "%s %s %s", c.q, c.place, c.planes)
		assert.Equal(t, c.plane, m.Plane, c.q)
		assert.InDelta(t, float64(c.at), float64(m.Station), 1e-15, c.q)
	}
}

// The deviation over the flex separation is the larger angle at the flex planes
// of a spool, which package align finds another way.
func TestFlexDeviationIsFlexAngle(t *testing.T) {
	draw := rand.New(rand.NewPCG(7, 7))
	for range 500 {
		e, g := randomCase(draw)
		m, err := FlexDeviation.Of(e, g, AtFlexPlanes, Resultant)
		require.NoError(t, err)
		f, err := e.FlexAngles(align.Spool{NearFlex: g.NearFlex, FarFlex: g.FarFlex})
		require.NoError(t, err)
		assert.InEpsilon(t, f.Largest(), m.Value, 1e-9)
	}
}

// The reader's place, the unit of length and the zero of the stations change no
// size; twice the misalignment is twice the size.
func TestOfProperties(t *testing.T) {
	draw := rand.New(rand.NewPCG(8, 8))
	for range 300 {
		e, g := randomCase(draw)
		for _, q := range shaftQuantities {
			for _, planes := range []Planes{EachPlane, Resultant} {
				for _, place := range []Place{AtCentre, AtFlexPlanes, AtHubFaces} {
					m, err := q.Of(e, g, place, planes)
					require.NoError(t, err)
					check := func(why string, k float64, e align.Axis, g Geometry) {
						other, err := q.Of(e, g, place, planes)
						require.NoError(t, err)
						assert.InDelta(t, k*m.Value, other.Value, 1e-12*(1+k), "%s: %s %s %s", why, q, place, planes)
					}
					mirrored := g
					mirrored.NearFlex, mirrored.FarFlex = -g.FarFlex, -g.NearFlex
					mirrored.NearFace, mirrored.FarFace = -g.FarFace, -g.NearFace
					check("mirror", 1, e.Mirrored(), mirrored)

					const d = 0.731
					shifted := g
					shifted.NearFlex, shifted.FarFlex, shifted.NearFace, shifted.FarFace = g.NearFlex-d, g.FarFlex-d, g.NearFace-d, g.FarFace-d
					check("datum", 1, e.Shifted(d), shifted)
					check("twice", 2, e.Add(e), g)
				}
			}
		}
	}
}

// The resultant is never less than either plane and never more than root two
// of the larger.
func TestResultantBounds(t *testing.T) {
	draw := rand.New(rand.NewPCG(9, 9))
	for range 300 {
		e, g := randomCase(draw)
		for _, q := range shaftQuantities {
			each, err := q.Of(e, g, AtFlexPlanes, EachPlane)
			require.NoError(t, err)
			both, err := q.Of(e, g, AtFlexPlanes, Resultant)
			require.NoError(t, err)
			assert.GreaterOrEqual(t, both.Value, each.Value*(1-1e-12))
			assert.LessOrEqual(t, both.Value, math.Sqrt2*each.Value*(1+1e-12))
		}
	}
}

func TestOfRefuses(t *testing.T) {
	good := align.Axis{Vertical: align.Line{Offset: 1e-4}}
	bad := align.Axis{Horizontal: align.Line{Slope: math.NaN()}}
	huge := align.Axis{Vertical: align.Line{Offset: 1e308}, Horizontal: align.Line{Offset: 1.7e308}}
	for name, c := range map[string]struct {
		q      Quantity
		e      align.Axis
		g      Geometry
		place  Place
		planes Planes
		code   align.Fault
	}{
		"quantity":          {"angularity", good, Geometry{}, AtCentre, EachPlane, align.ErrUnknownKind},
		"place":             {TrueOffset, good, Geometry{}, "somewhere", EachPlane, align.ErrUnknownKind},
		"planes":            {TrueOffset, good, Geometry{}, AtCentre, "some", align.ErrUnknownKind},
		"axis":              {TrueOffset, bad, Geometry{}, AtCentre, EachPlane, align.ErrNotFinite},
		"station":           {TrueOffset, good, Geometry{NearFlex: unit.Length(math.Inf(1))}, AtFlexPlanes, EachPlane, align.ErrNotFinite},
		"diameter missing":  {GapDifference, good, Geometry{}, AtCentre, EachPlane, align.ErrMissing},
		"diameter negative": {GapDifference, good, Geometry{FaceDiameter: -1}, AtCentre, EachPlane, align.ErrNegative},
		"separation":        {FlexDeviation, good, Geometry{NearFlex: 1, FarFlex: 1}, AtFlexPlanes, EachPlane, align.ErrMissing},
		"not of shafts":     {AxialGap, good, Geometry{}, AtCentre, EachPlane, ErrNotOfShafts},
		"overflow":          {TrueOffset, huge, Geometry{}, AtCentre, Resultant, align.ErrOutOfRange},
	} {
		_, err := c.q.Of(c.e, c.g, c.place, c.planes)
		assert.ErrorIs(t, err, c.code, name)
	}
}

// Conversions undo each other, and a total indicator reading is twice the offset.
func TestConversions(t *testing.T) {
	draw := rand.New(rand.NewPCG(10, 10))
	for range 200 {
		s := 1e-2 * draw.NormFloat64()
		d := unit.Length(0.01 + draw.Float64())
		back, err := SlopeOfGap(GapOf(s, d), d)
		require.NoError(t, err)
		assert.InDelta(t, s, back, 1e-15)
		assert.InDelta(t, s, SlopeOfAngle(AngleOfSlope(s)), 1e-15)
	}
	assert.Equal(t, align.TIR(0.2e-3), ReadingOf(-0.1e-3))
	_, err := SlopeOfGap(1e-3, 0)
	assert.ErrorIs(t, err, align.ErrZeroDiameter)
	_, err = SlopeOfGap(unit.Length(math.NaN()), 1)
	assert.ErrorIs(t, err, align.ErrNotFinite)
	_, err = SlopeOfGap(1e300, 1e-300)
	assert.ErrorIs(t, err, align.ErrOutOfRange)
}

// The movement of one tooth, stepped round a turn, has the peak and the mean
// speed of the formula.
func TestSlidingAgainstMotion(t *testing.T) {
	m := GearMesh{PitchDiameter: 6 * align.Inch, Speed: 3600 * align.RPM, Angle: 0.5 * align.MilPerInch}
	s, err := m.Sliding()
	require.NoError(t, err)
	const steps = 100000
	z := func(k int) float64 {
		return float64(m.PitchDiameter) / 2 * m.Angle * math.Cos(2*math.Pi*float64(k)/steps)
	}
	dt := 1 / float64(m.Speed) / steps
	peak, way := 0.0, 0.0
	for k := range steps {
		d := math.Abs(z(k+1) - z(k))
		peak, way = max(peak, d/dt), way+d
	}
	assert.InEpsilon(t, peak, float64(s.Peak), 1e-6)
	assert.InEpsilon(t, way*float64(m.Speed), float64(s.Mean), 1e-6)
	for _, bad := range []GearMesh{{}, {PitchDiameter: 1, Speed: -1}, {PitchDiameter: 1, Angle: math.NaN()}, {PitchDiameter: unit.Length(math.NaN())}, {PitchDiameter: 1, Speed: unit.Frequency(math.Inf(1))}, {PitchDiameter: 1e200, Speed: 1e200, Angle: 1}} {
		_, err := bad.Sliding()
		assert.Error(t, err, bad)
	}
}
