package worksheet

import (
	"fmt"
	"math"

	"collinear.example/align"
	"collinear.example/tolerance"
	"gonum.org/v1/gonum/unit"
)

const topicLimits topic = "limits chosen"

// graded is one set of readings held against one set of limits, standing cold, in
// a state, or as it was read hot.
type graded struct {
	limits, set int
	when        string // "cold", "hot" or the name of a state
	verdict     string
	open        []string // tables of the set that could not be applied
	err         error
	id          string
}

// limits holds every set of readings against the limits chosen for its coupling,
// standing cold and in every state, at the running speed.
func (e *evaluator) limits() {
	for i := range e.Limits {
		l, path := &e.Limits[i], at("limits", i)
		s := source{part: PartLimits, of: "limits " + l.Set + ", coupling " + l.Coupling, topic: topicLimits, about: l.Coupling}.from(path)
		set, err := tolerance.FindSet(l.Set)
		if err != nil {
			e.failed(s, path, "set of limits", align.In(err, path+".set"))
			continue
		}
		e.words(s, path, "chosen", set.Title, weighs(sound))
		for k := range e.placed {
			if e.placed[k].coupling.Name == l.Coupling && e.placed[k].err == nil {
				e.gradeSet(s, i, k, &set)
			}
		}
	}
}

// gradeSet holds one set of readings against one set of limits.
func (e *evaluator) gradeSet(s source, i, k int, set *tolerance.Set) {
	p := &e.placed[k]
	id := fmt.Sprintf("limits[%d].sets[%d]", i, k)
	if !p.pos.VerticalKnown || !p.pos.HorizontalKnown {
		e.failed(s, id, "misalignment against the limits", fault(at("sets", k), "one plane only", align.ErrUndetermined))
		e.grades = append(e.grades, graded{limits: i, set: k, err: align.ErrUndetermined, id: id})
		return
	}
	if e.Sets[k].Stage == HotCheck {
		e.gradeAxis(s, i, k, -1, "hot", id+".hot", p.pos.Axis, set)
		return
	}
	e.gradeAxis(s, i, k, -1, "cold", id+".cold", p.pos.Axis, set)
	for j := range e.running {
		here := at(id+".states", j)
		st, err := e.running[j].at(p.coupling)
		var run align.Axis
		if err == nil {
			run, err = st.Position(p.pos.Axis)
		}
		if err != nil {
			e.failed(s, here, "misalignment in "+e.running[j].name, err)
			e.grades = append(e.grades, graded{limits: i, set: k, when: e.running[j].name, err: err, id: here})
			continue
		}
		e.gradeAxis(s, i, k, j, e.running[j].name, here, run, set)
	}
}

// geometry is what the tables must know of the machine.
func (e *evaluator) geometry(c *Coupling, size string) (g tolerance.Geometry, err error) {
	p := e.flexPlaces(c)
	if len(p) == 0 {
		return g, fault(e.couplingPath(c)+".flexPlanes", "", align.ErrMissing)
	}
	g.Size, g.NearFlex, g.FarFlex = size, p[0].x, p[len(p)-1].x
	g.NearFace, g.FarFace = g.NearFlex, g.FarFlex
	if e.Train.Speed != nil {
		g.Speed = unit.Frequency(e.Units.Speed.SI(*e.Train.Speed))
	}
	return g, nil
}

// gradeAxis holds one misalignment against one set of limits, table by table. It
// is that in a state, or that as read when state is negative.
func (e *evaluator) gradeAxis(s source, i, k, state int, when, id string, a align.Axis, set *tolerance.Set) {
	p := &e.placed[k]
	s = s.by("the misalignment as the quantity that the table limits, at the running speed", "tolerance.Set.Grade").
		from(at("limits", i)).and(e.wholeSet(k)...).and(e.flexInputs(p.coupling)...)
	if e.Train.Speed != nil {
		s = s.and("train.speed")
	}
	if state >= 0 {
		s = s.and(at("states", state))
	}
	words := whenWords(when)
	if when == "cold" && len(e.running) > 0 {
		words += " (the running states decide)" // set for them, the cold shafts need not be in line
	}
	s.of = e.setWords(k) + ", " + words + ", against " + set.ID
	s.topic = ""
	out := graded{limits: i, set: k, when: when, id: id}
	g, err := e.geometry(p.coupling, e.Limits[i].Size)
	var sg tolerance.SetGrade
	if err == nil {
		sg, err = set.Grade(tolerance.Readings{Misalignment: a}, g)
		err = align.In(err, at("limits", i))
	}
	for _, u := range sg.Ungraded {
		out.open = append(out.open, u.Table)
		e.failed(s, id+"."+u.Table, "table "+u.Table, align.In(u.Err, at("limits", i)))
	}
	if err == nil {
		out.verdict = Within
		for _, one := range sg.Grades {
			out.verdict = worse(out.verdict, e.gradeTable(s, id, set, one, a, p))
		}
		out.verdict = worse(out.verdict, e.shareOfSet(s, id, set, sg))
	} else {
		out.err = err
		e.failed(s.on(topicLimits, p.coupling.Name), id, "misalignment against the limits", err)
	}
	e.grades = append(e.grades, out)
}

