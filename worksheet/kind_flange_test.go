package worksheet

import (
	"testing"

	"collinear.example/align"
	"collinear.example/piping"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// asSurvey returns the gaps of a joint as package piping takes them: seen from the
// machine, where the record is of a person who looks at the machine's flange.
func asSurvey(u Units, j *FlangeSurvey) piping.FlangeSurvey {
	gasket := unit.Length(u.reading(j.Gasket))
	s := piping.FlangeSurvey{Diameter: unit.Length(u.length(j.Diameter)), FlangeOD: unit.Length(u.length(j.FlangeOD)), RaisedFaceOD: unit.Length(u.length(j.RaisedFaceOD)), Gasket: &gasket}
	for _, g := range j.Gaps {
		s.Gaps = append(s.Gaps, piping.Gap{At: align.Clock(g.At), Gap: unit.Length(u.reading(g.Value))})
	}
	return s.Mirrored()
}

// verdictIs holds a verdict of the sheet against the library's.
func verdictIs(t *testing.T, want align.Verdict, got float64) {
	t.Helper()
	require.Equal(t, want.Within, got == 0, "%v", want)
}

// TestFlangeAgainstLibrary holds every asked figure against package piping.
func TestFlangeAgainstLibrary(t *testing.T) {
	eachPipeJob(t, flangeKind(), func(t *testing.T, d Difficulty, r *Record, s *Sheet, v Values) {
		j := &r.Joints[0]
		f, err := asSurvey(r.Units, j).Solve()
		require.NoError(t, err)
		heldTo(t, f.Tilt.Up, v["tilt.vertical"], "tilt.vertical")
		if d != Plain {
			heldTo(t, -f.Tilt.Right, v["tilt.horizontal"], "tilt.horizontal")
			heldTo(t, f.Tilt.Size(), v["tilt.steepest"], "tilt.steepest")
		}
		heldTo(t, float64(f.Mean), v["gap.mean"], "gap.mean")
		gasket := unit.Length(r.Units.reading(j.Gasket))
		excess, ok := piping.Misfit{Mean: f.Mean, Gasket: &gasket}.GapError()
		require.True(t, ok)
		require.InDelta(t, float64(excess), v["gap.excess"], 1e-15) // a difference of two lengths
		size := piping.FlangeSize{FlangeOD: unit.Length(r.Units.length(j.FlangeOD)), RaisedFaceOD: unit.Length(r.Units.length(j.RaisedFaceOD)), Gasket: &gasket}
		if j.Rule == string(piping.RP686Flange) {
			size.Reference = piping.ByFlangeOD
		}
		l, err := piping.FlangeLimitsOf(piping.FlangeRule(j.Rule), size)
		require.NoError(t, err)
		heldTo(t, float64(f.Tilt.Opening(size.RaisedFaceOD)), v["opening"], "opening")
		heldTo(t, l.Parallel.Limit.SI(), v["limit.opening"], "limit.opening")
		w, err := l.Parallel.Judge(f.Tilt)
		require.NoError(t, err)
		verdictIs(t, w, v["verdict.parallel"])
		if w, err = l.Gap.Limit.Judge(float64(excess)); l.Gap.OnlyWide && excess < 0 {
			w.Within = true
		}
		require.NoError(t, err)
		verdictIs(t, w, v["verdict.gap"])
		if d == Plain {
			return
		}
		across := piping.Across{Up: unit.Length(r.Units.reading(*j.OffsetUp)), Right: unit.Length(r.Units.reading(*j.OffsetSide))}
		heldTo(t, float64(across.Size()), v["offset"], "offset")
		if l.Centre != nil {
			w, err = l.Centre.Limit.Judge(float64(across.Size()))
			require.NoError(t, err)
			verdictIs(t, w, v["verdict.offset"])
		}
	})
}

// flangeByHand is a flange of 400 mm with a raised face of 300 mm, gaps taken at
// its rim: 3.50, 3.18, 3.10 and 3.42 mm at 12, 3, 6 and 9, gasket 3.00 mm, centres
// 0.6 and 0.8 mm off.
func flangeByHand() *Record {
	up, side := 0.6, -0.8
	r := &Record{Format: Format, Title: "hand", Units: Units{Length: align.UnitMillimetre, Reading: align.UnitMillimetre}}
	r.Train.Machines = []Machine{{Name: "pump"}}
	r.Joints = []FlangeSurvey{{Machine: "pump", Name: "discharge", Rule: "api-rp-686", Reference: "flange", Diameter: 400, FlangeOD: 400, RaisedFaceOD: 300, Gasket: 3,
		Gaps: []Reading{{0, 3.5}, {90, 3.18}, {180, 3.1}, {270, 3.42}}, OffsetUp: &up, OffsetSide: &side}}
	return r
}

// TestFlangeByHand: 0.40 over 400 mm is 1.0 mm/m, -0.24 over 400 mm is -0.6 mm/m,
// together 1.16619 mm/m, 0.349857 mm over the raised face. The rule allows 0.001 of
// 400 mm, 0.400 mm. The mean gap is 3.30 mm, 0.30 mm more than the gasket, and the
// centres are 1.0 mm apart.
func TestFlangeByHand(t *testing.T) {
	k := flangeKind()
	v := worked(t, k, flangeByHand(), "")
	for id, want := range map[string]float64{"tilt.vertical": 1e-3, "tilt.horizontal": -0.6e-3, "tilt.steepest": 1.16619e-3, "opening": 0.349857e-3,
		"limit.opening": 0.4e-3, "gap.mean": 3.3e-3, "gap.excess": 0.3e-3, "offset": 1e-3, "verdict.parallel": 0, "verdict.gap": 0} {
		assert.InDelta(t, want, v[id], 6e-10, id)
	}
	for _, c := range []struct {
		code, step string
		want       float64
	}{
		{"flange-radius", "tilt.vertical", 2e-3},               // over 200 mm
		{"flange-wrong-circle", "tilt.vertical", 0.4 / 300},    // over the raised face
		{"flange-two-stations", "tilt.steepest", 1e-3},         // less by the cosine of the angle, 0.8575
		{"flange-tilts-added", "tilt.steepest", 1.6e-3},        // 1.0 + 0.6
		{"flange-tilt-sign", "tilt.horizontal", 0.6e-3},        //
		{"flange-sides-exchanged", "tilt.horizontal", 0.6e-3},  //
		{"flange-not-brought-to-face", "opening", 0.466476e-3}, // 1.16619 * 0.4
		{"flange-not-brought-to-face", "verdict.parallel", 1},  // over 0.4
		{"flange-widest-less-gasket", "opening", 0.5e-3},       // 3.5 - 3.0
		{"flange-widest-less-narrowest", "opening", 0.3e-3},    // 0.40 * 300/400
		{"flange-limit-of-face", "limit.opening", 0.3e-3},      //
		{"flange-gasket-kept", "gap.excess", 3.3e-3},           //
		{"flange-gasket-kept", "verdict.gap", 1},               // 3.3 over 1.5
		{"flange-widest-for-mean", "gap.excess", 0.5e-3},       //
		{"offsets-added", "offset", 1.4e-3},                    //
		{"offset-larger-only", "offset", 0.8e-3},               //
	} {
		assert.InDelta(t, c.want, worked(t, k, flangeByHand(), c.code)[c.step], 6e-10, c.code)
	}
	small := flangeByHand()
	small.Joints[0].FlangeOD, small.Joints[0].Diameter, small.Joints[0].RaisedFaceOD = 200, 200, 150
	assert.InDelta(t, 0.25e-3, worked(t, k, small, "")["limit.opening"], 1e-12) // no less than that is asked
	assert.InDelta(t, 0.20e-3, worked(t, k, small, "flange-no-bounds")["limit.opening"], 1e-12)
}
