package tolerance

import (
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

func rpm(n float64) unit.Frequency { return unit.Frequency(n) * align.RPM }

// invented is a sound table of the given rule.
func invented(rule Rule) Table {
	t := Table{
		ID: "invented", Title: "offset", Quantity: TrueOffset, Place: AtCentre, Planes: Resultant,
		Unit: align.UnitMil, Rule: rule, Source: "invented", Known: align.Read,
	}
	switch rule {
	case AnySpeed:
		t.Rows = []Row{{Value: 3}}
	case ByBand:
		t.Rows = []Row{{To: rpm(1000), Value: 4}, {From: rpm(1000), To: rpm(2000), OwnsFrom: true, OwnsTo: true, Value: 3}, {From: rpm(2000), Value: 2}}
	case ByPoint:
		t.Rows = []Row{{Speed: rpm(1000), Value: 4}, {Speed: rpm(2000), Value: 3}, {Speed: rpm(4000), Value: 2}}
		t.Between, t.Below, t.Above = Linear, Hold, Refuse
	case ByFactor:
		t.Rows = []Row{{Size: "a", Value: 10}, {Size: "b", Value: 20}}
		t.Factors = []Point{{rpm(1000), 1}, {rpm(2000), 0.5}}
		t.Between, t.Below, t.Above = Stricter, Refuse, Hold
	case ByFormula:
		t.Formula = Formula{Base: 1, PerDiameter: 0.001, Numerator: 60, Power: 0.5, Lowest: rpm(400)}
	}
	return t
}

func TestLimitAtRules(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		name    string
		rule    Rule
		change  func(*Table)
		g       Geometry
		printed float64
		flags   Flags
		err     error
	}{
		{"any speed, none given", AnySpeed, nil, Geometry{}, 3, 0, nil},
		{"any speed, negative", AnySpeed, nil, Geometry{Speed: -1}, 0, 0, align.ErrNegative},
		{"any speed, not a number", AnySpeed, nil, Geometry{Speed: unit.Frequency(nan)}, 0, 0, align.ErrNotFinite},
		{"infinite", ByBand, nil, Geometry{Speed: unit.Frequency(inf)}, 0, 0, align.ErrNotFinite},
		{"band without speed", ByBand, nil, Geometry{}, 0, 0, align.ErrMissing},
		{"first band", ByBand, nil, Geometry{Speed: rpm(999.9)}, 4, 0, nil},
		{"bound owned above", ByBand, nil, Geometry{Speed: rpm(1000)}, 3, 0, nil},
		{"bound owned below", ByBand, nil, Geometry{Speed: rpm(2000)}, 3, 0, nil},
		{"just above it", ByBand, nil, Geometry{Speed: rpm(2000.1)}, 2, 0, nil},
		{"open end", ByBand, nil, Geometry{Speed: rpm(1e6)}, 2, 0, nil},
		{"the bound in hertz", ByBand, nil, Geometry{Speed: 1000.0 / 60}, 3, 0, nil},
		{"bound of nobody", ByBand, func(t *Table) { t.Rows[1].OwnsTo = false }, Geometry{Speed: rpm(2000)}, 2, AtBoundary, nil},
		{"suspect too", ByBand, func(t *Table) { t.Rows[1].OwnsTo, t.Suspect = false, "why" }, Geometry{Speed: rpm(2000)}, 2, AtBoundary | SuspectFigures, nil},
		{"above the last band", ByBand, func(t *Table) { t.Rows[2].To, t.Above = rpm(3000), Refuse }, Geometry{Speed: rpm(3001)}, 0, 0, align.ErrOutOfRange},
		{"held above it", ByBand, func(t *Table) { t.Rows[2].To, t.Above = rpm(3000), Hold }, Geometry{Speed: rpm(3001)}, 2, EndHeld, nil},
		{"the last bound", ByBand, func(t *Table) { t.Rows[2].To, t.Rows[2].OwnsTo = rpm(3000), true }, Geometry{Speed: rpm(3000)}, 2, 0, nil},
		{"the last bound of nobody", ByBand, func(t *Table) { t.Rows[2].To = rpm(3000) }, Geometry{Speed: rpm(3000)}, 2, AtBoundary, nil},
		{"below the first band", ByBand, func(t *Table) { t.Rows[0].From = rpm(500) }, Geometry{Speed: rpm(400)}, 0, 0, align.ErrOutOfRange},
		{"the first bound of nobody", ByBand, func(t *Table) { t.Rows[0].From = rpm(500) }, Geometry{Speed: rpm(500)}, 4, AtBoundary, nil},
		{"at a point", ByPoint, nil, Geometry{Speed: rpm(2000)}, 3, 0, nil},
		{"straight line", ByPoint, nil, Geometry{Speed: rpm(2500)}, 2.75, 0, nil},
		{"stricter", ByPoint, func(t *Table) { t.Between = Stricter }, Geometry{Speed: rpm(2500)}, 2, BetweenSpeeds, nil},
		{"held below", ByPoint, nil, Geometry{Speed: rpm(900)}, 4, EndHeld, nil},
		{"held unstated", ByPoint, func(t *Table) { t.Below = HoldUnstated }, Geometry{Speed: rpm(900)}, 4, EndHeld, nil},
		{"refused above", ByPoint, nil, Geometry{Speed: rpm(4001)}, 0, 0, align.ErrOutOfRange},
		{"no rule between", ByPoint, func(t *Table) { t.Between = "cubic" }, Geometry{Speed: rpm(3000)}, 0, 0, align.ErrUnknownKind},
		{"factor", ByFactor, nil, Geometry{Speed: rpm(2000), Size: "b"}, 10, 0, nil},
		{"factor between", ByFactor, nil, Geometry{Speed: rpm(1500), Size: "b"}, 10, BetweenSpeeds, nil},
		{"factor held", ByFactor, nil, Geometry{Speed: rpm(9000), Size: "a"}, 5, EndHeld, nil},
		{"no size", ByFactor, nil, Geometry{Speed: rpm(2000)}, 0, 0, align.ErrMissing},
		{"no such size", ByFactor, nil, Geometry{Speed: rpm(2000), Size: "c"}, 0, 0, ErrUnknownSize},
		{"no factors", ByFactor, func(t *Table) { t.Factors = nil }, Geometry{Speed: rpm(2000), Size: "a"}, 0, 0, align.ErrMissing},
		{"formula", ByFormula, nil, Geometry{Speed: rpm(900), FaceDiameter: 1 * align.Inch}, 4, 0, nil},
		{"formula at its lowest", ByFormula, nil, Geometry{Speed: rpm(100), FaceDiameter: 1 * align.Inch}, 6, 0, nil},
		{"formula without diameter", ByFormula, nil, Geometry{Speed: rpm(900)}, 0, 0, align.ErrMissing},
		{"formula of another power", ByFormula, func(t *Table) { t.Formula.Power = 1 }, Geometry{Speed: rpm(600), FaceDiameter: 1 * align.Inch}, 0.2, 0, nil},
		{"formula without speed", ByFormula, func(t *Table) { t.Formula.Power = 0 }, Geometry{FaceDiameter: 1 * align.Inch}, 120, 0, nil},
		{"unusable", AnySpeed, func(t *Table) { t.Unusable = true }, Geometry{}, 0, 0, ErrUnusable},
		{"unknown rule", "by-guess", nil, Geometry{Size: "x", Speed: 1}, 0, 0, align.ErrMissing},
		{"value not a number", AnySpeed, func(t *Table) { t.Rows[0].Value = nan }, Geometry{}, 0, 0, align.ErrNotFinite},
		{"value of zero", AnySpeed, func(t *Table) { t.Rows[0].Value = 0 }, Geometry{}, 0, 0, align.ErrOutOfRange},
		{"no rows", AnySpeed, func(t *Table) { t.Rows = nil }, Geometry{}, 0, 0, align.ErrMissing},
		{"unknown unit", AnySpeed, func(t *Table) { t.Unit = "cubit" }, Geometry{}, 0, 0, align.ErrNotFinite},
	} {
		table := invented(c.rule)
		if c.change != nil {
			c.change(&table)
		}
		got, err := table.LimitAt(c.g)
		require.ErrorIs(t, err, c.err, c.name)
		require.InDelta(t, c.printed, got.Printed, 1e-9, c.name)
		require.Equal(t, c.flags, got.Flags, c.name)
		require.InDelta(t, c.printed*25.4e-6, got.SI, 1e-15, c.name)
	}
	table := invented(AnySpeed)
	table.Rule = "by-guess"
	_, err := table.LimitAt(Geometry{Speed: 1})
	require.ErrorIs(t, err, align.ErrUnknownKind)
}

