package tolerance

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// The tests of this file were added because small mistakes made on purpose in the
// code (see internal/mutate) were not noticed by the others. Their expectations
// are worked out by hand beside them.

// Each refusal names its field and shows the value with its unit.
func TestRefusalsShowTheValue(t *testing.T) {
	nan := math.NaN()
	within := func(n Normal2, r float64) error { _, err := n.Within(r); return err }
	slope := func(gap, d unit.Length) error { _, err := SlopeOfGap(gap, d); return err }
	mesh := func(d unit.Length, speed unit.Frequency, angle float64) error {
		_, err := GearMesh{d, speed, angle}.Sliding()
		return err
	}
	decide := func(g Guard) error { _, err := Decide(tenth, 0, 1e-6, g); return err }
	resultant := func(n Normal2) error { _, err := DecideResultant(tenth, n, NoGuard); return err }
	measure := func(g Geometry, m Measure) error { _, err := g.measure(m); return err }
	at := func(change func(*Table)) error {
		table := invented(AnySpeed)
		change(&table)
		_, err := table.LimitAt(Geometry{})
		return err
	}
	check := func(rule Rule, change func(*Table)) error {
		table := invented(rule)
		change(&table)
		_, err := table.Check()
		return err
	}
	unusable := bandTable()
	unusable.Unusable = true
	_, byGrade := unusable.Grade(high(0.06), Geometry{Speed: rpm(1500)})
	_, byValue := unusable.GradeValue(6e-5, Geometry{Speed: rpm(1500)})
	_, bySpeed := unusable.HighestSpeed(high(0.06), Geometry{})
	fast := bandTable()
	_, tooFast := fast.LimitAt(Geometry{Speed: rpm(5000)})
	for i, c := range []struct {
		err   error
		fault align.Fault
		field string
		got   string
	}{
		{within(Normal2{}, -0.0012), align.ErrNegative, "radius", "-1.2000 mm"},
		{within(Normal2{SigmaVertical: -0.25}, 1), align.ErrNegative, "sigma.vertical", "-0.250000"},
		{within(Normal2{SigmaHorizontal: -0.5}, 1), align.ErrNegative, "sigma.horizontal", "-0.500000"},
		{within(Normal2{Correlation: -1.0625}, 1), align.ErrOutOfRange, "correlation", "-1.062500"},
		{within(Normal2{Correlation: nan}, 1), align.ErrNotFinite, "correlation", ""},
		{within(Normal2{Horizontal: nan}, 1), align.ErrNotFinite, "horizontal", ""},
		{slope(1e-3, unit.Length(nan)), align.ErrNotFinite, "diameter", ""},
		{slope(1e-3, -0.005), align.ErrZeroDiameter, "diameter", "-5.000 mm"},
		{mesh(-0.1, 1, 0), align.ErrZeroDiameter, "mesh.pitch-diameter", "-100.000 mm"},
		{mesh(0, 1, 0), align.ErrZeroDiameter, "mesh.pitch-diameter", "0.000 mm"},
		{mesh(unit.Length(nan), 1, 0), align.ErrNotFinite, "mesh.pitch-diameter", ""},
		{mesh(0.1, rpm(-100), 0), align.ErrNegative, "mesh.speed", "-100.0 rpm"},
		{mesh(0.1, unit.Frequency(nan), 0), align.ErrNotFinite, "mesh.speed", ""},
		{mesh(0.1, 1, nan), align.ErrNotFinite, "mesh.angle", ""},
		{mesh(1e200, 1e200, 1), align.ErrOutOfRange, "mesh", ""},
		{decide(-1.5), align.ErrNegative, "guard", "-1.500"},
		{decide(Guard(nan)), align.ErrNotFinite, "guard", ""},
		{resultant(Normal2{SigmaVertical: -0.25}), align.ErrNegative, "sigma.vertical", "-0.250000"},
		{measure(Geometry{FaceDiameter: -0.15}, FaceDiameter), align.ErrNegative, "face-diameter", "-150.000 mm"},
		{measure(Geometry{Clearance: unit.Length(nan)}, Clearance), align.ErrNotFinite, "clearance", "NaN mm"},
		{measure(Geometry{}, RunoutLength), align.ErrMissing, "runout-length", ""},
		{measure(Geometry{}, "weight"), align.ErrUnknownKind, "measure", "weight"},
		{at(func(t *Table) { t.Unit, t.Rows[0].Value = align.UnitMetre, -1234.5678 }), align.ErrOutOfRange, "limit", "-1234.57"},
		{at(func(t *Table) { t.Unit, t.Rows[0].Value = align.UnitMetre, 1.5e100 }), align.ErrOutOfRange, "limit", "1.5e+100"},
		{at(func(t *Table) { t.Rows[0].Value = nan }), align.ErrNotFinite, "limit", "NaN"},
		{at(func(t *Table) { t.Unusable = true }), ErrUnusable, "table", `"invented"`},
		{byGrade, ErrUnusable, "bands", ""},
		{byValue, ErrUnusable, "bands", ""},
		{bySpeed, ErrUnusable, "bands", ""},
		{tooFast, align.ErrOutOfRange, "speed", "5000.0 rpm"},
		{check(ByBand, func(t *Table) { t.Rows[1].From = rpm(1001) }), ErrGap, "rows[1].fromRpm", "1001.0 rpm after 1000.0 rpm"},
		{check(ByBand, func(t *Table) { t.Rows[1].To = rpm(900) }), ErrOrder, "rows[1].toRpm", "900.0 rpm"},
		{check(ByBand, func(t *Table) { t.Rows[1].Value = 4.125 }), ErrNotMonotone, "rows[1].value", "4.125 after 4"},
		{check(ByPoint, func(t *Table) { t.Rows[2].Speed = rpm(1500) }), ErrOrder, "rows[2].rpm", "1500.0 rpm"},
		{check(ByPoint, func(t *Table) { t.Rows[0].Speed = rpm(1e10) }), align.ErrOutOfRange, "rows[0].rpm", " rpm"},
		{check(ByFactor, func(t *Table) { t.Factors[1].Factor = 1.0625 }), ErrNotMonotone, "factors[1].factor", "1.0625 after 1"},
		{check(ByFactor, func(t *Table) { t.Factors[1].Speed = rpm(999) }), ErrOrder, "factors[1].rpm", "999.0 rpm"},
		{check(AnySpeed, func(t *Table) { t.Quantity, t.Unit, t.Rows[0].Value = Angle, align.UnitDegree, 46 }), align.ErrOutOfRange, "rows[0].value", "46.000 deg"},
		{check(ByPoint, func(t *Table) { t.Rows[2].Size = "a\tb" }), align.ErrOutOfRange, "rows[2].size", `"a\tb"`},
		{func() error { _, err := SharesAdd.Share(0.5, -0.125); return err }(), align.ErrNegative, "share", "-0.125"},
		{check(ByFormula, func(t *Table) { t.Formula.Power = math.Inf(1) }), align.ErrNotFinite, "formula.power", "+Inf"},
	} {
		require.ErrorIs(t, c.err, c.fault, i)
		var in *align.InputError
		require.ErrorAs(t, c.err, &in)
		assert.Equal(t, c.field, in.Field, i)
		if c.got == " rpm" { // the number is too long to copy
			assert.True(t, strings.HasSuffix(in.Got, c.got), in.Got)
			continue
		}
		assert.Equal(t, c.got, in.Got, i)
	}
}

