package corpus

import (
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"sort"
	"strconv"
	"strings"

	"collinear.example/align"
)

// treeDecoder is an input type that reads itself.
type treeDecoder interface {
	fromTree(path string, t any) error
}

// Decode reads an input strictly into the struct v points at. Field names are
// those of the json tags, to the letter. A field is required unless its tag
// says omitempty or it is a pointer. Types other than the input types of this
// package may be string, bool, int, float64, structs, pointers and slices of
// these.
func Decode(input json.RawMessage, v any) error {
	t, err := parseTree(input)
	if err != nil {
		return err
	}
	return decodeTree("input", t, reflectOf(v))
}

func decodeTree(path string, t any, v reflect.Value) error {
	if d, ok := v.Addr().Interface().(treeDecoder); ok {
		return d.fromTree(path, t)
	}
	switch v.Kind() {
	case reflect.Struct:
		return decodeStruct(path, t, v)
	case reflect.Pointer:
		p := reflect.New(v.Type().Elem())
		if err := decodeTree(path, t, p.Elem()); err != nil {
			return err
		}
		v.Set(p)
		return nil
	case reflect.Slice:
		return decodeSlice(path, t, v)
	case reflect.Float64:
		n, err := numberOf(path, t)
		v.SetFloat(n)
		return err
	case reflect.Int:
		return decodeInt(path, t, v)
	case reflect.String:
		s, ok := t.(string)
		v.SetString(s)
		return typed(ok, path, t, "a text")
	case reflect.Bool:
		b, ok := t.(bool)
		v.SetBool(b)
		return typed(ok, path, t, "true or false")
	}
	return fmt.Errorf("corpus: %s: input type %s cannot be read", path, v.Type())
}

// typed returns ErrWrongType unless ok.
func typed(ok bool, path string, t any, want string) error {
	if ok {
		return nil
	}
	return fault(path, fmt.Sprintf("%s, want %s", kindOf(t), want), ErrWrongType)
}

func kindOf(t any) string {
	switch t := t.(type) {
	case nil:
		return "null"
	case string:
		return strconv.Quote(t)
	case bool:
		return strconv.FormatBool(t)
	case json.Number:
		return t.String()
	case []any:
		return fmt.Sprintf("list of %d", len(t))
	}
	return "object"
}

func decodeStruct(path string, t any, v reflect.Value) error {
	fields, ok := t.(map[string]any)
	if !ok {
		return typed(false, path, t, "an object")
	}
	known := map[string]bool{}
	for i := range v.NumField() {
		name, _, _ := strings.Cut(v.Type().Field(i).Tag.Get("json"), ",")
		known[name] = true
	}
	names := make([]string, 0, len(fields))
	for name := range fields {
		names = append(names, name)
	}
	sort.Strings(names)
	for _, name := range names {
		if !known[name] {
			return fault(path+"."+name, "", ErrUnknownField)
		}
	}
	for i := range v.NumField() {
		f := v.Type().Field(i)
		name, options, _ := strings.Cut(f.Tag.Get("json"), ",")
		child, given := fields[name]
		if !given {
			if options == "omitempty" || f.Type.Kind() == reflect.Pointer {
				continue
			}
			return fault(path+"."+name, "", align.ErrMissing)
		}
		if err := decodeTree(path+"."+name, child, v.Field(i)); err != nil {
			return err
		}
	}
	return nil
}

func decodeSlice(path string, t any, v reflect.Value) error {
	list, ok := t.([]any)
	if !ok {
		return typed(false, path, t, "a list")
	}
	s := reflect.MakeSlice(v.Type(), len(list), len(list))
	for i, e := range list {
		if err := decodeTree(fmt.Sprintf("%s[%d]", path, i), e, s.Index(i)); err != nil {
			return err
		}
	}
	v.Set(s)
	return nil
}

func decodeInt(path string, t any, v reflect.Value) error {
	n, ok := t.(json.Number)
	if !ok {
		return typed(false, path, t, "a whole number")
	}
	i, err := strconv.Atoi(n.String())
	v.SetInt(int64(i))
	return typed(err == nil, path, t, "a whole number")
}

// numberOf reads a number. Must-fail vectors may write "NaN", "+Inf" and "-Inf",
// which JSON cannot say as numbers.
func numberOf(path string, t any) (float64, error) {
	switch t := t.(type) {
	case json.Number:
		// A number too large for float64 comes back infinite, and the
		// computation refuses it as such.
		v, err := strconv.ParseFloat(t.String(), 64)
		if err != nil && !math.IsInf(v, 0) {
			return 0, typed(false, path, t, "a number")
		}
		return v, nil
	case string:
		switch t {
		case "NaN":
			return math.NaN(), nil
		case "+Inf":
			return math.Inf(1), nil
		case "-Inf":
			return math.Inf(-1), nil
		}
	}
	return 0, typed(false, path, t, "a number")
}

// reflectOf returns what v points at.
func reflectOf(v any) reflect.Value { return reflect.ValueOf(v).Elem() }
