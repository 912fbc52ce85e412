// Command precheck works out the checks that come before an alignment, from a
// JSON survey: is the base sound, level and flat, do the feet sit, are shafts
// and hubs true. It prints what blocks the alignment and why, in the order in
// which it is best put right.
//
//	go run ./examples/precheck               the invented survey
//	go run ./examples/precheck -survey FILE  a survey of your own
//
// A survey that cannot be worked out gives one line on standard error that names
// the field, nothing on standard output, and exit status 2. The report is
// arithmetic, not permission to touch a machine.
package main

import (
	"embed"
	"flag"
	"io"
	"os"

	"collinear.example/internal/record"
)

//go:embed surveys/*.json
var surveys embed.FS

const defaultSurvey = "surveys/cooling-tower.json"

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

// run is the whole program: it returns the exit status. Nothing goes to stdout
// unless the whole report is ready.
func run(args []string, stdout, stderr io.Writer) int {
	var file string
	return record.Program{
		Name:  "precheck",
		About: "precheck works out the checks that come before an alignment.",
		Flags: func(f *flag.FlagSet) { f.StringVar(&file, "survey", "", "work out the survey in this `file`") },
		Work:  func() (record.Answer, error) { return report(file) },
	}.Run(args, stdout, stderr)
}

// report reads the survey and returns the whole report.
func report(file string) (out record.Answer, err error) {
	data, err := load(file)
	if err != nil {
		return out, err
	}
	s, err := parseSurvey(data)
	if err != nil {
		return out, err
	}
	f, err := s.work()
	if err != nil {
		return out, err
	}
	out.Text = f.text(s)
	if len(s.feet) > 0 {
		out.Draw = s.draw
	}
	return out, nil
}

func load(file string) ([]byte, error) {
	if file == "" {
		return surveys.ReadFile(defaultSurvey)
	}
	return record.Load("-survey", file)
}
