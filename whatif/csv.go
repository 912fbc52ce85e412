package whatif

import (
	"encoding/csv"
	"io"
	"strings"
)

// WriteCSV writes the table as comma-separated values (RFC 4180) with the
// headings "name (unit)" in the first line. Numbers are in the units of the
// headings with up to twelve significant digits and a decimal point. A figure
// that a row does not have is left empty. Two more columns, "error code" and
// "error", are written only when some row failed.
//
// A text that begins with one of = + - @, a tab or a carriage return would be
// taken for a formula by a spreadsheet; it gets an apostrophe put before it.
func (t *Table) WriteCSV(w io.Writer) error {
	out := csv.NewWriter(w)
	failed := t.Failed() > 0
	line := make([]string, 0, len(t.knobs)+len(t.columns)+2)
	for _, list := range [][]Heading{t.knobs, t.columns} {
		for _, h := range list {
			line = append(line, guarded(h.String()))
		}
	}
	if failed {
		line = append(line, "error code", "error")
	}
	if err := out.Write(line); err != nil {
		return err
	}
	for row := range t.rows {
		line = t.csvRow(line[:0], row)
		if failed {
			line = append(line, t.csvError(row)...)
		}
		if err := out.Write(line); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

func (t *Table) csvRow(line []string, row int) []string {
	for i := range t.knobs {
		v, _ := t.Value(row, i)
		line = append(line, number(t.knobs[i].Unit, v))
	}
	for i := range t.columns {
		cell := ""
		if v, ok := t.Number(row, i); ok {
			cell = number(t.columns[i].Unit, v)
		} else if words, ok := t.Text(row, i); ok {
			cell = guarded(strings.ToValidUTF8(words, "\uFFFD"))
		}
		line = append(line, cell)
	}
	return line
}

func (t *Table) csvError(row int) []string {
	if t.errs[row] == nil {
		return []string{"", ""}
	}
	return []string{guarded(codeOf(t.errs[row])), guarded(message(t.errs[row]))}
}

// guarded is a text that no spreadsheet takes for a formula (common practice, no
// source).
func guarded(s string) string {
	if s != "" && strings.ContainsRune("=+-@\t\r", rune(s[0])) {
		return "'" + s
	}
	return s
}
