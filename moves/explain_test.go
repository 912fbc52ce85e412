package moves_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"collinear.example/moves"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// without returns the train without the limits for which leave is true. Of the
// limits at couplings the vertical ones and the horizontal ones of all states
// stand together; limitOf says which one a reference belongs to.
func without(t *moves.Train, leave func(limitOf) bool) *moves.Train {
	c := trainChange{place: samePlace, along: sameDirection, axis: sameAxis, length: sameLength}
	out := c.of(t)
	for i := range out.Machines {
		for k := range out.Machines[i].Feet {
			r := &out.Machines[i].Feet[k].Range
			for clock, end := range map[int]**unit.Length{0: &r.Up, 180: &r.Down, 90: &r.Right, 270: &r.Left} {
				if leave(limitOf{foot: true, machine: i, index: k, clock: clock}) {
					*end = nil
				}
			}
		}
	}
	for i := range out.Couplings {
		c := &out.Couplings[i]
		kept := c.Offsets[:0]
		for k := range c.Offsets {
			if !leave(limitOf{machine: i, station: c.Offsets[k].Station}) {
				kept = append(kept, c.Offsets[k])
			}
		}
		c.Offsets = kept
		if c.Slope != nil && leave(limitOf{machine: i, slope: true}) {
			c.Slope = nil
		}
		if c.Slope == nil && len(c.Offsets) == 0 { // one that cannot bind
			c.Slope = &moves.SlopeLimit{Limit: 1}
		}
	}
	return out
}

type limitOf struct {
	foot    bool
	machine int // or coupling
	index   int
	clock   int
	slope   bool
	station unit.Length
}

func limitOfRef(r moves.Ref) limitOf {
	if r.Kind == moves.FootVertical || r.Kind == moves.FootLateral {
		return limitOf{foot: true, machine: r.Machine, index: r.Foot, clock: int(math.Round(float64(r.Toward.Normal())))}
	}
	return limitOf{machine: r.Coupling, slope: r.Slope, station: r.Station}
}

// hopeless calls f with trains that cannot keep their limits. Their limits at
// couplings are few and far apart, so that a reference names one of them.
func hopeless(t *testing.T, seed uint64, n int, f func(train *moves.Train, p *moves.Plan)) {
	t.Helper()
	rnd := rand.New(rand.NewPCG(seed, 63))
	for found := 0; found < n; {
		train := planTrain(rnd, planPart{machines: 2 + rnd.IntN(3), states: rnd.IntN(3), room: 4e-4})
		p := mustPlan(t, train)
		if p.Feasible {
			continue
		}
		found++
		f(train, p)
	}
}

func feasible(t *testing.T, train *moves.Train) bool {
	t.Helper()
	return mustPlan(t, train, moves.LeastTotalMove).Feasible
}

// The limits of a conflict alone cannot be kept; leave out any one of them, with
// all that is the same limit in another state or direction, and the others can.
func TestConflictIsOneAndSmallest(t *testing.T) {
	seen := 0
	hopeless(t, 1, 80, func(train *moves.Train, p *moves.Plan) {
		in := map[limitOf]bool{}
		for _, r := range p.Why.Conflict {
			in[limitOfRef(r)] = true
		}
		require.NotEmpty(t, in)
		require.False(t, feasible(t, without(train, func(l limitOf) bool { return !in[l] })), "the conflict alone is one")
		for _, r := range p.Why.Conflict {
			require.NotContains(t, train.Words(r), "unknown")
			out := limitOfRef(r)
			rest := without(train, func(l limitOf) bool { return !in[l] || l == out })
			if !only(p.Why.Conflict, out) {
				continue
			}
			seen++
			require.True(t, conflictGone(t, train, rest, p.Why.Conflict, r), "%s is not needed", train.Words(r))
		}
	})
	require.Greater(t, seen, 100)
}

// only reports whether one reference alone belongs to the limit.
func only(refs []moves.Ref, l limitOf) bool {
	n := 0
	for _, r := range refs {
		if limitOfRef(r) == l {
			n++
		}
	}
	return n == 1
}

// conflictGone reports whether the rest of a conflict can be kept. Both planes and
// all states of a coupling's limit are in the rest although the conflict may name
// one, so a rest that is not feasible must be in conflict by others than these.
func conflictGone(t *testing.T, train, rest *moves.Train, conflict []moves.Ref, out moves.Ref) bool {
	t.Helper()
	p := mustPlan(t, rest, moves.LeastTotalMove)
	if p.Feasible {
		return true
	}
	named := func(r moves.Ref) bool {
		for _, c := range conflict {
			if c != out && limitOfRef(c) == limitOfRef(r) && c.State == r.State && c.Toward == r.Toward {
				return true
			}
		}
		return false
	}
	for _, r := range p.Why.Conflict {
		if !named(r) {
			return true
		}
	}
	t.Logf("still in conflict without %s: %d limits", train.Words(out), len(p.Why.Conflict))
	return false
}

