package softfoot_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"collinear.example/softfoot"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/unit"
)

func ExampleBase_Survey() {
	at := func(pad string, x, z, h float64) softfoot.BasePoint {
		return softfoot.BasePoint{Pad: pad, Station: unit.Length(x), Lateral: unit.Length(z), Height: unit.Length(h) * align.Micrometre}
	}
	base := softfoot.Base{Points: []softfoot.BasePoint{
		at("first left", 0, -0.5, 0), at("first right", 0, 0.5, 40), at("last left", 2, -0.5, 60), at("last right", 2, 0.5, 60),
	}}
	s, err := base.Survey()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(s.Plane)
	fmt.Println("flat within", align.UnitMicrometre.Format(float64(s.Flatness), 1))
	limits, err := softfoot.BaseProfile("api-686")
	if err != nil {
		fmt.Println(err)
		return
	}
	verdicts, err := s.Judge(limits)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, v := range verdicts {
		fmt.Println(v.Quantity, v.Within)
	}
	// Output:
	// along 0.020 mm/m (0.00024 in/ft), across 0.020 mm/m (0.00024 in/ft)
	// flat within 20.0 um
	// level-along true
	// level-across true
	// elevation true
}

func randomBase(rnd *rand.Rand, n int) softfoot.Base {
	var b softfoot.Base
	for i := range n {
		b.Points = append(b.Points, softfoot.BasePoint{
			Pad: fmt.Sprint(i / 3), Station: unit.Length(rnd.Float64() * 4), Lateral: unit.Length(rnd.Float64() - 0.5),
			Height: unit.Length(rnd.NormFloat64() * 1e-4),
		})
	}
	return b
}

func widthAt(b softfoot.Base, along, across float64) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for _, p := range b.Points {
		v := float64(p.Height) - along*float64(p.Station) - across*float64(p.Lateral)
		low, high = math.Min(low, v), math.Max(high, v)
	}
	return high - low
}

// golden returns the least value of a convex function between a and b.
func golden(a, b float64, f func(float64) float64) float64 {
	r := (math.Sqrt(5) - 1) / 2
	c, d := b-r*(b-a), a+r*(b-a)
	fc, fd := f(c), f(d)
	for range 75 {
		if fc < fd {
			b, d, fd = d, c, fc
			c = b - r*(b-a)
			fc = f(c)
		} else {
			a, c, fc = c, d, fd
			d = a + r*(b-a)
			fd = f(d)
		}
	}
	return math.Min(fc, fd)
}

// The width is convex in the slopes, so a search in a search finds its least.
func TestMinimumZoneAgainstNestedSearch(t *testing.T) {
	rnd := rand.New(rand.NewPCG(1, 9))
	for range 25 {
		b := randomBase(rnd, 4+rnd.IntN(20))
		s, err := b.Survey()
		require.NoError(t, err)
		least := golden(-0.05, 0.05, func(a float64) float64 {
			return golden(-0.05, 0.05, func(c float64) float64 { return widthAt(b, a, c) })
		})
		require.InDelta(t, least, float64(s.Flatness), 1e-10)
		require.InDelta(t, widthAt(b, s.ZoneAlong, s.ZoneAcross), float64(s.Flatness), 1e-14)
		require.LessOrEqual(t, float64(s.Flatness), float64(s.Plane.Highest-s.Plane.Lowest)+1e-15)
		require.LessOrEqual(t, len(s.Touch), 4)
	}
}

// slowZone tries the slopes of every three points and of every two pairs.
func slowZone(b softfoot.Base) float64 {
	least := math.Inf(1)
	n := len(b.Points)
	try := func(p, q, r, s softfoot.BasePoint) {
		a := mat.NewDense(2, 2, []float64{
			float64(q.Station - p.Station), float64(q.Lateral - p.Lateral),
			float64(s.Station - r.Station), float64(s.Lateral - r.Lateral),
		})
		var k mat.VecDense
		if k.SolveVec(a, mat.NewVecDense(2, []float64{float64(q.Height - p.Height), float64(s.Height - r.Height)})) != nil {
			return
		}
		least = math.Min(least, widthAt(b, k.AtVec(0), k.AtVec(1)))
	}
	for i := range n {
		for j := range i {
			for k := range n {
				for l := range k {
					try(b.Points[i], b.Points[j], b.Points[k], b.Points[l])
				}
			}
		}
	}
	return least
}

