package align_test

import (
	"math"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
)

func TestClockUnitIsExactAtTheQuarters(t *testing.T) {
	for _, turn := range []float64{0, 360, -360, 720, 360e6, -360e6} {
		for i, want := range [][2]float64{{1, 0}, {0, 1}, {-1, 0}, {0, -1}} {
			up, right := align.Clock(turn + 90*float64(i)).Unit()
			assert.Equal(t, want, [2]float64{up, right}, "%g + %d quarters", turn, i)
		}
	}
	up, right := align.Clock(math.Copysign(0, -1)).Unit()
	assert.Equal(t, [2]float64{1, 0}, [2]float64{up, right})
}

func TestClockUnitAgainstTrigonometry(t *testing.T) {
	for d := -720.0; d <= 720; d += 7.3 {
		up, right := align.Clock(d).Unit()
		u, v := direction(align.Clock(d))
		assert.InDelta(t, u, up, 1e-14)
		assert.InDelta(t, v, right, 1e-14)
		assert.InDelta(t, 1, math.Hypot(up, right), 1e-15)
	}
}

func TestClockNormal(t *testing.T) {
	for _, c := range []struct{ in, want float64 }{
		{0, 0}, {math.Copysign(0, -1), 0}, {359.5, 359.5}, {360, 0}, {720, 0}, {-90, 270}, {-360, 0}, {-720.5, 359.5},
		{-1e-20, 0}, {-1e-300, 0}, {1e-20, 1e-20}, {math.Nextafter(360, 0), math.Nextafter(360, 0)},
	} {
		got := align.Clock(c.in).Normal()
		assert.InDelta(t, c.want, float64(got), 0, "%g", c.in)
		assert.GreaterOrEqual(t, float64(got), 0.0)
		assert.Less(t, float64(got), 360.0)
	}
	for _, huge := range []float64{1e17, -1e17, math.MaxFloat64, -math.MaxFloat64} {
		got := float64(align.Clock(huge).Normal())
		assert.True(t, got >= 0 && got < 360, "%g gives %g", huge, got)
		up, right := align.Clock(huge).Unit()
		assert.InDelta(t, 1, math.Hypot(up, right), 1e-15)
	}
}

func TestClockMirrored(t *testing.T) {
	assert.Equal(t, align.Nine, align.Three.Mirrored())
	assert.Equal(t, align.Three, align.Nine.Mirrored())
	assert.Equal(t, align.Twelve, align.Twelve.Mirrored())
	assert.Equal(t, align.Six, align.Six.Mirrored())
	for d := 0.0; d < 360; d += 12.5 {
		c := align.Clock(d)
		assert.Equal(t, c, c.Mirrored().Mirrored())
	}
}

func TestClockHours(t *testing.T) {
	assert.Equal(t, align.Clock(135), align.OClock(4.5))
	for _, c := range []struct {
		in   align.Clock
		hour float64
		text string
	}{
		{align.Twelve, 12, "12 o'clock"}, {align.Three, 3, "3 o'clock"}, {135, 4.5, "4.5 o'clock"},
		{-90, 9, "9 o'clock"}, {360, 12, "12 o'clock"}, {359.9, 359.9 / 30, "12 o'clock"}, {1, 1.0 / 30, "12 o'clock"},
	} {
		assert.InDelta(t, c.hour, c.in.Hour(), 1e-12)
		assert.Equal(t, c.text, c.in.String())
	}
}
