package tolerance

import (
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// invented tables, one for each rule
func bandTable() Table {
	return Table{
		ID: "bands", Title: "offset", Quantity: TrueOffset, Place: AtCentre, Planes: EachPlane, Turned: TurnedNotStated, Unit: align.UnitMillimetre,
		Rule: ByBand, Below: Refuse, Above: Refuse, Source: "invented", Known: align.Read,
		Rows: []Row{
			{To: 1000 * align.RPM, Value: 0.12, OwnsTo: true},
			{From: 1000 * align.RPM, To: 2000 * align.RPM, Value: 0.08},
			{From: 2000 * align.RPM, To: 4000 * align.RPM, Value: 0.05, OwnsFrom: true, OwnsTo: true},
		},
	}
}

func pointTable(between Between, above Outside) Table {
	t := bandTable()
	t.ID, t.Rule, t.Between, t.Above = "points", ByPoint, between, above
	t.Rows = []Row{{Speed: 1000 * align.RPM, Value: 0.12}, {Speed: 2000 * align.RPM, Value: 0.08}, {Speed: 4000 * align.RPM, Value: 0.05}}
	return t
}

func formulaTable() Table {
	t := bandTable()
	t.ID, t.Rule, t.Rows = "formula", ByFormula, nil
	t.Formula = Formula{Base: 0.1, PerDiameter: 0.001, Numerator: 40, Power: 0.5, Lowest: 250 * align.RPM}
	t.Quantity, t.Above, t.Below = TrueOffset, Hold, Hold
	return t
}

func high(mm float64) align.Axis {
	return align.Axis{Vertical: align.Line{Offset: unit.Length(mm) * align.Millimetre}}
}

func TestGrade(t *testing.T) {
	tab := bandTable()
	g, err := tab.Grade(high(-0.06), Geometry{Speed: 1500 * align.RPM})
	require.NoError(t, err)
	assert.True(t, g.Within)
	assert.InDelta(t, 0.75, g.Share(), 1e-12)
	assert.Equal(t, "bands", g.Table)
	assert.Equal(t, VerticalPlane, g.Measured.Plane)
	g, err = tab.Grade(high(0.08), Geometry{Speed: 1500 * align.RPM})
	require.NoError(t, err)
	assert.True(t, g.Within, "at the limit is within it")
	g, err = tab.Grade(high(0.0801), Geometry{Speed: 1500 * align.RPM})
	require.NoError(t, err)
	assert.False(t, g.Within)

	_, err = tab.Grade(high(0.06), Geometry{Speed: 5000 * align.RPM})
	assert.ErrorIs(t, err, align.ErrOutOfRange)
	tab.Unusable = true
	_, err = tab.Grade(high(0.06), Geometry{Speed: 1500 * align.RPM})
	assert.ErrorIs(t, err, ErrUnusable)
	_, err = tab.GradeValue(0.06e-3, Geometry{Speed: 1500 * align.RPM})
	assert.ErrorIs(t, err, ErrUnusable)
	_, err = tab.HighestSpeed(high(0.06), Geometry{})
	assert.ErrorIs(t, err, ErrUnusable)
}

func TestHighestSpeedByHand(t *testing.T) {
	for name, c := range map[string]struct {
		t    Table
		mm   float64
		want TopSpeed
	}{
		"bands, lower owns":      {bandTable(), 0.10, TopSpeed{Speed: 1000 * align.RPM}},
		"bands, upper owns":      {bandTable(), 0.07, TopSpeed{Speed: 2000 * align.RPM, Below: true}},
		"bands, end":             {bandTable(), 0.05, TopSpeed{Speed: 4000 * align.RPM, EndOfTable: true}},
		"bands, none":            {bandTable(), 0.121, TopSpeed{None: true}},
		"points, line":           {pointTable(Linear, Refuse), 0.10, TopSpeed{Speed: 1500 * align.RPM}},
		"points, stricter":       {pointTable(Stricter, Refuse), 0.10, TopSpeed{Speed: 1000 * align.RPM}},
		"points, held":           {pointTable(Linear, Hold), 0.05, TopSpeed{Unlimited: true}},
		"points, none":           {pointTable(Linear, Hold), 0.2, TopSpeed{None: true}},
		"formula":                {formulaTable(), 0.25, TopSpeed{Speed: 4096 * align.RPM}}, // 0.25 = (0.1 + 0.3)*40/n^0.5, n = 64^2
		"formula, clamp refuses": {formulaTable(), 1.1, TopSpeed{None: true}},
	} {
		g := Geometry{FaceDiameter: 300 * align.Millimetre}
		got, err := c.t.HighestSpeed(high(c.mm), g)
		require.NoError(t, err, name)
		assert.InEpsilon(t, 1+float64(c.want.Speed), 1+float64(got.Speed), 1e-9, name)
		got.Speed = c.want.Speed
		assert.Equal(t, c.want, got, name)
	}
}

// Slow oracle: step through the speeds.
func TestHighestSpeedAgainstSteps(t *testing.T) {
	draw := rand.New(rand.NewPCG(11, 12))
	for range 200 {
		tabs := []Table{bandTable(), pointTable(Linear, Refuse), pointTable(Stricter, Hold), formulaTable()}
		tab := tabs[draw.IntN(len(tabs))]
		e := high(0.02 + 0.13*draw.Float64())
		g := Geometry{FaceDiameter: 100 * align.Millimetre}
		top, err := tab.HighestSpeed(e, g)
		require.NoError(t, err)
		for rpm := 10.0; rpm < 20000; rpm += 137 {
			g.Speed = unit.Frequency(rpm) * align.RPM
			one, err := tab.Grade(e, g)
			if err != nil {
				assert.ErrorIs(t, err, align.ErrOutOfRange)
				continue
			}
			want := top.Unlimited || !top.None && g.Speed <= top.Speed
			assert.Equal(t, want, one.Within, "%s %v at %g rpm, top %+v", tab.ID, e.Vertical.Offset, rpm, top)
		}
	}
}

func TestSpeeds(t *testing.T) {
	tab := bandTable()
	assert.Equal(t, []unit.Frequency{1000 * align.RPM, 2000 * align.RPM, 4000 * align.RPM}, tab.Speeds())
	tab = formulaTable()
	assert.Equal(t, []unit.Frequency{250 * align.RPM}, tab.Speeds())
	tab.Rule = AnySpeed
	assert.Empty(t, tab.Speeds())
	tab = bandTable()
	list := tab.GradeSpeeds(high(0.07), Geometry{}, append(tab.Speeds(), 9000*align.RPM))
	require.Len(t, list, 4)
	assert.True(t, list[0].Grade.Within)
	assert.False(t, list[1].Grade.Within)
	assert.ErrorIs(t, list[3].Err, align.ErrOutOfRange)
}

func TestSetGrade(t *testing.T) {
	gap := bandTable()
	gap.ID, gap.Quantity, gap.Rule = "gap", AxialGap, AnySpeed
	gap.Rows = []Row{{Value: 2}}
	angle := bandTable()
	angle.ID, angle.Quantity, angle.Rule, angle.Unit = "angle", Angle, AnySpeed, align.UnitMillimetrePerMetre
	angle.Rows = []Row{{Value: 1}}
	s := Set{ID: "set", Combine: SharesAdd, Tables: []Table{bandTable(), angle, gap}}
	e := high(0.04)
	e.Horizontal.Slope = 0.25e-3
	geometry := Geometry{Speed: 1500 * align.RPM}

	g, err := s.Grade(Readings{Misalignment: e}, geometry)
	require.NoError(t, err)
	assert.InDelta(t, 0.5+0.25, g.Share, 1e-12)
	assert.True(t, g.Within)
	require.Len(t, g.Ungraded, 1)
	assert.ErrorIs(t, g.Ungraded[0].Err, align.ErrMissing)

	wide := 1 * align.Millimetre
	g, err = s.Grade(Readings{Misalignment: e, AxialGap: &wide}, geometry)
	require.NoError(t, err)
	assert.InDelta(t, 1.25, g.Share, 1e-12)
	assert.False(t, g.Within)
	top, err := g.Governing()
	require.NoError(t, err)
	assert.Equal(t, "bands", top.Table)

	s.Combine = EachAlone
	g, err = s.Grade(Readings{Misalignment: e, AxialGap: &wide}, geometry)
	require.NoError(t, err)
	assert.True(t, g.Within)

	_, err = s.Table("nothing")
	assert.ErrorIs(t, err, ErrUnknownTable)
	s.Tables = s.Tables[2:]
	_, err = s.Grade(Readings{}, geometry)
	assert.ErrorIs(t, err, ErrNothingGraded)
	_, err = SetGrade{}.Governing()
	assert.ErrorIs(t, err, ErrNothingGraded)
}

func BenchmarkGrade(b *testing.B) {
	t := bandTable()
	e := high(0.06)
	g := Geometry{Speed: 2500 * align.RPM}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := t.Grade(e, g); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkGradeByFormula(b *testing.B) {
	t := formulaTable()
	e := high(0.06)
	g := Geometry{Speed: 2500 * align.RPM, FaceDiameter: 100 * align.Millimetre}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := t.Grade(e, g); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkHighestSpeed(b *testing.B) {
	t := pointTable(Linear, Refuse)
	e := high(0.10)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := t.HighestSpeed(e, Geometry{}); err != nil {
			b.Fatal(err)
		}
	}
}
