package moves_test

import (
	"testing"

	"collinear.example/align"
	"collinear.example/moves"
	"collinear.example/softfoot"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// Leaves that come out are told thickest first, in whatever order they lie: of
// 0.1, 0.5, 0.2 and 1 mm all but the last, when 1 mm is to stay.
func TestLeavesComeOutThickestFirst(t *testing.T) {
	mm := func(v ...float64) (out []unit.Length) {
		for _, x := range v {
			out = append(out, unit.Length(x)*align.Millimetre)
		}
		return out
	}
	stock := softfoot.ShimStock{Leaves: mm(0.1), MaxLeaves: 4}
	p, warnings, err := moves.PackJob{Present: mm(0.1, 0.5, 0.2, 1), Change: -0.8 * align.Millimetre}.Plan(stock)
	require.NoError(t, err)
	require.Empty(t, warnings)
	require.Empty(t, p.In)
	require.Equal(t, mm(0.5, 0.2, 0.1), p.Out)
	require.Equal(t, mm(1), p.Pack)
	require.InDelta(t, 1e-3, float64(p.Total), 1e-15)
}
