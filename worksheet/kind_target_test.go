package worksheet

import (
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// TestTargetAgainstLibrary holds every asked figure against align.Dial.Predict for
// the wanted position, minus the movement of the second shaft less that of the
// first.
func TestTargetAgainstLibrary(t *testing.T) {
	eachAligned(t, targetKind(), func(t *testing.T, d Difficulty, r *Record, s *Sheet, v Values) {
		var moved [2]align.Axis
		for i, m := range r.States[0].Machines {
			var at [2]align.Offset
			var x [2]unit.Length
			for k, p := range m.Measured {
				x[k] = unit.Length(r.Units.length(p.Station))
				at[k] = align.Offset{Vertical: unit.Length(r.Units.reading(p.Up)), Horizontal: unit.Length(r.Units.reading(p.Right))}
			}
			a, err := align.AxisThrough(x[0], at[0], x[1], at[1])
			require.NoError(t, err)
			moved[i] = a
		}
		wanted := moved[1].Sub(moved[0]).Neg()
		far, near, err := r.reverseDials(0)
		require.NoError(t, err)
		for id, d := range map[string]*Dial{"far": far, "near": near} {
			dial := asDial(t, r, d)
			o := wanted.At(dial.Station)
			sameAligned(t, float64(o.Vertical), v["wanted."+id+".vertical"], "wanted")
			sameAligned(t, float64(moved[1].At(dial.Station).Vertical), v["second."+id+".vertical"], "moved")
			sweep, err := dial.Predict(wanted, align.Spool{}, align.Twelve, align.Three, align.Six, align.Nine)
			require.NoError(t, err)
			sameAligned(t, float64(sweep[1].Value), v["reading."+id+".6"], "reading at 6")
			if s.has("reading." + id + ".3") {
				sameAligned(t, float64(o.Horizontal), v["wanted."+id+".horizontal"], "wanted")
				sameAligned(t, float64(sweep[0].Value), v["reading."+id+".3"], "reading at 3")
				sameAligned(t, float64(sweep[2].Value), v["reading."+id+".9"], "reading at 9")
			}
		}
		require.Equal(t, d == Severe, s.has("reading.far.3"))
	})
}

// TestTargetPublished: McMillan, Rotating Machinery: Practical Solutions to
// Unbalance and Misalignment (Fairmont Press, 2004), Fig. 9-10: a shaft that is to
// stand 5 mil high at the first hub and 2 mil high at its own is to read +10 on the
// dial at the first hub and -4 on the other, no sag. With sag -4 and -6 the dials
// show that as well: 4 and -8, and with the sag forgotten 10 and -4 again.
func TestTargetPublished(t *testing.T) {
	job := func(far, near float64) *Record {
		r := reverseDemo()
		r.Sag[0].Reading, r.Sag[1].Reading = far, near
		r.States = []State{{Name: "running", Machines: []Movement{
			{Machine: "motor", Measured: []Moved{{Station: -20}, {Station: -4}}},
			{Machine: "pump", Measured: []Moved{{Station: 0, Up: -5}, {Station: 8, Up: -2}}},
		}}}
		return r
	}
	for _, c := range []struct {
		code      string
		sag       [2]float64
		near, far float64
	}{
		{"", [2]float64{0, 0}, 10, -4},
		{"", [2]float64{-4, -6}, 4, -8},
		{"sag-left-off-target", [2]float64{-4, -6}, 10, -4},
		{"sag-taken-from-target", [2]float64{-4, -6}, 16, 0},
		{"sag-half-in-target", [2]float64{-4, -6}, 7, -6},
		{"target-not-doubled", [2]float64{-4, -6}, -1, -6},
		{"target-doubled-twice", [2]float64{-4, -6}, 14, -12},
		{"target-hot", [2]float64{-4, -6}, -16, 0},
		{"near-sign-kept", [2]float64{-4, -6}, -16, -8},
		{"dials-exchanged", [2]float64{-4, -6}, -8, 4},
	} {
		v := working(t, targetKind(), job(c.sag[0], c.sag[1]), c.code)
		assert.InDelta(t, c.near, inMils(v["reading.near.6"]), 1e-9, c.code)
		assert.InDelta(t, c.far, inMils(v["reading.far.6"]), 1e-9, c.code)
	}
}
