package softfoot_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"collinear.example/softfoot"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// oblong is a rectangle of four feet in order round it.
func oblong(heights ...unit.Length) softfoot.Machine {
	return softfoot.Machine{
		Feet: []softfoot.Foot{
			{Name: "outboard left", Station: 0, Lateral: -0.2}, {Name: "outboard right", Station: 0, Lateral: 0.2},
			{Name: "inboard right", Station: 0.6, Lateral: 0.2}, {Name: "inboard left", Station: 0.6, Lateral: -0.2},
		},
		Heights: heights,
	}
}

func TestTwistAndItsPlans(t *testing.T) {
	const w = 0.3e-3
	m := oblong(0, 0, 0, -w) // one pad low: the diagonal without it stands high
	twist, err := m.Twist()
	require.NoError(t, err)
	assert.InDelta(t, w, float64(twist), 1e-12)
	plans, err := m.AddPlans()
	require.NoError(t, err)
	// Either foot of the low diagonal by w, or both by w/2 (by first
	// principles: the twist is to be filled once).
	require.Len(t, plans, 3)
	for _, p := range plans[:2] {
		assert.Equal(t, 1, p.Shimmed)
		assert.InDelta(t, w, float64(p.Total), 1e-9)
	}
	assert.Equal(t, 2, plans[2].Shimmed)
	assert.InDelta(t, w, float64(plans[2].Total), 1e-9)
	assert.InDelta(t, w/2, float64(plans[2].Largest), 1e-9)
	for _, p := range plans {
		after := oblong()
		for i, c := range p.Change {
			after.Heights = append(after.Heights, m.Heights[i]+c)
		}
		left, err := after.Twist()
		require.NoError(t, err)
		assert.InDelta(t, 0, float64(left), 1e-9)
		seat, err := after.Seat()
		require.NoError(t, err)
		assert.True(t, seat.Flat())
	}
	// Both feet of the low diagonal by the whole gap turn the twist round.
	both := oblong(0, w, 0, 0)
	left, err := both.Twist()
	require.NoError(t, err)
	assert.InDelta(t, -w, float64(left), 1e-12)
}

// Every plan found must seat the machine, and no plan with fewer shimmed feet or
// with less in total may exist: checked against all planes through three pads.
func TestAddPlansAgainstEveryPlane(t *testing.T) {
	r := rand.New(rand.NewPCG(31, 32))
	for range 200 {
		m := softfoot.Machine{}
		n := 4 + r.IntN(4)
		for i := range n {
			a := 2 * math.Pi * (float64(i) + 0.6*r.Float64()) / float64(n)
			m.Feet = append(m.Feet, softfoot.Foot{Name: string(rune('a' + i)), Station: unit.Length(math.Cos(a)), Lateral: unit.Length(0.5 * math.Sin(a))})
			m.Heights = append(m.Heights, unit.Length(1e-3*r.Float64()))
		}
		plans, err := m.AddPlans()
		require.NoError(t, err)
		least := math.Inf(1)
		for i := range n {
			for j := range i {
				for k := range j {
					total, ok := raiseTo(m, i, j, k)
					if ok {
						least = math.Min(least, total)
					}
				}
			}
		}
		best := math.Inf(1)
		for _, p := range plans {
			best = math.Min(best, float64(p.Total))
			after := softfoot.Machine{Feet: m.Feet}
			for i, c := range p.Change {
				require.GreaterOrEqual(t, c, unit.Length(0))
				after.Heights = append(after.Heights, m.Heights[i]+c)
			}
			seat, err := after.Seat()
			require.NoError(t, err)
			require.True(t, seat.Flat())
		}
		require.InDelta(t, least, best, 1e-9)
	}
}

// raiseTo is the total shim that brings all pads up to the plane of three, by
// Cramer's rule on the whole three-by-three system; ok is false when a pad
// stands above it.
func raiseTo(m softfoot.Machine, i, j, k int) (total float64, ok bool) {
	row := func(f int) (x, z, h float64) {
		return float64(m.Feet[f].Station), float64(m.Feet[f].Lateral), float64(m.Heights[f])
	}
	x1, z1, h1 := row(i)
	x2, z2, h2 := row(j)
	x3, z3, h3 := row(k)
	det := x1*(z2-z3) - z1*(x2-x3) + (x2*z3 - x3*z2)
	a := (h1*(z2-z3) - z1*(h2-h3) + (h2*z3 - h3*z2)) / det
	b := (x1*(h2-h3) - h1*(x2-x3) + (x2*h3 - x3*h2)) / det
	c := (x1*(z2*h3-z3*h2) - z1*(x2*h3-x3*h2) + h1*(x2*z3-x3*z2)) / det
	for f := range m.Feet {
		x, z, h := row(f)
		gap := a*x + b*z + c - h
		if gap < -1e-10 {
			return 0, false
		}
		total += gap
	}
	return total, true
}

func TestTakeOutPlans(t *testing.T) {
	const w = 0.3e-3
	m := oblong(0, 0, 0, w) // one pad high
	plans, err := m.TakeOutPlans([]unit.Length{1e-3, 1e-3, 1e-3, 1e-3})
	require.NoError(t, err)
	require.Len(t, plans, 3)
	assert.InDelta(t, w, float64(plans[0].Total), 1e-9)
	for _, p := range plans {
		for _, c := range p.Change {
			assert.LessOrEqual(t, c, unit.Length(0))
		}
	}
	plans, err = m.TakeOutPlans([]unit.Length{0, 0, 0, 0.4e-3}) // base-bound elsewhere
	require.NoError(t, err)
	require.Len(t, plans, 1)
	assert.InDelta(t, -w, float64(plans[0].Change[3]), 1e-9)
	plans, err = m.TakeOutPlans([]unit.Length{0, 0, 0, 0.1e-3})
	require.NoError(t, err)
	assert.Empty(t, plans, "base-bound everywhere")
	_, err = m.TakeOutPlans(nil)
	require.ErrorIs(t, err, align.ErrMismatch)
	_, err = m.TakeOutPlans([]unit.Length{0, 0, -1, 0})
	require.ErrorIs(t, err, align.ErrNegative)
}

func TestPlansAndTwistRefuse(t *testing.T) {
	_, err := softfoot.Machine{}.AddPlans()
	require.ErrorIs(t, err, softfoot.ErrTooFewFeet)
	m := oblong(0, 0, 0, unit.Length(math.NaN()))
	_, err = m.AddPlans()
	require.ErrorIs(t, err, align.ErrNotFinite)
	_, err = m.Twist()
	require.ErrorIs(t, err, align.ErrNotFinite)
	m = oblong(0, 0, 0, 0)
	m.Feet[1], m.Feet[2] = m.Feet[2], m.Feet[1] // not in order round the rectangle
	_, err = m.Twist()
	require.ErrorIs(t, err, softfoot.ErrNotRectangle)
}

func BenchmarkAddPlansFourFeet(b *testing.B) {
	m := oblong(0, 0.1e-3, 0, -0.3e-3)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := m.AddPlans(); err != nil {
			b.Fatal(err)
		}
	}
}
