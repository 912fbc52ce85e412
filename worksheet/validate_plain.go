package worksheet

import (
	"fmt"
	"reflect"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"collinear.example/align"
	"collinear.example/internal/record"
)

const maxText = 1000 // bytes of one text

// plain checks what every value has to be, whatever it means: numbers finite,
// texts given where they must be and printable, and all of it of a size that
// Parse would read again.
func (c *checker) plain() {
	w := walker{checker: c}
	w.value("", reflect.ValueOf(c.Record).Elem(), true)
	c.need(w.entries <= maxEntries, "record", fmt.Sprintf("%d entries, want at most %d", w.entries, maxEntries), ErrTooLarge)
	c.need(w.size <= maxSize, "record", fmt.Sprintf("about %d bytes, want at most %d", w.size, maxSize), ErrTooLarge)
}

// walker goes through a record and adds up its entries and its size.
type walker struct {
	*checker
	entries, size int
}

func (w *walker) value(path string, v reflect.Value, optional bool) {
	if optional && v.IsZero() {
		return
	}
	w.size += valueSize
	switch v.Kind() {
	case reflect.Struct:
		for i, f := range fieldsOf(v.Type()) {
			w.value(record.Join(path, f.name), v.Field(i), f.optional)
		}
	case reflect.Pointer:
		if !v.IsNil() {
			w.value(path, v.Elem(), optional)
		}
	case reflect.Slice:
		w.list(path, v, optional)
	case reflect.Float64:
		w.need(align.IsFinite(v.Float()), path, strconv.FormatFloat(v.Float(), 'g', -1, 64), align.ErrNotFinite)
	case reflect.String:
		w.text(path, v.String(), optional)
	}
}

func (w *walker) list(path string, v reflect.Value, optional bool) {
	w.need(optional || v.Len() > 0, path, "an empty list", align.ErrMissing)
	w.entries += v.Len()
	for i := range v.Len() {
		if w.err != nil || w.entries > maxEntries { // nobody wants to know more
			return
		}
		w.value(at(path, i), v.Index(i), false)
	}
}

func (w *walker) text(path, s string, optional bool) {
	w.size += 2 * len(s) // a quote or a backslash is written with one more
	switch {
	case s == "" && !optional:
		w.fail(path, "", align.ErrMissing)
	case len(s) > maxText, s != strings.TrimSpace(s), !utf8.ValidString(s), strings.ContainsFunc(s, notPrintable):
		w.fail(path, show(s), ErrBadText)
	}
}

func notPrintable(c rune) bool { return !unicode.IsPrint(c) }
