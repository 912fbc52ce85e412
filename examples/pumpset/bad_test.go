package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"collinear.example/internal/record"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// badJobs are single slips of the pen in a good job, each with the words that
// the message must hold: the field first.
var badJobs = []struct {
	name     string
	old, new string // in process-water.json
	want     []string
}{
	{"unknown field at the top", `"speed": 1485,`, `"speed": 1485, "colour": 1,`, []string{"colour: is not a field"}},
	{"unknown field inside a dial", `"touches": "rim", "bracket": "near"`, `"touches": "rim", "radius": 80, "bracket": "near"`, []string{"dials[0].radius: is not a field"}},
	{"field in capitals", `"method":`, `"Method":`, []string{"Method: is not a field"}},
	{"field given twice", `"moving": "near",`, `"moving": "near", "moving": "far",`, []string{"moving: is given twice"}},
	{"no units", `"units": {"length": "mm", "reading": "mm", "speed": "rpm"},`, ``, []string{"units: is missing"}},
	{"no unit of readings", `"reading": "mm", `, ``, []string{"units.reading: is missing"}},
	{"no unit of length", `"length": "mm", `, ``, []string{"units.length: is missing"}},
	{"speed without unit", `, "speed": "rpm"}`, `}`, []string{"units.speed: is missing"}},
	{"unknown unit", `"length": "mm"`, `"length": "cubit"`, []string{`units.length = "cubit": unknown-unit`}},
	{"unit of another kind", `"reading": "mm"`, `"reading": "rpm"`, []string{`units.reading = "rpm": wrong-unit`}},
	{"NaN", `[3, -0.73]`, `[3, NaN]`, []string{"dials[0].sets[0][1][1]: not valid JSON near line 23", "NaN"}},
	{"infinity", `"station": 105`, `"station": Infinity`, []string{"dials[0].station: not valid JSON"}},
	{"number in quotes", `"station": 105`, `"station": "105"`, []string{`dials[0].station = "105": want a number`}},
	{"null is no number", `"station": 105`, `"station": null`, []string{"dials[0].station = null: want a number"}},
	{"number too large for a float", `"station": 105`, `"station": 1e400`, []string{"dials[0].station = 1e400: is outside the range"}},
	{"number too small for a float", `[6, -0.99]`, `[6, -1e-400]`, []string{"dials[0].sets[0][2][1] = -1e-400: is outside the range"}},
	{"station of a thousand kilometres", `"station": -980`, `"station": -1e9`, []string{"machines.near.feet[0].station = -1e+09 mm: is out of range"}},
	{"reading of a thousand metres", `[3, 0.09], [6, 0.39]`, `[3, 0.09], [6, 1e6]`, []string{"dials[1].sets[0][2][1] = 1e+06 mm: is out of range"}},
	{"missing station is not zero", `"station": 105, `, ``, []string{"dials[0].station: is missing"}},
	{"missing sag is not zero", `"sag": {"test": "roll-over", "reading": -0.12},`, ``, []string{"dials[0].sag: is missing"}},
	{"missing sag reading is not zero", `{"test": "roll-over", "reading": -0.12}`, `{"test": "roll-over"}`, []string{"dials[0].sag.reading: is missing"}},
	{"sag reading without a test", `{"test": "roll-over", "reading": -0.12}`, `{"test": "none", "reading": -0.12}`, []string{"dials[0].sag.reading = -0.12"}},
	{"missing target part is not zero", `{"station": -70, "vertical": -0.12, "horizontal": 0}`, `{"station": -70, "vertical": -0.12}`, []string{"target.offsets[0].horizontal: is missing"}},
	{"target at one station", `{"station": 70,  "vertical"`, `{"station": -70,  "vertical"`, []string{"target.offsets[1].station = -70 mm"}},
	{"unknown word", `"recorded": "near-to-far"`, `"recorded": "from the left"`, []string{`dials[0].recorded = "from the left": want one of: near-to-far, far-to-near`}},
	{"unknown method", `"reverse-indicator"`, `"guess"`, []string{`method = "guess"`}},
	{"method and dials disagree", `"reverse-indicator"`, `"rim-and-face"`, []string{"dials = 2 on a rim: rim-and-face takes one"}},
	{"both brackets on one shaft", `"bracket": "far"`, `"bracket": "near"`, []string{`dials[1].bracket = "near"`}},
	{"only the touched shaft turned", `"turned": "both", "recorded": "near-to-far"`, `"turned": "touched-shaft", "recorded": "near-to-far"`, []string{"dials[0].turned", "runout, not alignment"}},
	{"bracket's shaft turned, runout not given", `"turned": "both", "recorded": "near-to-far"`, `"turned": "bracket-shaft", "recorded": "near-to-far"`, []string{"dials[0].runout: is missing"}},
	{"face dial without swept diameter", `"rim", "bracket": "near", "station": 105, "diameter": 160`, `"face-toward-bracket", "bracket": "near", "station": 105`, []string{"dials[0].diameter: is missing"}},
	{"zero diameter", `"station": 105, "diameter": 160`, `"station": 105, "diameter": 0`, []string{"dials[0].diameter = 0 mm"}},
	{"dials at one station", `"bracket": "far", "station": -105`, `"bracket": "far", "station": 105`, []string{"dials: all dials stand at the same station"}},
	{"hour off the clock", `[9, -0.26]`, `[15, -0.26]`, []string{"dials[0].sets[0][3][0] = 15 o'clock"}},
	{"reading without an hour", `[9, -0.26]`, `-0.26`, []string{"dials[0].sets[0][3] = -0.26: want a pair"}},
	{"sets of different length", `[9, -0.25], [12, 0.02]]`, `[9, -0.25]]`, []string{"dials[0].sets[1] = a list of 4"}},
	{"sets at different positions", `[3, -0.72]`, `[4, -0.72]`, []string{"dials[0].sets[1][1][0]"}},
	{"no sets", "[\n        [[12, 0], [3, 0.09], [6, 0.39], [9, 0.30], [12, 0.00]],\n        [[12, 0], [3, 0.09], [6, 0.40], [9, 0.31], [12, 0.00]]\n      ]", `[]`, []string{"dials[1].sets = a list of 0"}},
	{"one clock position", "[[12, 0], [3, 0.09], [6, 0.39], [9, 0.30], [12, 0.00]],\n        [[12, 0], [3, 0.09], [6, 0.40], [9, 0.31], [12, 0.00]]", `[[12, 0]]`, []string{"dials[1] (dial on the motor hub).sweep", "too few clock positions"}},
	{"no feet on the machine to move", `"name": "motor", "feet": [{"name": "outboard", "station": -980}, {"name": "inboard", "station": -380}]`, `"name": "motor"`, []string{"machines.near.feet: is missing"}},
	{"one pair of feet", `{"name": "outboard", "station": -980}, `, ``, []string{"machines.near.feet = a list of 1"}},
	{"two pairs of feet at one station", `"station": -980`, `"station": -380`, []string{"machines.near.feet[1].station = -380 mm"}},
	{"far machine before the near one", `"station": 410`, `"station": -500`, []string{"machines.far.feet[0].station = -500 mm"}},
	{"flex planes the wrong way round", `[-70, 70]`, `[70, -70]`, []string{"flexPlanes[1] = -70 mm"}},
	{"three flex planes", `[-70, 70]`, `[-70, 0, 70]`, []string{"flexPlanes = a list of 3"}},
	{"limits nobody printed", `"api-rp-686"`, `"mine"`, []string{`limits = "mine": is not a built-in set`}},
	{"limits without flex planes", `[-70, 70]`, `[70]`, []string{`limits = "api-rp-686": needs the two flex planes`}},
	{"negative uncertainty", `"readingUncertainty": 0.005`, `"readingUncertainty": -0.005`, []string{"readingUncertainty = -0.005"}},
	{"negative speed", `"speed": 1485,`, `"speed": -1485,`, []string{"speed = -1485 rpm"}},
	{"text that is a number", `"title": "process-water pump set 3, off line, first check"`, `"title": 3`, []string{"title = 3: want a text"}},
	{"empty name", `"name": "motor"`, `"name": " "`, []string{"machines.near.name"}},
	{"control character in a name", `"name": "motor"`, `"name": "mo\ntor"`, []string{"machines.near.name"}},
	{"comma too many", `"moving": "near",`, `"moving": "near",,`, []string{"record: not valid JSON near line 11"}},
	{"brace too many", "\n  }\n}\n", "\n  }\n}}\n", []string{"record: not valid JSON"}},
	{"cut short", "\n  }\n}\n", "\n  }\n", []string{"record: not valid JSON", "ends too early"}},
	{"published without a citation", `"moving": "near",`, `"moving": "near", "published": [],`, []string{"citation: is missing"}},
}

