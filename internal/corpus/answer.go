package corpus

import (
	"encoding/json"

	"collinear.example/align"
)

// Answer is the reply to one case: results or the code of an error. A number
// is written [value, "unit"] with the SI unit, a text as it is.
type Answer struct {
	ID       *string        `json:"id"` // null when the case has no id that can be read
	Result   map[string]any `json:"result,omitempty"`
	Warnings []string       `json:"warnings,omitempty"`
	Error    string         `json:"error,omitempty"`
}

// Reply computes one case, a JSON object with id, computation and input; other
// fields are left unread, so that a vector of the corpus is a case.
func Reply(line []byte, computations map[string]Computation) Answer {
	t, err := parseTree(line)
	if err != nil {
		return Answer{Error: align.CodeOf(err)}
	}
	if _, ok := t.(map[string]any); !ok {
		return Answer{Error: ErrWrongType.Code()}
	}
	var fields map[string]json.RawMessage
	if err := json.Unmarshal(line, &fields); err != nil {
		return Answer{Error: ErrBadJSON.Code()}
	}
	var a Answer
	id, code := textField(fields, "id")
	if code != "" {
		return Answer{Error: code}
	}
	a.ID = &id
	name, code := textField(fields, "computation")
	if code != "" {
		a.Error = code
		return a
	}
	compute, ok := computations[name]
	if !ok {
		a.Error = ErrUnknownComputation.Code()
		return a
	}
	input, ok := fields["input"]
	if !ok {
		a.Error = align.ErrMissing.Code()
		return a
	}
	r, err := compute(input)
	if err != nil {
		a.Error = align.CodeOf(err)
		return a
	}
	a.Result, a.Warnings = r.plain(), r.Warnings
	return a
}

// textField returns a field that must be a text, or the code of the fault.
func textField(fields map[string]json.RawMessage, name string) (text, code string) {
	raw, ok := fields[name]
	if !ok {
		return "", align.ErrMissing.Code()
	}
	var s *string
	if err := json.Unmarshal(raw, &s); err != nil || s == nil {
		return "", ErrWrongType.Code()
	}
	return *s, ""
}

// plain returns the values as JSON writes them.
func (r Result) plain() map[string]any {
	out := make(map[string]any, len(r.Values))
	for name, v := range r.Values {
		if v.Dim == align.NoDimension {
			out[name] = v.Text
			continue
		}
		out[name] = []any{v.Number, SIName(v.Dim)}
	}
	return out
}
