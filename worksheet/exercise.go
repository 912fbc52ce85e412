package worksheet

import (
	"math"
	"math/rand/v2"
	"slices"
	"strconv"

	"collinear.example/align"
)

// Exercise is a job to work by hand: a record, and the kind of work that is asked
// of it.
type Exercise struct {
	Kind   string
	Title  string
	Asks   string // what the learner is to do
	Record *Record
	Sheet  *Sheet // givens and steps, with the right arithmetic

	// Distinguishable says that any two single mistakes of this kind differ by more
	// than rounding in at least one answer, and from the right answers too.
	Distinguishable bool
	// Alike lists the pairs of mistakes that do not differ here.
	Alike [][2]string

	right way
	ways  []way // mistakes that the exercise gives an occasion for
}

// NewExercise makes the exercise of one kind from a record. It fails with
// ErrUnknownKind, and with the fault of the first thing the record lacks.
func NewExercise(kindName string, r *Record) (*Exercise, error) {
	k, err := kindNamed(kindName)
	if err != nil {
		return nil, err
	}
	if r == nil {
		return nil, fault("record", "", align.ErrMissing)
	}
	s, err := k.build(r)
	if err != nil {
		return nil, err
	}
	s.Kind = k.name
	if err := s.check(); err != nil {
		return nil, err
	}
	e := &Exercise{Kind: k.name, Title: k.title, Asks: k.asks, Record: r, Sheet: s}
	e.explore(k.mistakes)
	return e, nil
}

// attempts is how many jobs are invented at most to find one in which the
// mistakes can be told apart.
const attempts = 40

// Generate invents an exercise. The same kind, seed and difficulty give the same
// exercise, always. Of up to 40 jobs invented one after the other it returns the
// first in which all mistakes can be told apart, and where there is none the one
// with the fewest that cannot. It fails with ErrUnknownKind and, for a difficulty
// that is none, with ErrOutOfRange.
func Generate(kindName string, seed uint64, d Difficulty) (*Exercise, error) {
	k, err := kindNamed(kindName)
	if err != nil {
		return nil, err
	}
	if d < Plain || d > Severe {
		return nil, fault("difficulty", strconv.Itoa(int(d)), align.ErrOutOfRange)
	}
	var best *Exercise
	for i := range uint64(attempts) {
		r := k.generate(rand.New(rand.NewPCG(seed, i<<8|uint64(d))), d)
		e, err := NewExercise(kindName, r)
		if err != nil {
			return nil, err
		}
		if e.Distinguishable {
			return e, nil
		}
		if best == nil || len(e.Alike) < len(best.Alike) {
			best = e
		}
	}
	return best, nil
}

// check refuses figures that are not finite, which only a record with absurd
// numbers can give.
func (s *Sheet) check() error {
	v := s.Work()
	for _, g := range s.Givens {
		if !align.IsFinite(g.Value) {
			return fault(g.ID, "", align.ErrNotFinite)
		}
	}
	for i := range s.Steps {
		if x := v[s.Steps[i].ID]; !align.IsFinite(x) {
			return fault(s.Steps[i].ID, "", align.ErrNotFinite)
		}
	}
	return nil
}

// way is a way of working the sheet, right or with a mistake, and what it gives.
type way struct {
	Mistake
	sheet  *Sheet
	values Values
	tol    map[string]float64
}

func newWay(m Mistake, s *Sheet) way {
	return way{m, s, s.Work(), s.tolerances()}
}

// agrees reports whether an answer is a value within rounding. An answer that is a
// word has no tolerance.
func (w *way) agrees(id string, got, want float64) bool { return math.Abs(got-want) <= w.tol[id] }

// differs reports whether two ways can be told apart by one answer at least.
func (w *way) differs(o *way) bool {
	for _, st := range w.sheet.asked() {
		if st.Plan == nil && math.Abs(w.values[st.ID]-o.values[st.ID]) > w.tol[st.ID]+o.tol[st.ID] {
			return true
		}
	}
	return false
}

// explore finds the mistakes that the exercise gives an occasion for, those that
// change an answer by more than rounding, and which of them are alike.
func (e *Exercise) explore(mistakes []Mistake) {
	e.right = newWay(Mistake{}, e.Sheet)
	for _, m := range slices.Concat(mistakes, anyMistakes) {
		wrong := m.in(e.Sheet)
		if wrong == nil || wrong.check() != nil {
			continue
		}
		if w := newWay(m, wrong); w.differs(&e.right) {
			e.ways = append(e.ways, w)
		}
	}
	for i := range e.ways {
		for j := range i {
			if !e.ways[i].differs(&e.ways[j]) {
				e.Alike = append(e.Alike, [2]string{e.ways[j].Code, e.ways[i].Code})
			}
		}
	}
	e.Distinguishable = len(e.Alike) == 0
}

// Occasions returns the mistakes this exercise gives an occasion for: those that
// would change an answer by more than rounding.
func (e *Exercise) Occasions() []Mistake {
	out := make([]Mistake, len(e.ways))
	for i := range e.ways {
		out[i] = e.ways[i].Mistake
	}
	return out
}

// AnswersWith returns what a learner who makes the mistake with that code would
// write, rounded to the decimals asked: the answers of the key when code is "".
// It fails with ErrMismatch when the exercise gives no occasion for the mistake.
func (e *Exercise) AnswersWith(code string) (map[string]string, error) {
	if code == "" {
		return e.Sheet.written(), nil
	}
	for i := range e.ways {
		if e.ways[i].Code == code {
			return e.ways[i].sheet.written(), nil
		}
	}
	return nil, fault("mistake", code, align.ErrMismatch)
}

// written returns every asked answer as text, a plan left out: it has no single
// answer.
func (s *Sheet) written() map[string]string {
	v := s.Work()
	out := map[string]string{}
	for _, st := range s.asked() {
		if st.Plan == nil {
			out[st.ID] = st.Text(v[st.ID])
		}
	}
	return out
}

// Question is one thing asked of the learner.
type Question struct {
	ID       string
	Says     string
	Unit     align.Unit
	Decimals int
	Choices  []string // the words of an answer that is a word
	Plan     []string // the entries of an answer that is a plan
}

// Questions returns what is asked, in the order of the worksheet.
func (e *Exercise) Questions() (out []Question) {
	for _, st := range e.Sheet.asked() {
		out = append(out, Question{st.ID, st.question(), st.Unit, st.Decimals, slices.Clone(st.Choices), slices.Clone(st.Plan)})
	}
	return out
}
