package worksheet

import (
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// TestFeelerAgainstLibrary holds every asked figure against align.OffsetAndGaps
// with the offset of align.StraightedgeGaps.
func TestFeelerAgainstLibrary(t *testing.T) {
	eachAligned(t, feelerKind(), func(t *testing.T, d Difficulty, r *Record, s *Sheet, v Values) {
		of := func(rs []Reading) (g [4]unit.Length) {
			for _, p := range rs {
				g[int(p.At)/90] = unit.Length(r.Units.reading(p.Value))
			}
			return g
		}
		h := r.Hubs[0]
		edge, gaps := of(h.Straightedge.Gaps), of(h.Gaps)
		station := unit.Length(r.Units.length(h.Straightedge.Station))
		p, err := align.OffsetAndGaps{
			Offset: align.KnownOffset{Station: station, Offset: align.StraightedgeGaps{Top: edge[0], Right: edge[1], Bottom: edge[2], Left: edge[3]}.Offset()},
			Gaps:   align.FaceGaps{Diameter: unit.Length(r.Units.length(h.Diameter)), Top: gaps[0], Right: gaps[1], Bottom: gaps[2], Left: gaps[3]},
		}.Solve()
		require.NoError(t, err)
		p.HorizontalKnown = d != Plain // the sides were not measured
		sameAligned(t, float64(p.At(station).Vertical), v["offset.hub.vertical"], "offset")
		sameAligned(t, p.Slope().Vertical, v["slope.vertical"], "slope")
		if d != Plain {
			sameAligned(t, float64(p.At(station).Horizontal), v["offset.hub.horizontal"], "offset")
			sameAligned(t, p.Slope().Horizontal, v["slope.horizontal"], "slope")
		}
		sameFeet(t, r, v, p)
	})
}

// TestFeelerPublished: Carrier 17/19EX manual, file pages 211-216: 12 mil wider at
// the top on a diameter of 5 in need 72 mil more under the rear foot than under the
// front one, 30 in apart. The straightedge is worked by hand: 3 mil over the second
// hub at the top, 7 at the bottom, so its shaft is 2 mil high. At the feet, 10 and
// 40 in away: 2 - 2.4*10 = -22 and 2 - 2.4*40 = -94.
func TestFeelerPublished(t *testing.T) {
	r := inMil(14, 44)
	r.Hubs = []HubGaps{{Coupling: "coupling", Diameter: 5, Gaps: []Reading{{0, 112}, {180, 100}},
		Straightedge: &StraightedgeGaps{Station: 4, Gaps: []Reading{{0, 3}, {180, 7}}}}}
	v := working(t, feelerKind(), r, "")
	assert.InDelta(t, 72, inMils(v["move.outboard.vertical"]-v["move.inboard.vertical"]), 1e-9)
	for _, c := range []struct {
		code              string
		inboard, outboard float64
	}{
		{"", 22, 94},
		{"straightedge-whole", 20, 92},
		{"straightedge-sign", 26, 98},
		{"rim-side-alone", 27, 99},       // -3 at the hub
		{"straightedge-mean", 19, 91},    // 5 at the hub
		{"gaps-halved", 10, 46},          // 2 - 1.2 x
		{"radius-for-diameter", 46, 190}, // 2 - 4.8 x
		{"face-sign", -26, -98},          // 2 + 2.4 x
		{"face-as-offset", 10, 10},       // 2 - 12
		{"station-for-distance", 31.6, 103.6},
	} {
		v := working(t, feelerKind(), r, c.code)
		assert.InDelta(t, c.inboard, inMils(v["move.inboard.vertical"]), 1e-9, c.code)
		assert.InDelta(t, c.outboard, inMils(v["move.outboard.vertical"]), 1e-9, c.code)
	}
}
