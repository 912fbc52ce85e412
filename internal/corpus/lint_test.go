package corpus

import (
	"encoding/json"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"
)

const soundVector = `{
  "id": "align.test.sound", "title": "A sound vector", "computation": "align.line-at",
  "input": {"line": {"offset": [1, "mm"], "slope": [0, "1"]}, "at": [0, "in"]},
  "expect": [{"name": "offset", "printed": "1.0", "exact": 1.04, "unit": "mm"}],
  "source": "book", "locator": "p. 1", "known": "read"
}`

const soundSources = `[{"id": "book", "kind": "handbook", "citation": "A book"}]`

func corpusOf(sources string, vectors ...string) fstest.MapFS {
	return fstest.MapFS{
		"sources.json":             {Data: []byte(sources)},
		"vectors/align/topic.json": {Data: []byte(`{"suite": "align/topic", "vectors": [` + strings.Join(vectors, ",") + `]}`)},
	}
}

func TestLintAcceptsASoundVector(t *testing.T) {
	c, err := Load(corpusOf(soundSources, soundVector))
	require.NoError(t, err)
	require.Empty(t, Lint(c))
}

// Each row breaks the sound vector in one way; the linter must say so.
func TestLintRefuses(t *testing.T) {
	for _, row := range []struct{ name, from, to, says string }{
		{"id", `"align.test.sound"`, `"Align Test"`, "id malformed"},
		{"title", `"A sound vector"`, `""`, "no title"},
		{"computation", `"align.line-at"`, `"align.guess"`, "unknown"},
		{"input", `{"line": {"offset": [1, "mm"], "slope": [0, "1"]}, "at": [0, "in"]}`, `[]`, "not an object"},
		{"source", `"source": "book"`, `"source": "hearsay"`, "not in sources.json"},
		{"unused source", `"source": "book"`, `"source": "hearsay"`, "used by no vector"},
		{"known", `"known": "read"`, `"known": "rumour"`, "known"},
		{"derived from a book", `"known": "read"`, `"known": "derived"`, "does not go with"},
		{"locator", `"locator": "p. 1", `, ``, "needs a locator"},
		{"unit", `"unit": "mm"`, `"unit": "furlong"`, "unit"},
		{"no exact value", `"exact": 1.04, `, ``, "no exact value"},
		{"no tolerance", `"printed": "1.0", `, ``, "no tolerance"},
		{"no reason", `"unit": "mm"`, `"unit": "mm", "tolerance": 0.2`, "needs its reason"},
		{"reason alone", `"unit": "mm"`, `"unit": "mm", "reason": "because"`, "without a tolerance"},
		{"negative tolerance", `"unit": "mm"`, `"unit": "mm", "tolerance": -1, "reason": "x"`, "no tolerance"},
		{"print disagrees", `1.04`, `1.06`, "no misprint is stated"},
		{"misprint agrees", `"known"`, `"misprint": "no", "known"`, "all printed figures agree"},
		{"printed words", `"1.0"`, `"about one"`, "not a plain decimal"},
		{"name", `"name": "offset"`, `"name": "Offset!"`, "name malformed"},
		{"text and number", `"unit": "mm"`, `"unit": "mm", "text": "pass"`, "a text has no number"},
		{"both", `"source"`, `"error": "missing", "source"`, "either expectations or an error"},
		{"neither", `"expect": [{"name": "offset", "printed": "1.0", "exact": 1.04, "unit": "mm"}],`, ``, "either expectations or an error"},
		{"error word", `"expect": [{"name": "offset", "printed": "1.0", "exact": 1.04, "unit": "mm"}],`, `"error": "Not Good",`, "malformed"},
		{"error with warnings", `"expect": [{"name": "offset", "printed": "1.0", "exact": 1.04, "unit": "mm"}],`, `"error": "missing", "warnings": [],`, "neither warnings nor a misprint"},
		{"warning word", `"source"`, `"warnings": ["No Good"], "source"`, "malformed"},
		{"flag word", `"source"`, `"flags": ["No Good"], "source"`, "malformed"},
	} {
		t.Run(row.name, func(t *testing.T) {
			require.Contains(t, soundVector, row.from)
			c, err := Load(corpusOf(soundSources, strings.Replace(soundVector, row.from, row.to, 1)))
			require.NoError(t, err)
			require.Contains(t, strings.Join(Lint(c), "\n"), row.says)
		})
	}
}

func TestLintRefusesDoubles(t *testing.T) {
	c, err := Load(corpusOf(soundSources, soundVector, soundVector))
	require.NoError(t, err)
	require.Contains(t, strings.Join(Lint(c), "\n"), "id given twice")

	c, err = Load(corpusOf(`[{"id":"book","kind":"gossip","citation":""},{"id":"book","kind":"own","citation":"x"}]`, soundVector))
	require.NoError(t, err)
	all := strings.Join(Lint(c), "\n")
	for _, says := range []string{"given twice", "kind \"gossip\" unknown", "no citation"} {
		require.Contains(t, all, says)
	}

	c, err = Load(corpusOf(soundSources))
	require.NoError(t, err)
	require.Contains(t, strings.Join(Lint(c), "\n"), "no vectors")

	c.Suites[0].Suite = "elsewhere"
	c.Suites = append(c.Suites, c.Suites[0])
	all = strings.Join(Lint(c), "\n")
	require.Contains(t, all, `want "align/topic"`)
	require.Contains(t, all, "given twice")
}

func TestLoadRefuses(t *testing.T) {
	sound := corpusOf(soundSources, soundVector)
	for name, broken := range map[string]string{
		"unknown field":    strings.Replace(soundVector, `"title"`, `"heading"`, 1),
		"field twice":      strings.Replace(soundVector, `"title"`, `"id": "x", "title"`, 1),
		"wrong type":       strings.Replace(soundVector, `"A sound vector"`, `7`, 1),
		"unclosed bracket": soundVector[:40],
	} {
		_, err := Load(corpusOf(soundSources, broken))
		require.Error(t, err, name)
	}
	trailing := fstest.MapFS{"sources.json": sound["sources.json"], "vectors/a.json": {Data: []byte(`{"suite":"a","vectors":[]} x`)}}
	_, err := Load(trailing)
	require.Error(t, err)
	stray := fstest.MapFS{"sources.json": sound["sources.json"], "vectors/notes.txt": {Data: []byte("hello")}}
	_, err = Load(stray)
	require.ErrorContains(t, err, "only .json")
	_, err = Load(fstest.MapFS{})
	require.Error(t, err)
	_, err = Load(fstest.MapFS{"sources.json": sound["sources.json"]})
	require.Error(t, err)
}

// The schema and the Go types must name the same fields.
func TestSchemaNamesTheFields(t *testing.T) {
	c := load(t)
	require.NotEmpty(t, c.Suites)
	var schema struct {
		Properties  map[string]any `json:"properties"`
		Definitions map[string]struct {
			Properties           map[string]any `json:"properties"`
			AdditionalProperties *bool          `json:"additionalProperties"`
		} `json:"definitions"`
	}
	require.NoError(t, json.Unmarshal(readFile(t, testdata+"/schema/vector.schema.json"), &schema))
	require.ElementsMatch(t, keys(schema.Properties), []string{"suite", "vectors"})
	for name, fields := range map[string][]string{"vector": tags(Vector{}), "expectation": tags(Expectation{})} {
		d := schema.Definitions[name]
		require.ElementsMatch(t, keys(d.Properties), fields, name)
		require.NotNil(t, d.AdditionalProperties, name)
		require.False(t, *d.AdditionalProperties, name)
	}
}
