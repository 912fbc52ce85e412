package main

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"collinear.example/internal/page"
	"collinear.example/internal/record"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func sample(t testing.TB, file string) string {
	t.Helper()
	data, err := jobs.ReadFile(file)
	require.NoError(t, err)
	return string(data)
}

func printed(t *testing.T, args ...string) string {
	t.Helper()
	var out, fault bytes.Buffer
	require.Equal(t, record.ExitOK, run(args, &out, &fault), fault.String())
	require.Empty(t, fault.String())
	return out.String()
}

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

func TestReportsAreTheStoredOnes(t *testing.T) {
	for _, name := range []string{"transfer-pump", "one-dial"} {
		want, err := os.ReadFile("testdata/" + name + ".golden")
		require.NoError(t, err)
		assert.Equal(t, string(want), printed(t, "-job", "jobs/"+name+".json"))
	}
}

// The figures of the report, worked out from the job without the library.
func TestReportByHand(t *testing.T) {
	got := oneLine(printed(t))
	say := func(format string, args ...any) {
		t.Helper()
		assert.Contains(t, got, fmt.Sprintf(format, args...))
	}

	// The hub's own dials, read directly and never halved.
	say("discharge off +110.0 mm +0.060 mm -0.090 mm +0.060 mm -0.090 mm")
	say("suction off +110.0 mm +0.010 mm +0.010 mm +0.070 mm -0.080 mm")
	say("discharge on +110.0 mm -0.060 mm +0.090 mm 0.000 mm 0.000 mm")
	// Letting go moved it up and to the left, so the pipe pulls down and right.
	say("The pipe pulls the machine 0.060 mm down, 0.090 mm toward 3 o'clock")
	say("largest, right +110.0 mm 0.090 mm 0.050 mm over")
	say("largest, up +110.0 mm 0.070 mm 0.076 mm within, too close to tell") // 0.003 in
	// Bolting up moves it the way the pipe pulls.
	say("The pipe pulls the machine 0.010 mm down, 0.020 mm toward 3 o'clock")
	say("change, up +110.0 mm 0.030 mm 0.025 mm over, too close to tell") // 0.001 in

	// Two rounded readings a movement: 0.01/sqrt 6; two movements: 2 u sqrt 2.
	say("Closure, \"discharge on\" against \"discharge off\": comes back, worst 0.010 mm at inboard bearing, top (limit %.3f mm)", 2*0.01/math.Sqrt(6)*math.Sqrt2)
	say("(limit %.3f mm)", 2*0.01/math.Sqrt(6)*2)

	// Discharge: four gaps 4.30 4.05 3.90 4.15, half the differences of opposite
	// ones over the radius; twelve points back, three to the right.
	up, right := (4.30-3.90)/212, (4.05-4.15)/212
	tilt := math.Hypot(up, right)
	say("discharge, before the repair: mean gap 4.10 mm; 3.00 mm gasket, so the gap is 1.10 mm too wide; faces open by %.2f mm over the flange", tilt*285)
	say("parallelism %.2f mm %.2f mm over", tilt*212, 0.001*285) // 0.001 of the flange's diameter, opening over the raised face
	off := math.Hypot((0.6+0.6)/2, (1.9+1.9)/2)
	say("centre off by %.2f mm toward 2.4 o'clock", off) // atan(1.9/0.6) = 72.5 deg
	assert.InDelta(t, 2.4, math.Atan2(1.9, 0.6)*180/math.Pi/30, 0.05)
	// Holes at 3 and 9: clockwise along the circle is down at 3, so a centre 0.6 up
	// shows -0.6 at 3 and +0.6 at 9; 0.8 + 0.6 and -1.6 - 0.6 leave -0.4 in the mean.
	say("holes turned 0.40 mm counterclockwise")
	say("holes %.2f mm 1.50 mm over", off+0.4)

	// Suction, written down by a person on the pipe's side: 3 and 9 change places.
	up, right = (3.20-3.10)/266, (3.05-3.25)/266
	say("faces open by %.2f mm over the flange, widest at 9.9 o'clock", math.Hypot(up, right)*340)
	assert.InDelta(t, 9.9, 12+math.Atan2(right, up)*180/math.Pi/30, 0.05)

	say("This report is arithmetic, not permission")
	say("Never pull pipe to a machine with hoists")
	for _, line := range strings.Split(printed(t), "\n") {
		if !strings.HasPrefix(line, "  ") { // columns may be wider
			assert.LessOrEqual(t, len(line), page.Width)
		}
	}
}

