package uncertainty

import (
	"context"
	"math/rand/v2"
	"runtime"
	"strconv"
	"sync"
	"sync/atomic"

	"collinear.example/align"
)

// blockTrials is how many trials share one stream of random numbers. It is the
// smallest size JCGM 101:2008, 7.9.4 gives to a sequence of its adaptive
// procedure.
const blockTrials = 10_000

// MaxNumbers bounds what a simulation may store: trials times outputs.
const MaxNumbers = 200_000_000

// Simulation says how to simulate.
type Simulation struct {
	Seed   uint64 // the same seed gives the same trials, on any number of cores
	Trials int    // how many, rounded up to whole blocks of 10,000; 0 stands for 200,000
	// Workers is how many goroutines share the work; 0 stands for as many as there
	// are processors. It does not touch the result.
	Workers int
	// Progress, where given, is called after each block with the trials done so
	// far, never by two goroutines at once.
	Progress func(done, of int)
}

// defaultTrials gives a 95 % interval two significant digits in most cases
// (JCGM 101:2008, 7.2.2, suggests 10^6 for the third).
const defaultTrials = 200_000

// Simulate draws every source at random, works the job out and keeps the
// answers: the propagation of distributions (JCGM 101:2008, 7). Each block of
// 10,000 trials has its own stream, a permuted congruential generator seeded with
// Seed and the number of the block, so that the result depends on Seed and Trials
// alone.
//
// It fails with ErrTrialFailed at the first trial that cannot be computed,
// naming the trial; with ErrNotNormal when a correlated source is not normal;
// with ErrTooManyTrials over MaxNumbers; and with ErrCancelled when the context
// ends.
func (m *Model[J]) Simulate(ctx context.Context, s Simulation) (*Sample, error) {
	if s.Trials == 0 {
		s.Trials = defaultTrials
	}
	if s.Trials < 0 {
		return nil, fault("trials", strconv.Itoa(s.Trials), align.ErrNegative)
	}
	run, err := m.newRun(ctx, s)
	if err != nil {
		return nil, err
	}
	blocks := (s.Trials-1)/blockTrials + 1
	if blocks > MaxNumbers/blockTrials/len(m.Outputs) {
		return nil, fault("trials", strconv.Itoa(s.Trials), ErrTooManyTrials)
	}
	if err := run.extend(blocks, blocks); err != nil {
		return nil, err
	}
	return &Sample{outputs: m.Outputs, values: run.values}, nil
}

// run is a simulation at work.
type run[J any] struct {
	model  *Model[J]
	ctx    context.Context
	seed   uint64
	joint  *joint
	values []float64 // trial by trial, an output beside the other

	workers  int
	progress func(done, of int)
	lock     sync.Mutex
	done     int // blocks
}

func (m *Model[J]) newRun(ctx context.Context, s Simulation) (*run[J], error) {
	if err := m.Check(); err != nil {
		return nil, err
	}
	if s.Workers < 0 {
		return nil, fault("workers", strconv.Itoa(s.Workers), align.ErrNegative)
	}
	if s.Workers == 0 {
		s.Workers = runtime.GOMAXPROCS(0)
	}
	j, err := m.joint()
	if err != nil {
		return nil, err
	}
	return &run[J]{model: m, ctx: ctx, seed: s.Seed, joint: j, workers: s.Workers, progress: s.Progress}, nil
}

// extend works out blocks until there are total of them; of is how many the
// progress is told of.
func (r *run[J]) extend(total, of int) error {
	width := len(r.model.Outputs)
	from := len(r.values) / (blockTrials * width)
	grown := make([]float64, total*blockTrials*width)
	copy(grown, r.values)
	r.values = grown

	var next atomic.Int64
	next.Store(int64(from))
	failures := make([]error, total)
	var stop atomic.Bool
	var wait sync.WaitGroup
	for range min(r.workers, total-from) {
		wait.Add(1)
		go func() {
			defer wait.Done()
			w := r.newWorker()
			for {
				b := int(next.Add(1)) - 1
				if b >= total || stop.Load() {
					return
				}
				if failures[b] = r.block(w, b); failures[b] != nil {
					stop.Store(true)
					return
				}
				r.report(of)
			}
		}()
	}
	wait.Wait()
	// Blocks are handed out in order, so the first failure is the same whoever
	// met it: every block before it was worked out.
	for _, err := range failures {
		if err != nil {
			return err
		}
	}
	return nil
}

