package drawing_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"testing"

	"collinear.example/align"
	"collinear.example/drawing"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

func paperDemo() drawing.GraphPaper {
	return drawing.GraphPaper{
		Title: "Motor and pump", From: 0, To: 2200 * oneMM, Reduction: 10, Magnification: 100,
		Stations: []drawing.PaperStation{
			{Name: "motor outboard feet", At: 150 * oneMM, Foot: true}, {Name: "motor inboard feet", At: 750 * oneMM, Foot: true},
			{Name: "dial on motor hub", At: 980 * oneMM}, {Name: "dial on pump hub", At: 1100 * oneMM},
			{Name: "pump inboard feet", At: 1350 * oneMM, Foot: true}, {Name: "pump outboard feet", At: 1950 * oneMM, Foot: true},
		},
	}
}

// solvedDemo is the pump's shaft 0.12 mm high at 980 and 0.16 mm at 1100 mm, the motor
// on the line of zero.
func solvedDemo(t testing.TB) drawing.GraphPaper {
	t.Helper()
	g := paperDemo()
	a, b := align.Point{Station: 980 * oneMM, Offset: 0.12 * oneMM}, align.Point{Station: 1100 * oneMM, Offset: 0.16 * oneMM}
	l, err := align.Through(a, b)
	require.NoError(t, err)
	g.Solution = &drawing.PaperSolution{
		Points: []align.Point{a, b},
		Shafts: []drawing.PaperShaft{{Name: "motor", From: 0, To: 980 * oneMM}, {Name: "pump", Line: l, From: 980 * oneMM, To: 2200 * oneMM}},
		Feet:   []drawing.PaperFoot{{Station: 4, Shaft: 1}, {Station: 5, Shaft: 1}},
	}
	return g
}

// fieldOf is the box of the squares.
func fieldOf(t testing.TB, p *drawing.Page) drawing.Box {
	t.Helper()
	for _, l := range polygons(p, drawing.Narrow, drawing.NoFill) {
		if b := l.Bounds(); l.Closed && b.Right-b.Left > 50 {
			return b
		}
	}
	require.Fail(t, "no squares")
	return drawing.Box{}
}

// uprights are the places of the upright lines of a stroke that are as high as the
// squares.
func uprights(p *drawing.Page, field drawing.Box, stroke drawing.Stroke) (out []float64) {
	for _, l := range linesOf(p, stroke) {
		if l.From.X == l.To.X && l.From.Y == field.Top && l.To.Y == field.Bottom {
			out = append(out, l.From.X)
		}
	}
	return out
}

// Every size is that of ISO 216 on its long side, and the numbers of the SVG are its
// millimetres.
func TestPaperIsExact(t *testing.T) {
	sizes := map[drawing.PaperSize][2]int{drawing.A4: {297, 210}, drawing.A3: {420, 297}, drawing.A2: {594, 420}, drawing.A1: {841, 594}, drawing.A0: {1189, 841}}
	for paper, size := range sizes {
		g := paperDemo()
		g.Paper = paper
		p := drawnSheet(t, g)
		requireWhole(t, p)
		head := regexp.MustCompile(`width="([0-9.]+)mm" height="([0-9.]+)mm" viewBox="0 0 ([0-9.]+) ([0-9.]+)"`).FindSubmatch(p.SVG())
		require.NotNil(t, head, paper.String())
		for i, want := range []int{size[0], size[1], size[0], size[1]} {
			assert.Equal(t, fmt.Sprint(want), string(head[i+1]))
		}
		field := fieldOf(t, p)
		assert.InDelta(t, 220, field.Right-field.Left, 1e-9, "2200 mm at 1 : 10")
		assert.True(t, mentions(p, "stations: mm, "+paper.String()))
	}
}

