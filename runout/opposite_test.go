package runout_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"collinear.example/runout"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// Each half difference is the bend along that diameter, whatever the ovality
// and the zero of the dial, and the largest understates the bend by no more than
// the rule says.
func TestOppositeMarksGiveTheBend(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	for range 300 {
		s := oval(r)
		s.size[4], s.high[4] = 5e-6, r.Float64()*90
		n := 2 * (1 + r.IntN(8))
		o, err := runout.OppositeMarks(s.sweep(evenMarks(n, align.Clock(r.Float64()*360))...))
		require.NoError(t, err)
		require.Len(t, o.Pairs, n/2)
		for _, p := range o.Pairs {
			along := s.size[1] * math.Cos((float64(p.At)-s.high[1])*math.Pi/180)
			require.InDelta(t, along, float64(p.Bend()), 1e-15)
		}
		short := 1 - math.Abs(float64(o.Largest.Bend()))/s.size[1]
		require.LessOrEqual(t, short, o.Understates+1e-12)
		require.InDelta(t, 1-math.Cos(math.Pi/float64(n)), o.Understates, 1e-13)
	}
}

func TestOppositeMarksInAnyOrder(t *testing.T) {
	s := surface{size: [5]float64{0, 3e-5}, high: [5]float64{0, 40}}
	o, err := runout.OppositeMarks(append(s.sweep(0, 180, 270, 90), align.Reading{At: 0, Value: 1}))
	require.NoError(t, err)
	require.Equal(t, []align.Clock{0, 270}, []align.Clock{o.Pairs[0].At, o.Pairs[1].At})
	require.Equal(t, o.Pairs[0], o.Largest)
}

func TestOppositeMarksRefused(t *testing.T) {
	for name, c := range map[string]struct {
		sweep align.Sweep
		want  error
	}{
		"nothing":        {nil, align.ErrTooFewPositions},
		"one":            {align.Sweep{{At: 0}}, align.ErrTooFewPositions},
		"three even":     {surface{}.sweep(0, 120, 240), align.ErrMismatch},
		"one lacks":      {surface{}.sweep(0, 90, 180), align.ErrMismatch},
		"twice":          {surface{}.sweep(0, 180, 0, 90, 270), align.ErrMismatch},
		"opposite twice": {surface{}.sweep(0, 180, 180, 90, 270), align.ErrMismatch},
		"infinite":       {align.TopBottom(0, unit.Length(math.Inf(-1))), align.ErrNotFinite},
		"overflow":       {align.TopBottom(1.7e308, -1.7e308), align.ErrOutOfRange},
	} {
		_, err := runout.OppositeMarks(c.sweep)
		require.ErrorIs(t, err, c.want, name)
	}
}
