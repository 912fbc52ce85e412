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
	assert.Contains(t, report, "0.198 mm low, 0.103 mm toward 9 o'clock")
	assert.Contains(t, got, "0 off-line: near up -0.198, right -0.103; far up -0.177, right -0.086.")
	assert.Contains(t, got, "limits 0.140 and 0.140, share 39 %")
	printed(t, "-units", "inch", "-svg", file)
	assert.Contains(t, strings.Join(drawn.Texts(t, file), "\n"), "offset: mil")
}
