package softfoot_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"collinear.example/softfoot"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// A motor on four pads, one of them 0.30 mm low. Its centre of gravity is toward
// the outboard end, within the triangle of the other three, so it stands steady.
func ExampleMachine_Seat() {
	m := softfoot.Machine{
		Feet: []softfoot.Foot{
			{Name: "outboard left", Station: 0, Lateral: -0.2}, {Name: "outboard right", Station: 0, Lateral: 0.2},
			{Name: "inboard right", Station: 0.6, Lateral: 0.2}, {Name: "inboard left", Station: 0.6, Lateral: -0.2},
		},
		Heights: []unit.Length{0, 0, 0, -0.3 * align.Millimetre},
		Centre:  &softfoot.Point{Station: 0.2, Lateral: 0},
	}
	s, err := m.Seat()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(s.Carrying(0), align.UnitMillimetre.Format(float64(s.Gap(0, 3)), 2))
	// Output: [outboard left outboard right inboard right] 0.30 mm
}

// ring is a machine of n feet round an ellipse, heights up to a millimetre, the
// centre of gravity within its inner half.
func ring(r *rand.Rand, n int) softfoot.Machine {
	var m softfoot.Machine
	for i := range n {
		a := 2 * math.Pi * (float64(i) + 0.6*r.Float64()) / float64(n)
		m.Feet = append(m.Feet, softfoot.Foot{Name: fmt.Sprint("foot ", i), Station: unit.Length(1.2 * math.Cos(a)), Lateral: unit.Length(0.5 * math.Sin(a))})
		m.Heights = append(m.Heights, unit.Length(1e-3*r.Float64()))
	}
	c, _ := m.Balance()
	c.Station += unit.Length(0.1 * (r.Float64() - 0.5))
	c.Lateral += unit.Length(0.1 * (r.Float64() - 0.5))
	m.Centre = &c
	return m
}

// lowest is the least height of the centre that keeps every pad below the
// soles, by nested ternary search over both slopes: slow, and knows nothing of
// triples of feet.
func lowest(m softfoot.Machine) float64 {
	height := func(along, across float64) float64 {
		h := math.Inf(-1)
		for i, f := range m.Feet {
			h = math.Max(h, float64(m.Heights[i])-along*float64(f.Station-m.Centre.Station)-across*float64(f.Lateral-m.Centre.Lateral))
		}
		return h
	}
	return least(func(a float64) float64 { return least(func(b float64) float64 { return height(a, b) }) })
}

func least(f func(float64) float64) float64 {
	lo, hi := -0.02, 0.02
	for range 120 {
		a, b := lo+(hi-lo)/3, hi-(hi-lo)/3
		if f(a) <= f(b) {
			hi = b
		} else {
			lo = a
		}
	}
	return f((lo + hi) / 2)
}

func TestSeatAgainstNestedSearch(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 14))
	for n := 3; n <= 9; n++ {
		for range 12 {
			m := ring(r, n)
			s, err := m.Seat()
			require.NoError(t, err)
			require.Len(t, s.Rests, 1)
			assert.InDelta(t, lowest(m), float64(s.Rests[0].Plane.Height), 1e-9)
			requireStatics(t, m, s)
		}
	}
}

// requireStatics checks what holds for any rigid body at rest: no pad above the
// soles, no gap under the three, and moments about both axes in balance.
func requireStatics(t *testing.T, m softfoot.Machine, s softfoot.Seating) {
	t.Helper()
	for _, rest := range s.Rests {
		for i, f := range m.Feet {
			require.GreaterOrEqual(t, float64(rest.Plane.At(f.At())-m.Heights[i]), -1.1e-9)
		}
		var load, x, z float64
		for k, i := range rest.Three {
			require.True(t, rest.Carries(i))
			require.InDelta(t, float64(m.Heights[i]), float64(rest.Plane.At(m.Feet[i].At())), 1e-9)
			require.GreaterOrEqual(t, rest.Load[k], 0.0)
			load += rest.Load[k]
			x += rest.Load[k] * float64(m.Feet[i].Station)
			z += rest.Load[k] * float64(m.Feet[i].Lateral)
		}
		require.InDelta(t, 1, load, 1e-12)
		off := math.Hypot(x-float64(s.Centre.Station), z-float64(s.Centre.Lateral))
		require.InDelta(t, float64(rest.Off), off, 1e-8)
	}
}

