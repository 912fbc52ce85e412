package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const sample = `package p

import "io"

const (
	A Kind = iota
	B
	hidden
)

const Size = 3

var Default io.Writer

type Kind uint8

type Alias = Kind

type Pair[K comparable] struct {
	io.Reader
	Key  K ` + "`json:\"key\"`" + `
	rest int
}

type Doer interface{ Do(n int) error }

func (p *Pair[K]) Swap(other *Pair[K]) (done bool) { return true }
func (h hiddenType) Open()                          {}
func New(a, b int, more ...string) (*Kind, error)    { return nil, nil }
func unseen()                                        {}

type hiddenType struct{}
`

func tree(t *testing.T, source string) string {
	t.Helper()
	root := t.TempDir()
	for _, dir := range []string{"p", "p/internal/q", "examples/e", "nested"} {
		require.NoError(t, os.MkdirAll(filepath.Join(root, dir), 0o755))
		require.NoError(t, os.WriteFile(filepath.Join(root, dir, "a.go"), []byte(source), 0o644))
	}
	require.NoError(t, os.WriteFile(filepath.Join(root, "nested", "go.mod"), []byte("module n\n"), 0o644))
	require.NoError(t, os.WriteFile(filepath.Join(root, "p", "a_test.go"), []byte("package p\nfunc Test() {}\n"), 0o644))
	return root
}

func TestList(t *testing.T) {
	got, err := list(tree(t, sample))
	require.NoError(t, err)
	assert.Equal(t, []string{
		"pkg p, const A Kind = iota",
		"pkg p, const B Kind",
		"pkg p, const Size = 3",
		"pkg p, func New(a, b int, more ...string) (*Kind, error)",
		"pkg p, method (p *Pair[K]) Swap(other *Pair[K]) (done bool)",
		"pkg p, type Alias = Kind",
		"pkg p, type Doer interface",
		"pkg p, type Doer, Do func(n int) error",
		"pkg p, type Kind uint8",
		"pkg p, type Pair[K comparable] struct",
		"pkg p, type Pair[K comparable], Key K `json:\"key\"`",
		"pkg p, type Pair[K comparable], embeds io.Reader",
		"pkg p, var Default io.Writer",
	}, got)
}

func TestCompare(t *testing.T) {
	before, err := list(tree(t, sample))
	require.NoError(t, err)
	after, err := list(tree(t, strings.Replace(sample, "more ...string", "more string", 1)+"\nfunc Extra() {}\n"))
	require.NoError(t, err)
	gone, fresh := compare(before, after)
	assert.Equal(t, []string{"pkg p, func New(a, b int, more ...string) (*Kind, error)"}, gone)
	assert.Equal(t, []string{"pkg p, func Extra()", "pkg p, func New(a, b int, more string) (*Kind, error)"}, fresh)
}

func TestRun(t *testing.T) {
	t.Chdir(tree(t, sample))
	var out, fault bytes.Buffer
	require.Equal(t, 0, run(nil, &out, &fault))
	require.NoError(t, os.WriteFile("stored.txt", out.Bytes(), 0o644))
	out.Reset()
	require.Equal(t, 0, run([]string{"-against", "stored.txt"}, &out, &fault))
	assert.Equal(t, "13 exported names, as on record\n", out.String())
	require.NoError(t, os.WriteFile("stored.txt", []byte("pkg p, func Old()\n"), 0o644))
	out.Reset()
	require.Equal(t, 1, run([]string{"-against", "stored.txt"}, &out, &fault))
	assert.Contains(t, out.String(), "gone or changed: pkg p, func Old()\n")
	assert.Equal(t, 2, run([]string{"-against", "none.txt"}, &out, &fault))
	assert.Equal(t, 2, run([]string{"x"}, &out, &fault))
}
