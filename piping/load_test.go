package piping_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"collinear.example/piping"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/unit"
)

func newtons(fx, fy, fz, mx, my, mz float64) piping.Load {
	return piping.Load{
		Force:  piping.Forces{X: unit.Force(fx), Y: unit.Force(fy), Z: unit.Force(fz)},
		Moment: piping.Moments{X: unit.Torque(mx), Y: unit.Torque(my), Z: unit.Torque(mz)},
	}
}

func loadParts(l piping.Load) [6]float64 {
	return [6]float64{
		float64(l.Force.X), float64(l.Force.Y), float64(l.Force.Z),
		float64(l.Moment.X), float64(l.Moment.Y), float64(l.Moment.Z),
	}
}

func requireLoad(t testing.TB, want, got piping.Load, tolerance float64) {
	t.Helper()
	w, g := loadParts(want), loadParts(got)
	require.InDeltaSlice(t, w[:], g[:], tolerance)
}

func randomLoad(r *rand.Rand) piping.Load {
	return newtons(r.NormFloat64()*900, r.NormFloat64()*900, r.NormFloat64()*900,
		r.NormFloat64()*400, r.NormFloat64()*400, r.NormFloat64()*400)
}

// The moment of a moved load is that of gonum's cross product, and the way back
// undoes the way there.
func TestMovedLoad(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 41))
	for range 200 {
		l := randomLoad(r)
		arm := align.Displacement{X: unit.Length(r.NormFloat64()), Y: unit.Length(r.NormFloat64()), Z: unit.Length(r.NormFloat64())}
		got := l.Moved(arm)
		cross := r3.Cross(r3.Vec{X: float64(arm.X), Y: float64(arm.Y), Z: float64(arm.Z)},
			r3.Vec{X: float64(l.Force.X), Y: float64(l.Force.Y), Z: float64(l.Force.Z)})
		require.Equal(t, l.Force, got.Force)
		require.InDelta(t, float64(l.Moment.X)+cross.X, float64(got.Moment.X), 1e-9)
		require.InDelta(t, float64(l.Moment.Y)+cross.Y, float64(got.Moment.Y), 1e-9)
		require.InDelta(t, float64(l.Moment.Z)+cross.Z, float64(got.Moment.Z), 1e-9)
		requireLoad(t, l, got.Moved(arm.Scale(-1)), 1e-9)
	}
}

// A weight of 100 N a metre along +x turns the near end up: about z by -100 N.m.
func TestMovedLoadSign(t *testing.T) {
	l := newtons(0, -100, 0, 0, 0, 0).Moved(align.Displacement{X: 1})
	requireLoad(t, newtons(0, -100, 0, 0, 0, -100), l, 0)
}

// The axes of API 610 are right-handed: moving a load in them by the same rule
// gives what moving it in the frame of the train gives.
func TestAPI610AxesAreRightHanded(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 17))
	for range 100 {
		l := randomLoad(r)
		require.Equal(t, l, piping.FromAPI610Axes(l.API610Axes()))
		arm := align.Displacement{X: 0.3, Y: -0.7, Z: 1.1}
		f, m := l.API610Axes()
		a := [3]float64{float64(arm.X), -float64(arm.Z), float64(arm.Y)}
		_, moved := l.Moved(arm).API610Axes()
		require.InDelta(t, float64(m[0])+a[1]*float64(f[2])-a[2]*float64(f[1]), float64(moved[0]), 1e-9)
		require.InDelta(t, float64(m[1])+a[2]*float64(f[0])-a[0]*float64(f[2]), float64(moved[1]), 1e-9)
		require.InDelta(t, float64(m[2])+a[0]*float64(f[1])-a[1]*float64(f[0]), float64(moved[2]), 1e-9)
	}
}

func nozzleOf(t testing.TB, nps float64, port piping.Port, u piping.UnitSystem) piping.API610Nozzle {
	t.Helper()
	n, err := piping.API610(nps, port, u)
	require.NoError(t, err)
	return n
}

// The US and the SI table are one table: the components are rounded apart by no
// more than one per cent.
func TestNozzleTablesAgree(t *testing.T) {
	for _, nps := range []float64{2, 3, 4, 6, 8, 10, 12, 14, 16} {
		for port := piping.TopNozzle; port <= piping.EndNozzle; port++ {
			us, si := nozzleOf(t, nps, port, piping.USCustomary), nozzleOf(t, nps, port, piping.SI)
			for _, p := range [][2]float64{
				{align.UnitPoundForce.SI(us.FX), si.FX}, {align.UnitPoundForce.SI(us.FY), si.FY},
				{align.UnitPoundForce.SI(us.FZ), si.FZ}, {align.UnitPoundForceFoot.SI(us.MX), si.MX},
				{align.UnitPoundForceFoot.SI(us.MY), si.MY}, {align.UnitPoundForceFoot.SI(us.MZ), si.MZ},
			} {
				require.InEpsilon(t, p[1], p[0], 0.01)
			}
			// The printed US resultants are rounded by up to 1.6 per cent from their components.
			require.InEpsilon(t, si.FR, align.UnitPoundForce.SI(us.FR), 0.02)
			require.InEpsilon(t, si.MR, align.UnitPoundForceFoot.SI(us.MR), 0.02)
		}
	}
}

