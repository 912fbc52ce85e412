package worksheet

import (
	"fmt"
	"maps"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// TestLimitedAgainstLibrary holds every asked figure against align.Axis, and tries
// plans: one that is exact is taken, one that moves the bound machine alone is
// not, nor is one that leaves the shafts where they are.
func TestLimitedAgainstLibrary(t *testing.T) {
	eachPipeJob(t, limitedKind(), func(t *testing.T, d Difficulty, r *Record, s *Sheet, v Values) {
		u := r.Units
		axis := solved(t, r, 0).Axis
		stations := map[string]unit.Length{"near": unit.Length(v["station.near"]), "far": unit.Length(v["station.far"])}
		if d != Plain { // the movements were measured at the dials: far less near, the other way
			at := map[string]align.Offset{}
			for i, id := range []string{"near", "far"} {
				grows := func(m int) float64 { return u.reading(r.States[0].Machines[m].Measured[i].Up) }
				at[id] = align.Offset{Vertical: -unit.Length(grows(1) - grows(0))}
				require.InDelta(t, float64(at[id].Vertical), v["target."+id], 1e-15)
			}
			target, err := align.AxisThrough(stations["near"], at["near"], stations["far"], at["far"])
			require.NoError(t, err)
			axis = axis.Sub(target)
		}
		for machine, move := range map[int]func(unit.Length) align.Move{0: axis.MoveNear, 1: axis.MoveFar} {
			worst := 0.0
			for _, f := range r.Train.Machines[machine].Feet {
				id := fmt.Sprintf("move.%d.%s", machine, f.Name)
				m := move(unit.Length(u.length(f.Station)))
				require.InDelta(t, float64(m.Vertical), v[id+".vertical"], 1e-12)
				if s.step(id+".horizontal") != nil {
					require.InDelta(t, float64(m.Horizontal), v[id+".horizontal"], 1e-12)
				}
				worst = max(worst, -float64(m.Vertical)-u.reading(*f.Shims-*f.Least))
			}
			if machine == 1 {
				require.InDelta(t, worst, v["short"], 1e-12)
			}
		}
		l, err := r.limitedJob()
		require.NoError(t, err)
		for _, p := range bothPlanes {
			if st := s.step("plan." + p); st != nil {
				tryPlans(t, l, st, v, p)
			}
		}
	})
}

// tryPlans holds the judge of plans against plans that are known to be good or
// bad.
func tryPlans(t *testing.T, l *limitedJob, st *Step, v Values, p string) {
	t.Helper()
	good, ok := l.planFor(v, p)
	require.True(t, ok)
	require.NoError(t, st.Accept(v, good))
	alone, still := map[string]float64{}, map[string]float64{}
	for i, feet := range l.feet {
		for _, f := range feet {
			name := l.names[i] + " " + f.Name
			alone[name], still[name] = 0, 0
			if i == 1 {
				alone[name] = v[fmt.Sprintf("move.1.%s.%s", f.Name, p)]
			}
			off := maps.Clone(good)
			off[name] += 10e-3 // no coupling stands that, and no bolt hole
			require.Error(t, st.Accept(v, off))
			delete(off, name)
			require.ErrorIs(t, st.Accept(v, off), align.ErrMissing)
		}
	}
	if v["bound."+p] != 0 {
		require.ErrorIs(t, st.Accept(v, alone), align.ErrOutOfRange)
	}
	require.ErrorIs(t, st.Accept(v, still), align.ErrOutOfRange)
}

// limitedByHand: the pump stands 8 mil high at the motor's dial, station 0, and 6
// at its own, station 8 in; its feet are at 16 and 40 in, the motor's at -16 and
// -40. Under the pump's feet there are 25 and 30 mil, of which 20 must stay; the
// motor's have 30 each. The pump rises 2 mil running, the motor 5, everywhere.
func limitedByHand() *Record {
	r := milRecord(16, 40)
	shims := func(v float64) *float64 { return &v }
	r.Train.Machines[0].Feet = []Foot{{Name: "inboard", Station: -16, Shims: shims(30), Least: shims(20)}, {Name: "outboard", Station: -40, Shims: shims(30), Least: shims(20)}}
	for i, v := range []float64{25, 30} {
		r.Train.Machines[1].Feet[i].Shims, r.Train.Machines[1].Feet[i].Least = shims(v), shims(20)
	}
	r.Sag = []SagTest{{"a", rollOver, -4}}
	r.Sets = []Set{{Stage: AsFound, Coupling: "coupling", Method: ReverseIndicator, Dials: []Dial{
		{Touches: rimDial, On: onFar, Station: 8, Bracket: "a", Readings: []Reading{{0, 0}, {180, -2*6 - 4}}},
		{Touches: rimDial, On: onNear, Station: 0, Bracket: "a", Readings: []Reading{{0, 0}, {180, 2*8 - 4}}}}}}
	r.States = []State{{Name: "running", Machines: []Movement{
		{Machine: "motor", Measured: []Moved{{Station: -30, Up: 5}, {Station: 0, Up: 5}}}, {Machine: "pump", Measured: []Moved{{Station: 8, Up: 2}, {Station: 30, Up: 2}}}}}}
	return r
}

// TestLimitedByHand: the pump is to stand 3 mil high cold, so 5 and 3 mil are too
// much: a line 5 - 0.25 x. At its feet that is 1 and -5: take out 1, add 5. With
// the readings 10 mil higher the line is 15 - 0.25 x and the feet would come down
// by 11 and 5, where 5 and 10 can come out: the inboard feet lack 6. The motor
// would rise by 19 and 25.
func TestLimitedByHand(t *testing.T) {
	k := limitedKind()
	low := worked(t, k, limitedByHand(), "")
	for id, want := range map[string]float64{"target.near": 3, "target.far": 3, "move.1.inboard.vertical": -1, "move.1.outboard.vertical": 5, "short": 0} {
		assert.InDelta(t, want, mils(low[id]), 1e-9, id)
	}
	assert.Zero(t, low["bound.vertical"])
	high := func() *Record {
		r := limitedByHand()
		r.Sets[0].Dials[0].Readings[1].Value -= 20
		r.Sets[0].Dials[1].Readings[1].Value += 20
		return r
	}
	v := worked(t, k, high(), "")
	for id, want := range map[string]float64{"move.1.inboard.vertical": -11, "move.1.outboard.vertical": -5, "short": 6, "move.0.inboard.vertical": 19, "move.0.outboard.vertical": 25} {
		assert.InDelta(t, want, mils(v[id]), 1e-9, id)
	}
	assert.EqualValues(t, 1, v["bound.vertical"])
	s, err := k.build(high())
	require.NoError(t, err)
	accept := func(motorIn, motorOut, pumpIn, pumpOut float64) error {
		mil := align.UnitMil.SI
		return s.step("plan.vertical").Accept(v, map[string]float64{"motor inboard": mil(motorIn), "motor outboard": mil(motorOut), "pump inboard": mil(pumpIn), "pump outboard": mil(pumpOut)})
	}
	require.NoError(t, accept(19, 25, 0, 0))
	require.NoError(t, accept(10, 10, -1, 5))  // both: the motor up by 10, the pump -5 + 0.25 x
	require.NoError(t, accept(10, 10, -1, 6))  // leaves 1/24 mil/in about station 16: -2/3 at 0
	require.Error(t, accept(10, 10, -1, 7))    // -4/3 at 0, more than 1 mil
	require.NoError(t, accept(14, 20, -5, -5)) // the motor tilts, 10 - 0.25 x, and the pump comes down level
	require.Error(t, accept(2, 2, -9, -3))     // in line, but 9 are not to be had under the pump's inboard feet
	require.Error(t, accept(0, 0, -11, -5))
}
