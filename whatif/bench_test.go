package whatif_test

import (
	"context"
	"testing"

	"collinear.example/align"
	"collinear.example/uncertainty"
	"collinear.example/whatif"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

func sagAndDistance(n int) whatif.Combination[align.ReverseIndicator] {
	return whatif.Grid(whatif.RangeWith("sag", align.UnitMil, setSag, 0, -6*align.Mil, n),
		whatif.Range("dial distance", align.UnitInch, farStation, 4*align.Inch, 12*align.Inch, 100))
}

func BenchmarkRunTwoDials(b *testing.B) {
	s := footStudy()
	c := sagAndDistance(100)
	b.ReportAllocs()
	rows := 0
	for b.Loop() {
		table, err := s.Run(context.Background(), c, whatif.Options{Workers: 1})
		if err != nil {
			b.Fatal(err)
		}
		rows += table.Len()
	}
	b.ReportMetric(float64(rows)/b.Elapsed().Seconds(), "rows/s")
}

func BenchmarkSobolTwoDials(b *testing.B) {
	s := footStudy()
	source := uncertainty.Vary("D", uncertainty.Normal(0.1*align.Inch), farStation)
	b.ReportAllocs()
	runs := 0
	for b.Loop() {
		if _, err := s.Sobol(context.Background(), whatif.Sampling{Samples: 1000, Options: whatif.Options{Workers: 1}}, source); err != nil {
			b.Fatal(err)
		}
		runs += 3000
	}
	b.ReportMetric(float64(runs)/b.Elapsed().Seconds(), "runs/s")
}

func BenchmarkRoot(b *testing.B) {
	s := footStudy()
	k := whatif.RangeWith("sag", align.UnitMil, setSag, 0, -8*align.Mil, 2)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := whatif.RootsAlong(context.Background(), &s, k, 1e-6*align.Mil, 0,
			func(f feet) unit.Length { return f.Moves.Outboard.Vertical }); err != nil {
			b.Fatal(err)
		}
	}
}

// Ten times the rows take no more allocations: none of them belongs to a row.
func TestNoAllocationPerRow(t *testing.T) {
	s := footStudy()
	allocations := func(n int) float64 {
		c := sagAndDistance(n)
		return testing.AllocsPerRun(5, func() {
			_, err := s.Run(context.Background(), c, whatif.Options{Workers: 1})
			require.NoError(t, err)
		})
	}
	assert.InDelta(t, allocations(10), allocations(100), 5) // 1,000 and 10,000 rows
}