// The longest names and texts are accepted, longer ones are not.
func TestLengthsOfTexts(t *testing.T) {
	table := invented(AnySpeed)
	table.ID, table.Note = strings.Repeat("a", 80), strings.Repeat("n", 1000)
	_, err := table.Check()
	require.NoError(t, err)
	table.ID += "a"
	_, err = table.Check()
	require.ErrorIs(t, err, align.ErrOutOfRange)
	table.ID = strings.Repeat("a", 161)
	_, err = table.Check()
	require.ErrorIs(t, err, align.ErrOutOfRange)
	table.ID, table.Note = "a", strings.Repeat("n", 1001)
	_, err = table.Check()
	require.ErrorIs(t, err, align.ErrOutOfRange)
}

// Values and names are shown whole up to 40 bytes and cut there.
func TestLongValuesAreCut(t *testing.T) {
	forty := strings.Repeat("x", 40)
	assert.Equal(t, `"`+forty+`"`, show(forty))
	assert.Equal(t, `"`+forty+`..."`, show(forty+"y"))
	assert.Equal(t, `"`+forty+`..."`, show(forty+strings.Repeat("y", 60)))
	assert.Equal(t, "null", show(nil))
	assert.Equal(t, "a list of 2", show([]any{1, 2}))
	assert.Equal(t, "a."+forty, join("a", forty))
	assert.Equal(t, "a."+forty+"...", join("a", forty+"y"))
	assert.Equal(t, "b~", join("", "b~"), "a tilde is printable")
	assert.Equal(t, "!b", join("", "!b"))
	assert.Equal(t, `"b c"`, join("", "b c"))
	assert.Equal(t, `"b\x7f"`, join("", "b\x7f"))
}

