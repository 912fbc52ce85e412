package corpus

import (
	"encoding/json"
	"maps"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/require"
)

// changed calls f with copies of tree in which one value at a time has been
// put out of shape: numbers replaced by extremes, fields and list entries left
// out. Of a long list, whose entries are alike, the first two and the last one
// are taken.
func changed(tree any, f func(any)) {
	switch t := tree.(type) {
	case json.Number:
		for _, v := range []any{
			json.Number("0"), json.Number("-1"), json.Number("1e-300"), json.Number("1e150"), json.Number("-1e308"),
			json.Number("1e999"), "NaN", "+Inf", "-Inf", nil, true, "words", []any{}, map[string]any{},
		} {
			f(v)
		}
	case string:
		f("furlong")
		f("deg")
		f(nil)
	case []any:
		f([]any{})
		for i := range t {
			if i > 1 && i < len(t)-1 && len(t) > longList {
				continue
			}
			f(append(append([]any{}, t[:i]...), t[i+1:]...))
			changed(t[i], func(v any) {
				c := append([]any{}, t...)
				c[i] = v
				f(c)
			})
		}
	case map[string]any:
		for k := range t {
			c := maps.Clone(t)
			delete(c, k)
			f(c)
			changed(t[k], func(v any) {
				c := maps.Clone(t)
				c[k] = v
				f(c)
			})
		}
	}
}

const longList = 5

// Every input of the corpus is put out of shape in every place: no panic, no
// error without a code, no infinity and no NaN in what comes out.
func TestInputsOutOfShape(t *testing.T) {
	raw, computations := rawComputations(), Computations()
	for _, v := range load(t).Vectors() {
		tree, err := parseTree(v.Input)
		require.NoError(t, err)
		if v.MustFail() {
			continue
		}
		changed(tree, func(bad any) {
			input, err := json.Marshal(bad)
			require.NoError(t, err)
			r, err := computations[v.Computation](input)
			if err != nil {
				if align.CodeOf(err) == "" {
					t.Fatalf("%s: error without a code: %v\n%s", v.ID, err, input)
				}
				if got, err := raw[v.Computation](input); err == nil && moderate(bad) && !hasWords(bad) {
					t.Fatalf("%s: %v from a moderate input\n%s", v.ID, got.finite(), input)
				}
				return
			}
			if err := r.finite(); err != nil {
				t.Fatalf("%s: %v\n%s", v.ID, err, input)
			}
		})
	}
}

// hasWords reports whether a number is written as "NaN", "+Inf" or "-Inf".
func hasWords(tree any) bool {
	switch t := tree.(type) {
	case string:
		return t == "NaN" || t == "+Inf" || t == "-Inf"
	case []any:
		for _, e := range t {
			if hasWords(e) {
				return true
			}
		}
	case map[string]any:
		for _, e := range t {
			if hasWords(e) {
				return true
			}
		}
	}
	return false
}
