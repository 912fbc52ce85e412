package drawing_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"collinear.example/drawing"
	"collinear.example/softfoot"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// wedgeFace is the wedge by hand of package softfoot turned a little: the gap opens
// toward the last machine and to the right.
func wedgeFace() softfoot.FootFace {
	return softfoot.FourCorners(120*oneMM, 80*oneMM, softfoot.CornerGaps{FirstLeft: 0.10 * oneMM, FirstRight: 0.18 * oneMM, LastLeft: 0.30 * oneMM, LastRight: 0.34 * oneMM})
}

func wedgeDemo(t testing.TB) drawing.FootWedge {
	t.Helper()
	f := wedgeFace()
	w, err := f.Wedge()
	require.NoError(t, err)
	shim, _, err := softfoot.ShimStock{Leaves: []unit.Length{0.05 * oneMM, 0.1 * oneMM}, MaxLeaves: 6, Within: 0.05 * oneMM}.SteppedShim(w)
	require.NoError(t, err)
	return drawing.FootWedge{Title: "Pump, inboard left foot", Face: f, Shim: &shim}
}

// By hand: mean (0.10 + 0.18 + 0.30 + 0.34)/4 = 0.23; along the foot (0.30 + 0.34 - 0.10 -
// 0.18)/2 = 0.18 over 120 mm; across (0.18 + 0.34 - 0.10 - 0.30)/2 = 0.06 over 80 mm. So
// the open corner has 0.23 + 0.12 = 0.35 and the tight one 0.11.
func TestWedgeFromAbove(t *testing.T) {
	p := drawnSheet(t, wedgeDemo(t))
	requireWhole(t, p)
	scale := stated(t, p, "foot")
	dots := circlesOf(p, 0.8, drawing.NoStroke, drawing.Solid)
	require.Len(t, dots, 4)
	mid := drawing.Point{X: (dots[0].X + dots[3].X) / 2, Y: (dots[0].Y + dots[3].Y) / 2}
	requireNear(t, mid.Add(-60*scale, -40*scale), dots[0]) // toward the first machine, left
	requireNear(t, mid.Add(-60*scale, 40*scale), dots[1])
	requireNear(t, mid.Add(60*scale, -40*scale), dots[2])
	requireNear(t, mid.Add(60*scale, 40*scale), dots[3])
	for i, words := range []string{"0.100", "0.180", "0.300", "0.340"} {
		near := math.Inf(1)
		for _, x := range textsOf(p, words) {
			near = min(near, between(middleOf(x), dots[i]))
		}
		assert.Less(t, near, 12.0, words)
	}
	// The gradient is 0.18/120 along and 0.06/80 across: 1.5 and 0.75 per thousand.
	for _, l := range linesOf(p, drawing.Wide) {
		if l.Arrow == drawing.AtEnd {
			n := between(l.From, l.To)
			assert.InDelta(t, 1.5/math.Hypot(1.5, 0.75), (l.To.X-l.From.X)/n, 1e-9)
			assert.InDelta(t, 0.75/math.Hypot(1.5, 0.75), (l.To.Y-l.From.Y)/n, 1e-9)
		}
	}
	assert.True(t, mentions(p, "mean 0.230 mm, open corner 0.350 mm, tight corner 0.110 mm."))
	assert.True(t, mentions(p, "Steepest taper 1.68 mm/m")) // sqrt(1.5^2 + 0.75^2) = 1.677
	assert.True(t, mentions(p, "toward the first machine, left side"))
}

// The section is as long as the range 0.24 mm over the slope 1.677 mm/m, 143.1 mm, and
// falls from 0.35 to 0.11; leaves end where their tops reach the foot.
func TestWedgeSection(t *testing.T) {
	p := drawnSheet(t, wedgeDemo(t))
	along, up := stated(t, p, "foot"), stated(t, p, "gaps in section")
	var under drawing.Line
	for _, l := range linesOf(p, drawing.Wide) {
		if l.Arrow == drawing.NoArrow && math.Abs(l.To.X-l.From.X-143.108*along) < 0.01 && l.From.Y != l.To.Y {
			under = l
		}
	}
	require.NotZero(t, under)
	assert.InDelta(t, (0.35-0.11)*up, under.To.Y-under.From.Y, 1e-6)
	base := under.From.Y + 0.35*up
	leaves := polygons(p, drawing.Narrow, drawing.Paper)
	require.Len(t, leaves, 5)
	thick := []float64{0.1, 0.05, 0.05, 0.05, 0.05}
	top := 0.0
	for i, l := range leaves {
		b := l.Bounds()
		assert.InDelta(t, base-top*up, b.Bottom, 1e-6)
		assert.InDelta(t, thick[i]*up, b.Bottom-b.Top, 1e-6)
		assert.InDelta(t, under.From.X, b.Left, 1e-6)
		top += thick[i]
		end := min(1, (0.35-top)/0.24)
		assert.InDelta(t, under.From.X+end*143.108*along, b.Right, 0.01)
	}
	for _, words := range []string{"0.350", "0.110", "143.1", "full", "119.3"} {
		assert.NotEmpty(t, textsOf(p, words), words)
	}
	assert.True(t, mentions(p, "Shim 0.300 mm at the open corner. Largest gap left 0.050 mm."))
}

