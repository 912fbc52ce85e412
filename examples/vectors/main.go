// Command vectors answers cases of the reference corpus, one JSON object a
// line, so that a program in another language can be held against this one.
//
//	vectors <cases >answers      answer cases from standard input
//	vectors -list                print the names of the computations
//	vectors -report              run the corpus and print a table by source
//	vectors -cases               print the corpus itself, one case a line
//
// A case is {"id": "...", "computation": "...", "input": {...}}; other fields,
// such as those of a vector of the corpus, may be there too. The answer is
// {"id": ..., "result": {"name": [value, "SI unit"]}, "warnings": [...]} or
// {"id": ..., "error": "code"}.
package main

import (
	"bufio"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"text/tabwriter"

	"collinear.example/internal/corpus"
)

// maxLine bounds one case. A longer line is answered with the code
// line-too-long.
const maxLine = 1 << 20

func main() {
	if err := run(os.Args[1:], os.Stdin, os.Stdout); err != nil {
		if errors.Is(err, flag.ErrHelp) {
			return
		}
		fmt.Fprintln(os.Stderr, "vectors:", err)
		os.Exit(1)
	}
}

func run(args []string, in io.Reader, out io.Writer) error {
	flags := flag.NewFlagSet("vectors", flag.ContinueOnError)
	list := flags.Bool("list", false, "print the names of the computations")
	report := flags.Bool("report", false, "run the corpus and print a table by source")
	cases := flags.Bool("cases", false, "print the vectors of the corpus, one a line")
	dir := flags.String("testdata", "", "directory of the corpus (default: testdata here or in a directory above)")
	if err := flags.Parse(args); err != nil {
		return err
	}
	if flags.NArg() > 0 {
		return fmt.Errorf("unexpected argument %q", flags.Arg(0))
	}
	switch {
	case *list:
		for _, name := range corpus.Names() {
			if _, err := fmt.Fprintln(out, name); err != nil {
				return err
			}
		}
		return nil
	case *report, *cases:
		c, err := load(*dir)
		if err != nil {
			return err
		}
		if *cases {
			return printCases(c, out)
		}
		return printReport(c, out)
	}
	return answer(in, out)
}

// answer replies to every line of in.
func answer(in io.Reader, out io.Writer) error {
	computations := corpus.Computations()
	lines := bufio.NewReaderSize(in, 64<<10)
	w := bufio.NewWriter(out)
	encode := json.NewEncoder(w)
	for {
		line, tooLong, err := readLine(lines)
		if err == io.EOF {
			return w.Flush()
		}
		if err != nil {
			return errors.Join(err, w.Flush())
		}
		reply := corpus.Answer{Error: "line-too-long"}
		if !tooLong {
			reply = corpus.Reply(line, computations)
		}
		if err := encode.Encode(reply); err != nil {
			return err
		}
		if lines.Buffered() == 0 { // the caller may wait for this answer
			if err := w.Flush(); err != nil {
				return err
			}
		}
	}
}

// readLine returns the next line without its end. Of a line over maxLine the
// rest is read and dropped.
func readLine(r *bufio.Reader) (line []byte, tooLong bool, err error) {
	for {
		part, err := r.ReadSlice('\n')
		tooLong = tooLong || len(line)+len(part) > maxLine
		if tooLong {
			line = nil
		} else {
			line = append(line, part...)
		}
		switch {
		case err == bufio.ErrBufferFull:
		case err == io.EOF && (len(line) > 0 || tooLong), err == nil:
			return line, tooLong, nil
		default:
			return nil, false, err
		}
	}
}

// load reads the corpus in dir, or in the nearest testdata at or above the
// current directory.
func load(dir string) (*corpus.Corpus, error) {
	if dir == "" {
		here, err := os.Getwd()
		if err != nil {
			return nil, err
		}
		dir, err = find(here)
		if err != nil {
			return nil, err
		}
	}
	return corpus.Load(os.DirFS(dir))
}

func find(here string) (string, error) {
	for {
		dir := filepath.Join(here, "testdata")
		if _, err := os.Stat(filepath.Join(dir, "sources.json")); err == nil {
			return dir, nil
		}
		above := filepath.Dir(here)
		if above == here {
			return "", errors.New("no testdata with the corpus here or above; give -testdata")
		}
		here = above
	}
}

func printCases(c *corpus.Corpus, out io.Writer) error {
	encode := json.NewEncoder(out)
	for _, v := range c.Vectors() {
		if err := encode.Encode(v); err != nil {
			return err
		}
	}
	return nil
}

// printReport prints one line for each source and fails when a check does.
func printReport(c *corpus.Corpus, out io.Writer) error {
	w := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "source\tkind\tvectors\tchecks\tpassed\tworst\tknown\tmisprints")
	failed := 0
	for _, r := range corpus.Report(c, corpus.Computations()) {
		worst := "-"
		if r.Printed > 0 {
			worst = fmt.Sprintf("%.2f", r.Worst)
		}
		fmt.Fprintf(w, "%s\t%s\t%d\t%d\t%d\t%s\t%s\t%d\n", r.Source.ID, r.Source.Kind, r.Vectors, r.Checks, r.Passed,
			worst, known(r.Known), r.Misprints)
		failed += r.Checks - r.Passed
	}
	if err := w.Flush(); err != nil {
		return err
	}
	fmt.Fprintln(out, "\nworst: largest difference from a printed figure, in units of its last place (misprints left out)")
	m := corpus.ManifestOf(c)
	fmt.Fprintf(out, "published: %d vectors with %d checks from %d sources; cross-library: %d; must fail: %d; computations: %d\n",
		m.Published, m.PublishedChecks, m.PublishedSources, m.CrossLibrary, m.MustFail, len(m.Computations))
	if _, err := fmt.Fprintln(out, corpus.Count(c)); err != nil {
		return err
	}
	if failed > 0 {
		return fmt.Errorf("%d checks failed", failed)
	}
	return nil
}

func known(counts map[string]int) string {
	var out []string
	for _, way := range corpus.KnownWays() {
		if n := counts[way]; n > 0 {
			out = append(out, fmt.Sprintf("%s %d", way, n))
		}
	}
	return strings.Join(out, ", ")
}