func (r *run[J]) report(of int) {
	r.lock.Lock()
	defer r.lock.Unlock()
	r.done++
	if r.progress != nil {
		r.progress(r.done*blockTrials, of*blockTrials)
	}
}

// worker is what one goroutine keeps from trial to trial.
type worker[J any] struct {
	job     J
	pcg     *rand.PCG
	random  *rand.Rand
	normals []float64
}

func (r *run[J]) newWorker() *worker[J] {
	pcg := rand.NewPCG(0, 0)
	return &worker[J]{pcg: pcg, random: rand.New(pcg), normals: make([]float64, r.joint.size())}
}

// block works out the trials of block b.
func (r *run[J]) block(w *worker[J], b int) error {
	if err := r.ctx.Err(); err != nil {
		return &align.InputError{Package: "uncertainty", Field: "simulation", Err: ErrCancelled,
			Meaning: meanings[ErrCancelled] + ": " + err.Error()}
	}
	w.pcg.Seed(r.seed, uint64(b))
	width := len(r.model.Outputs)
	first := b * blockTrials
	for t := first; t < first+blockTrials; t++ {
		out := r.values[t*width : (t+1)*width : (t+1)*width]
		if err := r.trial(w, out); err != nil {
			return failed("trial "+strconv.Itoa(t), err)
		}
	}
	return nil
}

// trial draws the sources in the order given and works the job out.
func (r *run[J]) trial(w *worker[J], out []float64) error {
	m := r.model
	m.fresh(&w.job)
	if r.joint != nil {
		r.joint.draw(w.normals, w.random)
	}
	for i := range m.Sources {
		s := &m.Sources[i]
		if r.joint != nil && r.joint.place[i] >= 0 {
			s.apply(&w.job, s.d.size*w.normals[r.joint.place[i]])
			continue
		}
		s.apply(&w.job, s.d.draw(w.random))
	}
	return m.compute(&w.job, out)
}

// joint draws correlated standard normal numbers.
type joint struct {
	place  []int       // for each source its row, -1 when it stands alone
	factor [][]float64 // lower Cholesky factor of the correlations
}

// joint returns how to draw the correlated sources, nil when there are none. A
// vector of independent standard normals multiplied by the Cholesky factor has
// the correlations wanted (JCGM 101:2008, 6.4.8).
func (m *Model[J]) joint() (*joint, error) {
	r, err := m.correlations()
	if err != nil || r == nil {
		return nil, err
	}
	j := &joint{place: make([]int, len(r))}
	var rows []int
	for i := range r {
		j.place[i] = -1
		if !isCorrelated(r[i], i) {
			continue
		}
		if m.Sources[i].Shape() != NormalShape {
			return nil, fault("source "+m.Sources[i].Name, m.Sources[i].Shape().String(), ErrNotNormal)
		}
		j.place[i] = len(rows)
		rows = append(rows, i)
	}
	part := make([][]float64, len(rows))
	for a, i := range rows {
		part[a] = make([]float64, len(rows))
		for b, k := range rows {
			part[a][b] = r[i][k]
		}
	}
	var ok bool
	if j.factor, ok = cholesky(part); !ok {
		return nil, fault("correlations", "", ErrCorrelation)
	}
	return j, nil
}

func (j *joint) size() int {
	if j == nil {
		return 0
	}
	return len(j.factor)
}

// draw fills z with correlated standard normal numbers. Rows are worked out from
// the last, so that each only needs the plain draws that still stand before it.
func (j *joint) draw(z []float64, r *rand.Rand) {
	for i := range z {
		z[i] = r.NormFloat64()
	}
	for i := len(z) - 1; i >= 0; i-- {
		v := 0.0
		for k := 0; k <= i; k++ {
			v += j.factor[i][k] * z[k]
		}
		z[i] = v
	}
}
