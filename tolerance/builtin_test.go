package tolerance

import (
	"testing"

	"collinear.example/align"
	"collinear.example/runout"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// What the built-in tables are known to raise; anything else is a slip of ours.
var expectedWarnings = map[string][]align.WarningCode{
	"practical-pumping-handbook": {align.WarnSize, align.WarnSize, WarnSuspect},
	"ktr-rotex-sp-13":            {WarnOffTrend, WarnSuspect},
	"army-tm-55-1905-219":        {WarnSuspect},
	"abb-amxe132-flexible":       {WarnBoundary, WarnBoundary, WarnBoundary, WarnSuspect, WarnBoundary, WarnBoundary, WarnBoundary, WarnSuspect},
	"abb-amxe132-non-flexible":   {WarnBoundary, WarnBoundary, WarnBoundary, WarnSuspect, WarnBoundary, WarnBoundary, WarnBoundary, WarnSuspect},
	"siemens-1la4":               {WarnSuspect, WarnSuspect},
	"lobanoff-ross-vertical":     {WarnSuspect},
}

func TestBuiltin(t *testing.T) {
	sets, err := readBuiltin()
	require.NoError(t, err)
	require.Len(t, Builtin(), len(sets))
	files, err := builtinFiles.ReadDir("builtin")
	require.NoError(t, err)
	require.Len(t, sets, len(files))
	tables := map[string]bool{}
	for i, s := range sets {
		require.Equal(t, s.ID+".json", files[i].Name())
		warnings, err := s.Check()
		require.NoError(t, err, s.ID)
		var codes []align.WarningCode
		for _, w := range warnings {
			codes = append(codes, w.Code)
		}
		require.Equal(t, expectedWarnings[s.ID], codes, "%s: %v", s.ID, warnings)
		for _, table := range s.Tables {
			require.False(t, tables[table.ID], table.ID)
			tables[table.ID] = true
			require.NotEqual(t, align.FromMemory, table.Known, table.ID)
		}
	}
}

func TestBuiltinCopies(t *testing.T) {
	a, err := FindSet("flender-n-bipex")
	require.NoError(t, err)
	a.Tables[0].Rows[0].Value = 99
	a.Tables[0].Factors[0].Factor = 99
	a.Tables[1].Title = "changed"
	b, err := FindSet("flender-n-bipex")
	require.NoError(t, err)
	require.Equal(t, 0.17, b.Tables[0].Rows[0].Value)
	require.Equal(t, 1.2, b.Tables[0].Factors[0].Factor)
	require.NotEqual(t, "changed", b.Tables[1].Title)

	_, err = FindSet("nobody")
	require.ErrorIs(t, err, ErrUnknownTable)
}

// Package runout states the limits of GB/T 8564 by itself; both must agree at and
// around every bound.
func TestBuiltinAgreesWithRunout(t *testing.T) {
	for set, part := range map[string]runout.HydroPart{
		"gbt-8564-generator-shaft": runout.GeneratorJournals,
		"gbt-8564-turbine-shaft":   runout.TurbineJournal,
		"gbt-8564-collector-ring":  runout.CollectorRing,
	} {
		s, err := FindSet(set)
		require.NoError(t, err)
		for _, rpm := range []float64{1, 149.99, 150, 150.01, 249.9, 250, 299.99, 300, 499.99, 500, 599.9, 600, 749.99, 750, 5000} {
			speed := unit.Frequency(rpm) * align.RPM
			want, err := runout.HydroLimit(part, speed)
			require.NoError(t, err)
			got, warnings, err := s.Tables[0].Limit(Geometry{Speed: speed})
			require.NoError(t, err)
			require.Empty(t, warnings)
			require.Equal(t, want.Value, got.Value, "%s at %v rpm", set, rpm)
			require.Equal(t, want.Unit, got.Unit)
			if part != runout.TurbineJournal {
				continue
			}
			most, err := runout.HydroCap(speed)
			require.NoError(t, err)
			got, _, err = s.Tables[1].Limit(Geometry{Speed: speed})
			require.NoError(t, err)
			require.Equal(t, most.Value, got.Value, "cap at %v rpm", rpm)
		}
	}
}

// The printed cells of the N-EUPEX table are rounded coarsely from its formula.
func TestBuiltinFormulaNearPrinted(t *testing.T) {
	s, err := FindSet("flender-n-eupex")
	require.NoError(t, err)
	for _, c := range []struct{ d, rpm, printed float64 }{
		{68, 750, 0.25}, {80, 1500, 0.2}, {110, 3000, 0.15}, {160, 500, 0.5}, {200, 1500, 0.3}, {250, 1500, 0.35}, {520, 1000, 0.8},
	} {
		a, err := s.Tables[0].LimitAt(Geometry{Speed: unit.Frequency(c.rpm) * align.RPM, FaceDiameter: unit.Length(c.d) * align.Millimetre})
		require.NoError(t, err)
		require.InDelta(t, c.printed, a.Printed, 0.05)
	}
}
