package worksheet

import (
	"math"
	"slices"

	"collinear.example/align"
)

// Sheet is the worked arithmetic of one exercise: what is given, and one step
// after the other, each from the ones before it. A mistake is the same sheet with
// one step done wrongly, so that the answers it would give follow by working the
// sheet.
type Sheet struct {
	Kind   string
	Givens []Given
	Steps  []Step // in the order in which they are done
}

// Given is a figure the learner is told.
type Given struct {
	ID       string
	Says     string // what it is, in words
	Value    float64
	Unit     align.Unit // printed in this unit; Value is in SI units
	Decimals int
}

// Step is one line of the work.
type Step struct {
	ID       string
	Says     string // what is asked, in words
	Formula  string // how it is found, in words and signs
	Unit     align.Unit
	Decimals int  // to which the answer is asked
	Asked    bool // false: a step in between, not asked of the learner
	Sense    Sense
	// Choices are the words of an answer that is a word; the value is then an
	// index.
	Choices []string
	// Accept, where given, judges a plan, which has no single right answer.
	Accept func(v Values, plan map[string]float64) error
	// Plan names the entries of a plan in the order in which they are asked.
	Plan []string

	work func(v Values) float64
}

// Values are the figures of a sheet by their ids, in SI units.
type Values map[string]float64

// Sense is the pair of words that tells the sign of an answer.
type Sense uint8

// The senses. The first word of each pair is the positive one.
const (
	NoSense     Sense = iota // a plain number
	HighLow                  // high, low
	RaiseLower               // raise or add; lower or take out
	RightLeft                // right or toward 3 o'clock; left or toward 9 o'clock
	WiderCloser              // wider apart, closer together
)

// words returns the words for plus and for minus, the one to print first.
func (s Sense) words() (plus, minus []string) {
	switch s {
	case HighLow:
		return []string{"high", "above", "up"}, []string{"low", "below", "down"}
	case RaiseLower:
		return []string{"raise", "add", "up"}, []string{"lower", "take out", "remove", "down"}
	case RightLeft:
		return []string{"right", "toward 3 o'clock", "toward 3"}, []string{"left", "toward 9 o'clock", "toward 9"}
	case WiderCloser:
		return []string{"wider", "apart"}, []string{"closer", "together"}
	}
	return nil, nil
}

// sheetMaker puts a sheet together.
type sheetMaker struct{ Sheet }

// given adds a figure the learner is told.
func (m *sheetMaker) given(id, says string, value float64, u align.Unit, decimals int) {
	m.Givens = append(m.Givens, Given{ID: id, Says: says, Value: value, Unit: u, Decimals: decimals})
}

// ask adds a step that is asked of the learner.
func (m *sheetMaker) ask(s Step, work func(v Values) float64) {
	s.Asked, s.work = true, work
	m.Steps = append(m.Steps, s)
}

// between adds a step that is not asked.
func (m *sheetMaker) between(id, formula string, u align.Unit, work func(v Values) float64) {
	m.Steps = append(m.Steps, Step{ID: id, Formula: formula, Unit: u, Decimals: 4, work: work})
}

// step returns the step with that id, nil when there is none.
func (s *Sheet) step(id string) *Step {
	i := slices.IndexFunc(s.Steps, func(st Step) bool { return st.ID == id })
	if i < 0 {
		return nil
	}
	return &s.Steps[i]
}

// has reports whether the sheet has a step or a given of that id.
func (s *Sheet) has(id string) bool {
	return s.step(id) != nil || slices.ContainsFunc(s.Givens, func(g Given) bool { return g.ID == id })
}

// Work returns every figure of the sheet.
func (s *Sheet) Work() Values { return s.workWith(nil) }

// workWith works the sheet with some steps replaced by the learner's own answers.
func (s *Sheet) workWith(own map[string]float64) Values {
	v := make(Values, len(s.Givens)+len(s.Steps))
	for _, g := range s.Givens {
		v[g.ID] = g.Value
	}
	for i := range s.Steps {
		st := &s.Steps[i]
		if answer, ok := own[st.ID]; ok {
			v[st.ID] = answer
			continue
		}
		if st.work != nil {
			v[st.ID] = st.work(v)
		}
	}
	return v
}

// altered returns a copy of the sheet whose steps and givens can be changed.
func (s *Sheet) altered() *Sheet {
	c := *s
	c.Givens, c.Steps = slices.Clone(s.Givens), slices.Clone(s.Steps)
	return &c
}

// replace changes how a step is done, or what a given is taken to be; old is the
// right value from the figures before it. It reports whether there is such a one.
func (s *Sheet) replace(id string, wrong func(v Values, right float64) float64) bool {
	if st := s.step(id); st != nil && st.work != nil {
		right := st.work
		st.work = func(v Values) float64 { return wrong(v, right(v)) }
		return true
	}
	return false
}

// retake changes what a given is taken to be.
func (s *Sheet) retake(id string, wrong func(v Values, right float64) float64) bool {
	i := slices.IndexFunc(s.Givens, func(g Given) bool { return g.ID == id })
	if i < 0 {
		return false
	}
	all := make(Values, len(s.Givens))
	for _, g := range s.Givens {
		all[g.ID] = g.Value
	}
	s.Givens[i].Value = wrong(all, s.Givens[i].Value)
	return true
}

// scale multiplies the results of the steps whose ids are given; it reports
// whether all of them exist.
func (s *Sheet) scale(k float64, ids ...string) bool {
	ok := len(ids) > 0
	for _, id := range ids {
		ok = s.replace(id, func(_ Values, right float64) float64 { return k * right }) && ok
	}
	return ok
}

// place is one unit of the last decimal asked, in SI units.
func (st *Step) place() float64 {
	return math.Abs(differenceSI(st.Unit, math.Pow(10, -float64(st.Decimals))))
}

// differenceSI turns a difference given in u into SI units: a difference of
// temperatures has no zero to add.
func differenceSI(u align.Unit, v float64) float64 { return u.SI(v) - u.SI(0) }

// tolerances are how far right answers may lie from the exact ones, by the ids of
// the asked numbers: half the last place asked, and what it makes when every
// earlier answer that is asked is itself rounded to its last place, carried on or
// not: half a place of each, times how much the answer follows it.
func (s *Sheet) tolerances() map[string]float64 {
	exact := s.Work()
	numbers := slices.DeleteFunc(s.asked(), func(st *Step) bool { return st.Choices != nil || st.Plan != nil })
	tol := make(map[string]float64, len(numbers))
	for _, st := range numbers {
		tol[st.ID] += st.place() / 2
	}
	for i, before := range numbers {
		half := before.place() / 2
		up := s.workWith(map[string]float64{before.ID: exact[before.ID] + half})
		down := s.workWith(map[string]float64{before.ID: exact[before.ID] - half})
		for _, st := range numbers[i+1:] {
			x := exact[st.ID]
			tol[st.ID] += math.Max(math.Abs(up[st.ID]-x), math.Abs(down[st.ID]-x))
		}
	}
	for _, st := range numbers { // binary fractions at the very edge of a rounding
		tol[st.ID] = tol[st.ID]*(1+1e-9) + 1e-12*math.Abs(exact[st.ID])
	}
	return tol
}

// asked returns the steps that are asked of the learner.
func (s *Sheet) asked() (out []*Step) {
	for i := range s.Steps {
		if s.Steps[i].Asked {
			out = append(out, &s.Steps[i])
		}
	}
	return out
}
