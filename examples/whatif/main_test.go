package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"collinear.example/internal/record"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

func printed(t *testing.T, args ...string) string {
	t.Helper()
	var out, fault bytes.Buffer
	require.Equal(t, record.ExitOK, run(args, &out, &fault), fault.String())
	require.Empty(t, fault.String())
	return out.String()
}

func TestReportIsTheStoredOne(t *testing.T) {
	for file, args := range map[string][]string{"testdata/hot-oil.golden": nil, "testdata/sweep.csv.golden": {"-csv"}} {
		want, err := os.ReadFile(file)
		require.NoError(t, err)
		assert.Equal(t, string(want), printed(t, args...))
	}
}

// TestSweepByHand works the rows of the sweep out again, by the arithmetic of a
// worksheet: growth is height x coefficient x rise, the pump's line runs through
// its two pedestals, the best cold place is the middle of what the two states ask,
// and the share then is half their difference over the limit.
func TestSweepByHand(t *testing.T) {
	rows, err := csv.NewReader(strings.NewReader(printed(t, "-csv"))).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 14)
	number := func(row []string, name string) float64 {
		for i, h := range rows[0] {
			if strings.HasPrefix(h, name) {
				v, err := strconv.ParseFloat(row[i], 64)
				require.NoError(t, err)
				return v
			}
		}
		t.Fatalf("no column %s", name)
		return 0
	}
	s, err := theSet()
	require.NoError(t, err)
	// The readings give the cold position by hand: -(0.20+0.10)/2 = -0.15 mm at the
	// pump's dial, (-0.40+0.10)/2 = -0.15 mm at the motor's; sideways 0.01 and 0.02.
	const cold = -0.15
	motor := 315 * s.iron.Coefficient * 35
	for _, row := range rows[1:] {
		oil := number(row, "oil")
		in := 450 * s.steel.Coefficient * 0.25 * (oil - 20)
		out := 0.8 * in
		at := func(x float64) float64 { return in + (out-in)*(x-400)/600 }
		best := func(x float64) float64 { return -(at(x) + at(x) - motor) / 2 }
		assert.InDelta(t, best(-90), number(row, "best at motor flex"), 1e-9)
		assert.InDelta(t, best(90), number(row, "at pump flex"), 1e-9)
		assert.InDelta(t, motor/2/0.09, number(row, "share then"), 1e-9)
		assert.InDelta(t, best(400)-cold, number(row, "pump inboard"), 1e-9)
		assert.InDelta(t, best(1000)-cold, number(row, "pump outboard"), 1e-9)
		worst := 0.0
		for _, x := range []float64{-90, 90} {
			side := 0.02 - 0.01*(x+130)/260
			for _, growth := range []float64{at(x), at(x) - motor} {
				worst = math.Max(worst, math.Hypot(cold+growth, side)/0.09)
			}
		}
		assert.InDelta(t, worst, number(row, "share"), 1e-9)
	}
}

// TestHoldsBetweenTheRows: where the threshold says it passes, the sweep says so.
func TestHoldsBetweenTheRows(t *testing.T) {
	s, err := theSet()
	require.NoError(t, err)
	h, err := holds(s)
	require.NoError(t, err)
	require.Len(t, h.Changes, 2)
	for _, c := range h.Changes {
		for within, at := range map[bool]unit.Temperature{true: c.Passes, false: c.Fails} {
			moved := s
			moved.process = at
			o, err := moved.work()
			require.NoError(t, err)
			assert.Equal(t, within, o.standing.Within())
		}
		assert.InDelta(t, float64(c.Passes), float64(c.Fails), 0.1)
	}
}

func TestJSON(t *testing.T) {
	var got struct {
		Columns []map[string]string
		Rows    [][]any
		Errors  []any
	}
	require.NoError(t, json.Unmarshal([]byte(printed(t, "-json")), &got))
	assert.Len(t, got.Columns, 9)
	assert.Len(t, got.Rows, 13)
	assert.Empty(t, got.Errors)
}

func TestBadFlags(t *testing.T) {
	var out, fault bytes.Buffer
	assert.Equal(t, record.ExitBadInput, run([]string{"-csv", "-json"}, &out, &fault))
	assert.Empty(t, out.String())
	assert.Contains(t, fault.String(), "give one of them")
}
