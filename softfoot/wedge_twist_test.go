package softfoot_test

import (
	"testing"

	"collinear.example/align"
	"collinear.example/softfoot"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// Only a face read at its four corners has a twist; what was not read there is not a
// twist of nothing.
func TestTwistIsKnownFromCornersAlone(t *testing.T) {
	const mm = align.Millimetre
	corners := func(along float64) softfoot.FootFace {
		f := softfoot.FootFace{Length: 100 * mm, Width: 80 * mm}
		for _, c := range [][3]float64{{-1, -1, 0.10}, {-1, 1, 0.05}, {1, -1, 0.02}, {1, 1, 0.01}} {
			f.Gaps = append(f.Gaps, softfoot.GapPoint{Along: mm * unit.Length(c[0]*along), Across: mm * unit.Length(c[1]*40), Gap: mm * unit.Length(c[2])})
		}
		return f
	}
	w, err := corners(50).Wedge()
	require.NoError(t, err)
	assert.True(t, w.TwistKnown)
	assert.InDelta(t, 0.04, float64(w.Twist/mm), 1e-12) // 0.10 - 0.05 - 0.02 + 0.01
	w, err = corners(40).Wedge()
	require.NoError(t, err)
	assert.False(t, w.TwistKnown)
	assert.Zero(t, w.Twist)
}
