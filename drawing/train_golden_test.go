package drawing_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"flag"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write the golden drawings anew")

// svgShape is one drawn element of an SVG: what it is, its numbers in the order in
// which they are written, and its words.
type svgShape struct {
	kind    string
	numbers []float64
	look    string // class, dashes, anchor and weight
	words   string
}

// parseSVG reads the drawn elements of a drawing, strictly as XML.
func parseSVG(t testing.TB, data []byte) []svgShape {
	t.Helper()
	var out []svgShape
	d := xml.NewDecoder(bytes.NewReader(data))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return out
		}
		require.NoError(t, err)
		e, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		switch e.Name.Local {
		case "line", "polyline", "polygon", "circle", "text":
			out = append(out, parseShape(t, d, e))
		case "script", "foreignObject", "image", "a", "use":
			t.Fatalf("the drawing has an element <%s>", e.Name.Local)
		}
	}
}

func parseShape(t testing.TB, d *xml.Decoder, e xml.StartElement) svgShape {
	s := svgShape{kind: e.Name.Local}
	for _, a := range e.Attr {
		switch a.Name.Local {
		case "class", "stroke-dasharray", "text-anchor", "font-weight", "lengthAdjust":
			s.look += a.Value + ";"
			continue
		case "style":
			continue // holds the name of the hatching
		}
		for _, v := range strings.FieldsFunc(a.Value, func(r rune) bool { return r == ' ' || r == ',' }) {
			n, err := strconv.ParseFloat(v, 64)
			require.NoError(t, err, "%s %s", e.Name.Local, a.Name.Local)
			s.numbers = append(s.numbers, n)
		}
	}
	if s.kind == "text" {
		var content struct {
			Words string `xml:",chardata"`
		}
		require.NoError(t, d.DecodeElement(&content, &e))
		s.words = content.Words
	}
	return s
}

// sameAsGolden compares a drawing with the one kept in testdata, shape by shape
// and number by number within a thousandth of a millimetre.
func sameAsGolden(t *testing.T, name string, data []byte) {
	t.Helper()
	path := filepath.Join("testdata", name+".svg")
	if *update {
		require.NoError(t, os.WriteFile(path, data, 0o644))
	}
	golden, err := os.ReadFile(path)
	require.NoError(t, err)
	want, got := parseSVG(t, golden), parseSVG(t, data)
	require.NotEmpty(t, got)
	require.Len(t, got, len(want), "number of shapes")
	for i := range want {
		require.Equal(t, want[i].kind, got[i].kind, "shape %d", i)
		require.Equal(t, want[i].words, got[i].words, "shape %d", i)
		require.Equal(t, want[i].look, got[i].look, "shape %d, %s", i, got[i].words)
		require.Len(t, got[i].numbers, len(want[i].numbers))
		require.InDeltaSlice(t, want[i].numbers, got[i].numbers, 0.001+1e-9, "shape %d, %s %s", i, got[i].kind, got[i].words)
	}
}
