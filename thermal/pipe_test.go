package thermal_test

import (
	"math"
	"testing"

	"collinear.example/align"
	"collinear.example/thermal"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

func pipeLeg(m thermal.Material, x, y, z unit.Length, cold, hot unit.Temperature) thermal.Leg {
	return thermal.Leg{Way: align.Displacement{X: x, Y: y, Z: z}, Material: m, Cold: cold, Hot: hot}
}

func expansion(t testing.TB, legs ...thermal.Leg) align.Displacement {
	t.Helper()
	d, err := thermal.PipeRun{Legs: legs}.FreeExpansion()
	require.NoError(t, err)
	return d
}

func requireNear(t testing.TB, want, got align.Displacement) {
	t.Helper()
	require.InDelta(t, float64(want.X), float64(got.X), 1e-15)
	require.InDelta(t, float64(want.Y), float64(got.Y), 1e-15)
	require.InDelta(t, float64(want.Z), float64(got.Z), 1e-15)
}

// At one temperature only anchor and nozzle count, not the route.
func TestRouteDoesNotMatter(t *testing.T) {
	m := variant(t, "carbon steel", "mean from 70")
	leg := func(x, y, z unit.Length) thermal.Leg { return pipeLeg(m, x, y, z, 294, 450) }
	straight := expansion(t, leg(3, -1, 2))
	requireNear(t, straight, expansion(t, leg(3, 0, 0), leg(0, -1, 0), leg(0, 0, 2)))
	requireNear(t, straight, expansion(t, leg(0, 5, 2), leg(3, -6, 0)))
	e := unit.Length(strain(t, m, 294, 450))
	requireNear(t, align.Displacement{X: 3 * e, Y: -e, Z: 2 * e}, straight)
	require.InDelta(t, float64(e)*math.Sqrt(14), float64(straight.Size()), 1e-15)
}

// Seen from the other side of the train z turns round and nothing else.
func TestPipeMirror(t *testing.T) {
	m := variant(t, "copper", "")
	a := expansion(t, pipeLeg(m, 1, 2, 3, 290, 350), pipeLeg(m, 0, 1, -5, 290, 340))
	b := expansion(t, pipeLeg(m, 1, 2, -3, 290, 350), pipeLeg(m, 0, 1, 5, 290, 340))
	a.Z = -a.Z
	requireNear(t, a, b)
}

func TestPipeWarnsOutOfTable(t *testing.T) {
	m := variant(t, "carbon steel", "mean from 70")
	run := thermal.PipeRun{Legs: []thermal.Leg{
		pipeLeg(m, 1, 0, 0, 295, 400), pipeLeg(m, 1, 0, 0, 280, 400), pipeLeg(m, 0, 0, 0, 280, 400),
	}}
	ws := run.Warnings()
	require.Len(t, ws, 1)
	require.Equal(t, "legs[1].cold", ws[0].Field)
}

func TestBadPipes(t *testing.T) {
	m := variant(t, "copper", "")
	nan := unit.Length(math.NaN())
	for _, c := range []struct {
		field string
		leg   thermal.Leg
		fault align.Fault
	}{
		{"legs[0].way", pipeLeg(m, 0, 0, 0, 290, 300), align.ErrMissing},
		{"legs[0].way.x", pipeLeg(m, nan, 0, 0, 290, 300), align.ErrNotFinite},
		{"legs[0].way.y", pipeLeg(m, 0, -1e9, 0, 290, 300), align.ErrOutOfRange},
		{"legs[0].way.z", pipeLeg(m, 0, 0, nan, 290, 300), align.ErrNotFinite},
		{"legs[0].material.kind", pipeLeg(thermal.Material{}, 1, 0, 0, 290, 300), align.ErrMissing},
		{"legs[0].cold", pipeLeg(m, 1, 0, 0, 0, 300), align.ErrMissing},
		{"legs[0].hot", pipeLeg(m, 1, 0, 0, 290, -1), align.ErrOutOfRange},
	} {
		_, err := thermal.PipeRun{Legs: []thermal.Leg{c.leg}}.FreeExpansion()
		require.ErrorIs(t, err, c.fault)
		var e *align.InputError
		require.ErrorAs(t, err, &e)
		require.Equal(t, c.field, e.Field)
	}
	_, err := thermal.PipeRun{}.FreeExpansion()
	require.ErrorIs(t, err, align.ErrMissing)
}
