package lp

import (
	"context"
	"errors"
	"fmt"
	"math"
)

// The faults of a problem that cannot be read. They are wrapped in an Error
// that names the place.
var (
	ErrNotFinite = errors.New("not a finite number")
	ErrTooLarge  = errors.New("larger than 2^480: multipliers could not hold their digits")
	ErrShape     = errors.New("wrong number of elements")
	ErrCrossed   = errors.New("lower limit above upper limit")
)

// ErrStopped says that a search ended before it could prove its answer.
var ErrStopped = errors.New("lp: stopped before an answer was proved")

// Error says which part of a problem cannot be used. Err is one of the faults.
type Error struct {
	Part  string // "C", "Lower", "Upper", "Rows", "Lo", "Hi"
	Index int    // the variable or row, -1 for the whole part
	Err   error
}

// Error names the part, the index and the fault.
func (e *Error) Error() string {
	if e.Index < 0 {
		return fmt.Sprintf("lp: %s: %v", e.Part, e.Err)
	}
	return fmt.Sprintf("lp: %s[%d]: %v", e.Part, e.Index, e.Err)
}

// Unwrap returns the fault.
func (e *Error) Unwrap() error { return e.Err }

// Problem asks for the least C·x with Lo[i] <= Rows[i]·x <= Hi[i] and
// Lower <= x <= Upper. An absent limit is an infinity; Lo[i] == Hi[i] is an
// equation.
type Problem struct {
	C            []float64
	Lower, Upper []float64
	Rows         [][]float64
	Lo, Hi       []float64

	store []float64 // where rows are kept one after another
}

// New returns a problem of n free variables, no rows and a zero objective.
func New(n int) *Problem {
	all := make([]float64, 3*n)
	p := &Problem{C: all[:n:n], Lower: all[n : 2*n : 2*n], Upper: all[2*n:]}
	for j := range n {
		p.Lower[j], p.Upper[j] = math.Inf(-1), math.Inf(1)
	}
	return p
}

// Add appends a copy of the row with its limits and returns its index. Numbers of the
// row that are negligible count as none.
func (p *Problem) Add(row []float64, lo, hi float64) int {
	if len(p.store)+len(row) > cap(p.store) {
		// Rows already handed out keep the old block.
		p.store = make([]float64, 0, max(16*len(row), 2*cap(p.store)))
	}
	at := len(p.store)
	for _, v := range row {
		if negligible(v) {
			v = 0
		}
		p.store = append(p.store, v)
	}
	p.Rows = append(p.Rows, p.store[at:len(p.store):len(p.store)])
	p.Lo, p.Hi = append(p.Lo, lo), append(p.Hi, hi)
	return len(p.Rows) - 1
}

// Solve returns the proved answer. The error is of type *Error and says that the
// problem cannot be read; ctx may be nil, and when it ends the status is Stopped.
func (p *Problem) Solve(ctx context.Context) (Solution, error) {
	s := NewSolver(p)
	return s.Solve(ctx)
}

func (p *Problem) validate() error {
	n, m := len(p.C), len(p.Rows)
	for _, part := range []struct {
		name      string
		got, want int
	}{{"Lower", len(p.Lower), n}, {"Upper", len(p.Upper), n}, {"Lo", len(p.Lo), m}, {"Hi", len(p.Hi), m}} {
		if part.got != part.want {
			return &Error{part.name, -1, ErrShape}
		}
	}
	if j := notFinite(p.C); j >= 0 {
		return &Error{"C", j, ErrNotFinite}
	}
	if j := tooLarge(p.C); j >= 0 {
		return &Error{"C", j, ErrTooLarge}
	}
	for i, row := range p.Rows {
		if len(row) != n {
			return &Error{"Rows", i, ErrShape}
		}
		if notFinite(row) >= 0 {
			return &Error{"Rows", i, ErrNotFinite}
		}
		if tooLarge(row) >= 0 {
			return &Error{"Rows", i, ErrTooLarge}
		}
	}
	if err := limits("Lower", "Upper", p.Lower, p.Upper); err != nil {
		return err
	}
	return limits("Lo", "Hi", p.Lo, p.Hi)
}

// limits refuses a NaN, a limit at the wrong infinity and a crossed pair.
func limits(low, high string, lo, hi []float64) error {
	for i := range lo {
		switch {
		case math.IsNaN(lo[i]) || math.IsInf(lo[i], 1):
			return &Error{low, i, ErrNotFinite}
		case math.IsNaN(hi[i]) || math.IsInf(hi[i], -1):
			return &Error{high, i, ErrNotFinite}
		case lo[i] > hi[i]:
			return &Error{low, i, ErrCrossed}
		}
	}
	return nil
}

// tooLarge returns the first index that holds more than can be scaled both ways, or -1.
func tooLarge(v []float64) int {
	for i, x := range v {
		if math.Abs(x) > largest {
			return i
		}
	}
	return -1
}

// notFinite returns the first index that holds a NaN or an infinity, or -1.
func notFinite(v []float64) int {
	for i, x := range v {
		if x-x != 0 {
			return i
		}
	}
	return -1
}
