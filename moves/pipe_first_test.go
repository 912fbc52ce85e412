package moves_test

import (
	"context"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"collinear.example/moves"
	"collinear.example/piping"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// The ways that are compared, of trains so small that each is worked out by hand.

// pipedPump is a pump that may go up and down, whose flange above it has a gap
// that is 0.4 mm too wide, beside a motor that may do the same. They stand in line.
func pipedPump(t *testing.T, tolerance, limit unit.Length) *moves.Train {
	gasket := 3 * align.Millimetre
	goal, err := piping.Misfit{
		Pair: piping.FlangePair{Name: "discharge", Centre: align.Place{Y: 0.5}, Axis: align.Upward(), Up: align.AlongTrain()},
		Mean: gasket + 0.4e-3, Gasket: &gasket, Offset: &piping.Across{},
	}.Goal(piping.GoalTolerance{Gap: tolerance, Offset: 1e-3, Tilt: 1e-3})
	require.NoError(t, err)
	up := piping.Ways{ShiftY: true}
	return &moves.Train{
		Machines: []moves.Machine{
			{Name: "pump", Free: up, Feet: []moves.Foot{{At: align.Place{X: -1}}}, Goals: []piping.NozzleGoal{goal}},
			{Name: "motor", Free: up, Feet: []moves.Foot{{At: align.Place{X: 1}}}},
		},
		Couplings: []moves.Coupling{{Far: moves.ShaftOf{Machine: 1}, Offsets: []moves.OffsetLimit{{Limit: limit}}}},
	}
}

// waysOf returns the ways by their names.
func waysOf(t *testing.T, train *moves.Train) map[string]moves.Way {
	ways, err := train.Alternatives(context.Background(), moves.Options{})
	require.NoError(t, err)
	out := map[string]moves.Way{}
	for _, w := range ways {
		out[w.Name] = w
	}
	return out
}

// What the pump and the motor do, up, and the shares of limit and tolerance that
// are left. Tolerance 0.1 mm, limit 0.2 mm.
type byHand struct{ pump, motor, coupling, flange float64 }

func (b byHand) of(t *testing.T, w moves.Way) {
	t.Helper()
	const near = 1e-9
	assert.InDelta(t, b.pump, float64(w.Motions[0].Shift.Y), near, w.Name)
	assert.InDelta(t, b.motor, float64(w.Motions[1].Shift.Y), near, w.Name)
	assert.InDelta(t, b.coupling, w.WorstCoupling, 1e-5, w.Name)
	assert.InDelta(t, b.flange, w.WorstFlange, 1e-5, w.Name)
}

// All may move as far as they like: alignment first leaves everything where it
// stands, with the flange off by four times its tolerance; pipe first closes the
// gap with the pump, and the motor follows it; together both fit as well.
func TestWaysByHand(t *testing.T) {
	train := pipedPump(t, 0.1e-3, 0.2e-3)
	w := waysOf(t, train)
	byHand{0, 0, 0, 4}.of(t, w["alignment first"])
	byHand{0.4e-3, 0.4e-3, 0, 0}.of(t, w["pipe first"])
	byHand{0.4e-3, 0.4e-3, 0, 0}.of(t, w["both together"])
	for _, name := range []string{"alignment first", "pipe first", "both together"} {
		assert.True(t, w[name].Feasible, name)
		assert.True(t, w[name].Proved, name)
		assert.Len(t, w[name].Flanges, 1)
		assert.Equal(t, "discharge", w[name].Flanges[0].Name)
		assert.Equal(t, 0, w[name].Flanges[0].Machine)
	}
}

// The motor has room for 0.1 mm: pipe first leaves 0.3 mm at the coupling, 1.5 of
// its limit, and cannot be used. Together shares are alike: with x of the pump,
// (0.4 - x)/0.1 = (x - 0.1)/0.2 is x = 0.3 mm and a share of 1.
func TestWaysOfAMotorThatIsHeld(t *testing.T) {
	train := pipedPump(t, 0.1e-3, 0.2e-3)
	train.Machines[1].Feet[0].Range = moves.Within(0.1e-3, 0.1e-3, 0, 0)
	w := waysOf(t, train)
	byHand{0.4e-3, 0.1e-3, 1.5, 0}.of(t, w["pipe first"])
	assert.False(t, w["pipe first"].Feasible)
	byHand{0.3e-3, 0.1e-3, 1, 1}.of(t, w["both together"])
	byHand{0, 0, 0, 4}.of(t, w["alignment first"])

	// A motor that may not move at all stays.
	train.Machines[1].Free = piping.Ways{}
	w = waysOf(t, train)
	byHand{0.4e-3, 0, 2, 0}.of(t, w["pipe first"])
	assert.False(t, w["pipe first"].Feasible)

	// So does a pump that may not: its flange is where it was, and the motor is
	// aligned to it.
	train = pipedPump(t, 0.1e-3, 0.2e-3)
	train.Machines[0].Free = piping.Ways{}
	train.Couplings[0].Found.Vertical.Offset = -0.5e-3
	w = waysOf(t, train)
	byHand{0, 0.5e-3, 0, 4}.of(t, w["pipe first"])
}

// A flange that must be kept makes a way that does not keep it one that cannot be
// used; as a wish it does not.
func TestWaysAreJudgedByTheGoalsAsTheyAre(t *testing.T) {
	train := pipedPump(t, 0.1e-3, 0.2e-3)
	for i := range train.Machines[0].Goals[0].Parts {
		train.Machines[0].Goals[0].Parts[i].Hard = true
	}
	w := waysOf(t, train)
	byHand{0, 0, 0, 4}.of(t, w["alignment first"])
	assert.False(t, w["alignment first"].Feasible)
	assert.True(t, w["pipe first"].Feasible)
	assert.True(t, w["both together"].Feasible)
	// All that may: 0.3 mm up bring the flange to the end of its tolerance.
	byHand{0.3e-3, 0.3e-3, 0, 1}.of(t, w["move all that may"])
}

// What alignment costs of flange fit, the motor standing: with x of the pump the
// shares are x/0.2 and (0.4 - x)/0.1, so that a share f of the flange goes with
// 2 - f/2 of the coupling, which may not be more than 1: f runs from 2 to 4.
func TestTradeOffByHand(t *testing.T) {
	train := pipedPump(t, 0.1e-3, 0.2e-3)
	train.Machines[1].Free = piping.Ways{}
	for _, n := range []int{2, 3, 5, 100} {
		points, err := train.TradeOff(context.Background(), n, moves.Options{})
		require.NoError(t, err)
		require.Len(t, points, n)
		for k, p := range points {
			f := 2 + 2*float64(k)/float64(n-1)
			assert.InDelta(t, f, p.Flange, 1e-6, "point %d of %d", k, n)
			assert.InDelta(t, 2-f/2, p.Alignment, 1e-6)
			assert.InDelta(t, 0.4e-3-f*0.1e-3, float64(p.Motions[0].Shift.Y), 1e-9)
		}
	}
}

// The number of points that is refused is shown as it was given.
func TestTradeOffShowsThePoints(t *testing.T) {
	for n, got := range map[int]string{1: "1", 101: "101"} {
		_, err := pipedPump(t, 0.1e-3, 0.2e-3).TradeOff(context.Background(), n, moves.Options{})
		var in *align.InputError
		require.ErrorAs(t, err, &in)
		require.Equal(t, "points", in.Field)
		require.Equal(t, got, in.Got)
	}
}

// No motion keeps the limits: no points, and no error.
func TestTradeOffOfNothing(t *testing.T) {
	train := pipedPump(t, 0.1e-3, 0.2e-3)
	train.Couplings[0].Found.Vertical.Offset = 0.5e-3
	for i := range train.Machines {
		train.Machines[i].Feet[0].Range = moves.Within(0.1e-3, 0.1e-3, 0, 0)
	}
	points, err := train.TradeOff(context.Background(), 3, moves.Options{})
	require.NoError(t, err)
	require.Empty(t, points)
}

// The motor can only turn about a point 0.1 mm from the coupling: alone it would
// have to turn by 2 rad to come up by 0.2 mm, which is no small motion, though the
// pump could go down instead.
func TestWayThatIsTooLarge(t *testing.T) {
	train := pair(0, 0)
	train.Machines[1].Free, train.Machines[1].About = piping.Ways{TurnZ: true}, align.Place{X: 1e-4}
	require.True(t, mustPlan(t, train).Feasible)
	_, err := train.Alternatives(context.Background(), moves.Options{})
	require.ErrorIs(t, err, align.ErrOutOfRange)
	require.ErrorContains(t, err, "motions[1].turn")
}

// Pipe first: the machines without flanges are then aligned to those with, so that
// leaving them where they stand, or half way, is never better, and most times
// worse. One machine alone is one machine alone.
func TestPipeFirstAlignsTheOthers(t *testing.T) {
	worse := 0
	pipedTrains(t, 7, 40, func(train *moves.Train) {
		ways, err := train.Alternatives(context.Background(), moves.Options{})
		require.NoError(t, err)
		for _, w := range ways {
			if w.Name != "pipe first" {
				for i := range train.Machines {
					if w.Name == "move "+train.Machines[i].Name+" alone" {
						for k, m := range w.Motions {
							require.True(t, k == i || m.Shift == (align.Displacement{}) && m.Turn == (align.Turn{}), "machine %d", k)
						}
					}
				}
				continue
			}
			if !w.Feasible {
				continue
			}
			for _, share := range []float64{0, 0.5} {
				still := append([]align.Motion(nil), w.Motions...)
				for i := range train.Machines {
					if len(train.Machines[i].Goals) == 0 {
						still[i].Shift = still[i].Shift.Scale(share)
						still[i].Turn = align.Turn{X: share * still[i].Turn.X, Y: share * still[i].Turn.Y, Z: share * still[i].Turn.Z}
					}
				}
				e, err := train.Evaluate(still)
				require.NoError(t, err)
				require.GreaterOrEqual(t, e.WorstCoupling, w.WorstCoupling-1e-6)
				if e.WorstCoupling > w.WorstCoupling+0.01 {
					worse++
				}
			}
		}
	})
	require.Greater(t, worse, 10)
}

// The ways that are compared: each mover alone where there are two or more, all
// together, and three more where a flange asks for something.
func TestWaysThatAreCompared(t *testing.T) {
	names := func(train *moves.Train) (out []string) {
		ways, err := train.Alternatives(context.Background(), moves.Options{})
		require.NoError(t, err)
		for _, w := range ways {
			out = append(out, w.Name)
		}
		return out
	}
	one, _ := roundTrain(rand.New(rand.NewPCG(3, 3)), 2, true)
	one.Machines[0].Free = piping.Ways{}
	one.Machines[0].Name, one.Machines[1].Name = "pump", "motor"
	assert.Equal(t, []string{"move all that may"}, names(&one))
	one.Machines[0].Free = moves.TwoPlanes()
	assert.Equal(t, []string{"move pump alone", "move motor alone", "move all that may"}, names(&one))
	pipedTrains(t, 13, 5, func(train *moves.Train) {
		got := names(train)
		assert.Equal(t, []string{"move all that may", "alignment first", "pipe first", "both together"}, got[len(got)-4:])
	})
}

// The shaft ends stand 0.6 mm too far apart, and 0.2 mm may be left: the motor, free
// along the train, goes 0.4 mm toward the pump while it follows it upward.
func TestPipeFirstClosesTheGapOfTheShaftEnds(t *testing.T) {
	train := pipedPump(t, 0.1e-3, 0.2e-3)
	train.Machines[1].Free.ShiftX = true
	train.Couplings[0].Gap = &moves.AxialGap{Error: 0.6e-3, Tolerance: 0.2e-3}
	w := waysOf(t, train)["pipe first"]
	byHand{0.4e-3, 0.4e-3, 1, 0}.of(t, w) // of the gap all that may be left is left
	assert.InDelta(t, -0.4e-3, float64(w.Motions[1].Shift.X), 1e-9)
	assert.True(t, w.Feasible)
}
