// Command job works out one alignment job from its record, from as found to as
// left: the checks before, where the shafts stand, what heat and pipe do, the moves,
// the verdicts with their sources, and what stands in the way. It prints a report
// for people, or the findings for another program.
//
//	go run ./examples/job                          the invented job
//	go run ./examples/job -record FILE             a job of your own
//	go run ./examples/job -style markdown -units both
//	go run ./examples/job -findings                every finding as JSON
//	go run ./examples/job -svg FILE                draws the train as found, as left and running
//
// A record that cannot be read gives one line on standard error that names the
// field, nothing on standard output, and exit status 2. The format of a record is
// that of package worksheet, and testdata/schema/record.schema.json describes it.
package main

import (
	"embed"
	"encoding/json"
	"flag"
	"io"
	"os"

	"collinear.example/internal/record"
	"collinear.example/worksheet"
)

//go:embed records/*.json
var records embed.FS

const defaultRecord = "records/condensate-pump.json"

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

// run is the whole program: it returns the exit status. Nothing goes to stdout
// unless the whole report is ready.
func run(args []string, stdout, stderr io.Writer) int {
	var file, units, style string
	var findings bool
	return record.Program{
		Name:  "job",
		About: "job works out one alignment job from its record, from as found to as left.",
		Flags: func(f *flag.FlagSet) {
			f.StringVar(&file, "record", "", "work out the record in this `file`")
			f.StringVar(&units, "units", string(worksheet.InMillimetres), "units of the report: mm, inch or both")
			f.StringVar(&style, "style", string(worksheet.StyleText), "style of the report: text or markdown")
			f.BoolVar(&findings, "findings", false, "print the findings as JSON, in SI units")
		},
		Work: func() (out record.Answer, err error) {
			r, v, err := evaluate(file)
			if err != nil {
				return out, err
			}
			out.Draw = func() ([]byte, error) { return draw(r, &v, units) }
			if findings {
				out.Text, err = asJSON(v)
				return out, err
			}
			out.Text, err = v.Report(worksheet.Style(style), worksheet.ReportUnits(units))
			return out, record.FromLibrary(err)
		},
	}.Run(args, stdout, stderr)
}

func evaluate(file string) (r *worksheet.Record, v worksheet.Evaluation, err error) {
	data, err := load(file)
	if err != nil {
		return nil, v, err
	}
	if r, err = worksheet.Parse(data); err != nil {
		return nil, v, record.FromLibrary(err)
	}
	v, err = r.Evaluate()
	return r, v, record.FromLibrary(err)
}

func load(file string) ([]byte, error) {
	if file == "" {
		return records.ReadFile(defaultRecord)
	}
	return record.Load("-record", file)
}

func asJSON(v worksheet.Evaluation) (string, error) {
	out, err := json.MarshalIndent(v, "", "  ")
	if err != nil {
		return "", err
	}
	return string(out) + "\n", nil
}
