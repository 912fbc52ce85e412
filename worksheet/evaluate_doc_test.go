package worksheet

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// exportedNames are the exported names of a package of the module: Name, Type.Method
// and Type.Field.
func exportedNames(t *testing.T, pkg string) map[string]bool {
	t.Helper()
	notTests := func(f fs.FileInfo) bool { return !strings.HasSuffix(f.Name(), "_test.go") }
	pkgs, err := parser.ParseDir(token.NewFileSet(), filepath.Join("..", pkg), notTests, 0)
	require.NoError(t, err)
	require.Contains(t, pkgs, pkg)
	out := map[string]bool{}
	for _, f := range pkgs[pkg].Files {
		for _, d := range f.Decls {
			switch d := d.(type) {
			case *ast.FuncDecl:
				out[receiverOf(d)+d.Name.Name] = true
			case *ast.GenDecl:
				for _, s := range d.Specs {
					namesOf(s, out)
				}
			}
		}
	}
	return out
}

func receiverOf(d *ast.FuncDecl) string {
	if d.Recv == nil {
		return ""
	}
	of := d.Recv.List[0].Type
	if p, ok := of.(*ast.StarExpr); ok {
		of = p.X
	}
	return of.(*ast.Ident).Name + "."
}

func namesOf(s ast.Spec, out map[string]bool) {
	switch s := s.(type) {
	case *ast.ValueSpec:
		for _, n := range s.Names {
			out[n.Name] = true
		}
	case *ast.TypeSpec:
		out[s.Name.Name] = true
		if st, ok := s.Type.(*ast.StructType); ok {
			for _, f := range st.Fields.List {
				for _, n := range f.Names {
					out[s.Name.Name+"."+n.Name] = true
				}
			}
		}
	}
}

var docPlace = regexp.MustCompile(`^(align|runout|softfoot|thermal|tolerance|piping|moves)\.[A-Z][A-Za-z0-9.]*(, [a-z]+\.[A-Z][A-Za-z0-9.]*)*$`)

// docsInSource are the places of documentation that stand in the source of the
// evaluation, whether or not a record leads there.
func docsInSource(t *testing.T) map[string]bool {
	t.Helper()
	files, err := filepath.Glob("evaluate*.go")
	require.NoError(t, err)
	out := map[string]bool{}
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		f, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		require.NoError(t, err)
		ast.Inspect(f, func(n ast.Node) bool {
			if lit, ok := n.(*ast.BasicLit); ok && lit.Kind == token.STRING {
				if s, err := strconv.Unquote(lit.Value); err == nil && docPlace.MatchString(s) {
					out[s] = true
				}
			}
			return true
		})
	}
	return out
}

// Where a finding says that its formula is documented, it is: the name exists and is
// exported.
func TestEvalDocsExist(t *testing.T) {
	docs := docsInSource(t)
	require.Greater(t, len(docs), 30)
	for _, r := range variousRecords(t) {
		for _, f := range evaluated(t, r).Findings {
			if f.Doc != "" {
				assert.True(t, docs[f.Doc], "%s: %s is not seen by this test", f.ID, f.Doc)
			}
		}
	}
	names := map[string]map[string]bool{}
	for doc := range docs {
		for _, one := range strings.Split(doc, ", ") {
			pkg, name, _ := strings.Cut(one, ".")
			if names[pkg] == nil {
				names[pkg] = exportedNames(t, pkg)
			}
			assert.True(t, names[pkg][name], "%s does not exist", one)
			for _, part := range strings.Split(name, ".") {
				assert.True(t, ast.IsExported(part), one)
			}
		}
	}
}
