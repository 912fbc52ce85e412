package corpus

import (
	"encoding/json"
	"math"
	"strconv"
	"strings"
)

// Suite is one file of vectors.
type Suite struct {
	Suite   string   `json:"suite"`
	Vectors []Vector `json:"vectors"`

	File string `json:"-"` // where it was read, relative to the corpus
}

// Vector is one case: what is computed, from what, and what must come out.
// Exactly one of Expect and Error is given.
type Vector struct {
	ID          string          `json:"id"` // permanent
	Title       string          `json:"title"`
	Computation string          `json:"computation"`
	Flags       []string        `json:"flags,omitempty"` // why this case exists
	Input       json.RawMessage `json:"input"`
	Expect      []Expectation   `json:"expect,omitempty"`
	Error       string          `json:"error,omitempty"`    // code word of the error
	Warnings    []string        `json:"warnings,omitempty"` // the exact set of codes; not checked when absent
	Source      string          `json:"source"`             // id in sources.json
	Locator     string          `json:"locator,omitempty"`  // page, figure, section
	Known       string          `json:"known"`              // read, read-secondhand, memory, derived
	Misprint    string          `json:"misprint,omitempty"` // why the printed figure does not follow
}

// MustFail reports whether the vector asks for an error.
func (v *Vector) MustFail() bool { return v.Error != "" }

// Expectation is one value that must come out: a number in a unit, or a text.
type Expectation struct {
	Name      string   `json:"name"`
	Printed   string   `json:"printed,omitempty"` // the digits as published
	Exact     *float64 `json:"exact,omitempty"`   // recomputed independently
	Unit      string   `json:"unit,omitempty"`
	Tolerance *float64 `json:"tolerance,omitempty"` // in Unit; half the last printed place when absent
	Reason    string   `json:"reason,omitempty"`    // why this tolerance
	Text      string   `json:"text,omitempty"`
}

// Allowed returns the largest difference that passes, in the unit of the
// expectation: the tolerance given, or half the last printed place; ok is false
// when there is neither.
func (e *Expectation) Allowed() (tolerance float64, ok bool) {
	if e.Tolerance != nil {
		return *e.Tolerance, true
	}
	place, ok := e.LastPlace()
	return place / 2, ok
}

// LastPlace returns the worth of the last printed digit: 0.01 for "0.25", 1 for
// "40".
func (e *Expectation) LastPlace() (place float64, ok bool) {
	if _, ok := e.PrintedNumber(); !ok {
		return 0, false
	}
	_, decimals, found := strings.Cut(e.Printed, ".")
	if !found {
		return 1, true
	}
	return math.Pow10(-len(decimals)), true
}

// PrintedNumber returns the printed figure as a number; ok is false when
// nothing, or not a plain decimal, is printed.
func (e *Expectation) PrintedNumber() (v float64, ok bool) {
	if e.Printed == "" || strings.Trim(e.Printed, "+-.0123456789") != "" {
		return 0, false
	}
	v, err := strconv.ParseFloat(e.Printed, 64)
	return v, err == nil
}

// Source is where vectors come from.
type Source struct {
	ID       string `json:"id"`
	Kind     string `json:"kind"`
	Citation string `json:"citation"`
	Note     string `json:"note,omitempty"`
}

// Kinds returns the kinds of source, published ones first.
func Kinds() []string {
	return []string{
		"standard", "handbook", "government", "paper", "maker", "textbook",
		"common-practice", "cross-library", "own",
	}
}

// Published reports whether sources of that kind are publications.
func Published(kind string) bool {
	switch kind {
	case "standard", "handbook", "government", "paper", "maker", "textbook":
		return true
	}
	return false
}

// KnownWays returns the ways in which a source can be known.
func KnownWays() []string { return []string{"read", "read-secondhand", "memory", "derived"} }
