package softfoot_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"collinear.example/softfoot"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/unit"
)

const nm = 1e-9

func mils(v float64) unit.Length { return unit.Length(v) * align.Mil }

// A wedge worked by hand. A foot 6 in long and 4 in wide, gaps in mils:
// first end 4 (left) and 8 (right), last end 10 and 14. Mean 36/4 = 9; last end
// 12 less first end 6 is 6 over 6 in; right 11 less left 7 is 4 over 4 in. The
// plane goes through all four (twist 4 - 8 - 10 + 14 = 0), from 4 to 14. Of
// leaves of 1, 2, 3, 4 and 5 mil, at most four, no gap over 3 mil: one full leaf of
// 4 fills the tight corner, 10 mil of wedge is left; two steps of 3 leave 4 at
// the open corner, three leave 1 there and 3 just past each end. They end where
// the gap is 7, 10 and 13: (14-7)/10 = 0.7, 0.4 and 0.1 of the way.
func ExampleShimStock_SteppedShim() {
	foot := softfoot.FourCorners(6*align.Inch, 4*align.Inch, softfoot.CornerGaps{
		FirstLeft: 4 * align.Mil, FirstRight: 8 * align.Mil, LastLeft: 10 * align.Mil, LastRight: 14 * align.Mil,
	})
	w, err := foot.Wedge()
	if err != nil {
		fmt.Println(err)
		return
	}
	mil := func(v unit.Length) string { return align.UnitMil.Format(float64(v), 1) }
	fmt.Println("mean", mil(w.Mean), "along", mil(w.Along), "across", mil(w.Across))
	fmt.Println("tight at the", w.TightSide())
	stock := softfoot.ShimStock{
		Leaves:    []unit.Length{align.Mil, 2 * align.Mil, 3 * align.Mil, 4 * align.Mil, 5 * align.Mil},
		MaxLeaves: 4, Within: 3 * align.Mil,
	}
	s, _, err := stock.SteppedShim(w)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, l := range s.Leaves {
		fmt.Printf("leaf %s to %.1f of the way\n", mil(l.Thickness), l.End)
	}
	fmt.Println("largest gap left", mil(s.Residual))
	// Output:
	// mean 9.0 mil along 6.0 mil across 4.0 mil
	// tight at the corner toward the first machine, left side
	// leaf 4.0 mil to 1.0 of the way
	// leaf 3.0 mil to 0.7 of the way
	// leaf 3.0 mil to 0.4 of the way
	// leaf 3.0 mil to 0.1 of the way
	// largest gap left 3.0 mil
}

func TestTwistIsFourTimesTheResidual(t *testing.T) {
	f := softfoot.FourCorners(0.2, 0.1, softfoot.CornerGaps{FirstLeft: mils(9), FirstRight: mils(1), LastLeft: mils(1), LastRight: mils(9)})
	w, err := f.Wedge()
	require.NoError(t, err)
	require.InDelta(t, float64(mils(16)), float64(w.Twist), nm)
	require.InDelta(t, float64(mils(4)), math.Abs(float64(w.Worst)), nm)
	require.InDelta(t, 0, w.Slope(), 1e-12)
	ws, err := w.CheckFlat(mils(3.9))
	require.NoError(t, err)
	require.Len(t, ws, 1)
	require.Equal(t, softfoot.WarnBentFoot, ws[0].Code)
	ws, err = w.CheckFlat(mils(4))
	require.NoError(t, err)
	require.Empty(t, ws)
}

// randomFace reads a known plane of gaps with noise at n places.
func randomFace(rnd *rand.Rand, n int, noise float64) softfoot.FootFace {
	f := softfoot.FootFace{Length: unit.Length(0.05 + rnd.Float64()), Width: unit.Length(0.05 + rnd.Float64())}
	mean, a, b := 1e-3, (rnd.Float64()-0.5)*1e-3/float64(f.Length), (rnd.Float64()-0.5)*1e-3/float64(f.Width)
	for range n {
		x, z := (rnd.Float64()-0.5)*float64(f.Length), (rnd.Float64()-0.5)*float64(f.Width)
		f.Gaps = append(f.Gaps, softfoot.GapPoint{
			Along: unit.Length(x), Across: unit.Length(z), Gap: unit.Length(mean + a*x + b*z + noise*rnd.Float64()),
		})
	}
	return f
}

