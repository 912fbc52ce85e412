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

func TestToleranceAgainstLibrary(t *testing.T) {
	sets := map[string]int{}
	verdicts := map[float64]int{}
	eachInvented(t, toleranceKind(), func(t *testing.T, r *Record, s *Sheet, v Values) {
		u := r.Units
		rim, face := &r.Sets[0].Dials[0], &r.Sets[0].Dials[1]
		p, err := align.RimAndFace{Bracket: align.Near,
			Rim:  align.Dial{Station: unit.Length(u.Length.SI(rim.Station)), Sweep: librarySweep(u, rim), Sag: align.RollOver(unit.Length(u.Reading.SI(r.Sag[0].Reading)))},
			Face: align.Dial{Diameter: unit.Length(u.Length.SI(face.Diameter)), Sweep: librarySweep(u, face), Sag: align.NoSag()},
		}.Solve()
		require.NoError(t, err)
		set, err := tolerance.FindSet(r.Limits[0].Set)
		require.NoError(t, err)
		diameter := face.Diameter
		if rim.Diameter != 0 {
			diameter = rim.Diameter
		}
		grade, err := set.Grade(tolerance.Readings{Misalignment: p.Axis}, tolerance.Geometry{Size: r.Limits[0].Size,
			Speed: unit.Frequency(*r.Train.Speed / 60), FaceDiameter: unit.Length(u.Length.SI(diameter))})
		require.NoError(t, err)
		ids := map[tolerance.Quantity]string{tolerance.TrueOffset: "offset", tolerance.RimReading: "rim", tolerance.Angle: "angle", tolerance.GapDifference: "gap"}
		for _, g := range grade.Grades {
			id := ids[g.Measured.Quantity]
			require.NotNil(t, s.step("found."+id), "%s of %s", id, set.ID)
			alike(t, g.Measured.Value, v["found."+id], "found "+id)
			alike(t, g.Measured.Value/g.Share(), v["limit."+id], "limit "+id)
			alike(t, g.Share(), v["share."+id], "share "+id)
		}
		total := v["total"]
		if len(grade.Grades) == 1 {
			total = v["share.offset"]
		}
		alike(t, grade.Share, total, "total")
		assert.Equal(t, grade.Within, v["verdict"] == 0)
		sets[set.ID]++
		verdicts[v["verdict"]]++
	})
	for _, c := range toleranceSets {
		assert.Positive(t, sets[c.set], c.set)
	}
	assert.Greater(t, verdicts[0], 40, "some pass")
	assert.Greater(t, verdicts[1], 40, "some fail")
}

func TestToleranceMistakesApply(t *testing.T) { applies(t, toleranceKind(), 15) }

// toleranceExample is a jaw coupling of size 38 whose hub is 80 mm across, at 1480
// rpm. The source allows 0.28 mm of offset and 1.35 mm of gap difference at 1500
// rpm, 0.19 mm and 1.10 mm at 3000 rpm, and its shares add up.
func toleranceExample() *Record {
	speed := 1480.0
	return &Record{Format: Format, Units: Units{Length: align.UnitMillimetre, Reading: align.UnitMillimetre, Speed: align.UnitRPM},
		Train: Train{Speed: &speed, Machines: []Machine{{Name: "motor"}, {Name: "pump"}},
			Couplings: []Coupling{{Name: "coupling", Near: "motor", Far: "pump", FlexPlanes: []float64{0}}}},
		Sag: []SagTest{{Bracket: "bar", Kind: "roll-over", Reading: -0.04}},
		Sets: []Set{{Stage: AsLeft, Coupling: "coupling", Method: RimAndFace, Dials: []Dial{
			{Touches: "rim", On: "far", Diameter: 80, Bracket: "bar", Readings: []Reading{{0, 0}, {90, 0.08}, {180, -0.28}, {270, -0.36}}},
			{Touches: "face-toward", On: "far", Diameter: 60, Readings: []Reading{{0, 0}, {90, 0.06}, {180, -0.24}, {270, -0.30}}}}}},
		Limits: []Limits{{Coupling: "coupling", Set: "ktr-rotex-sp-12-gap", Size: "38"}}}
}

