package whatif

import (
	"strconv"

	"collinear.example/align"
	"collinear.example/uncertainty"
)

// Study is a job, how to work it out, and what is wanted of the result. J is the
// job, any struct of the caller's or one of the library's own such as
// align.ReverseIndicator; R is the result, of any type.
type Study[J, R any] struct {
	Job J // as it stands: every row starts from it
	// Copy makes dst the same as src, sharing nothing that a Knob changes. Nil
	// stands for plain assignment, which does when no Knob reaches into a slice,
	// a map or behind a pointer.
	Copy func(dst, src *J)
	// Compute works the job out. It may be called from several goroutines at a
	// time, each with a job of its own.
	Compute func(*J) (R, error)
	Columns []Column[R]
}

// MaxColumns bounds the columns of a Study, and the knobs turned together.
const MaxColumns = 1000

// Check returns an error when the study cannot be run: ErrMissing for a function
// or a name, ErrNoOutputs without columns, ErrUnknownUnit, ErrWrongUnit or
// ErrOutOfRange.
func (s *Study[J, R]) Check() error {
	switch {
	case s.Compute == nil:
		return fault("compute", "", align.ErrMissing)
	case len(s.Columns) == 0:
		return fault("columns", "", uncertainty.ErrNoOutputs)
	case len(s.Columns) > MaxColumns:
		return fault("columns", strconv.Itoa(len(s.Columns)), align.ErrOutOfRange)
	}
	for i := range s.Columns {
		if err := s.Columns[i].check(index("columns", i)); err != nil {
			return err
		}
	}
	return nil
}

// checkNumbers is Check for what needs a column of numbers, and returns which
// columns those are.
func (s *Study[J, R]) checkNumbers() ([]int, error) {
	if err := s.Check(); err != nil {
		return nil, err
	}
	var numbers []int
	for i := range s.Columns {
		if s.Columns[i].isNumber() {
			numbers = append(numbers, i)
		}
	}
	if len(numbers) == 0 {
		return nil, fault("columns", "", uncertainty.ErrNoOutputs)
	}
	return numbers, nil
}

// fresh makes j the job as given.
func (s *Study[J, R]) fresh(j *J) {
	if s.Copy == nil {
		*j = s.Job
		return
	}
	s.Copy(j, &s.Job)
}

// headings are the columns without their functions.
func (s *Study[J, R]) headings() []Heading {
	h := make([]Heading, len(s.Columns))
	for i := range s.Columns {
		c := &s.Columns[i]
		h[i] = Heading{Name: c.Name, Unit: c.Unit, Decimals: c.Decimals}
		if !c.isNumber() {
			h[i].Unit, h[i].Decimals = "", 0
		}
	}
	return h
}

// figure takes the number of column i from a result, in SI units, and wants it
// finite, in its unit too.
func (s *Study[J, R]) figure(i int, r R) (float64, error) {
	c := &s.Columns[i]
	v := c.value(r)
	if !printable(c.Unit, v) {
		return 0, fault("column "+c.Name, plain(v), align.ErrNotFinite)
	}
	return v, nil
}

// numbers works job j out and fills out with the figures of the columns named.
func (s *Study[J, R]) numbers(j *J, columns []int, out []float64) error {
	r, err := s.Compute(j)
	if err != nil {
		return err
	}
	for k, i := range columns {
		if out[k], err = s.figure(i, r); err != nil {
			return err
		}
	}
	return nil
}