// One dial at 45 degrees saw 0.02 mm of a movement of 0.06 up and 0.09 to the
// left, and proves nothing.
func TestOneDialByHand(t *testing.T) {
	got := oneLine(printed(t, "-job", "jobs/one-dial.json"))
	assert.InDelta(t, -0.02, (0.06-0.09)/math.Sqrt2, 0.005)
	assert.Contains(t, got, "the shaft moved by 0.020 mm at least")
	assert.Contains(t, got, "Toward 4.5 o'clock and 10.5 o'clock it may have moved by any amount unseen")
	assert.Contains(t, got, fmt.Sprintf("more than %.3f mm (API RP 686", 0.05*math.Sqrt2))
	assert.NotContains(t, got, " within ")
	assert.Contains(t, got, "Not determined, and not guessed")
}

// Inches say the same; the order of the indicators does not matter.
func TestUnits(t *testing.T) {
	inch := oneLine(printed(t, "-units", "inch"))
	assert.Contains(t, inch, "discharge off +4.33 in +2.4 mil -3.5 mil")
	assert.Contains(t, oneLine(printed(t, "-units", "both")), "+0.060 mm (+2.4 mil)")
}

func TestBadJobs(t *testing.T) {
	good := sample(t, defaultJob)
	for _, c := range []struct{ name, from, to, want string }{
		{"unknown field", `"against"`, `"versus"`, "versus: is not a field"},
		{"unit", `"reading": "mm"`, `"reading": "rpm"`, "units.reading"},
		{"shaft missing", `"shaft": {"height": 0, "lateral": 0},`, ``, "shaft: is missing"},
		{"no coupling station", `"coupling": [110]`, `"coupling": []`, "coupling"},
		{"resolution", `"resolution": 0.01`, `"resolution": -0.01`, "resolution"},
		{"direction", `"lateral": 0,   "plus": "along"`, `"lateral": 0,   "plus": "forward"`, `indicators[7].plus = "forward"`},
		{"hour", `"lateral": 0,   "plus": "along"`, `"lateral": 0,   "plus": 13`, "indicators[7].plus = 13 o'clock"},
		{"carrier", `"plus": "along", "carrier": "base"`, `"plus": "along", "carrier": "wall"`, "indicators[7].carrier"},
		{"two indicators of one name", `"name": "hub, right side",            `, `"name": "hub, top",            `, "indicators[1].name"},
		{"reading missing", `[0.00, 0.00, 0.01, 0.00, 0.00, 0.00, 0.00, 0.00, 0.00]`, `[0.00, 0.00]`, "tests[0].steps[3].readings = a list of 2"},
		{"reading as text", `[0.00, 0.00, 0.01, 0.00, 0.00, 0.00, 0.00, 0.00, 0.00]`, `[0.00, 0.00, "0.01", 0.00, 0.00, 0.00, 0.00, 0.00, 0.00]`, "tests[0].steps[3].readings[2]"},
		{"absurd reading", `[0.00, 0.00, 0.01, 0.00, 0.00, 0.00, 0.00, 0.00, 0.00]`, `[0.00, 0.00, 1e9, 0.00, 0.00, 0.00, 0.00, 0.00, 0.00]`, "tests[0].steps[3].readings[2]"},
		{"action", `"action": "loosen",  "group": "flange", "of": ["discharge"]`, `"action": "kick",  "group": "flange", "of": ["discharge"]`, "tests[0].steps[0].action"},
		{"undoes nothing", `"undoes": "suction off"`, `"undoes": "lunch"`, "tests[0].steps[2].undoes"},
		{"undoes another thing", `"undoes": "suction off"`, `"undoes": "discharge off"`, "tests[0].steps[2].undoes"},
		{"two steps of one name", `"name": "suction off", `, `"name": "discharge off", `, "tests[0].steps[1].name"},
		{"of nothing", `"group": "flange", "of": ["discharge"], "readings": [0.06,`, `"group": "flange", "of": [], "readings": [0.06,`, "tests[0].steps[0].of"},
		{"soft foot", `"when": "before the repair", "softFootCleared": "yes"`, `"when": "before the repair", "softFootCleared": true`, "tests[0].softFootCleared"},
		{"flange without gaps", `"gaps": [[12, 4.30], [3, 4.05], [6, 3.90], [9, 4.15]]`, `"gaps": [[12, 4.30]]`, "flanges[0]"},
		{"negative gap", `[12, 4.30]`, `[12, -4.30]`, "flanges[0]"},
		{"twelve along the pipe", `"leads": "up", "twelve": "back"`, `"leads": "up", "twelve": "up"`, "flanges[0]"},
		{"rule", `"holes": [[3, 0.8], [9, -1.6]],
      "rule": "api-rp-686"`, `"holes": [[3, 0.8], [9, -1.6]],
      "rule": "mine"`, "flanges[0].rule"},
		{"holes without a circle", `"boltCircle": 240, `, ``, "flanges[0]"},
		{"NaN", `"resolution": 0.01`, `"resolution": NaN`, "resolution"},
		{"given twice", `"machine": "pump"`, `"machine": "pump", "machine": "fan"`, "machine: is given twice"},
		{"cut short", "\n  ]\n}\n", "\n  ]\n", "ends too early"},
	} {
		t.Run(c.name, func(t *testing.T) {
			require.Equal(t, 1, strings.Count(good, c.from), "the slip must be in one place")
			file := filepath.Join(t.TempDir(), "j.json")
			require.NoError(t, os.WriteFile(file, []byte(strings.Replace(good, c.from, c.to, 1)), 0o644))
			var out, fault bytes.Buffer
			assert.Equal(t, record.ExitBadInput, run([]string{"-job", file}, &out, &fault))
			assert.Empty(t, out.String())
			assert.Equal(t, 1, strings.Count(fault.String(), "\n"))
			assert.Contains(t, fault.String(), c.want)
		})
	}
}

