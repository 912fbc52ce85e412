package worksheet

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"
)

// FuzzFootKinds builds sheets from any record: it fails with a fault or gives finite
// figures, and every plan is judged without a panic.
func FuzzFootKinds(f *testing.F) {
	wide := handBase("api-618")
	wide.Gaps, wide.Stock = handRocking().Gaps, handPack().Stock
	for _, r := range []*Record{handWedge(), handRocking(), handPack(), handBase("api-686"), wide, handHub(), handFace()} {
		text, err := json.Marshal(r)
		require.NoError(f, err)
		f.Add(text, 1.0)
	}
	f.Fuzz(func(t *testing.T, text []byte, n float64) {
		r := new(Record)
		if json.Unmarshal(text, r) != nil {
			return
		}
		for _, k := range footKinds() {
			s, err := k.build(r)
			if err != nil {
				continue
			}
			if s.check() != nil { // absurd sizes; NewExercise refuses them
				continue
			}
			v := s.Work()
			for _, st := range s.asked() {
				if st.Choices != nil {
					i := int(v[st.ID])
					require.GreaterOrEqual(t, i, 0)
					require.Less(t, i, len(st.Choices))
				}
				if st.Plan == nil {
					continue
				}
				plan := map[string]float64{}
				for _, p := range st.Plan {
					plan[p] = n
				}
				_ = st.Accept(v, plan)
			}
			for _, m := range k.mistakes {
				if w := m.in(s); w != nil {
					w.Work()
				}
			}
		}
	})
}
