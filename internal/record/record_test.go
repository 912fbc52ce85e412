package record_test

import (
	"testing"

	"collinear.example/internal/record"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func read(text string, f func(o record.Object)) error {
	tree, err := record.Parse([]byte(text))
	if err != nil {
		return err
	}
	r := &record.Reader{}
	f(r.Object("", tree, "name", "size", "kind", "list", "inside"))
	return r.Err()
}

func TestReadsWhatIsThere(t *testing.T) {
	require.NoError(t, read(`{"name": "pump", "size": 2.5, "kind": "b", "list": [1], "inside": {"name": "x"}}`, func(o record.Object) {
		assert.Equal(t, "pump", o.Text("name"))
		assert.Equal(t, 2.5, o.Number("size"))
		assert.Equal(t, "b", o.Word("kind", "a", "b"))
		assert.Len(t, o.List("list", 1), 1)
		assert.Equal(t, "x", o.Object("inside", "name").Text("name"))
		assert.Equal(t, "otherwise", o.TextOr("other", "otherwise"))
		assert.False(t, o.Has("other"))
		assert.Equal(t, "inside", o.Path("inside"))
	}))
}

func TestOneLineNamesTheField(t *testing.T) {
	for text, want := range map[string]string{
		`{"size": 1}`:                   "name: is missing",
		`{"name": 3}`:                   "name = 3: want a text",
		`{"name": ""}`:                  `name = "": must not be empty`,
		`{"name": "a", "size": "1"}`:    `size = "1": want a number`,
		`{"name": "a", "size": 1e999}`:  "size = 1e999: is outside the range of a floating-point number",
		`{"name": "a", "size": 1e-999}`: "size = 1e-999: is outside the range of a floating-point number",
		`{"name": "a", "name": "b"}`:    "name: is given twice",
		`{"name": "a", "colour": 1}`:    "colour: is not a field of a record; here may stand: name, size, kind, list, inside",
		`{"name": "a", "size": NaN}`:    "size: not valid JSON near line 1",
		`[]`:                            "record = a list of 0: want an object",
		`{"name": "a", "size": 1} 2`:    "record: not valid JSON",
		`{"inside":{"a":{"a":{"a":{"a":{"a":{"a":{"a":{"a":{"a":{"a":{"a":{"a":{"a":{"a":{"a":{"a":{"a":1}}}}}}}}}}}}}}}}}}`: "nested too deep",
	} {
		err := read(text, func(o record.Object) {
			o.Text("name")
			o.Number("size")
		})
		require.Error(t, err, text)
		assert.Contains(t, err.Error(), want)
		assert.NotContains(t, err.Error(), "\n")
	}
}

func FuzzParse(f *testing.F) {
	f.Add(`{"name": "a", "list": [1, 2, {"name": null}]}`)
	f.Fuzz(func(t *testing.T, text string) {
		tree, err := record.Parse([]byte(text))
		if (tree == nil) && err == nil && text != "null" {
			// null is the one value that is read as nothing.
			assert.Contains(t, text, "null")
		}
	})
}
