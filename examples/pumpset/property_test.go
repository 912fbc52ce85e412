package main

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"collinear.example/align"
	"collinear.example/internal/page"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// changed works out the process-water job after changes old, new, old, new ...
func changed(t *testing.T, pairs ...string) (*job, *result) {
	t.Helper()
	data, err := jobs.ReadFile("jobs/process-water.json")
	require.NoError(t, err)
	text := string(data)
	for i := 0; i < len(pairs); i += 2 {
		require.Contains(t, text, pairs[i])
		text = strings.ReplaceAll(text, pairs[i], pairs[i+1])
	}
	j, err := parseJob([]byte(text))
	require.NoError(t, err)
	w, err := work(j)
	require.NoError(t, err)
	return j, w
}

const (
	pumpSets = "[[12, 0], [3, -0.73], [6, -0.99], [9, -0.26], [12, 0.00]],\n" +
		"        [[12, 0], [3, -0.72], [6, -0.98], [9, -0.25], [12, 0.02]]"
	pumpPlace = `"turned": "both", "recorded": "near-to-far"`
)

// The same readings, written down by somebody on the other side.
func TestRecordFromTheOtherEnd(t *testing.T) {
	_, want := changed(t)
	_, got := changed(t, pumpPlace, `"turned": "both", "recorded": "far-to-near"`, pumpSets,
		"[[12, 0], [9, -0.73], [6, -0.99], [3, -0.26], [12, 0.00]], [[12, 0], [9, -0.72], [6, -0.98], [3, -0.25], [12, 0.02]]")
	sameAxis(t, want.position.Axis, got.position.Axis)
}

// The dial may be zeroed anywhere, and a set may start anywhere.
func TestZeroElsewhere(t *testing.T) {
	_, want := changed(t)
	_, got := changed(t, pumpSets, "[[6, 5], [9, 5.73], [12, 5.99], [3, 5.26]], [[6, -1], [9, -0.27], [12, -0.02], [3, -0.74]]")
	sameAxis(t, want.position.Axis, got.position.Axis)
}

// Runout of 0.04 toward 12 and -0.03 toward 3 o'clock adds 0.04(cos t - 1) -
// 0.03 sin t to a sweep zeroed at 12; taken out, it leaves the same position.
// The person on the other side writes 3 for 9 and the sideways runout the other
// way.
func TestRunoutIsTakenOut(t *testing.T) {
	_, want := changed(t)
	place := `"turned": "bracket-shaft", "runout": {"vertical": 0.04, "horizontal": %s}, "recorded": %q`
	sets := "[[12, 0], [%d, -0.80], [6, -1.07], [%d, -0.27]], [[12, 0], [%d, -0.79], [6, -1.06], [%d, -0.26]]"
	_, got := changed(t, pumpPlace, fmt.Sprintf(place, "-0.03", nearToFar), pumpSets, fmt.Sprintf(sets, 3, 9, 3, 9))
	sameAxis(t, want.position.Axis, got.position.Axis)
	_, got = changed(t, pumpPlace, fmt.Sprintf(place, "0.03", farToNear), pumpSets, fmt.Sprintf(sets, 9, 3, 9, 3))
	sameAxis(t, want.position.Axis, got.position.Axis)
	assert.InDelta(t, float64(want.dials[0].forecast[2].Value)-0.08e-3, float64(got.dials[0].forecast[2].Value), 1e-12)
}

// The same figures in inches make every length 25.4 times as long, and no slope
// steeper.
func TestUnitChange(t *testing.T) {
	_, mm := changed(t)
	_, inch := changed(t, `"length": "mm", "reading": "mm"`, `"length": "in", "reading": "in"`)
	assert.InDelta(t, mm.position.Slope().Vertical, inch.position.Slope().Vertical, 1e-12)
	for i := range mm.near {
		assert.InDelta(t, 25.4*float64(mm.near[i].move.Vertical), float64(inch.near[i].move.Vertical), 1e-12)
		assert.InDelta(t, 25.4*float64(mm.near[i].move.Horizontal), float64(inch.near[i].move.Horizontal), 1e-12)
	}
}

// Counting stations from elsewhere changes no move.
func TestStationsCountedFromElsewhere(t *testing.T) {
	_, want := changed(t)
	_, got := changed(t, "-980", "20", "-380", "620", "410", "1410", "890", "1890", "-70,", "930,", " 70]", " 1070]",
		`"station": 105,`, `"station": 1105,`, `"station": -105,`, `"station": 895,`, `"station": 70,`, `"station": 1070,`)
	for i := range want.far {
		assert.InDelta(t, float64(want.far[i].move.Vertical), float64(got.far[i].move.Vertical), 1e-12)
		assert.InDelta(t, float64(want.far[i].move.Horizontal), float64(got.far[i].move.Horizontal), 1e-12)
	}
}

// After the moves of either machine the shafts stand at the target.
func TestMovesReachTheTarget(t *testing.T) {
	for _, moving := range []string{"near", "far"} {
		_, w := changed(t, `"moving": "near"`, fmt.Sprintf(`"moving": %q`, moving))
		sameAxis(t, w.target, w.after)
	}
}

// Sets given to a set of dials without a named method find the same position.
func TestDialsMethod(t *testing.T) {
	_, want := changed(t)
	j, got := changed(t, `"method": "reverse-indicator"`, `"method": "dials"`)
	sameAxis(t, want.position.Axis, got.position.Axis)
	assert.Contains(t, write(j, got, ""), "a set of dials solved together")
}

