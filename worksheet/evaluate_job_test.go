package worksheet

import (
	"testing"

	"collinear.example/align"
	"collinear.example/softfoot"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func num(v float64) *float64 { return &v }

// quarterTurn are the readings of a sweep at 12, 3, 6 and 9 o'clock, and the
// closing one where there is a fifth.
func quarterTurn(values ...float64) (out []Reading) {
	for i, v := range values {
		out = append(out, Reading{At: 90 * float64(i), Value: v})
	}
	return out
}

// soundJob is a job in which everything was looked at and nothing stands in the
// way. Millimetres, an invented plant.
//
// The shafts stand as e(160) = 0.05 up, 0.03 toward 9 o'clock and e(-40) = 0.01 up,
// 0.01 toward 3 o'clock; far less near. The slope is 0.04/200 = 0.2 mm/m up and
// -0.04/200 = -0.2 mm/m sideways. The brackets sag by S = -0.06 and, twice the
// single deflection, S = -0.04. The readings follow from
//
//	dial on the far hub    r(t) - r(0) = e (cos t - 1) + e sin t + S (1 - cos t)/2
//	dial on the near hub   the same with the sign of e turned
func soundJob() *Record {
	r := &Record{
		Format: Format, Title: "Sound in every part", Plant: "Invented",
		Units: Units{Length: align.UnitMillimetre, Reading: align.UnitMillimetre, Temperature: align.UnitCelsius, Speed: align.UnitRPM},
		Train: Train{
			Speed: num(1485),
			Machines: []Machine{
				{Name: "pump", Fixed: true, Feet: fourFeet(-620, -180, 210)},
				{Name: "motor", Feet: fourFeet(380, 860, 254)},
			},
			Couplings: []Coupling{{Name: "coupling", Near: "pump", Far: "motor", FlexPlanes: []float64{0, 140}}},
		},
		Base:  soundBase(),
		Stock: &Stock{Leaves: []float64{0.05, 0.1, 0.2, 0.5, 1}, MaxLeaves: 4, Within: 0.025},
		Sag: []SagTest{
			{Bracket: "long", Kind: rollOver, Reading: -0.06},
			{Bracket: "short", Kind: singleDeflection, Reading: -0.02},
		},
		Sets:   []Set{soundSet(AsFound)},
		States: []State{soundState()},
		Limits: []Limits{{Coupling: "coupling", Set: "api-rp-686"}},
	}
	for _, i := range softfoot.Items() {
		r.Looked = append(r.Looked, Observation{Item: string(i), Finding: "sound"})
	}
	for _, m := range r.Train.Machines {
		for _, f := range m.Feet {
			r.Gaps = append(r.Gaps, FootGaps{Machine: m.Name, Foot: f.Name, Length: 120, Width: 80})
			r.Rises = append(r.Rises, FootRises{Machine: m.Name, Foot: f.Name, Rise: 0.01})
		}
		r.Runout = append(r.Runout,
			RunoutSweep{Machine: m.Name, Part: shaftPart, Diameter: 60, Limit: "iec-60072-1", Readings: quarterTurn(0, 0.01, 0.02, 0.01, 0)},
			RunoutSweep{Machine: m.Name, Part: hubRimPart, Limit: "pump-handbook", Readings: quarterTurn(0, 0.01, 0.02, 0.01, 0)})
		r.Joints = append(r.Joints, FlangeSurvey{Machine: m.Name, Name: "suction", Rule: "bloch-geitner", Diameter: 200, FlangeOD: 280, RaisedFaceOD: 216,
			Gasket: 3, Gaps: quarterTurn(3.2, 3.1, 3, 3.1), OffsetUp: num(0.3), OffsetSide: num(-0.4)})
		r.Strain = append(r.Strain, soundStrain(m.Name))
	}
	return r
}

func fourFeet(inboard, outboard, lateral float64) []Foot {
	return []Foot{
		{Name: "front left", Station: inboard, Lateral: num(-lateral), Shims: num(2)},
		{Name: "front right", Station: inboard, Lateral: num(lateral), Shims: num(2)},
		{Name: "rear left", Station: outboard, Lateral: num(-lateral), Shims: num(2)},
		{Name: "rear right", Station: outboard, Lateral: num(lateral), Shims: num(2)},
	}
}

// soundBase rises by 0.02 mm over 1000 mm along the train and by nothing across.
func soundBase() *BaseSurvey {
	return &BaseSurvey{Limits: "api-686", Points: []BasePoint{
		{Pad: "a", Station: -500, Lateral: -250, Height: 0}, {Pad: "b", Station: -500, Lateral: 250, Height: 0},
		{Pad: "c", Station: 500, Lateral: -250, Height: 0.02}, {Pad: "d", Station: 500, Lateral: 250, Height: 0.02},
	}}
}

func soundSet(stage string) Set {
	return Set{Stage: stage, Coupling: "coupling", Method: ReverseIndicator, Dials: []Dial{
		{Touches: rimDial, On: onFar, Station: 160, Bracket: "long", Readings: quarterTurn(0, -0.11, -0.16, -0.05, 0)},
		{Touches: rimDial, On: onNear, Station: -40, Bracket: "short", Readings: quarterTurn(0, -0.02, -0.02, 0, 0)},
	}}
}

// soundState moves the pump by what was measured and the motor by 315 mm x 12e-6/K
// x 25 K = 0.0945 mm at both ends.
func soundState() State {
	return State{Name: "full load", Machines: []Movement{
		{Machine: "pump", Measured: []Moved{{Station: -620, Up: 0.03}, {Station: -180, Up: 0.05, Right: 0.02}}},
		{Machine: "motor", Supports: []Support{
			{Station: 380, Height: 315, Coefficient: 12e-6, Cold: 20, Hot: 45},
			{Station: 860, Height: 315, Coefficient: 12e-6, Cold: 20, Hot: 45},
		}},
	}}
}

func soundStrain(machine string) StrainLog {
	return StrainLog{Machine: machine, Limit: 0.05, Source: "agreed for this job",
		Dials: []StrainDial{{Name: "top", Station: 70, Toward: "up", Touches: "shaft"}, {Name: "side", Station: 70, Toward: "right", Touches: "shaft"}},
		Steps: []StrainStep{
			{Action: "loosen", What: "suction flange", Readings: []float64{0.03, -0.01}},
			{Action: "tighten", What: "suction flange", Readings: []float64{0, 0}},
		}}
}

// evaluated works a record out that holds together.
func evaluated(t testing.TB, r *Record) *Evaluation {
	t.Helper()
	v, err := r.Evaluate()
	require.NoError(t, err)
	return &v
}

func found(t testing.TB, v *Evaluation, id string) Finding {
	t.Helper()
	f, ok := v.Find(id)
	require.True(t, ok, "no finding %s", id)
	return f
}

// digits is what rounding to a picometre, or a slope to 1e-12, leaves.
const digits = 1e-12

// wantIn wants the value of a finding, given in a unit.
func wantIn(t testing.TB, v *Evaluation, id string, u align.Unit, want float64) {
	t.Helper()
	f := found(t, v, id)
	if assert.NotNil(t, f.Value, "%s has no value: %+v", id, f.Error) {
		assert.InDelta(t, u.SI(want), *f.Value, digits, "%s: %g", id, u.FromSI(*f.Value))
	}
}

func wantMM(t testing.TB, v *Evaluation, id string, want float64) {
	t.Helper()
	wantIn(t, v, id, align.UnitMillimetre, want)
}

func wantSlope(t testing.TB, v *Evaluation, id string, want float64) {
	t.Helper()
	wantIn(t, v, id, align.UnitMillimetrePerMetre, want)
}

// wantVerdict wants the limit in SI units and the verdict.
func wantVerdict(t testing.TB, v *Evaluation, id string, limit float64, verdict string) {
	t.Helper()
	f := found(t, v, id)
	if assert.NotNil(t, f.Limit, "%s has no limit", id) {
		assert.InDelta(t, limit, f.Limit.Value, digits, id)
	}
	assert.Equal(t, verdict, f.Verdict, id)
}

// wantError wants what could not be computed, with its code word and field.
func wantError(t testing.TB, v *Evaluation, id string, code align.Fault, field string) {
	t.Helper()
	f := found(t, v, id)
	if assert.NotNil(t, f.Error, "%s has no error", id) {
		assert.Equal(t, code.Code(), f.Error.Code, "%s: %s", id, f.Error.Says)
		assert.Equal(t, field, f.Error.Field, "%s: %s", id, f.Error.Says)
	}
	assert.Nil(t, f.Value, id)
}
