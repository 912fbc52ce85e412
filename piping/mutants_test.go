package piping_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"collinear.example/align"
	"collinear.example/piping"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// The tests of this file were added because small mistakes made on purpose in the
// code (see internal/mutate) were not noticed by the others. Their expectations
// are worked out by hand beside them.

// first keeps the error of a function of two results.
func first[T any](_ T, err error) error { return err }

// Each refusal of flanges and strain tests names its field and shows the value
// with its unit.
func TestRefusalsShowTheValue(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	length := func(v float64) *unit.Length { l := unit.Length(v); return &l }
	number := func(v float64) *float64 { return &v }
	faces := func(edit func(*piping.FlangeSurvey)) error {
		s := piping.FlangeSurvey{Gaps: gapsOf(3, 3, 3, 3), Diameter: 0.3, FlangeOD: 0.3}
		edit(&s)
		return first(s.Solve())
	}
	rim := func(edit func(*piping.RimSurvey)) error {
		s := piping.RimSurvey{Steps: stepsOf(0, 0, 0, 0)}
		edit(&s)
		return first(s.Solve())
	}
	holes := func(edit func(*piping.HoleSurvey), centre *piping.Across) error {
		s := piping.HoleSurvey{Holes: []piping.HoleStep{{}, {At: 180}}, BoltCircle: 0.2}
		edit(&s)
		return first(s.Solve(centre))
	}
	none := func(*piping.HoleSurvey) {}
	pair := piping.FlangePair{Axis: align.AlongTrain(), Up: align.Upward()}
	frame := func(edit func(*piping.FlangePair)) error {
		p := pair
		edit(&p)
		return first(p.Frame())
	}
	misfit := func(edit func(*piping.Misfit), m align.Motion) error {
		f := piping.Misfit{Pair: pair}
		edit(&f)
		return first(f.After(m))
	}
	sound := func(*piping.Misfit) {}
	still := align.Motion{}
	size := func(edit func(*piping.FlangeSize), rule piping.FlangeRule) error {
		s := piping.FlangeSize{FlangeOD: 0.3, RaisedFaceOD: 0.2, BoltCircle: 0.25}
		edit(&s)
		return first(piping.FlangeLimitsOf(rule, s))
	}
	goal := func(edit func(*piping.GoalTolerance)) error {
		tolerance := wide
		edit(&tolerance)
		return first(piping.Misfit{Pair: pair, Gasket: length(0), Rotation: number(0), Offset: &piping.Across{}}.Goal(tolerance))
	}
	compromise := func(edit func(*piping.Compromise)) error {
		g, err := piping.Misfit{Pair: pair, Mean: 1e-3, Gasket: length(0)}.Goal(wide)
		require.NoError(t, err)
		c := piping.Compromise{Goals: []piping.NozzleGoal{g}, Free: piping.AllWays()}
		edit(&c)
		return first(c.Solve())
	}
	strain := func(edit func(*piping.StrainTest)) error {
		s := sixWays()
		edit(&s)
		return first(s.Result())
	}
	step := func(edit func(*piping.Step)) error { return strain(func(s *piping.StrainTest) { edit(&s.Steps[0]) }) }
	dial := func(edit func(*piping.Indicator)) error {
		return strain(func(s *piping.StrainTest) { edit(&s.Indicators[3]) })
	}
	oblique := piping.Oblique{At: 45, Reading: 1e-4}
	visible := func(toward align.Clock, least align.Movement) error {
		_, _, err := oblique.Visible(toward, least)
		return err
	}
	for i, c := range []struct {
		err   error
		fault align.Fault
		field string
		got   string
	}{
		{faces(func(s *piping.FlangeSurvey) { s.Gaps[1].At = align.Clock(nan) }), align.ErrNotFinite, "gaps[1].at", "NaN deg"},
		{faces(func(s *piping.FlangeSurvey) { s.Gaps[1].Gap = 101 }), align.ErrOutOfRange, "gaps[1].gap", "101 m"},
		{faces(func(s *piping.FlangeSurvey) { s.Diameter = 5e-7 }), align.ErrZeroDiameter, "diameter", "0.001 mm"},
		{faces(func(s *piping.FlangeSurvey) { s.FlangeOD = 0.25 }), align.ErrMismatch, "diameter", "300.0 mm"},
		{faces(func(s *piping.FlangeSurvey) { s.RaisedFaceOD = 0.35 }), align.ErrMismatch, "raisedFaceOD", "350.0 mm"},
		{faces(func(s *piping.FlangeSurvey) { s.RaisedFaceOD = -0.35 }), align.ErrNegative, "raisedFaceOD", "-350.000 mm"},
		{faces(func(s *piping.FlangeSurvey) { s.FlangeOD = -0.35 }), align.ErrNegative, "flangeOD", "-350.000 mm"},
		{faces(func(s *piping.FlangeSurvey) { s.Gasket = length(-0.003) }), align.ErrNegative, "gasket", "-3.000 mm"},
		{faces(func(s *piping.FlangeSurvey) { s.Sigma = -0.003 }), align.ErrNegative, "sigma", "-3.000 mm"},
		{faces(func(s *piping.FlangeSurvey) { s.MaxResidual = unit.Length(nan) }), align.ErrNotFinite, "maxResidual", "NaN m"},
		{faces(func(s *piping.FlangeSurvey) { s.Temperature = &piping.FlangeTemperature{Pipe: 300} }), align.ErrMissing, "temperature.machine", "0 K"},
		{faces(func(s *piping.FlangeSurvey) { s.Temperature = &piping.FlangeTemperature{Machine: 300, Pipe: -3} }), align.ErrOutOfRange, "temperature.pipe", "-3 K"},
		{faces(func(s *piping.FlangeSurvey) {
			s.Temperature = &piping.FlangeTemperature{Machine: 10001, Pipe: 300}
		}), align.ErrOutOfRange, "temperature.machine", "10001 K"},
		{faces(func(s *piping.FlangeSurvey) {
			s.Temperature = &piping.FlangeTemperature{Machine: 300, Pipe: unit.Temperature(inf)}
		}), align.ErrNotFinite, "temperature.pipe", "+Inf K"},
		{faces(func(s *piping.FlangeSurvey) { s.Gaps = []piping.Gap{{At: 0}, {At: 10}, {At: 29}} }), align.ErrArcTooNarrow, "gaps", "29.0 deg of arc"},
		{faces(func(s *piping.FlangeSurvey) { s.Gaps = []piping.Gap{{At: 0}, {At: 360}, {At: 90}} }), align.ErrTooFewPositions, "gaps", "2 different positions"},
		{rim(func(s *piping.RimSurvey) { s.Steps = make([]piping.RimStep, 361) }), align.ErrOutOfRange, "steps", "361 positions"},
		{rim(func(s *piping.RimSurvey) { s.MachineOD = -0.3 }), align.ErrNegative, "machineOD", "-300.000 mm"},
		{rim(func(s *piping.RimSurvey) { s.PipeOD = -0.3 }), align.ErrNegative, "pipeOD", "-300.000 mm"},
		{rim(func(s *piping.RimSurvey) { s.Sigma = -0.003 }), align.ErrNegative, "sigma", "-3.000 mm"},
		{rim(func(s *piping.RimSurvey) { s.FitODs, s.MachineOD, s.PipeOD = true, 0.3, 0.3 }), align.ErrMismatch, "fitODs", ""},
		{rim(func(s *piping.RimSurvey) { s.MachineOD = 0.3 }), align.ErrMissing, "pipeOD", ""},
		{rim(func(s *piping.RimSurvey) { s.Steps[2].At = align.Clock(inf) }), align.ErrNotFinite, "steps[2].at", "+Inf deg"},
		{rim(func(s *piping.RimSurvey) { s.Steps[2].Step = -101 }), align.ErrOutOfRange, "steps[2].step", "-101 m"},
		{rim(func(s *piping.RimSurvey) { s.Steps = s.Steps[:1] }), align.ErrTooFewPositions, "steps", "1 different positions"},
		{rim(func(s *piping.RimSurvey) { s.FitODs, s.Steps = true, s.Steps[:2] }), align.ErrTooFewPositions, "steps", "2 different positions"},
		{rim(func(s *piping.RimSurvey) { s.Steps = []piping.RimStep{{At: 0}, {At: 172}} }), align.ErrArcTooNarrow, "steps", "8.0 deg from one diameter"},
		{rim(func(s *piping.RimSurvey) { s.FitODs, s.Steps = true, []piping.RimStep{{At: 0}, {At: 10}, {At: 25}} }), align.ErrArcTooNarrow, "steps", "25.0 deg of arc"},
		{holes(func(s *piping.HoleSurvey) { s.BoltCircle = 0 }, nil), align.ErrZeroDiameter, "boltCircle", "0.000 mm"},
		{holes(func(s *piping.HoleSurvey) { s.Holes = make([]piping.HoleStep, 361) }, nil), align.ErrOutOfRange, "holes", "361 holes"},
		{holes(func(s *piping.HoleSurvey) { s.Holes[1].At = align.Clock(nan) }, nil), align.ErrNotFinite, "holes[1].at", "NaN deg"},
		{holes(func(s *piping.HoleSurvey) { s.Holes[1].Along = 0.32 }, nil), align.ErrOutOfRange, "holes[1].along", "0.32 m"},
		{holes(none, &piping.Across{Up: 101}), align.ErrOutOfRange, "centre.up", "101 m"},
		{holes(none, &piping.Across{Right: unit.Length(nan)}), align.ErrNotFinite, "centre.right", "NaN m"},
		{frame(func(p *piping.FlangePair) { p.Centre.X = 10001 }), align.ErrOutOfRange, "centre.x", "10001 m"},
		{frame(func(p *piping.FlangePair) { p.Centre.Y = unit.Length(nan) }), align.ErrNotFinite, "centre.y", "NaN m"},
		{frame(func(p *piping.FlangePair) { p.Axis.Y = nan }), align.ErrNotFinite, "axis", ""},
		{frame(func(p *piping.FlangePair) { p.Up = align.Direction{Y: 0.5} }), align.ErrOutOfRange, "up", "0.5 long"},
		{frame(func(p *piping.FlangePair) { p.Up = align.Direction{X: math.Cos(0.05), Y: math.Sin(0.05)} }), align.ErrOutOfRange, "up", "0.0499792 of it across the axis"},
		{misfit(func(m *piping.Misfit) { m.Mean = 101 }, still), align.ErrOutOfRange, "mean", "101 m"},
		{misfit(func(m *piping.Misfit) { m.Gasket = length(-0.003) }, still), align.ErrNegative, "gasket", "-3.000 mm"},
		{misfit(func(m *piping.Misfit) { m.Tilt.Up = 1.5 }, still), align.ErrOutOfRange, "tilt.up", "1.5 rad"},
		{misfit(func(m *piping.Misfit) { m.Tilt.Right = nan }, still), align.ErrNotFinite, "tilt.right", "NaN rad"},
		{misfit(func(m *piping.Misfit) { m.Offset = &piping.Across{Right: -101} }, still), align.ErrOutOfRange, "offset.right", "-101 m"},
		{misfit(func(m *piping.Misfit) { m.Rotation = number(-3.5) }, still), align.ErrOutOfRange, "rotation", "-3.5 rad"},
		{misfit(sound, align.Motion{Turn: align.Turn{X: 0.15}}), align.ErrOutOfRange, "motion.turn.x", "0.15 rad"},
		{misfit(sound, align.Motion{Turn: align.Turn{Y: -0.15}}), align.ErrOutOfRange, "motion.turn.y", "-0.15 rad"},
		{misfit(sound, align.Motion{Turn: align.Turn{Z: nan}}), align.ErrNotFinite, "motion.turn.z", "NaN rad"},
		{misfit(sound, align.Motion{About: align.Place{Z: 10001}}), align.ErrOutOfRange, "motion.about.z", "10001 m"},
		{misfit(sound, align.Motion{Shift: align.Displacement{Y: -10001}}), align.ErrOutOfRange, "motion.shift.y", "-10001 m"},
		{size(func(s *piping.FlangeSize) { s.FlangeOD = 0 }, piping.RP686Flange), align.ErrZeroDiameter, "flangeOD", "0.000 mm"},
		{size(func(s *piping.FlangeSize) { s.BoltCircle = 0.3 }, piping.RP686Flange), align.ErrMismatch, "boltCircle", "300.0 mm"},
		{size(func(s *piping.FlangeSize) { s.BoltCircle = -0.3 }, piping.RP686Flange), align.ErrNegative, "boltCircle", "-300.000 mm"},
		{size(func(s *piping.FlangeSize) { s.Gasket = length(-0.003) }, piping.PCC1FlangeSI), align.ErrNegative, "gasket", "-3.000 mm"},
		{size(func(s *piping.FlangeSize) {}, piping.PCC1FlangeUS), align.ErrMissing, "gasket", ""},
		{size(func(s *piping.FlangeSize) {}, piping.RP686Flange), align.ErrMissing, "reference", ""},
		{size(func(s *piping.FlangeSize) { s.Reference = 3 }, piping.RP686Flange), align.ErrUnknownKind, "reference", "reference(3)"},
		{size(func(s *piping.FlangeSize) { s.Reference, s.RaisedFaceOD = piping.ByRaisedFaceOD, 0 }, piping.RP686Flange), align.ErrMissing, "raisedFaceOD", ""},
		{size(func(s *piping.FlangeSize) {}, "house"), align.ErrUnknownKind, "rule", `"house"`},
		{first(piping.Misfit{Pair: pair}.Judge(piping.FlangeLimits{Size: piping.FlangeSize{FlangeOD: 0.3}}, -0.003)), align.ErrNegative, "cutAbove", "-3.000 mm"},
		{goal(func(t *piping.GoalTolerance) { t.Gap = 0 }), align.ErrMissing, "gap.tolerance", "0 m"},
		{goal(func(t *piping.GoalTolerance) { t.Offset = -0.003 }), align.ErrNegative, "up.tolerance", "-0.003 m"},
		{goal(func(t *piping.GoalTolerance) { t.Rotation = 3.5 }), align.ErrOutOfRange, "rotation.tolerance", "3.5 rad"},
		{goal(func(t *piping.GoalTolerance) { t.Tilt = nan }), align.ErrNotFinite, "tilt-right.tolerance", "NaN rad"},
		{goal(func(t *piping.GoalTolerance) { t.Gap = 101 }), align.ErrOutOfRange, "gap.tolerance", "101 m"},
		{goal(func(t *piping.GoalTolerance) { t.Gap = 5e-10 }), align.ErrOutOfRange, "gap.tolerance", "5e-10 m"},
		{compromise(func(c *piping.Compromise) { c.Goals = nil }), align.ErrMissing, "goals", ""},
		{compromise(func(c *piping.Compromise) { c.Goals = make([]piping.NozzleGoal, 65) }), align.ErrOutOfRange, "goals", "65 nozzles"},
		{compromise(func(c *piping.Compromise) { c.About.X = 10001 }), align.ErrOutOfRange, "about.x", "10001 m"},
		{compromise(func(c *piping.Compromise) { c.Goals[0].Weight = -1.5 }), align.ErrNegative, "goals[0].weight", "-1.5"},
		{compromise(func(c *piping.Compromise) { c.Goals[0].Weight = 2e9 }), align.ErrOutOfRange, "goals[0].weight", "2e+09"},
		{compromise(func(c *piping.Compromise) { c.Goals[0].Weight = nan }), align.ErrNotFinite, "goals[0].weight", "NaN"},
		{compromise(func(c *piping.Compromise) { c.Goals[0].At.Z = 10001 }), align.ErrOutOfRange, "goals[0].at.z", "10001 m"},
		{compromise(func(c *piping.Compromise) { c.Goals[0].Parts[piping.PartGap].Value = 101 }), align.ErrOutOfRange, "goals[0].gap.value", "101 m"},
		{compromise(func(c *piping.Compromise) { c.Goals[0].Parts[piping.PartTiltUp].Value = nan }), align.ErrNotFinite, "goals[0].tilt-up.value", "NaN rad"},
		{compromise(func(c *piping.Compromise) { c.Goals[0].Parts[piping.PartTiltUp].Direction = align.Direction{} }), align.ErrMissing, "goals[0].tilt-up.direction", ""},
		{compromise(func(c *piping.Compromise) { c.Free = piping.Ways{} }), align.ErrUndetermined, "free", ""},
		{strain(func(s *piping.StrainTest) { s.Indicators = nil }), align.ErrMissing, "indicators", ""},
		{strain(func(s *piping.StrainTest) { s.Indicators = make([]piping.Indicator, 65) }), piping.ErrTooManyIndicators, "indicators", "65 indicators"},
		{strain(func(s *piping.StrainTest) { s.Indicators[3].Name = "V1" }), piping.ErrGivenTwice, "indicators[3].name", "V1"},
		{strain(func(s *piping.StrainTest) { s.Shaft.Y = 10001 }), align.ErrOutOfRange, "shaft.y", "10001 m"},
		{strain(func(s *piping.StrainTest) { s.Coupling = nil }), align.ErrMissing, "coupling", ""},
		{strain(func(s *piping.StrainTest) { s.Coupling[0] = -10001 }), align.ErrOutOfRange, "coupling[0]", "-10001 m"},
		{strain(func(s *piping.StrainTest) { s.Coupling[0] = unit.Length(nan) }), align.ErrNotFinite, "coupling[0]", "NaN m"},
		{strain(func(s *piping.StrainTest) { s.Feet = []piping.NamedPlace{{}} }), align.ErrMissing, "feet[0].name", ""},
		{strain(func(s *piping.StrainTest) { s.Nozzles = append(s.Nozzles, s.Nozzles[0]) }), piping.ErrGivenTwice, "nozzles[1].name", "origin"},
		{strain(func(s *piping.StrainTest) { s.Nozzles[0].At.Z = 10001 }), align.ErrOutOfRange, "nozzles[0].at.z", "10001 m"},
		{strain(func(s *piping.StrainTest) { s.Held = piping.AllWays() }), piping.ErrAllHeld, "held", ""},
		{strain(func(s *piping.StrainTest) { s.Lever = 0.0005 }), align.ErrOutOfRange, "lever", "0.5000 mm"},
		{strain(func(s *piping.StrainTest) { s.Lever = -0.5 }), align.ErrNegative, "lever", "-500.0000 mm"},
		{strain(func(s *piping.StrainTest) { s.Lever = 10001 }), align.ErrOutOfRange, "lever", "10001 m"},
		{strain(func(s *piping.StrainTest) { s.Resolution = 0.02 }), align.ErrOutOfRange, "resolution", "0.02 m"},
		{strain(func(s *piping.StrainTest) { s.Resolution = 5e-8 }), align.ErrOutOfRange, "resolution", "0.0500 um"},
		{strain(func(s *piping.StrainTest) { s.Resolution = -5e-8 }), align.ErrNegative, "resolution", "-0.0500 um"},
		{strain(func(s *piping.StrainTest) { s.Start = dialsShow(0) }), align.ErrMismatch, "start", "1 reading"},
		{strain(func(s *piping.StrainTest) { s.Start = dialsShow(0, 0, 0, 0, 0, 0, 0, 101) }), align.ErrOutOfRange, "start[7]", "0.101 m"},
		{strain(func(s *piping.StrainTest) { s.Steps = nil }), align.ErrMissing, "steps", ""},
		{strain(func(s *piping.StrainTest) { s.Steps = append(s.Steps, s.Steps[0]) }), piping.ErrGivenTwice, "steps[1].name", "discharge"},
		{step(func(s *piping.Step) { s.Name = "" }), align.ErrMissing, "steps[0].name", ""},
		{step(func(s *piping.Step) { s.Action = 4 }), align.ErrUnknownKind, "steps[0].action", "unknown action"},
		{step(func(s *piping.Step) { s.Group = 3 }), align.ErrUnknownKind, "steps[0].group", "unknown group"},
		{step(func(s *piping.Step) { s.Of = nil }), align.ErrMissing, "steps[0].of", ""},
		{step(func(s *piping.Step) { s.Of = []string{"a", ""} }), align.ErrMissing, "steps[0].of[1]", ""},
		{step(func(s *piping.Step) { s.Of = []string{"a", "b", "a"} }), piping.ErrGivenTwice, "steps[0].of[2]", "a"},
		{step(func(s *piping.Step) { s.Readings = dialsShow(0, 0) }), align.ErrMismatch, "steps[0].readings", "2 readings"},
		{step(func(s *piping.Step) { s.Readings[5].Value = -0.11 }), align.ErrOutOfRange, "steps[0].readings[5]", "-0.11 m"},
		{step(func(s *piping.Step) { s.Readings[5].Value = align.Movement(nan) }), align.ErrNotFinite, "steps[0].readings[5]", "NaN m"},
		{step(func(s *piping.Step) { s.Undoes = "nothing" }), piping.ErrUnknownStep, "steps[0].undoes", "nothing"},
		{dial(func(d *piping.Indicator) { d.Name = "" }), align.ErrMissing, "indicators[3].name", ""},
		{dial(func(d *piping.Indicator) { d.At.X = 10001 }), align.ErrOutOfRange, "indicators[3].at.x", "10001 m"},
		{dial(func(d *piping.Indicator) { d.Toward = align.Direction{} }), align.ErrMissing, "indicators[3].toward", ""},
		{dial(func(d *piping.Indicator) { d.Toward = align.Direction{X: 1.001} }), piping.ErrDirection, "indicators[3].toward", ""},
		{dial(func(d *piping.Indicator) { d.Toward = align.Direction{X: nan} }), align.ErrNotFinite, "indicators[3].toward", ""},
		{dial(func(d *piping.Indicator) { d.Carrier = 3 }), align.ErrUnknownKind, "indicators[3].carrier", "unknown carrier"},
		{dial(func(d *piping.Indicator) { d.Touches = 3 }), align.ErrUnknownKind, "indicators[3].touches", "unknown part"},
		{dial(func(d *piping.Indicator) { d.Carrier = piping.OwnShaftCarried }), align.ErrMismatch, "indicators[3].touches", "casing"},
		{dial(func(d *piping.Indicator) { d.Sigma = 0.011 }), align.ErrOutOfRange, "indicators[3].sigma", "0.011 m"},
		{dial(func(d *piping.Indicator) { d.Sigma = -0.01 }), align.ErrNegative, "indicators[3].sigma", "-10000.0000 um"},
		{visible(align.Clock(nan), 1e-4), align.ErrNotFinite, "toward", "NaN deg"},
		{visible(0, -1e-3), align.ErrNegative, "least", "-1.0000 mm"},
		{first(oblique.MostWithin(-1e-3)), align.ErrNegative, "limit", "-1.0000 mm"},
		{first(oblique.Judge(0.2)), align.ErrOutOfRange, "limit", "0.2 m"},
		{first(oblique.Redundancy(0.2, 0)), align.ErrOutOfRange, "vertical", "0.2 m"},
		{first(oblique.Redundancy(0, align.Movement(nan))), align.ErrNotFinite, "horizontal", "NaN m"},
		{first(piping.Oblique{At: align.Clock(inf)}.Least()), align.ErrNotFinite, "at", "+Inf deg"},
		{first(piping.Oblique{Reading: 0.2}.Least()), align.ErrOutOfRange, "reading", "0.2 m"},
	} {
		require.ErrorIs(t, c.err, c.fault, "%d %s %v", i, c.field, c.err)
		var in *align.InputError
		require.ErrorAs(t, c.err, &in)
		assert.Equal(t, c.field, in.Field, i)
		assert.Equal(t, c.got, in.Got, "%d %s", i, c.field)
		assert.Equal(t, "piping", in.Package, i)
	}
}

