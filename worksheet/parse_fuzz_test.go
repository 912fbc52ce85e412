package worksheet

import (
	"os"
	"path/filepath"
	"testing"

	"collinear.example/align"
	"github.com/stretchr/testify/require"
)

// Whatever the text, it is read or refused with a code word and a field; what is
// read has a canonical form that reads back to the same.
func FuzzParse(f *testing.F) {
	for _, text := range goodRecords(f) {
		f.Add(text)
	}
	bad, err := filepath.Glob("testdata/bad/*/*.json")
	require.NoError(f, err)
	for _, file := range bad {
		text, err := os.ReadFile(file)
		require.NoError(f, err)
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		r, err := Parse(data)
		if err != nil {
			var in *align.InputError
			require.ErrorAs(t, err, &in)
			require.NotEmpty(t, align.CodeOf(err), "%v", err)
			require.NotEmpty(t, in.Field, "%v", err)
			require.Nil(t, r)
			return
		}
		text, err := FormatRecord(r)
		require.NoError(t, err)
		require.LessOrEqual(t, len(text), maxSize)
		back, err := Parse(text)
		require.NoError(t, err)
		require.Equal(t, r, back)
		again, err := FormatRecord(back)
		require.NoError(t, err)
		require.Equal(t, string(text), string(again))
	})
}
