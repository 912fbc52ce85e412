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
	assert.Contains(t, report, "203 %")
	assert.Contains(t, got, "offset, half the largest difference of a dial: 203 (verdict over)")
}
