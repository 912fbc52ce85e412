package whatif

import (
	"context"
	"math"
	"runtime"
	"strconv"
	"sync"
	"sync/atomic"

	"collinear.example/align"
)

// Options say how the work is done. They do not touch the result.
type Options struct {
	// Workers is how many goroutines share the work; 0 stands for as many as there
	// are processors.
	Workers int
	// Progress, where given, is called now and then with how much is done, never by
	// two goroutines at once, and at the end with all.
	Progress func(done, of int)
}

// workers returns the number of goroutines for so many pieces of work.
func (o *Options) workers(pieces int) (int, error) {
	if o.Workers < 0 {
		return 0, fault("workers", strconv.Itoa(o.Workers), align.ErrNegative)
	}
	n := o.Workers
	if n == 0 {
		n = runtime.GOMAXPROCS(0)
	}
	return min(n, pieces), nil
}

// Run works out one row for each combination of values. A row that cannot be
// computed keeps its error in the table and the others go on; so does a row with
// a figure that is not finite, which is an ErrNotFinite naming the column, and
// its other figures are kept.
//
// The rows stand in the order of the combination whatever the number of workers.
// Run fails with what Study.Check and Combination.Rows fail with, with
// ErrTooManyRows over MaxFigures, and with ErrCancelled, saying how many rows were
// done, when the context ends before the last row.
func (s *Study[J, R]) Run(ctx context.Context, c Combination[J], o Options) (*Table, error) {
	if err := s.Check(); err != nil {
		return nil, err
	}
	rows, err := c.Rows()
	if err != nil {
		return nil, err
	}
	if width := len(c.knobs) + len(s.Columns); rows > MaxFigures/width {
		return nil, fault("rows", strconv.Itoa(rows)+" of "+strconv.Itoa(width)+" figures", ErrTooManyRows)
	}
	workers, err := o.workers(rows)
	if err != nil {
		return nil, err
	}
	b := newBatch(s, &c, rows)
	if err := b.checkValues(); err != nil {
		return nil, err
	}
	if err := b.work(ctx, workers, o.Progress); err != nil {
		return nil, err
	}
	return b.finish(), nil
}

// batch is a table at work.
type batch[J, R any] struct {
	study *Study[J, R]
	knobs []Knob[J]
	table *Table
}

func newBatch[J, R any](s *Study[J, R], c *Combination[J], rows int) *batch[J, R] {
	t := &Table{columns: s.headings(), rows: rows, values: make([]float64, rows*len(c.knobs)), computed: make([]bool, rows), errs: make([]error, rows)}
	b := &batch[J, R]{study: s, knobs: c.knobs, table: t}
	t.place = t.places()
	t.numbers = make([]float64, rows*t.numeric)
	t.texts = make([]string, rows*(len(t.columns)-t.numeric))
	c.fill(t.values)
	return b
}

// checkValues wants values that can be printed: a distribution may reach farther
// than numbers go.
func (b *batch[J, R]) checkValues() error {
	for i, v := range b.table.values {
		k := &b.knobs[i%len(b.knobs)]
		if !printable(k.Unit, v*k.size) {
			return fault(index("knobs", i%len(b.knobs))+".values", plain(v), align.ErrNotFinite)
		}
	}
	return nil
}

// work shares the rows out in chunks.
func (b *batch[J, R]) work(ctx context.Context, workers int, progress func(done, of int)) error {
	rows := b.table.rows
	chunk := min(max(rows/(workers*16), 1), 1024)
	var next, done atomic.Int64
	var wait sync.WaitGroup
	var lock sync.Mutex
	for range workers {
		wait.Add(1)
		go func() {
			defer wait.Done()
			var job J
			for {
				first := int(next.Add(int64(chunk))) - chunk
				if first >= rows {
					return
				}
				for row := first; row < min(first+chunk, rows); row++ {
					if ctx.Err() != nil {
						return
					}
					b.row(&job, row)
					done.Add(1)
				}
				report(&lock, progress, &done, rows)
			}
		}()
	}
	wait.Wait()
	if n := int(done.Load()); n < rows {
		return cancelled("run", n, rows, "rows", ctx.Err())
	}
	return nil
}

// report tells the progress, one goroutine at a time.
func report(lock *sync.Mutex, progress func(done, of int), done *atomic.Int64, of int) {
	if progress == nil {
		return
	}
	lock.Lock()
	defer lock.Unlock()
	progress(int(done.Load()), of)
}

// row works out one row.
func (b *batch[J, R]) row(job *J, row int) {
	t := b.table
	b.study.fresh(job)
	values := t.values[row*len(b.knobs) : (row+1)*len(b.knobs)]
	for i := range b.knobs {
		b.knobs[i].set(job, values[i])
	}
	numbers := t.numbers[row*t.numeric : (row+1)*t.numeric]
	r, err := b.study.Compute(job)
	if err != nil {
		t.errs[row] = err
		for i := range numbers {
			numbers[i] = math.NaN() // stands for "none" and never leaves the table
		}
		return
	}
	t.computed[row] = true
	words := len(t.columns) - t.numeric
	texts := t.texts[row*words : (row+1)*words]
	for i := range b.study.Columns {
		at := t.place[i]
		if !b.study.Columns[i].isNumber() {
			texts[at] = b.study.Columns[i].text(r)
			continue
		}
		var wrong error
		if numbers[at], wrong = b.study.figure(i, r); wrong != nil {
			numbers[at] = math.NaN()
			if t.errs[row] == nil {
				t.errs[row] = wrong
			}
		}
	}
}

// finish puts the values of the knobs in SI units and gives the knobs their
// headings.
func (b *batch[J, R]) finish() *Table {
	t := b.table
	width := len(b.knobs)
	column := make([]float64, t.rows)
	for i := range b.knobs {
		k := &b.knobs[i]
		for r := range t.rows {
			v := t.values[r*width+i] * k.size
			t.values[r*width+i] = v
			column[r] = k.Unit.FromSI(v)
		}
		t.knobs = append(t.knobs, Heading{Name: k.Name, Unit: k.Unit, Decimals: decimalsFor(column)})
	}
	return t
}
