package lp_test

import (
	"context"
	"math/rand/v2"
	"testing"
	"time"

	"collinear.example/internal/lp"
	gonumlp "gonum.org/v1/gonum/optimize/convex/lp"
)

// minimax asks for the least largest deviation: n-1 unknowns in boxes and the
// deviation, (m rows in all), the shape of most problems this package meets.
func minimax(r *rand.Rand, n, m int) *lp.Problem {
	p := lp.New(n)
	p.C[n-1] = 1
	p.Lower[n-1] = 0
	for j := range n - 1 {
		p.Lower[j], p.Upper[j] = -2, 2
	}
	row := make([]float64, n)
	for range m / 2 {
		for j := range n - 1 {
			row[j] = r.NormFloat64()
		}
		at := r.NormFloat64()
		row[n-1] = 1
		p.Add(row, at, inf)
		row[n-1] = -1
		p.Add(row, -inf, at)
	}
	return p
}

// reportRatio times other and reports its time over that of the benchmark.
func reportRatio(b *testing.B, other func()) {
	b.Helper()
	mine := float64(b.Elapsed().Nanoseconds()) / float64(b.N)
	n, start := 0, time.Now()
	for time.Since(start) < 50*time.Millisecond || n == 0 {
		other()
		n++
	}
	theirs := float64(time.Since(start).Nanoseconds()) / float64(n)
	b.ReportMetric(theirs/mine, "x-gonum")
}

var keep float64

func benchmarkMinimax(b *testing.B, n, m int) {
	r := rand.New(rand.NewPCG(3, uint64(n)))
	var ps []*lp.Problem
	for range 16 {
		ps = append(ps, minimax(r, n, m))
	}
	k, pivots := 0, 0
	s := lp.NewSolver(ps[0])
	b.ReportAllocs()
	for b.Loop() {
		s.Reset(ps[k%16])
		sol, err := s.Solve(context.Background())
		if err != nil || sol.Status != lp.Optimal {
			b.Fatal(sol.Status, sol.Reason, err)
		}
		keep += sol.Objective
		pivots += sol.Pivots
		k++
	}
	b.ReportMetric(float64(pivots)/float64(k), "pivots")
	if m > 100 {
		return // gonum takes seconds
	}
	c, a, rhs := standard(ps[0])
	reportRatio(b, func() { keep, _, _ = gonumlp.Simplex(c, a, rhs, 1e-10, nil) })
}

func BenchmarkMinimax4x16(b *testing.B)   { benchmarkMinimax(b, 4, 16) }
func BenchmarkMinimax9x40(b *testing.B)   { benchmarkMinimax(b, 9, 40) }
func BenchmarkMinimax40x250(b *testing.B) { benchmarkMinimax(b, 40, 250) }
func BenchmarkMinimax60x800(b *testing.B) { benchmarkMinimax(b, 60, 800) }

// A warm start after the cost changed, as lexicographic goals need it.
func BenchmarkResolve40x250(b *testing.B) {
	r := rand.New(rand.NewPCG(5, 6))
	p := minimax(r, 40, 250)
	s := lp.NewSolver(p)
	if _, err := s.Solve(context.Background()); err != nil {
		b.Fatal(err)
	}
	k := 0
	b.ReportAllocs()
	for b.Loop() {
		p.C[k%39] = 0.01 * float64(k%7-3)
		sol, err := s.Resolve(context.Background())
		if err != nil || sol.Status != lp.Optimal {
			b.Fatal(sol.Status, sol.Reason, err)
		}
		keep += sol.Objective
		k++
	}
}

func BenchmarkSolveOnce9x40(b *testing.B) {
	p := minimax(rand.New(rand.NewPCG(3, 9)), 9, 40)
	b.ReportAllocs()
	for b.Loop() {
		sol, err := p.Solve(context.Background())
		if err != nil || sol.Status != lp.Optimal {
			b.Fatal(sol.Status, sol.Reason, err)
		}
		keep += sol.Objective
	}
}
