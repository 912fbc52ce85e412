package worksheet

import (
	"encoding/json"
	"slices"
	"testing"

	"collinear.example/align"
	"collinear.example/moves"
	"collinear.example/softfoot"
	"collinear.example/tolerance"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// fullJob is a sound job with hubs, a wanted move and a dial at an angle too.
func fullJob() *Record {
	r := movedJob()
	r.Hubs = []HubGaps{{Coupling: "coupling", Diameter: 250, Gaps: quarterTurn(3.1, 3.15, 3.24, 3.19),
		Straightedge: &StraightedgeGaps{Station: 120, Gaps: quarterTurn(0.1, 0, -0.1, 0)}}}
	r.Oblique = []ObliqueDial{{Machine: "pump", What: "suction flange", At: 45, Reading: 0.01, Up: num(0.01), Right: num(0.01), Limit: 0.05, Source: "agreed"}}
	r.Wanted = []MoveWanted{{Machine: "motor", Foot: "front left", Up: 0.2}}
	r.States = []State{soundState()}
	r.Gaps[4].NearLeft, r.Gaps[4].NearRight, r.Gaps[4].FarLeft, r.Gaps[4].FarRight = 0.3, 0.3, 0.3, 0.3
	return r
}

// partBytes are the findings of every part as JSON, those about brackets and moves
// apart from what they rest on.
func partBytes(t *testing.T, v *Evaluation) map[Part]string {
	t.Helper()
	by := map[Part][]Finding{}
	for _, f := range v.Findings {
		by[f.Part] = append(by[f.Part], f)
	}
	out := map[Part]string{}
	for p, fs := range by {
		text, err := json.Marshal(fs)
		require.NoError(t, err)
		out[p] = string(text)
	}
	return out
}

// shortArc are readings on an arc too small to tell anything.
func shortArc(value float64) []Reading {
	return []Reading{{0, value}, {4, value + 0.01}, {8, value + 0.02}}
}

// One part that cannot be computed becomes a finding with its error, and every other
// part is what it was, to the byte.
func TestEvalOneBadPart(t *testing.T) {
	for _, c := range []struct {
		spoil func(*Record)
		id    string
		code  align.Fault
		field string
		parts []Part // that may differ
	}{
		{func(r *Record) {
			for i := range r.Base.Points {
				r.Base.Points[i].Lateral = 0
			}
		}, "base", align.ErrUndetermined, "base.points", []Part{PartBase}},
		{func(r *Record) {
			for i := range r.Train.Machines[0].Feet {
				f := &r.Train.Machines[0].Feet[i]
				f.Lateral, f.Station = num(0), f.Station+float64(i)
			}
		}, "train.machines[0].seat", softfoot.ErrInLine, "train.machines[0].feet", []Part{PartFeet}},
		{func(r *Record) { r.Rises = r.Rises[2:] }, "train.machines[0].rises", softfoot.ErrTooFewFeet, "rises.feet", []Part{PartFeet}},
		{func(r *Record) { r.Stock.MaxLeaves = 50 }, "gaps[4].shim", align.ErrOutOfRange, "stock.maxLeaves", []Part{PartFeet, PartMoves}},
		{func(r *Record) { r.Wanted[0].Up = -5 }, "wanted[0]", moves.ErrBaseBound, "wanted[0].change", []Part{PartMoves}},
		{func(r *Record) { r.Runout[0].Readings = shortArc(0) }, "runout[0]", align.ErrArcTooNarrow, "runout[0].sweep", []Part{PartRunout}},
		{func(r *Record) { r.Runout[0].Diameter = 3 }, "runout[0].limit", align.ErrOutOfRange, "runout[0].diameter", []Part{PartRunout}},
		{func(r *Record) {
			r.Runout[3] = RunoutSweep{Machine: "motor", Part: hubFacePart, Diameter: 200, Readings: shortArc(0)}
		}, "runout[3]", align.ErrArcTooNarrow, "runout[3].sweep", []Part{PartRunout}},
		{func(r *Record) { r.Hubs[0].Gaps[1].At = 80 }, "hubs[0]", align.ErrMismatch, "hubs[0].gaps[1].at", []Part{PartRunout}},
		{func(r *Record) { r.Hubs[0].Straightedge.Gaps = r.Hubs[0].Straightedge.Gaps[:3] }, "hubs[0].straightedge", align.ErrTooFewPositions, "hubs[0].straightedge.gaps", []Part{PartRunout}},
		{func(r *Record) { r.Joints[0].Gaps = shortArc(3) }, "joints[0]", align.ErrArcTooNarrow, "joints[0].gaps", []Part{PartPipe}},
		{func(r *Record) { r.Joints[0].Diameter = 300 }, "joints[0]", align.ErrMismatch, "joints[0].diameter", []Part{PartPipe}},
		{func(r *Record) { r.Joints[0].FlangeOD, r.Joints[0].RaisedFaceOD = 0, 0 }, "joints[0].rule", align.ErrMissing, "joints[0].flangeOD", []Part{PartPipe}},
		{func(r *Record) {
			for i := range r.Sets {
				for k := range r.Sets[i].Dials {
					d := &r.Sets[i].Dials[k]
					d.Readings = []Reading{d.Readings[k], d.Readings[k+2]}
				}
			}
		}, "sets[0]", align.ErrUndetermined, "sets[0].vertical slope", []Part{PartSets, PartStates, PartLimits, PartMoves, PartAsLeft}},
		{func(r *Record) { r.States[0].Machines[0].Measured[1].Station = -620 + 1e-7 }, "states[0].machines[0]", align.ErrCoincident, "states[0].machines[0].measured.second.station",
			[]Part{PartSets, PartStates, PartLimits, PartMoves, PartAsLeft}},
		{func(r *Record) { r.Limits[0].Set = "usbr-fist-2-1" }, "limits[0].sets[0].cold", tolerance.ErrNothingGraded, "limits[0].usbr-fist-2-1", []Part{PartLimits, PartAsLeft}},
		{func(r *Record) { r.Train.Couplings[0].FlexPlanes = nil }, "limits[0].sets[1].cold", align.ErrMissing, "train.couplings[0].flexPlanes",
			[]Part{PartSets, PartStates, PartLimits, PartMoves, PartAsLeft}},
	} {
		want := partBytes(t, evaluated(t, fullJob()))
		r := fullJob()
		c.spoil(r)
		v := evaluated(t, r)
		wantError(t, v, c.id, c.code, c.field)
		got := partBytes(t, v)
		for p := range want {
			if slices.Contains(c.parts, p) {
				assert.NotEmpty(t, got[p], "%s: %s", c.id, p)
				continue
			}
			assert.Equal(t, want[p], got[p], "%s spoils %s", c.id, p)
		}
		for _, one := range v.Readiness {
			if slices.Contains(one.Findings, c.id) {
				assert.NotEqual(t, InOrder, one.Status, c.id)
			}
		}
	}
}

// Everything spoiled at once still gives an answer with its head and its errors.
func TestEvalAllBad(t *testing.T) {
	v := evaluated(t, spoiledJob())
	failed := 0
	for _, f := range v.Findings {
		if f.Error != nil {
			failed++
		}
	}
	assert.Greater(t, failed, 8)
	assert.NotEmpty(t, v.Record)
	wantMM(t, v, "sets[1].dials[0].closure", 0.1)
}