// The bounds themselves are let pass.
func TestBoundsAreLetPass(t *testing.T) {
	far := align.Place{X: 1e4, Y: -1e4, Z: 1e4}
	p := piping.FlangePair{Centre: far, Axis: align.AlongTrain(), Up: align.Direction{X: math.Cos(0.101), Y: math.Sin(0.101)}}
	_, err := p.Frame()
	require.NoError(t, err)
	turn, half := align.Turn{X: 0.1, Y: -0.1, Z: 0.1}, math.Pi
	m := piping.Misfit{Pair: p, Mean: -100, Tilt: piping.Tilt{Up: 1, Right: -1}, Offset: &piping.Across{Up: 100, Right: -100}, Rotation: &half}
	_, err = m.After(align.Motion{About: far, Turn: turn})
	require.NoError(t, err)
	for _, s := range []piping.FlangeSurvey{
		{Gaps: make([]piping.Gap, 360), Diameter: 100},
		{Gaps: gapsOf(0, 100, 0, 100), Diameter: 1e-6, FlangeOD: 1e-6, RaisedFaceOD: 1e-6},
		{Gaps: []piping.Gap{{At: 0}, {At: 15}, {At: 30}}, Diameter: 1, Temperature: &piping.FlangeTemperature{Machine: 1e-3, Pipe: 10000}},
	} {
		if len(s.Gaps) == 360 {
			for i := range s.Gaps {
				s.Gaps[i].At = align.Clock(i)
			}
		}
		_, err := s.Solve()
		require.NoError(t, err)
	}
	_, err = piping.RimSurvey{Steps: []piping.RimStep{{At: 0}, {At: 10.01}}}.Solve()
	require.NoError(t, err)
	f, err := piping.RimSurvey{Steps: []piping.RimStep{{At: 0}, {At: 180.4}}}.Solve()
	require.NoError(t, err, "near enough to one diameter")
	assert.False(t, f.BothKnown)
	_, err = piping.RimSurvey{Steps: []piping.RimStep{{At: 0}, {At: 15}, {At: 30.01}}, FitODs: true}.Solve()
	require.NoError(t, err)
	circle := unit.Length(0.2)
	_, err = piping.HoleSurvey{Holes: []piping.HoleStep{{Along: circle * math.Pi / 2}}, BoltCircle: circle}.Solve(nil)
	require.NoError(t, err)
	g := piping.GoalTolerance{Gap: 100, Offset: 1e-9, Tilt: math.Pi, Rotation: 1e-9}
	_, err = piping.Misfit{Pair: p, Gasket: &circle, Rotation: &half, Offset: &piping.Across{}}.Goal(g)
	require.NoError(t, err)
	test := sixWays()
	test.Steps[0].Group = piping.Support
	_, err = test.Result()
	require.NoError(t, err)
	test.Lever, test.Resolution, test.Indicators[0].Sigma = 1e-3, 1e-7, 1e-2
	test.Shaft, test.Coupling = align.Place{Y: 1e4}, []unit.Length{-1e4}
	test.Steps[0].Readings[0] = piping.Shows(0.1)
	_, err = test.Result()
	require.NoError(t, err)
	test.Lever = 1e4
	_, err = test.Result()
	require.NoError(t, err)
}

