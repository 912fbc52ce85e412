package drawing_test

import (
	"math/rand/v2"
	"strings"
	"testing"
	"unicode/utf8"

	"collinear.example/drawing"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// By hand from the metrics: 278, 556 and 833 thousandths, three hundredths wider.
func TestTextWidth(t *testing.T) {
	for words, want := range map[string]float64{
		"": 0, "0.12": 1.03 * (3*0.556 + 0.278), "mm": 1.03 * 2 * 0.833, "±": 0.65, "é": 0.65, "e\u0301": 1.03 * 0.556, "\u0301": 0.65, "a \u0301": 1.03*(0.556+0.278) + 0.65,
		"насос": 5 * 0.65, "圧縮機": 3, "🏭": 1, "…": 1, "~": 1.03 * 0.584, " ": 1.03 * 0.278,
	} {
		assert.InDelta(t, 2*want, drawing.TextWidth(words, 2), 1e-12, words)
	}
}

func TestPrintable(t *testing.T) {
	for in, want := range map[string]string{
		"": "", "pump": "pump", " two  words\t\n": "two words", "a\x00b\x7f": "ab", "\xff": "?", "\ufffe": "?", "a\u202eb": "ab", "👩\u200d🔧": "👩🔧",
		"e\u0301\u0302\u0303\u0304\u0305x": "e\u0301\u0302\u0303x", "<&>": "<&>", "\u00a0x\u2003y": "x y",
	} {
		assert.Equal(t, want, drawing.Printable(in), "%q", in)
	}
}

func TestShortened(t *testing.T) {
	assert.Equal(t, "pump", drawing.Shortened("pump", 2, drawing.TextWidth("pump", 2)))
	assert.Equal(t, "pu…", drawing.Shortened("pumping", 2, drawing.TextWidth("pu…", 2)+0.1))
	assert.Equal(t, "two…", drawing.Shortened("two words", 2, drawing.TextWidth("two …", 2)), "no space before the ellipsis")
	assert.Equal(t, "…", drawing.Shortened("wide", 2, 2))
	assert.Equal(t, "", drawing.Shortened("wide", 2, 1.9))
	assert.Equal(t, "e\u0301…", drawing.Shortened("e\u0301e\u0301e\u0301e\u0301e\u0301", 2, drawing.TextWidth("e…", 2)+0.1), "a mark stays with its letter")
}

func FuzzText(f *testing.F) {
	f.Add("motor", 10.0)
	f.Add("蒸気 タービン e\u0301\u0301\u0301\u0301", 7.0)
	f.Add("\xff\x00 \u202e", 0.5)
	f.Fuzz(func(t *testing.T, words string, width float64) {
		p := drawing.Printable(words)
		require.Equal(t, p, drawing.Printable(p))
		require.True(t, utf8.ValidString(p))
		require.Equal(t, p, strings.Join(strings.Fields(p), " "))
		if !(width >= 0 && width < 1e6) {
			return
		}
		s := drawing.Shortened(words, 2, width)
		require.LessOrEqual(t, drawing.TextWidth(s, 2), width)
		if cut, was := strings.CutSuffix(s, "…"); was && s != p {
			require.True(t, strings.HasPrefix(p, cut))
		} else if s != "" {
			require.Equal(t, p, s)
		}
	})
}

// What is ASCII with single spaces takes a shorter way and must come out alike.
func TestPrintablePlain(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 5))
	for range 2000 {
		b := make([]byte, r.IntN(12))
		for i := range b {
			b[i] = byte(r.IntN(128))
			if r.IntN(4) == 0 {
				b[i] = ' '
			}
		}
		want := strings.Join(strings.Fields(strings.Map(func(c rune) rune {
			if c < ' ' && !strings.ContainsRune("\t\n\v\f\r", c) || c > '~' {
				return -1
			}
			return c
		}, string(b))), " ")
		require.Equal(t, want, drawing.Printable(string(b)), "%q", b)
	}
}

func TestTextBounds(t *testing.T) {
	x := drawing.Text{At: drawing.Point{X: 10, Y: 10}, Words: "0.12 mm", Size: 2}
	w := drawing.TextWidth("0.12 mm", 2)
	assert.Equal(t, drawing.Box{Left: 10, Top: 8.4, Right: 10 + w, Bottom: 10.5}, x.Bounds())
	x.Anchor = drawing.End
	assert.InDelta(t, 10, x.Bounds().Right, 1e-12)
	x.Anchor = drawing.Middle
	assert.InDelta(t, 10, (x.Bounds().Left+x.Bounds().Right)/2, 1e-12)
	p := drawing.Page{Width: 50, Height: 50, Shapes: []drawing.Shape{x}}
	n := parseSVG(t, p.SVG())[0].numbers
	assert.InDelta(t, w, n[3], 0.001, "the printer is told to make it so wide")
}
