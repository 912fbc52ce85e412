package worksheet

import (
	"slices"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// TestSweepCheckAgainstLibrary holds every asked figure against align.Sweep, and
// the verdict against the warnings of a position worked from the set.
func TestSweepCheckAgainstLibrary(t *testing.T) {
	verdicts := map[float64]int{}
	eachAligned(t, sweepCheckKind(), func(t *testing.T, d Difficulty, r *Record, s *Sheet, v Values) {
		far, near, err := r.reverseDials(0)
		require.NoError(t, err)
		onFar, onNear := asDial(t, r, far), asDial(t, r, near)
		if d == Severe {
			turns := (v["restored"] - v["far.6"]) / r.Units.reading(*far.Turn)
			require.Contains(t, []float64{-1, 1}, float64(int(turns*1.0000001)))
			onFar.Sweep[2].Value = unit.Length(v["restored"])
		}
		closing, ok := onFar.Sweep.Closure()
		require.True(t, ok)
		sameAligned(t, float64(closing), v["closing"], "closing")
		sum, ok := onFar.Sweep.SumRule()
		require.True(t, ok)
		sameAligned(t, float64(sum), v["sum"], "sum")
		sameAligned(t, float64(onFar.Sweep.TIR()), v["tir"], "tir")
		sameAligned(t, float64(onFar.Sweep.TIR().Offset()), v["size"], "size")
		p, err := align.ReverseIndicator{OnFar: onFar, OnNear: onNear}.Solve()
		require.NoError(t, err)
		sameAligned(t, float64(p.At(onFar.Station).Vertical), v["offset.vertical"], "offset")
		sameAligned(t, float64(p.At(onFar.Station).Horizontal), v["offset.horizontal"], "offset")
		warned := slices.ContainsFunc(p.Warnings, func(w align.Warning) bool {
			return w.Code == align.WarnClosure || w.Code == align.WarnSumRule
		})
		require.Equal(t, verdictOf(warned), v["verdict"], "%v", p.Warnings)
		verdicts[v["verdict"]]++
	})
	assert.Greater(t, verdicts[0], 100)
	assert.Greater(t, verdicts[1], 100)
}

// sweepJob is a dial on the far hub in mils or millimetres with readings at 12, 3,
// 6, 9 and 12 again, no sag.
func sweepJob(u align.Unit, at ...float64) *Record {
	r := reverseDemo()
	r.Units.Reading = u
	r.Sag[0].Reading = 0
	r.Sets[0].Dials[0].Readings = nil
	for i, x := range at {
		r.Sets[0].Dials[0].Readings = append(r.Sets[0].Dials[0].Readings, Reading{float64(i * 90), x})
	}
	return r
}

// TestSweepCheckPublished: US Army TM 10-3930-664-24 p. 3-41: 0, 3, -2 and 3 mil
// have a total indicator reading of 5 mil (that the first closes is added here);
// the sums differ by 0 - 2 - 3 - 3 = -8. A student's sheet of 0, 1.78, 2.92 and
// 1.32 mm is out by 2.92 - 3.10 = -0.18.
func TestSweepCheckPublished(t *testing.T) {
	r := sweepJob(align.UnitMil, 0, 3, -2, 3, 0)
	v := working(t, sweepCheckKind(), r, "")
	assert.InDelta(t, 5, inMils(v["tir"]), 1e-9)
	assert.InDelta(t, 2.5, inMils(v["size"]), 1e-9)
	assert.InDelta(t, -8, inMils(v["sum"]), 1e-9)
	assert.Equal(t, "repeat", keepOrRepeat[int(v["verdict"])])
	for code, want := range map[string]float64{"tir-largest": 3, "tir-vertical-only": 2, "tir-with-sign-lost": 3} {
		assert.InDelta(t, want, inMils(working(t, sweepCheckKind(), r, code)["tir"]), 1e-9, code)
	}
	for code, want := range map[string]float64{"sum-forced": 0, "sum-wrong-pairs": 2, "sum-signs-lost": -4, "sum-sign": 8} {
		assert.InDelta(t, want, inMils(working(t, sweepCheckKind(), r, code)["sum"]), 1e-9, code)
	}
	assert.Zero(t, working(t, sweepCheckKind(), r, "sum-not-judged")["verdict"])

	v = working(t, sweepCheckKind(), sweepJob(align.UnitMillimetre, 0, 1.78, 2.92, 1.32, 0), "")
	assert.InDelta(t, -0.18e-3, v["sum"], 1e-12)
	assert.InDelta(t, 0.23e-3, v["offset.horizontal"], 1e-12) // (1.78 - 1.32)/2
}

// TestSweepCheckTurn: 0, 30, -40 written where a turn of 100 was missed, 30: only
// 60 at the bottom agrees with the sides.
func TestSweepCheckTurn(t *testing.T) {
	r := sweepJob(align.UnitMil, 0, 30, -40, 30, 0)
	turn := 100.0
	r.Sets[0].Dials[0].Turn = &turn
	v := working(t, sweepCheckKind(), r, "")
	assert.InDelta(t, 60, inMils(v["restored"]), 1e-9)
	assert.InDelta(t, 0, inMils(v["sum"]), 1e-9)
	assert.InDelta(t, -30, inMils(v["offset.vertical"]), 1e-9)
	v = working(t, sweepCheckKind(), r, "turn-missed")
	assert.InDelta(t, -100, inMils(v["sum"]), 1e-9)
	assert.InDelta(t, 20, inMils(v["offset.vertical"]), 1e-9)
	assert.InDelta(t, -140, inMils(working(t, sweepCheckKind(), r, "turn-put-back-wrong")["restored"]), 1e-9)
}
