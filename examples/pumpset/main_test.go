package main

import (
	"bytes"
	"errors"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"collinear.example/align"
	"collinear.example/internal/record"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

var update = flag.Bool("update", false, "write the golden files anew; check every number by hand afterwards")

// answerOf runs the program and wants it to succeed.
func answerOf(t *testing.T, args ...string) string {
	t.Helper()
	var out, fault bytes.Buffer
	require.Equal(t, record.ExitOK, run(args, &out, &fault), fault.String())
	require.Empty(t, fault.String())
	return out.String()
}

// The golden files are the printed reports. Their numbers do not rest on this
// program: those of process-water are worked out again from the raw readings,
// with plain arithmetic, in TestGoldenByHand; those of the handbook jobs are held
// against the printed answers in TestPublished; the inch figures are held against
// the millimetre ones in TestUnitsAgree.
func TestGolden(t *testing.T) {
	for name, args := range map[string][]string{
		"process-water":      nil,
		"process-water-inch": {"-units", "inch"},
		"process-water-both": {"-units", "both"},
		"handbook-reverse":   {"-demo", "handbook-reverse"},
		"handbook-rim-face":  {"-demo", "handbook-rim-face"},
		"list":               {"-list"},
	} {
		t.Run(name, func(t *testing.T) {
			got := answerOf(t, args...)
			file := filepath.Join("testdata", name+".golden")
			if *update {
				require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
			}
			want, err := os.ReadFile(file)
			require.NoError(t, err)
			assert.Equal(t, string(want), got)
		})
	}
}

func TestJobFileIsTheSameAsDemo(t *testing.T) {
	got := answerOf(t, "-job", filepath.Join("jobs", "handbook-reverse.json"))
	assert.Equal(t, answerOf(t, "-demo", "handbook-reverse"), got)
}

func TestHelp(t *testing.T) {
	assert.Contains(t, answerOf(t, "-h"), "-job file")
}

func TestBadFlags(t *testing.T) {
	large := filepath.Join(t.TempDir(), "large.json")
	require.NoError(t, os.WriteFile(large, make([]byte, record.MaxSize+1), 0o644))
	for want, args := range map[string][]string{
		"-units":     {"-units", "cubits"},
		"-unknown":   {"-unknown"},
		"no such":    {"-demo", "nothing"},
		"-job: open": {"-job", filepath.Join(t.TempDir(), "missing\nfile.json")},
		"-job: read": {"-job", t.TempDir()},
		"larger":     {"-job", large},
		"one of":     {"-job", "a", "-demo", "b"},
		"argument":   {"job.json"},
	} {
		var out, fault bytes.Buffer
		assert.Equal(t, record.ExitBadInput, run(args, &out, &fault), "%q", args)
		assert.Empty(t, out.String())
		assert.Contains(t, fault.String(), want)
		assert.Equal(t, 1, strings.Count(fault.String(), "\n"), fault.String())
	}
}

type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, errors.New("no space left") }

func TestOutputThatCannotBeWritten(t *testing.T) {
	var fault bytes.Buffer
	assert.Equal(t, record.ExitNoOutput, run(nil, fullDisk{}, &fault))
	assert.Contains(t, fault.String(), "no space left")
}

func embedded(t *testing.T, name string) (*job, *result) {
	t.Helper()
	data, err := jobs.ReadFile("jobs/" + name + ".json")
	require.NoError(t, err)
	j, err := parseJob(data)
	require.NoError(t, err)
	w, err := work(j)
	require.NoError(t, err)
	return j, w
}

// Bloch and Geitner, Machinery Component Maintenance and Repair, chapter 5,
// p. 203, Fig. 5-21: -0.0027 in and +0.0066 in; by hand from the same inputs,
// -(0.007 - 12*0.005/14) and -(0.007 - 38*0.005/14). McMillan, Rotating
// Machinery, Fig. 8-13: line heights 0.5 mil and -5.5 mil read off a graph; by
// hand 4 - 18*0.2 and 4 - 48*0.2.
func TestPublished(t *testing.T) {
	for name, exact := range map[string]map[string]float64{ // move up, in inches
		"handbook-reverse":  {"inboard": -(0.007 - 12*0.005/14), "outboard": -(0.007 - 38*0.005/14)},
		"handbook-rim-face": {"inboard": -(4 - 18*0.2) * 1e-3, "outboard": -(4 - 48*0.2) * 1e-3},
	} {
		j, w := embedded(t, name)
		require.Len(t, w.answers, 2)
		list := w.near
		if j.moving == align.Far {
			list = w.far
		}
		for _, f := range list {
			assert.InDelta(t, exact[f.name], float64(f.move.Vertical/align.Inch), 1e-12, "%s %s", name, f.name)
		}
		for _, a := range w.answers {
			assert.True(t, a.agrees, "%s: %+v", name, a)
		}
		assert.NotContains(t, answerOf(t, "-demo", name), "NOT AGREE")
	}
}

// A wrong printed figure is said to disagree.
func TestPublishedThatDisagrees(t *testing.T) {
	data, err := jobs.ReadFile("jobs/handbook-reverse.json")
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "job.json")
	changed := strings.Replace(string(data), `"-0.0027"`, `"-0.0028"`, 1)
	require.NoError(t, os.WriteFile(file, []byte(changed), 0o644))
	assert.Contains(t, answerOf(t, "-job", file), "DOES NOT AGREE")
}

// The named methods of package align find the same position.
func TestNamedMethodsAgree(t *testing.T) {
	j, w := embedded(t, "process-water")
	reverse := align.ReverseIndicator{OnFar: j.dials[0].Dial, OnNear: j.dials[1].Dial}
	a, err := reverse.Axis()
	require.NoError(t, err)
	sameAxis(t, a, w.position.Axis)

	j, w = embedded(t, "handbook-rim-face")
	rimFace := align.RimAndFace{Bracket: align.Near, Rim: j.dials[0].Dial, Face: j.dials[1].Dial}
	p, err := rimFace.Solve()
	require.NoError(t, err)
	sameAxis(t, p.Axis, w.position.Axis)
}

func sameAxis(t *testing.T, a, b align.Axis) {
	t.Helper()
	for _, x := range []float64{-1, 0, 1} {
		d := a.At(unit.Length(x)).Sub(b.At(unit.Length(x)))
		assert.InDelta(t, 0, float64(d.Resultant()), 1e-12, "at %g m", x)
	}
}
