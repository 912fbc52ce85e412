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

// eachInvented builds 200 invented jobs of a kind, of all difficulties in turn.
func eachInvented(t *testing.T, k kind, f func(t *testing.T, r *Record, s *Sheet, v Values)) {
	t.Helper()
	for seed := range uint64(200) {
		r := k.generate(rand.New(rand.NewPCG(seed, 17)), Difficulty(1+seed%3))
		require.NoError(t, r.Check(), "seed %d", seed)
		s, err := k.build(r)
		require.NoError(t, err, "seed %d", seed)
		require.NoError(t, s.check(), "seed %d", seed)
		f(t, r, s, s.Work())
	}
}

// alike holds a figure of a sheet against the library's, to 1e-9 relative; what is
// smaller than a picometre is rounding noise of a difference that came to nothing.
func alike(t *testing.T, want, got float64, what string) {
	t.Helper()
	if assert.InDelta(t, want, got, 1e-9*max(want, -want)+1e-12, what); t.Failed() {
		t.FailNow()
	}
}

// applies wants every mistake of a kind to change an answer in a good part of 200
// jobs that give it an occasion.
func applies(t *testing.T, k kind, least int) {
	t.Helper()
	given, changed := map[string]int{}, map[string]int{}
	for seed := range uint64(200) {
		s, err := k.build(k.generate(rand.New(rand.NewPCG(seed, 23)), Difficulty(1+seed%3)))
		require.NoError(t, err)
		right := newWay(Mistake{}, s)
		for _, m := range k.mistakes {
			wrong := m.in(s)
			if wrong == nil {
				continue
			}
			given[m.Code]++
			if w := newWay(m, wrong); w.differs(&right) {
				changed[m.Code]++
			}
		}
	}
	for _, m := range k.mistakes {
		assert.GreaterOrEqual(t, changed[m.Code], least, m.Code)
		assert.GreaterOrEqual(t, 2*changed[m.Code], given[m.Code], "%s changes nothing in most jobs", m.Code)
	}
}

// libraryMachine is a machine of package thermal from the supports of a record.
func libraryMachine(t *testing.T, u Units, supports []Support) thermal.Machine {
	t.Helper()
	var m thermal.Machine
	for _, s := range supports {
		material := thermal.Material{Kind: thermal.Constant, Coefficient: s.Coefficient}
		if u.Temperature == align.UnitFahrenheit {
			material.Coefficient *= 1.8
		}
		if s.Material != "" {
			for _, f := range thermal.Find(s.Material) {
				if s.Variant == "" || s.Variant == f.Variant {
					material = f
				}
			}
		}
		m.Supports = append(m.Supports, thermal.SupportAt{Station: unit.Length(u.Length.SI(s.Station)),
			Support: thermal.FootMounted(thermal.Height{Length: unit.Length(u.Length.SI(s.Height)), Material: material,
				Cold: unit.Temperature(u.Temperature.SI(s.Cold)), Hot: unit.Temperature(u.Temperature.SI(s.Hot))})})
	}
	return m
}

func TestSupportAgainstLibrary(t *testing.T) {
	eachInvented(t, supportKind(), func(t *testing.T, r *Record, s *Sheet, v Values) {
		supports := r.States[0].Machines[0].Supports
		m := libraryMachine(t, r.Units, supports)
		for i, id := range []string{"inboard", "outboard"} {
			g, err := m.Supports[i].Support.Growth()
			require.NoError(t, err)
			alike(t, float64(g), v["growth."+id], id)
			alike(t, r.Units.Temperature.SI(supports[i].Hot)-r.Units.Temperature.SI(supports[i].Cold), v["rise."+id], id)
			if s.step("turned."+id) != nil {
				alike(t, v["rise."+id], v["turned."+id], id)
			}
		}
		line, err := m.Line()
		require.NoError(t, err)
		alike(t, line.Slope, v["tilt"], "tilt")
	})
}

func TestSupportMistakesApply(t *testing.T) { applies(t, supportKind(), 40) }

// published is a record of one machine in inches and degF.
func published(supports ...Support) *Record {
	return &Record{Format: Format, Units: Units{Length: align.UnitInch, Reading: align.UnitMil, Temperature: align.UnitFahrenheit},
		Train:  Train{Machines: []Machine{{Name: "pump"}}},
		States: []State{{Machines: []Movement{{Machine: "pump", Supports: supports}}}}}
}

