package runout_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"collinear.example/runout"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// The tests of this file were added because small mistakes made on purpose in the
// code (see internal/mutate) were not noticed by the others. Their expectations
// are worked out by hand beside them.

// first keeps the error of a function of two results.
func first[T any](_ T, err error) error { return err }

// Each refusal names its field and shows the value with its unit.
func TestRefusalsShowTheValue(t *testing.T) {
	const mm = align.Millimetre
	nan, inf := math.NaN(), math.Inf(1)
	length := func(v float64) unit.Length { return unit.Length(v) }
	four := align.FourPoint(0, 0, 0, 0)
	heat := func(edit func(*runout.HubHeating)) error {
		h := runout.HubHeating{Bore: 0.1, Interference: 1e-4, Clearance: 1e-4, Expansion: 1.2e-5, Shaft: 293, Highest: 500}
		edit(&h)
		return first(h.Solve())
	}
	press := func(edit func(*runout.PressFit)) error {
		f := runout.PressFit{Shaft: 0.1, Outside: 0.2, Modulus: 2e11}
		edit(&f)
		byInterference := first(f.Pressure(1e-4))
		assert.Equal(t, byInterference, first(f.Interference(1e7)))
		assert.Equal(t, byInterference, first(f.BoreStress(1e7)))
		return byInterference
	}
	grip := func(edit func(*runout.Grip)) error {
		g := runout.Grip{Diameter: 0.1, Length: 0.15, Friction: 0.12}
		edit(&g)
		err := first(g.Torque(1e7))
		assert.Equal(t, err, first(g.Pressure(1000)))
		return err
	}
	good := runout.PressFit{Shaft: 0.1, Outside: 0.2, Modulus: 2e11}
	fit := runout.Grip{Diameter: 0.1, Length: 0.15, Friction: 0.12}
	key := func(bore, width, depth float64) error {
		return first(runout.Keyway{Bore: length(bore), Width: length(width), Depth: length(depth)}.Across())
	}
	judge := func(d, r float64, p runout.Place, s runout.Standard) error {
		return first(runout.ShaftReading{Diameter: length(d), Runout: align.TIR(r), Place: p}.Judge(s))
	}
	chord := func(p ...runout.ShaftPoint) error { return first(runout.FromChord(p)) }
	lean := func(north, east float64) runout.Lean { return runout.Lean{North: length(north), East: length(east)} }
	orbit := func(p ...runout.OrbitPoint) error { return first(runout.FitOrbit(p)) }
	circle := func(p ...runout.CirclePoint) error { return first(runout.GeometricCircle(p)) }
	opposite := func(s align.Sweep) error { return first(runout.OppositeMarks(s)) }
	running := runout.Running{Mass: 10, Speed: 25}
	permissible := func(r runout.Running, g runout.Grade) error { _, _, err := r.Permissible(g); return err }
	hydro := func(edit func(*runout.HydroRunout)) error {
		h := runout.HydroRunout{Part: runout.TurbineJournal, Speed: 200 * align.RPM, Runout: 1e-4, Distance: 2}
		edit(&h)
		return first(h.Judge())
	}
	rotor := func(l, d float64) error {
		return first(runout.PumpRotor{Span: length(l), Diameter: length(d)}.Flexible())
	}
	survey := func(edit func(*runout.PlumbSurvey)) error {
		s := hangingShaft{}.survey2()
		edit(&s)
		return first(s.Solve())
	}
	for i, c := range []struct {
		err   error
		fault align.Fault
		field string
		got   string
	}{
		{heat(func(h *runout.HubHeating) { h.Bore = 0 }), align.ErrZeroDiameter, "bore", "0.000 mm"},
		{heat(func(h *runout.HubHeating) { h.Bore = length(nan) }), align.ErrNotFinite, "bore", "NaN mm"},
		{heat(func(h *runout.HubHeating) { h.Interference = -1e-4 }), align.ErrNegative, "interference", "-0.100 mm"},
		{heat(func(h *runout.HubHeating) { h.Clearance = -2e-4 }), align.ErrNegative, "clearance", "-0.200 mm"},
		{heat(func(h *runout.HubHeating) { h.Expansion = 0 }), align.ErrOutOfRange, "expansion", "0.000 1/K"},
		{heat(func(h *runout.HubHeating) { h.Shaft = -1 }), align.ErrNegative, "shaft", "-1.000 K"},
		{heat(func(h *runout.HubHeating) { h.Highest = -1 }), align.ErrNegative, "highest", "-1.000 K"},
		{heat(func(h *runout.HubHeating) { h.Highest = unit.Temperature(nan) }), align.ErrNotFinite, "highest", "NaN K"},
		{heat(func(h *runout.HubHeating) { h.Shaft = 0 }), align.ErrMissing, "shaft", ""},
		{heat(func(h *runout.HubHeating) { h.Bore, h.Expansion = 1e-300, 1e-300 }), align.ErrOutOfRange, "rise", ""},
		{press(func(f *runout.PressFit) { f.Shaft = -0.1 }), align.ErrZeroDiameter, "shaft", "-100.000 mm"},
		{press(func(f *runout.PressFit) { f.Outside = -0.2 }), align.ErrZeroDiameter, "outside", "-200.000 mm"},
		{press(func(f *runout.PressFit) { f.Outside = length(inf) }), align.ErrNotFinite, "outside", "+Inf mm"},
		{press(func(f *runout.PressFit) { f.Outside = 0.1 }), align.ErrMismatch, "outside", "100.000 mm, not larger than the shaft"},
		{press(func(f *runout.PressFit) { f.Modulus = 0 }), align.ErrOutOfRange, "modulus", "0.000 MPa"},
		{first(good.Pressure(-1e-4)), align.ErrNegative, "interference", "-0.100 mm"},
		{first(good.Interference(-1e6)), align.ErrNegative, "pressure", "-1.000 MPa"},
		{first(good.BoreStress(-1e6)), align.ErrNegative, "pressure", "-1.000 MPa"},
		{grip(func(g *runout.Grip) { g.Diameter = 0 }), align.ErrZeroDiameter, "diameter", "0.000 mm"},
		{grip(func(g *runout.Grip) { g.Length = 0 }), align.ErrOutOfRange, "length", "0.000 mm"},
		{grip(func(g *runout.Grip) { g.Friction = -0.5 }), align.ErrNegative, "friction", "-0.500"},
		{grip(func(g *runout.Grip) { g.Friction = 0 }), align.ErrOutOfRange, "friction", "0.000"},
		{grip(func(g *runout.Grip) { g.Diameter = 1e200 }), align.ErrOutOfRange, "diameter", " mm"},
		{first(fit.Torque(-1e6)), align.ErrNegative, "pressure", "-1.000 MPa"},
		{first(fit.Pressure(unit.Torque(nan))), align.ErrNotFinite, "torque", "NaN N.m"},
		{first(runout.TaperSeat{Taper: 0, Interference: 1e-4}.Advance()), align.ErrOutOfRange, "taper", "0.000 in/ft"},
		{first(runout.TaperSeat{Taper: 1.0 / 12, Interference: -1e-4}.Advance()), align.ErrNegative, "interference", "-0.100 mm"},
		{first(runout.TaperSeat{Taper: 1e-310, Interference: 1}.Advance()), align.ErrOutOfRange, "taper", "0.000000 in/ft"},
		{first(runout.MeasuredFit{Shaft: 1e10, Bore: 1e-300}.PerDiameter()), align.ErrOutOfRange, "bore", "0.000000 mm"},
		{first(runout.MeasuredFit{Shaft: 0, Bore: 0.1}.PerDiameter()), align.ErrZeroDiameter, "shaft", "0.000 mm"},
		{first(runout.MeasuredFit{Shaft: 0.1, Bore: -0.1}.PerDiameter()), align.ErrZeroDiameter, "bore", "-100.000 mm"},
		{first(runout.Pair(runout.Deviations{Lower: 2e-6, Upper: 1e-6}, runout.Deviations{})), align.ErrMismatch, "hole", "lower 2.0 um, upper 1.0 um"},
		{first(runout.Pair(runout.Deviations{}, runout.Deviations{Upper: length(nan)})), align.ErrNotFinite, "shaft", "NaN um"},
		{first(runout.ZoneOf(runout.K6, 0.3)), align.ErrOutOfRange, "diameter", "300.0000 mm, the table runs over 18 up to 250 mm"},
		{first(runout.ZoneOf("k7", 0.03)), align.ErrUnknownKind, "zone", `"k7"`},
		{first(runout.HubFit(runout.H7, 0.03)), align.ErrUnknownKind, "zone", "H7 for a shaft"},
		{key(0.05, 0.06, 0.01), align.ErrMismatch, "width", "60.000 mm, bore 50.000 mm"},
		{key(0.05, 0.05, 0.01), align.ErrMismatch, "width", "50.000 mm, bore 50.000 mm"},
		{key(0.05, 0, 0.01), align.ErrOutOfRange, "width", "0.000 mm"},
		{key(0.05, 0.01, -0.01), align.ErrNegative, "depth", "-10.000 mm"},
		{first(runout.AGMABore(0.07 * align.Inch)), align.ErrOutOfRange, "bore", "0.0700 in, the table has 0.375 to 1.5 in by sixteenths"},
		{judge(0.05, 1e-5, "", runout.IEC60072), align.ErrMissing, "place", ""},
		{judge(0.05, 1e-5, "roof", runout.IEC60072), align.ErrUnknownKind, "place", `"roof"`},
		{judge(0.05, -1e-5, runout.EndOfExtension, runout.NEMAMG1), align.ErrNegative, "runout", "-0.010 mm"},
		{judge(0.05, 1e-5, runout.EndOfExtension, "house"), align.ErrUnknownKind, "standard", `"house"`},
		{judge(0, 1e-5, runout.EndOfExtension, runout.NEMAMG1), align.ErrZeroDiameter, "diameter", "0.000 mm"},
		{judge(0.7, 1e-5, runout.MiddleOfExtension, runout.IEC60072), align.ErrOutOfRange, "diameter", "700.0000 mm, the table runs over 6 up to 630 mm"},
		{chord(runout.ShaftPoint{Elevation: 2}, runout.ShaftPoint{Elevation: 1}), align.ErrUndetermined, "points", "2 points"},
		{chord(runout.ShaftPoint{Elevation: 2}, runout.ShaftPoint{Elevation: 2.5}, runout.ShaftPoint{}), align.ErrOutOfRange, "points[1].elevation", "2500.000 mm"},
		{chord(runout.ShaftPoint{Elevation: 2}, runout.ShaftPoint{Elevation: 2}, runout.ShaftPoint{}), align.ErrCoincident, "points[1].elevation", "2000.000 mm"},
		{chord(runout.ShaftPoint{Elevation: 1e308}, runout.ShaftPoint{}, runout.ShaftPoint{Elevation: -1e308}), align.ErrOutOfRange, "points", ""},
		{chord(runout.ShaftPoint{Elevation: 2}, runout.ShaftPoint{Elevation: 1, At: lean(nan, 0)}, runout.ShaftPoint{}), align.ErrNotFinite, "points[1].north", "NaN m"},
		{chord(runout.ShaftPoint{Elevation: 2}, runout.ShaftPoint{Elevation: 1}, runout.ShaftPoint{At: lean(0, inf)}), align.ErrNotFinite, "points[2].east", "+Inf m"},
		{chord(runout.ShaftPoint{Elevation: 2, At: lean(-1e308, 0)}, runout.ShaftPoint{Elevation: 1, At: lean(1e308, 0)}, runout.ShaftPoint{}), align.ErrOutOfRange, "points[1]", ""},
		{first(runout.FacePair{A: align.FourPoint(1.7e308, 0, 0, 0), B: align.FourPoint(1.7e308, 0, 0, 0), Diameter: 0.2}.Solve()), align.ErrOutOfRange, "b", ""},
		{first(runout.PressFit{Shaft: 0.1, Outside: 0.2, Modulus: 1e-10}.Interference(1e300)), align.ErrOutOfRange, "interference", ""},
		{first(runout.PressFit{Shaft: 0.1, Outside: 0.2, Modulus: 1e300}.Pressure(1e10)), align.ErrOutOfRange, "pressure", ""},
		{first(runout.PressFit{Shaft: 0.1, Outside: 0.1000000001, Modulus: 1}.BoreStress(1e300)), align.ErrOutOfRange, "bore stress", ""},
		{first(runout.Grip{Diameter: 1e50, Length: 1e50, Friction: 1}.Torque(1.7e308)), align.ErrOutOfRange, "torque", ""},
		{first(runout.Grip{Diameter: 1e-100, Length: 1e-100, Friction: 1e-8}.Pressure(1e10)), align.ErrOutOfRange, "pressure", ""},
		{first(runout.EccentricMass{Mass: 1e200, Eccentricity: 1e200}.Unbalance()), align.ErrOutOfRange, "unbalance", ""},
		{orbit(runout.OrbitPoint{Turned: nan}), align.ErrNotFinite, "points[0].turned", "NaN deg"},
		{heat(func(h *runout.HubHeating) { h.Bore, h.Interference, h.Expansion, h.Shaft = 1, 1e300, 1e-8, 1.7e308 }), align.ErrOutOfRange, "rise", ""},
		{orbit(runout.OrbitPoint{}, runout.OrbitPoint{At: lean(nan, 0)}), align.ErrNotFinite, "points[1].north", "NaN m"},
		{orbit(runout.OrbitPoint{}, runout.OrbitPoint{At: lean(0, nan)}), align.ErrNotFinite, "points[1].east", "NaN m"},
		{orbit(runout.OrbitPoint{Turned: 0}, runout.OrbitPoint{Turned: 90}, runout.OrbitPoint{Turned: 450}), align.ErrTooFewPositions, "points", ""},
		{orbit(runout.OrbitPoint{Turned: 0}, runout.OrbitPoint{Turned: 90, At: lean(1e200, 0)}, runout.OrbitPoint{Turned: 180}, runout.OrbitPoint{Turned: 270}), align.ErrOutOfRange, "points", ""},
		{circle(runout.CirclePoint{}, runout.CirclePoint{X: 1}), align.ErrUndetermined, "points", "2 points"},
		{circle(runout.CirclePoint{}, runout.CirclePoint{X: 1}, runout.CirclePoint{Y: length(nan)}), align.ErrNotFinite, "points[2]", ""},
		{circle(runout.CirclePoint{X: 1}, runout.CirclePoint{X: 1}, runout.CirclePoint{X: 1}), align.ErrUndetermined, "points", ""},
		{opposite(align.Sweep{{At: 10}, {At: 100}, {At: 190}}), align.ErrMismatch, "sweep[1].at", "100.0 deg, opposite mark not read"},
		{opposite(align.Sweep{{At: 10}, {At: 190}, {At: 10}, {At: 190}}), align.ErrMismatch, "sweep[2].at", "10.0 deg, read twice"},
		{opposite(align.Sweep{{At: 0, Value: math.MaxFloat64}, {At: 180, Value: -math.MaxFloat64}}), align.ErrOutOfRange, "sweep[0].value", ""},
		{opposite(nil), align.ErrTooFewPositions, "sweep", ""},
		{first(runout.EccentricMass{Mass: -2, Eccentricity: 1e-4}.Unbalance()), align.ErrNegative, "mass", "-2.000 kg"},
		{first(runout.EccentricMass{Mass: 2, Eccentricity: -1e-4}.Unbalance()), align.ErrNegative, "eccentricity", "-0.100 mm"},
		{first(runout.Running{Mass: 0, Speed: 25}.Grade(1)), align.ErrOutOfRange, "mass", "0.000 kg"},
		{first(runout.Running{Mass: 10, Speed: -25}.Grade(1)), align.ErrNegative, "speed", "-1500.000 rpm"},
		{first(running.Grade(runout.Unbalance(nan))), align.ErrNotFinite, "unbalance", ""},
		{permissible(running, -1e-3), align.ErrNegative, "grade", "-1.000 mm/s"},
		{permissible(runout.Running{Mass: 1e-10, Speed: 1e-300}, 1e300), align.ErrOutOfRange, "grade", " mm/s"},
		{hydro(func(h *runout.HydroRunout) { h.Runout = -1e-4 }), align.ErrNegative, "runout", "-0.100 mm"},
		{hydro(func(h *runout.HydroRunout) { h.Speed = 0 }), align.ErrOutOfRange, "speed", "0.000 rpm"},
		{hydro(func(h *runout.HydroRunout) { h.Distance = 0 }), align.ErrOutOfRange, "distance", "0.000 m"},
		{hydro(func(h *runout.HydroRunout) { h.Part = "roof" }), align.ErrUnknownKind, "part", `"roof"`},
		{hydro(func(h *runout.HydroRunout) { h.Runout, h.Distance = 1e300, 1e-10 }), align.ErrOutOfRange, "distance", "0.000000 m"},
		{rotor(0, 0.1), align.ErrOutOfRange, "span", "0.000 mm"},
		{rotor(1, 0), align.ErrZeroDiameter, "diameter", "0.000 mm"},
		{first(runout.LineShaft(-1)), align.ErrNegative, "length", "-1000.000 mm"},
		{first(runout.ReclamationOrbit(-1, 1)), align.ErrOutOfRange, "length", "-1000.0000 mm"},
		{first(runout.ReclamationOrbit(length(nan), 1)), align.ErrNotFinite, "length", "NaN m"},
		{first(runout.ReclamationOrbit(1, 0)), align.ErrZeroDiameter, "runner", "0.0000 mm"},
		{first(runout.ReclamationPlumb(0)), align.ErrOutOfRange, "height", "0.0000 mm"},
		{first(runout.ReclamationShare("roof", 1)), align.ErrUnknownKind, "item", "roof"},
		{first(runout.ReclamationShare(runout.SealRings, -0.001)), align.ErrOutOfRange, "reference", "-1.0000 mm"},
		{first(runout.CheckShaftFree(align.Movement(nan))), align.ErrNotFinite, "push", "NaN m"},
		{first(runout.NewPlumbSheet(runout.Wires{East: -0.001}, runout.Wires{})), align.ErrNegative, "first.east", "-1.0000 mm"},
		{first(runout.NewPlumbSheet(runout.Wires{}, runout.Wires{West: length(inf)})), align.ErrNotFinite, "lower.west", "+Inf m"},
		{survey(func(s *runout.PlumbSurvey) { s.Elevations = s.Elevations[:1] }), align.ErrMissing, "elevations", "1 elevations, want two or more"},
		{survey(func(s *runout.PlumbSurvey) { s.Positions[1].Wires = s.Positions[1].Wires[:1] }), align.ErrMismatch, "positions[1].wires", "1 sets"},
		{survey(func(s *runout.PlumbSurvey) { s.Positions[2].Wires[1].North = -0.002 }), align.ErrNegative, "positions[2].wires[1].lower.north", "-2.0000 mm"},
		{survey(func(s *runout.PlumbSurvey) { s.Positions[1].Turned, s.Positions[2].Turned = 0, 360 }), align.ErrTooFewPositions, "positions.points", ""},
		{first(runout.FaceSweep{Sweep: four, Diameter: -0.1}.Solve()), align.ErrZeroDiameter, "diameter", "-100.000 mm"},
		{first(runout.NewSection(align.Sweep{{At: 0}, {At: 10}, {At: 20}, {At: 30}}, runout.SweepChecks{})), align.ErrArcTooNarrow, "sweep", " times"},
		{first(runout.FaceSweep{Sweep: align.FourPoint(1e150, 0, -1e150, 0), Diameter: 1e-200}.Solve()), align.ErrOutOfRange, "diameter", "0.000 mm"},
		{key(-0.05, 0.01, 0.01), align.ErrZeroDiameter, "bore", "-50.000 mm"},
		{first(runout.HubCase{Least: -1e-6}.Diagnose()), align.ErrNegative, "least", "-0.0010 mm"},
		{first(runout.HubCase{Shaft: []runout.ShaftStation{at(0, offset(0, 0))}}.Diagnose()), align.ErrMissing, "hub", ""},
		{first(runout.HubCase{Hub: []runout.ShaftStation{at(0, offset(0, 0))}}.Diagnose()), align.ErrMissing, "shaft", ""},
		{first(runout.HubCase{Hub: []runout.ShaftStation{at(0, offset(0, 0))}, Shaft: []runout.ShaftStation{at(0, offset(0, 0))},
			Face: &runout.HubFace{Diameter: -0.2}}.Diagnose()), align.ErrZeroDiameter, "face.diameter", "-200.000 mm"},
		{first(runout.Shaft{Stations: make([]runout.ShaftStation, 257)}.Bow()), align.ErrOutOfRange, "stations", "257"},
		{first(runout.Shaft{Stations: []runout.ShaftStation{{Station: 0.2, Sweep: four}, {Station: 0.2, Sweep: four}}}.Bow()), align.ErrCoincident, "stations[1].station", "200.000 mm"},
		{first(runout.PracticeOf("clay")), align.ErrUnknownKind, "seat", `"clay"`},
		{first(runout.Practice{}.Judge(nan)), align.ErrNotFinite, "interference per diameter", "NaN mil/in"},
		{first(runout.NamedRule("thumb")), align.ErrUnknownKind, "rule", `"thumb"`},
		{first(runout.PumpHandbookRule().Decide(-1e-5, nil)), align.ErrNegative, "hub", "-0.010 mm"},
	} {
		require.ErrorIs(t, c.err, c.fault, "%d %v", i, c.err)
		var in *align.InputError
		require.ErrorAs(t, c.err, &in)
		assert.Equal(t, c.field, in.Field, i)
		assert.Equal(t, "runout", in.Package, i)
		if len(c.got) > 0 && c.got[0] == ' ' { // the number is too long to copy, or a measure of the marks
			assert.Contains(t, in.Got, c.got, i)
			continue
		}
		assert.Equal(t, c.got, in.Got, i)
	}
	assert.Equal(t, 1*mm, length(1e-3))
}

