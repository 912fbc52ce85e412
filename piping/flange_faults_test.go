package piping_test

import (
	"math"
	"testing"

	"collinear.example/align"
	"collinear.example/piping"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// Errors name the field with its place in the input and the value with its unit.
func TestFlangeErrorsNameTheField(t *testing.T) {
	pair := piping.FlangePair{Axis: align.AlongTrain(), Up: align.Upward()}
	joint := func() piping.FlangeJoint {
		return piping.FlangeJoint{
			Pair: pair, Faces: piping.FlangeSurvey{Gaps: gapsOf(3, 3, 3, 3), Diameter: 0.3},
			Rim:   &piping.RimSurvey{Steps: stepsOf(0, 0, 0, 0)},
			Holes: &piping.HoleSurvey{BoltCircle: 0.2, Holes: []piping.HoleStep{{}}},
		}
	}
	for _, c := range []struct {
		name  string
		fault align.Fault
		text  string
		edit  func(j *piping.FlangeJoint)
	}{
		{"gap", align.ErrNegative, "piping: faces.gaps[2].gap = -1.000 mm: ", func(j *piping.FlangeJoint) { j.Faces.Gaps[2].Gap = -milli }},
		{"diameter", align.ErrZeroDiameter, "piping: faces.diameter = 0.000 mm: ", func(j *piping.FlangeJoint) { j.Faces.Diameter = 0 }},
		{"positions", align.ErrTooFewPositions, "piping: faces.gaps = 2 different positions: ", func(j *piping.FlangeJoint) { j.Faces.Gaps = j.Faces.Gaps[:2] }},
		{"too many", align.ErrOutOfRange, "piping: faces.gaps = 361 positions: ", func(j *piping.FlangeJoint) { j.Faces.Gaps = make([]piping.Gap, 361) }},
		{"rim", align.ErrNotFinite, "piping: rim.steps[1].step = NaN m: ", func(j *piping.FlangeJoint) { j.Rim.Steps[1].Step = unit.Length(math.NaN()) }},
		{"one rim", align.ErrMissing, "give both outside diameters or none", func(j *piping.FlangeJoint) { j.Rim.PipeOD = 0.3 }},
		{"holes", align.ErrMissing, "piping: holes.holes: ", func(j *piping.FlangeJoint) { j.Holes.Holes = nil }},
		{"up", align.ErrOutOfRange, "12 o'clock lies across it", func(j *piping.FlangeJoint) { j.Pair.Up = align.AlongTrain() }},
		{"axis", align.ErrMissing, "piping: pair.axis: ", func(j *piping.FlangeJoint) { j.Pair.Axis = align.Direction{} }},
		{"long axis", align.ErrOutOfRange, "piping: pair.axis = 2 long: ", func(j *piping.FlangeJoint) { j.Pair.Axis = align.Direction{X: 2} }},
		{"centre", align.ErrOutOfRange, "piping: pair.centre.z = ", func(j *piping.FlangeJoint) { j.Pair.Centre.Z = 1e6 }},
	} {
		t.Run(c.name, func(t *testing.T) {
			j := joint()
			c.edit(&j)
			f, err := j.Solve()
			require.ErrorIs(t, err, c.fault)
			assert.Contains(t, err.Error(), c.text)
			assert.Equal(t, piping.JointFit{}, f)
		})
	}
	_, err := joint().Solve()
	require.NoError(t, err)
}

// Words for people: sizes with units, positions as hours, fit-up as what to do.
func TestFlangeWords(t *testing.T) {
	assert.Equal(t, "1.00 mm toward 3 o'clock", piping.Across{Right: milli}.String())
	assert.Equal(t, "1.000 mm/m, widest at 6 o'clock", piping.Tilt{Up: -0.001}.String())
	assert.Equal(t, "could be taken up by moving the machine", piping.FitByMoving.String())
	assert.Equal(t, "fit-up(9)", piping.FitUp(9).String())
	assert.Equal(t, "raised face OD", piping.ByRaisedFaceOD.String())
	assert.Equal(t, "", piping.PartName(piping.GoalParts))
	f := fitOf(t, piping.FlangeSurvey{Gaps: gapsOf(3, 3, 3.1), Diameter: 0.3})
	require.Len(t, f.Warnings, 1)
	assert.Contains(t, f.Warnings[0].String(), "three positions fit any plane")
}

// Whatever the numbers, a survey is an error with a code or finite.
func FuzzFlangeSurvey(f *testing.F) {
	f.Add(0.0, 90.0, 180.0, 270.0, 0.003, 0.0031, 0.0032, 0.0031, 0.3, 0.0)
	f.Add(0.0, 1e-7, 120.0, 240.0, 0.003, 0.0031, 0.0032, 0.0031, 1e-6, 1e-5)
	f.Add(1e300, -1e300, 35.0, 5.0, 100.0, 0.0, 100.0, 0.0, 100.0, 100.0)
	f.Add(359.9999999, 0.0, 15.0, 30.0, 5e-324, 0.0, 0.0, 0.0, 1.0, 1e-300)
	f.Fuzz(func(t *testing.T, a, b, c, d, g1, g2, g3, g4, diameter, sigma float64) {
		s := piping.FlangeSurvey{Diameter: unit.Length(diameter), Sigma: unit.Length(sigma)}
		r := piping.RimSurvey{Sigma: unit.Length(sigma)}
		h := piping.HoleSurvey{BoltCircle: unit.Length(diameter)}
		for _, v := range [...][2]float64{{a, g1}, {b, g2}, {c, g3}, {d, g4}} {
			at, g := align.Clock(v[0]), unit.Length(v[1])
			s.Gaps = append(s.Gaps, piping.Gap{At: at, Gap: g})
			r.Steps = append(r.Steps, piping.RimStep{At: at, Step: g})
			h.Holes = append(h.Holes, piping.HoleStep{At: at, Along: g})
		}
		fit, err := s.Solve()
		finiteOr(t, err, float64(fit.Mean), fit.Tilt.Size(), float64(fit.RMS), float64(fit.Worst), fit.Understates, fit.Covariance[1][1], fit.Covariance[1][2])
		if err == nil && (fit.Understates < -1e-9 || fit.Understates > 1) {
			t.Fatalf("understates %v", fit.Understates)
		}
		rim, err := r.Solve()
		finiteOr(t, err, float64(rim.Offset.Size()), float64(rim.RMS), rim.Covariance[0][0], rim.Covariance[0][1])
		holes, err := h.Solve(nil)
		finiteOr(t, err, holes.Rotation, float64(holes.RMS))
		joint := piping.FlangeJoint{Pair: piping.FlangePair{Axis: align.Upward(), Up: align.Rightward()}, Faces: s, Rim: &r, Holes: &h}
		joint.Faces.Gasket = &s.Sigma
		all, err := joint.Solve()
		if err != nil {
			finiteOr(t, err)
			return
		}
		goal, err := all.Goal(wide)
		finiteOr(t, err)
		if err != nil {
			return
		}
		m, err := piping.Compromise{Goals: []piping.NozzleGoal{goal}, Free: piping.AllWays()}.Solve()
		finiteOr(t, err, float64(m.Motion.Shift.X), m.Motion.Turn.Z, m.SumSquares)
	})
}

func finiteOr(t *testing.T, err error, values ...float64) {
	t.Helper()
	if err != nil {
		if align.CodeOf(err) == "" {
			t.Fatalf("error without a code: %v", err)
		}
		return
	}
	for i, v := range values {
		if !align.IsFinite(v) {
			t.Fatalf("value %d is %v", i, v)
		}
	}
}
