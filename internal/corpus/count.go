package corpus

import (
	"fmt"
	"math"
	"strings"
)

// Count returns one line with the number of vectors, by kind of source and by
// how the source is known. Vectors that must fail are counted apart.
func Count(c *Corpus) string {
	byKind, byKnown := map[string]int{}, map[string]int{}
	total, fail, misprints := 0, 0, 0
	for _, v := range c.Vectors() {
		total++
		if v.Misprint != "" {
			misprints++
		}
		if v.MustFail() {
			fail++
			continue
		}
		s, _ := c.Source(v.Source)
		byKind[s.Kind]++
		byKnown[v.Known]++
	}
	parts := listCounts(Kinds(), byKind)
	parts = append(parts, fmt.Sprintf("must-fail %d", fail))
	known := listCounts(KnownWays(), byKnown)
	return fmt.Sprintf("corpus: %d vectors: %s; known: %s; misprints %d",
		total, strings.Join(parts, ", "), strings.Join(known, ", "), misprints)
}

func listCounts(order []string, n map[string]int) []string {
	var out []string
	for _, k := range order {
		if n[k] > 0 {
			out = append(out, fmt.Sprintf("%s %d", k, n[k]))
		}
	}
	return out
}

// SourceReport is what the vectors of one source came to.
type SourceReport struct {
	Source    Source
	Vectors   int
	Checks    int
	Passed    int
	Worst     float64        // largest difference from a printed figure, in units of its last place
	Printed   int            // figures compared with print
	Known     map[string]int // how the vectors are known
	Misprints int
}

// Report runs every vector and returns the outcome source by source, in the
// order of sources.json.
func Report(c *Corpus, computations map[string]Computation) []SourceReport {
	out := make([]SourceReport, 0, len(c.Sources))
	for _, s := range c.Sources {
		r := SourceReport{Source: s, Known: map[string]int{}}
		for _, v := range c.Vectors() {
			if v.Source == s.ID {
				r.add(v, Run(v, computations))
			}
		}
		out = append(out, r)
	}
	return out
}

func (r *SourceReport) add(v *Vector, o Outcome) {
	r.Vectors++
	r.Known[v.Known]++
	if v.Misprint != "" {
		r.Misprints++
	}
	for _, c := range o.Checks {
		r.Checks++
		if c.Passed {
			r.Passed++
		}
		r.Worst = math.Max(r.Worst, c.Places)
	}
	for i := range v.Expect {
		if _, ok := v.Expect[i].PrintedNumber(); ok && v.Misprint == "" {
			r.Printed++
		}
	}
}
