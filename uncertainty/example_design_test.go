package uncertainty_test

import (
	"fmt"

	"gonum.org/v1/gonum/unit"

	"collinear.example/align"
	"collinear.example/uncertainty"
)

// Dials 8 in apart or a face of 5 in: which is the better for a foot at 34 in?
func ExampleGeometry_CompareMethods() {
	foot := 34 * align.Inch
	g := uncertainty.Geometry{
		Reverse: &uncertainty.Rims{First: 0, Second: 8 * align.Inch},
		Face:    &uncertainty.Faced{Rim: 0, Swept: 5 * align.Inch},
		At:      []align.Clock{align.Twelve, align.Three, align.Six, align.Nine},
		Sigma:   uncertainty.ReadingSigma(align.TIR(0.5 * align.Mil)),
	}
	all, err := g.CompareMethods(foot)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, m := range all {
		fmt.Printf("%s: %s\n", m.Method, align.UnitMil.Format(float64(m.Worst(foot)), 2))
	}
	d, err := g.SlopeCrossover()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("slopes are equal at D =", align.UnitInch.Format(float64(d), 2))
	// Output:
	// reverse indicator: 1.34 mil
	// rim and face: 3.41 mil
	// slopes are equal at D = 3.54 in
}

// Read to 0.01 mm, dials 1 m apart, a foot 2 m beyond: 26 readings bring it down
// to the uncertainty of one: sqrt(2 (3^2 + 2^2)/26) = 1.
func ExampleGeometry_NeededReadings() {
	g := uncertainty.Geometry{Reverse: &uncertainty.Rims{First: 0, Second: 1}, Sigma: 0.01 * align.Millimetre}
	feet := []unit.Length{3}
	job, err := g.NeededReadings(uncertainty.ReverseIndicator, uncertainty.Target{Stations: feet, Sigma: 0.01 * align.Millimetre}, align.Twelve, uncertainty.FullTurn, 100)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(job)
	_, err = g.NeededReadings(uncertainty.ReverseIndicator, uncertainty.Target{Stations: feet, Sigma: 0.005 * align.Millimetre}, align.Twelve, uncertainty.FullTurn, 26)
	fmt.Println(err)
	// Output:
	// reverse indicator, 26 clock positions over 360.0 deg: standard uncertainty 0.0100 mm
	// uncertainty: target.sigma = 0.005 mm: no design within the bounds is good enough: the best attainable is 0.01 mm
}