// Every direction of the clock lies across the axis, 3 o'clock a quarter turn
// clockwise from 12 for a person who looks along it.
func TestFrameOfAnyFlange(t *testing.T) {
	draw := rand.New(rand.NewPCG(73, 1))
	for range 100 {
		f, err := someFlange(draw).Frame()
		require.NoError(t, err)
		for c := align.Clock(0); c < 360; c += 15 {
			n := f.At(c)
			sin, cos := math.Sincos(float64(c) * math.Pi / 180)
			assert.InDelta(t, 0, n.Dot(f.Axis), 1e-12)
			assert.InDelta(t, cos, n.Dot(f.Up), 1e-12)
			assert.InDelta(t, sin, n.Dot(f.Right), 1e-12)
			assert.InDelta(t, 1, n.Dot(n), 1e-12)
		}
		d := align.Displacement{X: 1, Y: -2, Z: 3}
		a := f.Across(d)
		assert.InDelta(t, float64(d.Along(f.Up)), float64(a.Up), 1e-12)
		assert.InDelta(t, float64(d.Along(f.Right)), float64(a.Right), 1e-12)
	}
}

// What a survey is warned about, at the bounds of each warning.
func TestSurveyWarningsAtTheirBounds(t *testing.T) {
	codes := func(edit func(*piping.FlangeSurvey)) (out []align.WarningCode) {
		s := piping.FlangeSurvey{Gaps: gapsOf(3, 3, 3, 3), Diameter: 0.3}
		edit(&s)
		for _, w := range fitOf(t, s).Warnings {
			out = append(out, w.Code)
		}
		return out
	}
	gaps := func(v ...float64) func(*piping.FlangeSurvey) {
		return func(s *piping.FlangeSurvey) { s.Gaps = gapsOf(v...) }
	}
	warm := func(machine, pipe float64) func(*piping.FlangeSurvey) {
		return func(s *piping.FlangeSurvey) {
			s.Temperature = &piping.FlangeTemperature{Machine: unit.Temperature(machine), Pipe: unit.Temperature(pipe)}
		}
	}
	assert.Empty(t, codes(gaps(3, 3, 3, 3)))
	assert.Equal(t, []align.WarningCode{piping.WarnFewPositions}, codes(gaps(3, 3, 3)))
	// Four gaps a, b, a, b leave (a - b)/2 each.
	assert.Empty(t, codes(gaps(3.19, 3, 3.19, 3)))
	assert.Equal(t, []align.WarningCode{align.WarnResidual}, codes(gaps(3.21, 3, 3.21, 3)))
	assert.Equal(t, []align.WarningCode{align.WarnResidual}, codes(gaps(3, 3.21, 3, 3.21)))
	assert.Empty(t, codes(func(s *piping.FlangeSurvey) { s.Gaps, s.MaxResidual = gapsOf(3.39, 3, 3.39, 3), 0.2e-3 }))
	// The mean gap against half the diameter.
	assert.Empty(t, codes(gaps(149.9, 149.9, 149.9, 149.9)))
	assert.Equal(t, []align.WarningCode{align.WarnSize}, codes(gaps(150.1, 150.1, 150.1, 150.1)))
	assert.Empty(t, codes(warm(320, 300.1)))
	assert.Equal(t, []align.WarningCode{piping.WarnFlangeWarm}, codes(warm(320, 299.9)))
	assert.Empty(t, codes(warm(300.1, 320)))
	assert.Equal(t, []align.WarningCode{piping.WarnFlangeWarm}, codes(warm(299.9, 320)))
	arc := func(last align.Clock) func(*piping.FlangeSurvey) {
		return func(s *piping.FlangeSurvey) { s.Gaps = []piping.Gap{{At: 0}, {At: 60}, {At: 120}, {At: last}} }
	}
	assert.Empty(t, codes(arc(180)))
	assert.Equal(t, []align.WarningCode{align.WarnNarrowArc}, codes(arc(179)))

	step := func(mm float64) []align.Warning {
		f, err := piping.RimSurvey{Steps: stepsOf(mm, -mm, mm, -mm)}.Solve()
		require.NoError(t, err)
		return f.Warnings
	}
	assert.Empty(t, step(0.499))
	for _, mm := range []float64{0.501, -0.501} {
		ws := step(mm)
		require.Len(t, ws, 1)
		assert.Equal(t, align.WarnResidual, ws[0].Code)
		assert.InDelta(t, 0.501e-3, math.Abs(ws[0].Value), 1e-12)
	}
	// Holes on one side: n unit vectors whose mean is longer than a twentieth.
	hole := func(at ...align.Clock) bool {
		s := piping.HoleSurvey{BoltCircle: 0.2}
		for _, c := range at {
			s.Holes = append(s.Holes, piping.HoleStep{At: c})
		}
		f, err := s.Solve(nil)
		require.NoError(t, err)
		return len(f.Warnings) > 0
	}
	assert.False(t, hole(0, 180))
	assert.True(t, hole(0, 168), "cos 84 deg is 0.105")
	assert.True(t, hole(0, 173), "cos 86.5 deg is 0.061")
	assert.False(t, hole(0, 175), "cos 87.5 deg is 0.044")
}