func TestWedgeAgainstQR(t *testing.T) {
	rnd := rand.New(rand.NewPCG(1, 2))
	for range 300 {
		f := randomFace(rnd, 5+rnd.IntN(10), 1e-4)
		w, err := f.Wedge()
		require.NoError(t, err)
		a, y := mat.NewDense(len(f.Gaps), 3, nil), mat.NewVecDense(len(f.Gaps), nil)
		for i, g := range f.Gaps {
			a.SetRow(i, []float64{1, float64(g.Along), float64(g.Across)})
			y.SetVec(i, float64(g.Gap))
		}
		var x mat.VecDense
		require.NoError(t, x.SolveVec(a, y))
		require.InDelta(t, x.AtVec(0), float64(w.Mean), nm/1e3)
		require.InDelta(t, x.AtVec(1), w.SlopeAlong, nm)
		require.InDelta(t, x.AtVec(2), w.SlopeAcross, nm)
	}
}

// Seen in a mirror the slopes across change sign; a common gap more moves the
// mean alone; inches change nothing but the scale.
func TestWedgeProperties(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 4))
	for range 200 {
		f := randomFace(rnd, 6, 1e-4)
		m, up, big := f, f, f
		m.Gaps, up.Gaps, big.Gaps = nil, nil, nil
		big.Length, big.Width = f.Length*25.4, f.Width*25.4
		for _, g := range f.Gaps {
			m.Gaps = append(m.Gaps, softfoot.GapPoint{Along: g.Along, Across: -g.Across, Gap: g.Gap})
			up.Gaps = append(up.Gaps, softfoot.GapPoint{Along: g.Along, Across: g.Across, Gap: g.Gap + 1e-3})
			big.Gaps = append(big.Gaps, softfoot.GapPoint{Along: g.Along * 25.4, Across: g.Across * 25.4, Gap: g.Gap * 25.4})
		}
		w, err := f.Wedge()
		require.NoError(t, err)
		wm, err := m.Wedge()
		require.NoError(t, err)
		wu, err := up.Wedge()
		require.NoError(t, err)
		wb, err := big.Wedge()
		require.NoError(t, err)
		require.InDelta(t, -w.SlopeAcross, wm.SlopeAcross, nm)
		require.InDelta(t, w.SlopeAlong, wm.SlopeAlong, nm)
		require.InDelta(t, float64(w.Mean)+1e-3, float64(wu.Mean), nm)
		require.InDelta(t, float64(w.Range()), float64(wu.Range()), nm)
		require.InDelta(t, float64(w.Open)*25.4, float64(wb.Open), nm)
		require.InDelta(t, w.Slope(), wb.Slope(), nm)
		// The corner on the tight side has the tight gap.
		along, across := w.Face.Length/2, w.Face.Width/2
		if w.Along > 0 {
			along = -along
		}
		if w.Across > 0 {
			across = -across
		}
		require.InDelta(t, float64(w.Tight), float64(w.GapAt(along, across)), nm)
		require.InDelta(t, float64(w.Open), float64(w.GapAt(-along, -across)), nm)
	}
}

// No flat shim leaves less open than the range of the wedge (pitfall: shimming
// a wedge with its largest, least or mean gap).
func TestFlatShims(t *testing.T) {
	f := softfoot.FourCorners(0.2, 0.1, softfoot.CornerGaps{FirstLeft: mils(2), FirstRight: mils(2), LastLeft: mils(10), LastRight: mils(10)})
	w, err := f.Wedge()
	require.NoError(t, err)
	tight, mean, open, err := w.FlatShims()
	require.NoError(t, err)
	want := func(s softfoot.FlatShim, shim, atTight, atOpen, lift, left float64) {
		t.Helper()
		for i, v := range []unit.Length{s.Shim, s.AtTight, s.AtOpen, s.Lift, s.LeftOpen} {
			require.InDelta(t, float64(mils([]float64{shim, atTight, atOpen, lift, left}[i])), float64(v), nm)
		}
	}
	want(tight, 2, 0, 8, 0, 8)
	want(mean, 6, -4, 4, 4, 8)
	want(open, 10, -8, 0, 8, 8)
	require.Equal(t, "end toward the first machine", w.TightSide())
}

