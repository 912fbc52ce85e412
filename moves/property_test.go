package moves_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"collinear.example/align"
	"collinear.example/moves"
	"collinear.example/piping"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// trainChange says how a train is written another way.
type trainChange struct {
	place  func(align.Place) align.Place
	along  func(align.Direction) align.Direction
	axis   func(align.Axis) align.Axis
	length func(unit.Length) unit.Length // of a size
	mirror bool
}

func (c *trainChange) of(t *moves.Train) *moves.Train {
	out := &moves.Train{}
	for _, m := range t.Machines {
		m.About = c.place(m.About)
		m.Feet = slices.Clone(m.Feet)
		for k := range m.Feet {
			f := &m.Feet[k]
			f.At = c.place(f.At)
			r := f.Range
			f.Range = moves.Within(c.length(*r.Down), c.length(*r.Up), c.length(*r.Left), c.length(*r.Right))
			if c.mirror {
				f.Range.Left, f.Range.Right = f.Range.Right, f.Range.Left
			}
		}
		m.Goals = slices.Clone(m.Goals)
		for k := range m.Goals {
			m.Goals[k] = c.goal(m.Goals[k])
		}
		out.Machines = append(out.Machines, m)
	}
	for _, k := range t.Couplings {
		k.Found = c.axis(k.Found)
		k.Offsets = slices.Clone(k.Offsets)
		for i := range k.Offsets {
			k.Offsets[i].Station = c.place(align.Place{X: k.Offsets[i].Station}).X
			k.Offsets[i].Limit = c.length(k.Offsets[i].Limit)
		}
		for _, s := range []*moves.ShaftOf{&k.Near, &k.Far} {
			p := c.place(align.Place{Y: s.Height, Z: s.Lateral})
			s.Height, s.Lateral = p.Y, p.Z
		}
		if c.mirror {
			k.Near, k.Far = k.Far, k.Near
		}
		out.Couplings = append(out.Couplings, k)
	}
	for _, s := range t.States {
		s.Relative = slices.Clone(s.Relative)
		for i := range s.Relative {
			s.Relative[i] = c.axis(s.Relative[i])
		}
		out.States = append(out.States, s)
	}
	return out
}

func (c *trainChange) goal(g piping.NozzleGoal) piping.NozzleGoal {
	m := g.Misfit
	m.Pair.Centre, m.Pair.Axis, m.Pair.Up = c.place(m.Pair.Centre), c.along(m.Pair.Axis), c.along(m.Pair.Up)
	m.Mean = c.length(m.Mean)
	gasket := c.length(*m.Gasket)
	m.Gasket, m.Offset = &gasket, &piping.Across{Up: c.length(m.Offset.Up), Right: c.length(m.Offset.Right)}
	out, err := m.Goal(piping.GoalTolerance{
		Gap:    c.length(unit.Length(g.Parts[piping.PartGap].Tolerance)),
		Offset: c.length(unit.Length(g.Parts[piping.PartUp].Tolerance)),
		Tilt:   g.Parts[piping.PartTiltUp].Tolerance,
		Hard:   g.Parts[piping.PartGap].Hard,
	})
	if err != nil {
		panic(err)
	}
	return out
}

func samePlace(p align.Place) align.Place             { return p }
func sameDirection(d align.Direction) align.Direction { return d }
func sameAxis(a align.Axis) align.Axis                { return a }
func sameLength(v unit.Length) unit.Length            { return v }

// plansAlike holds the plans of two trains against each other. Lengths of the
// second are k times those of the first.
func plansAlike(t *testing.T, a, b *moves.Train, k float64) {
	t.Helper()
	for _, criteria := range [][]moves.Criterion{
		{moves.BestAlignment, moves.LeastTotalMove}, {moves.SmallestLargestMove}, {moves.BestTogether}, {moves.LeastShimChange},
	} {
		p, q := mustPlan(t, a, criteria...), mustPlan(t, b, criteria...)
		require.Equal(t, p.Feasible, q.Feasible)
		if !p.Feasible {
			require.NotEmpty(t, q.Why.Conflict)
			continue
		}
		for i, v := range p.Values {
			switch criteria[i] {
			case moves.LeastTotalMove, moves.SmallestLargestMove, moves.LeastShimChange:
				require.InDelta(t, k*v, q.Values[i], k*1e-9+1e-5*k*math.Abs(v), "%v", criteria)
			default:
				require.InDelta(t, v, q.Values[i], 1e-6, "%v", criteria)
			}
		}
	}
}

func eachTrain(t *testing.T, seed uint64, n int, f func(rnd *rand.Rand, train *moves.Train)) {
	t.Helper()
	rnd := rand.New(rand.NewPCG(seed, 62))
	for i := range n {
		f(rnd, planTrain(rnd, planPart{machines: 1 + i%4, states: i % 3, flanges: i%4 == 0 || i%5 == 0, room: 2e-3}))
	}
}

// A plan in inches is the plan in millimetres.
func TestUnitChange(t *testing.T) {
	for i, k := range []unit.Length{25.4, 1 / 25.4, 3} {
		c := trainChange{along: sameDirection, length: func(v unit.Length) unit.Length { return k * v }}
		c.place = func(p align.Place) align.Place { return align.Place{X: k * p.X, Y: k * p.Y, Z: k * p.Z} }
		c.axis = func(a align.Axis) align.Axis {
			a.Vertical.Offset *= k
			a.Horizontal.Offset *= k
			return a
		}
		eachTrain(t, uint64(i), 40, func(_ *rand.Rand, train *moves.Train) { plansAlike(t, train, c.of(train), float64(k)) })
	}
}

