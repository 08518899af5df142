package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
)

// source is a package: its folder, its name to the go command, its files
// without tests.
type source struct {
	Dir        string
	ImportPath string
	GoFiles    []string
}

// find asks the go command for the packages of the patterns.
func find(patterns []string) (out []source, err error) {
	list := exec.Command("go", append([]string{"list", "-json=Dir,ImportPath,GoFiles"}, patterns...)...)
	list.Stderr = os.Stderr
	text, err := list.Output()
	if err != nil {
		return nil, err
	}
	for d := json.NewDecoder(bytes.NewReader(text)); ; {
		var s source
		if err := d.Decode(&s); errors.Is(err, io.EOF) {
			return out, nil
		} else if err != nil {
			return nil, err
		}
		out = append(out, s)
	}
}

// fault is one change of a file: the bytes from, to are written anew.
type fault struct {
	pkg      source
	file     string
	line     int
	from, to int
	old, new string
}

// String is where the fault is and what it changes.
func (f fault) String() string {
	return fmt.Sprintf("%s/%s:%d: %s -> %s", f.pkg.ImportPath, filepath.Base(f.file), f.line, f.old, f.new)
}

// faults are all the changes that could be made to a package.
func faults(pkg source) (out []fault, err error) {
	for _, name := range pkg.GoFiles {
		files := token.NewFileSet()
		file := filepath.Join(pkg.Dir, name)
		tree, err := parser.ParseFile(files, file, nil, 0)
		if err != nil {
			return nil, err
		}
		idle := map[ast.Node]bool{}
		ast.Inspect(tree, func(n ast.Node) bool {
			for _, e := range unread(n) {
				idle[e] = true
			}
			if idle[n] {
				return false
			}
			for _, c := range changes(n) {
				p := files.Position(c.at)
				out = append(out, fault{pkg, file, p.Line, p.Offset, p.Offset + len(c.old), c.old, c.new})
			}
			return quoted(n)
		})
	}
	return out, nil
}

// quoted reports whether to look inside a node: imports and types hold no rules.
func quoted(n ast.Node) bool {
	switch n.(type) {
	case *ast.ImportSpec, *ast.ArrayType, *ast.StructType, *ast.FuncType:
		return false
	}
	return true
}

// unread are the parts of a node that no caller can see, so that a fault there is
// none: the number beside false or err in a return, which says nothing by the
// language's custom, and the capacity of a make.
func unread(n ast.Node) []ast.Expr {
	switch n := n.(type) {
	case *ast.ReturnStmt:
		last := len(n.Results) - 1
		if last < 1 {
			return nil
		}
		if id, ok := n.Results[last].(*ast.Ident); ok && (id.Name == "false" || id.Name == "err") {
			return slices.DeleteFunc(slices.Clone(n.Results[:last]), func(e ast.Expr) bool { _, literal := e.(*ast.BasicLit); return !literal })
		}
	case *ast.CallExpr:
		if id, ok := n.Fun.(*ast.Ident); ok && id.Name == "make" && len(n.Args) == 3 {
			return n.Args[2:]
		}
	}
	return nil
}

// change is what could stand for the text at a place.
type change struct {
	at       token.Pos
	old, new string
}

// operators are what a slip of the hand makes of an operator.
var operators = map[token.Token]string{
	token.LSS: "<=", token.LEQ: "<", token.GTR: ">=", token.GEQ: ">", token.EQL: "!=", token.NEQ: "==",
	token.LAND: "||", token.LOR: "&&", token.ADD: "-", token.SUB: "+", token.MUL: "/", token.QUO: "*",
}

func changes(n ast.Node) []change {
	switch n := n.(type) {
	case *ast.BinaryExpr:
		if s, ok := n.Y.(*ast.BasicLit); ok && s.Kind == token.STRING && n.Op == token.ADD {
			return nil
		}
		if new, ok := operators[n.Op]; ok {
			return []change{{n.OpPos, n.Op.String(), new}}
		}
	case *ast.UnaryExpr:
		if n.Op == token.NOT {
			return []change{{n.OpPos, "!", ""}}
		}
	case *ast.BasicLit:
		if new := number(n); new != "" {
			return []change{{n.Pos(), n.Value, new}}
		}
	case *ast.Ident:
		if n.Name == "true" {
			return []change{{n.Pos(), "true", "false"}}
		} else if n.Name == "false" {
			return []change{{n.Pos(), "false", "true"}}
		}
	}
	return nil
}

// number is another number for a literal: a whole one more, a broken one four
// tenths more; "" if it is no plain number.
func number(l *ast.BasicLit) string {
	switch l.Kind {
	case token.INT:
		if v, err := strconv.Atoi(l.Value); err == nil {
			return strconv.Itoa(v + 1)
		}
	case token.FLOAT:
		if v, err := strconv.ParseFloat(l.Value, 64); err == nil && !strings.ContainsAny(l.Value, "eE") {
			if v == 0 {
				return "0.5"
			}
			return strconv.FormatFloat(1.4*v, 'g', -1, 64)
		}
	}
	return ""
}
