package piping_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"collinear.example/align"
	"collinear.example/piping"
	"gonum.org/v1/gonum/unit"
)

// Whatever is entered, the result is an error with a code or holds finite
// numbers only.
func FuzzStrainTest(f *testing.F) {
	f.Add(uint8(0), uint8(0), uint8(1), 0.3, 0.2, 0.0, 0.02, -0.01, 1e-5, 0.5)
	f.Add(uint8(2), uint8(2), uint8(1), 0.0, 0.0, 0.0, 0.09, 0.09, 0.0, 0.0)
	f.Add(uint8(1), uint8(1), uint8(3), 1e4, -1e4, 1e-300, 1e-300, 0.1, 1e-7, 1e-3)
	f.Add(uint8(0), uint8(3), uint8(0), math.NaN(), 1.0, 1.0, math.Inf(1), 0.0, -1.0, 1e4)
	f.Fuzz(func(t *testing.T, carrier, touched, action uint8, x, y, z, first, second, sigma, lever float64) {
		p := align.Place{X: unit.Length(x), Y: unit.Length(y), Z: unit.Length(z)}
		test := piping.StrainTest{
			Indicators: []piping.Indicator{
				{Name: "a", At: p, Toward: align.Upward(), Carrier: piping.Carrier(carrier), Touches: piping.Touched(touched), Sigma: unit.Length(sigma)},
				{Name: "b", At: align.Place{Z: p.X}, Toward: align.ClockDirection(align.Clock(x))},
				{Name: "c", At: align.Place{X: p.Y}, Toward: align.Direction{X: 1}, Touches: piping.Shaft},
			},
			Coupling: []unit.Length{p.Z, p.X}, Lever: unit.Length(lever),
			Feet: []piping.NamedPlace{{Name: "foot", At: p}},
		}
		for k := range 2 {
			a, b := piping.Shows(align.Movement(first)), piping.Reading{Value: align.Movement(second), Given: k == 0}
			test.Steps = append(test.Steps, piping.Step{
				Name: string(rune('a' + k)), Action: piping.Action(action), Group: piping.Group(carrier), Of: []string{"it"},
				Readings: []piping.Reading{a, b, a}, Rezeroed: k == 1,
			})
		}
		r, err := test.Result()
		if err != nil {
			if align.CodeOf(err) == "" {
				t.Fatalf("error without a code: %v", err)
			}
			return
		}
		vs, err := r.JudgeAll()
		if err != nil {
			t.Fatal(err)
		}
		said := fmt.Sprintf("%v %v %v %v %v %v", r.Steps, r.Coupling, r.Closures, r.Causes, r.Warnings, vs)
		if strings.Contains(said, "NaN") || strings.Contains(said, "Inf") {
			t.Fatalf("not finite: %s", said)
		}
	})
}
