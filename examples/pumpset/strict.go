package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"collinear.example/align"
)

// jobError says which field of a job cannot be used and why.
type jobError struct {
	field string // such as "dials[1].station"
	got   string // the value as given, "" when there is none
	why   string
}

// Error returns one line naming field, value and reason.
func (e *jobError) Error() string {
	s := e.field
	if e.got != "" {
		s += " = " + e.got
	}
	return s + ": " + e.why
}

// fromLibrary turns an error of package align into one of this program.
func fromLibrary(err error) error {
	var in *align.InputError
	if !errors.As(err, &in) {
		return err
	}
	field := in.Field
	if field == "" {
		field = "job"
	}
	return &jobError{field, in.Got, in.Err.Error()}
}

const maxDepth = 16 // how deep a job may nest; a real one needs 5

// parseTree reads one JSON value, numbers kept as text. Unlike json.Unmarshal
// it refuses a field given twice, and it knows the field a fault stands in.
func parseTree(data []byte) (any, error) {
	data = bytes.TrimPrefix(data, []byte("\uFEFF")) // byte order mark of some editors
	if !utf8.Valid(data) {
		return nil, &jobError{"job", "", "is not UTF-8 text"}
	}
	p := &treeParser{json.NewDecoder(bytes.NewReader(data)), data}
	p.UseNumber()
	v, err := p.value("", 0)
	if err != nil {
		return nil, err
	}
	if _, err := p.Token(); err != io.EOF || !json.Valid(data) {
		return nil, p.bad("", errors.New("something follows the end of the job"))
	}
	return v, nil
}

type treeParser struct {
	*json.Decoder
	data []byte
}

// bad is a fault of syntax at the field with that path.
func (p *treeParser) bad(path string, err error) error {
	if path == "" {
		path = "job"
	}
	at := min(int(p.InputOffset()), len(p.data))
	var syntax *json.SyntaxError
	why := "ends too early"
	if !errors.Is(err, io.EOF) && !errors.Is(err, io.ErrUnexpectedEOF) {
		why = err.Error()
	}
	if errors.As(err, &syntax) && strings.HasPrefix(why, "invalid character 'N'") {
		why += "; NaN is not a number in JSON"
	}
	line := 1 + bytes.Count(p.data[:at], []byte("\n"))
	return &jobError{path, "", fmt.Sprintf("not valid JSON near line %d: %s", line, why)}
}

func (p *treeParser) value(path string, depth int) (any, error) {
	if depth > maxDepth {
		return nil, p.bad(path, errors.New("nested too deep"))
	}
	t, err := p.Token()
	if err != nil {
		return nil, p.bad(path, err)
	}
	switch t {
	case json.Delim('{'):
		return p.object(path, depth)
	case json.Delim('['):
		return p.list(path, depth)
	}
	return t, nil
}

func (p *treeParser) object(path string, depth int) (any, error) {
	out := map[string]any{}
	for p.More() {
		t, err := p.Token()
		if err != nil {
			return nil, p.bad(path, err)
		}
		name, isText := t.(string)
		if !isText {
			return nil, p.bad(path, fmt.Errorf("%v stands where a field name is wanted", t))
		}
		here := join(path, name)
		if _, twice := out[name]; twice {
			return nil, &jobError{here, "", "is given twice"}
		}
		if out[name], err = p.value(here, depth+1); err != nil {
			return nil, err
		}
	}
	if _, err := p.Token(); err != nil { // the closing brace
		return nil, p.bad(path, err)
	}
	return out, nil
}

func (p *treeParser) list(path string, depth int) (any, error) {
	out := []any{}
	for p.More() {
		v, err := p.value(fmt.Sprintf("%s[%d]", path, len(out)), depth+1)
		if err != nil {
			return nil, err
		}
		out = append(out, v)
	}
	if _, err := p.Token(); err != nil { // the closing bracket
		return nil, p.bad(path, err)
	}
	return out, nil
}

// join is the path of a field inside another; a name that is not a plain word
// is quoted.
func join(path, name string) string {
	plain := func(r rune) bool { return r < utf8.RuneSelf && (unicode.IsLetter(r) || unicode.IsDigit(r)) }
	if name == "" || strings.ContainsFunc(name, func(r rune) bool { return !plain(r) }) {
		name = strconv.QuoteToASCII(name)
	}
	if len(name) > 60 {
		name = name[:60] + "..."
	}
	if path == "" {
		return name
	}
	return path + "." + name
}

// reader keeps the first fault, so that reading a record is one straight run.
type reader struct{ err error }