// Moving the datum, a plane added to all heights, another unit of length and
// the mirror image across the train must not change which feet carry.
func TestSeatProperties(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 9))
	for range 200 {
		m := ring(r, 4+r.IntN(5))
		s, err := m.Seat()
		require.NoError(t, err)
		for name, change := range map[string]func(f *softfoot.Foot, h *unit.Length, c *softfoot.Point) float64{
			"datum": func(_ *softfoot.Foot, h *unit.Length, _ *softfoot.Point) float64 { *h += 12; return 1 },
			"tilt": func(f *softfoot.Foot, h *unit.Length, _ *softfoot.Point) float64 {
				*h += f.Station*1e-3 - f.Lateral*2e-3
				return 1
			},
			"unit": func(f *softfoot.Foot, h *unit.Length, c *softfoot.Point) float64 {
				f.Station, f.Lateral, *h = f.Station*25.4, f.Lateral*25.4, *h*25.4
				return 25.4
			},
			"mirror": func(f *softfoot.Foot, _ *unit.Length, _ *softfoot.Point) float64 { f.Lateral = -f.Lateral; return 1 },
		} {
			changed := softfoot.Machine{Feet: append([]softfoot.Foot(nil), m.Feet...), Heights: append([]unit.Length(nil), m.Heights...)}
			c := softfoot.Foot{Station: m.Centre.Station, Lateral: m.Centre.Lateral}
			var ignored unit.Length
			scale := change(&c, &ignored, nil)
			changed.Centre = &softfoot.Point{Station: c.Station, Lateral: c.Lateral}
			for i := range changed.Feet {
				change(&changed.Feet[i], &changed.Heights[i], nil)
			}
			got, err := changed.Seat()
			require.NoError(t, err, name)
			require.Equal(t, s.Carrying(0), got.Carrying(0), name)
			for i := range m.Feet {
				require.InDelta(t, scale*float64(s.Gap(0, i)), float64(got.Gap(0, i)), 1e-11, name)
			}
		}
	}
}

// The gaps that a machine at rest shows, given back as gaps, must bring it to
// rest on the same feet with the same gaps.
func TestGapsRoundTrip(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 71))
	for range 200 {
		m := ring(r, 4+r.IntN(5))
		s, err := m.Seat()
		require.NoError(t, err)
		shown := softfoot.Machine{Feet: m.Feet, Centre: m.Centre, Gaps: []unit.Length{}}
		for i := range m.Feet {
			shown.Gaps = append(shown.Gaps, s.Gap(0, i))
		}
		again, err := shown.Seat()
		require.NoError(t, err)
		require.Equal(t, s.Carrying(0), again.Carrying(0))
		require.Empty(t, again.Warnings)
		for i := range m.Feet {
			require.InDelta(t, float64(s.Gap(0, i)), float64(again.Gap(0, i)), 1e-12)
		}
	}
}

