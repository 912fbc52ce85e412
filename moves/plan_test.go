package moves_test

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"sync"
	"testing"

	"collinear.example/align"
	"collinear.example/moves"
	"collinear.example/piping"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/unit"
)

// planPart is what a random train for the planner is made with.
type planPart struct {
	machines   int
	states     int
	flanges    bool
	resultants bool
	room       float64 // how large the room at the feet is, in metres
}

// planTrain is an invented train: machines in a row, each but perhaps the first
// free in both planes.
func planTrain(rnd *rand.Rand, p planPart) *moves.Train {
	normal := func(size float64) float64 { return rnd.NormFloat64() * size }
	axis := func(offset, slope float64, x unit.Length) (a align.Axis) {
		a.Vertical = align.Line{Offset: unit.Length(normal(offset)), Slope: normal(slope)}
		a.Horizontal = align.Line{Offset: unit.Length(normal(offset)), Slope: normal(slope)}
		return a.Shifted(-x)
	}
	t := &moves.Train{}
	var x unit.Length
	for i := range p.machines {
		long := unit.Length(0.6 + rnd.Float64())
		m := moves.Machine{Name: fmt.Sprint("machine ", i+1), Feet: fourFeet(x, x+long, 0.3), About: align.Place{X: x + long/2}}
		for k := range m.Feet {
			m.Feet[k].Range = moves.Within(room(rnd, p), room(rnd, p), room(rnd, p), room(rnd, p))
		}
		if i > 0 || p.machines == 1 || rnd.IntN(2) == 0 {
			m.Free = moves.TwoPlanes()
		}
		if p.flanges && (p.machines == 1 || i > 0 && rnd.IntN(2) == 0) {
			m.Goals = []piping.NozzleGoal{planGoal(rnd, x+long/3)}
		}
		t.Machines = append(t.Machines, m)
		x += long + 0.4
		if i+1 == p.machines {
			break
		}
		at := x - 0.2
		const height = 0.3
		c := moves.Coupling{
			Name: fmt.Sprint("coupling ", i+1),
			Near: moves.ShaftOf{Machine: i, Height: height}, Far: moves.ShaftOf{Machine: i + 1, Height: height},
			Found:   axis(3e-4, 3e-4, at),
			Offsets: moves.FlexPlanes(at-0.1, at+0.1, 0.5e-3, p.resultants && rnd.IntN(2) == 0, "invented"),
		}
		if rnd.IntN(3) == 0 {
			c.Slope = &moves.SlopeLimit{Limit: 0.6e-3, Resultant: p.resultants}
		}
		t.Couplings = append(t.Couplings, c)
	}
	for k := range p.states {
		s := moves.State{Name: fmt.Sprint("state ", k+1)}
		for i := range t.Couplings {
			s.Relative = append(s.Relative, axis(5e-5, 5e-5, t.Couplings[i].Offsets[0].Station))
		}
		t.States = append(t.States, s)
	}
	return t
}

func room(rnd *rand.Rand, p planPart) unit.Length {
	return unit.Length(p.room * (0.3 + rnd.Float64()))
}

func planGoal(rnd *rand.Rand, x unit.Length) piping.NozzleGoal {
	gasket := 3 * align.Millimetre
	g, err := piping.Misfit{
		Pair:   piping.FlangePair{Name: "discharge", Centre: align.Place{X: x, Y: 0.5}, Axis: align.Upward(), Up: align.AlongTrain()},
		Mean:   gasket + unit.Length(rnd.NormFloat64()*3e-4),
		Gasket: &gasket, Tilt: piping.Tilt{Up: rnd.NormFloat64() * 2e-4, Right: rnd.NormFloat64() * 2e-4},
		Offset: &piping.Across{Up: 0, Right: unit.Length(rnd.NormFloat64() * 3e-4)},
	}.Goal(piping.GoalTolerance{Gap: 5e-4, Offset: 1e-3, Tilt: 1e-3})
	if err != nil {
		panic(err)
	}
	return g
}

func mustPlan(t testing.TB, train *moves.Train, criteria ...moves.Criterion) *moves.Plan {
	t.Helper()
	p, err := train.Plan(context.Background(), moves.Options{Criteria: criteria})
	require.NoError(t, err)
	return p
}

// Where nothing binds, the planner says what the formulas of package align say.
func TestPlainJobIsThatOfAlign(t *testing.T) {
	rnd := rand.New(rand.NewPCG(1, 61))
	for range 200 {
		train := planTrain(rnd, planPart{machines: 2, room: 1})
		c := &train.Couplings[0]
		for _, far := range []bool{true, false} {
			mover, other := 0, 1
			if far {
				mover, other = 1, 0
			}
			train.Machines[mover].Free, train.Machines[other].Free = moves.TwoPlanes(), piping.Ways{}
			p := mustPlan(t, train, moves.BestAlignment)
			require.True(t, p.Feasible)
			feet := train.Machines[mover].Feet
			for k := range feet {
				want := c.Found.MoveNear(feet[k].At.X)
				if far {
					want = c.Found.MoveFar(feet[k].At.X)
				}
				require.InDelta(t, float64(want.Vertical), float64(p.Feet[mover][k].Move.Vertical), 1e-9)
				require.InDelta(t, float64(want.Horizontal), float64(p.Feet[mover][k].Move.Horizontal), 1e-9)
			}
		}
	}
}

