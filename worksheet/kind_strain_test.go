package worksheet

import (
	"fmt"
	"math"
	"testing"

	"collinear.example/align"
	"collinear.example/piping"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// asStrainTest returns a log as package piping takes it. Where there is no
// horizontal dial it gets one that shows nothing, so that sizes are known.
func asStrainTest(r *Record) piping.StrainTest {
	log := &r.Strain[0]
	x := unit.Length(r.Units.length(log.Dials[0].Station))
	at := align.Place{X: x}
	out := piping.StrainTest{Coupling: []unit.Length{x}, Indicators: []piping.Indicator{
		{Name: "vertical", At: at, Toward: align.Upward(), Touches: piping.Shaft}, {Name: "horizontal", At: at, Toward: align.Rightward(), Touches: piping.Shaft}}}
	for k, s := range log.Steps {
		step := piping.Step{Name: fmt.Sprint(k), Group: piping.Flange, Of: []string{s.What}, Action: piping.Tighten}
		if s.Action == "loosen" {
			step.Action = piping.Loosen
		}
		for i := range 2 {
			v := 0.0
			if i < len(s.Readings) {
				v = r.Units.reading(s.Readings[i])
			}
			step.Readings = append(step.Readings, piping.Shows(align.Movement(v)))
		}
		out.Steps = append(out.Steps, step)
	}
	return out
}

// TestStrainAgainstLibrary holds every asked figure against piping.StrainTest.
func TestStrainAgainstLibrary(t *testing.T) {
	eachPipeJob(t, strainKind(), func(t *testing.T, d Difficulty, r *Record, s *Sheet, v Values) {
		test := asStrainTest(r)
		result, err := test.Result()
		require.NoError(t, err)
		planes := bothPlanes
		if d == Plain {
			planes = planes[:1]
		}
		for k := range result.Steps {
			for i, p := range planes {
				require.InDelta(t, float64(result.Steps[k].Step.Indicators[i].Value), v[fmt.Sprintf("step.%d.%s", k+1, p)], 1e-15)
			}
		}
		most, all, ok := result.Most(piping.Flange)
		require.True(t, ok && all)
		heldTo(t, float64(most.Size.Value), v["most.size"], "most.size")
		k := int(v["most.step"])
		heldTo(t, float64(most.Size.Value), float64(result.Causes[k].Size.Value), "size of the step")
		for p, pull := range map[string]piping.Component{"vertical": result.Causes[k].Pull.Up, "horizontal": result.Causes[k].Pull.Right} {
			if st := s.step("pull." + p); st != nil {
				require.True(t, pull.Known)
				require.Equal(t, pull.Value < 0, v["pull."+p] == 1, "pull %s", p)
			}
		}
		require.InDelta(t, math.Abs(float64(result.Coupling[0].Up.Value)), math.Abs(v["largest.vertical"]), 1e-15)
		if d != Plain {
			require.InDelta(t, math.Abs(float64(result.Coupling[0].Right.Value)), math.Abs(v["largest.horizontal"]), 1e-15)
		}
		limit := piping.MovementLimit{Limit: align.Limit{Name: "as given", Value: r.Strain[0].Limit, Unit: r.Units.Reading, Source: "test"}, Occasion: piping.BoltingUp}
		verdicts, err := result.Judge(limit)
		require.NoError(t, err)
		over := false
		for _, w := range verdicts {
			over = over || w.Outcome == piping.Over
		}
		require.Equal(t, over, v["verdict"] == 1)
	})
}

// strainByHand: the discharge flange is let go, then the suction flange; the dials
// then show +40 and -30, and +10 and -70 micrometres.
func strainByHand() *Record {
	r := &Record{Format: Format, Title: "hand", Units: Units{Length: align.UnitMillimetre, Reading: align.UnitMillimetre}}
	r.Train.Machines = []Machine{{Name: "pump"}}
	r.Strain = []StrainLog{{Machine: "pump", Limit: 0.05, Source: "hand",
		Dials: []StrainDial{{Name: "vertical", Station: 100, Toward: "up", Touches: "shaft"}, {Name: "horizontal", Station: 100, Toward: "right", Touches: "shaft"}},
		Steps: []StrainStep{{Action: "loosen", What: "discharge flange", Readings: []float64{0.04, -0.03}}, {Action: "loosen", What: "suction flange", Readings: []float64{0.01, -0.07}}}}}
	return r
}

// TestStrainByHand: the first step moves the shaft up 0.04 and left 0.03, 0.05
// together; the second down 0.03 and left 0.04, 0.05 together as well. The first
// counts. Its pipe pulls down and to the right. To the left the shaft went 0.07 in
// all, over 0.05.
func TestStrainByHand(t *testing.T) {
	k := strainKind()
	v := worked(t, k, strainByHand(), "")
	for id, want := range map[string]float64{"step.1.vertical": 40e-6, "step.1.horizontal": -30e-6, "step.2.vertical": -30e-6, "step.2.horizontal": -40e-6,
		"most.step": 0, "most.size": 50e-6, "pull.vertical": 1, "pull.horizontal": 0, "largest.vertical": 40e-6, "largest.horizontal": -70e-6, "verdict": 1} {
		assert.InDelta(t, want, v[id], 1e-12, id)
	}
	for _, c := range []struct {
		code, step string
		want       float64
	}{
		{"strain-halved", "most.size", 25e-6},
		{"strain-halved", "verdict", 0}, // 0.035 within 0.05
		{"dial-sign", "pull.vertical", 0},
		{"strain-running-for-step", "step.2.horizontal", -70e-6},
		{"strain-running-for-step", "most.step", 1},               // 0.0707 against 0.05
		{"strain-readings-summed", "largest.horizontal", -100e-6}, // -30 - 70
		{"strain-step-for-running", "largest.horizontal", -40e-6}, //
		{"strain-last-reading", "largest.vertical", 10e-6},        //
		{"strain-release-sign", "pull.vertical", 0},               // the way it moved
		{"strain-release-sign", "pull.horizontal", 1},             //
		{"strain-added", "most.size", 70e-6},                      // 40 + 30
		{"strain-larger-only", "most.size", 40e-6},                //
		{"strain-not-combined", "most.size", 40e-6},               //
		{"strain-dials-exchanged", "step.1.vertical", -30e-6},     //
		{"strain-resultant-judged", "verdict", 1},                 //
	} {
		assert.InDelta(t, c.want, worked(t, k, strainByHand(), c.code)[c.step], 1e-12, c.code)
	}
	made := strainByHand()
	made.Strain[0].Steps[0].Action = "tighten" // a flange made up moves the machine the way it pulls
	assert.Zero(t, worked(t, k, made, "")["pull.vertical"])
}
