package thermal

import (
	"math"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/unit"
)

// round is a material of round numbers: a hundred kelvins grow a metre by a
// millimetre.
func round() Material { return Material{Name: "round", Kind: Constant, Coefficient: 1e-5} }

// support grows by 0.01 mm for each kelvin: it is a metre high.
func support(rise float64) Support {
	return FootMounted(Height{Name: "foot", Length: 1, Material: round(), Cold: align.Celsius(20), Hot: align.Celsius(20 + rise)})
}

func at4(rises ...float64) Machine {
	return Machine{Name: "pump", Supports: []SupportAt{
		{Station: 1, Lateral: -0.3, Support: support(rises[0])},
		{Station: 1, Lateral: 0.3, Support: support(rises[1])},
		{Station: 2, Lateral: -0.3, Support: support(rises[2])},
		{Station: 2, Lateral: 0.3, Support: support(rises[3])},
	}}
}

func TestMachineOnFourFeet(t *testing.T) {
	m := at4(10, 20, 40, 50) // 0.10, 0.20; 0.40, 0.50 mm
	g, err := m.Growth()
	require.NoError(t, err)
	require.InDelta(t, 0.15e-3, float64(g.Axis.Vertical.At(1)), 1e-15)
	require.InDelta(t, 0.45e-3, float64(g.Axis.Vertical.At(2)), 1e-15)
	require.Len(t, g.Stations, 2)
	for _, s := range g.Stations {
		require.True(t, s.RollKnown)
		require.InDelta(t, 0.1e-3/0.6, s.Roll, 1e-12)
		require.InDelta(t, 0.1e-3, float64(s.Uneven), 1e-15)
		require.InDelta(t, 0, float64(s.Residual), 1e-15)
	}
	require.Empty(t, g.Warnings)
	l, err := m.Line()
	require.NoError(t, err)
	require.Equal(t, g.Axis.Vertical, l)
}

func TestMachineOffItsCentre(t *testing.T) {
	// The left foot is 0.2 m from the shaft, the right one 0.6 m: the shaft takes
	// a quarter of the way from left to right.
	m := Machine{Supports: []SupportAt{
		{Station: 0, Lateral: -0.2, Support: support(10)},
		{Station: 0, Lateral: 0.6, Support: support(50)},
	}}
	l, err := m.Line()
	require.NoError(t, err)
	require.InDelta(t, 0.2e-3, float64(l.Offset), 1e-15)
	require.Zero(t, l.Slope)
}

func TestMachineOnOneSide(t *testing.T) {
	m := Machine{Supports: []SupportAt{{Lateral: 0.3, Support: support(10)}, {Station: 1, Support: support(20)}}}
	g, err := m.Growth()
	require.NoError(t, err)
	require.Len(t, g.Warnings, 1)
	require.Equal(t, WarnRollUnknown, g.Warnings[0].Code)
	require.InDelta(t, 0.3, g.Warnings[0].Value, 1e-15)
}

func TestMachineOnThreeStationsAgainstQR(t *testing.T) {
	xs, rises := []float64{0, 1, 3}, []float64{10, 40, 20}
	m := Machine{}
	a, y := mat.NewDense(3, 2, nil), mat.NewDense(3, 1, nil)
	for i := range xs {
		m.Supports = append(m.Supports, SupportAt{Station: unit.Length(xs[i]), Support: support(rises[i])})
		a.SetRow(i, []float64{1, xs[i]})
		y.Set(i, 0, 1e-5*rises[i])
	}
	var want mat.Dense
	require.NoError(t, want.Solve(a, y))
	g, err := m.Growth()
	require.NoError(t, err)
	require.InDelta(t, want.At(0, 0), float64(g.Axis.Vertical.Offset), 1e-15)
	require.InDelta(t, want.At(1, 0), g.Axis.Vertical.Slope, 1e-15)
	require.Len(t, g.Warnings, 3) // each of them 0.05 mm and more off
	require.Equal(t, align.WarnResidual, g.Warnings[0].Code)

	wide := align.Millimetre
	m.ResidualLimit = &wide
	g, err = m.Growth()
	require.NoError(t, err)
	require.Empty(t, g.Warnings)
}

