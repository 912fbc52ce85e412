package worksheet

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
)

// FormatRecord writes a record in its one canonical form: JSON with the fields in
// the order of the types, two spaces of indent, the shortest numbers that read
// back the same, optional parts that are empty left out, and a newline at the
// end. Parse reads it back to an equal record, in which an empty list is none and
// minus zero is zero. The record is checked first; the errors are those of Check.
func FormatRecord(r *Record) ([]byte, error) {
	if err := r.Check(); err != nil {
		return nil, err
	}
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(r); err != nil {
		return nil, fault("record", fmt.Sprint(err), ErrBadJSON)
	}
	// A text never holds a line end, so these are numbers.
	out := bytes.ReplaceAll(b.Bytes(), []byte(" -0,\n"), []byte(" 0,\n"))
	return bytes.ReplaceAll(out, []byte(" -0\n"), []byte(" 0\n")), nil
}

// Hash returns the SHA-256 of the canonical form as 64 hexadecimal digits. Two
// records have one hash when they say the same, however they were written. The
// errors are those of Check.
func (r *Record) Hash() (string, error) {
	text, err := FormatRecord(r)
	if err != nil {
		return "", err
	}
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:]), nil
}
