package runout_test

import (
	"math"
	"testing"

	"collinear.example/align"
	"collinear.example/runout"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// The unbalance of a disc bored off centre, summed over small pieces, is mass
// times eccentricity.
func TestUnbalanceOfABoredDisc(t *testing.T) {
	const radius, e, mass = 0.15, 50e-6, 12.0
	var area, moment float64
	const n = 400
	for i := range n {
		for j := range n {
			x, y := (2*float64(i)+1-n)/n*radius, (2*float64(j)+1-n)/n*radius
			if x*x+y*y < radius*radius {
				area++
				moment += x + e
			}
		}
	}
	u, err := runout.EccentricMass{Mass: mass, Eccentricity: e}.Unbalance()
	require.NoError(t, err)
	require.InEpsilon(t, moment/area*mass, float64(u), 1e-9)
	require.Equal(t, "600.0 g.mm", u.String())
}

// What a grade permits runs at that grade, and the force m e w^2 follows from
// either side.
func TestGradeRoundTrip(t *testing.T) {
	for _, g := range []runout.Grade{runout.G0p4, runout.G1, runout.G2p5, runout.G6p3, runout.G16, runout.G40, runout.G100, runout.G250, runout.G630, runout.G1600, runout.G4000} {
		for _, rpm := range []unit.Frequency{90, 1480, 2980, 12000} {
			r := runout.Running{Mass: 340, Speed: rpm * align.RPM}
			u, e, err := r.Permissible(g)
			require.NoError(t, err)
			got, err := r.Grade(u)
			require.NoError(t, err)
			require.InEpsilon(t, float64(g), float64(got), 1e-14)
			w := 2 * math.Pi * float64(r.Speed)
			require.InEpsilon(t, float64(r.Mass)*float64(g)*w, float64(u)*w*w, 1e-14)
			require.InEpsilon(t, float64(u), float64(e)*340, 1e-14)
			v, err := g.Limit().Judge(float64(got))
			require.NoError(t, err)
			require.True(t, v.Within, "%s at its own limit: %s", g, v)
			v, err = g.Limit().Judge(float64(got) * 1.001)
			require.NoError(t, err)
			require.False(t, v.Within)
		}
	}
	require.Equal(t, "6.30 mm/s", runout.G6p3.String())
	require.Equal(t, 6.3, runout.G6p3.Limit().Value)
}

// A hub weighs less than its rotor: the same unbalance is a smaller grade of
// the whole, in the ratio of the masses.
func TestGradeOfHubAndOfRotor(t *testing.T) {
	u, err := runout.EccentricMass{Mass: 8, Eccentricity: 25 * align.Micrometre}.Unbalance()
	require.NoError(t, err)
	hub, err := runout.Running{Mass: 8, Speed: 50}.Grade(u)
	require.NoError(t, err)
	require.InEpsilon(t, 25e-6*100*math.Pi, float64(hub), 1e-14)
	rotor, err := runout.Running{Mass: 80, Speed: 50}.Grade(-u)
	require.NoError(t, err)
	require.InEpsilon(t, float64(hub)/10, float64(rotor), 1e-14)
}

func TestUnbalanceRefused(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for name, c := range map[string]struct {
		m    runout.EccentricMass
		want error
	}{
		"mass":             {runout.EccentricMass{Mass: -1}, align.ErrNegative},
		"mass nan":         {runout.EccentricMass{Mass: unit.Mass(nan)}, align.ErrNotFinite},
		"eccentricity":     {runout.EccentricMass{Mass: 1, Eccentricity: -1e-6}, align.ErrNegative},
		"eccentricity inf": {runout.EccentricMass{Mass: 1, Eccentricity: unit.Length(inf)}, align.ErrNotFinite},
		"result overflows": {runout.EccentricMass{Mass: 1e200, Eccentricity: 1e200}, align.ErrOutOfRange},
	} {
		_, err := c.m.Unbalance()
		require.ErrorIs(t, err, c.want, name)
	}
	for name, c := range map[string]struct {
		r    runout.Running
		want error
	}{
		"no mass":        {runout.Running{Speed: 25}, align.ErrOutOfRange},
		"no speed":       {runout.Running{Mass: 1}, align.ErrOutOfRange},
		"negative speed": {runout.Running{Mass: 1, Speed: -25}, align.ErrNegative},
		"speed nan":      {runout.Running{Mass: 1, Speed: unit.Frequency(nan)}, align.ErrNotFinite},
		"speed huge":     {runout.Running{Mass: 1, Speed: 1e308}, align.ErrOutOfRange},
		"tiny":           {runout.Running{Mass: 5e-324, Speed: 25}, align.ErrOutOfRange},
	} {
		_, err := c.r.Grade(1)
		require.ErrorIs(t, err, c.want, name)
	}
	r := runout.Running{Mass: 1, Speed: 25}
	_, err := r.Grade(runout.Unbalance(inf))
	require.ErrorIs(t, err, align.ErrNotFinite)
	_, _, err = r.Permissible(-1)
	require.ErrorIs(t, err, align.ErrNegative)
	_, _, err = runout.Running{Mass: 1, Speed: 1e-320}.Permissible(runout.G6p3)
	require.ErrorIs(t, err, align.ErrOutOfRange)
}

func BenchmarkGrade(b *testing.B) {
	m, r := runout.EccentricMass{Mass: 8, Eccentricity: 25e-6}, runout.Running{Mass: 80, Speed: 50}
	b.ReportAllocs()
	for b.Loop() {
		u, err := m.Unbalance()
		if err != nil {
			b.Fatal(err)
		}
		g, err := r.Grade(u)
		if err != nil {
			b.Fatal(err)
		}
		keep += float64(g)
	}
}
