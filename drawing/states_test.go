package drawing_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"collinear.example/align"
	"collinear.example/drawing"
	"collinear.example/thermal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// axisOf300 is an axis by its offsets at stations 0 and 300 mm, in millimetres: up and
// right at each.
func axisOf300(nearUp, nearRight, farUp, farRight float64) align.Axis {
	line := func(near, far float64) align.Line {
		return align.Line{Offset: unit.Length(near) * oneMM, Slope: (far - near) / 300}
	}
	return align.Axis{Vertical: line(nearUp, farUp), Horizontal: line(nearRight, farRight)}
}

func statesDemo() drawing.StateChart {
	wide := 0.15 * oneMM
	return drawing.StateChart{
		Title: "Motor to pump", Cold: axisOf300(-0.17, 0.01, -0.21, -0.03),
		Criterion: thermal.Criterion{Near: thermal.LimitAt{Station: 0, Limit: 0.1 * oneMM}, Far: thermal.LimitAt{Station: 300 * oneMM, Limit: 0.08 * oneMM}},
		Cases: []thermal.Case{
			{State: thermal.State{Name: "standby, warm oil", Far: axisOf300(0.05, 0, 0.06, 0.01)}, NearLimit: &wide, FarLimit: &wide},
			{State: thermal.State{Name: "running, least load", Far: axisOf300(0.15, 0.02, 0.2, 0.04)}},
			{State: thermal.State{Name: "running, most load", Far: axisOf300(0.22, 0.02, 0.3, 0.05), Near: axisOf300(0.02, 0, 0.02, 0)}},
		},
	}
}

// The offsets by hand: cold plus far less near, state by state.
var statesWant = [4][2][2]float64{ // state, near and far, up and right
	{{-0.17, 0.01}, {-0.21, -0.03}},
	{{-0.12, 0.01}, {-0.15, -0.02}},
	{{-0.02, 0.03}, {-0.01, 0.01}},
	{{0.03, 0.03}, {0.07, 0.02}},
}

// pathsOf returns the four paths: vertical near, vertical far, horizontal near and far,
// with the line of zero of each.
func pathsOf(t testing.TB, p *drawing.Page) (paths []drawing.Polyline, zero []float64) {
	for _, l := range polygons(p, drawing.Wide, drawing.NoFill) {
		if !l.Closed {
			paths = append(paths, l)
		}
	}
	for _, l := range linesOf(p, drawing.Centre) {
		zero = append(zero, l.From.Y)
	}
	require.Len(t, paths, 4)
	require.Len(t, zero, 4)
	return paths, zero
}

// perMM is how many millimetres on the paper stand for one, by the title block: "offset:
// 0.1 mm is 12.12 mm on paper".
func perMM(t testing.TB, p *drawing.Page) float64 {
	t.Helper()
	for _, x := range p.Texts() {
		if rest, ok := strings.CutPrefix(x.Words, "offset: "); ok {
			if f := strings.Fields(rest); len(f) == 7 {
				return parsed(t, f[3]) / parsed(t, f[0])
			}
		}
	}
	require.Fail(t, "no scale")
	return 0
}

func TestStatesToScale(t *testing.T) {
	p := drawnSheet(t, statesDemo())
	requireWhole(t, p)
	paths, zero := pathsOf(t, p)
	per := perMM(t, p)
	for k, path := range paths {
		station, plane := k%2, k/2
		if paths[0].Points[0].X > paths[1].Points[0].X {
			station = 1 - station
		}
		require.Len(t, path.Points, 4)
		step := path.Points[1].X - path.Points[0].X
		for i, q := range path.Points {
			assert.InDelta(t, zero[k]-per*statesWant[i][station][plane], q.Y, 0.02, "field %d, state %d", k, i)
			assert.InDelta(t, path.Points[0].X+float64(i)*step, q.X, 1e-9)
		}
	}
}

// The band is as wide as the limit of each state, and there is none off-line.
func TestStatesBand(t *testing.T) {
	p := drawnSheet(t, statesDemo())
	paths, zero := pathsOf(t, p)
	per := perMM(t, p)
	bands := polygons(p, drawing.NoStroke, drawing.Tint)
	require.Len(t, bands, 4)
	limits := [2][3]float64{{0.15, 0.1, 0.1}, {0.15, 0.08, 0.08}}
	for k, band := range bands {
		require.Len(t, band.Points, 12)
		pitch := paths[k].Points[1].X - paths[k].Points[0].X
		for i, v := range limits[k%2] {
			for j := range 2 {
				upper, lower := band.Points[2*i+j], band.Points[11-2*i-j]
				assert.InDelta(t, zero[k]-per*v, upper.Y, 0.02)
				assert.InDelta(t, zero[k]+per*v, lower.Y, 0.02)
				assert.InDelta(t, paths[k].Points[i+1].X+pitch*(float64(j)-0.5), upper.X, 1e-6)
			}
		}
	}
	// Shares by hand: 0.15/0.15, 0.03/0.1, 0.07/0.08.
	for _, words := range []string{"100 %", "30 %", "87.5 %", "-0.170", "off-line", "standby, warm oil"} {
		assert.NotEmpty(t, textsOf(p, words), words)
	}
}

