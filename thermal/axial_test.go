package thermal

import (
	"math"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

func part(rise float64) AxialPart {
	return AxialPart{Material: round(), Cold: align.Celsius(20), Hot: align.Celsius(20 + rise)}
}

// Near: keyed at 0, thrust at 1 m, end at 3 m; casing 50 K, rotor 100 K warmer:
// 0.5 + 2 = 2.5 mm toward +x. Far: keyed at 6 m, thrust at 5 m, end at 3.5 m;
// casing 20 K, rotor 40 K: -0.2 - 0.6 = -0.8 mm, toward -x.
func gap() AxialGap {
	return AxialGap{
		Near: AxialMachine{Fixed: 0, Thrust: 1, End: 3, Casing: part(50), Rotor: part(100)},
		Far:  AxialMachine{Fixed: 6, Thrust: 5, End: 3.5, Casing: part(20), Rotor: part(40)},
	}
}

func TestAxialGapByHand(t *testing.T) {
	g := gap()
	n, err := g.Near.EndMovement()
	require.NoError(t, err)
	require.InDelta(t, 2.5e-3, float64(n), 1e-15)
	f, err := g.Far.EndMovement()
	require.NoError(t, err)
	require.InDelta(t, -0.8e-3, float64(f), 1e-15)
	r, err := g.Running(0.5)
	require.NoError(t, err)
	require.InDelta(t, 0.5-3.3e-3, float64(r), 1e-14)
	c, err := g.Cold(r)
	require.NoError(t, err)
	require.InDelta(t, 0.5, float64(c), 1e-14)
}

// Walking the train the other way turns every station and swaps the machines:
// the gap must change by the same amount.
func TestAxialGapMirrored(t *testing.T) {
	g := gap()
	g.Near.Shift = 2 * align.Millimetre
	turn := func(m AxialMachine) AxialMachine {
		m.Fixed, m.Thrust, m.End, m.Shift = -m.Fixed, -m.Thrust, -m.End, -m.Shift
		return m
	}
	a, err := g.Change()
	require.NoError(t, err)
	b, err := AxialGap{Near: turn(g.Far), Far: turn(g.Near)}.Change()
	require.NoError(t, err)
	require.InDelta(t, float64(a), float64(b), 1e-15)
	require.InDelta(t, -5.3e-3, float64(a), 1e-15)
}

func TestAxialErrors(t *testing.T) {
	nan := unit.Length(math.NaN())
	for name, c := range map[string]struct {
		change func(g *AxialGap)
		want   error
	}{
		"station":   {func(g *AxialGap) { g.Near.End = nan }, align.ErrNotFinite},
		"far":       {func(g *AxialGap) { g.Far.Fixed = 1e6 }, align.ErrOutOfRange},
		"shift":     {func(g *AxialGap) { g.Far.Shift = 11 }, align.ErrOutOfRange},
		"casing":    {func(g *AxialGap) { g.Far.Casing = AxialPart{} }, align.ErrMissing},
		"rotor hot": {func(g *AxialGap) { g.Near.Rotor.Hot = unit.Temperature(nan) }, align.ErrNotFinite},
	} {
		g := gap()
		c.change(&g)
		_, err := g.Running(1)
		require.ErrorIs(t, err, c.want, name)
	}
	_, err := gap().Running(-1)
	require.ErrorIs(t, err, align.ErrNegative)
	_, err = gap().Cold(nan)
	require.ErrorIs(t, err, align.ErrNotFinite)
}

// Siemens: 0.5 in of float, coupling 0.18 in either way: 0.07 in left at each
// side. Goulds: 0.36 in is more than half of 0.5 in, so that rule is broken.
func TestEndFloatOfTwoMakers(t *testing.T) {
	in := align.Inch
	c, err := EndFloat{Bearing: 0.5 * in, Travel: 0.18 * in}.Judge()
	require.NoError(t, err)
	require.InDelta(t, 0.07, float64(c.Low/in), 1e-12)
	require.InDelta(t, 0.07, float64(c.High/in), 1e-12)
	require.True(t, c.Inside)
	require.InDelta(t, 0.72, c.Share.Measured, 1e-12)
	require.False(t, c.Share.Within)

	c, err = EndFloat{Bearing: 0.5 * in, Travel: 0.18 * in, Centre: 0.1 * in}.Judge()
	require.NoError(t, err)
	require.False(t, c.Inside)
	require.InDelta(t, 0.17, float64(c.Low/in), 1e-12)
	require.InDelta(t, -0.03, float64(c.High/in), 1e-12)

	// Exactly half is not less than half; exactly at the shoulder is inside.
	c, err = EndFloat{Bearing: 0.5 * in, Travel: 0.125 * in, Centre: 0.125 * in}.Judge()
	require.NoError(t, err)
	require.False(t, c.Share.Within)
	require.True(t, c.Inside)
	c, err = EndFloat{Bearing: 0.5 * in, Travel: 0.1249 * in}.Judge()
	require.NoError(t, err)
	require.True(t, c.Share.Within)
}

func TestEndFloatErrors(t *testing.T) {
	nan := unit.Length(math.NaN())
	for _, c := range []struct {
		e    EndFloat
		want error
	}{
		{EndFloat{}, align.ErrOutOfRange},
		{EndFloat{Bearing: 1e-300}, align.ErrOutOfRange},
		{EndFloat{Bearing: -1}, align.ErrNegative},
		{EndFloat{Bearing: nan}, align.ErrNotFinite},
		{EndFloat{Bearing: 0.01, Travel: -0.001}, align.ErrNegative},
		{EndFloat{Bearing: 0.01, Centre: nan}, align.ErrNotFinite},
	} {
		_, err := c.e.Judge()
		require.ErrorIs(t, err, c.want)
	}
}

// Both rows leave more float in the motor than the coupling lets through, by
// more than twice (from memory, NEMA MG 1, 20.30).
func TestEndFloatRowsAreMarked(t *testing.T) {
	for _, r := range EndFloatRows() {
		require.Equal(t, align.FromMemory, r.Coupling.Known)
		require.Contains(t, r.Coupling.String(), "from memory")
		c, err := EndFloat{Bearing: unit.Length(r.LeastFloat) * align.Inch, Travel: unit.Length(r.Coupling.SI()) / 2}.Judge()
		require.NoError(t, err)
		require.True(t, c.Inside)
		require.True(t, c.Share.Within)
	}
}
