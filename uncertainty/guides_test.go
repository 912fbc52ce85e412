package uncertainty

import (
	"context"
	"math"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
)

// gaugeBlock is the end gauge of JCGM 100:2008, H.1: lengths in metres.
type gaugeBlock struct {
	standard, difference   float64
	alpha, theta           float64 // coefficient of the standard, deviation from 20 degC of the gauge
	alphaDiffers, thetaDif float64
}

// length is formula (H.3): l = ls + d - ls (delta-alpha theta + alpha-s delta-theta).
func (g *gaugeBlock) length() float64 {
	return g.standard + g.difference - g.standard*(g.alphaDiffers*g.theta+g.alpha*g.thetaDif)
}

func gaugeModel() Model[gaugeBlock] {
	return Model[gaugeBlock]{
		Job: gaugeBlock{standard: 0.050000623, difference: 215e-9, alpha: 11.5e-6, theta: -0.1},
		Sources: []Source[gaugeBlock]{
			Vary("standard", NormalWith(25e-9, 18), func(g *gaugeBlock) *float64 { return &g.standard }),
			Vary("mean of five", NormalWith(5.8e-9, 24), func(g *gaugeBlock) *float64 { return &g.difference }).In("comparator"),
			Vary("comparator, random", NormalWith(3.9e-9, 5), func(g *gaugeBlock) *float64 { return &g.difference }).In("comparator"),
			Vary("comparator, systematic", NormalWith(6.7e-9, 8), func(g *gaugeBlock) *float64 { return &g.difference }).In("comparator"),
			Vary("coefficient", Rectangular(2e-6), func(g *gaugeBlock) *float64 { return &g.alpha }),
			Vary("temperature of the bed", Normal(0.2), func(g *gaugeBlock) *float64 { return &g.theta }),
			Vary("swing of the temperature", ArcSine(0.5), func(g *gaugeBlock) *float64 { return &g.theta }),
			Vary("difference of coefficients", RectangularWith(1e-6, 50), func(g *gaugeBlock) *float64 { return &g.alphaDiffers }),
			Vary("difference of temperatures", RectangularWith(0.05, 2), func(g *gaugeBlock) *float64 { return &g.thetaDif }),
		},
		Outputs: []Output{{Name: "length", Unit: align.UnitMetre}},
		Compute: func(g *gaugeBlock, out []float64) error {
			out[0] = g.length()
			return nil
		},
	}
}

// TestGaugeBlock is JCGM 100:2008, H.1 (figures from memory, the arithmetic done
// again by hand): u_c = 32 nm, 16 effective degrees of freedom, t99 = 2.92, U99 =
// 93 nm, l = 50.000838 mm; u(d) = 9.7 nm with 25.6 degrees of freedom.
func TestGaugeBlock(t *testing.T) {
	m := gaugeModel()
	l, err := m.Linear()
	require.NoError(t, err)
	e := l.Estimates[0]
	assert.InDelta(t, 50.000838e-3, e.Value, 0.5e-9)
	assert.InDelta(t, 32e-9, e.Sigma, 0.5e-9)
	require.True(t, e.DoFKnown)
	x, err := e.Expanded(0.99)
	require.NoError(t, err)
	assert.Equal(t, 16, x.DoF)
	assert.InDelta(t, 2.92, x.Factor, 0.005)
	// The guide multiplies rounded figures, 2.92 x 32 nm = 93 nm; unrounded it is 92.5.
	assert.InDelta(t, 93e-9, x.Factor*math.Round(e.Sigma/1e-9)*1e-9, 0.5e-9)
	assert.InDelta(t, 92.48e-9, x.Half, 0.05e-9)

	effects := map[string]float64{}
	for _, b := range e.Budget() {
		effects[b.Group] = b.Sigma
	}
	assert.InDelta(t, 25e-9, effects["standard"], 0.5e-9)
	assert.InDelta(t, 9.7e-9, effects["comparator"], 0.05e-9)
	assert.InDelta(t, 2.9e-9, effects["difference of coefficients"], 0.05e-9)
	assert.InDelta(t, 16.6e-9, effects["difference of temperatures"], 0.05e-9)
	assert.InDelta(t, 0, effects["coefficient"], 1e-15)
}

// additive is a sum of inputs.
type additive [4]float64