func TestMinimumZoneAgainstEnumeration(t *testing.T) {
	rnd := rand.New(rand.NewPCG(2, 9))
	for range 60 {
		b := randomBase(rnd, 3+rnd.IntN(7))
		if rnd.IntN(2) == 0 { // many in line and on a grid
			for i := range b.Points {
				b.Points[i].Station = unit.Length(i % 3)
				b.Points[i].Lateral = unit.Length(i / 3 % 2)
				b.Points[i].Height = unit.Length(rnd.IntN(5)) * 1e-5
			}
			if len(b.Points) == 3 {
				continue
			}
		}
		s, err := b.Survey()
		require.NoError(t, err)
		require.InDelta(t, slowZone(b), float64(s.Flatness), 1e-13)
	}
}

// A tilt and a shift of the datum change slopes and height alone; a mirror
// changes the sign across; turning the base round changes both signs.
func TestSurveyProperties(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 9))
	for range 60 {
		b := randomBase(rnd, 12)
		tilted, mirrored := softfoot.Base{}, softfoot.Base{}
		for _, p := range b.Points {
			q := p
			q.Height += 0.3 + 1e-3*p.Station - 2e-3*p.Lateral
			tilted.Points = append(tilted.Points, q)
			p.Lateral = -p.Lateral
			mirrored.Points = append(mirrored.Points, p)
		}
		s, err := b.Survey()
		require.NoError(t, err)
		st, err := tilted.Survey()
		require.NoError(t, err)
		sm, err := mirrored.Survey()
		require.NoError(t, err)
		require.InDelta(t, s.Plane.SlopeAlong+1e-3, st.Plane.SlopeAlong, 1e-13)
		require.InDelta(t, s.Plane.SlopeAcross-2e-3, st.Plane.SlopeAcross, 1e-13)
		require.InDelta(t, float64(s.Flatness), float64(st.Flatness), 1e-14)
		require.InDelta(t, float64(s.Coplanarity), float64(st.Coplanarity), 1e-14)
		require.InDelta(t, -s.Plane.SlopeAcross, sm.Plane.SlopeAcross, 1e-15)
		require.InDelta(t, float64(s.Flatness), float64(sm.Flatness), 1e-15)
		require.InDelta(t, float64(s.Elevation), float64(sm.Elevation), 0)
	}
}

func TestTwistInAnyOrder(t *testing.T) {
	p := []softfoot.BasePoint{
		{"a", 0, 0, mils(10)}, {"b", 2, 0, mils(1)}, {"c", 2, 1, mils(3)}, {"d", 0, 1, mils(4)},
	}
	want := float64(mils(8)) // 10 - 1 + 3 - 4
	for _, order := range [][4]int{{0, 1, 2, 3}, {0, 2, 1, 3}, {0, 3, 1, 2}, {2, 1, 3, 0}} {
		var b softfoot.Base
		for _, i := range order {
			b.Points = append(b.Points, p[i])
		}
		v, err := b.Twist()
		require.NoError(t, err)
		require.InDelta(t, want, float64(v), 1e-15, "%v", order)
	}
	b := softfoot.Base{Points: []softfoot.BasePoint{p[1], p[0], p[2], p[3]}}
	v, err := b.Twist()
	require.NoError(t, err)
	require.InDelta(t, -want, float64(v), 1e-15)
	s, err := b.Survey()
	require.NoError(t, err)
	require.InDelta(t, want/2, float64(s.Flatness), 1e-15) // two planes, each on a diagonal: half the twist apart
	_, err = softfoot.Base{Points: p[:3]}.Twist()
	require.Equal(t, "too-few-points", align.CodeOf(err))
	_, err = softfoot.Base{Points: append(p[:4:4], p[0])}.Twist()
	require.Equal(t, "too-many-points", align.CodeOf(err))
	b.Points[0] = softfoot.BasePoint{Pad: "x", Station: 1, Lateral: 5}
	b.Points[1] = softfoot.BasePoint{Pad: "y", Station: 1, Lateral: 1}
	_, err = b.Twist()
	require.Equal(t, "undetermined", align.CodeOf(err))
}

