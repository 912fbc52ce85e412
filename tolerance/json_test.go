package tolerance

import (
	"encoding/json"
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/require"
)

const small = `{"format": "collinear limits 1", "id": "s", "title": "set", "combine": "each-alone", "tables": [
 {"id": "t", "title": "offset", "quantity": "true-offset", "place": "coupling-centre", "planes": "resultant", "unit": "mm",
  "rule": "by-point", "rows": [{"rpm": 1500, "value": 0.1}, {"rpm": 3000, "value": 0.05}],
  "between": "linear", "below": "hold", "above": "refuse", "source": "invented", "known": "read"}]}`

func TestParseSet(t *testing.T) {
	s, w, err := ParseSet([]byte(small))
	require.NoError(t, err)
	require.Empty(t, w)
	require.Equal(t, Set{ID: "s", Title: "set", Combine: EachAlone, Tables: []Table{{
		ID: "t", Title: "offset", Quantity: TrueOffset, Place: AtCentre, Planes: Resultant, Unit: align.UnitMillimetre,
		Rule: ByPoint, Rows: []Row{{Speed: rpm(1500), Value: 0.1}, {Speed: rpm(3000), Value: 0.05}},
		Between: Linear, Below: Hold, Above: Refuse, Source: "invented", Known: align.Read,
	}}}, s)
}

func TestParseSetRefuses(t *testing.T) {
	change := func(pairs ...string) string {
		out := small
		for i := 0; i < len(pairs); i += 2 {
			require.Contains(t, out, pairs[i])
			out = strings.Replace(out, pairs[i], pairs[i+1], 1)
		}
		return out
	}
	for _, c := range []struct {
		field, text string
		err         error
	}{
		{"text", "", ErrBadJSON},
		{"text", small + "x", ErrBadJSON},
		{"text", small + small, ErrBadJSON},
		{"text", small[:len(small)-1], ErrBadJSON},
		{"text", "\xff", ErrBadJSON},
		{"text", strings.Repeat(" ", maxSize) + small, ErrBadJSON},
		{"text", "[]", ErrWrongType},
		{"[0][0][0][0][0][0][0][0][0]", strings.Repeat("[", 20) + strings.Repeat("]", 20), ErrBadJSON},
		{"format", "{}", align.ErrMissing},
		{"format", change("limits 1", "limits 2"), ErrUnknownFormat},
		{"format", change(`"collinear limits 1"`, "7"), ErrUnknownFormat},
		{"id", change(`"id": "s"`, `"id": "s", "id": "s"`), ErrBadJSON},
		{"id", change(`"id": "s", `, ""), align.ErrMissing},
		{"id", change(`"id": "s"`, `"id": " "`), align.ErrMissing},
		{"ID", change(`"id": "s"`, `"ID": "s"`), ErrUnknownField},
		{"tables", change(`"tables": [`, `"tables": [], "x": [`), ErrUnknownField},
		{"tables[0].colour", change(`"unit"`, `"colour": 1, "unit"`), ErrUnknownField},
		{"tables[0].rows[0].value", change(`"value": 0.1`, `"value": "0.1"`), ErrWrongType},
		{"tables[0].rows[0].value", change(`"value": 0.1`, `"value": null`), ErrWrongType},
		{"tables[0].rows[0].value", change(`"value": 0.1`, `"value": 1e999`), align.ErrOutOfRange},
		{"tables[0].rows[0].value", change(`, "value": 0.1`, ``), align.ErrMissing},
		{"tables[0].rows[0].rpm", change(`"rpm": 1500, `, ``), align.ErrMissing},
		{"tables[0].rows[0].fromRpm", change(`"rpm": 1500`, `"rpm": 1500, "fromRpm": 0`), align.ErrMismatch},
		{"tables[0].rows[0].rpm", change(`by-point`, `any-speed`), align.ErrMismatch},
		{"tables[0].rows[0].rpm", change(`"rpm": 1500`, `"rpm": 0`), align.ErrOutOfRange},
		{"tables[0].rows", change(`[{"rpm": 1500, "value": 0.1}, {"rpm": 3000, "value": 0.05}]`, `[]`), align.ErrMissing},
		{"tables[0].rows", change(`[{"rpm": 1500, "value": 0.1}, {"rpm": 3000, "value": 0.05}]`, `{}`), ErrWrongType},
		{"tables[0].rows[1].value", change(`0.05`, `0.2`), ErrNotMonotone},
		{"tables[0].formula", change(`by-point`, `by-formula`), align.ErrMissing},
		{"tables[0].formula", change(`"between"`, `"formula": {"base": 1, "perDiameter": 0, "numerator": 1, "power": 0}, "between"`), align.ErrMismatch},
		{"tables[0].unusable", change(`"between"`, `"unusable": "no", "between"`), ErrWrongType},
		{"tables[0].unit", change(`"mm"`, `"cubit"`), align.ErrUnknownUnit},
	} {
		if c.field == "tables" { // the unknown field is found first
			c.field = "x"
		}
		s, _, err := ParseSet([]byte(c.text))
		require.ErrorIs(t, err, c.err, c.text)
		require.Empty(t, s)
		var in *align.InputError
		require.ErrorAs(t, err, &in)
		require.Equal(t, c.field, in.Field)
		require.NotContains(t, err.Error(), "\n")
		require.Less(t, len(err.Error()), 300)
	}
	band := change(`by-point`, `by-band`, `"rpm": 1500`, `"fromRpm": 0, "toRpm": 0`, `"rpm": 3000`, `"fromRpm": 0`, `"between": "linear", `, ``)
	_, _, err := ParseSet([]byte(band))
	require.ErrorIs(t, err, align.ErrOutOfRange) // an upper bound of zero is not the same as none
	_, _, err = ParseSet([]byte(strings.Replace(band, `"fromRpm": 0, "toRpm": 0`, `"toRpm": 9`, 1)))
	require.ErrorIs(t, err, align.ErrMissing)
}

