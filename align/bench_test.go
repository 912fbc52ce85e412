package align_test

import (
	"testing"
	"time"

	"collinear.example/align"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/unit"
)

// Each benchmark also solves the same problem with gonum's QR factorisation in
// the same run and reports how many times longer that takes, "x-QR".

// reportRatio times other and reports its time over that of the benchmark.
func reportRatio(b *testing.B, other func()) {
	b.Helper()
	mine := float64(b.Elapsed().Nanoseconds()) / float64(b.N)
	// A benchmark inside a benchmark waits for itself, so the clock is read here.
	n, start := 0, time.Now()
	for time.Since(start) < 50*time.Millisecond {
		for range 100 {
			other()
		}
		n += 100
	}
	theirs := float64(time.Since(start).Nanoseconds()) / float64(n)
	b.ReportMetric(theirs/mine, "x-QR")
}

// benchReverse is a two-indicator job with readings in both planes.
func benchReverse() align.ReverseIndicator {
	return align.ReverseIndicator{
		OnFar: align.Dial{
			Station: 8 * align.Inch, Sag: align.RollOver(-4 * align.Mil),
			Sweep: align.FourPoint(0, 3*align.Mil, -6.4*align.Mil, -9.4*align.Mil),
		},
		OnNear: align.Dial{
			Station: 0, Sag: align.RollOver(-6 * align.Mil),
			Sweep: align.FourPoint(0, -2*align.Mil, 2*align.Mil, 4*align.Mil),
		},
		Sigma: 0.5 * align.Mil,
	}
}

func BenchmarkReverseIndicatorAxisAndFeet(b *testing.B) {
	r := benchReverse()
	feet := align.Feet{Inboard: 14 * align.Inch, Outboard: 34 * align.Inch}
	var sum unit.Length
	b.ReportAllocs()
	for b.Loop() {
		a, err := r.Axis()
		if err != nil {
			b.Fatal(err)
		}
		m := a.MoveFarFeet(feet)
		sum += m.Inboard.Vertical + m.Inboard.Horizontal + m.Outboard.Vertical + m.Outboard.Horizontal
	}
	keep = float64(sum)
	full := newFullSystem(r.Measurement())
	reportRatio(b, func() { keep = full.solve()[0] })
}

// benchFourDials is a general measurement: four rim dials of four readings.
func benchFourDials() align.Measurement {
	a := align.Axis{
		Vertical:   align.Line{Offset: 0.10 * align.Millimetre, Slope: 0.0004},
		Horizontal: align.Line{Offset: -0.07 * align.Millimetre, Slope: -0.0002},
	}
	m := align.Measurement{Sigma: 0.005 * align.Millimetre}
	for i, x := range []unit.Length{0, 0.05, 0.2, 0.25} {
		d := align.Dial{Station: x, Bracket: align.Shaft(i % 2), Sag: align.RollOver(-0.05 * align.Millimetre)}
		if i%2 == 0 {
			d.Bracket = align.Far
		}
		s, err := d.Predict(a, align.Spool{}, align.Twelve, align.Twelve, align.Three, align.Six, align.Nine)
		if err != nil {
			panic(err)
		}
		s[i].Value += 0.004 * align.Millimetre // one reading a little off, so that residuals are not zero
		d.Sweep = s
		m.Dials = append(m.Dials, d)
	}
	return m
}

func BenchmarkSolveFourDials(b *testing.B) {
	m := benchFourDials()
	b.ReportAllocs()
	for b.Loop() {
		p, err := m.Solve()
		if err != nil {
			b.Fatal(err)
		}
		keep = float64(p.Vertical.Offset)
	}
	full := newFullSystem(m)
	reportRatio(b, func() {
		x := full.solve()
		c := full.covariance()
		keep = x[0] + c.At(0, 0)
	})
}

func BenchmarkFitEightPositions(b *testing.B) {
	s := align.EvenSweep(align.OClock(0.4), 0.11e-3, 0.09e-3, 0.02e-3, -0.05e-3, -0.10e-3, -0.08e-3, -0.01e-3, 0.06e-3)
	b.ReportAllocs()
	for b.Loop() {
		f, err := s.Fit()
		if err != nil {
			b.Fatal(err)
		}
		keep = float64(f.Vertical)
	}
	a, y := circleRows(s)
	reportRatio(b, func() {
		var qr mat.QR
		var x mat.VecDense
		qr.Factorize(a)
		if err := qr.SolveVecTo(&x, false, y); err != nil {
			b.Fatal(err)
		}
		keep = x.AtVec(0)
	})
}

func BenchmarkRimAndFaceAxis(b *testing.B) {
	r := align.RimAndFace{
		Rim:  align.Dial{Station: 0, Sag: align.NoSag(), Sweep: align.FourPoint(0, 0, -8*align.Mil, -8*align.Mil)},
		Face: align.Dial{Diameter: 10 * align.Inch, Sag: align.NoSag(), Sweep: align.FourPoint(0, 0, 2*align.Mil, 2*align.Mil)},
	}
	b.ReportAllocs()
	for b.Loop() {
		a, err := r.Axis()
		if err != nil {
			b.Fatal(err)
		}
		keep = float64(a.Vertical.Offset)
	}
	full := newFullSystem(r.Measurement())
	reportRatio(b, func() { keep = full.solve()[0] })
}

func BenchmarkPredictExact(b *testing.B) {
	d := align.Dial{Station: 0.2, Diameter: 0.1, Sag: align.RollOver(-0.05 * align.Millimetre)}
	a := align.Axis{Vertical: align.Line{Offset: 0.2e-3, Slope: 0.001}}
	at := []align.Clock{align.Twelve, align.Three, align.Six, align.Nine}
	b.ReportAllocs()
	for b.Loop() {
		s, err := d.PredictExact(a, align.Spool{}, align.Twelve, at...)
		if err != nil {
			b.Fatal(err)
		}
		keep = float64(s[2].Value)
	}
}

// keep holds results so that the compiler cannot drop the work.
var keep float64
