package align_test

import (
	"math"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The limit and its place are NEMA MG 1 condensed 2011, clause 4.9.7, p. 10:
// shaft runout 0.002 in for extensions up to 1.625 in.
func nemaSmall() align.Limit {
	return align.Limit{Name: "shaft runout", Place: "end of the extension", Value: 0.002, Unit: align.UnitInch,
		Source: "NEMA MG 1 condensed 2011 cl. 4.9.7", Known: align.Read}
}

func TestLimitJudgesSizes(t *testing.T) {
	l := nemaSmall()
	for _, c := range []struct {
		mil    float64
		within bool
	}{{0, true}, {1.999, true}, {2, true}, {2.001, false}, {-2, true}, {-2.001, false}} {
		v, err := l.Judge(c.mil * float64(align.Mil))
		require.NoError(t, err)
		assert.Equal(t, c.within, v.Within, "%g mil", c.mil)
		assert.InDelta(t, math.Abs(c.mil)/2, v.Share(), 1e-9)
		assert.InDelta(t, (2-math.Abs(c.mil))*25.4e-6, v.Margin(), 1e-12)
	}
}

func TestLimitSaysWhereItComesFrom(t *testing.T) {
	v, err := nemaSmall().Judge(float64(3 * align.Mil))
	require.NoError(t, err)
	assert.Equal(t, "0.0030 in, over the limit by 0.0010 in; shaft runout at end of the extension: at most 0.0020 in (NEMA MG 1 condensed 2011 cl. 4.9.7)", v.String())
	l := nemaSmall()
	l.Known = align.FromMemory
	assert.Contains(t, l.String(), "from memory")
	l.Known = align.ReadSecondhand
	assert.Contains(t, l.String(), "second-hand")
	l.Known, l.Place = align.CommonPractice, ""
	assert.Contains(t, l.String(), "common practice, no source")
	assert.NotContains(t, l.String(), " at end")
}

func TestLimitRefuses(t *testing.T) {
	_, err := nemaSmall().Judge(math.NaN())
	require.ErrorIs(t, err, align.ErrNotFinite)
	l := nemaSmall()
	l.Value = -1
	_, err = l.Judge(0)
	require.ErrorIs(t, err, align.ErrNegative)
	l.Value = math.Inf(1)
	_, err = l.Judge(0)
	require.ErrorIs(t, err, align.ErrNotFinite)
}

func TestLimitOfZero(t *testing.T) {
	l := align.Limit{Name: "gap", Value: 0, Unit: align.UnitMillimetre}
	v, err := l.Judge(0)
	require.NoError(t, err)
	assert.True(t, v.Within)
	assert.Zero(t, v.Share())
	v, err = l.Judge(1e-6)
	require.NoError(t, err)
	assert.False(t, v.Within)
	assert.Greater(t, v.Share(), 1e300)
	assert.False(t, math.IsInf(v.Share(), 0))
}
