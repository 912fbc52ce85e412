package worksheet

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// eachAligned builds 200 invented jobs of a kind at every difficulty and hands
// over record, sheet and figures.
func eachAligned(t *testing.T, k kind, f func(t *testing.T, d Difficulty, r *Record, s *Sheet, v Values)) {
	t.Helper()
	for d := Plain; d <= Severe; d++ {
		for seed := range uint64(200) {
			r := k.generate(rand.New(rand.NewPCG(seed, uint64(d))), d)
			require.NoError(t, r.Check(), "difficulty %d, seed %d", d, seed)
			s, err := k.build(r)
			require.NoError(t, err, "difficulty %d, seed %d", d, seed)
			n := len(s.asked())
			require.True(t, n >= 4 && n <= 13, "%d steps asked", n)
			f(t, d, r, s, s.Work())
			require.False(t, t.Failed(), "difficulty %d, seed %d", d, seed)
		}
	}
}

// sameAligned holds a figure against the library's to 1e-9 of it; the rest is for figures
// next to nothing, a thousandth of a picometre.
func sameAligned(t *testing.T, want, got float64, step string) {
	t.Helper()
	require.InDelta(t, want, got, 1e-9*math.Abs(want)+1e-15, step)
}

// asSweep returns readings as package align takes them.
func asSweep(u Units, rs []Reading, against bool) (s align.Sweep) {
	for _, p := range rs {
		s = append(s, align.Reading{At: align.Clock(p.At), Value: unit.Length(u.reading(p.Value))})
	}
	if against {
		return s.Mirrored()
	}
	return s
}

// asDial returns a dial as package align takes it.
func asDial(t *testing.T, r *Record, d *Dial) align.Dial {
	t.Helper()
	sag, ok := r.sagOf(d.Bracket)
	require.True(t, ok)
	a := align.Dial{Station: unit.Length(r.Units.length(d.Station)), Sag: align.RollOver(unit.Length(sag)), Sweep: asSweep(r.Units, d.Readings, d.Against)}
	if d.On == onNear {
		a.Bracket = align.Far
	}
	if d.Touches != rimDial {
		a.Diameter = unit.Length(r.Units.length(d.Diameter))
	}
	if d.Touches == faceToward {
		a.Surface = align.FaceToward
	}
	if d.Touches == faceAway {
		a.Surface = align.FaceAway
	}
	return a
}

// sameFeet holds the moves at the feet, in the planes that are known.
func sameFeet(t *testing.T, r *Record, v Values, p align.Position) {
	t.Helper()
	for _, f := range r.Train.Machines[1].Feet {
		m := p.MoveFar(unit.Length(r.Units.length(f.Station)))
		sameAligned(t, float64(m.Vertical), v["move."+f.Name+".vertical"], "move, vertical")
		if p.HorizontalKnown {
			sameAligned(t, float64(m.Horizontal), v["move."+f.Name+".horizontal"], "move, horizontal")
		}
	}
}

// inMil returns a record in mils and inches with two machines.
func inMil(feet ...float64) *Record {
	r := &Record{Format: Format, Title: "hand", Units: Units{Length: align.UnitInch, Reading: align.UnitMil}}
	r.Train.Machines = []Machine{{Name: "motor"}, {Name: "pump"}}
	r.Train.Couplings = []Coupling{{Name: "coupling", Near: "motor", Far: "pump"}}
	for i, f := range feet {
		r.Train.Machines[1].Feet = append(r.Train.Machines[1].Feet, Foot{Name: []string{"inboard", "outboard"}[i], Station: f})
	}
	return r
}

// working returns the figures of the sheet of a record, done with one mistake
// unless code is "".
func working(t *testing.T, k kind, r *Record, code string) Values {
	t.Helper()
	require.NoError(t, r.Check())
	s, err := k.build(r)
	require.NoError(t, err)
	if code == "" {
		return s.Work()
	}
	for i := range k.mistakes {
		if k.mistakes[i].Code == code {
			wrong := k.mistakes[i].in(s)
			require.NotNil(t, wrong, code)
			return wrong.Work()
		}
	}
	require.Fail(t, "no such mistake", code)
	return nil
}

// inMils returns a figure in mils.
func inMils(si float64) float64 { return align.UnitMil.FromSI(si) }

// TestAlignMistakes: every mistake has words and a rank, gives answers that differ
// from the right ones in a good part of the exercises, and leaves the sheet alone.
func TestAlignMistakes(t *testing.T) {
	for _, k := range alignKinds() {
		t.Run(k.name, func(t *testing.T) {
			t.Parallel()
			count := map[string]int{}
			for seed := range uint64(200) {
				e, err := Generate(k.name, seed, Difficulty(1+seed%3))
				require.NoError(t, err)
				before := e.Sheet.Work()
				for _, o := range e.Occasions() {
					count[o.Code]++
				}
				require.Equal(t, before, e.Sheet.Work())
			}
			for _, m := range k.mistakes {
				assert.NotEmpty(t, m.Says, m.Code)
				assert.Positive(t, m.Rank, m.Code)
				assert.GreaterOrEqual(t, count[m.Code], 30, m.Code)
			}
		})
	}
}

