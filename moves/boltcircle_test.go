package moves_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"collinear.example/moves"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/unit"
)

func randomCircle(rnd *rand.Rand) moves.BoltCircle {
	return moves.BoltCircle{Station: unit.Length(rnd.Float64()), Diameter: unit.Length(0.2 + rnd.Float64()), Bolts: 3 + rnd.IntN(10),
		First: align.Clock(360 * rnd.Float64()), Before: rnd.IntN(2) == 0}
}

// The flange lies on the tops of its shims: the normal of the plane through three
// of them is the new direction of the shaft, exactly.
func TestBoltShimsAgainstTheNormalOfThePlane(t *testing.T) {
	rnd := rand.New(rand.NewPCG(41, 42))
	for range 500 {
		b := randomCircle(rnd)
		want := align.Slope{Vertical: rnd.NormFloat64() * 1e-3, Horizontal: rnd.NormFloat64() * 1e-3}
		s, err := b.Shims(want)
		require.NoError(t, err)
		top := func(i int) r3.Vec {
			x := float64(s.Bolts[i].Shim)
			if b.Before {
				x = -x
			}
			sin, cos := math.Sincos(float64(s.Bolts[i].Clock) * math.Pi / 180)
			r := float64(b.Diameter) / 2
			return r3.Vec{X: x, Y: r * cos, Z: r * sin}
		}
		n := r3.Cross(r3.Sub(top(1), top(0)), r3.Sub(top(2), top(0)))
		require.InDelta(t, want.Vertical, n.Y/n.X, 1e-10)
		require.InDelta(t, want.Horizontal, n.Z/n.X, 1e-10)
		least := math.Inf(1)
		var mean float64
		for i, v := range s.Bolts {
			least = min(least, float64(v.Shim))
			mean += top(i).X / float64(b.Bolts)
			by, err := moves.FaceShim{Reading: unit.Length(want.Resultant()) * b.Diameter, Diameter: b.Diameter, Distance: v.FromZero}.Shim()
			require.NoError(t, err)
			require.InDelta(t, float64(by), float64(v.Shim), 1e-12, "the rule by hand")
		}
		require.Zero(t, least)
		require.InDelta(t, mean, float64(s.Along), 1e-12)
	}
}

// Harlon, A Millwright's Guide to Motor/Pump Alignment, 2nd ed.: 0.012 in over a
// 12 in sweep, a bolt 6 in from the one without a shim takes 0.006 in.
func TestFaceShimPublished(t *testing.T) {
	v, err := moves.FaceShim{Reading: 0.012 * align.Inch, Diameter: 12 * align.Inch, Distance: 6 * align.Inch}.Shim()
	require.NoError(t, err)
	require.InDelta(t, 0.006, float64(v/align.Inch), 1e-12)
}

func TestBoltShimsRounded(t *testing.T) {
	rnd := rand.New(rand.NewPCG(43, 44))
	const step = 2.5e-5
	for range 300 {
		b := randomCircle(rnd)
		s, err := b.Shims(align.Slope{Vertical: rnd.NormFloat64() * 1e-3, Horizontal: rnd.NormFloat64() * 1e-3})
		require.NoError(t, err)
		r, err := b.Round(s, step)
		require.NoError(t, err)
		least := math.Inf(1)
		for _, v := range r.Bolts {
			whole := float64(v.Shim / step)
			require.InDelta(t, math.Round(whole), whole, 1e-9)
			least = min(least, whole)
		}
		require.Zero(t, least)
		// Oracle: a thousand lifts, each rounded and fitted by its feet.
		best := math.Inf(1)
		for k := range 1000 {
			lift := float64(k) / 1000
			var up, right float64
			for i, v := range s.Bolts {
				h := math.Round(float64(v.Shim/step)+lift) * step
				sin, cos := math.Sincos(float64(b.Clock(i)) * math.Pi / 180)
				up, right = up+2*h*cos/float64(b.Bolts), right+2*h*sin/float64(b.Bolts)
			}
			away := 1.0
			if b.Before {
				away = -1
			}
			radius := float64(b.Diameter) / 2
			best = min(best, math.Hypot(-away*up-s.Slope.Vertical*radius, -away*right-s.Slope.Horizontal*radius))
		}
		require.LessOrEqual(t, float64(r.Off), best+1e-9)
	}
}