func TestPaperSquares(t *testing.T) {
	p := drawnSheet(t, paperDemo())
	field := fieldOf(t, p)
	small, strong := uprights(p, field, drawing.Faint), uprights(p, field, drawing.Narrow)
	require.Len(t, strong, 23) // 0 to 220 mm by 10
	require.Len(t, small, 221-23)
	for i, x := range strong {
		assert.InDelta(t, field.Left+10*float64(i), x, 1e-6)
	}
	k := 0
	for i := range 221 {
		if i%10 == 0 {
			continue
		}
		assert.InDelta(t, field.Left+float64(i), small[k], 1e-6)
		k++
	}
	var across []float64
	for _, l := range linesOf(p, drawing.Narrow) {
		if l.From.Y == l.To.Y && l.From.X == field.Left && l.To.X == field.Right {
			across = append(across, l.From.Y-field.Top)
		}
	}
	require.Len(t, across, int(math.Round((field.Bottom-field.Top)/10))+1)
	for i, y := range across {
		assert.InDelta(t, field.Bottom-field.Top-10*float64(i), y, 1e-6)
	}
	// Stations at 1 : 10.
	ruled := uprights(p, field, drawing.Wide)
	require.InDeltaSlice(t, []float64{15, 75, 98, 110, 135, 195}, minus(ruled, field.Left), 1e-9)
	// Offsets at 100 : 1: 0.1 mm for every strong line, zero in the middle.
	mid := (field.Top + field.Bottom) / 2
	for _, words := range []string{"+0.1", "-0.1", "+0.3", "0.0"} {
		found := textsOf(p, words)
		require.Len(t, found, 2, words)
		for _, x := range found {
			assert.InDelta(t, mid-100*parsed(t, words), middleOf(x).Y, 1e-6)
		}
	}
	for _, words := range []string{"100", "2200"} {
		require.Len(t, textsOf(p, words), 1)
		assert.InDelta(t, field.Left+parsed(t, words)/10, middleOf(textsOf(p, words)[0]).X, 1e-6)
	}
	assert.Len(t, textsOf(p, "move ........"), 4)
	assert.Len(t, textsOf(p, "1350.0 mm"), 1)
}

func minus(list []float64, by float64) (out []float64) {
	for _, v := range list {
		out = append(out, v-by)
	}
	return out
}

// The ruler is 100 mm long, or four inches.
func TestPaperRuler(t *testing.T) {
	for u, long := range map[align.Unit]float64{align.UnitMillimetre: 100, align.UnitMil: 4 * 25.4} {
		g := paperDemo()
		g.Unit = u
		p := drawnSheet(t, g)
		found := false
		for _, l := range linesOf(p, drawing.Wide) {
			found = found || l.From.Y == l.To.Y && math.Abs(l.To.X-l.From.X-long) < 1e-9
		}
		assert.True(t, found, string(u))
	}
}

// With mils the squares are tenths of an inch: at 1 : 10 and 100 : 1 one is an inch wide
// and a mil high.
func TestPaperInches(t *testing.T) {
	g := paperDemo()
	g.Unit, g.To = align.UnitMil, 80*align.Inch
	p := drawnSheet(t, g)
	requireWhole(t, p)
	field := fieldOf(t, p)
	assert.InDelta(t, 8*25.4, field.Right-field.Left, 1e-9)
	strong := uprights(p, field, drawing.Narrow)
	require.Len(t, strong, 17)
	assert.InDelta(t, 12.7, strong[1]-strong[0], 1e-6)
	assert.True(t, mentions(p, "2.54 mm square: 1 in x 1 mil"))
	require.Len(t, textsOf(p, "+5"), 2)
	assert.InDelta(t, (field.Top+field.Bottom)/2-12.7, middleOf(textsOf(p, "+5")[0]).Y, 1e-6)
}