// TestAlignKindsRefuse: a record that lacks what a kind needs is refused with a
// fault, and none makes the kind panic.
func TestAlignKindsRefuse(t *testing.T) {
	spoil := map[string]func(r *Record){
		"everything": func(r *Record) { *r = Record{} },
		"machines":   func(r *Record) { r.Train.Machines = nil },
		"readings":   func(r *Record) { eachDial(r, func(d *Dial) { d.Readings = nil }); eachGap(r, nil) },
		"one reading": func(r *Record) {
			eachDial(r, func(d *Dial) { d.Readings = d.Readings[:1] })
			eachGap(r, []Reading{{0, 1}})
		},
		"odd positions": func(r *Record) {
			eachDial(r, func(d *Dial) { d.Readings[0].At = math.NaN() })
			eachGap(r, []Reading{{45, 1}})
		},
		"unknown dials": func(r *Record) { eachDial(r, func(d *Dial) { d.Touches, d.On = "?", "?" }); r.Hubs = nil },
		"no dials": func(r *Record) {
			for i := range r.Sets {
				r.Sets[i].Dials = nil
			}
			r.Hubs = nil
		},
	}
	for _, k := range alignKinds() {
		for name, f := range spoil {
			r := k.generate(rand.New(rand.NewPCG(1, 2)), Severe)
			f(r)
			_, err := k.build(r)
			if k.name == "target-readings" && (name == "readings" || name == "one reading" || name == "odd positions") {
				require.NoError(t, err) // it asks for the readings
				continue
			}
			var fault *align.InputError
			require.ErrorAs(t, err, &fault, "%s without %s", k.name, name)
			require.NotEmpty(t, fault.Field)
		}
	}
	for _, k := range alignKinds() {
		if k.name == "feeler-gauge" {
			continue
		}
		r := k.generate(rand.New(rand.NewPCG(1, 2)), Severe)
		r.Sag = nil
		_, err := k.build(r)
		require.ErrorIs(t, err, align.ErrMissing, "%s without a sag test", k.name)
	}
}

func eachDial(r *Record, f func(d *Dial)) {
	for i := range r.Sets {
		for j := range r.Sets[i].Dials {
			f(&r.Sets[i].Dials[j])
		}
	}
}

func eachGap(r *Record, gaps []Reading) {
	for i := range r.Hubs {
		r.Hubs[i].Gaps = gaps
		r.Hubs[i].Straightedge.Gaps = gaps
	}
}

// FuzzAlignKinds: whatever numbers stand in a record, a kind gives a sheet of
// finite figures or a fault.
func FuzzAlignKinds(f *testing.F) {
	f.Add(uint64(1), uint8(2), 0.0, 0.0, 0.0, 0.0)
	f.Add(uint64(2), uint8(3), 1e308, -1e308, 90.0, 1e-300)
	f.Add(uint64(3), uint8(1), math.Inf(1), math.NaN(), 360.0, -1.0)
	f.Fuzz(func(t *testing.T, seed uint64, d uint8, value, station, at, other float64) {
		for _, k := range alignKinds() {
			r := k.generate(rand.New(rand.NewPCG(seed, 1)), Difficulty(1+d%3))
			eachDial(r, func(d *Dial) {
				d.Readings[len(d.Readings)-1] = Reading{at, value}
				d.Station = other
			})
			for i := range r.Hubs {
				r.Hubs[i].Gaps[0] = Reading{at, value}
				r.Hubs[i].Diameter = other
			}
			r.Train.Machines[1].Feet[0].Station = station
			if len(r.Sag) > 0 {
				r.Sag[0].Reading = other
			}
			e, err := NewExercise(k.name, r)
			if err != nil {
				var fault *align.InputError
				require.True(t, errors.As(err, &fault))
				continue
			}
			for id, x := range e.Sheet.Work() {
				require.True(t, align.IsFinite(x), id)
			}
		}
	})
}

// TestDialQuarters: the first of two readings at one place counts, the last closes
// where the first stood, and other places are left out.
func TestDialQuarters(t *testing.T) {
	q := dialQuartersOf(&Dial{Readings: []Reading{{0, 1}, {45, 9}, {90, 2}, {270, 4}, {-180, 3}, {90, 7}, {360, 1.5}}})
	assert.Equal(t, [4]float64{1, 2, 3, 4}, q.value)
	require.NotNil(t, q.closing)
	assert.Equal(t, 1.5, *q.closing)
	assert.Equal(t, 2, q.sides())
	q = dialQuartersOf(&Dial{Readings: []Reading{{0, 1}, {180, 2}}})
	assert.Nil(t, q.closing)
	require.ErrorIs(t, q.need("here", 0, 1), align.ErrMissing)
}

// TestDigitsExchanged: 17 for 71, 0.45 for 0.54; two equal digits or one alone give
// no occasion.
func TestDigitsExchanged(t *testing.T) {
	for _, c := range []struct {
		u           align.Unit
		value, want float64
		ok          bool
	}{
		{align.UnitMil, 17, 71, true}, {align.UnitMil, -17.5, -71.5, true}, {align.UnitMil, 22, 22, false}, {align.UnitMil, 7, 7, false},
		{align.UnitMillimetre, 0.45, 0.54, true}, {align.UnitMillimetre, -1.05, -1.50, true}, {align.UnitMillimetre, 0.33, 0.33, false},
	} {
		s := &Sheet{Givens: []Given{{ID: "a", Value: c.u.SI(c.value), Unit: c.u}}}
		assert.Equal(t, c.ok, digitsExchanged("a")(s), "%v", c.value)
		assert.InDelta(t, c.want, c.u.FromSI(s.Givens[0].Value), 1e-9, "%v", c.value)
	}
}
