package worksheet

import (
	"slices"
	"strings"

	"collinear.example/align"
	"collinear.example/softfoot"
	"gonum.org/v1/gonum/unit"
)

const topicFeet topic = "feet"

// feelerStep is what feelers can tell apart: a departure from the plane that is
// less says nothing (common practice, no source).
const feelerStep = 0.025 * align.Millimetre

// footCounts is the gap or rise of a foot over which it counts (API RP 686, as
// package softfoot quotes it).
const footCounts = 0.05 * align.Millimetre

// feet works out the gaps and the rises of every foot, and how each machine sits.
func (e *evaluator) feet() {
	means := map[[2]string]unit.Length{}
	for i := range e.Gaps {
		g := &e.Gaps[i]
		if w, ok := e.footGap(at("gaps", i), g); ok {
			means[[2]string{g.Machine, g.Foot}] = max(w.Mean, 0)
		}
	}
	for i := range e.Rises {
		e.footRise(i)
	}
	for i := range e.Train.Machines {
		m := &e.Train.Machines[i]
		e.rises(at("train.machines", i)+".rises", m)
		e.seat(at("train.machines", i), m, means)
		e.unreadFeet(at("train.machines", i), m)
	}
}

func footName(machine, foot string) string { return machine + ", foot " + foot }

// footGap works out the gap under one foot.
func (e *evaluator) footGap(path string, g *FootGaps) (softfoot.Wedge, bool) {
	s := source{part: PartFeet, of: footName(g.Machine, g.Foot), topic: topicFeet, about: g.Machine}.
		by("plane through the four corner gaps by least squares", "softfoot.FootFace.Wedge").from(path)
	r := func(v float64) unit.Length { return unit.Length(e.Units.reading(v)) }
	face := softfoot.FourCorners(unit.Length(e.Units.length(g.Length)), unit.Length(e.Units.length(g.Width)),
		softfoot.CornerGaps{FirstLeft: r(g.NearLeft), FirstRight: r(g.NearRight), LastLeft: r(g.FarLeft), LastRight: r(g.FarRight)})
	w, err := face.Wedge()
	if err != nil {
		e.failed(s, path, "gap under the foot", align.In(err, path))
		return w, false
	}
	e.length(s, path+".mean", "mean gap", w.Mean)
	e.length(s, path+".tight", "gap of the plane at the tight corner", w.Tight, signed("open", "presses"))
	e.length(s, path+".open", "gap of the plane at the open corner", w.Open)
	e.length(s, path+".along", "gap at the far edge less gap at the near edge", w.Along, signed("opens toward the last machine", "opens toward the first machine"))
	e.length(s, path+".across", "gap at the right edge less gap at the left edge", w.Across, signed("opens toward 3 o'clock", "opens toward 9 o'clock"))
	e.offPlane(s, path, w)
	both := s
	if k := slices.IndexFunc(e.Rises, func(r FootRises) bool { return r.Machine == g.Machine && r.Foot == g.Foot }); k >= 0 {
		both = s.and(at("rises", k))
	}
	kinds := e.kindOfFoot(both, path, softfoot.FootEvidence{Foot: g.Foot, Face: &face, Rise: e.riseOf(g.Machine, g.Foot)})
	e.shimFor(s, path, w, kinds)
	return w, true
}

// offPlane says what the plane leaves of the gaps. All four corners are off by the
// same, two up and two down: none is the farthest.
func (e *evaluator) offPlane(s source, path string, w softfoot.Wedge) {
	says := "how far the corners are off the plane"
	s = s.by("a quarter of near left and far right less near right and far left", "softfoot.Wedge")
	bent, err := w.CheckFlat(feelerStep)
	if err != nil {
		e.failed(s, path+".off-plane", says, align.In(err, path))
		return
	}
	e.length(s, path+".off-plane", says, w.Twist/4, signed("near left and far right gape more", "near right and far left gape more"), warned(path, withoutField(bent)))
}

// withoutField takes out what a package calls the thing, where its path says it.
func withoutField(ws []align.Warning) []align.Warning {
	for i := range ws {
		ws[i].Field = ""
	}
	return ws
}

func (e *evaluator) riseOf(machine, foot string) *align.Movement {
	for _, r := range e.Rises {
		if r.Machine == machine && r.Foot == foot {
			m := align.Movement(e.Units.reading(r.Rise))
			return &m
		}
	}
	return nil
}

