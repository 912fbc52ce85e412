package worksheet

import (
	"encoding/json"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// bytesOf are the findings of a record as JSON.
func bytesOf(t testing.TB, r *Record) string {
	t.Helper()
	text, err := json.Marshal(evaluated(t, r))
	require.NoError(t, err)
	return string(text)
}

// The same record gives the same bytes, a hundred times over and from many
// goroutines at once, and is not changed by it.
func TestEvalSameBytes(t *testing.T) {
	for name, make := range map[string]func() *Record{
		"every part": func() *Record { return everyPart(t) }, "sound": soundJob, "moved": movedJob, "spoiled": spoiledJob,
	} {
		r, twin := make(), make()
		want := bytesOf(t, r)
		for range 100 {
			require.Equal(t, want, bytesOf(t, r), name)
		}
		const workers = 8
		got := [workers]string{}
		var all sync.WaitGroup
		for i := range workers {
			all.Add(1)
			go func() {
				defer all.Done()
				for range 5 {
					v, err := r.Evaluate()
					if err != nil {
						return
					}
					text, err := json.Marshal(v)
					if err != nil || got[i] != "" && got[i] != string(text) {
						got[i] = "not the same"
						return
					}
					got[i] = string(text)
				}
			}()
		}
		all.Wait()
		for _, one := range got {
			require.Equal(t, want, one, name)
		}
		require.Equal(t, twin, r, "%s was changed", name)
		require.Equal(t, want, bytesOf(t, twin), "%s: another copy", name)
	}
}

// What the caller does to an evaluation does not reach the record or the next one.
func TestEvalOwnsItsAnswer(t *testing.T) {
	r, twin := everyPart(t), everyPart(t)
	want := bytesOf(t, r)
	v := evaluated(t, r)
	for i := range v.Findings {
		f := &v.Findings[i]
		for k := range f.Inputs {
			f.Inputs[k] = "spoiled"
		}
		if f.Value != nil {
			*f.Value = -1
		}
		if f.Limit != nil {
			f.Limit.Value = -1
		}
	}
	for i := range v.Notes {
		v.Notes[i] = "spoiled"
	}
	assert.Equal(t, want, bytesOf(t, r))
	assert.Equal(t, twin, r)
}

// Blanks and the order of the keys are not part of the record; one digit is.
func TestEvalHashIsOfTheRecord(t *testing.T) {
	for name, text := range goodRecords(t) {
		r, err := Parse(text)
		require.NoError(t, err)
		want := bytesOf(t, r)
		var loose any
		require.NoError(t, json.Unmarshal(text, &loose))
		for _, indent := range []string{"", " ", "\t\t\t"} {
			other, err := json.MarshalIndent(loose, indent, indent) // keys by the alphabet
			require.NoError(t, err)
			require.NotEqual(t, string(text), string(other))
			again, err := Parse(other)
			require.NoError(t, err, name)
			assert.Equal(t, want, bytesOf(t, again), name)
		}
	}
	before := evaluated(t, soundJob())
	for what, change := range map[string]func(*Record){
		"a reading": func(r *Record) { r.Sets[0].Dials[0].Readings[1].Value += 1e-9 },
		"a title":   func(r *Record) { r.Title += "." },
		"a note":    func(r *Record) { r.Notes = []string{"new"} },
		"a unit":    func(r *Record) { r.Units.Speed = "Hz" },
		"a foot":    func(r *Record) { r.Train.Machines[1].Feet[0].Shims = nil },
	} {
		r := soundJob()
		change(r)
		assert.NotEqual(t, before.Record, evaluated(t, r).Record, what)
	}
}

// What does not hold together is refused with the fault of Check and nothing else.
func TestEvalRefuses(t *testing.T) {
	r := soundJob()
	r.Sets[0].Dials[0].Bracket = "none such"
	want := r.Check()
	require.Error(t, want)
	v, err := r.Evaluate()
	require.Equal(t, want, err)
	assert.Equal(t, Evaluation{}, v)
	_, err = (*Record)(nil).Evaluate()
	require.Error(t, err)
}