func TestLimitScaled(t *testing.T) {
	g := Geometry{
		NearFlex: 3 * align.Metre, FarFlex: 1 * align.Metre, FaceDiameter: 0.5 * align.Metre,
		RunoutLength: 4 * align.Metre, RunnerDiameter: 0.25 * align.Metre, Clearance: 0.2 * align.Millimetre,
	}
	for _, c := range []struct {
		name        string
		quantity    Quantity
		value       float64
		unit        align.Unit
		times, over Measure
		si          float64
		printed     align.Unit
	}{
		{"degrees", Angle, 45, align.UnitDegree, "", "", 1, align.UnitMillimetrePerMetre},
		{"radians", Angle, math.Pi / 4, align.UnitRadian, "", "", 1, align.UnitMillimetrePerMetre},
		{"slope stays", Angle, 2, align.UnitMilPerInch, "", "", 0.002, align.UnitMilPerInch},
		{"degrees times length", TrueOffset, 45, align.UnitDegree, FlexSeparation, "", 2, align.UnitMillimetre},
		{"ratio times length", TrueOffset, 0.001, align.UnitOne, FlexSeparation, "", 0.002, align.UnitMillimetre},
		{"length over length", GapPerDiameter, 1, align.UnitMil, "", FaceDiameter, 50.8e-6, align.UnitMillimetrePerMetre},
		{"length by length over length", Runout, 0.002, align.UnitInch, RunoutLength, RunnerDiameter, 0.002 * 0.0254 * 16, align.UnitInch},
		{"clearance", Runout, 0.5, align.UnitOne, Clearance, "", 1e-4, align.UnitMillimetre},
	} {
		table := invented(AnySpeed)
		table.Quantity, table.Unit, table.Times, table.Over = c.quantity, c.unit, c.times, c.over
		table.Rows = []Row{{Value: c.value}}
		_, err := table.Check()
		require.NoError(t, err, c.name)
		a, err := table.LimitAt(g)
		require.NoError(t, err, c.name)
		require.InEpsilon(t, c.si, a.SI, 1e-12, c.name)
		require.Equal(t, c.value, a.Printed)
		l, w, err := table.Limit(g)
		require.NoError(t, err)
		require.Empty(t, w)
		require.Equal(t, c.printed, l.Unit, c.name)
		require.InEpsilon(t, c.si, l.SI(), 1e-12, c.name)
		require.Equal(t, "invented", l.Source)
		require.Equal(t, align.Read, l.Known)
		if c.times != "" {
			_, err = table.LimitAt(Geometry{FaceDiameter: 1, RunnerDiameter: 1})
			require.ErrorIs(t, err, align.ErrMissing, c.name)
		}
	}
}

