package piping

import (
	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// WarnModulusRange is a temperature for which the modulus of elasticity is not
// tabulated; the value at the nearest end was held. Value is the temperature,
// Limit the nearest end.
const WarnModulusRange align.WarningCode = "modulus-out-of-range"

// ModulusPoint is the modulus of elasticity at one temperature.
type ModulusPoint struct {
	At    unit.Temperature
	Value unit.Pressure
}

// ElasticModulus is the modulus of elasticity of a pipe material, and who says
// so: one value for all temperatures, or a table. Take it cold for a misfit that
// is closed cold.
type ElasticModulus struct {
	Name     string
	Variant  string         // which of several values for that name
	Constant unit.Pressure  // one value; zero when there are Points
	Points   []ModulusPoint // by rising temperature; none when there is a Constant
	Source   string         // citation
	Known    align.Known
}

const (
	leastModulus = 1e6  // Pa, softer than rubber
	mostModulus  = 1e13 // Pa, stiffer than diamond
	hottest      = 1e4  // K
)

// Check returns what is wrong with the modulus, nil when it can be used.
//
// Errors: missing (neither a constant nor points, or 0 K); mismatch (both);
// not-finite; negative; out-of-range (not between 1 MPa and 10 TPa, or above
// 10000 K: probably a wrong unit, or points that do not rise).
func (m ElasticModulus) Check() error { return m.check() }

func (m *ElasticModulus) check() error {
	if len(m.Points) == 0 {
		return checkModulus("constant", m.Constant)
	}
	if m.Constant != 0 {
		return loadFault("constant", loadNumber(float64(m.Constant), "Pa"), align.ErrMismatch)
	}
	for i, p := range m.Points {
		field := "points[" + loadNumber(float64(i), "") + "]"
		if err := loadPositive(field+".at", float64(p.At), 0, hottest, "K"); err != nil {
			return err
		}
		if err := checkModulus(field+".value", p.Value); err != nil {
			return err
		}
		if i > 0 && p.At <= m.Points[i-1].At {
			return loadFault(field+".at", loadNumber(float64(p.At), "K"), align.ErrOutOfRange)
		}
	}
	return nil
}

func checkModulus(field string, e unit.Pressure) error {
	return loadPositive(field, float64(e), leastModulus, mostModulus, "Pa")
}

// At returns the modulus at a temperature. Between entries of a table it goes
// along a straight line, outside it the value at the end is held and
// AppendRangeWarning says so.
//
// Errors: those of Check; missing (0 K), negative, not-finite or out-of-range
// temperatures.
func (m ElasticModulus) At(t unit.Temperature) (unit.Pressure, error) {
	if err := m.check(); err != nil {
		return 0, err
	}
	if err := loadPositive("temperature", float64(t), 0, hottest, "K"); err != nil {
		return 0, err
	}
	last := len(m.Points) - 1
	switch {
	case last < 0:
		return m.Constant, nil
	case t <= m.Points[0].At:
		return m.Points[0].Value, nil
	}
	for i := range last {
		p, q := m.Points[i], m.Points[i+1]
		if t < q.At {
			share := unit.Pressure(float64(t-p.At) / float64(q.At-p.At))
			return p.Value + share*(q.Value-p.Value), nil // linear interpolation
		}
	}
	return m.Points[last].Value, nil
}

// AppendRangeWarning appends modulus-out-of-range to ws when a table does not
// reach the temperature. A constant has no range, so it warns of none.
func (m ElasticModulus) AppendRangeWarning(ws []align.Warning, field string, t unit.Temperature) []align.Warning {
	last := len(m.Points) - 1
	if last < 0 {
		return ws
	}
	// Conversion of units rounds; a millionth of a kelvin is no difference.
	const same = 1e-6
	end := m.Points[last].At
	switch {
	case t > end+same:
	case t < m.Points[0].At-same:
		end = m.Points[0].At
	default:
		return ws
	}
	return append(ws, align.Warning{
		Code: WarnModulusRange, Severity: align.Suspect, Field: field, Value: float64(t), Limit: float64(end),
		Unit: align.UnitCelsius, Meaning: "the modulus is not tabulated there, that at the nearest end was held",
	})
}

// fahrenheitTable turns entries in degrees Fahrenheit and millions of psi.
func fahrenheitTable(t, msi []float64) []ModulusPoint {
	out := make([]ModulusPoint, len(t))
	for i := range t {
		out[i] = ModulusPoint{
			At: align.Fahrenheit(t[i]), Value: unit.Pressure(align.UnitPSI.SI(msi[i] * 1e6)),
		}
	}
	return out
}

// Moduli returns the moduli of elasticity that come with the library, a new list
// every time. They differ by source and edition: pick one on purpose.
func Moduli() []ElasticModulus {
	t := []float64{70, 200, 300, 400, 500, 600, 700, 800, 900, 1000, 1100, 1200}
	return []ElasticModulus{
		{
			Name: "carbon steel", Variant: "over 0.30 % carbon",
			Points: fahrenheitTable(t, []float64{29.3, 28.6, 28.1, 27.5, 27.1, 26.5, 25.3, 24.0, 22.3, 20.2, 17.9, 15.4}),
			Source: "ASME B31.1, material 106, as listed in kgf/mm2 by a pipe stress report", Known: align.ReadSecondhand,
		},
		{
			Name: "carbon steel", Variant: "B31.9", Constant: unit.Pressure(align.UnitPSI.SI(27.5e6)),
			Source: "ASME B31.9, Table 919.3.1", Known: align.Read,
		},
		{
			Name: "carbon steel", Variant: "0.30 % carbon or less, older B31.1",
			Points: fahrenheitTable(t[:11], []float64{29.5, 28.8, 28.3, 27.7, 27.3, 26.7, 25.5, 24.2, 22.4, 20.4, 18.0}),
			Source: "ASME B31.1, older editions", Known: align.FromMemory,
		},
		{
			Name: "carbon steel", Variant: "0.30 % carbon or less, II-D",
			Points: fahrenheitTable(t[:11], []float64{29.4, 28.8, 28.3, 27.9, 27.3, 26.5, 25.5, 24.2, 22.5, 20.4, 18.0}),
			Source: "ASME BPVC II-D, Table TM-1, 2010 and later", Known: align.FromMemory,
		},
	}
}

// ModulusOf returns the modulus of Moduli with that name and variant.
//
// Errors: not-in-table.
func ModulusOf(name, variant string) (ElasticModulus, error) {
	for _, m := range Moduli() {
		if m.Name == name && m.Variant == variant {
			return m, nil
		}
	}
	return ElasticModulus{}, loadFault("modulus", `"`+name+`", "`+variant+`"`, ErrNotInTable)
}
