package corpus

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"collinear.example/align"
)

// Check is the outcome of one expectation.
type Check struct {
	Name       string
	Passed     bool
	Message    string  // what differs, "" when passed
	Difference float64 // from the exact value, in the expectation's unit
	Places     float64 // difference from the printed figure in units of its last place; 0 when none is printed
}

// Outcome is what became of a vector.
type Outcome struct {
	Vector *Vector
	Checks []Check
}

// Passed reports whether every check of the vector passed.
func (o Outcome) Passed() bool {
	return len(o.Checks) > 0 && !slices.ContainsFunc(o.Checks, func(c Check) bool { return !c.Passed })
}

// Failures returns the messages of the checks that did not pass, a line each.
func (o Outcome) Failures() string {
	var out []string
	for _, c := range o.Checks {
		if !c.Passed {
			out = append(out, c.Name+": "+c.Message)
		}
	}
	return strings.Join(out, "\n")
}

// Run computes the vector with the given computations and checks what came out.
func Run(v *Vector, computations map[string]Computation) Outcome {
	out := Outcome{Vector: v}
	compute, ok := computations[v.Computation]
	if !ok {
		out.Checks = []Check{{Name: "computation", Message: "no computation " + v.Computation}}
		return out
	}
	r, err := compute(v.Input)
	if v.MustFail() {
		out.Checks = []Check{checkError(v, r, err)}
		return out
	}
	if err != nil {
		out.Checks = []Check{{Name: "error", Message: err.Error()}}
		return out
	}
	for i := range v.Expect {
		out.Checks = append(out.Checks, checkValue(v, &v.Expect[i], r))
	}
	if v.Warnings != nil {
		out.Checks = append(out.Checks, checkWarnings(v, r))
	}
	return out
}

func checkError(v *Vector, r Result, err error) Check {
	c := Check{Name: "error"}
	code := align.CodeOf(err)
	switch {
	case err == nil:
		c.Message = fmt.Sprintf("want error %s, got %v", v.Error, r.Values)
	case code != v.Error:
		c.Message = fmt.Sprintf("want error %s, got %q: %v", v.Error, code, err)
	default:
		c.Passed = true
	}
	return c
}

func checkWarnings(v *Vector, r Result) Check {
	want := slices.Sorted(slices.Values(v.Warnings))
	c := Check{Name: "warnings", Passed: slices.Equal(want, r.Warnings)}
	if !c.Passed {
		c.Message = fmt.Sprintf("want %v, got %v", want, r.Warnings)
	}
	return c
}

// slack lets a difference that is exactly the tolerance pass in spite of the
// rounding of binary fractions: 0.00375 and 0.0038 differ by half a unit of the
// last place.
const slack = 1e-9

func within(difference, tolerance float64) bool {
	return math.Abs(difference) <= float64(tolerance*(1+slack))
}

// turned takes whole turns out of a difference of directions: 359.999999 degrees
// agree with 0. The two lobes of a second harmonic make half a turn a whole one.
func turned(name string, u align.Unit, difference float64) float64 {
	turn := u.FromSI(2 * math.Pi)
	if strings.HasSuffix(name, "second.high-spot") {
		turn /= 2
	}
	for _, end := range []string{"high-spot", "bend.toward", "largest.at", "widest", "blind.after", "blind.before"} {
		if u.Dimension() == align.AngleDim && (name == end || strings.HasSuffix(name, "."+end)) {
			return math.Remainder(difference, turn)
		}
	}
	return difference
}

func checkValue(v *Vector, e *Expectation, r Result) Check {
	c := Check{Name: e.Name}
	got, ok := r.Values[e.Name]
	if !ok {
		c.Message = "not among the results"
		return c
	}
	if e.Text != "" {
		c.Passed = got.Dim == align.NoDimension && got.Text == e.Text
		if !c.Passed {
			c.Message = fmt.Sprintf("want %q, got %q", e.Text, got.Text)
		}
		return c
	}
	u := align.Unit(e.Unit)
	if got.Dim == align.NoDimension || got.Dim != u.Dimension() {
		c.Message = fmt.Sprintf("the result is not a quantity in %s", e.Unit)
		return c
	}
	tolerance, ok := e.Allowed()
	if !ok || e.Exact == nil {
		c.Message = "no exact value or no tolerance"
		return c
	}
	value := u.FromSI(got.Number)
	c.Difference = turned(e.Name, u, value-*e.Exact)
	c.Passed = within(c.Difference, tolerance)
	if p, printed := e.PrintedNumber(); printed && v.Misprint == "" {
		place, _ := e.LastPlace()
		off := turned(e.Name, u, value-p)
		c.Places = math.Abs(off) / place
		c.Passed = c.Passed && within(off, tolerance)
	}
	if !c.Passed {
		c.Message = fmt.Sprintf("want %v %s within %g, printed %q, got %v", *e.Exact, e.Unit, tolerance, e.Printed, value)
	}
	return c
}