// A rectangle with its centre of gravity in the middle rocks about the high
// diagonal, and the gap under the free foot is the twist (first principles).
func TestRockingRectangle(t *testing.T) {
	const w = 0.3e-3
	m := oblong(0, 0, 0, -w)
	s, err := m.Seat()
	require.NoError(t, err)
	require.True(t, s.Rocks())
	require.False(t, s.Flat())
	assert.True(t, s.Assumed)
	assert.Equal(t, softfoot.Point{Station: 0.3}, s.Centre)
	require.Len(t, s.Warnings, 2)
	assert.Equal(t, softfoot.WarnCentreAssumed, s.Warnings[0].Code)
	assert.Equal(t, softfoot.WarnRocks, s.Warnings[1].Code)
	assert.Equal(t, []string{"outboard left", "outboard right", "inboard right"}, s.Carrying(0))
	assert.Equal(t, []string{"outboard left", "inboard right", "inboard left"}, s.Carrying(1))
	assert.InDelta(t, w, float64(s.Gap(0, 3)), 1e-12)
	assert.InDelta(t, w, float64(s.Gap(1, 1)), 1e-12)
	requireStatics(t, m, s)
	for _, rest := range s.Rests {
		assert.True(t, rest.LoadKnown())
		assert.Zero(t, rest.Off)
	}

	// 10 mm toward the outboard right foot it is steady, and rocks again when
	// the true centre may be 10 mm off: the diagonal is nearer than that.
	m.Centre = &softfoot.Point{Station: 0.29, Lateral: 0}
	s, err = m.Seat()
	require.NoError(t, err)
	require.Len(t, s.Rests, 1)
	assert.Equal(t, []string{"outboard left", "outboard right", "inboard right"}, s.Carrying(0))
	m.CentreWithin = 0.010
	s, err = m.Seat()
	require.NoError(t, err)
	require.Len(t, s.Rests, 2)
	assert.Zero(t, s.Rests[0].Off)
	// Distance of a point to the line from (0, -0.2) to (0.6, 0.2).
	assert.InDelta(t, 0.01*0.4/math.Hypot(0.6, 0.4), float64(s.Rests[1].Off), 1e-12)
}

func TestFlatMachine(t *testing.T) {
	m := oblong(0, 0, 0.6e-3, 0.6e-3) // pads rise along the train, all in one plane
	s, err := m.Seat()
	require.NoError(t, err)
	require.True(t, s.Flat())
	require.False(t, s.Rocks())
	assert.False(t, s.Rests[0].LoadKnown(), "four feet on one plane share the weight in many ways")
	assert.InDelta(t, 1e-3, s.Rests[0].Plane.Along, 1e-12)
	assert.InDelta(t, 0, s.Rests[0].Plane.Across, 1e-12)
}

// Of several triangles in one plane the one around the centre must stand for
// the position, and the sure way to rest come first, in whatever order feet are
// listed.
func TestSurestFirst(t *testing.T) {
	m := softfoot.Machine{
		Feet: []softfoot.Foot{
			{Name: "a", Station: 0, Lateral: 0}, {Name: "b", Station: 1, Lateral: 0}, {Name: "c", Station: 1, Lateral: 1},
			{Name: "d", Station: 0, Lateral: 1}, {Name: "e", Station: -0.5, Lateral: 0.5},
		},
		Heights:      []unit.Length{0, 0, 0, 0, -1e-3},
		Centre:       &softfoot.Point{Station: 0.05, Lateral: 0.5},
		CentreWithin: 0.5,
	}
	orders := [][]int{{0, 1, 2, 3, 4}, {4, 3, 2, 1, 0}, {1, 2, 4, 3, 0}, {2, 4, 0, 1, 3}, {3, 0, 4, 2, 1}}
	for _, order := range orders {
		p := m
		p.Feet, p.Heights = nil, nil
		for _, i := range order {
			p.Feet, p.Heights = append(p.Feet, m.Feet[i]), append(p.Heights, m.Heights[i])
		}
		s, err := p.Seat()
		require.NoError(t, err)
		require.Len(t, s.Rests, 2)
		assert.Zero(t, s.Rests[0].Off)
		assert.ElementsMatch(t, []string{"a", "b", "c", "d"}, s.Carrying(0))
		assert.ElementsMatch(t, []string{"a", "d", "e"}, s.Carrying(1))
		assert.InDelta(t, 0.05, float64(s.Rests[1].Off), 1e-12)
		requireStatics(t, p, s)
	}
}