func TestFor(t *testing.T) {
	whole := invented(ByFactor)
	b, err := whole.For("b")
	require.NoError(t, err)
	require.Equal(t, whole.Rows[1:2], b.Rows)
	require.Equal(t, []string{"a", "b"}, whole.Sizes())
	for _, size := range []string{"", "b"} { // the only size need not be named
		got, err := b.LimitAt(Geometry{Speed: rpm(1000), Size: size})
		require.NoError(t, err)
		require.Equal(t, 20.0, got.Printed)
	}
	_, err = b.LimitAt(Geometry{Speed: rpm(1000), Size: "a"})
	require.ErrorIs(t, err, ErrUnknownSize)
	_, err = whole.For("c")
	require.ErrorIs(t, err, ErrUnknownSize)
	require.ErrorContains(t, err, "a, b")
	_, err = whole.For("")
	require.ErrorIs(t, err, align.ErrMissing)

	plain := invented(ByPoint)
	same, err := plain.For("whatever")
	require.NoError(t, err)
	require.Equal(t, plain, same)
}

func TestFlagsWarnings(t *testing.T) {
	require.Nil(t, Flags(0).Warnings("x"))
	w := (AtBoundary | BetweenSpeeds | EndHeld | SuspectFigures).Warnings("x")
	require.Len(t, w, 4)
	for i, code := range []align.WarningCode{WarnBoundary, WarnBetween, WarnHeld, WarnSuspect} {
		require.Equal(t, code, w[i].Code)
		require.Equal(t, "x", w[i].Field)
	}
}

