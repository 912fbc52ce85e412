package thermal_test

import (
	"fmt"

	"collinear.example/align"
	"collinear.example/thermal"
)

// A support of 17 in that goes from 78 to 106 degF.
func ExampleSupport_Growth() {
	steel := thermal.Find("steel or cast iron")[0]
	s := thermal.Support{Name: "inboard", Segments: []thermal.Segment{{
		Length: 17 * align.Inch, Material: steel, Cold: align.Fahrenheit(78), Hot: align.Fahrenheit(106),
	}}}
	growth, err := s.Growth()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(align.UnitMil.Format(float64(growth), 1))
	fmt.Println(align.UnitMicrometre.Format(float64(growth), 0))
	// Output:
	// 3.0 mil
	// 76 um
}

// The rules of thumb for a motor 15 in high that warms by 144 degF.
func ExampleRulesOfThumb() {
	rules, warnings, err := thermal.RulesOfThumb(15*align.Inch, 144*align.FahrenheitRise)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, r := range rules {
		fmt.Printf("%s: %s\n", r.Rule, align.UnitMil.Format(float64(r.Growth), 1))
	}
	fmt.Println(warnings[0].Code)
	// Output:
	// height times 6e-6 per degF times temperature rise: 13.0 mil
	// half of height times 6e-6 per degF times temperature rise: 6.5 mil
	// 7 mil per foot of height: 8.8 mil
	// 4 mil per foot of height: 5.0 mil
	// rules-disagree
}
