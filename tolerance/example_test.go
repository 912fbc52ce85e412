package tolerance_test

import (
	"fmt"

	"collinear.example/align"
	"collinear.example/tolerance"
)

// The example of the package documentation: 0.020 mm and 0.060 mm high at the
// flex planes, 140 mm apart.
func ExampleTable_Grade() {
	const mm = align.Millimetre
	found, err := align.AxisThrough(0, align.Offset{Vertical: 0.020 * mm}, 140*mm, align.Offset{Vertical: 0.060 * mm})
	if err != nil {
		fmt.Println(err)
		return
	}
	set, err := tolerance.FindSet("api-rp-686")
	if err != nil {
		fmt.Println(err)
		return
	}
	geometry := tolerance.Geometry{NearFlex: 0, FarFlex: 140 * mm}
	grade, err := set.Tables[0].Grade(found, geometry)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f %% of the limit, %s at station %.0f mm\n", 100*grade.Share(), grade.Measured.Plane, float64(grade.Measured.Station/mm))

	at := found.At(140 * mm)
	for _, sigma := range []float64{0.004, 0.007} {
		deviation := float64(at.Vertical / geometry.Separation())
		d, err := tolerance.Decide(grade.Limit, deviation, sigma*1e-3/0.140, tolerance.GuardOneSided)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("uncertain by %.3f mm: %s, probability %.3f\n", sigma, d.Outcome, d.Conforms)
	}
	// Output:
	// 86 % of the limit, resultant at station 140 mm
	// uncertain by 0.004 mm: pass, probability 0.994
	// uncertain by 0.007 mm: indeterminate, probability 0.923
}
