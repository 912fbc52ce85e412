package drawing

import (
	"fmt"
	"math"
	"math/rand/v2"
	"sort"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Places are spread in order, far enough apart, inside, and no other places that are
// lie nearer to what was wanted (held against small random changes).
func TestSpread(t *testing.T) {
	for seed := range uint64(300) {
		r := rand.New(rand.NewPCG(seed, 1))
		n := 1 + r.IntN(20)
		size, lo := 1+r.Float64(), -r.Float64()
		hi := lo + size*float64(n)*(1+2*r.Float64())
		wanted := make([]float64, n)
		for i := range wanted {
			wanted[i] = lo + (hi-lo)*(1.4*r.Float64()-0.2)
		}
		got := spread(wanted, size, lo, hi)
		require.True(t, fits(wanted, got, size, lo, hi), "%v %v", wanted, got)
		cost := func(p []float64) (sum float64) {
			for i := range p {
				sum += (p[i] - wanted[i]) * (p[i] - wanted[i])
			}
			return sum
		}
		best := cost(got)
		for range 200 {
			other := append([]float64(nil), got...)
			from, by := r.IntN(n), 0.2*r.NormFloat64()
			for i := from; i < n && r.IntN(4) > 0; i++ {
				other[i] += by
			}
			if fits(wanted, other, size, lo, hi) {
				require.GreaterOrEqual(t, cost(other), best-1e-9)
			}
		}
	}
	assert.Equal(t, []float64{3, 1, 5}, spread([]float64{3, 1, 5}, 1, 0, 6), "what fits stays")
	assert.Equal(t, []float64{1, 2, 3}, spread([]float64{2, 2, 2}, 1, 0, 10), "equal ones keep their order")
	assert.Empty(t, spread(nil, 1, 0, 0))
}

func fits(wanted, places []float64, size, lo, hi float64) bool {
	order := make([]int, len(wanted))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(a, b int) bool { return wanted[order[a]] < wanted[order[b]] })
	const hair = 1e-9
	for k, i := range order {
		if places[i] < lo+size/2-hair || places[i] > hi-size/2+hair || k > 0 && places[i]-places[order[k-1]] < size-hair {
			return false
		}
	}
	return true
}

// As long as there are more than four cells for each label and each mark there is a
// place, even when all labels want the same one.
func TestPlacerAlwaysFinds(t *testing.T) {
	for seed := range uint64(300) {
		r := rand.New(rand.NewPCG(seed, 2))
		p := placer{room: Box{Right: 10 * float64(4+r.IntN(8)), Bottom: 4 * float64(6+r.IntN(8))}, width: 10, height: 4}
		columns, rows := p.cells()
		n := (columns*rows - 1) / 4 / 2
		at := Point{r.Float64() * p.room.Right, r.Float64() * p.room.Bottom}
		point := func() Point {
			if r.IntN(2) == 0 {
				return at
			}
			return Point{r.Float64() * p.room.Right, r.Float64() * p.room.Bottom}
		}
		var points []Point
		for range n {
			q := point()
			points = append(points, q)
			p.keep(around(q))
		}
		marks := len(p.taken)
		for _, q := range points {
			p.place(q, 2*math.Pi*r.Float64())
		}
		for i, a := range p.taken[marks:] {
			require.True(t, a.Inside(p.room.Grown(1e-6)))
			for _, b := range p.taken[:marks+i] {
				require.False(t, a.Grown(-1e-6).Overlaps(b), "seed %d", seed)
			}
		}
	}
}

// A label stands beside its point on the side asked for, and clear of a line.
func TestPlacerPrefers(t *testing.T) {
	p := placer{room: Box{Right: 100, Bottom: 100}, width: 6, height: 4}
	mid := p.place(Point{50, 50}, 0)
	assert.InDelta(t, 50, mid.Y, 1e-9)
	assert.Greater(t, mid.X, 53.0)
	p = placer{room: Box{Right: 100, Bottom: 100}, width: 6, height: 4}
	p.line(Point{50, 50}, Point{90, 50})
	mid = p.place(Point{50, 50}, 0)
	assert.False(t, through(Point{50, 50}, Point{90, 50}, p.box(mid)))
}

func TestClip(t *testing.T) {
	b := Box{0, 0, 10, 10}
	from, to, ok := clip(Point{-5, 5}, Point{15, 5}, b)
	require.True(t, ok)
	assert.Equal(t, Point{0, 5}, from)
	assert.Equal(t, Point{10, 5}, to)
	_, _, ok = clip(Point{-5, 11}, Point{15, 11}, b)
	assert.False(t, ok)
	_, _, ok = clip(Point{-5, 4}, Point{4, -5}, b)
	assert.False(t, ok, "past a corner")
	from, to, ok = clip(Point{2, 2}, Point{3, 4}, b)
	require.True(t, ok)
	assert.Equal(t, Point{2, 2}, from)
	assert.Equal(t, Point{3, 4}, to)
}

