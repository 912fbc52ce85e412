package thermal

import (
	"math"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

const mil = align.Mil

// up returns the axis that stands v1 high at station x1 and v2 at x2, in mils and
// inches.
func up(x1, v1, x2, v2 float64) align.Axis {
	a, err := align.AxisThrough(unit.Length(x1)*align.Inch, align.Offset{Vertical: unit.Length(v1) * mil},
		unit.Length(x2)*align.Inch, align.Offset{Vertical: unit.Length(v2) * mil})
	if err != nil {
		panic(err)
	}
	return a
}

// McMillan, Rotating Machinery, example 8-3: cold residual -2 and -7 mil, growth
// 3 and 8 mil, net 1 and 1 mil. The spacing of the feet cancels.
func TestPositionAddsColdAndGrowth(t *testing.T) {
	s := State{Near: align.Axis{}, Far: up(10, 3, 30, 8)}
	p, err := s.Position(up(10, -2, 30, -7))
	require.NoError(t, err)
	require.InDelta(t, 1, float64(p.At(10*align.Inch).Vertical/mil), 1e-12)
	require.InDelta(t, 1, float64(p.At(30*align.Inch).Vertical/mil), 1e-12)
}

// Whatever both shafts do alike changes nothing, and the target brings the state
// to zero.
func TestColdTargetCancels(t *testing.T) {
	common := up(0, 5, 40, -3)
	s := State{Near: up(0, 2, 40, 4).Add(common), Far: up(0, 9, 40, 1).Add(common)}
	c, err := s.ColdTarget()
	require.NoError(t, err)
	require.InDelta(t, -7, float64(c.At(0).Vertical/mil), 1e-12)
	require.InDelta(t, 3, float64(c.At(40*align.Inch).Vertical/mil), 1e-12)
	p, err := s.Position(c)
	require.NoError(t, err)
	require.InDelta(t, 0, float64(p.At(17).Vertical), 1e-15)
}

// A reader at the other side of the train: near and far change places.
func TestColdTargetMirrored(t *testing.T) {
	s := State{Near: up(0, 2, 40, 4), Far: up(0, 9, 40, 1)}
	s.Near.Horizontal = align.Line{Offset: 1e-4, Slope: 1e-4}
	turn := func(a align.Axis) align.Axis { // one shaft, not a difference: up stays up, right becomes left
		return align.Axis{
			Vertical:   align.Line{Offset: a.Vertical.Offset, Slope: -a.Vertical.Slope},
			Horizontal: align.Line{Offset: -a.Horizontal.Offset, Slope: a.Horizontal.Slope},
		}
	}
	a, err := s.ColdTarget()
	require.NoError(t, err)
	b, err := State{Near: turn(s.Far), Far: turn(s.Near)}.ColdTarget()
	require.NoError(t, err)
	require.Equal(t, a.Mirrored(), b)
}

// ITT Goulds 3196 manual, pp. 29-31: cold setting of the driver against the
// pumped temperature; the rows from 150 to 700 degF lie on one straight way.
func TestBetweenMeetsASettingTable(t *testing.T) {
	setting := func(in float64) State {
		return State{Near: align.Axis{Vertical: align.Line{Offset: unit.Length(in) * align.Inch}}}
	}
	low, high := setting(0.001), setting(0.023)
	for _, row := range []struct{ f, in float64 }{{250, 0.005}, {350, 0.009}, {450, 0.013}, {550, 0.017}, {650, 0.021}} {
		s, err := Between("", low, high, (row.f-150)/(700-150))
		require.NoError(t, err)
		c, err := s.ColdTarget() // the pump is near and rises: the driver is set high
		require.NoError(t, err)
		require.InDelta(t, row.in, float64(c.At(0).Vertical/align.Inch), 0.0005)
	}
}

func TestWarmUp(t *testing.T) {
	w := WarmUp{To: State{Far: up(0, 10, 40, 20)}, Constant: 1800}
	for after, fraction := range map[unit.Time]float64{0: 0, 1800: 1 - 1/math.E, 1e8: 1} {
		s, err := w.At("start", after)
		require.NoError(t, err)
		require.Equal(t, "start", s.Name)
		require.InDelta(t, 10*fraction, float64(s.Relative().At(0).Vertical/mil), 1e-12)
	}
	// Two steps of half an hour are one of an hour.
	half, err := w.At("", 1800)
	require.NoError(t, err)
	two, err := WarmUp{From: half, To: w.To, Constant: 1800}.At("", 1800)
	require.NoError(t, err)
	once, err := w.At("", 3600)
	require.NoError(t, err)
	require.InDelta(t, float64(once.Far.At(1).Vertical), float64(two.Far.At(1).Vertical), 1e-15)
}

func TestAmbientStates(t *testing.T) {
	a := Ambient{
		Base:    State{Near: up(0, 4, 40, 4), Far: up(0, 10, 40, 10)},
		PerRise: State{Near: up(0, -0.1, 40, -0.1), Far: up(0, -0.05, 40, -0.05)},
		Low:     -30 * align.CelsiusRise, High: 20 * align.CelsiusRise, LowName: "winter", HighName: "summer",
	}
	low, high, err := a.States()
	require.NoError(t, err)
	require.Equal(t, "winter", low.Name)
	require.InDelta(t, 6-1.5, float64(low.Relative().At(0).Vertical/mil), 1e-12)
	require.InDelta(t, 6+1, float64(high.Relative().At(0).Vertical/mil), 1e-12)

	a.Low, a.High = a.High, a.Low
	_, _, err = a.States()
	require.ErrorIs(t, err, align.ErrOutOfRange)
	a.Low = align.TempRise(math.NaN())
	_, _, err = a.States()
	require.ErrorIs(t, err, align.ErrNotFinite)
}

func TestStateErrors(t *testing.T) {
	nan := math.NaN()
	bad := State{Near: align.Axis{Vertical: align.Line{Slope: nan}}}
	_, err := bad.ColdTarget()
	require.ErrorIs(t, err, align.ErrNotFinite)
	require.Equal(t, "thermal: near.vertical.slope = NaN: is not a finite number", err.Error())
	_, err = State{Far: align.Axis{Horizontal: align.Line{Offset: 1e3}}}.ColdTarget()
	require.ErrorIs(t, err, align.ErrOutOfRange)
	_, err = State{}.Position(align.Axis{Horizontal: align.Line{Slope: 2}})
	require.ErrorIs(t, err, align.ErrOutOfRange)
	for _, f := range []float64{-0.1, 1.1} {
		_, err = Between("", State{}, State{}, f)
		require.ErrorIs(t, err, align.ErrOutOfRange)
	}
	_, err = Between("", State{}, State{}, nan)
	require.ErrorIs(t, err, align.ErrNotFinite)
	_, err = Between("", bad, State{}, 0.5)
	require.ErrorContains(t, err, "from.near.vertical.slope")
	_, err = Between("", State{}, bad, 0.5)
	require.ErrorContains(t, err, "to.near.vertical.slope")
	for _, c := range []struct {
		constant, after unit.Time
		want            error
	}{
		{0, 1, align.ErrOutOfRange}, {-1, 1, align.ErrNegative}, {unit.Time(nan), 1, align.ErrNotFinite},
		{1, -1, align.ErrNegative}, {1, unit.Time(nan), align.ErrNotFinite},
	} {
		_, err = WarmUp{Constant: c.constant}.At("", c.after)
		require.ErrorIs(t, err, c.want)
	}
}
