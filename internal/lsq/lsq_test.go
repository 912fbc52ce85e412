package lsq_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/internal/lsq"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
)

// problem is a random system kept in full, for gonum, beside the row-by-row one.
type problem struct {
	sys lsq.System
	a   *mat.Dense
	y   *mat.VecDense
}

// newProblem fills rows equations of n unknowns with entry and value.
func newProblem(rows, n int, entry func(i, j int) float64, value func(i int) float64) problem {
	p := problem{lsq.New(n), mat.NewDense(rows, n, nil), mat.NewVecDense(rows, nil)}
	for i := range rows {
		var row lsq.Row
		for j := range n {
			row[j] = entry(i, j)
			p.a.Set(i, j, row[j])
		}
		p.y.SetVec(i, value(i))
		p.sys.Add(row, p.y.AtVec(i))
	}
	return p
}

// oracle solves with Householder QR of the whole matrix.
func (p problem) oracle(t *testing.T) []float64 {
	t.Helper()
	var qr mat.QR
	var x mat.VecDense
	qr.Factorize(p.a)
	err := qr.SolveVecTo(&x, false, p.y)
	if _, poor := err.(mat.Condition); !poor {
		require.NoError(t, err)
	}
	return x.RawVector().Data
}

func TestSolveAgainstQR(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for n := 1; n <= lsq.MaxUnknowns; n++ {
		for range 50 {
			rows := n + r.IntN(20)
			p := newProblem(rows, n,
				func(int, int) float64 { return r.NormFloat64() },
				func(int) float64 { return r.NormFloat64() })
			want, got := p.oracle(t), p.sys.Solve()
			cond := mat.Cond(p.a, 2)
			for j := range n {
				assert.InDelta(t, want[j], got[j], 1e-14*cond*cond*float64(rows))
			}
			var left mat.VecDense
			left.MulVec(p.a, mat.NewVecDense(n, want))
			left.SubVec(p.y, &left)
			assert.InDelta(t, mat.Dot(&left, &left), p.sys.SumSquares(), 1e-11)
			assert.Equal(t, rows, p.sys.Rows())
		}
	}
}

func TestExactSystemHasNoResidual(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 2))
	for n := 1; n <= lsq.MaxUnknowns; n++ {
		truth := make([]float64, n)
		for j := range truth {
			truth[j] = r.NormFloat64()
		}
		sys := lsq.New(n)
		for range 3 * n {
			var row lsq.Row
			y := 0.0
			for j := range n {
				row[j] = r.NormFloat64()
				y += row[j] * truth[j]
			}
			sys.Add(row, y)
		}
		x := sys.Solve()
		for j := range n {
			assert.InDelta(t, truth[j], x[j], 1e-12)
		}
		assert.InDelta(t, 0, sys.SumSquares(), 1e-25)
	}
}

// Columns that nearly coincide: QR of the rows keeps half of the digits that
// normal equations throw away, and the row-by-row factor must keep them too.
func TestNearlyDegenerateKeepsTheDigitsOfQR(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	for _, eps := range []float64{1e-3, 1e-5, 1e-7} {
		for range 20 {
			var first float64
			p := newProblem(12, 3,
				func(_, j int) float64 {
					switch j {
					case 0:
						first = r.NormFloat64()
						return first
					case 1:
						return first + eps*r.NormFloat64()
					}
					return r.NormFloat64()
				},
				func(int) float64 { return 0 })
			truth := mat.NewVecDense(3, []float64{1, -1, 2})
			var y mat.VecDense
			y.MulVec(p.a, truth)
			sys := lsq.New(3)
			for i := range 12 {
				sys.Add(lsq.Row{p.a.At(i, 0), p.a.At(i, 1), p.a.At(i, 2)}, y.AtVec(i))
			}
			x := sys.Solve()
			for j := range 3 {
				assert.InDelta(t, truth.AtVec(j), x[j], 2e-14/eps, "eps %g", eps)
			}
			_, share := sys.Weakest()
			assert.Greater(t, share, lsq.Rank1Tolerance)
		}
	}
}

func TestWeakestNamesTheUnknownThatIsOpen(t *testing.T) {
	empty := lsq.New(2)
	_, share := empty.Weakest()
	assert.Zero(t, share)

	sys := lsq.New(3) // nothing says anything of the second unknown
	sys.Add(lsq.Row{1, 0, 0}, 1)
	sys.Add(lsq.Row{1, 0, 1}, 2)
	sys.Add(lsq.Row{2, 0, 1}, 3)
	k, share := sys.Weakest()
	assert.Equal(t, 1, k)
	assert.Zero(t, share)

	sys = lsq.New(2) // the second column is twice the first
	for _, v := range []float64{0.1, 0.7, -0.3, 1.1} {
		sys.Add(lsq.Row{v, 2 * v}, v)
	}
	k, share = sys.Weakest()
	assert.Equal(t, 1, k)
	assert.Less(t, share, lsq.Rank1Tolerance)
}

func TestCovarianceIsTheInverseOfTheNormalMatrix(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	for n := 1; n <= lsq.MaxUnknowns; n++ {
		p := newProblem(n+6, n,
			func(int, int) float64 { return r.NormFloat64() },
			func(int) float64 { return r.NormFloat64() })
		var normal, want mat.Dense
		normal.Mul(p.a.T(), p.a)
		require.NoError(t, want.Inverse(&normal))
		w := p.sys.InverseFactor()
		got := p.sys.Covariance(&w)
		for i := range n {
			for j := range n {
				assert.InDelta(t, want.At(i, j), got[i][j], 1e-11*mat.Cond(&normal, 2))
			}
		}
	}
}

func TestConditionIsThatOfTheFactor(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	p := newProblem(9, 4,
		func(int, int) float64 { return r.NormFloat64() },
		func(int) float64 { return 0 })
	w := p.sys.InverseFactor()
	got := p.sys.Condition(&w)
	var qr mat.QR
	qr.Factorize(p.a)
	var factor mat.Dense
	qr.RTo(&factor)
	want := mat.Cond(factor.Slice(0, 4, 0, 4), math.Inf(1))
	assert.InEpsilon(t, want, got, 1e-10)
	assert.GreaterOrEqual(t, got, 1.0)
}

// Scaling a row by the root of its weight equals repeating it that often.
func TestWeightIsRepetition(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 6))
	once, often := lsq.New(2), lsq.New(2)
	for range 5 {
		a, b, y := r.NormFloat64(), r.NormFloat64(), r.NormFloat64()
		for range 4 {
			often.Add(lsq.Row{a, b}, y)
		}
		once.Add(lsq.Row{2 * a, 2 * b}, 2*y)
	}
	x, z := once.Solve(), often.Solve()
	assert.InDelta(t, z[0], x[0], 1e-13)
	assert.InDelta(t, z[1], x[1], 1e-13)
	assert.InDelta(t, often.SumSquares(), once.SumSquares(), 1e-12)
}

func BenchmarkSixteenRowsFourUnknowns(b *testing.B) {
	r := rand.New(rand.NewPCG(7, 7))
	var rows [16]lsq.Row
	var y [16]float64
	for i := range rows {
		for j := range 4 {
			rows[i][j] = r.NormFloat64()
		}
		y[i] = r.NormFloat64()
	}
	b.ReportAllocs()
	sum := 0.0
	for b.Loop() {
		sys := lsq.New(4)
		for i := range rows {
			sys.Add(rows[i], y[i])
		}
		x := sys.Solve()
		sum += x[0]
	}
	if math.IsNaN(sum) {
		b.Fatal("not a number")
	}
}