// survey2 is a survey of two elevations and four positions that nothing is wrong
// with.
func (h hangingShaft) survey2() runout.PlumbSurvey {
	wires := func(n, e float64) runout.Wires {
		return runout.Wires{North: unit.Length(0.1 - n), South: unit.Length(0.1 + n), East: unit.Length(0.1 - e), West: unit.Length(0.1 + e)}
	}
	s := runout.PlumbSurvey{Elevations: []unit.Length{5, 1}}
	for i, at := range [][2]float64{{1e-4, 0}, {0, 1e-4}, {-1e-4, 0}, {0, -1e-4}} {
		s.Positions = append(s.Positions, runout.PlumbPosition{Turned: float64(90 * i), Wires: []runout.Wires{wires(0, 0), wires(at[0], at[1])}})
	}
	return s
}

// A shaft of two straight limbs, bent in both planes: each limb runs through the
// centres on its side, and both through the bend.
func TestLimbsRunThroughTheirStations(t *testing.T) {
	bend := 0.7
	v := func(x float64) float64 { return 1e-5 + 2e-5*x - 8e-5*math.Max(0, x-bend) }
	h := func(x float64) float64 { return -3e-5 + 4e-5*x + 6e-5*math.Max(0, x-bend) }
	var s runout.Shaft
	stations := []float64{0, 0.3, 0.5, 0.9, 1.2, 1.5}
	for _, x := range stations {
		s.Stations = append(s.Stations, at(x, offset(v(x), h(x))))
	}
	b, err := s.Bow()
	require.NoError(t, err)
	require.NotNil(t, b.Bend)
	assert.InDelta(t, bend, float64(b.Bend.Station), 1e-6)
	assert.InDelta(t, 1e-4, b.Bend.Angle, 1e-9) // 8 and 6 make 10
	for _, x := range stations {
		limb := b.Bend.Before
		if x > bend {
			limb = b.Bend.After
		}
		assert.InDelta(t, v(x), float64(limb.At(unit.Length(x)).Vertical), 1e-10, x)
		assert.InDelta(t, h(x), float64(limb.At(unit.Length(x)).Horizontal), 1e-10, x)
	}
	assert.Equal(t, 5, b.Bend.DoF) // 12 readings less 7
	assert.InDelta(t, 0, float64(b.Bend.RMS), 1e-10)
	// The elbow points along (8, -6).
	assert.InDelta(t, math.Atan2(-6, 8)*180/math.Pi+360, float64(b.Bend.Toward), 1e-3)
}