func TestFormatSetRoundTrip(t *testing.T) {
	for _, s := range Builtin() {
		text, err := FormatSet(s)
		require.NoError(t, err)
		back, _, err := ParseSet(text)
		require.NoError(t, err)
		require.Equal(t, s, back)

		line, err := json.Marshal(s)
		require.NoError(t, err)
		var again Set
		require.NoError(t, json.Unmarshal(line, &again))
		require.Equal(t, s, again)
	}
	require.Error(t, json.Unmarshal([]byte(`{}`), new(Set)))
}

// The schema and the Go types name the same fields and require the same ones.
func TestSchemaNamesTheSameFields(t *testing.T) {
	type object struct {
		Properties           map[string]json.RawMessage
		Required             []string
		AdditionalProperties *bool
	}
	var schema struct {
		object
		Definitions map[string]object
	}
	data, err := os.ReadFile("../testdata/schema/limits.schema.json")
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(data, &schema))
	for _, c := range []struct {
		o object
		t reflect.Type
	}{
		{schema.object, reflect.TypeOf(setJSON{})},
		{schema.Definitions["table"], reflect.TypeOf(tableJSON{})},
		{schema.Definitions["row"], reflect.TypeOf(rowJSON{})},
		{schema.Definitions["formula"], reflect.TypeOf(formulaJSON{})},
		{schema.Definitions["factor"], reflect.TypeOf(pointJSON{})},
	} {
		var names, required []string
		for i := range c.t.NumField() {
			name, options, _ := strings.Cut(c.t.Field(i).Tag.Get("json"), ",")
			names = append(names, name)
			if options == "" {
				required = append(required, name)
			}
		}
		var got []string
		for name := range c.o.Properties {
			got = append(got, name)
		}
		require.ElementsMatch(t, names, got, c.t.Name())
		require.ElementsMatch(t, required, c.o.Required, c.t.Name())
		require.False(t, *c.o.AdditionalProperties)
	}
}

// Every word of a built-in table is one that the schema lists, so that the schema
// cannot fall behind.
func TestSchemaKnowsTheWords(t *testing.T) {
	data, err := os.ReadFile("../testdata/schema/limits.schema.json")
	require.NoError(t, err)
	var schema struct {
		Definitions struct {
			Table struct {
				Properties map[string]struct{ Enum []string }
			}
		}
	}
	require.NoError(t, json.Unmarshal(data, &schema))
	enum := func(name string) []string { return schema.Definitions.Table.Properties[name].Enum }
	for _, s := range Builtin() {
		for _, table := range s.Tables {
			for name, word := range map[string]string{
				"quantity": string(table.Quantity), "place": string(table.Place), "planes": string(table.Planes),
				"turned": string(table.Turned), "unit": string(table.Unit), "rule": string(table.Rule),
				"between": string(table.Between), "above": string(table.Above), "known": string(table.Known),
			} {
				if word != "" {
					require.Contains(t, enum(name), word, "%s of %s", name, table.ID)
				}
			}
		}
	}
	for _, u := range enum("unit") {
		dim := align.Unit(u).Dimension()
		require.True(t, slices.Contains([]align.Dimension{align.LengthDim, align.RatioDim, align.AngleDim}, dim), u)
	}
	for _, q := range enum("quantity") {
		require.NotEqual(t, align.NoDimension, Quantity(q).Dimension(), q)
	}
}
