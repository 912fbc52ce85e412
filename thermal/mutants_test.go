package thermal

import (
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
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
	nan, inf := math.NaN(), math.Inf(1)
	mm := align.Millimetre
	temperature := func(v float64) unit.Temperature { return unit.Temperature(v) }
	length := func(v float64) unit.Length { return unit.Length(v) }
	material := func(edit func(*Material)) error {
		m := round()
		edit(&m)
		return m.Check()
	}
	table := func(edit func(*Material)) error {
		m := Material{Kind: MeanTable, Reference: 293, Points: []CoefficientPoint{{300, 1e-5}, {400, 1.1e-5}}}
		edit(&m)
		return m.Check()
	}
	hot := func(edit func(*HotCheck)) error {
		h := HotCheck{Readings: curve(1e-3, 2e-4, 3600, 600, 1800, 3600, 7200)}
		edit(&h)
		return first(h.Solve())
	}
	machine := func(edit func(*Machine)) error {
		m := at4(10, 20, 40, 50)
		edit(&m)
		return first(m.Growth())
	}
	key := Key{Station: 1, Lateral: 0.1, Material: round(), Cold: 300, Hot: 310}
	axial := func(edit func(*AxialMachine)) error {
		p := AxialPart{round(), 300, 310}
		m := AxialMachine{Casing: p, Rotor: p}
		edit(&m)
		return first(m.EndMovement())
	}
	float := func(edit func(*EndFloat)) error {
		e := EndFloat{Bearing: 12 * mm, Travel: 2 * mm}
		edit(&e)
		return first(e.Judge())
	}
	journal := func(edit func(*Journal)) error {
		j := Journal{Clearance: 0.1 * mm, Load: align.Six, Eccentricity: 0.5, Attitude: 30, Turning: Clockwise}
		edit(&j)
		return first(j.Shift())
	}
	rule := func(r Rule, h, rise float64) error { return first(r.Growth(length(h), align.TempRise(rise))) }
	pipe := func(edit func(*Leg)) error {
		l := Leg{Way: align.Displacement{X: 1}, Material: round(), Cold: 300, Hot: 310}
		edit(&l)
		return first(PipeRun{Legs: []Leg{l}}.FreeExpansion())
	}
	target := func(edit func(*Case, *Criterion)) error {
		c, k := criterion(PerPlane), Case{}
		edit(&k, &c)
		err := first(BestColdTarget([]Case{k}, c))
		assert.Equal(t, err, first(JudgeColdTarget(align.Axis{}, []Case{k}, c)))
		return err
	}
	warm := func(constant, after float64) error {
		return first(WarmUp{Constant: unit.Time(constant)}.At("", unit.Time(after)))
	}
	between := func(fraction float64) error { return first(Between("", State{}, State{}, fraction)) }
	ambient := func(low, high float64) error {
		_, _, err := Ambient{Low: align.TempRise(low), High: align.TempRise(high)}.States()
		return err
	}
	lineOf := func(offset, slope float64) align.Axis {
		return align.Axis{Horizontal: align.Line{Offset: length(offset), Slope: slope}}
	}
	small := length(-2e-3)
	layers := func(l ...Layer) error {
		return first(Segment{Length: 0.5, Material: round(), Cold: 300, Profile: l}.Growth())
	}
	for i, c := range []struct {
		err   error
		fault align.Fault
		field string
		got   string
	}{
		{material(func(m *Material) { m.Kind = 0 }), align.ErrMissing, "kind", ""},
		{material(func(m *Material) { m.Kind = 6 }), align.ErrUnknownKind, "kind", "kind(6)"},
		{material(func(m *Material) { m.Coefficient = -0.0015 }), align.ErrOutOfRange, "coefficient", "-0.0015 1/K"},
		{material(func(m *Material) { m.Coefficient = nan }), align.ErrNotFinite, "coefficient", "NaN 1/K"},
		{material(func(m *Material) { m.Reference = 293 }), align.ErrMismatch, "reference", "293 K"},
		{material(func(m *Material) { m.Terms = []float64{1} }), align.ErrMismatch, "terms", ""},
		{material(func(m *Material) { m.Points = make([]CoefficientPoint, 2) }), align.ErrMismatch, "points", ""},
		{material(func(m *Material) { m.From = 300 }), align.ErrMissing, "to", "0 K"},
		{material(func(m *Material) { m.From, m.To = 300, 293.15 }), ErrNotAscending, "to", "20.00 degC"},
		{material(func(m *Material) { m.From, m.To = -1, 293.15 }), align.ErrOutOfRange, "from", "-1 K"},
		{table(func(m *Material) { m.Coefficient = 1.25e-5 }), align.ErrMismatch, "coefficient", "1.25e-05 1/K"},
		{table(func(m *Material) { m.Reference = 0 }), align.ErrMissing, "reference", "0 K"},
		{table(func(m *Material) { m.Reference = 10001 }), align.ErrOutOfRange, "reference", "10001 K"},
		{table(func(m *Material) { m.Points = m.Points[:1] }), ErrTooFewPoints, "points", "1"},
		{table(func(m *Material) { m.Points[1].At = 293.15 }), ErrNotAscending, "points[1].at", "20.00 degC"},
		{table(func(m *Material) { m.Points[1].At = 300 }), ErrNotAscending, "points[1].at", "26.85 degC"},
		{table(func(m *Material) { m.Points[1].At = 10001 }), align.ErrOutOfRange, "points[1].at", "10001 K"},
		{table(func(m *Material) { m.Points[0].At = temperature(nan) }), align.ErrNotFinite, "points[0].at", "NaN K"},
		{table(func(m *Material) { m.Points[1].Value = 0.002 }), align.ErrOutOfRange, "points[1].value", "0.002 1/K"},
		{Material{Kind: Polynomial, From: 1, To: 2}.Check(), ErrTooFewPoints, "terms", "0"},
		{Material{Kind: Polynomial, Terms: []float64{0, nan}, From: 1, To: 2}.Check(), align.ErrNotFinite, "terms[1]", "NaN 1/K^n"},
		{Material{Kind: Polynomial, Terms: []float64{0, 1}}.Check(), align.ErrMissing, "from", "0 K"},
		{first(Material{Kind: Polynomial, Terms: []float64{0, 10}, From: 1, To: 500}.Strain(300, 311)), align.ErrOutOfRange, "terms", "110 of strain"},
		{first(round().MeanCoefficient(300, 300)), ErrSameTemperature, "to", "26.85 degC"},
		{first(round().Strain(0, 300)), align.ErrMissing, "from", "0 K"},
		{first(round().Strain(300, 10001)), align.ErrOutOfRange, "to", "10001 K"},
		{hot(func(h *HotCheck) { h.Readings = h.Readings[:2] }), ErrTooFewReadings, "readings", "2"},
		{hot(func(h *HotCheck) { h.Sigma = -1e-3 }), align.ErrNegative, "sigma", "-1.000 mm"},
		{hot(func(h *HotCheck) { h.Readings[1].After = -1 }), align.ErrNegative, "readings[1].after", "-1 s"},
		{hot(func(h *HotCheck) { h.Readings[3].After = 2e9 }), align.ErrOutOfRange, "readings[3].after", "2e+09 s"},
		{hot(func(h *HotCheck) { h.Readings[1].After = unit.Time(nan) }), align.ErrNotFinite, "readings[1].after", "NaN s"},
		{hot(func(h *HotCheck) { h.Readings[1].Value = 11 }), align.ErrOutOfRange, "readings[1].value", "11000.000 mm"},
		{hot(func(h *HotCheck) { h.Readings[2].After = 1800.0005 }), ErrNotAscending, "readings[2].after", "1800 s"},
		{machine(func(m *Machine) { m.Supports = nil }), align.ErrMissing, "supports", ""},
		{machine(func(m *Machine) { m.Supports = make([]SupportAt, 33) }), align.ErrOutOfRange, "supports", "33"},
		{machine(func(m *Machine) { m.Supports[1].Station = 10001 }), align.ErrOutOfRange, "supports[1].station", "10001000.000 mm"},
		{machine(func(m *Machine) { m.Supports[1].Lateral = length(nan) }), align.ErrNotFinite, "supports[1].lateral", "NaN m"},
		{machine(func(m *Machine) { m.Supports[2].Station = 1.00000025 }), align.ErrCoincident, "station", "1000.000 mm"},
		{machine(func(m *Machine) { m.ResidualLimit = &small }), align.ErrNegative, "residualLimit", "-2.000 mm"},
		{machine(func(m *Machine) { m.Keys = make([]Key, 3) }), align.ErrOutOfRange, "keys", "3"},
		{machine(func(m *Machine) { m.Keys = []Key{key, key} }), align.ErrCoincident, "keys[1].station", "1000.000 mm"},
		{machine(func(m *Machine) { m.Keys = []Key{key}; m.Keys[0].Lateral = -10001 }), align.ErrOutOfRange, "keys[0].lateral", "-10001000.000 mm"},
		{machine(func(m *Machine) { m.Keys = []Key{key}; m.Keys[0].Hot = 0 }), align.ErrMissing, "keys[0].to", "0 K"},
		{machine(func(m *Machine) {
			m.Supports = nil
			for i := range 9 {
				m.Supports = append(m.Supports, SupportAt{Station: length(float64(i)), Support: support(10)})
			}
		}), align.ErrOutOfRange, "supports[8].station", "8000.000 mm"},
		{axial(func(m *AxialMachine) { m.Fixed = -10001 }), align.ErrOutOfRange, "fixed", "-10001000.000 mm"},
		{axial(func(m *AxialMachine) { m.Thrust = length(inf) }), align.ErrNotFinite, "thrust", "+Inf m"},
		{axial(func(m *AxialMachine) { m.End = length(nan) }), align.ErrNotFinite, "end", "NaN m"},
		{axial(func(m *AxialMachine) { m.Shift = 11 }), align.ErrOutOfRange, "shift", "11000.000 mm"},
		{axial(func(m *AxialMachine) { m.Casing.Cold = 0 }), align.ErrMissing, "casing.from", "0 K"},
		{axial(func(m *AxialMachine) { m.Rotor.Hot = 0 }), align.ErrMissing, "rotor.to", "0 K"},
		{first(AxialGap{}.Running(-0.002)), align.ErrNegative, "cold", "-2.000 mm"},
		{first(AxialGap{}.Cold(10001)), align.ErrOutOfRange, "running", "10001000.000 mm"},
		{float(func(e *EndFloat) { e.Bearing = 0 }), align.ErrOutOfRange, "bearing", "0.000 mm"},
		{float(func(e *EndFloat) { e.Bearing = 1e-10 }), align.ErrOutOfRange, "bearing", "1e-10 m"},
		{float(func(e *EndFloat) { e.Travel = -2e-3 }), align.ErrNegative, "travel", "-2.000 mm"},
		{float(func(e *EndFloat) { e.Centre = -11 }), align.ErrOutOfRange, "centre", "-11000.000 mm"},
		{journal(func(j *Journal) { j.Clearance = 0 }), align.ErrOutOfRange, "clearance", "0.000 mm"},
		{journal(func(j *Journal) { j.Load = align.Clock(nan) }), align.ErrNotFinite, "load", "NaN deg"},
		{journal(func(j *Journal) { j.Eccentricity = 1.5 }), align.ErrOutOfRange, "eccentricity", "1.5"},
		{journal(func(j *Journal) { j.Eccentricity = -0.5 }), align.ErrOutOfRange, "eccentricity", "-0.5"},
		{journal(func(j *Journal) { j.Eccentricity = nan }), align.ErrNotFinite, "eccentricity", "NaN"},
		{journal(func(j *Journal) { j.Attitude = 90.5 }), align.ErrOutOfRange, "attitude", "90.5 deg"},
		{journal(func(j *Journal) { j.Attitude = -0.5 }), align.ErrOutOfRange, "attitude", "-0.5 deg"},
		{journal(func(j *Journal) { j.Attitude = inf }), align.ErrNotFinite, "attitude", "+Inf deg"},
		{journal(func(j *Journal) { j.Turning = 3 }), align.ErrUnknownKind, "turning", "3"},
		{journal(func(j *Journal) { j.Turning = SenseUnknown }), align.ErrMissing, "turning", ""},
		{rule(4, 1, 10), align.ErrUnknownKind, "rule", "unknown rule"},
		{rule(RiseOfHeight, 0, 10), align.ErrMissing, "height", "0 m"},
		{rule(RiseOfHeight, -0.002, 10), align.ErrNegative, "height", "-2.000 mm"},
		{rule(RiseOfHeight, 2e6, 10), align.ErrOutOfRange, "height", "2e+06 m"},
		{rule(RiseOfHeight, 1, -10.5), align.ErrNegative, "rise", "-10.50 degC-rise"},
		{rule(RiseOfHeight, 1, 10001), align.ErrOutOfRange, "rise", "10001 K"},
		{rule(RiseOfHeight, 1, nan), align.ErrNotFinite, "rise", "NaN K"},
		{pipe(func(l *Leg) { l.Way = align.Displacement{} }), align.ErrMissing, "legs[0].way", "0 m"},
		{pipe(func(l *Leg) { l.Way.X = 2e6 }), align.ErrOutOfRange, "legs[0].way.x", "2e+06 m"},
		{pipe(func(l *Leg) { l.Way.Y = length(nan) }), align.ErrNotFinite, "legs[0].way.y", "NaN m"},
		{pipe(func(l *Leg) { l.Way.Z = -2e6 }), align.ErrOutOfRange, "legs[0].way.z", "-2e+06 m"},
		{pipe(func(l *Leg) { l.Material.Kind = 0 }), align.ErrMissing, "legs[0].material.kind", ""},
		{pipe(func(l *Leg) { l.Cold = 0 }), align.ErrMissing, "legs[0].cold", "0 K"},
		{pipe(func(l *Leg) { l.Hot = 0 }), align.ErrMissing, "legs[0].hot", "0 K"},
		{first(PipeRun{}.FreeExpansion()), align.ErrMissing, "legs", ""},
		{target(func(_ *Case, c *Criterion) { c.Near.Limit = 0 }), align.ErrOutOfRange, "near.limit", "0.000 mm"},
		{target(func(_ *Case, c *Criterion) { c.Far.Limit = 1e-10 }), align.ErrOutOfRange, "far.limit", "1e-10 m"},
		{target(func(_ *Case, c *Criterion) { c.Far.Station = 10001 }), align.ErrOutOfRange, "far.station", "10001000.000 mm"},
		{target(func(_ *Case, c *Criterion) { c.Far.Station = c.Near.Station }), align.ErrCoincident, "far.station", ""},
		{target(func(_ *Case, c *Criterion) { c.Mode = 2 }), align.ErrUnknownKind, "mode", "2"},
		{target(func(k *Case, _ *Criterion) { k.NearLimit = &small }), align.ErrNegative, "states[0].nearLimit", "-2.000 mm"},
		{target(func(k *Case, _ *Criterion) { k.FarLimit = &small }), align.ErrNegative, "states[0].farLimit", "-2.000 mm"},
		{target(func(k *Case, _ *Criterion) { k.Near = lineOf(11, 0) }), align.ErrOutOfRange, "states[0].near.horizontal", "11000.000 mm"},
		{target(func(k *Case, _ *Criterion) { k.Far = lineOf(0, 1.5) }), align.ErrOutOfRange, "states[0].far.horizontal.slope", "1.5"},
		{target(func(k *Case, _ *Criterion) { k.Far = lineOf(0, nan) }), align.ErrNotFinite, "states[0].far.horizontal.slope", "NaN"},
		{first(BestColdTarget(nil, criterion(PerPlane))), align.ErrMissing, "states", ""},
		{first(BestColdTarget(make([]Case, 65), criterion(PerPlane))), align.ErrOutOfRange, "states", "65"},
		{first(JudgeColdTarget(lineOf(11, 0), make([]Case, 1), criterion(PerPlane))), align.ErrOutOfRange, "cold.horizontal", "11000.000 mm"},
		{first(TargetReadings(align.Axis{}, nil, align.Spool{}, 0, 0)), align.ErrMissing, "dials", ""},
		{warm(0, 1), align.ErrOutOfRange, "constant", "0 s"},
		{warm(-1, 1), align.ErrNegative, "constant", "-1 s"},
		{warm(1, 2e9), align.ErrOutOfRange, "after", "2e+09 s"},
		{between(1.5), align.ErrOutOfRange, "fraction", "1.5"},
		{between(-0.5), align.ErrOutOfRange, "fraction", "-0.5"},
		{between(nan), align.ErrNotFinite, "fraction", "NaN"},
		{ambient(2, 1), align.ErrOutOfRange, "low", "2 K"},
		{ambient(nan, 1), align.ErrNotFinite, "low", "NaN K"},
		{ambient(0, inf), align.ErrNotFinite, "high", "+Inf K"},
		{first(State{Near: lineOf(0, -1.5)}.ColdTarget()), align.ErrOutOfRange, "near.horizontal.slope", "-1.5"},
		{first(State{}.Position(lineOf(nan, 0))), align.ErrNotFinite, "cold.horizontal", "NaN m"},
		{first(StationMovement{Station: 10001}.Total()), align.ErrOutOfRange, "station", "10001000.000 mm"},
		{first(StationMovement{Contributions: []Contribution{{}, {Cause: 6}}}.Total()), align.ErrUnknownKind, "contributions[1].cause", "6"},
		{first(StationMovement{Contributions: []Contribution{{Offset: align.Offset{Vertical: -11}}}}.Total()), align.ErrOutOfRange, "contributions[0].offset.vertical", "-11000.000 mm"},
		{first(MeasuredMovement{}.Axis()), align.ErrCoincident, "second.station", "0.000 mm"},
		{first(MeasuredMovement{First: MovedPoint{Station: 10001}}.Axis()), align.ErrOutOfRange, "first.station", "10001000.000 mm"},
		{first(MeasuredMovement{Second: MovedPoint{1, align.Offset{Horizontal: 11}}}.Axis()), align.ErrOutOfRange, "second.offset.horizontal", "11000.000 mm"},
		{layers(Layer{0.1, 310}, Layer{0.6, 310}), align.ErrOutOfRange, "profile[1].height", "600.000 mm"},
		{layers(Layer{-0.1, 310}), align.ErrOutOfRange, "profile[0].height", "-100.000 mm"},
		{layers(Layer{0.1, 310}, Layer{0.1, 320}), ErrNotAscending, "profile[1].height", "100.000 mm"},
		{layers(Layer{0.1, 10001}), align.ErrOutOfRange, "profile[0].temperature", "10001 K"},
		{layers(Layer{length(inf), 310}), align.ErrNotFinite, "profile[0].height", "+Inf m"},
	} {
		require.ErrorIs(t, c.err, c.fault, "%d %s %v", i, c.field, c.err)
		var in *align.InputError
		require.ErrorAs(t, c.err, &in)
		assert.Equal(t, c.field, in.Field, i)
		assert.Equal(t, "thermal", in.Package, i)
		if c.field == "far.station" && c.got == "" {
			assert.Contains(t, in.Got, " mm")
			continue
		}
		assert.Equal(t, c.got, in.Got, "%d %s", i, c.field)
	}
	_, _, err := Enclosing([]align.Offset{{Horizontal: 11}})
	require.ErrorContains(t, err, "offsets.horizontal = 11000.000 mm")
	_, _, err = Enclosing(nil)
	require.ErrorIs(t, err, align.ErrMissing)
}

