package worksheet

import (
	"math"
	"testing"

	"collinear.example/align"
	"collinear.example/softfoot"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Slopes, flatness, elevation and all verdicts are those of package softfoot.
func TestBaseAgainstLibrary(t *testing.T) {
	judged := map[string]bool{}
	eachFootJob(t, baseKind(), func(t *testing.T, j footJob) {
		s, err := j.r.survey()
		require.NoError(t, err)
		j.same(t, "slope.along", s.Plane.SlopeAlong)
		if j.s.has("slope.across") {
			j.same(t, "slope.across", s.Plane.SlopeAcross)
		}
		if j.s.has("elevation") {
			j.same(t, "elevation", float64(s.Elevation))
		}
		if j.s.has("flat") {
			// The minimum zone is an iteration and holds to a picometre or so.
			assert.InDelta(t, float64(s.Flatness), j.v["flat"], 1e-12)
			assert.InDelta(t, float64(s.Coplanarity), j.v["flat"], 1e-15)
		}
		if j.s.has("flat.over") {
			assert.InDelta(t, s.FlatnessPerLength(), j.v["flat.over"], 1e-12)
		}
		l, err := softfoot.BaseProfile(j.r.Base.Limits)
		require.NoError(t, err)
		verdicts, err := s.Judge(l)
		require.NoError(t, err)
		steps := map[string]string{"level-along": "level.along", "level-across": "level.across", "elevation": "elevation.verdict", "flatness": "flatness", "coplanarity": "coplanar"}
		for _, v := range verdicts {
			step := steps[v.Quantity]
			if !j.s.has(step) {
				continue // a base that rises along alone
			}
			assert.Equal(t, v.Within, j.choice(step) == "within", v.Quantity)
			judged[step+" "+j.choice(step)] = true
		}
	})
	for _, q := range []string{"level.along", "level.across", "elevation.verdict", "flatness", "coplanar"} {
		assert.True(t, judged[q+" within"] && judged[q+" over"], "%s falls either way", q)
	}
}

// handBase: pads 1500 mm apart along and 800 across at 0.10, 0.14, 0.02 and 0.10 mm
// in the order of basePads, given in another order.
func handBase(limits string) *Record {
	r := handWedge()
	r.Gaps, r.Stock = nil, nil
	r.Base = &BaseSurvey{Limits: limits, Points: []BasePoint{
		{Pad: "a", Station: 1500, Lateral: 400, Height: 0.10}, {Pad: "b", Station: 0, Lateral: -400, Height: 0.10},
		{Pad: "c", Station: 0, Lateral: 400, Height: 0.14}, {Pad: "d", Station: 1500, Lateral: -400, Height: 0.02},
	}}
	return r
}

// By hand: along (0.02 + 0.10 - 0.10 - 0.14)/2 = -0.06 mm, over 1500 mm -40 um/m,
// within 42; across (0.14 + 0.10 - 0.10 - 0.02)/2 = 0.06, over 800 mm 75 um/m, over;
// highest less lowest 0.12 mm, within 0.13. Twist 0.10 + 0.10 - 0.14 - 0.02 = 0.04,
// flat within 0.02, over the diagonal of 1700 mm 0.0118 mm/m, within 0.15.
func TestBaseByHand(t *testing.T) {
	for limits, answers := range map[string]map[string]string{
		"api-686": {"rise.along": "low 0.06", "slope.along": "-40", "level.along": "within", "rise.across": "high 0.06", "slope.across": "75", "level.across": "over",
			"elevation": "0.12", "elevation.verdict": "within"},
		"api-618": {"rise.along": "low 0.06", "slope.along": "-0.04", "rise.across": "high 0.06", "slope.across": "0.075",
			"twist": "0.04 high", "flat": "0.02", "flat.over": "0.0118", "flatness": "within"},
		"pumping-handbook": {"rise.along": "low 0.06", "slope.along": "-0.00048", "level.along": "within", "rise.across": "high 0.06", "slope.across": "0.0009", "level.across": "within",
			"twist": "0.04 high", "flat": "0.02", "coplanar": "within"},
	} {
		r := handBase(limits)
		require.NoError(t, r.Check())
		e, err := NewExercise("base-level", r)
		require.NoError(t, err)
		m, err := e.Mark(answers, UsualCredits())
		require.NoError(t, err)
		assert.True(t, m.Full(), "%s: %+v", limits, m.Marks)
	}
	e, err := NewExercise("base-level", handBase("api-618"))
	require.NoError(t, err)
	for code, want := range map[string][2]string{
		"level-in-flatness":   {"flat", "0.120 mm"},
		"twist-for-flatness":  {"flat", "0.040 mm"},
		"length-for-diagonal": {"flat.over", "0.0133 mm/m"},
		"corners-added":       {"rise.along", "low 0.120 mm"},
		"highest-less-lowest": {"rise.along", "low 0.120 mm"},
	} {
		got, err := e.AnswersWith(code)
		require.NoError(t, err)
		assert.Equal(t, want[1], got[want[0]], code)
	}
}

func TestBaseFaults(t *testing.T) {
	for name, c := range map[string]struct {
		spoil func(r *Record)
		want  align.Fault
	}{
		"unknown limits": {func(r *Record) { r.Base.Limits = "none" }, align.ErrUnknownKind},
		"three points":   {func(r *Record) { r.Base.Points = r.Base.Points[:3] }, align.ErrMismatch},
		"a trapezium":    {func(r *Record) { r.Base.Points[0].Lateral = 300 }, softfoot.ErrNotRectangle},
		"all in one":     {func(r *Record) { r.Base.Points = []BasePoint{{}, {}, {}, {}} }, softfoot.ErrNotRectangle},
		"no pad":         {func(r *Record) { r.Base.Points[0].Pad = "" }, align.ErrMissing},
		"no number":      {func(r *Record) { r.Base.Points[0].Height = math.NaN() }, align.ErrNotFinite},
		"no place":       {func(r *Record) { r.Base.Points[0].Station = math.NaN() }, softfoot.ErrNotRectangle},
	} {
		r := handBase("api-686")
		c.spoil(r)
		_, err := baseSheet(r)
		assert.Equal(t, string(c.want), align.CodeOf(err), name)
	}
}
