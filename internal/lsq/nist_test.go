package lsq_test

import (
	"math"
	"testing"

	"collinear.example/internal/lsq"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Linear sets of the NIST Statistical Reference Datasets (public domain, data and
// certified values from memory). Fitted with 80 digits the data give the certified
// values to all their digits; the noise of the Wampler sets is orthogonal to every
// column, in whole numbers, so that the coefficients are exactly one.

// wamplerNoise is the noise of Wampler3; Wampler4 has 100 times and Wampler5
// 10,000 times as much.
var wamplerNoise = [21]float64{
	759, -2048, 2048, -2048, 2523, -2048, 2048, -2048, 1838, -2048, 2048,
	-2048, 1838, -2048, 2048, -2048, 2523, -2048, 2048, -2048, 759,
}

// wampler is a polynomial of the fifth degree over x = 0 to 20.
func wampler(y func(x int) float64) lsq.System {
	s := lsq.New(6)
	for x := range 21 {
		row, power := lsq.Row{}, 1.0
		for k := range 6 {
			row[k] = power
			power *= float64(x)
		}
		s.Add(row, y(x))
	}
	return s
}

// whole is the sum of the powers of x from 0 to 5.
func whole(x int) float64 {
	v := 0
	for range 6 {
		v = v*x + 1
	}
	return float64(v)
}

func tenths(x int) float64 {
	v := 0.0
	for range 6 {
		v = v*float64(x)/10 + 1
	}
	return v
}

func TestWampler(t *testing.T) {
	for _, c := range []struct {
		name     string
		y        func(x int) float64
		b        [6]float64
		sd       float64 // residual standard deviation
		sigma    [6]float64
		relative float64 // the columns cost about six digits, the noise some more
	}{
		{"Wampler1", whole, [6]float64{1, 1, 1, 1, 1, 1}, 0, [6]float64{}, 1e-8},
		{"Wampler2", tenths, [6]float64{1, 0.1, 0.01, 0.001, 0.0001, 0.00001}, 0, [6]float64{}, 1e-10},
		{
			"Wampler3", noisy(1), [6]float64{1, 1, 1, 1, 1, 1}, 2360.14502379268,
			[6]float64{2152.32624678170, 2363.55173469681, 779.343524331583, 101.475507550350, 5.64566512170752, 0.112324854679312}, 1e-8,
		},
		{
			"Wampler4", noisy(100), [6]float64{1, 1, 1, 1, 1, 1}, 236014.502379268,
			[6]float64{215232.624678170, 236355.173469681, 77934.3524331583, 10147.5507550350, 564.566512170752, 11.2324854679312}, 1e-7,
		},
		{
			"Wampler5", noisy(10_000), [6]float64{1, 1, 1, 1, 1, 1}, 23601450.2379268,
			[6]float64{21523262.4678170, 23635517.3469681, 7793435.24331583, 1014755.07550350, 56456.6512170752, 1123.24854679312}, 1e-5,
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := wampler(c.y)
			certified(t, &s, c.b[:], c.sigma[:], c.sd, c.relative)
		})
	}
}

func noisy(times float64) func(x int) float64 {
	return func(x int) float64 { return whole(x) + times*wamplerNoise[x] }
}

// certified holds coefficients, their standard deviations and that of the
// residuals against certified ones. A certified deviation of zero is held
// against the size of the data.
func certified(t *testing.T, s *lsq.System, b, sigma []float64, sd, relative float64) {
	t.Helper()
	x := s.Solve()
	for k, want := range b {
		assert.InEpsilon(t, want, x[k], relative, "coefficient %d", k)
	}
	got := math.Sqrt(s.SumSquares() / float64(s.Rows()-len(b)))
	if sd == 0 {
		assert.Less(t, got, 1e-8)
		return
	}
	require.InEpsilon(t, sd, got, 1e-12)
	w := s.InverseFactor()
	c := s.Covariance(&w)
	for k, want := range sigma {
		assert.InEpsilon(t, want, got*math.Sqrt(c[k][k]), 1e-9, "standard deviation %d", k)
	}
}

// longley is deflator, product, unemployed, armed forces, population, year and
// employment.
var longley = [16][7]float64{
	{83.0, 234289, 2356, 1590, 107608, 1947, 60323},
	{88.5, 259426, 2325, 1456, 108632, 1948, 61122},
	{88.2, 258054, 3682, 1616, 109773, 1949, 60171},
	{89.5, 284599, 3351, 1650, 110929, 1950, 61187},
	{96.2, 328975, 2099, 3099, 112075, 1951, 63221},
	{98.1, 346999, 1932, 3594, 113270, 1952, 63639},
	{99.0, 365385, 1870, 3547, 115094, 1953, 64989},
	{100.0, 363112, 3578, 3350, 116219, 1954, 63761},
	{101.2, 397469, 2904, 3048, 117388, 1955, 66019},
	{104.6, 419180, 2822, 2857, 118734, 1956, 67857},
	{108.4, 442769, 2936, 2798, 120445, 1957, 68169},
	{110.8, 444546, 4681, 2637, 121950, 1958, 66513},
	{112.6, 482704, 3813, 2552, 123366, 1959, 68655},
	{114.2, 502601, 3931, 2514, 125368, 1960, 69564},
	{115.7, 518173, 4806, 2572, 127852, 1961, 69331},
	{116.9, 554894, 4007, 2827, 130081, 1962, 70551},
}

func TestLongley(t *testing.T) {
	s := lsq.New(7)
	for _, r := range longley {
		s.Add(lsq.Row{1, r[0], r[1], r[2], r[3], r[4], r[5]}, r[6])
	}
	certified(t, &s,
		[]float64{-3482258.63459582, 15.0618722713733, -0.0358191792925910, -2.02022980381683, -1.03322686717359, -0.0511041056535807, 1829.15146461355},
		[]float64{890420.383607373, 84.9149257747669, 0.0334910077722432, 0.488399681651699, 0.214274163161675, 0.226073200069370, 455.478499142212},
		304.854073561965, 1e-9)
}
