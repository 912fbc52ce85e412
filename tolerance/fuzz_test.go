package tolerance

import (
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/require"
)

// Whatever the text, it is read or refused with a code; what is read writes and
// reads back the same, and gives limits above zero or an error.
func FuzzParse(f *testing.F) {
	f.Add([]byte(small), 1500.0, 0.2)
	for _, s := range Builtin() {
		text, err := FormatSet(s)
		require.NoError(f, err)
		f.Add(text, 1485.0, 0.2)
	}
	f.Add([]byte(`{"format": "collinear limits 1"}`), 0.0, 0.0)
	f.Fuzz(func(t *testing.T, data []byte, n, size float64) {
		s, _, err := ParseSet(data)
		if err != nil {
			require.NotEmpty(t, align.CodeOf(err), "%v", err)
			return
		}
		text, err := FormatSet(s)
		require.NoError(t, err)
		back, _, err := ParseSet(text)
		require.NoError(t, err)
		require.Equal(t, s, back)
		g := geometryOf(n, size)
		for i := range s.Tables {
			for _, name := range append(s.Tables[i].Sizes(), "") {
				g.Size = name
				a, err := s.Tables[i].LimitAt(g)
				if err != nil {
					require.NotEmpty(t, align.CodeOf(err), "%v", err)
					continue
				}
				require.True(t, a.SI > 0 && align.IsFinite(a.SI) && align.IsFinite(a.Printed))
			}
		}
	})
}
