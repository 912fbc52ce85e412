package piping_test

import (
	"fmt"

	"collinear.example/align"
	"collinear.example/piping"
	"gonum.org/v1/gonum/unit"
)

// Two dials on a bracket on the motor's shaft touch the pump's hub while the
// flanges of the pump are made up.
func ExampleStrainTest_Result() {
	seen := func(v, h float64) []piping.Reading {
		return []piping.Reading{piping.Shows(align.Movement(unit.Length(v) * align.Mil)), piping.Shows(align.Movement(unit.Length(h) * align.Mil))}
	}
	hub := 3 * align.Inch
	test := piping.StrainTest{
		Indicators: []piping.Indicator{
			{Name: "upright", At: align.Place{Y: hub}, Toward: piping.StandingAt(align.Twelve), Carrier: piping.OtherShaftCarried, Touches: piping.Shaft},
			{Name: "level", At: align.Place{Z: hub}, Toward: piping.StandingAt(align.Three), Carrier: piping.OtherShaftCarried, Touches: piping.Shaft},
		},
		Coupling:   []unit.Length{0},
		Resolution: 0.5 * align.Mil,
		Steps: []piping.Step{
			{Name: "suction", Action: piping.Tighten, Group: piping.Flange, Of: []string{"suction"}, Readings: seen(0.5, -1)},
			{Name: "discharge", Action: piping.Tighten, Group: piping.Flange, Of: []string{"discharge"}, Readings: seen(3.5, -1.5)},
		},
	}
	r, err := test.Result()
	if err != nil {
		fmt.Println(err)
		return
	}
	cause, _, _ := r.Most(piping.Flange)
	fmt.Println(r.Steps[cause.Step].Name, "pulls", cause.Pull.Words(align.UnitMil, 1))
	verdicts, err := r.Judge(piping.MovementLimits()[1])
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, v := range verdicts {
		fmt.Println(v.Quantity, v.Plane, v.Outcome)
	}
	// Output:
	// discharge pulls 3.0 mil up, 0.5 mil toward 9 o'clock
	// largest up over
	// largest right within
	// final up over
	// final right within
}
