package main

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var (
	numberWithUnit = regexp.MustCompile(`([+-]?\d+\.\d+) (?:mm/m|mm)\b`)
	bracketed      = regexp.MustCompile(`([+-]?\d+\.\d+) (mm/m|mm) \(([+-]?\d+\.\d+) (mil/in|mil|in)\)`)
)

// after returns the text from the first place where the given words follow each
// other.
func after(t *testing.T, text string, words ...string) string {
	t.Helper()
	for _, w := range words {
		_, rest, found := strings.Cut(text, w)
		require.True(t, found, "%q is not in the report", w)
		text = rest
	}
	return text
}

// row wants the first line that starts with lead to hold exactly these numbers,
// to half their last printed place.
func row(t *testing.T, text, lead string, want ...float64) {
	t.Helper()
	for line := range strings.Lines(text) {
		if !strings.HasPrefix(strings.TrimSpace(line), lead) {
			continue
		}
		got := numberWithUnit.FindAllStringSubmatch(line, -1)
		require.Len(t, got, len(want), line)
		for i, g := range got {
			v, err := strconv.ParseFloat(g[1], 64)
			require.NoError(t, err)
			_, decimals, _ := strings.Cut(g[1], ".")
			assert.InDelta(t, want[i], v, 0.5*math.Pow(10, -float64(len(decimals)))+1e-9, "%s: %s", lead, line)
		}
		return
	}
	t.Errorf("no line starts with %q", lead)
}

