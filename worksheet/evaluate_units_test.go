package worksheet

import (
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// kindOf says what a number of the record is by the name of its field.
func kindOf(owner reflect.Type, name string) string {
	switch name {
	case "station", "lateral", "diameter", "flangeOD", "raisedFaceOD", "length", "width", "shaftHeight", "flexPlanes", "aboveFloor":
		return "length"
	case "height":
		if owner == reflect.TypeOf(BasePoint{}) {
			return "reading"
		}
		return "length"
	case "cold", "hot", "fluid":
		return "temperature"
	case "at", "turned", "maxLeaves", "after":
		return "plain"
	case "coefficient", "speed":
		return name
	}
	return "reading"
}

// rewritten is the record in other units.
func rewritten(t testing.TB, r *Record, to Units) *Record {
	t.Helper()
	text, err := FormatRecord(r)
	require.NoError(t, err)
	out, err := Parse(text)
	require.NoError(t, err)
	rewrite(reflect.ValueOf(out).Elem(), "", r.Units, to)
	out.Units = to
	require.NoError(t, out.Check())
	return out
}

func rewrite(v reflect.Value, kind string, from, to Units) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			rewrite(v.Elem(), kind, from, to)
		}
	case reflect.Slice:
		for i := range v.Len() {
			rewrite(v.Index(i), kind, from, to)
		}
	case reflect.Struct:
		for i, f := range fieldsOf(v.Type()) {
			rewrite(v.Field(i), kindOf(v.Type(), f.name), from, to)
		}
	case reflect.Float64:
		u := map[string][2]align.Unit{
			"length": {from.Length, to.Length}, "reading": {from.Reading, to.Reading}, "temperature": {from.Temperature, to.Temperature},
			"speed": {from.Speed, to.Speed}, "coefficient": {expansionUnit(from), expansionUnit(to)},
		}[kind]
		if u[0] != u[1] {
			v.SetFloat(u[1].FromSI(u[0].SI(v.Float())))
		}
	}
}

func expansionUnit(u Units) align.Unit {
	if u.Temperature == align.UnitFahrenheit {
		return align.UnitPerFahrenheit
	}
	return align.UnitPerKelvin
}

var inchUnits = Units{Length: align.UnitInch, Reading: align.UnitMil, Temperature: align.UnitFahrenheit, Speed: align.UnitHertz}

// randomJob is a moved job with random figures in every part, as a pencil writes
// them: to the hundredth or the thousandth.
func randomJob(rng *rand.Rand) *Record {
	r := movedJob()
	about := func(size float64) float64 { return math.Round((2*rng.Float64()-1)*size*1000) / 1000 }
	up := func(size float64) float64 { return math.Abs(about(size)) }
	r.Sets = []Set{setAt(AsFound, about(0.6), about(0.6), about(0.6), about(0.6)), setAt(AsLeft, about(0.1), about(0.1), about(0.1), about(0.1))}
	for i := range r.Sets {
		if rng.IntN(2) == 0 {
			r.Sets[i].Sigma = num(0.002 + up(0.01))
		}
		for d := range r.Sets[i].Dials {
			for k := range r.Sets[i].Dials[d].Readings {
				r.Sets[i].Dials[d].Readings[k].Value += about(0.01)
			}
		}
	}
	r.States = []State{soundState()}
	r.States[0].Machines[0].Measured[1].Up = about(0.3)
	r.States[0].Machines[1].Supports[0].Hot = 30 + up(60)
	for i := range r.Moves {
		r.Moves[i].Up, r.Moves[i].Right = about(1), about(1)
	}
	for i := range r.Gaps {
		g := &r.Gaps[i]
		g.NearLeft, g.NearRight, g.FarLeft, g.FarRight = up(0.12), up(0.12), up(0.12), up(0.12)
		r.Rises[i].Rise = about(0.09)
	}
	for i := range r.Base.Points {
		r.Base.Points[i].Height = about(0.05)
	}
	for i := range r.Runout {
		r.Runout[i].Readings = quarterTurn(0, about(0.04), about(0.04), about(0.04))
	}
	for i := range r.Joints {
		for k := range r.Joints[i].Gaps {
			r.Joints[i].Gaps[k].Value = 3 + up(1)
		}
		r.Strain[i].Steps[0].Readings = []float64{about(0.08), about(0.08)}
		r.Strain[i].Steps[1].Readings = []float64{about(0.03), about(0.03)}
	}
	r.Hubs = []HubGaps{{Coupling: "coupling", Diameter: 200, Gaps: quarterTurn(3+up(1), 3+up(1), 3+up(1), 3+up(1))}}
	r.Oblique = []ObliqueDial{{Machine: "pump", What: "suction flange", Station: 70, At: 30, Reading: about(0.09), Up: num(about(0.05)), Right: num(about(0.05)), Limit: 0.05, Source: "agreed"}}
	r.Wanted = []MoveWanted{{Machine: "motor", Foot: "front left", Up: about(1)}}
	r.Limits = []Limits{{Coupling: "coupling", Set: "api-rp-686"}, {Coupling: "coupling", Set: "weg-s"}, {Coupling: "coupling", Set: "siemens-1la4"}}
	return r
}

