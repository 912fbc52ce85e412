package main

import (
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// inside finds the sites of one function with that body.
func inside(t *testing.T, lines string) []site {
	t.Helper()
	sites, err := findSites("p/f.go", []byte("package p\n\nfunc f() {\n"+lines+"\n}\n"))
	require.NoError(t, err)
	return sites
}

// changes lists what is put for the one line of a function.
func changes(t *testing.T, line string) []string {
	t.Helper()
	var out []string
	for _, s := range inside(t, line) {
		require.Equal(t, line, s.Before)
		require.Equal(t, 4, s.Line)
		require.Equal(t, "f", s.Func)
		out = append(out, s.Operator+": "+s.After)
	}
	return out
}

func TestOperators(t *testing.T) {
	for _, c := range []struct {
		line string
		want []string
	}{
		{"x := a + b", []string{"arithmetic: x := a - b"}},
		{"x := a - b", []string{"arithmetic: x := a + b"}},
		{"x := a * b", []string{"arithmetic: x := a / b"}},
		{"x := a / b", []string{"arithmetic: x := a * b"}},
		{"x := a % b", []string{"arithmetic: x := a * b"}},
		{"x := -a", []string{"arithmetic: x := a"}},
		{`x := a + "mm"`, nil},
		{"x := a < b", []string{"boundary: x := a <= b", "negation: x := a >= b"}},
		{"x := a <= b", []string{"boundary: x := a < b", "negation: x := a > b"}},
		{"x := a > b", []string{"boundary: x := a >= b", "negation: x := a <= b"}},
		{"x := a >= b", []string{"boundary: x := a > b", "negation: x := a < b"}},
		{"x := a == b", []string{"negation: x := a != b"}},
		{`x := a != "mm"`, []string{`negation: x := a == "mm"`}},
		{"x := a && b", []string{"logic: x := a || b"}},
		{"x := a || b", []string{"logic: x := a && b"}},
		{"x := !a", []string{"negation: x := a"}},
		{"x := true", []string{"boolean: x := false"}},
		{"x := false", []string{"boolean: x := true"}},
		{"x := 0", []string{"constant: x := 1"}},
		{"x := 1.0", []string{"constant: x := 0.0", "constant: x := 2"}},
		{"x := 3", []string{"constant: x := 0", "constant: x := (3 + 1)", "constant: x := (2 * 3)"}},
		{"x := 0.5", []string{"constant: x := 0.0", "constant: x := (0.5 + 1)", "constant: x := (2 * 0.5)"}},
		{"x := 1e30", []string{"constant: x := 0.0", "constant: x := (2 * 1e30)"}},
		{"x := min(a, b)", []string{"swap: x := max(a, b)"}},
		{"x := math.Max(a, b)", []string{"swap: x := math.Min(a, b)"}},
		{"x := math.Sin(a)", []string{"swap: x := math.Cos(a)"}},
		{"x := math.Cos(a)", []string{"swap: x := math.Sin(a)"}},
		{"s, c := math.Sincos(a)", []string{"swap: c, s := math.Sincos(a)"}},
		{"x := other.Min(a)", nil},
		{"x = a", []string{"removal: (removed)"}},
		{"g(a)", []string{"removal: (removed)"}},
		{"x += a", []string{"removal: (removed)", "assignment: x -= a"}},
		{"x -= a", []string{"removal: (removed)", "assignment: x += a"}},
		{"x *= a", []string{"removal: (removed)", "assignment: x /= a"}},
		{"x++", []string{"removal: (removed)", "assignment: x--"}},
		{"x--", []string{"removal: (removed)", "assignment: x++"}},
		{"x := [9]int{}", nil},
		{"x := []int{1, 2, 3, 4}", nil},
		{"x := []int{0}", []string{"constant: x := []int{1}"}},
	} {
		require.Equal(t, c.want, changes(t, c.line), c.line)
	}
}

func TestEarlyReturn(t *testing.T) {
	after := func(lines string) (out []string) {
		for _, s := range inside(t, lines) {
			out = append(out, s.Operator+": "+s.After)
		}
		return out
	}
	require.Equal(t, []string{"early return: if false && (err != nil) {", "negation: if err == nil {"},
		after("if err != nil {\nreturn\n}"))
	require.Equal(t, []string{"negation: if !(ok) {", "early return: if false && (ok) {"}, after("if ok {\nreturn\n}"))
	require.Equal(t, []string{"early return: if false && (!ok) {", "negation: if ok {"}, after("if !ok {\nreturn\n}"))
	require.Equal(t, []string{"negation: if !(ok) {"}, after("if ok {\nreturn\n} else {\nreturn\n}"))
	require.Equal(t, []string{"negation: if !(ok) {", "removal: (removed)"}, after("if ok {\ng()\n}"))
	require.Equal(t, []string{"negation: if !(a && b) {", "logic: if a || b {", "removal: (removed)"},
		after("if a && b {\ng()\n}"))
}

// Only the statement goes: what else stands on its line stays.
func TestRemovalKeepsTheRest(t *testing.T) {
	src := []byte("package p\n\nfunc f() {\n\tswitch {\n\tcase a:\n\t\tg() // why\n\t}\n}\n")
	sites, err := findSites("p/f.go", src)
	require.NoError(t, err)
	require.Len(t, sites, 1)
	require.Equal(t, "package p\n\nfunc f() {\n\tswitch {\n\tcase a:\n\t\t // why\n\t}\n}\n", string(sites[0].apply(src)))
}

// What is returned beside an error means nothing.
func TestValuesBesideAnErrorAreLeftAlone(t *testing.T) {
	count := func(src string) int {
		sites, err := findSites("p/f.go", []byte("package p\n"+src))
		require.NoError(t, err)
		return len(sites)
	}
	require.Zero(t, count("func f() (int, error) { return 0, bad() }"))
	require.Zero(t, count("func f() (float64, bool, error) { return 0, false, err }"))
	require.Equal(t, 1, count("func f() (int, error) { return 0, nil }"))
	require.Equal(t, 1, count("func f() (int, bool) { return 0, known }"))
	require.Equal(t, 1, count("func f() (int, error) { return g(0), err }"))
	require.Equal(t, 2, count("func f() (int, error) { g := func() (int, bool) { return 0, true }; return 0, bad(g) }"))
	require.Zero(t, count("var f = func() {}\nfunc g() { h(func() (int, error) { return 0, bad() }) }")-1)
	require.Equal(t, 1, count("func f() (float64, int, bool) { return 0, 1, false }"), "the false itself")
	require.Equal(t, 2, count("func f() (float64, bool) { return 0, true }"))
	require.Equal(t, 2, count("func f() (bool, bool) { return false, false }"))
}

func TestTablesAreLeftAlone(t *testing.T) {
	count := func(src string) int {
		sites, err := findSites("p/f.go", []byte("package p\n"+src))
		require.NoError(t, err)
		return len(sites)
	}
	require.Zero(t, count("const (\na = 2\nb = 3\nc = 4\nd = 5\n)"))
	require.Equal(t, 3, count("const a = 2"))
	require.Zero(t, count("var t = map[string]int{\"a\": 1, \"b\": 2, \"c\": 3, \"d\": 4}"))
	require.Equal(t, 2, count("var t = map[string]int{\"a\": 1}"))
	require.Equal(t, 2, count("type row struct{ a, b, c, d int }\nvar t = row{a: 1}"))
}

func TestFunctionNames(t *testing.T) {
	src := "package p\nfunc a() { x = y }\nfunc (t T) b() { x = y }\nfunc (t *T) c() { x = y }\nfunc (t *T[P]) d() { x = y }\n"
	sites, err := findSites("p/f.go", []byte(src))
	require.NoError(t, err)
	var names []string
	for _, s := range sites {
		names = append(names, s.Func)
	}
	require.Equal(t, []string{"a", "T.b", "T.c", "T.d"}, names)
}

// Every mutant of this very package still parses and differs from the original,
// and no two are alike.
func TestMutantsAreGoAndDiffer(t *testing.T) {
	files, err := filepath.Glob("*.go")
	require.NoError(t, err)
	for _, file := range files {
		src, err := os.ReadFile(file)
		require.NoError(t, err)
		sites, err := findSites(file, src)
		require.NoError(t, err)
		seen := map[string]bool{string(src): true}
		for _, s := range sites {
			out := string(s.apply(src))
			_, err := parser.ParseFile(token.NewFileSet(), file, out, parser.SkipObjectResolution)
			require.NoError(t, err, s)
			require.False(t, seen[out], "twice: %s", s)
			seen[out] = true
		}
	}
}
