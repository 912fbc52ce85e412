package align_test

import (
	"math"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	gonum "gonum.org/v1/gonum/unit"
	"gonum.org/v1/gonum/unit/constant"
)

// unitTable holds each unit with what one of it is in SI units, from the
// definitions: inch 0.0254 m, pound 0.45359237 kg, standard gravity 9.80665
// m/s2 (NIST SP 811, appendix B; from memory), and the dimension.
var unitTable = []struct {
	unit  align.Unit
	one   float64
	shift float64 // SI value of zero
	dim   align.Dimension
}{
	{align.UnitMetre, 1, 0, align.LengthDim},
	{align.UnitMillimetre, 0.001, 0, align.LengthDim},
	{align.UnitMicrometre, 1e-6, 0, align.LengthDim},
	{align.UnitInch, 0.0254, 0, align.LengthDim},
	{align.UnitMil, 25.4e-6, 0, align.LengthDim},
	{align.UnitFoot, 0.3048, 0, align.LengthDim},
	{align.UnitOne, 1, 0, align.RatioDim},
	{align.UnitMilPerInch, 0.001, 0, align.RatioDim},
	{align.UnitMillimetrePerMetre, 0.001, 0, align.RatioDim},
	{align.UnitInchPerFoot, 1 / 12.0, 0, align.RatioDim},
	{align.UnitMicrometrePerMetre, 1e-6, 0, align.RatioDim},
	{align.UnitMilPerFoot, 25.4e-6 / 0.3048, 0, align.RatioDim},
	{align.UnitDegree, 0.017453292519943295, 0, align.AngleDim},
	{align.UnitRadian, 1, 0, align.AngleDim},
	{align.UnitKelvin, 1, 0, align.TemperatureDim},
	{align.UnitCelsius, 1, 273.15, align.TemperatureDim},
	{align.UnitFahrenheit, 1 / 1.8, 255.3722222222222, align.TemperatureDim},
	{align.UnitCelsiusRise, 1, 0, align.RiseDim},
	{align.UnitFahrenheitRise, 1 / 1.8, 0, align.RiseDim},
	{align.UnitRPM, 1 / 60.0, 0, align.FrequencyDim},
	{align.UnitHertz, 1, 0, align.FrequencyDim},
	{align.UnitPerKelvin, 1, 0, align.ExpansionDim},
	{align.UnitPerFahrenheit, 1.8, 0, align.ExpansionDim},
	{align.UnitKilogram, 1, 0, align.MassDim},
	{align.UnitPound, 0.45359237, 0, align.MassDim},
	{align.UnitPascal, 1, 0, align.PressureDim},
	{align.UnitMegapascal, 1e6, 0, align.PressureDim},
	{align.UnitPSI, 6894.757293168361, 0, align.PressureDim},
	{align.UnitNewton, 1, 0, align.ForceDim},
	{align.UnitPoundForce, 4.4482216152605, 0, align.ForceDim},
	{align.UnitNewtonMetre, 1, 0, align.MomentDim},
	{align.UnitPoundForceInch, 0.1129848290276167, 0, align.MomentDim},
	{align.UnitPoundForceFoot, 1.3558179483314004, 0, align.MomentDim},
	{align.UnitKilogramMetre, 1, 0, align.UnbalanceDim},
	{align.UnitGramMillimetre, 1e-6, 0, align.UnbalanceDim},
	{align.UnitMetrePerSecond, 1, 0, align.VelocityDim},
	{align.UnitMillimetrePerSec, 1e-3, 0, align.VelocityDim},
	{align.UnitInchPerSec, 0.0254, 0, align.VelocityDim},
	{align.UnitSecond, 1, 0, align.TimeDim},
	{align.UnitMinute, 60, 0, align.TimeDim},
	{align.UnitHour, 3600, 0, align.TimeDim},
}

func TestUnitsAgainstTheirDefinitions(t *testing.T) {
	for _, u := range unitTable {
		t.Run(string(u.unit), func(t *testing.T) {
			got, err := align.ParseUnit(string(u.unit))
			require.NoError(t, err)
			assert.Equal(t, u.unit, got)
			assert.Equal(t, u.dim, u.unit.Dimension())
			assert.InEpsilon(t, u.one+u.shift, u.unit.SI(1), 1e-14)
			assert.InDelta(t, u.shift, u.unit.SI(0), 1e-12)
			for _, v := range []float64{-40, -1, 0, 0.004, 7, 12345.678} {
				assert.InDelta(t, v, u.unit.FromSI(u.unit.SI(v)), 1e-11*math.Max(1, math.Abs(v)), "round trip")
			}
			_, err = align.ParseUnitOf(string(u.unit), u.dim)
			require.NoError(t, err)
			_, err = align.ParseUnitOf(string(u.unit), u.dim%align.TimeDim+1)
			require.ErrorIs(t, err, align.ErrWrongUnit)
		})
	}
}