// What a plan says of itself is what Evaluate says of its motions, and a feasible
// plan keeps every limit.
func TestPlanIsWhatEvaluateSays(t *testing.T) {
	rnd := rand.New(rand.NewPCG(2, 61))
	feasible := 0
	for i := range 300 {
		train := planTrain(rnd, planPart{machines: 1 + i%4, states: i % 3, flanges: i%4 == 0 || i%2 == 0, resultants: i%3 == 0, room: 2e-3})
		p := mustPlan(t, train, moves.SmallestLargestMove, moves.LeastTotalMove)
		e, err := train.Evaluate(p.Motions)
		require.NoError(t, err)
		require.Equal(t, e, p.Evaluation)
		require.Equal(t, p.Feasible, p.Why == nil)
		if p.Feasible {
			feasible++
			require.LessOrEqual(t, max(p.WorstCoupling, p.WorstFoot, p.WorstHard), 1+1e-7)
			require.InDelta(t, p.Values[0], float64(p.Largest), 1e-8)
			require.InDelta(t, p.Values[1], float64(p.Total), 1e-7)
		}
	}
	require.Greater(t, feasible, 100)
	require.Less(t, feasible, 300)
}

// The same train gives the same bytes, however many ask at a time.
func TestSamePlanEveryTime(t *testing.T) {
	train := planTrain(rand.New(rand.NewPCG(3, 61)), planPart{machines: 4, states: 2, flanges: true, room: 2e-3})
	bytes := func() string {
		p, err := train.Plan(context.Background(), moves.Options{})
		if err != nil {
			return err.Error()
		}
		b, err := json.Marshal(p)
		if err != nil {
			return err.Error()
		}
		return string(b)
	}
	want := bytes()
	require.Contains(t, want, "Feasible")
	var wait sync.WaitGroup
	got := make([]string, 8)
	for i := range got {
		wait.Add(1)
		go func() {
			defer wait.Done()
			got[i] = bytes()
		}()
	}
	wait.Wait()
	for _, g := range got {
		require.Equal(t, want, g)
	}
}

// Machines moved exactly, by rotations of three-dimensional space, stand where
// the plan says but for terms of the second order.
func TestExactSimulation(t *testing.T) {
	rnd := rand.New(rand.NewPCG(4, 61))
	largest := 0.0
	for range 200 {
		train := planTrain(rnd, planPart{machines: 3, room: 3e-3})
		p := mustPlan(t, train)
		turn, shift := 0.0, 0.0
		for _, m := range p.Motions {
			turn = max(turn, math.Sqrt(m.Turn.X*m.Turn.X+m.Turn.Y*m.Turn.Y+m.Turn.Z*m.Turn.Z))
			shift = max(shift, float64(m.Shift.Size()))
		}
		for i := range train.Couplings {
			c := &train.Couplings[i]
			for _, o := range c.Offsets {
				near := stands(p.Motions[c.Near.Machine], c.Near, align.Axis{}, o.Station)
				far := stands(p.Motions[c.Far.Machine], c.Far, c.Found, o.Station)
				want := p.Couplings[i].Cold.At(o.Station)
				// Turns and slopes are below 2 mm/m over no more than 3 m.
				bound := 6*(turn+1e-3)*(turn+1e-3) + 4*(turn+1e-3)*shift
				off := math.Hypot(far.Y-near.Y-float64(want.Vertical), far.Z-near.Z-float64(want.Horizontal))
				require.LessOrEqual(t, off, bound)
				largest = max(largest, off)
			}
		}
	}
	require.Greater(t, largest, 1e-12, "the second order is there to be seen")
	require.Less(t, largest, 2e-5)
}

// stands returns where the shaft line of a machine that was moved exactly meets
// the plane at station x, less where the near line stood.
func stands(m align.Motion, s moves.ShaftOf, found align.Axis, x unit.Length) r3.Vec {
	at := func(x unit.Length) r3.Vec {
		o := found.At(x)
		return r3.Vec{X: float64(x), Y: float64(s.Height + o.Vertical), Z: float64(s.Lateral + o.Horizontal)}
	}
	about := r3.Vec{X: float64(m.About.X), Y: float64(m.About.Y), Z: float64(m.About.Z)}
	shift := r3.Vec{X: float64(m.Shift.X), Y: float64(m.Shift.Y), Z: float64(m.Shift.Z)}
	w := r3.Vec{X: m.Turn.X, Y: m.Turn.Y, Z: m.Turn.Z}
	move := func(p r3.Vec) r3.Vec {
		q := r3.Sub(p, about)
		if a := r3.Norm(w); a > 0 {
			q = r3.NewRotation(a, w).Rotate(q)
		}
		return r3.Add(r3.Add(q, about), shift)
	}
	p, q := move(at(x-1)), move(at(x+1))
	f := (float64(x) - p.X) / (q.X - p.X)
	r := r3.Add(p, r3.Scale(f, r3.Sub(q, p)))
	return r3.Vec{X: r.X, Y: r.Y - float64(s.Height), Z: r.Z - float64(s.Lateral)}
}
