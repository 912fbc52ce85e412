package worksheet

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"iter"
	"math"
	"runtime"
	"strconv"
	"sync/atomic"
	"testing"
	"time"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// jobsOf are the good records, one after the other and over again.
func jobsOf(t testing.TB, n int) iter.Seq2[string, *Record] {
	t.Helper()
	var records []*Record
	for _, file := range []string{"reverse-mm.json", "only-train.json", "every-part.json", "rim-and-face-inch.json"} {
		r, err := Parse(goodRecords(t)[file])
		require.NoError(t, err)
		records = append(records, r)
	}
	return numbered(n, func(i int) *Record { return records[i%len(records)] })
}

// numbered gives n values, named by their numbers.
func numbered[T any](n int, value func(i int) T) iter.Seq2[string, T] {
	return func(yield func(string, T) bool) {
		for i := range n {
			if !yield(fmt.Sprint(i), value(i)) {
				return
			}
		}
	}
}

// noGoroutineLeft wants as many goroutines as before, after a while.
func noGoroutineLeft(t *testing.T, before int) {
	t.Helper()
	for range 1000 {
		if runtime.NumGoroutine() <= before {
			return
		}
		time.Sleep(time.Millisecond)
	}
	require.LessOrEqual(t, runtime.NumGoroutine(), before)
}

func TestBatchKeepsOrder(t *testing.T) {
	const n = 60
	var want []string
	for _, r := range jobsOf(t, n) {
		v, err := r.Evaluate()
		require.NoError(t, err)
		want = append(want, jsonOf(t, &v))
	}
	for _, workers := range []int{1, 2, 7} {
		all := EvaluateAll(context.Background(), jobsOf(t, n), workers)
		for range 2 { // a sequence can be ranged over again
			i := 0
			for e := range all {
				require.NoError(t, e.Err)
				require.Equal(t, fmt.Sprint(i), e.Name)
				require.Equal(t, want[i], jsonOf(t, &e.Evaluation), "%d workers give the same bytes as none", workers)
				i++
			}
			require.Equal(t, n, i)
		}
	}
}

func jsonOf(t testing.TB, v *Evaluation) string {
	t.Helper()
	b, err := json.Marshal(v)
	require.NoError(t, err)
	return string(b)
}

func TestBatchReportsAreTheSameBytes(t *testing.T) {
	var want []string
	for _, workers := range []int{1, 2, 7} {
		var got []string
		for e := range EvaluateAll(context.Background(), jobsOf(t, 12), workers) {
			for _, s := range styles {
				got = append(got, reported(t, &e.Evaluation, s, InBoth))
			}
		}
		if want == nil {
			want = got
		}
		require.Equal(t, want, got)
	}
}

func TestBatchOneBadStopsNone(t *testing.T) {
	bad := everyPart(t)
	bad.Title = ""
	for _, workers := range []int{1, 3} {
		var got []string
		for e := range EvaluateAll(context.Background(), func(yield func(string, *Record) bool) {
			_ = yield("first", everyPart(t)) && yield("nil", nil) && yield("bad", bad) && yield("empty", &Record{}) && yield("last", everyPart(t))
		}, workers) {
			got = append(got, e.Name)
			switch e.Name {
			case "first", "last":
				require.NoError(t, e.Err)
				require.NotEmpty(t, e.Evaluation.Findings)
			case "nil":
				wantFault(t, e.Err, align.ErrMissing, "record")
			case "bad":
				wantFault(t, e.Err, align.ErrMissing, "title")
			case "empty":
				require.Error(t, e.Err)
				require.NotEmpty(t, align.CodeOf(e.Err))
			}
			require.Equal(t, e.Err != nil, e.Evaluation.Format == "", "an error or an evaluation")
		}
		require.Equal(t, []string{"first", "nil", "bad", "empty", "last"}, got)
	}
}

