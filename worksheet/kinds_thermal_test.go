package worksheet

import (
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"github.com/stretchr/testify/assert"
)

// spoil changes one number of a record, found by walking its parts, or cuts a list
// short.
func spoil(r *rand.Rand, v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			spoil(r, v.Elem())
		}
	case reflect.Struct:
		spoil(r, v.Field(r.IntN(v.NumField())))
	case reflect.Slice:
		if n := v.Len(); n > 0 && r.IntN(4) == 0 {
			v.Set(v.Slice(0, r.IntN(n)))
		} else if n > 0 {
			spoil(r, v.Index(r.IntN(n)))
		}
	case reflect.Float64:
		v.SetFloat([]float64{0, -1, 1e300, -1e300, math.NaN(), math.Inf(1), 90}[r.IntN(7)])
	case reflect.String:
		v.SetString([]string{"", "far", "nobody", "mil", "degC"}[r.IntN(5)])
	case reflect.Bool:
		v.SetBool(!v.Bool())
	}
}

// No record makes a kind panic: jobs of every kind, spoiled in up to a dozen places,
// are given to each of these. A sheet that comes of them can be worked.
func TestThermalKindsOnSpoiledRecords(t *testing.T) {
	built, refused := 0, 0
	for seed := range uint64(60) {
		for _, from := range kinds() {
			r := rand.New(rand.NewPCG(seed, 71))
			record := from.generate(r, Difficulty(1+seed%3))
			for range r.IntN(12) {
				spoil(r, reflect.ValueOf(record))
			}
			for _, k := range thermalKinds() {
				s, err := k.build(record)
				if err != nil {
					refused++
					continue
				}
				built++
				s.Work()
				for i := range k.mistakes {
					if wrong := k.mistakes[i].in(s); wrong != nil {
						wrong.Work()
					}
				}
			}
		}
	}
	assert.Greater(t, built, 100)
	assert.Greater(t, refused, 100)
}

// FuzzThermalKinds gives jobs spoiled by chance to the kinds of this page.
func FuzzThermalKinds(f *testing.F) {
	for i := range uint64(6) {
		f.Add(i, i, uint8(i), uint8(3))
	}
	f.Fuzz(func(_ *testing.T, seed, how uint64, which, times uint8) {
		all := thermalKinds()
		k := all[int(which)%len(all)]
		record := k.generate(rand.New(rand.NewPCG(seed, 1)), Difficulty(1+seed%3))
		r := rand.New(rand.NewPCG(how, 2))
		for range times % 16 {
			spoil(r, reflect.ValueOf(record))
		}
		if s, err := k.build(record); err == nil {
			s.Work()
		}
	})
}

// BenchmarkThermalKinds makes one sheet of each kind and works it.
func BenchmarkThermalKinds(b *testing.B) {
	for _, k := range thermalKinds() {
		b.Run(k.name, func(b *testing.B) {
			record := k.generate(rand.New(rand.NewPCG(1, 1)), Usual)
			b.ReportAllocs()
			for b.Loop() {
				s, err := k.build(record)
				if err != nil {
					b.Fatal(err)
				}
				s.Work()
			}
		})
	}
}
