package runout_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"collinear.example/align"
	"collinear.example/runout"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// hangingShaft is a simulated vertical shaft: at each elevation its centre turns
// about a centre of runout, and four wires hang at fixed places. The readings
// are exact distances from a wire to a circle, not the worksheet's arithmetic.
type hangingShaft struct {
	elevations []float64 // m, from the top down
	centre     [][2]float64
	throw      [][2]float64 // north, east at turn 0
	radius     []float64
	wires      [4][2]float64 // N, S, E, W in north, east
}

func (h hangingShaft) survey(turns ...float64) (s runout.PlumbSurvey) {
	for _, e := range h.elevations {
		s.Elevations = append(s.Elevations, unit.Length(e))
	}
	for _, t := range turns {
		p := runout.PlumbPosition{Turned: t}
		for k := range h.elevations {
			p.Wires = append(p.Wires, h.read(k, t))
		}
		s.Positions = append(s.Positions, p)
	}
	return s
}

func (h hangingShaft) read(k int, degrees float64) runout.Wires {
	north, east := h.at(k, degrees)
	var g [4]unit.Length
	for i, w := range h.wires {
		g[i] = unit.Length(math.Hypot(w[0]-north, w[1]-east) - h.radius[k])
	}
	return runout.Wires{North: g[0], South: g[1], East: g[2], West: g[3]}
}

func (h hangingShaft) at(k int, degrees float64) (north, east float64) {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	t := h.throw[k]
	return h.centre[k][0] + t[0]*cos - t[1]*sin, h.centre[k][1] + t[0]*sin + t[1]*cos
}

// randomShaft leans, runs out and bows by up to about a tenth of a millimetre
// at each of n elevations; the first one turns true.
func randomShaft(r *rand.Rand, n int) hangingShaft {
	small := func() float64 { return (r.Float64() - 0.5) * 2e-4 }
	h := hangingShaft{wires: [4][2]float64{
		{0.300 + small(), 0}, {-0.305, 0}, {0, 0.302}, {0, -0.299},
	}}
	for k := range n {
		h.elevations = append(h.elevations, 10-float64(k)*(1+r.Float64()))
		h.radius = append(h.radius, 0.25+small())
		h.centre = append(h.centre, [2]float64{small(), small()})
		h.throw = append(h.throw, [2]float64{small(), small()})
	}
	h.centre[0], h.throw[0] = [2]float64{}, [2]float64{}
	for k := 1; k < n; k++ { // keep the elevations going down
		h.elevations[k] = min(h.elevations[k], h.elevations[k-1]-0.5)
	}
	return h
}

// curvature is the second-order error of the worksheet: a sideways shift y of
// 0.3 mm on a distance of 0.3 m from wire to centre adds y^2/2d = 0.15 um.
const curvature = 0.2e-6

func TestPlumbSurveyAgainstSimulatedShaft(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for _, turns := range [][]float64{{0, 90, 180, 270}, {0, 120, 240}, {10, 60, 170, 200, 330}, {0, -90, -180, -270}} {
		h := randomShaft(r, 4)
		got, err := h.survey(turns...).Solve()
		require.NoError(t, err)
		require.Empty(t, got.Warnings)
		for k, o := range got.Orbits {
			assert.InDelta(t, h.centre[k+1][0], float64(o.Centre.North), curvature)
			assert.InDelta(t, h.centre[k+1][1], float64(o.Centre.East), curvature)
			assert.InDelta(t, 2*math.Hypot(h.throw[k+1][0], h.throw[k+1][1]), float64(o.Diameter), 4*curvature)
			assert.Less(t, float64(o.Worst), 2*curvature)
		}
		h.checkBows(t, got)
	}
}

// checkBows works out the bow in the shaft from its throws alone.
func (h hangingShaft) checkBows(t *testing.T, got runout.PlumbResult) {
	t.Helper()
	last := len(h.elevations) - 1
	for k, b := range got.Bows {
		s := (h.elevations[0] - h.elevations[k+1]) / (h.elevations[0] - h.elevations[last])
		for axis, v := range []unit.Length{b.Shaft.North, b.Shaft.East} {
			assert.InDelta(t, h.throw[k+1][axis]-s*h.throw[last][axis], float64(v), 3*curvature)
		}
		for axis, v := range []unit.Length{b.Fixed.North, b.Fixed.East} {
			assert.InDelta(t, h.centre[k+1][axis]-s*h.centre[last][axis], float64(v), 3*curvature)
		}
	}
}

