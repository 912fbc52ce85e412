package worksheet

import (
	"strings"
	"unicode/utf8"
)

// lookAgain are the words of a finding that only carries warnings.
const lookAgain = "look again"

// document is a report before it has a form. No text in it holds a control
// character or a line end, whatever the record or the evaluation says.
type document struct{ blocks []block }

// block is one piece of a document.
type block struct {
	kind blockKind
	lead string // of an item
	text string
	rows [][]string // of a table, all of one length; the first is its head
}

type blockKind uint8

const (
	blockTitle blockKind = iota
	blockSection
	blockHeading
	blockPara
	blockItem
	blockTable
)

func (d *document) title(s string)      { d.add(block{kind: blockTitle, text: s}) }
func (d *document) section(s string)    { d.add(block{kind: blockSection, text: s}) }
func (d *document) heading(s string)    { d.add(block{kind: blockHeading, text: s}) }
func (d *document) para(s string)       { d.add(block{kind: blockPara, text: s}) }
func (d *document) item(lead, s string) { d.add(block{kind: blockItem, lead: lead, text: s}) }
func (d *document) table(r [][]string)  { d.add(block{kind: blockTable, rows: r}) }

func (d *document) add(b block) {
	b.lead, b.text = printable(b.lead), printable(b.text)
	for _, row := range b.rows {
		for i := range row {
			row[i] = printable(row[i])
		}
	}
	d.blocks = append(d.blocks, b)
}

// printable is a text without line ends, control characters and marks that turn
// the direction of writing; each stands for a blank, and of several one is left.
func printable(s string) string {
	if utf8.ValidString(s) && !strings.ContainsFunc(s, notPrintable) && !strings.Contains(s, "  ") && strings.TrimSpace(s) == s {
		return s // as nearly all are
	}
	s = strings.Map(func(c rune) rune {
		if notPrintable(c) {
			return ' '
		}
		return c
	}, s)
	return strings.Join(strings.Fields(s), " ")
}