// The residuals of a face by hand: 0.4 mm too much at one of four positions
// leaves a quarter of it everywhere, with alternating sign.
func TestFaceFitByHand(t *testing.T) {
	f := fitOf(t, piping.FlangeSurvey{Gaps: gapsOf(3.4, 3, 3, 3), Diameter: 0.2})
	assert.InDelta(t, 3.1e-3, float64(f.Mean), 1e-15)
	assert.InDelta(t, 0.2e-3/0.1, f.Tilt.Up, 1e-15)
	assert.InDelta(t, 0, f.Tilt.Right, 1e-15)
	assert.InDelta(t, 0.1e-3, math.Abs(float64(f.Worst)), 1e-15)
	assert.InDelta(t, 0.2e-3, float64(f.RMS), 1e-15) // root of four times 0.01, over one degree of freedom
	assert.Equal(t, 1, f.DegreesOfFreedom)
	assert.InDelta(t, 0.4e-3, float64(f.MaxMinusMin), 1e-15)
	assert.InDelta(t, 0.4e-3, float64(f.Opening(0.2)), 1e-15)
	// The mean of four has a quarter of the variance, a tilt 2/4 over the radius.
	assert.InDelta(t, 0.04e-6/4, f.Covariance[0][0], 1e-20)
	assert.InDelta(t, 0.04e-6/2/0.01, f.Covariance[1][1], 1e-18)
	assert.InDelta(t, 0.04e-6/2/0.01, f.Covariance[2][2], 1e-18)
	s, ok := f.OpeningSigma(0.2)
	assert.True(t, ok)
	assert.InDelta(t, 0.2*0.2e-3*math.Sqrt(0.5)/0.1, float64(s), 1e-12)
	warp, ok := piping.FlangeSurvey{Gaps: gapsOf(3.4, 3, 3, 3)}.Warp()
	assert.True(t, ok)
	assert.InDelta(t, 0.1e-3, float64(warp), 1e-15)
}

