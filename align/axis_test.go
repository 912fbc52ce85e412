package align_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

func TestAxisArithmetic(t *testing.T) {
	r := rand.New(rand.NewPCG(61, 1))
	for range 50 {
		a, b := randomAxis(r), randomAxis(r)
		x := unit.Length(between(r, -2, 2))
		requireAxis(t, a, a.Add(b).Sub(b), 1e-16)
		requireAxis(t, a.Neg(), align.Axis{}.Sub(a), 1e-18)
		requireAxis(t, a, a.Mirrored().Mirrored(), 0)
		requireAxis(t, a, a.Shifted(x).Shifted(-x), 1e-16)
		got := a.Shifted(x).At(0)
		assert.InDelta(t, 0, float64(got.Sub(a.At(x)).Resultant()), 1e-16)
		through, err := align.AxisThrough(-1, a.At(-1), x+2, a.At(x+2))
		require.NoError(t, err)
		requireAxis(t, a, through, 1e-14)
		assert.Equal(t, align.Slope{Vertical: a.Vertical.Slope, Horizontal: a.Horizontal.Slope}, a.Slope())
		// near and far, left and right, and the sign of stations all change
		m := a.Mirrored().At(-x)
		assert.InDelta(t, float64(-a.At(x).Vertical), float64(m.Vertical), 1e-16)
		assert.InDelta(t, float64(a.At(x).Horizontal), float64(m.Horizontal), 1e-16)
	}
}

func TestOffset(t *testing.T) {
	o := align.Offset{Vertical: -3e-5, Horizontal: 4e-5}
	assert.InDelta(t, 5e-5, float64(o.Resultant()), 1e-18)
	assert.InDelta(t, 5e-4, align.Slope{Vertical: -3e-4, Horizontal: 4e-4}.Resultant(), 1e-17)
	for _, c := range []struct {
		up, right unit.Length
		at        align.Clock
	}{{1, 0, 0}, {1, 1, 45}, {0, 1, 90}, {-1, 0, 180}, {0, -1, 270}, {1, -1, 315}, {0, 0, 0}} {
		assert.InDelta(t, float64(c.at), float64(align.Offset{Vertical: c.up, Horizontal: c.right}.Clock()), 1e-12)
	}
	assert.Equal(t, "0.030 mm low, 0.040 mm to the right", o.String())
	assert.Equal(t, "1.2 mil high, 1.6 mil to the left", o.Neg().In(align.UnitMil, 1))
	assert.Equal(t, "0.0 mil high, 0.0 mil to the right", align.Offset{}.In(align.UnitMil, 1))
	assert.Equal(t, o, o.Scale(2).Sub(o))
}

func TestLinesInWords(t *testing.T) {
	l := align.Line{Offset: 0.1 * align.Millimetre, Slope: -0.25 * align.MillimetrePerMetre}
	assert.Equal(t, "0.1000 mm at station 0, slope -0.2500 mm/m", l.String())
	assert.Equal(t, "vertical "+l.String()+"; horizontal "+l.Neg().String(), align.Axis{Vertical: l, Horizontal: l.Neg()}.String())
	assert.Equal(t, "vertical 0.0010 mm, horizontal 0.0020 mm", align.Spread{Vertical: 1e-6, Horizontal: 2e-6}.String())
}

func TestMovesInWords(t *testing.T) {
	for _, c := range []struct {
		v, h float64 // mils
		want string
	}{
		{4, -1.5, "add 4.0 mil, move 1.5 mil toward 9 o'clock"},
		{-2, 3, "take out 2.0 mil, move 3.0 mil toward 3 o'clock"},
		{0, 0, "leave the shims, leave sideways"},
		{0.04, -0.04, "leave the shims, leave sideways"},
		{-0.06, 0.06, "take out 0.1 mil, move 0.1 mil toward 3 o'clock"},
	} {
		m := align.Move{Vertical: unit.Length(c.v) * align.Mil, Horizontal: unit.Length(c.h) * align.Mil}
		assert.Equal(t, c.want, m.Words(align.UnitMil, 1))
	}
	assert.Equal(t, "add 0.12 mm, move 0.05 mm toward 3 o'clock", align.Move{Vertical: 0.12e-3, Horizontal: 0.05e-3}.String())
}

