package whatif

import (
	"io"
	"strings"
	"unicode"
	"unicode/utf8"
)

// String returns the table as plain text, each column under its name and its
// unit, numbers to the right with the decimals of the heading. A last column
// "error" is there only when some row failed.
func (t *Table) String() string {
	g := newSheet(t)
	return g.text()
}

// WriteText writes what String returns.
func (t *Table) WriteText(w io.Writer) error {
	_, err := io.WriteString(w, t.String())
	return err
}

// sheet is lines of cells to be set in columns.
type sheet struct {
	lines [][]string
	left  []bool // columns of words stand to the left
}

func newSheet(t *Table) sheet {
	failed := t.Failed() > 0
	var s sheet
	names, units := []string{}, []string{}
	for _, list := range [][]Heading{t.knobs, t.columns} {
		for _, h := range list {
			names, units = append(names, oneLine(h.Name)), append(units, string(h.Unit))
			s.left = append(s.left, h.IsText())
		}
	}
	if failed {
		names, units, s.left = append(names, "error"), append(units, ""), append(s.left, true)
	}
	s.lines = append(s.lines, names, units)
	for row := range t.rows {
		s.lines = append(s.lines, t.textRow(row, failed))
	}
	return s
}

func (t *Table) textRow(row int, failed bool) []string {
	var line []string
	for i, h := range t.knobs {
		v, _ := t.Value(row, i)
		line = append(line, figure(h.Unit, v, h.Decimals))
	}
	for i, h := range t.columns {
		cell := "-"
		if v, ok := t.Number(row, i); ok {
			cell = figure(h.Unit, v, h.Decimals)
		} else if words, ok := t.Text(row, i); ok {
			cell = oneLine(words)
		}
		line = append(line, cell)
	}
	if failed && t.errs[row] != nil {
		line = append(line, codeOf(t.errs[row])+": "+oneLine(t.errs[row].Error()))
	}
	return line
}

// text sets the columns two spaces apart.
func (s *sheet) text() string {
	width := make([]int, len(s.left))
	for _, line := range s.lines {
		for i, cell := range line {
			width[i] = max(width[i], utf8.RuneCountInString(cell))
		}
	}
	var b strings.Builder
	for _, line := range s.lines {
		var row strings.Builder
		for i, cell := range line {
			if i > 0 {
				row.WriteString("  ")
			}
			room := strings.Repeat(" ", width[i]-utf8.RuneCountInString(cell))
			if s.left[i] {
				row.WriteString(cell + room)
				continue
			}
			row.WriteString(room + cell)
		}
		b.WriteString(strings.TrimRight(row.String(), " ") + "\n")
	}
	return b.String()
}

// oneLine is a text on one line, with valid characters that can be printed.
func oneLine(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsPrint(r) || r == utf8.RuneError {
			return r
		}
		return ' '
	}, strings.ToValidUTF8(s, "\uFFFD"))
}
