package moves_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"collinear.example/moves"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/unit"
)

// fourFeet are feet at the corners of a rectangle.
func fourFeet(from, to, half unit.Length) (out []moves.Foot) {
	for i, x := range []unit.Length{from, from, to, to} {
		z := half
		if i%2 == 0 {
			z = -half
		}
		out = append(out, moves.Foot{Name: fmt.Sprint("foot ", i+1), At: align.Place{X: x, Z: z}})
	}
	return out
}

// roundTrain is a random train of n machines; the first stays when held.
func roundTrain(rnd *rand.Rand, n int, held bool) (t moves.Train, wanted []align.Motion) {
	length := func(size float64) unit.Length { return unit.Length((rnd.Float64()*2 - 1) * size) }
	var x unit.Length
	for i := range n {
		m := moves.Machine{Feet: fourFeet(x+0.3, x+1.1+length(0.2), 0.25), Free: moves.TwoPlanes(), About: align.Place{X: x}}
		motion := align.Motion{About: align.Place{X: x + length(1)}}
		if i > 0 || !held {
			motion.Shift = align.Displacement{Y: length(4e-4), Z: length(4e-4)}
			motion.Turn = align.Turn{Y: rnd.NormFloat64() * 2e-4, Z: rnd.NormFloat64() * 2e-4}
			if rnd.IntN(2) == 0 {
				motion.Turn.X = rnd.NormFloat64() * 2e-4
			}
		}
		t.Machines = append(t.Machines, m)
		wanted = append(wanted, motion)
		x += 1.5
	}
	for i := 1; i < n; i++ {
		at := unit.Length(1.5 * float64(i))
		h := unit.Length(0.4)
		c := moves.Coupling{
			Near: moves.ShaftOf{Machine: i - 1, Height: h}, Far: moves.ShaftOf{Machine: i, Height: h},
			Offsets: moves.FlexPlanes(at-0.05, at+0.05, 1e-3, rnd.IntN(2) == 0, ""),
			Slope:   &moves.SlopeLimit{Limit: 3e-4},
		}
		// Found so that the plan brings the coupling near to nothing.
		c.Found = wanted[i-1].Axis(align.Place{Y: h}).Sub(wanted[i].Axis(align.Place{Y: h}))
		c.Found.Vertical.Offset += length(2e-5)
		if rnd.IntN(3) == 0 {
			c.Gap = &moves.AxialGap{Error: length(1e-4), Tolerance: 3e-4}
		}
		t.Couplings = append(t.Couplings, c)
	}
	for range rnd.IntN(3) {
		s := moves.State{Name: "state"}
		for range t.Couplings {
			s.Relative = append(s.Relative, align.Axis{Vertical: align.Line{Offset: length(5e-5), Slope: rnd.NormFloat64() * 2e-5}})
		}
		t.States = append(t.States, s)
	}
	return t, wanted
}

// refit fits a plane by gonum's QR of the whole matrix and returns the motion and
// how far the worst foot is out of it.
func refit(feet []moves.Foot, wanted align.Motion, shims []unit.Length) (align.Motion, float64) {
	a, y := mat.NewDense(len(feet), 3, nil), mat.NewVecDense(len(feet), nil)
	for i := range feet {
		a.SetRow(i, []float64{1, float64(feet[i].At.X - wanted.About.X), -float64(feet[i].At.Z - wanted.About.Z)})
		y.SetVec(i, float64(shims[i]))
	}
	var c, fitted mat.VecDense
	if err := c.SolveVec(a, y); err != nil {
		panic(err)
	}
	fitted.MulVec(a, &c)
	worst := 0.0
	for i := range feet {
		worst = max(worst, math.Abs(y.AtVec(i)-fitted.AtVec(i)))
	}
	m := wanted
	m.Shift.Y = unit.Length(c.AtVec(0))
	m.Turn.Z, m.Turn.X = c.AtVec(1), c.AtVec(2)
	return m, worst
}

