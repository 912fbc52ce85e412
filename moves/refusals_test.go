package moves_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"collinear.example/moves"
	"collinear.example/piping"
	"collinear.example/softfoot"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// What is refused, and what is just let pass.

// first keeps the error of a function of two results.
func first[T any](_ T, err error) error { return err }

// Each refusal names its field and shows the value with its unit.
func TestRefusalsShowTheValue(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	length := func(v float64) *unit.Length { l := unit.Length(v); return &l }
	train := func(edit func(*moves.Train)) error {
		tr := planTrain(rand.New(rand.NewPCG(1, 1)), planPart{machines: 2, states: 1, flanges: true, room: 0.01})
		tr.Couplings[0].Slope, tr.Couplings[0].Gap = nil, nil
		edit(tr)
		return tr.Check()
	}
	require.NoError(t, train(func(*moves.Train) {}))
	options := func(o moves.Options) error {
		tr := planTrain(rand.New(rand.NewPCG(1, 1)), planPart{machines: 2, room: 0.01})
		err := first(tr.Plan(context.Background(), o))
		assert.Equal(t, err, first(tr.Alternatives(context.Background(), o)))
		return err
	}
	motion := func(edit func(*align.Motion)) error {
		tr := planTrain(rand.New(rand.NewPCG(1, 1)), planPart{machines: 2, room: 0.01})
		ms := make([]align.Motion, 2)
		edit(&ms[1])
		err := first(tr.Evaluate(ms))
		assert.Equal(t, err, first(moves.RoundShims(context.Background(), tr, ms, moves.Rounding{Step: 1e-5})))
		return err
	}
	round := func(up float64, r moves.Rounding) error {
		tr := planTrain(rand.New(rand.NewPCG(1, 1)), planPart{machines: 2, room: 0.01})
		for i := range tr.Machines[1].Feet {
			tr.Machines[1].Feet[i].Range = moves.Within(1e-3, 1e-3, 1, 1)
		}
		ms := make([]align.Motion, 2)
		ms[1].Shift.Y = unit.Length(up)
		return first(moves.RoundShims(context.Background(), tr, ms, r))
	}
	circle := moves.BoltCircle{Station: 1, Diameter: 0.5, Bolts: 4}
	bolts := func(edit func(*moves.BoltCircle)) error {
		b := circle
		edit(&b)
		err := b.Check()
		assert.Equal(t, err, first(b.Machine("m", 0)))
		assert.Equal(t, err, first(b.Shims(align.Slope{})))
		assert.Equal(t, err, first(b.Round(moves.FlangeShims{}, 1e-5)))
		return err
	}
	shims, err := circle.Shims(align.Slope{Vertical: 1e-3})
	require.NoError(t, err)
	many := circle
	many.Bolts = 17
	negative := shims
	negative.Bolts = append([]moves.BoltShim(nil), shims.Bolts...)
	negative.Bolts[2].Shim = -0.002
	response := func(edit func(*moves.Response)) error {
		r := moved(badlyOff, align.Axis{}, 1)
		edit(&r)
		return first(r.Compare())
	}
	feet := func(edit func(*moves.FeetResponse)) error {
		r := moves.FeetResponse{Sigma: 1e-6}
		for _, f := range fourFeet(0, 1, 0.3) {
			r.Feet = append(r.Feet, moves.FootReading{Name: f.Name, At: f.At})
		}
		edit(&r)
		return first(r.Compare())
	}
	stock := softfoot.ShimStock{Leaves: leaves(100), MaxLeaves: 4}
	pack := func(j moves.PackJob) error { _, _, err := j.Plan(stock); return err }
	face := func(reading, diameter, distance float64) error {
		return first(moves.FaceShim{Reading: unit.Length(reading), Diameter: unit.Length(diameter), Distance: unit.Length(distance)}.Shim())
	}
	tr := planTrain(rand.New(rand.NewPCG(1, 1)), planPart{machines: 2, flanges: false, room: 0.01})
	for i, c := range []struct {
		err   error
		fault align.Fault
		field string
		got   string
	}{
		{train(func(t *moves.Train) { t.Machines = nil }), align.ErrMissing, "machines", ""},
		{train(func(t *moves.Train) { t.Machines = make([]moves.Machine, 13) }), align.ErrOutOfRange, "machines", "13"},
		{train(func(t *moves.Train) { t.Couplings = make([]moves.Coupling, 17) }), align.ErrOutOfRange, "couplings", "17"},
		{train(func(t *moves.Train) { t.States = make([]moves.State, 33) }), align.ErrOutOfRange, "states", "33"},
		{train(func(t *moves.Train) { t.Machines[0].Feet = make([]moves.Foot, 17) }), align.ErrOutOfRange, "machines[0].feet", "17"},
		{train(func(t *moves.Train) { t.Machines[0].Goals = make([]piping.NozzleGoal, 17) }), align.ErrOutOfRange, "machines[0].goals", "17"},
		{train(func(t *moves.Train) { t.Machines[1].About.Y = 10001 }), align.ErrOutOfRange, "machines[1].about.y", "10001000.000 mm"},
		{train(func(t *moves.Train) { t.Machines[1].About.X = unit.Length(nan) }), align.ErrNotFinite, "machines[1].about.x", "NaN m"},
		{train(func(t *moves.Train) { t.Machines[1].About.Z = unit.Length(-inf) }), align.ErrNotFinite, "machines[1].about.z", "-Inf m"},
		{train(func(t *moves.Train) { t.Machines[1].Weight = -1.5 }), align.ErrNegative, "machines[1].weight", "-1.500"},
		{train(func(t *moves.Train) { t.Machines[1].Weight = 1001 }), align.ErrOutOfRange, "machines[1].weight", "1001.000"},
		{train(func(t *moves.Train) { t.Machines[1].Weight = 0.0005 }), align.ErrOutOfRange, "machines[1].weight", "0.001"},
		{train(func(t *moves.Train) { t.Machines[1].Weight = nan }), align.ErrNotFinite, "machines[1].weight", ""},
		{train(func(t *moves.Train) { t.Machines[0].Feet[2].At.X = -10001 }), align.ErrOutOfRange, "machines[0].feet[2].at.x", "-10001000.000 mm"},
		{train(func(t *moves.Train) { t.Machines[0].Feet[2].Range.Down = length(-0.002) }), align.ErrNegative, "machines[0].feet[2].range.down", "-2.000 mm"},
		{train(func(t *moves.Train) { t.Machines[0].Feet[2].Range.Up = length(11) }), align.ErrOutOfRange, "machines[0].feet[2].range.up", "11000.000 mm"},
		{train(func(t *moves.Train) { t.Machines[0].Feet[2].Range.Left = length(nan) }), align.ErrNotFinite, "machines[0].feet[2].range.left", "NaN m"},
		{train(func(t *moves.Train) { t.Machines[0].Feet[2].Range.Right = length(-0.002) }), align.ErrNegative, "machines[0].feet[2].range.right", "-2.000 mm"},
		{train(func(t *moves.Train) { t.Couplings[0].Near.Machine = 2 }), align.ErrMismatch, "couplings[0].near.machine", "2"},
		{train(func(t *moves.Train) { t.Couplings[0].Far.Machine = -1 }), align.ErrMismatch, "couplings[0].far.machine", "-1"},
		{train(func(t *moves.Train) { t.Couplings[0].Far.Machine = 0 }), align.ErrMismatch, "couplings[0].far.machine", "0"},
		{train(func(t *moves.Train) { t.Couplings[0].Near.Height = 10001 }), align.ErrOutOfRange, "couplings[0].near.height", "10001000.000 mm"},
		{train(func(t *moves.Train) { t.Couplings[0].Far.Lateral = unit.Length(nan) }), align.ErrNotFinite, "couplings[0].far.lateral", "NaN m"},
		{train(func(t *moves.Train) { t.Couplings[0].Found.Vertical.Offset = 11 }), align.ErrOutOfRange, "couplings[0].found.vertical.offset", "11000.000 mm"},
		{train(func(t *moves.Train) { t.Couplings[0].Found.Horizontal.Slope = 1.5 }), align.ErrOutOfRange, "couplings[0].found.horizontal.slope", "1500.0 mm/m"},
		{train(func(t *moves.Train) { t.Couplings[0].Found.Horizontal.Slope = nan }), align.ErrNotFinite, "couplings[0].found.horizontal.slope", ""},
		{train(func(t *moves.Train) { t.Couplings[0].Offsets = nil }), align.ErrMissing, "couplings[0].offsets", ""},
		{train(func(t *moves.Train) { t.Couplings[0].Offsets = make([]moves.OffsetLimit, 9) }), align.ErrOutOfRange, "couplings[0].offsets", "9"},
		{train(func(t *moves.Train) { t.Couplings[0].Offsets[1].Station = 10001 }), align.ErrOutOfRange, "couplings[0].offsets[1].station", "10001000.000 mm"},
		{train(func(t *moves.Train) { t.Couplings[0].Offsets[1].Limit = -0.002 }), align.ErrNegative, "couplings[0].offsets[1].limit", "-2.000 mm"},
		{train(func(t *moves.Train) { t.Couplings[0].Offsets[1].Limit = 1e-10 }), align.ErrOutOfRange, "couplings[0].offsets[1].limit", "0.000 mm"},
		{train(func(t *moves.Train) { t.Couplings[0].Slope = &moves.SlopeLimit{Limit: 1.5} }), align.ErrOutOfRange, "couplings[0].slope.limit", "1500.000000 mm/m"},
		{train(func(t *moves.Train) { t.Couplings[0].Slope = &moves.SlopeLimit{Limit: nan} }), align.ErrNotFinite, "couplings[0].slope.limit", ""},
		{train(func(t *moves.Train) { t.Couplings[0].Gap = &moves.AxialGap{Error: 11} }), align.ErrOutOfRange, "couplings[0].gap.error", "11000.000 mm"},
		{train(func(t *moves.Train) { t.Couplings[0].Gap = &moves.AxialGap{Tolerance: -0.002} }), align.ErrNegative, "couplings[0].gap.tolerance", "-2.000 mm"},
		{train(func(t *moves.Train) { t.States[0].Relative = nil }), align.ErrMismatch, "states[0].relative", "0"},
		{train(func(t *moves.Train) { t.States[0].Relative[0].Vertical.Slope = -1.5 }), align.ErrOutOfRange, "states[0].relative[0].vertical.slope", "-1500.0 mm/m"},
		{train(func(t *moves.Train) { t.States[0].Widen = -0.5 }), align.ErrNegative, "states[0].widen", "-0.500"},
		{train(func(t *moves.Train) { t.States[0].Widen = 101 }), align.ErrOutOfRange, "states[0].widen", "101.000"},
		{train(func(t *moves.Train) { t.States[0].Widen = 0.005 }), align.ErrOutOfRange, "states[0].widen", "0.005"},
		{train(func(t *moves.Train) { t.States[0].Widen = inf }), align.ErrNotFinite, "states[0].widen", ""},
		{train(func(t *moves.Train) {
			for i := range t.Machines {
				t.Machines[i].Free = piping.Ways{}
			}
		}), moves.ErrNothingMoves, "machines", ""},
		{(&moves.Train{Machines: []moves.Machine{{Free: moves.TwoPlanes()}}}).Check(), align.ErrMissing, "couplings", ""},
		{options(moves.Options{Sides: 10}), align.ErrOutOfRange, "sides", "10"},
		{options(moves.Options{Sides: 4}), align.ErrOutOfRange, "sides", "4"},
		{options(moves.Options{Sides: 68}), align.ErrOutOfRange, "sides", "68"},
		{options(moves.Options{Nodes: -1}), align.ErrOutOfRange, "nodes", "-1"},
		{options(moves.Options{Nodes: 1000001}), align.ErrOutOfRange, "nodes", "1000001"},
		{options(moves.Options{Criteria: []moves.Criterion{7}}), align.ErrUnknownKind, "criteria[0]", ""},
		{options(moves.Options{Criteria: []moves.Criterion{moves.FewestFeet, moves.BestAlignment, moves.FewestFeet}}), align.ErrMismatch, "criteria[2]", "fewest feet touched"},
		{motion(func(m *align.Motion) { m.About.X = 10001 }), align.ErrOutOfRange, "motions[1].about.x", "10001000.000 mm"},
		{motion(func(m *align.Motion) { m.Shift.Z = -11 }), align.ErrOutOfRange, "motions[1].shift", "-11000.000 mm"},
		{motion(func(m *align.Motion) { m.Shift.X = unit.Length(nan) }), align.ErrNotFinite, "motions[1].shift", "NaN m"},
		{motion(func(m *align.Motion) { m.Turn.Y = 1.5 }), align.ErrOutOfRange, "motions[1].turn", "1.500 rad"},
		{motion(func(m *align.Motion) { m.Turn.Z = nan }), align.ErrNotFinite, "motions[1].turn", ""},
		{first(tr.Evaluate(nil)), align.ErrMismatch, "motions", ""},
		{round(0, moves.Rounding{Step: -0.002}), align.ErrNegative, "step", "-2.000 mm"},
		{round(0, moves.Rounding{Step: 1.5}), align.ErrOutOfRange, "step", "1500.000 mm"},
		{round(0, moves.Rounding{Step: 5e-7}), align.ErrOutOfRange, "step", "0.001 mm"},
		{round(1e-4, moves.Rounding{}), align.ErrMissing, "machines[1].feet[0].step", ""},
		{round(0, moves.Rounding{Step: 1e-5, Twist: length(-0.002)}), align.ErrNegative, "twist", "-2.000 mm"},
		{round(0, moves.Rounding{Step: 1e-5, Skip: []int{0, 2}}), align.ErrMismatch, "skip[1]", "2"},
		{round(0, moves.Rounding{Step: 1e-5, Skip: []int{-1}}), align.ErrMismatch, "skip[0]", "-1"},
		{round(0, moves.Rounding{Step: 1e-5, Reachable: make([][][]unit.Length, 3)}), align.ErrMismatch, "reachable", "3"},
		{round(0, moves.Rounding{Step: 1e-5, Reachable: [][][]unit.Length{nil, make([][]unit.Length, 3)}}), align.ErrMismatch, "reachable[1]", "3"},
		{round(0, moves.Rounding{Step: 1e-5, Reachable: [][][]unit.Length{nil, {nil, {0, 11}, nil, nil}}}), align.ErrOutOfRange, "reachable[1][1][1]", "11000.000 mm"},
		{round(-0.002, moves.Rounding{Step: 1e-5, Skip: []int{0}}), moves.ErrBaseBound, "machines[1].feet[0].move", "-2.000 mm"},
		{round(0.002, moves.Rounding{Step: 1e-5, Skip: []int{0}}), align.ErrOutOfRange, "machines[1].feet[0].move", "2.000 mm"},
		{bolts(func(b *moves.BoltCircle) { b.Station = 10001 }), align.ErrOutOfRange, "station", "10001000.000 mm"},
		{bolts(func(b *moves.BoltCircle) { b.Diameter = 101 }), align.ErrOutOfRange, "diameter", "101000.000 mm"},
		{bolts(func(b *moves.BoltCircle) { b.Diameter = 0.0005 }), align.ErrZeroDiameter, "diameter", "0.500 mm"},
		{bolts(func(b *moves.BoltCircle) { b.Bolts = 2 }), align.ErrOutOfRange, "bolts", "2"},
		{bolts(func(b *moves.BoltCircle) { b.Bolts = 65 }), align.ErrOutOfRange, "bolts", "65"},
		{bolts(func(b *moves.BoltCircle) { b.First = align.Clock(nan) }), align.ErrNotFinite, "first", ""},
		{bolts(func(b *moves.BoltCircle) { b.First = -2e6 }), align.ErrOutOfRange, "first", ""},
		{first(many.Machine("m", 0)), align.ErrOutOfRange, "bolts", "17"},
		{first(circle.Machine("m", -0.002)), align.ErrNegative, "room", "-2.000 mm"},
		{first(circle.Shims(align.Slope{Horizontal: -0.15})), align.ErrOutOfRange, "slope.horizontal", "-150.0 mm/m"},
		{first(circle.Shims(align.Slope{Vertical: nan})), align.ErrNotFinite, "slope.vertical", ""},
		{first(circle.ShimsFor(align.Motion{Shift: align.Displacement{Z: 11}})), align.ErrOutOfRange, "shift", "11000.000 mm"},
		{first(circle.Round(shims, 5e-7)), align.ErrOutOfRange, "step", "0.001 mm"},
		{first(circle.Round(shims, 1.5)), align.ErrOutOfRange, "step", "1500.000 mm"},
		{first(circle.Round(shims, -0.002)), align.ErrNegative, "step", "-2.000 mm"},
		{first(circle.Round(moves.FlangeShims{}, 1e-5)), align.ErrMismatch, "shims", ""},
		{first(circle.Round(negative, 1e-5)), align.ErrNegative, "shims[2]", "-2.000 mm"},
		{face(-0.002, 1, 1), align.ErrNegative, "reading", "-2.000 mm"},
		{face(0, 0.0005, 1), align.ErrZeroDiameter, "diameter", "0.500 mm"},
		{face(0, -0.002, 1), align.ErrNegative, "diameter", "-2.000 mm"},
		{face(0, 1, 11), align.ErrOutOfRange, "distance", "11000.000 mm"},
		{response(func(r *moves.Response) { r.Before.Vertical.Offset = 11 }), align.ErrOutOfRange, "before.vertical.offset", "11000.000 mm"},
		{response(func(r *moves.Response) { r.Planned.Vertical.Slope = 2 }), align.ErrOutOfRange, "planned.vertical.slope", "2000.0 mm/m"},
		{response(func(r *moves.Response) { r.After.Horizontal.Offset = unit.Length(nan) }), align.ErrNotFinite, "after.horizontal.offset", "NaN m"},
		{response(func(r *moves.Response) { r.Target.Horizontal.Slope = inf }), align.ErrNotFinite, "target.horizontal.slope", ""},
		{response(func(r *moves.Response) { r.Stations = r.Stations[:1] }), align.ErrMissing, "stations", "1"},
		{response(func(r *moves.Response) { r.Stations = make([]unit.Length, 65) }), align.ErrOutOfRange, "stations", "65"},
		{response(func(r *moves.Response) { r.Stations = []unit.Length{0, 0.4, 0.4000005} }), align.ErrCoincident, "stations[2]", "400.000 mm"},
		{response(func(r *moves.Response) { r.Stations[1] = 10001 }), align.ErrOutOfRange, "stations[1]", "10001000.000 mm"},
		{response(func(r *moves.Response) { r.Sigma = 0 }), align.ErrOutOfRange, "sigma", "0.000 mm"},
		{response(func(r *moves.Response) { r.Sigma = -0.002 }), align.ErrNegative, "sigma", "-2.000 mm"},
		{response(func(r *moves.Response) { r.Cover = nan }), align.ErrNotFinite, "cover", ""},
		{response(func(r *moves.Response) { r.Cover = -1.5 }), align.ErrNegative, "cover", "-1.50"},
		{response(func(r *moves.Response) { r.Cover = 10.5 }), align.ErrOutOfRange, "cover", "10.50"},
		{response(func(r *moves.Response) { r.Cover = 0.05 }), align.ErrOutOfRange, "cover", "0.05"},
		{first(tr.Response(1, make([]align.Motion, 2))), align.ErrOutOfRange, "coupling", "1"},
		{first(tr.Response(-1, make([]align.Motion, 2))), align.ErrOutOfRange, "coupling", "-1"},
		{feet(func(r *moves.FeetResponse) { r.Feet = r.Feet[:3] }), align.ErrMissing, "feet", "3"},
		{feet(func(r *moves.FeetResponse) { r.Feet = make([]moves.FootReading, 17) }), align.ErrOutOfRange, "feet", "17"},
		{feet(func(r *moves.FeetResponse) { r.Feet[2].At.Z = 10001 }), align.ErrOutOfRange, "feet[2].at.z", "10001000.000 mm"},
		{feet(func(r *moves.FeetResponse) { r.Feet[2].Planned = 11 }), align.ErrOutOfRange, "feet[2].planned", "11000.000 mm"},
		{feet(func(r *moves.FeetResponse) { r.Feet[2].Measured = unit.Length(nan) }), align.ErrNotFinite, "feet[2].measured", "NaN m"},
		{feet(func(r *moves.FeetResponse) { r.Sigma = 1e-10 }), align.ErrOutOfRange, "sigma", "0.000 mm"},
		{feet(func(r *moves.FeetResponse) { r.Cover = 11 }), align.ErrOutOfRange, "cover", "11.00"},
		{pack(moves.PackJob{Present: make([]unit.Length, 9)}), align.ErrOutOfRange, "present", "9 leaves"},
		{pack(moves.PackJob{Present: []unit.Length{1e-3, -0.002}}), align.ErrNegative, "present[1]", "-2.000 mm"},
		{pack(moves.PackJob{Present: []unit.Length{1e-3, 1e-13}}), align.ErrOutOfRange, "present[1]", "0.000 mm"},
		{pack(moves.PackJob{Change: 11}), align.ErrOutOfRange, "change", "11000.000 mm"},
		{pack(moves.PackJob{Least: -0.002}), align.ErrNegative, "least", "-2.000 mm"},
		{pack(moves.PackJob{Most: -0.002}), align.ErrNegative, "most", "-2.000 mm"},
		{pack(moves.PackJob{Present: leaves(500), Change: -0.6e-3}), moves.ErrBaseBound, "change", "-0.600 mm"},
		{pack(moves.PackJob{Present: leaves(500), Change: -0.2e-3, Least: 0.4e-3}), align.ErrOutOfRange, "change", "-0.200 mm"},
		{pack(moves.PackJob{Present: leaves(500), Change: 0.2e-3, Most: 0.6e-3}), align.ErrOutOfRange, "change", "0.200 mm"},
	} {
		require.ErrorIs(t, c.err, c.fault, "%d %s %v", i, c.field, c.err)
		var in *align.InputError
		require.ErrorAs(t, c.err, &in)
		assert.Equal(t, c.field, in.Field, i)
		assert.Equal(t, c.got, in.Got, "%d %s", i, c.field)
		assert.Equal(t, "moves", in.Package, i)
	}
}

