package worksheet

import (
	"math"
	"math/rand/v2"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// footJob is one random job with its sheet worked rightly.
type footJob struct {
	r *Record
	s *Sheet
	v Values
}

// eachFootJob runs f on 200 jobs of a kind for each difficulty, every one of them a
// record that can be kept.
func eachFootJob(t *testing.T, k kind, f func(t *testing.T, j footJob)) {
	for d := Plain; d <= Severe; d++ {
		for seed := range uint64(200) {
			r := k.generate(rand.New(rand.NewPCG(seed, uint64(d))), d)
			require.NoError(t, r.Check(), "seed %d, difficulty %d", seed, d)
			s, err := k.build(r)
			require.NoError(t, err, "seed %d, difficulty %d", seed, d)
			require.NoError(t, s.check())
			f(t, footJob{r, s, s.Work()})
			if t.Failed() {
				t.Fatalf("seed %d, difficulty %d", seed, d)
			}
		}
	}
}

// same holds a step against the library's figure to 1e-9.
func (j footJob) same(t *testing.T, step string, want float64) {
	t.Helper()
	require.NotNil(t, j.s.step(step), step)
	assert.InDelta(t, want, j.v[step], 1e-9*math.Abs(want)+1e-18, step)
}

// choice is the word of an answer that is one.
func (j footJob) choice(step string) string { return j.s.step(step).Choices[int(j.v[step])] }

// askedFigures returns the ids of the asked steps, plans left out.
func (j footJob) askedFigures() (ids []string) {
	for _, st := range j.s.asked() {
		if st.Plan == nil {
			ids = append(ids, st.ID)
		}
	}
	return ids
}

// Every mistake of the feet and runout kinds finds an occasion, and where it is made
// it changes an answer by more than rounding in most jobs. The right answers are
// nonzero.
func TestFootMistakesShow(t *testing.T) {
	for _, k := range footKinds() {
		t.Run(k.name, func(t *testing.T) {
			made, shows := map[string]int{}, map[string]int{}
			eachFootJob(t, k, func(t *testing.T, j footJob) {
				right := newWay(Mistake{}, j.s)
				for _, id := range j.askedFigures() {
					if j.s.step(id).Choices == nil {
						assert.Greater(t, math.Abs(j.v[id]), 0.0, id)
					}
				}
				assert.GreaterOrEqual(t, len(j.s.asked()), 3)
				for _, m := range k.mistakes {
					wrong := m.in(j.s)
					if wrong == nil {
						continue
					}
					made[m.Code]++
					if w := newWay(m, wrong); w.differs(&right) {
						shows[m.Code]++
					}
				}
			})
			for _, m := range k.mistakes {
				assert.Positive(t, made[m.Code], m.Code)
				assert.Greater(t, 2*shows[m.Code], made[m.Code], "%s shows in %d of %d", m.Code, shows[m.Code], made[m.Code])
			}
		})
	}
}

// A record that lacks what a kind needs is refused, an empty one and one with names
// that lead nowhere as well; nothing panics.
func TestFootKindsWithoutReadings(t *testing.T) {
	for _, k := range footKinds() {
		empty := &Record{Format: Format, Units: Units{Length: align.UnitMillimetre, Reading: align.UnitMillimetre}}
		_, err := k.build(empty)
		require.Error(t, err, k.name)
		assert.Equal(t, string(align.ErrMissing), align.CodeOf(err), k.name)
	}
}

// lateralAt is a number with an address.
func lateralAt(v float64) *float64 { return &v }
