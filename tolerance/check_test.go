package tolerance

import (
	"math"
	"strings"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/require"
)

func TestCheckAccepts(t *testing.T) {
	for _, rule := range []Rule{AnySpeed, ByBand, ByPoint, ByFactor, ByFormula} {
		w, err := invented(rule).Check()
		require.NoError(t, err, rule)
		require.Empty(t, w, rule)
	}
}

func TestCheckRefuses(t *testing.T) {
	for _, c := range []struct {
		field  string
		rule   Rule
		change func(*Table)
		err    error
	}{
		{"id", AnySpeed, func(t *Table) { t.ID = "" }, align.ErrMissing},
		{"id", AnySpeed, func(t *Table) { t.ID = "Two words" }, align.ErrOutOfRange},
		{"title", AnySpeed, func(t *Table) { t.Title = "" }, align.ErrMissing},
		{"title", AnySpeed, func(t *Table) { t.Title = "a\nb" }, align.ErrOutOfRange},
		{"source", AnySpeed, func(t *Table) { t.Source = "  " }, align.ErrMissing},
		{"note", AnySpeed, func(t *Table) { t.Note = strings.Repeat("n", maxText+1) }, align.ErrOutOfRange},
		{"note", AnySpeed, func(t *Table) { t.Note = "\xff" }, align.ErrOutOfRange},
		{"quantity", AnySpeed, func(t *Table) { t.Quantity = "" }, align.ErrMissing},
		{"quantity", AnySpeed, func(t *Table) { t.Quantity = "wobble" }, align.ErrUnknownKind},
		{"place", AnySpeed, func(t *Table) { t.Place = "" }, align.ErrMissing},
		{"place", AnySpeed, func(t *Table) { t.Place = "cellar" }, align.ErrUnknownKind},
		{"planes", AnySpeed, func(t *Table) { t.Planes = "" }, align.ErrMissing},
		{"turned", AnySpeed, func(t *Table) { t.Turned = "maybe" }, align.ErrUnknownKind},
		{"rule", AnySpeed, func(t *Table) { t.Rule = "" }, align.ErrMissing},
		{"rule", AnySpeed, func(t *Table) { t.Rule = "by-guess" }, align.ErrUnknownKind},
		{"known", AnySpeed, func(t *Table) { t.Known = "hearsay" }, align.ErrUnknownKind},
		{"between", ByPoint, func(t *Table) { t.Between = "cubic" }, align.ErrUnknownKind},
		{"between", ByPoint, func(t *Table) { t.Between = "" }, align.ErrMissing},
		{"between", AnySpeed, func(t *Table) { t.Between = Linear }, align.ErrMismatch},
		{"below", ByPoint, func(t *Table) { t.Below = "" }, align.ErrMissing},
		{"below", AnySpeed, func(t *Table) { t.Below = Hold }, align.ErrMismatch},
		{"below", ByBand, func(t *Table) { t.Rows[0].From = rpm(1) }, align.ErrMissing},
		{"above", ByFactor, func(t *Table) { t.Above = HoldUnstated }, align.ErrUnknownKind},
		{"above", ByBand, func(t *Table) { t.Rows[2].To = rpm(9000) }, align.ErrMissing},
		{"times", AnySpeed, func(t *Table) { t.Times = "weight" }, align.ErrUnknownKind},
		{"unit", AnySpeed, func(t *Table) { t.Times = FaceDiameter }, align.ErrWrongUnit},
		{"unit", AnySpeed, func(t *Table) { t.Over = FaceDiameter }, align.ErrWrongUnit},
		{"unit", AnySpeed, func(t *Table) { t.Unit = align.UnitMilPerInch }, align.ErrWrongUnit},
		{"unit", AnySpeed, func(t *Table) { t.Unit = align.UnitPSI }, align.ErrWrongUnit},
		{"unit", AnySpeed, func(t *Table) { t.Unit = "cubit" }, align.ErrUnknownUnit},
		{"unit", AnySpeed, func(t *Table) { t.Unit = "" }, align.ErrMissing},
		{"rows", AnySpeed, func(t *Table) { t.Rows = nil }, align.ErrMissing},
		{"rows", ByFormula, func(t *Table) { t.Rows = []Row{{Value: 1}} }, align.ErrMismatch},
		{"rows[0].value", AnySpeed, func(t *Table) { t.Rows[0].Value = 0 }, align.ErrOutOfRange},
		{"rows[0].value", AnySpeed, func(t *Table) { t.Rows[0].Value = -1 }, align.ErrNegative},
		{"rows[0].value", AnySpeed, func(t *Table) { t.Rows[0].Value = math.Inf(1) }, align.ErrNotFinite},
		{"rows[0].value", AnySpeed, func(t *Table) { t.Quantity, t.Unit, t.Rows[0].Value = Angle, align.UnitDegree, 46 }, align.ErrOutOfRange},
		{"rows[0].rpm", AnySpeed, func(t *Table) { t.Rows[0].Speed = 1 }, align.ErrMismatch},
		{"rows[0].ownsFrom", ByPoint, func(t *Table) { t.Rows[0].OwnsTo = true }, align.ErrMismatch},
		{"rows[1].size", AnySpeed, func(t *Table) { t.Rows = append(t.Rows, Row{Value: 3}) }, ErrTwice},
		{"rows[2].size", ByFactor, func(t *Table) { t.Rows = append(t.Rows, Row{Size: "a", Value: 3}) }, ErrOrder},
		{"rows[2].size", ByFactor, func(t *Table) { t.Rows = append(t.Rows, Row{Value: 3}) }, align.ErrMissing},
		{"rows[1].value", ByBand, func(t *Table) { t.Rows[1].Value = 4.1 }, ErrNotMonotone},
		{"rows[1].fromRpm", ByBand, func(t *Table) { t.Rows[1].From = rpm(1001) }, ErrGap},
		{"rows[1].fromRpm", ByBand, func(t *Table) { t.Rows[1].From = rpm(999) }, ErrGap},
		{"rows[1].toRpm", ByBand, func(t *Table) { t.Rows[2].OwnsFrom = true }, ErrGap},
		{"rows[1].toRpm", ByBand, func(t *Table) { t.Rows[1].To = 0 }, align.ErrMissing},
		{"rows[1].toRpm", ByBand, func(t *Table) { t.Rows[1].To = rpm(900) }, ErrOrder},
		{"rows[2].ownsTo", ByBand, func(t *Table) { t.Rows[2].OwnsTo = true }, align.ErrMismatch},
		{"rows[1].rpm", ByPoint, func(t *Table) { t.Rows[1].Speed = rpm(1000) }, ErrOrder},
		{"rows[0].rpm", ByPoint, func(t *Table) { t.Rows[0].Speed = 0 }, align.ErrOutOfRange},
		{"rows[0].rpm", ByPoint, func(t *Table) { t.Rows[0].Speed = -1 }, align.ErrNegative},
		{"rows[2].rpm", ByPoint, func(t *Table) { t.Rows[2].Speed = 1e300 }, align.ErrOutOfRange},
		{"factors", ByFactor, func(t *Table) { t.Factors = nil }, align.ErrMissing},
		{"factors", AnySpeed, func(t *Table) { t.Factors = []Point{{1, 1}} }, align.ErrMismatch},
		{"factors[1].factor", ByFactor, func(t *Table) { t.Factors[1].Factor = 1.1 }, ErrNotMonotone},
		{"factors[0].factor", ByFactor, func(t *Table) { t.Factors[0].Factor = math.NaN() }, align.ErrNotFinite},
		{"factors[1].rpm", ByFactor, func(t *Table) { t.Factors[1].Speed = rpm(1000) }, ErrOrder},
		{"factors[0].rpm", ByFactor, func(t *Table) { t.Factors[0].Speed = 0 }, align.ErrOutOfRange},
		{"formula", ByFormula, func(t *Table) { t.Formula = Formula{} }, align.ErrMissing},
		{"formula", AnySpeed, func(t *Table) { t.Formula.Base = 1 }, align.ErrMismatch},
		{"formula.power", ByFormula, func(t *Table) { t.Formula.Power = -1 }, ErrNotMonotone},
		{"formula.base", ByFormula, func(t *Table) { t.Formula.Base = -1 }, align.ErrNegative},
		{"formula.base", ByFormula, func(t *Table) { t.Formula.Base, t.Formula.PerDiameter = 0, 0 }, align.ErrOutOfRange},
		{"formula.numerator", ByFormula, func(t *Table) { t.Formula.Numerator = 0 }, align.ErrOutOfRange},
		{"formula.lowestRpm", ByFormula, func(t *Table) { t.Formula.Lowest = -1 }, align.ErrNegative},
		{"unit", ByFormula, func(t *Table) { t.Quantity, t.Unit = Angle, align.UnitMilPerInch }, align.ErrWrongUnit},
	} {
		table := invented(c.rule)
		c.change(&table)
		w, err := table.Check()
		require.ErrorIs(t, err, c.err, c.field)
		require.Nil(t, w)
		var in *align.InputError
		require.ErrorAs(t, err, &in)
		require.Equal(t, c.field, in.Field)
		require.Equal(t, "tolerance", in.Package)
	}
}

