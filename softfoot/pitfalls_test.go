package softfoot_test

import (
	"testing"

	"collinear.example/softfoot"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// The usual mistakes at four feet, each with what it leaves behind, by the
// formula of the twist; the right plans leave none.
func TestMistakesAtFourFeet(t *testing.T) {
	const w = 0.4e-3
	start := []unit.Length{0, 0, 0, -w} // the fourth pad is low: twist w
	for name, c := range map[string]struct {
		shims [4]unit.Length
		left  float64
	}{
		"full gap at one foot":                      {[4]unit.Length{0, 0, 0, w}, 0},
		"full gap at the other foot of it":          {[4]unit.Length{0, w, 0, 0}, 0},
		"half at both":                              {[4]unit.Length{0, w / 2, 0, w / 2}, 0},
		"full gap at both feet of the diagonal":     {[4]unit.Length{0, w, 0, w}, -w},
		"the tight diagonal, one foot":              {[4]unit.Length{w, 0, 0, 0}, 2 * w},
		"sum of both rises at one foot":             {[4]unit.Length{0, 0, 0, 2 * w}, -w},
		"a quarter at one foot, from least squares": {[4]unit.Length{0, 0, 0, w / 4}, 0.75 * w},
		"a quarter at all, each its own sign":       {[4]unit.Length{-w / 4, w / 4, -w / 4, w / 4}, 0},
	} {
		t.Run(name, func(t *testing.T) {
			m := oblong()
			for i, h := range start {
				m.Heights = append(m.Heights, h+c.shims[i])
			}
			left, err := m.Twist()
			require.NoError(t, err)
			assert.InDelta(t, c.left, float64(left), 1e-12)
			seat, err := m.Seat()
			require.NoError(t, err)
			assert.Equal(t, c.left == 0, seat.Flat())
			if c.left != 0 {
				// One foot of the low diagonal hangs by the whole twist.
				var gap float64
				for i := range m.Feet {
					gap = max(gap, float64(seat.Gap(0, i)))
				}
				assert.InDelta(t, max(c.left, -c.left), gap, 1e-12)
			}
		})
	}
}

// Both feet of the low diagonal of a rigid machine rise by the twist when
// loosened: the shims named are not to be added up nor all put in, and the
// warning says so. A rise is not halved.
func TestRisesOfATwist(t *testing.T) {
	e, err := softfoot.Rises{Feet: four, Rise: inches(0, 0.012, 0, 0.012)}.Excess()
	require.NoError(t, err)
	assert.InDelta(t, 0.012*0.0254, float64(e.Shim[1]), 1e-12)
	assert.InDelta(t, 0.012*0.0254, float64(e.Shim[3]), 1e-12)
	require.Len(t, e.Warnings, 1)
	assert.Equal(t, softfoot.WarnDiagonalPair, e.Warnings[0].Code)
}
