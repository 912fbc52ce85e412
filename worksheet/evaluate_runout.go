package worksheet

import (
	"fmt"

	"collinear.example/align"
	"collinear.example/runout"
	"gonum.org/v1/gonum/unit"
)

const (
	topicShaft topic = "runout of the shaft"
	topicHub   topic = "runout of the hub"
	topicGaps  topic = "gaps of the hubs"
)

// sweepOf is a list of readings as package align has it.
func (e *evaluator) sweepOf(rs []Reading) align.Sweep {
	out := make(align.Sweep, len(rs))
	for i, r := range rs {
		out[i] = align.Reading{At: align.Clock(r.At), Value: unit.Length(e.Units.reading(r.Value))}
	}
	return out
}

// turnChecks are the defaults of package runout, with room for the rounding of unit
// conversion.
func turnChecks() runout.SweepChecks {
	c := align.DefaultChecks()
	return runout.SweepChecks{Closure: c.Closure + hair, Residual: c.Residual + hair, Shape: 0.02*align.Millimetre + hair}
}

// runouts works out every sweep of a shaft or a hub.
func (e *evaluator) runouts() {
	for i := range e.Runout {
		r, path := &e.Runout[i], at("runout", i)
		s := source{part: PartRunout, of: r.Machine + ", " + partWords(r.Part), topic: topicHub, about: r.Machine}.from(path + ".readings")
		if r.Part == shaftPart {
			s.topic = topicShaft
		}
		if r.Part == hubFacePart {
			e.faceRunout(s, path, r)
			continue
		}
		s = s.by("first harmonic by least squares; the total indicator reading is largest less smallest", "runout.NewSection")
		sec, err := runout.NewSection(e.sweepOf(r.Readings), turnChecks())
		if err != nil {
			e.failed(s, path, "sweep", align.In(err, path))
			continue
		}
		e.turned(s, path, sec.Turn, e.runoutLimit(s, path, r, sec.TIR))
		e.length(s, path+".eccentricity", "eccentricity: half of what the first harmonic reads", sec.Eccentricity(),
			advice(fmt.Sprintf("high spot at mark %.0f deg", round(float64(sec.HighSpot())))))
		if sec.Second.Seen == runout.Full {
			e.length(s, path+".ovality", "ovality: second harmonic of the radius", sec.Ovality())
		}
	}
}

func partWords(part string) string {
	switch part {
	case hubRimPart:
		return "rim of the hub"
	case hubFacePart:
		return "face of the hub"
	}
	return "shaft"
}

// turned adds what rims and faces have in common.
func (e *evaluator) turned(s source, path string, t runout.Turn, limit []option) {
	e.length(s, path+".tir", "total indicator reading", unit.Length(t.TIR), append(limit, warned(path, t.Warnings))...)
	if t.Closes {
		e.length(s, path+".closure", "closing reading less the first", t.Closure, signed("reads more", "reads less"))
	}
	e.length(s, path+".off", "largest departure of a reading from the first harmonic", t.Off.Worst)
}

func (e *evaluator) faceRunout(s source, path string, r *RunoutSweep) {
	s = s.by("first harmonic by least squares over the swept diameter; the rest is warp", "runout.FaceSweep.Solve").from(path+".readings", path+".diameter")
	f, err := runout.FaceSweep{Sweep: e.sweepOf(r.Readings), Diameter: unit.Length(e.Units.length(r.Diameter)), Checks: turnChecks()}.Solve()
	if err != nil {
		e.failed(s, path, "sweep of the face", align.In(err, path))
		return
	}
	e.turned(s, path, f.Turn, []option{e.noRunoutLimit()})
	e.slope(s, path+".tilt", "tilt of the face to the axis of turning", f.Tilt().Resultant())
}

func (e *evaluator) noRunoutLimit() option {
	return func(f *Finding) { f.weight, f.Words = suspect, "held against no limit" }
}

// runoutLimit holds a total indicator reading against the limit that the record
// names.
func (e *evaluator) runoutLimit(s source, path string, r *RunoutSweep, tir align.TIR) []option {
	if r.Limit == "" {
		return []option{e.noRunoutLimit()}
	}
	if rule, err := runout.NamedRule(r.Limit); err == nil {
		return e.ruleOf(s, path, r, rule, tir)
	}
	l, err := runout.ShaftLimit(runout.Standard(r.Limit), unit.Length(e.Units.length(r.Diameter)))
	if err != nil {
		e.failed(s.by("limit by the diameter of the shaft", "runout.ShaftLimit").from(path+".diameter", path+".limit"),
			path+".limit", "limit of the runout", align.In(err, path))
		return []option{e.noRunoutLimit()}
	}
	v, err := l.Judge(float64(tir))
	if err != nil {
		e.failed(s, path+".limit", "limit of the runout", align.In(err, path))
		return nil
	}
	return []option{also(path+".limit", path+".diameter"), judged(v, stops), advice("the limit holds for a dial at: " + l.Place)}
}

// ruleOf applies a handbook's rule: the hub first, and if it is over, the shaft
// beside it.
func (e *evaluator) ruleOf(s source, path string, r *RunoutSweep, rule runout.HandbookRule, tir align.TIR) []option {
	limit := rule.Hub
	if r.Part == shaftPart {
		limit = rule.Shaft
	}
	v, err := limit.Judge(float64(tir))
	if err != nil {
		e.failed(s, path+".limit", "limit of the runout", align.In(err, path))
		return nil
	}
	out := []option{also(path + ".limit"), judged(v, stops)}
	if r.Part == shaftPart {
		return out
	}
	shaft, from := e.shaftBeside(r.Machine)
	found, err := rule.Decide(tir, shaft)
	if err != nil {
		e.failed(s, path+".rule", "rule for the hub", align.In(err, path))
		return out
	}
	return append(out, also(from...), advice(ruleWords(found)))
}

// shaftBeside is the total indicator reading of the machine's shaft and where its
// readings stand, nil when it was not swept.
func (e *evaluator) shaftBeside(machine string) (tir *align.TIR, from []string) {
	for i, r := range e.Runout {
		if r.Machine != machine || r.Part != shaftPart {
			continue
		}
		if sec, err := runout.NewSection(e.sweepOf(r.Readings), turnChecks()); err == nil {
			return &sec.TIR, []string{at("runout", i) + ".readings"}
		}
	}
	return nil, nil
}

func ruleWords(f runout.Finding) string {
	switch f {
	case runout.ReadShaft:
		return "read the shaft beside the hub"
	case runout.HubEccentric:
		return "the hub is bored off centre: replace or re-bore it"
	case runout.StraightenShaft:
		return "straighten or replace the shaft"
	}
	return "go on"
}
