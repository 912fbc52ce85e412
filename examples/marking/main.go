// Command marking is a trainer's tool: it invents an exercise, prints it as a blank
// worksheet or with its key, and marks the answers of a class: what is right, what
// follows from an earlier slip, and which known mistake gives the wrong ones.
//
//	go run ./examples/marking                      marks the invented class on its exercise
//	go run ./examples/marking -list                the kinds of exercise
//	go run ./examples/marking -mistakes            the mistakes it knows
//	go run ./examples/marking -kind KIND -seed N -blank     a worksheet to fill in, Markdown
//	go run ./examples/marking -kind KIND -seed N -html      the same as a page to print
//	go run ./examples/marking -kind KIND -seed N -key       the worked answers
//	go run ./examples/marking -kind KIND -seed N -answers FILE   marks a class
//	go run ./examples/marking -svg FILE            graph paper to plot the exercise on; with -key the solution on it
//
// The file of answers is comma-separated: a first row "learner" and the numbers of
// the questions, then a row for each learner. An empty cell is a question not
// answered. A file that cannot be read gives one line on standard error that names
// row and column, nothing on standard output, and exit status 2.
package main

import (
	"embed"
	"flag"
	"fmt"
	"io"
	"os"
	"strings"

	"collinear.example/internal/page"
	"collinear.example/internal/record"
	"collinear.example/worksheet"
)

//go:embed class.csv
var class embed.FS

// The exercise of the invented class.
const (
	defaultKind = "reverse-indicator"
	defaultSeed = 7
)

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

// options are what the flags say.
type options struct {
	kind, difficulty, answers          string
	seed                               uint64
	list, mistakes, blank, html, keyed bool
}

// run is the whole program: it returns the exit status. Nothing goes to stdout
// unless the whole answer is ready.
func run(args []string, stdout, stderr io.Writer) int {
	var o options
	return record.Program{
		Name:  "marking",
		About: "marking invents exercises in alignment arithmetic and marks a class's answers with the reason for what is wrong.",
		Flags: func(f *flag.FlagSet) {
			f.StringVar(&o.kind, "kind", defaultKind, "`kind` of exercise; -list shows them")
			f.Uint64Var(&o.seed, "seed", defaultSeed, "`number` of the exercise: the same number gives the same one")
			f.StringVar(&o.difficulty, "difficulty", "plain", "plain, usual or severe")
			f.StringVar(&o.answers, "answers", "", "mark the answers in this `file`")
			f.BoolVar(&o.list, "list", false, "list the kinds of exercise")
			f.BoolVar(&o.mistakes, "mistakes", false, "list the mistakes that are known")
			f.BoolVar(&o.blank, "blank", false, "print the worksheet to fill in, Markdown")
			f.BoolVar(&o.html, "html", false, "print the worksheet to fill in, HTML")
			f.BoolVar(&o.keyed, "key", false, "print the worked answers")
		},
		Work: func() (record.Answer, error) { return work(o) },
	}.Run(args, stdout, stderr)
}

func work(o options) (out record.Answer, err error) {
	if o.list {
		return record.Answer{Text: strings.Join(worksheet.Kinds(), "\n") + "\n"}, nil
	}
	if o.mistakes {
		return record.Answer{Text: mistakes()}, nil
	}
	d, err := difficulty(o.difficulty)
	if err != nil {
		return out, err
	}
	e, err := worksheet.Generate(o.kind, o.seed, d)
	if err != nil {
		return out, record.FromLibrary(err)
	}
	out.Draw = func() ([]byte, error) { return graphPaper(e, o.keyed) }
	out.Text, err = write(o, e)
	return out, err
}

// write returns the sheet, the key or the marks.
func write(o options, e *worksheet.Exercise) (string, error) {
	switch {
	case o.blank:
		return e.Blank(), nil
	case o.html:
		return e.BlankHTML(), nil
	case o.keyed:
		return e.Key(), nil
	}
	data, err := load(o)
	if err != nil {
		return "", err
	}
	learners, err := parseAnswers(data, e)
	if err != nil {
		return "", err
	}
	return report(o, e, learners)
}

func difficulty(word string) (worksheet.Difficulty, error) {
	switch word {
	case "plain":
		return worksheet.Plain, nil
	case "usual":
		return worksheet.Usual, nil
	case "severe":
		return worksheet.Severe, nil
	}
	return 0, fmt.Errorf("-difficulty = %q: want plain, usual or severe", word)
}

// load returns the file of answers: the invented class only goes with its own
// exercise.
func load(o options) ([]byte, error) {
	if o.answers != "" {
		return record.Load("-answers", o.answers)
	}
	if o.kind != defaultKind || o.seed != defaultSeed || o.difficulty != "plain" {
		return nil, fmt.Errorf("-answers: is missing; give a file, or one of -blank, -html and -key")
	}
	return class.ReadFile("class.csv")
}

func mistakes() string {
	p := &page.Page{Units: page.Millimetre}
	for _, m := range worksheet.Mistakes() {
		p.Hang(fmt.Sprintf("%-26s", m.Code), m.Says)
	}
	return p.String()
}
