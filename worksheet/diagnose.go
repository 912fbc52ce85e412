package worksheet

import (
	"cmp"
	"math"
	"slices"
)

// Diagnosis says which known mistakes explain a worksheet. Several in a list
// mean that the answers do not tell which of them it was.
type Diagnosis struct {
	// Singles are the mistakes each of which, made alone, gives every answer that
	// was given, within rounding; the commonest first.
	Singles []Mistake
	// Pairs are the pairs of mistakes that do, looked for only when no single one
	// does.
	Pairs [][2]Mistake
	// Unknown is true when something is wrong and neither one mistake nor two
	// explain all answers. The reasons at the single answers may still tell.
	Unknown bool
}

// maxPairs bounds how many pairs are reported.
const maxPairs = 20

// diagnose explains the answers, and fills the reasons of the single ones.
func (m *marker) diagnose(marks []Mark) (d Diagnosis) {
	if len(wrongSteps(marks)) == 0 {
		return d
	}
	for i := range m.e.ways {
		if w := &m.e.ways[i]; m.explains(w) {
			d.Singles = append(d.Singles, w.Mistake)
		}
	}
	for k := range marks {
		if marks[k].Verdict == Wrong || marks[k].Verdict == WrongWay {
			marks[k].Reasons = m.reasons(marks[k].Step)
		}
	}
	byRank := func(a, b Mistake) int { return cmp.Compare(a.Rank, b.Rank) }
	slices.SortStableFunc(d.Singles, byRank)
	if len(d.Singles) > 0 {
		return d
	}
	d.Pairs = m.pairs()
	d.Unknown = len(d.Pairs) == 0
	return d
}

// explains reports whether a way of working the sheet gives every answer that was
// given, exactly or carried on from the learner's own rounded answers.
func (m *marker) explains(w *way) bool {
	for id, got := range m.own {
		if !w.agrees(id, got, w.values[id]) {
			return false
		}
	}
	return true
}

// reasons returns the mistakes that give one answer from the learner's own earlier
// ones, or from the right ones.
func (m *marker) reasons(id string) (codes []string) {
	earlier := map[string]float64{}
	for _, st := range m.e.Sheet.asked() {
		if st.ID == id {
			break
		}
		if v, ok := m.own[st.ID]; ok {
			earlier[st.ID] = v
		}
	}
	got := m.own[id]
	var found []Mistake
	for i := range m.e.ways {
		w := &m.e.ways[i]
		if w.agrees(id, got, w.values[id]) || w.agrees(id, got, w.sheet.workWith(earlier)[id]) {
			found = append(found, w.Mistake)
		}
	}
	slices.SortStableFunc(found, func(a, b Mistake) int { return cmp.Compare(a.Rank, b.Rank) })
	for _, f := range found {
		codes = append(codes, f.Code)
	}
	return codes
}

// pairs returns the pairs of mistakes that explain every answer, the commonest
// first.
func (m *marker) pairs() (out [][2]Mistake) {
	for i := range m.e.ways {
		for j := range i {
			one, other := m.e.ways[j].Mistake, m.e.ways[i].Mistake
			s := m.e.Sheet.altered()
			if !one.alter(s) || !other.alter(s) || s.check() != nil || !m.near(s) {
				continue
			}
			if w := newWay(Mistake{}, s); m.explains(&w) {
				out = append(out, [2]Mistake{one, other})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b [2]Mistake) int {
		return cmp.Compare(a[0].Rank+a[1].Rank, b[0].Rank+b[1].Rank)
	})
	if len(out) > maxPairs {
		out = out[:maxPairs]
	}
	return out
}

// near is a quick look before the tolerances are worked out: whether every answer
// is within a few last places, or a few percent, of the sheet's.
func (m *marker) near(s *Sheet) bool {
	v := s.Work()
	for _, st := range s.asked() {
		got, given := m.own[st.ID]
		if !given {
			continue
		}
		if st.Choices != nil {
			if got != v[st.ID] {
				return false
			}
			continue
		}
		if math.Abs(got-v[st.ID]) > 100*st.place()+0.05*math.Abs(got) {
			return false
		}
	}
	return true
}
