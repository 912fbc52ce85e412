package main

import (
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"regexp"
	"strconv"
)

// batch is a set of mutants that are built together. A mutant outside the bodies
// of functions is alone in its batch.
type batch struct {
	p       *pkg
	mutants map[int]site // by number, from one
	dir     string       // temporary
	overlay string
	where   map[string][]lines // by name of file
}

// newBatch writes the changed files and the overlay that makes the go command
// read them in the place of those in the tree.
func newBatch(dir string, p *pkg, mutants map[int]site) (*batch, error) {
	b := &batch{p: p, mutants: mutants, dir: dir, overlay: filepath.Join(dir, "overlay.json"), where: map[string][]lines{}}
	replace := map[string]string{}
	put := func(name, text string) error {
		replace[filepath.Join(p.Dir, name)] = filepath.Join(dir, name)
		return os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600)
	}
	for file, of := range byFile(mutants) {
		name := path.Base(file)
		if err := put(name, b.changed(file, of)); err != nil {
			return nil, err
		}
	}
	if err := put("mutant_that_runs.go", chooserFile(p.Name)); err != nil {
		return nil, err
	}
	list, err := json.Marshal(map[string]any{"Replace": replace})
	if err != nil {
		return nil, err
	}
	return b, os.WriteFile(b.overlay, list, 0o600)
}

func (b *batch) changed(file string, mutants map[int]site) string {
	src := b.p.src[file]
	for _, s := range mutants {
		if !s.switchable() {
			return string(s.apply(src))
		}
	}
	text, where := switched(src, mutants)
	b.where[path.Base(file)] = where
	return text
}

func byFile(mutants map[int]site) map[string]map[int]site {
	out := map[string]map[int]site{}
	for id, s := range mutants {
		if out[s.File] == nil {
			out[s.File] = map[int]site{}
		}
		out[s.File][id] = s
	}
	return out
}

// build builds the tests of a package with the batch in it.
func (b *batch) build(root, pattern, binary string) error {
	cmd := exec.Command("go", "test", "-c", "-vet=off", "-ldflags=-s -w", "-overlay", b.overlay, "-o", binary, pattern)
	cmd.Dir = root
	if out, err := cmd.CombinedOutput(); err != nil {
		return fmt.Errorf("go test -c %s: %w\n%s", pattern, err, out)
	}
	return nil
}

// position is where a finding of go vet begins.
var position = regexp.MustCompile(`([^\s/\\:]+\.go):(\d+):`)

// refused returns the mutants that go vet refuses.
func (b *batch) refused(root string) map[int]bool {
	cmd := exec.Command("go", "vet", "-overlay", b.overlay, "./"+b.p.rel)
	cmd.Dir = root
	out, err := cmd.CombinedOutput()
	if err == nil {
		return nil
	}
	refused := map[int]bool{}
	for _, m := range position.FindAllSubmatch(out, -1) {
		line, _ := strconv.Atoi(string(m[2]))
		b.at(string(m[1]), line, refused)
	}
	for id := range b.mutants {
		if b.alone() {
			refused[id] = true
		}
	}
	return refused
}

// alone reports whether the batch is one mutant that cannot be switched off.
func (b *batch) alone() bool {
	for _, s := range b.mutants {
		if !s.switchable() {
			return true
		}
	}
	return false
}

func (b *batch) at(name string, line int, into map[int]bool) {
	for _, w := range b.where[name] {
		if w.from <= line && line <= w.to {
			into[w.id] = true
		}
	}
}
