package main

import (
	"fmt"
	"io"
)

// result is the count of one package.
type result struct {
	name       string
	sites      int // all of them
	run        int // built and run
	killed     int
	byCorpus   int // of the killed: noticed only by the corpus
	unbuilt    int
	equivalent int
	survivors  []site
	stale      []key
}

// score is the share of the mutants run that were noticed, in percent.
func (r result) score() float64 {
	if r.run == 0 {
		return 0
	}
	return 100 * float64(r.killed) / float64(r.run)
}

// write prints the table and, below it, the mutants that survived.
func write(w io.Writer, results []result) {
	fmt.Fprintln(w, "| package | sites | not built | run | killed | by corpus | survived | equivalent | score |")
	fmt.Fprintln(w, "|---|---:|---:|---:|---:|---:|---:|---:|---:|")
	for _, r := range results {
		fmt.Fprintf(w, "| `%s` | %d | %d | %d | %d | %d | %d | %d | %.1f %% |\n",
			r.name, r.sites, r.unbuilt, r.run, r.killed, r.byCorpus, len(r.survivors), r.equivalent, r.score())
	}
	for _, r := range results {
		writeSurvivors(w, r)
		for _, k := range r.stale {
			fmt.Fprintf(w, "equivalent.txt fits no site: %s %s: %s -> %s\n", k.File, k.Func, k.Before, k.After)
		}
	}
}

func writeSurvivors(w io.Writer, r result) {
	if len(r.survivors) == 0 {
		return
	}
	fmt.Fprintf(w, "\nsurvivors of %s\n", r.name)
	for _, s := range r.survivors {
		fmt.Fprintln(w, s)
	}
}

// String says where the mistake is, in which function, and what it changes.
func (s site) String() string {
	fn := s.Func
	if fn == "" {
		fn = "(package)"
	}
	return fmt.Sprintf("%s:%d: %s: %s: %s -> %s", s.File, s.Line, fn, s.Operator, s.Before, s.After)
}
