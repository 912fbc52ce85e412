package worksheet

import "strings"

// markdownOf writes a document as Markdown. Texts of the record cannot break out
// of their place: what Markdown or HTML would take for a mark is escaped.
func markdownOf(d document) string {
	var b strings.Builder
	last := blockTitle
	for _, one := range d.blocks {
		if last == blockItem && one.kind != blockItem {
			b.WriteString("\n")
		}
		last = one.kind
		switch one.kind {
		case blockTitle:
			b.WriteString("# " + escaped(one.text) + "\n\n")
		case blockSection:
			b.WriteString("## " + escaped(one.text) + "\n\n")
		case blockHeading:
			b.WriteString("### " + escaped(one.text) + "\n\n")
		case blockPara:
			b.WriteString(line(one.text) + "\n\n")
		case blockItem:
			markdownItem(&b, one)
		case blockTable:
			markdownTable(&b, one.rows)
		}
	}
	return b.String()
}

func markdownItem(b *strings.Builder, item block) {
	if item.lead == "" {
		b.WriteString("- " + line(item.text) + "\n")
		return
	}
	b.WriteString("- **" + escaped(item.lead) + "** " + escaped(item.text) + "\n")
}

func markdownTable(b *strings.Builder, rows [][]string) {
	for i, row := range rows {
		b.WriteString("|")
		for _, c := range row {
			b.WriteString(" " + escaped(c) + " |")
		}
		b.WriteString("\n")
		if i == 0 {
			b.WriteString("|" + strings.Repeat("---|", len(row)) + "\n")
		}
	}
	b.WriteString("\n")
}

// escaped makes a text plain in Markdown and in the HTML that is made of it.
func escaped(s string) string { return escapes.Replace(s) }

var escapes = strings.NewReplacer(
	`\`, `\\`, "`", "\\`", "*", `\*`, "_", `\_`, "[", `\[`, "]", `\]`, "|", `\|`, "#", `\#`, "~", `\~`, "$", `\$`,
	"<", "&lt;", ">", "&gt;", "&", "&amp;", "://", `:\/\/`, "www.", `www\.`,
)

// line is an escaped text at the start of a line, where a few more marks would
// begin a list, a rule or a heading.
func line(s string) string {
	s = escaped(s)
	digits := len(s) - len(strings.TrimLeft(s, "0123456789"))
	marks, rest := "-+=", s[digits:]
	if digits > 0 {
		marks = ".)"
	}
	if rest != "" && strings.Contains(marks, rest[:1]) {
		return s[:digits] + `\` + rest
	}
	return s
}
