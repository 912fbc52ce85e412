package whatif

import (
	"encoding/json"
	"io"
	"strconv"
	"strings"

	"collinear.example/align"
)

// MarshalJSON returns the table as one object:
//
//	{"columns": [{"name": "sag", "unit": "mil", "kind": "input"},
//	             {"name": "foot", "unit": "mil", "kind": "number"},
//	             {"name": "verdict", "kind": "text"}],
//	 "rows": [[-4, 12.5, "within"], [-6, null, null]],
//	 "errors": [{"row": 1, "code": "not-finite", "message": "..."}]}
//
// Every number is in the unit its column declares, with up to twelve significant
// digits, and finite; null stands for a figure that a row does not have. Rows are
// counted from 0. The list of errors is empty when no row failed. The same table
// gives the same bytes.
func (t *Table) MarshalJSON() ([]byte, error) {
	b := append(make([]byte, 0, 256+16*t.rows*(len(t.knobs)+len(t.columns))), `{"columns":[`...)
	for i, h := range t.knobs {
		b = appendHeading(b, i, h, "input")
	}
	for i, h := range t.columns {
		kind := "number"
		if h.IsText() {
			kind = "text"
		}
		b = appendHeading(b, len(t.knobs)+i, h, kind)
	}
	b = append(b, "],\n\"rows\":["...)
	for row := range t.rows {
		b = t.appendRow(b, row)
	}
	b = append(b, "],\n\"errors\":["...)
	return append(t.appendErrors(b), "]}"...), nil
}

// WriteJSON writes what MarshalJSON returns, a row to a line.
func (t *Table) WriteJSON(w io.Writer) error {
	b, err := t.MarshalJSON()
	if err != nil {
		return err
	}
	_, err = w.Write(append(b, '\n'))
	return err
}

func appendHeading(b []byte, i int, h Heading, kind string) []byte {
	if i > 0 {
		b = append(b, ",\n"...)
	}
	b = appendText(append(b, `{"name":`...), h.Name)
	if !h.IsText() {
		b = appendText(append(b, `,"unit":`...), string(h.Unit))
	}
	b = appendText(append(b, `,"kind":`...), kind)
	return append(b, '}')
}

func (t *Table) appendRow(b []byte, row int) []byte {
	if row > 0 {
		b = append(b, ',')
	}
	b = append(b, "\n["...)
	for i := range t.knobs {
		if i > 0 {
			b = append(b, ',')
		}
		v, _ := t.Value(row, i)
		b = appendNumber(b, t.knobs[i].Unit, v)
	}
	for i := range t.columns {
		b = append(b, ',')
		if v, ok := t.Number(row, i); ok {
			b = appendNumber(b, t.columns[i].Unit, v)
		} else if words, ok := t.Text(row, i); ok {
			b = appendText(b, words)
		} else {
			b = append(b, "null"...)
		}
	}
	return append(b, ']')
}

func (t *Table) appendErrors(b []byte) []byte {
	first := true
	for row, err := range t.errs {
		if err == nil {
			continue
		}
		if !first {
			b = append(b, ',')
		}
		first = false
		b = strconv.AppendInt(append(b, "\n{\"row\":"...), int64(row), 10)
		b = appendText(append(b, `,"code":`...), codeOf(err))
		b = appendText(append(b, `,"message":`...), message(err))
		b = append(b, '}')
	}
	return b
}

func appendNumber(b []byte, u align.Unit, si float64) []byte { return append(b, number(u, si)...) }

// appendText appends a JSON string. Bytes that are not UTF-8 become U+FFFD.
func appendText(b []byte, s string) []byte {
	quoted, _ := json.Marshal(strings.ToValidUTF8(s, "\uFFFD")) // a string cannot fail
	return append(b, quoted...)
}
