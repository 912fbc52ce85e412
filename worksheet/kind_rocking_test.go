package worksheet

import (
	"math"
	"slices"
	"testing"

	"collinear.example/align"
	"collinear.example/softfoot"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// twistWith is what package softfoot says of the machine with shims put under its
// feet.
func twistWith(t *testing.T, j footJob, change [4]float64) float64 {
	feet, gaps, err := j.r.rocking()
	require.NoError(t, err)
	var at [4]float64
	for i := range gaps {
		for _, c := range gaps[i].corners() {
			at[i] += j.r.Units.reading(c) / 4
		}
	}
	m := j.r.Units.stands(feet, at, change)
	w, err := m.Twist()
	require.NoError(t, err)
	return float64(w)
}

// Twist, shims and what wrong shims leave are those of package softfoot.
func TestRockingAgainstLibrary(t *testing.T) {
	eachFootJob(t, rockingKind(), func(t *testing.T, j footJob) {
		twist := twistWith(t, j, [4]float64{})
		j.same(t, "twist", twist)
		low, high := []int{1, 3}, []int{0, 2}
		if twist < 0 {
			low, high = high, low
		}
		assert.Equal(t, float64(low[0]), j.v["low"])
		with := func(s float64, feet ...int) float64 {
			var change [4]float64
			for _, f := range feet {
				change[f] = s
			}
			return twistWith(t, j, change)
		}
		single := j.v["single"]
		assert.InDelta(t, 0, with(single, low[0]), 1e-15)
		assert.InDelta(t, 0, with(single, low[1]), 1e-15)
		assert.InDelta(t, 0, with(j.v["shared"], low...), 1e-15)
		j.same(t, "after.both", with(single, low...))
		j.same(t, "after.wrong", with(single, high[1]))
		assert.InDelta(t, -twist, j.v["after.both"], 1e-15)
		assert.InDelta(t, 2*twist, j.v["after.wrong"], 1e-15)
		rockingPlanJudged(t, j)
	})
}

// rockingPlanJudged: every plan of package softfoot that adds shims is accepted, so is
// one that tips the machine as well, and the usual wrong ones are not.
func rockingPlanJudged(t *testing.T, j footJob) {
	st := j.s.step("plan")
	feet, _, err := j.r.rocking()
	require.NoError(t, err)
	at := [4]float64{j.v["gap.1"], j.v["gap.2"], j.v["gap.3"], j.v["gap.4"]}
	m := j.r.Units.stands(feet, at, [4]float64{})
	plans, err := m.AddPlans()
	require.NoError(t, err)
	require.NotEmpty(t, plans)
	named := func(change []unit.Length, plus float64) map[string]float64 {
		out := map[string]float64{}
		for i, f := range feet {
			out[f.Name] = float64(change[i]) + plus
		}
		return out
	}
	for _, p := range plans {
		assert.NoError(t, st.Accept(j.v, named(p.Change, 0)))
		assert.NoError(t, st.Accept(j.v, named(p.Change, -0.2e-3)), "all feet lowered as well")
		assert.Error(t, st.Accept(j.v, named(p.Change, -20e-3)), "more than there is")
	}
	full := make([]unit.Length, 4)
	assert.Error(t, st.Accept(j.v, named(full, 0)), "nothing done")
	low := int(j.v["low"])
	full[low], full[low+2] = unit.Length(j.v["single"]), unit.Length(j.v["single"])
	assert.Error(t, st.Accept(j.v, named(full, 0)), "both fully")
	full = make([]unit.Length, 4)
	full[1-low] = unit.Length(j.v["single"])
	assert.Error(t, st.Accept(j.v, named(full, 0)), "wrong diagonal")
}

// handRocking is a machine with gaps of 0.05, 0.30, 0 and 0.15 mm in order round its
// feet; the feet are given in another order.
func handRocking() *Record {
	r := handWedge()
	p := &r.Train.Machines[1]
	p.Feet = []Foot{
		{Name: "inboard left", Station: 500, Lateral: lateralAt(-250)}, {Name: "outboard left", Station: 1300, Lateral: lateralAt(-250)},
		{Name: "inboard right", Station: 500, Lateral: lateralAt(250)}, {Name: "outboard right", Station: 1300, Lateral: lateralAt(250)},
	}
	r.Gaps = nil
	for name, g := range map[string]float64{"inboard left": 0.05, "inboard right": 0.30, "outboard right": 0, "outboard left": 0.15} {
		r.Gaps = append(r.Gaps, FootGaps{Machine: "pump", Foot: name, Length: 120, Width: 80, NearLeft: g, NearRight: g, FarLeft: g, FarRight: g})
	}
	return r
}

// By hand: 0.05 + 0 on one diagonal, 0.30 + 0.15 on the other: the first stands high
// by 0.40. A shim of 0.40 under one of the others or 0.20 under each seats it; 0.40
// under both leaves -0.40, under one of the high diagonal 0.80; a quarter, 0.10,
// under one foot would leave 0.30.
func TestRockingByHand(t *testing.T) {
	r := handRocking()
	require.NoError(t, r.Check())
	e, err := NewExercise("rocking-machine", r)
	require.NoError(t, err)
	// Going round from the inboard left foot, the next one is either neighbour.
	second := e.Sheet.step("plan").Plan[1]
	require.Contains(t, []string{"inboard right", "outboard left"}, second)
	answers := map[string]string{
		"sum.1": "0.05", "sum.2": "0.45", "twist": "0.4 high", "single": "0.4", "shared": "0.2", "after.both": "0.4 low", "after.wrong": "high 0.8",
		"plan": "inboard left = 0; inboard right = add 0.4; outboard right = 0; outboard left = 0",
		"low":  e.Sheet.step("low").Choices[1],
	}
	m, err := e.Mark(answers, UsualCredits())
	require.NoError(t, err)
	assert.True(t, m.Full(), "%+v", m.Marks)

	// The shim of the least-squares quarter leaves three quarters of the twist.
	answers["plan"] = "inboard left = 0; inboard right = add 0.1; outboard right = 0; outboard left = 0"
	m, err = e.Mark(answers, UsualCredits())
	require.NoError(t, err)
	assert.Equal(t, "leaves a twist of 0.300 mm", m.Marks[len(m.Marks)-1].Key)

	for code, want := range map[string]map[string]string{
		"both-fully":      {"shared": "0.400 mm", "after.both": "0.000 mm"},
		"all-gaps-summed": {"twist": "high 0.500 mm"},
		"largest-gap":     {"twist": "high 0.300 mm"},
		"gap-for-height":  {"twist": "low 0.400 mm", "after.wrong": "low 0.800 mm"},
		"quarter-at-one":  {"single": "0.100 mm"},
		"wrong-diagonal":  {"after.wrong": "0.000 mm"},
	} {
		got, err := e.AnswersWith(code)
		require.NoError(t, err, code)
		for id, text := range want {
			assert.Equal(t, text, got[id], "%s, %s", code, id)
		}
	}
}

// What is no machine on four feet at the corners of a rectangle is refused.
func TestRockingFaults(t *testing.T) {
	for name, c := range map[string]struct {
		spoil func(r *Record)
		want  align.Fault
	}{
		"no such machine":   {func(r *Record) { r.Gaps[0].Machine = "fan" }, align.ErrMismatch},
		"three feet":        {func(r *Record) { p := &r.Train.Machines[1]; p.Feet = p.Feet[:3] }, softfoot.ErrNotRectangle},
		"a trapezium":       {func(r *Record) { r.Train.Machines[1].Feet[0].Lateral = lateralAt(-100) }, softfoot.ErrNotRectangle},
		"a place missing":   {func(r *Record) { r.Train.Machines[1].Feet[2].Lateral = nil }, align.ErrMissing},
		"a gap missing":     {func(r *Record) { r.Gaps = r.Gaps[1:] }, align.ErrMissing},
		"negative gap":      {func(r *Record) { r.Gaps[2].NearLeft = -1 }, align.ErrNegative},
		"no number":         {func(r *Record) { r.Gaps[2].NearLeft = math.NaN() }, align.ErrNegative},
		"station no number": {func(r *Record) { r.Train.Machines[1].Feet[1].Station = math.NaN() }, align.ErrNotFinite},
	} {
		r := handRocking()
		c.spoil(r)
		_, err := rockingSheet(r)
		assert.Equal(t, string(c.want), align.CodeOf(err), name)
	}
}

// The feet come out in order round the machine, the first one given first.
func TestRoundFrom(t *testing.T) {
	feet := handRocking().Train.Machines[1].Feet
	for range feet {
		feet = append(feet[1:], feet[0])
		got := roundFrom(feet)
		require.Equal(t, feet[0].Name, got[0].Name)
		// Opposite feet are two places apart.
		across := slices.IndexFunc(got, func(f Foot) bool { return f.Station != got[0].Station && *f.Lateral != *got[0].Lateral })
		assert.Equal(t, 2, across)
	}
}
