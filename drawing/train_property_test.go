package drawing_test

import (
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"collinear.example/align"
	"collinear.example/drawing"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// trainMaker makes random trains: one to eight machines of a millimetre to kilometres,
// offsets of a nanometre to decimetres, and names of any script and length.
type trainMaker struct{ *rand.Rand }

// size returns a length between two powers of ten, evenly over the powers.
func (r trainMaker) size(from, to float64) unit.Length {
	return unit.Length(math.Pow(10, from+(to-from)*r.Float64()))
}

func (r trainMaker) signed(v unit.Length) unit.Length { return unit.Length(2*r.Float64()-1) * v }

func (r trainMaker) name() string {
	parts := []string{"pump", "motor ", "gear unit", "圧縮機", "ポンプ 二号", "насос", "🏭", "👩‍🔧", "e\u0301\u0302\u0303\u0304\u0305", "\u0301", "W", "iiii", "\x00", "\u202e", "<b>", "&amp;", "]]>", "\t", " ", "مضخة", "ﷺ", "\xff", "—"}
	var b strings.Builder
	for range r.IntN(4) * r.IntN(12) {
		b.WriteString(parts[r.IntN(len(parts))])
	}
	return b.String()
}

// axis returns a line that keeps within twice most between two stations.
func (r trainMaker) axis(from, to, most unit.Length) align.Axis {
	line := func() align.Line {
		a, slope := r.signed(most), float64(r.signed(min(0.5, most/(to-from))))
		return align.Line{Offset: a - unit.Length(slope)*from, Slope: slope}
	}
	return align.Axis{Vertical: line(), Horizontal: line()}
}

func (r trainMaker) train() drawing.Train {
	t := drawing.Train{Title: r.name(), Plant: r.name(), Reference: r.name(), Date: r.name(), Unit: anyUnit(r.Rand)}
	n := 1 + r.IntN(8)
	long := r.size(-2.9, 2.8) // of a machine
	offset := min(r.size(-9, -0.6), 0.3*long)
	x := r.signed(1000)
	for i := range n {
		m := drawing.Machine{Name: r.name(), Start: x, End: x + max(1.001*oneMM, long*r.size(-2, 0))}
		at := m.Start
		for k := range r.IntN(9) {
			side := drawing.BothSides
			if k%2 == 0 {
				at += unit.Length(r.Float64()) * (m.End - at)
				side = drawing.LeftSide
			} else {
				side = drawing.RightSide
			}
			f := drawing.Foot{Name: r.name(), Station: at, Side: side}
			if r.IntN(4) > 0 {
				f.Move = &align.Move{Vertical: r.signed(offset), Horizontal: r.signed(offset)}
			}
			if last := len(m.Feet) - 1; k%2 == 1 && r.IntN(2) == 0 {
				f.Move = m.Feet[last].Move
			}
			if k%2 == 0 && k > 0 && at == m.Feet[len(m.Feet)-1].Station {
				break
			}
			m.Feet = append(m.Feet, f)
		}
		t.Machines = append(t.Machines, m)
		x = m.End
		if i+1 < n {
			c := drawing.Coupling{Name: r.name(), NearFlex: x + long*r.size(-4, -1), Resultant: r.IntN(2) == 0}
			c.FarFlex = c.NearFlex
			if r.IntN(4) > 0 {
				c.FarFlex += long * r.size(-4, -0.5)
			}
			if r.IntN(4) > 0 {
				c.NearLimit, c.FarLimit = offset*r.size(-1, 0.5), offset*r.size(-1, 0.5)
			}
			t.Couplings = append(t.Couplings, c)
			x = c.FarFlex + long*r.size(-4, -1)
		}
	}
	kinds := []drawing.StateKind{drawing.AsFound, drawing.AfterMove, drawing.Running, drawing.Running}
	r.Shuffle(len(kinds), func(i, k int) { kinds[i], kinds[k] = kinds[k], kinds[i] })
	for _, kind := range kinds[:1+r.IntN(4)] {
		s := drawing.State{Name: r.name(), Kind: kind}
		uncertain := r.IntN(2) == 0
		for _, m := range t.Machines {
			s.Shafts = append(s.Shafts, r.axis(m.Start, m.End, offset/3))
			if uncertain {
				b := drawing.Band{About: m.Start, Offset: offset * r.size(-2, 0), Slope: float64(offset/long) * r.Float64()}
				s.Uncertain = append(s.Uncertain, drawing.Uncertainty{Vertical: b, Horizontal: b})
			}
		}
		t.States = append(t.States, s)
	}
	for range r.IntN(9) {
		f := drawing.Flange{Name: r.name(), Diameter: r.size(-2, 1)}
		f.Gaps[0] = drawing.FlangeGap{Where: r.name(), Gap: r.size(-7, -0.1)}
		f.Gaps[1] = drawing.FlangeGap{Where: r.name(), Gap: r.size(-7, -0.1)}
		if r.IntN(2) == 0 {
			off := r.signed(r.size(-7, -0.1))
			f.Offset = &off
		}
		t.Flanges = append(t.Flanges, f)
	}
	return t
}

// TestTrainRandom holds a thousand random trains against all that is promised of a
// drawing.
func TestTrainRandom(t *testing.T) {
	r := trainMaker{rand.New(rand.NewPCG(20, 31))}
	count, grown, listed := 1000, 0, 0
	if testing.Short() {
		count = 100
	}
	for range count {
		train := r.train()
		p, err := train.Draw()
		require.NoError(t, err)
		requireSoundTrain(t, p)
		requireClearTexts(t, p)
		requireCentrelines(t, &train, p)
		requireFigures(t, &train, p)
		requireLeaders(t, &train, p)
		if p.Height > 210 {
			grown++
		}
		if len(textsOf(p, "At the feet")) > 0 {
			listed++
		}
	}
	require.Greater(t, grown, count/10, "sheets that had to grow are among them")
	require.Greater(t, listed, count/40, "and those that needed the list")
}

// requireSoundTrain wants every shape on the page, no text over another, words for a
// screen reader and well-formed XML.
func requireSoundTrain(t testing.TB, p *drawing.Page) {
	t.Helper()
	paper := p.Paper()
	for _, s := range p.Shapes {
		if b := s.Bounds(); !b.Inside(paper) { // not a number is not inside either
			require.Fail(t, "leaves the page", "%#v", s)
		}
	}
	boxes, texts := []drawing.Box{}, p.Texts()
	for i, a := range texts {
		b := a.Bounds()
		if drawing.Printable(a.Words) == "" || b.Right <= b.Left {
			require.Fail(t, "a text without words")
		}
		for k, c := range boxes {
			if b.Overlaps(c) {
				require.Fail(t, "texts overlap", "%q at %v and %q at %v", texts[i].Words, b, texts[k].Words, c)
			}
		}
		boxes = append(boxes, b)
	}
	require.NotEmpty(t, p.Title)
	require.NotContains(t, p.Description, "NaN")
	require.NotContains(t, p.Description, "Inf")
	requireXML(t, p.SVG())
}

// requireClearTexts wants that no line that is drawn runs through a text, and no tint
// lies under one.
func requireClearTexts(t testing.TB, p *drawing.Page) {
	t.Helper()
	var lines [][2]drawing.Point
	var tints []drawing.Box
	for _, s := range p.Shapes {
		switch s := s.(type) {
		case drawing.Line:
			lines = append(lines, [2]drawing.Point{s.From, s.To})
		case drawing.Polyline:
			if s.Fill == drawing.Tint {
				tints = append(tints, s.Bounds())
			}
			if s.Stroke == drawing.NoStroke {
				continue
			}
			for i := 1; i < len(s.Points); i++ {
				lines = append(lines, [2]drawing.Point{s.Points[i-1], s.Points[i]})
			}
			if s.Closed {
				lines = append(lines, [2]drawing.Point{s.Points[len(s.Points)-1], s.Points[0]})
			}
		}
	}
	for _, words := range p.Texts() {
		box := words.Bounds().Grown(-0.02)
		for _, l := range lines {
			if runsThrough(l[0], l[1], box) {
				require.Fail(t, "a line runs through a text", "%v to %v, %q at %v", l[0], l[1], words.Words, box)
			}
		}
		for _, b := range tints {
			if b.Overlaps(box) {
				require.Fail(t, "a tint lies under a text", "%v, %q at %v", b, words.Words, box)
			}
		}
	}
}

// runsThrough reports whether a line has a point inside a box: it does when an end lies
// inside, or when it cuts one of the two diagonals, which every line through the box
// does.
func runsThrough(a, b drawing.Point, box drawing.Box) bool {
	if box.Right <= box.Left || box.Bottom <= box.Top {
		return false
	}
	inside := func(p drawing.Point) bool {
		return p.X > box.Left && p.X < box.Right && p.Y > box.Top && p.Y < box.Bottom
	}
	return inside(a) || inside(b) ||
		crossing(a, b, drawing.Point{X: box.Left, Y: box.Top}, drawing.Point{X: box.Right, Y: box.Bottom}) ||
		crossing(a, b, drawing.Point{X: box.Left, Y: box.Bottom}, drawing.Point{X: box.Right, Y: box.Top})
}

// crossing reports whether two lines cross: the ends of each stand on both sides of
// the other.
func crossing(a, b, c, d drawing.Point) bool {
	side := func(p, q, r drawing.Point) float64 { return (q.X-p.X)*(r.Y-p.Y) - (q.Y-p.Y)*(r.X-p.X) }
	return side(a, b, c)*side(a, b, d) < 0 && side(c, d, a)*side(c, d, b) < 0
}

// requireCentrelines reads the centrelines back by the stated scales: along from the
// casing of the first machine, across from the line of zero.
func requireCentrelines(t testing.TB, train *drawing.Train, p *drawing.Page) {
	t.Helper()
	var words []string
	for _, x := range p.Texts() {
		words = append(words, x.Words)
	}
	along, across := statedScales(t, words)
	n := len(train.Machines)
	casings := polygons(p, drawing.Wide, drawing.NoFill)[1:] // after the border
	zeros := linesOf(p, drawing.Faint)
	for _, l := range polygons(p, drawing.NoStroke, drawing.Tint) { // bands, and a sample
		requireInViews(t, l.Bounds(), casings[0].Bounds(), casings[n].Bounds())
	}
	for _, l := range polygons(p, drawing.Narrow, drawing.Tint) { // limits, and a sample
		requireInViews(t, l.Bounds(), casings[0].Bounds(), casings[n].Bounds())
	}
	running := drawing.DoubleDotted
	for _, state := range train.States {
		var stroke drawing.Stroke
		switch state.Kind {
		case drawing.AsFound:
			stroke = drawing.Centre
		case drawing.AfterMove:
			stroke = drawing.CentreWide
		default:
			stroke, running = running, drawing.TripleDotted
		}
		lines := linesOf(p, stroke)
		require.Len(t, lines, 2*n+1)
		for view := range 2 {
			for i := range n {
				m, l := &train.Machines[i], lines[view*n+i]
				casing := casings[view*n+i].Bounds()
				require.InDelta(t, casings[view*n].Bounds().Left+paperMM(m.Start-train.Machines[0].Start)*along, casing.Left, 1e-6)
				require.InDelta(t, paperMM(m.End-m.Start)*along, casing.Right-casing.Left, 1e-6)
				requireInViews(t, l.Bounds(), casing, casing)
				require.LessOrEqual(t, l.From.X, casing.Left+1e-9)
				require.GreaterOrEqual(t, l.To.X, casing.Right-1e-9)
				for _, x := range []unit.Length{m.Start, m.End} {
					at := casing.Left + paperMM(x-m.Start)*along
					o := state.Shafts[i].At(x)
					want := zeros[view].From.Y - paperMM(o.Vertical)*across
					if view == 1 {
						want = zeros[view].From.Y + paperMM(o.Horizontal)*across
					}
					got := l.From.Y + (l.To.Y-l.From.Y)*(at-l.From.X)/(l.To.X-l.From.X)
					require.InDelta(t, want, got, 1e-5)
				}
			}
		}
	}
}

// requireLeaders wants a leader to the upper edge of every coupling in both views, none
// of which crosses another.
func requireLeaders(t testing.TB, train *drawing.Train, p *drawing.Page) {
	t.Helper()
	var leaders []drawing.Polyline
	for _, l := range polygons(p, drawing.Narrow, drawing.NoFill) {
		if !l.Closed {
			leaders = append(leaders, l)
		}
	}
	n := len(train.Couplings)
	require.Len(t, leaders, 2*n)
	casings := polygons(p, drawing.Wide, drawing.NoFill)[1:]
	along := (casings[0].Bounds().Right - casings[0].Bounds().Left) / paperMM(train.Machines[0].End-train.Machines[0].Start)
	for i, l := range leaders {
		view, c := i/n, train.Couplings[i%n]
		casing, end := casings[view*(n+1)].Bounds(), l.Points[len(l.Points)-1]
		want := casing.Left + along*(paperMM(c.NearFlex-train.Machines[0].Start)+paperMM(c.FarFlex-c.NearFlex)/2)
		require.InDelta(t, want, end.X, 1e-6*max(1, math.Abs(want)))
		require.InDelta(t, casing.Top+0.12*(casing.Bottom-casing.Top), end.Y, 1e-9)
		for _, o := range leaders[:i] {
			for a := 1; a < len(l.Points); a++ {
				for b := 1; b < len(o.Points); b++ {
					require.False(t, crossing(l.Points[a-1], l.Points[a], o.Points[b-1], o.Points[b]), "leader %d crosses another", i)
				}
			}
		}
	}
}

// requireInViews wants that what is drawn to scale keeps to the height of the casings in
// one of the views; samples of the legend stand below both.
func requireInViews(t testing.TB, b, side, top drawing.Box) {
	t.Helper()
	within := func(casing drawing.Box) bool { return b.Top >= casing.Top && b.Bottom <= casing.Bottom }
	if !within(side) && !within(top) && b.Top < top.Bottom+6 {
		require.Fail(t, "drawn beyond its view", "%v, %v, %v", b, side, top)
	}
}

// requireFigures wants every figure of every coupling on the drawing, whole.
func requireFigures(t testing.TB, train *drawing.Train, p *drawing.Page) {
	t.Helper()
	scale, decimals, u := 1e-3, 3, " mm"
	if train.Unit == align.UnitMil {
		scale, decimals, u = 0.0254e-3, 1, " mil"
	}
	for i, c := range train.Couplings {
		for _, s := range train.States {
			e := s.Shafts[i+1].Sub(s.Shafts[i]).At(c.FarFlex)
			for _, v := range []unit.Length{e.Vertical, e.Horizontal} {
				w := strconv.FormatFloat(float64(v)/scale, 'f', decimals, 64)
				switch {
				case strings.Trim(w, "-0.") == "":
					w = strings.TrimPrefix(w, "-")
				case v > 0:
					w = "+" + w
				}
				require.NotEmpty(t, textsOf(p, w+u), "coupling %d: %s", i, w+u)
			}
		}
	}
}
