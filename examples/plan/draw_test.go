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
	for _, both := range [][2]string{
		{"add 0.387 mm       0.800 mm toward 3 o'clock", "raise 0.39 mm, move 0.80 mm to 3 o'clock"},
		{"take out 0.110 mm", "lower 0.11 mm"},
		{"0.070 mm", "limit, resultant"},
	} {
		assert.Contains(t, report, both[0])
		assert.Contains(t, got, both[1])
	}
	printed(t, "-curve", "-svg", file)
	assert.Contains(t, strings.Join(drawn.Texts(t, file), "\n"), "Alignment against flange fit")
	printed(t, "-demo", "train", "-units", "inch", "-svg", file)
	assert.Contains(t, strings.Join(drawn.Texts(t, file), "\n"), "offsets, moves: mil")
}
