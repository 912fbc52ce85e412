package corpus

import (
	"encoding/json"
	"maps"
	"slices"
	"strings"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/require"
)

// changes puts one value at a time out of shape. A place that many inputs of one
// computation have is changed in the first few of them.
type changes struct{ seen map[string]int }

// often is in how many inputs one place is changed.
const often = 6

// fresh reports whether a place of a computation is to be changed again.
func (c *changes) fresh(place string) bool {
	c.seen[place]++
	return c.seen[place] <= often
}

// of calls f with copies of tree in which one value at a time has been put out
// of shape: numbers replaced by extremes, fields and list entries left out. Of a
// long list, whose entries are alike, the first two and the last one are taken.
func (c *changes) of(place string, tree any, f func(any)) {
	switch t := tree.(type) {
	case json.Number:
		if !c.fresh(place) {
			return
		}
		for _, v := range []any{
			json.Number("0"), json.Number("-1"), json.Number("1e-300"), json.Number("1e150"), json.Number("-1e308"),
			json.Number("1e999"), "NaN", "+Inf", "-Inf", nil, true, "words", []any{}, map[string]any{},
		} {
			f(v)
		}
	case string:
		if !c.fresh(place) {
			return
		}
		f("furlong")
		f("deg")
		f(nil)
	case []any:
		if c.fresh(place) {
			f([]any{})
		}
		for i := range t {
			if i > 1 && i < len(t)-1 && len(t) > longList {
				continue
			}
			here := place + "[]"
			if i == 0 {
				here = place + "[0]"
			}
			if c.fresh(here + " left out") {
				f(append(append([]any{}, t[:i]...), t[i+1:]...))
			}
			c.of(here, t[i], func(v any) {
				l := append([]any{}, t...)
				l[i] = v
				f(l)
			})
		}
	case map[string]any:
		for k := range t {
			here := place + "." + k
			if c.fresh(here + " left out") {
				l := maps.Clone(t)
				delete(l, k)
				f(l)
			}
			c.of(here, t[k], func(v any) {
				l := maps.Clone(t)
				l[k] = v
				f(l)
			})
		}
	}
}

const longList = 5

// Every input of the corpus is put out of shape in every place: no panic, no
// error without a code, no infinity and no NaN in what comes out. With -short it is one
// input in ten: the race detector is slow, and these run one after the other anyway.
func TestInputsOutOfShape(t *testing.T) {
	raw, computations := rawComputations(), Computations()
	c := changes{map[string]int{}}
	for i, v := range vectors(t) {
		if testing.Short() && i%10 != 0 {
			continue
		}
		tree, err := parseTree(v.Input)
		require.NoError(t, err)
		if v.MustFail() || alike(v) {
			continue
		}
		c.of(v.Computation, tree, func(bad any) {
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

// alike reports whether a vector is one of a long series made at random, which
// are alike: of these the first in each thousand is put out of shape.
func alike(v *Vector) bool {
	return slices.Contains(v.Flags, "random") && !strings.HasSuffix(v.ID, "001")
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
