package whatif

import (
	"math"
	"strconv"
	"strings"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// MaxDecimals is how many decimals a printed figure may have.
const MaxDecimals = 12

// sizeOf is the SI value of one unit of a field of type Q. All quantities of
// the library are in SI units but align.Clock, which counts degrees.
func sizeOf[Q ~float64]() float64 {
	var q Q
	if _, ok := any(q).(align.Clock); ok {
		return math.Pi / 180
	}
	return 1
}

// dimensionOf is what a value's type says it measures, NoDimension when the type
// leaves it open.
func dimensionOf(v any) align.Dimension {
	switch v.(type) {
	case unit.Length, align.TIR, align.Movement:
		return align.LengthDim
	case align.Clock, unit.Angle:
		return align.AngleDim
	case unit.Temperature:
		return align.TemperatureDim
	case align.TempRise:
		return align.RiseDim
	case unit.Frequency:
		return align.FrequencyDim
	case unit.Mass:
		return align.MassDim
	case unit.Pressure:
		return align.PressureDim
	case unit.Force:
		return align.ForceDim
	case unit.Torque:
		return align.MomentDim
	case unit.Velocity:
		return align.VelocityDim
	case unit.Time:
		return align.TimeDim
	}
	return align.NoDimension
}

// checkUnit wants a known unit of what the type measures.
func checkUnit(field string, u align.Unit, typed any) error {
	have, want := u.Dimension(), dimensionOf(typed)
	if have == align.NoDimension {
		return fault(field+".unit", strconv.Quote(string(u)), align.ErrUnknownUnit)
	}
	if want != align.NoDimension && have != want {
		return fault(field+".unit", strconv.Quote(string(u)), align.ErrWrongUnit)
	}
	return nil
}

// differenceUnit is the unit of a difference of two values in u: a difference of
// temperatures is a rise.
func differenceUnit(u align.Unit) align.Unit {
	switch u {
	case align.UnitKelvin, align.UnitCelsius:
		return align.UnitCelsiusRise
	case align.UnitFahrenheit:
		return align.UnitFahrenheitRise
	}
	return u
}

// rateUnit names the unit of a derivative: "mm/degC-rise", "(mm/m)/mm".
func rateUnit(of, by align.Unit) string {
	top, under := string(differenceUnit(of)), string(differenceUnit(by))
	if under == string(align.UnitOne) {
		return top
	}
	if strings.Contains(top, "/") {
		top = "(" + top + ")"
	}
	if strings.Contains(under, "/") {
		under = "(" + under + ")"
	}
	return top + "/" + under
}

// printable reports whether an SI value is finite in itself and in its unit.
func printable(u align.Unit, si float64) bool {
	return align.IsFinite(si) && align.IsFinite(u.FromSI(si))
}

// figure prints an SI value in u without the name of the unit.
func figure(u align.Unit, si float64, decimals int) string {
	if v := u.FromSI(si); math.Abs(v) >= 1e15 {
		return strconv.FormatFloat(v, 'g', 6, 64) // hundreds of digits help nobody
	}
	return strings.TrimSuffix(u.Format(si, decimals), " "+string(u))
}

// number prints an SI value in u for another program: twelve significant
// digits, which leaves out the dust of the conversion.
func number(u align.Unit, si float64) string { return significant(u.FromSI(si), 12) }

// significant prints v with so many significant digits, and zero without a sign.
func significant(v float64, digits int) string {
	if v == 0 {
		return "0"
	}
	return strconv.FormatFloat(v, 'g', digits, 64)
}

// decimalsFor is the fewest decimals, up to six, that show all values exactly;
// when none do, as many as give the largest four significant digits.
func decimalsFor(values []float64) int {
	largest := 0.0
	for _, v := range values {
		largest = max(largest, math.Abs(v))
	}
	if largest == 0 || largest >= 1e15 {
		return 0
	}
	scale := 1.0
	for d := range 7 {
		if roundTo(values, scale, largest) {
			return d
		}
		scale *= 10
	}
	return min(max(3-int(math.Floor(math.Log10(largest))), 0), MaxDecimals)
}

// roundTo reports whether every value is a whole number of 1/scale, to a
// billionth of the largest.
func roundTo(values []float64, scale, largest float64) bool {
	for _, v := range values {
		if math.Abs(math.Round(v*scale)/scale-v) > 1e-9*largest {
			return false
		}
	}
	return true
}
