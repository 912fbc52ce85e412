package worksheet

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"collinear.example/align"
	"collinear.example/thermal"
)

func TestColdAgainstLibrary(t *testing.T) {
	eachInvented(t, coldKind(), func(t *testing.T, r *Record, s *Sheet, v Values) {
		var lines [2]align.Line
		for i := range lines {
			m := libraryMachine(t, r.Units, r.States[0].Machines[i].Supports)
			line, err := m.Line()
			require.NoError(t, err)
			lines[i] = line
			for k, end := range []string{"inboard", "outboard"} {
				g, err := m.Supports[k].Support.Growth()
				require.NoError(t, err)
				alike(t, float64(g), v["growth."+[2]string{"near", "far"}[i]+"."+end], end)
			}
		}
		state := thermal.State{Near: align.Axis{Vertical: lines[0]}, Far: align.Axis{Vertical: lines[1]}}
		target, err := state.ColdTarget()
		require.NoError(t, err)
		alike(t, float64(lines[0].At(0)), v["shaft.near"], "near shaft at the coupling")
		alike(t, float64(lines[1].At(0)), v["shaft.far"], "far shaft at the coupling")
		alike(t, float64(target.Vertical.At(0)), v["target.coupling"], "target at the coupling")
		for k, end := range []string{"inboard", "outboard"} {
			x := unit.Length(r.Units.Length.SI(r.Train.Machines[1].Feet[k].Station))
			alike(t, float64(lines[0].At(x)), v["reach."+end], "reach")
			alike(t, float64(target.Vertical.At(x)), v["target."+end], "target")
		}
		if s.step("reading") == nil {
			return
		}
		dial := align.Dial{Surface: align.Rim, Bracket: align.Near, Sag: align.RollOver(unit.Length(v["sag"]))}
		sweeps, err := thermal.TargetReadings(target, []align.Dial{dial}, align.Spool{}, align.Twelve, align.Twelve, align.Six)
		require.NoError(t, err)
		alike(t, float64(sweeps[0][1].Value), v["reading"], "reading")
	})
}

func TestColdMistakesApply(t *testing.T) { applies(t, coldKind(), 25) }

// By hand, the example of package thermal with a slope: the pump (near) rises by
// 0.24 mm all over. The motor (far), 0.4 m high, warms by 25 K at its inboard feet
// and by 50 K at its outboard ones, 0.5 m and 1 m from the coupling: 0.12 mm and
// 0.24 mm. Its line comes to nothing at the coupling, so the motor is to stand
// 0.24 mm high there, 0.12 mm high inboard and level outboard. A dial on its rim
// shows -0.48 mm at 6 o'clock, and with a sag of -0.06 mm -0.54 mm.
func TestColdByHand(t *testing.T) {
	support := func(station, hot float64) Support {
		return Support{Station: station, Height: 400, Coefficient: 12e-6, Cold: 20, Hot: hot}
	}
	r := &Record{Format: Format, Units: Units{Length: align.UnitMillimetre, Reading: align.UnitMillimetre, Temperature: align.UnitCelsius},
		Train: Train{Machines: []Machine{{Name: "pump"}, {Name: "motor"}}, Couplings: []Coupling{{Near: "pump", Far: "motor", FlexPlanes: []float64{0}}}},
		States: []State{{Machines: []Movement{
			{Machine: "pump", Supports: []Support{support(-300, 70), support(-800, 70)}},
			{Machine: "motor", Supports: []Support{support(500, 45), support(1000, 70)}}}}},
		Sag: []SagTest{{Bracket: "bar", Kind: "roll-over", Reading: -0.06}}}
	s, err := coldSheet(r)
	require.NoError(t, err)
	v := s.Work()
	mm := func(id string) float64 { return align.UnitMillimetre.FromSI(v[id]) }
	assert.InDelta(t, 0.12, mm("growth.far.inboard"), 1e-12)
	assert.InDelta(t, 0.24, mm("shaft.near"), 1e-12)
	assert.InDelta(t, 0, mm("shaft.far"), 1e-12)
	assert.InDelta(t, 0.24, mm("target.coupling"), 1e-12)
	assert.InDelta(t, 0.12, mm("target.inboard"), 1e-12)
	assert.InDelta(t, 0, mm("target.outboard"), 1e-12)
	assert.InDelta(t, -0.54, mm("reading"), 1e-12)
}

// R. B. McMillan, Rotating Machinery, fig. 9-10: targets of 5 and 2 mil become
// readings of 10 and -4 mil. The second is that of a dial on the far shaft; the
// sheet asks this one, here without sag: -2 x 2 = -4.
func TestTargetReadingPublished(t *testing.T) {
	r := published()
	r.Sag = []SagTest{{Bracket: "bar", Kind: "roll-over"}}
	m := &sheetMaker{}
	m.given("target.coupling", "", align.UnitMil.SI(2), align.UnitMil, 1)
	askTargetReading(m, r, &Coupling{Near: "pump", Far: "motor"})
	assert.InDelta(t, -4, align.UnitMil.FromSI(m.Work()["reading"]), 1e-12)
}

func TestColdLacks(t *testing.T) {
	cases := map[string]struct {
		change func(r *Record)
		want   align.Fault
	}{
		"no coupling":    {func(r *Record) { r.Train.Couplings = nil }, align.ErrMissing},
		"no flex plane":  {func(r *Record) { r.Train.Couplings[0].FlexPlanes = nil }, align.ErrMissing},
		"three planes":   {func(r *Record) { r.Train.Couplings[0].FlexPlanes = make([]float64, 3) }, align.ErrOutOfRange},
		"no states":      {func(r *Record) { r.States = nil }, align.ErrMissing},
		"one machine":    {func(r *Record) { r.States[0].Machines = r.States[0].Machines[:1] }, align.ErrMissing},
		"one support":    {func(r *Record) { s := &r.States[0].Machines[0].Supports; *s = (*s)[:1] }, align.ErrMismatch},
		"at one station": {func(r *Record) { s := r.States[0].Machines[0].Supports; s[1].Station = s[0].Station }, align.ErrCoincident},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			r := coldRecord(invent(4), Usual)
			c.change(r)
			_, err := coldSheet(r)
			require.ErrorIs(t, err, c.want)
		})
	}
}
