package rigid

import (
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/unit"
)

var all = [Unknowns]bool{true, true, true, true, true, true}

func somewhere(draw *rand.Rand) align.Place {
	l := func() unit.Length { return unit.Length(draw.NormFloat64()) }
	return align.Place{X: l(), Y: l(), Z: l()}
}

func someDirection(draw *rand.Rand) align.Direction {
	d, err := align.DirectionOf(draw.NormFloat64(), draw.NormFloat64(), draw.NormFloat64())
	if err != nil {
		panic(err)
	}
	return d
}

// The row of the published example: s = (2, 3, 5), n = (7, 11, 13) gives
// s x n = (-16, 9, 1). (n is not of unit length there, and need not be.)
func TestReadingPublished(t *testing.T) {
	v := Reading(align.Place{X: 2, Y: 3, Z: 5}, align.Place{}, align.Direction{X: 7, Y: 11, Z: 13})
	assert.Equal(t, Vector{7, 11, 13, -16, 9, 1}, v)
}

// Six dials along the axes through one point: rank 3, turns cannot be seen
// (published as the ill-posed case of the same source).
func TestDegeneratePublished(t *testing.T) {
	var rows []Vector
	for _, s := range []align.Direction{{X: 1}, {Y: 1}, {Z: 1}, {X: -1}, {Y: -1}, {Z: -1}} {
		p := align.Place{X: unit.Length(s.X), Y: unit.Length(s.Y), Z: unit.Length(s.Z)}
		rows = append(rows, Reading(p, align.Place{}, s))
	}
	f := New(rows, all, 1)
	assert.Equal(t, 3, f.Rank())
	for j := range Unknowns {
		var g Vector
		g[j] = 1
		assert.Equal(t, j < 3, f.Determined(g, all), j)
	}
}

// Readings simulated from a motion give it back, and what they leave is none.
func TestRoundTrip(t *testing.T) {
	draw := rand.New(rand.NewPCG(1, 1))
	for range 200 {
		about := somewhere(draw)
		var want Vector
		for j := range want {
			want[j] = 1e-4 * draw.NormFloat64()
		}
		var rows []Vector
		var y []float64
		for range 6 + draw.IntN(8) {
			p, n := somewhere(draw), someDirection(draw)
			rows = append(rows, Reading(p, about, n))
			y = append(y, float64(want.Motion(about).At(p).Along(n)))
		}
		f := New(rows, all, 0.5+draw.Float64())
		require.Equal(t, Unknowns, f.Rank())
		got := f.Solve(y)
		for j := range want {
			assert.InDelta(t, want[j], got[j], 1e-12*f.Condition())
		}
	}
}

// Rank, motion and covariance are those of gonum's decompositions.
func TestAgainstGonum(t *testing.T) {
	draw := rand.New(rand.NewPCG(2, 2))
	for range 200 {
		n := 1 + draw.IntN(12)
		var rows []Vector
		var y []float64
		planar := draw.IntN(2) == 0
		for range n {
			p, d := somewhere(draw), someDirection(draw)
			if planar { // vertical dials on one height: rank 3 at most
				p.Y, d = 0, align.Upward()
			}
			rows = append(rows, Reading(p, align.Place{}, d))
			y = append(y, draw.NormFloat64())
		}
		f := New(rows, all, 1)
		a := mat.NewDense(n, Unknowns, nil)
		for i, r := range rows {
			a.SetRow(i, r[:])
		}
		var svd mat.SVD
		require.True(t, svd.Factorize(a, mat.SVDThin))
		rank := svd.Rank(1e-9)
		require.Equal(t, rank, f.Rank())
		var x mat.Dense
		svd.SolveTo(&x, mat.NewDense(n, 1, y), rank)
		got := f.Solve(y)
		for j := range Unknowns {
			assert.InDelta(t, x.At(j, 0), got[j], 1e-9*(1+math.Abs(x.At(j, 0)))*f.Condition())
		}
		if rank == Unknowns {
			var normal, inverse mat.Dense
			normal.Mul(a.T(), a)
			require.NoError(t, inverse.Inverse(&normal))
			for i := range Unknowns {
				for j := range Unknowns {
					var g, h Vector
					g[i], h[j] = 1, 1
					assert.InDelta(t, inverse.At(i, j), f.Covariance(g, h), 1e-8*(1+math.Abs(inverse.At(i, j)))*f.Condition())
					assert.InEpsilon(t, f.Covariance(g, g), f.Variance(g), 1e-12)
				}
			}
		}
	}
}

