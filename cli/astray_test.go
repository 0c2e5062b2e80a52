package cli

import (
	"io"
	"slices"
	"testing"

	"github.com/alecthomas/kong"
)

// Every command below another is found by its name alone, wherever it is typed, unless the name is one at the top; a slip in it, too.
func TestAStrayCommandIsToldWhereItLives(t *testing.T) {
	var a app
	parser, err := grammar(&a, io.Discard, io.Discard)
	if err != nil {
		t.Fatal(err)
	}
	named := map[string][]string{}
	_ = kong.Visit(parser.Model.Node, func(node kong.Visitable, next kong.Next) error {
		if n, ok := node.(*kong.Node); ok && n.Type == kong.CommandNode {
			named[n.Name] = append(named[n.Name], commandOf(n.FullPath()))
		}
		return next(nil)
	})
	if len(named) < 100 {
		t.Fatalf("only %d names of commands were found", len(named))
	}
	for name, paths := range named {
		got := astray(parser.Model.Node, name)
		if len(got) != min(len(paths), mostAstray) || !slices.ContainsFunc(got, func(p string) bool { return slices.Contains(paths, p) }) {
			t.Errorf("%q is offered %q, it lives at %q", name, got, paths)
		}
		if slip := name[:len(name)-2] + name[len(name)-1:] + name[len(name)-2:len(name)-1]; len(name) > 4 && named[slip] == nil {
			if got := astray(parser.Model.Node, slip); len(got) == 0 {
				t.Errorf("%q is offered nothing", slip)
			}
		}
	}
	if got := astray(parser.Model.Node, "zzzzzz"); len(got) > 0 {
		t.Errorf("nonsense is offered %q", got)
	}
}

// Worked by hand.
func TestSlips(t *testing.T) {
	for pair, want := range map[[2]string]int{
		{"year", "year"}: 0, {"yaer", "year"}: 1, {"yer", "year"}: 1, {"years", "year"}: 1, {"tear", "year"}: 1, {"", "tax"}: 3, {"owed", "year"}: 4, {"żear", "year"}: 1,
	} {
		if got := slips(pair[0], pair[1]); got != want {
			t.Errorf("%q for %q: %d slips, want %d", pair[0], pair[1], got, want)
		}
	}
}