// The bounds themselves are let pass.
func TestBoundsAreLetPass(t *testing.T) {
	m := round()
	for _, a := range []float64{1e-3, -1e-3, 0} {
		m.Coefficient = a
		require.NoError(t, m.Check())
	}
	_, err := m.Strain(1e-3, 10000)
	require.NoError(t, err)
	table := Material{Kind: InstantaneousTable, Points: []CoefficientPoint{{1, 1e-3}, {10000, -1e-3}}}
	require.NoError(t, table.Check())
	require.Error(t, Material{Kind: InstantaneousTable, Points: []CoefficientPoint{{1, 1e-3}, {10000, -1.001e-3}}}.Check())
	_, err = Segment{Length: 1e6, Material: round(), Cold: 300, Hot: 301}.Growth()
	require.NoError(t, err)
	_, err = Segment{Length: 0.5, Material: round(), Cold: 300, Profile: []Layer{{0, 310}, {0.5 * (1 + 5e-10), 10000}}}.Growth()
	require.NoError(t, err, "a height that is over the top by rounding")
	_, err = Segment{Length: 0.5, Material: round(), Cold: 300, Profile: []Layer{{0.5 * (1 + 1e-8), 310}}}.Growth()
	require.ErrorIs(t, err, align.ErrOutOfRange)
	_, err = WarmUp{Constant: 1e9}.At("", 1e9)
	require.NoError(t, err)
	for _, f := range []float64{0, 1} {
		_, err = Between("", State{}, State{}, f)
		require.NoError(t, err)
	}
	_, _, err = Ambient{Low: 2, High: 2}.States()
	require.NoError(t, err)
	steep := align.Axis{Vertical: align.Line{Offset: -10, Slope: -1}, Horizontal: align.Line{Offset: 10, Slope: 1}}
	require.NoError(t, State{Near: steep, Far: steep}.Check())
	_, err = BestColdTarget(make([]Case, 64), Criterion{Near: LimitAt{-1e4, 1e-9}, Far: LimitAt{1e4, 10}})
	require.NoError(t, err)
	_, err = BestColdTarget(make([]Case, 1), Criterion{Near: LimitAt{0, 1}, Far: LimitAt{1e-6, 1}})
	require.NoError(t, err, "a micrometre apart")
	for _, a := range []float64{0, 90} {
		for _, e := range []float64{0, 1} {
			_, err = Journal{Clearance: 10, Eccentricity: e, Attitude: a, Turning: Counterclockwise}.Shift()
			require.NoError(t, err)
		}
	}
	_, err = Journal{Clearance: 1e-4, Eccentricity: 0.5}.Shift()
	require.NoError(t, err, "without an attitude the sense is not needed")
	_, err = EndFloat{Bearing: 1e-9}.Judge()
	require.NoError(t, err)
	_, err = RiseOfHeight.Growth(1e6, 10000)
	require.NoError(t, err)
	eight := Machine{}
	for i := range 32 {
		eight.Supports = append(eight.Supports, SupportAt{Station: unit.Length(i / 4), Lateral: unit.Length(i % 4), Support: support(10)})
	}
	_, err = eight.Growth()
	require.NoError(t, err)
	rs := curve(1e-3, 2e-4, 3600, 600, 1800, 3600, 7200)
	rs = append(rs[:1], append([]CoolReading{{After: 600.002, Value: rs[0].Value}}, rs[1:]...)...)
	_, err = HotCheck{Readings: rs}.Solve()
	require.NoError(t, err, "two milliseconds apart")
	_, err = Material{Kind: Polynomial, Terms: []float64{0, 9}, From: 1, To: 500}.Strain(300, 311)
	require.NoError(t, err, "a strain of 99")
}

