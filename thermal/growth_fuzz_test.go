package thermal_test

import (
	"testing"

	"collinear.example/align"
	"collinear.example/thermal"
	"gonum.org/v1/gonum/unit"
)

// Whatever the numbers, growth is an error or finite, and so is every warning.
func FuzzSupport(f *testing.F) {
	f.Add(uint8(1), 1.2e-5, 0.0, 293.15, 400.0, 0.5, 293.0, 350.0, 0.1, 0.4)
	f.Add(uint8(2), 1.2e-5, 1.3e-5, 293.15, 400.0, 0.5, 293.0, 350.0, 0.0, 0.5)
	f.Add(uint8(3), 1.2e-5, 1e-3, 1.0, 10000.0, 1e6, 0.1, 9999.0, 0.0, 1e6)
	f.Add(uint8(4), 1e-5, 1e308, 293.0, 400.0, 0.5, 293.0, 350.0, -1.0, 0.5)
	f.Add(uint8(5), 0.0, 0.0, 0.0, 0.0, 0.5, 293.0, 1500.0, 0.3, 0.2)
	f.Fuzz(func(t *testing.T, kind uint8, a, b, low, high, length, cold, hot, first, second float64) {
		m := fuzzMaterial(thermal.Kind(kind), a, b, unit.Temperature(low), unit.Temperature(high))
		s := leg(m, unit.Length(length), unit.Temperature(cold), unit.Temperature(hot))
		profile := s
		profile.Profile = []thermal.Layer{
			{Height: unit.Length(first), Temperature: unit.Temperature(hot)},
			{Height: unit.Length(second), Temperature: unit.Temperature(low)},
		}
		support := thermal.Support{Segments: []thermal.Segment{s, profile}}
		g, err := support.Growth()
		if err == nil && !align.IsFinite(g) {
			t.Fatalf("growth %v of %+v", g, support)
		}
		if err != nil && align.CodeOf(err) == "" {
			t.Fatalf("error without a code: %v", err)
		}
		for _, w := range support.Warnings() {
			if !align.IsFinite(w.Value) || !align.IsFinite(w.Limit) {
				t.Fatalf("warning %+v", w)
			}
		}
	})
}

func fuzzMaterial(k thermal.Kind, a, b float64, low, high unit.Temperature) thermal.Material {
	m := thermal.Material{Kind: k}
	points := []thermal.CoefficientPoint{{At: low, Value: a}, {At: high, Value: b}}
	switch k {
	case thermal.Constant:
		m.Coefficient = a
	case thermal.MeanTable:
		m.Reference, m.Points = low, points
	case thermal.InstantaneousTable:
		m.Points = points
	case thermal.Polynomial:
		m.Terms, m.From, m.To = []float64{0, a, b}, low, high
	}
	return m
}
