package worksheet

import (
	"math"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

const topicReadings topic = "readings that close"

// sets adds what every set of readings says.
func (e *evaluator) sets() {
	for i := range e.placed {
		p := &e.placed[i]
		path := at("sets", i)
		formula, doc := methodWords(e.Sets[i].Method)
		s := source{part: PartSets, of: e.setWords(i)}.by(formula, doc).from(e.setInputs(i)...)
		last, _ := e.lastSet(p.coupling.Name)
		checks := s
		if last == i { // an earlier set stands in no one's way
			checks = s.on(topicReadings, p.coupling.Name)
		}
		if p.err != nil {
			e.failed(checks, path, "position of the shafts", p.err, weighs(stops))
			continue
		}
		e.dialChecks(checks, path, p)
		e.positions(s, path, p)
		e.setSummary(checks, path, p)
		e.footMoves(s, path, p)
	}
}

func (e *evaluator) setInputs(i int) (out []string) {
	for d := range e.Sets[i].Dials {
		out = append(out, dialPath(i, d)+".readings", dialPath(i, d)+".station")
		if e.Sets[i].Dials[d].Touches != rimDial {
			out = append(out, dialPath(i, d)+".diameter")
		}
		out = append(out, e.sagInputs(&e.Sets[i].Dials[d])...)
	}
	if e.Sets[i].Sigma != nil {
		out = append(out, at("sets", i)+".sigma")
	}
	return unique(out)
}

// sagInputs is the test of a dial's bracket.
func (e *evaluator) sagInputs(d *Dial) (out []string) {
	for k, t := range e.Sag {
		if t.Bracket == d.Bracket {
			out = append(out, at("sag", k))
		}
	}
	return out
}

// wholeSet is a set with the tests of its brackets.
func (e *evaluator) wholeSet(i int) []string {
	out := []string{at("sets", i)}
	for d := range e.Sets[i].Dials {
		out = append(out, e.sagInputs(&e.Sets[i].Dials[d])...)
	}
	return unique(out)
}

// checkLimit is a limit of the validity checks.
func checkLimit(name string, v unit.Length) align.Limit {
	return align.Limit{Name: name, Value: align.UnitMillimetre.FromSI(float64(v)), Unit: align.UnitMillimetre, Source: "common practice, no source", Known: align.CommonPractice}
}

// dialChecks adds whether each dial closed, whether its readings agree and how far
// they lie from the position found.
func (e *evaluator) dialChecks(s source, path string, p *placed) {
	limits := align.DefaultChecks()
	residuals := p.pos.Residuals
	for d := range p.dials {
		dial := &p.dials[d]
		id, says := dialPath(p.set, d), dialWords(p.coupling, &e.Sets[p.set].Dials[d])
		here := s.from(id + ".readings")
		n := len(dial.Sweep)
		if c, ok := dial.Sweep.Closure(); ok {
			n--
			e.heldTo(here.by("closing reading less the first", "align.Sweep.Closure"), id+".closure", says+", closing reading less the first",
				c, checkLimit("closure of a dial", limits.Closure), signed("reads more", "reads less"))
		} else {
			e.words(here, id+".closure", says+", closing reading", "not taken", weighs(unseen))
		}
		if sum, ok := dial.Sweep.SumRule(); ok {
			curved := s.by("top plus bottom less left and right, less what the curved rim lets expect", "align.Dial.ExpectedSumRule")
			if dial.Surface == align.Rim && dial.Diameter > 0 {
				curved = curved.and(id + ".diameter")
			}
			e.heldTo(curved, id+".sum-rule",
				says+", top and bottom against left and right", sum-dial.ExpectedSumRule(p.pos.Axis), checkLimit("sum rule", limits.SumRule), signed("top and bottom read more", "top and bottom read less"))
		}
		worst := farthest(residuals[:n])
		residuals = residuals[n:]
		if p.pos.DoF > 0 {
			e.heldTo(s.by("reading less what the position explains", "align.Position"), id+".residual", says+", reading farthest from the position",
				worst, checkLimit("residual of a reading", limits.Residual), signed("reads more", "reads less"))
		}
		if ws := e.notSaid(p, p.warningsOf(d)); len(ws) > 0 {
			e.words(here, id+".warnings", says, lookAgain, warned(path, ws))
		}
	}
}

// farthest is the residual of the largest size, of equal ones the first. Four
// readings leave the same size four times, so that the last digits must not pick.
func farthest(residuals []unit.Length) (worst unit.Length) {
	for _, r := range residuals {
		if math.Abs(float64(r)) > math.Abs(float64(worst))+float64(hair) {
			worst = r
		}
	}
	return worst
}

// heldTo adds a value with a limit. What is over blocks: the readings are to be
// taken again.
func (e *evaluator) heldTo(s source, id, says string, v unit.Length, l align.Limit, more ...option) {
	verdict, err := l.Judge(float64(v))
	if err != nil {
		e.failed(s, id, says, err)
		return
	}
	e.length(s, id, says, v, append(more, judged(verdict, stops))...)
}

// notSaid leaves out the warnings that are said elsewhere with their numbers: by
// dialChecks, and those about brackets by sagsOf, which looks at the last set.
func (e *evaluator) notSaid(p *placed, ws []align.Warning) (out []align.Warning) {
	last, _ := e.lastSet(p.coupling.Name)
	for _, w := range ws {
		switch w.Code {
		case align.WarnClosure, align.WarnSumRule, align.WarnResidual:
		case align.WarnSagPositive, align.WarnSagSize, align.WarnSagNotMeasured:
			if p.set != last {
				out = append(out, w)
			}
		default:
			out = append(out, w)
		}
	}
	return out
}

// positions adds offsets at the dials and at the flex planes, the slope, and the
// angles at the flex planes.
func (e *evaluator) positions(s source, path string, p *placed) {
	flex := e.flexPlaces(p.coupling)
	places := flex
	for d := range p.dials {
		if p.dials[d].Surface == align.Rim {
			places = append(places, place{id: at("dials", d), says: "the " + dialWords(p.coupling, &e.Sets[p.set].Dials[d]), x: p.dials[d].Station})
		}
	}
	far := p.coupling.Far + " stands"
	for _, pl := range bothOfThem {
		if !p.known(pl) {
			e.words(s, path+".offset."+pl.name, "position in the "+pl.name+" plane", "the clock positions read do not show it", weighs(plain))
			continue
		}
		for i, x := range places {
			here := s
			if i < len(flex) {
				here = s.and(e.flexInputs(p.coupling)...)
			}
			e.length(here, path+".offset."+x.id+"."+pl.name, p.coupling.Far+" against "+p.coupling.Near+" at "+x.says+", "+pl.name,
				pl.of(p.pos.At(x.x)), upRight(pl.vertical, far), uncertain(pl.sigmaOf(p.pos.OffsetSigma(x.x))))
		}
		e.slope(s, path+".slope."+pl.name, "slope of "+p.coupling.Far+" against "+p.coupling.Near+", "+pl.name, pl.slopeOf(p.pos.Slope()),
			slopeWords(pl), uncertain(pl.slopeOf(p.pos.SlopeSigma())))
	}
	if len(p.coupling.FlexPlanes) == 2 && p.pos.VerticalKnown && p.pos.HorizontalKnown {
		e.flexAngles(s, path, p)
	}
}

func (e *evaluator) flexAngles(s source, path string, p *placed) {
	places := e.flexPlaces(p.coupling)
	s = s.by("angle at one flex plane = offset at the other over their distance", "align.Axis.FlexAngles").and(e.flexInputs(p.coupling)...)
	a, err := p.pos.FlexAngles(align.Spool{NearFlex: places[0].x, FarFlex: places[1].x})
	if err != nil {
		e.failed(s, path+".angle", "angles at the flex planes", align.In(err, e.couplingPath(p.coupling)))
		return
	}
	e.slope(s, path+".angle.flex-near", "angle at the near flex plane, both planes together", a.Near.Resultant())
	e.slope(s, path+".angle.flex-far", "angle at the far flex plane, both planes together", a.Far.Resultant())
}

// setSummary says how well the position is known.
func (e *evaluator) setSummary(s source, path string, p *placed) {
	switch {
	case p.pos.SigmaFrom == align.SigmaUnknown:
	case round(float64(p.pos.Sigma)) == 0: // so small a scatter says nothing of the next reading
		e.words(s.on("", ""), path+".reading-sigma", "standard uncertainty of one reading, "+p.pos.SigmaFrom.String(), "not known: the readings fit to the last digit")
	default:
		e.length(s.on("", ""), path+".reading-sigma", "standard uncertainty of one reading, "+p.pos.SigmaFrom.String(), p.pos.Sigma)
	}
	if ws := p.otherWarnings(); len(ws) > 0 {
		e.words(s, path+".warnings", "the set as a whole", lookAgain, warned(path, ws))
	}
}
