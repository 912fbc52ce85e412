package tolerance

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"reflect"
	"slices"
	"sort"
	"strconv"
	"strings"
	"unicode/utf8"

	"collinear.example/align"
)

// Format is the word by which a text says that it holds limits, with the version
// of the format.
const Format = "collinear limits 1"

const (
	maxSize  = 1 << 20 // bytes of a text; a real one holds a few kilobytes
	maxDepth = 8       // a real one needs 5
)

// parseTree reads one JSON value, numbers kept as text. It refuses a field given
// twice and anything that follows the value.
func parseTree(data []byte) (any, error) {
	if len(data) > maxSize {
		return nil, inputError("text", fmt.Sprintf("%d bytes, at most %d", len(data), maxSize), ErrBadJSON)
	}
	data = bytes.TrimPrefix(data, []byte("\uFEFF")) // byte order mark of some editors
	if !utf8.Valid(data) {
		return nil, inputError("text", "not UTF-8", ErrBadJSON)
	}
	d := json.NewDecoder(bytes.NewReader(data))
	d.UseNumber()
	p := treeParser{d, data}
	v, err := p.value("", 0)
	if err != nil {
		return nil, err
	}
	if _, err := d.Token(); err != io.EOF || !json.Valid(data) {
		return nil, p.bad("", "something follows the end")
	}
	return v, nil
}

type treeParser struct {
	*json.Decoder
	data []byte
}

func (p treeParser) bad(path, why string) error {
	if path == "" {
		path = "text"
	}
	at := min(int(p.InputOffset()), len(p.data))
	line := 1 + bytes.Count(p.data[:at], []byte("\n"))
	return inputError(path, fmt.Sprintf("near line %d: %s", line, why), ErrBadJSON)
}

func (p treeParser) value(path string, depth int) (any, error) {
	if depth > maxDepth {
		return nil, p.bad(path, "nested too deep")
	}
	t, err := p.Token()
	if err != nil {
		return nil, p.bad(path, err.Error())
	}
	switch t {
	case json.Delim('{'):
		return p.object(path, depth)
	case json.Delim('['):
		return p.list(path, depth)
	}
	return t, nil
}

func (p treeParser) object(path string, depth int) (any, error) {
	out := map[string]any{}
	for p.More() {
		t, err := p.Token()
		name, isText := t.(string)
		if err != nil || !isText {
			return nil, p.bad(path, "the name of a field is wanted")
		}
		here := join(path, name)
		if _, twice := out[name]; twice {
			return nil, p.bad(here, "given twice")
		}
		if out[name], err = p.value(here, depth+1); err != nil {
			return nil, err
		}
	}
	if _, err := p.Token(); err != nil { // the closing brace
		return nil, p.bad(path, err.Error())
	}
	return out, nil
}

func (p treeParser) list(path string, depth int) (any, error) {
	out := []any{}
	for p.More() {
		v, err := p.value(fmt.Sprintf("%s[%d]", path, len(out)), depth+1)
		if err != nil {
			return nil, err
		}
		out = append(out, v)
	}
	if _, err := p.Token(); err != nil { // the closing bracket
		return nil, p.bad(path, err.Error())
	}
	return out, nil
}

// join returns the path of a field inside another.
func join(path, name string) string {
	if len(name) > 40 {
		name = strings.ToValidUTF8(name[:40], "") + "..."
	}
	if strings.ContainsFunc(name, func(c rune) bool { return c <= ' ' || c > '~' }) {
		name = strconv.QuoteToASCII(name)
	}
	if path == "" {
		return name
	}
	return path + "." + name
}

// decode fills v from a tree. Names are those of the json tags, to the letter. A
// field is required unless its tag says omitempty.
func decode(path string, t any, v reflect.Value) error {
	switch v.Kind() {
	case reflect.Struct:
		return decodeStruct(path, t, v)
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		return decode(path, t, v.Elem())
	case reflect.Slice:
		return decodeList(path, t, v)
	case reflect.Float64:
		return decodeNumber(path, t, v)
	case reflect.Bool:
		b, ok := t.(bool)
		v.SetBool(b)
		return wrongType(ok, path, t, "true or false")
	}
	s, ok := t.(string)
	v.SetString(s)
	if ok && strings.TrimSpace(s) == "" {
		return inputError(path, `""`, align.ErrMissing)
	}
	return wrongType(ok, path, t, "a text")
}

func wrongType(ok bool, path string, t any, want string) error {
	if ok {
		return nil
	}
	return inputError(path, show(t)+", want "+want, ErrWrongType)
}

// show returns a value as it stood in the text, cut to a readable length.
func show(t any) string {
	switch t := t.(type) {
	case nil:
		return "null"
	case []any:
		return fmt.Sprintf("a list of %d", len(t))
	case map[string]any:
		return "an object"
	}
	s := fmt.Sprint(t)
	if len(s) > 40 {
		s = strings.ToValidUTF8(s[:40], "") + "..."
	}
	return strconv.QuoteToASCII(s)
}

func decodeStruct(path string, t any, v reflect.Value) error {
	fields, ok := t.(map[string]any)
	if !ok {
		return wrongType(false, path, t, "an object")
	}
	known := tagNames(v.Type())
	names := make([]string, 0, len(fields))
	for name := range fields {
		names = append(names, name)
	}
	sort.Strings(names)
	for _, name := range names {
		if !slices.Contains(known, name) {
			return inputError(join(path, name), "", ErrUnknownField)
		}
	}
	for i, name := range known {
		child, given := fields[name]
		if !given {
			if strings.HasSuffix(v.Type().Field(i).Tag.Get("json"), ",omitempty") {
				continue
			}
			return inputError(join(path, name), "", align.ErrMissing)
		}
		if err := decode(join(path, name), child, v.Field(i)); err != nil {
			return err
		}
	}
	return nil
}

// tagNames returns the names of the fields of a struct in JSON, in order.
func tagNames(t reflect.Type) []string {
	out := make([]string, t.NumField())
	for i := range out {
		out[i], _, _ = strings.Cut(t.Field(i).Tag.Get("json"), ",")
	}
	return out
}

func decodeList(path string, t any, v reflect.Value) error {
	list, ok := t.([]any)
	if !ok {
		return wrongType(false, path, t, "a list")
	}
	if len(list) == 0 {
		return inputError(path, "an empty list", align.ErrMissing)
	}
	v.Set(reflect.MakeSlice(v.Type(), len(list), len(list)))
	for i, e := range list {
		if err := decode(fmt.Sprintf("%s[%d]", path, i), e, v.Index(i)); err != nil {
			return err
		}
	}
	return nil
}

func decodeNumber(path string, t any, v reflect.Value) error {
	n, ok := t.(json.Number)
	if !ok {
		return wrongType(false, path, t, "a number")
	}
	f, err := strconv.ParseFloat(n.String(), 64)
	if err != nil || math.IsInf(f, 0) {
		return inputError(path, show(n), align.ErrOutOfRange)
	}
	v.SetFloat(f)
	return nil
}