// The mean of a table from 20 degC: half way between 300 and 400 K the coefficient
// is half way as well, outside the ends are held.
func TestTableBetweenItsPoints(t *testing.T) {
	m := Material{Kind: MeanTable, Reference: 293, Points: []CoefficientPoint{{300, 10e-6}, {400, 12e-6}, {600, 13e-6}, {700, 17e-6}}}
	for at, want := range map[float64]float64{250: 10e-6, 300: 10e-6, 350: 11e-6, 400: 12e-6, 500: 12.5e-6, 599: 12.995e-6, 650: 15e-6, 700: 17e-6, 900: 17e-6} {
		e, err := m.Strain(293, unit.Temperature(at))
		require.NoError(t, err)
		assert.InEpsilon(t, want*(at-293), e, 1e-12, at)
	}
	// The slope of strain: trapezoids of 11, 12.5 and 15 millionths over 100, 200
	// and 100 K, and the ends held.
	m.Kind, m.Reference = InstantaneousTable, 0
	for _, c := range [][3]float64{
		{300, 400, 1100}, {400, 600, 2500}, {600, 700, 1500}, {300, 700, 5100}, {250, 300, 500}, {700, 800, 1700},
		{300, 350, 525}, {400, 500, 1225}, {250, 800, 7300}, {700, 300, -5100},
	} {
		e, err := m.Strain(unit.Temperature(c[0]), unit.Temperature(c[1]))
		require.NoError(t, err)
		assert.InEpsilon(t, c[2]*1e-6, e, 1e-12, "%v", c)
	}
}