func TestCheckWarns(t *testing.T) {
	codes := func(table Table) (out []align.WarningCode) {
		w, err := table.Check()
		require.NoError(t, err)
		for _, one := range w {
			require.True(t, align.IsFinite(one.Value) && align.IsFinite(one.Limit))
			out = append(out, one.Code)
		}
		return out
	}
	steepTable := invented(AnySpeed)
	steepTable.Quantity, steepTable.Unit = Angle, align.UnitMilPerInch
	for value, want := range map[float64][]align.WarningCode{4: nil, 4.01: {align.WarnSize}} {
		steepTable.Rows = []Row{{Value: value}}
		require.Equal(t, want, codes(steepTable), value)
	}
	steepTable.Quantity = FaceReadingPerRadius // twice the slope
	require.Nil(t, codes(steepTable))
	steepTable.Quantity, steepTable.Unit = Angle, align.UnitDegree // what a coupling endures
	require.Nil(t, codes(steepTable))

	slipped := invented(ByPoint)
	slipped.Rows[1].Value, slipped.Rows[2].Value = 0.4, 0.3
	require.Equal(t, []align.WarningCode{align.WarnSize}, codes(slipped))

	nobody := invented(ByBand)
	nobody.Rows[1].OwnsFrom = false
	require.Equal(t, []align.WarningCode{WarnBoundary}, codes(nobody))

	suspect := invented(AnySpeed)
	suspect.Suspect = "blurred"
	require.Equal(t, []align.WarningCode{WarnSuspect}, codes(suspect))
}