func (r *reader) fail(field, got, why string) {
	if r.err == nil {
		r.err = &jobError{field, got, why}
	}
}

// show is a value as it stood in the record, cut to a readable length.
func show(v any) string {
	s := ""
	switch v := v.(type) {
	case nil:
		return "null"
	case string:
		s = strconv.Quote(v)
	case json.Number:
		s = v.String()
	case bool:
		return strconv.FormatBool(v)
	case []any:
		return fmt.Sprintf("a list of %d", len(v))
	default:
		return "an object"
	}
	if len(s) > 40 {
		s = strings.ToValidUTF8(s[:40], "") + "..."
	}
	return s
}

// number reads v as a finite number.
func (r *reader) number(field string, v any) float64 {
	n, ok := v.(json.Number)
	if !ok {
		r.fail(field, show(v), "want a number")
		return 0
	}
	f, err := strconv.ParseFloat(n.String(), 64)
	if err != nil || math.IsInf(f, 0) || vanished(f, n.String()) {
		r.fail(field, show(v), "is outside the range of a floating-point number")
		return 0
	}
	return f
}

// vanished reports whether a number that is not zero as written became zero.
func vanished(f float64, text string) bool {
	digits, _, _ := strings.Cut(strings.ToLower(text), "e")
	return f == 0 && strings.ContainsAny(digits, "123456789")
}

// object is a JSON object whose fields are read by name.
type object struct {
	r      *reader
	path   string
	fields map[string]any
}

// object reads v as an object that has no other fields than those known.
func (r *reader) object(path string, v any, known ...string) object {
	o := object{r, path, nil}
	m, ok := v.(map[string]any)
	if !ok {
		name := path
		if name == "" {
			name = "job"
		}
		r.fail(name, show(v), "want an object")
		return o
	}
	o.fields = m
	names := make([]string, 0, len(m))
	for n := range m {
		names = append(names, n)
	}
	sort.Strings(names)
	for _, n := range names {
		if !slices.Contains(known, n) {
			r.fail(join(path, n), "", "is not a field of a job; here may stand: "+strings.Join(known, ", "))
		}
	}
	return o
}

func (o object) has(name string) bool { _, ok := o.fields[name]; return ok }

// need returns a field that must be there.
func (o object) need(name string) (any, bool) {
	v, ok := o.fields[name]
	if !ok {
		o.r.fail(join(o.path, name), "", "is missing")
	}
	return v, ok && o.r.err == nil
}

func (o object) number(name string) float64 {
	v, ok := o.need(name)
	if !ok {
		return 0
	}
	return o.r.number(join(o.path, name), v)
}

const maxText = 1000 // bytes of one text

// text reads a field as printable text that is not empty.
func (o object) text(name string) string {
	v, ok := o.need(name)
	if !ok {
		return ""
	}
	field := join(o.path, name)
	s, isText := v.(string)
	switch {
	case !isText:
		o.r.fail(field, show(v), "want a text")
	case strings.TrimSpace(s) == "":
		o.r.fail(field, show(v), "must not be empty")
	case len(s) > maxText:
		o.r.fail(field, show(v), fmt.Sprintf("is longer than %d bytes", maxText))
	case strings.ContainsFunc(s, func(c rune) bool { return !unicode.IsPrint(c) }):
		o.r.fail(field, show(v), "holds a character that cannot be printed")
	}
	return s
}

// textOr reads an optional text.
func (o object) textOr(name, absent string) string {
	if !o.has(name) {
		return absent
	}
	return o.text(name)
}

// word reads a field that is one of a few words.
func (o object) word(name string, words ...string) string {
	s := o.text(name)
	if o.r.err == nil && !slices.Contains(words, s) {
		o.r.fail(join(o.path, name), show(s), "want one of: "+strings.Join(words, ", "))
	}
	return s
}

// list reads a field as a list of at least so many entries.
func (o object) list(name string, least int) []any {
	v, ok := o.need(name)
	if !ok {
		return nil
	}
	l, isList := v.([]any)
	if !isList {
		o.r.fail(join(o.path, name), show(v), "want a list")
		return nil
	}
	if len(l) < least {
		o.r.fail(join(o.path, name), show(v), fmt.Sprintf("want at least %d", least))
	}
	return l
}

// object reads a field as an object.
func (o object) object(name string, known ...string) object {
	v, ok := o.need(name)
	if !ok {
		return object{o.r, join(o.path, name), nil}
	}
	return o.r.object(join(o.path, name), v, known...)
}
