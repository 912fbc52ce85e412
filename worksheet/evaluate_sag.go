package worksheet

import (
	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

const topicSag topic = "sag of the brackets"

// sags works out the tests of the brackets, and says which dials have none.
func (e *evaluator) sags() {
	for i, t := range e.Sag {
		path := at("sag", i)
		s := source{part: PartSag, of: "bracket " + t.Bracket, topic: topicSag}.
			by("roll-over reading, zero at 12 and read at 6; a single deflection is half of it", "align.Sag").from(path)
		sag := e.sagTest(t)
		roll, ok := sag.RollOver()
		if !ok {
			e.failed(s, path, "sag", fault(path+".reading", "", align.ErrMissing))
			continue
		}
		e.length(s, path+".roll-over", "roll-over reading", roll, signed("reads plus: no bracket rises under its own weight", "droops"))
		e.length(s, path+".droop", "how far the dial hangs down", sag.Droop(), signed("hangs down", "stands up"))
	}
	for i := range e.Train.Couplings {
		e.sagsOf(&e.Train.Couplings[i])
	}
}

// sagTest is a test as package align has it.
func (e *evaluator) sagTest(t SagTest) align.Sag {
	r := unit.Length(e.Units.reading(t.Reading))
	if t.Kind == singleDeflection {
		return align.SingleDeflection(r)
	}
	return align.RollOver(r)
}

// sagFor is the sag of a bracket by name; not measured where there is no test.
func (e *evaluator) sagFor(bracket string) align.Sag {
	for _, t := range e.Sag {
		if bracket != "" && t.Bracket == bracket {
			return e.sagTest(t)
		}
	}
	return align.Sag{}
}

// sagsOf goes through the dials of the last set at a coupling.
func (e *evaluator) sagsOf(c *Coupling) {
	k, ok := e.lastSet(c.Name)
	if !ok {
		return
	}
	for d := range e.Sets[k].Dials {
		dial, path := &e.Sets[k].Dials[d], dialPath(k, d)
		s := source{part: PartSag, of: "coupling " + c.Name, topic: topicSag, about: c.Name}.from(path + ".bracket").and(e.sagInputs(dial)...)
		says := dialWords(c, dial) + ", sag of its bracket"
		if dial.Bracket == "" {
			e.words(s.from(path), path+".sag", says, "not measured, which is not none: try it on a stiff mandrel", weighs(stops))
			continue
		}
		words, about := "measured: "+dial.Bracket, sagWarnings(e.placed[k].warningsOf(d))
		w := sound
		if len(about) > 0 {
			words, w = words+"; look at that test again", suspect
		}
		e.words(s, path+".sag", says, words, warned(at("sets", k), about), weighs(w))
	}
}

// sagWarnings are those about the test of a bracket.
func sagWarnings(ws []align.Warning) (out []align.Warning) {
	for _, w := range ws {
		if w.Code == align.WarnSagPositive || w.Code == align.WarnSagSize {
			out = append(out, w)
		}
	}
	return out
}

// lastSet is the last set of readings at a coupling standing cold; of a coupling
// that was only read hot, the last of those.
func (e *evaluator) lastSet(coupling string) (last int, ok bool) {
	for i := range e.Sets {
		if e.Sets[i].Coupling == coupling && (!ok || e.Sets[i].Stage != HotCheck || e.Sets[last].Stage == HotCheck) {
			last, ok = i, true
		}
	}
	return last, ok
}

// dialWords says which dial it is.
func dialWords(c *Coupling, d *Dial) string {
	on := c.Near
	if d.On == onFar {
		on = c.Far
	}
	switch d.Touches {
	case faceToward:
		return "face dial on the hub of " + on
	case faceAway:
		return "face dial on the back of the hub of " + on
	}
	return "rim dial on the hub of " + on
}
