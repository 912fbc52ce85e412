package main

import (
	"fmt"
	"strings"
)

const width = 100

// text prints the report.
func (f findings) text(s *survey) string {
	var b strings.Builder
	fmt.Fprintf(&b, "BEFORE THE ALIGNMENT: %s\n", s.title)
	if s.plant != "" {
		fmt.Fprintf(&b, "Plant: %s\n", s.plant)
	}
	if s.note != "" {
		wrap(&b, "Note:  ", s.note)
	}
	count := 0
	for _, group := range [][]finding{f.base, f.feet, f.turning} {
		for _, one := range group {
			if one.state == blocks {
				count++
			}
		}
	}
	switch count {
	case 0:
		b.WriteString("\nNothing found that blocks the alignment.\n")
	case 1:
		b.WriteString("\nOne thing blocks the alignment. Put it right, and measure again.\n")
	default:
		fmt.Fprintf(&b, "\n%d things block the alignment. Put them right in the order given, and measure again.\n", count)
	}
	section(&b, "FOUNDATION AND BASE", f.base)
	section(&b, "FEET, ALL BOLTS LOOSE", f.feet)
	section(&b, "SHAFTS AND HUBS", f.turning)
	b.WriteString("\nBEFORE ANYONE TOUCHES THE MACHINES\n")
	for _, c := range []string{
		"Isolate the driver, lock it out and tag it, and try the start button before a shaft is turned by hand.",
		"Relieve pressure and drain before a flange or a foot is loosened: a strained pipe moves the machine when it lets go.",
		"Support what you loosen, and keep fingers out of the gap under a foot.",
		"A hub is heated evenly and never over the temperature its maker allows; where flammables may be about, only with a permit.",
		"This report is arithmetic, not permission. Site rules, local codes, the makers' instructions and qualified people decide.",
	} {
		wrap(&b, "* ", c)
	}
	b.WriteString("\nSIGNS: stations grow from the first machine to the last; left and right are those of a person who\n" +
		"looks that way. A gap is read with feelers. A dial reads plus when its stem is pushed in; marks are\n" +
		"degrees round the shaft.\n")
	return b.String()
}

func section(b *strings.Builder, title string, list []finding) {
	if len(list) == 0 {
		return
	}
	fmt.Fprintf(b, "\n%s\n", title)
	for _, f := range list {
		wrap(b, words(f.state), f.about+": "+f.words+".")
		if f.todo != "" {
			wrap(b, "              -> ", f.todo+".")
		}
	}
}

func words(s state) string {
	switch s {
	case blocks:
		return "  blocks      "
	case watch:
		return "  watch       "
	}
	return "  in order    "
}

// wrap prints text after a lead, in lines no wider than the page.
func wrap(b *strings.Builder, lead, text string) {
	line := lead
	empty := true
	for _, w := range strings.Fields(text) {
		if !empty && len(line)+1+len(w) > width {
			b.WriteString(strings.TrimRight(line, " ") + "\n")
			line, empty = strings.Repeat(" ", len(lead)), true
		}
		if !empty {
			line += " "
		}
		line, empty = line+w, false
	}
	b.WriteString(strings.TrimRight(line, " ") + "\n")
}
