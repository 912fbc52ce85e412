package main

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"collinear.example/internal/record"
	"collinear.example/worksheet"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func printed(t *testing.T, args ...string) string {
	t.Helper()
	var out, fault bytes.Buffer
	require.Equal(t, record.ExitOK, run(args, &out, &fault), fault.String())
	require.Empty(t, fault.String())
	return out.String()
}

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

func TestReportIsTheStoredOne(t *testing.T) {
	want, err := os.ReadFile("testdata/condensate-pump.golden")
	require.NoError(t, err)
	assert.Equal(t, string(want), printed(t))
}

// The figures of the report, worked out from the record without the library. The
// carbon steel of EN 1993-1-2 grows by 1.2e-5 t + 0.4e-8 t^2 - 2.416e-4 (t in
// degC); grey cast iron by 5.76 millionths per degF.
func TestReportByHand(t *testing.T) {
	got := oneLine(printed(t))
	say := func(s string) { t.Helper(); assert.Contains(t, got, s) }

	// As found: dials at 110 and -110 mm, sag -0.08 on both.
	atFar, atNear := -(-0.72+0.08)/2, (0.40+0.08)/2
	slope := (atFar - atNear) / 220
	at := func(x float64) float64 { return atNear + slope*(x+110) }
	assert.InDelta(t, 0.247, at(-90), 0.0005)
	assert.InDelta(t, 0.313, at(90), 0.0005)
	say("at the near flex plane, vertical +0.247 mm, pump stands high")
	say("at the far flex plane, vertical +0.313 mm, pump stands high")

	// Growth, and what the running pump gains on the running motor.
	steel := func(c float64) float64 { return 1.2e-5*c + 0.4e-8*c*c - 2.416e-4 }
	pumpIn, pumpOut := 400*(steel(74)-steel(20)), 400*(steel(68)-steel(20))
	motorOut, motorIn := 355*5.76e-6*1.8*22, 355*5.76e-6*1.8*28
	assert.InDelta(t, 0.267, pumpIn, 0.0005)
	assert.InDelta(t, 0.103, motorIn, 0.0005)
	say("growth of the support at station 460 mm +0.267 mm")
	say("growth of the support at station -420 mm +0.103 mm")
	pump := func(x float64) float64 { return pumpIn + (pumpOut-pumpIn)*(x-460)/580 }
	motor := func(x float64) float64 { return motorIn + (motorOut-motorIn)*(x+420)/-730 }
	gain := func(x float64) float64 { return pump(x) - motor(x) }
	assert.InDelta(t, 0.183, gain(-90), 0.0005)
	assert.InDelta(t, 0.168, gain(90), 0.0005)
	say("change from cold at the near flex plane, vertical +0.183 mm")

	// The motor goes to where the cold shafts are apart by minus that gain.
	target := func(x float64) float64 { return -gain(-90) + (gain(-90)-gain(90))*(x+90)/180 }
	assert.InDelta(t, 0.132, at(-1150)-target(-1150), 0.0005)
	assert.InDelta(t, 0.337, at(-420)-target(-420), 0.0005)
	say("foot outboard left of motor, up or down +0.132 mm, raise")
	say("foot inboard left of motor, up or down +0.337 mm, raise")

	// What was done instead, in whole leaves, and what that leaves.
	left := func(x float64) float64 { return at(x) - (0.35 + (0.15-0.35)*(x+420)/-730) }
	assert.InDelta(t, -0.193, left(-90), 0.0005)
	say("as the moves were to leave it at the near flex plane, vertical -0.193 mm")

	// As left: offsets -0.175 and -0.200 at the dials, sideways 0.010 and 0.005.
	// Running, both planes together at the near flex plane, over 180 mm.
	up := -0.200 + (-0.175+0.200)*20/220 + gain(-90)
	side := 0.005 + (0.010-0.005)*20/220
	assert.InDelta(t, 0.088, 1000*math.Hypot(up, side)/180, 0.0005)
	say("deviation from target per flex-plane separation 0.088 mm/m")
	say("coupling motor to pump: WITHIN")
	say("lock out and tag")
}

// The record is a job as people would have read it: its readings follow from one
// position, to the division of the dials.
func TestReadingsOfTheRecordBelongTogether(t *testing.T) {
	data, err := records.ReadFile(defaultRecord)
	require.NoError(t, err)
	r, err := worksheet.Parse(data)
	require.NoError(t, err)
	for _, s := range r.Sets {
		for _, d := range s.Dials {
			v := map[float64]float64{}
			for _, x := range d.Readings {
				v[x.At] = x.Value
			}
			assert.InDelta(t, v[0]+v[180], v[90]+v[270], 0.0201)
		}
	}
}

func TestStylesAndFindings(t *testing.T) {
	assert.True(t, strings.HasPrefix(printed(t, "-style", "markdown", "-units", "both"), "# Condensate pump 2"))
	assert.Contains(t, printed(t, "-units", "inch"), " mil")
	var v worksheet.Evaluation
	require.NoError(t, json.Unmarshal([]byte(printed(t, "-findings")), &v))
	assert.Equal(t, worksheet.FindingsFormat, v.Format)
	for _, f := range v.Findings {
		if f.Value != nil {
			assert.False(t, math.IsNaN(*f.Value) || math.IsInf(*f.Value, 0), f.ID)
		}
	}
}

func TestBadInput(t *testing.T) {
	good, err := records.ReadFile(defaultRecord)
	require.NoError(t, err)
	for _, c := range []struct{ name, from, to, want string }{
		{"unknown field", `"stage": "as-left"`, `"stages": "as-left"`, "sets[1].stages"},
		{"unit", `"speed": "rpm"`, `"speed": "mm"`, "units.speed"},
		{"text for a number", `"shaftHeight": 355`, `"shaftHeight": "355"`, "train.machines[0].shaftHeight"},
		{"machine nobody knows", `"near": "motor"`, `"near": "turbine"`, "train.couplings[0].near"},
		{"cut short", "\n}", "\n", "record"},
	} {
		t.Run(c.name, func(t *testing.T) {
			require.Equal(t, 1, strings.Count(string(good), c.from), "the slip must be in one place")
			file := filepath.Join(t.TempDir(), "r.json")
			require.NoError(t, os.WriteFile(file, []byte(strings.Replace(string(good), c.from, c.to, 1)), 0o644))
			var out, fault bytes.Buffer
			assert.Equal(t, record.ExitBadInput, run([]string{"-record", file}, &out, &fault))
			assert.Empty(t, out.String())
			assert.Equal(t, 1, strings.Count(fault.String(), "\n"))
			assert.Contains(t, fault.String(), c.want)
		})
	}
	for _, args := range [][]string{{"-record", "does-not-exist"}, {"x"}, {"-units", "furlong"}, {"-style", "song"}} {
		var out, fault bytes.Buffer
		assert.Equal(t, record.ExitBadInput, run(args, &out, &fault), args)
		assert.Empty(t, out.String())
		assert.True(t, strings.HasPrefix(fault.String(), "job: "))
	}
}
