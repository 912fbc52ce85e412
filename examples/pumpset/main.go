// Command pumpset works out one whole alignment job from a JSON record and
// prints a report for the people at the machine: what was measured, whether the
// readings can be believed, where the shafts stand, what to do at each foot,
// and what the dials should read afterwards.
//
//	go run ./examples/pumpset                      the invented job
//	go run ./examples/pumpset -list                the jobs that come with the program
//	go run ./examples/pumpset -demo NAME           another of them
//	go run ./examples/pumpset -job FILE            a job of your own
//	go run ./examples/pumpset -units mm|inch|both  units of the report
//
// A record that cannot be worked out gives one line on standard error that names
// the field, nothing on standard output, and exit status 2. The report is
// arithmetic, not permission to touch a machine.
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

const defaultJob = "process-water"

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

// options are the flags as given.
type options struct {
	job, demo, units string
	list             bool
}

// run is the whole program: it returns the exit status. Nothing goes to stdout
// unless the whole answer is ready.
func run(args []string, stdout, stderr io.Writer) int {
	var o options
	return record.Program{
		Name:  "pumpset",
		About: "pumpset works out an alignment job from a JSON record.",
		Flags: func(f *flag.FlagSet) {
			f.StringVar(&o.job, "job", "", "work out the job in this `file`")
			f.StringVar(&o.demo, "demo", "", "work out the job of this `name` that comes with the program")
			f.StringVar(&o.units, "units", "", "units of the report: mm, inch or both (default: those of the job)")
			f.BoolVar(&o.list, "list", false, "list the jobs that come with the program")
		},
		Work: func() (record.Answer, error) {
			if o.list {
				text, err := list()
				return record.Answer{Text: text}, err
			}
			return solve(o)
		},
	}.Run(args, stdout, stderr)
}

// solve reads the chosen job and returns its report.
func solve(o options) (out record.Answer, err error) {
	if o.job != "" && o.demo != "" {
		return out, errors.New("-job and -demo: give one of them")
	}
	if o.units != "" {
		if err := page.CheckUnits(o.units); err != nil {
			return out, err
		}
	}
	data, err := load(o)
	if err != nil {
		return out, err
	}
	j, err := parseJob(data)
	if err != nil {
		return out, err
	}
	w, err := work(j)
	if err != nil {
		return out, err
	}
	return record.Answer{Text: write(j, w, o.units), Draw: func() ([]byte, error) { return draw(j, w, o.units) }}, nil
}

func load(o options) ([]byte, error) {
	if o.job == "" {
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
	return record.Load("-job", o.job)
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
		fmt.Fprintf(&b, "%-18s %s\n", name, j.title)
	}
	return b.String(), nil
}
