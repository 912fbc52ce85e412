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
	assert.Contains(t, report, "gap 0.100 mm to 0.300 mm, mean 0.200 mm")
	assert.Contains(t, got, "Plane through the gaps: mean 0.200 mm, open corner 0.300 mm, tight corner 0.100 mm.")
	assert.Contains(t, got, "Leaf 2: 0.050 mm, ends 90.0 mm from the open corner.")
}
