package main

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"

	"collinear.example/internal/drawn"
	"collinear.example/internal/record"
	"github.com/stretchr/testify/assert"
)

// The drawing shows what the report says.
func TestDrawing(t *testing.T) {
	file := filepath.Join(t.TempDir(), "d.svg")
	printed(t, "-svg", file)
	assert.Contains(t, strings.Join(drawn.Texts(t, file), "\n"), "Blank.")
	key := printed(t, "-key", "-svg", file)
	got := strings.Join(drawn.Texts(t, file), "\n")
	assert.Contains(t, key, "raise 0.558 mm")
	assert.Contains(t, got, "raise 0.558 mm")
	var out, fault bytes.Buffer
	assert.Equal(t, record.ExitBadInput, run([]string{"-kind", "units", "-blank", "-svg", file}, &out, &fault))
	assert.Contains(t, fault.String(), "to plot")
}
