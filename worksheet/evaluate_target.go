package worksheet

import (
	"strings"

	"collinear.example/align"
	"collinear.example/thermal"
	"gonum.org/v1/gonum/unit"
)

// evenLimit makes both planes of a coupling count alike in the search for a cold
// target: the target is the middle of what the states ask, whatever the limit.
const evenLimit = align.Millimetre

// coldTarget is the misalignment to set when cold so that the states are served
// best: in line without states, minus the movement for one, the middle for
// several.
func (e *evaluator) coldTarget(c *Coupling) (a align.Axis, words string, err error) {
	if len(e.running) == 0 {
		return a, "in line when standing cold", nil
	}
	var cases []thermal.Case
	for i := range e.running {
		st, err := e.running[i].at(c)
		if err != nil {
			return a, "", err
		}
		cases = append(cases, thermal.Case{State: st})
	}
	if len(cases) == 1 {
		a, err = cases[0].ColdTarget()
		return a, "to the cold target for " + cases[0].Name, err
	}
	x1, x2, err := e.targetPlaces(c)
	if err != nil {
		return a, "", err
	}
	t, err := thermal.BestColdTarget(cases, thermal.Criterion{
		Near: thermal.LimitAt{Station: x1, Limit: evenLimit}, Far: thermal.LimitAt{Station: x2, Limit: evenLimit}, Mode: thermal.Resultant,
	})
	return t.Axis, "to the cold target that serves all states best", err
}

// targetPlaces are the two stations at which states are weighed: the flex planes,
// or else the feet on both sides of the coupling.
func (e *evaluator) targetPlaces(c *Coupling) (x1, x2 unit.Length, err error) {
	if p := e.flexPlaces(c); len(p) == 2 {
		return p[0].x, p[1].x, nil
	}
	i, _ := e.machine(c.Near)
	k, _ := e.machine(c.Far)
	if len(e.Train.Machines[i].Feet) == 0 || len(e.Train.Machines[k].Feet) == 0 {
		return 0, 0, fault(e.couplingPath(c)+".flexPlanes", "", align.ErrMissing)
	}
	_, last := ends(&e.Train.Machines[i])
	first, _ := ends(&e.Train.Machines[k])
	return unit.Length(e.Units.length(last)), unit.Length(e.Units.length(first)), nil
}

// targetOf is what the shafts of a set should show: a set read hot is to be in
// line as it stands.
func (e *evaluator) targetOf(p *placed) (align.Axis, string, error) {
	if e.Sets[p.set].Stage == HotCheck {
		return align.Axis{}, "in line as it runs", nil
	}
	return e.coldTarget(p.coupling)
}

// coldTargets adds the cold target of every coupling.
func (e *evaluator) coldTargets() {
	if len(e.running) == 0 {
		return
	}
	for i := range e.Train.Couplings {
		c := &e.Train.Couplings[i]
		s := source{part: PartStates, of: "cold target of coupling " + c.Name, topic: topicStates, about: c.Name}.
			by("target(x) = -(far movement(x) - near movement(x)); of several states the middle at each flex plane", "thermal.BestColdTarget").from("states", e.couplingPath(c))
		a, words, err := e.coldTarget(c)
		id := at("cold-target.couplings", i)
		if err != nil {
			e.failed(s, id, "cold target", err)
			continue
		}
		e.axisAt(s, id, strings.TrimPrefix(words, "to ")+": "+c.Far+" against "+c.Near, a, e.flexPlaces(c), nil)
	}
}