func TestTaper(t *testing.T) {
	f := softfoot.FourCorners(0.2, 0.1, softfoot.CornerGaps{FirstRight: mils(5), LastRight: mils(5)})
	w, err := f.Wedge()
	require.NoError(t, err)
	require.Equal(t, "left side", w.TightSide())
	p, err := w.Taper(3e-3)
	require.NoError(t, err)
	require.InDelta(t, 3e-3, float64(p.Raise), nm)
	require.InDelta(t, 3e-3, float64(p.Thin), nm)
	require.InDelta(t, 3e-3+float64(mils(5)), float64(p.Thick), nm)
	require.InDelta(t, float64(mils(5))/0.1, p.SlopeAcross, nm)
}

func TestWedgeFaults(t *testing.T) {
	good := softfoot.FourCorners(0.2, 0.1, softfoot.CornerGaps{})
	for name, c := range map[string]struct {
		change func(*softfoot.FootFace)
		code   string
	}{
		"length": {func(f *softfoot.FootFace) { f.Length = 0 }, "out-of-range"},
		"width":  {func(f *softfoot.FootFace) { f.Width = unit.Length(math.NaN()) }, "not-finite"},
		"few":    {func(f *softfoot.FootFace) { f.Gaps = f.Gaps[:2] }, "too-few-points"},
		"line":   {func(f *softfoot.FootFace) { f.Gaps = append(f.Gaps[:2], softfoot.GapPoint{Along: -0.1}) }, "undetermined"},
		"off":    {func(f *softfoot.FootFace) { f.Gaps[0].Along = -0.2 }, "out-of-range"},
		"gap":    {func(f *softfoot.FootFace) { f.Gaps[0].Gap = -1e-6 }, "negative"},
	} {
		f := good
		f.Gaps = append([]softfoot.GapPoint(nil), good.Gaps...)
		c.change(&f)
		_, err := f.Wedge()
		require.Equal(t, c.code, align.CodeOf(err), name)
		require.ErrorContains(t, err, "softfoot: ", name)
	}
}

func FuzzWedge(f *testing.F) {
	f.Add(0.2, 0.1, 0.001, 0.002, 0.003, 0.004)
	f.Add(1e-9, 1e5, 0.0, 0.0, 1e5, 0.0)
	f.Fuzz(func(t *testing.T, l, w, a, b, c, d float64) {
		face := softfoot.FourCorners(unit.Length(l), unit.Length(w), softfoot.CornerGaps{
			FirstLeft: unit.Length(a), FirstRight: unit.Length(b), LastLeft: unit.Length(c), LastRight: unit.Length(d),
		})
		g, err := face.Wedge()
		if err != nil {
			require.NotEmpty(t, align.CodeOf(err))
			return
		}
		for _, v := range []unit.Length{g.Mean, g.Along, g.Across, g.Tight, g.Open, g.RMS, g.Worst, g.Twist, g.Reach()} {
			require.True(t, align.IsFinite(v))
		}
		stock := softfoot.ShimStock{Leaves: []unit.Length{1e-3, 2e-4, 5e-5}, MaxLeaves: 4, Within: 5e-5}
		s, _, err := stock.SteppedShim(g)
		if err != nil {
			require.NotEmpty(t, align.CodeOf(err))
			return
		}
		for _, leaf := range s.Leaves {
			require.True(t, leaf.End >= -1e-6 && leaf.End <= 1+1e-6, "%v", leaf)
		}
		require.True(t, align.IsFinite(s.MostRead) && align.IsFinite(s.LeastRead))
	})
}

func BenchmarkWedgeFourCorners(b *testing.B) {
	f := softfoot.FourCorners(0.2, 0.1, softfoot.CornerGaps{FirstLeft: mils(4), FirstRight: mils(8), LastLeft: mils(10), LastRight: mils(15)})
	b.ReportAllocs()
	for b.Loop() {
		if _, err := f.Wedge(); err != nil {
			b.Fatal(err)
		}
	}
}
