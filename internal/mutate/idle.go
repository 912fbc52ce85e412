package main

import "go/ast"

// findIdle notes what a function returns beside an error, or beside a false that
// says there is no answer: it means nothing, and nothing should look at it.
func (f *finder) findIdle(t *ast.FuncType, body *ast.BlockStmt) {
	last := lastResult(t)
	if last != "error" && last != "bool" {
		return
	}
	ast.Inspect(body, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.FuncLit:
			return false
		case *ast.ReturnStmt:
			f.noteIdle(last, n.Results)
		}
		return true
	})
}

func (f *finder) noteIdle(last string, results []ast.Expr) {
	if len(results) < 2 {
		return
	}
	others, verdict := results[:len(results)-1], results[len(results)-1]
	if last == "error" && isName(verdict, "nil") || last == "bool" && !isName(verdict, "false") {
		return
	}
	for _, r := range others {
		_, number := r.(*ast.BasicLit)
		if number || last == "error" && (isName(r, "true") || isName(r, "false")) {
			f.idle[r] = true
		}
	}
}

// lastResult returns the name of the type of the last result, "" when it has none.
func lastResult(t *ast.FuncType) string {
	if t.Results == nil || len(t.Results.List) == 0 {
		return ""
	}
	if id, ok := t.Results.List[len(t.Results.List)-1].Type.(*ast.Ident); ok {
		return id.Name
	}
	return ""
}

func isName(e ast.Expr, name string) bool {
	id, ok := e.(*ast.Ident)
	return ok && id.Name == name
}
