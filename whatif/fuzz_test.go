package whatif_test

import (
	"bytes"
	"context"
	"encoding/csv"
	"math"
	"strconv"
	"strings"
	"testing"

	"collinear.example/align"
	"collinear.example/whatif"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// Names and words of any kind come back from CSV and JSON as they went in, but
// for the guard, bytes that are not UTF-8, and line ends in CSV.
func FuzzWriting(f *testing.F) {
	f.Add("sag", "=cmd", 1.5, "no\r\nwhere", false)
	f.Add("\"a\",b\n", "", -1e-300, "\xff\xfe", true)
	f.Add("'", "'=x", 1e308, "@", false)
	f.Add("\xff\x00\r\r\n", "", -1e-300, "\xff\x85f", true)
	f.Fuzz(func(t *testing.T, name, word string, v float64, why string, fail bool) {
		s := whatif.Study[pair, pair]{
			Compute: func(p *pair) (pair, error) {
				if fail {
					return pair{}, &align.InputError{Field: why, Err: align.ErrMissing}
				}
				return *p, nil
			},
			Columns: []whatif.Column[pair]{
				whatif.Text(word+"w", func(pair) string { return word }),
				whatif.Number("twice", align.UnitMil, 3, func(p pair) unit.Length { return unit.Length(2 * p.X) }),
			}}
		table, err := s.Run(context.Background(), whatif.Each(whatif.List(name, align.UnitMillimetre, x, v)), whatif.Options{})
		if err != nil {
			require.NotEmpty(t, align.CodeOf(err))
			return
		}
		d := decode(t, table)
		valid := func(s string) string { return strings.ToValidUTF8(s, "\uFFFD") }
		assert.Equal(t, valid(name), d.Columns[0].Name)
		if !fail {
			assert.Equal(t, valid(word), d.Rows[0][1])
		}
		var b bytes.Buffer
		require.NoError(t, table.WriteCSV(&b))
		lines, err := csv.NewReader(&b).ReadAll()
		require.NoError(t, err)
		require.Len(t, lines, 2)
		plain := func(s string) string { return strings.ReplaceAll(valid(s), "\r\n", "\n") }
		for i, want := range []string{name + " (mm)", word + "w"} {
			got := lines[0][i]
			if strings.ContainsRune("=+-@\t\r", rune(valid(want)[0])) {
				require.Equal(t, byte('\''), got[0])
				got = got[1:]
			}
			assert.Equal(t, plain(want), got)
		}
		got, err := strconv.ParseFloat(lines[1][0], 64)
		require.NoError(t, err)
		assert.InDelta(t, 1, nearly(got, align.UnitMillimetre.FromSI(v)), 1e-11)
		assert.Equal(t, d.Rows[0][0], got)
		assert.Equal(t, fail, table.Failed() == 1 && strings.Contains(table.String(), "missing"))
	})
}

// nearly is the ratio of two numbers, 1 when both are nothing.
func nearly(a, b float64) float64 {
	if a == b || math.Abs(a-b) < 1e-310 {
		return 1
	}
	return a / b
}