// bruteRounding tries every choice of up and down of every foot of the train.
func bruteRounding(t *moves.Train, wanted []align.Motion, step unit.Length) float64 {
	options := make([][]align.Motion, len(t.Machines))
	for i, m := range t.Machines {
		if wanted[i].Shift == (align.Displacement{}) && wanted[i].Turn == (align.Turn{}) {
			options[i] = []align.Motion{wanted[i]}
			continue
		}
		for k := range 1 << len(m.Feet) {
			shims := make([]unit.Length, len(m.Feet))
			for j := range m.Feet {
				n := math.Floor(float64(wanted[i].At(m.Feet[j].At).Y / step))
				shims[j] = unit.Length(n+float64(k>>j&1)) * step
			}
			if motion, twist := refit(m.Feet, wanted[i], shims); twist <= float64(step)/2+1e-9 {
				options[i] = append(options[i], motion)
			}
		}
	}
	best := math.Inf(1)
	pick := make([]align.Motion, len(t.Machines))
	var grow func(i int)
	grow = func(i int) {
		if i == len(pick) {
			e, err := t.Evaluate(pick)
			if err != nil {
				panic(err)
			}
			best = min(best, e.WorstCoupling)
			return
		}
		for _, m := range options[i] {
			pick[i] = m
			grow(i + 1)
		}
	}
	grow(0)
	return best
}

func TestRoundingAgainstEveryChoice(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 4))
	const step = 5e-5
	better := 0
	for n := range 60 {
		train, wanted := roundTrain(rnd, 2+n%2, true)
		r, err := moves.RoundShims(context.Background(), &train, wanted, moves.Rounding{Step: step})
		require.NoError(t, err)
		require.True(t, r.Proved)
		require.InDelta(t, bruteRounding(&train, wanted, step), r.Evaluation.WorstCoupling, 2e-9, "case %d", n)
		require.LessOrEqual(t, r.Evaluation.WorstCoupling, r.Nearest+2e-9)
		if r.Evaluation.WorstCoupling < r.Nearest-1e-6 {
			better++
		}
	}
	require.Greater(t, better, 30, "rounding for the coupling must beat rounding each foot most times")
}

func TestRoundingReportsItself(t *testing.T) {
	rnd := rand.New(rand.NewPCG(5, 6))
	const step = 2.5e-5
	for range 100 {
		train, wanted := roundTrain(rnd, 2+rnd.IntN(3), false)
		r, err := moves.RoundShims(context.Background(), &train, wanted, moves.Rounding{Step: step})
		require.NoError(t, err)
		require.LessOrEqual(t, r.Evaluation.WorstCoupling, r.Nearest+2e-9)
		for i, m := range train.Machines {
			shims := make([]unit.Length, len(m.Feet))
			for j, f := range r.Feet[i] {
				shims[j] = f.Shim
				whole := float64(f.Shim / step)
				require.InDelta(t, math.Round(whole), whole, 1e-6, "whole steps")
				require.Less(t, math.Abs(float64(f.Shim-f.Wanted)), step*(1+1e-6))
				require.InDelta(t, float64(wanted[i].At(m.Feet[j].At).Z), float64(r.Motions[i].At(m.Feet[j].At).Z), 1e-12, "sideways as planned")
			}
			motion, twist := refit(m.Feet, wanted[i], shims)
			require.InDelta(t, twist, float64(r.Twist[i]), 1e-10)
			require.LessOrEqual(t, twist, step/2+1e-9)
			for _, p := range []align.Place{{}, {X: 3}, {Z: 1}} {
				require.InDelta(t, float64(motion.At(p).Y), float64(r.Motions[i].At(p).Y), 1e-10)
			}
		}
	}
}

func TestRoundingOfWholeStepsChangesNothing(t *testing.T) {
	train, wanted := roundTrain(rand.New(rand.NewPCG(7, 8)), 2, true)
	wanted[1] = align.Motion{Shift: align.Displacement{Y: 3e-4, Z: 1.234e-4}}
	r, err := moves.RoundShims(context.Background(), &train, wanted, moves.Rounding{Step: 1e-4})
	require.NoError(t, err)
	require.InDelta(t, r.Wanted, r.Evaluation.WorstCoupling, 1e-9)
	require.InDelta(t, 0, float64(r.Twist[1]), 1e-15)
	require.Empty(t, r.Feet[0], "a machine that stays has no shims to change")
}

