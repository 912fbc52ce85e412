package main

import (
	"go/ast"
	"go/constant"
	"go/token"
)

// The names of the operators, as the report prints them.
const (
	opArithmetic = "arithmetic"
	opBoundary   = "boundary"
	opNegation   = "negation"
	opLogic      = "logic"
	opConstant   = "constant"
	opAssignment = "assignment"
	opRemoval    = "removal"
	opReturn     = "early return"
	opSwap       = "swap"
	opBoolean    = "boolean"
)

// arithmetic, logic, boundary and negation say which binary operator is put for
// which.
var (
	arithmetic = map[token.Token]token.Token{
		token.ADD: token.SUB, token.SUB: token.ADD, token.MUL: token.QUO, token.QUO: token.MUL, token.REM: token.MUL,
	}
	logic    = map[token.Token]token.Token{token.LAND: token.LOR, token.LOR: token.LAND}
	boundary = map[token.Token]token.Token{
		token.LSS: token.LEQ, token.LEQ: token.LSS, token.GTR: token.GEQ, token.GEQ: token.GTR,
	}
	negation = map[token.Token]token.Token{
		token.LSS: token.GEQ, token.LEQ: token.GTR, token.GTR: token.LEQ, token.GEQ: token.LSS,
		token.EQL: token.NEQ, token.NEQ: token.EQL,
	}
	swaps = map[string]string{
		"min": "max", "max": "min", "Min": "Max", "Max": "Min", "Sin": "Cos", "Cos": "Sin",
	}
)

func (f *finder) expression(e ast.Expr) {
	switch e := e.(type) {
	case *ast.BinaryExpr:
		f.binary(e)
	case *ast.UnaryExpr:
		f.unary(e)
	case *ast.BasicLit:
		f.number(e)
	case *ast.Ident:
		f.boolean(e)
	case *ast.CallExpr:
		f.call(e)
	}
}

func (f *finder) binary(e *ast.BinaryExpr) {
	if isText(e) {
		return
	}
	for _, o := range []struct {
		name string
		of   map[token.Token]token.Token
	}{{opArithmetic, arithmetic}, {opLogic, logic}, {opBoundary, boundary}, {opNegation, negation}} {
		if with, ok := o.of[e.Op]; ok {
			f.replaceToken(e.OpPos, e.Op.String(), o.name, with)
		}
	}
}

// isText reports whether an expression is a sum with a string literal in it, of
// which no difference can be made.
func isText(e ast.Expr) bool {
	switch e := e.(type) {
	case *ast.BasicLit:
		return e.Kind == token.STRING
	case *ast.BinaryExpr:
		return e.Op == token.ADD && (isText(e.X) || isText(e.Y))
	}
	return false
}

func (f *finder) unary(e *ast.UnaryExpr) {
	switch e.Op {
	case token.SUB:
		f.replace(e, opArithmetic, f.textOf(e.X))
	case token.NOT:
		f.replace(e, opNegation, f.textOf(e.X))
	}
}

// number changes a constant. A value that would come out alike is left out.
func (f *finder) number(e *ast.BasicLit) {
	switch e.Kind {
	case token.INT, token.FLOAT:
	default:
		return
	}
	zero := "0"
	if e.Kind == token.FLOAT {
		zero = "0.0"
	}
	switch {
	case isNumber(e.Value, 0):
		f.replace(e, opConstant, "1")
	case isNumber(e.Value, 1):
		f.replace(e, opConstant, zero)
		f.replace(e, opConstant, "2")
	default:
		f.replace(e, opConstant, zero)
		if !hidesOne(e) {
			f.replace(e, opConstant, "("+e.Value+" + 1)")
		}
		f.replace(e, opConstant, "(2 * "+e.Value+")")
	}
}

// isNumber reports whether a literal has that value.
func isNumber(literal string, v int64) bool {
	for _, kind := range []token.Token{token.INT, token.FLOAT} {
		c := constant.MakeFromLiteral(literal, kind, 0)
		if c.Kind() != constant.Unknown {
			return constant.Compare(c, token.EQL, constant.MakeInt64(v))
		}
	}
	return false
}

// hidesOne reports whether a number is so large that one more is the same.
func hidesOne(e *ast.BasicLit) bool {
	v, _ := constant.Float64Val(constant.MakeFromLiteral(e.Value, e.Kind, 0))
	return e.Kind == token.FLOAT && v+1 == v
}

func (f *finder) boolean(e *ast.Ident) {
	switch e.Name {
	case "true":
		f.replace(e, opBoolean, "false")
	case "false":
		f.replace(e, opBoolean, "true")
	}
}

func (f *finder) call(e *ast.CallExpr) {
	switch fun := e.Fun.(type) {
	case *ast.Ident:
		if with, ok := swaps[fun.Name]; ok {
			f.replace(fun, opSwap, with)
		}
	case *ast.SelectorExpr:
		if pkg, ok := fun.X.(*ast.Ident); !ok || pkg.Name != "math" {
			return
		}
		if with, ok := swaps[fun.Sel.Name]; ok {
			f.replace(fun.Sel, opSwap, with)
		}
	}
}
