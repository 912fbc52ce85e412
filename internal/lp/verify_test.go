package lp_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"collinear.example/internal/lp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func clone(s lp.Solution) lp.Solution {
	s.X, s.Ray = slices.Clone(s.X), slices.Clone(s.Ray)
	s.RowDual, s.VarDual = slices.Clone(s.RowDual), slices.Clone(s.VarDual)
	return s
}

// refuses changes one number of an answer at a time, by a thousandth and more,
// and asks that Verify notices each.
func refuses(t *testing.T, p *lp.Problem, sol lp.Solution, part func(*lp.Solution) []float64, name string) {
	t.Helper()
	for k := range part(&sol) {
		for _, by := range []float64{0.001, -0.001, 1, -1, math.NaN(), inf} {
			bad := clone(sol)
			part(&bad)[k] += by
			assert.ErrorIs(t, p.Verify(bad, 1e-9), lp.ErrUnproved, "%s[%d] %+g", name, k, by)
		}
	}
}

// pinned is a problem with one optimum and one set of multipliers.
func pinned() *lp.Problem {
	p := lp.New(3)
	p.C = []float64{-3, -5, 1}
	p.Lower, p.Upper = []float64{0, 0, 2}, []float64{4, inf, 9}
	p.Add([]float64{0, 2, 0}, -inf, 12)
	p.Add([]float64{3, 2, 0}, -inf, 18)
	return p
}

func TestVerifyRefusesTamperedOptimum(t *testing.T) {
	p := pinned()
	sol := solve(t, p)
	// By hand: y = 6, then x = 2, so -3*2 - 5*6 + 2 = -34.
	require.InDeltaSlice(t, []float64{2, 6, 2}, sol.X, 1e-12)
	require.InDelta(t, -34, sol.Objective, 1e-12)
	// C = y1*(0,2,0) + y2*(3,2,0) + z: y2 = -1, y1 = -3/2, z3 = 1.
	require.InDeltaSlice(t, []float64{-1.5, -1}, sol.RowDual, 1e-12)
	require.InDeltaSlice(t, []float64{0, 0, 1}, sol.VarDual, 1e-12)
	refuses(t, p, sol, func(s *lp.Solution) []float64 { return s.X }, "X")
	refuses(t, p, sol, func(s *lp.Solution) []float64 { return s.RowDual }, "RowDual")
	refuses(t, p, sol, func(s *lp.Solution) []float64 { return s.VarDual }, "VarDual")

	bad := clone(sol)
	bad.Objective++
	assert.ErrorIs(t, p.Verify(bad, 1e-9), lp.ErrUnproved)
	for _, st := range []lp.Status{lp.Stopped, lp.Infeasible, lp.Unbounded, 17} {
		bad = clone(sol)
		bad.Status = st
		assert.ErrorIs(t, p.Verify(bad, 1e-9), lp.ErrUnproved, st)
	}
	bad = clone(sol)
	bad.X = bad.X[:2]
	assert.ErrorIs(t, p.Verify(bad, 1e-9), lp.ErrUnproved)

	// A feasible point that is no optimum, with the multipliers of the optimum.
	bad = clone(sol)
	bad.X[0], bad.Objective = 1, -31
	assert.ErrorIs(t, p.Verify(bad, 1e-9), lp.ErrUnproved)
}

func TestVerifyRefusesTamperedProofs(t *testing.T) {
	p := lp.New(2)
	p.Lower[1] = 1
	p.Add([]float64{1, 1}, -inf, 2)
	p.Add([]float64{1, 0}, 1.5, inf)
	sol := solve(t, p)
	require.Equal(t, lp.Infeasible, sol.Status)
	refuses(t, p, sol, func(s *lp.Solution) []float64 { return s.RowDual }, "RowDual")
	refuses(t, p, sol, func(s *lp.Solution) []float64 { return s.VarDual }, "VarDual")
	for _, part := range [][]float64{sol.RowDual, sol.VarDual} { // the proof of the opposite
		for k := range part {
			part[k] = -part[k]
		}
	}
	assert.ErrorIs(t, p.Verify(sol, 1e-9), lp.ErrUnproved)

	q := lp.New(2)
	q.C[0] = -1
	q.Lower[0] = 0
	q.Add([]float64{1, -1}, 0, 1)
	sol = solve(t, q)
	require.Equal(t, lp.Unbounded, sol.Status)
	refuses(t, q, sol, func(s *lp.Solution) []float64 { return s.Ray }, "Ray")
	bad := clone(sol)
	bad.X[0] -= 5
	assert.ErrorIs(t, q.Verify(bad, 1e-9), lp.ErrUnproved)
	bad = clone(sol)
	bad.Ray = []float64{0, 0}
	assert.ErrorIs(t, q.Verify(bad, 1e-9), lp.ErrUnproved)
}

