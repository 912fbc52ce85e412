package softfoot_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"collinear.example/softfoot"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// everyStack calls f with every stack of at most most leaves, thickest first,
// in units of a micrometre.
func everyStack(stock []int, most int, f func([]int)) {
	var grow func(path []int, from int)
	grow = func(path []int, from int) {
		f(path)
		if len(path) == most {
			return
		}
		for i := from; i < len(stock); i++ {
			grow(append(path[:len(path):len(path)], stock[i]), i)
		}
	}
	grow(nil, 0)
}

func randomStock(rnd *rand.Rand) (stock []int, k softfoot.ShimStock) {
	last := 600
	for last > 30 && len(stock) < 5 {
		last -= 1 + rnd.IntN(last/2)
		stock = append(stock, last)
		k.Leaves = append(k.Leaves, unit.Length(last)*1e-6)
	}
	rnd.Shuffle(len(k.Leaves), func(i, j int) { k.Leaves[i], k.Leaves[j] = k.Leaves[j], k.Leaves[i] })
	k.MaxLeaves = 1 + rnd.IntN(4)
	k.Within = unit.Length(rnd.IntN(30)) * 1e-6
	return stock, k
}

func micrometres(v unit.Length) int { return int(math.Round(float64(v) * 1e6)) }

func TestStackAgainstEveryStack(t *testing.T) {
	rnd := rand.New(rand.NewPCG(5, 6))
	for range 400 {
		stock, k := randomStock(rnd)
		wanted := rnd.IntN(1500)
		near, nearCount := math.MaxInt, 0 // nearest of all
		few, fewError := math.MaxInt, 0   // fewest within, nearest of these
		everyStack(stock, k.MaxLeaves, func(path []int) {
			sum := 0
			for _, v := range path {
				sum += v
			}
			e := max(sum-wanted, wanted-sum)
			if e < near || e == near && len(path) < nearCount {
				near, nearCount = e, len(path)
			}
			if e <= micrometres(k.Within) && (len(path) < few || len(path) == few && e < fewError) {
				few, fewError = len(path), e
			}
		})
		s, ws, err := k.Stack(unit.Length(wanted) * 1e-6)
		require.NoError(t, err)
		got := max(micrometres(s.Error), -micrometres(s.Error))
		if few == math.MaxInt {
			require.Len(t, ws, 1)
			require.Equal(t, near, got)
			require.Len(t, s.Leaves, nearCount)
			continue
		}
		require.Empty(t, ws)
		require.Len(t, s.Leaves, few)
		require.Equal(t, fewError, got)
	}
}

// stepOracle tries every order of the leaves and walks along the wedge in
// micrometres of gap: past the end of a leaf the gap is what the leaves that
// still lie there leave over.
func stepOracle(path []int, tight, open int) int {
	best := math.MaxInt
	var try func(order, rest []int)
	try = func(order, rest []int) {
		if len(rest) == 0 {
			worst, height := 0, 0
			for gap := tight; gap <= open; gap++ {
				// Leaves end where the gap no longer takes them.
				height = 0
				cum := 0
				for _, v := range order {
					cum += v
					if gap > cum || gap == cum && gap == tight {
						height = cum
					}
				}
				worst = max(worst, gap-height)
			}
			best = min(best, worst)
			return
		}
		for i := range rest {
			left := append(append([]int(nil), rest[:i]...), rest[i+1:]...)
			try(append(order[:len(order):len(order)], rest[i]), left)
		}
	}
	try(nil, path)
	return best
}

