package thermal

import (
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// worstDescent finds the smallest worst share by nested ternary search of a
// convex function: slow, and shares nothing with the code under test.
func worstDescent(ms []moved) float64 {
	worst := func(v, h float64) float64 {
		w := 0.0
		for _, m := range ms {
			w = max(w, math.Sqrt((v+m.v)*(v+m.v)+(h+m.h)*(h+m.h))/m.limit)
		}
		return w
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, m := range ms {
		lo, hi = min(lo, -m.v, -m.h), max(hi, -m.v, -m.h)
	}
	least := func(f func(float64) float64) float64 {
		a, b := lo, hi
		for range 120 {
			c, d := a+(b-a)/3, b-(b-a)/3
			if f(c) <= f(d) {
				b = d
			} else {
				a = c
			}
		}
		return f((a + b) / 2)
	}
	return least(func(v float64) float64 {
		return least(func(h float64) float64 { return worst(v, h) })
	})
}

func randomMoves(r *rand.Rand, n int, weighted bool) []moved {
	out := make([]moved, n)
	for i := range out {
		out[i] = moved{r.NormFloat64(), r.NormFloat64(), 1}
		if weighted {
			out[i].limit = math.Exp(r.NormFloat64())
		}
	}
	if n > 3 && r.IntN(4) == 0 {
		out[n-1] = out[0] // a state given twice
	}
	return out
}

func TestEncloseAgainstAllPairsAndTriples(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for k := range 3000 {
		ms := randomMoves(r, 1+r.IntN(12), k%2 == 0)
		p, share := enclose(ms)
		q, slow, _ := decideAll(ms)
		require.InDelta(t, slow, share, 1e-12*(1+slow), "%v", ms)
		require.InDelta(t, q.v, p.v, 1e-6*(1+slow), "%v", ms)
		require.InDelta(t, q.h, p.h, 1e-6*(1+slow), "%v", ms)
		again, _ := p.worst(ms)
		require.InDelta(t, share, again, 1e-12*(1+share))
	}
}

func TestEncloseAgainstConvexSearch(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for k := range 40 {
		ms := randomMoves(r, 2+r.IntN(7), k%2 == 0)
		_, share := enclose(ms)
		want := worstDescent(ms)
		require.InDelta(t, want, share, 1e-7*(1+want), "%v", ms)
	}
}

func TestEncloseOfPointsInLineAndFarFromZero(t *testing.T) {
	for _, shift := range []float64{0, 1, 5} {
		var ms []moved
		for i := range 6 {
			ms = append(ms, moved{shift + 1e-6*float64(i), shift - 2e-6*float64(i), 1})
		}
		p, share := enclose(ms)
		require.InDelta(t, 2.5e-6*math.Sqrt(5), share, 1e-14)
		require.InDelta(t, -(shift + 2.5e-6), p.v, 1e-14)
		require.InDelta(t, -(shift - 5e-6), p.h, 1e-14)
	}
}

func TestEnclosingByHand(t *testing.T) {
	mm := align.Millimetre
	// A 3-4-5 right triangle: the circle stands on the hypotenuse.
	c, r, err := Enclosing([]align.Offset{{}, {Vertical: 3 * mm}, {Horizontal: 4 * mm}})
	require.NoError(t, err)
	require.InDelta(t, 2.5e-3, float64(r), 1e-15)
	require.InDelta(t, 1.5e-3, float64(c.Vertical), 1e-15)
	require.InDelta(t, 2e-3, float64(c.Horizontal), 1e-15)

	// Equilateral with side 2: circumradius 2/sqrt 3.
	h := unit.Length(math.Sqrt(3))
	_, r, err = Enclosing([]align.Offset{{Horizontal: -1}, {Horizontal: 1}, {Vertical: h}})
	require.NoError(t, err)
	require.InDelta(t, 2/math.Sqrt(3), float64(r), 1e-14)

	_, _, err = Enclosing(nil)
	require.ErrorIs(t, err, align.ErrMissing)
	_, _, err = Enclosing([]align.Offset{{Vertical: unit.Length(math.NaN())}})
	require.ErrorIs(t, err, align.ErrNotFinite)
}

func TestMidrangeAgainstSearch(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for k := range 500 {
		ms := randomMoves(r, 1+r.IntN(8), k%2 == 0)
		c, share := midrange(len(ms), func(i int) (float64, float64) { return ms[i].v, ms[i].limit })
		worst := func(x float64) (w float64) {
			for _, m := range ms {
				w = max(w, math.Abs(x+m.v)/m.limit)
			}
			return w
		}
		require.InDelta(t, share, worst(c), 1e-12*(1+share))
		a, b := -20.0, 20.0
		for range 200 {
			x, y := a+(b-a)/3, b-(b-a)/3
			if worst(x) <= worst(y) {
				b = y
			} else {
				a = x
			}
		}
		require.InDelta(t, worst((a+b)/2), share, 1e-9*(1+share))
	}
}

func BenchmarkEnclose(b *testing.B) {
	ms := randomMoves(rand.New(rand.NewPCG(7, 8)), 8, true)
	b.ReportAllocs()
	for b.Loop() {
		enclose(ms)
	}
}

// Points on a coarse grid, on one circle and in one line tie in every way.
func TestEncloseWithTies(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	for k := range 2000 {
		ms := make([]moved, 2+r.IntN(10))
		for i := range ms {
			ms[i] = moved{float64(r.IntN(4)), float64(r.IntN(4)), 1 + float64(r.IntN(1+k%3))}
			if k%5 == 0 { // on one circle
				a := 2 * math.Pi * float64(r.IntN(8)) / 8
				ms[i].v, ms[i].h = math.Cos(a), math.Sin(a)
			}
		}
		p, share := enclose(ms)
		_, slow, _ := decideAll(ms)
		require.InDelta(t, slow, share, 1e-12*(1+slow), "%v", ms)
		again, _ := p.worst(ms)
		require.InDelta(t, share, again, 1e-12*(1+share), "%v", ms)
	}
}

func FuzzEnclose(f *testing.F) {
	f.Add(0.0, 0.0, 3.0, 0.0, 0.0, 4.0, 1.0, 2.0, 3.0)
	f.Fuzz(func(t *testing.T, a, b, c, d, e, g, l1, l2, l3 float64) {
		ms := []moved{{a, b, l1}, {c, d, l2}, {e, g, l3}, {a + 1e-3, d, l1}}
		for _, m := range ms {
			if !(math.Abs(m.v) <= 10 && math.Abs(m.h) <= 10 && m.limit >= 1e-9 && m.limit <= 10) {
				return
			}
		}
		p, share := enclose(ms)
		_, slow, _ := decideAll(ms)
		if !(share <= slow*(1+1e-9)+1e-7) || !align.IsFinite(p.v) || !align.IsFinite(p.h) {
			t.Fatalf("%v: %v against %v", ms, share, slow)
		}
	})
}