func sumModel(ds ...Distribution[float64]) Model[additive] {
	m := Model[additive]{
		Outputs: []Output{{Name: "sum", Unit: align.UnitOne}},
		Compute: func(a *additive, out []float64) error {
			out[0] = a[0] + a[1] + a[2] + a[3]
			return nil
		},
	}
	for i, d := range ds {
		m.Sources = append(m.Sources, Vary("x"+string(rune('1'+i)), d, func(a *additive) *float64 { return &a[i] }))
	}
	return m
}

// endSigma is the standard deviation of a quantile found from n trials,
// sqrt(p(1-p)/n)/density.
func endSigma(p, density float64, n int) float64 {
	return math.Sqrt(p*(1-p)/float64(n)) / density
}

// TestAdditive is JCGM 101:2008, 9.2 (figures from memory): four normal inputs of
// unit standard deviation give u = 2.0 and [-3.92, 3.92]; four rectangular ones
// [-3.88, 3.88]; with one of them of standard deviation 10, u = 10.1, the linear
// law [-19.8, 19.8] and the distribution [-17.0, 17.0]. The last figure follows by
// hand: the wide rectangle reaches 10 sqrt(3) = 17.3, the others smooth it.
func TestAdditive(t *testing.T) {
	const trials = 1_000_000
	unit := Rectangular(math.Sqrt(3))
	cases := []struct {
		name          string
		inputs        []Distribution[float64]
		sigma, linear float64
		end, density  float64 // end of the interval, density of the output there
	}{
		{"normal", []Distribution[float64]{Normal(1.0), Normal(1.0), Normal(1.0), Normal(1.0)}, 2, 3.92, 3.92, distuv.Normal{Sigma: 2}.Prob(3.92)},
		{"rectangular", []Distribution[float64]{unit, unit, unit, unit}, 2, 3.92, 3.88, distuv.Normal{Sigma: 2}.Prob(3.92)},
		{"one is wide", []Distribution[float64]{unit, unit, unit, Rectangular(10 * math.Sqrt(3))}, 10.1, 19.8, 17.0, 1 / (20 * math.Sqrt(3)) / 2},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			m := sumModel(c.inputs...)
			l, err := m.Linear()
			require.NoError(t, err)
			assert.InDelta(t, c.sigma, l.Estimates[0].Sigma, 0.05)
			x, err := l.Estimates[0].Expanded(0.95)
			require.NoError(t, err)
			assert.InDelta(t, c.linear, x.Factor*math.Round(10*l.Estimates[0].Sigma)/10, 0.05, "the guide multiplies the rounded u")

			s, err := m.Simulate(context.Background(), Simulation{Seed: 1, Trials: trials})
			require.NoError(t, err)
			d, err := s.Output(0)
			require.NoError(t, err)
			i, err := d.Symmetric(0.95)
			require.NoError(t, err)
			// Half the last printed place, and four standard deviations of the simulation.
			place := 0.005
			if c.end == 17.0 {
				place = 0.05
			}
			allowed := place + 4*endSigma(0.025, c.density, trials)
			assert.InDelta(t, c.end, i.High, allowed)
			assert.InDelta(t, -c.end, i.Low, allowed)
		})
	}
}

// massComparison is JCGM 101:2008, 9.3: masses in milligrams.
type massComparison struct{ reference, added, air, weight, standard float64 }

// deviation is (29): (m_Rc + dm_Rc)(1 + (a - 1.2)(1/rho_W - 1/rho_R)) - m_nom.
func (c *massComparison) deviation() float64 {
	return (c.reference+c.added)*(1+(c.air-1.2)*(1/c.weight-1/c.standard)) - 100_000
}

