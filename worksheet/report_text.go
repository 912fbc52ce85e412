package worksheet

import (
	"slices"
	"strings"
	"unicode/utf8"

	"collinear.example/align"
	"collinear.example/internal/page"
)

// textOf writes a document as plain text.
func textOf(d document) string {
	var b strings.Builder
	for i := 0; i < len(d.blocks); i++ {
		one := d.blocks[i]
		switch one.kind {
		case blockTitle:
			lines := wrapped(one.text, page.Width)
			b.WriteString(strings.Join(lines, "\n") + "\n" + strings.Repeat("=", widest(lines)) + "\n")
		case blockSection:
			b.WriteString("\n" + strings.ToUpper(one.text) + "\n" + strings.Repeat("-", utf8.RuneCountInString(one.text)) + "\n")
		case blockHeading, blockPara:
			b.WriteString("\n" + strings.Join(wrapped(one.text, page.Width), "\n") + "\n")
		case blockItem:
			n := i + 1
			for n < len(d.blocks) && d.blocks[n].kind == blockItem {
				n++
			}
			textItems(&b, d.blocks[i:n])
			i = n - 1
		case blockTable:
			if i > 0 && d.blocks[i-1].kind == blockTable {
				b.WriteString("\n")
			}
			var p page.Page
			p.Table(one.rows...) // one line a row, so that it can be searched for
			b.WriteString(p.String())
		}
	}
	return b.String()
}

// textItems writes items that follow each other. Where all have a lead, their
// texts stand below each other.
func textItems(b *strings.Builder, items []block) {
	leads := 0
	if !slices.ContainsFunc(items, func(i block) bool { return i.lead == "" }) {
		for _, i := range items {
			leads = max(leads, utf8.RuneCountInString(i.lead))
		}
	}
	for _, i := range items {
		lead := "* "
		if i.lead != "" {
			lead += padded(i.lead, leads) + "  "
		}
		indent := utf8.RuneCountInString(lead)
		lines := wrapped(i.text, page.Width-indent)
		b.WriteString(lead + strings.Join(lines, "\n"+strings.Repeat(" ", indent)) + "\n")
	}
}

// wrapped breaks a text into lines, one at least. A word that fits no line is
// broken.
func wrapped(s string, width int) []string {
	width = max(width, narrowest)
	lines := []string{""}
	for _, word := range chunks(s) {
		last := &lines[len(lines)-1]
		switch column := utf8.RuneCountInString(*last); {
		case column == 0:
			*last = word
		case column+1+utf8.RuneCountInString(word) <= width:
			*last += " " + word
			continue
		default:
			lines = append(lines, word)
		}
		for rest := []rune(word); len(rest) > width; {
			lines[len(lines)-1], rest = string(rest[:width]), rest[width:]
			lines = append(lines, string(rest))
		}
	}
	return lines
}

// chunks splits a text into what stays on one line: words, and numbers with the
// unit that follows.
func chunks(s string) (out []string) {
	for _, word := range strings.Fields(s) {
		if last := len(out) - 1; last >= 0 && endsInDigit(out[last]) && isUnit(strings.Trim(word, ".,;:()")) {
			out[last] += " " + word
			continue
		}
		out = append(out, word)
	}
	return out
}

func endsInDigit(s string) bool { return s[len(s)-1] >= '0' && s[len(s)-1] <= '9' }

func isUnit(s string) bool {
	return s == "%" || s == "o'clock" || align.Unit(s).Dimension() != align.NoDimension
}

// narrowest is the least room for text behind a lead (own choice).
const narrowest = 20

func widest(lines []string) (most int) {
	for _, s := range lines {
		most = max(most, utf8.RuneCountInString(s))
	}
	return most
}

func padded(s string, width int) string {
	return s + strings.Repeat(" ", max(width-utf8.RuneCountInString(s), 0))
}
