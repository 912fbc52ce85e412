package corpus

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"

	"collinear.example/align"
)

// Faults of reading an input. The others (missing, unknown-unit, wrong-unit)
// are those of package align.
const (
	ErrBadJSON      align.Fault = "bad-json"
	ErrUnknownField align.Fault = "unknown-field"
	ErrWrongType    align.Fault = "wrong-type"
)

// maxDepth bounds how deep an input may nest.
const maxDepth = 32

func fault(field, got string, err error) error {
	return &align.InputError{Package: "corpus", Field: field, Got: got, Err: err}
}

// parseTree reads one JSON value, numbers kept as text, and refuses a field
// given twice and anything after the value.
func parseTree(data []byte) (any, error) {
	if !json.Valid(data) {
		return nil, fault("input", "", ErrBadJSON)
	}
	d := json.NewDecoder(bytes.NewReader(data))
	d.UseNumber()
	v, err := readValue(d, "input", 0)
	if err != nil {
		return nil, err
	}
	if _, err := d.Token(); err != io.EOF {
		return nil, fault("input", "", ErrBadJSON)
	}
	return v, nil
}

func readValue(d *json.Decoder, path string, depth int) (any, error) {
	if depth > maxDepth {
		return nil, fault(path, "", ErrBadJSON)
	}
	t, err := d.Token()
	if err != nil {
		return nil, fault(path, "", ErrBadJSON)
	}
	switch t {
	case json.Delim('{'):
		return readObject(d, path, depth)
	case json.Delim('['):
		return readList(d, path, depth)
	}
	return t, nil
}

func readObject(d *json.Decoder, path string, depth int) (any, error) {
	out := map[string]any{}
	for d.More() {
		t, err := d.Token()
		name, isText := t.(string)
		if err != nil || !isText {
			return nil, fault(path, "", ErrBadJSON)
		}
		here := path + "." + name
		if _, twice := out[name]; twice {
			return nil, fault(here, "given twice", ErrBadJSON)
		}
		if out[name], err = readValue(d, here, depth+1); err != nil {
			return nil, err
		}
	}
	_, err := d.Token() // the closing brace
	return out, err
}

func readList(d *json.Decoder, path string, depth int) (any, error) {
	out := []any{}
	for d.More() {
		v, err := readValue(d, fmt.Sprintf("%s[%d]", path, len(out)), depth+1)
		if err != nil {
			return nil, err
		}
		out = append(out, v)
	}
	_, err := d.Token() // the closing bracket
	return out, err
}