// Leaves end across the taper, inside the foot, where the plane of the gap is as high as
// their tops: 0.15, 0.20, 0.25 and 0.30 mm.
func TestWedgeLeafEdges(t *testing.T) {
	p := drawnSheet(t, wedgeDemo(t))
	dots := circlesOf(p, 0.8, drawing.NoStroke, drawing.Solid)
	edges := linesOf(p, drawing.Dashed)
	require.Len(t, edges, 4)
	foot := drawing.Box{Left: dots[0].X, Top: dots[0].Y, Right: dots[3].X, Bottom: dots[3].Y}
	scale := stated(t, p, "foot")
	for i, l := range edges {
		assert.InDelta(t, 0, (l.To.X-l.From.X)*1.5+(l.To.Y-l.From.Y)*0.75, 1e-6)
		for _, q := range []drawing.Point{l.From, l.To} {
			along, across := (q.X-(foot.Left+foot.Right)/2)/scale, (q.Y-(foot.Top+foot.Bottom)/2)/scale
			assert.InDelta(t, 0.15+0.05*float64(i), 0.23+1.5e-3*along+0.75e-3*across, 1e-9)
		}
		assert.True(t, l.Bounds().Inside(foot.Grown(1e-6)))
	}
}

func TestWedgeWithoutTaper(t *testing.T) {
	f := softfoot.FourCorners(120*oneMM, 80*oneMM, softfoot.CornerGaps{FirstLeft: 0.1 * oneMM, FirstRight: 0.1 * oneMM, LastLeft: 0.1 * oneMM, LastRight: 0.1 * oneMM})
	p := drawnSheet(t, drawing.FootWedge{Title: "foot", Face: f, Unit: align.UnitMil})
	requireWhole(t, p)
	assert.True(t, mentions(p, "No taper: the gap is the same all over."))
	assert.True(t, mentions(p, "No shim drawn."))
	f = softfoot.FourCorners(120*oneMM, 80*oneMM, softfoot.CornerGaps{})
	p = drawnSheet(t, drawing.FootWedge{Face: f})
	assert.True(t, mentions(p, "mean 0.000 mm"))
}

func TestWedgeGolden(t *testing.T) { sameAsGolden(t, "wedge", drawnSheet(t, wedgeDemo(t)).SVG()) }

func randWedge(r *rand.Rand, name string) drawing.FootWedge {
	size := func(lo, hi float64) unit.Length { return unit.Length(lo * math.Pow(hi/lo, r.Float64())) }
	l, w, gap := size(1e-3, 10), size(1e-3, 10), size(1e-7, 0.06)
	any := func() unit.Length { return gap * unit.Length(r.Float64()) }
	f := softfoot.FourCorners(l, w, softfoot.CornerGaps{FirstLeft: any(), FirstRight: any(), LastLeft: any(), LastRight: any()})
	for range r.IntN(21) {
		f.Gaps = append(f.Gaps, softfoot.GapPoint{Along: l * unit.Length(r.Float64()-0.5), Across: w * unit.Length(r.Float64()-0.5), Gap: any()})
	}
	d := drawing.FootWedge{Title: name, Face: f, Unit: anyUnit(r)}
	if r.IntN(2) == 0 {
		shim := softfoot.SteppedShim{}
		end := 1.0
		for range 1 + r.IntN(8) {
			shim.Leaves = append(shim.Leaves, softfoot.SteppedLeaf{Thickness: gap * unit.Length(0.05+0.1*r.Float64()), End: end})
			end *= r.Float64()
		}
		d.Shim = &shim
	}
	return d
}

func TestWedgeRandom(t *testing.T) {
	for seed := range uint64(300) {
		d := randWedge(rand.New(rand.NewPCG(seed, 3)), "foot")
		requireWhole(t, drawnSheet(t, d))
	}
}

