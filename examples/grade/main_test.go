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
	"collinear.example/tolerance"
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

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

func TestReportsAreTheStoredOnes(t *testing.T) {
	want, err := os.ReadFile("testdata/process-water.golden")
	require.NoError(t, err)
	assert.Equal(t, string(want), printed(t))
	want, err = os.ReadFile("testdata/own.golden")
	require.NoError(t, err)
	assert.Equal(t, string(want), printed(t, "-limits", "testdata/own.json"))
}

// The figures of the report, worked out from the job without the library.
func TestReportByHand(t *testing.T) {
	got := oneLine(printed(t))
	say := func(format string, args ...any) {
		t.Helper()
		assert.Contains(t, got, fmt.Sprintf(format, args...))
	}

	// 0.020 high and 0.050 left at -70, 0.060 high and 0.010 left at +70.
	far, slope := math.Hypot(0.06, 0.01), math.Hypot(0.04, 0.04)/140
	say("radial offset %.3f mm resultant at +70.0 mm 0.100 mm %.0f %% within any speed", far, 100*far/0.1)
	say("per flex-plane separation %.3f mm/m resultant at +70.0 mm 0.500 mm/m %.0f %% within", 1000*far/140, 100*far/140/0.0005)
	say("difference of gaps %.3f mm resultant 1.549 mm %.0f %% within", 140*slope, 100*140*slope/(0.061*25.4))
	say("rim reading %.3f mm", 2*far)
	say("face reading per hub radius %.3f mm/m resultant 1.000 mm/m %.0f %% within", 2000*slope, 100*2000*slope)

	// Army maxima in inches; the axial gap is 0.4 mm.
	sum := 0.4/(0.098*25.4) + 2*far/(0.047*25.4) + 140*slope/(0.061*25.4)
	say("Shares add: %.0f %% of the whole, within", 100*sum)
	say("Shares add: %.0f %% of the whole, over", 1000*sum)

	// Flender: (0.1 + 140/1000) * 40/sqrt(1485), and the speed at which it is the
	// found offset.
	limit := 0.24 * 40 / math.Sqrt(1485)
	say("radial offset %.3f mm resultant at +70.0 mm %.3f mm %.0f %% within %.0f rpm", far, limit, 100*far/limit, math.Floor(math.Pow(0.24*40/far, 2)))

	// KTR: the tangent of one degree over 140 mm.
	say("%.3f mm resultant at +70.0 mm %.3f mm", far, 140*math.Tan(math.Pi/180))

	// Rim reading 0.122 against 0.0047 in: uncertain by 2 x 0.004, too close to tell.
	say("resultant at +70.0 mm 0.119 mm 102 %% unclear, ")
	say("practical-pumping-handbook-angular: its figures contradict themselves or cannot be what they say")
	say("This report is arithmetic, not permission")
	for _, line := range strings.Split(printed(t), "\n") {
		if !strings.HasPrefix(line, "  ") { // columns may be wider
			assert.LessOrEqual(t, len(line), page.Width)
		}
	}
}

// Every built-in table is either graded, left out with a reason, or in the list
// of those that cannot be applied.
func TestNoTableIsLost(t *testing.T) {
	j, err := parseJob([]byte(sample(t)), tolerance.Builtin())
	require.NoError(t, err)
	sets := tolerance.Builtin()
	for i, g := range j.gradeAll(sets) {
		assert.Equal(t, len(sets[i].Tables), len(g.grade.Grades)+len(g.grade.Ungraded), sets[i].ID)
		assert.Equal(t, len(g.grade.Grades), len(g.rows), sets[i].ID)
	}
	got := printed(t)
	for _, s := range sets {
		assert.Contains(t, oneLine(got), s.Title)
	}
}

// The same job in inches gives the same shares.
func TestInch(t *testing.T) {
	share := regexp.MustCompile(`\d+ %`)
	assert.Equal(t, share.FindAllString(printed(t), -1), share.FindAllString(printed(t, "-units", "inch"), -1))
	assert.Contains(t, oneLine(printed(t, "-units", "both")), "0.020 mm (0.8 mil) high")
}

// Without uncertainty nothing is unclear; with a large one much is.
func TestUncertainty(t *testing.T) {
	file := filepath.Join(t.TempDir(), "j.json")
	without := strings.Replace(sample(t), "\"uncertainty\": 0.004,\n", "", 1)
	require.NoError(t, os.WriteFile(file, []byte(without), 0o644))
	got := oneLine(printed(t, "-job", file))
	assert.Contains(t, got, "by 0 it is unclear.")
	assert.NotContains(t, got, "likely within")
	large := strings.Replace(sample(t), "\"uncertainty\": 0.004", "\"uncertainty\": 0.5", 1)
	require.NoError(t, os.WriteFile(file, []byte(large), 0o644))
	assert.Contains(t, oneLine(printed(t, "-job", file)), "likely within")
}

