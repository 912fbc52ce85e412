package main

import (
	"go/ast"
	"go/token"
)

// assignments says which assigning operator is put for which.
var assignments = map[token.Token]token.Token{
	token.ADD_ASSIGN: token.SUB_ASSIGN, token.SUB_ASSIGN: token.ADD_ASSIGN,
	token.MUL_ASSIGN: token.QUO_ASSIGN, token.QUO_ASSIGN: token.MUL_ASSIGN,
}

func (f *finder) statement(s ast.Stmt) {
	switch s := s.(type) {
	case *ast.AssignStmt:
		f.assign(s)
	case *ast.IncDecStmt:
		with := token.DEC
		if s.Tok == token.DEC {
			with = token.INC
		}
		f.replaceToken(s.TokPos, s.Tok.String(), opAssignment, with)
	case *ast.IfStmt:
		f.branch(s)
	case *ast.BlockStmt:
		f.removals(s.List)
	case *ast.CaseClause:
		f.removals(s.Body)
	case *ast.CommClause:
		f.removals(s.Body)
	}
}

func (f *finder) assign(s *ast.AssignStmt) {
	if with, ok := assignments[s.Tok]; ok {
		f.replaceToken(s.TokPos, s.Tok.String(), opAssignment, with)
	}
	if len(s.Lhs) == 2 && len(s.Rhs) == 1 && isSincos(s.Rhs[0]) {
		start, end := f.offset(s.Lhs[0].Pos()), f.offset(s.Lhs[1].End())
		f.add(start, end, opSwap, f.textOf(s.Lhs[1])+", "+f.textOf(s.Lhs[0]))
	}
}

func isSincos(e ast.Expr) bool {
	call, ok := e.(*ast.CallExpr)
	if !ok {
		return false
	}
	fun, ok := call.Fun.(*ast.SelectorExpr)
	return ok && fun.Sel.Name == "Sincos"
}

// branch negates a condition and drops an early return. A condition that is one
// comparison, or one "not", is negated where that is met.
func (f *finder) branch(s *ast.IfStmt) {
	cond := f.textOf(s.Cond)
	if !negatedElsewhere(s.Cond) {
		f.replace(s.Cond, opNegation, "!("+cond+")")
	}
	if s.Else == nil && len(s.Body.List) == 1 {
		if _, ok := s.Body.List[0].(*ast.ReturnStmt); ok {
			f.replace(s.Cond, opReturn, "false && ("+cond+")")
		}
	}
}

func negatedElsewhere(cond ast.Expr) bool {
	switch c := cond.(type) {
	case *ast.BinaryExpr:
		_, ok := negation[c.Op]
		return ok
	case *ast.UnaryExpr:
		return c.Op == token.NOT
	}
	return false
}

func (f *finder) removals(list []ast.Stmt) {
	for _, s := range list {
		if removable(s) {
			f.replace(s, opRemoval, "")
		}
	}
}

func removable(s ast.Stmt) bool {
	switch s := s.(type) {
	case *ast.ExprStmt:
		_, ok := s.X.(*ast.CallExpr)
		return ok
	case *ast.AssignStmt:
		return s.Tok != token.DEFINE
	case *ast.IncDecStmt:
		return true
	}
	return false
}
