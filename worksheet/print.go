package worksheet

import (
	"fmt"
	"html"
	"strconv"
	"strings"

	"collinear.example/align"
)

// Cautions are the usual cautions printed with every worksheet and report.
func Cautions() []string {
	return []string{
		"Isolate, lock out and tag both machines before a coupling is touched, and prove that they cannot turn.",
		"Relieve pressure and drain before a flange or a foot is let go; strained pipe lets its energy go at once. Support what you loosen, and never pull a pipe to a machine with hoists.",
		"Lift and jack a machine only with gear that is rated and inspected for it, at the points its maker names, and keep from under the load.",
		"These figures are arithmetic, not permission: site rules, local codes, the makers' instructions and qualified people decide.",
	}
}

// Blank returns the exercise as a worksheet to fill in, in Markdown.
func (e *Exercise) Blank() string {
	var b strings.Builder
	e.heading(&b)
	b.WriteString("| no. | find | answer | unit |\n|---|---|---|---|\n")
	for i, st := range e.Sheet.asked() {
		fmt.Fprintf(&b, "| %d | %s |  | %s |\n", i+1, cell(st.question()), cell(st.unitText()))
	}
	b.WriteString("\nName: ______________________    Date: ______________\n\n")
	for _, c := range Cautions() {
		fmt.Fprintf(&b, "- %s\n", c)
	}
	return b.String()
}

// Key returns the worked steps with their answers, in Markdown.
func (e *Exercise) Key() string {
	var b strings.Builder
	e.heading(&b)
	v := e.right.values
	b.WriteString("| no. | find | how | answer |\n|---|---|---|---|\n")
	n := 0
	for i := range e.Sheet.Steps {
		st := &e.Sheet.Steps[i]
		no := ""
		if st.Asked {
			n++
			no = strconv.Itoa(n)
		}
		answer := "any that keeps the conditions"
		if st.Plan == nil {
			answer = st.Text(v[st.ID])
		}
		fmt.Fprintf(&b, "| %s | %s | %s | %s |\n", no, cell(st.Says), cell(st.Formula), cell(answer))
	}
	if !e.Distinguishable {
		b.WriteString("\nIn this exercise these mistakes give the same answers within rounding: ")
		var pairs []string
		for _, a := range e.Alike {
			pairs = append(pairs, a[0]+" and "+a[1])
		}
		b.WriteString(strings.Join(pairs, "; ") + ".\n")
	}
	return b.String()
}

// heading writes title, place, task and what is given.
func (e *Exercise) heading(b *strings.Builder) {
	fmt.Fprintf(b, "# %s\n\n", e.Title)
	if e.Record.Plant != "" {
		fmt.Fprintf(b, "%s (invented)\n\n", cell(e.Record.Plant))
	}
	fmt.Fprintf(b, "%s\n\nA dial is plus when its stem is pushed in. Clock positions are those of a person who looks from the first machine to the last.\n\n", e.Asks)
	b.WriteString("| given | |\n|---|---|\n")
	for _, g := range e.Sheet.Givens {
		fmt.Fprintf(b, "| %s | %s |\n", cell(g.Says), cell(g.text()))
	}
	b.WriteString("\n")
}

// question says what is asked and in what form.
func (st *Step) question() string {
	plus, minus := st.Sense.words()
	switch {
	case st.Plan != nil:
		return st.Says + " (" + strings.Join(st.Plan, "; ") + ")"
	case st.Choices != nil:
		return st.Says + " (" + strings.Join(st.Choices, ", ") + ")"
	case plus != nil:
		return fmt.Sprintf("%s (%s or %s)", st.Says, plus[0], minus[0])
	}
	return st.Says
}

// unitText says unit and decimals.
func (st *Step) unitText() string {
	if st.Choices != nil {
		return ""
	}
	u := string(st.Unit)
	if st.Unit == align.UnitOne {
		u = "a plain number"
	}
	return fmt.Sprintf("%s, %s", u, places(st.Decimals))
}

func places(n int) string {
	switch n {
	case 0:
		return "whole"
	case 1:
		return "1 decimal"
	}
	return strconv.Itoa(n) + " decimals"
}

// text prints a given with its unit and no more decimals than it needs.
func (g Given) text() string {
	number := strconv.FormatFloat(g.Unit.FromSI(g.Value), 'f', g.Decimals, 64)
	if strings.Contains(number, ".") {
		number = strings.TrimRight(strings.TrimRight(number, "0"), ".")
	}
	if number == "-0" {
		number = "0"
	}
	if g.Unit == align.UnitOne {
		return number
	}
	return number + " " + string(g.Unit)
}

// cell makes a text safe inside a Markdown table.
func cell(s string) string {
	return strings.NewReplacer("|", "\\|", "\n", " ", "\r", " ", "<", "&lt;", ">", "&gt;").Replace(s)
}

// BlankHTML returns the exercise as a page to print, plain HTML without scripts or
// outside parts.
func (e *Exercise) BlankHTML() string {
	var b strings.Builder
	esc := html.EscapeString
	fmt.Fprintf(&b, `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<title>%s</title>
<style>
body { font-family: serif; margin: 2cm; }
table { border-collapse: collapse; width: 100%%; margin: 1em 0; }
td, th { border: 1px solid; padding: 0.3em; text-align: left; vertical-align: top; }
td.answer { width: 25%%; }
@media print { body { margin: 0; } tr { break-inside: avoid; } }
</style>
</head>
<body>
<h1>%s</h1>
`, esc(e.Title), esc(e.Title))
	if e.Record.Plant != "" {
		fmt.Fprintf(&b, "<p>%s (invented)</p>\n", esc(e.Record.Plant))
	}
	fmt.Fprintf(&b, "<p>%s</p>\n<p>A dial is plus when its stem is pushed in. Clock positions are those of a person who looks from the first machine to the last.</p>\n", esc(e.Asks))
	b.WriteString("<table>\n<tr><th>given</th><th></th></tr>\n")
	for _, g := range e.Sheet.Givens {
		fmt.Fprintf(&b, "<tr><td>%s</td><td>%s</td></tr>\n", esc(g.Says), esc(g.text()))
	}
	b.WriteString("</table>\n<table>\n<tr><th>no.</th><th>find</th><th>answer</th><th>unit</th></tr>\n")
	for i, st := range e.Sheet.asked() {
		fmt.Fprintf(&b, "<tr><td>%d</td><td>%s</td><td class=\"answer\"></td><td>%s</td></tr>\n", i+1, esc(st.question()), esc(st.unitText()))
	}
	b.WriteString("</table>\n<p>Name: ______________________ Date: ______________</p>\n<ul>\n")
	for _, c := range Cautions() {
		fmt.Fprintf(&b, "<li>%s</li>\n", esc(c))
	}
	b.WriteString("</ul>\n</body>\n</html>\n")
	return b.String()
}