// By hand: 0.04 mm over 120 mm is 1/3 mm/m; at 1350 the pump is 0.12 + 370/3000 = 0.2433
// high, at 1950 0.12 + 970/3000 = 0.4433.
func TestPaperSolution(t *testing.T) {
	p := drawnSheet(t, solvedDemo(t))
	requireWhole(t, p)
	field := fieldOf(t, p)
	at := func(station, offset float64) drawing.Point {
		return drawing.Point{X: field.Left + station/10, Y: (field.Top+field.Bottom)/2 - 100*offset}
	}
	dots := circlesOf(p, 0.9, drawing.NoStroke, drawing.Solid)
	require.Len(t, dots, 2)
	requireNear(t, at(980, 0.12), dots[0])
	requireNear(t, at(1100, 0.16), dots[1])
	var arrows, shafts []drawing.Line
	for _, l := range linesOf(p, drawing.Wide) {
		switch {
		case l.Arrow == drawing.AtEnd:
			arrows = append(arrows, l)
		case l.Bounds().Inside(field) && l.From.X != l.To.X:
			shafts = append(shafts, l)
		}
	}
	require.Len(t, arrows, 2)
	assert.InDelta(t, 100*(0.12+370.0/3000), arrows[0].To.Y-arrows[0].From.Y, 1e-6)
	assert.InDelta(t, 100*(0.12+970.0/3000), arrows[1].To.Y-arrows[1].From.Y, 1e-6)
	require.Len(t, shafts, 2)
	requireNear(t, at(0, 0), shafts[0].From)
	requireNear(t, at(980, 0), shafts[0].To)
	requireNear(t, at(980, 0.12), shafts[1].From)
	requireNear(t, at(2200, 0.12+1220.0/3000), shafts[1].To)
	for _, words := range []string{"lower 0.243 mm", "lower 0.443 mm", "motor", "pump"} {
		assert.Len(t, textsOf(p, words), 1, words)
	}
}

// On a wanted line that is not zero the moves follow it; in the plan view they are told
// by the clock.
func TestPaperWanted(t *testing.T) {
	g := solvedDemo(t)
	g.Horizontal = true
	g.Solution.Wanted = align.Line{Offset: 0.3 * oneMM}
	p := drawnSheet(t, g)
	assert.Len(t, textsOf(p, "0.057 mm to 3"), 1) // 0.3 - 0.2433
	assert.Len(t, textsOf(p, "0.143 mm to 9"), 1) // 0.3 - 0.4433
	assert.True(t, mentions(p, "plan view, offsets toward 3 positive"))
	g.Solution.Shafts[1].Line = g.Solution.Wanted
	p = drawnSheet(t, g)
	assert.Len(t, textsOf(p, "no move"), 2)
}

// Without scales the largest of 1, 2 or 5 times a power of ten are taken that fit: 243 mm
// of paper hold 2200 mm at 1 : 10, and 70 mm either way hold 0.527 mm at 100 : 1.
func TestPaperScales(t *testing.T) {
	g := solvedDemo(t)
	g.Reduction, g.Magnification = 0, 0
	p := drawnSheet(t, g)
	assert.InDelta(t, 1.0/10, stated(t, p, "stations"), 1e-12)
	assert.InDelta(t, 100, stated(t, p, "offsets"), 1e-12)
	g.Paper = drawing.A0
	p = drawnSheet(t, g)
	assert.InDelta(t, 1.0/5, stated(t, p, "stations"), 1e-12)
	assert.Greater(t, stated(t, p, "offsets"), 199.0)
}

func TestPaperGolden(t *testing.T) {
	sameAsGolden(t, "graphpaper", drawnSheet(t, paperDemo()).SVG())
	sameAsGolden(t, "graphpaper-solved", drawnSheet(t, solvedDemo(t)).SVG())
}

