package main

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"collinear.example/internal/record"
	"collinear.example/worksheet"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func printed(t *testing.T, args ...string) string {
	t.Helper()
	var out, fault bytes.Buffer
	require.Equal(t, record.ExitOK, run(args, &out, &fault), fault.String())
	require.Empty(t, fault.String())
	return out.String()
}

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

func TestPrintsWhatIsStored(t *testing.T) {
	for golden, args := range map[string][]string{
		"class.golden": nil,
		"key.golden":   {"-key"},
		"blank.golden": {"-kind", "flange-survey", "-seed", "4", "-difficulty", "usual", "-blank"},
	} {
		want, err := os.ReadFile(filepath.Join("testdata", golden))
		require.NoError(t, err)
		assert.Equal(t, string(want), printed(t, args...), golden)
	}
}

// The key of the class's exercise, worked by hand: bottom readings -0.21 and 0.38,
// sag -0.13 on both, dials at 0 and 345 mm, feet at 575 and 1305 mm.
func TestKeyByHand(t *testing.T) {
	far, near := -0.21+0.13, 0.38+0.13
	atFar, atNear := -far/2, near/2
	slope := (atFar - atNear) / 345
	foot := func(x float64) float64 { return -(atNear + slope*x) }
	for _, c := range []struct {
		want, got float64
		printed   string
	}{
		{-0.080, far, "| -0.080 mm |"},
		{0.510, near, "| 0.510 mm |"},
		{0.040, atFar, "| high 0.0400 mm |"},
		{0.255, atNear, "| high 0.2550 mm |"},
		{-0.623, 1000 * slope, "| -0.623 mm/m |"},
		{0.103, foot(575), "| raise 0.103 mm |"},
		{0.558, foot(1305), "| raise 0.558 mm |"},
	} {
		assert.InDelta(t, c.want, c.got, 0.0005)
		assert.Contains(t, printed(t, "-key"), c.printed)
	}
}

// Every learner's slip, planted by hand, is named; where the answers do not tell,
// none is.
func TestReasonsOfTheClass(t *testing.T) {
	e, err := worksheet.Generate(defaultKind, defaultSeed, worksheet.Plain)
	require.NoError(t, err)
	data, err := class.ReadFile("class.csv")
	require.NoError(t, err)
	learners, err := parseAnswers(data, e)
	require.NoError(t, err)
	want := map[string]string{
		"Alder": "", "Birch": "sag-forgotten", "Cedar": "near-sign-kept", "Dogwood": "not-halved", "Elm": "dials-exchanged",
		"Fir": "inboard-for-outboard", "Gorse": "position-for-move", "Hazel": "sag-forgotten and position-for-move",
		"Juniper": "no known mistake", "Larch": "", "Maple": "no known mistake",
	}
	require.Len(t, learners, len(want))
	for _, l := range learners {
		m, err := e.Mark(l.answers, worksheet.UsualCredits())
		require.NoError(t, err)
		assert.Equal(t, want[l.name], reason(m), l.name)
	}
}

// A class that wrote the key has every mark, whatever the exercise.
func TestKeyEarnsEveryMark(t *testing.T) {
	for _, kind := range worksheet.Kinds() {
		e, err := worksheet.Generate(kind, 3, worksheet.Usual)
		require.NoError(t, err)
		answers, err := e.AnswersWith("")
		require.NoError(t, err)
		var b strings.Builder
		b.WriteString("learner")
		var cells []string
		for _, q := range e.Questions() {
			b.WriteString("," + q.ID)
			cells = append(cells, `"`+answers[q.ID]+`"`)
		}
		b.WriteString("\nRowan," + strings.Join(cells, ",") + "\n")
		file := filepath.Join(t.TempDir(), "a.csv")
		require.NoError(t, os.WriteFile(file, []byte(b.String()), 0o644))
		got := printed(t, "-kind", kind, "-seed", "3", "-difficulty", "usual", "-answers", file)
		for _, q := range e.Questions() {
			if q.Plan != nil { // a plan has no single answer, so the key leaves it open
				got = ""
			}
		}
		if got != "" {
			assert.Contains(t, got, "All right.", kind)
		}
	}
}

