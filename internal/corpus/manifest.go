package corpus

import (
	"encoding/json"
	"slices"
)

// Held is what holds one computation: how many vectors of each sort.
type Held struct {
	Published    int `json:"published,omitempty"`
	Common       int `json:"common-practice,omitempty"`
	CrossLibrary int `json:"cross-library,omitempty"`
	Own          int `json:"own,omitempty"`
	MustFail     int `json:"must-fail,omitempty"`
}

// Manifest counts the corpus. It is kept as testdata/MANIFEST.json, so that a change
// of the counts is seen in a change of the file.
type Manifest struct {
	Vectors          int             `json:"vectors"`
	Files            int             `json:"files"`
	Published        int             `json:"published"`         // vectors of published sources
	PublishedChecks  int             `json:"published-checks"`  // figures and words that they hold
	PublishedSources int             `json:"published-sources"` // publications they come from
	CrossLibrary     int             `json:"cross-library"`
	CommonPractice   int             `json:"common-practice"`
	Own              int             `json:"own"`
	MustFail         int             `json:"must-fail"`
	Misprints        int             `json:"misprints"`
	Kinds            map[string]int  `json:"kinds"` // of source, of vectors that must not fail
	Known            map[string]int  `json:"known"` // how they are known
	Computations     map[string]Held `json:"computations"`
}

// ManifestOf counts a corpus.
func ManifestOf(c *Corpus) Manifest {
	m := Manifest{Files: len(c.Suites), Kinds: map[string]int{}, Known: map[string]int{}, Computations: map[string]Held{}}
	sources := map[string]bool{}
	for _, v := range c.Vectors() {
		m.Vectors++
		if v.Misprint != "" {
			m.Misprints++
		}
		held := m.Computations[v.Computation]
		s, _ := c.Source(v.Source)
		switch {
		case v.MustFail():
			m.MustFail++
			held.MustFail++
		case Published(s.Kind):
			m.Published++
			m.PublishedChecks += len(v.Expect)
			held.Published++
			sources[s.ID] = true
		case s.Kind == "cross-library":
			m.CrossLibrary++
			held.CrossLibrary++
		case s.Kind == "common-practice":
			m.CommonPractice++
			held.Common++
		default:
			m.Own++
			held.Own++
		}
		m.Computations[v.Computation] = held
		if !v.MustFail() {
			m.Kinds[s.Kind]++
			m.Known[v.Known]++
		}
	}
	m.PublishedSources = len(sources)
	return m
}

// JSON returns the manifest as it stands in its file.
func (m Manifest) JSON() ([]byte, error) {
	out, err := json.MarshalIndent(m, "", "  ")
	return append(out, '\n'), err
}

// heldByOwnAlone are the computations for which neither a publication nor another
// general library has an answer, and why. The second implementation in
// testdata/tools/independent holds them too.
var heldByOwnAlone = map[string]string{}

// LintCoverage returns a line for every computation that is not held as it must be:
// by a published vector or, where there is none, by one of another library; and by
// one that must fail.
func LintCoverage(c *Corpus) (faults []string) {
	m := ManifestOf(c)
	for _, name := range Names() {
		held := m.Computations[name]
		_, excused := heldByOwnAlone[name]
		outside := held.Published+held.CrossLibrary+held.Common > 0
		switch {
		case held.MustFail == 0:
			faults = append(faults, name+": no vector that must fail")
		case !outside && !excused:
			faults = append(faults, name+": neither a published vector nor one of another library")
		case outside && excused:
			faults = append(faults, name+": excused, and held all the same")
		}
	}
	for name := range heldByOwnAlone {
		if !slices.Contains(Names(), name) {
			faults = append(faults, name+": excused, and computed nowhere")
		}
	}
	slices.Sort(faults)
	return faults
}