func TestBoltCircleInATrain(t *testing.T) {
	b := moves.BoltCircle{Station: 0.2, Diameter: 0.5, Bolts: 8, First: 22.5}
	m, err := b.Machine("motor", 0.5e-3)
	require.NoError(t, err)
	found := align.Axis{Vertical: align.Line{Offset: 0.2e-3, Slope: 0.4e-3}, Horizontal: align.Line{Offset: -0.1e-3, Slope: -0.2e-3}}
	train := moves.Train{
		Machines:  []moves.Machine{{Name: "pump"}, m},
		Couplings: []moves.Coupling{{Far: moves.ShaftOf{Machine: 1}, Found: found, Offsets: moves.FlexPlanes(0, 0.1, 1e-3, false, "")}},
	}
	// The motion that takes all of it away, and the shims that make it.
	o := found.At(b.Station)
	motion := align.Motion{About: m.About, Shift: align.Displacement{Y: -o.Vertical, Z: -o.Horizontal},
		Turn: align.Turn{Y: found.Horizontal.Slope, Z: -found.Vertical.Slope}}
	e, err := train.Evaluate([]align.Motion{{}, motion})
	require.NoError(t, err)
	require.InDelta(t, 0, e.WorstCoupling, 1e-9)
	require.True(t, e.Within(), "the tilt takes nothing of the room in the holes")
	s, err := b.ShimsFor(motion)
	require.NoError(t, err)
	require.InDelta(t, -float64(o.Vertical), float64(s.Sideways.Vertical), 1e-15)
	for i, v := range s.Bolts {
		require.InDelta(t, float64(motion.At(b.Place(i)).X-motion.At(b.Place(0)).X), float64(v.Shim-s.Bolts[0].Shim), 1e-15)
	}
}

func TestBoltCircleRefuses(t *testing.T) {
	good := moves.BoltCircle{Diameter: 0.5, Bolts: 4}
	for code, b := range map[string]moves.BoltCircle{
		"zero-diameter": {Bolts: 4},
		"out-of-range":  {Diameter: 0.5, Bolts: 2},
		"not-finite":    {Diameter: 0.5, Bolts: 4, First: align.Clock(math.NaN())},
	} {
		require.Equal(t, code, align.CodeOf(b.Check()))
		_, err := b.Shims(align.Slope{})
		require.Error(t, err)
		_, err = b.Machine("", 0)
		require.Error(t, err)
		_, err = b.Round(moves.FlangeShims{}, 1e-4)
		require.Error(t, err)
	}
	require.Error(t, moves.BoltCircle{Diameter: 0.5, Bolts: 65}.Check())
	require.Error(t, moves.BoltCircle{Diameter: -0.5, Bolts: 5}.Check())
	_, err := good.Shims(align.Slope{Vertical: math.NaN()})
	require.Equal(t, "not-finite", align.CodeOf(err))
	_, err = good.Shims(align.Slope{Horizontal: 0.2})
	require.Equal(t, "out-of-range", align.CodeOf(err))
	_, err = good.Machine("", -1)
	require.Equal(t, "negative", align.CodeOf(err))
	_, err = moves.BoltCircle{Diameter: 0.5, Bolts: 17}.Machine("", 1e-3)
	require.Equal(t, "out-of-range", align.CodeOf(err))
	s, err := good.Shims(align.Slope{})
	require.NoError(t, err)
	require.Zero(t, s.Bolts[2].Shim)
	_, err = good.Round(s, 0)
	require.Equal(t, "out-of-range", align.CodeOf(err))
	s.Bolts[1].Shim = -1
	_, err = good.Round(s, 1e-4)
	require.Equal(t, "negative", align.CodeOf(err))
	for code, f := range map[string]moves.FaceShim{
		"zero-diameter": {Reading: 1e-3},
		"negative":      {Reading: -1e-3, Diameter: 0.3},
		"not-finite":    {Reading: 1e-3, Diameter: 0.3, Distance: unit.Length(math.Inf(1))},
	} {
		_, err := f.Shim()
		require.Equal(t, code, align.CodeOf(err))
	}
}

func BenchmarkBoltShims(b *testing.B) {
	c := moves.BoltCircle{Diameter: 0.5, Bolts: 12}
	b.ReportAllocs()
	for b.Loop() {
		s, err := c.Shims(align.Slope{Vertical: 1e-3, Horizontal: -4e-4})
		if err != nil {
			b.Fatal(err)
		}
		if _, err := c.Round(s, 2.5e-5); err != nil {
			b.Fatal(err)
		}
	}
}

func ExampleBoltCircle_Shims() {
	// A motor on a 20 in circle of four bolts leans by 1 mil/in toward 12 o'clock.
	b := moves.BoltCircle{Diameter: 20 * align.Inch, Bolts: 4}
	s, err := b.Shims(align.Slope{Vertical: -align.MilPerInch})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, v := range s.Bolts {
		fmt.Printf("%s at %.0f degrees\n", align.UnitMil.Format(float64(v.Shim), 1), float64(v.Clock))
	}
	// Output:
	// 20.0 mil at 0 degrees
	// 10.0 mil at 90 degrees
	// 0.0 mil at 180 degrees
	// 10.0 mil at 270 degrees
}
