package worksheet

import (
	"testing"

	"collinear.example/align"
	"collinear.example/piping"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// TestNozzleAgainstLibrary holds every asked figure against piping.NozzleGoal and
// align.Motion, and closes the joint with the motion. The frame has its zero of
// height at the soles of the feet.
func TestNozzleAgainstLibrary(t *testing.T) {
	eachPipeJob(t, nozzleKind(), func(t *testing.T, d Difficulty, r *Record, s *Sheet, v Values) {
		j := &r.Joints[0]
		length := func(x float64) unit.Length { return unit.Length(r.Units.length(x)) }
		faces, err := asSurvey(r.Units, j).Solve()
		require.NoError(t, err)
		gasket := unit.Length(r.Units.reading(j.Gasket))
		offset := piping.Across{}
		if j.OffsetUp != nil {
			offset.Up = unit.Length(r.Units.reading(*j.OffsetUp))
		}
		if j.OffsetSide != nil { // seen along the axis of the flange, right is left
			offset.Right = -unit.Length(r.Units.reading(*j.OffsetSide))
		}
		misfit := piping.Misfit{Pair: piping.FlangePair{Name: "discharge", Centre: align.Place{X: length(j.Nozzle.Station), Y: length(j.Nozzle.Height)}, Axis: align.Upward(), Up: align.AlongTrain()},
			Mean: faces.Mean, Gasket: &gasket, Tilt: faces.Tilt, Offset: &offset}
		goal, err := misfit.Goal(piping.GoalTolerance{Gap: 1e-3, Offset: 1e-3, Tilt: 1e-3, Rotation: 1e-3})
		require.NoError(t, err)
		motion := goal.Motion()

		after, err := misfit.After(motion)
		require.NoError(t, err)
		left, _ := after.GapError()
		require.InDelta(t, 0, float64(left), 1e-12)
		require.InDelta(t, 0, after.Tilt.Size(), 1e-12)
		require.InDelta(t, 0, float64(after.Offset.Size()), 1e-12)

		near := func(want, got float64, id string) { t.Helper(); require.InDelta(t, want, got, 1e-12, id) }
		for _, f := range r.Train.Machines[1].Feet {
			at := align.Place{X: length(f.Station)}
			if f.Lateral != nil {
				at.Z = length(*f.Lateral)
			}
			move := motion.At(at)
			near(float64(move.Y), v["lift."+f.Name], f.Name)
			if j.OffsetUp != nil {
				near(float64(move.X), v["slide.along"], "slide.along")
			}
			if j.OffsetSide != nil {
				near(float64(move.Z), v["slide.side"], "slide.side")
			}
		}
		shaft := motion.At(align.Place{X: length(r.Train.Couplings[0].FlexPlanes[0]), Y: length(*r.Train.Machines[1].ShaftHeight)})
		near(float64(shaft.Y), v["coupling.vertical"], "coupling.vertical")
		if d != Usual {
			near(float64(shaft.X), v["coupling.along"], "coupling.along")
		}
		if d != Plain {
			near(float64(shaft.Z), v["coupling.horizontal"], "coupling.horizontal")
		}
	})
}

// nozzleByHand: gaps 3.40, 3.30, 3.00 and 3.10 mm on 200 mm, gasket 2.70 mm; the
// pipe is 1 mm toward the last machine and 0.5 mm to the left. Nozzle at 600 mm,
// 796.8 mm above the soles (the pipe's face stands 3.2 mm higher: 800), shaft 300
// above them, coupling at 0, feet at 400 and 900, 250 to either side.
func nozzleByHand() *Record {
	r := &Record{Format: Format, Title: "hand", Units: Units{Length: align.UnitMillimetre, Reading: align.UnitMillimetre}}
	r.Train.Machines = []Machine{{Name: "motor"}, {Name: "pump"}}
	r.Train.Couplings = []Coupling{{Name: "coupling", Near: "motor", Far: "pump", FlexPlanes: []float64{0}}}
	p := &r.Train.Machines[1]
	shaft, left, right, along, side := 300.0, -250.0, 250.0, 1.0, -0.5
	p.ShaftHeight = &shaft
	p.Feet = []Foot{{Name: "inboard-left", Station: 400, Lateral: &left}, {Name: "inboard-right", Station: 400, Lateral: &right},
		{Name: "outboard-left", Station: 900, Lateral: &left}, {Name: "outboard-right", Station: 900, Lateral: &right}}
	r.Joints = []FlangeSurvey{{Machine: "pump", Name: "discharge", Rule: "api-rp-686", Diameter: 200, Gasket: 2.7,
		Gaps: []Reading{{0, 3.4}, {90, 3.3}, {180, 3}, {270, 3.1}}, OffsetUp: &along, OffsetSide: &side, Nozzle: &Nozzle{Faces: "up", Station: 600, Height: 796.8}}}
	return r
}

// TestNozzleByHand: the gap is 0.5 mm too wide and opens by 2 mm/m toward the last
// machine and 1 mm/m to the right. So the nozzle rises 0.5 mm, the feet at 400 by
// 0.5 - 0.4 and those at 900 by 0.5 + 0.6, 0.25 more on the right and less on the
// left. The tilt takes the nozzle 2*0.8 = 1.6 mm toward the first machine and
// 0.8 mm to the left, so that the feet go 2.6 along and 0.3 to the right; the shaft,
// 300 above, 0.6 and 0.3 less. At the coupling the shaft moves 0.5 - 1.2 mm.
func TestNozzleByHand(t *testing.T) {
	k := nozzleKind()
	v := worked(t, k, nozzleByHand(), "")
	for id, mm := range map[string]float64{"gap.excess": 0.5, "tilt.vertical": 2, "tilt.horizontal": 1,
		"lift.inboard-left": -0.15, "lift.inboard-right": 0.35, "lift.outboard-left": 0.85, "lift.outboard-right": 1.35,
		"slide.along": 2.6, "slide.side": 0.3, "coupling.vertical": -0.7, "coupling.along": 2.0, "coupling.horizontal": 0.0} {
		assert.InDelta(t, mm*1e-3, v[id], 1e-12, id)
	}
	for _, c := range []struct {
		code, step string
		mm         float64
	}{
		{"flange-radius", "tilt.vertical", 4},
		{"flange-tilt-sign", "lift.outboard-right", -0.35}, // 0.5 - 0.6 - 0.25
		{"flange-gasket-kept", "gap.excess", 3.2},
		{"nozzle-height-forgotten", "slide.along", 1},
		{"nozzle-height-forgotten", "slide.side", -0.5},
		{"nozzle-height-sign", "slide.along", -0.6},
		{"nozzle-roll-forgotten", "lift.inboard-left", 0.1},
		{"nozzle-roll-forgotten", "lift.inboard-right", 0.1},
		{"nozzle-roll-sign", "lift.inboard-left", 0.35},
		{"nozzle-lifted-level", "lift.outboard-right", 0.75},
		{"nozzle-distance-from-coupling", "lift.inboard-left", 1.05}, // 0.5 + 0.8 - 0.25
		{"nozzle-tilt-only", "lift.inboard-left", -0.65},
		{"nozzle-pipe-for-machine", "slide.along", -2.6},
		{"nozzle-pipe-for-machine", "lift.inboard-left", 0.15},
		{"feet-exchanged", "lift.inboard-left", 0.85},
		{"nozzle-coupling-unchecked", "coupling.vertical", 0},
		{"nozzle-lift-at-coupling", "coupling.vertical", 0.5},
		{"nozzle-coupling-distance-sign", "coupling.vertical", 1.7}, // 0.5 + 1.2
		{"nozzle-shaft-as-feet", "coupling.along", 2.6},
		{"nozzle-shaft-as-feet", "coupling.horizontal", 0.3},
	} {
		assert.InDelta(t, c.mm*1e-3, worked(t, k, nozzleByHand(), c.code)[c.step], 1e-12, c.code)
	}
}
