package worksheet

import (
	"math"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The expected text is what Python's json.dumps(record, indent=2,
// ensure_ascii=False) prints, with a newline, and the hashes are those of
// hashlib.sha256 over such texts, keys in the order of the types.
func TestCanonicalForm(t *testing.T) {
	good := goodRecords(t)
	r, err := Parse(good["only-train.json"])
	require.NoError(t, err)
	text, err := FormatRecord(r)
	require.NoError(t, err)
	require.Equal(t, `{
  "format": "collinear record 1",
  "title": "Only a train",
  "units": {
    "length": "m",
    "reading": "mm"
  },
  "train": {
    "machines": [
      {
        "name": "fan"
      }
    ]
  }
}
`, string(text))
	for name, want := range map[string]string{
		"only-train.json": "f52fbd8841bc33344072b7b295cf69657889817e6ae28f40152d6deae97ca4bc",
		"reverse-mm.json": "bc4ff9b2c34a522df07e6cf82487152163f9deefbc3576e28aad3687474842b6",
	} {
		r, err := Parse(good[name])
		require.NoError(t, err)
		got, err := r.Hash()
		require.NoError(t, err)
		require.Equal(t, want, got, name)
	}
}

func TestHashSeesEveryChange(t *testing.T) {
	before, err := everyPart(t).Hash()
	require.NoError(t, err)
	r := everyPart(t)
	r.Sets[0].Dials[1].Readings[2].Value = math.Nextafter(r.Sets[0].Dials[1].Readings[2].Value, 1)
	after, err := r.Hash()
	require.NoError(t, err)
	require.NotEqual(t, before, after)
}

// What says the same has one form.
func TestOneForm(t *testing.T) {
	a, b := everyPart(t), everyPart(t)
	a.Sets[0].Dials[0].Readings[0].Value = math.Copysign(0, -1)
	b.Sets[0].Dials[0].Readings[0].Value = 0
	minus := math.Copysign(0, -1)
	a.Train.Machines[2].Feet[0].Shims, a.Strain[0].Steps[0].Readings[2] = &minus, minus
	zero := 0.0
	b.Train.Machines[2].Feet[0].Shims, b.Strain[0].Steps[0].Readings[2] = &zero, 0
	a.Notes, b.Notes = []string{}, nil
	x, err := FormatRecord(a)
	require.NoError(t, err)
	y, err := FormatRecord(b)
	require.NoError(t, err)
	require.Equal(t, string(y), string(x))
	require.NotContains(t, string(x), "-0\n")
	require.NotContains(t, string(x), "-0,")
}

// Whatever can be said comes back as it was said.
func TestRoundTripOfRandomRecords(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 19))
	texts, seen := 0, map[string]bool{}
	for range 200 {
		r := everyPart(t)
		vary(rng, reflect.ValueOf(r).Elem())
		text, err := FormatRecord(r)
		if err != nil { // a station moved where it may not stand
			continue
		}
		texts++
		seen[string(text)] = true
		back, err := Parse(text)
		require.NoError(t, err)
		require.Equal(t, r, back)
		again, err := FormatRecord(back)
		require.NoError(t, err)
		require.Equal(t, string(text), string(again))
	}
	require.Greater(t, texts, 150)
	require.Len(t, seen, texts)
}

// vary changes numbers by what few digits cannot say, adds signs to free texts,
// and leaves parts out that nothing else refers to.
func vary(rng *rand.Rand, v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			vary(rng, v.Elem())
		}
	case reflect.Slice:
		for i := range v.Len() {
			vary(rng, v.Index(i))
		}
	case reflect.Float64:
		v.SetFloat(v.Float() * (1 + 1e-4*rng.Float64()))
	case reflect.Struct:
		for i, f := range fieldsOf(v.Type()) {
			child := v.Field(i)
			switch f.name {
			case "title", "plant", "note", "what", "by", "when", "notes":
				decorate(rng, child)
			case "at", "sag", "sets", "feet", "couplings", "machines", "units", "limits", "diameter", "lateral",
				"supports", "measured", "temperature", "speed", "material", "variant", "coefficient", "limit", "raisedFaceOD":
				vary(rng, child)
			default:
				if f.optional && rng.IntN(8) == 0 {
					child.SetZero()
				}
				vary(rng, child)
			}
			if f.name == "at" {
				child.SetFloat(math.Min(child.Float(), 360))
			}
		}
	}
}

func decorate(rng *rand.Rand, v reflect.Value) {
	if v.Kind() == reflect.Slice {
		for i := range v.Len() {
			decorate(rng, v.Index(i))
		}
		return
	}
	letters := []rune("aZ0 <>&\"\\/'{}[],:-éß漢字😀�")
	var b strings.Builder
	for range 1 + rng.IntN(30) {
		b.WriteRune(letters[rng.IntN(len(letters))])
	}
	v.SetString("x" + b.String() + "x")
}

func BenchmarkParse(b *testing.B) {
	text := goodRecords(b)["every-part.json"]
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Parse(text); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkFormat(b *testing.B) {
	r := everyPart(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := FormatRecord(r); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkHash(b *testing.B) {
	r := everyPart(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := r.Hash(); err != nil {
			b.Fatal(err)
		}
	}
}
