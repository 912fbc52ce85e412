// Command grade holds one misalignment, from a JSON job, against every built-in
// table of limits: what was found as the quantity that the table speaks of, the
// limit at the running speed, the share used, whether it can be told within or
// over with the uncertainty it has, and the highest speed at which it would be
// within. Every limit stands with its source. That the sources differ is the
// lesson: the maker's word for this coupling and the site's standard decide.
//
//	go run ./examples/grade              the invented job
//	go run ./examples/grade -job FILE    a job of your own
//	go run ./examples/grade -limits FILE a job held against a standard of your own
//
// A job that cannot be worked out gives one line on standard error that names
// the field, nothing on standard output, and exit status 2.
package main

import (
	"embed"
	"flag"
	"io"
	"os"

	"collinear.example/internal/page"
	"collinear.example/internal/record"
	"collinear.example/tolerance"
)

//go:embed jobs/*.json
var jobs embed.FS

const defaultJob = "jobs/process-water.json"

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

// run is the whole program: it returns the exit status. Nothing goes to stdout
// unless the whole report is ready.
func run(args []string, stdout, stderr io.Writer) int {
	var file, limits, units string
	return record.Program{
		Name:  "grade",
		About: "grade holds one misalignment against tables of limits.",
		Flags: func(f *flag.FlagSet) {
			f.StringVar(&file, "job", "", "grade the job in this `file`")
			f.StringVar(&limits, "limits", "", "hold it against the limits in this `file` and no others")
			f.StringVar(&units, "units", page.Millimetre, "units of the report: mm, inch or both")
		},
		Work: func() (record.Answer, error) { return work(file, limits, units) },
	}.Run(args, stdout, stderr)
}

// work reads the job and the limits and returns the whole report.
func work(file, limits, units string) (out record.Answer, err error) {
	if err := page.CheckUnits(units); err != nil {
		return out, err
	}
	data, err := load(file)
	if err != nil {
		return out, err
	}
	sets, known := tolerance.Builtin(), tolerance.Builtin()
	if limits != "" {
		if sets, err = own(limits); err != nil {
			return out, err
		}
		known = append(known, sets...)
	}
	j, err := parseJob(data, known)
	if err != nil {
		return out, err
	}
	all := j.gradeAll(sets)
	return record.Answer{Text: j.report(all, units), Draw: func() ([]byte, error) { return j.draw(all) }}, nil
}

func load(file string) ([]byte, error) {
	if file == "" {
		return jobs.ReadFile(defaultJob)
	}
	return record.Load("-job", file)
}

// own reads a standard of the user's own.
func own(file string) ([]tolerance.Set, error) {
	data, err := record.Load("-limits", file)
	if err != nil {
		return nil, err
	}
	s, _, err := tolerance.ParseSet(data)
	if err != nil {
		return nil, record.FromLibrary(err)
	}
	return []tolerance.Set{s}, nil
}
