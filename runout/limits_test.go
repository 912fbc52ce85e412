package runout_test

import (
	"errors"
	"math"
	"testing"

	"collinear.example/align"
	"collinear.example/runout"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

const mm, inch, mil = align.Millimetre, align.Inch, align.Mil

// The inch column that EASA AR100-2015 prints beside the millimetres of Table
// 2-4, and that of Table 2-11: an independent print of the same limits.
func TestPrintedInchesAgreeWithMillimetres(t *testing.T) {
	for _, c := range []struct {
		limit  func(runout.Standard, unit.Length) (align.Limit, error)
		upTo   []float64
		inches []float64
	}{
		{
			runout.ShaftLimit,
			[]float64{10, 18, 30, 50, 80, 120, 180, 250, 315, 400, 500, 630},
			[]float64{0.001, 0.001, 0.002, 0.002, 0.002, 0.003, 0.003, 0.004, 0.004, 0.004, 0.005, 0.006},
		},
		{
			runout.FlangeLimit,
			[]float64{100, 230, 450, 800, 1250, 2000, 2240},
			[]float64{0.003, 0.004, 0.005, 0.006, 0.008, 0.010, 0.012},
		},
	} {
		for i, d := range c.upTo {
			l, err := c.limit(runout.IEC60072, unit.Length(d)*mm)
			require.NoError(t, err)
			assert.InDelta(t, c.inches[i], l.SI()/float64(inch), 0.0005+1e-9, "%g mm", d)
		}
	}
}

// From 10 mm up class N of DIN 42955 is the IEC table, and class R is half of
// it, rounded up to the next printed step.
func TestClassesOfDINAgreeWithIEC(t *testing.T) {
	for d := 10.5; d <= 250; d += 0.5 {
		n, err := runout.ShaftLimit(runout.DIN42955Normal, unit.Length(d)*mm)
		require.NoError(t, err)
		iec, err := runout.ShaftLimit(runout.IEC60072, unit.Length(d)*mm)
		require.NoError(t, err)
		r, err := runout.ShaftLimit(runout.DIN42955Reduced, unit.Length(d)*mm)
		require.NoError(t, err)
		assert.Equal(t, iec.Value, n.Value)
		assert.InDelta(t, n.Value/2, r.Value, 0.0011)
		assert.GreaterOrEqual(t, r.Value, n.Value/2)
	}
}

// A larger shaft is never held tighter, and millimetres and inches of the same
// diameter find the same row, on the borders too.
func TestShaftLimitsGrowAndKeepTheirBorders(t *testing.T) {
	for _, s := range []runout.Standard{runout.NEMAMG1, runout.IEC60072, runout.DIN42955Normal, runout.DIN42955Reduced} {
		last := 0.0
		for i := 1; i <= 5200; i++ {
			d := float64(i) / 8 // mm
			l, err := runout.ShaftLimit(s, unit.Length(d)*mm)
			same, errSame := runout.ShaftLimit(s, unit.Length(d/25.4)*inch)
			require.Equal(t, err == nil, errSame == nil, "%s %g mm", s, d)
			if err != nil {
				require.ErrorIs(t, err, align.ErrOutOfRange)
				continue
			}
			require.Equal(t, l, same, "%s %g mm", s, d)
			require.GreaterOrEqual(t, l.SI(), last)
			last = l.SI()
		}
		require.NotZero(t, last)
	}
}

func TestOutOfRangeNamesTheRange(t *testing.T) {
	_, err := runout.ShaftLimit(runout.NEMAMG1, 7*inch)
	assert.EqualError(t, err, "runout: diameter = 7.0000 in, the table runs from 0.1875 up to 6.5 in: is out of range")
	_, err = runout.ShaftLimit(runout.IEC60072, 6*mm)
	assert.EqualError(t, err, "runout: diameter = 6.0000 mm, the table runs over 6 up to 630 mm: is out of range")
	_, err = runout.FlangeLimit(runout.DIN42955Reduced, 1400.1*mm)
	assert.EqualError(t, err, "runout: rabbet = 1400.1000 mm, the table runs over 0 up to 1400 mm: is out of range")
}

// A reading at the end of the extension says nothing about a limit for the
// middle, nor the other way round.
func TestThePlaceMustBeThatOfTheLimit(t *testing.T) {
	r := runout.ShaftReading{Diameter: 50 * mm, Runout: align.TIR(0.05 * mm), Place: runout.EndOfExtension}
	_, err := r.Judge(runout.IEC60072)
	require.ErrorIs(t, err, align.ErrMismatch)
	v, err := r.Judge(runout.NEMAMG1)
	require.NoError(t, err)
	assert.True(t, v.Within)
	assert.Equal(t, "0.0020 in, within the limit by 0.0010 in; shaft runout at end of the shaft extension: at most 0.0030 in (NEMA MG 1 condensed (2011), 4.9.7, p. 10)", v.String())
	v, err = r.Judge(runout.DIN42955Normal)
	require.NoError(t, err)
	assert.True(t, v.Within)
	r.Place = runout.MiddleOfExtension
	_, err = r.Judge(runout.NEMAMG1)
	require.ErrorIs(t, err, align.ErrMismatch)
	v, err = r.Judge(runout.IEC60072)
	require.NoError(t, err)
	assert.True(t, v.Within, "a reading equal to the limit is within it")
	r.Runout += align.TIR(1e-9)
	v, err = r.Judge(runout.IEC60072)
	require.NoError(t, err)
	assert.False(t, v.Within)
	r.Place = ""
	_, err = r.Judge(runout.IEC60072)
	require.ErrorIs(t, err, align.ErrMissing)
	r.Place = "near the coupling"
	_, err = r.Judge(runout.IEC60072)
	require.ErrorIs(t, err, align.ErrUnknownKind)
}

func TestPumpRotorBorder(t *testing.T) {
	// L^4/D^2 = 1.9e9 mm^2 exactly when D = L^2/sqrt(1.9e9 mm^2).
	span := 1000.0
	d := span * span / math.Sqrt(1.9e9)
	for _, c := range []struct {
		scale, shaft, rotor float64
		known               align.Known
	}{{1, 25, 75, align.FromMemory}, {1 + 1e-9, 25, 75, align.FromMemory}, {1 - 1e-9, 40, 90, align.ReadSecondhand}} {
		shaft, rotor, err := runout.PumpRotor{Span: 1000 * mm, Diameter: unit.Length(d*c.scale) * mm}.Limits()
		require.NoError(t, err)
		assert.Equal(t, c.shaft, shaft.Value)
		assert.Equal(t, c.rotor, rotor.Value)
		assert.Equal(t, c.known, shaft.Known)
		assert.Equal(t, c.known, rotor.Known)
	}
	f, err := runout.PumpRotor{Span: 2, Diameter: 0.5}.FlexibilityFactor()
	require.NoError(t, err)
	assert.Equal(t, 64.0, f) // 2^4/0.5^2
}

func TestHandbookRules(t *testing.T) {
	tir := func(v float64) *align.TIR { r := align.TIR(v * float64(mil)); return &r }
	for _, c := range []struct {
		rule  string
		hub   float64
		shaft *align.TIR
		want  runout.Finding
	}{
		{"pump-handbook", 2, nil, runout.HubWithin},
		{"pump-handbook", 2, tir(5), runout.HubWithin},
		{"pump-handbook", 2.001, nil, runout.ReadShaft},
		{"pump-handbook", 2.001, tir(1), runout.HubEccentric},
		{"pump-handbook", 2.001, tir(1.001), runout.StraightenShaft},
		{"chiller-maker", 1, nil, runout.HubWithin},
		{"chiller-maker", 1.5, nil, runout.ReadShaft},
		{"chiller-maker", 1.5, tir(1), runout.HubEccentric},
	} {
		r, err := runout.NamedRule(c.rule)
		require.NoError(t, err)
		got, err := r.Decide(*tir(c.hub), c.shaft)
		require.NoError(t, err)
		assert.Equal(t, c.want, got, "%+v", c)
	}
	r := runout.PumpHandbookRule()
	_, err := r.Decide(-1, nil)
	require.ErrorIs(t, err, align.ErrNegative)
	_, err = r.Decide(0, tir(math.NaN()))
	require.ErrorIs(t, err, align.ErrNotFinite)
	r.Hub.Value = math.NaN()
	_, err = r.Decide(0, nil)
	require.ErrorIs(t, err, align.ErrNotFinite)
	r = runout.PumpHandbookRule()
	r.Shaft.Value = -1
	_, err = r.Decide(1, tir(1))
	require.ErrorIs(t, err, align.ErrNegative)
	_, err = runout.NamedRule("other")
	require.ErrorIs(t, err, align.ErrUnknownKind)
}

// Twice the length of a straight-enough line shaft may run out twice as much, and
// a shaft of two feet is held as tightly as any one foot of it.
func TestLineShaft(t *testing.T) {
	two, err := runout.LineShaft(2 * align.Foot)
	require.NoError(t, err)
	assert.InDelta(t, runout.LineShaftAnyFoot().SI(), two.SI(), 1e-15)
	four, err := runout.LineShaft(4 * align.Foot)
	require.NoError(t, err)
	assert.InDelta(t, 2*two.SI(), four.SI(), 1e-15)
	_, err = runout.LineShaft(0)
	require.ErrorIs(t, err, align.ErrOutOfRange)
	assert.Equal(t, 0.05, runout.ASMEB73Shaft().Value)
	assert.Equal(t, 0.05, runout.ASMEB73Sleeve().Value)
}

// Limits never loosen with speed, and in hertz the same band is found.
func TestHydroLimitsTightenWithSpeed(t *testing.T) {
	for _, part := range []runout.HydroPart{runout.GeneratorJournals, runout.TurbineJournal, runout.CollectorRing} {
		last, lastCap := math.Inf(1), math.Inf(1)
		for rpm := 1; rpm <= 1500; rpm++ {
			l, err := runout.HydroLimit(part, unit.Frequency(rpm)*align.RPM)
			require.NoError(t, err)
			same, err := runout.HydroLimit(part, unit.Frequency(float64(rpm)/60))
			require.NoError(t, err)
			require.Equal(t, l, same, "%d rpm", rpm)
			most, err := runout.HydroCap(unit.Frequency(rpm) * align.RPM)
			require.NoError(t, err)
			require.LessOrEqual(t, l.SI(), last)
			require.LessOrEqual(t, most.SI(), lastCap)
			last, lastCap = l.SI(), most.SI()
		}
	}
}

func TestHydroJudge(t *testing.T) {
	h := runout.HydroRunout{Part: runout.TurbineJournal, Speed: 428.6 * align.RPM, Runout: align.TIR(0.27 * mm), Distance: 7}
	vs, err := h.Judge()
	require.NoError(t, err)
	require.Len(t, vs, 2)
	assert.True(t, vs[0].Within)
	assert.False(t, vs[1].Within, "the cap")
	h.Part = runout.GeneratorJournals
	vs, err = h.Judge()
	require.NoError(t, err)
	require.Len(t, vs, 1)
	assert.False(t, vs[0].Within)
	h.Distance = 0
	_, err = h.Judge()
	require.ErrorIs(t, err, align.ErrOutOfRange)
	h.Part = runout.CollectorRing
	vs, err = h.Judge()
	require.NoError(t, err)
	require.Len(t, vs, 1)
	assert.True(t, vs[0].Within)
	h.Runout = -1
	_, err = h.Judge()
	require.ErrorIs(t, err, align.ErrNegative)
	_, err = runout.HydroRunout{Part: runout.TurbineJournal, Speed: 5, Runout: 1e10, Distance: 5e-324}.Judge()
	require.ErrorIs(t, err, align.ErrOutOfRange)
}

// Whatever numbers come in, no NaN and no infinity go out, and an error is of
// this package and has a code.
func FuzzLimits(f *testing.F) {
	f.Add(0.018, 0.05, 2.5, 7.0, uint8(0))
	f.Add(math.Inf(1), math.NaN(), -1.0, 0.0, uint8(1))
	f.Add(1e-320, 1e300, 1e300, 1e-300, uint8(2))
	f.Fuzz(func(t *testing.T, d, tir, speed, length float64, pick uint8) {
		standards := []runout.Standard{runout.NEMAMG1, runout.IEC60072, runout.DIN42955Normal, runout.DIN42955Reduced, "none"}
		s := standards[int(pick)%len(standards)]
		places := []runout.Place{runout.EndOfExtension, runout.MiddleOfExtension, ""}
		sound := func(err error, numbers ...float64) {
			t.Helper()
			if err != nil {
				var e *align.InputError
				require.True(t, errors.As(err, &e))
				require.Equal(t, "runout", e.Package)
				require.NotEmpty(t, align.CodeOf(err))
				return
			}
			for _, n := range numbers {
				require.True(t, align.IsFinite(n))
			}
		}
		v, err := runout.ShaftReading{Diameter: unit.Length(d), Runout: align.TIR(tir), Place: places[int(pick)%3]}.Judge(s)
		sound(err, v.Measured, v.Share(), v.Margin())
		l, err := runout.FlangeLimit(s, unit.Length(d))
		sound(err, l.SI())
		l, err = runout.LineShaft(unit.Length(length))
		sound(err, l.SI())
		factor, err := runout.PumpRotor{Span: unit.Length(length), Diameter: unit.Length(d)}.FlexibilityFactor()
		sound(err, factor)
		parts := []runout.HydroPart{runout.GeneratorJournals, runout.TurbineJournal, runout.CollectorRing, "none"}
		vs, err := runout.HydroRunout{Part: parts[int(pick)%4], Speed: unit.Frequency(speed), Runout: align.TIR(tir), Distance: unit.Length(length)}.Judge()
		sound(err)
		for _, v := range vs {
			sound(nil, v.Measured, v.Share(), v.Margin())
		}
	})
}
