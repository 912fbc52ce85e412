package align_test

import (
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// codes are the codes of warnings in order.
func codes(w []align.Warning) (out []align.WarningCode) {
	for _, x := range w {
		out = append(out, x.Code)
	}
	return out
}

// oddity is one way to make a good measurement suspect.
type oddity struct {
	name     string
	code     align.WarningCode
	severity align.Severity
	field    string
	value    float64 // in SI units
	limit    float64
	text     string // must be printed
	edit     func(m *align.Measurement)
}

func oddities() []oddity {
	far, near := "dials[0] (on far shaft)", "dials[1] (on near shaft)"
	return []oddity{
		{"closure", align.WarnClosure, align.Suspect, far, 0.03e-3, 0.01e-3, "0.030 mm, limit 0.010 mm", func(m *align.Measurement) {
			m.Dials[0].Sweep = append(m.Dials[0].Sweep, align.Reading{At: 360, Value: 0.03e-3})
		}},
		{"closure with its own limit", align.WarnClosure, align.Suspect, far, 0.003e-3, 0.002e-3, "0.003 mm, limit 0.002 mm", func(m *align.Measurement) {
			m.Checks.Closure = 0.002e-3
			m.Dials[0].Sweep = append(m.Dials[0].Sweep, align.Reading{At: 360, Value: 0.003e-3})
		}},
		{"sum rule", align.WarnSumRule, align.Suspect, near, -0.06e-3, 0.05e-3, "-0.060 mm, limit 0.050 mm", func(m *align.Measurement) {
			m.Dials[1].Sweep[1].Value += 0.06e-3
		}},
		{"residual of a dial", align.WarnResidual, align.Suspect, near, -0.0125e-3, 0.01e-3, "limit 0.010 mm", func(m *align.Measurement) {
			m.Checks.Residual = 0.01e-3
			m.Dials[1].Sweep[0].Value -= 0.05e-3
		}},
		{"residual of a known offset", align.WarnResidual, align.Suspect, "known offsets and slopes", 0.1e-3, 0.05e-3, "limit 0.050 mm", func(m *align.Measurement) {
			p, err := m.Solve()
			if err != nil {
				panic(err)
			}
			o := p.At(0.1)
			o.Vertical += 0.1e-3
			// The offset weighs next to nothing, so it keeps its whole residual.
			m.Offsets = []align.KnownOffset{{Station: 0.1, Offset: o, Sigma: 1}}
		}},
		// sqrt(n/2 (A'A)^-1) of the columns 1, cos t, sin t, by NumPy 1.24.
		{"narrow arc", align.WarnNarrowArc, align.Suspect, far, 3.976186, 2, "limit 2.0", func(m *align.Measurement) {
			m.Dials[0].Sweep = align.Sweep{{At: 0}, {At: 30}, {At: 60}, {At: 90}}
		}},
		{"stations exchanged", align.WarnGeometryOrder, align.Suspect, far, 0, 0.2, "0.000 mm, limit 200.000 mm", func(m *align.Measurement) {
			m.Dials[0].Station, m.Dials[1].Station = m.Dials[1].Station, m.Dials[0].Station
		}},
		{"positive sag", align.WarnSagPositive, align.Serious, far, 0.05e-3, 0, "0.050 mm, limit 0.000 mm", func(m *align.Measurement) {
			m.Dials[0].Sag = align.RollOver(0.05e-3)
		}},
		{"sag not measured", align.WarnSagNotMeasured, align.Notice, near, 0, 0, "no sag test given", func(m *align.Measurement) {
			m.Dials[1].Sag = align.Sag{}
		}},
		{"large sag", align.WarnSagSize, align.Suspect, near, -1.2e-3, 1e-3, "-1.200 mm, limit 1.000 mm", func(m *align.Measurement) {
			m.Dials[1].Sag = align.RollOver(-1.2e-3)
		}},
		// (-5.025 - 0.050)/200 up and (0 - 0.075)/200 sideways, by hand.
		{"large slope", align.WarnSize, align.Serious, "slope", 0.0253778, 0.02, "mm/m, limit 20.000 mm/m", func(m *align.Measurement) {
			m.Dials[0].Sweep = align.FourPoint(0, 5e-3, 10e-3, 5e-3)
		}},
		{"large offset", align.WarnSize, align.Serious, far, 7.5e-3, 5e-3, "limit 5.000 mm", func(m *align.Measurement) {
			for i, v := range [...]float64{7.5e-3, -7.5e-3} {
				m.Dials[i].Sag = align.NoSag()
				m.Dials[i].Sweep = align.FourPoint(lengthOf(v), 0, lengthOf(-v), 0)
			}
		}},
		{"one plane", align.WarnOnePlane, align.Notice, "", 0, 0, "only one plane", func(m *align.Measurement) {
			m.Dials[0].Sweep, m.Dials[1].Sweep = align.TopBottom(0, -0.15e-3), align.TopBottom(0, 0.05e-3)
		}},
		{"runout not used", align.WarnRunoutLeft, align.Notice, far, 0, 0, "runout was not used", func(m *align.Measurement) {
			m.Dials[0].Runout = &align.Offset{Vertical: 1e-5}
		}},
	}
}

func TestSolveWarns(t *testing.T) {
	clean := goodReverse()
	p := mustSolve(t, clean)
	require.Empty(t, p.Warnings, "good readings bring no warning")
	for _, o := range oddities() {
		t.Run(o.name, func(t *testing.T) {
			m := goodReverse()
			o.edit(&m)
			p := mustSolve(t, m)
			require.Contains(t, codes(p.Warnings), o.code)
			var w align.Warning
			for _, x := range p.Warnings {
				if x.Code == o.code && x.Field == o.field {
					w = x
				}
			}
			assert.Equal(t, o.severity, w.Severity)
			assert.Equal(t, o.field, w.Field)
			assert.InDelta(t, o.value, w.Value, 1e-4*magnitude(o.value, 1e-7))
			assert.InDelta(t, o.limit, w.Limit, 1e-12)
			assert.Contains(t, w.String(), o.text)
			assert.Contains(t, w.String(), string(o.code))
		})
	}
}

func TestChecksOutsideSolve(t *testing.T) {
	assert.Empty(t, align.CheckRepeatability(0.01e-3, 0.01e-3))
	w := align.CheckRepeatability(0.02e-3, 0.01e-3)
	require.Len(t, w, 1)
	assert.Equal(t, "sweeps: repeatability: two sets of readings disagree (0.020 mm, limit 0.010 mm)", w[0].String())

	assert.Empty(t, align.CheckExtrapolation(1, 0, 0.2, 0), "four spans beyond is the default limit")
	assert.Empty(t, align.CheckExtrapolation(0.1, 0, 0.2, 0), "inside")
	assert.Empty(t, align.CheckExtrapolation(5, 0.2, 0.2, 0), "no span, no measure")
	for _, x := range []float64{1.2, -1} {
		w = align.CheckExtrapolation(lengthOf(x), 0, 0.2, 0)
		require.Len(t, w, 1)
		assert.Equal(t, align.WarnExtrapolation, w[0].Code)
		assert.InDelta(t, 5, w[0].Value, 1e-12)
		assert.InDelta(t, 4, w[0].Limit, 0)
	}
	assert.Empty(t, align.CheckExtrapolation(1.2, 0, 0.2, 6), "a limit of the caller's own")
}

func TestEveryWarningIsReached(t *testing.T) {
	reached := map[align.WarningCode]bool{ // by TestChecksOutsideSolve
		align.WarnRepeatability: true, align.WarnExtrapolation: true,
	}
	for _, o := range oddities() {
		reached[o.code] = true
	}
	for _, c := range []align.WarningCode{
		align.WarnClosure, align.WarnSumRule, align.WarnRepeatability, align.WarnResidual, align.WarnNarrowArc,
		align.WarnExtrapolation, align.WarnGeometryOrder, align.WarnSagPositive, align.WarnSagNotMeasured,
		align.WarnSagSize, align.WarnSize, align.WarnOnePlane, align.WarnRunoutLeft,
	} {
		assert.True(t, reached[c], string(c))
		assert.Contains(t, align.Warning{Code: c}.String(), ": ", "every code says what it means")
	}
}

func TestWarningUnits(t *testing.T) {
	w := align.Warning{Code: align.WarnClosure, Field: "dials[0]", Value: 0.0254e-3, Limit: 0.0127e-3, Unit: align.UnitMillimetre}
	tail := ": the dial did not come back to its first reading ("
	assert.Equal(t, "dials[0]: closure"+tail+"1.0 mil, limit 0.5 mil)", w.In(align.UnitMil))
	assert.Equal(t, "dials[0]: closure"+tail+"0.0010 in, limit 0.0005 in)", w.In(align.UnitInch))
	assert.Equal(t, "dials[0]: closure"+tail+"0.00003 m, limit 0.00001 m)", w.In(align.UnitMetre))
	assert.Equal(t, w.String(), w.In(align.UnitDegree), "a unit of another kind is not used")
	assert.Equal(t, "own-word", align.Warning{Code: "own-word"}.String())

	assert.Equal(t, "notice", align.Notice.String())
	assert.Equal(t, "suspect", align.Suspect.String())
	assert.Equal(t, "serious", align.Serious.String())
	assert.Equal(t, "severity(9)", align.Severity(9).String())
	assert.Less(t, align.Notice, align.Suspect)
	assert.Less(t, align.Suspect, align.Serious)
}

// The sum of four readings is not zero with perfect dials on a small hub. The
// check must expect the second-order part and stay silent.
func TestSumRuleExpectsTheCurveOfTheRim(t *testing.T) {
	a := align.Axis{
		Vertical:   align.Line{Offset: 2e-3, Slope: 0.004},
		Horizontal: align.Line{Offset: 0.2e-3},
	}
	m := align.Measurement{Sigma: 0.005e-3, Dials: []align.Dial{
		{Station: 0.15, Diameter: 0.04, Sag: align.RollOver(-0.1e-3)},
		{Station: 0, Bracket: align.Far, Diameter: 0.04, Sag: align.RollOver(-0.1e-3)},
	}}
	for i := range m.Dials {
		s, err := m.Dials[i].PredictExact(a, align.Spool{}, 0, 0, 90, 180, 270)
		require.NoError(t, err)
		m.Dials[i].Sweep = s
		sum, ok := s.SumRule()
		require.True(t, ok)
		assert.Greater(t, float64(sum), 0.1e-3, "far beyond the limit of the check")
	}
	p := mustSolve(t, m)
	assert.NotContains(t, codes(p.Warnings), align.WarnSumRule)
	q, err := m.SolveExact()
	require.NoError(t, err)
	assert.NotContains(t, codes(q.Warnings), align.WarnSumRule, "what was taken out is not expected again")
	for i := range m.Dials {
		m.Dials[i].Diameter = 0 // without the diameter nothing can be expected
	}
	assert.Contains(t, codes(mustSolve(t, m).Warnings), align.WarnSumRule)
}
