package thermal_test

import (
	"fmt"

	"collinear.example/align"
	"collinear.example/thermal"
	"gonum.org/v1/gonum/unit"
)

// rises is a shaft that rises by the same amount at both of its ends.
func rises(v unit.Length) align.Axis { return align.Axis{Vertical: align.Line{Offset: v}} }

// The example by hand of the package page: one target for running and standby,
// and what the dial is to show.
func ExampleBestColdTarget() {
	mm := align.Millimetre
	running := thermal.State{Name: "running", Near: rises(0.24 * mm), Far: rises(0.12 * mm)}
	standby := thermal.State{Name: "standby", Near: rises(0.048 * mm), Far: rises(0.048 * mm)}
	target, err := thermal.BestColdTarget(
		[]thermal.Case{{State: running}, {State: standby}},
		thermal.Criterion{
			Near: thermal.LimitAt{Station: 1.00, Limit: 0.08 * mm},
			Far:  thermal.LimitAt{Station: 1.14, Limit: 0.08 * mm},
		})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("cold:", target.Axis.At(1))
	fmt.Printf("worst share of a limit: %.2f, within: %v\n", target.Worst, target.Within())

	dial := align.Dial{Surface: align.Rim, Bracket: align.Near, Station: 1.14, Sag: align.NoSag()}
	sweeps, err := thermal.TargetReadings(target.Axis, []align.Dial{dial}, align.Spool{}, align.Twelve, align.Six)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("at 6 o'clock: %.2f mm\n", float64(sweeps[0][0].Value/mm))
	// Output:
	// cold: 0.060 mm high, 0.000 mm to the right
	// worst share of a limit: 0.75, within: true
	// at 6 o'clock: -0.12 mm
}

// What was left of the growth halves every twenty minutes; the first reading
// comes ten minutes after the stop.
func ExampleHotCheck_Solve() {
	minute, mm := unit.Time(60), align.Millimetre
	c, err := thermal.HotCheck{Readings: []thermal.CoolReading{
		{After: 10 * minute, Value: 0.6657 * mm},
		{After: 20 * minute, Value: 0.5000 * mm},
		{After: 40 * minute, Value: 0.3000 * mm},
		{After: 80 * minute, Value: 0.1500 * mm},
	}}.Solve()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("at the stop %.2f mm, cold %.2f mm, time constant %.0f min\n",
		float64(c.AtStop/mm), float64(c.Final/mm), float64(c.Constant/minute))
	// Output:
	// at the stop 0.90 mm, cold 0.10 mm, time constant 29 min
}

// A pump on four feet, its suction end cooler than its discharge end.
func ExampleMachine_Growth() {
	mm := align.Millimetre
	foot := func(name string, x, z unit.Length, hot float64) thermal.SupportAt {
		return thermal.SupportAt{Station: x, Lateral: z, Support: thermal.FootMounted(thermal.Height{
			Name: name, Length: 400 * mm, Cold: align.Celsius(20), Hot: align.Celsius(hot),
			Material: thermal.Material{Name: "casing", Kind: thermal.Constant, Coefficient: 12e-6},
		})}
	}
	pump := thermal.Machine{Name: "pump", Supports: []thermal.SupportAt{
		foot("outboard left", 0, -300*mm, 50), foot("outboard right", 0, 300*mm, 50),
		foot("inboard left", 800*mm, -300*mm, 70), foot("inboard right", 800*mm, 300*mm, 70),
	}}
	g, err := pump.Growth()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("at the coupling:", g.Axis.At(1000*mm))
	// Output:
	// at the coupling: 0.264 mm high, 0.000 mm to the right
}
