package corpus

import (
	"flag"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write the manifest of the corpus")

// The counts of the corpus are those of its manifest.
func TestManifest(t *testing.T) {
	const file = testdata + "/MANIFEST.json"
	got, err := ManifestOf(load(t)).JSON()
	require.NoError(t, err)
	if *update {
		require.NoError(t, os.WriteFile(file, got, 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	require.Equal(t, string(want), string(got), "go test ./internal/corpus -run TestManifest -update")
}

// What the corpus was to be, at the least.
func TestCorpusIsAsLargeAsPromised(t *testing.T) {
	m := ManifestOf(load(t))
	require.GreaterOrEqual(t, m.Published, 150)
	require.GreaterOrEqual(t, m.PublishedSources, 25)
	require.GreaterOrEqual(t, m.MustFail, 300)
	require.Equal(t, m.Vectors, m.Published+m.CrossLibrary+m.CommonPractice+m.Own+m.MustFail)
}

func TestLintCoverage(t *testing.T) {
	for _, fault := range LintCoverage(load(t)) {
		t.Error(fault)
	}
}

// A computation that loses its last vector from outside, or its last one that must
// fail, is noticed.
func TestLintCoverageRefuses(t *testing.T) {
	c := load(t)
	drop := func(gone func(*Vector) bool) string {
		less := &Corpus{Sources: c.Sources}
		for _, s := range c.Suites {
			s.Vectors = slices.DeleteFunc(slices.Clone(s.Vectors), func(v Vector) bool { return gone(&v) })
			less.Suites = append(less.Suites, s)
		}
		return strings.Join(LintCoverage(less), "\n")
	}
	const name = "align.rim-and-face"
	require.NotContains(t, drop(func(*Vector) bool { return false }), name)
	require.Contains(t, drop(func(v *Vector) bool { return v.Computation == name && v.MustFail() }), name+": no vector that must fail")
	require.Contains(t, drop(func(v *Vector) bool { return v.Computation == name && !v.MustFail() }), name+": neither a published vector")
}
