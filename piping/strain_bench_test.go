package piping_test

import (
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"collinear.example/internal/rigid"
	"collinear.example/piping"
	"gonum.org/v1/gonum/mat"
)

// twelveByTen is twelve indicators, four of them on the shaft, through ten steps.
func twelveByTen() piping.StrainTest {
	draw := rand.New(rand.NewPCG(3, 9))
	test := anyTest(draw, 12, 10)
	for i := range 4 {
		test.Indicators[i].Touches = piping.Shaft
	}
	for i := range 3 {
		test.Feet = append(test.Feet, piping.NamedPlace{Name: string(rune('p' + i)), At: anyPlace(draw)})
	}
	fill(draw, &test)
	return test
}

func BenchmarkStrainTest(b *testing.B) {
	test := twelveByTen()
	b.ReportAllocs()
	for b.Loop() {
		r, err := test.Result()
		if err != nil || len(r.Steps) != 10 {
			b.Fatal(err)
		}
	}
}

// The same motions by gonum's singular values, anew for every step, and nothing
// else of the result.
func BenchmarkStrainTestByGonum(b *testing.B) {
	test := twelveByTen()
	a := mat.NewDense(8, 6, nil)
	for i := range 8 {
		row := rigid.Reading(test.Indicators[i+4].At, align.Place{}, test.Indicators[i+4].Toward)
		a.SetRow(i, row[:])
	}
	y := mat.NewDense(8, 1, nil)
	b.ReportAllocs()
	for b.Loop() {
		for k := range test.Steps {
			for i := range 8 {
				y.Set(i, 0, float64(test.Steps[k].Readings[i+4].Value))
			}
			var svd mat.SVD
			svd.Factorize(a, mat.SVDThin)
			var x mat.Dense
			svd.SolveTo(&x, y, 6)
		}
	}
}

func BenchmarkOblique(b *testing.B) {
	o := piping.Oblique{At: 45, Reading: of(0.06)}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := o.Judge(0.05 * align.Millimetre); err != nil {
			b.Fatal(err)
		}
	}
}