// EN 1993-1-2, 3.4.1.1, at round temperatures: (3.1a) at 100 and 700 degC, the
// plateau of 0.011, (3.1c) at 900 and 1200 degC.
func TestEurocodeAtRoundTemperatures(t *testing.T) {
	m := Material{Kind: Eurocode3Steel}
	for c, want := range map[float64]float64{
		20: 0, 100: 1.2e-3 + 4e-5 - 2.416e-4, 700: 8.4e-3 + 1.96e-3 - 2.416e-4, 750: 1.1e-2, 800: 1.1e-2, 860: 1.1e-2,
		900: 1.8e-2 - 6.2e-3, 1200: 2.4e-2 - 6.2e-3, 1300: 2.6e-2 - 6.2e-3,
	} {
		e, err := m.Strain(align.Celsius(20), align.Celsius(c))
		require.NoError(t, err)
		assert.InDelta(t, want, e, 1e-12, c)
	}
	// Below 20 degC the tangent: 1.2e-5 + 2*0.4e-8*20 = 1.216e-5 per kelvin.
	e, err := m.Strain(align.Celsius(20), align.Celsius(-30))
	require.NoError(t, err)
	assert.InDelta(t, -50*1.216e-5, e, 1e-15)
	from, to, stated := m.Range()
	assert.Equal(t, [2]unit.Temperature{293.15, 1473.15}, [2]unit.Temperature{from, to})
	assert.True(t, stated)
}

