package worksheet

import (
	"math"
	"testing"

	"collinear.example/align"
	"collinear.example/moves"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// The new pack is what package moves wants, and its own plan is accepted; so is
// every plan near enough, and no other (all packs of up to four leaves are tried).
func TestPackAgainstLibrary(t *testing.T) {
	eachFootJob(t, packKind(), func(t *testing.T, j footJob) {
		jobs, err := j.r.packJobs()
		require.NoError(t, err)
		k := j.r.shelf()
		for _, job := range jobs {
			p, warnings, err := job.Plan(*k)
			require.NoError(t, err)
			require.Empty(t, warnings)
			j.same(t, "pack."+job.id, float64(p.Total-p.Error))
			var now unit.Length
			for _, l := range job.Present {
				now += l
			}
			j.same(t, "now."+job.id, float64(now))
			st := j.s.step("plan." + job.id)
			require.Len(t, st.Plan, len(k.Leaves), "the stock has every leaf that lies there")
			require.NoError(t, st.Accept(j.v, countsOf(st, k.Leaves, p.Pack)))
			tryPacks(k.Leaves, nil, 0, func(pack []unit.Length) {
				var sum unit.Length
				for _, l := range pack {
					sum += l
				}
				off := math.Abs(float64(sum) - j.v["pack."+job.id])
				if err := st.Accept(j.v, countsOf(st, k.Leaves, pack)); off <= float64(k.Within)+1e-10 {
					assert.NoError(t, err)
				} else {
					assert.Error(t, err)
				}
			})
		}
	})
}

// tryPacks calls f with every pack of up to four leaves.
func tryPacks(stock, pack []unit.Length, from int, f func(pack []unit.Length)) {
	f(pack)
	for i := from; i < len(stock) && len(pack) < 4; i++ {
		tryPacks(stock, append(pack[:len(pack):len(pack)], stock[i]), i, f)
	}
}

// countsOf writes leaves as the answer to a plan.
func countsOf(st *Step, stock, leaves []unit.Length) map[string]float64 {
	out := map[string]float64{}
	for i, e := range st.Plan {
		out[e] = 0
		for _, l := range leaves {
			if math.Abs(float64(l-stock[i])) < 1e-10 {
				out[e]++
			}
		}
	}
	return out
}

// handPack: 1.00 and 0.20 mm lie under a foot, which is to rise by 0.33: the pack is
// to be 1.53 mm; 1.00 + 0.50 and 0.05 make 1.55, within half of the thinnest leaf.
func handPack() *Record {
	r := handWedge()
	r.Gaps = nil
	r.Train.Machines[1].Feet[0].Leaves = []float64{0.2, 1}
	r.Wanted = []MoveWanted{{Machine: "pump", Foot: "inboard left", Up: 0.33}}
	r.Stock = &Stock{Leaves: []float64{0.05, 0.1, 0.2, 0.5, 1}, MaxLeaves: 4, Within: 0.025}
	return r
}

func TestPackByHand(t *testing.T) {
	r := handPack()
	require.NoError(t, r.Check())
	e, err := NewExercise("shim-pack", r)
	require.NoError(t, err)
	const in = "inboard left"
	plan := func(s string) map[string]string {
		return map[string]string{"now." + in: "1.2", "pack." + in: "1.53", "plan." + in: s}
	}
	for s, full := range map[string]bool{
		"leaves of 1 mm = 1; leaves of 0.5 mm = 1; leaves of 0.05 mm = 1; leaves of 0.1 mm = 0; leaves of 0.2 mm = 0": true,
		"leaves of 1 mm = 0; leaves of 0.5 mm = 3; leaves of 0.05 mm = 1; leaves of 0.1 mm = 0; leaves of 0.2 mm = 0": true,
		"leaves of 1 mm = 1; leaves of 0.5 mm = 1; leaves of 0.05 mm = 0; leaves of 0.1 mm = 0; leaves of 0.2 mm = 0": false, // 0.03 off
		"leaves of 1 mm = 1; leaves of 0.5 mm = 0; leaves of 0.05 mm = 3; leaves of 0.1 mm = 0; leaves of 0.2 mm = 2": false, // six leaves
	} {
		m, err := e.Mark(plan(s), UsualCredits())
		require.NoError(t, err)
		assert.Equal(t, full, m.Full(), "%s: %+v", s, m.Marks)
	}
	for code, want := range map[string]string{"raise-for-lower": "0.870 mm", "change-for-pack": "0.330 mm", "change-halved": "1.365 mm", "leaf-missed": "1.330 mm"} {
		got, err := e.AnswersWith(code)
		require.NoError(t, err)
		assert.Equal(t, want, got["pack."+in], code)
	}
}

// Leaves that the stock lacks may stay, no more of them than there are.
func TestPackOfOddLeaves(t *testing.T) {
	r := handPack()
	r.Train.Machines[1].Feet[0].Leaves = []float64{0.37, 1}
	r.Wanted[0].Up = 0.2
	s, err := packSheet(r)
	require.NoError(t, err)
	st := s.step("plan.inboard left")
	require.Equal(t, "leaves of 0.37 mm", st.Plan[5])
	plan := map[string]float64{st.Plan[0]: 0, st.Plan[1]: 0, st.Plan[2]: 1, st.Plan[3]: 0, st.Plan[4]: 1, st.Plan[5]: 1}
	assert.NoError(t, st.Accept(s.Work(), plan))
	plan[st.Plan[5]] = 2
	assert.ErrorContains(t, st.Accept(s.Work(), plan), "there are not so many")
}

func TestPackFaults(t *testing.T) {
	for name, c := range map[string]struct {
		spoil func(r *Record)
		want  align.Fault
	}{
		"no such machine": {func(r *Record) { r.Wanted[0].Machine = "fan" }, align.ErrMismatch},
		"no such foot":    {func(r *Record) { r.Wanted[0].Foot = "middle" }, align.ErrMismatch},
		"too much out":    {func(r *Record) { r.Wanted[0].Up = -2 }, moves.ErrBaseBound},
		"no number":       {func(r *Record) { r.Wanted[0].Up = math.NaN() }, align.ErrNotFinite},
		"no stock":        {func(r *Record) { r.Stock = nil }, align.ErrMissing},
		"too few leaves":  {func(r *Record) { r.Stock.MaxLeaves = 1 }, align.ErrOutOfRange},
		"a leaf of minus": {func(r *Record) { r.Train.Machines[1].Feet[0].Leaves[0] = -1 }, align.ErrNegative},
	} {
		r := handPack()
		c.spoil(r)
		_, err := packSheet(r)
		assert.Equal(t, string(c.want), align.CodeOf(err), name)
	}
}
