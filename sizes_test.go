package solander_test

import (
	"go/ast"
	"slices"
	"testing"
)

// Bounds of what one person can hold in her head: lines of a room without its tests, and methods that one type declares.
const (
	mostLines   = 3000
	mostAt90    = 1500 // lines of nine rooms in ten
	mostMethods = 80
)

func TestRoomsStaySmall(t *testing.T) {
	var sizes []int
	for room, files := range house(t) {
		lines := 0
		for _, f := range files {
			lines += f.lines
		}
		if sizes = append(sizes, lines); lines > mostLines {
			t.Errorf("%s has %d lines: divide it, at most %d", room, lines, mostLines)
		}
	}
	slices.Sort(sizes)
	if n := len(sizes); sizes[n*9/10] > mostAt90 {
		t.Errorf("nine rooms in ten have up to %d lines, of %d rooms; at most %d", sizes[n*9/10], n, mostAt90)
	}
}

// Methods count where they are declared: what a type has by embedding stands on the small one.
func TestTypesStaySmall(t *testing.T) {
	seen := 0
	for room, files := range house(t) {
		methods := map[string]int{}
		for _, f := range files {
			countMethods(f.syntax, methods)
		}
		for name, n := range methods {
			if seen += n; n > mostMethods {
				t.Errorf("%s.%s declares %d methods: divide it, at most %d", room, name, n, mostMethods)
			}
		}
	}
	if seen < 1000 {
		t.Fatalf("only %d methods found: nothing was tested", seen)
	}
}

func countMethods(f *ast.File, methods map[string]int) {
	ast.Inspect(f, func(n ast.Node) bool {
		switch x := n.(type) {
		case *ast.FuncDecl:
			if x.Recv != nil {
				methods[receiver(x.Recv.List[0].Type)]++
			}
			return false
		case *ast.TypeSpec:
			if i, ok := x.Type.(*ast.InterfaceType); ok {
				for _, m := range i.Methods.List {
					methods[x.Name.Name] += len(m.Names)
				}
			}
		}
		return true
	})
}

// receiver is the name of the type that a method is declared on.
func receiver(e ast.Expr) string {
	switch x := e.(type) {
	case *ast.StarExpr:
		return receiver(x.X)
	case *ast.IndexExpr:
		return receiver(x.X)
	case *ast.IndexListExpr:
		return receiver(x.X)
	case *ast.Ident:
		return x.Name
	}
	return "?"
}