// The tallies of the class add up to the learners.
func TestTally(t *testing.T) {
	var y tally
	for _, v := range []worksheet.Verdict{worksheet.Right, worksheet.Wrong, worksheet.WrongWay, worksheet.FollowOn, worksheet.NotAnswered, worksheet.Unreadable} {
		y.add(v)
	}
	assert.Equal(t, tally{right: 1, wrong: 2, carried: 1, none: 2}, y)
}

func TestLists(t *testing.T) {
	assert.Equal(t, len(worksheet.Kinds()), strings.Count(printed(t, "-list"), "\n"))
	got := oneLine(printed(t, "-mistakes"))
	for _, m := range worksheet.Mistakes() {
		assert.Contains(t, got, m.Code)
	}
	html := printed(t, "-html")
	assert.True(t, strings.HasPrefix(html, "<!doctype html>") || strings.HasPrefix(html, "<!DOCTYPE html>"))
	assert.NotContains(t, html, "<script")
}

func TestBadInput(t *testing.T) {
	for _, c := range []struct{ name, csv, want string }{
		{"empty", "", "want a row of headings"},
		{"headings alone", "learner,1\n", "want a row of headings"},
		{"heading of the learner", "who,1\nAsh,2\n", `column 1 = "who"`},
		{"question not asked", "learner,8\nAsh,2\n", `column 2 = "8"`},
		{"question zero", "learner,0\nAsh,2\n", `column 2 = "0"`},
		{"question twice", "learner,1,corrected.far\nAsh,2,3\n", `column 3 = "corrected.far"`},
		{"row too long", "learner,1\nAsh,2,3\n", "wrong number of fields"},
		{"row too short", "learner,1,2\nAsh,2\n", "wrong number of fields"},
		{"no name", "learner,1\n ,2\n", "row 2, column 1"},
		{"name twice", "learner,1\nAsh,2\nAsh,3\n", `"Ash" stands there twice`},
		{"quote open", "learner,1\n\"Ash,2\n", "extraneous or missing"},
	} {
		t.Run(c.name, func(t *testing.T) {
			file := filepath.Join(t.TempDir(), "a.csv")
			require.NoError(t, os.WriteFile(file, []byte(c.csv), 0o644))
			var out, fault bytes.Buffer
			assert.Equal(t, record.ExitBadInput, run([]string{"-answers", file}, &out, &fault))
			assert.Empty(t, out.String())
			assert.Equal(t, 1, strings.Count(fault.String(), "\n"))
			assert.Contains(t, fault.String(), c.want)
		})
	}
	for _, args := range [][]string{{"-answers", "does-not-exist"}, {"x"}, {"-colour"}, {"-kind", "none"}, {"-difficulty", "hard"}, {"-seed", "-1"}, {"-seed", "8"}} {
		var out, fault bytes.Buffer
		assert.Equal(t, record.ExitBadInput, run(args, &out, &fault), args)
		assert.Empty(t, out.String())
		assert.True(t, strings.HasPrefix(fault.String(), "marking: "))
		assert.Equal(t, 1, strings.Count(fault.String(), "\n"))
	}
}

// FuzzAnswers holds that no file of answers makes the program panic, that a fault
// is one line, and that nobody gets more marks than there are.
func FuzzAnswers(f *testing.F) {
	data, err := class.ReadFile("class.csv")
	require.NoError(f, err)
	f.Add(string(data))
	f.Add("learner,1\nAsh,high 1e308 mil\n")
	f.Add("learner,7\n\"A\nB\",up\n")
	e, err := worksheet.Generate(defaultKind, defaultSeed, worksheet.Plain)
	require.NoError(f, err)
	f.Fuzz(func(t *testing.T, text string) {
		learners, err := parseAnswers([]byte(text), e)
		if err != nil {
			assert.NotContains(t, record.OneLine(err.Error()), "\n")
			return
		}
		for _, l := range learners[:min(len(learners), 20)] {
			m, err := e.Mark(l.answers, worksheet.UsualCredits())
			require.NoError(t, err)
			require.False(t, math.IsNaN(m.Credit))
			require.LessOrEqual(t, m.Credit, m.Of)
		}
	})
}
