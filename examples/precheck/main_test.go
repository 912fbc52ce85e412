package main

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"collinear.example/internal/record"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func sample(t testing.TB) string {
	t.Helper()
	data, err := surveys.ReadFile(defaultSurvey)
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

// oneLine is the report with its line breaks and indents taken out.
func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

func TestReportIsTheStoredOne(t *testing.T) {
	want, err := os.ReadFile("testdata/cooling-tower.golden")
	require.NoError(t, err)
	assert.Equal(t, string(want), printed(t))
}

// The figures of the report worked out from the survey by hand, without the
// library.
func TestReportByHand(t *testing.T) {
	got := oneLine(printed(t))
	say := func(format string) { t.Helper(); assert.Contains(t, got, format) }

	// Pads at station 0: 0.00 and 0.01, at 560: 0.04 and 0.02 mm. The rise along
	// is (0.03 - 0.005)/0.560 m; across, (0.015 - 0.02)/0.5 m in size.
	say("base level-along: 44.6 um/m") // 0.025/0.560 = 44.64
	say("over the limit by 2.6 um/m")  // limit 42
	say("base level-across: 10.0 um/m")
	say("base elevation: 40.0 um, within the limit by 90.0 um") // 0.04 - 0.00, limit 130

	// Foot outboard right: 0.10 at the first end, 0.30 at the last.
	say("gap 0.100 mm to 0.300 mm, mean 0.200 mm; tapers by 0.200 mm, tight at the end toward the first machine")
	// Leaves at 0.15, 0.20 and 0.25 mm end at 3/4, 1/2 and 1/4 of 120 mm.
	say("0.100 mm all the way, 0.050 mm 90 mm, 0.050 mm 60 mm, 0.050 mm 30 mm; leaves 0.050 mm open at most")

	// Foundation: 9800/2650.
	say("foundation mass: 3.7 times the machines")

	// Shaft: first harmonic (0 - 0.022)/2 and (0.010 - 0.012)/2.
	shaftV, shaftH := -0.011, -0.001
	say("at most 0.0020 in (Mackay, The Practical Pumping Handbook, 10.3.5, pp. 178-179), which is 0.051 mm here") // 0.002 x 25.4
	say("motor shaft: total indicator reading 0.022 mm, eccentricity 0.011 mm with the high spot at mark 185 deg")
	assert.InDelta(t, 185, math.Mod(360+math.Atan2(shaftH, shaftV)*180/math.Pi, 360), 0.5)
	// Hub: (0 - 0.060)/2 and (0.055 - 0.005)/2; less the shaft as vectors.
	hubV, hubH := -0.030, 0.025
	assert.InDelta(t, 0.039, math.Hypot(hubV, hubH), 0.0005)
	assert.InDelta(t, 0.032, math.Hypot(hubV-shaftV, hubH-shaftH), 0.0005)
	say("hub less shaft, as vectors, eccentric by 0.032 mm")
	say("-> the hub is bored off centre") // hub 0.060 over 0.0508 mm, shaft 0.022 within 0.0254 mm

	say("4 things block the alignment") // bolts, level, one foot, hub
	say("jackscrews: nobody looked")
	say("Isolate the driver, lock it out")
	say("This report is arithmetic, not permission")
	for _, line := range strings.Split(printed(t), "\n") {
		assert.LessOrEqual(t, len(line), width)
	}
}

func TestAllInOrder(t *testing.T) {
	text := `{"title": "x", "units": {"length": "in", "reading": "mil"},
		"hubs": [{"name": "hub", "rule": "chiller-maker", "marks": [[0, 0], [120, 0.4], [240, 0.8]]}]}`
	file := filepath.Join(t.TempDir(), "s.json")
	require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
	got := printed(t, "-survey", file)
	assert.Contains(t, got, "Nothing found that blocks the alignment.")
	assert.Contains(t, got, "in order    hub: total indicator reading 0.8 mil")
}

// A foot whose corners read 0 and 0.16 crosswise tapers by nothing and is bent.
func TestBentFoot(t *testing.T) {
	text := strings.Replace(sample(t), `{"firstLeft": 0.10, "firstRight": 0.10, "lastLeft": 0.30, "lastRight": 0.30}`,
		`{"firstLeft": 0, "firstRight": 0.16, "lastLeft": 0.16, "lastRight": 0}`, 1)
	file := filepath.Join(t.TempDir(), "s.json")
	require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
	got := oneLine(printed(t, "-survey", file))
	assert.Contains(t, got, "gap 0.000 mm to 0.160 mm, mean 0.080 mm; parallel; the corners do not lie in one plane")
}

func TestBadSurveys(t *testing.T) {
	good := sample(t)
	for _, c := range []struct{ name, from, to, want string }{
		{"unknown field", `"title"`, `"titel": "x", "title"`, "titel: is not a field"},
		{"unit missing", `"length": "mm", `, ``, "units.length: is missing"},
		{"unit unknown", `"length": "mm"`, `"length": "furlong"`, "units.length"},
		{"unit of another kind", `"length": "mm"`, `"length": "rpm"`, "units.length"},
		{"item", `"item": "rust"`, `"item": "paint"`, `looked[5].item = "paint"`},
		{"finding", `"finding": "severe"`, `"finding": "bad"`, "looked[3].finding"},
		{"limits", `"api-686"`, `"api-999"`, "base.limits"},
		{"pad without a name", `"pad": "inboard left"`, `"pad": ""`, "base.points[2].pad"},
		{"height as text", `"height": 0.04`, `"height": "0.04"`, "base.points[2].height"},
		{"NaN", `"height": 0.04`, `"height": NaN`, "base.points[2].height"},
		{"too large", `"height": 0.04`, `"height": 1e999`, "base.points[2].height"},
		{"negative gap", `"firstLeft": 0.10`, `"firstLeft": -0.10`, "feet[1]"},
		{"gap missing", `"firstLeft": 0.10, `, ``, "feet[1].gaps.firstLeft: is missing"},
		{"foot without size", `"length": 120, "width": 80, "gaps": {"firstLeft": 0.10`, `"length": 0, "width": 80, "gaps": {"firstLeft": 0.10`, "feet[1]"},
		{"two feet in one place", `"station": 560, "lateral": 250,  "length"`, `"station": 560, "lateral": -250,  "length"`, "feet"},
		{"two feet of one name", `{"name": "inboard right"`, `{"name": "inboard left"`, "feet"},
		{"half a shim", `"most": 4`, `"most": 4.5`, "shims.most"},
		{"no shim allowed", `"most": 4`, `"most": 0`, "axLeaves"},
		{"standard", `"iec-60072-1"`, `"iec-0"`, "shafts[0]"},
		{"wrong place", `"place": "middle"`, `"place": "end"`, "shafts[0].place"},
		{"diameter", `"diameter": 65`, `"diameter": 0`, "shafts[0].diameter"},
		{"diameter off the table", `"diameter": 65`, `"diameter": 6500`, "shafts[0].diameter"},
		{"mark without reading", `[90, 0.010], [180, 0.022], [270, 0.012], [360, 0]]}
  ],`, `[90], [180, 0.022]]}
  ],`, "shafts[0].marks[1]"},
		{"rule", `"pump-handbook"`, `"my-own"`, "hubs[0].rule"},
		{"mass", `"block": 9800`, `"block": 0`, "block"},
		{"given twice", `"most": 4`, `"most": 4, "most": 5`, "shims.most: is given twice"},
		{"cut short", "\n  ]\n}\n", "\n  ]\n", "ends too early"},
	} {
		t.Run(c.name, func(t *testing.T) {
			require.Equal(t, 1, strings.Count(good, c.from), "the slip must be in one place")
			file := filepath.Join(t.TempDir(), "s.json")
			require.NoError(t, os.WriteFile(file, []byte(strings.Replace(good, c.from, c.to, 1)), 0o644))
			var out, fault bytes.Buffer
			assert.Equal(t, record.ExitBadInput, run([]string{"-survey", file}, &out, &fault))
			assert.Empty(t, out.String())
			assert.Equal(t, 1, strings.Count(fault.String(), "\n"))
			assert.Contains(t, fault.String(), c.want)
		})
	}
}

func TestFlags(t *testing.T) {
	for _, args := range [][]string{{"-survey", "does-not-exist"}, {"x"}, {"-colour"}} {
		var out, fault bytes.Buffer
		assert.Equal(t, record.ExitBadInput, run(args, &out, &fault))
		assert.Empty(t, out.String())
		assert.True(t, strings.HasPrefix(fault.String(), "precheck: "))
	}
	assert.Contains(t, printed(t, "-h"), "-survey file")
}

func FuzzSurvey(f *testing.F) {
	f.Add(sample(f))
	f.Fuzz(func(t *testing.T, text string) {
		s, err := parseSurvey([]byte(text))
		if err != nil {
			assert.NotContains(t, err.Error(), "\n")
			return
		}
		found, err := s.work()
		if err != nil {
			return
		}
		got := found.text(s)
		assert.NotContains(t, got, "NaN")
		assert.NotContains(t, got, "Inf ")
	})
}