// Without flex planes, feet of the other machine, target or uncertainty the
// report says what is not there.
func TestWhatIsNotGiven(t *testing.T) {
	j, w := changed(t, `"flexPlanes": [-70, 70],`, "", `"limits": "api-rp-686",`, "", `"readingUncertainty": 0.005,`, "",
		`"name": "pump",  "feet": [{"name": "inboard", "station": 410},  {"name": "outboard", "station": 890}]`, `"name": "pump"`,
		`{"test": "roll-over", "reading": -0.12}`, `{"test": "not-measured"}`)
	j.target = nil
	text := strings.Join(strings.Fields(write(j, w, page.Millimetre)), " ")
	for _, s := range []string{"its feet are not given", "scatter of the readings", "Bracket sag: not measured", "sag taken as zero", "in one line"} {
		assert.Contains(t, text, s)
	}
}

// Without limits the report says that none is applied; with the limits of a
// maker each of its tables is applied or said to be out of reach.
func TestLimits(t *testing.T) {
	j, w := changed(t, `"limits": "api-rp-686",`, "")
	assert.Contains(t, oneLineOf(write(j, w, "")), "No limit is applied here")
	j, w = changed(t, `"api-rp-686"`, `"lobanoff-ross-horizontal"`)
	text := oneLineOf(write(j, w, ""))
	// Far flex plane: 0.552 mm and 0.214 mm to be taken away, against 0.003 in.
	assert.InDelta(t, 776, 100*math.Hypot(0.5515, 0.2143)/0.0762, 1)
	assert.Contains(t, text, "What is to be taken away uses 776 % of it: over, uncertainty and all")
	assert.Contains(t, text, "cannot be applied: tolerance: face-diameter: is missing")
}

func oneLineOf(s string) string { return strings.Join(strings.Fields(s), " ") }

// A dial that rises under its own weight, and readings in a wrong unit, are said
// to be probably wrong.
func TestSeriousWarnings(t *testing.T) {
	j, w := changed(t, `"reading": -0.12`, `"reading": 0.12`, `[6, -0.99]`, `[6, -24]`, `[6, -0.98]`, `[6, -24]`)
	text := strings.Join(strings.Fields(write(j, w, page.Both)), " ")
	assert.Contains(t, text, "Probably wrong: dial on the pump hub: the sag test is positive")
	assert.Contains(t, text, "unusually large, check the unit")
	assert.Contains(t, text, "top plus bottom does not agree")
}

// FuzzNumbers works out jobs with any stations and readings.
func FuzzNumbers(f *testing.F) {
	f.Add(105.0, -105.0, -0.99, 0.39, -0.12, -980.0, 410.0, -0.15)
	f.Add(1e6, -1e6, 1e3, -1e3, 1e3, -1e6, 1e6, 1e3)
	f.Add(1.0, 0.0, 1e3, -1e3, 1e-300, -1e6, 1e6, -1e3)
	data, err := jobs.ReadFile("jobs/process-water.json")
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, far, near, r1, r2, sag, foot1, foot2, target float64) {
		text := strings.NewReplacer(`"station": 105`, fmt.Sprintf(`"station": %g`, far), `"station": -105`, fmt.Sprintf(`"station": %g`, near),
			"-0.99", fmt.Sprint(r1), "0.39", fmt.Sprint(r2), `"reading": -0.12`, fmt.Sprintf(`"reading": %g`, sag),
			"-980", fmt.Sprint(foot1), "410", fmt.Sprint(foot2), "-0.15", fmt.Sprint(target)).Replace(string(data))
		j, err := parseJob([]byte(text))
		if err != nil {
			oneLineOnly(t, err)
			return
		}
		w, err := work(j)
		if err != nil {
			oneLineOnly(t, err)
			return
		}
		for _, m := range append(w.near, w.far...) {
			for _, v := range []unit.Length{m.move.Vertical, m.move.Horizontal, m.sigma.Vertical, m.sigma.Horizontal} {
				if !align.IsFinite(v) {
					t.Errorf("%s feet: %v", m.name, v)
				}
			}
		}
		if found := notANumber.FindString(write(j, w, page.Both)); found != "" {
			t.Errorf("%q in the report", found)
		}
	})
}

// Readings of the opposite sign put the pump on the opposite side, in words too.
// (By hand: with no sag and no target, halves of the differences: e is -0.492 at
// +105 and -0.198 at -105, sideways +0.235 and +0.108.)
func TestOppositeSideInWords(t *testing.T) {
	j, w := changed(t, pumpSets, "[[12, 0], [3, 0.727], [6, 0.984], [9, 0.257]]",
		"[[12, 0], [3, 0.09], [6, 0.39], [9, 0.30], [12, 0.00]],\n        [[12, 0], [3, 0.09], [6, 0.40], [9, 0.31], [12, 0.00]]",
		"[[12, 0], [3, -0.09], [6, -0.396], [9, -0.306]]",
		`{"test": "roll-over", "reading": -0.12}`, `{"test": "none"}`, `{"test": "single-deflection", "reading": -0.05}`, `{"test": "none"}`)
	j.target, w.target = nil, align.Axis{}
	text := strings.Join(strings.Fields(write(j, w, page.Millimetre)), " ")
	assert.Contains(t, text, "pump falls; hub faces gape at 12 o'clock")
	assert.Contains(t, text, "pump swings toward 3 o'clock; hub faces gape at 9 o'clock")
	// e(-70) = -0.198 - 0.294/6 = -0.247 and 0.108 + 0.127/6 = 0.129.
	assert.Contains(t, text, "station -70.0 mm: found, pump 0.247 mm low and 0.129 mm toward 3 o'clock")
}
