package moves_test

import (
	"context"
	"encoding/json"
	"math"
	"testing"

	"collinear.example/align"
	"collinear.example/moves"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// FuzzPlan plans a train of two machines of any numbers: an error has a code and
// names a field, a plan has no NaN in it (JSON would refuse one), one that is
// feasible keeps every limit, and one that is not says why.
func FuzzPlan(f *testing.F) {
	f.Add(5e-4, 2e-4, -3e-4, 1e-4, 1e-3, 1e-3, 5e-5, 5e-4, 1e-4, 0.0, uint8(0))
	f.Add(5e-4, 2e-4, -3e-4, 1e-4, 1e-5, 0.0, 5e-5, 5e-4, 1e-4, 1e-3, uint8(7))
	f.Add(0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 1e-9, 1e-9, 0.0, 0.0, uint8(255))
	f.Add(math.NaN(), 0.0, 0.0, 0.0, 0.0, 0.0, 1e-3, 1e-3, 0.0, 0.0, uint8(3))
	f.Add(1.0, 0.9, -9.0, 0.5, 9.9, 1e-300, 9.0, 1.0, -5.0, 9.0, uint8(90))
	f.Add(9.0, 0.95, -9.0, 0.95, 9.0, 9.0, 1e-9, 1e-9, 0.0, 0.0, uint8(39)) // no small motion will do
	f.Add(1e-12, 1e-12, 1e-200, 0.0, math.Inf(1), 1e-7, 1e-8, 1e-8, 1e-4, 1e-4, uint8(129))
	f.Fuzz(func(t *testing.T, offset, slope, side, turned, down, room, limit, steep, state, gap float64, kind uint8) {
		train := fuzzTrain(offset, slope, side, turned, down, room, limit, steep, state, gap, kind)
		criteria := []moves.Criterion{moves.Criterion(kind % 7)}
		if kind >= 128 {
			criteria = nil
		}
		p, err := train.Plan(context.Background(), moves.Options{Criteria: criteria, Sides: 8})
		if err != nil {
			require.NotEmpty(t, align.CodeOf(err), err.Error())
			var input *align.InputError
			require.ErrorAs(t, err, &input)
			require.NotEmpty(t, input.Field)
			return
		}
		_, err = json.Marshal(p)
		require.NoError(t, err)
		if !p.Feasible {
			require.NotNil(t, p.Why)
			return
		}
		e, err := train.Evaluate(p.Motions)
		require.NoError(t, err)
		requireWithin(t, train, &e)
	})
}

// requireWithin holds a plan against its limits themselves, to a billionth of the
// numbers it was worked out from, or a tenth of a nanometre.
func requireWithin(t *testing.T, train *moves.Train, e *moves.Evaluation) {
	t.Helper()
	size := 0.0
	for i := range e.Feet {
		for k := range e.Feet[i] {
			m := e.Feet[i][k].Move
			size = max(size, math.Abs(float64(m.Vertical)), math.Abs(float64(m.Horizontal)))
		}
	}
	for i := range train.Couplings {
		a := train.Couplings[i].Found
		size = max(size, math.Abs(float64(a.Vertical.Offset)), math.Abs(float64(a.Horizontal.Offset)), math.Abs(a.Vertical.Slope), math.Abs(a.Horizontal.Slope))
	}
	near := 1e-10 + 1e-8*size
	for i := range e.Feet {
		for k := range e.Feet[i] {
			r, m := train.Machines[i].Feet[k].Range, e.Feet[i][k].Move
			for _, one := range []struct {
				move  unit.Length
				limit *unit.Length
			}{{m.Vertical, r.Up}, {-m.Vertical, r.Down}, {m.Horizontal, r.Right}, {-m.Horizontal, r.Left}} {
				if one.limit != nil {
					require.LessOrEqual(t, float64(one.move), float64(*one.limit)+near)
				}
			}
		}
	}
	for i := range e.Couplings {
		for _, s := range e.Couplings[i].States {
			require.LessOrEqual(t, s.Worst.Found, s.Worst.Limit+10*near)
		}
	}
}

func fuzzTrain(offset, slope, side, turned, down, room, limit, steep, state, gap float64, kind uint8) *moves.Train {
	from := func(v float64) *unit.Length {
		l := unit.Length(v)
		return &l
	}
	feet := fourFeet(0.3, 1.2, 0.25)
	for k := range feet {
		feet[k].Range = moves.FootRange{Down: from(down), Left: from(room), Right: from(room)}
		if kind&1 != 0 {
			feet[k].Range.Up = from(room)
		}
	}
	c := moves.Coupling{
		Near: moves.ShaftOf{Machine: 0, Height: 0.3}, Far: moves.ShaftOf{Machine: 1, Height: 0.3},
		Found: align.Axis{
			Vertical:   align.Line{Offset: unit.Length(offset), Slope: slope},
			Horizontal: align.Line{Offset: unit.Length(side), Slope: turned},
		},
		Offsets: []moves.OffsetLimit{{Station: 0, Limit: unit.Length(limit), Resultant: kind&2 != 0}},
	}
	if kind&4 != 0 {
		c.Slope = &moves.SlopeLimit{Limit: steep, Resultant: kind&8 != 0}
	}
	if kind&16 != 0 {
		c.Gap = &moves.AxialGap{Error: unit.Length(gap), Tolerance: unit.Length(math.Abs(gap) / 2)}
	}
	t := &moves.Train{
		Machines: []moves.Machine{
			{Name: "pump", Feet: fourFeet(-1.2, -0.3, 0.25)},
			{Name: "motor", Feet: feet, Free: moves.TwoPlanes(), About: align.Place{X: 0.7}},
		},
		Couplings: []moves.Coupling{c},
	}
	if kind&32 != 0 {
		t.Machines[0].Free = moves.TwoPlanes()
	}
	if kind&64 != 0 {
		t.Machines[1].Free.ShiftX = true
	}
	if state != 0 {
		t.States = []moves.State{
			{Name: "cold", Relative: make([]align.Axis, 1)},
			{Name: "hot", Relative: []align.Axis{{Vertical: align.Line{Offset: unit.Length(state)}}}},
		}
	}
	return t
}