func randPaper(r *rand.Rand, name string) drawing.GraphPaper {
	g := drawing.GraphPaper{Title: name, Paper: drawing.PaperSize(r.IntN(2)), Horizontal: r.IntN(2) == 0, Unit: anyUnit(r)}
	if r.IntN(10) == 0 {
		g.Paper = drawing.PaperSize(r.IntN(5))
	}
	long := unit.Length(math.Pow(10, -3+6*r.Float64()))
	g.From = unit.Length(2*r.Float64()-1) * 10
	g.To = g.From + long
	on := func() unit.Length { return g.From + long*unit.Length(r.Float64()) }
	for range 1 + r.IntN(14) {
		x := on()
		if r.IntN(3) == 0 {
			x = g.From + long/2
		}
		g.Stations = append(g.Stations, drawing.PaperStation{Name: name, At: x, Foot: r.IntN(2) == 0})
	}
	g.Middle = unit.Length(r.Float64()-0.5) * 1e-4
	if r.IntN(2) == 0 {
		return g
	}
	size := unit.Length(math.Pow(10, -6+4*r.Float64()))
	some := func() unit.Length { return size * unit.Length(2*r.Float64()-1) }
	s := &drawing.PaperSolution{}
	for range r.IntN(25) {
		s.Points = append(s.Points, align.Point{Station: on(), Offset: some()})
	}
	for range 1 + r.IntN(4) {
		a, b := some(), some()
		slope := float64((b - a) / long)
		if math.Abs(slope) > 1 {
			slope = 0
		}
		l := drawing.PaperShaft{Name: name, Line: align.Line{Offset: a - unit.Length(slope)*g.From, Slope: slope}}
		if r.IntN(2) == 0 {
			l.From, l.To = g.From, g.From+long/2
		}
		s.Shafts = append(s.Shafts, l)
	}
	for i := range g.Stations {
		if r.IntN(2) == 0 {
			s.Feet = append(s.Feet, drawing.PaperFoot{Station: i, Shaft: r.IntN(len(s.Shafts))})
		}
	}
	g.Solution = s
	return g
}

func TestPaperRandom(t *testing.T) {
	for seed := range uint64(300) {
		requireWhole(t, drawnSheet(t, randPaper(rand.New(rand.NewPCG(seed, 8)), "foot")))
	}
}

func TestPaperRefused(t *testing.T) {
	with := func(change func(*drawing.GraphPaper)) drawing.GraphPaper {
		g := solvedDemo(t)
		change(&g)
		return g
	}
	nan := unit.Length(math.NaN())
	requireRefused(t, []refusal{
		{"nothing", drawing.GraphPaper{}, align.ErrOutOfRange, "to"},
		{"no stations", with(func(g *drawing.GraphPaper) { g.Stations = nil }), align.ErrMissing, "stations"},
		{"too many stations", with(func(g *drawing.GraphPaper) { g.Stations = make([]drawing.PaperStation, 15) }), align.ErrOutOfRange, "stations"},
		{"the wrong way round", with(func(g *drawing.GraphPaper) { g.To = -1 }), align.ErrOutOfRange, "to"},
		{"from not a number", with(func(g *drawing.GraphPaper) { g.From = nan }), align.ErrNotFinite, "from"},
		{"to too far", with(func(g *drawing.GraphPaper) { g.To = 2e4 }), align.ErrOutOfRange, "to"},
		{"middle too far", with(func(g *drawing.GraphPaper) { g.Middle = 0.1 }), align.ErrOutOfRange, "middle"},
		{"paper of no size", with(func(g *drawing.GraphPaper) { g.Paper = 5 }), align.ErrUnknownKind, "paper"},
		{"station off the squares", with(func(g *drawing.GraphPaper) { g.Stations[1].At = 2.3 }), align.ErrOutOfRange, "stations[1].at"},
		{"station not a number", with(func(g *drawing.GraphPaper) { g.Stations[1].At = nan }), align.ErrNotFinite, "stations[1].at"},
		{"reduction too small", with(func(g *drawing.GraphPaper) { g.Reduction = 9 }), drawing.ErrDoesNotFit, "reduction"},
		{"reduction too large", with(func(g *drawing.GraphPaper) { g.Reduction = 80 }), drawing.ErrDoesNotFit, "reduction"},
		{"reduction below zero", with(func(g *drawing.GraphPaper) { g.Reduction = -1 }), align.ErrNegative, "reduction"},
		{"reduction not a number", with(func(g *drawing.GraphPaper) { g.Reduction = math.NaN() }), align.ErrNotFinite, "reduction"},
		{"magnification beyond all", with(func(g *drawing.GraphPaper) { g.Magnification = 1e6 }), align.ErrOutOfRange, "magnification"},
		{"magnification infinite", with(func(g *drawing.GraphPaper) { g.Magnification = math.Inf(1) }), align.ErrNotFinite, "magnification"},
		{"magnification too large for the solution", with(func(g *drawing.GraphPaper) { g.Magnification = 200 }), drawing.ErrDoesNotFit, "solution.shafts[1]"},
		{"point off the squares", with(func(g *drawing.GraphPaper) { g.Solution.Points[0].Station = 3 }), align.ErrOutOfRange, "solution.points[0].station"},
		{"point not a number", with(func(g *drawing.GraphPaper) { g.Solution.Points[1].Offset = nan }), align.ErrNotFinite, "solution.points[1].offset"},
		{"point too high", with(func(g *drawing.GraphPaper) { g.Magnification = 0; g.Solution.Points[1].Offset = 0.06 }), align.ErrOutOfRange, "solution.points[1]"},
		{"too many points", with(func(g *drawing.GraphPaper) { g.Solution.Points = make([]align.Point, 25) }), align.ErrOutOfRange, "solution.points"},
		{"no shafts", with(func(g *drawing.GraphPaper) { g.Solution.Shafts = nil }), align.ErrMissing, "solution.shafts"},
		{"too many shafts", with(func(g *drawing.GraphPaper) { g.Solution.Shafts = make([]drawing.PaperShaft, 5) }), align.ErrOutOfRange, "solution.shafts"},
		{"shaft the wrong way round", with(func(g *drawing.GraphPaper) {
			g.Solution.Shafts[0].From, g.Solution.Shafts[0].To = 1, 0.5
		}), align.ErrOutOfRange, "solution.shafts[0].to"},
		{"shaft off the squares", with(func(g *drawing.GraphPaper) { g.Solution.Shafts[0].To = 3 }), align.ErrOutOfRange, "solution.shafts[0].to"},
		{"steep shaft", with(func(g *drawing.GraphPaper) { g.Solution.Shafts[0].Line.Slope = 2 }), align.ErrOutOfRange, "solution.shafts[0].line.slope"},
		{"wanted not a number", with(func(g *drawing.GraphPaper) { g.Solution.Wanted.Slope = math.NaN() }), align.ErrNotFinite, "solution.wanted.slope"},
		{"foot at no station", with(func(g *drawing.GraphPaper) { g.Solution.Feet[0].Station = 6 }), align.ErrOutOfRange, "solution.feet[0].station"},
		{"foot on no shaft", with(func(g *drawing.GraphPaper) { g.Solution.Feet[0].Shaft = -1 }), align.ErrOutOfRange, "solution.feet[0].shaft"},
		{"two feet at one station", with(func(g *drawing.GraphPaper) { g.Solution.Feet[0].Station = 5 }), align.ErrMismatch, "solution.feet[1].station"},
		{"unit of another kind", with(func(g *drawing.GraphPaper) { g.Unit = align.UnitPSI }), align.ErrWrongUnit, "unit"},
	})
}

