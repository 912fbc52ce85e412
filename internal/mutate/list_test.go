package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func sites(t *testing.T, src string) []site {
	t.Helper()
	found, err := findSites("p/f.go", []byte(src))
	require.NoError(t, err)
	return found
}

const small = "package p\nfunc f(a, b int) int { return a + b }\nfunc g(a, b int) int { return a + b }\n"

func TestEquivalentIsKeyedByTextNotByLine(t *testing.T) {
	line := "func f(a, b int) int { return a + b }\tfunc f(a, b int) int { return a - b }"
	list, err := readEquivalent(strings.NewReader("# a remark\n\np/f.go\tf\t" + line + "\tthe reason\n"))
	require.NoError(t, err)
	require.Len(t, list, 1)

	open, left := split(sites(t, small), list)
	require.Equal(t, 1, left)
	require.Len(t, open, 1)
	require.Equal(t, "g", open[0].Func)

	moved := strings.Replace(small, "func f", "\n\n\nfunc f", 1)
	_, left = split(sites(t, moved), list)
	require.Equal(t, 1, left, "a moved line keeps its entry")

	changed := strings.Replace(small, "a + b", "a + a", 1)
	_, left = split(sites(t, changed), list)
	require.Zero(t, left, "a changed line loses its entry")
	require.Equal(t, "f", stale(sites(t, changed), list, "p")[0].Func)
	require.Empty(t, stale(sites(t, small), list, "p"))
	require.Empty(t, stale(nil, list, "other"), "the entries of other packages are not looked for")
}

func TestEquivalentWantsAReason(t *testing.T) {
	for _, bad := range []string{
		"p/f.go\tf\ta\tb\n", "p/f.go\tf\ta\tb\t \n", "p/f.go f a b reason\n", "p/f.go\tf\ta\tb\tone\np/f.go\tf\ta\tb\ttwo\n",
	} {
		_, err := readEquivalent(strings.NewReader(bad))
		require.ErrorContains(t, err, "equivalent.txt: line", bad)
	}
}

// The list that is shipped can be read.
func TestShippedList(t *testing.T) {
	_, err := readEquivalent(strings.NewReader(equivalentList))
	require.NoError(t, err)
}

func TestSampleFollowsTheSeed(t *testing.T) {
	all := sites(t, "package p\nfunc f(a, b int) int { return a + b - a*b + a/b - a%b + a + a + a }\n")
	require.Len(t, all, 10)
	require.Equal(t, shuffled(all, 7, "p"), shuffled(all, 7, "p"))
	require.NotEqual(t, shuffled(all, 7, "p"), shuffled(all, 8, "p"))
	require.NotEqual(t, shuffled(all, 7, "p"), shuffled(all, 7, "q"))
	require.ElementsMatch(t, all, shuffled(all, 7, "p"))
}
