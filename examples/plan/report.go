package main

import (
	"fmt"
	"math"
	"strings"

	"collinear.example/align"
	"collinear.example/internal/page"
	"collinear.example/moves"
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
	s.Text("WHAT TO DO AT THE FEET: " + a.title)
	if a.plant != "" {
		s.Text("Plant: " + a.plant)
	}
	if a.note != "" {
		s.Hang("Note:  ", a.note)
	}
	s.asFound()
	if !a.plan.Feasible {
		s.why()
	}
	s.moves()
	s.after()
	s.binding()
	s.ways()
	s.trade()
	s.readings()
	s.cautions()
	return s.String()
}

func (s *sheet) asFound() {
	s.Heading("As found")
	motionless := make([]align.Motion, len(s.a.train.Machines))
	e, err := s.a.train.Evaluate(motionless)
	if err != nil {
		return // the plan was worked out from the same train
	}
	s.couplings(e)
	s.flanges(e)
	for _, source := range s.a.sources {
		s.Text("Limit: " + source + ".")
	}
}

// couplings shows the worst share of each coupling in each state.
func (s *sheet) couplings(e moves.Evaluation) {
	rows := [][]string{{"coupling", "state", "offset", "limit", "share", "at"}}
	for i, c := range e.Couplings {
		name := c.Name
		for _, st := range c.States {
			w := st.Worst
			rows = append(rows, []string{name, st.State, s.Size(unit.Length(w.Found)), s.Size(unit.Length(w.Limit)), page.Percent(w.Share) + over(w.Share),
				w.Plane.String() + " at " + strings.TrimSpace(s.Station(w.Station))})
			name = ""
		}
		if g := s.a.train.Couplings[i].Gap; g != nil {
			used := ""
			if g.Tolerance > 0 {
				share := math.Abs(float64(c.Gap / g.Tolerance))
				used = page.Percent(share) + over(share)
			}
			rows = append(rows, []string{name, "gap of the shaft ends", s.Signed(c.Gap), s.Size(g.Tolerance), used, "along the train"})
		}
	}
	s.Table(rows...)
}

func over(share float64) string {
	if share > 1+1e-9 {
		return ", over"
	}
	return ""
}

func (s *sheet) flanges(e moves.Evaluation) {
	if len(e.Flanges) == 0 {
		return
	}
	rows := [][]string{{"flange", "gap less gasket", "centre off", "faces open", "worst share of tolerance"}}
	for _, f := range e.Flanges {
		rows = append(rows, []string{f.Name, s.left(f, piping.PartGap), s.across(f, piping.PartUp, piping.PartRight),
			s.angle(f), page.Percent(f.Worst) + over(f.Worst)})
	}
	s.Table(rows...)
}

func (s *sheet) left(f moves.FlangeResult, part int) string {
	return s.Signed(unit.Length(f.Left[part]))
}

func (s *sheet) across(f moves.FlangeResult, i, j int) string {
	return s.Size(unit.Length(math.Hypot(f.Left[i], f.Left[j])))
}

func (s *sheet) angle(f moves.FlangeResult) string {
	return s.SlopeSize(math.Hypot(f.Left[piping.PartTiltUp], f.Left[piping.PartTiltRight]))
}

// moves shows what to do at each foot.
func (s *sheet) moves() {
	p := s.a.plan
	title := "The moves"
	if !p.Feasible {
		title = "The best compromise"
	}
	s.Heading(title)
	var aims []string
	for _, c := range s.a.criteria {
		aims = append(aims, c.String())
	}
	if p.Feasible {
		s.Text("Chosen, within every limit in every state, for: " + strings.Join(aims, ", then ") + ".")
	}
	rows := [][]string{{"machine", "foot", "station", "shims", "sideways", "room used"}}
	for i, m := range s.a.train.Machines {
		name := m.Name
		for k, f := range p.Feet[i] {
			used := page.Percent(f.Share) + over(f.Share)
			if !s.Shows(f.Move.Vertical) && !s.Shows(f.Move.Horizontal) {
				used = ""
			}
			rows = append(rows, []string{name, f.Foot, s.Station(m.Feet[k].At.X), s.vertical(f.Move), s.sideways(f.Move), used})
			name = ""
		}
	}
	s.Table(rows...)
	s.along()
	s.Text(fmt.Sprintf("Largest move up, down or sideways %s, %d feet touched.", s.Size(p.Largest), p.Touched))
}

