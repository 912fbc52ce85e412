// Command pipestrain works out a log of strain tests, from a JSON job: what each
// step of bolting up or letting go moved, what the indicators can and cannot tell,
// where the shaft went at the coupling, which way the pipe pulls, and whether that
// is within the published limits. Where the flanges were surveyed it says how they
// miss and where the machine would have to go for them to fit.
//
//	go run ./examples/pipestrain              the invented job: a reverse and a forward test
//	go run ./examples/pipestrain -job FILE    a job of your own
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
)

//go:embed jobs/*.json
var jobs embed.FS

const defaultJob = "jobs/transfer-pump.json"

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

// run is the whole program: it returns the exit status. Nothing goes to stdout
// unless the whole report is ready.
func run(args []string, stdout, stderr io.Writer) int {
	var file, units string
	return record.Program{
		Name:  "pipestrain",
		About: "pipestrain works out strain tests and flange surveys.",
		Flags: func(f *flag.FlagSet) {
			f.StringVar(&file, "job", "", "work out the job in this `file`")
			f.StringVar(&units, "units", page.Millimetre, "units of the report: mm, inch or both")
		},
		Work: func() (record.Answer, error) { return work(file, units) },
	}.Run(args, stdout, stderr)
}

// work reads the job and returns the whole report.
func work(file, units string) (out record.Answer, err error) {
	if err := page.CheckUnits(units); err != nil {
		return out, err
	}
	data, err := load(file)
	if err != nil {
		return out, err
	}
	j, err := parseJob(data)
	if err != nil {
		return out, err
	}
	a, err := j.answer()
	if err != nil {
		return out, record.FromLibrary(err)
	}
	return record.Answer{Text: a.report(units), Draw: func() ([]byte, error) { return a.draw(units) }}, nil
}

func load(file string) ([]byte, error) {
	if file == "" {
		return jobs.ReadFile(defaultJob)
	}
	return record.Load("-job", file)
}
