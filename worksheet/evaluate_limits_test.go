package worksheet

import (
	"math"
	"testing"

	"collinear.example/align"
	"collinear.example/tolerance"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const flexDeviation = "api-rp-686-flex-deviation"

// At 140 the motor stands hypot(0.046, 0.026) off, over the 140 mm between the flex
// planes: 0.377 mm/m of 0.5 that API RP 686 allows. Running it is 0.046 + 0.0945 -
// (0.05 + 320 x 0.02/440) up and -0.026 - (0.02 + 320 x 0.02/440) aside.
func TestEvalLimitByHand(t *testing.T) {
	v := evaluated(t, soundJob())
	cold := math.Hypot(0.046, 0.026) / 0.14
	wantSlope(t, v, "limits[0].sets[0].cold."+flexDeviation, cold)
	wantVerdict(t, v, "limits[0].sets[0].cold."+flexDeviation, 0.5e-3, Within)
	f := found(t, v, "limits[0].sets[0].cold."+flexDeviation)
	assert.Equal(t, "both planes together, at station 140.0 mm", f.Words)
	assert.Equal(t, "2nd ed., December 2009", f.Limit.Edition)
	assert.Equal(t, flexDeviation, f.Limit.Table)
	assert.Equal(t, 0.5, f.Limit.Printed)
	assert.Contains(t, f.Limit.Source, "API RP 686")
	assert.Contains(t, v.Sources, LimitsSource{Source: f.Limit.Source, Edition: f.Limit.Edition, Known: string(f.Limit.Known), Table: flexDeviation})
	wantIn(t, v, "limits[0].sets[0].cold.share", align.UnitOne, cold/0.5)
	moved := 320 * 0.02 / 440
	running := math.Hypot(0.046+0.0945-0.05-moved, -0.026-0.02-moved) / 0.14
	wantSlope(t, v, "limits[0].sets[0].states[0]."+flexDeviation, running)
	wantVerdict(t, v, "limits[0].sets[0].states[0]."+flexDeviation, 0.5e-3, Over)
	assert.Contains(t, found(t, v, "limits[0].sets[0].states[0].share").Inputs, "states[0]")
}

// Every set that comes with package tolerance, against the package called directly
// with the position worked out by hand.
func TestEvalEverySetOfLimits(t *testing.T) {
	cold := align.Axis{Vertical: align.Line{Offset: 0.018e-3, Slope: 0.2e-3}, Horizontal: align.Line{Offset: 0.002e-3, Slope: -0.2e-3}}
	graded, ungraded := 0, 0
	for _, set := range tolerance.Builtin() {
		r := soundJob()
		r.States = nil
		g := tolerance.Geometry{Speed: 1485 * align.RPM, FarFlex: 0.14, FarFace: 0.14}
		for _, table := range set.Tables {
			if s := table.Sizes(); g.Size == "" && len(s) > 0 {
				g.Size = s[len(s)-1]
			}
		}
		r.Limits = []Limits{{Coupling: "coupling", Set: set.ID, Size: g.Size}}
		v := evaluated(t, r)
		want, err := set.Grade(tolerance.Readings{Misalignment: cold}, g)
		if err != nil {
			wantError(t, v, "limits[0].sets[0].cold", tolerance.ErrNothingGraded, "limits[0]."+set.ID)
		}
		for _, one := range want.Grades {
			graded++
			id := "limits[0].sets[0].cold." + one.Table
			f := found(t, v, id)
			require.NotNil(t, f.Value, id)
			assert.InDelta(t, one.Measured.Value, *f.Value, digits, id)
			wantVerdict(t, v, id, one.Limit.SI(), map[bool]string{true: Within, false: Over}[one.Within])
			assert.Equal(t, one.Limit.Value, f.Limit.Printed, id)
			assert.Len(t, f.Warnings, len(one.Flags.Warnings("")), id)
			table, err := set.Table(one.Table)
			require.NoError(t, err)
			assert.Equal(t, table.Edition, f.Limit.Edition, id)
			assert.Contains(t, table.Source, f.Limit.Source, id)
		}
		for _, one := range want.Ungraded {
			ungraded++
			f := found(t, v, "limits[0].sets[0].cold."+one.Table)
			require.NotNil(t, f.Error)
			assert.Equal(t, align.CodeOf(one.Err), f.Error.Code)
		}
		if err == nil {
			wantIn(t, v, "limits[0].sets[0].cold.share", align.UnitOne, want.Share)
			assert.Equal(t, map[bool]string{true: Within, false: Over}[want.Within], found(t, v, "limits[0].sets[0].cold.share").Verdict)
		}
	}
	assert.Greater(t, graded, 30)
	assert.Greater(t, ungraded, 20)
}

// At 140 the offset has (140 + 40)/200 = 0.9 and 0.1 as weights of the two dials, so
// with readings of 0.016 it is known to 0.016/sqrt 2 hypot(0.9, 0.1), the deviation
// to that over 140 mm, and 1.645 times that added to 0.377 mm/m is 0.498: within.
// With 0.017 it is 0.506 and nobody can tell.
func TestEvalLimitWithUncertainty(t *testing.T) {
	r := soundJob()
	r.States = nil
	for sigma, verdict := range map[float64]string{0.016: Within, 0.017: CannotTell} {
		r.Sets[0].Sigma = num(sigma)
		f := found(t, evaluated(t, r), "limits[0].sets[0].cold."+flexDeviation)
		assert.Equal(t, verdict, f.Verdict)
		require.NotNil(t, f.Sigma)
		assert.InDelta(t, sigma*1e-3/math.Sqrt2*math.Hypot(0.9, 0.1)/0.14, *f.Sigma, digits)
		assert.Contains(t, f.Words, "probability of being within: ")
	}
	r.Sets[0].Sigma = num(0.001)
	doubleReadings(r)
	f := found(t, evaluated(t, r), "limits[0].sets[0].cold."+flexDeviation)
	assert.Equal(t, Over, f.Verdict)
	assert.Contains(t, f.Words, "probability of being within: under 1 %")
}

// doubleReadings makes every dial reading and every sag twice as large.
func doubleReadings(r *Record) {
	for i := range r.Sets {
		for d := range r.Sets[i].Dials {
			for k := range r.Sets[i].Dials[d].Readings {
				r.Sets[i].Dials[d].Readings[k].Value *= 2
			}
		}
	}
	for i := range r.Sag {
		r.Sag[i].Reading *= 2
	}
}

// No built-in table takes the planes one by one, but a table may: then the larger
// one governs with its own uncertainty.
func TestEvalDecisionOfOnePlane(t *testing.T) {
	r := soundJob()
	r.Sets[0].Sigma = num(0.01)
	e := &evaluator{Record: r}
	e.solveSets()
	p := &e.placed[0]
	table := &tolerance.Table{ID: "own", Quantity: tolerance.RimReading, Place: tolerance.AtFlexPlanes, Planes: tolerance.EachPlane, Unit: align.UnitMillimetre,
		Rule: tolerance.AnySpeed, Rows: []tolerance.Row{{Value: 0.1}}, Source: "agreed for this job"}
	one, err := table.Grade(p.pos.Axis, tolerance.Geometry{FarFlex: 0.14})
	require.NoError(t, err)
	require.Equal(t, tolerance.VerticalPlane, one.Measured.Plane)
	d := e.decide(table, one, p.pos.Axis, p)
	require.NotNil(t, d)
	assert.InDelta(t, 2*0.046e-3, d.Measured, digits)
	assert.InDelta(t, 2*1e-5/math.Sqrt2*math.Hypot(0.9, 0.1), d.Sigma, digits)
	table.Quantity, table.Unit = tolerance.Angle, align.UnitMillimetrePerMetre
	one, err = table.Grade(p.pos.Axis, tolerance.Geometry{FarFlex: 0.14})
	require.NoError(t, err)
	d = e.decide(table, one, p.pos.Axis, p)
	require.NotNil(t, d)
	assert.InDelta(t, 1e-5/0.2, d.Sigma, digits, "sqrt 2 over 200 mm of 0.01/sqrt 2")
	assert.Equal(t, "governed by the vertical plane", measuredWords(one.Measured, e))
	aside := align.Axis{Horizontal: align.Line{Slope: 1e-3}}
	one, err = table.Grade(aside, tolerance.Geometry{FarFlex: 0.14})
	require.NoError(t, err)
	d = e.decide(table, one, aside, p)
	require.NotNil(t, d)
	assert.InDelta(t, 1e-3, d.Measured, digits)
	assert.Equal(t, "governed by the horizontal plane", measuredWords(one.Measured, e))
	assert.Nil(t, e.decide(table, tolerance.Grade{Measured: tolerance.Measured{Plane: tolerance.VerticalPlane}}, align.Axis{}, p), "in line")
}

// A table by speed wants one.
func TestEvalLimitWithoutSpeed(t *testing.T) {
	r := soundJob()
	r.Train.Speed, r.Limits[0].Set = nil, "siemens-1la4"
	v := evaluated(t, r)
	f := found(t, v, "limits[0].sets[0].cold.siemens-1la4-offset")
	require.NotNil(t, f.Error)
	assert.Equal(t, align.ErrMissing.Code(), f.Error.Code)
	assert.Equal(t, "limits[0].speed", f.Error.Field)
	assert.NotContains(t, f.Inputs, "train.speed")
	wantMM(t, v, "sets[0].offset.flex-far.vertical", 0.046)
}

// How a coupling was left: the running states count where there are any, the worst
// of all sets of limits, and a table that stayed open is not passed.
func TestEvalAsLeft(t *testing.T) {
	verdict := func(r *Record) (string, string) {
		f := found(t, evaluated(t, r), "as-left.couplings[0]")
		return f.Verdict, f.Words
	}
	r := soundJob()
	got, words := verdict(r)
	assert.Empty(t, got)
	assert.Equal(t, "no set of readings as left", words)

	r.Sets[0].Stage = AsLeft
	got, words = verdict(r)
	assert.Equal(t, Over, got)
	assert.Equal(t, "api-rp-686, running: full load: over", words)

	r.States = nil
	got, words = verdict(r)
	assert.Equal(t, Within, got)
	assert.Equal(t, "api-rp-686, standing cold: within", words)

	r.Limits = append(r.Limits, Limits{Coupling: "coupling", Set: "weg-s"}) // 0.03 mm
	got, _ = verdict(r)
	assert.Equal(t, Over, got)

	r.Limits[1] = Limits{Coupling: "coupling", Set: "abb-ama-flexible", Size: "100-250 mm"} // gap and axial gap stay open
	got, words = verdict(r)
	assert.Equal(t, CannotTell, got)
	assert.Contains(t, words, "could not be applied: table abb-ama-flexible-gap, table abb-ama-flexible-axial")

	r.Limits = nil
	got, words = verdict(r)
	assert.Empty(t, got)
	assert.Equal(t, "no limits chosen: nobody can say", words)

	r = soundJob()
	r.Sets[0].Stage = AsLeft
	r.States[0].Machines = r.States[0].Machines[:1]
	got, words = verdict(r)
	assert.Empty(t, got, "never within because of a state that is not known")
	assert.Equal(t, "could not be applied: api-rp-686, running: full load (missing)", words)

	r = soundJob()
	r.States, r.Sets[0].Stage, r.Sets[0].Sigma = nil, AsLeft, num(0.02)
	got, _ = verdict(r)
	assert.Equal(t, CannotTell, got)
}

// A maker whose shares add up: each table alone is within, both together are over,
// and so is the coupling as left.
func TestEvalSharesThatAddUp(t *testing.T) {
	r := soundJob()
	r.States, r.Sets[0].Stage = nil, AsLeft
	r.Limits = []Limits{{Coupling: "coupling", Set: "ktr-rotex-sp-14"}}
	tables := []string{"limits[0].sets[0].cold.ktr-rotex-sp-14-offset", "limits[0].sets[0].cold.ktr-rotex-sp-14-angle"}
	share := func(v *Evaluation) (sum, most float64) {
		for _, id := range tables {
			f := found(t, v, id)
			sum, most = sum+*f.Value/f.Limit.Value, max(most, *f.Value/f.Limit.Value)
		}
		return sum, most
	}
	sum, most := share(evaluated(t, r))
	require.Greater(t, 0.98*sum, most, "both count")
	factor := 0.99 / most // the larger one just within
	for i := range r.Sets[0].Dials {
		for k := range r.Sets[0].Dials[i].Readings {
			r.Sets[0].Dials[i].Readings[k].Value *= factor
		}
	}
	for i := range r.Sag {
		r.Sag[i].Reading *= factor
	}
	v := evaluated(t, r)
	sum, most = share(v)
	require.Less(t, most, 1.0)
	require.Greater(t, sum, 1.0)
	for _, id := range tables {
		assert.Equal(t, Within, found(t, v, id).Verdict, id)
	}
	f := found(t, v, "limits[0].sets[0].cold.share")
	assert.InDelta(t, sum, *f.Value, 1e-6)
	assert.Equal(t, Over, f.Verdict)
	assert.Equal(t, Over, found(t, v, "as-left.couplings[0]").Verdict)
}

// The last set as left is the one that counts, of each coupling its own.
func TestEvalAsLeftTakesTheLast(t *testing.T) {
	r := soundJob()
	r.States = nil
	r.Sets[0].Stage = AsLeft
	r.Sets = append(r.Sets, soundSet(AsLeft), soundSet(AfterMove))
	for i := range r.Sets[1].Dials {
		for k := range r.Sets[1].Dials[i].Readings {
			r.Sets[1].Dials[i].Readings[k].Value *= 4
		}
	}
	f := found(t, evaluated(t, r), "as-left.couplings[0]")
	assert.Equal(t, Over, f.Verdict)
	assert.Equal(t, "sets[1]", f.Inputs[0])
	r.Sets[1].Dials[1].Station = 160 // refused by Check: both dials at one place
	_, err := r.Evaluate()
	wantFault(t, err, align.ErrCoincident, "sets[1].dials[1].station")
}

func TestEvalLimitsAreThoseOfTheCoupling(t *testing.T) {
	r := soundJob()
	r.Train.Machines = append(r.Train.Machines, Machine{Name: "fan", Feet: fourFeet(1500, 2000, 300)})
	r.Train.Couplings = append(r.Train.Couplings, Coupling{Name: "second", Near: "motor", Far: "fan", FlexPlanes: []float64{1000, 1200}})
	v := evaluated(t, r)
	_, ok := v.Find("limits[0].sets[0].cold.share")
	require.True(t, ok)
	assert.Equal(t, Blocks, statusOf(t, v, string(topicLimits), "second"))
}
