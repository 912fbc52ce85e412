package align

import (
	"math"
	"strconv"
)

// Unit is the printed name of a unit of measure, as records and reports write
// it. The zero value is not a unit: a quantity without a unit is an error.
type Unit string

// The units that records may use.
const (
	UnitMetre              Unit = "m"
	UnitMillimetre         Unit = "mm"
	UnitMicrometre         Unit = "um"
	UnitInch               Unit = "in"
	UnitMil                Unit = "mil"
	UnitFoot               Unit = "ft"
	UnitOne                Unit = "1" // a plain ratio, such as rise over run
	UnitMilPerInch         Unit = "mil/in"
	UnitMillimetrePerMetre Unit = "mm/m"
	UnitInchPerFoot        Unit = "in/ft"
	UnitDegree             Unit = "deg"
	UnitRadian             Unit = "rad"
	UnitKelvin             Unit = "K"
	UnitCelsius            Unit = "degC"
	UnitFahrenheit         Unit = "degF"
	UnitCelsiusRise        Unit = "degC-rise"
	UnitFahrenheitRise     Unit = "degF-rise"
	UnitRPM                Unit = "rpm"
	UnitHertz              Unit = "Hz"
	UnitMicrometrePerMetre Unit = "um/m"
	UnitMilPerFoot         Unit = "mil/ft"
	UnitPerKelvin          Unit = "1/K"
	UnitPerFahrenheit      Unit = "1/degF"
	UnitKilogram           Unit = "kg"
	UnitPound              Unit = "lb"
	UnitPascal             Unit = "Pa"
	UnitMegapascal         Unit = "MPa"
	UnitPSI                Unit = "psi"
	UnitNewton             Unit = "N"
	UnitPoundForce         Unit = "lbf"
	UnitNewtonMetre        Unit = "N.m"
	UnitPoundForceInch     Unit = "lbf.in"
	UnitPoundForceFoot     Unit = "lbf.ft"
	UnitKilogramMetre      Unit = "kg.m" // unbalance
	UnitGramMillimetre     Unit = "g.mm" // unbalance
	UnitMetrePerSecond     Unit = "m/s"
	UnitMillimetrePerSec   Unit = "mm/s"
	UnitInchPerSec         Unit = "in/s"
	UnitSecond             Unit = "s"
	UnitMinute             Unit = "min"
	UnitHour               Unit = "h"
)

// Dimension says what kind of quantity a unit measures.
type Dimension uint8

// The dimensions that units can have.
const (
	NoDimension    Dimension = iota // not a known unit
	LengthDim                       // SI: metre
	RatioDim                        // SI: 1
	AngleDim                        // SI: radian
	TemperatureDim                  // SI: kelvin
	RiseDim                         // SI: kelvin, a difference
	FrequencyDim                    // SI: hertz
	ExpansionDim                    // SI: per kelvin, a coefficient of expansion
	MassDim                         // SI: kilogram
	PressureDim                     // SI: pascal; stress too
	ForceDim                        // SI: newton
	MomentDim                       // SI: newton metre
	UnbalanceDim                    // SI: kilogram metre
	VelocityDim                     // SI: metre per second
	TimeDim                         // SI: second
)

// unitFacts returns the SI value of one unit, the value added after scaling
// (temperature scales only) and the dimension.
func (u Unit) unitFacts() (scale, shift float64, dim Dimension) {
	switch u {
	case UnitMetre:
		return 1, 0, LengthDim
	case UnitMillimetre:
		return float64(Millimetre), 0, LengthDim
	case UnitMicrometre:
		return float64(Micrometre), 0, LengthDim
	case UnitInch:
		return float64(Inch), 0, LengthDim
	case UnitMil:
		return float64(Mil), 0, LengthDim
	case UnitFoot:
		return float64(Foot), 0, LengthDim
	case UnitOne:
		return 1, 0, RatioDim
	case UnitMilPerInch, UnitMillimetrePerMetre:
		return MilPerInch, 0, RatioDim
	case UnitInchPerFoot:
		return InchPerFoot, 0, RatioDim
	case UnitDegree:
		return math.Pi / 180, 0, AngleDim
	case UnitRadian:
		return 1, 0, AngleDim
	case UnitKelvin:
		return 1, 0, TemperatureDim
	case UnitCelsius:
		return 1, 273.15, TemperatureDim
	case UnitFahrenheit:
		return 5.0 / 9, 459.67 * 5.0 / 9, TemperatureDim
	case UnitCelsiusRise:
		return 1, 0, RiseDim
	case UnitFahrenheitRise:
		return 5.0 / 9, 0, RiseDim
	case UnitRPM:
		return float64(RPM), 0, FrequencyDim
	case UnitHertz:
		return 1, 0, FrequencyDim
	}
	scale, dim = u.otherFacts()
	return scale, 0, dim
}

