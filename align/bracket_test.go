package align_test

import (
	"math"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// integrate works out droop and end slope by integrating the curvature M/EI of
// a cantilever twice, step by step: slow, and independent of the closed form.
func integrate(length, w, p, ei float64) (droop, slope float64) {
	const n = 20000
	h := length / n
	for i := range n {
		x := (float64(i) + 0.5) * h // midpoint of the step, from the clamp
		rest := length - x
		moment := w*rest*rest/2 + p*rest
		slope += moment / ei * h
		droop += moment / ei * h * rest // each bend tips the rest of the bar
	}
	return droop, slope
}

func TestPredictSagAgainstIntegration(t *testing.T) {
	for _, b := range []align.Bracket{
		{Length: 300 * align.Millimetre, OuterDiameter: 12 * align.Millimetre, Material: align.SteelBar(), EndMass: 0.25},
		{Length: 24 * align.Inch, OuterDiameter: 1 * align.Inch, InnerDiameter: 0.8 * align.Inch, Bars: 2, Material: align.AluminiumBar(), EndMass: 0.4},
		{Length: 1.2, OuterDiameter: 40 * align.Millimetre, InnerDiameter: 36 * align.Millimetre, Material: align.CarbonBar()},
	} {
		got, err := b.PredictSag()
		require.NoError(t, err)
		bars := math.Max(1, float64(b.Bars))
		d, in := float64(b.OuterDiameter), float64(b.InnerDiameter)
		// Second moment of area as a sum over thin rings, not by the closed form.
		second, area := 0.0, 0.0
		const rings = 20000
		for i := range rings {
			r := in/2 + (d-in)/2*(float64(i)+0.5)/rings
			dr := (d - in) / 2 / rings
			second += math.Pi * r * r * r * dr
			area += 2 * math.Pi * r * dr
		}
		droop, slope := integrate(float64(b.Length), bars*area*b.Material.Density*9.80665, float64(b.EndMass)*9.80665, bars*second*float64(b.Material.Modulus))
		assert.InEpsilon(t, droop, float64(got.Droop), 1e-6)
		assert.InEpsilon(t, slope, got.EndSlope, 1e-6)
		assert.InDelta(t, -2*droop, float64(got.RollOver()), 1e-9)
	}
}

func TestPredictSagGrowsAsTheFourthPower(t *testing.T) {
	b := align.Bracket{Length: 0.3, OuterDiameter: 0.02, Material: align.SteelBar()}
	short, err := b.PredictSag()
	require.NoError(t, err)
	b.Length *= 2
	long, err := b.PredictSag()
	require.NoError(t, err)
	assert.InEpsilon(t, 16, float64(long.Droop/short.Droop), 1e-12)
	b.Bars = 3 // bars side by side share their own weight alike
	three, err := b.PredictSag()
	require.NoError(t, err)
	assert.InEpsilon(t, float64(long.Droop), float64(three.Droop), 1e-12)
}

func TestPredictSagRefuses(t *testing.T) {
	good := align.Bracket{Length: 0.3, OuterDiameter: 0.02, InnerDiameter: 0.01, Material: align.SteelBar(), EndMass: 0.2}
	for name, c := range map[string]struct {
		spoil func(*align.Bracket)
		want  error
		field string
	}{
		"length":    {func(b *align.Bracket) { b.Length = 0 }, align.ErrOutOfRange, "length"},
		"length ∞":  {func(b *align.Bracket) { b.Length = unit.Length(math.Inf(1)) }, align.ErrNotFinite, "length"},
		"outer":     {func(b *align.Bracket) { b.OuterDiameter = 0 }, align.ErrZeroDiameter, "outerDiameter"},
		"inner":     {func(b *align.Bracket) { b.InnerDiameter = 0.02 }, align.ErrOutOfRange, "innerDiameter"},
		"inner < 0": {func(b *align.Bracket) { b.InnerDiameter = -0.01 }, align.ErrNegative, "innerDiameter"},
		"bars":      {func(b *align.Bracket) { b.Bars = -1 }, align.ErrNegative, "bars"},
		"modulus":   {func(b *align.Bracket) { b.Material.Modulus = 0 }, align.ErrOutOfRange, "material.modulus"},
		"density":   {func(b *align.Bracket) { b.Material.Density = math.NaN() }, align.ErrNotFinite, "material.density"},
		"mass":      {func(b *align.Bracket) { b.EndMass = -1 }, align.ErrNegative, "endMass"},
		"mass nan":  {func(b *align.Bracket) { b.EndMass = unit.Mass(math.NaN()) }, align.ErrNotFinite, "endMass"},
		"overflow":  {func(b *align.Bracket) { b.Length = 1e80 }, align.ErrOutOfRange, "bracket"},
	} {
		t.Run(name, func(t *testing.T) {
			b := good
			c.spoil(&b)
			_, err := b.PredictSag()
			require.ErrorIs(t, err, c.want)
			assert.Contains(t, err.Error(), c.field)
		})
	}
}

func TestCheckSagAgainstPrediction(t *testing.T) {
	p := align.PredictedSag{Droop: 0.05 * align.Millimetre} // roll-over -0.10 mm
	codes := func(s align.Sag) (out []align.WarningCode) {
		for _, w := range p.CheckSag(s) {
			out = append(out, w.Code)
		}
		return out
	}
	assert.Empty(t, codes(align.RollOver(-0.12*align.Millimetre)))
	assert.Empty(t, codes(align.SingleDeflection(-0.06*align.Millimetre)))
	assert.Equal(t, []align.WarningCode{align.WarnSagNotMeasured}, codes(align.Sag{}))
	assert.Equal(t, []align.WarningCode{align.WarnSagPositive}, codes(align.RollOver(0.1*align.Millimetre)))
	assert.Equal(t, []align.WarningCode{align.WarnSagSize}, codes(align.RollOver(-0.06*align.Millimetre)), "read once, not rolled over")
	assert.Equal(t, []align.WarningCode{align.WarnSagSize}, codes(align.RollOver(-0.6*align.Millimetre)), "loose clamp")
	assert.Equal(t, []align.WarningCode{align.WarnSagSize}, codes(align.NoSag()))
}
