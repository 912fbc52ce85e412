package align

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/unit"
)

func randomMotion(draw *rand.Rand, size float64) Motion {
	l := func(k float64) unit.Length { return unit.Length(k * draw.NormFloat64()) }
	return Motion{
		About: Place{l(1), l(1), l(1)},
		Shift: Displacement{l(size), l(size), l(size)},
		Turn:  Turn{size * draw.NormFloat64(), size * draw.NormFloat64(), size * draw.NormFloat64()},
	}
}

// What gonum's exact rotation gives agrees to second order.
func TestMotionAgainstExactRotation(t *testing.T) {
	draw := rand.New(rand.NewPCG(5, 5))
	for range 200 {
		m := randomMotion(draw, 1e-4)
		p := Place{unit.Length(draw.NormFloat64()), unit.Length(draw.NormFloat64()), unit.Length(draw.NormFloat64())}
		r := p.From(m.About)
		angle := math.Sqrt(m.Turn.X*m.Turn.X + m.Turn.Y*m.Turn.Y + m.Turn.Z*m.Turn.Z)
		rot := r3.NewRotation(angle, r3.Vec{X: m.Turn.X, Y: m.Turn.Y, Z: m.Turn.Z})
		v := r3.Vec{X: float64(r.X), Y: float64(r.Y), Z: float64(r.Z)}
		w := r3.Sub(rot.Rotate(v), v)
		want := m.Shift.Add(Displacement{unit.Length(w.X), unit.Length(w.Y), unit.Length(w.Z)})
		got := m.At(p)
		assert.LessOrEqual(t, float64(got.Sub(want).Size()), float64(r.Size())*angle*angle)
	}
}

func TestMotionAxis(t *testing.T) {
	draw := rand.New(rand.NewPCG(6, 6))
	for range 100 {
		m := randomMotion(draw, 1e-3)
		through := Place{Y: unit.Length(draw.NormFloat64()), Z: unit.Length(draw.NormFloat64())}
		a := m.Axis(through)
		for _, x := range []unit.Length{-2, 0, 0.7} {
			want := m.At(Place{x, through.Y, through.Z}).Offset()
			assert.InDelta(t, float64(want.Vertical), float64(a.At(x).Vertical), 1e-15)
			assert.InDelta(t, float64(want.Horizontal), float64(a.At(x).Horizontal), 1e-15)
		}
		p := Place{0.3, -0.2, 0.9}
		assert.InDelta(t, 0, float64(m.Moved(through).At(p).Sub(m.At(p)).Size()), 1e-15)
		assert.InDelta(t, 0, float64(m.Add(m.Neg()).At(p).Size()), 1e-15)
		n := randomMotion(draw, 1e-3)
		assert.InDelta(t, 0, float64(m.Add(n).At(p).Sub(m.At(p).Add(n.At(p))).Size()), 1e-15)
	}
}

// The signs in words: roll lifts the left and swings the top to the right.
func TestTurnSigns(t *testing.T) {
	top, left, farEnd := Place{Y: 1}, Place{Z: -1}, Place{X: 1}
	roll := Motion{Turn: Turn{X: 1e-3}}
	assert.Positive(t, float64(roll.At(top).Z))
	assert.Positive(t, float64(roll.At(left).Y))
	assert.Positive(t, float64(Motion{Turn: Turn{Z: 1e-3}}.At(farEnd).Y))
	assert.Negative(t, float64(Motion{Turn: Turn{Y: 1e-3}}.At(farEnd).Z))
}

func TestDirections(t *testing.T) {
	assert.InDelta(t, 1, ClockDirection(45).Dot(ClockDirection(45)), 1e-15)
	assert.InDelta(t, math.Sqrt2/2, ClockDirection(45).Dot(Upward()), 1e-15)
	assert.InDelta(t, math.Sqrt2/2, ClockDirection(45).Dot(Rightward()), 1e-15)
	d, err := DirectionOf(3e200, 0, 4e200)
	require.NoError(t, err)
	assert.InDelta(t, 0.6, d.X, 1e-15)
	assert.InDelta(t, 0.8, d.Z, 1e-15)
	assert.InDelta(t, 5, float64(Displacement{3, 0, 4}.Along(d)), 1e-14)
	_, err = DirectionOf(0, 0, 0)
	assert.ErrorIs(t, err, ErrMissing)
	_, err = DirectionOf(0, math.NaN(), 0)
	assert.ErrorIs(t, err, ErrNotFinite)
	assert.Equal(t, Direction{0, -1, 0}, Upward().Neg())
}
