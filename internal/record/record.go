// Package record reads the JSON records of the programs strictly: units stand
// once at the top, numbers are plain, unknown fields are refused, a field given
// twice is refused, and what is missing is never taken for zero. A fault is one
// line that names the field.
package record

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

// Error says which field of a record cannot be used and why.
type Error struct {
	Field string // such as "dials[1].station"
	Got   string // the value as given, "" when there is none
	Why   string
}

// Error returns one line naming field, value and reason.
func (e *Error) Error() string {
	s := e.Field
	if e.Got != "" {
		s += " = " + e.Got
	}
	return s + ": " + e.Why
}

// FromLibrary turns an error of the library into one of a record.
func FromLibrary(err error) error {
	var in *align.InputError
	if !errors.As(err, &in) {
		return err
	}
	field := in.Field
	if field == "" {
		field = root
	}
	return &Error{field, in.Got, in.Why()}
}

const root = "record" // what a fault of the whole is called

const maxDepth = 16 // how deep a record may nest; a real one needs 5

// Parse reads one JSON value, numbers kept as text. Unlike json.Unmarshal
// it refuses a field given twice, and it knows the field a fault stands in.
func Parse(data []byte) (any, error) {
	data = bytes.TrimPrefix(data, []byte("\uFEFF")) // byte order mark of some editors
	if !utf8.Valid(data) {
		return nil, &Error{root, "", "is not UTF-8 text"}
	}
	p := &treeParser{json.NewDecoder(bytes.NewReader(data)), data}
	p.UseNumber()
	v, err := p.value("", 0)
	if err != nil {
		return nil, err
	}
	if _, err := p.Token(); err != io.EOF || !json.Valid(data) {
		return nil, p.bad("", errors.New("something follows the end of the record"))
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
		path = root
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
	return &Error{path, "", fmt.Sprintf("not valid JSON near line %d: %s", line, why)}
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
		here := Join(path, name)
		if _, twice := out[name]; twice {
			return nil, &Error{here, "", "is given twice"}
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

// Join returns the path of a field inside another; a name that is not a plain word
// is quoted.
func Join(path, name string) string {
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

// Reader keeps the first fault, so that reading a record is one straight run.
type Reader struct{ err error }

// Err returns the first fault, nil when there was none.
func (r *Reader) Err() error { return r.err }

// Set keeps err as the fault unless there is one already.
func (r *Reader) Set(err error) {
	if r.err == nil {
		r.err = err
	}
}

// Fail keeps a fault unless there is one already.
func (r *Reader) Fail(field, got, why string) {
	if r.err == nil {
		r.err = &Error{field, got, why}
	}
}

// Show returns a value as it stood in the record, cut to a readable length.
func Show(v any) string {
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

// Number reads v as a finite number.
func (r *Reader) Number(field string, v any) float64 {
	n, ok := v.(json.Number)
	if !ok {
		r.Fail(field, Show(v), "want a number")
		return 0
	}
	f, err := strconv.ParseFloat(n.String(), 64)
	if err != nil || math.IsInf(f, 0) || vanished(f, n.String()) {
		r.Fail(field, Show(v), "is outside the range of a floating-point number")
		return 0
	}
	return f
}

// vanished reports whether a number that is not zero as written became zero.
func vanished(f float64, text string) bool {
	digits, _, _ := strings.Cut(strings.ToLower(text), "e")
	return f == 0 && strings.ContainsAny(digits, "123456789")
}

// Object is a JSON object whose fields are read by name.
type Object struct {
	r      *Reader
	path   string
	fields map[string]any
}

// Object reads v as an object that has no other fields than those known.
func (r *Reader) Object(path string, v any, known ...string) Object {
	o := Object{r, path, nil}
	m, ok := v.(map[string]any)
	if !ok {
		name := path
		if name == "" {
			name = root
		}
		r.Fail(name, Show(v), "want an object")
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
			r.Fail(Join(path, n), "", "is not a field of a record; here may stand: "+strings.Join(known, ", "))
		}
	}
	return o
}

// Has reports whether the field is there.
func (o Object) Has(name string) bool { _, ok := o.fields[name]; return ok }

// Need returns a field that must be there.
func (o Object) Need(name string) (any, bool) {
	v, ok := o.fields[name]
	if !ok {
		o.r.Fail(Join(o.path, name), "", "is missing")
	}
	return v, ok && o.r.err == nil
}

// Number reads a field as a finite number.
func (o Object) Number(name string) float64 {
	v, ok := o.Need(name)
	if !ok {
		return 0
	}
	return o.r.Number(Join(o.path, name), v)
}

const maxText = 1000 // bytes of one text

// Text reads a field as printable text that is not empty.
func (o Object) Text(name string) string {
	v, ok := o.Need(name)
	if !ok {
		return ""
	}
	field := Join(o.path, name)
	s, isText := v.(string)
	switch {
	case !isText:
		o.r.Fail(field, Show(v), "want a text")
	case strings.TrimSpace(s) == "":
		o.r.Fail(field, Show(v), "must not be empty")
	case len(s) > maxText:
		o.r.Fail(field, Show(v), fmt.Sprintf("is longer than %d bytes", maxText))
	case strings.ContainsFunc(s, func(c rune) bool { return !unicode.IsPrint(c) }):
		o.r.Fail(field, Show(v), "holds a character that cannot be printed")
	}
	return s
}

// TextOr reads an optional text.
func (o Object) TextOr(name, absent string) string {
	if !o.Has(name) {
		return absent
	}
	return o.Text(name)
}

// Word reads a field that is one of a few words.
func (o Object) Word(name string, words ...string) string {
	s := o.Text(name)
	if o.r.err == nil && !slices.Contains(words, s) {
		o.r.Fail(Join(o.path, name), Show(s), "want one of: "+strings.Join(words, ", "))
	}
	return s
}

// Unit reads a field as the name of a unit of the given kind.
func (o Object) Unit(name string, dim align.Dimension) align.Unit {
	s := o.Text(name)
	if o.r.err != nil {
		return ""
	}
	u, err := align.ParseUnitOf(s, dim)
	if err != nil {
		o.r.Fail(Join(o.path, name), Show(s), align.CodeOf(err)+", want one such as mm, in or mil for lengths, degC for temperatures, rpm for speed")
	}
	return u
}

// List reads a field as a list of at least so many entries.
func (o Object) List(name string, least int) []any {
	v, ok := o.Need(name)
	if !ok {
		return nil
	}
	l, isList := v.([]any)
	if !isList {
		o.r.Fail(Join(o.path, name), Show(v), "want a list")
		return nil
	}
	if len(l) < least {
		o.r.Fail(Join(o.path, name), Show(v), fmt.Sprintf("want at least %d", least))
	}
	return l
}

// Object reads a field as an object.
func (o Object) Object(name string, known ...string) Object {
	v, ok := o.Need(name)
	if !ok {
		return Object{o.r, Join(o.path, name), nil}
	}
	return o.r.Object(Join(o.path, name), v, known...)
}

// Field returns a field as it stood in the record, nil when it is not there.
func (o Object) Field(name string) any { return o.fields[name] }

// Path returns the path of a field of the object.
func (o Object) Path(name string) string { return Join(o.path, name) }

// Where returns the path of the object itself.
func (o Object) Where() string { return o.path }
