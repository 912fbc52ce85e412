package corpus

import (
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/require"
)

// A direction a hair short of a whole turn agrees with none at all; a figure that is
// no direction does not.
func TestDirectionsAreComparedModuloATurn(t *testing.T) {
	require.InDelta(t, -1e-6, turned("high-spot", align.UnitDegree, 359.999999), 1e-9)
	require.InDelta(t, 1e-6, turned("second.high-spot", align.UnitDegree, 180.000001), 1e-9)
	require.InDelta(t, 180, turned("high-spot", align.UnitDegree, 180), 1e-9)
	require.Equal(t, 360.0, turned("tilt", align.UnitDegree, 360))
	require.Equal(t, 360.0, turned("high-spot", align.UnitMillimetre, 360))
}