// Two stations make a line and leave nothing, and cannot tell.
func TestTwoStationsLeaveNothing(t *testing.T) {
	b, err := runout.Shaft{Stations: []runout.ShaftStation{at(0, offset(1e-5, 0)), at(0.4, offset(5e-5, -2e-5))}}.Bow()
	require.NoError(t, err)
	assert.InDelta(t, 0, float64(b.StraightRMS), 1e-18)
	assert.True(t, b.CannotTell)
	assert.Nil(t, b.Bend)
	assert.Zero(t, b.Largest)
	assert.InDelta(t, 1e-4, b.Straight.Vertical.Slope, 1e-15)
	assert.InDelta(t, -5e-5, b.Straight.Horizontal.Slope, 1e-15)
	// Three stations, the middle one 3e-5 off the chord: the line goes through the
	// mean, 1e-5 up, and leaves -1, 2 and -1 e-5 in one plane; 6 - 4 = 2 to spare.
	b, err = runout.Shaft{Stations: []runout.ShaftStation{at(0, offset(0, 0)), at(0.4, offset(3e-5, 0)), at(0.8, offset(0, 0))}}.Bow()
	require.NoError(t, err)
	assert.False(t, b.CannotTell)
	assert.InDelta(t, math.Sqrt(6e-10/2), float64(b.StraightRMS), 1e-15)
	assert.InDelta(t, 3e-5, float64(b.Largest), 1e-15)
	assert.Equal(t, unit.Length(0.4), b.LargestAt)
}