func BenchmarkGraphPaper(b *testing.B) {
	g := solvedDemo(b)
	for _, paper := range []drawing.PaperSize{drawing.A4, drawing.A0} {
		g.Paper = paper
		b.Run(paper.String(), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				p, err := g.Draw()
				if err != nil {
					b.Fatal(err)
				}
				p.SVG()
			}
		})
	}
}

func ExampleGraphPaper_Draw() {
	worksheet := drawing.GraphPaper{
		Title: "Motor and pump", Paper: drawing.A1, To: 2200 * align.Millimetre, Reduction: 5, Magnification: 500,
		Stations: []drawing.PaperStation{{Name: "inboard feet", At: 1350 * align.Millimetre, Foot: true}, {Name: "outboard feet", At: 1950 * align.Millimetre, Foot: true}},
	}
	page, err := worksheet.Draw()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(page.Width, page.Height)
	fmt.Println(page.Description)

	worksheet.Paper = drawing.A4
	_, err = worksheet.Draw()
	fmt.Println(err)
	// Output:
	// 841 594
	// Graph paper for Motor and pump, A1, side view, offsets up positive, stations 0.0 mm to 2200.0 mm at 1 : 5, offsets at 500 : 1, 1 mm square: 5 mm x 0.002 mm. Stations: inboard feet at 1350.0 mm; outboard feet at 1950.0 mm. Blank.
	// drawing: reduction = 1 : 5, 440 mm wide, the paper has 243 mm: does not fit the sheet at this scale
}