// A polynomial goes on straight beyond its range: 2e-6 T + 3e-8 T^2 has the slope
// 2e-6 + 6e-8 T.
func TestPolynomialBeyondItsRange(t *testing.T) {
	m := Material{Kind: Polynomial, Terms: []float64{7, 2e-6, 3e-8}, From: 300, To: 500}
	at := func(x float64) float64 { return 2e-6*x + 3e-8*x*x }
	for _, c := range [][3]float64{
		{300, 500, at(500) - at(300)}, {500, 600, 100 * (2e-6 + 6e-8*500)}, {200, 300, 100 * (2e-6 + 6e-8*300)},
		{400, 550, at(500) - at(400) + 50*(2e-6+6e-8*500)},
	} {
		e, err := m.Strain(unit.Temperature(c[0]), unit.Temperature(c[1]))
		require.NoError(t, err)
		assert.InEpsilon(t, c[2], e, 1e-10, "%v", c)
	}
}

// The ends of a stated range belong to it, to a billionth of a kelvin.
func TestRangeAtItsEnds(t *testing.T) {
	m := round()
	m.From, m.To = 300, 400
	for at, want := range map[float64]bool{300: true, 400: true, 300 - 5e-10: true, 400 + 5e-10: true, 299.9: false, 400.1: false, 350: true} {
		assert.Equal(t, want, m.InRange(unit.Temperature(at)), at)
		ws := m.AppendRangeWarning(nil, "hot", unit.Temperature(at))
		assert.Equal(t, want, len(ws) == 0, at)
		if !want {
			end := 300.0
			if at > 350 {
				end = 400
			}
			assert.Equal(t, end, ws[0].Limit)
			assert.Equal(t, at, ws[0].Value)
		}
	}
	_, _, stated := round().Range()
	assert.False(t, stated)
}

// The residual limit of a support is one mil as 0.025 mm, and a support may lie
// off by as much.
func TestResidualAtItsLimit(t *testing.T) {
	// Of growths 0, h and 0 at even steps the line is level at h/3, so that the
	// middle one lies 2h/3 over it and the others h/3 under it.
	warned := func(h float64, limit *unit.Length) int {
		m := Machine{ResidualLimit: limit}
		for i, rise := range []float64{10, 10 + h/1e-5, 10} {
			m.Supports = append(m.Supports, SupportAt{Station: unit.Length(i), Support: support(rise)})
		}
		g, err := m.Growth()
		require.NoError(t, err)
		require.Len(t, g.Stations, 3)
		assert.InDelta(t, 2*h/3, float64(g.Stations[1].Residual), 1e-12)
		assert.InDelta(t, -h/3, float64(g.Stations[0].Residual), 1e-12)
		return len(g.Warnings)
	}
	assert.Zero(t, warned(0.0374e-3, nil))
	assert.Equal(t, 1, warned(0.0376e-3, nil))
	assert.Equal(t, 1, warned(-0.0376e-3, nil), "downward too")
	own := unit.Length(0.1e-3)
	assert.Zero(t, warned(0.149e-3, &own))
	assert.Equal(t, 1, warned(0.151e-3, &own))
	assert.Equal(t, 3, warned(0.31e-3, &own), "the others are off by half of that")
}

