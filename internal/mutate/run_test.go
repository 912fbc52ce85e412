package main

import (
	"bytes"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// module writes a small module and returns its directory.
func module(t *testing.T, files map[string]string) string {
	t.Helper()
	root := t.TempDir()
	files["go.mod"] = "module small.example\n\ngo 1.24\n"
	for name, text := range files {
		path := filepath.Join(root, filepath.FromSlash(name))
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o700))
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	}
	return root
}

// weak is a package whose tests see the sum and never the difference; the tests of
// the corpus see one more function.
var weak = map[string]string{
	"p/p.go": `package p

func Sum(a, b int) int { return a + b }

func Less(a, b int) int { return a - b }

func Product(a, b int) int { return a * b }

func Text(s string) string { return s + s }
`,
	"p/p_test.go": `package p

import "testing"

func TestSum(t *testing.T) {
	if Sum(2, 3) != 5 {
		t.Fail()
	}
}
`,
	"corpus/corpus_test.go": `package corpus

import (
	"testing"

	"small.example/p"
)

func TestVectors(t *testing.T) {
	t.Run("p.product", func(t *testing.T) {
		if p.Product(2, 3) != 6 {
			t.Fail()
		}
	})
	t.Run("q.less", func(t *testing.T) {
		if p.Less(3, 2) != 1 {
			t.Fail()
		}
	})
}
`,
}

func choose(t *testing.T, args ...string) options {
	t.Helper()
	o, err := parseOptions(append([]string{"-packages", "./p", "-corpus", "./corpus"}, args...), io.Discard)
	require.NoError(t, err)
	return o
}

func report(t *testing.T, o options, root, list string) string {
	t.Helper()
	var out, progress bytes.Buffer
	require.NoError(t, run(o, root, strings.NewReader(list), &out, &progress))
	return out.String()
}

// tree reads all files under a directory.
func tree(t *testing.T, root string) map[string]string {
	t.Helper()
	all := map[string]string{}
	require.NoError(t, filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(path)
		all[path] = string(data)
		return err
	}))
	return all
}

func TestRunCountsAndLeavesTheTree(t *testing.T) {
	if testing.Short() {
		t.Skip("builds and runs a module")
	}
	root := module(t, weak)
	before := tree(t, root)
	out := report(t, choose(t, "-sample", "0"), root, "")
	// Sum is noticed by the test, Product by its vector; the vector of q is not p's.
	// A difference of strings does not build.
	require.Contains(t, out, "| `p` | 4 | 1 | 3 | 2 | 1 | 1 | 0 | 66.7 % |")
	require.Contains(t, out,
		"p/p.go:5: Less: arithmetic: func Less(a, b int) int { return a - b } -> func Less(a, b int) int { return a + b }")
	require.Equal(t, before, tree(t, root))
	require.Equal(t, out, report(t, choose(t, "-sample", "0"), root, ""))

	entry := "p/p.go\tLess\tfunc Less(a, b int) int { return a - b }\tfunc Less(a, b int) int { return a + b }\tnobody calls it\n" +
		"p/p.go\tGone\tx = 1\t(removed)\tit was there once\n"
	out = report(t, choose(t, "-sample", "0"), root, entry)
	require.Contains(t, out, "| `p` | 4 | 1 | 2 | 2 | 1 | 0 | 1 | 100.0 % |")
	require.Contains(t, out, "equivalent.txt fits no site: p/p.go Gone: x = 1 -> (removed)")
}

func TestEndlessLoopIsNoticed(t *testing.T) {
	if testing.Short() {
		t.Skip("waits for a loop to run out of time")
	}
	root := module(t, map[string]string{
		"p/p.go":      "package p\n\nfunc Count(n int) (sum int) {\n\tfor sum < n {\n\t\tsum++\n\t}\n\treturn sum\n}\n",
		"p/p_test.go": "package p\n\nimport \"testing\"\n\nfunc TestCount(t *testing.T) {\n\tif Count(3) != 3 {\n\t\tt.Fail()\n\t}\n}\n",
	})
	o := choose(t, "-sample", "0", "-match", "removal", "-timeout", "1s", "-corpus", "")
	require.Contains(t, report(t, o, root, ""), "| `p` | 4 | 0 | 1 | 1 | 0 | 0 | 0 | 100.0 % |")
}

func TestTestsThatFailAnywayAreRefused(t *testing.T) {
	if testing.Short() {
		t.Skip("builds and runs a module")
	}
	root := module(t, map[string]string{
		"p/p.go":      "package p\n\nfunc One() int { return 1 }\n",
		"p/p_test.go": "package p\n\nimport \"testing\"\n\nfunc TestOne(t *testing.T) { t.Fail() }\n",
	})
	var out bytes.Buffer
	err := run(choose(t, "-corpus", ""), root, strings.NewReader(""), &out, &out)
	require.ErrorContains(t, err, "p: without a mutant the tests fail")
}

func TestListRunsNothing(t *testing.T) {
	root := module(t, weak)
	out := report(t, choose(t, "-list", "-match", "Sum|Text"), root, "")
	require.Equal(t, "p/p.go:3: Sum: arithmetic: func Sum(a, b int) int { return a + b } -> func Sum(a, b int) int { return a - b }\n"+
		"p/p.go:9: Text: arithmetic: func Text(s string) string { return s + s } -> func Text(s string) string { return s - s }\n", out)
}

func TestOptionsAreChecked(t *testing.T) {
	for _, args := range [][]string{{}, {"-packages", "./p", "-sample", "-1"}, {"-packages", "./p", "-match", "("}, {"-nothing"}} {
		_, err := parseOptions(args, io.Discard)
		require.Error(t, err, args)
	}
}
