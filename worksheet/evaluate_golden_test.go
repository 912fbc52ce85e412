package worksheet

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The golden files are the findings of every good record. Their figures do not rest
// on this program: TestEvalGoldenByHand works the chief ones out again from the
// readings.
func TestEvalGolden(t *testing.T) {
	for name, text := range goodRecords(t) {
		t.Run(name, func(t *testing.T) {
			r, err := Parse(text)
			require.NoError(t, err)
			got, err := json.MarshalIndent(evaluated(t, r), "", "  ")
			require.NoError(t, err)
			got = append(got, '\n')
			file := filepath.Join("testdata", "findings", name)
			if *update {
				require.NoError(t, os.WriteFile(file, got, 0o644))
			}
			want, err := os.ReadFile(file)
			require.NoError(t, err)
			assert.Equal(t, string(want), string(got))
		})
	}
	files, err := filepath.Glob("testdata/findings/*.json")
	require.NoError(t, err)
	assert.Len(t, files, len(goodRecords(t)), "a golden of no record")
}

// byHand are figures of a golden file, in the unit in which they were worked out.
type byHand map[string]float64

// Worked out from the readings with pencil and paper; the workings stand beside them.
func TestEvalGoldenByHand(t *testing.T) {
	for name, want := range map[string]byHand{
		"reverse-mm.json": {
			"sag[1].droop": 0.02,
			// Far dial: 0.36 + 0.06 = 0.42, so -0.21; 0.29 - 0.07 = 0.22, so 0.11 aside. Near
			// dial, sign turned: -0.24 + 0.04 = -0.20, so -0.10; -0.17 + 0.07 = -0.10, so 0.05.
			"sets[0].offset.dials[0].vertical": -0.21, "sets[0].offset.dials[0].horizontal": 0.11,
			"sets[0].offset.dials[1].vertical": -0.10, "sets[0].offset.dials[1].horizontal": 0.05,
			// Over 160 mm from -10 on: -0.11 and 0.06.
			"sets[0].offset.flex-near.vertical":                  -0.10 - 0.11*10/160,
			"sets[0].offset.flex-far.horizontal":                 0.05 + 0.06*150/160,
			"sets[0].moves.train.machines[1].feet[0].vertical":   0.10 + 0.11*390/160,
			"sets[0].moves.train.machines[1].feet[3].vertical":   0.10 + 0.11*870/160,
			"sets[0].moves.train.machines[1].feet[2].horizontal": -0.05 - 0.06*870/160,
		},
		"rim-and-face-inch.json": { // in mil, stations in inches
			"sag[0].roll-over": -7, // twice the single deflection of -3.5
			// Rim: -31 + 7 = -24, so 12 high; -20 + 11 = -9, so 4.5 toward 9 o'clock. Face on
			// 7.75 in: -4 is a slope of 4/7.75 up, 1 one of 1/7.75 aside.
			"sets[0].offset.dials[0].vertical": 12, "sets[0].offset.dials[0].horizontal": -4.5,
			"sets[0].offset.flex-near.vertical": 12 - 5.5*4/7.75, "sets[0].offset.flex-far.horizontal": -4.5 - 0.5/7.75,
			// The sum of the readings is nothing; the curved rim of 4.25 in lets expect
			// ((12 + 3.5)^2 - 4.5^2)/4250 and next to nothing by the slope.
			"sets[0].dials[0].sum-rule": -(15.5*15.5-4.5*4.5)/4250 - 4250*(16-1)/(7.75*7.75*1e6),
			"sets[0].dials[0].closure":  0,
			// 26 in by 6.33e-6 and 48 or 95 degF, in mil; at 1.5 in the line goes on.
			"states[0].machines[0].supports[0].growth":              26 * 6.33e-3 * 48,
			"states[0].machines[0].supports[1].growth":              26 * 6.33e-3 * 95,
			"states[0].machines[0].couplings[0].flex-near.vertical": 26*6.33e-3*95 + 26*6.33e-3*47*10.5/37,
			"states[1].machines[0].couplings[0].flex-far.vertical":  11 + 7*15.5/37,
		},
		"every-part.json": { // in micrometres
			// Far dial: -480 + 180 = -300, so 150 high; -300 + 180 = -120, so -60. Near dial:
			// 0 + 180, sign turned, so 90. Sideways it was read from the other end at eight
			// positions, (2 x 40 + 4 x 28/sqrt 2)/4.
			"sets[0].offset.dials[0].vertical": 150, "sets[0].offset.dials[0].horizontal": -60,
			"sets[0].offset.dials[1].vertical": 90, "sets[0].offset.dials[1].horizontal": 20 + 28/math.Sqrt2,
			"sets[0].offset.flex-near.vertical": 90 + 60*20.0/390, "sets[0].offset.flex-far.vertical": 90 + 60*370.0/390,
			// Back of the hub on 190 mm: 14 more at the bottom is a slope of -14/190; the rim
			// under a bracket on the other shaft: 50, so 25 high.
			"sets[2].offset.flex-near.vertical": 25, "sets[2].offset.flex-far.vertical": 25 - 300*14.0/190, "sets[2].offset.flex-far.horizontal": 5 - 300*2.0/190,
			// Hot: 15 low at 310; face at 10, 130 and 250 degrees on 200.5 mm.
			"sets[3].moves.train.machines[2].feet[0].vertical": 15 - 110*2.0/3*(4.5*cosine(130)+2.25*cosine(250))/100.25,
			// Gaps 50, 10, 120, 60 at the corners.
			"gaps[0].mean": 60, "gaps[0].along": 60, "gaps[0].across": -50, "gaps[0].tight": 5, "gaps[0].open": 115, "gaps[0].off-plane": -5,
			// Rises 75, 15, -5, 60: the lower median is 15.
			"train.machines[0].rises.common": 15, "rises[0].excess": 60, "rises[3].excess": 45,
			"runout[0].tir": 25, "runout[0].eccentricity": math.Hypot(12.5, 1), "runout[0].off": 0.75,
			"runout[1].tir": 14, "runout[1].eccentricity": 2.0 / 3 * math.Hypot((-8+6)*cosine(120), (-8-6)*math.Sqrt(3)/2), "runout[2].closure": 1,
			"hubs[1].stayed.vertical": 125, "hubs[1].turned.horizontal": -10, "hubs[0].straightedge.offset.horizontal": 60,
			"joints[0].opening": math.Hypot(350, 100), "joints[0].warp": 12.5, "joints[0].rule.parallelism": math.Hypot(350, 100) * 380 / 420,
			"joints[1].opening": math.Hypot(50, 10), "joints[1].rule.parallelism": math.Hypot(50, 10) * 380 / 330, "joints[1].gap-error": 120,
			"strain[0].steps[1].dials[1]": -8, "strain[0].dials[0].largest": 42, "oblique[0].redundancy": 22 - 30/math.Sqrt2,
			// 560 mm by 1.15e-5 and 23.5 K; measured 310 and 280 over 1220 mm.
			"states[0].machines[0].supports[0].growth": 560e3 * 1.15e-5 * 23.5, "states[0].machines[1].couplings[1].flex-near.vertical": 310 + 30*420.0/1220,
			// The motor came down by 250 and by 90, so its shaft by 90 - 160/1400 a millimetre.
			"moves.sets[0].predicted.flex-near.vertical": 90 + 60*20.0/390 + 90 - 150*160.0/1400,
			// The compressor's front pair was moved by -30, the other stayed.
			"moves.sets[2].predicted.flex-near.horizontal": 5 - 30*1640.0/1220,
		},
	} {
		text, err := os.ReadFile(filepath.Join("testdata", "findings", name))
		require.NoError(t, err)
		var v Evaluation
		require.NoError(t, json.Unmarshal(text, &v))
		for id, figure := range want {
			wantIn(t, &v, id, v.Units.Reading, figure)
		}
	}
	text, err := os.ReadFile("testdata/findings/every-part.json")
	require.NoError(t, err)
	var v Evaluation
	require.NoError(t, json.Unmarshal(text, &v))
	off := math.Hypot(90+60*370.0/390, 20+28/math.Sqrt2-(80+28/math.Sqrt2)*370/390)
	wantIn(t, &v, "limits[0].sets[0].cold.api-rp-686-flex-deviation", align.UnitMillimetrePerMetre, off/350)
	wantIn(t, &v, "limits[3].sets[0].cold.abb-ama-flexible-offset", align.UnitMicrometre, off)
	wantIn(t, &v, "hubs[0].slope.vertical", align.UnitMillimetrePerMetre, 0.56)
	wantIn(t, &v, "runout[2].tilt", align.UnitMillimetrePerMetre, math.Hypot(4.5, 0.5)/105)
	wantVerdict(t, &v, "runout[0].tir", 70e-6, Within) // IEC 60072-1, over 80 up to 120 mm
	wantVerdict(t, &v, "limits[3].sets[0].cold.abb-ama-flexible-offset", 100e-6, Over)
}

func cosine(degrees float64) float64 { return math.Cos(degrees * math.Pi / 180) }
