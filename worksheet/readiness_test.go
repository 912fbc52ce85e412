package worksheet

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// statusOf is the status of the only entry of a topic about a thing.
func statusOf(t testing.TB, v *Evaluation, topic, about string) Status {
	t.Helper()
	var got []Status
	for _, r := range v.Readiness {
		if r.Topic == topic && r.About == about {
			got = append(got, r.Status)
		}
	}
	require.Len(t, got, 1, "%s, %s", topic, about)
	return got[0]
}

// entries are the topics with what they are about, as they follow one another.
func entries(v *Evaluation) (out []string) {
	for _, r := range v.Readiness {
		out = append(out, joinedBy(", ", r.Topic, r.About))
	}
	return out
}

// The order in which a practitioner puts things right: from the foundation up, what
// turns, how it sits, what pulls, then brackets and readings, then what they are
// held against.
var soundOrder = []string{
	"base and foundation, as looked at", "level and flatness of the base",
	"runout of the shaft, pump", "runout of the shaft, motor", "runout of the hub, pump", "runout of the hub, motor",
	"feet, pump", "feet, motor", "fit of the pipe's flanges, pump", "fit of the pipe's flanges, motor", "strain of the pipe, pump", "strain of the pipe, motor",
	"sag of the brackets, coupling", "readings that close, coupling",
	"movement from standing cold to running, pump", "movement from standing cold to running, motor",
	"limits chosen, coupling",
}

func TestReadinessOfASoundJob(t *testing.T) {
	v := evaluated(t, soundJob())
	assert.Equal(t, soundOrder, entries(v))
	for _, r := range v.Readiness {
		assert.Equal(t, InOrder, r.Status, "%s, %s: %s", r.Topic, r.About, r.Says)
		assert.Equal(t, "looked at, nothing found", r.Says)
		assert.NotEmpty(t, r.Findings)
	}
}

// The order does not depend on what is found, nor on the order of the record.
func TestReadinessOrderIsFixed(t *testing.T) {
	r := soundJob()
	slices.Reverse(r.Runout)
	slices.Reverse(r.Gaps)
	slices.Reverse(r.Strain)
	slices.Reverse(r.Looked)
	assert.Equal(t, soundOrder, entries(evaluated(t, r)))
	r = spoiledJob()
	r.States = nil
	var got []string
	for _, one := range entries(evaluated(t, r)) {
		if len(got) == 0 || got[len(got)-1] != one {
			got = append(got, one)
		}
	}
	want := slices.Concat(soundOrder[:14], []string{"movement from standing cold to running"}, soundOrder[16:])
	assert.Equal(t, want, got)
}

// planted is one thing that is wrong in an otherwise sound job.
type planted struct {
	what  string
	spoil func(*Record)
	entry string // of the readiness
	rests string // on this finding
}

// check wants that one entry of that status and all others in order.
func (p planted) check(t *testing.T, status Status) {
	t.Helper()
	r := soundJob()
	p.spoil(r)
	seen := false
	for _, one := range evaluated(t, r).Readiness {
		name := joinedBy(", ", one.Topic, one.About)
		if name == p.entry && one.Status == status {
			seen = true
			assert.Contains(t, one.Findings, p.rests, p.what)
			assert.NotEqual(t, "looked at, nothing found", one.Says, p.what)
			continue
		}
		if name == p.entry && status == NotLookedAt { // beside what was looked at
			continue
		}
		assert.Equal(t, InOrder, one.Status, "%s: %s: %s", p.what, name, one.Says)
	}
	assert.True(t, seen, "%s does not show", p.what)
}

