package main

import (
	"io"
	"os"
	"path/filepath"
	"testing"
)

func TestExitStatus(t *testing.T) {
	dir := t.TempDir()
	file := func(name, text string) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	schema := file("schema.json", `{"$schema": "http://json-schema.org/draft-07/schema#", "type": "object", "required": ["a"]}`)
	with, without := file("with.json", `{"a": 1}`), file("without.json", `{}`)
	broken, noSchema := file("broken.json", `{"a"`), file("noschema.json", `{"type": 3}`)
	for _, c := range []struct {
		want int
		args []string
	}{
		{0, []string{schema, with}},
		{0, []string{schema, with, "-refuse", without}},
		{0, []string{schema, "-refuse", without}},
		{1, []string{schema, without}},
		{1, []string{schema, with, without}},
		{1, []string{schema, "-refuse", with}},
		{2, []string{schema}},
		{2, []string{schema, "-refuse"}},
		{2, []string{schema, broken}},
		{2, []string{schema, "-refuse", broken}},
		{2, []string{schema, filepath.Join(dir, "none.json")}},
		{2, []string{noSchema, with}},
	} {
		if got := run(c.args, io.Discard, io.Discard); got != c.want {
			t.Errorf("run(%q) = %d, want %d", c.args, got, c.want)
		}
	}
}
