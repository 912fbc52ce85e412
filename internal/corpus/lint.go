package corpus

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"collinear.example/align"
)

// Lint returns every fault of the corpus itself, a line each: ids that are not
// unique, sources that are not listed, computations or units nobody knows,
// tolerances without a reason, printed figures that do not agree with the exact
// ones and are not marked as misprints.
func Lint(c *Corpus) []string {
	l := &linter{corpus: c, ids: map[string]bool{}, used: map[string]bool{}, names: Names()}
	l.sources()
	suites := map[string]bool{}
	for i := range c.Suites {
		s := &c.Suites[i]
		want := strings.TrimSuffix(strings.TrimPrefix(s.File, "vectors/"), ".json")
		if s.Suite != want {
			l.fault("%s: suite is %q, want %q", s.File, s.Suite, want)
		}
		if suites[s.Suite] {
			l.fault("%s: suite %q given twice", s.File, s.Suite)
		}
		suites[s.Suite] = true
		if len(s.Vectors) == 0 {
			l.fault("%s: no vectors", s.File)
		}
		for j := range s.Vectors {
			l.vector(&s.Vectors[j])
		}
	}
	for _, s := range c.Sources {
		if !l.used[s.ID] {
			l.fault("source %s: used by no vector", s.ID)
		}
	}
	return l.faults
}

type linter struct {
	corpus *Corpus
	ids    map[string]bool
	used   map[string]bool
	names  []string
	faults []string
}

func (l *linter) fault(format string, args ...any) {
	l.faults = append(l.faults, fmt.Sprintf(format, args...))
}

var (
	idPattern   = regexp.MustCompile(`^[a-z0-9]+([.-][a-z0-9]+)*$`)
	codePattern = regexp.MustCompile(`^[a-z]+(-[a-z]+)*$`)
)

func (l *linter) sources() {
	seen := map[string]bool{}
	for _, s := range l.corpus.Sources {
		if !idPattern.MatchString(s.ID) || seen[s.ID] {
			l.fault("source %q: id malformed or given twice", s.ID)
		}
		seen[s.ID] = true
		if !slices.Contains(Kinds(), s.Kind) {
			l.fault("source %s: kind %q unknown", s.ID, s.Kind)
		}
		if s.Citation == "" {
			l.fault("source %s: no citation", s.ID)
		}
	}
}

func (l *linter) vector(v *Vector) {
	fault := func(format string, args ...any) { l.fault(v.ID+": "+format, args...) }
	if !idPattern.MatchString(v.ID) {
		fault("id malformed")
	}
	if l.ids[v.ID] {
		fault("id given twice")
	}
	l.ids[v.ID] = true
	if v.Title == "" {
		fault("no title")
	}
	if !slices.Contains(l.names, v.Computation) {
		fault("computation %q unknown", v.Computation)
	}
	if t, err := parseTree(v.Input); err != nil {
		fault("input: %v", err)
	} else if _, ok := t.(map[string]any); !ok {
		fault("input is not an object")
	}
	l.origin(v, fault)
	for _, code := range slices.Concat(v.Flags, v.Warnings) {
		if !idPattern.MatchString(code) {
			fault("flag or warning %q malformed", code)
		}
	}
	if (len(v.Expect) > 0) == v.MustFail() {
		fault("want either expectations or an error")
	}
	if v.MustFail() {
		lintError(v, fault)
		return
	}
	lintExpectations(v, fault)
}

// origin checks source, locator and how the source is known.
func (l *linter) origin(v *Vector, fault func(string, ...any)) {
	s, ok := l.corpus.Source(v.Source)
	l.used[v.Source] = true
	if !ok {
		fault("source %q is not in sources.json", v.Source)
	}
	if !slices.Contains(KnownWays(), v.Known) {
		fault("known %q unknown", v.Known)
	}
	derived := s.Kind == "own" || s.Kind == "cross-library"
	if ok && derived != (v.Known == "derived") {
		fault("known %q does not go with a source of kind %s", v.Known, s.Kind)
	}
	if Published(s.Kind) && v.Locator == "" {
		fault("a published source needs a locator")
	}
}

func lintError(v *Vector, fault func(string, ...any)) {
	if !codePattern.MatchString(v.Error) {
		fault("error %q malformed", v.Error)
	}
	if v.Misprint != "" || v.Warnings != nil {
		fault("an error goes with neither warnings nor a misprint")
	}
}

func lintExpectations(v *Vector, fault func(string, ...any)) {
	seen := map[string]bool{}
	disagrees := false
	for i := range v.Expect {
		e := &v.Expect[i]
		in := func(format string, args ...any) { fault("expect "+e.Name+": "+format, args...) }
		if !idPattern.MatchString(e.Name) || seen[e.Name] {
			in("name malformed or given twice")
		}
		seen[e.Name] = true
		if e.Text != "" {
			lintText(e, in)
			continue
		}
		off := lintNumber(e, in)
		disagrees = disagrees || off
		if off && v.Misprint == "" {
			in("printed %s does not agree with exact %v and no misprint is stated", e.Printed, *e.Exact)
		}
	}
	if v.Misprint != "" && !disagrees {
		fault("marked as a misprint, but all printed figures agree")
	}
}

func lintText(e *Expectation, fault func(string, ...any)) {
	if e.Exact != nil || e.Unit != "" || e.Tolerance != nil || e.Printed != "" || e.Reason != "" {
		fault("a text has no number, unit, tolerance or reason")
	}
}

// lintNumber reports whether the printed figure disagrees with the exact one.
func lintNumber(e *Expectation, fault func(string, ...any)) (disagrees bool) {
	if e.Exact == nil {
		fault("no exact value")
		return false
	}
	if align.Unit(e.Unit).Dimension() == align.NoDimension {
		fault("unit %q unknown", e.Unit)
	}
	printed, isPrinted := e.PrintedNumber()
	if e.Printed != "" && !isPrinted {
		fault("printed %q is not a plain decimal", e.Printed)
	}
	if e.Tolerance != nil && e.Reason == "" {
		fault("a tolerance needs its reason")
	}
	if e.Tolerance == nil && e.Reason != "" {
		fault("a reason without a tolerance")
	}
	tolerance, ok := e.Allowed()
	if !ok || !(tolerance >= 0) {
		fault("no tolerance, and nothing printed to take it from")
	}
	return isPrinted && !within(printed-*e.Exact, tolerance)
}