func TestRoundingFromLists(t *testing.T) {
	train, wanted := roundTrain(rand.New(rand.NewPCG(9, 8)), 2, true)
	wanted[1] = align.Motion{Shift: align.Displacement{Y: 3.2e-4}}
	heights := []unit.Length{5e-4, 0, 3e-4}
	list := [][][]unit.Length{nil, {heights, heights, heights, heights}}
	r, err := moves.RoundShims(context.Background(), &train, wanted, moves.Rounding{Reachable: list})
	require.NoError(t, err)
	for _, f := range r.Feet[1] {
		require.Contains(t, heights, f.Shim)
		require.NotZero(t, f.Shim, "0 is not next to 0.32 mm")
	}
	zero := unit.Length(0)
	for i := range train.Machines[1].Feet {
		train.Machines[1].Feet[i].Range.Up = &zero
	}
	r, err = moves.RoundShims(context.Background(), &train, wanted, moves.Rounding{Reachable: list})
	require.NoError(t, err)
	for _, f := range r.Feet[1] {
		require.Zero(t, f.Shim, "nothing may be added")
	}
}

func TestRoundingKeepsTheTwist(t *testing.T) {
	train, wanted := roundTrain(rand.New(rand.NewPCG(9, 9)), 2, true)
	wanted[1].Turn.X = 0
	least := unit.Length(1e-5)
	r, err := moves.RoundShims(context.Background(), &train, wanted, moves.Rounding{Step: 1e-4, Twist: &least})
	require.NoError(t, err)
	require.LessOrEqual(t, r.Twist[1], least+1e-9)
	// Heights that can only be twisted.
	a, b := []unit.Length{0}, []unit.Length{1e-3}
	wanted[1] = align.Motion{Shift: align.Displacement{Y: 5e-4}}
	r, err = moves.RoundShims(context.Background(), &train, wanted, moves.Rounding{Reachable: [][][]unit.Length{nil, {a, b, b, a}}, Twist: &least})
	require.NoError(t, err)
	require.InDelta(t, 5e-4, float64(r.Twist[1]), 1e-12)
	require.Equal(t, moves.WarnTwisted, r.Warnings[0].Code)
}

func TestRoundingWithFeetInOneLine(t *testing.T) {
	rnd := rand.New(rand.NewPCG(11, 12))
	train, wanted := roundTrain(rnd, 2, true)
	wanted[1].Turn.X = 0
	train.Machines[1].Feet = []moves.Foot{{Name: "inboard", At: align.Place{X: 1.8}}, {Name: "outboard", At: align.Place{X: 2.7}}}
	r, err := moves.RoundShims(context.Background(), &train, wanted, moves.Rounding{Step: 5e-5})
	require.NoError(t, err)
	require.InDelta(t, 0, r.Motions[1].Turn.X, 1e-18, "roll as planned")
	for j, f := range r.Feet[1] {
		require.InDelta(t, float64(f.Shim), float64(r.Motions[1].At(train.Machines[1].Feet[j].At).Y), 1e-12)
	}
}

func TestRoundingStopsAndRefuses(t *testing.T) {
	train, wanted := roundTrain(rand.New(rand.NewPCG(13, 14)), 3, false)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err := moves.RoundShims(ctx, &train, wanted, moves.Rounding{Step: 5e-5})
	require.ErrorIs(t, err, moves.ErrStopped)

	nan, minus, zero := unit.Length(math.NaN()), unit.Length(-1), unit.Length(0)
	for _, c := range []struct {
		code string
		in   moves.Rounding
	}{
		{"missing", moves.Rounding{}},
		{"not-finite", moves.Rounding{Step: nan}},
		{"negative", moves.Rounding{Step: -1e-4}},
		{"out-of-range", moves.Rounding{Step: 1e-9}},
		{"negative", moves.Rounding{Step: 1e-4, Twist: &minus}},
		{"mismatch", moves.Rounding{Step: 1e-4, Skip: []int{3}}},
		{"mismatch", moves.Rounding{Step: 1e-4, Reachable: [][][]unit.Length{nil}}},
		{"mismatch", moves.Rounding{Step: 1e-4, Reachable: [][][]unit.Length{{nil}, nil, nil}}},
		{"not-finite", moves.Rounding{Step: 1e-4, Reachable: [][][]unit.Length{{{nan}, nil, nil, nil}, nil, nil}}},
	} {
		_, err := moves.RoundShims(context.Background(), &train, wanted, c.in)
		require.Equal(t, c.code, align.CodeOf(err), "%+v: %v", c.in, err)
	}
	for code, bad := range map[string]align.Motion{
		"not-finite": {Turn: align.Turn{Z: math.NaN()}}, "out-of-range": {Shift: align.Displacement{Y: 11}},
	} {
		wanted[1] = bad
		_, err := moves.RoundShims(context.Background(), &train, wanted, moves.Rounding{Step: 1e-4})
		require.Equal(t, code, align.CodeOf(err))
	}
	wanted[1] = align.Motion{Shift: align.Displacement{Y: -2.2e-4}}
	held := unit.Length(5e-5)
	train.Machines[1].Feet[2].Range.Down = &held
	_, err = moves.RoundShims(context.Background(), &train, wanted, moves.Rounding{Step: 1e-4})
	require.ErrorIs(t, err, moves.ErrBaseBound)
	require.ErrorContains(t, err, "machines[1].feet[2].move = -0.220 mm")
	train.Machines[1].Feet[2].Range = moves.FootRange{Up: &zero}
	wanted[1].Shift.Y = 2.2e-4
	_, err = moves.RoundShims(context.Background(), &train, wanted, moves.Rounding{Step: 1e-4})
	require.Equal(t, "out-of-range", align.CodeOf(err))
	_, err = moves.RoundShims(context.Background(), &train, wanted[:1], moves.Rounding{Step: 1e-4})
	require.Equal(t, "mismatch", align.CodeOf(err))
}