// The verdicts of a misfit on each quantity, by the rule with all of them.
func TestMisfitVerdictsByHand(t *testing.T) {
	gasket := 3 * milli
	size := piping.FlangeSize{FlangeOD: 0.3, RaisedFaceOD: 0.2, BoltCircle: 0.25, Gasket: &gasket}
	limits, err := piping.FlangeLimitsOf(piping.PCC1FlangeSI, size)
	require.NoError(t, err)
	rotation := -0.004
	m := piping.Misfit{
		Pair: piping.FlangePair{Axis: align.AlongTrain(), Up: align.Upward()}, Mean: 5 * milli, Gasket: &gasket,
		Tilt: piping.Tilt{Up: 0.003, Right: -0.004}, Offset: &piping.Across{Up: 0.6 * milli, Right: -0.8 * milli}, Rotation: &rotation,
	}
	r, err := m.Judge(limits, 0)
	require.NoError(t, err)
	want := map[piping.FlangeQuantity]float64{
		piping.Parallelism:  0.005 * 0.2,        // tilt of 5 mm/m over the raised face
		piping.GapError:     2e-3,               // 5 less 3
		piping.CentreOffset: 1e-3,               // 0.6 and 0.8
		piping.HoleOffset:   1e-3 + 0.125*0.004, // and the arc of the rotation
	}
	require.Len(t, r.Verdicts, len(want))
	for _, v := range r.Verdicts {
		assert.InDelta(t, want[v.Quantity], v.Measured, 1e-15, v.Quantity)
	}
	assert.InDelta(t, 2e-3, float64(r.Largest), 1e-15) // the gap; the opening over the flange is 1.5 mm
	assert.Equal(t, piping.FitByMoving, r.Fit, "an opening of 1 mm is over 0.8 mm, and below a quarter inch")
	r, err = m.Judge(limits, 1.9*milli)
	require.NoError(t, err)
	assert.Equal(t, piping.FitByCutting, r.Fit)
	m.Mean, m.Offset, m.Rotation = 1*milli, nil, nil
	r, err = m.Judge(limits, 0)
	require.NoError(t, err)
	assert.ElementsMatch(t, []piping.FlangeQuantity{piping.CentreOffset, piping.HoleOffset}, r.Unjudged)
	assert.InDelta(t, 2e-3, float64(r.Largest), 1e-15, "too narrow counts as well")
	assert.InDelta(t, 0, r.Verdicts[1].Measured, 1e-15, "a gap too narrow is not limited")
	m.Tilt = piping.Tilt{}
	r, err = m.Judge(limits, 0)
	require.NoError(t, err)
	assert.Equal(t, piping.FitUndecided, r.Fit)

	each, err := piping.FlangeLimitsOf(piping.OwnerMachinery, size)
	require.NoError(t, err)
	m.Offset, m.Rotation = &piping.Across{Up: 2.3 * milli, Right: -2.3 * milli}, &rotation
	r, err = m.Judge(each, 0)
	require.NoError(t, err)
	assert.Equal(t, piping.FitWithin, r.Fit, "each way by itself")
	for _, v := range r.Verdicts {
		assert.InDelta(t, map[piping.FlangeQuantity]float64{piping.CentreUp: 2.3e-3, piping.CentreRight: 2.3e-3, piping.HoleRotation: 0.0005}[v.Quantity], v.Measured, 1e-15)
	}
	assert.InDelta(t, 2.3e-3*math.Sqrt2, float64(r.Largest), 1e-15)
}

// The tolerances that follow from limits: a circle is the square inside it, and
// holes leave half to the centre and half to the rotation.
func TestTolerancesByHand(t *testing.T) {
	gasket := 3 * milli
	size := piping.FlangeSize{FlangeOD: 0.3, RaisedFaceOD: 0.2, BoltCircle: 0.25, Gasket: &gasket, Reference: piping.ByFlangeOD}
	for rule, want := range map[piping.FlangeRule][4]float64{ // gap, offset, tilt, rotation
		piping.PCC1FlangeSI:   {3e-3, 1.5e-3 / math.Sqrt2, 0.8e-3 / 0.2 / math.Sqrt2, 1.5e-3 / 0.125},
		piping.RP686Flange:    {1.5e-3, 0.75e-3 / math.Sqrt2, 0.3e-3 / 0.2 / math.Sqrt2, 0.75e-3 / 0.125},
		piping.OwnerMachinery: {0, 2.4e-3, 0, 2.4e-3 / 0.125},
		piping.HandbookFlange: {0, 25.4e-3 / 8 / math.Sqrt2, 25.4e-3 / 32 / 0.2 / math.Sqrt2, 0},
		piping.B313FlangeSI:   {0, 1.5e-3 / math.Sqrt2, 0.01 / math.Sqrt2, 1.5e-3 / 0.125},
	} {
		l, err := piping.FlangeLimitsOf(rule, size)
		require.NoError(t, err)
		got := l.Tolerances()
		for i, v := range [...]float64{float64(got.Gap), float64(got.Offset), got.Tilt, got.Rotation} {
			assert.InDelta(t, want[i], v, 1e-12, "%s %d", rule, i)
		}
	}
}

// API 617 in millimetres: sizes count in full up to DN 200, joint ones up to
// 230; larger ones as a third of themselves and of twice that.
func TestDiametersOfAPI617(t *testing.T) {
	r, err := piping.API617(piping.SI)
	require.NoError(t, err)
	us, err := piping.API617(piping.USCustomary)
	require.NoError(t, err)
	for nominal, want := range map[float64][2]float64{
		100: {100, 100}, 200: {200, 200}, 201: {601.0 / 3, 201}, 230: {210, 230}, 230.5: {630.5 / 3, 690.5 / 3}, 300: {700.0 / 3, 760.0 / 3},
	} {
		d, err := r.EquivalentDiameter(unit.Length(nominal) * milli)
		require.NoError(t, err)
		assert.InDelta(t, want[0], float64(d/milli), 1e-6, nominal)
		d, err = r.CombinedDiameter(unit.Length(nominal) * milli)
		require.NoError(t, err)
		assert.InDelta(t, want[1], float64(d/milli), 1e-6, nominal)
	}
	for nominal, want := range map[float64][2]float64{8: {8, 8}, 9: {25.0 / 3, 9}, 9.5: {25.5 / 3, 27.5 / 3}, 12: {28.0 / 3, 10}} {
		d, err := us.EquivalentDiameter(unit.Length(nominal) * align.Inch)
		require.NoError(t, err)
		assert.InDelta(t, want[0], float64(d/align.Inch), 1e-9, nominal)
		d, err = us.CombinedDiameter(unit.Length(nominal) * align.Inch)
		require.NoError(t, err)
		assert.InDelta(t, want[1], float64(d/align.Inch), 1e-9, nominal)
	}
}

