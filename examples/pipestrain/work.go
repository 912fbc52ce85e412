package main

import (
	"fmt"

	"collinear.example/align"
	"collinear.example/piping"
)

// answer is everything the report prints.
type answer struct {
	*job
	results []tested
	joints  []fitted
	fit     *piping.CompromiseFit // nil when no joint was surveyed
}

// tested is a strain test with its result.
type tested struct {
	*test
	result   piping.StrainResult
	verdicts []piping.MovementVerdict
}

// fitted is a joint with what its survey says.
type fitted struct {
	joint *joint
	piping.JointFit
	report piping.FlangeReport
	goal   piping.NozzleGoal
}

func (j *job) answer() (*answer, error) {
	a := &answer{job: j}
	for i := range j.tests {
		t := &j.tests[i]
		r, err := t.Result()
		if err != nil {
			return nil, align.In(err, fmt.Sprintf("tests[%d]", i))
		}
		v, err := r.JudgeAll()
		if err != nil {
			return nil, align.In(err, fmt.Sprintf("tests[%d]", i))
		}
		a.results = append(a.results, tested{t, r, v})
	}
	for i := range j.joints {
		f, err := fit(&j.joints[i])
		if err != nil {
			return nil, align.In(err, fmt.Sprintf("flanges[%d]", i))
		}
		a.joints = append(a.joints, f)
	}
	return a, a.compromise()
}

// fit works out one joint: how it misses, by which rule, and where its nozzle
// would have to go. A quantity that the rule does not limit may be left off by
// what usual work leaves (own choice, see usual).
func fit(j *joint) (f fitted, err error) {
	f.joint = j
	if f.JointFit, err = j.Solve(); err != nil {
		return f, err
	}
	limits, err := piping.FlangeLimitsOf(j.rule, j.size)
	if err != nil {
		return f, align.In(err, "rule")
	}
	if f.report, err = f.Misfit.Judge(limits, 0); err != nil {
		return f, err
	}
	f.goal, err = f.Misfit.Goal(usual(limits.Tolerances()))
	return f, err
}

// usual fills in tolerances that a rule leaves open: half a millimetre for gap
// and centre, one in a thousand for tilt, half a degree for holes (own choice).
func usual(t piping.GoalTolerance) piping.GoalTolerance {
	if t.Gap == 0 {
		t.Gap = 0.5 * align.Millimetre
	}
	if t.Offset == 0 {
		t.Offset = 0.5 * align.Millimetre
	}
	if t.Tilt == 0 {
		t.Tilt = 1e-3
	}
	if t.Rotation == 0 {
		t.Rotation = 0.5 * 0.017453292519943295
	}
	return t
}

// compromise finds where the whole machine would have to go.
func (a *answer) compromise() error {
	if len(a.joints) == 0 {
		return nil
	}
	c := piping.Compromise{Free: piping.AllWays(), About: align.Place{X: a.tests[0].Coupling[0], Y: a.tests[0].Shaft.Y, Z: a.tests[0].Shaft.Z}}
	for _, f := range a.joints {
		c.Goals = append(c.Goals, f.goal)
	}
	fit, err := c.Solve()
	a.fit = &fit
	return align.In(err, "flanges")
}
