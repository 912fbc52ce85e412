package worksheet

import (
	"context"
	"iter"
	"runtime"
	"sync"
)

// Evaluated is one record of a batch, worked out.
type Evaluated struct {
	Name       string // as it came in
	Evaluation Evaluation
	Err        error // why this record could not be worked out; it stops no other
}

// EvaluateAll works out many named records on several workers and gives them back
// in the order in which they came. No more than two records a worker are held at
// a time, however many there are, and as many are asked for before the first
// comes back, one by one, by whoever ranges over the sequence. Workers below one
// takes as many as there are processors, and more than 1024 are taken for 1024.
//
// A record that does not hold together comes back with its error; a nil one with
// ErrMissing. When ctx ends, what has been worked out by then still comes back,
// then the next in line with the error of ctx, and there the sequence ends; a nil
// ctx never ends. The sequence may be left at any time; nothing goes on behind it.
func EvaluateAll(ctx context.Context, records iter.Seq2[string, *Record], workers int) iter.Seq[Evaluated] {
	return inOrder(ctx, records, workers, (*Record).Evaluate)
}

// EvaluateTexts does the same for records as text: each is read by Parse first,
// and one that cannot be read comes back with the error of Parse. A text must not
// be changed before its record has come back.
func EvaluateTexts(ctx context.Context, texts iter.Seq2[string, []byte], workers int) iter.Seq[Evaluated] {
	return inOrder(ctx, texts, workers, func(text []byte) (Evaluation, error) {
		r, err := Parse(text)
		if err != nil {
			return Evaluation{}, err
		}
		return r.Evaluate()
	})
}

// perWorker is how many records a worker holds: the one it works on and the next.
const perWorker = 2

// mostWorkers keeps the room for a batch small, whatever is asked for.
const mostWorkers = 1024

// job is one record on its way through a batch.
type job[T any] struct {
	name string
	of   T
	out  chan Evaluated // has room for the one answer, so that no worker ever waits
}

func inOrder[T any](ctx context.Context, in iter.Seq2[string, T], workers int, work func(T) (Evaluation, error)) iter.Seq[Evaluated] {
	if workers < 1 {
		workers = runtime.GOMAXPROCS(0)
	}
	workers = min(workers, mostWorkers)
	if ctx == nil { // never done
		ctx = context.Background()
	}
	return func(yield func(Evaluated) bool) {
		if in == nil { // no records
			return
		}
		// The records are pulled by whoever ranges over the sequence, so that an
		// iterator that is no good for two goroutines is good enough.
		next, stop := iter.Pull2(in)
		defer stop()
		ctx, cancel := context.WithCancel(ctx)
		jobs := make(chan job[T], perWorker*workers)
		var busy sync.WaitGroup
		for range workers {
			busy.Add(1)
			go func() {
				defer busy.Done()
				for j := range jobs {
					j.out <- j.run(ctx, work)
				}
			}()
		}
		defer busy.Wait()
		defer close(jobs)
		defer cancel()

		var line []job[T]
		for more := true; ; {
			for more && len(line) < perWorker*workers && ctx.Err() == nil {
				var j job[T]
				if j.name, j.of, more = next(); more {
					j.out = make(chan Evaluated, 1)
					jobs <- j
					line = append(line, j)
				}
			}
			if len(line) == 0 {
				if more && ctx.Err() != nil {
					if name, _, ok := next(); ok {
						yield(Evaluated{Name: name, Err: ctx.Err()})
					}
				}
				return
			}
			first := line[0]
			line = append(line[:0], line[1:]...)
			got := <-first.out
			if !yield(got) || got.Err != nil && got.Err == ctx.Err() {
				return
			}
		}
	}
}

// run works one record out, unless the batch has ended.
func (j job[T]) run(ctx context.Context, work func(T) (Evaluation, error)) Evaluated {
	if err := ctx.Err(); err != nil {
		return Evaluated{Name: j.name, Err: err}
	}
	v, err := work(j.of)
	return Evaluated{Name: j.name, Evaluation: v, Err: err}
}