// Where the text breaks off is said by its path.
func TestBadJSONNamesThePlace(t *testing.T) {
	for text, want := range map[string][2]string{
		`{"tables": [1`:           {"tables", "near line 1"},
		"{\"tables\":\n [{\"a\"":  {"tables[0].a", "near line 2"},
		`{"tables": {"a": 1`:      {"tables", "near line 1"},
		`{"tables": {1: 2}}`:      {"tables", "the name of a field is wanted"},
		`{"tables": [[1, 2], [3`:  {"tables[1]", "near line 1"},
		`{"a": {"b": {}, "b": 1}`: {"a.b", "given twice"},
	} {
		_, _, err := ParseSet([]byte(text))
		require.ErrorIs(t, err, ErrBadJSON, text)
		var in *align.InputError
		require.ErrorAs(t, err, &in)
		assert.Equal(t, want[0], in.Field, text)
		assert.Contains(t, in.Got, want[1], text)
	}
	empty := strings.Replace(small, `[{"rpm": 1500, "value": 0.1}, {"rpm": 3000, "value": 0.05}]`, `[]`, 1)
	_, _, err := ParseSet([]byte(empty))
	require.ErrorContains(t, err, "tables[0].rows = an empty list")
	zero := strings.NewReplacer("by-point", "by-band", `"rpm": 1500`, `"fromRpm": 0, "toRpm": 0`, `"rpm": 3000`, `"fromRpm": 0`, `"between": "linear", `, "").Replace(small)
	_, _, err = ParseSet([]byte(zero))
	require.ErrorContains(t, err, "tables[0].rows[0].toRpm = 0 rpm")
}

// Whole speeds come back whole although a minute has sixty seconds.
func TestSpeedsReadBackWhole(t *testing.T) {
	for n := 1.0; n <= 20000; n++ {
		require.Equal(t, n, rpmOf(frequency(n)))
	}
	for _, n := range []float64{0.1, 2.5, 1480.3, 1e-3} {
		require.Equal(t, frequency(n), frequency(rpmOf(frequency(n))))
	}
	out, err := FormatSet(Set{ID: "s", Title: "s", Combine: EachAlone, Tables: []Table{invented(ByPoint)}})
	require.NoError(t, err)
	for _, want := range []string{`"rpm": 1000,`, `"rpm": 2000,`, `"rpm": 4000,`} {
		require.Contains(t, string(out), want)
	}
}

// A size, a share and a speed that miss a bound by rounding are on it; a part in
// 10^9 is no rounding.
func TestRoomForRounding(t *testing.T) {
	const tiny, more = 1 + 1e-13, 1 + 1e-9
	limit := bandTable()
	at := Geometry{Speed: rpm(1500)}
	allowed, err := limit.LimitAt(at)
	require.NoError(t, err)
	for k, want := range map[float64]bool{1: true, tiny: true, more: false, 1 - 1e-9: true, 0.5: true, 1.5: false, -tiny: true, -more: false} {
		g, err := limit.GradeValue(k*allowed.SI, at)
		require.NoError(t, err)
		assert.Equal(t, want, g.Within, k)
		assert.InDelta(t, math.Abs(k)*0.08e-3, g.Measured.Value, 1e-18, "the sign does not matter")
	}
	for share, want := range map[float64]bool{1: true, tiny: true, more: false, 0: true, 1.9: false, 0.4: true} {
		assert.Equal(t, want, within(share), share)
	}
	assert.True(t, same(rpm(1000)*tiny, rpm(1000)))
	assert.True(t, same(rpm(1000), rpm(1000)*tiny))
	assert.False(t, same(rpm(1000)*more, rpm(1000)))

	for k, want := range map[float64]float64{1: 0.12, tiny: 0.12, 1 / tiny: 0.12, 1 - 1e-9: 0.12, more: 0.08} {
		a, err := limit.LimitAt(Geometry{Speed: unit.Frequency(k) * rpm(1000)})
		require.NoError(t, err)
		assert.Equal(t, want, a.Printed, "%.15g", k)
	}
	top, err := limit.HighestSpeed(high(0.08*tiny), Geometry{})
	require.NoError(t, err)
	assert.Equal(t, TopSpeed{Speed: rpm(2000), Below: true}, top)
	top, err = limit.HighestSpeed(high(0.08*more), Geometry{})
	require.NoError(t, err)
	assert.Equal(t, TopSpeed{Speed: rpm(1000)}, top)
}