// What is still open after a diagnosis is said in words.
func TestDiagnosisSaysWhatToRead(t *testing.T) {
	o, bore := offset(0, 0), offset(5e-5, 3e-5)
	shaft := []runout.ShaftStation{at(0, o), at(0.1, o)}
	quarter := func(x float64, o align.Offset) runout.ShaftStation {
		return runout.ShaftStation{Station: unit.Length(x), Sweep: align.FourPoint(o.Vertical, o.Horizontal, -o.Vertical, -o.Horizontal)}
	}
	far := func(x float64) runout.ShaftStation { return at(x, offset(2e-4*math.Sin(30*x), 1e-4*math.Cos(70*x))) }
	steady, err := runout.HubCase{Hub: []runout.ShaftStation{at(0.2, bore), at(0.3, bore)}, Shaft: shaft, Again: swept(bore, 0)}.Diagnose()
	require.NoError(t, err)
	assert.True(t, steady.RepeatRead)
	assert.Equal(t, []runout.Cause{runout.BoredEccentric}, steady.Best[0].Causes, "read twice alike, the hub is not loose")
	for _, c := range []struct {
		c    runout.HubCase
		read string
	}{
		{runout.HubCase{Hub: []runout.ShaftStation{far(0.2), far(0.3), far(0.4)}, Shaft: shaft}, "read everything again: no account explains the readings"},
		{runout.HubCase{Hub: []runout.ShaftStation{at(0.2, bore)}, Shaft: shaft}, "read the hub at a second station, or its face"},
		{runout.HubCase{Hub: []runout.ShaftStation{quarter(0.2, bore), quarter(0.3, bore)}, Shaft: shaft},
			"read five or more marks of the hub: an oval hub cannot be seen with fewer"},
		{runout.HubCase{Hub: []runout.ShaftStation{at(0.2, bore), at(0.3, bore)}, Shaft: shaft},
			"read the hub once more after it was loaded: a loose fit cannot be seen otherwise"},
		{runout.HubCase{Hub: []runout.ShaftStation{at(0.2, bore), at(0.3, bore)}, Shaft: shaft, Again: swept(bore, 0)}, ""},
	} {
		d, err := c.c.Diagnose()
		require.NoError(t, err)
		assert.Equal(t, c.read, d.Read)
	}
}

