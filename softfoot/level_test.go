package softfoot_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"collinear.example/softfoot"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/unit"
)

func TestReversalFindsSlopeAndZero(t *testing.T) {
	rnd := rand.New(rand.NewPCG(1, 5))
	for range 100 {
		slope, zero := rnd.NormFloat64()*1e-3, rnd.NormFloat64()*1e-3
		r, err := softfoot.LevelReversal{First: slope + zero, Turned: zero - slope}.Solve()
		require.NoError(t, err)
		require.InDelta(t, slope, r.Slope, 1e-16)
		require.InDelta(t, zero, r.ZeroError, 1e-16)
	}
	for code, r := range map[string]softfoot.LevelReversal{"not-finite": {First: math.NaN()}, "out-of-range": {Turned: 1.1}} {
		_, err := r.Solve()
		require.Equal(t, code, align.CodeOf(err))
	}
}

// The shared-out heights are those of a least-squares adjustment in which each
// rise has a variance in proportion to its weight.
func TestTraverseIsLeastSquares(t *testing.T) {
	rnd := rand.New(rand.NewPCG(2, 5))
	for _, way := range []softfoot.Spread{softfoot.ByLength, softfoot.ByLeg} {
		for range 40 {
			n := 2 + rnd.IntN(6)
			tr := softfoot.LevelTraverse{Start: 1, End: unit.Length(1 + 1e-3*rnd.NormFloat64()), Spread: way}
			// Unknown heights 1 to n-1; one equation a leg, divided by its sigma.
			a, y := mat.NewDense(n, n-1, nil), mat.NewVecDense(n, nil)
			for i := range n {
				l := softfoot.LevelLeg{Length: unit.Length(0.2 + rnd.Float64()), Rise: unit.Length(1e-3 * rnd.NormFloat64())}
				tr.Legs = append(tr.Legs, l)
				sigma := 1.0
				if way == softfoot.ByLength {
					sigma = math.Sqrt(float64(l.Length))
				}
				known := float64(l.Rise)
				if i > 0 {
					a.Set(i, i-1, -1/sigma)
				} else {
					known += 1
				}
				if i < n-1 {
					a.Set(i, i, 1/sigma)
				} else {
					known -= float64(tr.End)
				}
				y.SetVec(i, known/sigma)
			}
			var x mat.VecDense
			require.NoError(t, x.SolveVec(a, y))
			h, ws, err := tr.Close()
			require.NoError(t, err)
			require.Empty(t, ws)
			for i := range n - 1 {
				require.InDelta(t, x.AtVec(i), float64(h.Adjusted[i]), 1e-13)
			}
			require.InDelta(t, float64(tr.End), float64(h.Adjusted[n-1]), 1e-15)
		}
	}
}

func TestClosureWarns(t *testing.T) {
	limit := 10 * align.Micrometre
	tr := softfoot.LevelTraverse{Limit: &limit, Legs: []softfoot.LevelLeg{{Length: 1, Rise: 3e-5}, {Length: 1, Rise: -1e-5}}}
	h, ws, err := tr.Close()
	require.NoError(t, err)
	require.Len(t, ws, 1)
	require.Equal(t, align.WarnClosure, ws[0].Code)
	require.InDelta(t, 2e-5, float64(h.Closure), 1e-15)
	tr.Legs[1].Rise = -2e-5
	_, ws, err = tr.Close()
	require.NoError(t, err)
	require.Empty(t, ws)
}

func TestTraverseFaults(t *testing.T) {
	bad := unit.Length(-1)
	leg := []softfoot.LevelLeg{{Length: 1}}
	for _, c := range []struct {
		code string
		t    softfoot.LevelTraverse
	}{
		{"missing", softfoot.LevelTraverse{}},
		{"unknown-kind", softfoot.LevelTraverse{Legs: leg, Spread: 7}},
		{"negative", softfoot.LevelTraverse{Legs: leg, Limit: &bad}},
		{"out-of-range", softfoot.LevelTraverse{Legs: make([]softfoot.LevelLeg, 1)}},
		{"not-finite", softfoot.LevelTraverse{Legs: leg, Start: unit.Length(math.NaN())}},
	} {
		_, _, err := c.t.Close()
		require.Equal(t, c.code, align.CodeOf(err))
	}
}

func TestRiseOf(t *testing.T) {
	require.InDelta(t, 2e-5, float64(softfoot.RiseOf(1e-5, 2)), 1e-18)
}

func BenchmarkReversal(b *testing.B) {
	r := softfoot.LevelReversal{First: 3e-5, Turned: 1e-5}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := r.Solve(); err != nil {
			b.Fatal(err)
		}
	}
}