// One row of many sizes that strays from the ratio of the others is found, and
// found nowhere else.
func TestCheckFindsTheOddRow(t *testing.T) {
	sound := invented(ByPoint)
	sound.Rows = nil
	for i, size := range []string{"a", "b", "c", "d", "e"} {
		v := 2 + float64(i)
		sound.Rows = append(sound.Rows,
			Row{Size: size, Speed: rpm(1500), Value: v}, Row{Size: size, Speed: rpm(3000), Value: math.Round(70*v) / 100})
	}
	w, err := sound.Check()
	require.NoError(t, err)
	require.Empty(t, w)
	sound.Rows[5].Value *= 0.85
	w, err = sound.Check()
	require.NoError(t, err)
	require.Len(t, w, 1)
	require.Equal(t, WarnOffTrend, w[0].Code)
	require.Equal(t, "rows[5].value", w[0].Field)
}

func TestSetCheck(t *testing.T) {
	sound := Set{ID: "s", Title: "set", Combine: EachAlone, Tables: []Table{invented(AnySpeed)}}
	_, err := sound.Check()
	require.NoError(t, err)
	for _, c := range []struct {
		field  string
		change func(*Set)
		err    error
	}{
		{"id", func(s *Set) { s.ID = "" }, align.ErrMissing},
		{"title", func(s *Set) { s.Title = "" }, align.ErrMissing},
		{"combine", func(s *Set) { s.Combine = "" }, align.ErrMissing},
		{"combine", func(s *Set) { s.Combine = "average" }, align.ErrUnknownKind},
		{"tables", func(s *Set) { s.Tables = nil }, align.ErrMissing},
		{"tables[1].id", func(s *Set) { s.Tables = []Table{invented(AnySpeed), invented(ByBand)} }, ErrTwice},
		{"tables[0].unit", func(s *Set) {
			s.Tables = []Table{{ID: "x", Title: "x", Quantity: Runout, Rule: AnySpeed, Known: align.Read, Source: "x"}}
		}, align.ErrMissing},
	} {
		s := sound
		c.change(&s)
		_, err := s.Check()
		require.ErrorIs(t, err, c.err, c.field)
		var in *align.InputError
		require.ErrorAs(t, err, &in)
		require.Equal(t, c.field, in.Field)
		_, err = FormatSet(s)
		require.ErrorIs(t, err, c.err)
	}
}