// TestGoldenByHand works out every number and side of the process-water report
// (stored as process-water.golden) from the raw readings with nothing but the signs of package align's documentation. (All in
// mm; slopes in mm/m. The moves, offsets, angles and forecasts were also worked
// out once by a least-squares program in another language.)
func TestGoldenByHand(t *testing.T) {
	text := answerOf(t)

	// Means of two sets, zero at 12. The motor hub was written from the pump's
	// side, so 3 and 9 are exchanged.
	p3, p6, p9, pClose := (-0.73-0.72)/2, (-0.99-0.98)/2, (-0.26-0.25)/2, (0.00+0.02)/2
	m9, m6, m3 := (0.09+0.09)/2, (0.39+0.40)/2, (0.30+0.31)/2
	const pSag, mSag = -0.12, -0.05 * 2 // single deflection is half

	pump := after(t, text, "READINGS\n", "dial on the pump hub, seen looking from motor to pump:")
	left := (0 + p6 - p3 - p9) / 4 // four quarter readings leave this over, signs alternating
	row(t, pump, "12 o'clock", 0, 0, 0, left)
	row(t, pump, "3 o'clock", p3, pSag/2, p3-pSag/2, -left)
	row(t, pump, "6 o'clock", p6, pSag, p6-pSag, left)
	row(t, pump, "9 o'clock", p9, pSag/2, p9-pSag/2, -left)
	row(t, after(t, pump, "9 o'clock"), "12 o'clock", pClose, 0, pClose)
	motor := after(t, text, "READINGS\n", "dial on the motor hub, seen looking from motor to pump:")
	row(t, motor, "9 o'clock", m9, mSag/2, m9-mSag/2, -(m6-m3-m9)/4)
	row(t, motor, "6 o'clock", m6, mSag, m6-mSag, (m6-m3-m9)/4)
	row(t, motor, "3 o'clock", m3, mSag/2, m3-mSag/2, -(m6-m3-m9)/4)
	row(t, after(t, motor, "3 o'clock"), "12 o'clock", 0, 0, 0)

	// Offsets of the pump at the two dials: on the far hub 12 less 6 is 2e, on
	// the near hub it is -2e.
	const xp, xm = 105.0, -105.0
	evp, ehp := (0-(p6-pSag))/2, (p3-p9)/2
	evm, ehm := -(0-(m6-mSag))/2, -(m3-m9)/2
	sv, sh := (evp-evm)/(xp-xm), (ehp-ehm)/(xp-xm)
	ev := func(x float64) float64 { return evm + sv*(x-xm) }
	eh := func(x float64) float64 { return ehm + sh*(x-xm) }
	tv := func(x float64) float64 { return -0.12 + (-0.15+0.12)/140*(x+70) }

	// Second-order sum of 12 and 6 less 3 and 9 on a rim of radius 80, droop d.
	sum := func(v, h, sag float64) float64 { return (math.Pow(v-sag/2, 2)-h*h)/80 + 80*(sv*sv-sh*sh) }
	checks := after(t, text, "CAN THE READINGS", "dial on the pump hub:")
	row(t, checks, "closing", 0.02, 0, 0.02, 0.01)
	row(t, checks, "12 plus 6", p6-p3-p9, sum(evp, ehp, pSag), p6-p3-p9-sum(evp, ehp, pSag), 0.05)
	level1, level2 := (-0.73-0.99-0.26)/4, (-0.72-0.98-0.25)/4
	row(t, checks, "largest difference", (0.02-level2)-(0-level1), 0, (0.02-level2)-(0-level1), 0.02)
	row(t, checks, "largest reading", left, 0, left, 0.05)
	checks = after(t, checks, "dial on the motor hub:")
	row(t, checks, "closing", 0, 0, 0, 0.01)
	row(t, checks, "12 plus 6", m6-m3-m9, sum(-evm, -ehm, mSag), m6-m3-m9-sum(-evm, -ehm, mSag), 0.05)
	level1, level2 = (0.09+0.39+0.30)/4, (0.09+0.40+0.31)/4
	row(t, checks, "largest difference", level2-level1, 0, level2-level1, 0.02)
	row(t, checks, "largest reading", 0, 0, 0, 0.05)
	assert.Contains(t, text, "4.2 times the span away") // (980 - 105)/210 = 4.17
	flowing := strings.Join(strings.Fields(text), " ")
	assert.Contains(t, flowing, "set 2: the dial did not come back to its first reading (+0.020 mm, limit 0.010 mm)")

	// One reading 0.005, mean of two sets, half the difference of two: 0.005/2.
	u := 0.005 / math.Sqrt2 / math.Sqrt2
	at := func(x float64) float64 { w := (x - xm) / (xp - xm); return u * math.Hypot(w, 1-w) }
	where := after(t, text, "WHERE THE SHAFTS STAND")
	for _, x := range []float64{-70, 70} {
		row(t, where, "vertical", x, ev(x), at(x), tv(x), ev(x)-tv(x))
		row(t, where, "horizontal", x, eh(x), at(x), 0, eh(x))
		where = after(t, where, "horizontal")
	}
	row(t, where, "* flex plane next to motor", -70, ev(-70), math.Abs(eh(-70)))
	row(t, where, "* flex plane next to pump", 70, ev(70), math.Abs(eh(70)))
	// e is plus upward and minus sideways; wanted is minus upward. A pump shaft
	// that climbs away from the coupling holds its hub face open at the bottom; one
	// that swings toward 9 holds it open at 3.
	require.True(t, ev(-70) > 0 && ev(70) > 0 && eh(-70) < 0 && eh(70) < 0 && sv > 0 && sh < 0)
	assert.Contains(t, flowing, "station -70.0 mm: found, pump 0.278 mm high and 0.129 mm toward 9 o'clock; wanted, pump 0.120 mm low and in line")
	assert.Contains(t, flowing, "station +70.0 mm: found, pump 0.402 mm high and 0.214 mm toward 9 o'clock; wanted, pump 0.150 mm low and in line")
	assert.Contains(t, flowing, "pump climbs; hub faces gape at 6 o'clock")
	assert.Contains(t, flowing, "pump swings toward 9 o'clock; hub faces gape at 3 o'clock")
	slopes := after(t, where, "Slope is that")
	su := u * math.Sqrt2 / (xp - xm)
	row(t, slopes, "vertical", 1000*sv, 1000*su, -1000*0.03/140)
	row(t, slopes, "horizontal", 1000*sh, 1000*su, 0)
	angles := after(t, slopes, "Angle the coupling")
	row(t, angles, "flex plane next to motor", 1000*math.Hypot(ev(70), eh(70))/140, 1000*0.15/140)
	row(t, angles, "flex plane next to pump", 1000*math.Hypot(ev(-70), eh(-70))/140, 1000*0.12/140)

	// Away from what is wanted by so much, over 0.5 mm for each metre of 140 mm.
	assert.Contains(t, flowing, fmt.Sprintf("What is to be taken away uses %.0f %% of it: over", 100*math.Hypot(ev(70)-tv(70), eh(70))/0.070))

	// The near machine moves by +e, the far one by -e; sizes here, words below.
	feet := after(t, text, "WHAT TO DO AT THE FEET")
	for _, f := range []struct {
		lead             string
		x, sign          float64
		shims, sideways3 string
	}{
		{"motor, outboard", -980, 1, "take out", "3"},
		{"motor, inboard", -380, 1, "add", "3"},
		{"pump, inboard", 410, -1, "take out", "3"},
		{"pump, outboard", 890, -1, "take out", "3"},
	} {
		v, h := f.sign*(ev(f.x)-tv(f.x)), f.sign*eh(f.x)
		row(t, feet, f.lead, f.x, math.Abs(v), at(f.x), math.Abs(h), at(f.x))
		line, _, _ := strings.Cut(after(t, feet, f.lead), "\n")
		assert.Equal(t, v > 0, strings.Contains(line, "add"), line)
		assert.Contains(t, line, f.shims)
		assert.Equal(t, h > 0, strings.Contains(line, "toward 3 o'clock"), line)
		assert.Contains(t, line, "toward "+f.sideways3+" o'clock")
	}

	// After the moves e is the wanted tv, 0 sideways; the sag is back in.
	next := after(t, text, "WHAT THE DIALS SHOULD READ", "dial on the pump hub")
	row(t, next, "12 o'clock", 0, 0)
	row(t, next, "3 o'clock", -tv(xp)+pSag/2, p3)
	row(t, next, "6 o'clock", -2*tv(xp)+pSag, p6)
	row(t, next, "9 o'clock", -tv(xp)+pSag/2, p9)
	next = after(t, next, "dial on the motor hub, looking from pump to motor")
	row(t, next, "12 o'clock", 0, 0)
	row(t, next, "3 o'clock", tv(xm)+mSag/2, m9)
	row(t, next, "6 o'clock", 2*tv(xm)+mSag, m6)
	row(t, next, "9 o'clock", tv(xm)+mSag/2, m3)
}