// Supports at one station that stand a hair apart tell no roll.
func TestRollNeedsRoomAcross(t *testing.T) {
	for across, known := range map[float64]bool{0: false, 1e-7: false, 1e-3: true} {
		m := Machine{Supports: []SupportAt{
			{Lateral: 0, Support: support(10)}, {Lateral: unit.Length(across), Support: support(20)},
		}}
		g, err := m.Growth()
		require.NoError(t, err)
		assert.Equal(t, known, g.Stations[0].RollKnown, across)
	}
}

// The window of the coupling by hand: 12 mm of float, held 1 mm off the middle.
func TestEndFloatByHand(t *testing.T) {
	mm := align.Millimetre
	for travel, want := range map[float64][4]float64{ // low, high in mm; inside; within half the float
		0: {7, 5, 1, 1}, 2: {5, 3, 1, 1}, 2.999: {4.001, 2.001, 1, 1}, 3: {4, 2, 1, 0}, 5: {2, 0, 1, 0}, 5.5: {1.5, -0.5, 0, 0}, 7.5: {-0.5, -2.5, 0, 0},
	} {
		c, err := EndFloat{Bearing: 12 * mm, Travel: unit.Length(travel) * mm, Centre: 1 * mm}.Judge()
		require.NoError(t, err)
		assert.InDelta(t, want[0], float64(c.Low/mm), 1e-9)
		assert.InDelta(t, want[1], float64(c.High/mm), 1e-9)
		assert.Equal(t, want[2] == 1, c.Inside, travel)
		assert.Equal(t, want[3] == 1, c.Share.Within, travel)
		assert.InDelta(t, travel/6, c.Share.Measured, 1e-12)
	}
	c, err := EndFloat{Bearing: 12 * mm, Travel: 5 * mm, Centre: -1.5 * mm}.Judge()
	require.NoError(t, err)
	assert.InDelta(t, -0.5, float64(c.Low/mm), 1e-9)
	assert.False(t, c.Inside)
}

// The warnings of a hot check at their bounds: first reading past half a time
// constant, last one before a whole one.
func TestHotCheckWarnsAtItsBounds(t *testing.T) {
	fields := func(times ...float64) (out []string) {
		c, err := HotCheck{Readings: curve(1e-3, 2e-4, 3600, times...)}.Solve()
		require.NoError(t, err)
		for _, w := range c.Warnings {
			if w.Code == align.WarnExtrapolation {
				out = append(out, w.Field)
			}
		}
		return out
	}
	assert.Empty(t, fields(1790, 3000, 5000, 7200))
	assert.Equal(t, []string{"readings[0].after"}, fields(1810, 3000, 5000, 7200))
	assert.Empty(t, fields(100, 1000, 2000, 3710))
	assert.Equal(t, []string{"readings"}, fields(100, 1000, 2000, 3690))
}

// Shares of a billionth less govern too, and a target at its limits serves.
func TestGoverningShares(t *testing.T) {
	c := Criterion{Near: LimitAt{0, 1e-3}, Far: LimitAt{1, 1e-3}}
	k := Case{State: State{Far: align.Axis{Vertical: align.Line{Offset: 0.5e-3}, Horizontal: align.Line{Offset: 0.25e-3}}}}
	target, err := JudgeColdTarget(align.Axis{}, []Case{k}, c)
	require.NoError(t, err)
	assert.InDelta(t, 0.5, target.Worst, 1e-15)
	assert.Len(t, target.Checks, 4)
	assert.Len(t, target.Governing, 2, "both stations, upright")
	for _, g := range target.Governing {
		assert.Equal(t, Vertical, g.Direction)
		assert.InDelta(t, 0.5e-3, float64(g.Margin()), 1e-18)
	}
	for offset, within := range map[float64]bool{1e-3: true, 1e-3 * (1 + 1e-13): true, 1e-3 * (1 + 1e-9): false} {
		k.State.Far = align.Axis{Vertical: align.Line{Offset: unit.Length(offset)}}
		target, err = JudgeColdTarget(align.Axis{}, []Case{k}, c)
		require.NoError(t, err)
		assert.Equal(t, within, target.Within(), offset)
	}
	target, err = JudgeColdTarget(align.Axis{}, make([]Case, 1), c)
	require.NoError(t, err)
	assert.Empty(t, target.Governing, "nothing moves, nothing governs")
	assert.Zero(t, target.Worst)
}

// Sizes past which a segment is warned about: 10 m and a strain of 1.5 %.
func TestSegmentsOfUnusualSize(t *testing.T) {
	codesOf := func(length, strain float64) (fields []string) {
		m := Material{Kind: Constant, Coefficient: strain / 100}
		s := Support{Segments: []Segment{{Length: unit.Length(length), Material: m, Cold: 300, Hot: 400}}}
		for _, w := range s.Warnings() {
			assert.Equal(t, align.WarnSize, w.Code)
			fields = append(fields, w.Field)
		}
		return fields
	}
	assert.Empty(t, codesOf(10, 0.0149))
	assert.Equal(t, []string{"segments[0].length"}, codesOf(10.01, 0.001))
	assert.Equal(t, []string{"segments[0]"}, codesOf(1, 0.0151))
	assert.Equal(t, []string{"segments[0]"}, codesOf(1, -0.0151))
}

// A profile that leaves a hair of its segment unread is let pass.
func TestProfileThatFallsShort(t *testing.T) {
	short := func(from, to float64) float64 {
		s := Support{Segments: []Segment{{Length: 2, Material: round(), Cold: 300, Profile: []Layer{{unit.Length(from), 310}, {unit.Length(to), 320}}}}}
		ws := s.Warnings()
		if len(ws) == 0 {
			return 0
		}
		assert.Equal(t, WarnProfile, ws[0].Code)
		assert.Equal(t, "segments[0].profile", ws[0].Field)
		return ws[0].Value
	}
	assert.Zero(t, short(0, 2))
	assert.Zero(t, short(1e-9, 2))
	assert.InDelta(t, 0.75, short(0.25, 1.5), 1e-15)
}

