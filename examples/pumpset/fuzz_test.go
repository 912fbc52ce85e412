package main

import (
	"regexp"
	"strings"
	"testing"

	"collinear.example/internal/page"
	"collinear.example/internal/record"
)

var notANumber = regexp.MustCompile(`[^A-Za-z](NaN|[+-]?Inf)[^A-Za-z]`)

// FuzzJob holds that no record makes the program panic, that a fault is one
// line, and that a report never shows a number that is none.
func FuzzJob(f *testing.F) {
	entries, err := jobs.ReadDir("jobs")
	if err != nil {
		f.Fatal(err)
	}
	for _, e := range entries {
		data, err := jobs.ReadFile("jobs/" + e.Name())
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	good, err := jobs.ReadFile("jobs/process-water.json")
	if err != nil {
		f.Fatal(err)
	}
	for _, c := range badJobs {
		f.Add([]byte(strings.Replace(string(good), c.old, c.new, 1)))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		j, err := parseJob(data)
		if err != nil {
			oneLineOnly(t, err)
			return
		}
		w, err := work(j)
		if err != nil {
			oneLineOnly(t, err)
			return
		}
		for _, units := range []string{"", page.Millimetre, page.Inch, page.Both} {
			text := write(j, w, units)
			// The names in a job are free text and may hold such words themselves.
			if found := notANumber.FindString(text); found != "" && !strings.Contains(string(data), strings.Trim(found, "+-() ")) {
				t.Errorf("%q in the report", found)
			}
		}
	})
}

func oneLineOnly(t *testing.T, err error) {
	t.Helper()
	if s := record.OneLine(err.Error()); s == "" || strings.Contains(s, "\n") || !strings.Contains(s, ": ") {
		t.Errorf("not one clear line: %q", s)
	}
}
