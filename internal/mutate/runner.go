package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"time"
)

// runner runs tests of packages of the module at root.
type runner struct {
	root    string
	timeout time.Duration // longest time of one run of tests
	corpus  string        // pattern of the package that runs the corpus; empty for none
	skip    string        // pattern of tests that are left out
}

// suite is one binary of tests that a mutant has to pass to survive. It is built
// when it is first needed.
type suite struct {
	b       *batch
	root    string
	pattern string // package of the tests
	binary  string
	dir     string // where it runs
	args    []string
	limit   time.Duration
	built   bool
}

// suites returns the tests of the package and those of the corpus, with the times
// they may take, which are empty when they are to be found out.
func (r runner) suites(b *batch, limits []time.Duration) []*suite {
	all := []*suite{{pattern: "./" + b.p.rel, binary: "package.test", dir: b.p.Dir}}
	if r.skip != "" {
		all[0].args = []string{"-test.skip", r.skip}
	}
	if r.corpus != "" {
		only := "TestVectors/^" + regexp.QuoteMeta(b.p.rel) + `\.`
		all = append(all, &suite{pattern: r.corpus, binary: "corpus.test", dir: filepath.Join(r.root, r.corpus), args: []string{"-test.run", only}})
	}
	for i, s := range all {
		s.b, s.root, s.binary, s.limit = b, r.root, filepath.Join(b.dir, s.binary), r.timeout
		if len(limits) > 0 {
			s.limit = limits[i]
		}
	}
	return all
}

// A run with a mutant may take slack times as long as without, and leastTime at
// least.
const (
	slack     = 8
	leastTime = 5 * time.Second
)

// base runs the tests without a mutant and returns the times to allow.
func (r runner) base(p *pkg) ([]time.Duration, error) {
	dir, err := os.MkdirTemp("", "mutate")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	b, err := newBatch(dir, p, nil)
	if err != nil {
		return nil, err
	}
	var limits []time.Duration
	for _, s := range r.suites(b, nil) {
		if err := s.build(); err != nil {
			return nil, err
		}
		start := time.Now()
		if err := s.mustPass(); err != nil {
			return nil, err
		}
		limits = append(limits, min(max(slack*time.Since(start), leastTime), r.timeout))
	}
	return limits, nil
}

func (s *suite) build() error {
	if s.built {
		return nil
	}
	s.built = true
	return s.b.build(s.root, s.pattern, s.binary)
}

// mustPass runs the tests without a mutant.
func (s *suite) mustPass() error {
	if out, err := s.run(0); err != nil {
		return fmt.Errorf("%s: without a mutant the tests fail: %w\n%s", s.b.p.rel, err, out)
	}
	return nil
}

// ready builds the tests and, where the mutants can be switched off, makes sure
// that they pass without one: writing the functions out several times must not
// make a difference.
func (s *suite) ready() error {
	if s.built {
		return nil
	}
	if err := s.build(); err != nil {
		return err
	}
	if s.b.alone() {
		return nil
	}
	return s.mustPass()
}

// run runs the tests with the mutant of that number, 0 for none. A binary whose
// time is up ends itself and fails.
func (s *suite) run(id int) ([]byte, error) {
	args := append([]string{"-test.short", "-test.failfast", "-test.timeout", s.limit.String()}, s.args...)
	cmd := exec.Command(s.binary, args...)
	cmd.Dir = s.dir
	cmd.Env = append(os.Environ(), choice+"="+strconv.Itoa(id))
	return cmd.CombinedOutput()
}

// nobody noticed a mutant.
const nobody = -1

// noticedBy runs one mutant and returns the number of the suite that noticed it.
func noticedBy(suites []*suite, id int) (int, error) {
	for i, s := range suites {
		if err := s.ready(); err != nil {
			return nobody, err
		}
		if _, err := s.run(id); err != nil {
			return i, nil
		}
	}
	return nobody, nil
}
