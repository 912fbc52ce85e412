package moves_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"collinear.example/align"
	"collinear.example/moves"
	"collinear.example/softfoot"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// leaves turns whole micrometres into leaves.
func leaves(um ...int) (out []unit.Length) {
	for _, v := range um {
		out = append(out, unit.Length(v)*align.Micrometre)
	}
	return out
}

func inMicrometres(v unit.Length) int { return int(math.Round(float64(v) * 1e6)) }

// packKey is what packs are compared by, in micrometres and counts.
type packKey struct{ far, off, leaves, handled, offAgain, total int }

func (a packKey) compare(b packKey) int {
	return slices.Compare([]int{a.far, a.off, a.leaves, a.handled, a.offAgain, a.total}, []int{b.far, b.off, b.leaves, b.handled, b.offAgain, b.total})
}

// everyPack goes through all packs as multisets of stock and present leaves,
// without sharing anything with the search.
func everyPack(present, stock []int, most, wanted, within int) packKey {
	kinds := slices.Concat(present, stock)
	slices.Sort(kinds)
	kinds = slices.Compact(kinds)
	best := packKey{far: 2}
	var pack []int
	var grow func(from int)
	look := func() {
		sum, there, same := 0, slices.Clone(present), 0
		for _, v := range pack {
			sum += v
			if i := slices.Index(there, v); i >= 0 {
				there, same = slices.Delete(there, i, i+1), same+1
			} else if !slices.Contains(stock, v) {
				return // not to be had
			}
		}
		k := packKey{leaves: len(pack), handled: len(present) + len(pack) - 2*same, total: sum}
		k.offAgain = max(sum-wanted, wanted-sum)
		if k.offAgain > within {
			k.far, k.off = 1, k.offAgain
		}
		if best.far == 2 || k.compare(best) < 0 {
			best = k
		}
	}
	grow = func(from int) {
		look()
		if len(pack) == most {
			return
		}
		for i := from; i < len(kinds); i++ {
			pack = append(pack, kinds[i])
			grow(i)
			pack = pack[:len(pack)-1]
		}
	}
	grow(0)
	return best
}

func TestPackAgainstEveryPack(t *testing.T) {
	rnd := rand.New(rand.NewPCG(1, 2))
	all := []int{25, 50, 100, 200, 330, 500, 700}
	for n := range 1500 {
		rnd.Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
		stock := slices.Clone(all[:1+rnd.IntN(4)])
		var present []int
		sum := 0
		for range rnd.IntN(4) {
			present = append(present, all[rnd.IntN(len(all))])
			sum += present[len(present)-1]
		}
		most, within := 1+rnd.IntN(4), rnd.IntN(30)
		wanted := rnd.IntN(1200)
		job := moves.PackJob{Present: leaves(present...), Change: unit.Length(wanted-sum) * align.Micrometre}
		p, ws, err := job.Plan(softfoot.ShimStock{Leaves: leaves(stock...), MaxLeaves: most, Within: unit.Length(within) * align.Micrometre})
		require.NoError(t, err)
		off := inMicrometres(max(p.Error, -p.Error))
		got := packKey{leaves: len(p.Pack), handled: p.Handled(), offAgain: off, total: inMicrometres(p.Total)}
		if off > within {
			got.far, got.off = 1, off
		}
		require.Equal(t, everyPack(present, stock, most, wanted, within), got, "case %d: %v from %v to %d", n, present, stock, wanted)
		require.Equal(t, off > within, len(ws) == 1)
		var total unit.Length
		for _, v := range p.Pack {
			total += v
		}
		require.InDelta(t, float64(p.Total), float64(total), 1e-12)
	}
}

func TestPackThickLeavesOutside(t *testing.T) {
	job := moves.PackJob{Present: leaves(100, 50, 1000), Change: 0.475e-3}
	p, _, err := job.Plan(softfoot.ShimStock{Leaves: leaves(25, 500, 200), MaxLeaves: 5})
	require.NoError(t, err)
	require.Equal(t, 1625, inMicrometres(p.Total))
	last := len(p.Pack) - 1
	for i := 1; i < last; i++ {
		require.LessOrEqual(t, p.Pack[i], min(p.Pack[0], p.Pack[last]))
	}
}

func TestPackLimits(t *testing.T) {
	stock := softfoot.ShimStock{Leaves: leaves(100), MaxLeaves: 4, Within: 0.05e-3}
	_, ws, err := moves.PackJob{Present: leaves(500), Change: -0.25e-3, Least: 0.25e-3}.Plan(stock)
	require.NoError(t, err)
	require.Len(t, ws, 1, "0.20 mm is near enough but thinner than what must stay")
	require.Equal(t, moves.WarnPackLimit, ws[0].Code)
	_, _, err = moves.PackJob{Present: leaves(500), Change: -0.6e-3}.Plan(stock)
	require.ErrorIs(t, err, moves.ErrBaseBound)
	require.ErrorContains(t, err, "-0.600 mm")
}

func TestPackRefuses(t *testing.T) {
	good := softfoot.ShimStock{Leaves: leaves(100), MaxLeaves: 4}
	nan, inf := unit.Length(math.NaN()), unit.Length(math.Inf(1))
	for code, job := range map[string]moves.PackJob{
		"not-finite":   {Change: nan},
		"negative":     {Least: -1},
		"out-of-range": {Present: []unit.Length{0}},
	} {
		_, _, err := job.Plan(good)
		require.Equal(t, code, align.CodeOf(err))
	}
	for _, job := range []moves.PackJob{
		{Present: []unit.Length{inf}}, {Most: nan}, {Present: leaves(1, 1, 1, 1, 1, 1, 1, 1, 1)},
		{Change: 0.001, Most: 0.0005}, {Present: leaves(500), Change: -0.0002, Least: 0.0004},
	} {
		_, _, err := job.Plan(good)
		require.Error(t, err, job)
	}
	_, _, err := moves.PackJob{}.Plan(softfoot.ShimStock{})
	require.Error(t, err)
}

func BenchmarkPack(b *testing.B) {
	job := moves.PackJob{Present: leaves(1000, 500, 50), Change: 0.375e-3}
	stock := softfoot.ShimStock{Leaves: leaves(25, 50, 100, 200, 500, 1000, 2000), MaxLeaves: 5, Within: 12.5e-6}
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := job.Plan(stock); err != nil {
			b.Fatal(err)
		}
	}
}

func ExamplePackJob_Plan() {
	mm := align.Millimetre
	job := moves.PackJob{Foot: "inboard left", Present: []unit.Length{1 * mm, 0.1 * mm, 0.5 * mm}, Change: 0.15 * mm}
	stock := softfoot.ShimStock{Leaves: []unit.Length{0.05 * mm, 0.1 * mm, 0.2 * mm, 0.25 * mm, 0.5 * mm, 1 * mm}, MaxLeaves: 4}
	p, _, err := job.Plan(stock)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(p.Words(align.UnitMillimetre, 2))
	// Output: take out 0.10 mm; put in 0.25 mm; from the bottom 1.00 mm, 0.25 mm, 0.50 mm
}