func TestSteppedShimAgainstEveryOrder(t *testing.T) {
	rnd := rand.New(rand.NewPCG(7, 8))
	for range 60 {
		stock, k := randomStock(rnd)
		k.MaxLeaves = min(k.MaxLeaves, 3)
		tight := rnd.IntN(300)
		open := tight + 1 + rnd.IntN(500)
		best, bestCount := math.MaxInt, 0
		few, fewWorst := math.MaxInt, 0
		everyStack(stock, k.MaxLeaves, func(path []int) {
			sum := 0
			for _, v := range path {
				sum += v
			}
			if sum > open {
				return
			}
			r := stepOracle(path, tight, open)
			if r < best || r == best && len(path) < bestCount {
				best, bestCount = r, len(path)
			}
			if r <= micrometres(k.Within) && (len(path) < few || len(path) == few && r < fewWorst) {
				few, fewWorst = len(path), r
			}
		})
		g := softfoot.CornerGaps{
			FirstLeft: unit.Length(tight) * 1e-6, FirstRight: unit.Length(tight) * 1e-6,
			LastLeft: unit.Length(open) * 1e-6, LastRight: unit.Length(open) * 1e-6,
		}
		w, err := softfoot.FourCorners(0.2, 0.1, g).Wedge()
		require.NoError(t, err)
		s, ws, err := k.SteppedShim(w)
		require.NoError(t, err)
		if few == math.MaxInt {
			require.Len(t, ws, 1)
			require.Equal(t, best, micrometres(s.Residual))
			require.Len(t, s.Leaves, bestCount)
		} else {
			require.Empty(t, ws)
			require.Len(t, s.Leaves, few)
			require.Equal(t, fewWorst, micrometres(s.Residual))
		}
		require.GreaterOrEqual(t, float64(s.LeastRead), -nm)
		require.LessOrEqual(t, float64(s.MostRead), float64(s.Residual)+nm)
	}
}

func TestPackPutsThickLeavesOutside(t *testing.T) {
	s := softfoot.ShimStack{Leaves: []unit.Length{5, 4, 3, 2, 1}}
	require.Equal(t, []unit.Length{5, 3, 1, 2, 4}, s.Pack())
	require.Empty(t, softfoot.ShimStack{}.Pack())
}

func TestNoWedgeTakesFullLeaves(t *testing.T) {
	w, err := softfoot.FourCorners(0.2, 0.1, softfoot.CornerGaps{FirstLeft: 3e-4, FirstRight: 3e-4, LastLeft: 3e-4, LastRight: 3e-4}).Wedge()
	require.NoError(t, err)
	require.Empty(t, w.TightSide())
	s, ws, err := softfoot.ShimStock{Leaves: []unit.Length{1e-4, 2e-4}, MaxLeaves: 3}.SteppedShim(w)
	require.NoError(t, err)
	require.Empty(t, ws)
	require.Len(t, s.Leaves, 2)
	require.Equal(t, 1.0, s.Leaves[1].End)
	require.InDelta(t, 3e-4, float64(s.Full), nm)
}

func TestStockFaults(t *testing.T) {
	for code, k := range map[string]softfoot.ShimStock{
		"missing":      {MaxLeaves: 3},
		"out-of-range": {Leaves: []unit.Length{1e-3}, MaxLeaves: 9},
		"not-finite":   {Leaves: []unit.Length{unit.Length(math.Inf(1))}, MaxLeaves: 3},
		"negative":     {Leaves: []unit.Length{1e-3}, MaxLeaves: 3, Within: -1},
	} {
		_, _, err := k.Stack(1e-3)
		require.Equal(t, code, align.CodeOf(err))
	}
}

func BenchmarkStack(b *testing.B) {
	k := softfoot.ShimStock{MaxLeaves: 5, Within: align.Mil / 2}
	for _, t := range []float64{1, 2, 3, 5, 10, 20, 25, 50, 100, 125} {
		k.Leaves = append(k.Leaves, mils(t))
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := k.Stack(mils(187)); err != nil {
			b.Fatal(err)
		}
	}
}

// The largest stock and stack there may be, with a thickness out of reach of
// the limit: every size of stack is searched.
func BenchmarkStackWorst(b *testing.B) {
	k := softfoot.ShimStock{MaxLeaves: 8}
	for i := range 24 {
		k.Leaves = append(k.Leaves, unit.Length(1000+7*i*i)*1e-6)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := k.Stack(0.0123456789); err != nil {
			b.Fatal(err)
		}
	}
}
