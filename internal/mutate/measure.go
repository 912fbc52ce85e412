package main

import (
	"fmt"
	"io"
	"os"
	"slices"
	"time"
)

// measure runs mutants of one package until the sample is full. Mutants that do
// not build take no place in it.
func measure(o options, r runner, p *pkg, equivalent map[key]string, progress io.Writer) (result, error) {
	open, left := split(chosen(o, p.sites), equivalent)
	res := result{name: p.rel, sites: len(p.sites), equivalent: left, stale: stale(p.sites, equivalent, p.rel)}
	c, err := newChecker(r.root, p)
	if err != nil {
		return res, err
	}
	base, err := r.base(p)
	if err != nil {
		return res, err
	}
	d := draw{rest: shuffled(open, o.seed, p.rel), builds: c.builds}
	for want := o.sample; o.sample == 0 || want > 0; want = o.sample - res.run {
		mutants := d.next(want)
		if len(mutants) == 0 {
			break
		}
		for _, group := range groups(mutants) {
			if err := r.runGroup(p, group, base, &res, progress); err != nil {
				return res, err
			}
		}
	}
	res.unbuilt += d.unbuilt
	return res, nil
}

// draw takes mutants from a shuffled list.
type draw struct {
	rest    []site
	builds  func(site) bool
	unbuilt int
}

// next returns as many mutants that build as are wanted, 0 for all.
func (d *draw) next(want int) (mutants []site) {
	for len(d.rest) > 0 && (want == 0 || len(mutants) < want) {
		s := d.rest[0]
		d.rest = d.rest[1:]
		if d.builds(s) {
			mutants = append(mutants, s)
		} else {
			d.unbuilt++
		}
	}
	return mutants
}

// largestGroup is how many mutants are built together at most.
const largestGroup = 200

// groups parts mutants into those that are built together, and those that cannot
// be switched, each of them alone.
func groups(mutants []site) [][]site {
	var together []site
	var alone [][]site
	for _, s := range mutants {
		if s.switchable() {
			together = append(together, s)
		} else {
			alone = append(alone, []site{s})
		}
	}
	return append(slices.Collect(slices.Chunk(together, largestGroup)), alone...)
}

// runGroup builds mutants together and runs the tests with each of them.
func (r runner) runGroup(p *pkg, list []site, base []time.Duration, res *result, progress io.Writer) error {
	dir, err := os.MkdirTemp("", "mutate")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	mutants := map[int]site{}
	for i, s := range list {
		mutants[i+1] = s
	}
	b, err := newBatch(dir, p, mutants)
	if err != nil {
		return err
	}
	refused := b.refused(r.root)
	suites := r.suites(b, base)
	for _, id := range sortedIDs(mutants) {
		if refused[id] {
			res.unbuilt++
			continue
		}
		by, err := noticedBy(suites, id)
		if err != nil {
			return err
		}
		res.count(mutants[id], by)
		if by == nobody {
			fmt.Fprintf(progress, "%d/%d survived %s\n", len(res.survivors), res.run, mutants[id])
		}
	}
	return nil
}

func (r *result) count(s site, by int) {
	r.run++
	switch by {
	case nobody:
		r.survivors = append(r.survivors, s)
		return
	case 0:
	default:
		r.byCorpus++
	}
	r.killed++
}
