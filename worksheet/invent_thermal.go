package worksheet

import (
	"math"

	"collinear.example/align"
)

// temperature returns a whole number of degrees between lo and hi degrees Celsius,
// in the scale that goes with the lengths: degrees Fahrenheit with inches.
func (v inventor) temperature(lo, hi float64) float64 {
	c := lo + (hi-lo)*v.Float64()
	if v.inch {
		return math.Round(c*1.8 + 32)
	}
	return math.Round(c)
}

// roundTemperature is the same in whole tens, for plain exercises.
func (v inventor) roundTemperature(lo, hi float64) float64 {
	return math.Round(v.temperature(lo, hi)/10) * 10
}

// warm invents a support at a station: cold near the ambient given, hot between lo
// and hi degrees Celsius.
func (v inventor) warm(d Difficulty, station, ambient, lo, hi float64) Support {
	s := Support{Station: station, Height: v.length(300, 700), Cold: ambient, Hot: v.temperature(lo, hi)}
	if d == Plain {
		s.Hot = v.roundTemperature(lo, hi)
		s.Coefficient = 0.000012
		if v.inch {
			s.Coefficient = 0.0000065
		}
		return s
	}
	m := supportMaterials[v.IntN(len(supportMaterials))]
	s.Material, s.Variant = m[0], m[1]
	return s
}

// Materials of supports, by name and variant of package thermal; all but the last
// have a coefficient that their source prints per degree Fahrenheit.
var supportMaterials = [][2]string{
	{"steel or cast iron", ""}, {"grey cast iron", ""}, {"carbon steel", "B31.9"}, {"ductile iron", ""}, {"steel", ""},
}

// scale sets the unit of temperatures of a record.
func (v inventor) scale(r *Record) {
	r.Units.Temperature = align.UnitCelsius
	if v.inch {
		r.Units.Temperature = align.UnitFahrenheit
	}
}

// ambient invents the temperature at which the machines were aligned.
func (v inventor) ambient(d Difficulty) float64 {
	if d == Plain {
		return v.roundTemperature(12, 28)
	}
	return v.temperature(10, 32)
}

// cleaned takes the noise of binary fractions out of a sum of readings.
func cleaned(reading float64) float64 { return math.Round(reading*1000) / 1000 }