const (
	poundMass  = 0.45359237                  // kg, exact (International Yard and Pound Agreement, 1959)
	poundForce = poundMass * StandardGravity // N, exact
)

// otherFacts are the units that are not of geometry, temperature or speed.
func (u Unit) otherFacts() (scale float64, dim Dimension) {
	const inch = float64(Inch)
	switch u {
	case UnitMicrometrePerMetre:
		return 1e-6, RatioDim
	case UnitMilPerFoot:
		return 1e-3 / 12, RatioDim
	case UnitPerKelvin:
		return 1, ExpansionDim
	case UnitPerFahrenheit:
		return 9.0 / 5, ExpansionDim
	case UnitKilogram:
		return 1, MassDim
	case UnitPound:
		return poundMass, MassDim
	case UnitPascal:
		return 1, PressureDim
	case UnitMegapascal:
		return 1e6, PressureDim
	case UnitPSI:
		return poundForce / (inch * inch), PressureDim
	case UnitNewton:
		return 1, ForceDim
	case UnitPoundForce:
		return poundForce, ForceDim
	case UnitNewtonMetre:
		return 1, MomentDim
	case UnitPoundForceInch:
		return poundForce * inch, MomentDim
	case UnitPoundForceFoot:
		return poundForce * 12 * inch, MomentDim
	case UnitKilogramMetre:
		return 1, UnbalanceDim
	case UnitGramMillimetre:
		return 1e-6, UnbalanceDim
	case UnitMetrePerSecond:
		return 1, VelocityDim
	case UnitMillimetrePerSec:
		return 1e-3, VelocityDim
	case UnitInchPerSec:
		return inch, VelocityDim
	case UnitSecond:
		return 1, TimeDim
	case UnitMinute:
		return 60, TimeDim
	case UnitHour:
		return 3600, TimeDim
	}
	return 0, NoDimension
}

// Dimension returns what the unit measures, NoDimension when u is not a unit
// this library knows.
func (u Unit) Dimension() Dimension {
	_, _, dim := u.unitFacts()
	return dim
}

// SI returns the value in SI units of v given in u. The answer for an unknown
// unit is not a number; use ParseUnit at the edge, where names come in.
func (u Unit) SI(v float64) float64 {
	scale, shift, dim := u.unitFacts()
	if dim == NoDimension {
		return math.NaN()
	}
	return v*scale + shift
}

// FromSI returns in u what si is in SI units.
func (u Unit) FromSI(si float64) float64 {
	scale, shift, dim := u.unitFacts()
	if dim == NoDimension {
		return math.NaN()
	}
	return (si - shift) / scale
}

// Format prints the SI value in u with the given number of decimals, always
// followed by the unit. A value that rounds to zero prints without a sign.
func (u Unit) Format(si float64, decimals int) string {
	s := strconv.FormatFloat(u.FromSI(si), 'f', decimals, 64)
	if len(s) > 1 && s[0] == '-' && isZero(s[1:]) {
		s = s[1:]
	}
	if u == UnitOne {
		return s
	}
	return s + " " + string(u)
}

func isZero(s string) bool {
	for _, c := range s {
		if c != '0' && c != '.' {
			return false
		}
	}
	return true
}

// ParseUnit returns the unit with that name, or ErrUnknownUnit.
func ParseUnit(name string) (Unit, error) {
	u := Unit(name)
	if u.Dimension() == NoDimension {
		return "", &InputError{Field: "unit", Got: strconv.Quote(name), Err: ErrUnknownUnit}
	}
	return u, nil
}

// ParseUnitOf returns the unit with that name if it measures dim. An unknown
// name is ErrUnknownUnit; a unit of another kind is ErrWrongUnit.
func ParseUnitOf(name string, dim Dimension) (Unit, error) {
	u, err := ParseUnit(name)
	if err != nil {
		return "", err
	}
	if u.Dimension() != dim {
		return "", &InputError{Field: "unit", Got: strconv.Quote(name), Err: ErrWrongUnit}
	}
	return u, nil
}
