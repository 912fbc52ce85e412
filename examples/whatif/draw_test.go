package main

import (
	"path/filepath"
	"strings"
	"testing"

	"collinear.example/internal/drawn"
	"github.com/stretchr/testify/assert"
)

// The drawing shows what the report says.
func TestDrawing(t *testing.T) {
	file := filepath.Join(t.TempDir(), "d.svg")
	report := printed(t, "-svg", file)
	got := strings.Join(drawn.Texts(t, file), "\n")
	assert.Contains(t, report, "140  over           1.06")
	assert.Contains(t, got, "(140 degC, 1.059)")
	assert.Contains(t, report, "143.8 degC")
	assert.Contains(t, got, "Threshold, holds above: 143.8 degC.")
	printed(t, "-budget", "-svg", file)
	assert.Contains(t, strings.Join(drawn.Texts(t, file), "\n"), "sag of the brackets")
}