// widened returns the train with limits as much wider as is said, and a little
// more for rounding.
func widened(t *moves.Train, gives []moves.Give) *moves.Train {
	const more = 1e-9
	c := trainChange{place: samePlace, along: sameDirection, axis: sameAxis, length: sameLength}
	out := c.of(t)
	type key struct {
		of      limitOf
		machine int
	}
	most := map[key]float64{}
	for _, g := range gives {
		k := key{limitOfRef(g.Ref), g.Ref.Machine}
		most[k] = max(most[k], g.Amount)
	}
	for k, amount := range most {
		l := k.of
		switch {
		case l.foot:
			r := &out.Machines[l.machine].Feet[l.index].Range
			end := map[int]**unit.Length{0: &r.Up, 180: &r.Down, 90: &r.Right, 270: &r.Left}[l.clock]
			v := **end + unit.Length(amount+more)
			*end = &v
		case l.slope:
			s := *out.Couplings[l.machine].Slope
			s.Limit += amount + more
			out.Couplings[l.machine].Slope = &s
		default:
			for i := range out.Couplings[l.machine].Offsets {
				if o := &out.Couplings[l.machine].Offsets[i]; o.Station == l.station {
					o.Limit += unit.Length(amount + more)
				}
			}
		}
	}
	return out
}

// Limits made as much wider as an explanation says can be kept; nine tenths of it
// are not enough where feet alone give.
func TestRelaxationsFit(t *testing.T) {
	kinds := map[moves.Kind]int{}
	hopeless(t, 2, 120, func(train *moves.Train, p *moves.Plan) {
		require.Positive(t, p.Why.Together.Sum)
		require.True(t, feasible(t, widened(train, p.Why.Together.Gives)), "together")
		for _, r := range p.Why.Relaxations {
			kinds[r.Kind]++
			require.True(t, feasible(t, widened(train, r.Gives)), r.Kind.String())
			require.GreaterOrEqual(t, r.Sum, p.Why.Together.Sum*(1-1e-6), "one kind alone is never cheaper")
			if r.Kind != moves.FootVertical && r.Kind != moves.FootLateral {
				continue
			}
			for i := range r.Gives {
				r.Gives[i].Amount *= 0.9
			}
			require.False(t, feasible(t, widened(train, r.Gives)), "less is not enough")
		}
	})
	require.Positive(t, kinds[moves.CouplingLimit])
	require.Positive(t, kinds[moves.FootVertical])
}

// The compromise keeps what it says it keeps, and no motion within the same
// limits is better: widening all coupling limits by its share fits, by less not.
func TestCompromiseIsBest(t *testing.T) {
	hopeless(t, 3, 60, func(train *moves.Train, p *moves.Plan) {
		require.LessOrEqual(t, p.WorstFoot, 1+1e-6)
		by := func(k float64) *moves.Train {
			c := trainChange{place: samePlace, along: sameDirection, axis: sameAxis, length: sameLength}
			out := c.of(train)
			for i := range out.Couplings {
				for j := range out.Couplings[i].Offsets {
					out.Couplings[i].Offsets[j].Limit *= unit.Length(k)
				}
				if s := out.Couplings[i].Slope; s != nil {
					out.Couplings[i].Slope = &moves.SlopeLimit{Limit: k * s.Limit, Resultant: s.Resultant}
				}
			}
			return out
		}
		require.Greater(t, p.WorstCoupling, 1.0)
		require.True(t, feasible(t, by(p.WorstCoupling*(1+1e-6))))
		require.False(t, feasible(t, by(p.WorstCoupling*(1-1e-5))))
	})
}

// A limit made a little wider lets the optimum fall by the multiplier times that
// much; never by more, and by less only where another limit takes over at once.
func TestMultipliers(t *testing.T) {
	rnd := rand.New(rand.NewPCG(4, 63))
	const by = 1e-8
	same, all := 0, 0
	for range 150 {
		train := planTrain(rnd, planPart{machines: 2 + rnd.IntN(2), states: rnd.IntN(2), room: 1e-3})
		for _, criterion := range []moves.Criterion{moves.BestAlignment, moves.LeastTotalMove} {
			p := mustPlan(t, train, criterion)
			if !p.Feasible {
				continue
			}
			for _, b := range p.Binding {
				if b.Gain == 0 {
					continue
				}
				gives := []moves.Give{{Ref: b.Ref, Amount: by}}
				gain := 0.0 // of all directions in which the same limit binds
				for _, other := range p.Binding {
					if limitOfRef(other.Ref) == limitOfRef(b.Ref) {
						gain += other.Gain
					}
				}
				for _, r := range b.Same {
					gives = append(gives, moves.Give{Ref: r, Amount: by})
				}
				q := mustPlan(t, widened(train, gives), criterion)
				require.True(t, q.Feasible)
				fell, said := p.Values[0]-q.Values[0], gain*by*1.1 // the little more for rounding
				all++
				const near = 1e-11
				require.LessOrEqual(t, fell, said+1e-3*said+near)
				if math.Abs(fell-said) <= 1e-3*said+near {
					same++
				}
			}
		}
	}
	require.Greater(t, all, 200)
	require.Greater(t, float64(same), 0.95*float64(all))
}

// A cancelled search says so.
func TestPlanStops(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	stop()
	train := planTrain(rand.New(rand.NewPCG(5, 63)), planPart{machines: 4, states: 3, room: 2e-3})
	_, err := train.Plan(ctx, moves.Options{})
	require.ErrorIs(t, err, moves.ErrStopped)
	require.Equal(t, "stopped", align.CodeOf(err))
}
