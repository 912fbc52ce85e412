// Command whatif is a study of one machine set: at what oil temperatures does it
// stay within its limits as it stands, how should it stand cold, how sure is that,
// and which measurement is worth improving. The study is a script in Go over an
// ordinary struct; copy it and change the struct (set.go), the columns and knobs
// (study.go) or the sources of uncertainty (sure.go).
//
//	go run ./examples/whatif          the whole study
//	go run ./examples/whatif -csv     the sweep alone, as comma-separated values
//	go run ./examples/whatif -json    the sweep alone, as JSON
package main

import (
	"errors"
	"flag"
	"io"
	"os"
	"strings"

	"collinear.example/internal/record"
)

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

// run is the whole program: it returns the exit status. Nothing goes to stdout
// unless the whole answer is ready.
func run(args []string, stdout, stderr io.Writer) int {
	var csv, json, bars bool
	return record.Program{
		Name:  "whatif",
		About: "whatif studies one machine set: what if the oil were hotter, and how sure is the answer.",
		Flags: func(f *flag.FlagSet) {
			f.BoolVar(&csv, "csv", false, "print the sweep alone, as comma-separated values")
			f.BoolVar(&json, "json", false, "print the sweep alone, as JSON")
			f.BoolVar(&bars, "budget", false, "-svg draws the uncertainty budget in the place of the sweep")
		},
		Work: func() (record.Answer, error) { return work(csv, json, bars) },
	}.Run(args, stdout, stderr)
}

func work(csv, json, bars bool) (out record.Answer, err error) {
	if csv && json {
		return out, errors.New("-csv and -json: give one of them")
	}
	s, err := theSet()
	if err != nil {
		return out, err
	}
	table, err := sweep(s)
	if err != nil {
		return out, err
	}
	out.Draw = func() ([]byte, error) { return draw(s, table, bars) }
	var b strings.Builder
	switch {
	case csv:
		err = table.WriteCSV(&b)
	case json:
		err = table.WriteJSON(&b)
	default:
		out.Text, err = report(s, table)
		return out, err
	}
	out.Text = b.String()
	return out, err
}
