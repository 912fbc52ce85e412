package worksheet

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"collinear.example/align"
	"collinear.example/tolerance"
)

// librarySweep turns the readings of a dial into a sweep of package align.
func librarySweep(u Units, d *Dial) (sweep align.Sweep) {
	for _, p := range d.Readings {
		sweep = append(sweep, align.Reading{At: align.Clock(p.At), Value: unit.Length(u.Reading.SI(p.Value))})
	}
	return sweep
}

func TestSpacerAgainstLibrary(t *testing.T) {
	eachInvented(t, spacerKind(), func(t *testing.T, r *Record, s *Sheet, v Values) {
		u := r.Units
		dial := func(i int) align.Dial {
			d := &r.Sets[0].Dials[i]
			return align.Dial{Station: unit.Length(u.Length.SI(d.Station)), Sweep: librarySweep(u, d), Sag: align.RollOver(unit.Length(u.Reading.SI(r.Sag[i].Reading)))}
		}
		p, err := align.ReverseIndicator{OnFar: dial(0), OnNear: dial(1)}.Solve()
		require.NoError(t, err)
		planes := r.Train.Couplings[0].FlexPlanes
		spool := align.Spool{NearFlex: unit.Length(u.Length.SI(planes[0])), FarFlex: unit.Length(u.Length.SI(planes[1]))}
		for id, x := range map[string]unit.Length{"near": spool.NearFlex, "far": spool.FarFlex} {
			alike(t, float64(p.At(x).Vertical), v["offset."+id+".vertical"], id)
			if s.step("offset."+id+".horizontal") != nil {
				alike(t, float64(p.At(x).Horizontal), v["offset."+id+".horizontal"], id)
			}
		}
		angles, err := p.Axis.FlexAngles(spool)
		require.NoError(t, err)
		alike(t, angles.Near.Resultant(), v["angle.near"], "angle near")
		alike(t, angles.Far.Resultant(), v["angle.far"], "angle far")
		alike(t, angles.Largest(), v["largest"], "largest")
		set, err := tolerance.FindSet(r.Limits[0].Set)
		require.NoError(t, err)
		grade, err := set.Grade(tolerance.Readings{Misalignment: p.Axis}, tolerance.Geometry{NearFlex: spool.NearFlex, FarFlex: spool.FarFlex})
		require.NoError(t, err)
		alike(t, grade.Share, v["share"], "share")
		assert.Equal(t, grade.Within, v["verdict"] == 0)
	})
}

func TestSpacerMistakesApply(t *testing.T) { applies(t, spacerKind(), 40) }

// The example of package tolerance: 0.020 mm high at the near flex plane and 0.060
// mm at the far one 140 mm on make 0.43 mm/m, 86 % of the 0.5 mm/m of API RP 686
// (second-hand). By hand from dials at the flex planes: -0.12 mm on the far hub,
// +0.04 mm on the near one, sag taken off.
func TestSpacerByHand(t *testing.T) {
	r := spacerExample()
	s, err := spacerSheet(r)
	require.NoError(t, err)
	v := s.Work()
	assert.InDelta(t, 20e-6, v["offset.near.vertical"], 1e-15)
	assert.InDelta(t, 60e-6, v["offset.far.vertical"], 1e-15)
	assert.InDelta(t, 0.06/140, v["angle.near"], 1e-12)
	assert.InDelta(t, 0.02/140, v["angle.far"], 1e-12)
	assert.InDelta(t, 0.06/140/0.5e-3, v["share"], 1e-9)
	assert.Zero(t, v["verdict"])
}

func spacerExample() *Record {
	return &Record{Format: Format, Units: Units{Length: align.UnitMillimetre, Reading: align.UnitMillimetre},
		Train: Train{Machines: []Machine{{Name: "motor"}, {Name: "pump"}}, Couplings: []Coupling{{Name: "coupling", Near: "motor", Far: "pump", FlexPlanes: []float64{0, 140}}}},
		Sag:   []SagTest{{Bracket: "bar", Kind: "single-deflection", Reading: -0.03}},
		Sets: []Set{{Stage: AsLeft, Coupling: "coupling", Method: ReverseIndicator, Dials: []Dial{
			{Touches: "rim", On: "far", Station: 140, Bracket: "bar", Readings: []Reading{{0, 0.01}, {180, -0.17}}},
			{Touches: "rim", On: "near", Station: 0, Bracket: "bar", Readings: []Reading{{0, 0}, {180, -0.02}}}}}},
		Limits: []Limits{{Coupling: "coupling", Set: "api-rp-686"}}}
}

func TestSpacerLacks(t *testing.T) {
	cases := map[string]struct {
		change func(r *Record)
		want   align.Fault
	}{
		"no coupling":         {func(r *Record) { r.Train.Couplings = nil }, align.ErrMissing},
		"one flex plane":      {func(r *Record) { r.Train.Couplings[0].FlexPlanes = []float64{1} }, align.ErrMissing},
		"one place":           {func(r *Record) { r.Train.Couplings[0].FlexPlanes = []float64{1, 1} }, align.ErrCoincident},
		"no readings":         {func(r *Record) { r.Sets = nil }, align.ErrMissing},
		"no dial":             {func(r *Record) { d := &r.Sets[0].Dials; *d = (*d)[:1] }, align.ErrMissing},
		"dials together":      {func(r *Record) { d := r.Sets[0].Dials; d[1].Station = d[0].Station }, align.ErrCoincident},
		"no bottom":           {func(r *Record) { d := &r.Sets[0].Dials[0].Readings; *d = (*d)[:1] }, align.ErrMissing},
		"sag not tested":      {func(r *Record) { r.Sag = nil }, align.ErrMissing},
		"no limits":           {func(r *Record) { r.Limits = nil }, align.ErrMissing},
		"no such limits":      {func(r *Record) { r.Limits[0].Set = "butter" }, tolerance.ErrUnknownTable},
		"other kind of limit": {func(r *Record) { r.Limits[0].Set = "weg-s" }, align.ErrUnknownKind},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			r := spacerExample()
			c.change(r)
			_, err := spacerSheet(r)
			require.ErrorIs(t, err, c.want)
		})
	}
}