func idsOfAll(v *Evaluation) (out []string) {
	for i := range v.Findings {
		out = append(out, v.Findings[i].ID)
	}
	return out
}

// wantAlike wants the same findings with the same values in SI units, as far as
// rounding to a picometre lets them be the same, and the same verdicts.
func wantAlike(t *testing.T, a, b *Evaluation, what string) {
	t.Helper()
	require.Equal(t, idsOfAll(a), idsOfAll(b), what)
	for i := range a.Findings {
		f, g := &a.Findings[i], &b.Findings[i]
		require.Equal(t, f.ID, g.ID, what)
		require.Equal(t, f.Verdict, g.Verdict, "%s: %s", what, f.ID)
		require.Equal(t, f.Error == nil, g.Error == nil, "%s: %s", what, f.ID)
		if f.Error != nil {
			require.Equal(t, f.Error.Code, g.Error.Code, "%s: %s", what, f.ID)
		}
		wantSameNumber(t, f.Value, g.Value, what+": "+f.ID)
		wantSameNumber(t, f.Sigma, g.Sigma, what+": "+f.ID+" sigma")
		require.Len(t, g.Warnings, len(f.Warnings), "%s: %s", what, f.ID)
		for k := range f.Warnings {
			require.Equal(t, f.Warnings[k].Code, g.Warnings[k].Code, "%s: %s", what, f.ID)
			require.Equal(t, f.Warnings[k].Field, g.Warnings[k].Field, "%s: %s", what, f.ID)
		}
	}
	require.Equal(t, len(a.Readiness), len(b.Readiness), what)
	for i := range a.Readiness {
		require.Equal(t, a.Readiness[i].Status, b.Readiness[i].Status, "%s: %s", what, a.Readiness[i].Topic)
		require.Equal(t, a.Readiness[i].Findings, b.Readiness[i].Findings, "%s: %s", what, a.Readiness[i].Topic)
	}
}

func wantSameNumber(t *testing.T, a, b *float64, what string) {
	t.Helper()
	require.Equal(t, a == nil, b == nil, what)
	if a != nil {
		require.InDelta(t, *a, *b, 2*digits+1e-9*math.Abs(*a), what)
	}
}

// The same job written in millimetres and Celsius, and in inches, mil and
// Fahrenheit, gives the same.
func TestEvalUnitsDoNotMatter(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 1485))
	verdicts := map[string]int{}
	for range 100 {
		r := randomJob(rng)
		a, b := evaluated(t, r), evaluated(t, rewritten(t, r, inchUnits))
		wantAlike(t, a, b, "inch")
		for _, f := range a.Findings {
			verdicts[f.Verdict]++
		}
		assert.Equal(t, align.UnitMil, found(t, b, "sets[0].offset.flex-far.vertical").Unit)
		assert.Equal(t, align.UnitMilPerInch, found(t, b, "sets[0].slope.vertical").Unit)
	}
	for _, v := range []string{Within, Over, CannotTell} {
		assert.Greater(t, verdicts[v], 20, v)
	}
	for name, r := range variousRecords(t) {
		if r.Units.Temperature == "" {
			r.Units.Temperature = align.UnitCelsius
		}
		if r.Units.Speed == "" {
			r.Units.Speed = align.UnitHertz
		}
		wantAlike(t, evaluated(t, r), evaluated(t, rewritten(t, r, inchUnits)), name)
		wantAlike(t, evaluated(t, r), evaluated(t, rewritten(t, r, Units{align.UnitMetre, align.UnitMicrometre, align.UnitKelvin, align.UnitRPM})), name)
	}
}