func TestRounding(t *testing.T) {
	for _, c := range [][3]float64{{1, 1, 1}, {1.9, 1, 2}, {2, 2, 2}, {4.99, 2, 5}, {5, 5, 5}, {9.9, 5, 10}, {0.3 / 0.1, 2, 5}, {0.1, 0.1, 0.1}, {0.00074, 0.0005, 0.001}, {123456, 100000, 200000}, {0.6 / 0.3, 2, 2}} {
		assert.Equal(t, c[1], roundDown(c[0]), "below %v", c[0])
		assert.Equal(t, c[2], roundUp(c[0]), "above %v", c[0])
	}
}

func TestRatio(t *testing.T) {
	assert.Equal(t, "200 : 1", ratio(200).String())
	assert.Equal(t, "1 : 5", ratio(0.2).String())
	assert.Equal(t, "1 : 1", ratio(1).String())
	assert.Equal(t, "1 : 12", ratio(1.0/12).String())
	assert.InDelta(t, 40, ratio(200).mm(0.2*align.Millimetre), 1e-12)
	assert.Equal(t, "10 mm on paper = 0.05 mm", ratio(200).tenth(align.UnitMillimetre))
	assert.Equal(t, ratio(200), fitRatio(0.1*align.Millimetre, 40))
	assert.Equal(t, ratio(500), fitRatio(0.08*align.Millimetre, 40))
	assert.Equal(t, mostRatio, fitRatio(0, 40))
	assert.Equal(t, mostRatio, fitRatio(1e-12, 40))
}

// Ticks are whole multiples of 1, 2 or 5, inside, as many as asked for at most and not
// fewer than a third of that.
func TestTicks(t *testing.T) {
	for seed := range uint64(300) {
		r := rand.New(rand.NewPCG(seed, 3))
		lo := 100 * (2*r.Float64() - 1)
		hi := lo + math.Pow(10, -3+6*r.Float64())
		most := 4 + r.IntN(10)
		k := ticksFor(lo, hi, most)
		require.LessOrEqual(t, k.count, most)
		require.GreaterOrEqual(t, 3*k.count, most-3)
		require.GreaterOrEqual(t, k.at(0), lo-1e-6)
		require.LessOrEqual(t, k.at(k.count-1), hi+1e-6)
		for i := range k.count {
			require.Equal(t, fmt.Sprintf("%.6f", k.at(i)), fmt.Sprintf("%.6f", mustFloat(t, k.label(i))))
		}
	}
	k := ticksFor(-0.25, 0.25, 6)
	assert.Equal(t, []string{"-0.2", "-0.1", "0.0", "0.1", "0.2"}, []string{k.label(0), k.label(1), k.label(2), k.label(3), k.label(4)})
}

func mustFloat(t *testing.T, s string) (v float64) {
	_, err := fmt.Sscan(s, &v)
	require.NoError(t, err)
	return v
}

func TestWrapped(t *testing.T) {
	for _, line := range wrapped("the gap farthest from the plane is off by "+"averyveryverylongwordthatfitsnowhere", 3.5, 40) {
		assert.LessOrEqual(t, TextWidth(line, 3.5), 40+1e-9)
	}
	assert.Equal(t, []string{"a b c"}, wrapped(" a  b\nc ", 3.5, 40))
	assert.Empty(t, wrapped("", 3.5, 40))
}

func TestFigures(t *testing.T) {
	for v, want := range map[float64]string{0: "0", 1.5: "1.5", 0.00012345: "0.0001234", 123456: "123456", -2.50: "-2.5", 1e-7: "1e-07", 2.06e11: "2.06e+11", 99999.6: "100000"} {
		assert.Equal(t, want, significant(v, 4))
	}
	p := small(align.UnitMil)
	assert.Equal(t, "+1.00", p.signed(align.Mil))
	assert.Equal(t, "-1.00", p.signed(-align.Mil))
	assert.Equal(t, "0.00", p.signed(1e-12))
	assert.Equal(t, "1.00 mil toward 6, 2.00 mil toward 3", p.toward(-align.Mil, 2*align.Mil))
	assert.Equal(t, 0, powerFor(0))
	assert.Equal(t, 0, powerFor(0.05))
	assert.Equal(t, -3, powerFor(0.005))
	assert.Equal(t, 9, powerFor(2.06e11))
}