func TestParseUnitRefusesWhatItDoesNotKnow(t *testing.T) {
	for _, s := range []string{"", " mm", "MM", "mils", "inch", "°C", "mm\x00", "thou"} {
		u, err := align.ParseUnit(s)
		require.ErrorIs(t, err, align.ErrUnknownUnit, "%q", s)
		assert.Empty(t, u)
		assert.Equal(t, align.NoDimension, align.Unit(s).Dimension())
		assert.True(t, math.IsNaN(align.Unit(s).SI(1)), "documented: names are checked where they come in")
		assert.True(t, math.IsNaN(align.Unit(s).FromSI(1)))
	}
}

func TestFormatNeverPrintsANumberWithoutItsUnit(t *testing.T) {
	assert.Equal(t, "4.0 mil", align.UnitMil.Format(4*25.4e-6, 1))
	assert.Equal(t, "-0.12 mm", align.UnitMillimetre.Format(-0.12e-3, 2))
	assert.Equal(t, "0.00 mm", align.UnitMillimetre.Format(-0.004e-3, 2), "no minus before zero")
	assert.Equal(t, "0 mm", align.UnitMillimetre.Format(-0.1e-3, 0))
	assert.Equal(t, "32.0 degF", align.UnitFahrenheit.Format(273.15, 1))
	assert.Equal(t, "0.5", align.UnitOne.Format(0.5, 1), "a plain ratio has none")
}

func TestLengthsAgainstGonum(t *testing.T) {
	assert.Equal(t, gonum.Length(gonum.Milli), align.Millimetre)
	assert.Equal(t, gonum.Length(gonum.Micro), align.Micrometre)
	assert.InEpsilon(t, 25.4, float64(align.Inch/align.Millimetre), 1e-15)
	assert.InEpsilon(t, 1000, float64(align.Inch/align.Mil), 1e-15)
	assert.InEpsilon(t, 12, float64(align.Foot/align.Inch), 1e-15)
	assert.InDelta(t, align.MilPerInch, align.MillimetrePerMetre, 0, "the same number, a check on mixed units")
	assert.InEpsilon(t, align.StandardGravity, float64(constant.StandardGravity), 1e-15)
	assert.InEpsilon(t, 1, float64(60*align.RPM), 1e-15)
}

func TestTemperatures(t *testing.T) {
	assert.InDelta(t, 273.15, float64(align.Celsius(0)), 1e-12)
	assert.InDelta(t, 273.15, float64(align.Fahrenheit(32)), 1e-12)
	assert.InDelta(t, 373.15, float64(align.Fahrenheit(212)), 1e-12)
	assert.InDelta(t, float64(align.Celsius(-40)), float64(align.Fahrenheit(-40)), 1e-12, "the scales cross at -40")

	// A rise converts by 5/9 alone: from 78 to 106 is 28 degrees Fahrenheit.
	rise := align.RiseBetween(align.Fahrenheit(78), align.Fahrenheit(106))
	assert.InDelta(t, float64(28*align.FahrenheitRise), float64(rise), 1e-12)
	assert.InDelta(t, 28.0/1.8, float64(rise), 1e-12)
	assert.InDelta(t, -10, float64(align.RiseBetween(align.Celsius(30), align.Celsius(20))/align.CelsiusRise), 1e-12)
	assert.InDelta(t, 0, float64(align.RiseBetween(align.Celsius(0), align.Fahrenheit(32))), 1e-12, "never by adding 32")
}

func TestTotalIndicatorReadingAndMovement(t *testing.T) {
	tir := align.FourPoint(0, 0.003*align.Inch, -0.002*align.Inch, 0.003*align.Inch).TIR()
	assert.InDelta(t, 0.005*0.0254, float64(tir), 1e-18)
	assert.InDelta(t, 0.0025*0.0254, float64(tir.Offset()), 1e-18)
	assert.Equal(t, "0.1270 mm TIR", tir.String())
	assert.Zero(t, align.Sweep(nil).TIR())
	assert.Equal(t, "-0.0500 mm", align.Movement(-0.05*align.Millimetre).String())
}
