package worksheet

import (
	"math"
	"strings"
	"testing"

	"collinear.example/align"
	"collinear.example/softfoot"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// Every figure of a wedge is that of package softfoot.
func TestWedgeAgainstLibrary(t *testing.T) {
	eachFootJob(t, wedgeKind(), func(t *testing.T, j footJob) {
		w, err := j.r.wedge()
		require.NoError(t, err)
		j.same(t, "mean", float64(w.Mean))
		j.same(t, "along", float64(w.Along))
		j.same(t, "slope.along", w.SlopeAlong)
		j.same(t, "tight", float64(w.Tight))
		j.same(t, "open", float64(w.Open))
		tight, mean, _, err := w.FlatShims()
		require.NoError(t, err)
		j.same(t, "left.flat", float64(tight.LeftOpen))
		j.same(t, "lift.mean", float64(mean.Lift))
		if j.s.has("across") {
			j.same(t, "across", float64(w.Across))
			j.same(t, "slope.across", w.SlopeAcross)
		}
		if j.s.has("bend") {
			j.same(t, "bend", math.Abs(float64(w.Worst)))
		}
		// The gap of the plane at the corner named is the tight one.
		l, b := w.Face.Length/2, w.Face.Width/2
		at := map[string]unit.Length{
			"first machine, left": w.GapAt(-l, -b), "first machine, right": w.GapAt(-l, b), "last machine, left": w.GapAt(l, -b), "last machine, right": w.GapAt(l, b),
			"toward the first machine": w.GapAt(-l, 0), "toward the last machine": w.GapAt(l, 0),
		}
		assert.InDelta(t, float64(w.Tight), float64(at[j.choice("corner")]), 1e-12)
		wedgePlanJudged(t, j, w)
	})
}

// wedgePlanJudged holds the judgement of plans against package softfoot: its own
// shim is accepted, and what is accepted leaves no less than its best of as many
// leaves.
func wedgePlanJudged(t *testing.T, j footJob, w softfoot.Wedge) {
	st := j.s.step("plan")
	require.NotNil(t, st)
	k := j.r.shelf()
	best, warnings, err := k.SteppedShim(w)
	require.NoError(t, err)
	require.Empty(t, warnings)
	plan := map[string]float64{}
	for i, e := range st.Plan {
		plan[e] = 0
		for _, l := range best.Leaves {
			if math.Abs(float64(l.Thickness-k.Leaves[i])) < 1e-11 {
				plan[e]++
			}
		}
	}
	require.NoError(t, st.Accept(j.v, plan))
	var leaves []float64
	for _, l := range best.Leaves {
		leaves = append(leaves, float64(l.Thickness))
	}
	left, err := steppedLeaves(leaves, j.v["tight"], j.v["open"])
	require.NoError(t, err)
	assert.InDelta(t, float64(best.Residual), left, 1e-11)

	// Fewer leaves than softfoot needs never do.
	for e := range plan {
		if plan[e] > 0 {
			plan[e]--
			assert.Error(t, st.Accept(j.v, plan), "one leaf fewer than the fewest")
			plan[e]++
		}
	}
	plan[st.Plan[0]] += 0.5
	assert.ErrorIs(t, st.Accept(j.v, plan), errLeaves)
	plan[st.Plan[0]] += 5.5
	assert.ErrorIs(t, st.Accept(j.v, plan), errTooMany)
}

// The wedge worked by hand in the documentation of package softfoot: a foot of 120
// by 80 mm that reads 0.10 toward the first machine and 0.30 toward the last. Mean
// 0.20, taper 0.20, slope 1.67 mm/m; a flat shim of 0.10 leaves 0.20 open, one of
// 0.20 holds the foot up by 0.10; one full leaf of 0.10 and three or four steps of
// 0.05 leave 0.05.
func TestWedgeByHand(t *testing.T) {
	r := handWedge()
	require.NoError(t, r.Check())
	e, err := NewExercise("foot-wedge", r)
	require.NoError(t, err)
	answers := map[string]string{
		"mean": "0.2", "along": "0.2 wider", "slope.along": "1.667", "tight": "0.1", "open": "0.3", "left.flat": "0.2", "lift.mean": "0.1",
		"corner": "toward the first machine", "plan": "leaves of 0.05 mm = 3; leaves of 0.1 mm = 1",
	}
	m, err := e.Mark(answers, UsualCredits())
	require.NoError(t, err)
	assert.True(t, m.Full(), "%+v", m.Marks)
	for plan, why := range map[string]string{
		"leaves of 0.05 mm = 2; leaves of 0.1 mm = 1": "leaves a gap of 0.100 mm",
		"leaves of 0.05 mm = 5; leaves of 0.1 mm = 1": "thicker",
		"leaves of 0.05 mm = 0; leaves of 0.1 mm = 3": "leaves a gap of 0.100 mm",
		"leaves of 0.05 mm = 7; leaves of 0.1 mm = 0": "more leaves",
	} {
		answers["plan"] = plan
		m, err := e.Mark(answers, UsualCredits())
		require.NoError(t, err)
		last := m.Marks[len(m.Marks)-1]
		assert.Equal(t, Wrong, last.Verdict, plan)
		assert.True(t, strings.Contains(last.Key, why), "%s: %s", plan, last.Key)
	}
}

func handWedge() *Record {
	return &Record{
		Format: Format, Title: "A wedge by hand", Units: Units{Length: align.UnitMillimetre, Reading: align.UnitMillimetre},
		Train: Train{Machines: []Machine{{Name: "motor"}, {Name: "pump", Feet: []Foot{{Name: "inboard left", Station: 500}, {Name: "outboard left", Station: 1300}}}},
			Couplings: []Coupling{{Name: "coupling", Near: "motor", Far: "pump"}}},
		Gaps:  []FootGaps{{Machine: "pump", Foot: "inboard left", Length: 120, Width: 80, NearLeft: 0.1, NearRight: 0.1, FarLeft: 0.3, FarRight: 0.3}},
		Stock: &Stock{Leaves: []float64{0.05, 0.1}, MaxLeaves: 6, Within: 0.05},
	}
}

// The mistakes of flat shims, by their formulas (a mean gap of 0.20, a range of
// 0.20): no flat shim of any thickness leaves less than the range.
func TestWedgeMistakesByFormula(t *testing.T) {
	e, err := NewExercise("foot-wedge", handWedge())
	require.NoError(t, err)
	for code, want := range map[string]map[string]string{
		"widest-corner-alone": {"mean": "0.300 mm", "open": "0.300 mm", "left.flat": "0.000 mm"},
		"flat-fills":          {"mean": "0.200 mm", "left.flat": "0.000 mm", "lift.mean": "0.000 mm"},
		"whole-taper":         {"tight": "0.000 mm", "open": "0.400 mm", "left.flat": "0.400 mm"},
		"slope-not-divided":   {"slope.along": "0.200 mm/m"},
		"half-length":         {"slope.along": "3.333 mm/m"},
	} {
		got, err := e.AnswersWith(code)
		require.NoError(t, err, code)
		for id, text := range want {
			assert.Equal(t, text, got[id], "%s, %s", code, id)
		}
	}
}

// What cannot be a foot or a stock is refused.
func TestWedgeFaults(t *testing.T) {
	for name, c := range map[string]struct {
		spoil func(r *Record)
		want  align.Fault
	}{
		"negative gap":   {func(r *Record) { r.Gaps[0].FarLeft = -0.1 }, align.ErrNegative},
		"no number":      {func(r *Record) { r.Gaps[0].FarLeft = math.NaN() }, align.ErrNotFinite},
		"no length":      {func(r *Record) { r.Gaps[0].Length = 0 }, align.ErrOutOfRange},
		"endless width":  {func(r *Record) { r.Gaps[0].Width = math.Inf(1) }, align.ErrNotFinite},
		"no leaves":      {func(r *Record) { r.Stock.Leaves = nil }, align.ErrMissing},
		"leaf of zero":   {func(r *Record) { r.Stock.Leaves[0] = 0 }, align.ErrOutOfRange},
		"stack of none":  {func(r *Record) { r.Stock.MaxLeaves = 0 }, align.ErrOutOfRange},
		"within no zero": {func(r *Record) { r.Stock.Within = -1 }, align.ErrNegative},
	} {
		r := handWedge()
		c.spoil(r)
		_, err := wedgeSheet(r)
		assert.Equal(t, string(c.want), align.CodeOf(err), name)
	}
	r := handWedge()
	r.Stock = nil
	s, err := wedgeSheet(r)
	require.NoError(t, err)
	assert.False(t, s.has("plan"), "without a stock no plan is asked")
	r = handWedge()
	r.Stock.MaxLeaves = 2
	s, err = wedgeSheet(r)
	require.NoError(t, err)
	assert.False(t, s.has("plan"), "nor what the stock cannot make")
}