// TestUnitsAgree holds the inch figures against the millimetre ones: one inch is
// 25.4 mm, one mil 0.0254 mm, and a slope is the same number in mil per inch.
func TestUnitsAgree(t *testing.T) {
	both := answerOf(t, "-units", "both")
	pairs := bracketed.FindAllStringSubmatch(both, -1)
	require.Greater(t, len(pairs), 100)
	factor := map[string]float64{"in": 25.4, "mil": 0.0254, "mil/in": 1}
	place := map[string]float64{"in": 0.005 * 25.4, "mil": 0.05 * 0.0254, "mil/in": 0}
	half := func(mm string) float64 {
		_, decimals, _ := strings.Cut(mm, ".")
		return 0.5 * math.Pow(10, -float64(len(decimals)))
	}
	mm, inch := answerOf(t), answerOf(t, "-units", "inch")
	for _, p := range pairs {
		metric, err := strconv.ParseFloat(p[1], 64)
		require.NoError(t, err)
		other, err := strconv.ParseFloat(p[3], 64)
		require.NoError(t, err)
		assert.InDelta(t, metric, other*factor[p[4]], half(p[1])+place[p[4]]+1e-9, p[0])
		assert.Contains(t, mm, strings.TrimPrefix(p[1], "+")+" "+p[2])
		assert.Contains(t, inch, strings.TrimPrefix(p[3], "+")+" "+p[4])
	}
	assert.Equal(t, movesOf(both, "add "), movesOf(mm, "add "))
	assert.Equal(t, movesOf(inch, "take out "), movesOf(mm, "take out "))
}

// movesOf counts the words in the section on the feet.
func movesOf(text, words string) int {
	_, rest, _ := strings.Cut(text, "WHAT TO DO AT THE FEET")
	return strings.Count(rest, words)
}
