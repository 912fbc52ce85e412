package worksheet

import (
	"encoding/json"
	"errors"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// goodRecords are the texts of the records that can be read, by file.
func goodRecords(t testing.TB) map[string][]byte {
	t.Helper()
	files, err := filepath.Glob("testdata/good/*.json")
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 4)
	out := map[string][]byte{}
	for _, f := range files {
		out[filepath.Base(f)], err = os.ReadFile(f)
		require.NoError(t, err)
	}
	return out
}

func everyPart(t testing.TB) *Record {
	t.Helper()
	r, err := Parse(goodRecords(t)["every-part.json"])
	require.NoError(t, err)
	return r
}

func TestGoodRecords(t *testing.T) {
	for name, text := range goodRecords(t) {
		r, err := Parse(text)
		require.NoError(t, err, name)
		canonical, err := FormatRecord(r)
		require.NoError(t, err, name)
		back, err := Parse(canonical)
		require.NoError(t, err, name)
		require.Equal(t, r, back, name)
		again, err := FormatRecord(back)
		require.NoError(t, err, name)
		require.Equal(t, string(canonical), string(again), name)
		require.JSONEq(t, withoutFalse(t, text), string(canonical), name)
	}
}

// withoutFalse drops what the canonical form leaves out: a false that says no
// more than nothing.
func withoutFalse(t *testing.T, text []byte) string {
	t.Helper()
	return strings.ReplaceAll(string(text), `"against": false,`, ``)
}

// Every record under testdata/bad is refused, with the code word and the path
// that expect.json gives for it.
func TestBadRecords(t *testing.T) {
	var expect map[string]struct{ Code, Field string }
	text, err := os.ReadFile("testdata/bad/expect.json")
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(text, &expect))
	files, err := filepath.Glob("testdata/bad/*/*.json")
	require.NoError(t, err)
	require.Len(t, files, len(expect))
	require.GreaterOrEqual(t, len(expect), 60)
	for name, want := range expect {
		text, err := os.ReadFile("testdata/bad/" + name)
		require.NoError(t, err)
		r, err := Parse(text)
		require.Nil(t, r, name)
		var in *align.InputError
		if !assert.True(t, errors.As(err, &in), "%s: %v", name, err) {
			continue
		}
		assert.Equal(t, want.Code, align.CodeOf(err), "%s: %v", name, err)
		assert.Equal(t, want.Field, in.Field, "%s: %v", name, err)
		assert.True(t, strings.HasPrefix(err.Error(), "worksheet: "), "%s: %v", name, err)
		assert.NotContains(t, err.Error(), "\n", name)
		assert.NotEqual(t, want.Code, in.Why(), "%s: the code word has no meaning in words", name)
	}
}

// wantFault wants one fault with that code word at that field.
func wantFault(t *testing.T, err error, code align.Fault, field string) {
	t.Helper()
	var in *align.InputError
	require.ErrorAs(t, err, &in)
	require.Equal(t, code.Code(), align.CodeOf(err), "%v", err)
	require.Equal(t, field, in.Field, "%v", err)
}

func TestTooLarge(t *testing.T) {
	small := strings.TrimSuffix(strings.TrimSpace(string(goodRecords(t)["only-train.json"])), "}")
	for what, c := range map[string]struct{ text, field string }{
		"one list": {small + `, "notes": ["n"` + strings.Repeat(`, "n"`, maxEntries) + `]}`, "notes"},
		"values":   {small + `, "notes": [0` + strings.Repeat(`,0`, maxValues) + `]}`, "record"},
		"bytes":    {small + strings.Repeat(" ", maxSize) + "}", "record"},
		"two lists together": {small + `, "notes": ["n"` + strings.Repeat(`, "n"`, maxEntries/2) + `], "gaps": [` +
			strings.TrimPrefix(strings.Repeat(`,{"machine":"fan","foot":"a","length":1,"width":1,"nearLeft":0,"nearRight":0,"farLeft":0,"farRight":0}`, maxEntries/2), ",") + `]}`, "record"},
		"canonical form": {small + `, "notes": ["n"` + strings.Repeat(`, "`+strings.Repeat(`n`, maxText)+`"`, maxSize/maxText/2) + `]}`, "record"},
	} {
		_, err := Parse([]byte(c.text))
		require.Error(t, err, what)
		wantFault(t, err, ErrTooLarge, c.field)
	}
	_, err := Parse([]byte(small + `, "notes": ["n"` + strings.Repeat(`, "n"`, maxEntries-2) + `]}`))
	require.NoError(t, err, "ten thousand entries, with the one machine")
}

