package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path"
	"path/filepath"
)

// pkg is one package to measure.
type pkg struct {
	Dir        string
	Name       string
	ImportPath string
	GoFiles    []string

	rel   string // directory relative to the root of the module, with slashes
	sites []site
	src   map[string][]byte // by site.File
}

// loadPackage finds a package and its sites.
func loadPackage(root, pattern string) (*pkg, error) {
	cmd := exec.Command("go", "list", "-json=Dir,Name,ImportPath,GoFiles", pattern)
	cmd.Dir = root
	var trouble bytes.Buffer
	cmd.Stderr = &trouble
	out, err := cmd.Output()
	if err != nil {
		return nil, fmt.Errorf("go list %s: %w\n%s", pattern, err, trouble.Bytes())
	}
	p := &pkg{src: map[string][]byte{}}
	if err := json.Unmarshal(out, p); err != nil {
		return nil, fmt.Errorf("go list %s: want one package: %w", pattern, err)
	}
	rel, err := filepath.Rel(root, p.Dir)
	if err != nil {
		return nil, err
	}
	p.rel = filepath.ToSlash(rel)
	return p, p.findSites()
}

func (p *pkg) findSites() error {
	for _, name := range p.GoFiles {
		src, err := os.ReadFile(filepath.Join(p.Dir, name))
		if err != nil {
			return err
		}
		file := path.Join(p.rel, name)
		found, err := findSites(file, src)
		if err != nil {
			return err
		}
		p.src[file] = src
		p.sites = append(p.sites, found...)
	}
	return nil
}

// absolute returns the path of a directory as go list prints it, so that the two
// can be compared.
func absolute(dir string) (string, error) {
	dir, err := filepath.Abs(dir)
	if err != nil {
		return "", err
	}
	return filepath.EvalSymlinks(dir)
}
