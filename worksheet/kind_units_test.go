package worksheet

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"collinear.example/align"
	"collinear.example/tolerance"
)

func TestUnitsAgainstLibrary(t *testing.T) {
	eachInvented(t, unitsKind(), func(t *testing.T, r *Record, s *Sheet, v Values) {
		u := r.Units
		moved, support := r.States[0].Machines[0].Measured, r.States[0].Machines[1].Supports[0]
		line, err := align.Through(
			align.Point{Station: unit.Length(u.Length.SI(moved[0].Station)), Offset: unit.Length(u.Reading.SI(moved[0].Up))},
			align.Point{Station: unit.Length(u.Length.SI(moved[1].Station)), Offset: unit.Length(u.Reading.SI(moved[1].Up))})
		require.NoError(t, err)
		alike(t, line.Slope, v["slope"], "slope")
		alike(t, line.Slope, v["slope.other"], "slope in the other system")
		alike(t, float64(tolerance.GapOf(line.Slope, 10*align.Inch)), v["slope.ten"], "over 10 in")
		alike(t, float64(tolerance.GapOf(line.Slope, 100*align.Millimetre)), v["slope.hundred"], "over 100 mm")
		alike(t, float64(tolerance.AngleOfSlope(line.Slope)), v["slope.angle"], "angle")
		written := func(id string) float64 { return s.step(id).Unit.FromSI(v[id]) }
		inch := u.Length == align.UnitInch
		if inch { // factors by hand
			alike(t, moved[0].Up*25.4, written("movement"), "mil to um")
			alike(t, (moved[1].Station-moved[0].Station)*25.4, written("distance"), "in to mm")
			alike(t, (support.Cold-32)*5/9, written("temperature"), "degF to degC")
			alike(t, (support.Hot-support.Cold)*5/9, written("rise"), "rise")
			alike(t, support.Coefficient*9/5*1e6, written("expansion"), "um/m per degC")
			return
		}
		alike(t, moved[0].Up/0.0254, written("movement"), "mm to mil")
		alike(t, (moved[1].Station-moved[0].Station)/25.4, written("distance"), "mm to in")
		alike(t, support.Cold*9/5+32, written("temperature"), "degC to degF")
		alike(t, (support.Hot-support.Cold)*9/5, written("rise"), "rise")
		alike(t, support.Coefficient*5/9*1e6, written("expansion"), "um/m per degF")
	})
}

func TestUnitsMistakesApply(t *testing.T) { applies(t, unitsKind(), 190) }

// By hand: a shaft that rises by 10 mil at one end and by 22 mil 24 in on gains 0.5
// mil/in, 0.5 mm/m, 5 mil over 10 in, 0.05 mm over 100 mm, 0.0286 deg. 10 mil are
// 254 um, 24 in are 609.6 mm, 68 degF are 20 degC, a rise of 90 degF is one of 50
// degC, and 6.5 millionths per degF are 11.7 um/m per degC.
func TestUnitsByHand(t *testing.T) {
	s, err := unitsSheet(unitsExample())
	require.NoError(t, err)
	v := s.Work()
	for id, want := range map[string]float64{"movement": 254, "distance": 609.6, "slope": 0.5, "slope.other": 0.5, "slope.ten": 5, "slope.hundred": 0.05,
		"slope.angle": math.Atan(0.0005) * 180 / math.Pi, "temperature": 20, "rise": 50, "expansion": 11.7} {
		assert.InDelta(t, want, s.step(id).Unit.FromSI(v[id]), 1e-9, id)
	}
	assert.InDelta(t, 0.0286, align.UnitDegree.FromSI(v["slope.angle"]), 5e-5)
	text := map[string]string{"movement": "254 um", "temperature": "20.0 degC", "rise": "50.0 degC-rise", "expansion": "11.700 um"}
	for id, want := range text {
		assert.Equal(t, want, s.step(id).Text(v[id]))
	}
}

func unitsExample() *Record {
	r := published(Support{Height: 10, Coefficient: 6.5e-6, Cold: 68, Hot: 158})
	r.States[0].Machines = append(r.States[0].Machines, Movement{Machine: "motor", Measured: []Moved{{Station: 6, Up: 10}, {Station: 30, Up: 22}}})
	return r
}

func TestUnitsLacks(t *testing.T) {
	cases := map[string]struct {
		change func(r *Record)
		want   align.Fault
	}{
		"no states":    {func(r *Record) { r.States = nil }, align.ErrMissing},
		"no movement":  {func(r *Record) { r.States[0].Machines = r.States[0].Machines[:1] }, align.ErrMissing},
		"no support":   {func(r *Record) { r.States[0].Machines = r.States[0].Machines[1:] }, align.ErrMissing},
		"one station":  {func(r *Record) { m := r.States[0].Machines[1].Measured; m[1].Station = m[0].Station }, align.ErrCoincident},
		"no scale":     {func(r *Record) { r.Units.Temperature = "" }, align.ErrMissing},
		"long lengths": {func(r *Record) { r.Units.Length = align.UnitFoot }, align.ErrWrongUnit},
		"long reading": {func(r *Record) { r.Units.Reading = align.UnitMetre }, align.ErrWrongUnit},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			r := unitsExample()
			c.change(r)
			_, err := unitsSheet(r)
			require.ErrorIs(t, err, c.want)
		})
	}
}
