package thermal_test

import (
	"testing"

	"collinear.example/align"
	"collinear.example/thermal"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/integrate"
	"gonum.org/v1/gonum/unit"
)

var (
	keepLength unit.Length
	keepStrain float64
)

// machine is four supports with a table of mean coefficients each.
func machine(tb testing.TB) [4]thermal.Support {
	tb.Helper()
	m := variant(tb, "carbon steel", "mean from 20")
	var out [4]thermal.Support
	for i := range out {
		out[i].Segments = []thermal.Segment{leg(m, 0.45, align.Celsius(21), align.Celsius(55+7*float64(i)))}
		_, err := out[i].Growth()
		require.NoError(tb, err)
	}
	return out
}

func BenchmarkGrowthOfFourSupports(b *testing.B) {
	s := machine(b)
	b.ReportAllocs()
	for b.Loop() {
		for i := range s {
			g, err := s[i].Growth()
			if err != nil {
				b.Fatal(err)
			}
			keepLength = g
		}
	}
}

func BenchmarkStrainOfMaterials(b *testing.B) {
	for _, m := range []thermal.Material{
		variant(b, "brass", "21"), variant(b, "carbon steel", "mean from 70"),
		variant(b, "carbon steel", "instantaneous, per degF"), variant(b, "carbon steel", "EN 1993"), variant(b, "12Cr-1Mo steel", ""),
	} {
		b.Run(m.Kind.String(), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				e, err := m.Strain(300, 480)
				if err != nil {
					b.Fatal(err)
				}
				keepStrain = e
			}
		})
	}
}

// benchProfile is a leg read at 16 heights.
func benchProfile(tb testing.TB) thermal.Segment {
	s := leg(variant(tb, "carbon steel", "mean from 20"), 0.45, 294, 0)
	for i := range 16 {
		s.Profile = append(s.Profile, thermal.Layer{
			Height: unit.Length(i) * 0.03, Temperature: unit.Temperature(300 + 3*i),
		})
	}
	return s
}

func BenchmarkProfileOfSixteen(b *testing.B) {
	s := benchProfile(b)
	b.ReportAllocs()
	for b.Loop() {
		g, err := s.Growth()
		if err != nil {
			b.Fatal(err)
		}
		keepLength = g
	}
}

// The same profile with gonum's trapezoids over strains made one by one.
func BenchmarkProfileOfSixteenGonum(b *testing.B) {
	s := benchProfile(b)
	x, y := make([]float64, len(s.Profile)), make([]float64, len(s.Profile))
	b.ReportAllocs()
	for b.Loop() {
		for i, l := range s.Profile {
			e, err := s.Material.Strain(s.Cold, l.Temperature)
			if err != nil {
				b.Fatal(err)
			}
			x[i], y[i] = float64(l.Height), e
		}
		keepLength = unit.Length(integrate.Trapezoidal(x, y))
	}
}
