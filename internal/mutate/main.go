package main

import (
	_ "embed"
	"flag"
	"fmt"
	"io"
	"os"
	"regexp"
	"strings"
	"time"
)

//go:embed equivalent.txt
var equivalentList string

// options are the choices of the command line.
type options struct {
	packages []string
	sample   int
	seed     uint64
	timeout  time.Duration
	corpus   string
	skip     string
	match    *regexp.Regexp
	list     bool
}

func main() {
	o, err := parseOptions(os.Args[1:], os.Stderr)
	if err == nil {
		err = run(o, ".", strings.NewReader(equivalentList), os.Stdout, os.Stderr)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "mutate:", err)
		os.Exit(1)
	}
}

func parseOptions(args []string, usage io.Writer) (options, error) {
	var o options
	flags := flag.NewFlagSet("mutate", flag.ContinueOnError)
	flags.SetOutput(usage)
	packages := flags.String("packages", "", "packages to measure, with commas between")
	flags.IntVar(&o.sample, "sample", 120, "how many mutants of each package are run; 0 for all")
	flags.Uint64Var(&o.seed, "seed", 1, "seed of the sample")
	flags.DurationVar(&o.timeout, "timeout", time.Minute, "longest time of one run of tests")
	flags.StringVar(&o.corpus, "corpus", "./internal/corpus", "package that runs the corpus; empty for none")
	flags.StringVar(&o.skip, "skip", "", "pattern of tests to leave out, such as those that count allocations")
	match := flags.String("match", "", "only sites whose line of the report fits this pattern")
	flags.BoolVar(&o.list, "list", false, "print the sites and run nothing")
	if err := flags.Parse(args); err != nil {
		return o, err
	}
	if *packages == "" {
		return o, fmt.Errorf("-packages is missing")
	}
	if o.sample < 0 {
		return o, fmt.Errorf("-sample = %d: want 0 or more", o.sample)
	}
	o.packages = strings.Split(*packages, ",")
	var err error
	o.match, err = regexp.Compile(*match)
	return o, err
}

// run measures the packages of the module at root.
func run(o options, root string, list io.Reader, out, progress io.Writer) error {
	root, err := absolute(root)
	if err != nil {
		return err
	}
	equivalent, err := readEquivalent(list)
	if err != nil {
		return err
	}
	var results []result
	for _, pattern := range o.packages {
		p, err := loadPackage(root, pattern)
		if err != nil {
			return err
		}
		if o.list {
			for _, s := range chosen(o, p.sites) {
				fmt.Fprintln(out, s)
			}
			continue
		}
		r, err := measure(o, runner{root, o.timeout, o.corpus, o.skip}, p, equivalent, progress)
		if err != nil {
			return err
		}
		results = append(results, r)
	}
	if !o.list {
		write(out, results)
	}
	return nil
}

func chosen(o options, sites []site) []site {
	var out []site
	for _, s := range sites {
		if o.match.MatchString(s.String()) {
			out = append(out, s)
		}
	}
	return out
}
