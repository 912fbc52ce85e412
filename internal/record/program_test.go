package record_test

import (
	"bytes"
	"errors"
	"flag"
	"os"
	"path/filepath"
	"testing"

	"collinear.example/internal/record"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// program answers with a text and, if draw is not nil, a drawing.
func program(draw func() ([]byte, error)) record.Program {
	return record.Program{
		Name: "test", About: "test tests.", Flags: func(*flag.FlagSet) {},
		Work: func() (record.Answer, error) { return record.Answer{Text: "answer\n", Draw: draw}, nil },
	}
}

func TestDrawingBesideTheText(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "d.svg")
	var out, fault bytes.Buffer
	drawing := program(func() ([]byte, error) { return []byte("<svg/>"), nil })
	require.Equal(t, record.ExitOK, drawing.Run([]string{"-svg", file}, &out, &fault))
	assert.Equal(t, "answer\n", out.String())
	got, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, "<svg/>", string(got))
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Len(t, entries, 1, "nothing else is left behind")
}

// Without the flag nothing is drawn.
func TestNoDrawingUnlessAsked(t *testing.T) {
	var out, fault bytes.Buffer
	p := program(func() ([]byte, error) { t.Error("drawn"); return nil, nil })
	require.Equal(t, record.ExitOK, p.Run(nil, &out, &fault))
}

// A drawing that cannot be made or written leaves the old file as it was, prints
// one line and no answer.
func TestDrawingThatFails(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "d.svg")
	require.NoError(t, os.WriteFile(file, []byte("old"), 0o644))
	sound := func() ([]byte, error) { return []byte("<svg/>"), nil }
	for _, c := range []struct {
		name, file, want string
		draw             func() ([]byte, error)
	}{
		{"nothing to draw", file, "nothing to draw", nil},
		{"cannot be drawn", file, "too long", func() ([]byte, error) { return nil, errors.New("too long") }},
		{"no such directory", filepath.Join(dir, "none", "d.svg"), "-svg: ", sound},
		{"a directory", dir, "-svg: ", sound},
	} {
		t.Run(c.name, func(t *testing.T) {
			var out, fault bytes.Buffer
			assert.Equal(t, record.ExitBadInput, program(c.draw).Run([]string{"-svg", c.file}, &out, &fault))
			assert.Empty(t, out.String())
			assert.Contains(t, fault.String(), c.want)
			got, err := os.ReadFile(file)
			require.NoError(t, err)
			assert.Equal(t, "old", string(got))
			entries, err := os.ReadDir(dir)
			require.NoError(t, err)
			assert.Len(t, entries, 1)
		})
	}
}