func TestBatchTexts(t *testing.T) {
	good := goodRecords(t)["reverse-mm.json"]
	texts := []struct {
		text []byte
		code align.Fault
	}{{good, ""}, {nil, ErrBadJSON}, {[]byte("{"), ErrBadJSON}, {bytes.Replace(good, []byte(Format), []byte("another 1"), 1), ErrUnknownFormat}, {[]byte(`[]`), ErrWrongType},
		{make([]byte, maxSize+1), ErrTooLarge}, {good, ""}}
	r, err := Parse(good)
	require.NoError(t, err)
	v, err := r.Evaluate()
	require.NoError(t, err)
	n := 0
	for e := range EvaluateTexts(context.Background(), numbered(len(texts), func(i int) []byte { return texts[i].text }), 2) {
		require.Equal(t, fmt.Sprint(n), e.Name)
		if code := texts[n].code; code == "" {
			require.NoError(t, e.Err)
			require.Equal(t, jsonOf(t, &v), jsonOf(t, &e.Evaluation))
		} else {
			require.ErrorIs(t, e.Err, code, e.Name)
		}
		n++
	}
	require.Equal(t, len(texts), n)
}

// The records are asked for as there is room: with a slow taker, never more than
// two a worker before the first of them has come back.
func TestBatchHoldsFewRecords(t *testing.T) {
	for _, workers := range []int{1, 2, 7} {
		asked, taken, most := 0, 0, 0
		counted := func(yield func(string, *Record) bool) {
			for name, r := range jobsOf(t, 50) {
				asked++ // by the goroutine that takes: there is no race
				most = max(most, asked-taken)
				if !yield(name, r) {
					return
				}
			}
		}
		for range EvaluateAll(context.Background(), counted, workers) {
			if taken%10 == 0 {
				time.Sleep(2 * time.Millisecond)
			}
			taken++
		}
		require.Equal(t, 50, taken)
		require.Equal(t, 2*workers, most, "%d workers: all the room is used, and no more", workers)
	}
}

func TestBatchLeftEarly(t *testing.T) {
	before := runtime.NumGoroutine()
	for _, leaveAfter := range []int{1, 3, 20} {
		asked, stopped := 0, false
		records := func(yield func(string, *Record) bool) {
			defer func() { stopped = true }()
			for name, r := range jobsOf(t, 1000) {
				asked++
				if !yield(name, r) {
					return
				}
			}
		}
		taken := 0
		for e := range EvaluateAll(context.Background(), records, 3) {
			require.NoError(t, e.Err)
			if taken++; taken == leaveAfter {
				break
			}
		}
		assert.True(t, stopped, "the iterator is told")
		assert.LessOrEqual(t, asked, leaveAfter+2*3)
		noGoroutineLeft(t, before)
	}
}

// What has not been begun when the loop is left is not begun any more. Two workers
// hold four: one comes back, two are in work, and the fourth waits in vain.
func TestBatchLeftEarlyBeginsNothing(t *testing.T) {
	release := make(chan struct{})
	var begun atomic.Int64
	work := func(i int) (Evaluation, error) {
		begun.Add(1)
		if i > 0 {
			<-release
		}
		return Evaluation{}, nil
	}
	for range inOrder(context.Background(), numbered(100, func(i int) int { return i }), 2, work) {
		for begun.Load() < 3 {
			time.Sleep(time.Millisecond)
		}
		time.AfterFunc(20*time.Millisecond, func() { close(release) })
		break
	}
	require.EqualValues(t, 3, begun.Load())
}

// A panic of the iterator or of the loop goes on to whoever ranges, and leaves
// nothing behind.
func TestBatchPanicsOfOthers(t *testing.T) {
	before := runtime.NumGoroutine()
	require.PanicsWithValue(t, "iterator", func() {
		for range EvaluateAll(context.Background(), numbered(9, func(i int) *Record {
			if i == 5 {
				panic("iterator")
			}
			return everyPart(t)
		}), 2) {
			continue
		}
	})
	require.PanicsWithValue(t, "loop", func() {
		for range EvaluateAll(context.Background(), jobsOf(t, 100), 2) {
			panic("loop")
		}
	})
	noGoroutineLeft(t, before)
}