// kindOfFoot says how a foot is soft. What counts is the limit of API RP 686 for
// a foot that moves, the default of package softfoot.
func (e *evaluator) kindOfFoot(s source, path string, ev softfoot.FootEvidence) []softfoot.SoftKind {
	s = s.by("what the gaps and the rise prove; a gap or rise of 0.05 mm counts (API RP 686)", "softfoot.FootEvidence.Diagnose")
	ev.Least = footCounts + hair // what is equal to it does not count, whatever the unit
	d, err := ev.Diagnose()
	if err != nil {
		e.failed(s, path+".kind", "how the foot sits", align.In(err, path))
		return nil
	}
	words, w := "sits, as far as it was looked at", sound
	switch {
	case len(d.Kinds) > 0:
		w = stops
		words = "soft: " + strings.Join(kindWords(d.Kinds), " and ") + " (" + strings.Join(d.Reasons, "; ") + ")"
	case d.CannotTell:
		words, w = "cannot be told", suspect
	}
	if len(d.Missing) > 0 && w != sound {
		words += "; would decide more: " + strings.Join(d.Missing, "; ")
	}
	e.words(s, path+".kind", "how the foot sits", words, weighs(w))
	return d.Kinds
}

func kindWords(ks []softfoot.SoftKind) (out []string) {
	for _, k := range ks {
		out = append(out, string(k))
	}
	return out
}

// footRise holds the rise of one foot against the limit of API RP 686.
func (e *evaluator) footRise(i int) {
	r, path := &e.Rises[i], at("rises", i)
	s := source{part: PartFeet, of: footName(r.Machine, r.Foot), topic: topicFeet, about: r.Machine}.
		by("read directly, never halved", "softfoot.Rises").from(path + ".rise")
	p, err := softfoot.FootProfile("api-686")
	if err != nil || p.Each == nil {
		e.failed(s, path+".rise", "limit of the rise of a foot", fault(path, "api-686", align.ErrMissing))
		return
	}
	v, err := p.Each.Judge(e.Units.reading(r.Rise))
	if err != nil {
		e.failed(s, path+".rise", "rise when its bolt alone is let go", align.In(err, path))
		return
	}
	e.length(s, path+".rise", "rise when its bolt alone is let go, the others tight", unit.Length(e.Units.reading(r.Rise)), upRight(true, "foot goes"), judged(v, stops))
	for _, g := range e.Gaps {
		if g.Machine == r.Machine && g.Foot == r.Foot {
			return // said with its gap
		}
	}
	e.kindOfFoot(s, path, softfoot.FootEvidence{Foot: r.Foot, Rise: e.riseOf(r.Machine, r.Foot)})
}

// rises says which shims the rises of one machine ask for.
func (e *evaluator) rises(id string, m *Machine) {
	var all softfoot.Rises
	var paths []string
	for i, r := range e.Rises {
		if r.Machine == m.Name {
			all.Feet, all.Rise = append(all.Feet, r.Foot), append(all.Rise, align.Movement(e.Units.reading(r.Rise)))
			paths = append(paths, at("rises", i))
		}
	}
	if len(paths) == 0 {
		return
	}
	s := source{part: PartFeet, of: m.Name + ", all feet", topic: topicFeet, about: m.Name}.
		by("each rise less the rise that the feet have in common", "softfoot.Rises.Excess").from(paths...)
	x, err := all.Excess()
	if err != nil {
		e.failed(s, id, "shims by the rises", align.In(err, "rises"), weighs(plain))
		return
	}
	e.length(s, id+".common", "rise that the feet have in common", unit.Length(x.Common), upRight(true, "feet go"))
	e.length(s, id+".spread", "largest rise less the smallest", unit.Length(all.Spread()), warned(id, x.Warnings))
	for k := range all.Feet {
		e.length(s.from(paths[k]), paths[k]+".excess", "first shim to try under "+all.Feet[k], x.Shim[k])
	}
}

// unreadFeet names the feet of a machine of which nothing is known, when
// something is known of others.
func (e *evaluator) unreadFeet(path string, m *Machine) {
	known := map[string]bool{}
	for _, g := range e.Gaps {
		known[g.Foot] = known[g.Foot] || g.Machine == m.Name
	}
	for _, r := range e.Rises {
		known[r.Foot] = known[r.Foot] || r.Machine == m.Name
	}
	var unread []string
	for _, f := range m.Feet {
		if !known[f.Name] {
			unread = append(unread, f.Name)
		}
	}
	if len(unread) == 0 || len(unread) == len(m.Feet) {
		return
	}
	s := source{part: PartFeet, of: m.Name + ", all feet", topic: topicFeet, about: m.Name}.from(path + ".feet")
	e.words(s, path+".feet-not-read", "feet without gap or rise", strings.Join(unread, ", "), weighs(unseen))
}