// along says how far machines as a whole go along the train.
func (s *sheet) along() {
	for i, m := range s.a.train.Machines {
		v := s.a.plan.Motions[i].At(m.About).X
		if !s.Shows(v) {
			continue
		}
		way := "the last machine"
		if v < 0 {
			way = "the first machine"
		}
		s.Hang("* ", fmt.Sprintf("Move the whole %s %s toward %s: mind the gap between the shaft ends.", m.Name, s.Size(v), way))
	}
}

func (s *sheet) vertical(m align.Move) string {
	switch {
	case !s.Shows(m.Vertical):
		return "leave"
	case m.Vertical > 0:
		return "add " + s.Size(m.Vertical)
	}
	return "take out " + s.Size(m.Vertical)
}

func (s *sheet) sideways(m align.Move) string {
	switch {
	case !s.Shows(m.Horizontal):
		return "leave"
	case m.Horizontal > 0:
		return s.Size(m.Horizontal) + " toward 3 o'clock"
	}
	return s.Size(m.Horizontal) + " toward 9 o'clock"
}

func (s *sheet) after() {
	s.Heading("After the moves")
	s.couplings(s.a.plan.Evaluation)
	s.flanges(s.a.plan.Evaluation)
}

// binding shows which limits are used up and what more of each would buy.
func (s *sheet) binding() {
	p := s.a.plan
	if !p.Feasible || len(p.Binding) == 0 {
		return
	}
	s.Heading("What holds it back")
	first := s.a.criteria[0]
	shown := 0
	for _, b := range p.Binding {
		if shown == 6 {
			break
		}
		shown++
		what := s.a.train.Words(b.Ref)
		for _, r := range b.Same {
			what += ", and " + s.a.train.Words(r)
		}
		text := what + ": used up"
		if b.Ref.Kind == moves.CouplingLimit && (first == moves.BestAlignment || first == moves.BestTogether) {
			text = what + ": governs"
		}
		if b.Gain > 1e-9 {
			text += "; a little more of it would buy " + s.gain(first, b)
		} else {
			text += "; more of it alone would buy nothing"
		}
		s.Hang("* ", text+".")
	}
}

// gain says what 0.1 mm more of a limit buys of the first criterion.
func (s *sheet) gain(c moves.Criterion, b moves.Binding) string {
	const more = 1e-4 // metres
	turn := b.Ref.Slope || b.Ref.Kind == moves.FlangeGoal && b.Ref.Part >= piping.PartRotation
	per := "for each " + s.Size(more)
	k := more
	if turn {
		per, k = "for each "+s.SlopeSize(1e-4), 1e-4
	}
	switch c {
	case moves.SmallestLargestMove, moves.LeastTotalMove, moves.LeastShimChange:
		return s.Size(unit.Length(b.Gain*k)) + " of move " + per
	}
	return page.Percent(b.Gain*k) + " of the worst share " + per
}