func TestBatchEndsWithContext(t *testing.T) {
	before := runtime.NumGoroutine()
	done, cancel := context.WithCancel(context.Background())
	cancel()
	late, cancel := context.WithDeadline(context.Background(), time.Unix(0, 0))
	defer cancel()
	for want, ctx := range map[error]context.Context{context.Canceled: done, context.DeadlineExceeded: late} {
		var got []Evaluated
		for e := range EvaluateAll(ctx, jobsOf(t, 10), 2) {
			got = append(got, e)
		}
		require.Len(t, got, 1)
		require.Equal(t, "0", got[0].Name)
		require.ErrorIs(t, got[0].Err, want)
		for range EvaluateAll(ctx, jobsOf(t, 0), 2) {
			require.Fail(t, "nothing was asked for, so nothing was left out")
		}
	}
	for range 20 { // wherever the workers are
		ctx, cancel := context.WithCancel(context.Background())
		n, ended := 0, false
		for e := range EvaluateAll(ctx, jobsOf(t, 1000), 2) {
			require.False(t, ended, "nothing comes behind the error")
			require.Equal(t, fmt.Sprint(n), e.Name, "in order to the end")
			if n++; n == 5 {
				cancel()
			}
			if ended = e.Err != nil; ended {
				require.ErrorIs(t, e.Err, context.Canceled)
				require.Empty(t, e.Evaluation.Format)
			}
		}
		cancel()
		require.True(t, ended)
		require.LessOrEqual(t, n, 5+2*2+1, "what was in hand, and the one with the error")
	}
	noGoroutineLeft(t, before)
}

// A context that ends when everything has been asked for and worked out takes
// nothing away.
func TestBatchContextEndsTooLate(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	n := 0
	for e := range EvaluateAll(ctx, jobsOf(t, 3), 2) {
		require.NoError(t, e.Err)
		if n++; n == 3 {
			cancel()
		}
	}
	require.Equal(t, 3, n)
}

func TestBatchOddArguments(t *testing.T) {
	before := runtime.NumGoroutine()
	for _, workers := range []int{0, -1, math.MinInt, 5000, math.MaxInt} {
		n := 0
		//lint:ignore SA1012 a nil context is what is tried
		for e := range EvaluateAll(nil, jobsOf(t, 9), workers) {
			require.NoError(t, e.Err)
			n++
		}
		require.Equal(t, 9, n)
	}
	for range EvaluateAll(context.Background(), nil, 2) {
		require.Fail(t, "no records")
	}
	for range EvaluateTexts(context.Background(), nil, 2) {
		require.Fail(t, "no texts")
	}
	noGoroutineLeft(t, before)
}

// Several goroutines can range over one sequence, when its iterator allows it.
func TestBatchRangedOverAtOnce(t *testing.T) {
	all := EvaluateAll(context.Background(), jobsOf(t, 20), 2)
	var n atomic.Int64
	t.Run("group", func(t *testing.T) {
		for range 3 {
			t.Run("one", func(t *testing.T) {
				t.Parallel()
				for e := range all {
					assert.NoError(t, e.Err)
					n.Add(1)
				}
			})
		}
	})
	require.EqualValues(t, 3*20, n.Load())
}

// Many jobs take no more memory than some: between the middle and the end of a
// long batch the heap stays as it is. One evaluation of these takes about 100 kB,
// so a batch that kept them would grow by a hundred megabytes.
func TestBatchMemoryIsSteady(t *testing.T) {
	text := goodRecords(t)["reverse-mm.json"]
	steady(t, 2_000, 6_000, func(jobs int) iter.Seq[Evaluated] {
		return EvaluateTexts(context.Background(), numbered(jobs, func(int) []byte { return bytes.Clone(text) }), 2)
	})
}

// The same for a number of jobs that is beyond any plant, each with little to
// work out.
func TestBatchOfVeryMany(t *testing.T) {
	r, err := Parse(goodRecords(t)["only-train.json"])
	require.NoError(t, err)
	steady(t, 2_000, 100_000, func(jobs int) iter.Seq[Evaluated] {
		return EvaluateAll(context.Background(), numbered(jobs, func(int) *Record { c := *r; return &c }), 2)
	})
}

// steady ranges over a batch, wants it whole and in order, and the heap as large
// at its end as in its middle.
func steady(t *testing.T, short, long int, batch func(jobs int) iter.Seq[Evaluated]) {
	t.Helper()
	jobs := long
	if testing.Short() {
		jobs = short
	}
	n := 0
	var middle, end uint64
	for e := range batch(jobs) {
		if e.Err != nil || e.Name != strconv.Itoa(n) || e.Evaluation.Format != FindingsFormat {
			require.Fail(t, "not what stands in line", "%s instead of %d: %v", e.Name, n, e.Err)
		}
		switch n++; n {
		case jobs / 2:
			middle = heap()
		case jobs - 4: // as many in hand as in the middle
			end = heap()
		}
	}
	require.Equal(t, jobs, n)
	require.InDelta(t, float64(middle), float64(end), 2<<20)
}

// heap is what is in use on the heap after a collection.
func heap() uint64 {
	var m runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&m)
	return m.HeapAlloc
}