// Printed resultants are those of the printed components to their rounding, and
// the largest force lies along the nozzle.
func TestNozzleTablesHangTogether(t *testing.T) {
	for _, nps := range []float64{2, 3, 4, 6, 8, 10, 12, 14, 16} {
		for _, u := range []piping.UnitSystem{piping.USCustomary, piping.SI} {
			for port := piping.TopNozzle; port <= piping.EndNozzle; port++ {
				n := nozzleOf(t, nps, port, u)
				require.InEpsilon(t, math.Hypot(math.Hypot(n.FX, n.FY), n.FZ), n.FR, 0.017)
				require.InEpsilon(t, math.Hypot(math.Hypot(n.MX, n.MY), n.MZ), n.MR, 0.017)
				along := map[piping.Port]float64{piping.TopNozzle: n.FZ, piping.SideNozzle: n.FY, piping.EndNozzle: n.FX}
				require.Equal(t, max(n.FX, n.FY, n.FZ), along[port])
			}
		}
	}
}

// The sign of a load, and the side of the train it is seen from, do not matter
// to the table.
func TestNozzleVerdictsMirror(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 2))
	n := nozzleOf(t, 6, piping.SideNozzle, piping.SI)
	for range 50 {
		l := randomLoad(r)
		want, err := n.JudgeNozzle(l)
		require.NoError(t, err)
		neg, err := n.JudgeNozzle(l.Scale(-1))
		require.NoError(t, err)
		require.Equal(t, want, neg)
		p := loadParts(l)
		mirror, err := n.JudgeNozzle(newtons(p[0], p[1], -p[2], -p[3], -p[4], p[5]))
		require.NoError(t, err)
		require.Equal(t, want, mirror)
	}
}

// A pump judged about its centre does not care which nozzle is called suction.
func TestPumpNozzlesSwap(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 8))
	for range 50 {
		p := piping.API610Pump{
			Suction:   piping.PumpConnection{Nozzle: nozzleOf(t, 8, piping.EndNozzle, piping.SI), Load: randomLoad(r), Centre: align.Displacement{X: 0.2}},
			Discharge: piping.PumpConnection{Nozzle: nozzleOf(t, 6, piping.TopNozzle, piping.SI), Load: randomLoad(r), Centre: align.Displacement{Y: 0.3, Z: 0.1}},
		}
		a, err := p.Judge()
		require.NoError(t, err)
		p.Suction, p.Discharge = p.Discharge, p.Suction
		b, err := p.Judge()
		require.NoError(t, err)
		requireLoad(t, a.Centre, b.Centre, 1e-9)
		require.Equal(t, a.Suction, b.Discharge)
		require.InDelta(t, a.SuctionShares.Measured, b.DischargeShares.Measured, 0)
		require.Len(t, a.Verdicts(), 17)
	}
}

// The limits of API 617 are 1.85 times those of NEMA SM 23 to their rounding, in
// both unit systems.
func TestAPI617IsAMultipleOfNEMA(t *testing.T) {
	us, err := piping.API617(piping.USCustomary)
	require.NoError(t, err)
	si, err := piping.API617(piping.SI)
	require.NoError(t, err)
	scaled, err := piping.NEMASM23().Scaled(1.85, "test")
	require.NoError(t, err)
	c := piping.Connection{Nominal: 6 * align.Inch, Load: newtons(300, 200, -100, 50, 60, 70)}
	want, err := scaled.JudgeCombined([]piping.Connection{c})
	require.NoError(t, err)
	for _, rule := range []piping.ConnectionRule{us, si} {
		got, err := rule.JudgeCombined([]piping.Connection{c})
		require.NoError(t, err)
		require.InEpsilon(t, want.Resultant.Share(), got.Resultant.Share(), 0.005)
		for i := range got.Parts {
			require.InEpsilon(t, want.Parts[i].Share(), got.Parts[i].Share(), 0.01)
		}
		single, err := rule.JudgeSingle(c)
		require.NoError(t, err)
		nema, err := scaled.JudgeSingle(c)
		require.NoError(t, err)
		require.InEpsilon(t, nema.Share(), single.Share(), 0.005)
	}
}

// Where the loads are given at the point of the rule or elsewhere is the same.
func TestConnectionsDatumShift(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	rule := piping.NEMASM23()
	for range 50 {
		a := piping.Connection{Nominal: 4 * align.Inch, Load: randomLoad(r), Centre: align.Displacement{X: 0.4, Y: 0.6, Z: -0.2}}
		b := piping.Connection{Nominal: 8 * align.Inch, Load: randomLoad(r)}
		want, err := rule.JudgeCombined([]piping.Connection{a, b})
		require.NoError(t, err)
		a.Load, a.Centre = a.Load.Moved(a.Centre), align.Displacement{}
		got, err := rule.JudgeCombined([]piping.Connection{b, a})
		require.NoError(t, err)
		requireLoad(t, want.Load, got.Load, 1e-9)
		require.Equal(t, want.Resultant.Within, got.Resultant.Within)
		require.Len(t, got.Verdicts(), 7)
	}
}

func TestNothingJudgedIsNotWithin(t *testing.T) {
	require.False(t, piping.AllWithin(nil))
	_, ok := piping.LargestShare(nil)
	require.False(t, ok)
}