// The multipliers are what their name says: move a limit a little and the
// optimum moves by the multiplier times that.
func TestMultipliersAreDerivatives(t *testing.T) {
	r := rand.New(rand.NewPCG(31, 32))
	checked := 0
	for range 200 {
		p := minimax(r, 4, 16)
		sol := solve(t, p)
		for i, y := range sol.RowDual {
			limit := &p.Lo[i]
			if y < 0 {
				limit = &p.Hi[i]
			} else if y == 0 {
				continue
			}
			const h = 1e-6
			was := *limit
			*limit = was + h
			up := solve(t, p).Objective
			*limit = was - h
			down := solve(t, p).Objective
			*limit = was
			require.InDelta(t, y, (up-down)/(2*h), 1e-6)
			checked++
		}
	}
	require.Greater(t, checked, 400)
}

func TestBadProblemsAreNamed(t *testing.T) {
	nan := math.NaN()
	for k, c := range []struct {
		spoil func(p *lp.Problem)
		part  string
		index int
		want  error
	}{
		{func(p *lp.Problem) { p.C[1] = nan }, "C", 1, lp.ErrNotFinite},
		{func(p *lp.Problem) { p.C[2] = inf }, "C", 2, lp.ErrNotFinite},
		{func(p *lp.Problem) { p.Rows[1][0] = nan }, "Rows", 1, lp.ErrNotFinite},
		{func(p *lp.Problem) { p.Rows[0][2] = -inf }, "Rows", 0, lp.ErrNotFinite},
		{func(p *lp.Problem) { p.Rows[0] = p.Rows[0][:2] }, "Rows", 0, lp.ErrShape},
		{func(p *lp.Problem) { p.Lo = p.Lo[:1] }, "Lo", -1, lp.ErrShape},
		{func(p *lp.Problem) { p.Hi = nil }, "Hi", -1, lp.ErrShape},
		{func(p *lp.Problem) { p.Lower = append(p.Lower, 0) }, "Lower", -1, lp.ErrShape},
		{func(p *lp.Problem) { p.Upper = nil }, "Upper", -1, lp.ErrShape},
		{func(p *lp.Problem) { p.Lo[1] = nan }, "Lo", 1, lp.ErrNotFinite},
		{func(p *lp.Problem) { p.Lo[1] = inf }, "Lo", 1, lp.ErrNotFinite},
		{func(p *lp.Problem) { p.Hi[0] = -inf }, "Hi", 0, lp.ErrNotFinite},
		{func(p *lp.Problem) { p.Upper[0] = nan }, "Upper", 0, lp.ErrNotFinite},
		{func(p *lp.Problem) { p.Lower[0] = 4.5 }, "Lower", 0, lp.ErrCrossed},
		{func(p *lp.Problem) { p.Lo[0] = 12.5 }, "Lo", 0, lp.ErrCrossed},
	} {
		t.Run(fmt.Sprint(k, c.part), func(t *testing.T) {
			p := pinned()
			c.spoil(p)
			_, err := p.Solve(context.Background())
			require.ErrorIs(t, err, c.want)
			var detail *lp.Error
			require.ErrorAs(t, err, &detail)
			assert.Equal(t, c.part, detail.Part)
			assert.Equal(t, c.index, detail.Index)
			assert.Contains(t, err.Error(), c.part)
			assert.ErrorIs(t, p.Verify(lp.Solution{}, 1e-9), c.want)
			_, err = p.Conflict(context.Background())
			assert.ErrorIs(t, err, c.want)
			s := lp.NewSolver(pinned())
			s.Reset(p)
			_, err = s.Solve(context.Background())
			assert.ErrorIs(t, err, c.want)
			s.Reset(pinned()) // and the solver is as good as new
			sol, err := s.Solve(context.Background())
			require.NoError(t, err)
			assert.InDelta(t, -34, sol.Objective, 1e-12)
		})
	}
}

func TestNoContext(t *testing.T) {
	var none context.Context
	sol, err := pinned().Solve(none)
	require.NoError(t, err)
	assert.Equal(t, lp.Optimal, sol.Status)
}

func TestContextStops(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	sol, err := pinned().Solve(ctx)
	require.NoError(t, err)
	assert.Equal(t, lp.Stopped, sol.Status)
	assert.NotEmpty(t, sol.Reason)
	assert.Nil(t, sol.X)
	_, err = pinned().Conflict(ctx)
	assert.True(t, errors.Is(err, lp.ErrStopped))
}

func TestStatusInWords(t *testing.T) {
	for st, want := range map[lp.Status]string{
		lp.Optimal: "optimal", lp.Infeasible: "infeasible", lp.Unbounded: "unbounded", lp.Stopped: "stopped",
	} {
		assert.Equal(t, want, st.String())
	}
}
