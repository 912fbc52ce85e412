package drawing_test

import (
	"math"
	"strconv"
	"strings"
	"sync"
	"testing"

	"collinear.example/align"
	"collinear.example/drawing"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

func demoTrains() map[string]drawing.Train {
	return map[string]drawing.Train{"train_pumpset": pumpSet(), "train_compressor": compressorTrain(), "train_crowded": crowdedTrain(), "train_lone": loneMachine()}
}

// The kept drawings were looked at on paper and screen before they were kept; this
// holds every later one against them by what it shows.
func TestTrainGolden(t *testing.T) {
	for name, train := range demoTrains() {
		t.Run(name, func(t *testing.T) {
			p := drawnSheet(t, train)
			sameAsGolden(t, name, p.SVG())
		})
	}
}

// statedScales reads the scales, paper over life, from the words on the drawing.
func statedScales(t testing.TB, texts []string) (along, across float64) {
	t.Helper()
	one := func(s string) float64 {
		a, b, found := strings.Cut(s, ":")
		require.True(t, found, s)
		return parsed(t, a) / parsed(t, b)
	}
	for _, w := range texts {
		if rest, ok := strings.CutPrefix(w, "along "); ok {
			a, b, found := strings.Cut(rest, ", across ")
			require.True(t, found, w)
			return one(a), one(b)
		}
	}
	require.Fail(t, "no scales")
	return 0, 0
}

// The centrelines of the pump set, read back from the SVG alone: the stations from the
// figures of the ruler, the offsets from the line of zero, both by the stated scales.
func TestTrainReadBack(t *testing.T) {
	train := pumpSet()
	p := drawnSheet(t, train)
	var words []string
	var zeros []svgShape
	shafts := map[string][]svgShape{} // by dashes and width
	at := map[string]float64{}
	for _, s := range parseSVG(t, p.SVG()) {
		switch {
		case s.kind == "text":
			words = append(words, s.words)
			if strings.HasSuffix(s.words, " mm") && strings.Contains(s.look, "middle") {
				at[s.words] = s.numbers[0]
			}
		case s.kind == "line" && s.numbers[4] == 0.12:
			zeros = append(zeros, s)
		case s.kind == "line" && strings.Count(s.look, " ") >= 3:
			k := s.look + strconv.FormatFloat(s.numbers[4], 'f', -1, 64)
			shafts[k] = append(shafts[k], s)
		}
	}
	along, across := statedScales(t, words)
	require.InDelta(t, 1.0/10, along, 1e-12)
	require.InDelta(t, 50, across, 1e-12)
	require.Contains(t, at, "0 mm")
	require.InDelta(t, 500*along, at["500 mm"]-at["0 mm"], 0.002)
	require.Len(t, zeros, 3, "two views and the legend")
	require.Len(t, shafts, 3, "three kinds of lines")

	kinds := map[drawing.StateKind]string{
		drawing.AsFound: "ink;6 0.75 0.5 0.75;0.25", drawing.AfterMove: "ink;6 0.75 0.5 0.75;0.5", drawing.Running: "ink;6 0.75 0.5 0.75 0.5 0.75;0.25",
	}
	for _, state := range train.States {
		lines := shafts[kinds[state.Kind]]
		require.Len(t, lines, 5, "two machines in two views, and the legend: %v", state.Kind)
		for view := range 2 {
			for i := range train.Machines {
				n := lines[2*view+i].numbers
				for k, x := range [2]float64{n[0], n[2]} {
					station := unit.Length((x - at["0 mm"]) / along * 1e-3)
					o := state.Shafts[i].At(station)
					want := zeros[view].numbers[1] - paperMM(o.Vertical)*across
					if view == 1 {
						want = zeros[view].numbers[1] + paperMM(o.Horizontal)*across
					}
					assert.InDelta(t, want, [2]float64{n[1], n[3]}[k], 0.002, "%v, view %d, machine %d", state.Kind, view, i)
				}
				from, to := [2]float64{-1150, -90}[i], [2]float64{90, 1000}[i]
				assert.LessOrEqual(t, n[0], at["0 mm"]+from*along+0.002)
				assert.GreaterOrEqual(t, n[2], at["0 mm"]+to*along-0.002)
			}
		}
	}
}

// Figures of the pump set, by hand: e(-90) = -0.129 up and 0.0572 to the right, e(90) =
// -0.111 and 0.0428; moves -e(250) = 0.095 and -0.030, -e(850) = 0.035 and 0.018.
func TestTrainFigures(t *testing.T) {
	p := drawnSheet(t, pumpSet())
	for _, w := range []string{"-0.129", "-0.111 mm", "+0.057", "+0.043 mm", "±0.050", "±0.050 mm", "0.03 mm", "0.02 mm", "raise", "to 9 o'clock", "to 3 o'clock",
		"12 o'clock 3.40 mm", "6 o'clock 3.05 mm", "offset +0.40 mm", "3 o'clock 2.00 mm", "9 o'clock 2.60 mm", "difference 5:1", "along 1:10, across 50:1"} {
		assert.NotEmpty(t, textsOf(p, w), w)
	}
	for _, w := range []string{
		"As found, the far shaft stands 0.129 mm low, 0.057 mm to the right of the near one at the near flex plane and 0.111 mm low, 0.043 mm to the right at the far one.",
		"Limit in each plane: 0.050 mm at the near flex plane, 0.050 mm at the far one.",
		"move 0.03 mm to 9 o'clock.", "The pipe's flange is off the machine's by 0.40 mm toward 12 o'clock.", "not permission",
	} {
		assert.Contains(t, p.Description, w)
	}
	requireWhole(t, p)
	assert.Equal(t, 297.0, p.Width)
	assert.Equal(t, 210.0, p.Height, "a pump set with two flanges fits an A4 sheet")
	assert.Equal(t, 210.0, drawnSheet(t, compressorTrain()).Height, "and so does a train of six machines")
}

// The limits stand at the flex planes about the near shaft in the last state, with
// their half width to scale.
func TestTrainWindows(t *testing.T) {
	p := drawnSheet(t, pumpSet())
	windows := polygons(p, drawing.Narrow, drawing.Tint)
	require.Len(t, windows, 5, "two in each view, and the legend")
	zero := linesOf(p, drawing.Faint)
	near := axisMM(0.09, 0.02, 0, 0)
	for i, x := range []float64{-90, 90} {
		b := windows[i].Bounds()
		assert.InDelta(t, 2*0.05*50, b.Bottom-b.Top, 1e-6)
		assert.InDelta(t, zero[0].From.Y-50*paperMM(near.At(unit.Length(x)*oneMM).Vertical), (b.Top+b.Bottom)/2, 1e-6)
		c := windows[2+i].Bounds()
		assert.InDelta(t, zero[1].From.Y, (c.Top+c.Bottom)/2, 1e-6)
		assert.InDelta(t, (b.Left+b.Right)/2, (c.Left+c.Right)/2, 1e-9)
	}
	b, c := windows[0].Bounds(), windows[1].Bounds()
	assert.InDelta(t, 180.0/10, (c.Left+c.Right)/2-(b.Left+b.Right)/2, 1e-6, "the distance of the flex planes")
}

// Each move is drawn to scale from the shaft as found, and an arrow at the foot shows
// the same way.
func TestTrainMoves(t *testing.T) {
	train := pumpSet()
	p := drawnSheet(t, train)
	var arrows []drawing.Line
	for _, l := range linesOf(p, drawing.Narrow) {
		if l.Arrow == drawing.AtEnd && l.From.X == l.To.X {
			arrows = append(arrows, l)
		}
	}
	require.Len(t, arrows, 9, "in each view two at the shaft and two at the feet, and the legend")
	for view := range 2 {
		for i, f := range train.Machines[1].Feet {
			way := -50 * paperMM(f.Move.Vertical)
			if view == 1 {
				way = 50 * paperMM(f.Move.Horizontal)
			}
			shaft, foot := arrows[4*view+i], arrows[4*view+2+i]
			assert.InDelta(t, way, shaft.To.Y-shaft.From.Y, 1e-6)
			assert.InDelta(t, shaft.From.X, foot.From.X, 1e-9)
			assert.Equal(t, way < 0, foot.To.Y < foot.From.Y)
		}
	}
}

// The band is as wide as the uncertainty at every one of its points.
func TestTrainBand(t *testing.T) {
	train := pumpSet()
	p := drawnSheet(t, train)
	bands := polygons(p, drawing.NoStroke, drawing.Tint)
	require.Len(t, bands, 5, "two machines in two views, and the legend")
	points := bands[1].Points
	zero := linesOf(p, drawing.Faint)[0].From.Y
	casing := polygons(p, drawing.Wide, drawing.NoFill)[1].Bounds() // after the border, the motor
	for k := range len(points) / 2 {
		upper, lower := points[k], points[len(points)-1-k]
		x := float64(train.Machines[0].Start) + (upper.X-casing.Left)*10*1e-3
		half := math.Hypot(0.008, 0.02*(x-0.040))
		middle := -0.12 + 0.10*x
		assert.InDelta(t, zero-50*(middle+half), upper.Y, 1e-6)
		assert.InDelta(t, zero-50*(middle-half), lower.Y, 1e-6)
	}
}

// Which lines stand for which states must not hang on colour: kind of dash or width
// differs.
func TestTrainLines(t *testing.T) {
	p := drawnSheet(t, crowdedTrain())
	for _, s := range []drawing.Stroke{drawing.Centre, drawing.CentreWide, drawing.DoubleDotted, drawing.TripleDotted} {
		assert.Len(t, linesOf(p, s), 2*8+1, "eight machines in two views, and the legend")
	}
	svg := string(p.SVG())
	for _, w := range []string{"6 0.75 0.5 0.75 0.5 0.75 0.5 0.75", "prefers-color-scheme: dark"} {
		assert.Contains(t, svg, w)
	}
}

func TestTrainGoroutines(t *testing.T) {
	train := pumpSet()
	p, err := train.Draw()
	require.NoError(t, err)
	want := string(p.SVG())
	got := make([]string, 8)
	var wg sync.WaitGroup
	for i := range got {
		wg.Add(1)
		go func() {
			defer wg.Done()
			if p, err := train.Draw(); err == nil {
				got[i] = string(p.SVG())
			}
		}()
	}
	wg.Wait()
	for _, g := range got {
		assert.Equal(t, want, g)
	}
	assert.Equal(t, pumpSet(), train, "drawing changes nothing")
}

// With no exaggeration to speak of a drawing would show noise: nothing is drawn larger
// than 1000:1 across.
func TestTrainMostAcross(t *testing.T) {
	train := loneMachine()
	train.States[0].Shafts[0] = align.Axis{}
	p := drawnSheet(t, train)
	assert.NotEmpty(t, textsOf(p, "along 1:5, across 1000:1"))
}

// Two states that run and have no names are told apart.
func TestTrainRunningTwice(t *testing.T) {
	train := loneMachine()
	train.States = append(train.States, train.States[0])
	p := drawnSheet(t, train)
	assert.NotEmpty(t, textsOf(p, "shafts running"))
	assert.NotEmpty(t, textsOf(p, "shafts running 2"))
}

// The bar beside each view is as long as it says, by the stated scale.
func TestTrainScaleBar(t *testing.T) {
	p := drawnSheet(t, pumpSet())
	words := textsOf(p, "+0.1 mm")
	require.Len(t, words, 2)
	zeros := linesOf(p, drawing.Faint)
	for view, up := range []float64{-1, 1} {
		var bars []drawing.Line
		for _, l := range linesOf(p, drawing.Narrow) {
			if l.From == zeros[view].From && l.To.X == l.From.X {
				bars = append(bars, l)
			}
		}
		require.Len(t, bars, 1)
		assert.InDelta(t, up*0.1*50, bars[0].To.Y-bars[0].From.Y, 1e-9, "up in the side view, 3 o'clock down in the top view")
		assert.InDelta(t, (bars[0].From.Y+bars[0].To.Y)/2, middleOf(words[view]).Y, 1e-9)
	}
}
