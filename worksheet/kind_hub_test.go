package worksheet

import (
	"math"
	"testing"

	"collinear.example/align"
	"collinear.example/runout"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// sweepIn is the first sweep of a part as package align takes it.
func sweepIn(t *testing.T, r *Record, part string) align.Sweep {
	s, _, err := r.sweptPart(part)
	require.NoError(t, err)
	var out align.Sweep
	for _, p := range s.Readings {
		out = append(out, align.Reading{At: align.Clock(p.At), Value: unit.Length(r.Units.reading(p.Value))})
	}
	return out
}

// Eccentricities, their difference, ovality, total readings and the finding are
// those of package runout.
func TestHubAgainstLibrary(t *testing.T) {
	found := map[string]bool{}
	eachFootJob(t, hubKind(), func(t *testing.T, j footJob) {
		hub, err := runout.NewSection(sweepIn(t, j.r, hubRimPart), runout.SweepChecks{})
		require.NoError(t, err)
		shaft, err := runout.NewSection(sweepIn(t, j.r, shaftPart), runout.SweepChecks{})
		require.NoError(t, err)
		// Readings are of the size of micrometres and binary fractions of metres.
		near := func(step string, want unit.Length) {
			t.Helper()
			require.True(t, j.s.has(step), step)
			assert.InDelta(t, float64(want), j.v[step], 1e-9*math.Abs(float64(want))+1e-17, step)
		}
		near("hub.vertical", hub.First.Vertical)
		near("shaft.vertical", shaft.First.Vertical)
		bore := hub.First.Sub(shaft.First)
		if j.s.has("bore.size") {
			near("hub.horizontal", hub.First.Horizontal)
			near("shaft.horizontal", shaft.First.Horizontal)
			near("bore.size", bore.Resultant())
			assert.InDelta(t, float64(bore.Clock().Normal()), align.UnitDegree.FromSI(j.v["bore.toward"]), 1e-7)
		} else {
			near("bore.vertical", bore.Vertical)
		}
		if j.s.has("oval") {
			near("oval", hub.Ovality())
		} else {
			assert.InDelta(t, 0, float64(hub.Ovality()), 1e-15)
		}
		near("hub.tir", unit.Length(hub.TIR))
		near("shaft.tir", unit.Length(shaft.TIR))
		s, _, err := j.r.sweptPart(hubRimPart)
		require.NoError(t, err)
		rule, err := runout.NamedRule(s.Limit)
		require.NoError(t, err)
		got, err := rule.Decide(hub.TIR, &shaft.TIR)
		require.NoError(t, err)
		want := map[runout.Finding]string{runout.HubWithin: hubFindings[0], runout.HubEccentric: hubFindings[1], runout.StraightenShaft: hubFindings[2]}[got]
		assert.Equal(t, want, j.choice("finding"))
		found[want] = true
		v, err := rule.Hub.Judge(float64(hub.TIR))
		require.NoError(t, err)
		j.same(t, "share", v.Share())
	})
	assert.Len(t, found, 3, "every finding comes up")
}

// The difference is also what the diagnosis of package runout makes of the case.
func TestHubAgainstDiagnosis(t *testing.T) {
	eachFootJob(t, hubKind(), func(t *testing.T, j footJob) {
		d, err := runout.HubCase{
			Hub:   []runout.ShaftStation{{Station: 0, Sweep: sweepIn(t, j.r, hubRimPart)}},
			Shaft: []runout.ShaftStation{{Station: 0.05, Sweep: sweepIn(t, j.r, shaftPart)}},
		}.Diagnose()
		require.NoError(t, err)
		if j.s.has("bore.size") {
			assert.InDelta(t, float64(d.Difference[0].Resultant()), j.v["bore.size"], 1e-14)
		}
	})
}

// handHub: the shaft reads 0, 8, 6, -2 um at 12, 3, 6, 9, the hub 0, 48, 40, -8, in
// mm. Shaft (0 - 6)/2 = -3 up and (8 + 2)/2 = 5 right; hub -20 and 28; the bore is off
// by -17 and 23, 28.6 um toward 180 - atan(23/17) = 126.5 degrees. By sizes it would be
// 34.4 - 5.8 = 28.6 as well only if they agreed in direction. The oval is
// (0 + 40 - 48 + 8)/4 = 0. Total readings: hub 56, shaft 10 um, against 50.8 and 25.4.
func handHub() *Record {
	r := handWedge()
	r.Gaps, r.Stock = nil, nil
	sweep := func(a, b, c, d float64) []Reading { return []Reading{{0, a}, {90, b}, {180, c}, {270, d}} }
	r.Runout = []RunoutSweep{
		{Machine: "pump", Part: shaftPart, Readings: sweep(0, 0.008, 0.006, -0.002)},
		{Machine: "pump", Part: hubRimPart, Limit: "pump-handbook", Readings: append(sweep(0, 0.048, 0.040, -0.008), Reading{360, 0.001})},
	}
	return r
}

func TestHubByHand(t *testing.T) {
	r := handHub()
	require.NoError(t, r.Check())
	e, err := NewExercise("hub-runout", r)
	require.NoError(t, err)
	m, err := e.Mark(map[string]string{
		"hub.vertical": "-0.02", "hub.horizontal": "0.028", "shaft.vertical": "-0.003", "shaft.horizontal": "0.005",
		"bore.size": "0.0286", "bore.toward": "126 deg", "hub.tir": "0.056", "shaft.tir": "0.010", "share": "1.10", "finding": "hub bored off centre",
	}, UsualCredits())
	require.NoError(t, err)
	assert.True(t, m.Full(), "%+v", m.Marks)
}

// RO1 and RO2 by their formulas, high spots opposite: hub 30 um up, shaft 10 down. The
// bore is 40 off; by sizes it would be 20, an error of twice the shaft's.
func TestHubMistakesByFormula(t *testing.T) {
	r := handHub()
	r.Runout[0].Readings = []Reading{{0, 0}, {90, 0.01}, {180, 0.02}, {270, 0.01}}
	r.Runout[1].Readings = []Reading{{0, 0}, {90, -0.03}, {180, -0.06}, {270, -0.03}}
	e, err := NewExercise("hub-runout", r)
	require.NoError(t, err)
	for code, want := range map[string][2]string{
		"":                   {"bore.vertical", "0.0400 mm"},
		"sizes-subtracted":   {"bore.vertical", "0.0200 mm"},
		"not-halved":         {"bore.vertical", "0.0800 mm"},
		"halved-twice":       {"bore.vertical", "0.0200 mm"},
		"shaft-forgotten":    {"bore.vertical", "0.0300 mm"},
		"half-against-limit": {"finding", "hub within its limit"},
	} {
		got, err := e.AnswersWith(code)
		require.NoError(t, err, code)
		assert.Equal(t, want[1], got[want[0]], code)
	}
}

// RO6: an oval hub of amplitude A reads 0, -2A, 0, -2A: no eccentricity, and an oval
// of a quarter of the sum of one pair less the other.
func TestHubOval(t *testing.T) {
	r := handHub()
	r.Runout[1].Readings = []Reading{{0, 0}, {90, -0.04}, {180, 0}, {270, -0.04}}
	s, err := hubSheet(r)
	require.NoError(t, err)
	v := s.Work()
	assert.InDelta(t, 0, v["hub.vertical"], 1e-18)
	assert.InDelta(t, 0.02e-3, v["oval"], 1e-15)
	assert.InDelta(t, 0.04e-3, v["hub.tir"], 1e-15)
	e, err := NewExercise("hub-runout", r)
	require.NoError(t, err)
	got, err := e.AnswersWith("oval-not-quartered")
	require.NoError(t, err)
	assert.Equal(t, "0.0800 mm", got["oval"])
}

// US Army TM 55-1905-242-14, WP 0145 00, p. 0145 00-2: a needle that goes 0.002 in to
// one side of zero and 0.004 to the other reads 0.006 in total.
func TestHubTotalPublished(t *testing.T) {
	r := handHub()
	r.Units = Units{Length: align.UnitInch, Reading: align.UnitMil}
	r.Runout[1].Readings = []Reading{{0, 2}, {90, 0}, {180, -4}, {270, -1}}
	s, err := hubSheet(r)
	require.NoError(t, err)
	assert.InDelta(t, 6, align.UnitMil.FromSI(s.Work()["hub.tir"]), 1e-9)
	wrong := s.altered()
	m := hubMistakes()
	for i := range m {
		if m[i].Code == "tir-largest" {
			require.True(t, m[i].alter(wrong))
		}
	}
	assert.InDelta(t, 4, align.UnitMil.FromSI(wrong.Work()["hub.tir"]), 1e-9)
}

func TestHubFaults(t *testing.T) {
	for name, c := range map[string]struct {
		spoil func(r *Record)
		want  align.Fault
	}{
		"no shaft":       {func(r *Record) { r.Runout = r.Runout[1:] }, align.ErrMissing},
		"no hub":         {func(r *Record) { r.Runout = r.Runout[:1] }, align.ErrMissing},
		"other machine":  {func(r *Record) { r.Runout[0].Machine = "motor" }, align.ErrMismatch},
		"three marks":    {func(r *Record) { r.Runout[0].Readings = r.Runout[0].Readings[:3] }, align.ErrTooFewPositions},
		"between marks":  {func(r *Record) { r.Runout[0].Readings[1].At = 80 }, align.ErrMismatch},
		"no such mark":   {func(r *Record) { r.Runout[0].Readings[1].At = math.NaN() }, align.ErrMismatch},
		"unknown limits": {func(r *Record) { r.Runout[1].Limit = "none" }, align.ErrUnknownKind},
	} {
		r := handHub()
		c.spoil(r)
		_, err := hubSheet(r)
		assert.Equal(t, string(c.want), align.CodeOf(err), name)
	}
	r := handHub()
	r.Runout[1].Limit = ""
	s, err := hubSheet(r)
	require.NoError(t, err)
	assert.False(t, s.has("finding"))
}
