package solander_test

import (
	"go/ast"
	"slices"
	"testing"
)

// A room of use cases asks the store for what its own interface says: the whole transaction is looked at where its view is made
// (In, or asked), and nowhere else.
func TestRoomsSeeTheirOwnStore(t *testing.T) {
	rooms := house(t)
	views := 0
	for _, room := range useCases {
		if room == "studio" || room == "dayplan" {
			continue
		}
		for _, f := range rooms[room] {
			for _, d := range f.syntax.Decls {
				fn, ok := d.(*ast.FuncDecl)
				if !ok {
					continue
				}
				for _, n := range wholeTx(fn) {
					if views++; !slices.Contains([]string{"In", "asked"}, fn.Name.Name) {
						t.Errorf("%s looks at the whole transaction", f.fset.Position(n.Pos()))
					}
				}
			}
		}
	}
	if views < 8 {
		t.Errorf("only %d views are made of a transaction: nothing was tested", views)
	}
}

// wholeTx is where a function takes the transaction out of a turn.
func wholeTx(fn *ast.FuncDecl) (at []ast.Node) {
	ast.Inspect(fn, func(n ast.Node) bool {
		s, ok := n.(*ast.SelectorExpr)
		if !ok || s.Sel.Name != "Tx" {
			return true
		}
		if x, ok := s.X.(*ast.Ident); !ok || x.Name != "studio" { // studio.Tx is the type
			at = append(at, n)
		}
		return true
	})
	return at
}
