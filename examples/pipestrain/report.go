package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"collinear.example/align"
	"collinear.example/internal/page"
	"collinear.example/piping"
	"gonum.org/v1/gonum/unit"
)

type sheet struct {
	page.Page
	a *answer
}

// report prints the whole answer.
func (a *answer) report(units string) string {
	s := &sheet{page.Page{Units: units}, a}
	s.Text("DOES THE PIPE PULL THE MACHINE: " + a.title)
	if a.plant != "" {
		s.Text("Plant: " + a.plant)
	}
	if a.note != "" {
		s.Hang("Note:  ", a.note)
	}
	s.Text(fmt.Sprintf("Machine tested: %s, against %s. Movements are static and read directly, never halved.", a.machine, a.other))
	for i := range a.results {
		s.test(&a.results[i])
	}
	s.joints()
	s.cautions()
	return s.String()
}

func (s *sheet) test(t *tested) {
	title := t.name
	if t.when != "" {
		title += ", " + t.when
	}
	s.Heading(title)
	if t.note != "" {
		s.Text(t.note)
	}
	s.movements(t)
	s.blind(t)
	s.lone(t)
	s.attribution(t)
	s.closures(t)
	s.verdicts(t)
	s.warnings(t.result.Warnings)
}

// movements shows where the shaft went at the coupling.
func (s *sheet) movements(t *tested) {
	rows := [][]string{{"step", "coupling station", "this step: up", "right", "since start: up", "right", "along"}}
	for k := range t.Steps {
		name := t.Steps[k].Name
		for c, x := range t.Coupling {
			one, run := t.result.Steps[k].Step.Shaft().At[c], t.result.Steps[k].Running.Shaft().At[c]
			rows = append(rows, []string{name, s.Station(x), s.component(one.Up), s.component(one.Right), s.component(run.Up), s.component(run.Right), s.component(run.Along)})
			name = ""
		}
	}
	s.Text("Movement of the shaft at the coupling:")
	s.Table(rows...)
	last := t.result.Final()
	for i, n := range t.Nozzles {
		s.Hang("* ", fmt.Sprintf("%s, since the start: %s.", n.Name, s.words(last.Nozzles()[i])))
	}
}

func (s *sheet) component(c piping.Component) string {
	if !c.Known {
		return "not determined"
	}
	return s.Signed(unit.Length(c.Value))
}

func (s *sheet) words(p piping.PointMovement) string {
	if s.Units == page.Inch {
		return p.Words(align.UnitMil, 1)
	}
	return p.Words(align.UnitMillimetre, 3)
}

// blind says what the indicators cannot show.
func (s *sheet) blind(t *tested) {
	last := t.result.Final()
	for _, b := range []struct {
		what string
		body *piping.Body
	}{{"casing and feet", &last.Casing}, {"shaft", &last.Touched}} {
		if b.body.Used() == 0 {
			s.Text("No indicator watches the " + b.what + ".")
			continue
		}
		u := b.body.Undetermined()
		text := fmt.Sprintf("Indicators on the %s: %d read, which determine %d independent ways to move.", b.what, b.body.Used(), b.body.Rank())
		if names := u.Names(); len(names) > 0 {
			text += " Not determined, and not guessed: " + strings.Join(names, ", ") + "."
		}
		s.Text(text)
	}
}

// attribution says which step moved the shaft most, and which way the pipe pulls.
func (s *sheet) attribution(t *tested) {
	for _, g := range []piping.Group{piping.Flange, piping.Support, piping.Feet} {
		c, all, ok := t.result.Most(g)
		if !ok {
			continue
		}
		st := &t.Steps[c.Step]
		text := fmt.Sprintf("Of the steps on %s, %q moved the shaft most: %s at station %s (%s %s).", plural(g), st.Name, s.words(c.Movement),
			strings.TrimSpace(s.Station(t.Coupling[c.Station])), doing(st.Action), strings.Join(st.Of, " and "))
		if c.Pull.Up.Known || c.Pull.Right.Known {
			text += " The pipe pulls the machine " + s.words(c.Pull) + "."
		}
		text += s.carried(t, c.Step)
		if !all {
			text += " Another step may have moved it more: not all of them are determined."
		}
		if !c.Separable() {
			text += " Not separable: " + reasons(c.Reasons) + "."
		}
		s.Hang("-> ", text)
	}
}

