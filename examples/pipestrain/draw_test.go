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
	assert.Contains(t, report, "discharge off  +110.0 mm         +0.060 mm      -0.090 mm")
	assert.Contains(t, got, "1 discharge off, loosen flange: up +0.060, right -0.090;")
	assert.Contains(t, got, "Largest 0.108 mm after step 1.") // sqrt(0.060^2 + 0.090^2)
	printed(t, "-units", "inch", "-svg", file)
	assert.Contains(t, strings.Join(drawn.Texts(t, file), "\n"), "movement: mil")
}
