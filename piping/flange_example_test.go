package piping_test

import (
	"fmt"

	"collinear.example/align"
	"collinear.example/piping"
)

// A top nozzle, 12 o'clock of its survey toward the last machine: the gaps say
// that the pipe stands 0.4 mm too high and opens toward 12. The rule wants the
// offset of the holes as well, so it stays undecided.
func ExampleFlangeJoint() {
	gasket := 3 * align.Millimetre
	joint := piping.FlangeJoint{
		Pair: piping.FlangePair{Name: "discharge", Axis: align.Upward(), Up: align.AlongTrain()},
		Faces: piping.FlangeSurvey{
			Diameter: 250 * align.Millimetre, Gasket: &gasket,
			Gaps: []piping.Gap{
				{At: align.Twelve, Gap: 3.5 * align.Millimetre}, {At: align.Three, Gap: 3.4 * align.Millimetre},
				{At: align.Six, Gap: 3.3 * align.Millimetre}, {At: align.Nine, Gap: 3.4 * align.Millimetre},
			},
		},
	}
	fit, err := joint.Solve()
	if err != nil {
		fmt.Println(err)
		return
	}
	limits, err := piping.FlangeLimitsOf(piping.RP686Flange, piping.FlangeSize{FlangeOD: 0.28, Reference: piping.ByFlangeOD})
	if err != nil {
		fmt.Println(err)
		return
	}
	report, err := fit.Judge(limits, 0)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(fit.Tilt)
	for _, v := range report.Verdicts {
		fmt.Printf("%s: within %v\n", v.Quantity, v.Within)
	}
	fmt.Println(report.Fit)
	goal, err := fit.Goal(piping.GoalTolerance{Gap: 1.5 * align.Millimetre, Tilt: 0.5 * align.MillimetrePerMetre})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("raise the nozzle by %s\n", align.UnitMillimetre.Format(float64(goal.Motion().Shift.Y), 2))
	// Output:
	// 0.800 mm/m, widest at 12 o'clock
	// parallelism: within true
	// gap: within true
	// not all that is limited was measured
	// raise the nozzle by 0.40 mm
}
