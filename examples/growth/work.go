package main

import (
	"fmt"
	"slices"
	"strings"

	"collinear.example/align"
	"collinear.example/thermal"
	"gonum.org/v1/gonum/unit"
)

// answer is everything the report prints.
type answer struct {
	*job
	allowed  unit.Length // offset at either flex plane, before a state widens it
	cases    []thermal.Case
	growth   [][2][]unit.Length // by state: near and far supports; nil when measured
	warnings []align.Warning
	aims     []aim
	readings []align.Sweep
}

// aim is one cold target with what it gives in every state.
type aim struct {
	name string
	thermal.Target
}

func (j *job) answer() (answer, error) {
	a := answer{job: j, allowed: unit.Length(j.limit.SI()) * j.spool.Length(), warnings: j.limitWarning}
	for i := range j.states {
		if err := a.state(i); err != nil {
			return a, align.In(err, fmt.Sprintf("states[%d]", i))
		}
	}
	if err := a.targets(); err != nil {
		return a, err
	}
	return a, a.predict()
}

func (a *answer) state(i int) error {
	s := &a.states[i]
	near, nearGrowth, w, err := a.near.moves(s.near)
	if err != nil {
		return align.In(err, "near")
	}
	a.warn(s.name, a.near, w)
	far, farGrowth, w, err := a.far.moves(s.far)
	if err != nil {
		return align.In(err, "far")
	}
	a.warn(s.name, a.far, w)
	wide := unit.Length(s.widen) * a.allowed
	a.cases = append(a.cases, thermal.Case{
		State: thermal.State{Name: s.name, Near: near, Far: far}, NearLimit: &wide, FarLimit: &wide,
	})
	a.growth = append(a.growth, [2][]unit.Length{nearGrowth, farGrowth})
	return nil
}

// warn keeps warnings with the machine and the state they belong to. The cold
// temperature is that of every state.
func (a *answer) warn(state string, m machine, ws []align.Warning) {
	for _, w := range ws {
		for i, one := range m.supports {
			w.Field = strings.Replace(w.Field, fmt.Sprintf("supports[%d].segments[0]", i), one.name, 1)
		}
		where, isCold := strings.CutSuffix(w.Field, ".cold")
		w.Field = m.name + ", " + strings.ReplaceAll(where, ".", ", ")
		if isCold {
			w.Field += ", cold"
		} else {
			w.Field = state + ", " + w.Field
		}
		if !slices.Contains(a.warnings, w) {
			a.warnings = append(a.warnings, w)
		}
	}
}

func (a *answer) criterion() thermal.Criterion {
	return thermal.Criterion{
		Near: thermal.LimitAt{Station: a.spool.NearFlex, Limit: a.allowed},
		Far:  thermal.LimitAt{Station: a.spool.FarFlex, Limit: a.allowed},
		Mode: a.mode,
	}
}

// targets judges the position as found, in line when cold, every state's own
// target, and the best one.
func (a *answer) targets() error {
	judge := func(name string, cold align.Axis) error {
		t, err := thermal.JudgeColdTarget(cold, a.cases, a.criterion())
		a.aims = append(a.aims, aim{name, t})
		return err
	}
	if a.asFound != nil {
		if err := judge("as found", *a.asFound); err != nil {
			return err
		}
	}
	if err := judge("in line when cold", align.Axis{}); err != nil {
		return err
	}
	for _, c := range a.cases {
		t, err := c.ColdTarget()
		if err != nil {
			return err
		}
		if err := judge("in line in: "+c.Name, t); err != nil {
			return err
		}
	}
	best, err := thermal.BestColdTarget(a.cases, a.criterion())
	a.aims = append(a.aims, aim{"best for all states", best})
	return err
}

func (a *answer) best() aim { return a.aims[len(a.aims)-1] }

// predict works out what the dials should read at the best target. A dial read
// by a person who looks along -x gets its clock mirrored at this edge.
func (a *answer) predict() error {
	for i := range a.dials {
		d := a.dials[i].Dial
		at := []align.Clock{align.Twelve, align.Three, align.Six, align.Nine}
		s, err := thermal.TargetReadings(a.best().Axis, []align.Dial{d}, a.spool, align.Twelve, at...)
		if err != nil {
			return align.In(err, fmt.Sprintf("dials[%d]", i))
		}
		if a.dials[i].against {
			s[0][1].Value, s[0][3].Value = s[0][3].Value, s[0][1].Value
		}
		a.readings = append(a.readings, s[0])
	}
	return nil
}
