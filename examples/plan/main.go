// Command plan works out what to do at the feet of a whole train, from a JSON job:
// which moves keep every coupling within its limit in every state and close the
// flanges, within what shims and bolt holes allow; the usual ways of going about
// it side by side; what alignment costs of flange fit; and, when nothing fits,
// which limits conflict and what would have to give.
//
//	go run ./examples/plan                a pump set whose flanges miss by a little
//	go run ./examples/plan -demo NAME     another job that comes with it
//	go run ./examples/plan -list          their names
//	go run ./examples/plan -job FILE      a job of your own
//	go run ./examples/plan -svg FILE      draws the train as well; with -curve what alignment costs of flange fit
//
// A job that cannot be worked out gives one line on standard error that names
// the field, nothing on standard output, and exit status 2.
package main

import (
	"embed"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"strings"

	"collinear.example/internal/page"
	"collinear.example/internal/record"
)

//go:embed jobs/*.json
var jobs embed.FS

const defaultJob = "pump-set"

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

// options are the flags as given.
type options struct {
	job, demo, units string
	list, curve      bool
}

// run is the whole program: it returns the exit status. Nothing goes to stdout
// unless the whole report is ready.
func run(args []string, stdout, stderr io.Writer) int {
	var o options
	return record.Program{
		Name:  "plan",
		About: "plan chooses the moves that align a train and fit its pipe.",
		Flags: func(f *flag.FlagSet) {
			f.StringVar(&o.job, "job", "", "work out the job in this `file`")
			f.StringVar(&o.demo, "demo", "", "work out the job of this `name` that comes with the program")
			f.StringVar(&o.units, "units", page.Millimetre, "units of the report: mm, inch or both")
			f.BoolVar(&o.list, "list", false, "list the jobs that come with the program")
			f.BoolVar(&o.curve, "curve", false, "-svg draws what alignment costs of flange fit in the place of the train")
		},
		Work: func() (record.Answer, error) {
			if o.list {
				text, err := list()
				return record.Answer{Text: text}, err
			}
			return work(o)
		},
	}.Run(args, stdout, stderr)
}

// work reads the job and returns the whole report and its drawing.
func work(o options) (out record.Answer, err error) {
	if o.job != "" && o.demo != "" {
		return out, errors.New("-job and -demo: give one of them")
	}
	if err := page.CheckUnits(o.units); err != nil {
		return out, err
	}
	data, err := load(o)
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
	return record.Answer{Text: a.report(o.units), Draw: func() ([]byte, error) { return a.draw(o) }}, nil
}

func load(o options) ([]byte, error) {
	if o.job != "" {
		return record.Load("-job", o.job)
	}
	name := o.demo
	if name == "" {
		name = defaultJob
	}
	data, err := jobs.ReadFile("jobs/" + name + ".json")
	if err != nil {
		return nil, fmt.Errorf("-demo = %q: no such job, see -list", name)
	}
	return data, nil
}

// list names the jobs that come with the program, with their titles.
func list() (string, error) {
	entries, err := jobs.ReadDir("jobs")
	if err != nil {
		return "", err
	}
	var b strings.Builder
	for _, e := range entries {
		name := strings.TrimSuffix(e.Name(), ".json")
		data, err := load(options{demo: name})
		if err != nil {
			return "", err
		}
		j, err := parseJob(data)
		if err != nil {
			return "", fmt.Errorf("%s: %w", name, err)
		}
		fmt.Fprintf(&b, "%-12s %s\n", name, j.title)
	}
	return b.String(), nil
}
