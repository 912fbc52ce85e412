package moves_test

import (
	"math"
	"testing"

	"collinear.example/moves"
	"collinear.example/softfoot"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// Ranges and warnings of packs.

// The room at a foot by its shims: down to what must stay, up to what may come.
func TestRangeOfShims(t *testing.T) {
	at := func(v *unit.Length) float64 {
		if v == nil {
			return math.Inf(1)
		}
		return float64(*v)
	}
	for _, c := range []struct {
		shims    moves.Shims
		down, up float64
	}{
		{moves.Shims{Present: 5}, 5, math.Inf(1)},
		{moves.Shims{Present: 5, Least: 2}, 3, math.Inf(1)},
		{moves.Shims{Present: 5, Least: 6, Most: 8}, 0, 3},
		{moves.Shims{Present: 5, Most: 4}, 5, 0},
	} {
		r := c.shims.Range()
		assert.Equal(t, c.down, at(r.Down))
		assert.Equal(t, c.up, at(r.Up))
		assert.Nil(t, r.Left)
		assert.Nil(t, r.Right)
	}
	h := moves.Held()
	assert.Equal(t, [4]float64{}, [4]float64{at(h.Down), at(h.Up), at(h.Left), at(h.Right)})
	w := moves.Within(1, 2, 3, 4)
	assert.Equal(t, [4]float64{1, 2, 3, 4}, [4]float64{at(w.Down), at(w.Up), at(w.Left), at(w.Right)})
	for _, planes := range [][2]unit.Length{{1, 1.5}, {1.5, 1}} {
		for i, l := range moves.FlexPlanes(planes[0], planes[1], 0.002, true, "invented") {
			assert.Equal(t, planes[i], l.Station)
			assert.InDelta(t, 1e-3, float64(l.Limit), 1e-18)
			assert.True(t, l.Resultant)
			assert.Equal(t, "invented", l.Source)
		}
	}
}

// A pack one leaf off by rounding is near enough, and the limits are those of the
// job.
func TestPackWarnings(t *testing.T) {
	stock := softfoot.ShimStock{Leaves: leaves(100), MaxLeaves: 6, Within: 0.04e-3}
	for change, want := range map[float64]int{0.1e-3: 0, 0.14e-3: 0, 0.145e-3: 1} {
		_, ws, err := moves.PackJob{Present: leaves(100), Change: unit.Length(change)}.Plan(stock)
		require.NoError(t, err)
		assert.Len(t, ws, want, change)
		if want == 1 {
			assert.Equal(t, softfoot.WarnShimResidual, ws[0].Code)
			assert.InDelta(t, 0.045e-3, ws[0].Value, 1e-12)
			assert.InDelta(t, 0.04e-3, ws[0].Limit, 1e-12)
		}
	}
	p, ws, err := moves.PackJob{Present: leaves(100), Change: 0.065e-3, Most: 0.18e-3}.Plan(stock)
	require.NoError(t, err)
	require.Len(t, ws, 1)
	assert.Equal(t, moves.WarnPackLimit, ws[0].Code)
	assert.InDelta(t, 0.2e-3, ws[0].Value, 1e-12)
	assert.InDelta(t, 0.18e-3, ws[0].Limit, 1e-12)
	assert.InDelta(t, 0.035e-3, float64(p.Error), 1e-12)
	assert.Equal(t, "put in 0.100 mm; from the bottom 0.100 mm, 0.100 mm", p.String())
	assert.Equal(t, "leave the shims", moves.PackPlan{}.String())
}

// Of two packs that are off by as much, one over and one under, the thinner one is
// chosen, whichever leaf lies first.
func TestPackTakesTheThinnerOfTwo(t *testing.T) {
	for _, present := range [][]unit.Length{leaves(200, 300), leaves(300, 200)} {
		p, _, err := moves.PackJob{Present: present, Change: -0.25e-3}.Plan(softfoot.ShimStock{Leaves: leaves(700), MaxLeaves: 6, Within: 0.06e-3})
		require.NoError(t, err)
		assert.InDelta(t, 0.2e-3, float64(p.Total), 1e-15)
		assert.InDelta(t, -0.05e-3, float64(p.Error), 1e-15)
	}
}
