package uncertainty_test

import (
	"fmt"

	"gonum.org/v1/gonum/unit"

	"collinear.example/align"
	"collinear.example/uncertainty"
)

// A crew leaves the offset at the coupling within 25 um (standard deviation), the
// limit is 50 um either way, and it is measured to 8 um. (The figures agree with SciPy's integrate.quad.)
func ExampleInspection_GuardFor() {
	check := uncertainty.Inspection[unit.Length]{
		Prior:     uncertainty.Prior[unit.Length]{Mean: 0, Sigma: 25 * align.Micrometre},
		Measuring: 8 * align.Micrometre,
		Tolerance: uncertainty.Within(50 * align.Micrometre),
	}
	check.Acceptance = check.Tolerance
	plain, err := check.Risk()
	if err != nil {
		fmt.Println(err)
		return
	}
	guard, err := check.GuardFor(0.005)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("no guard band: %.2f %% wrongly accepted, %.2f %% wrongly rejected\n", 100*plain.Consumer, 100*plain.Producer)
	fmt.Printf("for 0.5 %%: accept up to %.1f um, %.2f %% wrongly rejected\n",
		float64(guard.Acceptance.Upper/align.Micrometre), 100*guard.Risk.Producer)
	// Output:
	// no guard band: 0.95 % wrongly accepted, 2.08 % wrongly rejected
	// for 0.5 %: accept up to 46.0 um, 3.90 % wrongly rejected
}

// One reading of 42 um against a limit of 50 um.
func ExampleItem_Risk() {
	risk, err := uncertainty.Item[unit.Length]{
		Measured:   42 * align.Micrometre,
		Sigma:      8 * align.Micrometre,
		Tolerance:  uncertainty.AtMost(50 * align.Micrometre),
		Acceptance: uncertainty.AtMost(50 * align.Micrometre),
	}.Risk()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("accepted %v, out of tolerance with probability %.3f\n", risk.Accepted, risk.Consumer)
	// Output: accepted true, out of tolerance with probability 0.159
}