// A face that leans the other way than the hub speaks against a skewed bore, in
// each plane: what is left at its rim is the difference of the slopes times half
// the diameter, shared out over both stations and the face.
func TestSkewedBoreHeldAgainstTheFace(t *testing.T) {
	o := offset(0, 0)
	for _, plane := range []align.Slope{{Vertical: 1e-3}, {Horizontal: 1e-3}, {Vertical: -3e-4, Horizontal: 4e-4}} {
		hub := func(x float64) align.Offset { return offset(plane.Vertical*(x-0.25), plane.Horizontal*(x-0.25)) }
		for k, left := range map[float64]float64{1: 0, -1: 2, 0: 1, 2: 1} { // of the slope
			lean := offset(k*plane.Vertical*0.1, k*plane.Horizontal*0.1) // over the radius of 100 mm
			d, err := runout.HubCase{
				Hub: []runout.ShaftStation{at(0.2, hub(0.2)), at(0.3, hub(0.3))}, Shaft: []runout.ShaftStation{at(0, o), at(0.1, o)},
				Face: &runout.HubFace{Diameter: 0.2, Surface: align.FaceToward, Sweep: swept(lean, 0)},
			}.Diagnose()
			require.NoError(t, err)
			for _, e := range d.Ranked {
				if len(e.Causes) == 1 && e.Causes[0] == runout.BoredSkewed {
					want := left * math.Hypot(plane.Vertical, plane.Horizontal) * 0.1 / math.Sqrt(3)
					assert.InDelta(t, want, float64(e.Unexplained), 1e-12, "%v %v", plane, k)
				}
			}
		}
	}
}

// With nothing to part them the first pair is the largest.
func TestOppositeMarksOfARoundShaft(t *testing.T) {
	o, err := runout.OppositeMarks(align.Sweep{{At: 90, Value: 3e-5}, {At: 180, Value: 3e-5}, {At: 270, Value: 3e-5}, {At: 360, Value: 3e-5}})
	require.NoError(t, err)
	assert.Equal(t, align.Clock(90), o.Largest.At)
	assert.Zero(t, o.Largest.Runout)
	assert.Len(t, o.Pairs, 2)
	assert.InDelta(t, 1-math.Cos(math.Pi/4), o.Understates, 1e-15) // marks a quarter turn apart
}

// A lean of the size of rounding has no direction, anything larger has.
func TestSmallestLean(t *testing.T) {
	for v, want := range map[float64][2]string{
		1e-13: {"plumb", "plumb"}, -1e-13: {"plumb", "plumb"}, 0: {"plumb", "plumb"}, 1e-11: {"N", "E"}, -1e-11: {"S", "W"},
	} {
		l := runout.Lean{North: unit.Length(v), East: unit.Length(v)}
		assert.Equal(t, want, [2]string{l.TowardNorthSouth(), l.TowardEastWest()}, v)
	}
}