// Of several coupling stations the one that moved most counts, and every warning
// without a number prints none.
func TestCauseAtTheStationThatMovedMost(t *testing.T) {
	for _, stations := range [][]unit.Length{{0.1, 0.3, 0.9}, {0.9, 0.3, 0.1}, {0.3, 0.9, 0.1}} {
		test := sixWays()
		test.Coupling = stations
		r, err := test.Result()
		require.NoError(t, err)
		most, at := 0.0, 0
		for i, p := range r.Steps[0].Step.Shaft().At {
			if size := math.Hypot(float64(p.Up.Value), float64(p.Right.Value)); size > most {
				most, at = size, i
			}
		}
		assert.Equal(t, at, r.Causes[0].Station)
		assert.InDelta(t, most, float64(r.Causes[0].Size.Value), 1e-15)
		assert.Equal(t, r.Steps[0].Step.Shaft().At[at], r.Causes[0].Movement)
	}
	test := sixWays()
	for i := 4; i < 8; i++ {
		test.Steps[0].Readings[i] = piping.Reading{}
	}
	r, err := test.Result()
	require.NoError(t, err)
	fields := map[string]align.WarningCode{}
	for _, w := range r.Warnings {
		fields[w.Field] = w.Code
		assert.Zero(t, w.Value)
		assert.Zero(t, w.Limit)
		assert.Empty(t, string(w.Unit))
		assert.NotContains(t, w.String(), "mm")
	}
	assert.Equal(t, map[string]align.WarningCode{
		"steps[0].H1": piping.WarnReadingMissing, "steps[0].H2": piping.WarnReadingMissing, "steps[0].A1": piping.WarnReadingMissing,
		"steps[0].D45": piping.WarnReadingMissing, "coupling right": piping.WarnNotDetermined,
	}, fields)
}

// A lone dial at 45 degrees: its reading is the least the shaft moved, and is
// given with the warning.
func TestLoneObliqueIsWarnedAbout(t *testing.T) {
	test := hubTest(flangeStep("suction", piping.Tighten, "suction", dialsShow(0.03)))
	test.Indicators = test.Indicators[:1]
	test.Indicators[0].Toward = piping.StandingAt(45)
	r := resultOf(t, test)
	found := false
	for _, w := range r.Warnings {
		if w.Code == piping.WarnLoneOblique {
			found = true
			assert.Equal(t, "V", w.Field)
			assert.InDelta(t, 0.03e-3, w.Value, 1e-15)
			assert.Zero(t, w.Limit)
			assert.Equal(t, align.UnitMillimetre, w.Unit)
		}
	}
	assert.True(t, found)
	vs, err := r.Judge(piping.MovementLimits()[0])
	require.NoError(t, err)
	for _, v := range vs {
		got, ok := v.Verdict()
		assert.Equal(t, v.Outcome != piping.Undecided, ok)
		assert.Equal(t, ok, got.Limit.Name != "")
	}
}

// A decided verdict becomes one of package align, the other not.
func TestVerdictOfAMovement(t *testing.T) {
	r := resultOf(t, hubTest(flangeStep("suction", piping.Tighten, "suction", dialsShow(0.04, -0.06))))
	vs, err := r.Judge(piping.MovementLimits()[0])
	require.NoError(t, err)
	require.Len(t, vs, 4)
	for i, want := range []float64{0.04e-3, 0.06e-3, 0.04e-3, 0.06e-3} {
		v, ok := vs[i].Verdict()
		require.True(t, ok)
		assert.InDelta(t, want, v.Measured, 1e-15)
		assert.Equal(t, want < 0.05e-3, v.Within)
		assert.Equal(t, vs[i].Limit.Limit, v.Limit)
		// 0.01 mm over root 6 is 0.0041 mm: 0.01 mm from the limit is clear of twice that.
		assert.True(t, vs[i].Clear)
		assert.InDelta(t, 0.01e-3/math.Sqrt(6), float64(vs[i].Sigma), 1e-15)
	}
	r = resultOf(t, hubTest(flangeStep("suction", piping.Tighten, "suction", dialsShow(0.043, -0.057))))
	vs, err = r.Judge(piping.MovementLimits()[0])
	require.NoError(t, err)
	assert.False(t, vs[0].Clear, "0.007 mm from the limit is not")
	assert.False(t, vs[1].Clear)
}

// A turn about the pipe's own axis asks for Poisson's ratio from a microradian on.
func TestTwistAsksForPoisson(t *testing.T) {
	p := straightRun(t, piping.Anchored)
	p.Poisson = nil
	for twist, ok := range map[float64]bool{0: true, 0.9e-6: true, -0.9e-6: true, 1.1e-6: false, -1.1e-6: false} {
		_, err := p.NozzleLoad(align.Upward(), piping.PipeMisfit{Turn: align.Turn{Y: twist}})
		assert.Equal(t, ok, err == nil, twist)
	}
}

// What a dial at 45 degrees can miss: along the dial nothing, at 60 degrees from
// it twice the least, at a right angle everything.
func TestWhatAnObliqueDialSees(t *testing.T) {
	o := piping.Oblique{At: 45, Reading: -3e-5}
	for toward, want := range map[align.Clock]float64{45: 1, 225: 1, 105: 2, 345: 2, 90: math.Sqrt2} {
		size, ok, err := o.Visible(toward, 1e-5)
		require.NoError(t, err)
		assert.True(t, ok)
		assert.InDelta(t, want*1e-5, float64(size), 1e-17, toward)
	}
	for _, toward := range []align.Clock{135, 315} {
		_, ok, err := o.Visible(toward, 1e-5)
		require.NoError(t, err)
		assert.False(t, ok)
	}
	after, before, err := o.Blind()
	require.NoError(t, err)
	assert.Equal(t, [2]align.Clock{135, 315}, [2]align.Clock{after, before})
	most, err := o.MostWithin(5e-5)
	require.NoError(t, err)
	assert.InDelta(t, 5e-5*math.Sqrt2, float64(most), 1e-18)
	for reading, want := range map[float64]piping.Outcome{7.07e-5: piping.Undecided, 7.08e-5: piping.Over, -7.08e-5: piping.Over} {
		got, err := piping.Oblique{At: 45, Reading: align.Movement(reading)}.Judge(5e-5)
		require.NoError(t, err)
		assert.Equal(t, want, got, reading)
	}
	left, err := o.Redundancy(1e-5, -4e-5)
	require.NoError(t, err)
	assert.InDelta(t, -3e-5-(1e-5-4e-5)*math.Sqrt(0.5), float64(left), 1e-18)
}

// A limit that is no number is refused, whichever it is.
func TestLimitsThatAreNoNumbers(t *testing.T) {
	bad := align.Limit{Name: "limit", Value: math.NaN(), Unit: align.UnitMillimetre}
	gasket, rotation := 3*milli, 0.001
	m := piping.Misfit{
		Pair: piping.FlangePair{Axis: align.AlongTrain(), Up: align.Upward()}, Gasket: &gasket, Offset: &piping.Across{}, Rotation: &rotation,
	}
	size := piping.FlangeSize{FlangeOD: 0.3, BoltCircle: 0.25}
	for i, l := range []piping.FlangeLimits{
		{Parallel: &piping.ParallelLimit{Limit: bad, Over: 0.2, Faces: 1}}, {Gap: &piping.GapLimit{Limit: bad}},
		{Centre: &piping.CentreLimit{Limit: bad}}, {Centre: &piping.CentreLimit{Limit: bad, EachWay: true}}, {Hole: &bad}, {Rotation: &bad},
	} {
		l.Size = size
		_, err := m.Judge(l, 0)
		require.ErrorIs(t, err, align.ErrNotFinite, i)
	}
}