// lone says what a single dial between the vertical and the horizontal can prove.
func (s *sheet) lone(t *tested) {
	if len(t.Indicators) != 1 {
		return
	}
	n := t.Indicators[0].Toward
	at := align.Offset{Vertical: unit.Length(n.Y), Horizontal: unit.Length(n.Z)}.Clock()
	largest := piping.Oblique{At: at}
	for k := range t.Steps {
		if m := t.result.Steps[k].Running.Indicators[0]; m.Given && math.Abs(float64(m.Value)) > math.Abs(float64(largest.Reading)) {
			largest.Reading = m.Value
		}
	}
	after, before, err := largest.Blind()
	if err != nil {
		return
	}
	s.Text(fmt.Sprintf("One dial at %s sees its own line alone: the shaft moved by %s at least, along it. Toward %s and %s it may have moved by any amount unseen.",
		hour(at), s.Size(unit.Length(largest.Reading)), hour(after), hour(before)))
	for _, l := range piping.MovementLimits() {
		if l.Occasion != piping.BoltingUp {
			continue
		}
		most, err := largest.MostWithin(unit.Length(l.SI()))
		if err != nil {
			return
		}
		s.Hang("* ", fmt.Sprintf("A limit of %s each, vertical and horizontal, is broken for certain only when this dial shows more than %s (%s). It can never show that the limit is kept.",
			s.Size(unit.Length(l.SI())), s.Size(unit.Length(most)), source(l.Limit)))
	}
}

// carried compares the dials on the shaft with what the casing's motion makes of
// them: bearing housings that bend, and shafts that move in their bearings, part
// the two.
func (s *sheet) carried(t *tested, step int) string {
	var out []string
	m := &t.result.Steps[step].Step
	for i, p := range m.Predicted() {
		if p.Known && m.Indicators[i].Given {
			out = append(out, fmt.Sprintf("%s %s, by the casing's motion %s", t.Indicators[i].Name, s.Signed(unit.Length(m.Indicators[i].Value)), s.Signed(unit.Length(p.Value))))
		}
	}
	if len(out) == 0 {
		return ""
	}
	return " Dials on the shaft: " + strings.Join(out, "; ") + "."
}

func doing(a piping.Action) string {
	switch a {
	case piping.Tighten:
		return "tightening"
	case piping.Loosen:
		return "loosening"
	case piping.Fit:
		return "fitting"
	}
	return "removing"
}

func plural(g piping.Group) string {
	switch g {
	case piping.Feet:
		return "feet"
	case piping.Support:
		return "supports"
	}
	return "flanges"
}

func reasons(list []piping.Reason) string {
	var out []string
	for _, r := range list {
		switch r {
		case piping.SeveralThings:
			out = append(out, "the step worked on several things before the dials were read")
		case piping.FeetBetween:
			out = append(out, "feet were touched between making and letting go")
		case piping.SoftFootOpen:
			out = append(out, "soft feet were not cleared with the pipe free")
		case piping.NotDetermined:
			out = append(out, "the movement does not follow from the readings")
		}
	}
	return strings.Join(out, "; ")
}

func (s *sheet) closures(t *tested) {
	for _, c := range t.result.Closures {
		what := "everything undone"
		if c.By >= 0 {
			what = fmt.Sprintf("%q against %q", t.Steps[c.By].Name, t.Steps[c.Undone].Name)
		}
		word := "comes back"
		switch {
		case !c.Complete:
			word = "cannot be told, a reading is missing"
		case !c.Within:
			word = "does not come back"
		}
		s.Hang("* ", fmt.Sprintf("Closure, %s: %s, worst %s at %s (limit %s).", what, word, s.Size(unit.Length(c.Worst)), t.Indicators[c.Indicator].Name, s.Size(unit.Length(c.Limit))))
	}
}

