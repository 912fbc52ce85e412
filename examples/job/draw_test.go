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
	report := oneLine(printed(t, "-svg", file))
	got := strings.Join(drawn.Texts(t, file), "\n")
	assert.Contains(t, report, "pump against motor at the near flex plane, vertical +0.247 mm")
	assert.Contains(t, got, "As found, the far shaft stands 0.247 mm high, 0.195 mm to the left of the near one")
	assert.Contains(t, got, "Motor, outboard at station -1150 mm: raise 0.15 mm")
	printed(t, "-units", "inch", "-svg", file)
	assert.Contains(t, strings.Join(drawn.Texts(t, file), "\n"), "offsets, moves: mil")
}