func TestBadJobs(t *testing.T) {
	good := sample(t)
	for _, c := range []struct{ name, from, to, want string }{
		{"unknown field", `"axialGapError"`, `"gap"`, "gap: is not a field"},
		{"unit", `"reading": "mm"`, `"reading": "deg"`, "units.reading"},
		{"speed", `"speed": 1485`, `"speed": 0`, "speed = 0 rpm: must be greater than zero"},
		{"speed as text", `"speed": 1485`, `"speed": "fast"`, "speed"},
		{"flex planes", `[-70, 70]`, `[70, -70]`, "coupling.flexPlanes"},
		{"flex planes three", `[-70, 70]`, `[-70, 0, 70]`, "coupling.flexPlanes"},
		{"hub faces", `[-60, 60]`, `[60, 60]`, "coupling.hubFaces"},
		{"diameter", `"faceDiameter": 140`, `"faceDiameter": -140`, "coupling.faceDiameter = -140 mm"},
		{"one point", `{"station": 70,  "vertical": 0.06, "horizontal": -0.01}`, ``, "misalignment"},
		{"one station", `"station": 70, `, `"station": -70, `, "misalignment"},
		{"plane missing", `"vertical": 0.06, `, ``, "misalignment[1].vertical: is missing"},
		{"uncertainty", `"uncertainty": 0.004`, `"uncertainty": -0.004`, "uncertainty = -0.004 mm: must not be negative"},
		{"size twice", `{"set": "ktr-rotex-sp-13"`, `{"set": "ktr-rotex-sp-12"`, "sizes[2].set"},
		{"size missing", `{"set": "hbe-softex", "size": "48/60"}`, `{"set": "hbe-softex"}`, "sizes[0].size: is missing"},
		{"set that is not there", `{"set": "hbe-softex"`, `{"set": "nobody"`, `sizes[0].set = "nobody"`},
		{"given twice", `"speed": 1485`, `"speed": 1485, "speed": 1000`, "speed: is given twice"},
		{"NaN", `"uncertainty": 0.004`, `"uncertainty": NaN`, "uncertainty"},
	} {
		t.Run(c.name, func(t *testing.T) {
			require.Equal(t, 1, strings.Count(good, c.from), "the slip must be in one place")
			file := filepath.Join(t.TempDir(), "j.json")
			text := strings.Replace(good, c.from, c.to, 1)
			text = regexp.MustCompile(`,\s*\]`).ReplaceAllString(text, "]")
			require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
			var out, fault bytes.Buffer
			assert.Equal(t, record.ExitBadInput, run([]string{"-job", file}, &out, &fault))
			assert.Empty(t, out.String())
			assert.Equal(t, 1, strings.Count(fault.String(), "\n"))
			assert.Contains(t, fault.String(), c.want)
		})
	}
}

func TestFlags(t *testing.T) {
	for _, args := range [][]string{{"-job", "does-not-exist"}, {"-limits", "does-not-exist"}, {"-limits", "jobs/process-water.json"}, {"x"}, {"-colour"}, {"-units", "furlong"}} {
		var out, fault bytes.Buffer
		assert.Equal(t, record.ExitBadInput, run(args, &out, &fault))
		assert.Empty(t, out.String())
		assert.Equal(t, 1, strings.Count(fault.String(), "\n"))
		assert.True(t, strings.HasPrefix(fault.String(), "grade: "))
	}
	assert.Contains(t, printed(t, "-h"), "-limits file")
}

var notANumber = regexp.MustCompile(`[^A-Za-z](NaN|[+-]?Inf)[^A-Za-z]`)

// FuzzJob holds that no record makes the program panic, that a fault is one
// line, and that a report never shows a number that is none.
func FuzzJob(f *testing.F) {
	sets := tolerance.Builtin()
	f.Add(sample(f))
	f.Fuzz(func(t *testing.T, text string) {
		j, err := parseJob([]byte(text), sets)
		if err != nil {
			assert.NotContains(t, record.OneLine(err.Error()), "\n")
			return
		}
		got := j.report(j.gradeAll(sets), page.Both)
		if found := notANumber.FindString(got); found != "" && !strings.Contains(text, strings.Trim(found, "+-() ")) {
			t.Errorf("%q in the report", found)
		}
	})
}