func TestKindsInWords(t *testing.T) {
	for _, c := range []struct{ want, got string }{
		{"rim", align.Rim.String()},
		{"face toward the bracket", align.FaceToward.String()},
		{"face away from the bracket", align.FaceAway.String()},
		{"near", align.Near.String()},
		{"far", align.Far.String()},
		{"both shafts", align.BothShafts.String()},
		{"bracket's shaft only", align.BracketShaft.String()},
		{"touched shaft only", align.TouchedShaft.String()},
		{"shaft to shaft", align.ShaftToShaft.String()},
		{"near shaft to spool", align.NearToSpool.String()},
		{"far shaft to spool", align.FarToSpool.String()},
	} {
		assert.Equal(t, c.want, c.got)
	}
	assert.Equal(t, align.Far, align.Near.Other())
	assert.Equal(t, align.Near, align.Far.Other())
}

// Straightedge and gaps against points of two cylinders, whatever the hubs'
// diameters are.
func TestStraightedgeAndGapsAgainstGeometry(t *testing.T) {
	r := rand.New(rand.NewPCG(62, 1))
	for range 50 {
		a := randomAxis(r)
		rn, rf := between(r, 0.05, 0.1), between(r, 0.05, 0.1)
		x := unit.Length(0.1)
		e := a.At(x)
		under := func(e unit.Length) unit.Length { return unit.Length(rn) - (unit.Length(rf) + e) }
		g := align.StraightedgeGaps{
			Top: under(e.Vertical), Bottom: under(-e.Vertical), Right: under(e.Horizontal), Left: under(-e.Horizontal),
		}
		o := g.Offset()
		require.InDelta(t, float64(e.Vertical), float64(o.Vertical), 1e-15)
		require.InDelta(t, float64(e.Horizontal), float64(o.Horizontal), 1e-15)

		// The far face is square to its shaft: at height h it stands -slope*h away
		// from the near one.
		const radius = 0.06
		face := func(slope, h float64) unit.Length { return unit.Length(3e-3 - slope*h) }
		f := align.FaceGaps{
			Diameter: 2 * radius,
			Top:      face(a.Vertical.Slope, radius), Bottom: face(a.Vertical.Slope, -radius),
			Right: face(a.Horizontal.Slope, radius), Left: face(a.Horizontal.Slope, -radius),
			Sigma: 1e-5,
		}
		k, err := f.Slope()
		require.NoError(t, err)
		require.InDelta(t, a.Vertical.Slope, k.Slope.Vertical, 1e-14)
		require.InDelta(t, a.Horizontal.Slope, k.Slope.Horizontal, 1e-14)
		require.InEpsilon(t, math.Sqrt2*1e-5, float64(k.Sigma), 1e-12)
	}
}

func TestMovesBringTheShaftsIntoLine(t *testing.T) {
	r := rand.New(rand.NewPCG(17, 18))
	feet := align.Feet{Inboard: 0.5, Outboard: 1.4}
	for range 100 {
		a, target := randomAxis(r), randomAxis(r)
		off := a.Sub(target)
		left, err := a.AfterFar(feet, off.MoveFarFeet(feet))
		require.NoError(t, err)
		requireAxis(t, target, left, 1e-15)
		left, err = a.AfterNear(feet, off.MoveNearFeet(feet))
		require.NoError(t, err)
		requireAxis(t, target, left, 1e-15)
	}
	_, err := align.Axis{}.AfterFar(align.Feet{}, align.FootMoves{})
	require.ErrorIs(t, err, align.ErrCoincident)
	_, err = align.Axis{}.AfterNear(align.Feet{}, align.FootMoves{})
	require.ErrorIs(t, err, align.ErrCoincident)
}