// Gaps under all four feet: something else than the feet holds the machine.
func TestGapsThatAreNoRest(t *testing.T) {
	m := oblong()
	m.Gaps = []unit.Length{0.1e-3, 0.1e-3, 0.1e-3, 0.2e-3}
	m.Centre = &softfoot.Point{Station: 0.2}
	s, err := m.Seat()
	require.NoError(t, err)
	require.Len(t, s.Warnings, 1)
	assert.Equal(t, softfoot.WarnNotResting, s.Warnings[0].Code)
	assert.InDelta(t, 0.1e-3, s.Warnings[0].Value, 1e-12)
	assert.InDelta(t, 0.1e-3, float64(s.Gap(0, 3)), 1e-12)
}

func TestSeatRefuses(t *testing.T) {
	nan, inf := unit.Length(math.NaN()), unit.Length(math.Inf(-1))
	for name, c := range map[string]struct {
		change func(m *softfoot.Machine)
		want   error
		field  string
	}{
		"two feet":        {func(m *softfoot.Machine) { m.Feet = m.Feet[:2] }, softfoot.ErrTooFewFeet, "feet"},
		"too many":        {func(m *softfoot.Machine) { m.Feet = make([]softfoot.Foot, softfoot.MaxFeet+1) }, softfoot.ErrTooManyFeet, "feet"},
		"no name":         {func(m *softfoot.Machine) { m.Feet[1].Name = "" }, align.ErrMissing, "feet[1].name"},
		"one name":        {func(m *softfoot.Machine) { m.Feet[1].Name = m.Feet[0].Name }, softfoot.ErrSameName, "feet[1].name"},
		"one place":       {func(m *softfoot.Machine) { m.Feet[3].Station = 0 }, softfoot.ErrSamePlace, "feet[3]"},
		"station":         {func(m *softfoot.Machine) { m.Feet[2].Station = nan }, align.ErrNotFinite, "feet[2].station"},
		"far away":        {func(m *softfoot.Machine) { m.Feet[2].Lateral = 1e200 }, align.ErrOutOfRange, "feet[2].lateral"},
		"no heights":      {func(m *softfoot.Machine) { m.Heights = nil }, align.ErrMissing, "gaps"},
		"both":            {func(m *softfoot.Machine) { m.Gaps = make([]unit.Length, 4) }, softfoot.ErrGapsAndHeights, "heights"},
		"three heights":   {func(m *softfoot.Machine) { m.Heights = m.Heights[:3] }, align.ErrMismatch, "heights"},
		"infinite height": {func(m *softfoot.Machine) { m.Heights[1] = inf }, align.ErrNotFinite, "heights[1]"},
		"steep":           {func(m *softfoot.Machine) { m.Heights[1] = 0.02 }, softfoot.ErrTiltTooLarge, "heights"},
		"negative gap": {func(m *softfoot.Machine) { m.Heights, m.Gaps = nil, []unit.Length{0, 0, -1e-4, 0} },
			align.ErrNegative, "gaps[2]"},
		"gap not finite": {func(m *softfoot.Machine) { m.Heights, m.Gaps = nil, []unit.Length{0, 0, nan, 0} },
			align.ErrNotFinite, "gaps[2]"},
		"centre outside": {func(m *softfoot.Machine) { m.Centre = &softfoot.Point{Station: 0.7} }, softfoot.ErrCentreOutside, "centre"},
		"outside though near": {func(m *softfoot.Machine) { m.Centre, m.CentreWithin = &softfoot.Point{Station: 0.7}, 0.2 },
			softfoot.ErrCentreOutside, "centre"},
		"centre not finite": {func(m *softfoot.Machine) { m.Centre = &softfoot.Point{Lateral: nan} }, align.ErrNotFinite, "centre.lateral"},
		"within":            {func(m *softfoot.Machine) { m.CentreWithin = -1 }, align.ErrNegative, "centreWithin"},
		"within not finite": {func(m *softfoot.Machine) { m.CentreWithin = nan }, align.ErrNotFinite, "centreWithin"},
		"in line": {func(m *softfoot.Machine) {
			for i := range m.Feet {
				m.Feet[i].Station, m.Feet[i].Lateral = unit.Length(i), 2*unit.Length(i)
			}
		}, softfoot.ErrInLine, "feet"},
	} {
		t.Run(name, func(t *testing.T) {
			m := oblong(0, 0, 0, -0.3e-3)
			c.change(&m)
			_, err := m.Seat()
			require.ErrorIs(t, err, c.want)
			var e *align.InputError
			require.ErrorAs(t, err, &e)
			assert.Equal(t, c.field, e.Field)
			assert.Contains(t, err.Error(), "softfoot: ")
		})
	}
}

