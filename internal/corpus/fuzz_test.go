package corpus

import (
	"encoding/json"
	"math"
	"os"
	"reflect"
	"strings"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/require"
)

func readFile(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	return data
}

func keys(m map[string]any) []string {
	var out []string
	for k := range m {
		out = append(out, k)
	}
	return out
}

// tags returns the json names of a struct's fields.
func tags(v any) []string {
	var out []string
	for i := range reflect.TypeOf(v).NumField() {
		name, _, _ := strings.Cut(reflect.TypeOf(v).Field(i).Tag.Get("json"), ",")
		out = append(out, name)
	}
	return out
}

// moderate reports whether every number of an input is zero or of a size that
// no product of a few of them overflows.
func moderate(t any) bool {
	switch t := t.(type) {
	case json.Number:
		v, err := t.Float64()
		return err == nil && (v == 0 || math.Abs(v) > 1e-12 && math.Abs(v) < 1e12)
	case []any:
		for _, e := range t {
			if !moderate(e) {
				return false
			}
		}
	case map[string]any:
		for _, e := range t {
			if !moderate(e) {
				return false
			}
		}
	}
	return true
}

// FuzzComputations feeds every computation with inputs like those of the
// corpus: none may panic, every error has a code, and no result of a moderate
// input is infinite or not a number.
func FuzzComputations(f *testing.F) {
	raw, computations := rawComputations(), Computations()
	for _, v := range load(f).Vectors() {
		if !alike(v) {
			f.Add(v.Computation, []byte(v.Input))
		}
	}
	f.Fuzz(func(t *testing.T, name string, input []byte) {
		compute, ok := computations[name]
		if !ok {
			return
		}
		r, err := compute(input)
		if err != nil {
			if align.CodeOf(err) == "" || err.Error() == "" {
				t.Fatalf("%s: error without a code: %v", name, err)
			}
			tree, broken := parseTree(input)
			if broken != nil || !moderate(tree) {
				return
			}
			if r, err := raw[name](input); err == nil && r.finite() != nil {
				t.Fatalf("%s: %v from a moderate input", name, r.finite())
			}
			return
		}
		if len(r.Values) == 0 && len(r.Warnings) == 0 {
			if tree, _ := parseTree(input); !emptyAsked(tree) {
				t.Fatalf("%s: neither result nor error", name)
			}
		}
		if err := r.finite(); err != nil {
			t.Fatal(err)
		}
		if _, err := json.Marshal(Reply(caseOf(t, name, input), computations)); err != nil {
			t.Fatal(err)
		}
	})
}

func caseOf(t *testing.T, name string, input []byte) []byte {
	t.Helper()
	line, err := json.Marshal(map[string]any{"id": "x", "computation": name, "input": json.RawMessage(input)})
	require.NoError(t, err)
	return line
}

// emptyAsked reports whether an input asks for nothing: no clock positions, no
// stations, no feet, no readings to zero again.
func emptyAsked(tree any) bool {
	in, ok := tree.(map[string]any)
	if !ok {
		return false
	}
	if at, ok := in["at"].([]any); ok && len(at) == 0 {
		return true
	}
	ask, ok := in["ask"].(map[string]any)
	if !ok {
		return false
	}
	stations, _ := ask["stations"].([]any)
	return len(stations) == 0 && ask["near"] == nil && ask["far"] == nil
}

func FuzzReply(f *testing.F) {
	computations := Computations()
	f.Add([]byte(`{"id":"a","computation":"align.clock","input":{"hour":3}}`))
	f.Add([]byte(`{"id":5}`))
	f.Add([]byte(`nonsense`))
	f.Fuzz(func(t *testing.T, line []byte) {
		a := Reply(line, computations)
		if (a.Error == "") == (a.Result == nil) {
			t.Fatalf("want either a result or an error: %+v", a)
		}
		if _, err := json.Marshal(a); err != nil {
			t.Fatal(err)
		}
	})
}

func TestReply(t *testing.T) {
	computations := Computations()
	for line, want := range map[string]string{
		`{"id":"a","title":"ignored","computation":"align.clock","input":{"hour":3}}`: `{"id":"a","result":{"degrees":[90,"1"],"right":[1,"1"],"up":[0,"1"]}}`,
		`{"id":"a","computation":"align.clock","input":{"hour":"NaN"}}`:               `{"id":"a","error":"not-finite"}`,
		`{"id":"a","computation":"align.clock","input":{}}`:                           `{"id":"a","error":"missing"}`,
		`{"id":"a","computation":"align.clock"}`:                                      `{"id":"a","error":"missing"}`,
		`{"id":"a","computation":"align.guess","input":{}}`:                           `{"id":"a","error":"unknown-computation"}`,
		`{"id":"a","computation":7,"input":{}}`:                                       `{"id":"a","error":"wrong-type"}`,
		`{"id":"a"}`:                                                                  `{"id":"a","error":"missing"}`,
		`{"id":null,"computation":"x"}`:                                               `{"id":null,"error":"wrong-type"}`,
		`{"computation":"x"}`:                                                         `{"id":null,"error":"missing"}`,
		`{"id":"a","id":"b"}`:                                                         `{"id":null,"error":"bad-json"}`,
		`[1]`:                                                                         `{"id":null,"error":"wrong-type"}`,
		`{"id":"a"} {}`:                                                               `{"id":null,"error":"bad-json"}`,
		``:                                                                            `{"id":null,"error":"bad-json"}`,
		`{"a":` + strings.Repeat("[", 40) + `1`:                                       `{"id":null,"error":"bad-json"}`,
		strings.Repeat("[", 40) + strings.Repeat("]", 40):                             `{"id":null,"error":"bad-json"}`,
	} {
		got, err := json.Marshal(Reply([]byte(line), computations))
		require.NoError(t, err)
		require.JSONEq(t, want, string(got), line)
	}
	got, err := json.Marshal(Reply([]byte(`{"id":"w","computation":"align.extrapolation","input":{"at":[100,"in"],"from":[0,"in"],"to":[10,"in"]}}`), computations))
	require.NoError(t, err)
	require.JSONEq(t, `{"id":"w","result":{"spans":[9,"1"]},"warnings":["long-extrapolation"]}`, string(got))
}

// A number that overflows on its way through is an error, never an infinity.
func TestOverflowIsAnError(t *testing.T) {
	input := `{"line":{"offset":[0,"m"],"slope":[1e300,"1"]},"at":[1e300,"m"]}`
	_, err := Computations()["align.line-at"](json.RawMessage(input))
	require.Equal(t, "out-of-range", align.CodeOf(err))
}
