package align

import "gonum.org/v1/gonum/unit"

// Lengths of the trade, for use the way time.Duration is used: 4*align.Mil.
// The SI values are exact: one inch is 25.4 mm (International Yard and Pound
// Agreement, 1959).
const (
	Metre      unit.Length = 1
	Millimetre unit.Length = 1e-3
	Micrometre unit.Length = 1e-6
	Inch       unit.Length = 0.0254
	Mil        unit.Length = 0.0254e-3 // one thousandth of an inch
	Foot       unit.Length = 12 * 0.0254
)

// Slopes are plain rise over run. A mil per inch and a millimetre per metre
// are the same number, 0.001, which makes a handy check on mixed units.
const (
	MilPerInch         = 1e-3
	MillimetrePerMetre = 1e-3
	InchPerFoot        = 1.0 / 12
)

// RPM is one revolution a minute as a frequency.
const RPM unit.Frequency = 1.0 / 60

// Celsius converts a temperature on the Celsius scale. For a difference of
// temperatures use CelsiusRise instead.
func Celsius(t float64) unit.Temperature { return unit.Temperature(t + 273.15) }

// Fahrenheit converts a temperature on the Fahrenheit scale. For a difference
// of temperatures use FahrenheitRise instead.
func Fahrenheit(t float64) unit.Temperature {
	return unit.Temperature((t + 459.67) * (5.0 / 9))
}

// TempRise is a difference of two temperatures, in kelvins. It is a type of its
// own because a difference converts by 9/5 alone, never by adding 32.
type TempRise float64

// Temperature differences of the trade: 40*align.FahrenheitRise is a rise of
// 40 degrees Fahrenheit.
const (
	CelsiusRise    TempRise = 1
	FahrenheitRise TempRise = 5.0 / 9
)

// RiseBetween returns how far to is above from.
func RiseBetween(from, to unit.Temperature) TempRise { return TempRise(to - from) }

// TIR is a total indicator reading: the largest minus the smallest reading of
// a dial over one turn. It is never negative, and it is twice the offset that
// produced it.
type TIR unit.Length

// Offset returns half the total indicator reading: the size of the offset that
// would give it on a true round surface.
func (t TIR) Offset() unit.Length { return unit.Length(t) / 2 }

// String returns the reading with its unit.
func (t TIR) String() string { return UnitMillimetre.Format(float64(t), 4) + " TIR" }

// Movement is a static movement: what a dial on a fixed base shows when
// something is bolted, released or lifted while the shaft stands still. It is
// read directly and is never halved.
type Movement unit.Length

// String returns the movement with its unit.
func (m Movement) String() string { return UnitMillimetre.Format(float64(m), 4) }
