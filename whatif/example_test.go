package whatif_test

import (
	"context"
	"fmt"

	"collinear.example/align"
	"collinear.example/whatif"
	"gonum.org/v1/gonum/unit"
)

// How far do the foot moves depend on the sag of the brackets?
func ExampleStudy_Run() {
	study := footStudy()
	sag := whatif.ListWith("sag", align.UnitMil, setSag, 0, -2*align.Mil, -4*align.Mil, -6*align.Mil)
	table, err := study.Run(context.Background(), whatif.Each(sag), whatif.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Print(table)
	// Output:
	// sag  inboard foot  outboard foot  verdict
	// mil           mil            mil
	//   0         -4.85         -10.35  over
	//  -2         -2.35          -2.85  within
	//  -4          0.15           4.65  within
	//  -6          2.65          12.15  over
}

// Which input matters, by how much, and does a straight line do?
func ExampleStudy_Derivatives() {
	study := footStudy()
	table, err := study.Derivatives(context.Background(),
		whatif.StepWith("sag of the far bracket", align.UnitMil, func(j *align.ReverseIndicator, by unit.Length) {
			s, _ := j.OnFar.Sag.RollOver()
			j.OnFar.Sag = align.RollOver(s + by)
		}, 2*align.Mil),
		whatif.StepOf("dial distance", align.UnitInch, farStation, 0.25*align.Inch))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Print(table)
	// Output:
	// inboard foot            step        low  base   high      derivative  curvature
	//                                     mil   mil    mil                        mil
	// sag of the far bracket     2  mil  2.65  0.90  -0.85  -0.875 mil/mil       0.00
	// dial distance           0.25  in   1.06  0.90   0.75  -0.6131 mil/in       0.01
	//
	// outboard foot           step         low  base  high      derivative  curvature
	//                                      mil   mil   mil                        mil
	// sag of the far bracket     2  mil  12.15  7.90  3.65  -2.125 mil/mil       0.00
	// dial distance           0.25  in    8.28  7.90  7.54   -1.489 mil/in       0.02
}

// How far apart must the dials stand for the outboard foot to be known to 2 mil?
func ExampleThreshold() {
	job := twoDials()
	distance := whatif.Scan[unit.Length]{Name: "dial distance", Unit: align.UnitInch,
		From: 4 * align.Inch, To: 16 * align.Inch, Intervals: 24, Width: 0.01 * align.Inch}
	passing, err := whatif.Threshold(context.Background(), distance, func(d unit.Length) (bool, error) {
		j := job
		j.OnFar.Station = d
		p, err := j.Solve()
		return p.OffsetSigma(stations.Outboard).Vertical <= 2*align.Mil, err
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(passing)
	// By hand: 0.5/sqrt(2) sqrt(k^2 + (1-k)^2) = 2 with k = 34/D gives D = 7.6086 in.

	// Output:
	// passes from 7.60938 in to 16 in
}
