package worksheet

import "slices"

// FindingsFormat is the first field of every evaluation: the name of the format
// and its version.
const FindingsFormat = "collinear findings 1"

// LibraryVersion is the version of the library that stands in every evaluation.
const LibraryVersion = "0.1.0"

// Evaluation is a job worked out: every value that the record lets compute, what
// could not be computed and why, and what stands in the way of the alignment.
// Marshalled to JSON, the same record gives the same bytes; no value is ever
// not-a-number or infinite.
type Evaluation struct {
	Format  string `json:"format"`  // FindingsFormat
	Library string `json:"library"` // LibraryVersion
	Record  string `json:"record"`  // SHA-256 of the canonical record, 64 hexadecimal digits
	Title   string `json:"title"`
	Plant   string `json:"plant,omitempty"`
	Units   Units  `json:"units"` // of the record

	Readiness []Readiness    `json:"readiness"`
	Findings  []Finding      `json:"findings"`          // in the order of the job
	Sources   []LimitsSource `json:"sources,omitempty"` // of every limit that was used, in the order of first use
	Notes     []string       `json:"notes,omitempty"`   // of the record
}

// LimitsSource is a source of limits that the findings were held against.
type LimitsSource struct {
	Source  string `json:"source"`
	Edition string `json:"edition,omitempty"`
	Known   string `json:"known,omitempty"` // how the figures came to be known
	Table   string `json:"table,omitempty"` // id of the table of package tolerance
}

// Evaluate works the record out. What cannot be computed becomes a finding with
// its error and stops nothing else. The error is that of Check, for a record that
// does not hold together.
func (r *Record) Evaluate() (Evaluation, error) {
	hash, err := r.Hash()
	if err != nil {
		return Evaluation{}, err
	}
	e := &evaluator{Record: r}
	// What later parts rest on is worked out first; the findings follow in the
	// order of the job.
	e.solveSets()
	e.solveStates()

	e.looked()
	e.baseSurvey()
	e.feet()
	e.runouts()
	e.hubGaps()
	e.flanges()
	e.strainTests()
	e.sags()
	e.sets()
	e.states()
	e.limits()
	e.wantedMoves()
	e.movesMade()
	e.asLeft()
	return Evaluation{
		Format: FindingsFormat, Library: LibraryVersion, Record: hash, Title: r.Title, Plant: r.Plant, Units: r.Units,
		Readiness: e.readiness(), Findings: e.findings, Sources: sourcesOf(e.findings), Notes: slices.Clone(r.Notes),
	}, nil
}

// Find returns the finding with that id.
func (v *Evaluation) Find(id string) (Finding, bool) {
	for i := range v.Findings {
		if v.Findings[i].ID == id {
			return v.Findings[i], true
		}
	}
	return Finding{}, false
}

// sourcesOf lists every source once.
func sourcesOf(fs []Finding) (out []LimitsSource) {
	seen := map[LimitsSource]bool{}
	for i := range fs {
		l := fs[i].Limit
		if l == nil {
			continue
		}
		s := LimitsSource{l.Source, l.Edition, string(l.Known), l.Table}
		if !seen[s] {
			seen[s] = true
			out = append(out, s)
		}
	}
	return out
}