// A long train with many feet runs into the bounds and says so, and is still no
// worse than rounding each foot.
func TestRoundingOfAManyFootedTrain(t *testing.T) {
	rnd := rand.New(rand.NewPCG(15, 16))
	train, wanted := roundTrain(rnd, 6, false)
	for i := range train.Machines {
		var feet []moves.Foot
		for k := range 5 {
			feet = append(feet, fourFeet(unit.Length(1.5*float64(i)+0.2*float64(k)), 0, 0.25)[:2]...)
		}
		train.Machines[i].Feet = feet
	}
	r, err := moves.RoundShims(context.Background(), &train, wanted, moves.Rounding{Step: 5e-5})
	require.NoError(t, err)
	require.False(t, r.Proved)
	require.Equal(t, moves.WarnNotProved, r.Warnings[len(r.Warnings)-1].Code)
	require.LessOrEqual(t, r.Evaluation.WorstCoupling, r.Nearest+2e-9)
}

func BenchmarkRoundShims(b *testing.B) {
	train, wanted := roundTrain(rand.New(rand.NewPCG(17, 18)), 2, true)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := moves.RoundShims(context.Background(), &train, wanted, moves.Rounding{Step: 5e-5}); err != nil {
			b.Fatal(err)
		}
	}
}

func ExampleRoundShims() {
	// A motor is to go up by 0.12 mm at its inboard and 0.13 mm at its outboard
	// feet, and the thinnest shim is 0.05 mm.
	train := moves.Train{
		Machines: []moves.Machine{{Name: "pump"}, {Name: "motor", Feet: fourFeet(0.3, 0.8, 0.2), Free: moves.TwoPlanes()}},
		Couplings: []moves.Coupling{{
			Far:     moves.ShaftOf{Machine: 1},
			Found:   align.Axis{Vertical: align.Line{Offset: -0.114e-3, Slope: -0.02e-3}},
			Offsets: []moves.OffsetLimit{{Limit: 0.05e-3}}, Slope: &moves.SlopeLimit{Limit: 0.1e-3},
		}},
	}
	plan := []align.Motion{{}, {Shift: align.Displacement{Y: 0.114e-3}, Turn: align.Turn{Z: 0.02e-3}}}
	r, err := moves.RoundShims(context.Background(), &train, plan, moves.Rounding{Step: 0.05e-3})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, f := range r.Feet[1] {
		fmt.Println(f.Foot, align.Move{Vertical: f.Shim}.VerticalWords(align.UnitMillimetre, 2))
	}
	fmt.Printf("share of the limit at the coupling %.2f, twist %s\n", r.Evaluation.WorstCoupling, align.UnitMillimetre.Format(float64(r.Twist[1]), 3))
	// By hand: 0.125 mm all round against 0.114 mm at the coupling is 0.011 mm of
	// 0.05, and no slope against 0.02 mm/m is 0.02 of 0.1.
	// Output:
	// foot 1 add 0.15 mm
	// foot 2 add 0.10 mm
	// foot 3 add 0.10 mm
	// foot 4 add 0.15 mm
	// share of the limit at the coupling 0.22, twist 0.025 mm
}
