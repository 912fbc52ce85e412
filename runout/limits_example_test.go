package runout_test

import (
	"fmt"

	"collinear.example/align"
	"collinear.example/runout"
)

// A motor shaft of 42 mm, read midway along its extension.
func ExampleShaftReading_Judge() {
	r := runout.ShaftReading{
		Diameter: 42 * align.Millimetre,
		Runout:   align.TIR(0.06 * align.Millimetre),
		Place:    runout.MiddleOfExtension,
	}
	v, err := r.Judge(runout.IEC60072)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(v)
	r.Place = runout.EndOfExtension
	_, err = r.Judge(runout.IEC60072)
	fmt.Println(err)
	// Output:
	// 0.060 mm, over the limit by 0.010 mm; shaft runout at middle of the shaft extension: at most 0.050 mm (IEC 60072-1 as printed in EASA AR100-2015, Table 2-4, section 2 p. 4; second-hand)
	// runout: place = end of the shaft extension, limit at the middle of the shaft extension: does not match what it is paired with
}

// A hub of 4 in bore that sits with 1.5 mil per inch, to be heated with 2 mil to
// spare while it slides on.
func ExampleHubHeating_Solve() {
	h := runout.HubHeating{
		Bore:         4 * align.Inch,
		Interference: 6 * align.Mil,
		Clearance:    2 * align.Mil,
		Expansion:    align.UnitPerFahrenheit.SI(6.3e-6),
		Shaft:        align.Fahrenheit(70),
		Highest:      align.Fahrenheit(350),
	}
	heat, err := h.Solve()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(align.UnitFahrenheit.Format(float64(heat.Temperature), 0))
	for _, w := range heat.Warnings {
		fmt.Println(w.In(align.UnitFahrenheit))
	}
	// Output:
	// 387 degF
	// highest: hub-too-hot: the hub would have to be hotter than allowed (387.5 degF, limit 350.0 degF)
}