// Readings without error give the curve back to the last digits, not only as far
// as a search on sums of squares can see.
func TestHotCheckToTheLastDigits(t *testing.T) {
	for _, tau := range []float64{900, 3600, 20000} {
		c, err := HotCheck{Readings: curve(1e-3, 2e-4, tau, 300, 900, 2000, 4000, 7200)}.Solve()
		require.NoError(t, err)
		assert.InEpsilon(t, tau, float64(c.Constant), 1e-11)
		assert.InEpsilon(t, 1e-3, float64(c.AtStop), 1e-11)
		assert.InEpsilon(t, 2e-4, float64(c.Final), 1e-11)
	}
}

// Out of the bearings by a nanometre of half a millimetre is outside, at either
// shoulder; out by rounding is not.
func TestEndFloatAtTheShoulder(t *testing.T) {
	for _, out := range []unit.Length{1e-9, -1e-9} {
		c, err := EndFloat{Bearing: 1e-3, Travel: 0.5e-3, Centre: out}.Judge()
		require.NoError(t, err)
		assert.False(t, c.Inside)
		c, err = EndFloat{Bearing: 1e-3, Travel: 0.5e-3, Centre: out * 1e-8}.Judge()
		require.NoError(t, err)
		assert.True(t, c.Inside)
	}
}

// The rows as they are printed: 1/4 in of float with 0.09 in of coupling, 1/2 in
// with 0.19 in, so that the coupling always stops first.
func TestEndFloatRowsAsPrinted(t *testing.T) {
	want := [][2]float64{{0.25, 0.09}, {0.5, 0.19}}
	rows := EndFloatRows()
	require.Len(t, rows, len(want))
	for i, r := range rows {
		assert.Equal(t, want[i], [2]float64{r.LeastFloat, r.Coupling.Value})
		assert.Equal(t, align.UnitInch, r.Coupling.Unit)
		assert.Equal(t, align.FromMemory, r.Coupling.Known)
	}
}

// A leg whose material is known from 250 to 350 K is warned about at either end.
func TestPipeRunWarnsOfBothTemperatures(t *testing.T) {
	m := round()
	m.From, m.To = 250, 350
	fields := func(cold, hot unit.Temperature) (out []string) {
		for _, w := range (PipeRun{Legs: []Leg{{Way: align.Displacement{X: 1}, Material: m, Cold: cold, Hot: hot}}}).Warnings() {
			out = append(out, w.Field)
		}
		return out
	}
	assert.Empty(t, fields(250, 350))
	assert.Equal(t, []string{"legs[0].cold"}, fields(249, 350))
	assert.Equal(t, []string{"legs[0].hot"}, fields(250, 351))
	assert.Equal(t, []string{"legs[0].cold", "legs[0].hot"}, fields(400, 200))
}

// Half a kelvin is a temperature of a layer.
func TestColdLayer(t *testing.T) {
	s := Segment{Length: 1, Material: round(), Cold: 300, Profile: []Layer{{0, 0.5}}}
	_, err := s.Growth()
	require.NoError(t, err)
}

// A straight line that leaves a third more is not taken for as good as the curve:
// the answer is given (and warned about).
func TestHotCheckBarelyCurved(t *testing.T) {
	rs := curve(1e-3, 2e-4, 3600, 300, 1200, 2100, 3000, 3900)
	for i, d := range []float64{60e-6, -60e-6, 0, 60e-6, -60e-6} {
		rs[i].Value += unit.Length(d)
	}
	c, err := HotCheck{Readings: rs}.Solve()
	require.NoError(t, err)
	share := squaresOfLine(rs) / (2 * float64(c.RMS*c.RMS))
	assert.Greater(t, share, 1.25)
	assert.Less(t, share, 1.5)
	// The warning tells how uncertain the time constant is, as a share of it.
	said := 0.0
	for _, w := range c.Warnings {
		if w.Code == WarnTimeConstant {
			said = w.Value
		}
	}
	require.NotNil(t, c.Sigma)
	assert.InEpsilon(t, float64(c.Sigma.Constant/c.Constant), said, 1e-9)
}

// squaresOfLine is what the best straight line leaves, by the textbook sums.
func squaresOfLine(rs []CoolReading) (q float64) {
	var n, st, sv, stt, stv float64
	for _, r := range rs {
		x, y := float64(r.After), float64(r.Value)
		n, st, sv, stt, stv = n+1, st+x, sv+y, stt+x*x, stv+x*y
	}
	slope := (n*stv - st*sv) / (n*stt - st*st)
	for _, r := range rs {
		left := float64(r.Value) - (sv-slope*st)/n - slope*float64(r.After)
		q += left * left
	}
	return q
}

// Supports may be told in any order of their stations: each rises by what stands
// on it, strain times height.
func TestSupportsInAnyOrder(t *testing.T) {
	for _, order := range [][]int{{0, 1, 2}, {2, 1, 0}, {2, 0, 1}, {1, 2, 0}} {
		var m Machine
		for _, k := range order {
			m.Supports = append(m.Supports, SupportAt{Station: unit.Length(k), Support: support(float64(10 * (k + 1)))})
		}
		g, err := m.Growth()
		require.NoError(t, err)
		require.Len(t, g.Stations, 3)
		for k, s := range g.Stations {
			want, err := support(float64(10 * (k + 1))).Growth()
			require.NoError(t, err)
			assert.Equal(t, unit.Length(k), s.Station, order)
			assert.InDelta(t, float64(want), float64(s.Growth), 1e-18, order)
		}
	}
}

