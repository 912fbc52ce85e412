package whatif_test

import (
	"context"
	"math"
	"testing"

	"collinear.example/align"
	"collinear.example/uncertainty"
	"collinear.example/whatif"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// For f = x^2 + 3 y + x y the central difference is exact: 2 x + y and 3 + x. The
// curvature is 2 h^2 and 0.
func TestDerivativesOfQuadratic(t *testing.T) {
	s := plainStudy(func(p *pair) (float64, error) { return p.X*p.X + 3*p.Y + p.X*p.Y, nil })
	s.Job = pair{X: 2, Y: 5}
	d, err := s.Derivatives(context.Background(), whatif.StepOf("x", align.UnitOne, x, 0.5),
		whatif.StepOfSource(align.UnitOne, uncertainty.Vary("y", uncertainty.Normal(2.0), y)))
	require.NoError(t, err)
	assert.Equal(t, []float64{29}, d.Base)
	assert.Equal(t, []float64{0.5, 2}, d.Steps)
	assert.Equal(t, whatif.Effect{Low: 24.75, High: 33.75, Derivative: 9, Curvature: 0.5}, d.Effects[0][0])
	assert.Equal(t, whatif.Effect{Low: 19, High: 39, Derivative: 5, Curvature: 0}, d.Effects[1][0])
	assert.Equal(t, []int{1, 0}, d.Order(0))
}

// The move at the outboard foot is -4 + 2.8 x 34/D mil for dials D inches apart,
// and -(2.125 S) of the sag of the far bracket.
func TestDerivativesOfTwoDials(t *testing.T) {
	s := footStudy()
	d, err := s.Derivatives(context.Background(), whatif.StepOf("dial distance", align.UnitInch, farStation, 0.25*align.Inch))
	require.NoError(t, err)
	e := d.Effects[0][1]
	assert.InDelta(t, (-4+2.8*34/7.75)*0.0254e-3, e.Low, 1e-12)
	assert.InDelta(t, (-4+2.8*34/8.25)*0.0254e-3, e.High, 1e-12)
	assert.InDelta(t, -95.2/(64-0.0625), d.InUnits(0, 1), 1e-9)
	assert.InDelta(t, 95.2*(16/(64-0.0625)-0.25)*0.0254e-3, e.Curvature, 1e-12)
	assert.Equal(t, "mil/in", d.Unit(0, 1))
}

type warm struct {
	At   unit.Temperature
	Rise align.TempRise
}

// A derivative by a temperature is by a rise, and one of a temperature is of one.
func TestDerivativesOfTemperature(t *testing.T) {
	s := whatif.Study[warm, warm]{Job: warm{align.Celsius(50), 20},
		Compute: func(w *warm) (warm, error) { return *w, nil },
		Columns: []whatif.Column[warm]{
			whatif.Number("at", align.UnitFahrenheit, 1, func(w warm) unit.Temperature { return w.At + unit.Temperature(2*w.Rise) }),
			whatif.Number("slope", align.UnitMillimetrePerMetre, 3, func(w warm) float64 { return 1e-3 * float64(w.At) }),
		}}
	d, err := s.Derivatives(context.Background(),
		whatif.StepOf("casing", align.UnitCelsius, func(w *warm) *unit.Temperature { return &w.At }, 10),
		whatif.StepOf("rise", align.UnitFahrenheitRise, func(w *warm) *align.TempRise { return &w.Rise }, 9*align.FahrenheitRise))
	require.NoError(t, err)
	assert.Equal(t, "degF-rise/degC-rise", d.Unit(0, 0))
	assert.Equal(t, "(mm/m)/degC-rise", d.Unit(0, 1))
	assert.InDelta(t, 1.8, d.InUnits(0, 0), 1e-9)
	assert.InDelta(t, 1, d.InUnits(0, 1), 1e-9)
	assert.InDelta(t, 2, d.InUnits(1, 0), 1e-9)
	assert.Contains(t, d.String(), "9  degF-rise")
}

func TestDerivativeFaults(t *testing.T) {
	s := plainStudy(func(p *pair) (float64, error) {
		if p.X > 1 {
			return 0, errPlain
		}
		return 1 / (p.X + 2), nil
	})
	at := func(steps ...whatif.Step[pair]) error {
		_, err := s.Derivatives(context.Background(), steps...)
		return err
	}
	err := at(whatif.StepOf("x", align.UnitOne, x, 3))
	require.ErrorIs(t, err, uncertainty.ErrTrialFailed)
	err = at(whatif.StepOf("x", align.UnitOne, x, 2))
	require.ErrorIs(t, err, uncertainty.ErrTrialFailed)
	require.ErrorIs(t, err, align.ErrNotFinite)
	err = at(whatif.StepOf("x", align.UnitOne, x, 1.5))
	require.ErrorIs(t, err, errPlain)
	assert.Contains(t, err.Error(), "input x = a step of 1.5")
	require.ErrorIs(t, at(), align.ErrMissing)
	require.ErrorIs(t, at(whatif.StepOf("x", align.UnitOne, x, 0)), align.ErrOutOfRange)
	require.ErrorIs(t, at(whatif.StepOf("x", align.UnitOne, x, math.Inf(1))), align.ErrNotFinite)
	require.ErrorIs(t, at(whatif.StepOf("x", "", x, 1)), align.ErrUnknownUnit)
	require.ErrorIs(t, at(whatif.StepOf[pair, float64]("x", align.UnitOne, nil, 1)), align.ErrMissing)
	require.ErrorIs(t, at(whatif.StepOf("", align.UnitOne, x, 1)), align.ErrMissing)
	s.Columns = []whatif.Column[float64]{whatif.Text("w", func(float64) string { return "" })}
	require.ErrorIs(t, at(whatif.StepOf("x", align.UnitOne, x, 1)), uncertainty.ErrNoOutputs)
}
