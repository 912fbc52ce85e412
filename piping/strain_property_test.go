package piping_test

import (
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"collinear.example/piping"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// fill gives a test readings of any motion, with noise, step after step.
func fill(draw *rand.Rand, test *piping.StrainTest) {
	sum := make([]float64, len(test.Indicators))
	for k := range test.Steps {
		m := anyMotion(draw, align.Place{}, 5e-5)
		for i := range test.Indicators {
			n := &test.Indicators[i]
			sum[i] += float64(m.At(n.At).Along(n.Toward)) + 2e-6*draw.NormFloat64()
			test.Steps[k].Readings[i] = piping.Shows(align.Movement(sum[i]))
		}
	}
}

func eachTest(t *testing.T, f func(draw *rand.Rand, test piping.StrainTest)) {
	t.Helper()
	draw := rand.New(rand.NewPCG(11, 5))
	for range 60 {
		test := anyTest(draw, 3+draw.IntN(8), 4)
		for i := range test.Indicators {
			if draw.IntN(4) == 0 {
				test.Indicators[i].Touches = piping.Shaft
			}
		}
		fill(draw, &test)
		f(draw, test)
	}
}

// same compares what two results say of the machine. Turn changes the sign of
// along and right, as for a reader who walks the train the other way.
func same(t *testing.T, a, b *piping.Movements, turn bool) {
	t.Helper()
	sign := 1.0
	if turn {
		sign = -1
	}
	component := func(a, b piping.Component, sign float64) {
		require.Equal(t, a.Known, b.Known)
		// Extrapolation magnifies rounding in step with the uncertainty.
		assert.InDelta(t, float64(a.Value), sign*float64(b.Value), 1e-12+1e-6*float64(a.Sigma))
		assert.InDelta(t, float64(a.Sigma), float64(b.Sigma), 1e-6*float64(a.Sigma))
	}
	points := func(p, q []piping.PointMovement) {
		for i := range p {
			component(p[i].Along, q[i].Along, sign)
			component(p[i].Up, q[i].Up, 1)
			component(p[i].Right, q[i].Right, sign)
		}
	}
	points(a.Shaft().At, b.Shaft().At)
	points(a.Feet(), b.Feet())
	points(a.Nozzles(), b.Nozzles())
	assert.Equal(t, a.Casing.Rank(), b.Casing.Rank())
	assert.Equal(t, a.Shaft().Vertical, b.Shaft().Vertical)
	for i := range a.Residuals() {
		assert.InDelta(t, float64(a.Residuals()[i]), float64(b.Residuals()[i]), 1e-12)
	}
}

func sameResult(t *testing.T, a, b piping.StrainResult, turn bool) {
	t.Helper()
	for k := range a.Steps {
		same(t, &a.Steps[k].Step, &b.Steps[k].Step, turn)
		same(t, &a.Steps[k].Running, &b.Steps[k].Running, turn)
	}
}

// Nothing depends on where the dials were zeroed.
func TestOwnZero(t *testing.T) {
	eachTest(t, func(draw *rand.Rand, test piping.StrainTest) {
		a := resultOf(t, test)
		test.Start = make([]piping.Reading, len(test.Indicators))
		for i := range test.Start {
			zero := align.Movement(1e-3 * draw.NormFloat64())
			test.Start[i] = piping.Shows(zero)
			for k := range test.Steps {
				test.Steps[k].Readings[i].Value += zero
			}
		}
		sameResult(t, a, resultOf(t, test), false)
	})
}

// The same machine with the train counted from elsewhere moves the same.
func TestDatumShift(t *testing.T) {
	eachTest(t, func(draw *rand.Rand, test piping.StrainTest) {
		a := resultOf(t, test)
		d := anyPlace(draw).From(align.Place{})
		test.Shaft = test.Shaft.Add(d)
		for i := range test.Indicators {
			test.Indicators[i].At = test.Indicators[i].At.Add(d)
		}
		for i := range test.Coupling {
			test.Coupling[i] += d.X
		}
		test.Feet[0].At, test.Nozzles[0].At = test.Feet[0].At.Add(d), test.Nozzles[0].At.Add(d)
		sameResult(t, a, resultOf(t, test), false)
	})
}

// A reader who walks the train the other way finds along and right with the
// other sign.
func TestMirror(t *testing.T) {
	turn := func(p align.Place) align.Place { return align.Place{X: -p.X, Y: p.Y, Z: -p.Z} }
	eachTest(t, func(_ *rand.Rand, test piping.StrainTest) {
		a := resultOf(t, test)
		test.Shaft = turn(test.Shaft)
		for i := range test.Indicators {
			n := &test.Indicators[i]
			n.At, n.Toward = turn(n.At), align.Direction{X: -n.Toward.X, Y: n.Toward.Y, Z: -n.Toward.Z}
		}
		for i := range test.Coupling {
			test.Coupling[i] *= -1
		}
		test.Feet[0].At, test.Nozzles[0].At = turn(test.Feet[0].At), turn(test.Nozzles[0].At)
		sameResult(t, a, resultOf(t, test), true)
	})
}

// A larger machine with larger readings: lengths scale, turns stay. This is what
// a change of unit does.
func TestScale(t *testing.T) {
	eachTest(t, func(_ *rand.Rand, test piping.StrainTest) {
		a := resultOf(t, test)
		const k = 2.54
		grow := func(p align.Place) align.Place { return align.Place{X: k * p.X, Y: k * p.Y, Z: k * p.Z} }
		test.Shaft, test.Resolution = grow(test.Shaft), k*0.01*align.Millimetre
		for i := range test.Indicators {
			test.Indicators[i].At = grow(test.Indicators[i].At)
			for s := range test.Steps {
				test.Steps[s].Readings[i].Value *= k
			}
		}
		for i := range test.Coupling {
			test.Coupling[i] *= k
		}
		test.Feet[0].At, test.Nozzles[0].At = grow(test.Feet[0].At), grow(test.Nozzles[0].At)
		b := resultOf(t, test)
		for s := range a.Steps {
			for i, p := range a.Steps[s].Running.Shaft().At {
				q := b.Steps[s].Running.Shaft().At[i]
				require.Equal(t, p.Up.Known, q.Up.Known)
				assert.InDelta(t, k*float64(p.Up.Value), float64(q.Up.Value), 1e-12+1e-6*float64(q.Up.Sigma))
				assert.InDelta(t, k*float64(p.Right.Sigma), float64(q.Right.Sigma), 1e-6*float64(q.Right.Sigma))
			}
			va, vb := a.Steps[s].Step.Shaft().VerticalSlope, b.Steps[s].Step.Shaft().VerticalSlope
			assert.InDelta(t, va.Value, vb.Value, 1e-11+1e-6*va.Sigma)
		}
	})
}

// Steps add up: the running movement is the sum of those of the steps.
func TestSuperposition(t *testing.T) {
	eachTest(t, func(_ *rand.Rand, test piping.StrainTest) {
		r := resultOf(t, test)
		sum := make([]align.Movement, len(test.Coupling))
		for k := range r.Steps {
			for i := range sum {
				p, q := r.Steps[k].Step.Shaft().At[i].Up, r.Steps[k].Running.Shaft().At[i].Up
				sum[i] += p.Value
				assert.InDelta(t, float64(sum[i]), float64(q.Value), 1e-12+1e-6*float64(q.Sigma))
			}
		}
	})
}

// Held ways are none, and what the others then show is known.
func TestHeld(t *testing.T) {
	test := hubTest(flangeStep("make", piping.Tighten, "suction", dialsShow(0.05, -0.02)))
	test.Held = piping.Ways{ShiftX: true, TurnX: true, TurnY: true, TurnZ: true}
	test.Coupling = append(test.Coupling, 300*strainMM)
	r := resultOf(t, test)
	nearly(t, 0.05, r.Final().Shaft().At[1].Up, 1e-12)
	nearly(t, 0, r.Final().Shaft().At[1].Along, 1e-12)
	assert.Equal(t, piping.FromShaft, r.Final().Shaft().Vertical)
	assert.Equal(t, unit.Length(0.05*strainMM), r.Final().Shaft().Axis.At(0).Vertical)
}