// The bounds themselves are let pass.
func TestBoundsAreLetPass(t *testing.T) {
	tr := planTrain(rand.New(rand.NewPCG(1, 1)), planPart{machines: 2, states: 1, room: 0.01})
	zero, ten := unit.Length(0), unit.Length(10)
	for _, w := range []float64{0, 1e-3, 1e3} {
		tr.Machines[0].Weight = w
		require.NoError(t, tr.Check())
	}
	for _, w := range []float64{0, 0.01, 100} {
		tr.States[0].Widen = w
		require.NoError(t, tr.Check())
	}
	tr.Machines[0].Feet[0].Range = moves.FootRange{Down: &zero, Up: &ten, Left: &zero, Right: &ten}
	tr.Couplings[0].Offsets[0].Limit = 1e-9
	tr.Couplings[0].Offsets[1].Limit = 10
	tr.Couplings[0].Gap = &moves.AxialGap{Error: -10}
	tr.Couplings[0].Found.Vertical = align.Line{Offset: -10, Slope: 1}
	tr.Couplings[0].Found.Horizontal = align.Line{Offset: 10, Slope: -1}
	tr.Machines[1].About = align.Place{X: 1e4, Y: -1e4, Z: 1e4}
	for _, s := range []float64{1e-9, 1} {
		tr.Couplings[0].Slope = &moves.SlopeLimit{Limit: s}
		require.NoError(t, tr.Check())
	}
	most := moves.Train{Machines: make([]moves.Machine, 12), States: make([]moves.State, 32)}
	most.Machines[11].Free = moves.TwoPlanes()
	most.Machines[0].Feet = fourFeet(0, 1, 1)
	for len(most.Machines[0].Feet) < 16 {
		most.Machines[0].Feet = append(most.Machines[0].Feet, fourFeet(0, 1, 1)...)
	}
	for range 16 {
		c := moves.Coupling{Far: moves.ShaftOf{Machine: 11}}
		for range 8 {
			c.Offsets = append(c.Offsets, moves.OffsetLimit{Limit: 1})
		}
		most.Couplings = append(most.Couplings, c)
	}
	for i := range most.States {
		most.States[i].Relative = make([]align.Axis, 16)
	}
	require.NoError(t, most.Check())

	plain := planTrain(rand.New(rand.NewPCG(1, 1)), planPart{machines: 2, room: 1})
	for _, o := range []moves.Options{{Sides: 8}, {Sides: 64}, {Nodes: 1}, {Nodes: 1e6}} {
		_, err := plain.Plan(context.Background(), o)
		require.NoError(t, err)
	}
	for _, d := range []unit.Length{1e-3, 100} {
		for _, n := range []int{3, 64} {
			require.NoError(t, moves.BoltCircle{Diameter: d, Bolts: n, First: 1e6}.Check())
		}
	}
	circle := moves.BoltCircle{Station: 1, Diameter: 0.5, Bolts: 16}
	_, err := circle.Machine("m", 10)
	require.NoError(t, err)
	s, err := circle.Shims(align.Slope{Vertical: 0.1, Horizontal: -0.1})
	require.NoError(t, err)
	for _, step := range []unit.Length{1e-6, 1} {
		_, err = circle.Round(s, step)
		require.NoError(t, err)
	}
	for _, k := range []float64{0, 0.1, 10} {
		r := moved(badlyOff, align.Axis{}, 1)
		r.Cover, r.Sigma, r.Stations = k, 1e-9, []unit.Length{0, 1.1e-6}
		_, err = r.Compare()
		require.NoError(t, err)
	}
	_, _, err = moves.PackJob{Present: leaves(500), Change: -0.1e-3, Least: 0.4e-3, Most: 0.4e-3}.Plan(softfoot.ShimStock{Leaves: leaves(100), MaxLeaves: 4})
	require.NoError(t, err, "down to what must stay")
	_, _, err = moves.PackJob{Present: leaves(500), Change: -0.5e-3}.Plan(softfoot.ShimStock{Leaves: leaves(100), MaxLeaves: 4})
	require.NoError(t, err, "down to the base")
}