func TestMachineKeys(t *testing.T) {
	key := func(x, lateral unit.Length) Key {
		return Key{Station: x, Lateral: lateral, Material: round(), Cold: align.Celsius(20), Hot: align.Celsius(120)}
	}
	m := at4(10, 10, 10, 10)
	m.Keys = []Key{key(5, 0.4)}
	a, err := m.Axis()
	require.NoError(t, err)
	require.InDelta(t, 0.4e-3, float64(a.Horizontal.At(0)), 1e-15)
	require.Zero(t, a.Horizontal.Slope)

	m.Keys = []Key{key(1, 0.4), key(2, -0.1)}
	a, err = m.Axis()
	require.NoError(t, err)
	require.InDelta(t, 0.4e-3, float64(a.Horizontal.At(1)), 1e-15)
	require.InDelta(t, -0.1e-3, float64(a.Horizontal.At(2)), 1e-15)
	g, err := m.Growth()
	require.NoError(t, err)
	require.Equal(t, a, g.Axis)

	m.Keys = []Key{key(1, 0.4), key(1, -0.1)}
	_, err = m.Axis()
	require.ErrorIs(t, err, align.ErrCoincident)
}

// Properties: left for right changes nothing vertical; a shifted datum shifts
// the line; twice the rise gives twice the growth.
func TestMachineProperties(t *testing.T) {
	m := at4(12, 23, 37, 51)
	base, err := m.Growth()
	require.NoError(t, err)

	mirrored := at4(12, 23, 37, 51)
	shifted := at4(12, 23, 37, 51)
	for i := range mirrored.Supports {
		mirrored.Supports[i].Lateral *= -1
		shifted.Supports[i].Station += 10
	}
	g, err := mirrored.Growth()
	require.NoError(t, err)
	require.InDelta(t, float64(base.Axis.Vertical.Offset), float64(g.Axis.Vertical.Offset), 1e-15)
	require.InDelta(t, -base.Stations[0].Roll, g.Stations[0].Roll, 1e-15)
	require.InDelta(t, float64(-base.Stations[0].Uneven), float64(g.Stations[0].Uneven), 1e-18)

	g, err = shifted.Growth()
	require.NoError(t, err)
	require.InDelta(t, float64(base.Axis.Vertical.At(1.5)), float64(g.Axis.Vertical.At(11.5)), 1e-14)

	twice := at4(24, 46, 74, 102)
	g, err = twice.Growth()
	require.NoError(t, err)
	require.InDelta(t, float64(2*base.Axis.Vertical.At(7)), float64(g.Axis.Vertical.At(7)), 1e-14)
}

func TestMachineErrors(t *testing.T) {
	nan := unit.Length(math.NaN())
	negative := -align.Millimetre
	many := Machine{}
	for i := range MaxSupportStations + 1 {
		many.Supports = append(many.Supports, SupportAt{Station: unit.Length(i), Support: support(10)})
	}
	crowd := Machine{Supports: make([]SupportAt, MaxSupports+1)}
	with := func(f func(m *Machine)) Machine { m := at4(1, 2, 3, 4); f(&m); return m }
	for name, c := range map[string]struct {
		m    Machine
		want error
	}{
		"none":        {Machine{}, align.ErrMissing},
		"nan station": {with(func(m *Machine) { m.Supports[1].Station = nan }), align.ErrNotFinite},
		"nan lateral": {with(func(m *Machine) { m.Supports[1].Lateral = nan }), align.ErrNotFinite},
		"far":         {with(func(m *Machine) { m.Supports[1].Station = 1e9 }), align.ErrOutOfRange},
		"close":       {with(func(m *Machine) { m.Supports[1].Station = 1 + 1e-9 }), align.ErrCoincident},
		"no support":  {with(func(m *Machine) { m.Supports[0].Support = Support{} }), align.ErrMissing},
		"limit":       {with(func(m *Machine) { m.ResidualLimit = &negative }), align.ErrNegative},
		"keys":        {with(func(m *Machine) { m.Keys = make([]Key, 3) }), align.ErrOutOfRange},
		"empty key":   {with(func(m *Machine) { m.Keys = make([]Key, 1) }), align.ErrMissing},
		"nan key":     {with(func(m *Machine) { m.Keys = []Key{{Station: nan}} }), align.ErrNotFinite},
		"stations":    {many, align.ErrOutOfRange},
		"crowd":       {crowd, align.ErrOutOfRange},
	} {
		_, err := c.m.Growth()
		require.ErrorIs(t, err, c.want, name)
	}
}

func BenchmarkMachineLine(b *testing.B) {
	m := at4(10, 20, 40, 50)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := m.Line(); err != nil {
			b.Fatal(err)
		}
	}
}

// The same height and warming give the same growth; what differs between the
// mountings is whose temperature it is.
func TestMountingsAreHeights(t *testing.T) {
	h := Height{Name: "pedestal", Length: 0.6, Material: round(), Cold: align.Celsius(20), Hot: align.Celsius(35)}
	for _, s := range []Support{FootMounted(h), CentrelineMounted(h), PedestalBearing(h)} {
		g, err := s.Growth()
		require.NoError(t, err)
		require.InDelta(t, 0.09e-3, float64(g), 1e-15)
	}
}
