package worksheet

import "slices"

// Mistake is a known way to go wrong.
type Mistake struct {
	Code string // permanent name
	Says string // what was done, in words for the learner
	// Rank orders mistakes by how common they are, 1 for the commonest to 3
	// (our judgement of the trade: common practice, no source).
	Rank int

	// alter does the sheet wrongly; false when this sheet gives no occasion.
	alter func(s *Sheet) bool
}

// in returns the sheet as this mistake would work it, nil when it does not apply.
func (m *Mistake) in(s *Sheet) *Sheet {
	wrong := s.altered()
	if !m.alter(wrong) {
		return nil
	}
	return wrong
}

// Mistakes returns every known mistake, each code once, in the order of the kinds.
func Mistakes() (out []Mistake) {
	for _, k := range kinds() {
		for _, m := range append(slices.Clone(k.mistakes), anyMistakes...) {
			if !slices.ContainsFunc(out, func(o Mistake) bool { return o.Code == m.Code }) {
				out = append(out, Mistake{Code: m.Code, Says: m.Says, Rank: m.Rank})
			}
		}
	}
	return out
}

// anyMistakes can be made with the final answers of any sheet.
var anyMistakes = []Mistake{
	{Code: "inch-for-mm", Says: "took inches for millimetres, or mil for micrometres: the answers are 25.4 times too large", Rank: 2, alter: everyNumber(25.4)},
	{Code: "mm-for-inch", Says: "took millimetres for inches, or micrometres for mil: the answers are 25.4 times too small", Rank: 2, alter: everyNumber(1 / 25.4)},
	{Code: "ten-times", Says: "slipped the decimal point one place: the answers are ten times too large", Rank: 2, alter: everyNumber(10)},
	{Code: "a-tenth", Says: "slipped the decimal point one place: the answers are ten times too small", Rank: 2, alter: everyNumber(0.1)},
}

// everyNumber multiplies every asked number of the sheet, and none of the steps
// that follow from it: the slip is made in writing down.
func everyNumber(k float64) func(s *Sheet) bool {
	return func(s *Sheet) bool {
		steps := s.asked()
		exact := s.Work()
		some := false
		for _, st := range steps {
			if st.Choices != nil || st.Plan != nil {
				continue
			}
			some = true
			id := st.ID
			st.work = func(Values) float64 { return k * exact[id] }
		}
		return some
	}
}
