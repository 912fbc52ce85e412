package worksheet

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Whatever can be read can be worked out: no panic, no number that is none, JSON that
// is the same twice, every id once.
func FuzzEvaluate(f *testing.F) {
	for _, text := range goodRecords(f) {
		f.Add(text)
	}
	for _, r := range []*Record{soundJob(), movedJob(), fullJob(), spoiledJob()} {
		text, err := FormatRecord(r)
		require.NoError(f, err)
		f.Add(text)
	}
	for _, k := range kinds() {
		x, err := Generate(k.name, 1, Severe)
		require.NoError(f, err)
		if text, err := FormatRecord(x.Record); err == nil {
			f.Add(text)
		}
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		r, err := Parse(data)
		if err != nil || slow(r) {
			return
		}
		before, err := FormatRecord(r)
		require.NoError(t, err)
		v := evaluated(t, r)
		ids := map[string]bool{}
		for i := range v.Findings {
			one := &v.Findings[i]
			require.False(t, ids[one.ID], "%s twice", one.ID)
			ids[one.ID] = true
			wantNumbers(t, one)
		}
		text, err := json.Marshal(v)
		require.NoError(t, err)
		require.False(t, strings.Contains(string(text), "NaN") && !strings.Contains(string(before), "NaN"))
		require.Equal(t, string(text), bytesOf(t, r))
		after, err := FormatRecord(r)
		require.NoError(t, err)
		require.Equal(t, string(before), string(after), "the record was changed")
	})
}

// slow reports whether the exact searches for shims may take long: they look at
// every stack, which is fine for a shelf as shops have it.
func slow(r *Record) bool {
	return r.Stock != nil && len(r.Stock.Leaves) > 8 && r.Stock.MaxLeaves > 4
}

// wantNumbers wants every number of a finding to be one.
func wantNumbers(t *testing.T, f *Finding) {
	t.Helper()
	list := []*float64{f.Value, f.Sigma}
	if f.Limit != nil {
		list = append(list, &f.Limit.Value, &f.Limit.Printed)
	}
	for i := range f.Warnings {
		list = append(list, f.Warnings[i].Value, f.Warnings[i].Limit)
	}
	for _, n := range list {
		require.False(t, n != nil && (math.IsNaN(*n) || math.IsInf(*n, 0)), "%s: %v", f.ID, n)
	}
}

func BenchmarkEvaluate(b *testing.B) {
	for _, c := range []struct {
		name string
		r    *Record
	}{{"every part", everyPart(b)}, {"sound", soundJob()}} {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := c.r.Evaluate(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// Findings of a whole job with two sets of readings, as JSON.
func BenchmarkEvaluateToJSON(b *testing.B) {
	r := everyPart(b)
	b.ReportAllocs()
	for b.Loop() {
		v, err := r.Evaluate()
		if err != nil {
			b.Fatal(err)
		}
		if _, err := json.Marshal(v); err != nil {
			b.Fatal(err)
		}
	}
}