func TestReadinessBlocks(t *testing.T) {
	for _, p := range []planted{
		{"a loose anchor bolt", func(r *Record) { r.Looked[3].Finding = "severe" }, soundOrder[0], "looked[3]"},
		{"a base that is not level", func(r *Record) { r.Base.Points[2].Height, r.Base.Points[3].Height = 0.05, 0.05 }, soundOrder[1], "base.level-along"},
		{"a base with a high pad", func(r *Record) { r.Base.Points[0].Height = 0.14 }, soundOrder[1], "base.elevation"},
		{"a base that is not flat", func(r *Record) { r.Base.Limits = "api-618"; r.Base.Points[0].Height = 0.5 }, soundOrder[1], "base.flatness-per-length"},
		{"a bent shaft", func(r *Record) { r.Runout[0].Readings = quarterTurn(0, 0.035, 0.07, 0.035) }, soundOrder[2], "runout[0].tir"},
		{"a hub bored off centre", func(r *Record) { r.Runout[3].Readings = quarterTurn(0, 0.03, 0.06, 0.03) }, soundOrder[5], "runout[3].tir"},
		{"a gap under a foot", func(r *Record) { r.Gaps[0].NearLeft, r.Gaps[0].FarLeft = 0.2, 0.2 }, soundOrder[6], "gaps[0].kind"},
		{"a foot that rises", func(r *Record) { r.Rises[7].Rise = 0.06 }, soundOrder[7], "rises[7].rise"},
		{"a foot that falls", func(r *Record) { r.Rises[7].Rise = -0.06 }, soundOrder[7], "rises[7].rise"},
		{"flanges that are not parallel", func(r *Record) { r.Joints[0].Gaps[0].Value = 4 }, soundOrder[8], "joints[0].rule.parallelism"},
		{"flanges off centre", func(r *Record) { r.Joints[1].OffsetSide = num(4) }, soundOrder[9], "joints[1].rule.centre"},
		{"a pipe that pulls", func(r *Record) { r.Strain[0].Steps[0].Readings[0] = 0.06 }, soundOrder[10], "strain[0].dials[0].largest"},
		{"a pipe that pulls sideways", func(r *Record) { r.Strain[1].Steps[0].Readings[1] = -0.06 }, soundOrder[11], "strain[1].dials[1].largest"},
		{"a dial at an angle", func(r *Record) {
			r.Oblique = []ObliqueDial{{Machine: "motor", What: "suction flange", At: 45, Reading: 0.08, Limit: 0.05, Source: "agreed"}}
		}, soundOrder[11], "oblique[0].verdict"},
		{"a bracket that was not tried", func(r *Record) {
			r.Sets[0].Dials[1].Bracket = ""
			r.Sets[0].Dials[1].Readings = quarterTurn(0, 0, 0.02, 0.02, 0)
		}, soundOrder[12], "sets[0].dials[1].sag"},
		{"a dial that does not come back", func(r *Record) { r.Sets[0].Dials[0].Readings[4].Value = 0.011 }, soundOrder[13], "sets[0].dials[0].closure"},
		{"a misread dial", func(r *Record) { r.Sets[0].Dials[1].Readings[1].Value = 0.25 }, soundOrder[13], "sets[0].dials[1].sum-rule"},
	} {
		p.check(t, Blocks)
	}
	// A coupling without limits can never be called aligned; nothing it rests on.
	r := soundJob()
	r.Limits = nil
	v := evaluated(t, r)
	assert.Equal(t, Blocks, statusOf(t, v, "limits chosen", "coupling"))
	assert.Equal(t, "no limits chosen for this coupling", v.Readiness[len(v.Readiness)-1].Says)
	for _, one := range v.Readiness[:len(v.Readiness)-1] {
		assert.Equal(t, InOrder, one.Status, one.Topic)
	}
	// Readings from which nothing can be found: top and bottom of one dial, the sides
	// of the other.
	r = soundJob()
	a, b := &r.Sets[0].Dials[0], &r.Sets[0].Dials[1]
	a.Readings, b.Readings = []Reading{a.Readings[0], a.Readings[2]}, []Reading{b.Readings[1], b.Readings[3]}
	v = evaluated(t, r)
	assert.Equal(t, Blocks, statusOf(t, v, "readings that close", "coupling"))
}

func TestReadinessLook(t *testing.T) {
	for _, p := range []planted{
		{"a crack that does not move", func(r *Record) { r.Looked[0].Finding = "slight" }, soundOrder[0], "looked[0]"},
		{"a sweep held against no limit", func(r *Record) { r.Runout[0].Limit = "" }, soundOrder[2], "runout[0].tir"},
		{"an oval shaft, within its limit", func(r *Record) { r.Runout[0].Readings = quarterTurn(0, 0.05, 0, 0.05) }, soundOrder[2], "runout[0].tir"},
		{"a foot that falls a little", func(r *Record) { r.Rises[0].Rise = -0.02 }, soundOrder[6], "train.machines[0].rises.spread"},
		{"a machine that rocks, no gap over the limit", func(r *Record) {
			g := &r.Gaps[4]
			g.NearLeft, g.NearRight, g.FarLeft, g.FarRight = 0.04, 0.04, 0.04, 0.04
		}, soundOrder[7], "train.machines[1].seat"},
		{"flanges of which the centres were not measured", func(r *Record) {
			r.Joints[0].OffsetUp, r.Joints[0].Rule = nil, "saes-l-350-pipe"
		}, soundOrder[8], "joints[0].offset"},
		{"no dial on the shaft", func(r *Record) {
			r.Strain[0].Dials[0].Touches, r.Strain[0].Dials[1].Touches = "casing", "casing"
		}, soundOrder[10], "strain[0].no-shaft-dial"},
		{"a machine that does not come back", func(r *Record) { r.Strain[0].Steps[1].Readings[0] = 0.02 }, soundOrder[10], "strain[0].closures[0]"},
		{"a bracket that rises", func(r *Record) {
			r.Sag[1].Reading = 0.02
			r.Sets[0].Dials[1].Readings = quarterTurn(0, 0.02, 0.06, 0.04, 0)
		}, soundOrder[12], "sets[0].dials[1].sag"},
		{"temperatures out of the range of the material", func(r *Record) {
			for i := range r.States[0].Machines[1].Supports {
				s := &r.States[0].Machines[1].Supports[i]
				s.Coefficient, s.Material, s.Variant, s.Cold = 0, "carbon steel", "EN 1993-1-2", -30
			}
		}, soundOrder[15], "states[0].machines[1].warnings"},
	} {
		if p.rests == "joints[0].offset" { // beside the holes, which that rule limits too
			r := soundJob()
			p.spoil(r)
			v := evaluated(t, r)
			k := slices.IndexFunc(v.Readiness, func(one Readiness) bool { return one.About == "pump" && slices.Contains(one.Findings, p.rests) })
			require.GreaterOrEqual(t, k, 0)
			assert.Equal(t, Look, v.Readiness[k].Status)
			continue
		}
		p.check(t, Look)
	}
}