// A shaft that moves by the least movement is free, whatever rounding does.
func TestShaftFreeAtTheLimit(t *testing.T) {
	least := 0.005 * float64(align.Inch)
	for k, free := range map[float64]bool{1: true, 1 - 1e-13: true, 1 - 1e-9: false, 2: true, 0: false} {
		for _, sign := range []float64{1, -1} {
			w, err := runout.CheckShaftFree(align.Movement(sign * k * least))
			require.NoError(t, err)
			assert.Equal(t, free, len(w) == 0, k)
		}
	}
}

// The second harmonic is shown where the marks magnify errors no more than ten
// times, by the condition number of the five columns.
func TestSecondHarmonicHiddenPastConditionTen(t *testing.T) {
	near := 0
	for arc := 150.0; arc < 300; arc += 0.05 {
		var s align.Sweep
		for i := range 7 {
			s = append(s, align.Reading{At: align.Clock(arc * float64(i) / 6)})
		}
		f, err := s.FitSecond()
		require.NoError(t, err)
		section, err := runout.NewSection(s, runout.SweepChecks{})
		require.NoError(t, err)
		assert.Equal(t, f.Condition <= 10, section.Second.Seen == runout.Full, "arc %g condition %g", arc, f.Condition)
		if math.Abs(f.Condition-10) < 0.5 {
			near++
		}
	}
	assert.Positive(t, near)
}

// Sizes on a border of a table belong to the row below it, although conversion
// from inches rounds them.
func TestBordersOfTablesLeaveRoomForRounding(t *testing.T) {
	limit := func(s runout.Standard, mm float64) float64 {
		l, err := runout.ShaftLimit(s, unit.Length(mm)*align.Millimetre)
		require.NoError(t, err, mm)
		return l.Value
	}
	for k, want := range map[float64]float64{1: 0.05, 1 + 1e-13: 0.05, 1 - 1e-13: 0.05, 1 + 1e-9: 0.06} {
		assert.Equal(t, want, limit(runout.IEC60072, 50*k), "%.14g", k)
	}
	low := 0.1875 * 25.4
	for k, ok := range map[float64]bool{1: true, 1 - 1e-13: true, 1 - 1e-9: false, 1 + 1e-9: true} {
		_, err := runout.ShaftLimit(runout.NEMAMG1, unit.Length(low*k)*align.Millimetre)
		assert.Equal(t, ok, err == nil, "%.14g", k)
	}
	for k, ok := range map[float64]bool{1: false, 1 + 1e-13: false, 1 + 1e-9: true} { // over 6 mm
		_, err := runout.ShaftLimit(runout.IEC60072, unit.Length(6*k)*align.Millimetre)
		assert.Equal(t, ok, err == nil, "%.14g", k)
	}
	for k, want := range map[float64]float64{1: 0.007, 1 - 1e-13: 0.007, 1 - 1e-9: 0.004} { // below 12 in
		l, err := runout.FlangeLimit(runout.NEMAMG1, unit.Length(12*k)*align.Inch)
		require.NoError(t, err)
		assert.Equal(t, want, l.Value, "%.14g", k)
	}
	for k, want := range map[float64]float64{1: 40, 1 + 1e-13: 40, 1 + 1e-9: 46} { // H7 over 120 up to 180 mm
		d, err := runout.ZoneOf(runout.H7, unit.Length(180*k)*align.Millimetre)
		require.NoError(t, err)
		assert.InDelta(t, want*1e-6, float64(d.Upper), 1e-15, "%.14g", k)
	}
	for k, want := range map[float64]float64{1: 0.04, 1 - 1e-13: 0.04, 1 - 1e-9: 0.05} { // 300 rpm belongs to the faster band
		l, err := runout.HydroLimit(runout.TurbineJournal, unit.Frequency(300*k)*align.RPM)
		require.NoError(t, err)
		assert.Equal(t, want, l.Value, "%.14g", k)
	}
}

// On arcs with coarse points the start is far from the best circle, and the steps
// have to bring it there: no other centre beside it is better, and the result is
// better than where it started. All of these points have such a circle; a step that
// goes astray loses some of them.
func TestGeometricCircleFromAPoorStart(t *testing.T) {
	for _, c := range [][2]float64{{0.5, 0.016}, {0.7, 0.016}, {1, 0.016}, {1.5, 0.016}, {3, 0.012}} {
		r := rand.New(rand.NewPCG(72, 1))
		for range 200 {
			points := roughCircle(r, 9, c[0], 0.5, c[1]*c[0]*c[0])
			start, err := runout.AlgebraicCircle(points)
			require.NoError(t, err)
			got, err := runout.GeometricCircle(points)
			require.NoError(t, err, "arc %g", c[0])
			assert.LessOrEqual(t, got.SumSquares, start.SumSquares*(1+1e-12))
			x, y := float64(got.X), float64(got.Y)
			for _, d := range [][2]float64{{1, 0}, {-1, 0}, {0, 1}, {0, -1}, {1, 1}, {-1, -1}, {1, -1}, {-1, 1}} {
				h := 1e-4 * float64(got.Radius)
				assert.LessOrEqual(t, scatterAbout(points, x, y), scatterAbout(points, x+h*d[0], y+h*d[1])*(1+1e-12))
			}
		}
	}
}

// Four positions a quarter turn apart, one of them off by d: the circle leaves
// d/4 (u^2 + u^3) of it, d/2 at that position, d/root 8 beside it and nothing
// opposite, and 8 readings less 4 unknowns share d^2/2.
func TestOrbitOfOneMisreading(t *testing.T) {
	const d = 4e-5
	points := []runout.OrbitPoint{{Turned: 0}, {Turned: 90}, {Turned: 180}, {Turned: 270}}
	for i := range points {
		sin, cos := math.Sincos(float64(i) * math.Pi / 2)
		points[i].At = runout.Lean{North: unit.Length(2e-4 * cos), East: unit.Length(2e-4 * sin)}
	}
	points[1].At.East += d
	o, err := runout.FitOrbit(points)
	require.NoError(t, err)
	assert.InDelta(t, d/2, float64(o.Worst), 1e-18)
	assert.InDelta(t, d/math.Sqrt(8), float64(o.RMS), 1e-18)
	assert.InDelta(t, d/4, float64(o.Centre.East), 1e-18)
	assert.InDelta(t, 4e-4+d/2, float64(o.Diameter), 1e-18)
	assert.InDelta(t, 1, o.Arc, 1e-12)
	assert.Len(t, o.Pairs, 2)
	assert.InDelta(t, 4e-4+d, float64(o.Pairs[1].Diameter), 1e-18)
	assert.InDelta(t, d/2, float64(o.Pairs[1].Middle.East), 1e-18)
}