// TestMassCalibration: from memory, the linear law gives 1.2340 mg, u = 0.0539 and
// [1.1285, 1.3395]; the distribution 1.2341 mg, u = 0.0754 and [1.0834, 1.3825].
// The variance follows by hand: with a - 1.2 rectangular to 0.1 (variance
// 0.1^2/3) and the reciprocals 8000^-2 times rectangular 1000 and 50, the product
// adds 1e10 x 0.1^2/3 x (1000^2 + 50^2)/3/8000^4 = 0.002719 to 0.05^2 + 0.02^2 =
// 0.0029: u = 0.0750 to this order.
func TestMassCalibration(t *testing.T) {
	m := Model[massComparison]{
		Job: massComparison{100_000, 1.234, 1.20, 8000, 8000},
		Sources: []Source[massComparison]{
			Vary("reference", Normal(0.05), func(c *massComparison) *float64 { return &c.reference }),
			Vary("added", Normal(0.02), func(c *massComparison) *float64 { return &c.added }),
			Vary("air", Rectangular(0.1), func(c *massComparison) *float64 { return &c.air }),
			Vary("weight", Rectangular(1000.0), func(c *massComparison) *float64 { return &c.weight }),
			Vary("standard", Rectangular(50.0), func(c *massComparison) *float64 { return &c.standard }),
		},
		Outputs: []Output{{Name: "deviation", Unit: align.UnitOne}},
		Compute: func(c *massComparison, out []float64) error {
			out[0] = c.deviation()
			return nil
		},
	}
	l, err := m.Linear()
	require.NoError(t, err)
	assert.InDelta(t, 1.2340, l.Estimates[0].Value, 0.00005)
	assert.InDelta(t, 0.0539, l.Estimates[0].Sigma, 0.00005)
	x, err := l.Estimates[0].Expanded(0.95)
	require.NoError(t, err)
	assert.InDelta(t, 1.1285, x.Low(), 0.0001) // the guide rounds 1.96 u about 1.2340
	assert.InDelta(t, 1.3395, x.High(), 0.0001)

	s, err := m.SimulateTo(context.Background(), Simulation{Seed: 7}, Precision{Probability: 0.95, Digits: 2})
	require.NoError(t, err)
	d, err := s.Output(0)
	require.NoError(t, err)
	assert.InDelta(t, 0.0754, d.Sigma, 0.0005)
	i, err := d.Shortest(0.95)
	require.NoError(t, err)
	// The guide's own figures are of a simulation, steady to 0.001/2.
	assert.InDelta(t, 1.0834, i.Low, 0.002)
	assert.InDelta(t, 1.3825, i.High, 0.002)

	v, err := Validate(l.Estimates[0], d, 0.95, 2)
	require.NoError(t, err)
	assert.False(t, v.Valid, "the guide does not validate the linear law here")
	assert.InDelta(t, 0.0451, v.LowDiffers, 0.002)
	assert.InDelta(t, 0.0430, v.HighDiffers, 0.002)
}

// TestComparisonLoss is JCGM 101:2008, 9.4.2: Y = X1^2 + X2^2 with both about zero
// and u = 0.005 is 0.005^2 times chi-square with two degrees of freedom, an
// exponential distribution of mean and standard deviation 50e-6 whose shortest
// 95 % interval is [0, 50e-6 ln 20 = 149.8e-6]. The linear law sees nothing.
func TestComparisonLoss(t *testing.T) {
	type loss [2]float64
	m := Model[loss]{
		Sources: []Source[loss]{
			Vary("real", Normal(0.005), func(l *loss) *float64 { return &l[0] }),
			Vary("imaginary", Normal(0.005), func(l *loss) *float64 { return &l[1] }),
		},
		Outputs: []Output{{Name: "loss", Unit: align.UnitOne}},
		Compute: func(l *loss, out []float64) error {
			out[0] = l[0]*l[0] + l[1]*l[1]
			return nil
		},
	}
	l, err := m.Linear()
	require.NoError(t, err)
	assert.Zero(t, l.Estimates[0].Sigma)
	require.Len(t, l.Warnings, 1)
	assert.Equal(t, WarnNotLinear, l.Warnings[0].Code)
	assert.InDelta(t, 50e-6, l.Warnings[0].Value, 1e-12, "second order: two times u^2")

	const n = 1_000_000
	s, err := m.Simulate(context.Background(), Simulation{Seed: 3, Trials: n})
	require.NoError(t, err)
	d, err := s.Output(0)
	require.NoError(t, err)
	assert.InDelta(t, 50e-6, d.Mean, 4*50e-6/math.Sqrt(n))
	// The variance of the variance of an exponential is 8 sigma^4/n.
	assert.InDelta(t, 50e-6, d.Sigma, 4*math.Sqrt2*50e-6/math.Sqrt(n))
	i, err := d.Shortest(0.95)
	require.NoError(t, err)
	assert.InDelta(t, 0, i.Low, 1e-8)
	end := 50e-6 * math.Log(20)
	assert.InDelta(t, end, i.High, 4*endSigma(0.05, 0.05/50e-6, n)+1e-8)
}