// A point h over the axis goes to the right by a shift s and by a turn t about x:
// s + h t = v. The smallest such motion, with a turn counted at the lever L, has s
// = v L^2/(L^2 + h^2). The lever is the distance of the farthest nozzle, or 0.1 m.
func TestLeverOfACompromise(t *testing.T) {
	for h, share := range map[float64]float64{0.5: 0.5, 0.05: 0.8} {
		m := piping.Misfit{
			Pair:   piping.FlangePair{Centre: align.Place{Y: unit.Length(h)}, Axis: align.Upward(), Up: align.AlongTrain()},
			Offset: &piping.Across{Right: 1 * milli},
		}
		g, err := m.Goal(wide)
		require.NoError(t, err)
		for i := range g.Parts {
			g.Parts[i].Asked = i == piping.PartRight
		}
		fit, err := piping.Compromise{Goals: []piping.NozzleGoal{g}, Free: piping.Ways{ShiftZ: true, TurnX: true}}.Solve()
		require.NoError(t, err)
		assert.Equal(t, 1, fit.Rank)
		right := g.Parts[piping.PartRight].Direction.Z // +1 or -1
		assert.InDelta(t, share*1e-3*right, float64(fit.Motion.Shift.Z), 1e-12, h)
		assert.InDelta(t, 0, fit.SumSquares, 1e-20)
		assert.InDelta(t, 0, fit.Nozzles[0].Left[piping.PartRight], 1e-12)
		assert.Equal(t, []string{"shift to the right", "turn about x"}, fit.Undetermined)
	}
}

// Three rim readings leave their mean: 0.3, 0 and 0 mm leave 0.1 mm each, with one
// degree of freedom.
func TestRimOfThreeReadings(t *testing.T) {
	f, err := piping.RimSurvey{Steps: stepsOf(0.3, 0, 0)}.Solve()
	require.NoError(t, err)
	assert.Equal(t, 1, f.DegreesOfFreedom)
	assert.InDelta(t, 0.1e-3*math.Sqrt(3), float64(f.RMS), 1e-15)
	assert.InDelta(t, 0.1e-3, float64(f.Worst), 1e-15)
	assert.InDelta(t, 0.2e-3, float64(f.Offset.Up), 1e-15)
	assert.InDelta(t, 0, float64(f.Offset.Right), 1e-15)
	assert.InDelta(t, 0.03e-6*2/3, f.Covariance[0][0], 1e-20) // 2/3 of the variance
	assert.InDelta(t, 0, f.Covariance[0][1], 1e-20)
}

// The arc of a survey is given with its warning in radians.
func TestNarrowArcOfASurvey(t *testing.T) {
	f := fitOf(t, piping.FlangeSurvey{Gaps: []piping.Gap{{At: 0}, {At: 60}, {At: 90}, {At: 120}}, Diameter: 0.3})
	require.Len(t, f.Warnings, 1)
	assert.InDelta(t, 2*math.Pi/3, f.Warnings[0].Value, 1e-12)
	assert.InDelta(t, math.Pi, f.Warnings[0].Limit, 1e-15)
}

// Four gaps a quarter turn apart show the warp, whatever their order and where
// they begin; no others do.
func TestWarpNeedsFourQuarters(t *testing.T) {
	warp := func(at ...align.Clock) (unit.Length, bool) {
		s := piping.FlangeSurvey{}
		for i, c := range at {
			s.Gaps = append(s.Gaps, piping.Gap{At: c, Gap: unit.Length(i%2) * milli})
		}
		return s.Warp()
	}
	for _, at := range [][]align.Clock{{0, 90, 180, 270}, {20, 110, 200, 290}, {180, 270, 0, 90}, {0, 270, 180, 90}} {
		w, ok := warp(at...)
		assert.True(t, ok, at)
		assert.InDelta(t, -0.5e-3, float64(w), 1e-18, at) // (0 - 1 + 0 - 1)/4 mm
	}
	for _, at := range [][]align.Clock{
		{0, 90, 180}, {0, 90, 180, 270, 45}, {0, 90, 180, 180}, {0, 90, 180, 271}, {0, 0, 90, 90},
		{0, 90, 180, align.Clock(math.NaN())}, {0, 90, 180, 450},
	} {
		w, ok := warp(at...)
		assert.False(t, ok, at)
		assert.Zero(t, w)
	}
	s := piping.FlangeSurvey{Gaps: gapsOf(0, 1, 0, math.Inf(1))}
	_, ok := s.Warp()
	assert.False(t, ok)
}

// A rule scaled for a maker says by how much and for whom.
func TestScaledRuleSaysBy(t *testing.T) {
	r, err := piping.NEMASM23().Scaled(1.23456789, "maker")
	require.NoError(t, err)
	v, err := r.JudgeSingle(piping.Connection{Nominal: 0.1, Load: newtons(100, 0, 0, 0, 0, 0)})
	require.NoError(t, err)
	plain, err := piping.NEMASM23().JudgeSingle(piping.Connection{Nominal: 0.1, Load: newtons(100, 0, 0, 0, 0, 0)})
	require.NoError(t, err)
	assert.Equal(t, "maker: 1.23457 times "+plain.Limit.Source, v.Limit.Source)
	assert.InEpsilon(t, 1.23456789*plain.Limit.Value, v.Limit.Value, 1e-12)
}

// The screen says what governs.
func TestScreenSaysWhatGoverns(t *testing.T) {
	s, err := piping.ScreenMisfit(straightRun(t, piping.Anchored), align.Upward(), piping.PipeMisfit{Shift: align.Displacement{X: 1e-3}}, nozzleOf(t, 6, piping.TopNozzle, piping.SI))
	require.NoError(t, err)
	assert.Contains(t, s.String(), "governing: "+s.Governs.String()+"\n")
	assert.Contains(t, s.String(), piping.ScreenCaution)
	assert.InDelta(t, 1/s.Governs.Share(), s.Portion, 1e-12)
	s, err = piping.ScreenMisfit(straightRun(t, piping.Anchored), align.Upward(), piping.PipeMisfit{}, nozzleOf(t, 6, piping.TopNozzle, piping.SI))
	require.NoError(t, err)
	assert.True(t, s.Boundless)
	assert.Zero(t, s.Portion)
	assert.Contains(t, s.String(), "within every limit of the screen")
}

// A test in which every step was undone is closed as a whole as well: four
// movements may be off by twice the root of four standard uncertainties.
func TestWholeTestThatDoesNotClose(t *testing.T) {
	undo := func(s piping.Step, of string) piping.Step { s.Undoes = of; return s }
	u := 0.01 / math.Sqrt(6) // mm
	for k, within := range map[float64]bool{3.9: true, 4.1: false, -4.1: false} {
		off := k * u
		r := resultOf(t, hubTest(
			flangeStep("a", piping.Tighten, "suction", dialsShow(0.1, 0)), flangeStep("b", piping.Tighten, "discharge", dialsShow(0.2, 0)),
			undo(flangeStep("c", piping.Loosen, "discharge", dialsShow(0.1+off/2, 0)), "b"),
			undo(flangeStep("d", piping.Loosen, "suction", dialsShow(off, 0)), "a"),
		))
		require.Len(t, r.Closures, 3)
		whole := r.Closures[2]
		assert.Equal(t, [2]int{-1, -1}, [2]int{whole.Undone, whole.By})
		assert.InDelta(t, off*1e-3, float64(whole.Worst), 1e-12)
		assert.InDelta(t, 4*u*1e-3, float64(whole.Limit), 1e-12)
		assert.Equal(t, within, whole.Within, k)
		fields := []string{}
		for _, w := range r.Warnings {
			if w.Code == align.WarnClosure {
				fields = append(fields, w.Field)
			}
		}
		if within {
			assert.Empty(t, fields)
		} else {
			assert.Equal(t, []string{"test"}, fields, "the pairs close by themselves")
		}
	}
}

