package thermal

import (
	"strings"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Materials returns every material of this library, each with its source. The
// caller owns what it gets: nothing is shared with later calls.
func Materials() []Material {
	out := append(boilerCodeSteel(), closedForms()...)
	out = append(out, buildingServices()...)
	return append(out, handbookValues()...)
}

// Find returns all materials whose name is name, in any mix of capitals. Where
// several sources give a value, all are returned and the caller chooses: they
// are right for different alloys and ranges. It returns nil when there is none.
func Find(name string) []Material {
	var out []Material
	for _, m := range Materials() {
		if strings.EqualFold(m.Name, strings.TrimSpace(name)) {
			out = append(out, m)
		}
	}
	return out
}

const million = 1e-6

// table pairs temperatures and coefficients, both as printed, in millionths.
func table(at func(float64) unit.Temperature, u align.Unit, temperatures, values []float64) []CoefficientPoint {
	points := make([]CoefficientPoint, len(temperatures))
	for i, t := range temperatures {
		points[i] = CoefficientPoint{At: at(t), Value: u.SI(values[i] * million)}
	}
	return points
}

// boilerCodeSteel is table TE-1, group 1 (carbon and low-alloy steel): column A
// is the instantaneous coefficient, column B the mean from the reference.
func boilerCodeSteel() []Material {
	const name = "carbon steel"
	us := "ASME BPVC II-D, 2001 ed., table TE-1, group 1 (carbon and low-alloy steel), p. 648"
	metric := "ASME BPVC II-D (metric), table TE-1, group 1 (carbon and low-alloy steel), as reprinted"
	fahrenheit := []float64{
		70, 100, 150, 200, 250, 300, 350, 400, 450, 500,
		550, 600, 650, 700, 750, 800, 850, 900, 950, 1000,
	}
	celsius := []float64{20, 50, 75, 100, 125, 150, 200, 250, 300, 400, 500, 600}
	return []Material{
		{
			Name: name, Variant: "TE-1 group 1, mean from 70 degF", Kind: MeanTable, Reference: align.Fahrenheit(70),
			Points: table(align.Fahrenheit, align.UnitPerFahrenheit, fahrenheit, []float64{
				6.4, 6.5, 6.6, 6.7, 6.8, 6.9, 7.0, 7.1, 7.2, 7.3,
				7.3, 7.4, 7.5, 7.6, 7.7, 7.8, 7.9, 7.9, 8.0, 8.1,
			}),
			Source: us + ", column B", Known: align.Read,
		},
		{
			Name: name, Variant: "TE-1 group 1, instantaneous, per degF", Kind: InstantaneousTable,
			Points: table(align.Fahrenheit, align.UnitPerFahrenheit, fahrenheit, []float64{
				6.4, 6.5, 6.7, 6.9, 7.1, 7.3, 7.5, 7.7, 7.8, 8.0,
				8.2, 8.4, 8.5, 8.6, 8.8, 8.9, 9.0, 9.1, 9.2, 9.3,
			}),
			Source: us + ", column A", Known: align.Read,
		},
		{
			Name: name, Variant: "TE-1 group 1, mean from 20 degC", Kind: MeanTable, Reference: align.Celsius(20),
			Points: table(align.Celsius, align.UnitPerKelvin, celsius, []float64{
				11.5, 11.8, 11.9, 12.1, 12.3, 12.4, 12.7, 13.0, 13.3, 13.8, 14.4, 14.8,
			}),
			Source: metric + ", column B", Known: align.ReadSecondhand,
		},
		{
			Name: name, Variant: "TE-1 group 1, instantaneous, per degC", Kind: InstantaneousTable,
			Points: table(align.Celsius, align.UnitPerKelvin, celsius, []float64{
				11.5, 12.0, 12.3, 12.7, 12.9, 13.2, 13.8, 14.3, 14.9, 15.9, 16.7, 17.0,
			}),
			Source: metric + ", column A", Known: align.ReadSecondhand,
		},
	}
}

// closedForms are materials known by a formula.
func closedForms() []Material {
	return []Material{
		{
			Name: "carbon steel", Variant: "EN 1993-1-2", Kind: Eurocode3Steel,
			Source: "EN 1993-1-2, clause 3.4.1.1, equations 3.1a to 3.1c, as reprinted", Known: align.ReadSecondhand,
		},
		{
			Name: "12Cr-1Mo steel", Variant: "HT9", Kind: Polynomial,
			Terms: []float64{-0.16256e-2, 1.62307e-6, 1.42357e-8, -5.50344e-12}, // printed in percent
			From:  293, To: 1050,
			// The printed cubic is not zero at 293 K but about -0.0066 percent.
			Source: "Metallic Fuels Handbook, E.2.2.2, as used in a public reactor code", Known: align.ReadSecondhand,
		},
	}
}

// constant is a material of one coefficient, given in millionths as printed.
func constant(name, variant string, printed float64, u align.Unit, source string) Material {
	return Material{
		Name: name, Variant: variant, Kind: Constant,
		Coefficient: u.SI(printed * million), Source: source, Known: align.Read,
	}
}

// buildingServices are averages over the range of the table, which is why the
// growth printed beside them at one temperature differs a little.
func buildingServices() []Material {
	const (
		source  = "ASME B31.9, table 919.3.1"
		variant = "B31.9"
		perF    = align.UnitPerFahrenheit
	)
	return []Material{
		constant("carbon steel", variant, 6.33, perF, source),
		constant("austenitic stainless steel", variant, 9.27, perF, source),
		constant("aluminium", variant, 12.69, perF, source),
		constant("grey cast iron", variant, 5.76, perF, source),
		constant("ductile iron", variant, 5.97, perF, source),
		constant("copper", variant+", C12200", 9.5, perF, source),
		constant("red brass", variant+", C23000", 10.4, perF, source),
	}
}

// handbookValues are single values as their sources use them.
func handbookValues() []Material {
	const (
		perF = align.UnitPerFahrenheit
		perC = align.UnitPerKelvin
	)
	return []Material{
		constant("carbon steel", "DOE fundamentals", 5.8, perF,
			"US DOE, DOE-HDBK-1017/2-93, Material Science, vol. 2, MS-03, pp. 2-3"),
		constant("steel or cast iron", "general value for machine supports", 6.3, perF,
			"R. B. McMillan, Rotating Machinery, Fairmont Press, 2004, p. 146"),
		constant("316 stainless steel", "pump handbook", 9.7, perF,
			"L. Bachus and A. Custodio, Know and Understand Centrifugal Pumps, Elsevier, 2003, p. 156 (authors and year from memory)"),
		constant("brass", "physics textbook, 21 millionths", 21, perC, "NCERT class XI physics problem, worked solution"),
		constant("brass", "physics textbook, 20 millionths", 20, perC, "NCERT class XI physics problem, second worked solution"),
		constant("steel", "physics textbook", 12, perC, "NCERT class XI physics problem, worked solution"),
	}
}