// Stations counted from elsewhere change nothing.
func TestDatumShift(t *testing.T) {
	const d = 7.3
	c := trainChange{along: sameDirection, length: sameLength}
	c.place = func(p align.Place) align.Place { p.X += d; return p }
	c.axis = func(a align.Axis) align.Axis { return a.Shifted(-d) }
	eachTrain(t, 4, 100, func(_ *rand.Rand, train *moves.Train) { plansAlike(t, train, c.of(train), 1) })
}

// A reader who walks the train the other way finds the same plan: he is turned
// about the vertical, near is far to him, left is right.
func TestMirroredTrain(t *testing.T) {
	c := trainChange{length: sameLength, mirror: true, axis: align.Axis.Mirrored}
	c.place = func(p align.Place) align.Place { return align.Place{X: -p.X, Y: p.Y, Z: -p.Z} }
	c.along = func(d align.Direction) align.Direction { return align.Direction{X: -d.X, Y: d.Y, Z: -d.Z} }
	eachTrain(t, 5, 100, func(_ *rand.Rand, train *moves.Train) { plansAlike(t, train, c.of(train), 1) })
}

// The order in which machines, feet, couplings and states are named changes
// nothing.
func TestOrderOfNames(t *testing.T) {
	c := trainChange{place: samePlace, along: sameDirection, axis: sameAxis, length: sameLength}
	eachTrain(t, 6, 100, func(_ *rand.Rand, train *moves.Train) {
		b := c.of(train)
		slices.Reverse(b.Machines)
		for i := range b.Machines {
			slices.Reverse(b.Machines[i].Feet)
		}
		slices.Reverse(b.Couplings)
		for i := range b.Couplings {
			b.Couplings[i].Near.Machine = len(b.Machines) - 1 - b.Couplings[i].Near.Machine
			b.Couplings[i].Far.Machine = len(b.Machines) - 1 - b.Couplings[i].Far.Machine
		}
		slices.Reverse(b.States)
		for i := range b.States {
			slices.Reverse(b.States[i].Relative)
		}
		plansAlike(t, train, b, 1)
	})
}

// The point about which a motion is described is a matter of writing, as long as
// it keeps its height and side: a machine that may not move along the train is
// held along it at that height.
func TestPointOfMotion(t *testing.T) {
	c := trainChange{place: samePlace, along: sameDirection, axis: sameAxis, length: sameLength}
	eachTrain(t, 7, 100, func(_ *rand.Rand, train *moves.Train) {
		b := c.of(train)
		for i := range b.Machines {
			b.Machines[i].About = b.Machines[i].About.Add(align.Displacement{X: 0.7})
		}
		plansAlike(t, train, b, 1)
	})
}

// Wider limits never make a plan worse, and what was feasible stays so.
func TestWiderIsNeverWorse(t *testing.T) {
	c := trainChange{place: samePlace, along: sameDirection, axis: sameAxis, length: sameLength}
	better := 0
	eachTrain(t, 8, 150, func(rnd *rand.Rand, train *moves.Train) {
		b := c.of(train)
		for i := range b.Couplings {
			for k := range b.Couplings[i].Offsets {
				b.Couplings[i].Offsets[k].Limit *= unit.Length(1 + rnd.Float64()/3)
			}
		}
		for i := range b.Machines {
			for k := range b.Machines[i].Feet {
				up := *b.Machines[i].Feet[k].Range.Up + unit.Length(rnd.Float64()*1e-4)
				b.Machines[i].Feet[k].Range.Up = &up
			}
		}
		for _, criterion := range []moves.Criterion{moves.BestAlignment, moves.LeastTotalMove, moves.SmallestLargestMove} {
			p, q := mustPlan(t, train, criterion), mustPlan(t, b, criterion)
			if !p.Feasible {
				continue
			}
			require.True(t, q.Feasible)
			require.LessOrEqual(t, q.Values[0], p.Values[0]+1e-8)
			if q.Values[0] < p.Values[0]-1e-7 {
				better++
			}
		}
	})
	require.Positive(t, better)
}

// Turning both planes round the train by a quarter changes nothing but names,
// where feet have the same room all round.
func TestPlanesAreAlike(t *testing.T) {
	rnd := rand.New(rand.NewPCG(9, 62))
	for i := range 60 {
		a := planTrain(rnd, planPart{machines: 2 + i%3, states: i % 3, room: 2e-3})
		c := trainChange{place: samePlace, along: sameDirection, length: sameLength}
		c.axis = func(x align.Axis) align.Axis { return align.Axis{Vertical: x.Horizontal, Horizontal: x.Vertical} }
		b := c.of(a)
		for i := range a.Machines {
			for k := range a.Machines[i].Feet {
				v := unit.Length(2e-3)
				a.Machines[i].Feet[k].Range = moves.Within(v, v, v, v)
				b.Machines[i].Feet[k].Range = moves.Within(v, v, v, v)
			}
		}
		for _, criterion := range []moves.Criterion{moves.BestAlignment, moves.LeastTotalMove, moves.SmallestLargestMove} {
			p, q := mustPlan(t, a, criterion), mustPlan(t, b, criterion)
			require.Equal(t, p.Feasible, q.Feasible)
			if p.Feasible {
				require.InDelta(t, p.Values[0], q.Values[0], 1e-7)
			}
		}
	}
}
