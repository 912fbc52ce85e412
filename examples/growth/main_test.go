package main

import (
	"bytes"
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

func sample(t testing.TB) string {
	t.Helper()
	data, err := jobs.ReadFile(defaultJob)
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

func printedFrom(t *testing.T, job string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "j.json")
	require.NoError(t, os.WriteFile(file, []byte(job), 0o644))
	return printed(t, "-job", file)
}

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

func TestReportIsTheStoredOne(t *testing.T) {
	want, err := os.ReadFile("testdata/feed-pump.golden")
	require.NoError(t, err)
	assert.Equal(t, string(want), printed(t))
}

// mean is the mean coefficient of TE-1 group 1 from 20 degC, by hand: printed at
// 20, 50, 75 and 100 degC as 11.5, 11.8, 11.9 and 12.1 millionths; below 20 the
// first is held.
func mean(t float64) float64 {
	at, a := []float64{20, 50, 75, 100}, []float64{11.5, 11.8, 11.9, 12.1}
	for i := 1; i < len(at); i++ {
		if t <= at[i] {
			f := max(0, (t-at[i-1])/(at[i]-at[i-1]))
			return (a[i-1] + f*(a[i]-a[i-1])) * 1e-6
		}
	}
	return a[3] * 1e-6
}

func strain(cold, hot float64) float64 { return mean(hot)*(hot-20) - mean(cold)*(cold-20) }

// The figures of the report, worked out from the job without the library.
func TestReportByHand(t *testing.T) {
	got := oneLine(printed(t))
	say := func(s string) { t.Helper(); assert.Contains(t, got, s) }

	// Motor, grey cast iron, 5.76 millionths per degF: 400 mm, 18 to 48 and 55 degC.
	assert.InDelta(t, 0.124, 400*5.76e-6*1.8*30, 0.0005)
	assert.InDelta(t, 0.153, 400*5.76e-6*1.8*37, 0.0005)
	say("motor, outboard feet -1180.0 mm 400.0 mm standby, pump warm 20 degC +0.008 mm")
	say("running, full load 48 degC +0.124 mm")
	say("running, full load 55 degC +0.153 mm")

	// Pump on standby, by trapezoids over 130, 260 and 130 mm.
	e := func(t float64) float64 { return strain(18, t) }
	inboard := 130*(e(22)+e(35))/2 + 260*(e(35)+e(62))/2 + 130*(e(62)+e(80))/2
	outboard := 130*(e(21)+e(30))/2 + 260*(e(30)+e(52))/2 + 130*(e(52)+e(66))/2
	assert.InDelta(t, 0.191, inboard, 0.0005)
	assert.InDelta(t, 0.144, outboard, 0.0005)
	say("pump, inboard pedestals +460.0 mm 520.0 mm standby, pump warm 49 degC, 4 heights +0.191 mm")

	// At the near flex plane, -140 mm, along the line through 460 and 1240 mm; the
	// motor grows alike at both ends.
	motor := 400 * 5.76e-6 * 1.8 * 2
	slope := (outboard - inboard) / (1240 - 460)
	standby := inboard + slope*(-140-460) - motor
	standbySide := 0.03 + (0-0.03)/(1240-460)*(-140-460)
	assert.InDelta(t, 0.219, standby, 0.0005)
	assert.InDelta(t, 0.053, standbySide, 0.0005)

	// Running: measured pump less motor growth and oil film.
	out, in := 400*5.76e-6*1.8*30+0.02, 400*5.76e-6*1.8*37+0.02
	running := 0.33 + (0.29-0.33)/780*(-140-460) - (in + (in-out)/760*(-140+420))
	runningSide := 0.09 + (0.02-0.09)/780*(-140-460) + 0.01
	assert.InDelta(t, 0.177, running, 0.0005)
	assert.InDelta(t, 0.154, runningSide, 0.0005)

	// These two govern, start having twice the room: the target is midway and each
	// is off by half their distance, against 0.5 mm/m over 280 mm.
	say("that is 0.140 mm at either of them")
	assert.InDelta(t, 0.198, (standby+running)/2, 0.0005)
	assert.InDelta(t, 0.103, (standbySide+runningSide)/2, 0.0007)
	say("next to motor -140.0 mm 0.198 mm low, 0.103 mm toward 9 o'clock")
	off := math.Hypot(standby-running, standbySide-runningSide) / 2
	assert.InDelta(t, 0.055, off, 0.0005)
	assert.InDelta(t, 39, 100*off/0.140, 0.5)
	say("standby, pump warm next to motor resultant 0.055 mm 0.140 mm +0.085 mm 39 % governs")
	say("best for all states 39 % 31 % 39 % 39 %, within")
	say("standby, pump warm and running, full load govern")

	// Dial on the pump hub at 175 mm: twice the pump's lowness there, less sag.
	say("dial on the pump hub +175.0 mm from motor to pump 0.000 mm")
	low := 0.198 + (0.177-0.198)/280*(175+140)
	assert.InDelta(t, 0.208, 2*low-0.14, 0.002)
	say("This report is arithmetic, not permission")
	for _, line := range strings.Split(printed(t), "\n") {
		if !strings.HasPrefix(line, "  ") { // columns may be wider
			assert.LessOrEqual(t, len(line), page.Width)
		}
	}
}

// In other units the answer is the same.
func TestInchJob(t *testing.T) {
	inch := oneLine(printed(t, "-units", "inch"))
	assert.Contains(t, inch, "next to motor -5.51 in 7.8 mil low, 4.1 mil toward 9 o'clock")
	assert.Contains(t, inch, "best for all states 39 % 31 % 39 % 39 %", "shares do not depend on units")
	both := oneLine(printed(t, "-units", "both"))
	assert.Contains(t, both, "0.198 mm (7.8 mil) low")
}

// A job that no cold setting serves says so.
func TestNoTargetServes(t *testing.T) {
	job := strings.Replace(sample(t), `{"station": 460, "vertical": 0.33, "horizontal": 0.09}`, `{"station": 460, "vertical": 0.83, "horizontal": 0.09}`, 1)
	got := oneLine(printedFrom(t, job))
	assert.Contains(t, got, "No cold setting keeps every state within its limit")
}

func TestBadJobs(t *testing.T) {
	good := sample(t)
	for _, c := range []struct{ name, from, to, want string }{
		{"unknown field", `"judge"`, `"judged"`, "judged: is not a field"},
		{"unit missing", `"length": "mm", `, ``, "units.length: is missing"},
		{"unit of another kind", `"temperature": "degC"`, `"temperature": "mm"`, "units.temperature"},
		{"a rise is no temperature", `"temperature": "degC"`, `"temperature": "degC-rise"`, "units.temperature"},
		{"below absolute zero", `"cold": 18`, `"cold": -300`, "cold = -300 degC: is at or below absolute zero"},
		{"material", `"name": "grey cast iron"`, `"name": "oak"`, "materials[0].name"},
		{"variant", `"variant": "B31.9"`, `"variant": "B99"`, "materials[0].variant"},
		{"material not named", `"station": -420,  "height": 400, "material": "motor frame"`, `"station": -420,  "height": 400, "material": "wood"`, "near.supports[1].material"},
		{"height zero", `"station": -420,  "height": 400`, `"station": -420,  "height": 0`, "length"},
		{"one support", `{"name": "outboard feet", "station": -1180, "height": 400, "material": "motor frame"},`, ``, "near.supports"},
		{"supports in one place", `"station": -420, `, `"station": -1180, `, "near"},
		{"flex planes", `[-140, 140]`, `[-140]`, "coupling.flexPlanes"},
		{"flex planes in one place", `[-140, 140]`, `[140, 140]`, "coupling.flexPlanes"},
		{"limits", `"api-rp-686"`, `"mine"`, "coupling.limits"},
		{"limits of another kind", `"api-rp-686"`, `"weg-s"`, "does not limit the deviation at the flex planes"},
		{"judge", `"resultant"`, `"best"`, "judge"},
		{"widen", `"widen": 2`, `"widen": 0.5`, "states[1].widen"},
		{"temperature missing", `"near": {"temperatures": [20, 20]}`, `"near": {"temperatures": [20]}`, "states[0].near.temperatures"},
		{"temperature as text", `"near": {"temperatures": [20, 20]}`, `"near": {"temperatures": [20, "20"]}`, "states[0].near.temperatures[1]"},
		{"profile of one", `[[0, 22], [130, 35], [390, 62], [520, 80]]`, `[[0, 22]]`, "states[0].far.temperatures[0]"},
		{"profile falls", `[130, 35], [390, 62]`, `[390, 62], [130, 35]`, "does not rise"},
		{"profile beyond the support", `[520, 80]`, `[920, 80]`, "far"},
		{"cause", `"cause": "pipe", "name": "warm suction", "vertical": 0, "horizontal": 0.03`, `"cause": "moon", "vertical": 0, "horizontal": 0.03`, "states[0].far.moves[0].cause"},
		{"support of a move", `{"support": "inboard pedestals", "cause": "pipe", "name": "warm suction", "vertical": 0, "horizontal": 0.03}`, `{"support": "roof", "cause": "pipe", "vertical": 0, "horizontal": 0.03}`, "is not a support of pump"},
		{"measured beside", `{"measured": `, `{"temperatures": [20, 20], "measured": `, "states[2].far.measured"},
		{"measured in one place", `{"station": 1240, "vertical": 0.29`, `{"station": 460, "vertical": 0.29`, "states[2].far"},
		{"as found", `{"station": 140,  "vertical": 0.03`, `{"station": -140,  "vertical": 0.03`, "asFound"},
		{"bracket", `"bracket": "near"`, `"bracket": "none"`, "dials[0].bracket"},
		{"number too large", `"sag": -0.14},`, `"sag": -1e999},`, "dials[0].sag"},
		{"NaN", `"cold": 18`, `"cold": NaN`, "cold"},
		{"given twice", `"judge": "resultant"`, `"judge": "resultant", "judge": "resultant"`, "judge: is given twice"},
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
		assert.True(t, strings.HasPrefix(fault.String(), "growth: "))
	}
	assert.Contains(t, printed(t, "-h"), "-job file")
}

var notANumber = regexp.MustCompile(`[^A-Za-z](NaN|[+-]?Inf)[^A-Za-z]`)

// FuzzJob holds that no record makes the program panic, that a fault is one
// line, and that a report never shows a number that is none.
func FuzzJob(f *testing.F) {
	f.Add(sample(f))
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
		got, err := a.report(page.Both)
		require.NoError(t, err)
		if found := notANumber.FindString(got); found != "" && !strings.Contains(text, strings.Trim(found, "+-() ")) {
			t.Errorf("%q in the report", found)
		}
	})
}
