// Command apilist prints the exported interface of the library, one line for each
// name, and holds it against a stored list: what is gone or changed is a breaking
// change, what is new has to be put on record.
//
//	go run ./internal/apilist                  print it
//	go run ./internal/apilist -against FILE    compare; exit status 1 when it differs
//
// Package paths, not a build, decide what is looked at: every directory below the
// current one but internal, examples, testdata and nested modules.
package main

import (
	"flag"
	"fmt"
	"go/ast"
	"go/parser"
	"go/printer"
	"go/token"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

func run(args []string, stdout, stderr io.Writer) int {
	flags := flag.NewFlagSet("apilist", flag.ContinueOnError)
	flags.SetOutput(stderr)
	against := flags.String("against", "", "compare with this `file`")
	if flags.Parse(args) != nil || flags.NArg() > 0 {
		return 2
	}
	lines, err := list(".")
	if err != nil {
		fmt.Fprintln(stderr, "apilist:", err)
		return 2
	}
	if *against == "" {
		fmt.Fprintln(stdout, strings.Join(lines, "\n"))
		return 0
	}
	stored, err := os.ReadFile(*against)
	if err != nil {
		fmt.Fprintln(stderr, "apilist:", err)
		return 2
	}
	gone, fresh := compare(strings.Split(strings.TrimSpace(string(stored)), "\n"), lines)
	for _, l := range gone {
		fmt.Fprintln(stdout, "gone or changed:", l)
	}
	for _, l := range fresh {
		fmt.Fprintln(stdout, "new:", l)
	}
	if len(gone)+len(fresh) > 0 {
		return 1
	}
	fmt.Fprintf(stdout, "%d exported names, as on record\n", len(lines))
	return 0
}

// compare returns what only the old list has and what only the new one has.
func compare(old, now []string) (gone, fresh []string) {
	has := func(in []string) map[string]bool {
		m := map[string]bool{}
		for _, l := range in {
			m[l] = true
		}
		return m
	}
	was, is := has(old), has(now)
	for _, l := range old {
		if !is[l] {
			gone = append(gone, l)
		}
	}
	for _, l := range now {
		if !was[l] {
			fresh = append(fresh, l)
		}
	}
	return gone, fresh
}

// list returns the interface of every package below root, sorted.
func list(root string) (lines []string, err error) {
	err = filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || !d.IsDir() {
			return err
		}
		if skipped(root, path, d.Name()) {
			return filepath.SkipDir
		}
		found, err := listPackage(root, path)
		lines = append(lines, found...)
		return err
	})
	slices.Sort(lines)
	return slices.Compact(lines), err
}

func skipped(root, path, name string) bool {
	if path == root {
		return false
	}
	if name == "internal" || name == "examples" || name == "testdata" || strings.HasPrefix(name, ".") {
		return true
	}
	_, err := os.Stat(filepath.Join(path, "go.mod"))
	return err == nil
}

func listPackage(root, dir string) (lines []string, err error) {
	files, err := filepath.Glob(filepath.Join(dir, "*.go"))
	if err != nil {
		return nil, err
	}
	place, err := filepath.Rel(root, dir)
	if err != nil {
		return nil, err
	}
	set := token.NewFileSet()
	p := lister{set: set, prefix: "pkg " + filepath.ToSlash(place) + ", "}
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(set, name, nil, parser.SkipObjectResolution)
		if err != nil {
			return nil, err
		}
		for _, d := range file.Decls {
			p.declaration(d)
		}
	}
	return p.lines, nil
}

// lister collects the lines of one package.
type lister struct {
	set    *token.FileSet
	prefix string
	lines  []string
}

func (p *lister) add(format string, args ...any) {
	p.lines = append(p.lines, p.prefix+fmt.Sprintf(format, args...))
}

// text prints a node on one line.
func (p *lister) text(node any) string {
	var b strings.Builder
	if err := printer.Fprint(&b, p.set, node); err != nil {
		return "?"
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

func (p *lister) declaration(d ast.Decl) {
	switch d := d.(type) {
	case *ast.FuncDecl:
		p.function(d)
	case *ast.GenDecl:
		var last ast.Expr // the type of a list of constants is written once
		for _, s := range d.Specs {
			switch s := s.(type) {
			case *ast.TypeSpec:
				p.typ(s)
			case *ast.ValueSpec:
				if s.Type != nil || len(s.Values) > 0 {
					last = s.Type
				}
				p.values(d.Tok, s, last)
			}
		}
	}
}

func (p *lister) function(f *ast.FuncDecl) {
	if !f.Name.IsExported() {
		return
	}
	plain := &ast.FuncDecl{Recv: f.Recv, Name: f.Name, Type: f.Type}
	if f.Recv == nil {
		p.add("%s", p.text(plain))
		return
	}
	receiver := f.Recv.List[0].Type
	if star, ok := receiver.(*ast.StarExpr); ok {
		receiver = star.X
	}
	if index, ok := receiver.(*ast.IndexExpr); ok {
		receiver = index.X
	}
	if name, ok := receiver.(*ast.Ident); ok && !name.IsExported() {
		return
	}
	p.add("%s", strings.Replace(p.text(plain), "func ", "method ", 1))
}

func (p *lister) values(what token.Token, s *ast.ValueSpec, typ ast.Expr) {
	for i, n := range s.Names {
		if !n.IsExported() {
			continue
		}
		line := what.String() + " " + n.Name
		if typ != nil {
			line += " " + p.text(typ)
		}
		if what == token.CONST && i < len(s.Values) {
			line += " = " + p.text(s.Values[i])
		}
		p.add("%s", line)
	}
}

func (p *lister) typ(s *ast.TypeSpec) {
	if !s.Name.IsExported() {
		return
	}
	name := s.Name.Name
	if s.TypeParams != nil {
		name += "[" + p.params(s.TypeParams) + "]"
	}
	switch t := s.Type.(type) {
	case *ast.StructType:
		p.add("type %s struct", name)
		p.fields(name, t.Fields)
	case *ast.InterfaceType:
		p.add("type %s interface", name)
		p.fields(name, t.Methods)
	default:
		sign := " "
		if s.Assign.IsValid() {
			sign = " = "
		}
		p.add("type %s%s%s", name, sign, p.text(s.Type))
	}
}

func (p *lister) params(list *ast.FieldList) string {
	var out []string
	for _, f := range list.List {
		for _, n := range f.Names {
			out = append(out, n.Name+" "+p.text(f.Type))
		}
	}
	return strings.Join(out, ", ")
}

// fields lists exported fields or methods; an embedded one by its type.
func (p *lister) fields(of string, list *ast.FieldList) {
	for _, f := range list.List {
		tag := ""
		if f.Tag != nil {
			tag = " " + f.Tag.Value
		}
		if len(f.Names) == 0 {
			p.add("type %s, embeds %s%s", of, p.text(f.Type), tag)
		}
		for _, n := range f.Names {
			if n.IsExported() {
				p.add("type %s, %s %s%s", of, n.Name, p.text(f.Type), tag)
			}
		}
	}
}