// With a resultant the share is that of both planes together: sqrt(0.12^2 + 0.01^2)/0.15
// and sqrt(0.15^2 + 0.02^2)/0.15 = 1.0088.
func TestStatesResultant(t *testing.T) {
	d := statesDemo()
	d.Criterion.Mode = thermal.Resultant
	p := drawnSheet(t, d)
	assert.NotEmpty(t, textsOf(p, "100.9 %"))
	assert.True(t, mentions(p, "Band: limit of the resultant of both planes."))
}

func TestStatesGolden(t *testing.T) {
	sameAsGolden(t, "states", drawnSheet(t, statesDemo()).SVG())
}

func randStates(r *rand.Rand, name string) drawing.StateChart {
	size := math.Pow(10, -4+7*r.Float64())
	any := func() align.Axis {
		return axisOf300(size*(2*r.Float64()-1), size*(2*r.Float64()-1), size*(2*r.Float64()-1), size*(2*r.Float64()-1))
	}
	limit := func() unit.Length { return unit.Length(size*math.Pow(10, 3*r.Float64()-2)) * oneMM }
	if size > 140 {
		size = 140 // slopes are no steeper than 1
	}
	d := drawing.StateChart{Title: name, Unit: anyUnit(r), Cold: any(), Criterion: thermal.Criterion{
		Near: thermal.LimitAt{Station: unit.Length(r.Float64()), Limit: limit()}, Far: thermal.LimitAt{Station: unit.Length(2 + r.Float64()), Limit: limit()}, Mode: thermal.Mode(r.IntN(2))}}
	n := 1 + r.IntN(8)
	if r.IntN(4) == 0 {
		n = 1 + r.IntN(thermal.MaxCases)
	}
	for range n {
		c := thermal.Case{State: thermal.State{Name: name, Near: any(), Far: any()}}
		if r.IntN(2) == 0 {
			l := limit()
			c.NearLimit = &l
		}
		d.Cases = append(d.Cases, c)
	}
	return d
}

func TestStatesRandom(t *testing.T) {
	for seed := range uint64(300) {
		requireWhole(t, drawnSheet(t, randStates(rand.New(rand.NewPCG(seed, 7)), "state")))
	}
}

func TestStatesRefused(t *testing.T) {
	with := func(change func(*drawing.StateChart)) drawing.StateChart {
		d := statesDemo()
		change(&d)
		return d
	}
	nan := unit.Length(math.NaN())
	zero := unit.Length(0)
	requireRefused(t, []refusal{
		{"no states", with(func(d *drawing.StateChart) { d.Cases = nil }), align.ErrMissing, "states"},
		{"too many", with(func(d *drawing.StateChart) { d.Cases = make([]thermal.Case, 65) }), align.ErrOutOfRange, "states"},
		{"no limit", with(func(d *drawing.StateChart) { d.Criterion.Near.Limit = 0 }), align.ErrOutOfRange, "near.limit"},
		{"no limit in a state", with(func(d *drawing.StateChart) { d.Cases[1].FarLimit = &zero }), align.ErrOutOfRange, "states[1].farLimit"},
		{"one station twice", with(func(d *drawing.StateChart) { d.Criterion.Far.Station = 0 }), align.ErrCoincident, "far.station"},
		{"cold not a number", with(func(d *drawing.StateChart) { d.Cold.Vertical.Offset = nan }), align.ErrNotFinite, "cold.vertical"},
		{"movement not a number", with(func(d *drawing.StateChart) { d.Cases[2].Near.Horizontal.Offset = nan }), align.ErrNotFinite, "states[2].near.horizontal"},
		{"slope not a number", with(func(d *drawing.StateChart) { d.Cases[0].Far.Vertical.Slope = math.NaN() }), align.ErrNotFinite, "states[0].far.vertical.slope"},
		{"far off", with(func(d *drawing.StateChart) { d.Criterion.Far.Station = 100; d.Cold.Vertical.Slope = 1 }), align.ErrOutOfRange, "states[0].offset"},
		{"unit of another kind", with(func(d *drawing.StateChart) { d.Unit = align.UnitHour }), align.ErrWrongUnit, "unit"},
	})
}

func BenchmarkStateChart(b *testing.B) {
	d := statesDemo()
	b.ReportAllocs()
	for b.Loop() {
		p, err := d.Draw()
		if err != nil {
			b.Fatal(err)
		}
		p.SVG()
	}
}

func ExampleStateChart_Draw() {
	millimetres := func(v float64) align.Axis {
		return align.Axis{Vertical: align.Line{Offset: unit.Length(v) * align.Millimetre}}
	}
	page, err := drawing.StateChart{
		Title: "Motor to pump", Cold: millimetres(-0.15),
		Criterion: thermal.Criterion{Near: thermal.LimitAt{Limit: 0.05 * align.Millimetre}, Far: thermal.LimitAt{Station: 0.3, Limit: 0.05 * align.Millimetre}},
		Cases:     []thermal.Case{{State: thermal.State{Name: "running", Far: millimetres(0.18)}}},
	}.Draw()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(page.Description)
	// Output:
	// States of Motor to pump, far shaft less near shaft in mm, at the near plane (station 0.0 mm) and the far plane (station 300.0 mm). 0 off-line: near up -0.150, right 0.000; far up -0.150, right 0.000. 1 running: near up +0.030, right 0.000; far up +0.030, right 0.000; limits 0.050 and 0.050, share 60 %. Band: limit of the offset in each plane. Share: the largest offset over its limit, of both stations and both planes.
}