func TestFlags(t *testing.T) {
	for _, args := range [][]string{{"-job", "does-not-exist"}, {"x"}, {"-colour"}, {"-units", "furlong"}} {
		var out, fault bytes.Buffer
		assert.Equal(t, record.ExitBadInput, run(args, &out, &fault))
		assert.Empty(t, out.String())
		assert.True(t, strings.HasPrefix(fault.String(), "pipestrain: "))
	}
	assert.Contains(t, printed(t, "-h"), "-job file")
}

var notANumber = regexp.MustCompile(`[^A-Za-z](NaN|[+-]?Inf)[^A-Za-z]`)

// FuzzJob holds that no record makes the program panic, that a fault is one
// line, and that a report never shows a number that is none.
func FuzzJob(f *testing.F) {
	f.Add(sample(f, defaultJob))
	f.Add(sample(f, "jobs/one-dial.json"))
	f.Fuzz(func(t *testing.T, text string) {
		j, err := parseJob([]byte(text))
		if err != nil {
			assert.NotContains(t, record.OneLine(err.Error()), "\n")
			return
		}
		a, err := j.answer()
		if err != nil {
			return
		}
		got := a.report(page.Both)
		if found := notANumber.FindString(got); found != "" && !strings.Contains(text, strings.Trim(found, "+-() ")) {
			t.Errorf("%q in the report", found)
		}
	})
}
