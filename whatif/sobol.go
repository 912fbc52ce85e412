package whatif

import (
	"context"
	"math/rand/v2"
	"strconv"
	"sync"
	"sync/atomic"

	"collinear.example/align"
	"collinear.example/uncertainty"
)

// Sampling says how much is drawn for the indices of Sobol.
type Sampling struct {
	Seed    uint64 // the same seed gives the same indices, on any number of cores
	Samples int    // n, at least MinSamples; the job is worked out n(k+2) times for k sources
	// Most is the bound on how many times the job may be worked out; 0 stands for
	// 2,000,000.
	Most int
	Options
}

// Bounds of a sampling.
const (
	MinSamples = 64        // fewer say nothing of the standard error (own choice)
	usualRuns  = 2_000_000 // where Most is 0
	block      = 256       // samples that share one stream of random numbers
)

// Index is the share of one source in the variance of a column.
type Index struct {
	Source string
	First  float64 // by the source alone
	Total  float64 // by the source with everything it interacts with
	// The standard errors of both: what another seed would change them by.
	FirstError, TotalError float64
}

// ColumnIndices are the indices of one column of numbers. Of a column that no
// source changes there are none: Constant is true.
type ColumnIndices struct {
	Heading
	Mean     float64 // of the column over the sources, in SI units
	Sigma    float64 // its standard deviation
	Constant bool
	Indices  []Index // in the order of the sources
}

// Sobol returns how the variance of each column of numbers is shared out among
// the sources (I. M. Sobol, 1993). With V the variance of the figure f when every
// source is drawn, independent of the others,
//
//	first order  S_i = V(E(f | x_i))/V
//	total        T_i = E(V(f | all but x_i))/V
//
// S_i is what knowing input i exactly would take off the variance; T_i is what
// would be left if all others were known. A sum of the S_i near 1 says that the
// inputs add up without interaction.
//
// Two matrices A and B of n rows are drawn, and for each source the matrix AB_i,
// which is A with column i of B (A. Saltelli and others, Computer Physics
// Communications 181, 2010, 259-270, from memory). The estimators are
//
//	S_i = mean(f(B) (f(AB_i) - f(A)))/V        Saltelli and others 2010, table 2 (b), from memory
//	T_i = mean((f(A) - f(AB_i))^2)/(2 V)       M. J. W. Jansen, 1999, from memory
//
// with f less its mean, and V from both A and B. The standard error of each is
// that of a ratio of two means, from the scatter of its n terms (delta method). An
// estimate may fall outside 0 to 1 by its error.
//
// It fails with ErrTrialFailed, naming the sample, when the job cannot be
// computed; with ErrTooManyTrials over Most or MaxFigures; with ErrOutOfRange for
// too few samples, ErrMissing without sources, and with what Study.Check and
// Source.Check fail with; with ErrNoOutputs without a column of numbers; and with
// ErrCancelled when the context ends.
func (s *Study[J, R]) Sobol(ctx context.Context, o Sampling, sources ...uncertainty.Source[J]) ([]ColumnIndices, error) {
	columns, err := s.checkNumbers()
	if err != nil {
		return nil, err
	}
	if err := checkSampling(&o, sources, len(columns)); err != nil {
		return nil, err
	}
	d := &draws[J, R]{study: s, sources: sources, columns: columns, samples: o.Samples, seed: o.Seed}
	blocks := (o.Samples-1)/block + 1
	workers, err := o.workers(blocks)
	if err != nil {
		return nil, err
	}
	d.figures = make([]float64, o.Samples*(len(sources)+2)*len(columns))
	if err := d.work(ctx, workers, blocks, o.Progress); err != nil {
		return nil, err
	}
	return d.indices()
}

