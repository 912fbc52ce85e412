package piping_test

import (
	"fmt"
	"math"
	"testing"

	"collinear.example/align"
	"collinear.example/piping"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// Each refusal names its field, shows the value with its unit and has its code.
func TestLoadsRefuse(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	good := straightRun(t, piping.Anchored)
	steel := unit.Pressure(2e11)
	pipe := func(edit func(p *piping.StraightPipe)) piping.StraightPipe {
		p := good
		edit(&p)
		return p
	}
	offset := func(p piping.StraightPipe, d float64) error { _, err := p.CloseOffset(unit.Length(d)); return err }
	tilt := func(a float64) error { _, err := good.CloseTilt(a); return err }
	gap := func(u float64) error { _, err := good.CloseGap(unit.Length(u)); return err }
	load := func(p piping.StraightPipe, a align.Direction, m piping.PipeMisfit) error {
		_, err := p.NozzleLoad(a, m)
		return err
	}
	section := func(d, w float64) error {
		_, err := piping.PipeSection{Outside: unit.Length(d), Wall: unit.Length(w)}.Properties()
		return err
	}
	bar := func(p piping.RestrainedPipe) error { _, err := p.Load(); return err }
	modulus := func(m piping.ElasticModulus, t float64) error { _, err := m.At(unit.Temperature(t)); return err }
	flex := func(f piping.FlexibilityTest) error { _, err := f.Judge(); return err }
	free := func(d, e, y, s float64) error {
		_, err := piping.FreeLengthFor(unit.Length(d), unit.Pressure(e), unit.Length(y), unit.Pressure(s))
		return err
	}
	share := func(d float64, legs ...unit.Length) error {
		_, err := piping.ShareOffset(unit.Length(d), legs)
		return err
	}
	table := func(nps float64, port piping.Port, u piping.UnitSystem) error {
		_, err := piping.API610(nps, port, u)
		return err
	}
	six := nozzleOf(t, 6, piping.TopNozzle, piping.SI)
	judge := func(n piping.API610Nozzle, l piping.Load) error { _, err := n.JudgeNozzle(l); return err }
	pump := func(p piping.API610Pump) error { _, err := p.Judge(); return err }
	nema := piping.NEMASM23()
	single := func(r piping.ConnectionRule, c piping.Connection) error { _, err := r.JudgeSingle(c); return err }
	combined := func(c ...piping.Connection) error { _, err := nema.JudgeCombined(c); return err }
	scaled := func(k float64, source string) error { _, err := nema.Scaled(k, source); return err }
	edited := six
	edited.MX *= 2
	half, below := 0.5, -0.1
	for i, c := range []struct {
		err   error
		fault align.Fault
		field string
		got   string
	}{
		{section(0, 0.01), align.ErrMissing, "outside", "0 m"},
		{section(inf, 0.01), align.ErrNotFinite, "outside", "+Inf m"},
		{section(0.1, -0.01), align.ErrNegative, "wall", "-0.01 m"},
		{section(0.1, 1e-12), align.ErrOutOfRange, "wall", "1e-12 m"},
		{section(0.1, 0.05), piping.ErrWallTooThick, "wall", "50.000 mm"},
		{modulus(piping.ElasticModulus{}, 300), align.ErrMissing, "constant", "0 Pa"},
		{modulus(piping.ElasticModulus{Constant: -1}, 300), align.ErrNegative, "constant", "-1 Pa"},
		{modulus(piping.ElasticModulus{Constant: 200}, 300), align.ErrOutOfRange, "constant", "200 Pa"},
		{modulus(piping.ElasticModulus{Constant: steel}, 0), align.ErrMissing, "temperature", "0 K"},
		{modulus(piping.ElasticModulus{Constant: steel}, nan), align.ErrNotFinite, "temperature", "NaN K"},
		{modulus(piping.ElasticModulus{Constant: steel, Points: []piping.ModulusPoint{{At: 300, Value: steel}}}, 300), align.ErrMismatch, "constant", "2e+11 Pa"},
		{modulus(piping.ElasticModulus{Points: []piping.ModulusPoint{{At: 300, Value: steel}, {At: 300, Value: steel}}}, 300), align.ErrOutOfRange, "points[1].at", "300 K"},
		{modulus(piping.ElasticModulus{Points: []piping.ModulusPoint{{At: -3, Value: steel}}}, 300), align.ErrNegative, "points[0].at", "-3 K"},
		{modulus(piping.ElasticModulus{Points: []piping.ModulusPoint{{At: 300, Value: unit.Pressure(nan)}}}, 300), align.ErrNotFinite, "points[0].value", "NaN Pa"},
		{offset(pipe(func(p *piping.StraightPipe) { p.Section.Wall = 0 }), 1), align.ErrMissing, "section.wall", "0 m"},
		{offset(pipe(func(p *piping.StraightPipe) { p.Modulus = 0 }), 1), align.ErrMissing, "modulus", "0 Pa"},
		{offset(pipe(func(p *piping.StraightPipe) { p.Length = -1 }), 1), align.ErrNegative, "length", "-1 m"},
		{offset(pipe(func(p *piping.StraightPipe) { p.Far = 0 }), 1), align.ErrMissing, "far", ""},
		{offset(pipe(func(p *piping.StraightPipe) { p.Far = 7 }), 1), align.ErrUnknownKind, "far", "far end(7)"},
		{offset(good, nan), align.ErrNotFinite, "offset", "NaN m"},
		{tilt(0.2), align.ErrOutOfRange, "tilt", "0.2 rad"},
		{gap(inf), align.ErrNotFinite, "gap", "+Inf m"},
		{load(good, align.Direction{}, piping.PipeMisfit{}), align.ErrMissing, "away", ""},
		{load(good, align.Direction{X: 1, Y: 1}, piping.PipeMisfit{}), align.ErrOutOfRange, "away", "1.41421 long"},
		{load(good, align.Direction{X: nan}, piping.PipeMisfit{}), align.ErrNotFinite, "away", "NaN"},
		{load(good, align.Upward(), piping.PipeMisfit{Shift: align.Displacement{Z: unit.Length(nan)}}), align.ErrNotFinite, "shift.z", "NaN m"},
		{load(good, align.Upward(), piping.PipeMisfit{Turn: align.Turn{Y: -0.2}}), align.ErrOutOfRange, "turn.y", "-0.2 rad"},
		{load(pipe(func(p *piping.StraightPipe) { p.Poisson = nil }), align.Upward(), piping.PipeMisfit{Turn: align.Turn{Y: 1e-3}}), align.ErrMissing, "poisson", ""},
		{load(pipe(func(p *piping.StraightPipe) { p.Poisson = &half }), align.Upward(), piping.PipeMisfit{}), align.ErrOutOfRange, "poisson", "0.5"},
		{load(pipe(func(p *piping.StraightPipe) { p.Poisson = &below }), align.Upward(), piping.PipeMisfit{}), align.ErrNegative, "poisson", "-0.1"},
		{bar(piping.RestrainedPipe{}), align.ErrMissing, "area", "0 m2"},
		{bar(piping.RestrainedPipe{Area: 1}), align.ErrMissing, "modulus", "0 Pa"},
		{bar(piping.RestrainedPipe{Area: 1, Modulus: steel}), align.ErrMissing, "length", "0 m"},
		{bar(piping.RestrainedPipe{Area: 1, Modulus: steel, Length: 1, Strain: 12}), align.ErrOutOfRange, "strain", "12"},
		{bar(piping.RestrainedPipe{Area: 1, Modulus: steel, Length: 1, Gap: -1e-3}), align.ErrNegative, "gap", "-1.000 mm"},
		{bar(piping.RestrainedPipe{Area: 1, Modulus: steel, Length: 1, Gap: unit.Length(nan)}), align.ErrNotFinite, "gap", "NaN m"},
		{free(0, 2e11, 1, 1e7), align.ErrMissing, "outside", "0 m"},
		{free(0.1, 2, 1, 1e7), align.ErrOutOfRange, "modulus", "2 Pa"},
		{free(0.1, 2e11, -1, 1e7), align.ErrNegative, "movement", "-1 m"},
		{free(0.1, 2e11, 1, inf), align.ErrNotFinite, "stress", "+Inf Pa"},
		{share(1), align.ErrMissing, "legs", ""},
		{share(nan, 1), align.ErrNotFinite, "offset", "NaN m"},
		{share(1, 1, -2), align.ErrNegative, "legs[1]", "-2 m"},
		{flex(piping.FlexibilityTest{Outside: 0.1, Movement: 0.01, Developed: 3}), align.ErrMissing, "straight", "0 m"},
		{flex(piping.FlexibilityTest{Outside: 0.1, Movement: 0.01, Developed: 3, Straight: 2}), align.ErrMissing, "units", ""},
		{flex(piping.FlexibilityTest{Outside: 0.1, Movement: 0.01, Developed: 3, Straight: 2, Units: 5}), align.ErrUnknownKind, "units", "unit system(5)"},
		{flex(piping.FlexibilityTest{Outside: 0.1, Movement: 0.01, Developed: 3, Straight: 4, Units: piping.SI}), align.ErrOutOfRange, "developed", "3 m"},
		{table(5, piping.TopNozzle, piping.SI), piping.ErrNotInTable, "nps", "5"},
		{table(nan, piping.TopNozzle, piping.SI), piping.ErrNotInTable, "nps", "NaN"},
		{table(6, 0, piping.SI), align.ErrMissing, "port", ""},
		{table(6, 9, piping.SI), align.ErrUnknownKind, "port", "port(9)"},
		{table(6, piping.TopNozzle, 0), align.ErrMissing, "units", ""},
		{judge(edited, piping.Load{}), align.ErrMismatch, "nozzle", "top nozzle NPS 6"},
		{judge(piping.API610Nozzle{}, piping.Load{}), align.ErrMissing, "units", ""},
		{judge(six, newtons(nan, 0, 0, 0, 0, 0)), align.ErrNotFinite, "load.force.x", "NaN N"},
		{judge(six, newtons(0, 0, 0, 0, 1e20, 0)), align.ErrOutOfRange, "load.moment.y", "1e+20 N.m"},
		{pump(piping.API610Pump{Suction: piping.PumpConnection{Nozzle: six}}), align.ErrMissing, "discharge.units", ""},
		{pump(piping.API610Pump{Suction: piping.PumpConnection{Nozzle: six, Load: newtons(0, inf, 0, 0, 0, 0)}}), align.ErrNotFinite, "suction.load.force.y", "+Inf N"},
		{pump(piping.API610Pump{
			Suction:   piping.PumpConnection{Nozzle: six, Centre: align.Displacement{Y: unit.Length(nan)}},
			Discharge: piping.PumpConnection{Nozzle: six},
		}), align.ErrNotFinite, "suction.centre.y", "NaN m"},
		{pump(piping.API610Pump{
			Suction:   piping.PumpConnection{Nozzle: six},
			Discharge: piping.PumpConnection{Nozzle: nozzleOf(t, 6, piping.TopNozzle, piping.USCustomary)},
		}), align.ErrMismatch, "discharge.units", "US customary"},
		{single(piping.ConnectionRule{}, piping.Connection{Nominal: 1}), align.ErrMissing, "rule", ""},
		{single(nema, piping.Connection{}), align.ErrMissing, "nominal", "0 m"},
		{single(nema, piping.Connection{Nominal: 20}), align.ErrOutOfRange, "nominal", "20 m"},
		{single(nema, piping.Connection{Nominal: 0.1, Load: newtons(0, 0, 0, 0, 0, nan)}), align.ErrNotFinite, "load.moment.z", "NaN N.m"},
		{combined(), align.ErrMissing, "connections", ""},
		{combined(piping.Connection{Nominal: 0.1}, piping.Connection{Nominal: -1}), align.ErrNegative, "connections[1].nominal", "-1 m"},
		{combined(piping.Connection{Nominal: 0.1, Load: newtons(nan, 0, 0, 0, 0, 0)}), align.ErrNotFinite, "connections[0].load.force.x", "NaN N"},
		{combined(piping.Connection{Nominal: 0.1, Centre: align.Displacement{X: 1e9}}), align.ErrOutOfRange, "connections[0].centre.x", "1e+09 m"},
		{scaled(0, "maker"), align.ErrMissing, "factor", "0"},
		{scaled(-2, "maker"), align.ErrNegative, "factor", "-2"},
		{scaled(2, ""), align.ErrMissing, "source", ""},
	} {
		t.Run(fmt.Sprint(i, " ", c.field), func(t *testing.T) {
			require.ErrorIs(t, c.err, c.fault)
			var in *align.InputError
			require.ErrorAs(t, c.err, &in)
			require.Equal(t, c.field, in.Field)
			require.Equal(t, c.got, in.Got)
			require.Regexp(t, `^piping: [^\n]+$`, c.err.Error())
			require.NotContains(t, c.err.Error(), ": "+c.fault.Code(), "the fault says what it means")
		})
	}
	_, err := piping.Schedule40(7)
	require.ErrorIs(t, err, piping.ErrNotInTable)
	require.Equal(t, "piping: nps = 7: is not in the table, and nothing is interpolated", err.Error())
	_, err = piping.ModulusOf("carbon steel", "")
	require.ErrorIs(t, err, piping.ErrNotInTable)
	_, err = piping.API617(0)
	require.ErrorIs(t, err, align.ErrMissing)
	_, err = nema.Nozzle("exhaust", 0)
	require.ErrorIs(t, err, align.ErrMissing)
}