// What a limit is held against may be as large as the limit: each warning is
// asked for, and its own value is then made the limit.
func TestAtTheLimitThereIsNoWarning(t *testing.T) {
	s := align.Sweep{{At: 0, Value: 3e-5}, {At: 80, Value: 9e-5}, {At: 140, Value: -2e-5}, {At: 200, Value: 4e-5}, {At: 230, Value: -6e-5}, {At: 360, Value: 2e-5}}
	small := runout.SweepChecks{Closure: 1e-9, Shape: 1e-9, Residual: 1e-9, Size: 1e-9, Tilt: 1e-9, Arc: 1e-3, ArcRefused: 100}
	warnings := func(c runout.SweepChecks) map[string]align.Warning {
		out := map[string]align.Warning{}
		f, err := runout.FaceSweep{Sweep: s, Diameter: 0.2, Checks: c}.Solve()
		require.NoError(t, err)
		for _, w := range f.Warnings {
			out[string(w.Code)+" "+w.Field] = w
		}
		return out
	}
	for name, set := range map[string]func(*runout.SweepChecks, float64){
		"closure sweep":          func(c *runout.SweepChecks, v float64) { c.Closure = unit.Length(v) },
		"warped-face sweep":      func(c *runout.SweepChecks, v float64) { c.Shape = unit.Length(v) },
		"residual sweep":         func(c *runout.SweepChecks, v float64) { c.Residual = unit.Length(v) },
		"implausible-size sweep": func(c *runout.SweepChecks, v float64) { c.Size = unit.Length(v) },
		"implausible-size tilt":  func(c *runout.SweepChecks, v float64) { c.Tilt = v },
		"narrow-arc sweep":       func(c *runout.SweepChecks, v float64) { c.Arc = v },
	} {
		w, ok := warnings(small)[name]
		require.True(t, ok, name)
		c := small
		set(&c, math.Abs(w.Value))
		assert.NotContains(t, warnings(c), name, "at the limit")
		set(&c, math.Abs(w.Value)*(1-1e-8))
		assert.Contains(t, warnings(c), name, "over the limit")
	}
}

// A shaft that runs out by exactly what counts is taken as true.
func TestShaftThatJustDoesNotCount(t *testing.T) {
	c := runout.HubCase{Hub: []runout.ShaftStation{at(0.2, offset(0, 0)), at(0.3, offset(0, 0))}, Shaft: []runout.ShaftStation{at(0, offset(3e-5, 4e-5))}}
	d, err := c.Diagnose()
	require.NoError(t, err)
	least := d.Shaft[0].Resultant()
	assert.InDelta(t, 5e-5, float64(least), 1e-15)
	bent := func(least unit.Length) bool {
		c.Least = least
		d, err := c.Diagnose()
		require.NoError(t, err)
		for _, e := range d.Ranked {
			if len(e.Causes) > 0 && e.Causes[0] == runout.BentShaft {
				return true
			}
		}
		return false
	}
	assert.False(t, bent(least))
	assert.True(t, bent(unit.Length(math.Nextafter(float64(least), 0))))
}

// The farthest may be the first, and is the first of equals.
func TestFarthestInAnyOrder(t *testing.T) {
	away := func(e, v float64) runout.Deviation {
		return runout.Deviation{Elevation: unit.Length(e), Away: runout.Lean{North: unit.Length(v)}}
	}
	assert.Equal(t, away(1, 3), runout.Farthest([]runout.Deviation{away(1, 3), away(2, 1), away(3, -3), away(4, 2)}))
	assert.Equal(t, away(2, 3), runout.Farthest([]runout.Deviation{away(1, 1), away(2, 3), away(3, -3)}))
	two := runout.PlumbResult{Stands: []runout.PlumbStand{
		{Deviations: []runout.Deviation{away(1, 0), away(2, 3), away(3, 0)}}, {Deviations: []runout.Deviation{away(1, 0), away(4, -3), away(3, 0)}},
	}}
	assert.Equal(t, away(2, 3), two.Farthest())
	assert.Equal(t, away(3, -4), runout.Farthest([]runout.Deviation{away(1, 3), away(2, 1), away(3, -4), away(4, 4)}))
	assert.Equal(t, runout.Deviation{}, runout.Farthest(nil))
}

// At a point of its own a circle's sum of squares has no slope to follow.
func TestCircleAboutAPointOfItsOwn(t *testing.T) {
	_, err := runout.GeometricCircle([]runout.CirclePoint{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}, {}})
	require.ErrorIs(t, err, align.ErrUndetermined)
}

// 256 stations are worked out, and no more.
func TestMostStations(t *testing.T) {
	var s runout.Shaft
	for i := range 256 {
		s.Stations = append(s.Stations, runout.ShaftStation{Station: unit.Length(i), Sweep: align.FourPoint(1e-5, 0, -1e-5, 0)})
	}
	b, err := s.Bow()
	require.NoError(t, err)
	assert.Len(t, b.At, 256)
}

// A sound hub fits nothing, an eccentric bore two figures, a skewed one four; of
// one station without a face a skewed bore fits no more than an eccentric one.
func TestUnknownsOfTheAccounts(t *testing.T) {
	o := offset(0, 0)
	face := &runout.HubFace{Diameter: 0.2, Surface: align.FaceToward, Sweep: swept(o, 0)}
	for name, c := range map[string]struct {
		stations []float64
		face     *runout.HubFace
		skewed   int
	}{"two stations": {[]float64{0.2, 0.3}, nil, 4}, "one station": {[]float64{0.2}, nil, 2}, "one station and a face": {[]float64{0.2}, face, 4}} {
		h := runout.HubCase{Shaft: []runout.ShaftStation{at(0, o)}, Face: c.face}
		for _, x := range c.stations {
			h.Hub = append(h.Hub, at(x, o))
		}
		d, err := h.Diagnose()
		require.NoError(t, err)
		require.Len(t, d.Ranked, 3)
		for _, e := range d.Ranked {
			want := 0
			if len(e.Causes) > 0 {
				want = map[runout.Cause]int{runout.BoredEccentric: 2, runout.BoredSkewed: c.skewed}[e.Causes[0]]
			}
			assert.Equal(t, want, e.Unknowns, "%s %v", name, e.Causes)
		}
	}
}