// Speeds below one turn a second count like all others.
func TestSlowBands(t *testing.T) {
	table := bandTable()
	table.Below = Refuse
	table.Rows = []Row{{From: rpm(30), To: rpm(45), Value: 0.5, OwnsFrom: true}, {From: rpm(45), To: rpm(59), Value: 0.4, OwnsFrom: true}}
	_, err := table.Check()
	require.NoError(t, err)
	assert.Equal(t, []unit.Frequency{rpm(30), rpm(45), rpm(59)}, table.Speeds())
	_, err = table.LimitAt(Geometry{Speed: rpm(29)})
	require.ErrorIs(t, err, align.ErrOutOfRange)
	for n, want := range map[float64]float64{30: 0.5, 44: 0.5, 45: 0.4, 58: 0.4} {
		a, err := table.LimitAt(Geometry{Speed: rpm(n)})
		require.NoError(t, err)
		assert.Equal(t, want, a.Printed, n)
	}
	top, err := table.HighestSpeed(high(0.45), Geometry{})
	require.NoError(t, err)
	assert.Equal(t, TopSpeed{Speed: rpm(45), Below: true}, top)
}

// The slowest and the fastest speed that a table may name.
func TestSpeedsThatCannotBe(t *testing.T) {
	for f, ok := range map[unit.Frequency]bool{
		0: true, 1e-9: true, 0.9e-9: false, rpm(1e9): true, rpm(1.001e9): false, rpm(1e10): false, 1: true,
	} {
		assert.Equal(t, ok, checkSpeed("rpm", f) == nil, float64(f))
	}
}

// A factor may stay the same from one speed to the next, a value too.
func TestLimitsMayStayTheSame(t *testing.T) {
	factors := invented(ByFactor)
	factors.Factors[1].Factor = 1
	_, err := factors.Check()
	require.NoError(t, err)
	points := invented(ByPoint)
	points.Rows[1].Value = 4
	_, err = points.Check()
	require.NoError(t, err)
}

// A misplaced point is looked for beside the same speed of the size before.
func TestTenfoldLooksAtTheSameSpeed(t *testing.T) {
	suspects := func(rows ...Row) (fields []string) {
		table := invented(ByPoint)
		table.Rows = rows
		for _, w := range table.tenfold() {
			assert.Equal(t, align.WarnSize, w.Code)
			assert.Equal(t, 8.0, w.Limit)
			fields = append(fields, w.Field)
		}
		return fields
	}
	slow, fast := rpm(1500), rpm(3000)
	assert.Empty(t, suspects(Row{Size: "a", Speed: slow, Value: 9}, Row{Size: "a", Speed: fast, Value: 2},
		Row{Size: "b", Speed: slow, Value: 18}, Row{Size: "b", Speed: fast, Value: 4}), "18 stands beside 9, not beside 2")
	assert.Equal(t, []string{"rows[2].value"}, suspects(Row{Size: "a", Speed: slow, Value: 2}, Row{Size: "a", Speed: fast, Value: 1.5},
		Row{Size: "b", Speed: slow, Value: 16}, Row{Size: "b", Speed: fast, Value: 12}), "eight times is enough")
	assert.Empty(t, suspects(Row{Size: "a", Speed: slow, Value: 2}, Row{Size: "b", Speed: fast, Value: 20}), "another speed")
	assert.Empty(t, suspects(Row{Size: "a", Speed: slow, Value: 2}, Row{Size: "a", Speed: fast, Value: 0.26}))
	assert.Equal(t, []string{"rows[1].value"}, suspects(Row{Size: "a", Speed: slow, Value: 2}, Row{Size: "a", Speed: fast, Value: 0.25}))
}

// trend is a table of sizes with the given pairs at 1500 and 3000 rpm.
func trend(pairs ...[2]float64) Table {
	table := invented(ByPoint)
	table.Rows = nil
	for i, p := range pairs {
		size := fmt.Sprint("s", i)
		table.Rows = append(table.Rows, Row{Size: size, Speed: rpm(1500), Value: p[0]}, Row{Size: size, Speed: rpm(3000), Value: p[1]})
	}
	return table
}

