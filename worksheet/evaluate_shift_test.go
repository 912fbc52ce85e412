package worksheet

import (
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Readings and sags twice as large: the shafts stand twice as far off, slope twice as
// much, and the feet go twice as far.
func TestEvalDoubleReadings(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 4))
	for range 20 {
		r := randomJob(rng)
		r.States = nil
		for i := range r.Sets {
			r.Sets[i].Sigma = nil
		}
		before := evaluated(t, r)
		doubleReadings(r)
		after := evaluated(t, r)
		doubled := 0
		for _, f := range before.Findings {
			ofSets := strings.HasPrefix(f.ID, "sets[") || strings.HasPrefix(f.ID, "sag[")
			if !ofSets || f.Value == nil {
				continue
			}
			got := found(t, after, f.ID)
			require.NotNil(t, got.Value, f.ID)
			require.InDelta(t, 2**f.Value, *got.Value, 3*digits, f.ID)
			doubled++
		}
		require.Greater(t, doubled, 30)
	}
}

// Nothing depends on where a dial was zeroed.
func TestEvalZeroOfADial(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for range 20 {
		r := randomJob(rng)
		before := evaluated(t, r)
		for i := range r.Sets {
			for d := range r.Sets[i].Dials {
				by := rng.Float64()*2 - 1
				for k := range r.Sets[i].Dials[d].Readings {
					r.Sets[i].Dials[d].Readings[k].Value += by
				}
			}
		}
		for i := range r.Runout {
			for k := range r.Runout[i].Readings {
				r.Runout[i].Readings[k].Value += 0.5
			}
		}
		for i := range r.Base.Points {
			r.Base.Points[i].Height += 3
		}
		wantAlike(t, before, evaluated(t, r), "zeroed elsewhere")
	}
}

// Nothing depends on where stations are counted from.
func TestEvalOriginOfStations(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	for range 20 {
		r := randomJob(rng)
		before := evaluated(t, r)
		shiftStations(reflect.ValueOf(r).Elem(), "", 1234.5)
		require.InDelta(t, 1234.5+380, r.Train.Machines[1].Feet[0].Station, 1e-9)
		wantAlike(t, before, evaluated(t, r), "counted from elsewhere")
	}
}

func shiftStations(v reflect.Value, name string, by float64) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			shiftStations(v.Elem(), name, by)
		}
	case reflect.Slice:
		for i := range v.Len() {
			shiftStations(v.Index(i), name, by)
		}
	case reflect.Struct:
		for i, f := range fieldsOf(v.Type()) {
			shiftStations(v.Field(i), f.name, by)
		}
	case reflect.Float64:
		if name == "station" || name == "flexPlanes" {
			v.SetFloat(v.Float() + by)
		}
	}
}

// walkedBack is the job as a person has it who walks the train the other way: machines,
// stations, right and left and the clock turn round.
func walkedBack(r *Record) {
	slices.Reverse(r.Train.Machines)
	for i := range r.Train.Machines {
		for k := range r.Train.Machines[i].Feet {
			f := &r.Train.Machines[i].Feet[k]
			f.Station, *f.Lateral = -f.Station, -*f.Lateral
		}
	}
	c := &r.Train.Couplings[0]
	c.Near, c.Far = c.Far, c.Near
	c.FlexPlanes = []float64{-c.FlexPlanes[1], -c.FlexPlanes[0]}
	for i := range r.Sets {
		for d := range r.Sets[i].Dials {
			dial := &r.Sets[i].Dials[d]
			dial.Station = -dial.Station
			dial.On = map[string]string{onNear: onFar, onFar: onNear}[dial.On]
			for k := range dial.Readings {
				dial.Readings[k].At = 360 - dial.Readings[k].At
			}
		}
	}
	for i := range r.States[0].Machines {
		m := &r.States[0].Machines[i]
		for k := range m.Measured {
			m.Measured[k].Station, m.Measured[k].Right = -m.Measured[k].Station, -m.Measured[k].Right
		}
		for k := range m.Supports {
			m.Supports[k].Station = -m.Supports[k].Station
		}
	}
	for i := range r.Moves {
		r.Moves[i].Right = -r.Moves[i].Right
	}
}

// Walked the other way, every foot goes up or down by the same, and sideways by the
// same toward the other hand; up and down offsets change their sign because far and
// near do, sideways ones twice; verdicts stay.
func TestEvalWalkedTheOtherWay(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 10))
	for range 20 {
		r := randomJob(rng)
		r.Base = nil
		before := evaluated(t, r)
		walkedBack(r)
		after := evaluated(t, r)
		same := func(id, other string, sign float64) {
			t.Helper()
			a, b := found(t, before, id), found(t, after, other)
			require.NotNil(t, a.Value, id)
			require.NotNil(t, b.Value, other)
			require.InDelta(t, sign**a.Value, *b.Value, 2*digits, id)
			require.Equal(t, a.Verdict, b.Verdict, id)
			wantSameNumber(t, a.Sigma, b.Sigma, id)
		}
		for _, set := range []string{"sets[0].", "sets[1]."} {
			for k := range 4 {
				foot := at("feet", k)
				same(set+"moves.train.machines[1]."+foot+".vertical", set+"moves.train.machines[0]."+foot+".vertical", 1)
				same(set+"moves.train.machines[1]."+foot+".horizontal", set+"moves.train.machines[0]."+foot+".horizontal", -1)
			}
			same(set+"offset.flex-near.vertical", set+"offset.flex-far.vertical", -1)
			same(set+"offset.flex-far.horizontal", set+"offset.flex-near.horizontal", 1)
			same(set+"slope.vertical", set+"slope.vertical", 1)
			same(set+"slope.horizontal", set+"slope.horizontal", -1)
			same(set+"angle.flex-near", set+"angle.flex-far", 1)
			same("states[0].couplings[0]."+set+"flex-far.vertical", "states[0].couplings[0]."+set+"flex-near.vertical", -1)
			for _, l := range []string{"limits[0].", "limits[1].", "limits[2]."} {
				same(l+set+"cold.share", l+set+"cold.share", 1)
				same(l+set+"states[0].share", l+set+"states[0].share", 1)
			}
		}
		same("moves.sets[0].predicted.flex-far.vertical", "moves.sets[0].predicted.flex-near.vertical", -1)
		same("moves.sets[0].predicted.flex-far.horizontal", "moves.sets[0].predicted.flex-near.horizontal", 1)
		assert.Equal(t, found(t, before, "moves.sets[0].finding.vertical").Words, found(t, after, "moves.sets[0].finding.vertical").Words)
		assert.Equal(t, found(t, before, "as-left.couplings[0]").Verdict, found(t, after, "as-left.couplings[0]").Verdict)
	}
}
