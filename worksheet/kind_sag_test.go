package worksheet

import (
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// TestSagTestAgainstLibrary holds every asked figure against align.Sag and the fit
// of the corrected sweep.
func TestSagTestAgainstLibrary(t *testing.T) {
	kinds := map[string]bool{}
	eachAligned(t, sagTestKind(), func(t *testing.T, _ Difficulty, r *Record, s *Sheet, v Values) {
		far, _, err := r.reverseDials(0)
		require.NoError(t, err)
		kinds[r.Sag[0].Kind] = true
		reading := unit.Length(r.Units.reading(r.Sag[0].Reading))
		sag := align.RollOver(reading)
		if r.Sag[0].Kind == singleDeflection {
			sag = align.SingleDeflection(reading)
		}
		whole, _ := sag.RollOver()
		sameAligned(t, float64(whole), v["sag"], "sag")
		sameAligned(t, float64(sag.Droop()), v["droop"], "droop")
		corrected := sag.Correct(asSweep(r.Units, far.Readings, false))
		for _, p := range corrected {
			at := map[align.Clock]string{align.Twelve: "12", align.Three: "3", align.Six: "6", align.Nine: "9"}[p.At]
			sameAligned(t, float64(p.Value), v["corrected."+at], "corrected "+at)
		}
		fit, err := corrected.Fit()
		require.NoError(t, err)
		sameAligned(t, float64(fit.Vertical), v["offset.vertical"], "offset")
		sameAligned(t, float64(fit.Horizontal), v["offset.horizontal"], "offset")
	})
	assert.Len(t, kinds, 2)
}

// sagJob is a dial on the far hub in mils, zeroed at 12, on a bracket tested so.
func sagJob(test string, reading float64, at ...Reading) *Record {
	r := reverseDemo()
	r.Sag[0].Kind, r.Sag[0].Reading = test, reading
	r.Sets[0].Dials[0].Readings = at
	return r
}

// TestSagTestPublished: a pump handbook's figures (chapter on centrifugal pumps,
// Fig. 19; attribution to Karassik et al., Pump Handbook, from memory): a roll-over
// reading of -6 and 0, 5, 10, 5 give 8, 16, 8 and an offset of 8. Bloch and
// Geitner, Machinery Component Maintenance and Repair, chapter 5, p. 186: a bracket
// relieved in one place, -4, corrects 160 at the bottom to 168.
func TestSagTestPublished(t *testing.T) {
	r := sagJob(rollOver, -6, Reading{0, 0}, Reading{90, 5}, Reading{180, 10}, Reading{270, 5})
	v := working(t, sagTestKind(), r, "")
	assert.InDelta(t, 3, inMils(v["droop"]), 1e-9)
	assert.InDelta(t, 8, inMils(v["corrected.3"]), 1e-9)
	assert.InDelta(t, 16, inMils(v["corrected.6"]), 1e-9)
	assert.InDelta(t, 8, inMils(v["corrected.9"]), 1e-9)
	assert.InDelta(t, -8, inMils(v["offset.vertical"]), 1e-9) // plus at the bottom: low
	for _, c := range []struct {
		code       string
		three, six float64
	}{
		{"sag-forgotten", 5, 10}, {"sag-added", 2, 4}, {"sag-half", 6.5, 13}, {"sag-doubled", 11, 22},
		{"sag-half-at-bottom", 8, 13}, {"sag-full-at-sides", 11, 16}, {"sag-none-at-sides", 5, 16},
		{"double-test-as-single", 11, 22}, {"sag-sign-lost", 2, 4},
	} {
		v := working(t, sagTestKind(), r, c.code)
		assert.InDelta(t, c.three, inMils(v["corrected.3"]), 1e-9, c.code)
		assert.InDelta(t, c.six, inMils(v["corrected.6"]), 1e-9, c.code)
	}

	r = sagJob(singleDeflection, -4, Reading{0, 0}, Reading{90, 80}, Reading{180, 160}, Reading{270, 80})
	v = working(t, sagTestKind(), r, "")
	assert.InDelta(t, -8, inMils(v["sag"]), 1e-9)
	assert.InDelta(t, 168, inMils(v["corrected.6"]), 1e-9)
	assert.InDelta(t, 164, inMils(working(t, sagTestKind(), r, "single-test-as-double")["corrected.6"]), 1e-9)
}
