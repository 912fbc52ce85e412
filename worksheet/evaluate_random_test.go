package worksheet

import (
	"encoding/json"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// mangler changes a record here and there, as mistakes and bad luck do.
type mangler struct {
	*rand.Rand
	often float64 // how often a value is changed
}

func (m mangler) hits() bool { return m.Float64() < m.often }

func (m mangler) value(v reflect.Value, name string) {
	switch v.Kind() {
	case reflect.Pointer:
		switch {
		case v.IsNil():
		case m.hits():
			v.SetZero()
		default:
			m.value(v.Elem(), name)
		}
	case reflect.Slice:
		m.list(v, name)
	case reflect.Struct:
		for i, f := range fieldsOf(v.Type()) {
			m.value(v.Field(i), f.name)
		}
	case reflect.Float64:
		if m.hits() {
			v.SetFloat(m.number(v.Float()))
		}
	case reflect.Bool:
		if m.hits() {
			v.SetBool(!v.Bool())
		}
	case reflect.String:
		if words := wordsFor[name]; len(words) > 0 && m.hits() {
			v.SetString(words[m.IntN(len(words))])
		}
	}
}

// wordsFor are the words that a field can hold.
var wordsFor = map[string][]string{
	"touches": {rimDial, faceToward, faceAway, "shaft", "casing", "foot"}, "on": {onNear, onFar}, "method": {ReverseIndicator, RimAndFace},
	"stage": {AsFound, AfterMove, AsLeft, HotCheck}, "part": {shaftPart, hubRimPart, hubFacePart}, "action": {"loosen", "tighten"},
	"toward": {"up", "down", "right", "left", "along", "back"}, "rule": {"api-rp-686", "asme-b31.3-us", "bloch-geitner", "saes-l-350-machinery", "asme-pcc-1-si"},
	"set": {"api-rp-686", "weg-s", "siemens-1la4", "ktr-rotex-sp-14", "army-tm-10-4320-307", "usbr-fist-2-1"}, "finding": {"sound", "slight", "severe"},
	"limits": {"api-686", "api-618", "pumping-handbook"}, "reading": {"mm", "mil", "um", "in"}, "length": {"mm", "in", "m", "ft"},
}

func (m mangler) list(v reflect.Value, name string) {
	if n := v.Len(); n > 0 && m.hits() {
		k := m.IntN(n)
		v.Set(reflect.AppendSlice(v.Slice3(0, k, k), v.Slice(k+1, n)))
	}
	if n := v.Len(); n > 1 && m.hits() {
		a, b := m.IntN(n), m.IntN(n)
		old := reflect.New(v.Type().Elem()).Elem()
		old.Set(v.Index(a))
		v.Index(a).Set(v.Index(b))
		v.Index(b).Set(old)
	}
	for i := range v.Len() {
		m.value(v.Index(i), name)
	}
}

func (m mangler) number(v float64) float64 {
	some := []float64{0, -v, 10 * v, v / 1000, 2 * v, v + 1, 1e-9, 90, 180, 360, m.NormFloat64(), 100 * m.NormFloat64()}
	return some[m.IntN(len(some))]
}

// However a record is mangled, as long as it holds together it is worked out: no panic,
// every number one, every id once, the same bytes twice.
func TestEvalMangledRecords(t *testing.T) {
	m := mangler{Rand: rand.New(rand.NewPCG(11, 12))}
	whole := []func() *Record{soundJob, movedJob, fullJob, spoiledJob, func() *Record { return everyPart(t) }}
	worked, errors := 0, map[string]bool{}
	for i := range 1500 {
		r := whole[i%len(whole)]()
		m.often = []float64{0.001, 0.003, 0.01}[m.IntN(3)]
		m.value(reflect.ValueOf(r).Elem(), "")
		if r.Check() != nil || slow(r) {
			continue
		}
		worked++
		v := evaluated(t, r)
		ids, inputs := idsOfAll(v), []string(nil)
		require.Len(t, unique(slices.Clone(ids)), len(ids))
		for k := range v.Findings {
			wantNumbers(t, &v.Findings[k])
			if e := v.Findings[k].Error; e != nil {
				require.NotEmpty(t, e.Code, "%s: %s", v.Findings[k].ID, e.Says)
				errors[e.Code] = true
			}
			inputs = append(inputs, v.Findings[k].Inputs...)
		}
		slices.Sort(inputs)
		for _, p := range slices.Compact(inputs) {
			led, steps := stepsAlong(r, p)
			require.Equal(t, steps, led, "input %s leads nowhere", p)
		}
		text, err := json.Marshal(v)
		require.NoError(t, err)
		require.Equal(t, string(text), bytesOf(t, r))
	}
	require.Greater(t, worked, 400)
	require.Greater(t, len(errors), 8, "%v", errors)
}