func TestPads(t *testing.T) {
	b := softfoot.Base{Points: []softfoot.BasePoint{
		{"a", 0, 0, 0}, {"a", 0.1, 0, 1e-5}, {"a", 0, 0.1, 0}, {"b", 1, 0, 3e-5}, {"b", 1, 0.1, 5e-5}, {"c", 2, 2, 0},
	}}
	s, err := b.Survey()
	require.NoError(t, err)
	require.Len(t, s.Pads, 3)
	require.True(t, s.Pads[0].Known)
	require.InDelta(t, 1e-4, s.Pads[0].Plane.SlopeAlong, 1e-12)
	require.False(t, s.Pads[1].Known)
	require.InDelta(t, 4e-5, float64(s.Pads[1].Mean), 1e-12)
	require.InDelta(t, 4e-5, float64(s.PadElevation), 1e-12)
	require.InDelta(t, 5e-5, float64(s.Elevation), 1e-12)
	require.InDelta(t, math.Hypot(2, 2), float64(s.Span), 1e-12)
}

// The two figures that a source prints for one limit are not the same: a
// flatness between them is within the one and over the other.
func TestPrintedUnitsDiffer(t *testing.T) {
	s := softfoot.BaseSurvey{Flatness: 0.16e-3, Span: 1}
	for name, want := range map[string]bool{"api-618": false, "api-618-inch": true, "as-supplied": true} {
		l, err := softfoot.BaseProfile(name)
		require.NoError(t, err)
		v, err := s.Judge(l)
		require.NoError(t, err)
		require.Len(t, v, 1)
		require.Equal(t, want, v[0].Within, name)
		require.Contains(t, v[0].String(), l.Flatness.Source)
	}
	_, err := softfoot.BaseProfile("house")
	require.Equal(t, "unknown-kind", align.CodeOf(err))
	p := softfoot.BaseProfiles()
	p[0].Level.Value = 1e9
	require.Equal(t, 42.0, softfoot.BaseProfiles()[0].Level.Value)
}

func TestSurveyFaults(t *testing.T) {
	p := softfoot.BasePoint{Pad: "a", Station: 1, Lateral: 1}
	_, err := softfoot.Base{Points: []softfoot.BasePoint{p, p, p}}.Survey()
	require.Equal(t, "undetermined", align.CodeOf(err))
	_, err = softfoot.Base{Points: []softfoot.BasePoint{p}}.Survey()
	require.Equal(t, "too-few-points", align.CodeOf(err))
	_, err = softfoot.Base{Points: make([]softfoot.BasePoint, 3)}.Survey()
	require.Equal(t, "missing", align.CodeOf(err))
	_, err = randomBase(rand.New(rand.NewPCG(1, 1)), 2049).Survey()
	require.Equal(t, "too-many-points", align.CodeOf(err))
	p.Height = unit.Length(math.Inf(-1))
	_, err = softfoot.Base{Points: []softfoot.BasePoint{p, p, p}}.Survey()
	require.Equal(t, "not-finite", align.CodeOf(err))
}

func FuzzSurvey(f *testing.F) {
	f.Add(0.0, 0.0, 0.0, 1.0, 0.0, 1e-4, 1.0, 1.0, 2e-4, 0.0, 1.0, 0.0)
	f.Add(0.0, 0.0, 0.0, 1.0, 0.0, 1e-4, 1.0, 1e-7, 2e-4, 0.5, 1e-7, 0.0)
	f.Fuzz(func(t *testing.T, a, b, c, d, e, g, h, i, j, k, l, m float64) {
		v := []float64{a, b, c, d, e, g, h, i, j, k, l, m}
		var base softfoot.Base
		for n := 0; n < 12; n += 3 {
			base.Points = append(base.Points, softfoot.BasePoint{
				Pad: "p", Station: unit.Length(v[n]), Lateral: unit.Length(v[n+1]), Height: unit.Length(v[n+2]),
			})
		}
		if twist, err := base.Twist(); err == nil {
			require.True(t, align.IsFinite(twist))
		}
		s, err := base.Survey()
		if err != nil {
			require.NotEmpty(t, align.CodeOf(err))
			return
		}
		for _, x := range []float64{
			s.Plane.SlopeAlong, s.Plane.SlopeAcross, float64(s.Plane.Height), float64(s.Flatness), s.ZoneAlong, s.ZoneAcross,
			float64(s.Span), float64(s.Elevation), float64(s.Coplanarity), s.FlatnessPerLength(),
		} {
			require.True(t, align.IsFinite(x))
		}
		require.GreaterOrEqual(t, float64(s.Flatness), 0.0)
	})
}

func BenchmarkSurvey(b *testing.B) {
	for _, n := range []int{8, 32, 256} {
		base := randomBase(rand.New(rand.NewPCG(1, 1)), n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := base.Survey(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
