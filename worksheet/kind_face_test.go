package worksheet

import (
	"math"
	"testing"

	"collinear.example/align"
	"collinear.example/runout"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// gapsOf is a set of gaps as package align takes it.
func gapsOf(r *Record, at [4]float64) align.FaceGaps {
	l := func(i int) unit.Length { return unit.Length(r.Units.reading(at[i])) }
	return align.FaceGaps{Diameter: unit.Length(r.Units.length(r.Hubs[0].Diameter)), Top: l(0), Right: l(1), Bottom: l(2), Left: l(3)}
}

// The half turn is align.HalfTurn, the slope that of align.FaceGaps, the move that of
// align.Axis, the tilt that of runout.FaceSweep.
func TestFaceAgainstLibrary(t *testing.T) {
	eachFootJob(t, faceKind(), func(t *testing.T, j footJob) {
		before, after, sides, err := j.r.halfTurn()
		require.NoError(t, err)
		opening := func(g align.FaceGaps) align.Offset {
			return align.Offset{Vertical: g.Top - g.Bottom, Horizontal: g.Right - g.Left}
		}
		h := align.HalfTurn{Before: opening(gapsOf(j.r, before)), After: opening(gapsOf(j.r, after))}
		net, own := h.Misalignment(), h.HubError()
		// The gaps that the misalignment alone would give.
		mean := func(i int) float64 { return (before[i] + after[i]) / 2 }
		slope, err := gapsOf(j.r, [4]float64{mean(0), mean(1), mean(2), mean(3)}).Slope()
		require.NoError(t, err)
		feet := j.r.Train.Machines[1].Feet
		in, out := unit.Length(j.r.Units.length(feet[0].Station)), unit.Length(j.r.Units.length(feet[1].Station))
		axis := align.Axis{Vertical: align.Line{Slope: slope.Slope.Vertical}, Horizontal: align.Line{Slope: slope.Slope.Horizontal}}
		move := func(at unit.Length) align.Move { return axis.MoveFar(at) }
		near := func(step string, want float64) {
			t.Helper()
			require.True(t, j.s.has(step), step)
			// Gaps of millimetres whose differences are micrometres.
			assert.InDelta(t, want, j.v[step], 1e-9*math.Abs(want), step)
		}
		near("net.vertical", float64(net.Vertical))
		near("error.vertical", float64(own.Vertical))
		near("slope.vertical", slope.Slope.Vertical)
		near("move.vertical", float64(move(out).Vertical-move(in).Vertical))
		if sides {
			near("net.horizontal", float64(net.Horizontal))
			near("error.horizontal", float64(own.Horizontal))
			near("slope.horizontal", slope.Slope.Horizontal)
			near("move.horizontal", float64(move(out).Horizontal-move(in).Horizontal))
		}
		if !j.s.has("face.tilt") {
			return
		}
		s, _, err := j.r.sweptPart(hubFacePart)
		require.NoError(t, err)
		f, err := runout.FaceSweep{Sweep: sweepIn(t, j.r, hubFacePart), Diameter: unit.Length(j.r.Units.length(s.Diameter))}.Solve()
		require.NoError(t, err)
		near("face.tir", float64(f.TIR))
		near("face.tilt", f.Tilt().Resultant())
		assert.InDelta(t, float64(f.HighSpot().Normal()), align.UnitDegree.FromSI(j.v["face.high"]), 1e-7)
	})
}

// handFace has a face of 5 in, gaps of 120 and 100 mil at top and bottom, and after half
// a turn 112 and 108; feet 30 in apart.
func handFace() *Record {
	r := handWedge()
	r.Gaps, r.Stock = nil, nil
	r.Units = Units{Length: align.UnitInch, Reading: align.UnitMil}
	r.Train.Machines[1].Feet = []Foot{{Name: "inboard", Station: 10}, {Name: "outboard", Station: 40}}
	set := func(turned, top, bottom float64) HubGaps {
		return HubGaps{Coupling: "coupling", Diameter: 5, Turned: turned, Gaps: []Reading{{0, top}, {180, bottom}}}
	}
	r.Hubs = []HubGaps{set(0, 120, 100), set(180, 112, 108)}
	return r
}

// Carrier, manual of the chillers 17/19EX, pp. 211-213: both shafts are turned half a
// turn and the difference read again; half of the sum is misalignment. With M = 0.012
// in net, wider at the top, D = 5 in and L = 30 in the rear feet take shims of L/D x M =
// 0.072 in. Here the sets read 20 and 4 mil: net 12, hub error 8.
func TestFacePublished(t *testing.T) {
	e, err := NewExercise("face-runout", handFace())
	require.NoError(t, err)
	m, err := e.Mark(map[string]string{
		"before.vertical": "20 wider", "after.vertical": "4 wider", "net.vertical": "wider 12", "error.vertical": "wider 8",
		"slope.vertical": "-2.4", "move.vertical": "add 72",
	}, UsualCredits())
	require.NoError(t, err)
	assert.True(t, m.Full(), "%+v", m.Marks)
}

// The four cases of the same pages, from one signed formula.
func TestFaceFourCases(t *testing.T) {
	for name, c := range map[string]struct{ before, after, net, own float64 }{
		"same size, changes side: all runout":       {10, -10, 0, 10},
		"same size and side: all misalignment":      {10, 10, 10, 0},
		"same side, other size: half of the sum":    {14, 6, 10, 4},
		"changes side, other size: half difference": {14, -6, 4, 10},
	} {
		r := handFace()
		r.Hubs[0].Gaps[0].Value, r.Hubs[1].Gaps[0].Value = 100+c.before, 100+c.after
		r.Hubs[1].Gaps[1].Value = 100
		s, err := faceSheet(r)
		require.NoError(t, err)
		v := s.Work()
		assert.InDelta(t, c.net, align.UnitMil.FromSI(v["net.vertical"]), 1e-9, name)
		assert.InDelta(t, c.own, align.UnitMil.FromSI(v["error.vertical"]), 1e-9, name)
	}
}

// US Army TM 10-3930-664-24, p. 3-41: 0, +0.003, -0.002 and +0.003 in read 0.005 in
// total; the face is warped, its tilt is that of 0.002 in only.
func TestFaceArmy(t *testing.T) {
	r := handFace()
	r.Runout = []RunoutSweep{{Machine: "pump", Part: hubFacePart, Diameter: 4, Readings: []Reading{{0, 0}, {90, 3}, {180, -2}, {270, 3}}}}
	require.NoError(t, r.Check())
	s, err := faceSheet(r)
	require.NoError(t, err)
	v := s.Work()
	assert.InDelta(t, 5, align.UnitMil.FromSI(v["face.tir"]), 1e-9)
	assert.InDelta(t, 0.5e-3, v["face.tilt"], 1e-12)
	assert.InDelta(t, 0, v["face.high"], 1e-12)
}

// RO3 and RO4 by their formulas.
func TestFaceMistakesByFormula(t *testing.T) {
	r := handFace()
	r.Runout = []RunoutSweep{{Machine: "pump", Part: hubFacePart, Diameter: 4, Readings: []Reading{{0, 0}, {90, 4}, {180, -6}, {270, -4}}}}
	e, err := NewExercise("face-runout", r)
	require.NoError(t, err)
	for code, want := range map[string][2]string{
		"":                      {"face.tilt", "2.500 mil/in"}, // 6 and 8 make 10, over 4
		"radius-for-diameter":   {"face.tilt", "5.000 mil/in"},
		"face-not-divided":      {"face.tilt", "10.000 mil/in"},
		"face-components-added": {"face.tilt", "3.500 mil/in"},
		"half-turn-subtracted":  {"net.vertical", "wider 8.00 mil"},
		"first-set-alone":       {"slope.vertical", "-4.000 mil/in"},
		"half-turn-not-halved":  {"move.vertical", "raise 144.0 mil"},
		"open-for-rising":       {"slope.vertical", "2.400 mil/in"},
	} {
		got, err := e.AnswersWith(code)
		require.NoError(t, err, code)
		assert.Equal(t, want[1], got[want[0]], code)
	}
}

func TestFaceFaults(t *testing.T) {
	for name, c := range map[string]struct {
		spoil func(r *Record)
		want  align.Fault
	}{
		"one set":        {func(r *Record) { r.Hubs = r.Hubs[:1] }, align.ErrMissing},
		"a quarter turn": {func(r *Record) { r.Hubs[1].Turned = 90 }, align.ErrMismatch},
		"other coupling": {func(r *Record) { r.Hubs[1].Coupling = "spool" }, align.ErrMismatch},
		"no coupling":    {func(r *Record) { r.Train.Couplings = nil }, align.ErrMismatch},
		"other circle":   {func(r *Record) { r.Hubs[1].Diameter = 6 }, align.ErrMismatch},
		"no circle":      {func(r *Record) { r.Hubs[0].Diameter, r.Hubs[1].Diameter = 0, 0 }, align.ErrOutOfRange},
		"no bottom":      {func(r *Record) { r.Hubs[1].Gaps[1].At = 90 }, align.ErrTooFewPositions},
		"no swept":       {func(r *Record) { r.Runout = []RunoutSweep{{Part: hubFacePart}} }, align.ErrOutOfRange},
	} {
		r := handFace()
		c.spoil(r)
		_, err := faceSheet(r)
		assert.Equal(t, string(c.want), align.CodeOf(err), name)
	}
}
