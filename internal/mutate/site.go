package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"sort"
	"strings"
)

// site is one mistake that can be made in one place.
type site struct {
	File     string // relative to the root of the module, with slashes
	Line     int
	Func     string // Name or Type.Name; empty outside functions
	Operator string
	Before   string // the lines that change, on one line
	After    string

	start, end int // bytes of the file that are replaced
	text       string

	bodyStart, bodyEnd int  // inside of the braces of the function; both 0 outside
	labelled           bool // the function has labels, which cannot stand twice
}

// switchable reports whether the site can be built together with others.
func (s site) switchable() bool { return s.bodyEnd > 0 && !s.labelled }

// key is what the list of equivalent mutants knows a site by.
type key struct{ File, Func, Before, After string }

func (s site) key() key { return key{s.File, s.Func, s.Before, s.After} }

// apply returns the file with the mistake in it.
func (s site) apply(src []byte) []byte {
	out := make([]byte, 0, len(src)+len(s.text))
	out = append(out, src[:s.start]...)
	out = append(out, s.text...)
	return append(out, src[s.end:]...)
}

// finder walks one file and collects its sites.
type finder struct {
	file  string
	src   []byte
	set   *token.FileSet
	sites []site

	fn                 string // the declaration being walked
	bodyStart, bodyEnd int
	labelled           bool
	idle               map[ast.Node]bool // literals beside an error
}

// findSites returns the sites of one file, in the order of their places.
func findSites(file string, src []byte) ([]site, error) {
	f := &finder{file: file, src: src, set: token.NewFileSet()}
	tree, err := parser.ParseFile(f.set, file, src, parser.SkipObjectResolution)
	if err != nil {
		return nil, err
	}
	for _, d := range tree.Decls {
		f.enter(d)
		f.walk(d)
	}
	sort.SliceStable(f.sites, func(i, j int) bool { return f.sites[i].start < f.sites[j].start })
	return f.sites, nil
}

// enter notes what all sites of a declaration share.
func (f *finder) enter(d ast.Decl) {
	f.fn, f.bodyStart, f.bodyEnd, f.labelled, f.idle = funcName(d), 0, 0, false, map[ast.Node]bool{}
	fn, ok := d.(*ast.FuncDecl)
	if !ok || fn.Body == nil {
		return
	}
	f.bodyStart, f.bodyEnd = f.offset(fn.Body.Lbrace)+1, f.offset(fn.Body.Rbrace)
	ast.Inspect(fn, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.LabeledStmt:
			f.labelled = true
		case *ast.FuncDecl:
			f.findIdle(n.Type, n.Body)
		case *ast.FuncLit:
			f.findIdle(n.Type, n.Body)
		}
		return true
	})
}

func funcName(d ast.Decl) string {
	fn, ok := d.(*ast.FuncDecl)
	if !ok {
		return ""
	}
	if fn.Recv == nil || len(fn.Recv.List) == 0 {
		return fn.Name.Name
	}
	t := fn.Recv.List[0].Type
	if star, ok := t.(*ast.StarExpr); ok {
		t = star.X
	}
	if generic, ok := t.(*ast.IndexExpr); ok {
		t = generic.X
	}
	if id, ok := t.(*ast.Ident); ok {
		return id.Name + "." + fn.Name.Name
	}
	return fn.Name.Name
}

func (f *finder) walk(root ast.Node) {
	ast.Inspect(root, func(n ast.Node) bool {
		if isTable(n) || f.idle[n] {
			return false
		}
		switch n := n.(type) {
		case *ast.ArrayType: // a length is part of a type
			return false
		case ast.Expr:
			f.expression(n)
		case ast.Stmt:
			f.statement(n)
		}
		return true
	})
}

// tableEntries is how many entries make a table.
const tableEntries = 4

// isTable reports whether a node holds data rather than working.
func isTable(n ast.Node) bool {
	switch n := n.(type) {
	case *ast.GenDecl:
		return len(n.Specs) >= tableEntries
	case *ast.CompositeLit:
		switch n.Type.(type) {
		case *ast.ArrayType, *ast.MapType:
			return len(n.Elts) >= tableEntries
		}
	}
	return false
}

func (f *finder) offset(p token.Pos) int { return f.set.Position(p).Offset }

func (f *finder) textOf(n ast.Node) string { return string(f.src[f.offset(n.Pos()):f.offset(n.End())]) }

// replace adds the site where a node gives way to text.
func (f *finder) replace(n ast.Node, operator, text string) {
	f.add(f.offset(n.Pos()), f.offset(n.End()), operator, text)
}

// replaceToken adds the site where an operator token gives way to another.
func (f *finder) replaceToken(at token.Pos, old, operator string, with token.Token) {
	start := f.offset(at)
	f.add(start, start+len(old), operator, with.String())
}

func (f *finder) add(start, end int, operator, text string) {
	from := strings.LastIndexByte(string(f.src[:start]), '\n') + 1
	to := len(f.src)
	if i := strings.IndexByte(string(f.src[end:]), '\n'); i >= 0 {
		to = end + i
	}
	s := site{
		File: f.file, Line: 1 + strings.Count(string(f.src[:start]), "\n"), Func: f.fn, Operator: operator,
		Before: oneLine(string(f.src[from:to])),
		After:  oneLine(string(f.src[from:start]) + text + string(f.src[end:to])),
		start:  start, end: end, text: text,
		bodyStart: f.bodyStart, bodyEnd: f.bodyEnd, labelled: f.labelled,
	}
	if s.After == "" {
		s.After = removed
	}
	f.sites = append(f.sites, s)
}

// removed stands for a line of which nothing is left.
const removed = "(removed)"

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }
