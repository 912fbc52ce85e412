package piping_test

import (
	"testing"

	"collinear.example/align"
	"collinear.example/piping"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

func limitsOf(t testing.TB, rule piping.FlangeRule, s piping.FlangeSize) piping.FlangeLimits {
	t.Helper()
	l, err := piping.FlangeLimitsOf(rule, s)
	require.NoError(t, err)
	return l
}

// RP 686 and B31.3 side by side over flange sizes, as computed from the printed
// rules: the machine rule is about five times stricter.
func TestFlangeRulesCompared(t *testing.T) {
	inches := []float64{6, 7.5, 9, 11, 13.5, 16, 19, 24, 30}
	machine := []float64{0.25, 0.25, 0.25, 0.279, 0.343, 0.406, 0.483, 0.61, 0.75}
	code := []float64{0.762, 0.953, 1.143, 1.397, 1.715, 2.032, 2.413, 3.048, 3.81}
	for i, in := range inches {
		d := unit.Length(in) * align.Inch
		s := piping.FlangeSize{FlangeOD: d, Reference: piping.ByFlangeOD}
		assert.InDelta(t, machine[i], limitsOf(t, piping.RP686Flange, s).Parallel.Limit.Value, 5.1e-4)
		slope := limitsOf(t, piping.B313FlangeSI, s).Parallel.Limit.SI()
		assert.InDelta(t, code[i], slope*float64(d/milli), 5.1e-4)
	}
}

// The inch text of B31.3 allows 1/16 in per foot: 4.2 percent more than 1 mm in
// 200 mm. Both are for each face, so a pair may differ by twice.
func TestB313UnitSystemsDiffer(t *testing.T) {
	s := piping.FlangeSize{FlangeOD: 0.4}
	si, us := limitsOf(t, piping.B313FlangeSI, s).Parallel, limitsOf(t, piping.B313FlangeUS, s).Parallel
	assert.InDelta(t, 0.005, si.Limit.SI(), 1e-15)
	assert.InDelta(t, 4.1667, 100*(us.Limit.SI()/si.Limit.SI()-1), 1e-3)
	v, err := si.Judge(piping.Tilt{Up: 0.0099})
	require.NoError(t, err)
	assert.True(t, v.Within)
	v, err = si.Judge(piping.Tilt{Right: 0.0101})
	require.NoError(t, err)
	assert.False(t, v.Within)
}

// The flange of the technical inquiry: 24 in outside diameter, raised face 15 in.
// Which the rule multiplies makes 0.024 or 0.015 in, and is asked.
func TestReferenceDiameterIsAsked(t *testing.T) {
	s := piping.FlangeSize{FlangeOD: 24 * align.Inch, RaisedFaceOD: 15 * align.Inch}
	_, err := piping.FlangeLimitsOf(piping.RP686Flange, s)
	require.ErrorIs(t, err, align.ErrMissing)
	assert.Contains(t, err.Error(), "piping: reference")
	s.Reference = piping.ByFlangeOD
	assert.InDelta(t, 0.024, align.UnitInch.FromSI(limitsOf(t, piping.RP686Flange, s).Parallel.Limit.SI()), 1e-12)
	s.Reference = piping.ByRaisedFaceOD
	l := limitsOf(t, piping.RP686Flange, s)
	assert.InDelta(t, 0.015, align.UnitInch.FromSI(l.Parallel.Limit.SI()), 1e-12)
	assert.InDelta(t, 15, float64(l.Parallel.Over/align.Inch), 1e-12)
}

func aJoint(gap, opening, up float64) piping.Misfit {
	gasket, turn := 3*milli, 0.001
	return piping.Misfit{
		Pair: piping.FlangePair{Name: "suction", Axis: align.AlongTrain(), Up: align.Upward()},
		Mean: unit.Length(gap) * milli, Gasket: &gasket, Tilt: piping.Tilt{Up: opening / 400},
		Offset: &piping.Across{Up: unit.Length(up) * milli}, Rotation: &turn,
	}
}

// The practical class goes by the rule first and by the threshold then.
func TestFitUp(t *testing.T) {
	size := piping.FlangeSize{FlangeOD: 0.4, BoltCircle: 0.36, Reference: piping.ByFlangeOD}
	l := limitsOf(t, piping.RP686Flange, size)
	for _, c := range []struct {
		name string
		m    piping.Misfit
		want piping.FitUp
		over []piping.FlangeQuantity
	}{
		{"good", aJoint(3.5, 0.2, 0.5), piping.FitWithin, nil},
		{"gap less gasket just within", aJoint(4.5, 0.2, 0.5), piping.FitWithin, nil},
		{"gap", aJoint(4.6, 0.2, 0.5), piping.FitByMoving, []piping.FlangeQuantity{piping.GapError}},
		{"too narrow", aJoint(1.4, 0.2, 0.5), piping.FitByMoving, []piping.FlangeQuantity{piping.GapError}},
		{"parallelism", aJoint(3, 0.41, 0.5), piping.FitByMoving, []piping.FlangeQuantity{piping.Parallelism}},
		{"holes, by offset and rotation together", aJoint(3, 0, 1.33), piping.FitByMoving, []piping.FlangeQuantity{piping.HoleOffset}},
		{"far off", aJoint(3, 0, 6.4), piping.FitByCutting, []piping.FlangeQuantity{piping.HoleOffset}},
		{"a quarter inch", aJoint(3, 0, 6.35), piping.FitByMoving, []piping.FlangeQuantity{piping.HoleOffset}},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, err := c.m.Judge(l, 0)
			require.NoError(t, err)
			assert.Equal(t, c.want, r.Fit, r.Fit.String())
			var over []piping.FlangeQuantity
			for _, v := range r.Verdicts {
				if !v.Within {
					over = append(over, v.Quantity)
				}
			}
			assert.Equal(t, c.over, over)
			assert.Len(t, r.Verdicts, 3)
		})
	}
	unmeasured := aJoint(3, 0.2, 0)
	unmeasured.Rotation = nil
	r, err := unmeasured.Judge(l, 0)
	require.NoError(t, err)
	assert.Equal(t, piping.FitUndecided, r.Fit)
	assert.Equal(t, []piping.FlangeQuantity{piping.HoleOffset}, r.Unjudged)
	r, err = aJoint(3, 0, 1.5).Judge(l, 1*milli)
	require.NoError(t, err)
	assert.Equal(t, piping.FitByCutting, r.Fit)
}

// A joint left at its tolerances in every part at once is within the rule.
func TestTolerancesKeepTheRule(t *testing.T) {
	gasket := 2 * milli
	size := piping.FlangeSize{FlangeOD: 0.4, RaisedFaceOD: 0.3, BoltCircle: 0.36, Reference: piping.ByRaisedFaceOD, Gasket: &gasket}
	for _, rule := range []piping.FlangeRule{piping.RP686Flange, piping.B313FlangeSI, piping.B313FlangeUS, piping.PCC1FlangeSI,
		piping.PCC1FlangeUS, piping.HandbookFlange, piping.OwnerMachinery, piping.OwnerPipeToPipe} {
		l := limitsOf(t, rule, size)
		tol := l.Tolerances()
		for _, k := range []float64{0.999, 1.5} {
			turn := k * tol.Rotation
			m := piping.Misfit{
				Pair: piping.FlangePair{Axis: align.AlongTrain(), Up: align.Upward()}, Mean: gasket + unit.Length(k)*tol.Gap, Gasket: &gasket,
				Tilt:   piping.Tilt{Up: k * tol.Tilt, Right: -k * tol.Tilt},
				Offset: &piping.Across{Up: -unit.Length(k) * tol.Offset, Right: unit.Length(k) * tol.Offset}, Rotation: &turn,
			}
			r, err := m.Judge(l, 0)
			require.NoError(t, err)
			require.NotEmpty(t, r.Verdicts)
			assert.Equal(t, k < 1, r.Fit == piping.FitWithin, "%s %g: %v", rule, k, r.Verdicts)
			if k > 1 && rule == piping.RP686Flange {
				for _, v := range r.Verdicts {
					assert.False(t, v.Within, v.Quantity)
				}
			}
		}
	}
}
