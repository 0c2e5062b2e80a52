package solander_test

import (
	"go/ast"
	"maps"
	"slices"
	"strings"
	"testing"
)

// TestErrorsAreReadBeforeValues holds that no list that comes with an error is walked or picked from before the error
// was looked at: a list that was half read when the disk or the time failed once broke a page so.
func TestErrorsAreReadBeforeValues(t *testing.T) {
	looked := 0
	rooms := house(t)
	for _, room := range slices.Sorted(maps.Keys(rooms)) {
		if slices.Contains(helpers, room) { // a test compares what it got and the error afterwards
			continue
		}
		for _, f := range rooms[room] {
			ast.Inspect(f.syntax, func(n ast.Node) bool {
				for _, list := range statements(n) {
					for i := range max(0, len(list)-1) {
						values := besideError(list[i])
						if len(values) == 0 {
							continue
						}
						looked++
						if next := list[i+1]; walks(next, values) {
							t.Errorf("%s: what line %d gave is used before its error was looked at", f.path, f.fset.Position(next.Pos()).Line-1)
						}
					}
				}
				return true
			})
		}
	}
	if looked < 500 {
		t.Errorf("only %d assignments with an error were looked at", looked)
	}
}

// TestRowsAreReadToTheirError holds that whoever walks the rows of a query asks whether they ended by an error.
func TestRowsAreReadToTheirError(t *testing.T) {
	walks := 0
	var files []file
	for room, own := range house(t) {
		if room == "store" || strings.HasPrefix(room, "store/") {
			files = append(files, own...)
		}
	}
	for _, f := range files {
		for _, d := range f.syntax.Decls {
			fn, ok := d.(*ast.FuncDecl)
			if !ok || fn.Body == nil || !calls(fn.Body, "rows", "Next") {
				continue
			}
			walks++
			if !calls(fn.Body, "rows", "Err") || !calls(fn.Body, "rows", "Close") {
				t.Errorf("%s: %s does not ask rows.Err, or does not close them", f.path, fn.Name.Name)
			}
		}
	}
	if walks == 0 {
		t.Error("nothing walks the rows of a query: nothing was tested")
	}
}

// statements are the lists of statements that stand directly in a node.
func statements(n ast.Node) [][]ast.Stmt {
	switch n := n.(type) {
	case *ast.BlockStmt:
		return [][]ast.Stmt{n.List}
	case *ast.CaseClause:
		return [][]ast.Stmt{n.Body}
	case *ast.CommClause:
		return [][]ast.Stmt{n.Body}
	}
	return nil
}

// besideError are the names that an assignment gives values to together with an error.
func besideError(s ast.Stmt) (values []string) {
	a, ok := s.(*ast.AssignStmt)
	if !ok || len(a.Lhs) < 2 || len(a.Rhs) != 1 {
		return nil
	}
	last, ok := a.Lhs[len(a.Lhs)-1].(*ast.Ident)
	if !ok || last.Name != "err" {
		return nil
	}
	for _, l := range a.Lhs[:len(a.Lhs)-1] {
		if id, ok := l.(*ast.Ident); ok && id.Name != "_" {
			values = append(values, id.Name)
		}
	}
	return values
}

// walks reports whether a statement ranges over one of the names, or picks an element of it, and does not look at the
// error first.
func walks(s ast.Stmt, values []string) bool {
	named := func(x ast.Expr) bool {
		id, ok := x.(*ast.Ident)
		return ok && slices.Contains(values, id.Name)
	}
	if r, ok := s.(*ast.RangeStmt); ok {
		return named(r.X)
	}
	found, asked := false, false
	ast.Inspect(s, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.IndexExpr:
			found = found || named(n.X)
		case *ast.Ident:
			asked = asked || n.Name == "err"
		}
		return true
	})
	return found && !asked
}

// calls reports whether a method of a name is called in a node.
func calls(n ast.Node, on, method string) bool {
	found := false
	ast.Inspect(n, func(n ast.Node) bool {
		s, ok := n.(*ast.SelectorExpr)
		if ok && s.Sel.Name == method {
			id, ok := s.X.(*ast.Ident)
			found = found || ok && id.Name == on
		}
		return !found
	})
	return found
}