// R. B. McMillan, Rotating Machinery, Fairmont Press, 2004, example 8-3: feet 17 in
// and 22 in high, 78 degF to 106 and 138 degF, printed 3 and 8 mil, whole shims.
func TestSupportPublished(t *testing.T) {
	s, err := supportSheet(published(
		Support{Station: 16, Height: 17, Coefficient: 6.3e-6, Cold: 78, Hot: 106},
		Support{Station: 36, Height: 22, Material: "steel or cast iron", Cold: 78, Hot: 138}))
	require.NoError(t, err)
	v := s.Work()
	assert.InDelta(t, 2.9988, align.UnitMil.FromSI(v["growth.inboard"]), 1e-9) // 17 x 28 x 0.0063
	assert.InDelta(t, 8.316, align.UnitMil.FromSI(v["growth.outboard"]), 1e-9) // 22 x 60 x 0.0063
	assert.InDelta(t, 28, align.UnitFahrenheitRise.FromSI(v["rise.inboard"]), 1e-9)
	assert.InDelta(t, (8.316-2.9988)/20, align.UnitMilPerInch.FromSI(v["tilt"]), 1e-9)
}

// Bachus and Custodio, Know and Understand Centrifugal Pumps, p. 156: 316 stainless
// steel, 10 in, a rise of 100 degF makes 0.0097 in.
func TestSupportPublishedStainless(t *testing.T) {
	s, err := supportSheet(published(Support{Height: 10, Material: "316 stainless steel", Cold: 70, Hot: 170}))
	require.NoError(t, err)
	assert.InDelta(t, 0.0097, align.UnitInch.FromSI(s.Work()["growth.no. 1"]), 1e-12)
}

// Bloch and Geitner, Machinery Component Maintenance and Repair, p. 236, tell the
// reader to turn a rise with the formula for a temperature: 80 degC becomes 176
// degF, where it is 144 degF; 15 in of 6 millionths then grow by 15.84 mil in the
// place of 12.96.
func TestSupportPublishedSlip(t *testing.T) {
	r := published(Support{Height: 15 * 25.4, Material: "steel or cast iron", Cold: 20, Hot: 100})
	r.Units = Units{Length: align.UnitMillimetre, Reading: align.UnitMillimetre, Temperature: align.UnitCelsius}
	s, err := supportSheet(r)
	require.NoError(t, err)
	assert.InDelta(t, 144, align.UnitFahrenheitRise.FromSI(s.Work()["turned.no. 1"]), 1e-9)
	for _, m := range supportMistakes() {
		if m.Code == "thirty-two-on-difference" {
			wrong := m.in(s)
			require.NotNil(t, wrong)
			assert.InDelta(t, 176, align.UnitFahrenheitRise.FromSI(wrong.Work()["turned.no. 1"]), 1e-9)
			assert.InDelta(t, 15.84/12.96, wrong.Work()["growth.no. 1"]/s.Work()["growth.no. 1"], 1e-9)
		}
	}
}

func TestSupportLacks(t *testing.T) {
	cases := map[string]struct {
		change func(r *Record)
		want   align.Fault
	}{
		"no states":      {func(r *Record) { r.States = nil }, align.ErrMissing},
		"no supports":    {func(r *Record) { r.States[0].Machines[0].Supports = nil }, align.ErrMissing},
		"no scale":       {func(r *Record) { r.Units.Temperature = "" }, align.ErrMissing},
		"wrong scale":    {func(r *Record) { r.Units.Temperature = align.UnitMil }, align.ErrWrongUnit},
		"no coefficient": {func(r *Record) { r.States[0].Machines[0].Supports[0].Coefficient = 0 }, align.ErrMissing},
		"no such material": {func(r *Record) { r.States[0].Machines[0].Supports[0].Material = "butter" },
			align.ErrUnknownKind},
		"several values": {func(r *Record) { r.States[0].Machines[0].Supports[0].Material = "carbon steel" }, align.ErrMissing},
		"same temperature": {func(r *Record) { r.States[0].Machines[0].Supports[0].Hot = 78 },
			thermal.ErrSameTemperature},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			r := published(Support{Height: 17, Coefficient: 6.3e-6, Cold: 78, Hot: 106})
			c.change(r)
			_, err := supportSheet(r)
			require.ErrorIs(t, err, c.want)
		})
	}
}
