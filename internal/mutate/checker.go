package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"os"
	"os/exec"
	"path"
)

// checker says which mutants build: it checks the types of the package with one
// file changed, which is much quicker than building it.
type checker struct {
	p     *pkg
	set   *token.FileSet
	files map[string]*ast.File // by site.File
	deps  types.Importer
}

func newChecker(root string, p *pkg) (*checker, error) {
	exports, err := exportsOf(root, p.ImportPath)
	if err != nil {
		return nil, err
	}
	c := &checker{p: p, set: token.NewFileSet(), files: map[string]*ast.File{}}
	c.deps = importer.ForCompiler(c.set, "gc", func(path string) (io.ReadCloser, error) { return os.Open(exports[path]) })
	for name, src := range p.src {
		if c.files[name], err = parser.ParseFile(c.set, name, src, parser.SkipObjectResolution); err != nil {
			return nil, err
		}
	}
	if err := c.check(c.files); err != nil {
		return nil, fmt.Errorf("%s: without a mutant: %w", p.rel, err)
	}
	return c, nil
}

// exportsOf returns, for everything a package imports, the file with what the
// compiler has to know of it.
func exportsOf(root, importPath string) (map[string]string, error) {
	cmd := exec.Command("go", "list", "-export", "-deps", "-json=ImportPath,Export", importPath)
	cmd.Dir = root
	out, err := cmd.Output()
	if err != nil {
		return nil, fmt.Errorf("go list -export %s: %w", importPath, err)
	}
	exports := map[string]string{}
	for d := json.NewDecoder(bytes.NewReader(out)); ; {
		var one struct{ ImportPath, Export string }
		if err := d.Decode(&one); err == io.EOF {
			return exports, nil
		} else if err != nil {
			return nil, err
		}
		exports[one.ImportPath] = one.Export
	}
}

func (c *checker) check(files map[string]*ast.File) error {
	var list []*ast.File
	for _, name := range c.p.names() {
		list = append(list, files[name])
	}
	config := types.Config{Importer: c.deps, Sizes: types.SizesFor("gc", "amd64")}
	_, err := config.Check(c.p.ImportPath, c.set, list, nil)
	return err
}

// builds reports whether the package with the mistake in it builds.
func (c *checker) builds(s site) bool {
	changed, err := parser.ParseFile(c.set, s.File, s.apply(c.p.src[s.File]), parser.SkipObjectResolution)
	if err != nil {
		return false
	}
	files := map[string]*ast.File{}
	for name, f := range c.files {
		files[name] = f
	}
	files[s.File] = changed
	return c.check(files) == nil
}

// names returns the files of the package in their order.
func (p *pkg) names() []string {
	out := make([]string, len(p.GoFiles))
	for i, name := range p.GoFiles {
		out[i] = path.Join(p.rel, name)
	}
	return out
}