// A limit never grows with speed, whatever table and speeds; nor does changing
// the unit of a table change its limit.
func TestLimitProperties(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 11))
	for _, s := range Builtin() {
		for _, table := range s.Tables {
			if table.Unusable {
				continue
			}
			g := Geometry{
				FarFlex: 0.7, FaceDiameter: 0.2, RunoutLength: 3, RunnerDiameter: 0.9, Clearance: 3e-4,
			}
			if sizes := table.Sizes(); sizes != nil {
				g.Size = sizes[rng.IntN(len(sizes))]
			}
			last := math.Inf(1)
			n := 20.0
			for range 300 {
				n *= 1 + rng.Float64()/20
				g.Speed = rpm(n)
				a, err := table.LimitAt(g)
				if err != nil {
					require.ErrorIs(t, err, align.ErrOutOfRange, "%s %v rpm", table.ID, n)
					continue
				}
				require.LessOrEqual(t, a.SI, last*(1+1e-12), "%s %v rpm", table.ID, n)
				last = a.SI
			}
			require.False(t, math.IsInf(last, 1), "%s was never answered", table.ID)
			if table.Unit != align.UnitInch || table.Rule == ByFormula {
				continue
			}
			metric := table
			metric.Unit, metric.Rows = align.UnitMillimetre, nil
			for _, r := range table.Rows {
				r.Value *= 25.4
				metric.Rows = append(metric.Rows, r)
			}
			g.Speed = rpm(1500)
			a, errA := table.LimitAt(g)
			b, errB := metric.LimitAt(g)
			require.NoError(t, errA)
			require.NoError(t, errB)
			require.InEpsilon(t, a.SI, b.SI, 1e-12)
		}
	}
}

func BenchmarkLimitAt(b *testing.B) {
	hbe, err := FindSet("hbe-softex")
	if err != nil {
		b.Fatal(err)
	}
	one, err := hbe.Tables[0].For("55/70")
	if err != nil {
		b.Fatal(err)
	}
	band, err := FindSet("gbt-8564-turbine-shaft")
	if err != nil {
		b.Fatal(err)
	}
	formula, err := FindSet("flender-n-eupex")
	if err != nil {
		b.Fatal(err)
	}
	for _, c := range []struct {
		name  string
		table *Table
	}{{"point", &one}, {"band", &band.Tables[0]}, {"formula", &formula.Tables[0]}, {"size-and-point", &hbe.Tables[0]}} {
		b.Run(c.name, func(b *testing.B) {
			g := Geometry{Size: "55/70", Speed: rpm(1480), FaceDiameter: 0.2}
			b.ReportAllocs()
			for b.Loop() {
				if _, err := c.table.LimitAt(g); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// geometryOf gives every dimension the same size in metres.
func geometryOf(n, size float64) Geometry {
	l := unit.Length(size)
	return Geometry{Speed: rpm(n), FarFlex: l, FaceDiameter: l, RunoutLength: l, RunnerDiameter: l, Clearance: l}
}
