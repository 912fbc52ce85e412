package runout_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"collinear.example/runout"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// finiteAll fails when a number is not finite.
func finiteAll(t *testing.T, vs ...float64) {
	t.Helper()
	for _, v := range vs {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			t.Fatalf("%v left the package", vs)
		}
	}
}

func axisNumbers(a align.Axis) []float64 {
	return []float64{float64(a.Vertical.Offset), a.Vertical.Slope, float64(a.Horizontal.Offset), a.Horizontal.Slope}
}

// Five stations and a hub of any numbers: no panic, and no number that is none.
func FuzzShaftAndHub(f *testing.F) {
	f.Add(0.0, 0.2, 0.4, 0.6, 0.8, 1e-5, 2e-5, -3e-5, 0.25, 1e-5)
	f.Add(0.0, 0.2, 0.4, 0.4, 0.8, 0.0, 0.0, 0.0, 0.0, 0.0)
	f.Add(0.0, 5e-324, 1e-323, 1.0, 1e300, 1e308, -1e308, 1e-308, 1e-300, 1e308)
	f.Add(math.NaN(), math.Inf(1), 0.0, 1.0, 2.0, 1.0, 2.0, 3.0, -1.0, -1.0)
	f.Add(1.0, 1.0000000000000002, 1.0000000000000004, 1.0000000000000007, 1.000000000000001, 1e-3, 0.0, 1e-3, 0.1, 0.0)
	f.Fuzz(func(t *testing.T, x0, x1, x2, x3, x4, a, b, c, diameter, least float64) {
		sweep := func(p, q, r float64) align.Sweep {
			return align.FourPoint(unit.Length(p), unit.Length(q), unit.Length(r), 0)
		}
		stations := []runout.ShaftStation{
			{Station: unit.Length(x0), Sweep: sweep(a, b, c)}, {Station: unit.Length(x1), Sweep: sweep(b, c, a)},
			{Station: unit.Length(x2), Sweep: sweep(c, a, b)}, {Station: unit.Length(x3), Sweep: sweep(c, b, a)},
			{Station: unit.Length(x4), Sweep: sweep(b, a, c)},
		}
		checkBow(t, runout.Shaft{Stations: stations})
		d, err := runout.HubCase{
			Shaft: stations[:2], Hub: stations[3:], Again: stations[0].Sweep, Least: unit.Length(least),
			Face: &runout.HubFace{Diameter: unit.Length(diameter), Surface: align.FaceAway, Sweep: stations[1].Sweep},
		}.Diagnose()
		if err != nil {
			require.NotEmpty(t, align.CodeOf(err))
			return
		}
		finiteAll(t, float64(d.Oval), float64(d.Repeat))
		for i, e := range d.Ranked {
			finiteAll(t, float64(e.Unexplained), float64(d.Difference[i%len(d.Difference)].Resultant()))
		}
	})
}

func checkBow(t *testing.T, s runout.Shaft) {
	got, err := s.Bow()
	if err != nil {
		require.NotEmpty(t, align.CodeOf(err))
		return
	}
	finiteAll(t, axisNumbers(got.Straight)...)
	finiteAll(t, float64(got.StraightRMS), float64(got.Largest), float64(got.LargestAt))
	finiteAll(t, float64(got.Bend.Station), got.Bend.Angle, float64(got.Bend.RMS), float64(got.Bend.Toward))
	finiteAll(t, axisNumbers(got.Bend.Before)...)
	finiteAll(t, axisNumbers(got.Bend.After)...)
}

func BenchmarkBow(b *testing.B) {
	s := shaftOf(someShaft(rand.New(rand.NewPCG(1, 2)), 9), 0.25)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := s.Bow(); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkDiagnose(b *testing.B) {
	c := runout.HubCase{
		Hub:   []runout.ShaftStation{at(0.2, offset(6e-5, 0)), at(0.3, offset(6e-5, 1e-5))},
		Shaft: []runout.ShaftStation{at(0, offset(1e-6, 0)), at(0.1, offset(0, 1e-6))},
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := c.Diagnose(); err != nil {
			b.Fatal(err)
		}
	}
}