func TestPlumbSurveyTurnedCompass(t *testing.T) {
	// Calling the east wire north turns everything by a quarter.
	h := randomShaft(rand.New(rand.NewPCG(3, 4)), 3)
	s := h.survey(0, 90, 180, 270)
	a, err := s.Solve()
	require.NoError(t, err)
	for _, p := range s.Positions {
		for k, w := range p.Wires {
			p.Wires[k] = runout.Wires{North: w.East, East: w.South, South: w.West, West: w.North}
		}
	}
	b, err := s.Solve()
	require.NoError(t, err)
	for k := range a.Orbits {
		assert.InDelta(t, float64(a.Orbits[k].Diameter), float64(b.Orbits[k].Diameter), 1e-15)
		assert.InDelta(t, float64(a.Orbits[k].Centre.East), float64(b.Orbits[k].Centre.North), 1e-15)
		assert.InDelta(t, float64(a.Orbits[k].Centre.North), -float64(b.Orbits[k].Centre.East), 1e-15)
	}
	assert.InDelta(t, float64(a.Farthest().Away.Size()), float64(b.Farthest().Away.Size()), 1e-15)
}

func TestPlumbSurveyMirrored(t *testing.T) {
	// Seen in a mirror east is west and the shaft turns the other way; counting
	// the turn the old way must be noticed.
	h := randomShaft(rand.New(rand.NewPCG(5, 6)), 3)
	s := h.survey(0, 90, 180, 270)
	a, err := s.Solve()
	require.NoError(t, err)
	for i, p := range s.Positions {
		for k, w := range p.Wires {
			w.East, w.West = w.West, w.East
			p.Wires[k] = w
		}
		s.Positions[i].Turned = -p.Turned
	}
	b, err := s.Solve()
	require.NoError(t, err)
	require.Empty(t, b.Warnings)
	assert.InDelta(t, float64(a.Lowest().Diameter), float64(b.Lowest().Diameter), 1e-15)
	assert.InDelta(t, -float64(a.Lowest().Centre.East), float64(b.Lowest().Centre.East), 1e-15)
	for i := range s.Positions {
		s.Positions[i].Turned *= -1
	}
	c, err := s.Solve()
	require.NoError(t, err)
	require.NotEmpty(t, c.Warnings)
	assert.Equal(t, runout.WarnTurningSense, c.Warnings[0].Code)
}

func TestPlumbSurveyOwnZeroOfTurnAndWire(t *testing.T) {
	// Where the turn is counted from turns the throw and nothing else; moving
	// wires between positions changes nothing to first order.
	h := randomShaft(rand.New(rand.NewPCG(7, 8)), 3)
	a, err := h.survey(0, 90, 180, 270).Solve()
	require.NoError(t, err)
	s := h.survey(0, 90, 180, 270)
	for i := range s.Positions {
		s.Positions[i].Turned += 35
		for k := range s.Positions[i].Wires {
			s.Positions[i].Wires[k].East += unit.Length(i) * align.Millimetre
		}
	}
	b, err := s.Solve()
	require.NoError(t, err)
	assert.InDelta(t, float64(a.Lowest().Diameter), float64(b.Lowest().Diameter), 1e-14)
	assert.InDelta(t, float64(a.Lowest().Centre.Size()), float64(b.Lowest().Centre.Size()), 1e-14)
	want := math.Mod(a.Lowest().Throw.Bearing()-35+360, 360)
	assert.InDelta(t, want, b.Lowest().Throw.Bearing(), 1e-6)
}

func TestPlumbCentreIsPlumbMeansHalfTheRunoutEverywhere(t *testing.T) {
	// FIST 2-1, p. 12.
	h := randomShaft(rand.New(rand.NewPCG(9, 1)), 2)
	h.centre[1] = [2]float64{}
	got, err := h.survey(0, 90, 180, 270).Solve()
	require.NoError(t, err)
	for _, s := range got.Stands {
		assert.InDelta(t, float64(got.Lowest().Diameter)/2, float64(s.Sheets[0].OutOfPlumb.Size()), 2*curvature)
	}
	assert.Less(t, got.Slope(), curvature)
}

func TestPlumbErrorsNameFieldAndUnit(t *testing.T) {
	s := randomShaft(rand.New(rand.NewPCG(2, 2)), 3).survey(0, 90, 180)
	s.Positions[1].Wires[2].West = -1 * align.Millimetre
	_, err := s.Solve()
	require.ErrorIs(t, err, align.ErrNegative)
	assert.Equal(t, "runout: positions[1].wires[2].lower.west = -1.0000 mm: must not be negative", err.Error())
	s.Positions[1].Wires[2].West = unit.Length(math.Inf(1))
	_, err = s.Solve()
	require.ErrorIs(t, err, align.ErrNotFinite)
	huge := unit.Length(math.MaxFloat64)
	_, err = runout.NewPlumbSheet(runout.Wires{}, runout.Wires{North: huge, South: huge})
	require.ErrorIs(t, err, align.ErrOutOfRange)
}

