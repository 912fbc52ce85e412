package piping_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"collinear.example/piping"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

func stepsOf(values ...float64) []piping.RimStep {
	out := make([]piping.RimStep, len(values))
	for i, v := range values {
		out[i] = piping.RimStep{At: align.Clock(360 * float64(i) / float64(len(values))), Step: unit.Length(v) * milli}
	}
	return out
}

// A pipe flange 1 mm high and 0.4 mm toward 9 o'clock stands outside at 12 and
// inside at 6; four readings cancel a difference of diameters.
func TestRimSigns(t *testing.T) {
	for _, c := range []struct {
		name string
		s    piping.RimSurvey
		half float64
	}{
		{"equal diameters", piping.RimSurvey{Steps: stepsOf(1, -0.4, -1, 0.4)}, 0},
		{"given diameters", piping.RimSurvey{Steps: stepsOf(1.5, 0.1, -0.5, 0.9), MachineOD: 0.3, PipeOD: 0.301}, 0.5},
		{"diameters to be found", piping.RimSurvey{Steps: stepsOf(1.5, 0.1, -0.5, 0.9), FitODs: true}, 0.5},
	} {
		t.Run(c.name, func(t *testing.T) {
			f, err := c.s.Solve()
			require.NoError(t, err)
			assert.True(t, f.BothKnown)
			assert.InDelta(t, 1, float64(f.Offset.Up/milli), 1e-9)
			assert.InDelta(t, -0.4, float64(f.Offset.Right/milli), 1e-9)
			assert.InDelta(t, c.half, float64(f.HalfDifference/milli), 1e-9)
			assert.InDelta(t, 0, float64(f.RMS/milli), 1e-9)
			m, err := c.s.Mirrored().Solve()
			require.NoError(t, err)
			assert.InDelta(t, 0.4, float64(m.Offset.Right/milli), 1e-9)
		})
	}
}

// Readings on one diameter give the offset along it and say that the rest is open.
func TestRimOneDirection(t *testing.T) {
	s := piping.RimSurvey{Steps: []piping.RimStep{{At: 45, Step: 0.3 * milli}, {At: 225, Step: -0.3 * milli}}}
	f, err := s.Solve()
	require.NoError(t, err)
	assert.False(t, f.BothKnown)
	assert.InDelta(t, 0.3*math.Sqrt2/2, float64(f.Offset.Up/milli), 1e-9)
	assert.InDelta(t, 0.3*math.Sqrt2/2, float64(f.Offset.Right/milli), 1e-9)
	require.Len(t, f.Warnings, 1)
	assert.Equal(t, align.WarnOnePlane, f.Warnings[0].Code)
	j := piping.FlangeJoint{Pair: piping.FlangePair{Axis: align.AlongTrain(), Up: align.Upward()},
		Faces: piping.FlangeSurvey{Gaps: gapsOf(3, 3, 3, 3), Diameter: 0.2}, Rim: &s}
	assert.Nil(t, solved(t, j).Offset) // half an offset is none
}

// The standard uncertainty of the offset is that of many repeated surveys.
func TestRimCovarianceBySimulation(t *testing.T) {
	draw := rand.New(rand.NewPCG(11, 1))
	at := []align.Clock{0, 40, 100, 190}
	const rounds, sigma = 20000, 1e-4
	var up, right, both float64
	var f piping.CentreFit
	for range rounds {
		s := piping.RimSurvey{Sigma: sigma}
		for _, c := range at {
			s.Steps = append(s.Steps, piping.RimStep{At: c, Step: unit.Length(sigma * draw.NormFloat64())})
		}
		var err error
		f, err = s.Solve()
		require.NoError(t, err)
		u, r := float64(f.Offset.Up), float64(f.Offset.Right)
		up, right, both = up+u*u/rounds, right+r*r/rounds, both+u*r/rounds
	}
	assert.InEpsilon(t, f.Covariance[0][0], up, 0.05) // five standard deviations of a variance of 20000
	assert.InEpsilon(t, f.Covariance[1][1], right, 0.05)
	assert.InDelta(t, f.Covariance[0][1], both, 0.05*math.Sqrt(up*right))
}

// Holes all round cancel an offset of the centres, one hole does not, and the
// offset given sets it right.
func TestHolesAndOffset(t *testing.T) {
	const turn, radius = 0.004, 0.15
	e := piping.Across{Up: 0.8 * milli, Right: -0.3 * milli}
	hole := func(at align.Clock) piping.HoleStep {
		sin, cos := math.Sincos(float64(at) * math.Pi / 180)
		return piping.HoleStep{At: at, Along: unit.Length(radius*turn - float64(e.Up)*sin + float64(e.Right)*cos)}
	}
	all := piping.HoleSurvey{BoltCircle: 2 * radius}
	for k := range 8 {
		all.Holes = append(all.Holes, hole(align.Clock(45*k)))
	}
	f, err := all.Solve(nil)
	require.NoError(t, err)
	assert.InDelta(t, turn, f.Rotation, 1e-12)
	assert.Empty(t, f.Warnings)
	m, err := all.Mirrored().Solve(nil)
	require.NoError(t, err)
	assert.InDelta(t, -turn, m.Rotation, 1e-12)

	one := piping.HoleSurvey{BoltCircle: 2 * radius, Holes: []piping.HoleStep{hole(90)}}
	f, err = one.Solve(nil)
	require.NoError(t, err)
	assert.InDelta(t, turn-float64(e.Up)/radius, f.Rotation, 1e-12)
	require.Len(t, f.Warnings, 1)
	assert.Equal(t, piping.WarnUnbalancedHoles, f.Warnings[0].Code)
	f, err = one.Solve(&e)
	require.NoError(t, err)
	assert.InDelta(t, turn, f.Rotation, 1e-12)
	assert.InDelta(t, radius*turn, float64(f.Arc), 1e-15)
	assert.Empty(t, f.Warnings)
}