func TestReadsLoosely(t *testing.T) {
	plain := `{"format": "collinear record 1", "title": "Only a train", "units": {"length": "m", "reading": "mm"}, "train": {"machines": [{"name": "fan"}]}}`
	want, err := Parse([]byte(plain))
	require.NoError(t, err)
	for what, text := range map[string]string{
		"byte order mark": "\uFEFF" + plain,
		"other order":     `{"train": {"machines": [{"name": "fan"}]}, "units": {"reading": "mm", "length": "m"}, "title": "Only a train", "format": "collinear record 1"}`,
		"empty lists":     strings.Replace(plain, `"title"`, `"notes": [], "sets": [], "title"`, 1),
		"escapes":         strings.Replace(plain, `"fan"`, `"f\u0061n"`, 1),
		"not fixed":       strings.Replace(plain, `"fan"`, `"fan", "fixed": false, "feet": []`, 1),
	} {
		r, err := Parse([]byte(text))
		require.NoError(t, err, what)
		require.Equal(t, want, r, what)
	}
}

func TestWholeNumbers(t *testing.T) {
	text := string(goodRecords(t)["every-part.json"])
	for given, ok := range map[string]bool{"2.0": true, "2e0": true, "20e-1": true, "2.5": false, "1e30": false, `"2"`: false} {
		r, err := Parse([]byte(strings.Replace(text, `"after": 2`, `"after": `+given, 1)))
		if !ok {
			wantFault(t, err, ErrWrongType, "moves[3].after")
			continue
		}
		require.NoError(t, err)
		require.Equal(t, 2, r.Moves[3].After)
	}
}

// A record made by a program is checked like one that was read.
func TestCheck(t *testing.T) {
	none := (*Record)(nil)
	wantFault(t, none.Check(), align.ErrMissing, "record")
	_, err := FormatRecord(none)
	wantFault(t, err, align.ErrMissing, "record")
	_, err = none.Hash()
	wantFault(t, err, align.ErrMissing, "record")
	wantFault(t, new(Record).Check(), align.ErrMissing, "format")

	for _, c := range []struct {
		code   align.Fault
		field  string
		change func(r *Record)
	}{
		{align.ErrNotFinite, "sets[0].dials[1].readings[3].value", func(r *Record) { r.Sets[0].Dials[1].Readings[3].Value = math.NaN() }},
		{align.ErrNotFinite, "train.speed", func(r *Record) { *r.Train.Speed = math.Inf(1) }},
		{align.ErrNotFinite, "train.machines[0].feet[0].lateral", func(r *Record) { *r.Train.Machines[0].Feet[0].Lateral = math.Inf(-1) }},
		{align.ErrMissing, "title", func(r *Record) { r.Title = "" }},
		{align.ErrMissing, "units.length", func(r *Record) { r.Units.Length = "" }},
		{align.ErrMissing, "sets[0].dials[0].readings", func(r *Record) { r.Sets[0].Dials[0].Readings = nil }},
		{align.ErrMissing, "sets[2].dials[0].diameter", func(r *Record) { r.Sets[2].Dials[0].Diameter = 0 }},
		{align.ErrZeroDiameter, "sets[2].dials[0].diameter", func(r *Record) { r.Sets[2].Dials[0].Diameter = -190 }},
		{ErrBadText, "notes[0]", func(r *Record) { r.Notes[0] = "\xff" }},
		{ErrBadText, "plant", func(r *Record) { r.Plant = "a\x00b" }},
		{ErrTooLarge, "record", func(r *Record) { r.Notes = slices.Repeat([]string{"n"}, maxEntries+1) }},
		{align.ErrNegative, "gaps[0].nearLeft", func(r *Record) { r.Gaps[0].NearLeft = -1 }},
	} {
		r := everyPart(t)
		c.change(r)
		wantFault(t, r.Check(), c.code, c.field)
		_, err := FormatRecord(r)
		require.Error(t, err)
	}
}

// The record with every part leaves no field of any type unused, so that what is
// proved with it is proved of all fields.
func TestEveryPartIsThere(t *testing.T) {
	used := map[string]bool{}
	markUsed(reflect.ValueOf(*everyPart(t)), used)
	all := map[string]bool{}
	allFields(reflect.TypeOf(Record{}), all)
	for f := range all {
		assert.True(t, used[f], "%s is nowhere given in testdata/good/every-part.json", f)
	}
}

func markUsed(v reflect.Value, used map[string]bool) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			markUsed(v.Elem(), used)
		}
	case reflect.Slice:
		for i := range v.Len() {
			markUsed(v.Index(i), used)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if !v.Field(i).IsZero() {
				used[v.Type().Name()+"."+v.Type().Field(i).Name] = true
			}
			markUsed(v.Field(i), used)
		}
	}
}

func allFields(t reflect.Type, all map[string]bool) {
	switch t.Kind() {
	case reflect.Pointer, reflect.Slice:
		allFields(t.Elem(), all)
	case reflect.Struct:
		for i := range t.NumField() {
			all[t.Name()+"."+t.Field(i).Name] = true
			allFields(t.Field(i).Type, all)
		}
	}
}
