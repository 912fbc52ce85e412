package worksheet

import (
	"collinear.example/align"
	"collinear.example/softfoot"
	"gonum.org/v1/gonum/unit"
)

const (
	topicLooked topic = "base and foundation, as looked at"
	topicBase   topic = "level and flatness of the base"
)

// looked takes in what was seen of the base.
func (e *evaluator) looked() {
	if len(e.Record.Looked) == 0 {
		return
	}
	s := source{part: PartBase, of: "what was looked at", topic: topicLooked}.by("what each finding asks for", "softfoot.Observation.Outcome")
	c := softfoot.Checklist{}
	for i, o := range e.Record.Looked {
		one := softfoot.Observation{Item: softfoot.Item(o.Item), Finding: foundWords[o.Finding], Place: o.Place, Note: o.Note}
		c.Observations = append(c.Observations, one)
		here := s.from(at("looked", i))
		out, err := one.Outcome()
		if err != nil {
			e.failed(here, at("looked", i), seenOf(o), err)
			continue
		}
		w, does := sound, "nothing to do"
		switch out {
		case softfoot.Watch:
			w, does = suspect, "note it and look again after the job"
		case softfoot.Repair:
			w, does = stops, "put right before anything is aligned"
		}
		e.words(here, at("looked", i), seenOf(o), o.Finding+": "+does, weighs(w))
	}
	res, err := c.Judge()
	if err != nil {
		e.failed(s, "looked", "checklist of the base", err)
		return
	}
	for _, item := range res.Missing {
		e.words(s.from("looked"), "looked.missing."+string(item), itemWords(item), "nobody looked", weighs(unseen))
	}
}

var foundWords = map[string]softfoot.Finding{"sound": softfoot.Sound, "slight": softfoot.Slight, "severe": softfoot.Severe}

// itemWords says an item of the checklist in words.
func itemWords(i softfoot.Item) string {
	switch i {
	case softfoot.GroutVoids:
		return "voids in the grout"
	case softfoot.GroutCracks:
		return "cracks in the grout"
	case softfoot.ConcreteCrack:
		return "cracks in the foundation"
	case softfoot.AnchorBolts:
		return "anchor bolts"
	case softfoot.HoldDown:
		return "hold-down bolts and washers of the feet"
	case softfoot.Rust:
		return "rust, paint, burrs and dirt on pads and feet"
	case softfoot.ShimCondition:
		return "condition of the shims"
	case softfoot.JackScrews:
		return "jackscrews"
	}
	return string(i)
}

func seenOf(o Observation) string {
	s := itemWords(softfoot.Item(o.Item))
	if o.Place != "" {
		s += ", " + o.Place
	}
	if o.Note != "" {
		s += " (" + o.Note + ")"
	}
	return s
}

// baseSurvey works the heights of the pads out.
func (e *evaluator) baseSurvey() {
	if e.Record.Base == nil {
		return
	}
	s := source{part: PartBase, of: "heights of the pads", topic: topicBase}.
		by("best plane by least squares; flatness by minimum zone", "softfoot.Base.Survey").from("base.points", "base.limits")
	b := softfoot.Base{}
	for _, p := range e.Record.Base.Points {
		b.Points = append(b.Points, softfoot.BasePoint{Pad: p.Pad, Station: unit.Length(e.Units.length(p.Station)),
			Lateral: unit.Length(e.Units.length(p.Lateral)), Height: unit.Length(e.Units.reading(p.Height))})
	}
	survey, err := b.Survey()
	if err != nil {
		e.failed(s, "base", "survey of the base", align.In(err, "base"))
		return
	}
	limits, err := softfoot.BaseProfile(e.Record.Base.Limits)
	if err != nil {
		e.failed(s, "base.limits", "limits of the base", align.In(err, "base.limits"))
	}
	verdicts, err := survey.Judge(limits)
	if err != nil {
		e.failed(s, "base.limits", "limits of the base", align.In(err, "base.limits"))
	}
	e.baseValues(s, survey, verdicts)
}

func (e *evaluator) baseValues(s source, v softfoot.BaseSurvey, verdicts []softfoot.BaseVerdict) {
	held := func(quantity string) option {
		return func(f *Finding) {
			for _, one := range verdicts {
				if one.Quantity == quantity {
					judged(one.Verdict, stops)(f)
				}
			}
		}
	}
	e.slope(s, "base.level-along", "slope of the base along the train", v.Plane.SlopeAlong, held("level-along"), signed("rises toward the last machine", "falls toward the last machine"))
	e.slope(s, "base.level-across", "slope of the base across the train", v.Plane.SlopeAcross, held("level-across"), signed("rises toward 3 o'clock", "falls toward 3 o'clock"))
	e.length(s, "base.elevation", "highest point less the lowest, no plane taken out", v.Elevation, held("elevation"))
	e.length(s, "base.flatness", "flatness, least distance of two parallel planes about all points", v.Flatness)
	e.slope(s, "base.flatness-per-length", "flatness over the longest distance surveyed", v.FlatnessPerLength(), held("flatness"))
	e.length(s, "base.coplanarity", "how far the pads are from one common plane, highest less lowest", v.Coplanarity, held("coplanarity"))
	for i, p := range v.Pads {
		e.length(s, at("base.pads", i)+".off", "pad "+p.Name+", mean height off the best plane", p.Off, upRight(true, ""))
	}
	if len(verdicts) == 0 {
		e.words(s, "base.no-limit", "limits of the base", "the set of limits named holds none of these quantities", weighs(suspect))
	}
}
