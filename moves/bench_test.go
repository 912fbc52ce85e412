package moves_test

import (
	"context"
	"math/rand/v2"
	"testing"
	"time"

	"collinear.example/align"
	"collinear.example/moves"
	"collinear.example/piping"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
)

// simplexOf is the best alignment of a train of two machines of which the second
// one moves, in the standard form of gonum's lp.Simplex and in tenths of a
// millimetre: up and right at the two flex planes as differences of two columns
// each, the share, and a slack for every row.
func simplexOf(t *moves.Train) (c []float64, a *mat.Dense, b []float64) {
	const step = 1e-4
	k := &t.Couplings[0]
	p, q := k.Offsets[0].Station, k.Offsets[1].Station
	type row struct {
		plane    int
		at       [2]float64 // of what moves at the two flex planes
		limit    float64    // times the share
		constant float64    // row <= constant
	}
	var rows []row
	for plane := range 2 {
		for i, o := range k.Offsets {
			e := k.Found.At(o.Station)
			found := float64(e.Vertical)
			if plane == 1 {
				found = float64(e.Horizontal)
			}
			for _, sign := range []float64{1, -1} {
				r := row{plane: plane, limit: float64(o.Limit) / step, constant: -sign * found / step}
				r.at[i] = sign
				rows = append(rows, r)
			}
		}
		for _, f := range t.Machines[1].Feet {
			w := float64((f.At.X - p) / (q - p))
			over, under := f.Range.Up, f.Range.Down
			if plane == 1 {
				over, under = f.Range.Right, f.Range.Left
			}
			rows = append(rows, row{plane: plane, at: [2]float64{1 - w, w}, constant: float64(*over) / step},
				row{plane: plane, at: [2]float64{w - 1, -w}, constant: float64(*under) / step})
		}
	}
	n := 9 + len(rows) + 1
	a, c, b = mat.NewDense(len(rows)+1, n, nil), make([]float64, n), make([]float64, len(rows)+1)
	c[8] = 1
	for i, r := range rows {
		for j, v := range r.at {
			a.Set(i, 4*r.plane+2*j, v)
			a.Set(i, 4*r.plane+2*j+1, -v)
		}
		a.Set(i, 8, -r.limit)
		a.Set(i, 9+i, 1)
		b[i] = r.constant
	}
	a.Set(len(rows), 8, 1) // no more than all of the limit
	a.Set(len(rows), n-1, 1)
	b[len(rows)] = 1
	return c, a, b
}

func twoMachines(rnd *rand.Rand) *moves.Train {
	t := planTrain(rnd, planPart{machines: 2, room: 1e-3})
	t.Machines[0].Free = piping.Ways{}
	t.Couplings[0].Slope = nil
	return t
}

// An independent solver gives the same optimum where it gives one.
func TestPlanAgainstSimplex(t *testing.T) {
	rnd := rand.New(rand.NewPCG(1, 65))
	solved, refused := 0, 0
	for range 300 {
		train := twoMachines(rnd)
		best, _, err := lp.Simplex(simplexOf3(train))
		p := mustPlan(t, train, moves.BestAlignment)
		if err != nil {
			refused++ // no verdict, whatever it says
			continue
		}
		solved++
		require.True(t, p.Feasible)
		require.InDelta(t, best, p.Values[0], 1e-7)
	}
	t.Logf("gonum's Simplex solved %d of 300 scaled plans", solved)
	require.Greater(t, solved, 100)
	require.Positive(t, refused, "some have no solution")
}

// simplexOf3 is simplexOf with the tolerance and the basis that Simplex wants.
func simplexOf3(t *moves.Train) (c []float64, a mat.Matrix, b []float64, tolerance float64, basis []int) {
	c, a, b = simplexOf(t)
	return c, a, b, 1e-10, nil
}

// reportSimplex times gonum's Simplex and reports its time over that of the
// benchmark. A benchmark inside a benchmark waits for itself, so the clock is
// read here.
func reportSimplex(b *testing.B, train *moves.Train) {
	b.Helper()
	mine := float64(b.Elapsed().Nanoseconds()) / float64(b.N)
	c, a, rhs, tolerance, _ := simplexOf3(train)
	n, start := 0, time.Now()
	for time.Since(start) < 50*time.Millisecond {
		if _, _, err := lp.Simplex(c, a, rhs, tolerance, nil); err != nil {
			b.Fatal(err)
		}
		n++
	}
	b.ReportMetric(float64(time.Since(start).Nanoseconds())/float64(n)/mine, "x-Simplex")
}

// solvedBoth returns a train that both solvers solve.
func solvedBoth(b *testing.B) *moves.Train {
	b.Helper()
	rnd := rand.New(rand.NewPCG(2, 65))
	for range 100 {
		train := twoMachines(rnd)
		if _, _, err := lp.Simplex(simplexOf3(train)); err == nil {
			return train
		}
	}
	b.Fatal("no train is solved by both")
	return nil
}

func BenchmarkTwoMachinesAlignment(b *testing.B) {
	train := solvedBoth(b)
	o := moves.Options{Criteria: []moves.Criterion{moves.BestAlignment}}
	benchPlan(b, train, o)
	reportSimplex(b, train)
}

func BenchmarkTwoMachinesThenLeastMove(b *testing.B) {
	benchPlan(b, solvedBoth(b), moves.Options{})
}

func BenchmarkSixMachinesThreeStatesTwoFlanges(b *testing.B) {
	rnd := rand.New(rand.NewPCG(3, 65))
	train := planTrain(rnd, planPart{machines: 6, states: 3, room: 6e-3})
	for _, i := range []int{2, 5} {
		m := &train.Machines[i]
		m.Goals = []piping.NozzleGoal{planGoal(rnd, m.About.X)}
	}
	for i := range train.Couplings {
		for k := range train.Couplings[i].Offsets {
			train.Couplings[i].Offsets[k].Limit = 0.3 * align.Millimetre
		}
		train.Couplings[i].Slope = nil
	}
	benchPlan(b, train, moves.Options{Criteria: []moves.Criterion{moves.BestTogether, moves.LeastTotalMove}})
}

func BenchmarkExplain(b *testing.B) {
	train := twoMachines(rand.New(rand.NewPCG(4, 65)))
	zero := 0 * align.Millimetre
	for k := range train.Machines[1].Feet {
		train.Machines[1].Feet[k].Range = moves.Within(zero, zero, zero, zero)
	}
	b.ReportAllocs()
	for b.Loop() {
		p, err := train.Plan(context.Background(), moves.Options{})
		if err != nil || p.Feasible {
			b.Fatal("want an explanation")
		}
	}
}

func benchPlan(b *testing.B, train *moves.Train, o moves.Options) {
	b.Helper()
	b.ReportAllocs()
	for b.Loop() {
		p, err := train.Plan(context.Background(), o)
		if err != nil || !p.Feasible {
			b.Fatal("want a plan")
		}
	}
}