// What a pump is held against by Appendix F carries the clause it comes from.
func TestAppendixFNamesItsClauses(t *testing.T) {
	c := piping.PumpConnection{Nozzle: nozzleOf(t, 8, piping.EndNozzle, piping.SI), Load: newtons(900, 100, 200, 50, 60, 70)}
	out, err := piping.API610Pump{Suction: c, Discharge: c}.Judge()
	require.NoError(t, err)
	require.Len(t, out.Suction, 6)
	require.Len(t, out.Discharge, 6)
	for _, v := range append(append([]align.Verdict(nil), out.Suction...), out.Discharge...) {
		assert.Contains(t, v.Limit.Source, "Appendix F, F.1.2.1")
		assert.Contains(t, v.Limit.Name, ", twice the table")
	}
	assert.Contains(t, out.SuctionShares.Limit.Source, "Appendix F, F.1.2.2")
}

// The worst part in words, to two decimals.
func TestNozzleLeftInWords(t *testing.T) {
	l := piping.NozzleLeft{Name: "suction"}
	l.Share[piping.PartGap], l.Share[piping.PartUp] = 0.25, 1.236
	assert.Equal(t, "suction: up is left at 1.24 of its tolerance", l.String())
	l.Share[piping.PartGap] = 2
	assert.Equal(t, "suction: gap is left at 2.00 of its tolerance", l.String())
}

// Three gaps fit any plane and say nothing of how uncertain they are.
func TestThreeGapsLeaveNoUncertainty(t *testing.T) {
	s := piping.FlangeSurvey{Gaps: gapsOf(3, 3.1, 3.2, 3.1)[:3], Diameter: 0.3, FlangeOD: 0.3}
	f, err := s.Solve()
	require.NoError(t, err)
	assert.Zero(t, f.DegreesOfFreedom)
	assert.Zero(t, f.SigmaFrom)
	assert.Zero(t, f.Sigma)
	assert.Zero(t, f.Covariance)
}

// A dial at no position has no redundancy.
func TestRedundancyNeedsAPosition(t *testing.T) {
	for _, o := range []piping.Oblique{{At: align.Clock(math.NaN())}, {Reading: align.Movement(math.Inf(1))}} {
		_, err := o.Redundancy(0, 0)
		require.ErrorIs(t, err, align.ErrNotFinite)
	}
}

// A step undoes only what was done to the same flanges: loosening the suction is
// not the opposite of tightening the discharge, and the order of names is free.
func TestStepUndoesTheSameNames(t *testing.T) {
	for _, c := range []struct {
		of, undone []string
		want       error
	}{
		{[]string{"suction"}, []string{"suction"}, nil},
		{[]string{"suction"}, []string{"discharge"}, piping.ErrNotOpposite},
		{[]string{"suction", "discharge"}, []string{"discharge", "suction"}, nil},
		{[]string{"suction", "discharge"}, []string{"suction", "drain"}, piping.ErrNotOpposite},
		{[]string{"suction", "discharge"}, []string{"suction"}, piping.ErrNotOpposite},
	} {
		do, undo := flangeStep("a", piping.Tighten, "", dialsShow(0.1, 0)), flangeStep("b", piping.Loosen, "", dialsShow(-0.1, 0))
		do.Of, undo.Of, undo.Undoes = c.of, c.undone, "a"
		test := hubTest(do, undo)
		_, err := test.Result()
		require.ErrorIs(t, err, c.want, c.undone)
	}
}

// Rims read at two opposite positions give one direction and no covariance of
// two, whether or not the readings have an uncertainty.
func TestRimsReadOnOneDiameter(t *testing.T) {
	for _, sigma := range []unit.Length{0, 1e-5} {
		f, err := piping.RimSurvey{Steps: []piping.RimStep{{At: 0, Step: 1e-3}, {At: 180, Step: -1e-3}, {At: 0, Step: 1.2e-3}}, Sigma: sigma}.Solve()
		require.NoError(t, err)
		assert.InDelta(t, 3.2e-3/3, float64(f.Offset.Up), 1e-15)
		assert.Zero(t, f.Covariance)
	}
}

// Rules for two faces against each other count one, those for each face against
// the design two.
func TestFacesThatARuleHolds(t *testing.T) {
	size := piping.FlangeSize{FlangeOD: 0.28, Reference: piping.ByFlangeOD}
	for rule, want := range map[piping.FlangeRule]int{
		piping.OwnerPipeToPipe: 1, piping.HandbookFlange: 1, piping.RP686Flange: 1, piping.B313FlangeSI: 2, piping.B313FlangeUS: 2,
	} {
		assert.Equal(t, want, limitsOf(t, rule, size).Parallel.Faces, rule)
	}
}

// A casing that is bent at the first reading and straight again at the second is
// told at both steps; bent at the second alone, there and in the end.
func TestDistortionIsToldWhereItIs(t *testing.T) {
	for bent, want := range []map[string]bool{{"steps[0]": true, "steps[1]": true}, {"steps[1]": true, "final": true}} {
		test := sixWays()
		second := test.Steps[0]
		second.Name = "second"
		second.Readings = append([]piping.Reading(nil), second.Readings...)
		test.Steps = append(test.Steps, second)
		test.Steps[bent].Readings[3].Value += align.Movement(0.3 * strainMM)
		at := map[string]bool{}
		for _, w := range resultOf(t, test).Warnings {
			if w.Code == piping.WarnDistortion {
				at[strings.SplitN(w.Field, ".", 2)[0]] = true
			}
		}
		assert.Equal(t, want, at)
	}
}

// RP 686 says on which diameter it counts.
func TestRP686NamesItsDiameter(t *testing.T) {
	size := piping.FlangeSize{FlangeOD: 0.28, Reference: piping.ByFlangeOD}
	assert.Contains(t, limitsOf(t, piping.RP686Flange, size).Parallel.Limit.Place, "flat face")
	size.RaisedFaceOD = 0.2
	assert.Contains(t, limitsOf(t, piping.RP686Flange, size).Parallel.Limit.Place, "raised face")
	assert.InDelta(t, 0.2, float64(limitsOf(t, piping.RP686Flange, size).Parallel.Over), 0)
}

// A misfit that is no number has no goal.
func TestGoalOfAMisfitThatIsNoNumber(t *testing.T) {
	_, err := piping.Misfit{Mean: unit.Length(math.NaN())}.Goal(piping.GoalTolerance{})
	require.ErrorIs(t, err, align.ErrNotFinite)
}

// Five holes that are off by d to and fro: four degrees of freedom share 4 d^2.
func TestHolesThatScatter(t *testing.T) {
	const d = 1e-4
	s := piping.HoleSurvey{BoltCircle: 0.2}
	for i, k := range []float64{1, -1, 1, -1, 0} {
		s.Holes = append(s.Holes, piping.HoleStep{At: align.Clock(72 * i), Along: unit.Length(k * d)})
	}
	f, err := s.Solve(&piping.Across{})
	require.NoError(t, err)
	assert.Equal(t, 4, f.DegreesOfFreedom)
	assert.InDelta(t, 0, float64(f.Arc), 1e-15)
	assert.InDelta(t, d, float64(f.RMS), 1e-15)
}

// Parallel faces have no direction: the opening is as uncertain as the tilt that
// is known worse, whichever of the two that is.
func TestOpeningSigmaOfParallelFaces(t *testing.T) {
	for _, turned := range []align.Clock{0, 90} {
		s := piping.FlangeSurvey{Diameter: 0.3, FlangeOD: 0.3, Sigma: 1e-5}
		for _, at := range []align.Clock{-30, 30, 150, 210} {
			s.Gaps = append(s.Gaps, piping.Gap{At: at + turned, Gap: 3e-3})
		}
		f, err := s.Solve()
		require.NoError(t, err)
		f.Tilt = piping.Tilt{}
		u, known := f.OpeningSigma(0.3)
		require.True(t, known)
		// Four gaps at sin 30 deg on a radius r: sigma^2/(4 r^2 sin^2) for the tilt
		// across, so that the opening on 2 r has the uncertainty 2 sigma.
		assert.InDelta(t, 2e-5, float64(u), 1e-12)
	}
}
