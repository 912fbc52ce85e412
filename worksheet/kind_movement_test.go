package worksheet

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"collinear.example/align"
	"collinear.example/thermal"
)

// invent returns an inventor with a seed.
func invent(seed uint64) inventor { return newInventor(rand.New(rand.NewPCG(seed, 5))) }

func TestMovementAgainstLibrary(t *testing.T) {
	eachInvented(t, movementKind(), func(t *testing.T, r *Record, s *Sheet, v Values) {
		u := r.Units
		var axes [2]align.Axis
		for i := range axes {
			var p [2]thermal.MovedPoint
			for k, m := range r.States[0].Machines[i].Measured {
				p[k] = thermal.MovedPoint{Station: unit.Length(u.Length.SI(m.Station)), Offset: align.Offset{
					Vertical: unit.Length(u.Reading.SI(m.Up)), Horizontal: unit.Length(u.Reading.SI(m.Right))}}
			}
			axis, err := thermal.MeasuredMovement{First: p[0], Second: p[1]}.Axis()
			require.NoError(t, err)
			axes[i] = axis
		}
		target, err := thermal.State{Near: axes[0], Far: axes[1]}.ColdTarget()
		require.NoError(t, err)
		alike(t, float64(axes[0].Vertical.At(0)), v["shaft.near.vertical"], "near")
		alike(t, float64(axes[1].Vertical.At(0)), v["shaft.far.vertical"], "far")
		sideways := s.step("target.inboard.horizontal") != nil
		if sideways {
			alike(t, float64(axes[1].Horizontal.At(0)), v["shaft.far.horizontal"], "far")
		}
		for k, end := range []string{"inboard", "outboard"} {
			x := unit.Length(u.Length.SI(r.Train.Machines[1].Feet[k].Station))
			alike(t, float64(target.Vertical.At(x)), v["target."+end+".vertical"], end)
			if sideways {
				alike(t, float64(target.Horizontal.At(x)), v["target."+end+".horizontal"], end)
			}
		}
	})
}

func TestMovementMistakesApply(t *testing.T) { applies(t, movementKind(), 60) }

// By hand: the near shaft rises by 10 mil at -10 in and by 4 mil at -40 in, 0.2 mil
// an inch, so 12 mil at the coupling and 16 mil at 20 in. The far shaft rises by
// 3 mil at 10 in and by 9 mil at 40 in: 1 mil at the coupling, 5 mil at 20 in and
// 11 mil at 50 in, where the near line comes to 22 mil. Both feet are to be set
// 11 mil high.
func TestMovementByHand(t *testing.T) {
	r := &Record{Format: Format, Units: Units{Length: align.UnitInch, Reading: align.UnitMil},
		Train: Train{Machines: []Machine{{Name: "turbine"}, {Name: "pump", Feet: []Foot{{Name: "outboard", Station: 50}, {Name: "inboard", Station: 20}}}},
			Couplings: []Coupling{{Near: "turbine", Far: "pump", FlexPlanes: []float64{-2, 2}}}},
		States: []State{{Machines: []Movement{
			{Machine: "turbine", Measured: []Moved{{Station: -10, Up: 10}, {Station: -40, Up: 4}}},
			{Machine: "pump", Measured: []Moved{{Station: 10, Up: 3}, {Station: 40, Up: 9}}}}}}}
	s, err := movementSheet(r)
	require.NoError(t, err)
	v := s.Work()
	mil := func(id string) float64 { return align.UnitMil.FromSI(v[id]) }
	assert.InDelta(t, 12, mil("shaft.near.vertical"), 1e-9)
	assert.InDelta(t, 1, mil("shaft.far.vertical"), 1e-9)
	assert.InDelta(t, 11, mil("target.inboard.vertical"), 1e-9)
	assert.InDelta(t, 11, mil("target.outboard.vertical"), 1e-9)
	assert.Nil(t, s.step("target.inboard.horizontal"))
}

func TestMovementLacks(t *testing.T) {
	cases := map[string]struct {
		change func(r *Record)
		want   align.Fault
	}{
		"no coupling":    {func(r *Record) { r.Train.Couplings = nil }, align.ErrMissing},
		"no feet":        {func(r *Record) { r.Train.Machines[1].Feet = nil }, align.ErrMissing},
		"unknown far":    {func(r *Record) { r.Train.Couplings[0].Far = "nobody" }, align.ErrMissing},
		"feet together":  {func(r *Record) { f := r.Train.Machines[1].Feet; f[1].Station = f[0].Station }, align.ErrCoincident},
		"one station":    {func(r *Record) { m := &r.States[0].Machines[1].Measured; *m = (*m)[:1] }, align.ErrMismatch},
		"at one station": {func(r *Record) { m := r.States[0].Machines[1].Measured; m[1].Station = m[0].Station }, align.ErrCoincident},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			r := movementRecord(invent(4), Usual)
			c.change(r)
			_, err := movementSheet(r)
			require.ErrorIs(t, err, c.want)
		})
	}
}
