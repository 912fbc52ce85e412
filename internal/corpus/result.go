package corpus

import (
	"encoding/json"
	"fmt"
	"sort"

	"collinear.example/align"
	"gonum.org/v1/gonum/unit"
)

// Value is one result: a number in SI units with its dimension, or a text.
type Value struct {
	Number float64
	Dim    align.Dimension // NoDimension for a text
	Text   string
}

// Result is what a computation gives: values by dotted lower-case name, and
// the codes of its warnings, sorted, each once.
type Result struct {
	Values   map[string]Value
	Warnings []string
}

// Computation is the Go side of one name of the corpus. Errors carry a code
// that align.CodeOf finds.
type Computation func(input json.RawMessage) (Result, error)

func (r *Result) set(name string, v Value) {
	if r.Values == nil {
		r.Values = map[string]Value{}
	}
	r.Values[name] = v
}

// Length adds a length.
func (r *Result) Length(name string, v unit.Length) {
	r.set(name, Value{Number: float64(v), Dim: align.LengthDim})
}

// Ratio adds a plain ratio, a slope or a count.
func (r *Result) Ratio(name string, v float64) {
	r.set(name, Value{Number: v, Dim: align.RatioDim})
}

// Number adds a number in the SI unit of any dimension.
func (r *Result) Number(name string, v float64, dim align.Dimension) {
	r.set(name, Value{Number: v, Dim: dim})
}

// Text adds a text.
func (r *Result) Text(name, text string) { r.set(name, Value{Text: text}) }

// Offset adds an offset as name.vertical and name.horizontal.
func (r *Result) Offset(name string, o align.Offset) {
	r.Length(name+".vertical", o.Vertical)
	r.Length(name+".horizontal", o.Horizontal)
}

// Slope adds a slope as name.vertical and name.horizontal.
func (r *Result) Slope(name string, s align.Slope) {
	r.Ratio(name+".vertical", s.Vertical)
	r.Ratio(name+".horizontal", s.Horizontal)
}

// Sweep adds the readings as name.0, name.1 and so on.
func (r *Result) Sweep(name string, s align.Sweep) {
	for i, v := range s {
		r.Length(fmt.Sprintf("%s.%d", name, i), v.Value)
	}
}

// Warn adds the codes of warnings.
func (r *Result) Warn(ws ...align.Warning) {
	for _, w := range ws {
		code := string(w.Code)
		at := sort.SearchStrings(r.Warnings, code)
		if at < len(r.Warnings) && r.Warnings[at] == code {
			continue
		}
		r.Warnings = append(r.Warnings, "")
		copy(r.Warnings[at+1:], r.Warnings[at:])
		r.Warnings[at] = code
	}
}

// finite returns ErrOutOfRange when a number of the result is beyond what can
// be written: inputs of absurd size overflow.
func (r Result) finite() error {
	for name, v := range r.Values {
		if v.Dim != align.NoDimension && !align.IsFinite(v.Number) {
			return fault(name, fmt.Sprint(v.Number), align.ErrOutOfRange)
		}
	}
	return nil
}

// SIName returns the name of the SI unit of a dimension.
func SIName(dim align.Dimension) string {
	switch dim {
	case align.LengthDim:
		return "m"
	case align.RatioDim:
		return "1"
	case align.AngleDim:
		return "rad"
	case align.TemperatureDim:
		return "K"
	case align.RiseDim:
		return "degC-rise"
	case align.FrequencyDim:
		return "Hz"
	}
	return otherSIName(dim)
}

// otherSIName is SIName for what is not geometry, temperature or speed of turning.
func otherSIName(dim align.Dimension) string {
	switch dim {
	case align.ExpansionDim:
		return "1/K"
	case align.MassDim:
		return "kg"
	case align.PressureDim:
		return "Pa"
	case align.ForceDim:
		return "N"
	case align.MomentDim:
		return "N.m"
	case align.UnbalanceDim:
		return "kg.m"
	case align.VelocityDim:
		return "m/s"
	case align.TimeDim:
		return "s"
	}
	return ""
}