// The trend is the middle of the ratios; a row may stray from it by 8 % and by
// half a last place in each of its two figures.
func TestOffTrendByHand(t *testing.T) {
	fields := func(table Table) (out []string) {
		for _, w := range table.offTrend() {
			assert.Equal(t, WarnOffTrend, w.Code)
			assert.InDelta(t, 0.7, w.Limit, 1e-12)
			out = append(out, w.Field)
		}
		return out
	}
	ten := [2]float64{10, 7}
	assert.Equal(t, []string{"rows[1].value"}, fields(trend([2]float64{10, 5}, ten, ten, ten)), "the first row after the start")
	assert.Empty(t, fields(trend([2]float64{10, 5}, ten, ten)), "three sizes are no trend")
	assert.Equal(t, []string{"rows[1].value", "rows[3].value"},
		fields(trend([2]float64{10, 5}, [2]float64{10, 5}, ten, ten, ten)), "the middle of five is the third")
	// 1.2/2.0 is 14.3 % off, and 8 % + 0.05/1.2 + 0.05/2.0 = 14.7 % are allowed.
	assert.Empty(t, fields(trend([2]float64{2, 1.2}, ten, ten, ten)))
	// 1.1/1.9 is 17.3 % off, and 8 % + 0.05/1.1 + 0.05/1.9 = 15.2 % are allowed.
	assert.Equal(t, []string{"rows[1].value"}, fields(trend([2]float64{1.9, 1.1}, ten, ten, ten)))
	for places, table := range map[float64]Table{0.5: trend(ten), 0.05: trend([2]float64{2, 1.2}), 0.0005: trend([2]float64{2.5, 1.125})} {
		assert.InDelta(t, places, table.halfPlace(), 1e-18)
	}
}

// Without uncertainty a quantity conforms or it does not.
func TestConformityWithoutUncertainty(t *testing.T) {
	for value, want := range map[float64]float64{-1: 0, 0: 1, 1: 1, 2: 1, 3: 0} {
		p, err := Conformity(value, 0, 0, 2)
		require.NoError(t, err)
		assert.Equal(t, want, p, value)
	}
	p, err := Normal2{Vertical: 3, Horizontal: 4.01}.Within(5)
	require.NoError(t, err)
	assert.Zero(t, p)
	// Far out the tail keeps its digits: 1 - F(7) is erfc(7/root 2)/2, by Python's
	// math.erfc.
	p, err = Conformity(-7, 1, 0, math.Inf(1))
	require.NoError(t, err)
	assert.InEpsilon(t, 1.279812543885835e-12, p, 1e-9)
	p, err = Conformity(7, 1, math.Inf(-1), 0)
	require.NoError(t, err)
	assert.InEpsilon(t, 1.279812543885835e-12, p, 1e-9)
}

func TestDecisionInWords(t *testing.T) {
	d, err := Decide(tenth, 0.09e-3, 0.01e-3, GuardExpanded)
	require.NoError(t, err)
	// F(1) = 0.8413: the limit lies one standard uncertainty above the size.
	assert.Equal(t, "indeterminate: 0.0900 mm, standard uncertainty 0.0100 mm, guard band 0.0200 mm, "+
		"conforms with probability 0.841; offset: at most 0.100 mm (invented)", d.String())
}

// Shares without end add up to a number still.
func TestSharesAddUpToANumber(t *testing.T) {
	share, err := SharesAdd.Share(1e308, 1e308, 1e308)
	require.NoError(t, err)
	assert.Equal(t, 1e308, share)
	share, err = SharesAdd.Share()
	require.NoError(t, err)
	assert.Zero(t, share)
}

// A text may hold a mebibyte, and not a byte more.
func TestLargestText(t *testing.T) {
	_, _, err := ParseSet([]byte(small + strings.Repeat(" ", 1048576-len(small))))
	require.NoError(t, err)
	_, _, err = ParseSet([]byte(small + strings.Repeat(" ", 1048577-len(small))))
	require.ErrorIs(t, err, ErrBadJSON)
	require.ErrorContains(t, err, "1048577 bytes, at most 1048576")
}

// Where both flex planes and both planes of the eye are off alike the near one
// and the vertical one are named.
func TestOfEqualOffsetsTheFirstCounts(t *testing.T) {
	e := align.Axis{Vertical: align.Line{Offset: 1e-4}, Horizontal: align.Line{Offset: -1e-4}}
	g := Geometry{NearFlex: 0.1, FarFlex: 0.4}
	for _, place := range []Place{AtFlexPlanes, NotStated} {
		m, err := TrueOffset.Of(e, g, place, EachPlane)
		require.NoError(t, err)
		assert.Equal(t, unit.Length(0.1), m.Station)
		assert.Equal(t, VerticalPlane, m.Plane)
		assert.True(t, m.AtStation)
	}
}