func TestLeanInWords(t *testing.T) {
	l := runout.Lean{North: 6 * align.Mil, East: -0.75 * align.Mil}
	assert.Equal(t, "6.00 mil toward N, 0.75 mil toward W", l.In(align.UnitMil, 2))
	assert.Equal(t, "0.1524 mm toward N, 0.0191 mm toward W", l.String())
	assert.Equal(t, "0.0000 mm toward plumb", strings.Split(runout.Lean{}.String(), ", ")[0])
	assert.InDelta(t, 270, runout.Lean{East: -1}.Bearing(), 1e-12)
	assert.Equal(t, align.Offset{Vertical: l.North, Horizontal: l.East}, l.Offset())
}

func TestPlumbVerdictNamesLimitSourceAndMargin(t *testing.T) {
	l, err := runout.ReclamationLimits(170*align.Inch, 80*align.Inch, 170*align.Inch)
	require.NoError(t, err)
	v, err := l.Orbit.Judge(float64(3 * align.Mil))
	require.NoError(t, err)
	assert.True(t, v.Within)
	assert.Contains(t, v.String(), "FIST 2-1")
	assert.InDelta(t, float64(1.25*align.Mil), v.Margin(), 1e-15)
	r, err := randomShaft(rand.New(rand.NewPCG(2, 9)), 3).survey(0, 90, 180, 270).Solve()
	require.NoError(t, err)
	vs, err := r.Judge(l)
	require.NoError(t, err)
	assert.Len(t, vs, 3)
	_, err = r.Judge(runout.PlumbLimits{})
	require.Error(t, err)
}

func ExampleNewPlumbSheet() {
	in := func(n, s, e, w unit.Length) runout.Wires {
		return runout.Wires{North: n * align.Inch, South: s * align.Inch, East: e * align.Inch, West: w * align.Inch}
	}
	s, err := runout.NewPlumbSheet(in(0.3445, 0.1505, 0.1710, 0.2985), in(0.3470, 0.1650, 0.1805, 0.3065))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(s.OutOfPlumb.In(align.UnitInch, 5))
	fmt.Println("roundness", align.UnitInch.Format(float64(s.Roundness), 4))
	// Output:
	// 0.00600 in toward N, 0.00075 in toward W
	// roundness 0.0005 in
}

func FuzzPlumbSurvey(f *testing.F) {
	f.Add(0.3, 0.2, 0.25, 0.4, 0.31, 0.0, 90.0, 180.0, 10.0, 5.0, 0.0)
	f.Add(1e308, 0.2, 0.25, 1e308, 0.31, 0.0, 1e-5, 2e-5, 1e308, 0.0, -1e308)
	f.Fuzz(func(t *testing.T, n, s, e, w, d, a, b, c, z0, z1, z2 float64) {
		first := runout.Wires{North: unit.Length(n), South: unit.Length(s), East: unit.Length(e), West: unit.Length(w)}
		lower := runout.Wires{North: unit.Length(d), South: unit.Length(s), East: unit.Length(n), West: unit.Length(e)}
		in := runout.PlumbSurvey{Elevations: []unit.Length{unit.Length(z0), unit.Length(z1), unit.Length(z2)}}
		for _, turned := range []float64{a, b, c} {
			in.Positions = append(in.Positions, runout.PlumbPosition{Turned: turned, Wires: []runout.Wires{first, lower, first}})
			first, lower = lower, first
		}
		r, err := in.Solve()
		if err != nil {
			require.NotEmpty(t, align.CodeOf(err))
			return
		}
		require.True(t, align.IsFinite(r.Slope()))
		for _, o := range r.Orbits {
			require.True(t, align.IsFinite(o.Diameter) && align.IsFinite(o.Centre.Size()) && align.IsFinite(o.Arc))
		}
		for _, b := range r.Bows {
			require.True(t, align.IsFinite(b.Shaft.Size()) && align.IsFinite(b.Fixed.Size()))
		}
	})
}

func BenchmarkNewPlumbSheet(b *testing.B) {
	first := runout.Wires{North: 0.3445, South: 0.1505, East: 0.171, West: 0.2985}
	lower := runout.Wires{North: 0.347, South: 0.165, East: 0.1805, West: 0.3065}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := runout.NewPlumbSheet(first, lower); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkPlumbSurvey(b *testing.B) {
	s := randomShaft(rand.New(rand.NewPCG(2, 3)), 4).survey(0, 90, 180, 270)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := s.Solve(); err != nil {
			b.Fatal(err)
		}
	}
}
