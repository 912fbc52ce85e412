package whatif

import (
	"math/rand/v2"
	"strconv"

	"collinear.example/align"
)

// Bounds on the work of one table.
const (
	MaxRows    = 1_000_000  // rows
	MaxFigures = 20_000_000 // rows times knobs and columns
)

// Combination says which values of the knobs make a row. Make one with Each,
// Grid, Paired or LatinHypercube.
type Combination[J any] struct {
	knobs []Knob[J]
	kind  combinationKind
	n     int
	seed  uint64
}

type combinationKind uint8

const (
	noCombination combinationKind = iota
	grid
	paired
	hypercube
)

// Each is one row for each value of one knob.
func Each[J any](k Knob[J]) Combination[J] { return Grid(k) }

// Grid is every combination of the values of the knobs. The first knob changes
// slowest. The number of rows is the product of the numbers of values, and may not
// be over MaxRows.
func Grid[J any](knobs ...Knob[J]) Combination[J] {
	return Combination[J]{knobs: knobs, kind: grid}
}

// Paired is one row for the first value of every knob, one for the second and so
// on. The knobs must have the same number of values.
func Paired[J any](knobs ...Knob[J]) Combination[J] {
	return Combination[J]{knobs: knobs, kind: paired}
}

// LatinHypercube is n rows drawn at random: the range of each knob is cut in n
// parts of the same probability, each part gives one value, and the parts of the
// knobs are combined at random (M. D. McKay, R. J. Beckman and W. J. Conover,
// Technometrics 21, 1979, from memory). The knobs are Range and Deviation; a
// Range gives every value the same weight.
//
// The same seed gives the same rows. Each knob draws from its own permuted
// congruential generator, seeded with seed and its place, so that a further knob
// leaves the values of the others as they were.
func LatinHypercube[J any](n int, seed uint64, knobs ...Knob[J]) Combination[J] {
	return Combination[J]{knobs: knobs, kind: hypercube, n: n, seed: seed}
}

// Rows returns how many rows the combination makes. It fails with what Study.Run
// would fail with: ErrMissing without knobs or values, ErrMismatch for knobs that
// do not pair, ErrNotListed or ErrNotARange for a knob of the wrong kind,
// ErrOutOfRange, ErrNotFinite, ErrUnknownUnit, ErrWrongUnit or ErrTooManyRows.
func (c *Combination[J]) Rows() (int, error) {
	if c.kind == noCombination || len(c.knobs) == 0 {
		return 0, fault("knobs", "", align.ErrMissing)
	}
	if len(c.knobs) > MaxColumns {
		return 0, fault("knobs", strconv.Itoa(len(c.knobs)), align.ErrOutOfRange)
	}
	for i := range c.knobs {
		if err := c.checkKnob(i); err != nil {
			return 0, err
		}
	}
	switch c.kind {
	case grid:
		return c.gridRows()
	case paired:
		return c.pairedRows()
	}
	return c.hypercubeRows()
}

func (c *Combination[J]) checkKnob(i int) error {
	k, field := &c.knobs[i], index("knobs", i)
	if err := k.check(field); err != nil {
		return err
	}
	if c.kind == hypercube && k.kind == listed {
		return fault(field, strconv.Quote(k.Name), ErrNotARange)
	}
	if c.kind != hypercube && k.kind == drawn {
		return fault(field, strconv.Quote(k.Name), ErrNotListed)
	}
	return nil
}

func (c *Combination[J]) gridRows() (int, error) {
	rows := 1
	for i := range c.knobs {
		n := c.knobs[i].count()
		if rows > MaxRows/n {
			return 0, fault("knobs", "more than "+strconv.Itoa(MaxRows)+" combinations", ErrTooManyRows)
		}
		rows *= n
	}
	return rows, nil
}

func (c *Combination[J]) pairedRows() (int, error) {
	rows := c.knobs[0].count()
	for i := range c.knobs {
		if n := c.knobs[i].count(); n != rows {
			return 0, fault(index("knobs", i), strconv.Itoa(n)+" values, the first has "+strconv.Itoa(rows), align.ErrMismatch)
		}
	}
	return rows, nil
}

func (c *Combination[J]) hypercubeRows() (int, error) {
	if c.n < 1 {
		return 0, fault("n", strconv.Itoa(c.n), align.ErrOutOfRange)
	}
	if c.n > MaxRows {
		return 0, fault("n", strconv.Itoa(c.n), ErrTooManyRows)
	}
	return c.n, nil
}

// fill writes the values of the knobs row by row, in the units of the fields'
// types. The combination must have passed Rows.
func (c *Combination[J]) fill(values []float64) {
	width := len(c.knobs)
	rows := len(values) / width
	run := rows // how many rows a value of the knob stays
	for i := range c.knobs {
		k := &c.knobs[i]
		if c.kind == hypercube {
			fillStratified(k, rand.New(rand.NewPCG(c.seed, uint64(i))), values[i:], width)
			continue
		}
		n := k.count()
		if c.kind == paired {
			run = 1
		} else {
			run /= n
		}
		for r := range rows {
			values[r*width+i] = k.at(r / run % n)
		}
	}
}

// fillStratified writes one value from each stratum, in random order.
func fillStratified[J any](k *Knob[J], r *rand.Rand, values []float64, width int) {
	rows := (len(values)-1)/width + 1
	for row, stratum := range r.Perm(rows) {
		values[row*width] = k.quantile(withinStratum(r, stratum, rows))
	}
}

// withinStratum draws a probability from part i of n, never 0 or 1. A draw that
// rounds into the next part is drawn again.
func withinStratum(r *rand.Rand, i, n int) float64 {
	for {
		p := (float64(i) + r.Float64()) / float64(n)
		if p > 0 && p < 1 && int(p*float64(n)) == i {
			return p
		}
	}
}