// The quick way and the singular values give the same, where the quick way is
// taken at all.
func TestQuickAgainstThorough(t *testing.T) {
	draw := rand.New(rand.NewPCG(4, 4))
	taken := 0
	for range 500 {
		free, ways := all, Unknowns
		for j := range free {
			if draw.IntN(5) == 0 {
				free[j] = false
				ways--
			}
		}
		rows := make([]Vector, 1+draw.IntN(10))
		for i := range rows {
			rows[i] = Reading(somewhere(draw), align.Place{}, someDirection(draw))
			if i > 0 && draw.IntN(8) == 0 {
				rows[i] = rows[i-1] // a dial beside another
			}
		}
		var scale Vector
		for j := range free {
			if free[j] {
				scale[j] = 0.5 + draw.Float64()
			}
		}
		quick, slow := Fit{lever: 1, back: make([]Vector, len(rows))}, Fit{lever: 1, back: make([]Vector, len(rows))}
		if !quick.quick(rows, &scale, ways) {
			continue
		}
		taken++
		slow.thorough(rows, &scale)
		slow.full, quick.full = slow.rank == ways, quick.rank == ways
		require.Equal(t, slow.rank, quick.rank)
		assert.GreaterOrEqual(t, quick.condition*(1+1e-9), slow.condition)
		for i := range rows {
			for j := range Unknowns {
				assert.InDelta(t, slow.back[i][j], quick.back[i][j], 1e-12*slow.condition*slow.condition)
			}
			assert.InEpsilon(t, slow.Variance(rows[i])+1, quick.Variance(rows[i])+1, 1e-9)
		}
		for j := range Unknowns {
			var g Vector
			g[j] = 1
			require.Equal(t, slow.Determined(g, free), quick.Determined(g, free))
		}
	}
	assert.Greater(t, taken, 200)
}

// A reading that repeats one there is determines nothing new, and what it reads
// is determined; a way that is held is none.
func TestHeldAndDetermined(t *testing.T) {
	p := align.Place{X: 1}
	up := Reading(p, align.Place{}, align.Upward())
	f := New([]Vector{up, up}, all, 1)
	assert.Equal(t, 1, f.Rank())
	assert.True(t, f.Determined(up, all))
	assert.False(t, f.Determined(Vector{0, 1}, all))
	held := [Unknowns]bool{true, true, true, false, false, false}
	f = New([]Vector{up, up}, held, 1)
	assert.True(t, f.Determined(Vector{0, 1}, held))
	x := f.Solve([]float64{3e-5, 5e-5})
	assert.InDelta(t, 4e-5, x[1], 1e-18)
	assert.Zero(t, x[5])
	assert.InDelta(t, 0.5, f.Covariance(up, up), 1e-12)
	f = New(nil, all, 1)
	assert.Zero(t, f.Rank())
	assert.Zero(t, f.Condition())
	assert.Equal(t, Vector{}, f.Solve(nil))
}

func BenchmarkTwelveReadings(b *testing.B) {
	draw := rand.New(rand.NewPCG(3, 3))
	rows := make([]Vector, 12)
	y := make([]float64, 12)
	for i := range rows {
		rows[i] = Reading(somewhere(draw), align.Place{}, someDirection(draw))
		y[i] = draw.NormFloat64()
	}
	b.Run("decompose", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			f := New(rows, all, 1)
			if f.Rank() != Unknowns {
				b.Fatal("rank")
			}
		}
	})
	f := New(rows, all, 1)
	b.Run("solve", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			f.Solve(y)
		}
	})
	b.Run("gonum", func(b *testing.B) {
		a := mat.NewDense(12, Unknowns, nil)
		for i, r := range rows {
			a.SetRow(i, r[:])
		}
		b.ReportAllocs()
		for b.Loop() {
			var svd mat.SVD
			svd.Factorize(a, mat.SVDThin)
		}
	})
}
