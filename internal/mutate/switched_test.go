package main

import (
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

const two = `package p

func f(a int) int {
	if a > 0 {
		return a + 1
	}
	return 0
}

func g() { x() }
`

func numberedSites(t *testing.T, src string) map[int]site {
	t.Helper()
	out := map[int]site{}
	for i, s := range sites(t, src) {
		out[i+1] = s
	}
	return out
}

// A switched file holds each mutant of a function once and the function itself
// once, parses, and says where each mutant stands.
func TestSwitchedHoldsEveryMutant(t *testing.T) {
	mutants := numberedSites(t, two)
	require.Len(t, mutants, 9)
	src := []byte(two)
	text, where := switched(src, mutants)
	_, err := parser.ParseFile(token.NewFileSet(), "f.go", text, parser.SkipObjectResolution)
	require.NoError(t, err, text)
	require.Equal(t, 9, strings.Count(text, "if mutantThatRuns == "))
	require.Equal(t, 8, strings.Count(text, "return 0\n"), "f as it is and seven of its mutants")
	require.Equal(t, 1, strings.Count(text, "return 1\n"), "the other one")
	require.Equal(t, 1, strings.Count(text, "x()"), "g as it is")
	require.Len(t, where, 9)
	lines := strings.Split(text, "\n")
	for _, w := range where {
		s := mutants[w.id]
		part := strings.Join(lines[w.from-1:w.to], "\n")
		require.Contains(t, part, s.text)
		require.NotContains(t, part, string(src[s.bodyStart:s.bodyEnd]), "the mistake is in it")
	}
}

// Without mutants the file stays as it is.
func TestSwitchedWithoutMutants(t *testing.T) {
	text, where := switched([]byte(two), nil)
	require.Equal(t, two, text)
	require.Empty(t, where)
}

func TestWhatCannotBeSwitchedIsAlone(t *testing.T) {
	all := sites(t, "package p\nconst k = 2\nfunc f() {\nout:\n\tfor {\n\t\tx = y\n\t\tbreak out\n\t}\n}\nfunc g() { x = y }\nfunc h() { x = y }\n")
	require.Len(t, all, 6)
	g := groups(all)
	require.Len(t, g, 5)
	require.Len(t, g[0], 2)
	for _, alone := range g[1:] { // three constants and the function with a label
		require.Len(t, alone, 1)
		require.False(t, alone[0].switchable())
	}
}

func TestCheckerAndVet(t *testing.T) {
	if testing.Short() {
		t.Skip("builds a module")
	}
	root, err := absolute(module(t, map[string]string{
		"p/p.go": `package p

func Sum(a, b int) (s int) {
	s = a + b
	return s
}

func Text(a, b string) string { return a + b }

func Odd(a int) bool { return a != 1 && a != 2 }
`,
	}))
	require.NoError(t, err)
	p, err := loadPackage(root, "./p")
	require.NoError(t, err)
	c, err := newChecker(root, p)
	require.NoError(t, err)
	mutants := map[int]site{}
	for _, s := range p.sites {
		builds := s.Func != "Text"
		require.Equal(t, builds, c.builds(s), s)
		if builds {
			mutants[len(mutants)+1] = s
		}
	}
	b, err := newBatch(t.TempDir(), p, mutants)
	require.NoError(t, err)
	require.NoError(t, b.build(root, "./p", filepath.Join(b.dir, "p.test")))
	refused := b.refused(root)
	for id, s := range mutants { // go vet sees what is always true, and what is asked twice
		silly := s.Operator == opLogic || strings.Contains(s.After, "a != 2 && a != 2")
		require.Equal(t, silly, refused[id], s)
	}
	src, err := os.ReadFile(filepath.Join(p.Dir, "p.go"))
	require.NoError(t, err)
	require.Equal(t, p.src["p/p.go"], src)
}