// What the record says nothing of was not looked at; it is never in order.
func TestReadinessOfWhatIsMissing(t *testing.T) {
	for entry, leave := range map[int]func(*Record){
		0: func(r *Record) { r.Looked = nil }, 1: func(r *Record) { r.Base = nil },
		2: func(r *Record) { r.Runout = r.Runout[1:] }, 5: func(r *Record) { r.Runout = r.Runout[:3] },
		6: func(r *Record) { r.Gaps, r.Rises = r.Gaps[4:], r.Rises[4:] },
		8: func(r *Record) { r.Joints = r.Joints[1:] }, 11: func(r *Record) { r.Strain = r.Strain[:1] },
	} {
		r := soundJob()
		leave(r)
		v := evaluated(t, r)
		assert.Equal(t, soundOrder, entries(v))
		for i, one := range v.Readiness {
			want := InOrder
			if i == entry {
				want = NotLookedAt
				assert.NotEmpty(t, one.Says)
				assert.Empty(t, one.Findings)
			}
			assert.Equal(t, want, one.Status, "%s left out: %s", soundOrder[entry], soundOrder[i])
		}
	}
	for _, p := range []planted{
		{"a checklist with a hole", func(r *Record) { r.Looked = r.Looked[1:] }, soundOrder[0], "looked.missing.concrete-crack"},
		{"a foot left out", func(r *Record) { r.Gaps, r.Rises = r.Gaps[:7], r.Rises[:7] }, soundOrder[7], "train.machines[1].feet-not-read"},
		{"a dial that was not turned back", func(r *Record) { r.Sets[0].Dials[1].Readings = r.Sets[0].Dials[1].Readings[:4] }, soundOrder[13], "sets[0].dials[1].closure"},
		{"a dial at an angle that proves nothing", func(r *Record) {
			r.Oblique = []ObliqueDial{{Machine: "motor", What: "suction flange", At: 45, Reading: 0.01, Limit: 0.05, Source: "agreed"}}
		}, soundOrder[11], "oblique[0].verdict"},
		{"holes that the rule limits", func(r *Record) { r.Joints[0].Rule = "asme-b31.3-si" }, soundOrder[8], "joints[0].rule.holes"},
	} {
		p.check(t, NotLookedAt)
	}
	r := soundJob()
	r.Sets = nil
	v := evaluated(t, r)
	assert.Equal(t, NotLookedAt, statusOf(t, v, "sag of the brackets", "coupling"))
	assert.Equal(t, NotLookedAt, statusOf(t, v, "readings that close", "coupling"))
	r = soundJob()
	r.States = nil
	v = evaluated(t, r)
	assert.Equal(t, NotLookedAt, statusOf(t, v, "movement from standing cold to running", ""))
	r = soundJob()
	r.States[0].Machines = r.States[0].Machines[1:]
	v = evaluated(t, r)
	assert.Equal(t, NotLookedAt, statusOf(t, v, "movement from standing cold to running", "pump"))
	assert.Equal(t, Look, statusOf(t, v, "movement from standing cold to running", "coupling"))
	bare, err := Parse(goodRecords(t)["only-train.json"])
	require.NoError(t, err)
	v = evaluated(t, bare)
	require.NotEmpty(t, v.Readiness)
	for _, one := range v.Readiness {
		assert.Equal(t, NotLookedAt, one.Status, one.Topic)
	}
}

// Where the flex planes are not known, the limits cannot be applied and the movement
// is still known.
func TestReadinessWithoutFlexPlanes(t *testing.T) {
	r := soundJob()
	r.Train.Couplings[0].FlexPlanes = nil
	v := evaluated(t, r)
	assert.Equal(t, Look, statusOf(t, v, "limits chosen", "coupling"))
	for _, m := range []string{"pump", "motor"} {
		assert.Equal(t, InOrder, statusOf(t, v, "movement from standing cold to running", m))
	}
}

// The worst of what was looked at counts, and only that is named; more than three are
// counted.
func TestReadinessSaysTheWorst(t *testing.T) {
	r := soundJob()
	for i := range 4 {
		r.Rises[i].Rise = 0.09
		r.Gaps[i].NearLeft = 0.01
	}
	v := evaluated(t, r)
	for _, one := range v.Readiness {
		if one.Topic == "feet" && one.About == "pump" {
			assert.Equal(t, Blocks, one.Status)
			assert.Equal(t, []string{"gaps[0].kind", "gaps[1].kind", "gaps[2].kind", "gaps[3].kind", "rises[0].rise", "rises[1].rise", "rises[2].rise", "rises[3].rise"}, one.Findings)
			assert.Contains(t, one.Says, "; and 5 more")
			assert.Contains(t, one.Says, "pump, foot front left: how the foot sits: soft: springy")
		}
	}
}