// A rest or a foot that does not exist has nothing to say and does not panic.
func TestSeatingOutOfReach(t *testing.T) {
	s, err := oblong(0, 0, 0, -0.3e-3).Seat()
	require.NoError(t, err)
	for _, k := range []int{-1, 9} {
		assert.Zero(t, s.Gap(k, 0))
		assert.Zero(t, s.Gap(0, k))
		assert.Nil(t, s.Carrying(k))
		assert.False(t, s.Rests[0].Carries(k))
	}
	at, assumed := (&softfoot.Machine{}).Balance()
	assert.Zero(t, at)
	assert.True(t, assumed)
	assert.Zero(t, softfoot.Seating{}.Gap(0, 0))
	assert.False(t, softfoot.Seating{}.Flat())
}

// Whatever five feet and heights are given: an error with a code, or a position
// that statics allows.
func FuzzSeat(f *testing.F) {
	f.Add(0.6, 0.4, 0.0, 0.0, 0.0, -3e-4, 1e-4, 0.3, 0.0)
	f.Add(1e-9, 1e9, math.NaN(), 0.0, math.Inf(1), 0.0, 0.0, 0.0, 0.0)
	f.Add(1.0, 1e-6, 0.0, 1e-3, 0.0, 1e-3, 2e-3, 0.5, 5e-7)
	f.Fuzz(func(t *testing.T, long, wide, h0, h1, h2, h3, h4, x, z float64) {
		l, w := unit.Length(long), unit.Length(wide)
		m := softfoot.Machine{
			Feet: []softfoot.Foot{
				{Name: "a"}, {Name: "b", Lateral: w}, {Name: "c", Station: l, Lateral: w}, {Name: "d", Station: l}, {Name: "e", Station: l / 3, Lateral: w / 5},
			},
			Heights: []unit.Length{unit.Length(h0), unit.Length(h1), unit.Length(h2), unit.Length(h3), unit.Length(h4)},
			Centre:  &softfoot.Point{Station: unit.Length(x), Lateral: unit.Length(z)},
		}
		s, err := m.Seat()
		if err != nil {
			if align.CodeOf(err) == "" {
				t.Fatalf("%v has no code", err)
			}
			return
		}
		for k, r := range s.Rests {
			for i := range m.Feet {
				if g := s.Gap(k, i); !align.IsFinite(g) || g < 0 {
					t.Fatalf("rest %d: gap %v under foot %d", k, g, i)
				}
			}
			if sum := r.Load[0] + r.Load[1] + r.Load[2]; math.Abs(sum-1) > 1e-9 {
				t.Fatalf("loads %v", r.Load)
			}
		}
		if _, err := m.AddPlans(); err != nil && align.CodeOf(err) == "" {
			t.Fatalf("%v has no code", err)
		}
	})
}

func BenchmarkSeatFourFeet(b *testing.B) {
	m := oblong(0, 0.1e-3, 0, -0.3e-3)
	m.Centre = &softfoot.Point{Station: 0.28}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := m.Seat(); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSeatTwelveFeet(b *testing.B) {
	m := ring(rand.New(rand.NewPCG(1, 2)), 12)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := m.Seat(); err != nil {
			b.Fatal(err)
		}
	}
}
