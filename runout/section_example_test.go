package runout_test

import (
	"fmt"

	"collinear.example/align"
	"collinear.example/runout"
)

// Eight marks round a hub, a dial on the bedplate, readings in hundredths of a
// millimetre.
func ExampleNewSection() {
	const h = 0.01 * align.Millimetre
	s, err := runout.NewSection(align.EvenSweep(align.Twelve, 0, 2*h, 3*h, 2*h, 0, -2*h, -3*h, -2*h), runout.SweepChecks{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(s)
	fmt.Println("ovality:", s.Second.Seen, align.UnitMillimetre.Format(float64(s.Ovality()), 4))
	// Output:
	// eccentricity 0.0291 mm, high spot at 90.0 deg, 0.0600 mm TIR
	// ovality: full 0.0000 mm
}

// A face that reads 0, 3, -2, 3 thousandths is warped more than it is tilted.
func ExampleFaceSweep_Solve() {
	f, err := runout.FaceSweep{
		Sweep:    align.FourPoint(0, 3*align.Mil, -2*align.Mil, 3*align.Mil),
		Diameter: 10 * align.Inch,
	}.Solve()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(f)
	fmt.Println(f.Warnings[0].In(align.UnitMil))
	// Output:
	// tilt 0.2000 mm/m, high spot at 0.0 deg, 0.1270 mm TIR
	// sweep: warped-face: the face is not flat (3.0 mil, limit 0.8 mil)
}

// What a hub bored 0.025 mm off centre does at speed.
func ExampleRunning_Grade() {
	u, err := runout.EccentricMass{Mass: 12, Eccentricity: 0.025 * align.Millimetre}.Unbalance()
	if err != nil {
		fmt.Println(err)
		return
	}
	g, err := runout.Running{Mass: 150, Speed: 2980 * align.RPM}.Grade(u)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(u, "is", g, "of the rotor")
	// Output:
	// 300.0 g.mm is 0.62 mm/s of the rotor
}