// What is said to be left over the shim is the largest gap found by walking along it.
func TestWedgeLargestGapLeft(t *testing.T) {
	for seed := range uint64(60) {
		d := randWedge(rand.New(rand.NewPCG(seed, 4)), "foot")
		if d.Shim == nil || d.Unit == align.UnitMil {
			continue
		}
		w, err := d.Face.Wedge()
		require.NoError(t, err)
		most := math.Inf(-1)
		for k := range 20001 {
			share := float64(k) / 20000
			left := float64(w.Open) - share*float64(w.Range())
			for _, l := range d.Shim.Leaves {
				if l.End == 1 || l.End > share {
					left -= float64(l.Thickness)
				}
			}
			most = max(most, left)
		}
		p := drawnSheet(t, d)
		near := func(v float64) bool {
			return mentions(p, "Largest gap left "+align.UnitMillimetre.Format(v, 3)+".")
		}
		slack := float64(w.Range())/20000 + 0.5e-6
		require.True(t, near(most) || near(most+slack), "seed %d: %g", seed, most)
	}
}

func TestWedgeRefused(t *testing.T) {
	with := func(change func(*drawing.FootWedge)) drawing.FootWedge {
		d := wedgeDemo(t)
		change(&d)
		return d
	}
	leaf := func(l softfoot.SteppedLeaf) drawing.FootWedge {
		return with(func(d *drawing.FootWedge) { d.Shim = &softfoot.SteppedShim{Leaves: []softfoot.SteppedLeaf{l}} })
	}
	nan := math.NaN()
	requireRefused(t, []refusal{
		{"nothing", drawing.FootWedge{}, align.ErrOutOfRange, "face.length"},
		{"no width", with(func(d *drawing.FootWedge) { d.Face.Width = 0 }), align.ErrOutOfRange, "face.width"},
		{"length not a number", with(func(d *drawing.FootWedge) { d.Face.Length = unit.Length(nan) }), align.ErrNotFinite, "face.length"},
		{"too long", with(func(d *drawing.FootWedge) { d.Face.Length = 11 }), align.ErrOutOfRange, "face.length"},
		{"two gaps", with(func(d *drawing.FootWedge) { d.Face.Gaps = d.Face.Gaps[:2] }), softfoot.ErrTooFewPoints, "face.gaps"},
		{"gaps in a line", with(func(d *drawing.FootWedge) {
			d.Face.Gaps = []softfoot.GapPoint{{Along: -0.05}, {}, {Along: 0.05}}
		}), align.ErrUndetermined, "face.gaps"},
		{"too many gaps", with(func(d *drawing.FootWedge) { d.Face.Gaps = make([]softfoot.GapPoint, 25) }), align.ErrOutOfRange, "face.gaps"},
		{"gap below zero", with(func(d *drawing.FootWedge) { d.Face.Gaps[1].Gap = -1e-6 }), align.ErrNegative, "face.gaps[1].gap"},
		{"gap too large", with(func(d *drawing.FootWedge) { d.Face.Gaps[1].Gap = 0.2 }), align.ErrOutOfRange, "face.gaps[1].gap"},
		{"gap off the foot", with(func(d *drawing.FootWedge) { d.Face.Gaps[2].Along = 0.1 }), align.ErrOutOfRange, "face.gaps[2].along"},
		{"leaf of no thickness", leaf(softfoot.SteppedLeaf{End: 1}), align.ErrOutOfRange, "shim.leaves[0].thickness"},
		{"leaf below zero", leaf(softfoot.SteppedLeaf{Thickness: -1e-4, End: 1}), align.ErrNegative, "shim.leaves[0].thickness"},
		{"leaf that ends off the foot", leaf(softfoot.SteppedLeaf{Thickness: 1e-4, End: 1.1}), align.ErrOutOfRange, "shim.leaves[0].end"},
		{"leaf that ends nowhere", leaf(softfoot.SteppedLeaf{Thickness: 1e-4, End: nan}), align.ErrNotFinite, "shim.leaves[0].end"},
		{"too many leaves", with(func(d *drawing.FootWedge) { d.Shim = &softfoot.SteppedShim{Leaves: make([]softfoot.SteppedLeaf, 9)} }), align.ErrOutOfRange, "shim.leaves"},
		{"unit of another kind", with(func(d *drawing.FootWedge) { d.Unit = align.UnitKelvin }), align.ErrWrongUnit, "unit"},
	})
}

func BenchmarkFootWedge(b *testing.B) {
	d := wedgeDemo(b)
	b.ReportAllocs()
	for b.Loop() {
		p, err := d.Draw()
		if err != nil {
			b.Fatal(err)
		}
		p.SVG()
	}
}