// The diameter is taken in the table's unit, one inch is 1000 mil, so that at power
// 1.5 the limit is (1 + 0.001*1000)*60/400^1.5 = 120/8000 = 0.015 mil.
func TestFormulaOfAnyPower(t *testing.T) {
	table := invented(ByFormula)
	for power, want := range map[float64]float64{0: 120, 0.5: 6, 1: 0.3, 1.5: 0.015, 2: 0.00075} {
		table.Formula.Power = power
		a, err := table.LimitAt(Geometry{Speed: rpm(400), FaceDiameter: 1 * align.Inch})
		require.NoError(t, err)
		assert.InEpsilon(t, want, a.Printed, 1e-12, power)
	}
}

// A table of one speed ends there.
func TestTableOfOneSpeed(t *testing.T) {
	table := pointTable(Linear, Refuse)
	table.Rows = table.Rows[:1]
	top, err := table.HighestSpeed(high(0.1), Geometry{})
	require.NoError(t, err)
	assert.Equal(t, TopSpeed{Speed: rpm(1000), EndOfTable: true}, top)
	assert.Nil(t, table.Sizes(), "it knows no sizes")
}

// Bands have no trend: their rows stand at no single speed.
func TestBandsHaveNoTrend(t *testing.T) {
	table := invented(ByBand)
	table.Rows = nil
	for i, v := range []float64{10, 9, 5, 4.9, 4.8, 4.7} {
		table.Rows = append(table.Rows, Row{From: rpm(1000 * float64(i)), To: rpm(1000 * float64(i+1)), OwnsTo: true, Value: v})
	}
	assert.Empty(t, table.offTrend())
}

// A value at the limit but for rounding (0.1 + 0.2 of tenths is one bit more than
// 0.3) passes, and so it does at the ends of the guard band: what reaches the
// limit from above with its guard is not yet beyond it.
func TestDecisionAtTheLimit(t *testing.T) {
	l := tenth
	l.Value, l.Unit = 0.3, align.UnitOne
	a, b := 0.1, 0.2
	require.Greater(t, a+b, 0.3)
	for _, c := range []struct {
		value, sigma float64
		guard        Guard
		want         Outcome
	}{
		{a + b, 0, 0, Pass},
		{0.3 * (1 + 1e-9), 0, 0, Fail},
		{a, b, 1, Pass},
		{a * (1 + 1e-9), b, 1, Indeterminate},
		{0.5 * (1 + 4e-16), 0.2, 1, Indeterminate},
		{0.5 * (1 + 1e-9), 0.2, 1, Fail},
	} {
		d, err := Decide(l, c.value, c.sigma, c.guard)
		require.NoError(t, err)
		assert.Equal(t, c.want, d.Outcome, "%v", c)
	}
}

// A point that is known exactly lies within the circle wherever in it it is.
func TestExactPointWithinTheCircle(t *testing.T) {
	for mean, want := range map[float64]float64{0: 1, 0.25: 1, 0.5: 1, 0.9: 1, 1.1: 0} {
		p, err := Normal2{Vertical: mean * 0.6, Horizontal: mean * 0.8}.Within(1)
		require.NoError(t, err)
		assert.Equal(t, want, p, mean)
	}
}

// What LimitAt refuses gives no limit either.
func TestLimitOfNoGeometry(t *testing.T) {
	table := invented(ByPoint)
	_, want := table.LimitAt(Geometry{})
	require.Error(t, want)
	l, ws, err := table.Limit(Geometry{})
	assert.Equal(t, want, err)
	assert.Zero(t, l)
	assert.Empty(t, ws)
}

// A factor stands at a speed that is a number above zero.
func TestFactorsStandAtSpeeds(t *testing.T) {
	for speed, want := range map[float64]error{math.NaN(): align.ErrNotFinite, math.Inf(1): align.ErrNotFinite, -25: align.ErrNegative, 0: align.ErrOutOfRange} {
		for i := range 2 {
			table := invented(ByFactor)
			table.Factors[i].Speed = unit.Frequency(speed)
			_, err := table.Check()
			require.ErrorIs(t, err, want)
			assert.Contains(t, err.Error(), fmt.Sprintf("factors[%d].rpm", i))
		}
	}
}