// No other time constant fits better than the one found: level and height are
// worked out anew for each by the sums of the straight line through value against
// e^(-t/tau).
func TestHotCheckIsTheBest(t *testing.T) {
	left := func(rs []CoolReading, tau float64) (q float64) {
		var n, se, sv, see, sev float64
		for _, r := range rs {
			e, v := math.Exp(-float64(r.After)/tau), float64(r.Value)
			n, se, sv, see, sev = n+1, se+e, sv+v, see+e*e, sev+e*v
		}
		height := (n*sev - se*sv) / (n*see - se*se)
		for _, r := range rs {
			q += math.Pow(float64(r.Value)-(sv-height*se)/n-height*math.Exp(-float64(r.After)/tau), 2)
		}
		return q
	}
	r := rand.New(rand.NewPCG(5, 5))
	for range 300 {
		rs := curve(1e-3, 2e-4, 3600, 300, 1500, 3000, 5000, 8000, 12000)
		size := math.Pow(10, -4-2*r.Float64())
		for i := range rs {
			rs[i].Value += unit.Length(size * r.NormFloat64())
		}
		c, err := HotCheck{Readings: rs}.Solve()
		if err != nil {
			require.ErrorIs(t, err, align.ErrUndetermined)
			continue
		}
		tau := float64(c.Constant)
		least := left(rs, tau)
		require.InEpsilon(t, 3*float64(c.RMS*c.RMS), least, 1e-6)
		for _, k := range []float64{1.0001, 1.01, 1.1, 2} {
			require.LessOrEqual(t, least, left(rs, tau*k)*(1+1e-9))
			require.LessOrEqual(t, least, left(rs, tau/k)*(1+1e-9))
		}
	}
}

// Three readings that fall ever faster, or by the same, are of no cooling curve;
// neither are readings of which all but the first are alike.
func TestReadingsOfNoCurve(t *testing.T) {
	for _, v := range [][]unit.Length{{3e-4, 2e-4, 0}, {3e-4, 2e-4, 1e-4}, {3e-4, 1e-4, 1e-4}, {1e-4, 1e-4, 1e-4}, {3e-4, 1e-4, 2e-4}} {
		rs := make([]CoolReading, len(v))
		for i := range v {
			rs[i] = CoolReading{After: unit.Time(600 * (i + 1)), Value: v[i]}
		}
		_, err := HotCheck{Readings: rs}.Solve()
		require.ErrorIs(t, err, align.ErrUndetermined)
		assert.NotContains(t, err.Error(), "10 m")
	}
}

// Every state of an ambient rule must be sound, that per rise as well.
func TestAmbientOfUnsoundStates(t *testing.T) {
	bad := State{Far: align.Axis{Vertical: align.Line{Offset: unit.Length(math.NaN())}}}
	for field, a := range map[string]Ambient{"base": {Base: bad, High: 1}, "perRise": {PerRise: bad, High: 1}} {
		_, _, err := a.States()
		require.ErrorIs(t, err, align.ErrNotFinite)
		assert.Contains(t, err.Error(), field+".")
	}
}

// A material must be known over some range: from 300 to 300 K is none.
func TestRangeOfNothing(t *testing.T) {
	m := round()
	m.From, m.To = 300, 300
	require.Error(t, m.Check())
	m.To = 300.001
	require.NoError(t, m.Check())
}

// What the warnings of a hot check tell: how late the first reading was, how long
// the record is and how uncertain the time constant, each against its bound.
func TestHotCheckTellsSizes(t *testing.T) {
	of := func(times ...float64) map[string][2]float64 {
		out := map[string][2]float64{}
		c, err := HotCheck{Readings: curve(1e-3, 2e-4, 3600, times...)}.Solve()
		require.NoError(t, err)
		for _, w := range c.Warnings {
			out[w.Field] = [2]float64{w.Value, w.Limit}
		}
		return out
	}
	late, short := of(2000, 3000, 5000, 7200)["readings[0].after"], of(100, 1000, 2000, 3000)["readings"]
	assert.InDeltaSlice(t, []float64{2000, 1800}, late[:], 1e-3)
	assert.InDeltaSlice(t, []float64{2900, 3600}, short[:], 1e-3)
	between := 0
	for k := range 60 {
		rs := curve(1e-3, 2e-4, 3600, 300, 1200, 2100, 3000, 3900)
		for i, d := range []float64{1, -1, 0, 1, -1} {
			rs[i].Value += unit.Length(d * float64(k) * 1e-6)
		}
		c, err := HotCheck{Readings: rs}.Solve()
		require.NoError(t, err)
		warned := false
		for _, w := range c.Warnings {
			warned = warned || w.Code == WarnTimeConstant
		}
		share := float64(c.Sigma.Constant / c.Constant)
		require.Equal(t, share > 0.5, warned)
		if share > 0.5 && share < 1 {
			between++
		}
	}
	require.Positive(t, between)
}

// A machine says at which of its supports a temperature is out of range.
func TestMachineNamesTheSupport(t *testing.T) {
	m := at4(10, 10, 10, 10)
	hot := round()
	hot.From, hot.To = 290, 295
	m.Supports[2].Support = FootMounted(Height{Name: "foot", Length: 1, Material: hot, Cold: align.Celsius(20), Hot: align.Celsius(90)})
	g, err := m.Growth()
	require.NoError(t, err)
	named := 0
	for _, w := range g.Warnings {
		if w.Code == WarnTemperature {
			assert.Contains(t, w.Field, "supports[2].segments[0].")
			named++
		}
	}
	assert.Equal(t, 1, named)
}

// The last digits do not hang on the units: readings that scatter, told three times
// as long and seven times as large, give three times the time constant.
func TestHotCheckInOtherUnits(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 6))
	for range 100 {
		rs := curve(1e-3, 2e-4, 3600, 300, 1500, 3000, 5000, 8000, 12000)
		other := make([]CoolReading, len(rs))
		for i := range rs {
			rs[i].Value += unit.Length(2e-5 * r.NormFloat64())
			other[i] = CoolReading{After: 3 * rs[i].After, Value: 7 * rs[i].Value}
		}
		a, err := HotCheck{Readings: rs}.Solve()
		require.NoError(t, err)
		b, err := HotCheck{Readings: other}.Solve()
		require.NoError(t, err)
		require.InEpsilon(t, 3*float64(a.Constant), float64(b.Constant), 1e-11)
		require.InEpsilon(t, 7*float64(a.Final), float64(b.Final), 1e-11)
	}
}
