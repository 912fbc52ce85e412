package drawing_test

import (
	"context"
	"testing"

	"collinear.example/align"
	"collinear.example/drawing"
	"collinear.example/moves"
	"collinear.example/piping"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// planned is a motor that stays and a pump that may move, both on two pairs of feet;
// the pump's line meets the motor's at the coupling and falls by 0.25 mm/m. It runs
// 0.08 mm higher than the motor.
func planned() moves.Train {
	foot := func(name string, x, z unit.Length) moves.Foot {
		return moves.Foot{Name: name, At: align.Place{X: x * oneMM, Y: -300 * oneMM, Z: z * oneMM}}
	}
	return moves.Train{
		Machines: []moves.Machine{
			{Name: "motor", Feet: []moves.Foot{foot("inboard", -400, 0), foot("outboard", -1000, 0)}},
			{Name: "pump", Free: moves.TwoPlanes(), Feet: []moves.Foot{
				foot("inboard right", 400, 200), foot("inboard left", 400, -200), foot("outboard right", 1000, 200), foot("outboard left", 1000, -200)}},
		},
		Couplings: []moves.Coupling{{
			Name: "main", Near: moves.ShaftOf{Machine: 0}, Far: moves.ShaftOf{Machine: 1},
			Found:   axisMM(0, -0.25, 0, 0),
			Offsets: moves.FlexPlanes(-100*oneMM, 100*oneMM, 0.5e-3, true, "0.5 mm/m"),
		}},
		States: []moves.State{{Name: "running", Relative: []align.Axis{axisMM(0.08, 0, 0, 0)}}},
	}
}

// By hand: the pump raised by 0.10 and 0.25 mm at its feet comes to the motor's line;
// the limit at the flex planes is 0.5 mm/m over 200 mm, 0.1 mm.
func TestTrainFromMoves(t *testing.T) {
	job := planned()
	lift := align.Motion{Turn: align.Turn{Z: 0.25e-3}}
	train, err := drawing.FromMoves(&job, []align.Motion{{}, lift})
	require.NoError(t, err)

	require.Len(t, train.Machines, 2)
	assert.InDelta(t, -1.060, float64(train.Machines[0].Start), 1e-12, "a tenth of 600 mm beyond the foot")
	assert.InDelta(t, -0.340, float64(train.Machines[0].End), 1e-12)
	assert.InDelta(t, 0.340, float64(train.Machines[1].Start), 1e-12)
	assert.Equal(t, "outboard", train.Machines[0].Feet[0].Name, "by rising station")
	assert.Nil(t, train.Machines[0].Feet[0].Move, "the motor stays")
	feet := train.Machines[1].Feet
	require.Len(t, feet, 4)
	for i, want := range []float64{0.10, 0.10, 0.25, 0.25} {
		assert.InDelta(t, want, paperMM(feet[i].Move.Vertical), 1e-9)
		assert.InDelta(t, 0, paperMM(feet[i].Move.Horizontal), 1e-9)
	}
	assert.Equal(t, drawing.LeftSide, feet[0].Side)
	assert.Equal(t, drawing.RightSide, feet[1].Side)

	c := train.Couplings[0]
	assert.InDelta(t, -0.1, float64(c.NearFlex), 1e-12)
	assert.InDelta(t, 0.1, float64(c.FarFlex), 1e-12)
	assert.InDelta(t, 0.1, paperMM(c.NearLimit), 1e-12)
	assert.InDelta(t, 0.1, paperMM(c.FarLimit), 1e-12)
	assert.True(t, c.Resultant)

	require.Len(t, train.States, 3)
	for i, want := range []align.Axis{axisMM(0, -0.25, 0, 0), {}, axisMM(0.08, 0, 0, 0)} {
		s := train.States[i]
		for _, x := range []unit.Length{-1, 0, 1} {
			e := s.Shafts[1].Sub(s.Shafts[0]).At(x).Sub(want.At(x))
			assert.InDelta(t, 0, paperMM(e.Resultant()), 1e-9, "state %d", i)
		}
	}

	p := drawnSheet(t, train)
	for _, w := range []string{"inboard", "outboard", "0.10 mm", "0.25 mm", "+0.080 mm", "limit, resultant"} {
		assert.NotEmpty(t, textsOf(p, w), w)
	}
	assert.Len(t, textsOf(p, "raise"), 2, "left and right feet that move alike are one label")
}

// A plan as it comes from the planner, without a word between.
func TestTrainFromPlan(t *testing.T) {
	job := planned()
	plan, err := job.Plan(context.Background(), moves.Options{})
	require.NoError(t, err)
	require.True(t, plan.Feasible)
	train, err := drawing.FromMoves(&job, plan.Motions)
	require.NoError(t, err)
	drawnSheet(t, train)
	last := train.States[2]
	for i, part := range []unit.Length{-100 * oneMM, 100 * oneMM} {
		e := last.Shafts[1].Sub(last.Shafts[0]).At(part)
		assert.LessOrEqual(t, paperMM(e.Resultant()), 0.1+1e-9, "flex plane %d", i)
	}
}

func TestTrainFromMovesRefused(t *testing.T) {
	for _, c := range []struct {
		name  string
		spoil func(t *moves.Train)
		fault error
		field string
	}{
		{"no coupling", func(t *moves.Train) {
			t.Couplings, t.States = nil, nil
			t.Machines[1].Goals = []piping.NozzleGoal{}
		}, align.ErrMissing, "couplings"},
		{"joined backward", func(t *moves.Train) { t.Couplings[0].Near.Machine, t.Couplings[0].Far.Machine = 1, 0 }, align.ErrMismatch, "couplings[0].near.machine"},
		{"joined to a machine further on", func(t *moves.Train) {
			t.Machines = append(t.Machines, moves.Machine{Feet: t.Machines[1].Feet})
			t.Couplings = append(t.Couplings, t.Couplings[0])
			t.Couplings[0].Far.Machine = 2
			t.States = nil
		}, align.ErrMismatch, "couplings[0].far.machine"},
		{"a machine without a coupling", func(t *moves.Train) { t.Machines = append(t.Machines, t.Machines[0]) }, align.ErrMismatch, "couplings"},
		{"no offset limits", func(t *moves.Train) {
			t.Couplings[0].Offsets, t.Couplings[0].Slope = nil, &moves.SlopeLimit{Limit: 1e-3}
		}, align.ErrMissing, "couplings[0].offsets"},
		{"no feet", func(t *moves.Train) { t.Machines[0].Feet = nil }, align.ErrMissing, "machines[0].feet"},
	} {
		t.Run(c.name, func(t *testing.T) {
			job := planned()
			c.spoil(&job)
			_, err := drawing.FromMoves(&job, make([]align.Motion, len(job.Machines)))
			require.ErrorIs(t, err, c.fault)
			var e *align.InputError
			require.ErrorAs(t, err, &e)
			assert.Equal(t, c.field, e.Field)
		})
	}
}

// The band is k times what the measurement itself says of the offset, at any station.
func TestUncertaintyOf(t *testing.T) {
	method := align.ReverseIndicator{
		OnFar:  align.Dial{Station: 0.2, Sweep: align.FourPoint(0, -0.05*oneMM, -0.2*oneMM, -0.15*oneMM), Sag: align.NoSag()},
		OnNear: align.Dial{Station: 0, Sweep: align.FourPoint(0, 0.02*oneMM, 0.1*oneMM, 0.08*oneMM), Sag: align.NoSag()},
		Sigma:  0.01 * oneMM,
	}
	p, err := method.Solve()
	require.NoError(t, err)
	u := drawing.UncertaintyOf(&p, 2)
	for _, x := range []unit.Length{-1, 0, 0.1, 0.2, 0.7, 3} {
		want := p.OffsetSigma(x)
		assert.InEpsilon(t, 2*float64(want.Vertical), float64(u.Vertical.At(x)), 1e-9)
		assert.InEpsilon(t, 2*float64(want.Horizontal), float64(u.Horizontal.At(x)), 1e-9)
	}
	assert.InDelta(t, 0.1, float64(u.Vertical.About), 1e-9, "two dials alike know most midway between them")
	assert.Equal(t, drawing.Uncertainty{}, drawing.UncertaintyOf(&align.Position{}, 2), "nothing known")
}

// By hand: on 200 mm a tilt of 2 mm/m opens 0.2 mm above and below; a pipe 0.3 mm high.
func TestFlangeCut(t *testing.T) {
	m := piping.Misfit{Mean: 3 * oneMM, Tilt: piping.Tilt{Up: 2e-3}, Offset: &piping.Across{Up: 0.3 * oneMM, Right: 0.1 * oneMM}}
	m.Pair.Name = "discharge"
	f := drawing.FlangeCut(m, 200*oneMM, align.Twelve)
	assert.Equal(t, "discharge", f.Name)
	assert.Equal(t, [2]string{"12 o'clock", "6 o'clock"}, [2]string{f.Gaps[0].Where, f.Gaps[1].Where})
	assert.InDelta(t, 3.2, paperMM(f.Gaps[0].Gap), 1e-9)
	assert.InDelta(t, 2.8, paperMM(f.Gaps[1].Gap), 1e-9)
	assert.InDelta(t, 0.3, paperMM(*f.Offset), 1e-9)
	level := drawing.FlangeCut(m, 200*oneMM, align.Three)
	assert.InDelta(t, 3, paperMM(level.Gaps[0].Gap), 1e-9)
	assert.InDelta(t, 0.1, paperMM(*level.Offset), 1e-9)
	m.Offset = nil
	assert.Nil(t, drawing.FlangeCut(m, 200*oneMM, align.Six).Offset)
}

// The inset shows the difference of the gaps and the offset at the scale it states.
func TestTrainInset(t *testing.T) {
	p := drawnSheet(t, pumpSet())
	var faces []drawing.Polyline
	for _, l := range polygons(p, drawing.Wide, drawing.NoFill) {
		if l.Closed && len(l.Points) == 4 && l.Bounds().Right-l.Bounds().Left < 8 && l.Bounds().Bottom-l.Bounds().Top < 16 {
			faces = append(faces, l)
		}
	}
	require.Len(t, faces, 4, "two pairs of flanges")
	machine, pipe := faces[0].Points, faces[1].Points // from the first spot to the second
	assert.InDelta(t, 5*(3.4-3.05), (pipe[0].X-machine[0].X)-(pipe[1].X-machine[1].X), 1e-9)
	assert.InDelta(t, -5*0.4, pipe[0].Y-machine[0].Y, 1e-9, "high is up")
	machine, pipe = faces[2].Points, faces[3].Points
	assert.InDelta(t, 5*(2-2.6), (pipe[0].X-machine[0].X)-(pipe[1].X-machine[1].X), 1e-9)
}