// verdicts holds the test against every limit, each quantity by itself.
func (s *sheet) verdicts(t *tested) {
	rows := [][]string{{"limit", "what", "where", "found", "allowed", ""}}
	sources := []string{}
	for i := range t.verdicts {
		v := &t.verdicts[i]
		if !s.applies(t, v) {
			continue
		}
		found := s.Size(unit.Length(v.Measured))
		word := v.Outcome.String()
		switch {
		case v.Outcome == piping.Undecided:
			found = "not determined"
		case !v.Clear:
			word += ", too close to tell"
		}
		mark := ""
		for k, src := range sources {
			if src == source(v.Limit.Limit) {
				mark = fmt.Sprintf("(%d)", k+1)
			}
		}
		if mark == "" {
			sources = append(sources, source(v.Limit.Limit))
			mark = fmt.Sprintf("(%d)", len(sources))
		}
		rows = append(rows, []string{mark + " " + v.Limit.Name, v.Quantity + ", " + v.Plane, s.where(t, v), found,
			s.Size(unit.Length(v.Limit.SI())), word})
	}
	if len(rows) == 1 {
		return
	}
	s.Text("Against the limits, each by itself; they differ, and which one binds is for the owner to say:")
	s.Table(rows...)
	for k, src := range sources {
		s.Hang(fmt.Sprintf("  (%d) ", k+1), src+".")
	}
}

// applies leaves out a comparison of pipe on and off where pipe was neither
// bolted nor let go.
func (s *sheet) applies(t *tested, v *piping.MovementVerdict) bool {
	if v.Limit.Occasion != piping.PipeOnAgainstFree {
		return true
	}
	return len(t.result.Closures) == 0 // a test that goes there and back compares like with like
}

func source(l align.Limit) string {
	switch l.Known {
	case align.ReadSecondhand:
		return l.Source + " (second-hand)"
	case align.FromMemory:
		return l.Source + " (from memory)"
	case align.CommonPractice:
		return "common practice, no source"
	}
	return l.Source
}

// where replaces the numbers of the record by names.
func (s *sheet) where(t *tested, v *piping.MovementVerdict) string {
	out := v.Place
	for k := range t.Steps {
		out = strings.ReplaceAll(out, fmt.Sprintf("steps[%d].", k), t.Steps[k].Name+", ")
	}
	for i := range t.Indicators {
		out = strings.ReplaceAll(out, fmt.Sprintf("indicators[%d]", i), t.Indicators[i].Name)
	}
	for c, x := range t.Coupling {
		out = strings.ReplaceAll(out, fmt.Sprintf("coupling[%d]", c), strings.TrimSpace(s.Station(x)))
	}
	return out
}

func (s *sheet) warnings(ws []align.Warning) {
	u := align.UnitMillimetre
	if s.Units == page.Inch {
		u = align.UnitMil
	}
	for _, w := range ws {
		lead := "Worth knowing: "
		if w.Severity != align.Notice {
			lead = "Look again:    "
		}
		s.Hang(lead, w.In(u)+".")
	}
}

// joints shows how the flanges miss, and where the machine would have to go.
func (s *sheet) joints() {
	if len(s.a.joints) == 0 {
		return
	}
	s.Heading("How the flanges miss")
	s.Text("Clock positions are those of a person who looks from the machine into the pipe; what is said is the pipe's flange against the machine's.")
	for i := range s.a.joints {
		s.joint(&s.a.joints[i])
	}
	s.goal()
}

func (s *sheet) joint(f *fitted) {
	parts := []string{fmt.Sprintf("mean gap %s", s.fine(f.Mean))}
	if e, ok := f.GapError(); ok {
		parts = append(parts, fmt.Sprintf("%s gasket, so the gap is %s too %s", s.fine(*f.Gasket), s.fine(e), wideOrTight(e)))
	}
	parts = append(parts, fmt.Sprintf("faces open by %s over the flange, widest at %s", s.fine(f.Tilt.Opening(f.joint.size.FlangeOD)), hour(f.Tilt.Widest())))
	if f.Offset != nil {
		parts = append(parts, fmt.Sprintf("centre off by %s toward %s", s.fine(f.Offset.Size()), hour(f.Offset.Clock())))
	}
	if f.Rotation != nil {
		way := "clockwise"
		if *f.Rotation < 0 {
			way = "counterclockwise"
		}
		parts = append(parts, fmt.Sprintf("holes turned %s %s on the bolt circle", s.fine(f.joint.size.BoltCircle/2*unit.Length(math.Abs(*f.Rotation))), way))
	}
	s.Hang("* ", f.Misfit.Pair.Name+": "+strings.Join(parts, "; ")+".")
	rows := [][]string{{"quantity", "found", "allowed", "", "source"}}
	for _, v := range f.report.Verdicts {
		word := "within"
		if !v.Within {
			word = "over"
		}
		rows = append(rows, []string{string(v.Quantity), s.limited(v.Limit, v.Measured), s.limited(v.Limit, v.Limit.SI()), word, source(v.Limit)})
	}
	s.Table(rows...)
	for _, q := range f.report.Unjudged {
		s.Text("  " + string(q) + ": limited, but not measured.")
	}
	s.Hang("  -> ", fmt.Sprintf("%s (largest misfit %s; cut and refit above %s, common practice, no source).", f.report.Fit, s.fine(f.report.Largest), s.fine(f.report.CutAbove)))
	s.warnings(f.JointFit.Warnings)
}