// why explains what conflicts and what would have to give.
func (s *sheet) why() {
	w := s.a.plan.Why
	s.Heading("Why nothing fits")
	s.Text("These limits cannot be kept together; leave any one of them out and the others of this list can be:")
	for _, r := range w.Conflict {
		s.Hang("* ", s.a.train.Words(r)+".")
	}
	s.Text("What would have to give, if one kind of limit alone gives way:")
	for _, r := range w.Relaxations {
		s.Text(r.Kind.String() + " alone:")
		for _, g := range r.Gives {
			s.Hang("* ", s.a.train.Words(g.Ref)+", "+s.amount(g)+" more.")
		}
	}
	if len(w.Relaxations) == 0 {
		s.Text("No kind of limit alone is enough.")
	}
	s.Text("The least that would have to give in all:")
	for _, g := range w.Together.Gives {
		s.Hang("* ", s.a.train.Words(g.Ref)+", "+s.amount(g)+" more.")
	}
	kept := []string{}
	for _, k := range w.Kept {
		kept = append(kept, k.String())
	}
	if len(kept) == 0 {
		kept = append(kept, "nothing")
	}
	s.Text("The compromise below keeps: " + strings.Join(kept, ", ") + ".")
}

func (s *sheet) amount(g moves.Give) string {
	if g.Ref.Slope || g.Ref.Kind == moves.FlangeGoal && g.Ref.Part >= piping.PartRotation {
		return s.SlopeSize(g.Amount)
	}
	return s.Size(unit.Length(g.Amount))
}

func (s *sheet) ways() {
	if len(s.a.ways) == 0 {
		return
	}
	s.Heading("The ways of going about it")
	rows := [][]string{{"way", "worst coupling", "worst flange", "largest move", "feet touched", "within every limit"}}
	for _, w := range s.a.ways {
		word := "yes"
		if !w.Within() {
			word = "no"
		}
		flange := ""
		if len(w.Flanges) > 0 {
			flange = page.Percent(w.WorstFlange)
		}
		rows = append(rows, []string{w.Name, page.Percent(w.WorstCoupling), flange, s.Size(w.Largest), fmt.Sprint(w.Touched), word})
	}
	s.Table(rows...)
	s.Text("Shares of the limit at the worst coupling in the worst state, and of the tolerance at the worst flange: 100 % is all there is. Where no moves keep every limit, the best compromise is shown.")
}

func (s *sheet) trade() {
	if len(s.a.points) == 0 {
		return
	}
	s.Heading("What alignment costs of flange fit")
	rows := [][]string{{"worst flange", "worst coupling"}}
	for _, p := range s.a.points {
		rows = append(rows, []string{page.Percent(p.Flange), page.Percent(p.Alignment)})
	}
	s.Table(rows...)
	s.Text("From the best flange fit to the best alignment that feet and couplings allow; at each flange share the best alignment that goes with it.")
}

func (s *sheet) readings() {
	if len(s.a.dials) == 0 {
		return
	}
	s.Heading("What the dials should read after the moves")
	s.Text("Zero set at 12 o'clock; bracket sag is in the figures; clock positions as the person at that dial sees them.")
	rows := [][]string{{"dial", "coupling", "12 o'clock", "3 o'clock", "6 o'clock", "9 o'clock"}}
	for i, d := range s.a.dials {
		row := []string{d.Name, s.a.train.Couplings[d.coupling].Name}
		for _, r := range s.a.readings[i] {
			row = append(row, s.Signed(r.Value))
		}
		rows = append(rows, row)
	}
	s.Table(rows...)
}

func (s *sheet) cautions() {
	s.Heading("Before anyone touches the machines")
	for _, c := range []string{
		"Isolate, lock out and tag every machine of the train, and try the start button. Relieve and drain pipework before a foot or a flange is loosened: a strained pipe moves the machine when it lets go.",
		"Support what you loosen, lift with gear that is rated and inspected, and never pull pipe to a machine with hoists.",
		"The plan takes machines as rigid, feet as sitting and moves as made. Clear soft feet first, and measure again after the moves.",
		"That a machine could be moved to its pipe does not say that it should be: bring the pipe to the machine where that can be done.",
		"This report is arithmetic, not permission. Site rules, local codes, the makers' instructions and qualified people decide.",
	} {
		s.Hang("* ", c)
	}
}
