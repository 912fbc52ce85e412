// Package drawn reads a drawing back for the tests of the example programs.
package drawn

import (
	"encoding/xml"
	"errors"
	"io"
	"os"
	"strings"
	"testing"
)

// Texts returns every text of the SVG file, the title and the description first. It
// fails the test when the file is not well-formed or holds a script.
func Texts(t testing.TB, file string) (out []string) {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	d := xml.NewDecoder(strings.NewReader(string(data)))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return out
		}
		if err != nil {
			t.Fatal(err)
		}
		start, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		switch start.Name.Local {
		case "script", "foreignObject", "image":
			t.Fatalf("a drawing has no %s", start.Name.Local)
		case "title", "desc", "text":
			var text string
			if err := d.DecodeElement(&text, &start); err != nil {
				t.Fatal(err)
			}
			out = append(out, text)
		}
	}
}