func checkSampling[J any](o *Sampling, sources []uncertainty.Source[J], columns int) error {
	most := o.Most
	if most == 0 {
		most = usualRuns
	}
	switch {
	case most < 0:
		return fault("most", strconv.Itoa(most), align.ErrNegative)
	case o.Samples < MinSamples:
		return fault("samples", strconv.Itoa(o.Samples), align.ErrOutOfRange)
	case len(sources) == 0:
		return fault("sources", "", align.ErrMissing)
	case len(sources) > MaxColumns:
		return fault("sources", strconv.Itoa(len(sources)), align.ErrOutOfRange)
	}
	for i := range sources {
		if err := sources[i].Check(); err != nil {
			return align.In(err, index("sources", i))
		}
	}
	each := len(sources) + 2
	if o.Samples > most/each || o.Samples > MaxFigures/(each*columns) {
		return fault("samples", strconv.Itoa(o.Samples)+" times "+strconv.Itoa(each)+" runs", uncertainty.ErrTooManyTrials)
	}
	return nil
}

// draws is a sampling at work.
type draws[J, R any] struct {
	study   *Study[J, R]
	sources []uncertainty.Source[J]
	columns []int
	samples int
	seed    uint64
	figures []float64 // sample by sample; in it A, B, AB_1 ...; in each the columns
}

// hand is what one goroutine keeps from sample to sample.
type hand[J any] struct {
	job    J
	pcg    *rand.PCG
	random *rand.Rand
	a, b   []float64
}

func (d *draws[J, R]) newHand() *hand[J] {
	pcg := rand.NewPCG(0, 0)
	k := len(d.sources)
	return &hand[J]{pcg: pcg, random: rand.New(pcg), a: make([]float64, k), b: make([]float64, k)}
}

// work shares the blocks out. Each block has its own permuted congruential
// generator, seeded with the seed and the number of the block.
func (d *draws[J, R]) work(ctx context.Context, workers, blocks int, progress func(done, of int)) error {
	var next, done atomic.Int64
	var stop atomic.Bool
	var wait sync.WaitGroup
	var lock sync.Mutex
	failures := make([]error, blocks)
	for range workers {
		wait.Add(1)
		go func() {
			defer wait.Done()
			h := d.newHand()
			for {
				b := int(next.Add(1)) - 1
				if b >= blocks || stop.Load() || ctx.Err() != nil {
					return
				}
				if failures[b] = d.block(h, b); failures[b] != nil {
					stop.Store(true)
					return
				}
				done.Add(int64(min(block, d.samples-b*block)))
				report(&lock, progress, &done, d.samples)
			}
		}()
	}
	wait.Wait()
	// Blocks are handed out in order, so every block before the first failure was
	// worked out, and that failure is the same whoever met it.
	for _, err := range failures {
		if err != nil {
			return err
		}
	}
	if n := int(done.Load()); n < d.samples {
		return cancelled("sampling", n, d.samples, "samples", ctx.Err())
	}
	return nil
}

func (d *draws[J, R]) block(h *hand[J], b int) error {
	h.pcg.Seed(d.seed, uint64(b))
	width := (len(d.sources) + 2) * len(d.columns)
	for n := b * block; n < min((b+1)*block, d.samples); n++ {
		if err := d.sample(h, d.figures[n*width:(n+1)*width]); err != nil {
			return caused("sample "+strconv.Itoa(n), "", uncertainty.ErrTrialFailed, err)
		}
	}
	return nil
}

// sample draws a row of A and one of B and works out A, B and every AB_i.
func (d *draws[J, R]) sample(h *hand[J], out []float64) error {
	for i := range d.sources {
		h.a[i] = d.sources[i].Draw(h.random)
	}
	for i := range d.sources {
		h.b[i] = d.sources[i].Draw(h.random)
	}
	width := len(d.columns)
	if err := d.compute(h, h.a, out[:width]); err != nil {
		return err
	}
	if err := d.compute(h, h.b, out[width:2*width]); err != nil {
		return err
	}
	for i := range d.sources {
		own := h.a[i]
		h.a[i] = h.b[i]
		err := d.compute(h, h.a, out[(2+i)*width:(3+i)*width])
		h.a[i] = own
		if err != nil {
			return err
		}
	}
	return nil
}

func (d *draws[J, R]) compute(h *hand[J], deviations, out []float64) error {
	d.study.fresh(&h.job)
	for i := range d.sources {
		d.sources[i].Apply(&h.job, deviations[i])
	}
	return d.study.numbers(&h.job, d.columns, out)
}
