// Command schemacheck holds JSON files against a JSON schema with a validator
// that is not ours, so that the schemas of testdata/schema are proved by more than
// the reader they describe.
//
//	go run . SCHEMA FILE...                  every file must pass
//	go run . SCHEMA FILE... -refuse FILE...  those behind -refuse must not pass
//
// A file that must not pass still has to be JSON: what is no JSON is no case for a
// schema.
//
// It is a module of its own because the validator is a dependency that the library
// must not have. Being a nested module, it is no part of ./... in the parent.
package main

import (
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

const usage = "usage: schemacheck SCHEMA FILE... [-refuse FILE...]"

// run returns the exit status: 0 when all files do what is expected of them, 1
// when one does not, 2 when the check could not be made.
func run(args []string, stdout, stderr io.Writer) int {
	if len(args) < 2 {
		fmt.Fprintln(stderr, usage)
		return 2
	}
	schema, err := jsonschema.NewCompiler().Compile(args[0])
	if err != nil {
		fmt.Fprintln(stderr, err)
		return 2
	}
	files := 0
	refuse, wrong := false, false
	for _, arg := range args[1:] {
		if arg == "-refuse" {
			refuse = true
			continue
		}
		files++
		value, err := read(arg)
		if err != nil {
			fmt.Fprintf(stderr, "%s: %v\n", arg, err)
			return 2
		}
		if fault := check(schema, value, refuse); fault != "" {
			wrong = true
			fmt.Fprintf(stdout, "%s: %s\n", arg, fault)
		}
	}
	if files == 0 {
		fmt.Fprintln(stderr, usage)
		return 2
	}
	if wrong {
		return 1
	}
	fmt.Fprintf(stdout, "%d files are as %s says\n", files, args[0])
	return 0
}

func read(file string) (any, error) {
	f, err := os.Open(file)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return jsonschema.UnmarshalJSON(f)
}

// check says what is wrong, "" when nothing is.
func check(schema *jsonschema.Schema, value any, refuse bool) string {
	err := schema.Validate(value)
	switch {
	case refuse && err == nil:
		return "passes, and must not"
	case !refuse && err != nil:
		return strings.ReplaceAll(err.Error(), "\n", "\n\t")
	}
	return ""
}