// A misread wire is warned about where it was read.
func TestMisreadWireIsNamed(t *testing.T) {
	s := hangingShaft{}.survey2()
	r, err := s.Solve()
	require.NoError(t, err)
	assert.Empty(t, r.Warnings)
	assert.Equal(t, unit.Length(4), r.Height)
	s.Positions[2].Wires[1].North += 0.003 * align.Inch
	r, err = s.Solve()
	require.NoError(t, err)
	require.Len(t, r.Warnings, 1)
	assert.Equal(t, runout.WarnPlumbRoundness, r.Warnings[0].Code)
	assert.Equal(t, "positions[2].wires[1]", r.Warnings[0].Field)
	assert.InDelta(t, 0.003*0.0254, r.Warnings[0].Value, 1e-12)
	assert.InDelta(t, 0.002*0.0254, r.Warnings[0].Limit, 1e-12)
}

// A shaft at a temperature just above absolute zero is given still.
func TestColdestShaft(t *testing.T) {
	h, err := runout.HubHeating{Bore: 0.1, Interference: 1e-4, Expansion: 1e-5, Shaft: 0.5}.Solve()
	require.NoError(t, err)
	assert.InDelta(t, 100, float64(h.Rise), 1e-9) // 1e-4/(1e-5 * 0.1)
	assert.InDelta(t, 100.5, float64(h.Temperature), 1e-9)
}

// What overflows only in the second harmonic, or in what is left over, is refused.
func TestSectionRefusesOverflow(t *testing.T) {
	big := unit.Length(1e308)
	for _, s := range []align.Sweep{
		align.EvenSweep(0, big, -big, big, -big, big, -big),
		align.FourPoint(big, -big, big, -big),
		{{At: 0, Value: big}, {At: 90}, {At: 180, Value: big}, {At: 270}, {At: 360, Value: -big}},
	} {
		_, err := runout.NewSection(s, runout.SweepChecks{})
		require.ErrorIs(t, err, align.ErrOutOfRange)
	}
}

// Four quarter marks that begin anywhere show the part of the second harmonic
// whose lobes stand on the marks.
func TestQuarterMarksFromAnyMark(t *testing.T) {
	for start := 0.0; start < 90; start += 7 {
		var s align.Sweep
		for i := range 4 {
			at := start + 90*float64(i)
			// two lobes of 4e-5 on the marks and a centre 3e-5 up
			v := 4e-5*math.Cos(2*(at-start)*math.Pi/180) + 3e-5*math.Cos(at*math.Pi/180)
			s = append(s, align.Reading{At: align.Clock(at), Value: unit.Length(v)})
		}
		section, err := runout.NewSection(s, runout.SweepChecks{})
		require.NoError(t, err)
		assert.Equal(t, runout.OneDirection, section.Second.Seen)
		assert.InDelta(t, 4e-5, float64(section.Ovality()), 1e-15)
		assert.InDelta(t, start, float64(section.Second.HighSpot()), 1e-6)
		assert.InDelta(t, 3e-5, float64(section.First.Vertical), 1e-15)
		assert.InDelta(t, 0, float64(section.First.Horizontal), 1e-15)
	}
}

// Marks from 100 to 260 deg leave 200 deg unseen, in which the high spot can hide
// wholly; marks from 40 to 320 deg leave 80 deg, half of which is 40 deg.
func TestMissedAcrossTheTop(t *testing.T) {
	for first, want := range map[align.Clock]float64{100: 1, 40: 1 - math.Cos(40*math.Pi/180)} {
		var s align.Sweep
		for i := range 9 {
			s = append(s, align.Reading{At: first + align.Clock(i)*(360-2*first)/8})
		}
		got, err := runout.NewSection(s, runout.SweepChecks{})
		require.NoError(t, err)
		assert.InDelta(t, want, got.Missed, 1e-14)
	}
}

// A circle that four positions show exactly takes one step, which finds nothing
// to do.
func TestStepsAreCounted(t *testing.T) {
	c, err := runout.GeometricCircle([]runout.CirclePoint{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}})
	require.NoError(t, err)
	assert.Equal(t, 1, c.Steps)
}

// What no longer fits into a number is refused, not answered.
func TestAnswersBeyondAllNumbers(t *testing.T) {
	const huge = 1e308
	_, err := runout.FromChord([]runout.ShaftPoint{
		{Elevation: 2, At: runout.Lean{North: huge}}, {Elevation: 1, At: runout.Lean{North: -huge}}, {Elevation: 0, At: runout.Lean{North: huge}},
	})
	require.ErrorIs(t, err, align.ErrOutOfRange)
	assert.Contains(t, err.Error(), "points[1]")
	_, err = runout.PressFit{Shaft: 0.1, Outside: 0.2, Modulus: 1e-9}.Interference(huge)
	require.ErrorIs(t, err, align.ErrOutOfRange)
	assert.Contains(t, err.Error(), "interference")
}

// The friction of a keyless hub as the textbooks have it, and half of what is
// advised for taking one off.
func TestHubFrictionIsCustomary(t *testing.T) {
	assert.InDelta(t, 0.24/2, runout.HubFriction, 0)
}

// An interference of 5 mil per inch of bore is let pass as that of a fit, to the
// last digits.
func TestInterferenceAtTheLimit(t *testing.T) {
	for share, want := range map[float64]bool{5e-3: false, 5e-3 * (1 + 1e-14): false, 5e-3 * (1 + 1e-6): true} {
		out, err := runout.HubHeating{Bore: 0.1, Interference: unit.Length(0.1 * share), Clearance: 1e-4, Expansion: 1.2e-5, Shaft: 293, Highest: 900}.Solve()
		require.NoError(t, err)
		warned := false
		for _, w := range out.Warnings {
			warned = warned || w.Code == runout.WarnFitSize
		}
		assert.Equal(t, want, warned, share)
	}
}
