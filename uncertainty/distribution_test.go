package uncertainty

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
	"gonum.org/v1/gonum/unit"
)

// TestSigma holds JCGM 101:2008, Table 1 (standard results).
func TestSigma(t *testing.T) {
	assert.InDelta(t, 2, Normal(2.0).Sigma(), 1e-15)
	assert.InDelta(t, 1/math.Sqrt(3), Rectangular(1.0).Sigma(), 1e-15)
	assert.InDelta(t, 1/math.Sqrt(6), Triangular(1.0).Sigma(), 1e-15)
	assert.InDelta(t, 1/math.Sqrt2, ArcSine(1.0).Sigma(), 1e-15)
	assert.InDelta(t, math.Sqrt((1+0.25)/6), Trapezoidal(0.5, 1.0).Sigma(), 1e-15)
	assert.InDelta(t, 1/math.Sqrt(3), Trapezoidal(1.0, 1.0).Sigma(), 1e-15)
	assert.InDelta(t, float64(10*align.Micrometre)/math.Sqrt(12), float64(Resolution(10*align.Micrometre).Sigma()), 1e-15)
}

// all is one distribution of each shape, with its distribution function from
// gonum or in closed form.
var all = []struct {
	name string
	d    Distribution[float64]
	cdf  func(float64) float64
	// variance of a draw
	variance float64
}{
	{"normal", Normal(2.0), distuv.Normal{Sigma: 2}.CDF, 4},
	{"rectangular", Rectangular(3.0), distuv.Uniform{Min: -3, Max: 3}.CDF, 3},
	{"triangular", Triangular(3.0), distuv.NewTriangle(-3, 3, 0, nil).CDF, 1.5},
	{"trapezoidal", Trapezoidal(1.0, 3.0), trapezoidCDF(1, 3), 9 * (1 + 1.0/9) / 6},
	{"arc sine", ArcSine(2.0), func(x float64) float64 { return math.Asin(max(-1, min(1, x/2)))/math.Pi + 0.5 }, 2},
	{"t", Student(0.5, 9), func(x float64) float64 { return distuv.StudentsT{Sigma: 0.5, Nu: 9}.CDF(x) }, 0.25 * 9 / 7},
}

// trapezoidCDF adds up the density by its three pieces.
func trapezoidCDF(flat, half float64) func(float64) float64 {
	h := 1 / (flat + half) // height: the area is one
	return func(x float64) float64 {
		switch {
		case x <= -half:
			return 0
		case x < -flat:
			return h * (x + half) * (x + half) / (half - flat) / 2
		case x <= flat:
			return 0.5 + h*x
		case x < half:
			return 1 - h*(half-x)*(half-x)/(half-flat)/2
		}
		return 1
	}
}

func TestQuantileInvertsTheDistribution(t *testing.T) {
	for _, c := range all {
		t.Run(c.name, func(t *testing.T) {
			for _, p := range []float64{1e-6, 0.01, 0.1, 0.3, 0.5, 0.62, 0.9, 0.99, 1 - 1e-6} {
				q, err := c.d.Quantile(p)
				require.NoError(t, err)
				assert.InDelta(t, p, c.cdf(q), 1e-9)
			}
		})
	}
}

// TestDraws holds 200,000 draws of each shape against its distribution: mean and
// variance within five standard errors, and the largest distance of the
// distribution functions below the Kolmogorov point of 1e-6, 2.73/sqrt(n).
func TestDraws(t *testing.T) {
	const n = 200_000
	for _, c := range all {
		t.Run(c.name, func(t *testing.T) {
			r := rand.New(rand.NewPCG(11, 12))
			v := make([]float64, n)
			sum, squares, fourth := 0.0, 0.0, 0.0
			for i := range v {
				x := c.d.d.draw(r)
				v[i] = x
				sum += x
				squares += x * x
				fourth += x * x * x * x
			}
			assert.InDelta(t, 0, sum/n, 5*math.Sqrt(c.variance/n))
			ofVariance := math.Sqrt((fourth/n - c.variance*c.variance) / n)
			assert.InDelta(t, c.variance, squares/n, 5*ofVariance)
			slices.Sort(v)
			worst := 0.0
			for i, x := range v {
				f := c.cdf(x)
				worst = max(worst, math.Abs(f-float64(i)/n), math.Abs(f-float64(i+1)/n))
			}
			assert.Less(t, worst, 2.73/math.Sqrt(n))
		})
	}
}

// TestRepeats: 10.1, 10.3, 9.9, 10.1 have the mean 10.1, s^2 = 0.08/3, and the
// mean is known to s/2.
func TestRepeats(t *testing.T) {
	mean, d, err := Repeats(10.1*align.Millimetre, 10.3*align.Millimetre, 9.9*align.Millimetre, 10.1*align.Millimetre)
	require.NoError(t, err)
	assert.InDelta(t, 10.1e-3, float64(mean), 1e-15)
	assert.InDelta(t, math.Sqrt(0.08/3)/2*1e-3, float64(d.Sigma()), 1e-15)
	dof, ok := d.DoF()
	assert.True(t, ok)
	assert.InDelta(t, 3, dof, 0)
	_, _, err = Repeats(1.0, 2, 3)
	assert.ErrorIs(t, err, ErrTooFewRepeats)
	_, _, err = Repeats(1.0, 2, 3, math.NaN())
	assert.ErrorIs(t, err, align.ErrNotFinite)
}

func TestDistributionRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		d    Distribution[unit.Length]
		want error
	}{
		"not given":        {Distribution[unit.Length]{}, align.ErrMissing},
		"not a number":     {Normal(unit.Length(math.NaN())), align.ErrNotFinite},
		"negative":         {Triangular(-align.Mil), align.ErrNegative},
		"flat over half":   {Trapezoidal(2*align.Mil, align.Mil), align.ErrOutOfRange},
		"negative flat":    {Trapezoidal(-align.Mil, align.Mil), align.ErrOutOfRange},
		"t without dof":    {Student(align.Mil, 0), align.ErrOutOfRange},
		"t with two":       {Student(align.Mil, 2), align.ErrOutOfRange},
		"negative dof":     {NormalWith(align.Mil, -1), align.ErrNegative},
		"dof not a number": {NormalWith(align.Mil, math.NaN()), align.ErrNotFinite},
	} {
		t.Run(name, func(t *testing.T) {
			require.ErrorIs(t, c.d.Check(), c.want)
			_, err := c.d.Quantile(0.5)
			require.ErrorIs(t, err, c.want)
		})
	}
	_, err := Normal(1.0).Quantile(1)
	assert.ErrorIs(t, err, align.ErrOutOfRange)
}

// FuzzDistribution: whatever the numbers, a distribution is refused or has finite
// figures.
func FuzzDistribution(f *testing.F) {
	f.Add(uint8(1), 1.0, 0.5, 3.0, 0.5)
	f.Add(uint8(4), 1e300, 1e300, 1e-300, 1e-17)
	f.Add(uint8(6), 1e-320, 0.0, 2.0000001, 0.999999)
	f.Fuzz(func(t *testing.T, shape uint8, size, top, dof, p float64) {
		d := Distribution[float64]{spread{Shape(shape % 8), size, top, dof}}
		q, err := d.Quantile(p)
		if err != nil {
			return
		}
		if math.Abs(size) > 1e150 { // a quantile may leave the range of numbers there
			return
		}
		if !align.IsFinite(q) || !align.IsFinite(d.Sigma()) {
			t.Fatalf("%+v at %v: %v, sigma %v", d, p, q, d.Sigma())
		}
	})
}
