package main

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/printer"
	"go/token"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
)

// A change is one slip in a file. Its name says where, what stands there and what
// is put in its place, and holds while other lines come and go.
type change struct {
	file string
	line int
	name string
	text []byte // of the whole file, changed
}

// slips are the operators that are taken for another.
var slips = map[token.Token][]token.Token{
	token.ADD: {token.SUB}, token.SUB: {token.ADD}, token.MUL: {token.QUO}, token.QUO: {token.MUL}, token.REM: {token.MUL},
	token.LSS: {token.LEQ, token.GTR}, token.LEQ: {token.LSS, token.GTR}, token.GTR: {token.GEQ, token.LSS}, token.GEQ: {token.GTR, token.LSS},
	token.EQL: {token.NEQ}, token.NEQ: {token.EQL}, token.LAND: {token.LOR}, token.LOR: {token.LAND},
	token.ADD_ASSIGN: {token.SUB_ASSIGN}, token.SUB_ASSIGN: {token.ADD_ASSIGN}, token.MUL_ASSIGN: {token.QUO_ASSIGN}, token.QUO_ASSIGN: {token.MUL_ASSIGN},
	token.INC: {token.DEC}, token.DEC: {token.INC},
}

// confused are functions and words that are taken for another: the ends of a
// range, and limits that are in it or not.
var confused = map[string]string{
	"AtLeast": "Above", "Above": "AtLeast", "AtMost": "Below", "Below": "AtMost",
	"min": "max", "max": "min", "Min": "Max", "Max": "Min", "Floor": "Ceil", "Ceil": "Floor",
	"true": "false", "false": "true",
}

// changesOf lists the changes of a package's files, its tests left out.
func changesOf(dir string) ([]change, error) {
	names, err := filepath.Glob(filepath.Join(dir, "*.go"))
	if err != nil {
		return nil, err
	}
	var all []change
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") || filepath.Base(name) == "doc.go" {
			continue
		}
		found, err := changesIn(filepath.ToSlash(name))
		if err != nil {
			return nil, err
		}
		all = append(all, found...)
	}
	if len(all) == 0 {
		return nil, fmt.Errorf("%s has no Go code to change", dir)
	}
	return all, nil
}

type finder struct {
	file   string
	fset   *token.FileSet
	text   []byte
	within string // the function or variable that is looked at
	seen   map[string]int
	found  []change
}

func changesIn(name string) ([]change, error) {
	text, err := os.ReadFile(name)
	if err != nil {
		return nil, err
	}
	f := &finder{file: name, fset: token.NewFileSet(), text: text, seen: map[string]int{}}
	tree, err := parser.ParseFile(f.fset, name, text, parser.SkipObjectResolution)
	if err != nil {
		return nil, err
	}
	for _, d := range tree.Decls {
		switch d := d.(type) {
		case *ast.FuncDecl:
			if d.Body == nil {
				continue
			}
			f.within = d.Name.Name
			f.look(d.Body, nil)
		case *ast.GenDecl:
			for _, spec := range d.Specs {
				if v, ok := spec.(*ast.ValueSpec); ok {
					f.within = v.Names[0].Name
					for _, x := range v.Values {
						f.look(x, nil)
					}
				}
			}
		}
	}
	return f.found, nil
}

// look visits what stands in a node; about is the smallest expression around it
// that says what it belongs to.
func (f *finder) look(n ast.Node, about ast.Node) {
	if n == nil {
		return
	}
	for child := range children(n) {
		f.look(child, around(n, about))
	}
	switch n := n.(type) {
	case *ast.BinaryExpr:
		for _, other := range slips[n.Op] {
			f.add(n, n.OpPos, len(n.Op.String()), other.String())
		}
	case *ast.AssignStmt:
		for _, other := range slips[n.Tok] {
			f.add(n, n.TokPos, len(n.Tok.String()), other.String())
		}
	case *ast.IncDecStmt:
		for _, other := range slips[n.Tok] {
			f.add(n, n.TokPos, 2, other.String())
		}
	case *ast.UnaryExpr:
		if n.Op == token.SUB || n.Op == token.NOT {
			f.add(n, n.OpPos, 1, "")
		}
	case *ast.Ident:
		if other := confused[n.Name]; other != "" {
			f.add(around(n, about), n.Pos(), len(n.Name), other)
		}
	case *ast.BasicLit:
		if other, ok := offBy(n); ok {
			f.add(around(n, about), n.Pos(), len(n.Value), other)
		}
	}
}

// around is what names a literal or a word: the call, comparison, field or
// statement that it stands in.
func around(n, about ast.Node) ast.Node {
	switch n.(type) {
	case *ast.CallExpr, *ast.BinaryExpr, *ast.KeyValueExpr, *ast.AssignStmt, *ast.ReturnStmt, *ast.IndexExpr, *ast.SliceExpr, *ast.CaseClause:
		return n
	case *ast.BasicLit, *ast.Ident:
		if about == nil {
			return n
		}
	}
	return about
}

// offBy is a number that a slip of the pen would make of another: one more of a
// whole one, a tenth more of one with decimals, and far more of next to nothing.
func offBy(n *ast.BasicLit) (string, bool) {
	switch n.Kind {
	case token.INT:
		x, err := strconv.ParseInt(n.Value, 0, 64)
		return strconv.FormatInt(x+1, 10), err == nil
	case token.FLOAT:
		x, err := strconv.ParseFloat(n.Value, 64)
		if x < 1e-5 { // nothing, or room for the noise of float64
			return "0.5", err == nil
		}
		return strconv.FormatFloat(x*1.1, 'g', -1, 64), err == nil
	}
	return "", false
}

// add notes a change of so many bytes at a place.
func (f *finder) add(about ast.Node, at token.Pos, size int, other string) {
	from := f.fset.Position(at).Offset
	text := slices.Concat(f.text[:from], []byte(other), f.text[from+size:])
	was := string(f.text[from : from+size])
	name := fmt.Sprintf("%s %s: %s: %s -> %s", f.file, f.within, f.written(about), was, other)
	f.seen[name]++
	if n := f.seen[name]; n > 1 {
		name += fmt.Sprintf(" (%d)", n)
	}
	f.found = append(f.found, change{f.file, f.fset.Position(at).Line, name, text})
}

// written is a node on one line, cut where it is long.
func (f *finder) written(n ast.Node) string {
	var b strings.Builder
	if err := printer.Fprint(&b, f.fset, n); err != nil {
		panic(err)
	}
	text := strings.Join(strings.Fields(b.String()), " ")
	if r := []rune(text); len(r) > 80 {
		text = string(r[:77]) + "..."
	}
	return text
}

// children lists the nodes directly under one, without types and tags.
func children(n ast.Node) func(func(ast.Node) bool) {
	return func(yield func(ast.Node) bool) {
		more := true
		ast.Inspect(n, func(c ast.Node) bool {
			if c == n {
				return true
			}
			if c == nil || !more {
				return false
			}
			switch c.(type) {
			case *ast.ArrayType, *ast.FuncType, *ast.StructType, *ast.MapType, *ast.InterfaceType:
				return false
			}
			more = yield(c)
			return false
		})
	}
}
