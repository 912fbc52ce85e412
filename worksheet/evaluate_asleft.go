package worksheet

import (
	"strings"

	"collinear.example/align"
)

// asLeft sums up how each coupling was left.
func (e *evaluator) asLeft() {
	for i := range e.Train.Couplings {
		c := &e.Train.Couplings[i]
		id := at("as-left.couplings", i)
		s := source{part: PartAsLeft, of: "coupling " + c.Name, about: c.Name}.from(at("train.couplings", i)).by("the worst of what counts: the running states where the record has them, standing cold otherwise", "tolerance.Set.Grade")
		k, ok := e.lastOf(c.Name, AsLeft)
		if !ok {
			e.words(s, id, "verdict as left", "no set of readings as left")
			continue
		}
		s = s.from(at("sets", k))
		if len(e.running) > 0 {
			s = s.and("states")
		}
		if e.placed[k].err != nil {
			e.failed(s, id, "verdict as left", e.placed[k].err)
			continue
		}
		e.verdictOf(s, id, k)
	}
}

func (e *evaluator) lastOf(coupling, stage string) (last int, ok bool) {
	for i := range e.Sets {
		if e.Sets[i].Coupling == coupling && e.Sets[i].Stage == stage {
			last, ok = i, true
		}
	}
	return last, ok
}

// verdictOf is the verdict on one set by every set of limits chosen.
func (e *evaluator) verdictOf(s source, id string, k int) {
	verdict, open, said := Within, []string{}, []string{}
	for _, g := range e.grades {
		if g.set != k || len(e.running) > 0 && g.when == "cold" {
			continue
		}
		name := e.Limits[g.limits].Set
		if g.when != "" {
			name += ", " + whenWords(g.when)
		}
		if g.err != nil {
			open = append(open, name+" ("+align.CodeOf(g.err)+")")
			continue
		}
		for _, t := range g.open {
			open = append(open, "table "+t)
		}
		verdict = worse(verdict, g.verdict)
		said = append(said, name+": "+strings.ReplaceAll(g.verdict, "-", " "))
		s = s.and(at("limits", g.limits))
	}
	words := strings.Join(said, "; ")
	switch {
	case len(said) == 0 && len(open) == 0:
		words = "no limits chosen: nobody can say"
	case len(open) > 0:
		words = joinedBy("; ", words, "could not be applied: "+strings.Join(open, ", "))
	}
	e.words(s, id, "verdict as left", words, func(f *Finding) {
		if len(said) > 0 {
			f.Verdict = verdict
		}
		if len(open) > 0 && verdict == Within && len(said) > 0 {
			f.Verdict = CannotTell
		}
	})
}
