package worksheet

import (
	"errors"
	"math"

	"collinear.example/align"
)

// Part says which part of a job a finding belongs to.
type Part string

// The parts, in the order of the job.
const (
	PartBase   Part = "base"
	PartFeet   Part = "feet"
	PartRunout Part = "runout"
	PartPipe   Part = "pipe"
	PartSag    Part = "sag"
	PartSets   Part = "sets"
	PartStates Part = "states"
	PartLimits Part = "limits"
	PartMoves  Part = "moves"
	PartAsLeft Part = "as-left"
)

// The verdicts of a finding.
const (
	Within     = "within"      // the size is within the limit, and clearly so where its uncertainty is known
	Over       = "over"        // it is over the limit, likewise
	CannotTell = "cannot-tell" // the uncertainty reaches across the limit
)

// Finding is one computed value, one answer in words, or one thing that could
// not be computed, with what it rests on.
type Finding struct {
	ID   string `json:"id"`           // stable, such as sets[0].offset.flex-near.vertical; unique in one evaluation
	Part Part   `json:"part"`         // of the job
	Of   string `json:"of,omitempty"` // the thing it is about, in words
	Says string `json:"says"`         // what it is, in words

	Formula string   `json:"formula,omitempty"` // by which it was found
	Doc     string   `json:"doc,omitempty"`     // where the library documents the formula with its source
	Inputs  []string `json:"inputs,omitempty"`  // paths into the record

	Value *float64   `json:"value,omitempty"` // in SI; nil for an answer in words
	SI    align.Unit `json:"si,omitempty"`    // unit of Value, Sigma and the limit's Value
	Unit  align.Unit `json:"unit,omitempty"`  // in which the record's people would print it
	Plus  string     `json:"plus,omitempty"`  // what a plus sign means; "" for a size, which has none
	Minus string     `json:"minus,omitempty"` // what a minus sign means
	Words string     `json:"words,omitempty"` // the answer in words, or what to do

	Sigma *float64 `json:"sigma,omitempty"` // standard uncertainty in SI, where it is known

	Limit    *FindingLimit    `json:"limit,omitempty"`
	Verdict  string           `json:"verdict,omitempty"` // within, over or cannot-tell
	Warnings []FindingWarning `json:"warnings,omitempty"`
	Error    *FindingError    `json:"error,omitempty"` // why there is no answer

	weight weight
	topic  topic
	about  string // machine or coupling
}

// FindingLimit is the limit that a finding was held against.
type FindingLimit struct {
	Name    string      `json:"name"`
	Place   string      `json:"place,omitempty"`
	Value   float64     `json:"value"`   // in SI
	Printed float64     `json:"printed"` // as its source prints it, in Unit
	Unit    align.Unit  `json:"unit"`
	Source  string      `json:"source"`
	Edition string      `json:"edition,omitempty"`
	Known   align.Known `json:"known,omitempty"`
	Table   string      `json:"table,omitempty"` // id of the table of package tolerance
}

// FindingWarning is a warning of the library that goes with a finding.
type FindingWarning struct {
	Code     string     `json:"code"`
	Severity string     `json:"severity"` // notice, suspect or serious
	Field    string     `json:"field,omitempty"`
	Says     string     `json:"says"`            // one line with the meaning of the code and the numbers
	Value    *float64   `json:"value,omitempty"` // in SI
	Limit    *float64   `json:"limit,omitempty"` // in SI
	Unit     align.Unit `json:"unit,omitempty"`  // in which to print both

	of align.Warning
}

// FindingError says why something could not be computed.
type FindingError struct {
	Code  string `json:"code"`            // code word of the fault
	Field string `json:"field,omitempty"` // path into the record, and behind it what the package calls the thing
	Got   string `json:"got,omitempty"`   // what stands there
	Says  string `json:"says"`            // one line
}

// weight says what a finding means for the readiness.
type weight uint8

const (
	plain   weight = iota // tells, but judges nothing
	sound                 // in order
	suspect               // look
	stops                 // blocks
	unseen                // was not looked at
)

// topic is what an entry of the readiness is about.
type topic string

// siName is the name of the SI unit of a kind of quantity.
func siName(u align.Unit) align.Unit {
	switch u.Dimension() {
	case align.LengthDim:
		return align.UnitMetre
	case align.AngleDim:
		return align.UnitRadian
	case align.TemperatureDim, align.RiseDim:
		return align.UnitKelvin
	case align.FrequencyDim:
		return align.UnitHertz
	}
	return align.UnitOne
}

// round rounds to a picometre, a slope to 1e-12: far below anything that can be
// measured. It takes out the last digits, in which processors may differ, and the
// sign of zero.
func round(si float64) float64 {
	r := math.Round(si*1e12) / 1e12
	if !align.IsFinite(r) { // larger than anything a record holds
		r = si
	}
	return r + 0
}

func rounded(si float64) *float64 {
	r := round(si)
	return &r
}

// limitOf is the limit as a finding keeps it.
func limitOf(l align.Limit) *FindingLimit {
	return &FindingLimit{Name: l.Name, Place: l.Place, Value: round(l.SI()), Printed: l.Value, Unit: l.Unit, Source: l.Source, Known: l.Known}
}

// warningOf is a warning as a finding keeps it, its field put below a path.
func warningOf(path string, w align.Warning) FindingWarning {
	w.Field = joined(path, w.Field)
	out := FindingWarning{Code: string(w.Code), Severity: w.Severity.String(), Field: w.Field, Says: w.String(), of: w}
	if w.Unit.Dimension() != align.NoDimension && align.IsFinite(w.Value) && align.IsFinite(w.Limit) {
		out.Value, out.Limit, out.Unit = rounded(w.Value), rounded(w.Limit), w.Unit
	}
	return out
}

func joined(path, field string) string {
	switch {
	case path == "":
		return field
	case field == "":
		return path
	}
	return path + "." + field
}

// errorOf is a fault as a finding keeps it.
func errorOf(err error) *FindingError {
	out := &FindingError{Code: align.CodeOf(err), Says: err.Error()}
	var in *align.InputError
	if errors.As(err, &in) {
		out.Field, out.Got = in.Field, in.Got
	}
	return out
}
