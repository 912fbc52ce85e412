package worksheet

import (
	"slices"
	"strconv"

	"collinear.example/align"
)

// Verdict is what is said of one answer.
type Verdict uint8

// The verdicts.
const (
	NotAnswered Verdict = iota
	Unreadable          // no number, word or plan that can be read
	Right
	WrongWay // the right size with the wrong sign, or the wrong word for it
	FollowOn // right for the learner's own earlier answers, which are wrong
	Wrong
)

// String returns the verdict in words.
func (v Verdict) String() string {
	switch v {
	case NotAnswered:
		return "not answered"
	case Unreadable:
		return "unreadable"
	case Right:
		return "right"
	case WrongWay:
		return "right size, wrong way"
	case FollowOn:
		return "follows from own earlier answer"
	case Wrong:
		return "wrong"
	}
	return "verdict(" + strconv.Itoa(int(v)) + ")"
}

// Credits are what the verdicts earn, each of one mark a step.
type Credits struct {
	WrongWay float64 // from 0 to 1
	FollowOn float64
}

// UsualCredits give half a mark for the right size the wrong way round and a full
// one for what follows from an earlier mistake (common practice, no source).
func UsualCredits() Credits { return Credits{WrongWay: 0.5, FollowOn: 1} }

// Mark is one answer marked.
type Mark struct {
	Step    string
	Says    string // the question
	Given   string // as the learner wrote it
	Key     string // the right answer; for a plan what is wrong with it, if anything
	Verdict Verdict
	Credit  float64
	// Reasons are the codes of the single mistakes that would give this answer from
	// the learner's own earlier ones; only for a wrong answer. More than one means
	// that they cannot be told apart by it.
	Reasons []string
}

// Marked is a worksheet marked.
type Marked struct {
	Marks      []Mark
	Credit, Of float64
	// Diagnosis explains all answers together.
	Diagnosis Diagnosis
}

// Mark marks a learner's answers, by the ids of the steps. An answer to something
// that was not asked is ErrMismatch; an answer that cannot be read is marked so
// and nothing is lost. An answer is right within half the last place asked, and
// what rounded earlier answers make of it.
func (e *Exercise) Mark(answers map[string]string, c Credits) (Marked, error) {
	for id := range answers {
		if st := e.Sheet.step(id); st == nil || !st.Asked {
			return Marked{}, fault("answer", strconv.Quote(id), align.ErrMismatch)
		}
	}
	for name, v := range map[string]float64{"wrong way": c.WrongWay, "follow on": c.FollowOn} {
		if !(v >= 0 && v <= 1) {
			return Marked{}, fault("credits."+name, strconv.FormatFloat(v, 'g', -1, 64), align.ErrOutOfRange)
		}
	}
	m := marker{e: e, own: map[string]float64{}, written: answers}
	var out Marked
	for _, st := range e.Sheet.asked() {
		k := m.mark(st, c)
		out.Marks = append(out.Marks, k)
		out.Credit += k.Credit
		out.Of++
	}
	out.Diagnosis = m.diagnose(out.Marks)
	return out, nil
}

// marker is a worksheet while it is marked.
type marker struct {
	e       *Exercise
	own     map[string]float64 // the learner's answers so far, SI units
	written map[string]string
}

func (m *marker) mark(st *Step, c Credits) Mark {
	k := Mark{Step: st.ID, Says: st.Says, Given: m.written[st.ID]}
	if st.Plan == nil {
		k.Key = st.Text(m.e.right.values[st.ID])
	}
	if k.Given == "" {
		return k
	}
	a, err := ParseAnswer(st, k.Given)
	if err != nil {
		k.Verdict = Unreadable
		return k
	}
	if st.Plan != nil {
		return m.markPlan(st, a, k, c)
	}
	k.Verdict = m.verdict(st, a.Value)
	switch k.Verdict {
	case Right:
		k.Credit = 1
	case WrongWay:
		k.Credit = c.WrongWay
	case FollowOn:
		k.Credit = c.FollowOn
	}
	m.own[st.ID] = a.Value
	return k
}

// markPlan accepts any plan that keeps the constraints, for the right figures or
// for the learner's own.
func (m *marker) markPlan(st *Step, a Answer, k Mark, c Credits) Mark {
	err := st.Accept(m.e.right.values, a.Plan)
	switch {
	case err == nil:
		k.Verdict, k.Credit = Right, 1
	case st.Accept(m.e.Sheet.workWith(m.own), a.Plan) == nil:
		k.Verdict, k.Credit = FollowOn, c.FollowOn
	default:
		k.Verdict, k.Key = Wrong, err.Error()
	}
	return k
}

// verdict judges a number or a choice.
func (m *marker) verdict(st *Step, got float64) Verdict {
	s := m.e.Sheet
	right, follows := m.e.right.values[st.ID], s.workWith(m.own)[st.ID]
	if st.Choices != nil {
		switch got {
		case right:
			return Right
		case follows:
			return FollowOn
		}
		return Wrong
	}
	w := &m.e.right
	switch {
	case w.agrees(st.ID, got, right):
		return Right
	case w.agrees(st.ID, got, follows):
		return FollowOn
	case w.agrees(st.ID, -got, right):
		return WrongWay
	}
	return Wrong
}

// wrongSteps returns the steps whose answers need a reason.
func wrongSteps(marks []Mark) (out []string) {
	for _, k := range marks {
		if k.Verdict == Wrong || k.Verdict == WrongWay {
			out = append(out, k.Step)
		}
	}
	return out
}

// Full reports whether every step was answered rightly.
func (m Marked) Full() bool {
	return !slices.ContainsFunc(m.Marks, func(k Mark) bool { return k.Verdict != Right })
}