func TestBadJobs(t *testing.T) {
	good, err := jobs.ReadFile("jobs/process-water.json")
	require.NoError(t, err)
	dir := t.TempDir()
	for _, c := range badJobs {
		t.Run(c.name, func(t *testing.T) {
			require.Equal(t, 1, strings.Count(string(good), c.old), "the slip must change one place of the good job")
			refused(t, dir, []byte(strings.Replace(string(good), c.old, c.new, 1)), c.want...)
		})
	}
}

func TestJobsThatAreNoObject(t *testing.T) {
	dir := t.TempDir()
	for text, want := range map[string]string{
		"":         "record: not valid JSON near line 1: ends too early",
		"[]":       "record = a list of 0: want an object",
		"3":        "record = 3: want an object",
		"\xff":     "record: is not UTF-8",
		"{} {}":    "record: not valid JSON",
		"nonsense": "record: not valid JSON",
		strings.Repeat(`{"a":`, 40) + "1" + strings.Repeat("}", 40): "nested too deep",
	} {
		refused(t, dir, []byte(text), want)
	}
}

// refused wants exit status 2, nothing on standard output, and one line on
// standard error that holds the given words.
func refused(t *testing.T, dir string, text []byte, want ...string) {
	t.Helper()
	file := filepath.Join(dir, "job.json")
	require.NoError(t, os.WriteFile(file, text, 0o644))
	var out, fault bytes.Buffer
	assert.Equal(t, record.ExitBadInput, run([]string{"-job", file}, &out, &fault))
	assert.Empty(t, out.String())
	assert.Equal(t, 1, strings.Count(fault.String(), "\n"), fault.String())
	assert.True(t, strings.HasPrefix(fault.String(), "pumpset: "), fault.String())
	for _, w := range want {
		assert.Contains(t, fault.String(), w)
	}
	if len(want) > 0 && !strings.Contains(want[0], "nested") {
		assert.True(t, strings.HasPrefix(fault.String(), "pumpset: "+want[0]), fault.String())
	}
}
