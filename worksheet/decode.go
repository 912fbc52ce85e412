package worksheet

import (
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"collinear.example/align"
	"collinear.example/internal/record"
)

// decode fills v from a tree of JSON values. Field names are those of the json
// tags, to the letter; a field has to be given unless its tag says omitempty.
func decode(path string, t any, v reflect.Value) error {
	switch v.Kind() {
	case reflect.Struct:
		return decodeObject(path, t, v)
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		return decode(path, t, v.Elem())
	case reflect.Slice:
		return decodeList(path, t, v)
	case reflect.Float64:
		return decodeNumber(path, t, v)
	case reflect.Int:
		return decodeWhole(path, t, v)
	case reflect.Bool:
		b, ok := t.(bool)
		v.SetBool(b)
		return wrongType(ok, path, t, "true or false")
	}
	s, ok := t.(string)
	v.SetString(s)
	if ok && s == "" {
		return fault(path, `""`, align.ErrMissing)
	}
	return wrongType(ok, path, t, "a text")
}

// wrongType returns ErrWrongType, with what was found and what is wanted, unless
// ok.
func wrongType(ok bool, path string, t any, want string) error {
	if ok {
		return nil
	}
	if path == "" {
		path = "record"
	}
	return fault(path, record.Show(t)+", want "+want, ErrWrongType)
}

func decodeObject(path string, t any, v reflect.Value) error {
	given, ok := t.(map[string]any)
	if !ok {
		return wrongType(ok, path, t, "an object")
	}
	fields := fieldsOf(v.Type())
	if name, found := strange(given, fields); found {
		return fault(record.Join(path, name), "", ErrUnknownField)
	}
	for i, f := range fields {
		here := record.Join(path, f.name)
		child, has := given[f.name]
		if !has && f.optional {
			continue
		}
		if !has {
			return fault(here, "", align.ErrMissing)
		}
		if err := decode(here, child, v.Field(i)); err != nil {
			return err
		}
		if f.optional && v.Field(i).Kind() == reflect.Float64 && v.Field(i).Float() == 0 {
			if err := zeroGiven(here, f.name); err != nil {
				return err
			}
		}
	}
	return nil
}

// zeroGiven refuses a zero for an optional number that is never zero, because
// nothing could tell it from one that is not known.
func zeroGiven(path, name string) error {
	switch name {
	case "diameter", "flangeOD", "raisedFaceOD":
		return fault(path, "0", align.ErrZeroDiameter)
	case "coefficient":
		return fault(path, "0, leave it out where it is not known", align.ErrOutOfRange)
	}
	return nil
}

// field is one field of a record type.
type field struct {
	name     string
	optional bool
}

func fieldsOf(t reflect.Type) []field {
	out := make([]field, t.NumField())
	for i := range out {
		name, options, _ := strings.Cut(t.Field(i).Tag.Get("json"), ",")
		out[i] = field{name, options == "omitempty"}
	}
	return out
}

// strange returns the first name, by the alphabet, that is no field.
func strange(given map[string]any, fields []field) (first string, found bool) {
	for name := range given {
		known := slices.ContainsFunc(fields, func(f field) bool { return f.name == name })
		if !known && (!found || name < first) {
			first, found = name, true
		}
	}
	return first, found
}

func decodeList(path string, t any, v reflect.Value) error {
	list, ok := t.([]any)
	if !ok {
		return wrongType(ok, path, t, "a list")
	}
	if len(list) > maxEntries {
		return fault(path, fmt.Sprintf("%d entries, want at most %d", len(list), maxEntries), ErrTooLarge)
	}
	if len(list) == 0 {
		return nil // no list and an empty one say the same
	}
	v.Set(reflect.MakeSlice(v.Type(), len(list), len(list)))
	for i, e := range list {
		if err := decode(at(path, i), e, v.Index(i)); err != nil {
			return err
		}
	}
	return nil
}

// at returns the path of an entry of a list.
func at(path string, i int) string { return path + "[" + strconv.Itoa(i) + "]" }

func decodeNumber(path string, t any, v reflect.Value) error {
	f, err := numberOf(path, t)
	v.SetFloat(f)
	return err
}

func decodeWhole(path string, t any, v reflect.Value) error {
	f, err := numberOf(path, t)
	if err != nil {
		return err
	}
	if f != math.Trunc(f) || math.Abs(f) > math.MaxInt32 {
		return wrongType(false, path, t, "a whole number")
	}
	v.SetInt(int64(f))
	return nil
}

// numberOf reads a number that is finite and that did not become zero on the way.
// Minus zero reads as zero.
func numberOf(path string, t any) (float64, error) {
	n, ok := t.(json.Number)
	if !ok {
		return 0, wrongType(ok, path, t, "a number")
	}
	f, err := strconv.ParseFloat(n.String(), 64)
	digits, _, _ := strings.Cut(strings.ToLower(n.String()), "e")
	vanished := f == 0 && strings.ContainsAny(digits, "123456789")
	if err != nil || !align.IsFinite(f) || vanished {
		return 0, fault(path, record.Show(n)+", want what a floating-point number can hold", align.ErrOutOfRange)
	}
	if f == 0 {
		return 0, nil
	}
	return f, nil
}
