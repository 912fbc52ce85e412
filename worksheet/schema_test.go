package worksheet

import (
	"encoding/json"
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"

	"collinear.example/align"
	"collinear.example/piping"
	"collinear.example/softfoot"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// schemaNode is the part of a JSON schema that the tests look at.
type schemaNode struct {
	Ref                  string                 `json:"$ref"`
	Type                 string                 `json:"type"`
	Const                *string                `json:"const"`
	Enum                 []string               `json:"enum"`
	Properties           map[string]*schemaNode `json:"properties"`
	Required             []string               `json:"required"`
	AdditionalProperties *bool                  `json:"additionalProperties"`
	Items                *schemaNode            `json:"items"`
	Definitions          map[string]*schemaNode `json:"definitions"`
}

func recordSchema(t *testing.T) *schemaNode {
	t.Helper()
	text, err := os.ReadFile("../testdata/schema/record.schema.json")
	require.NoError(t, err)
	root := new(schemaNode)
	require.NoError(t, json.Unmarshal(text, root))
	return root
}

// schemaWalk goes through the Go types and the schema side by side.
type schemaWalk struct {
	*testing.T
	root *schemaNode
	used map[string]bool
}

func (w *schemaWalk) resolve(n *schemaNode) *schemaNode {
	for n != nil && n.Ref != "" {
		name := strings.TrimPrefix(n.Ref, "#/definitions/")
		w.used[name] = true
		n = w.root.Definitions[name]
	}
	return n
}

func (w *schemaWalk) same(path string, n *schemaNode, typ reflect.Type) {
	n = w.resolve(n)
	require.NotNil(w, n, "%s is not in the schema", path)
	switch typ.Kind() {
	case reflect.Pointer:
		w.same(path, n, typ.Elem())
	case reflect.Slice:
		assert.Equal(w, "array", n.Type, path)
		w.same(path+"[]", n.Items, typ.Elem())
	case reflect.Struct:
		w.sameFields(path, n, typ)
	case reflect.Float64:
		assert.Equal(w, "number", n.Type, path)
	case reflect.Int:
		assert.Equal(w, "integer", n.Type, path)
	case reflect.Bool:
		assert.Equal(w, "boolean", n.Type, path)
	case reflect.String:
		assert.True(w, n.Type == "string" || len(n.Enum) > 0 || n.Const != nil, path)
	default:
		assert.Fail(w, "a type that no record holds", "%s: %s", path, typ)
	}
}

func (w *schemaWalk) sameFields(path string, n *schemaNode, typ reflect.Type) {
	assert.Equal(w, "object", n.Type, path)
	if assert.NotNil(w, n.AdditionalProperties, path) {
		assert.False(w, *n.AdditionalProperties, path)
	}
	var required []string
	names := map[string]bool{}
	for i, f := range fieldsOf(typ) {
		names[f.name] = true
		if !f.optional {
			required = append(required, f.name)
		}
		w.same(path+"."+f.name, n.Properties[f.name], typ.Field(i).Type)
	}
	for name := range n.Properties {
		assert.True(w, names[name], "%s.%s is in the schema and not in the type", path, name)
	}
	assert.ElementsMatch(w, required, n.Required, path)
}

// The schema and the Go types name the same fields, of the same kinds, and
// require the same ones; no definition is left over.
func TestSchemaNamesTheSameFields(t *testing.T) {
	w := &schemaWalk{t, recordSchema(t), map[string]bool{}}
	w.same("record", w.root, reflect.TypeOf(Record{}))
	for name := range w.root.Definitions {
		assert.True(t, w.used[name], "definition %s is not used", name)
	}
}

// The words of the schema are those that the library knows, no more and no fewer.
func TestSchemaKnowsTheWords(t *testing.T) {
	root := recordSchema(t)
	require.Equal(t, Format, *root.Properties["format"].Const)
	enum := func(definition, property string) []string {
		return root.Definitions[definition].Properties[property].Enum
	}
	var items, profiles []string
	for _, i := range softfoot.Items() {
		items = append(items, string(i))
	}
	for _, p := range softfoot.BaseProfiles() {
		profiles = append(profiles, p.Name)
	}
	require.ElementsMatch(t, items, enum("observation", "item"))
	require.ElementsMatch(t, profiles, enum("baseSurvey", "limits"))
	require.ElementsMatch(t, []string{AsFound, AfterMove, AsLeft, HotCheck}, enum("set", "stage"))
	require.ElementsMatch(t, []string{ReverseIndicator, RimAndFace}, enum("set", "method"))

	for dim, words := range map[align.Dimension][]string{
		align.LengthDim:      root.Definitions["lengthUnit"].Enum,
		align.TemperatureDim: enum("units", "temperature"),
		align.FrequencyDim:   enum("units", "speed"),
	} {
		for _, u := range []align.Unit{"m", "mm", "um", "in", "mil", "ft", "K", "degC", "degF", "degC-rise", "rpm", "Hz", "m/s", "1"} {
			require.Equal(t, u.Dimension() == dim, slices.Contains(words, string(u)), u)
		}
		for _, u := range words {
			require.Equal(t, dim, align.Unit(u).Dimension(), u)
		}
	}

	size := piping.FlangeSize{FlangeOD: 0.3, RaisedFaceOD: 0.25, Reference: piping.ByFlangeOD}
	for _, rule := range enum("flangeSurvey", "rule") {
		_, err := piping.FlangeLimitsOf(piping.FlangeRule(rule), size)
		require.NotEqual(t, align.ErrUnknownKind.Code(), align.CodeOf(err), rule)
	}
}

// Each word that the schema lists is one that Check takes in its place: every
// enumeration is tried in the record with every part.
func TestCheckTakesTheWordsOfTheSchema(t *testing.T) {
	root := recordSchema(t)
	tried := 0
	try := func(definition, property string, set func(r *Record, word string)) {
		for _, word := range root.Definitions[definition].Properties[property].Enum {
			r := everyPart(t)
			set(r, word)
			require.NoError(t, r.Check(), "%s.%s = %s", definition, property, word)
			set(r, word+"s")
			wantCode(t, r.Check(), align.ErrUnknownKind)
			tried++
		}
	}
	try("observation", "item", func(r *Record, w string) { r.Looked[0].Item = w })
	try("observation", "finding", func(r *Record, w string) { r.Looked[0].Finding = w })
	try("baseSurvey", "limits", func(r *Record, w string) { r.Base.Limits = w })
	try("runoutSweep", "limit", func(r *Record, w string) { r.Runout[0].Limit = w })
	try("flangeSurvey", "rule", func(r *Record, w string) { r.Joints[1].Rule = w })
	try("flangeSurvey", "reference", func(r *Record, w string) { r.Joints[0].Reference = w })
	try("strainDial", "toward", func(r *Record, w string) { r.Strain[0].Dials[0].Toward = w })
	try("strainDial", "touches", func(r *Record, w string) { r.Strain[0].Dials[0].Touches = w })
	try("strainStep", "action", func(r *Record, w string) { r.Strain[0].Steps[0].Action = w })
	try("sagTest", "kind", func(r *Record, w string) { r.Sag[0].Kind = w })
	try("set", "stage", func(r *Record, w string) { r.Sets[0].Stage = w })
	require.GreaterOrEqual(t, tried, 40)
}

func wantCode(t *testing.T, err error, code align.Fault) {
	t.Helper()
	require.Error(t, err)
	require.Equal(t, code.Code(), align.CodeOf(err), "%v", err)
}
