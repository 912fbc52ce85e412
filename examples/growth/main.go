// Command growth works out where two coupled shafts will run, from a JSON job:
// how far each support grows in each state, what else moves the shafts, where
// they stand against each other in every state, and how they should be set cold
// so that the worst state is as good as it can be. It prints the readings that
// the dials should show at that cold target.
//
//	go run ./examples/growth              the invented job
//	go run ./examples/growth -job FILE    a job of your own
//	go run ./examples/growth -svg FILE    draws the coupling from state to state as well
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

const defaultJob = "jobs/feed-pump.json"

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

// run is the whole program: it returns the exit status. Nothing goes to stdout
// unless the whole report is ready.
func run(args []string, stdout, stderr io.Writer) int {
	var file, units string
	return record.Program{
		Name:  "growth",
		About: "growth works out where two coupled shafts will run.",
		Flags: func(f *flag.FlagSet) {
			f.StringVar(&file, "job", "", "work out the job in this `file`")
			f.StringVar(&units, "units", page.Millimetre, "units of the report: mm, inch or both")
		},
		Work: func() (record.Answer, error) { return work(file, units) },
	}.Run(args, stdout, stderr)
}

// work reads the job and returns the whole report and its drawing.
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
	out.Draw = func() ([]byte, error) { return a.draw(units) }
	out.Text, err = a.report(units)
	return out, err
}

func load(file string) ([]byte, error) {
	if file == "" {
		return jobs.ReadFile(defaultJob)
	}
	return record.Load("-job", file)
}