// limited prints a size of the kind that a limit has.
func (s *sheet) limited(l align.Limit, v float64) string {
	if l.Unit.Dimension() == align.RatioDim {
		return s.SlopeSize(v)
	}
	return s.fine(unit.Length(v))
}

// fine prints a size in hundredths of a millimetre, or thousandths of an
// inch.
func (s *sheet) fine(v unit.Length) string {
	a := math.Abs(float64(v))
	return s.In(page.Format(align.UnitMillimetre, a, 2), page.Format(align.UnitInch, a, 3))
}

func wideOrTight(e unit.Length) string {
	if e < 0 {
		return "tight"
	}
	return "wide"
}

func hour(c align.Clock) string {
	h := math.Mod(float64(c)/30+12, 12)
	if h < 0.05 || h > 11.95 {
		h = 12
	}
	return strconv.FormatFloat(math.Round(h*10)/10, 'f', 1, 64) + " o'clock"
}

// goal says where the machine would have to go.
func (s *sheet) goal() {
	f := s.a.fit
	s.Heading("Where the machine would have to go for the flanges to fit")
	m := f.Motion
	s.Text(fmt.Sprintf("Its shaft at the coupling: %s, and %s along the train; it would pitch by %s, swing by %s and roll by %s (plus: far end up, far end toward 9 o'clock, top toward 3 o'clock).",
		s.Standing(m.Shift.Offset()), s.Signed(m.Shift.X), s.Slope(m.Turn.Z), s.Slope(m.Turn.Y), s.Slope(m.Turn.X)))
	rows := [][]string{{"flange", "left of the gap", "of the offset", "of the opening", "within its tolerances"}}
	for i, n := range f.Nozzles {
		gap, _ := n.Misfit.GapError()
		offset := "not measured"
		if n.Misfit.Offset != nil {
			offset = s.fine(n.Misfit.Offset.Size())
		}
		word := "yes"
		if !n.Within {
			word = "no"
		}
		rows = append(rows, []string{n.Name, s.fine(gap), offset, s.fine(n.Misfit.Tilt.Opening(s.a.joints[i].joint.size.FlangeOD)), word})
	}
	s.Table(rows...)
	if len(f.Undetermined) > 0 {
		s.Text("The flanges do not say: " + strings.Join(f.Undetermined, ", ") + ".")
	}
	s.Text("That the machine would fit its pipe there does not say that it may go there: the coupling decides, and the feet. Bring the pipe to the machine where that can be done.")
}

func (s *sheet) cautions() {
	s.Heading("Before anyone touches a flange or a foot")
	for _, c := range []string{
		"Isolate, lock out and tag; relieve the pressure, drain, and prove both before a bolt is loosened. Hot or harmful contents need the permit of the site.",
		"A strained pipe is a spring, and so are hangers: pin them, loosen bolts in small steps all round, and stand where nothing can hit you when it lets go.",
		"Support what you loosen. Never pull pipe to a machine with hoists, chain falls or the flange bolts.",
		"A strain test shows what bolting does while the machine stands still and cold. What heat, pressure and flow do when it runs it cannot show.",
		"This report is arithmetic, not permission, and no pipe stress analysis. Site rules, local codes, the makers' instructions and qualified people decide.",
	} {
		s.Hang("* ", c)
	}
}
