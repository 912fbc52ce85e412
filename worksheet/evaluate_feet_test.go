package worksheet

import (
	"testing"

	"collinear.example/align"
	"collinear.example/softfoot"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// Corners 0.10 and 0.20 toward the first machine, 0.30 and 0.44 toward the last: the
// mean is 1.04/4 = 0.26, far less near (0.37 - 0.15) = 0.22, right less left (0.32 -
// 0.20) = 0.12. The plane's corners are 0.26 -+ 0.11 -+ 0.06: tight 0.09, open 0.43.
// It leaves (0.10 - 0.20 - 0.30 + 0.44)/4 = 0.01 at each.
func TestEvalGapUnderAFootByHand(t *testing.T) {
	r := soundJob()
	r.Stock = nil
	g := &r.Gaps[4]
	g.NearLeft, g.NearRight, g.FarLeft, g.FarRight = 0.1, 0.2, 0.3, 0.44
	v := evaluated(t, r)
	for id, want := range map[string]float64{"mean": 0.26, "tight": 0.09, "open": 0.43, "along": 0.22, "across": 0.12, "off-plane": 0.01} {
		wantMM(t, v, "gaps[4]."+id, want)
	}
	kind := found(t, v, "gaps[4].kind").Words
	assert.Contains(t, kind, "soft: parallel and angular")
	assert.Equal(t, "opens toward the last machine", found(t, v, "gaps[4].along").Plus)
	assert.Empty(t, found(t, v, "gaps[4].off-plane").Warnings)
	for _, id := range []string{"gaps[4].stepped", "gaps[4].shim"} {
		_, ok := v.Find(id)
		assert.False(t, ok, "no shelf, no %s", id)
	}
	g.FarRight = 0.84 // 0.11 off the plane at each corner, of which 0.025 says nothing
	v = evaluated(t, r)
	wantMM(t, v, "gaps[4].off-plane", 0.11)
	ws := found(t, v, "gaps[4].off-plane").Warnings
	require.Len(t, ws, 1)
	assert.Equal(t, string(softfoot.WarnBentFoot), ws[0].Code)
	assert.Equal(t, "gaps[4]", ws[0].Field, "none of the corners is the farthest")
}

// Gaps of 0.30 all round: 0.2 + 0.1 from the shelf are the fewest leaves that come
// within 0.025. A gap of 0.26 takes the same.
func TestEvalFlatShim(t *testing.T) {
	r := soundJob()
	g := &r.Gaps[4]
	g.NearLeft, g.NearRight, g.FarLeft, g.FarRight = 0.3, 0.3, 0.3, 0.3
	r.Gaps[5].NearLeft, r.Gaps[5].NearRight, r.Gaps[5].FarLeft, r.Gaps[5].FarRight = 0.26, 0.26, 0.26, 0.26
	v := evaluated(t, r)
	wantMM(t, v, "gaps[4].shim", 0.3)
	assert.Contains(t, []string{"leaves from the bottom: 0.1 mm + 0.2 mm", "leaves from the bottom: 0.2 mm + 0.1 mm"}, found(t, v, "gaps[4].shim").Words)
	wantMM(t, v, "gaps[5].shim", 0.25)
	assert.Contains(t, found(t, v, "gaps[5].shim").Words, "0.05 mm")
	assert.Contains(t, found(t, v, "gaps[4].kind").Words, "soft: parallel (")
}

// The example of package softfoot: 0.10 toward the first machine and 0.30 toward the
// last. From leaves of 0.05 and 0.10: 0.10 all the way, then 0.05 mm leaves that end
// 3/4, 1/2 and 1/4 of 120 mm from the open corner. 0.05 is left open.
func TestEvalSteppedShim(t *testing.T) {
	r := soundJob()
	r.Stock = &Stock{Leaves: []float64{0.05, 0.1}, MaxLeaves: 4, Within: 0.05}
	g := &r.Gaps[4]
	g.NearLeft, g.NearRight, g.FarLeft, g.FarRight = 0.1, 0.1, 0.3, 0.3
	v := evaluated(t, r)
	wantMM(t, v, "gaps[4].stepped", 0.25)
	wantMM(t, v, "gaps[4].stepped.residual", 0.05)
	assert.Equal(t, "leaves, longest first: 0.1 mm all the way, 0.05 mm 90.0 mm from the open corner, 0.05 mm 60.0 mm from the open corner, 0.05 mm 30.0 mm from the open corner",
		found(t, v, "gaps[4].stepped").Words)
}

// Rises of 0.02, 0.08, 0.03 and 0.05: the lower median is 0.03, so the second foot
// wants 0.05 and the fourth 0.02. API RP 686 allows 0.05 of each; 0.05 is within. A
// foot that falls by 0.06 moves as much as one that rises.
func TestEvalRisesByHand(t *testing.T) {
	r := soundJob()
	for i, rise := range []float64{0.02, 0.08, 0.03, 0.05} {
		r.Rises[4+i].Rise = rise
	}
	v := evaluated(t, r)
	path := "train.machines[1].rises"
	wantMM(t, v, path+".common", 0.03)
	wantMM(t, v, path+".spread", 0.06)
	for i, want := range []float64{0, 0.05, 0, 0.02} {
		wantMM(t, v, at("rises", 4+i)+".excess", want)
	}
	wantVerdict(t, v, "rises[5].rise", 5e-5, Over)
	wantVerdict(t, v, "rises[7].rise", 5e-5, Within)
	assert.Contains(t, found(t, v, "gaps[5].kind").Words, "soft: springy")
	assert.Contains(t, found(t, v, "gaps[5].kind").Inputs, "rises[5]")
	r.Rises[5].Rise = -0.06
	v = evaluated(t, r)
	wantVerdict(t, v, "rises[5].rise", 5e-5, Over)
	require.NotEmpty(t, found(t, v, path+".spread").Warnings)
	assert.Equal(t, string(softfoot.WarnFallingFoot), found(t, v, path+".spread").Warnings[0].Code)
}

// With the front left pad lower by 0.2 than the other three in one plane, the
// machine stands on two feet of one diagonal with its middle above the line between
// them: it rocks.
func TestEvalSeatRocks(t *testing.T) {
	r := soundJob()
	g := &r.Gaps[4]
	g.NearLeft, g.NearRight, g.FarLeft, g.FarRight = 0.2, 0.2, 0.2, 0.2
	v := evaluated(t, r)
	f := found(t, v, "train.machines[1].seat")
	assert.Contains(t, f.Words, "it rocks")
	assert.NotContains(t, found(t, v, "train.machines[0].seat").Words, "rocks")
	body := softfoot.Machine{}
	for i, foot := range r.Train.Machines[1].Feet {
		body.Feet = append(body.Feet, softfoot.Foot{Name: foot.Name, Station: unit.Length(foot.Station / 1000), Lateral: unit.Length(*foot.Lateral / 1000)})
		body.Gaps = append(body.Gaps, []unit.Length{2e-4, 0, 0, 0}[i])
	}
	seat, err := body.Seat()
	require.NoError(t, err)
	require.True(t, seat.Rocks())
	for i := range seat.Rests {
		for _, name := range seat.Carrying(i) {
			assert.Contains(t, f.Words, name)
		}
	}
}

// What is not known of one foot is said, and the seat of the whole machine is left
// open.
func TestEvalFeetThatWereNotRead(t *testing.T) {
	r := soundJob()
	r.Gaps, r.Rises = r.Gaps[:7], r.Rises[:7]
	v := evaluated(t, r)
	assert.Equal(t, "rear right", found(t, v, "train.machines[1].feet-not-read").Words)
	_, ok := v.Find("train.machines[1].seat")
	assert.False(t, ok)
	r = soundJob()
	r.Train.Machines[1].Feet[2].Lateral = nil
	v = evaluated(t, r)
	wantError(t, v, "train.machines[1].seat", align.ErrMissing, "train.machines[1].feet[2].lateral")
	wantMM(t, v, "gaps[6].mean", 0)
}

// Four pads 1000 mm apart along and 500 across, at 0, 0, 0.02 and 0.06: the plane of
// least squares rises by (0.04 - 0)/1000 along and by (0.03 - 0.01)/500 across, and
// leaves 0.01 at each corner, so flatness is 0.02 and over the diagonal of 1118 mm
// 0.0179 mm/m. Level is limited to 42 um/m, elevation to 0.13 mm.
func TestEvalBaseByHand(t *testing.T) {
	r := soundJob()
	r.Base.Points[3].Height = 0.06
	v := evaluated(t, r)
	wantSlope(t, v, "base.level-along", 0.04)
	wantSlope(t, v, "base.level-across", 0.04)
	wantVerdict(t, v, "base.level-across", 42e-6, Within)
	wantMM(t, v, "base.elevation", 0.06)
	wantVerdict(t, v, "base.elevation", 130e-6, Within)
	wantMM(t, v, "base.flatness", 0.02)
	wantSlope(t, v, "base.flatness-per-length", 0.02/1.118033988749895)
	wantMM(t, v, "base.coplanarity", 0.02)
	for i, want := range []float64{0.01, -0.01, -0.01, 0.01} {
		wantMM(t, v, at("base.pads", i)+".off", want)
	}
	r.Base.Points[3].Height = 0.08 // 0.05 mm/m along
	v = evaluated(t, r)
	wantSlope(t, v, "base.level-along", 0.05)
	wantVerdict(t, v, "base.level-along", 42e-6, Over)
	assert.Contains(t, found(t, v, "base.level-along").Limit.Source, "API RP 686")
	assert.Nil(t, found(t, v, "base.flatness").Limit)
	r.Base.Limits = "api-618" // flatness alone, 0.15 mm/m
	v = evaluated(t, r)
	wantVerdict(t, v, "base.flatness-per-length", 150e-6, Within)
	assert.Nil(t, found(t, v, "base.level-along").Limit)
}

// What can be wiped off is put right at once, a crack that does not move is watched.
func TestEvalLookedAt(t *testing.T) {
	r := soundJob()
	r.Looked = []Observation{
		{Item: "rust", Finding: "slight", Place: "motor pads", Note: "wiped"},
		{Item: "anchor-bolts", Finding: "severe"}, {Item: "grout-voids", Finding: "sound"}, {Item: "grout-cracks", Finding: "slight"},
	}
	v := evaluated(t, r)
	assert.Equal(t, "rust, paint, burrs and dirt on pads and feet, motor pads (wiped)", found(t, v, "looked[0]").Says)
	for i, want := range []string{"slight: put right before anything is aligned", "severe: put right before anything is aligned", "sound: nothing to do", "slight: note it and look again after the job"} {
		assert.Equal(t, want, found(t, v, at("looked", i)).Words)
	}
	missing := 0
	for _, i := range softfoot.Items() {
		if f, ok := v.Find("looked.missing." + string(i)); ok {
			missing++
			assert.Equal(t, "nobody looked", f.Words)
		}
		assert.True(t, i == softfoot.JackScrews || itemWords(i) != string(i), "%s in words", i)
	}
	assert.Equal(t, 4, missing)
}