// By hand: the offsets are 0.12 mm up and (0.08 + 0.36)/2 = 0.22 mm to the right,
// together 0.2506 mm, 89.5 % of 0.28 mm. The face swings 0.24 mm and 0.36 mm over
// 60 mm: 4 and 6 mm/m, together 7.211 mm/m, 0.5769 mm over 80 mm, 42.7 % of 1.35
// mm. Together 132 %: not within, though each alone would be.
func TestToleranceByHand(t *testing.T) {
	s, err := toleranceSheet(toleranceExample())
	require.NoError(t, err)
	v := s.Work()
	assert.InDelta(t, 0.12e-3, v["vertical"], 1e-15)
	assert.InDelta(t, 0.22e-3, v["horizontal"], 1e-15)
	assert.InDelta(t, math.Sqrt(0.0628)*1e-3, v["found.offset"], 1e-12)
	assert.InDelta(t, 4e-3, v["slope.vertical"], 1e-12)
	assert.InDelta(t, 6e-3, v["slope.horizontal"], 1e-12)
	assert.InDelta(t, math.Sqrt(52)*80*1e-6, v["found.gap"], 1e-12)
	assert.InDelta(t, 0.28e-3, v["limit.offset"], 1e-12)
	assert.InDelta(t, 1.35e-3, v["limit.gap"], 1e-12)
	assert.InDelta(t, 0.895, v["share.offset"], 5e-4)
	assert.InDelta(t, 0.427, v["share.gap"], 5e-4)
	assert.InDelta(t, 1.322, v["total"], 5e-4)
	assert.Equal(t, 1.0, v["verdict"])
}

// A person who looks the other way calls right left; what is found is the same.
func TestToleranceSeenFromTheOtherEnd(t *testing.T) {
	right, err := toleranceSheet(toleranceExample())
	require.NoError(t, err)
	r := toleranceExample()
	for i := range r.Sets[0].Dials {
		d := &r.Sets[0].Dials[i]
		d.Against = true
		d.Readings[1].Value, d.Readings[3].Value = d.Readings[3].Value, d.Readings[1].Value
	}
	turned, err := toleranceSheet(r)
	require.NoError(t, err)
	assert.Equal(t, right.Work(), turned.Work())
}

func TestToleranceLacks(t *testing.T) {
	cases := map[string]struct {
		change func(r *Record)
		want   align.Fault
	}{
		"no coupling":      {func(r *Record) { r.Train.Couplings = nil }, align.ErrMissing},
		"no flex plane":    {func(r *Record) { r.Train.Couplings[0].FlexPlanes = nil }, align.ErrMissing},
		"flex plane away":  {func(r *Record) { r.Train.Couplings[0].FlexPlanes = []float64{5} }, align.ErrMismatch},
		"no sets":          {func(r *Record) { r.Sets = nil }, align.ErrMissing},
		"no face":          {func(r *Record) { d := &r.Sets[0].Dials; *d = (*d)[:1] }, align.ErrMissing},
		"no rim":           {func(r *Record) { d := &r.Sets[0].Dials; *d = (*d)[1:] }, align.ErrMissing},
		"no swept circle":  {func(r *Record) { r.Sets[0].Dials[1].Diameter = 0 }, align.ErrZeroDiameter},
		"no sag":           {func(r *Record) { r.Sag = nil }, align.ErrMissing},
		"no limits":        {func(r *Record) { r.Limits = nil }, align.ErrMissing},
		"no such limits":   {func(r *Record) { r.Limits[0].Set = "butter" }, tolerance.ErrUnknownTable},
		"no such size":     {func(r *Record) { r.Limits[0].Size = "butter" }, tolerance.ErrUnknownSize},
		"no speed":         {func(r *Record) { r.Train.Speed = nil }, align.ErrMissing},
		"too fast":         {func(r *Record) { *r.Train.Speed = 9000 }, align.ErrOutOfRange},
		"nothing to grade": {func(r *Record) { r.Limits[0] = Limits{Set: "api-rp-686"} }, tolerance.ErrNothingGraded},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			r := toleranceExample()
			c.change(r)
			_, err := toleranceSheet(r)
			require.ErrorIs(t, err, c.want)
		})
	}
}

// Every built-in set either makes a sheet or says what is wrong; none panics.
func TestToleranceEverySet(t *testing.T) {
	made := 0
	for _, set := range tolerance.Builtin() {
		sizes := map[string]bool{"": true}
		for _, table := range set.Tables {
			for _, size := range table.Sizes() {
				sizes[size] = true
			}
		}
		for size := range sizes {
			r := toleranceExample()
			r.Limits[0].Set, r.Limits[0].Size = set.ID, size
			if s, err := toleranceSheet(r); err == nil {
				require.NoError(t, s.check(), set.ID)
				made++
			}
		}
	}
	assert.Greater(t, made, 20)
}