func whenWords(when string) string {
	switch when {
	case "cold":
		return "standing cold"
	case "hot":
		return "as read hot"
	}
	return "running: " + when
}

// worse is the worse of two verdicts.
func worse(a, b string) string {
	switch {
	case a == Over || b == Over:
		return Over
	case a == CannotTell || b == CannotTell:
		return CannotTell
	}
	return Within
}

// gradeTable adds one table's grade, with the uncertainty taken in where it is
// known.
func (e *evaluator) gradeTable(s source, id string, set *tolerance.Set, one tolerance.Grade, a align.Axis, p *placed) string {
	f := judged(one.Verdict, plain)
	verdict := Over
	if one.Within {
		verdict = Within
	}
	words := measuredWords(one.Measured, e)
	more := []option{f, weighs(plain)}
	if t, err := set.Table(one.Table); err == nil {
		edition := t.Edition
		more = append(more, func(f *Finding) { f.Limit.Edition, f.Limit.Table = edition, one.Table })
		if d := e.decide(t, one, a, p); d != nil {
			verdict = map[tolerance.Outcome]string{tolerance.Pass: Within, tolerance.Fail: Over}[d.Outcome]
			if verdict == "" {
				verdict = CannotTell
			}
			words += "; probability of being within: " + likelihood(d.Conforms)
			more = append(more, uncertain(d.Sigma))
		}
	}
	more = append(more, func(f *Finding) { f.Verdict = verdict }, advice(words), warned(id, one.Flags.Warnings(one.Table)), weighs(plain))
	u := e.Units.Reading
	if one.Limit.Unit.Dimension() != align.LengthDim {
		u = e.Units.slopeUnit()
	}
	e.number(s, id+"."+one.Table, one.Limit.Name, one.Measured.Value, u, more...)
	return verdict
}

func measuredWords(m tolerance.Measured, e *evaluator) string {
	out := "governed by the " + m.Plane.String() + " plane"
	if m.Plane == tolerance.BothPlanes {
		out = "both planes together"
	}
	if m.AtStation {
		out += ", at station " + e.Units.Length.Format(float64(m.Station), 1)
	}
	return out
}

// shareOfSet adds the share of the whole set where its tables count together.
func (e *evaluator) shareOfSet(s source, id string, set *tolerance.Set, sg tolerance.SetGrade) string {
	verdict := Over
	if sg.Within {
		verdict = Within
	}
	says := "largest share of a limit that is used"
	if set.Combine == tolerance.SharesAdd {
		says = "sum of the shares of the limits that are used"
	}
	e.number(s.by("found over limit", "tolerance.Combine.Share"), id+".share", says, sg.Share, align.UnitOne, func(f *Finding) { f.Verdict = verdict })
	if set.Combine != tolerance.SharesAdd {
		return Within // each table has said its own
	}
	return verdict
}

// decide weighs the uncertainty of the readings. What a table takes of offset or
// slope is a multiple of it, and its uncertainty the same multiple.
func (e *evaluator) decide(t *tolerance.Table, one tolerance.Grade, a align.Axis, p *placed) *tolerance.Decision {
	m := one.Measured
	if p.pos.SigmaFrom == align.SigmaUnknown || round(float64(p.pos.Sigma)) == 0 && p.pos.SigmaFrom == align.SigmaResiduals || m.Plane == tolerance.NoPlane {
		return nil
	}
	n := tolerance.Normal2{Vertical: a.Slope().Vertical, Horizontal: a.Slope().Horizontal,
		SigmaVertical: p.pos.SlopeSigma().Vertical, SigmaHorizontal: p.pos.SlopeSigma().Horizontal}
	if m.AtStation {
		n = tolerance.NormalOf(a.At(m.Station), p.pos.OffsetSigma(m.Station))
	}
	raw, sigma := n.Vertical, n.SigmaVertical
	if m.Plane == tolerance.HorizontalPlane {
		raw, sigma = n.Horizontal, n.SigmaHorizontal
	}
	size := math.Abs(raw)
	if t.Planes == tolerance.Resultant {
		size = math.Hypot(n.Vertical, n.Horizontal)
	}
	if size == 0 {
		return nil // in line to the last digit: the multiple is not known
	}
	k := m.Value / size
	var d tolerance.Decision
	var err error
	if t.Planes == tolerance.Resultant {
		n.Vertical, n.Horizontal, n.SigmaVertical, n.SigmaHorizontal = k*n.Vertical, k*n.Horizontal, k*n.SigmaVertical, k*n.SigmaHorizontal
		d, err = tolerance.DecideResultant(one.Limit, n, tolerance.GuardOneSided)
	} else {
		d, err = tolerance.Decide(one.Limit, k*raw, k*sigma, tolerance.GuardOneSided)
	}
	if err != nil {
		return nil
	}
	return &d
}

// likelihood says a probability in words that claim no certainty.
func likelihood(p float64) string {
	switch {
	case p > 0.99:
		return "over 99 %"
	case p < 0.01:
		return "under 1 %"
	}
	return fmt.Sprintf("%.0f %%", 100*p)
}
