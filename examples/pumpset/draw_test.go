package main

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"

	"collinear.example/internal/drawn"
	"collinear.example/internal/record"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The drawing shows what the report says.
func TestDrawing(t *testing.T) {
	file := filepath.Join(t.TempDir(), "d.svg")
	var out, fault bytes.Buffer
	require.Equal(t, record.ExitOK, run([]string{"-svg", file}, &out, &fault), fault.String())
	report := strings.Join(strings.Fields(out.String()), " ")
	got := strings.Join(drawn.Texts(t, file), "\n")
	assert.Contains(t, report, "take out 0.598 mm")
	assert.Contains(t, got, "Motor, outboard at station -980 mm: lower 0.60 mm, move 0.42 mm to 3 o'clock.")
	assert.Contains(t, got, "As found, the far shaft stands 0.278 mm high, 0.129 mm to the left of the near one at the near flex plane")
	assert.Contains(t, got, "After the move, the far shaft stands 0.120 mm low")
}
