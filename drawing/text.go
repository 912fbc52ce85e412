package drawing

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// TextWidth returns how wide a text is printed, in millimetres: each letter of ASCII
// as wide as in Helvetica and a hair more, two thirds of the size for other letters
// of Latin, Greek and Cyrillic, and the whole size for all beyond. A mark that stands
// on a letter takes no room, one that stands by itself that of a letter. The drawing
// tells the printer to make the text exactly so wide, whatever the font, so that boxes
// worked out beforehand hold.
func TextWidth(words string, size float64) float64 {
	w, based := 0.0, false
	for _, r := range words {
		w += runeWidth(r, based)
		based = r != ' '
	}
	return w * size
}

// asciiWidths are the widths of the letters from space to tilde in thousandths of the
// type size (Adobe's metrics of Helvetica, from memory; Arial and Liberation Sans have
// the same).
var asciiWidths = [...]uint16{
	278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278, // to /
	556, 556, 556, 556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556, // 0 to ?
	1015, 667, 667, 722, 722, 667, 611, 778, 722, 278, 500, 667, 556, 833, 722, 778, // @ to O
	667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469, 556, // P to _
	333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556, // ` to o
	556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584, // p to ~
}

const (
	looser     = 1.03 // than Helvetica
	otherWidth = 0.65 // of Latin, Greek and Cyrillic letters beyond ASCII
)

// runeWidth is the width of one letter in type sizes; based says that there is a
// letter before it for a mark to stand on.
func runeWidth(r rune, based bool) float64 {
	switch {
	case r >= ' ' && r <= '~':
		return looser * 1e-3 * float64(asciiWidths[r-' '])
	case r < 0x300: // no marks below
		return otherWidth
	case isMark(r):
		if based {
			return 0
		}
		return otherWidth
	case r < 0x530:
		return otherWidth
	}
	return 1
}

// isMark reports whether r stands on or round the letter before it.
func isMark(r rune) bool { return r >= 0x300 && unicode.In(r, unicode.Mn, unicode.Me) }

const ellipsis = "…"

// Shortened returns the text cut to a width, with an ellipsis where something was
// left out; nothing where not even the ellipsis has room.
func Shortened(words string, size, width float64) string {
	words = Printable(words)
	room := TextWidth(ellipsis, size)
	w, cut, based := 0.0, 0, false
	for i, r := range words {
		if w*size+room <= width { // marks take no room, so they stay with their letter
			cut = i
		}
		w += runeWidth(r, based)
		based = r != ' '
		if w*size > width {
			if room > width {
				return ""
			}
			return strings.TrimRight(words[:cut], " ") + ellipsis
		}
	}
	return words
}

// mostMarks is how many marks may stand on one letter. Written languages need
// three; a pile of more would reach into the neighbouring lines.
const mostMarks = 3

// Printable returns the text on one line and without characters that cannot be
// printed or do not belong in XML.
func Printable(words string) string {
	if plain(words) {
		return words
	}
	marks := 0
	return strings.Join(strings.Fields(strings.Map(func(r rune) rune {
		switch {
		case r == utf8.RuneError, r == 0xFFFE, r == 0xFFFF:
			r = '?'
		case unicode.IsSpace(r):
			r = ' '
		case !unicode.IsPrint(r):
			return -1
		}
		if !isMark(r) {
			marks = 0
			return r
		}
		if marks++; marks > mostMarks {
			return -1
		}
		return r
	}, strings.ToValidUTF8(words, "?"))), " ")
}

// plain reports whether a text is already as Printable would leave it, seen at a
// glance: ASCII with single spaces inside.
func plain(words string) bool {
	last := byte(' ')
	for i := range len(words) {
		c := words[i]
		if c < ' ' || c > '~' || c == ' ' && last == ' ' {
			return false
		}
		last = c
	}
	return words == "" || last != ' '
}
