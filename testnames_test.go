package solander_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// apart are functions of tests that begin goroutines which share nothing of ours, each with the reason.
var apart = map[string]string{
	"cli:onScreen": "it reads what another program writes",
	"cmd/solander:TestCallsWhileTheProgramIsKilled": "the calls go to other programs",
	"cmd/solander:takeAll":                          "the calls go to other programs",
	"cmd/solander:lastTube":                         "the forms go to other programs",
	"cmd/solander:oneForm":                          "the forms go to other programs",
	"intake/xlsx:peak":                              "it reads how much memory is in use",
	"packing/check:random":                          "each plans problems of its own; that planning several at once is sound is raced in dayplan and planning",
}

// scripts/test.sh names rooms, and tests of rooms: a name that nothing has any more would leave its test out and say nothing, and
// so would a test in which work runs side by side and which nobody named.
func TestTheScriptOfTheTestsNamesWhatIsThere(t *testing.T) {
	b, err := os.ReadFile("scripts/test.sh")
	if err != nil {
		t.Fatal(err)
	}
	long := regexp.MustCompile(`(?m)^long='(.+)'$`).FindSubmatch(b)
	if long == nil {
		t.Fatal("no rooms begin first")
	}
	for _, room := range strings.Fields(string(long[1])) {
		if len(testsOf(t, room)) == 0 {
			t.Errorf("%s has no tests, and is to begin first", room)
		}
	}
	raced := map[string]bool{}
	for _, m := range regexp.MustCompile(`(?m)^\t'\./([a-z/]+):([\w|]+)'$`).FindAllSubmatch(b, -1) {
		room := string(m[1])
		tests := testsOf(t, room)
		for _, name := range strings.Split(string(m[2]), "|") {
			if raced[room+":"+name] = true; tests[name] == nil {
				t.Errorf("%s has no test %s, which is to run with the race detector", room, name)
			}
		}
	}
	contract := regexp.MustCompile(`(?m)^contract='(.+)'$`).FindSubmatch(b)
	if contract == nil {
		t.Fatal("nothing of the store's contract is raced")
	}
	for _, rule := range strings.Split(string(contract[1]), "|") {
		if !strings.Contains(rules(t), strings.ReplaceAll(rule, "_", " ")) {
			t.Errorf("the contract of the store has no rule %q, which is to run with the race detector", rule)
		}
	}
	if len(raced) == 0 {
		t.Fatal("no test is raced")
	}
	found, excepted := 0, 0
	for _, room := range rooms(t) {
		tests := testsOf(t, room)
		for name, f := range tests {
			if at := room + ":" + name; apart[at] != "" {
				if excepted++; f.Body == nil || !beginsOne(f.Body, nil) {
					t.Errorf("%s needs no exception", at)
				}
				delete(tests, name)
			}
		}
		for _, name := range sideBySide(tests) {
			found++
			if at := room + ":" + name; !raced[at] {
				t.Errorf("in %s work runs side by side: scripts/test.sh is to name it, so that it runs with the race detector", at)
			}
		}
	}
	if found == 0 {
		t.Error("no test does several things at once: nothing was looked for")
	}
	if excepted != len(apart) {
		t.Errorf("%d exceptions, and %d such functions", len(apart), excepted)
	}
}

// rules is the text of what lists the rules of the store's contract.
func rules(t *testing.T) string {
	t.Helper()
	var all strings.Builder
	for _, name := range []string{"run.go", "register/register.go", "book/book.go", "people/people.go", "shifts/shifts.go"} {
		b, err := os.ReadFile("studio/storetest/" + name)
		if err != nil {
			t.Fatal(err)
		}
		all.Write(b)
	}
	return all.String()
}

// testsOf is the functions of the tests of a room, by name.
func testsOf(t *testing.T, room string) map[string]*ast.FuncDecl {
	t.Helper()
	files, err := filepath.Glob(room + "/*_test.go")
	if err != nil {
		t.Fatal(err)
	}
	all := map[string]*ast.FuncDecl{}
	for _, name := range files {
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range file.Decls {
			if f, ok := d.(*ast.FuncDecl); ok {
				all[f.Name.Name] = f
			}
		}
	}
	return all
}

// sideBySide names the tests that begin a goroutine, themselves or by a function of their room, in their order.
func sideBySide(functions map[string]*ast.FuncDecl) []string {
	begins := map[string]bool{}
	for more := true; more; {
		more = false
		for name, f := range functions {
			if !begins[name] && f.Body != nil && beginsOne(f.Body, begins) {
				begins[name], more = true, true
			}
		}
	}
	var out []string
	for _, name := range slices.Sorted(maps.Keys(begins)) {
		if strings.HasPrefix(name, "Test") {
			out = append(out, name)
		}
	}
	return out
}

// beginsOne reports whether a body has a go statement, hands a function to a WaitGroup, or calls one of those that do.
func beginsOne(body ast.Node, others map[string]bool) (found bool) {
	ast.Inspect(body, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.GoStmt:
			found = true
		case *ast.CallExpr:
			switch f := n.Fun.(type) {
			case *ast.Ident:
				found = found || others[f.Name]
			case *ast.SelectorExpr:
				if f.Sel.Name == "Go" && len(n.Args) == 1 {
					_, literal := n.Args[0].(*ast.FuncLit)
					found = found || literal
				}
			}
		}
		return !found
	})
	return found
}

// rooms are the folders that have tests.
func rooms(t *testing.T) []string {
	t.Helper()
	have := map[string]bool{}
	err := filepath.WalkDir(".", func(path string, d fs.DirEntry, err error) error {
		if err == nil && d.IsDir() && (d.Name() == "node_modules" || d.Name() == ".git" || d.Name() == "tools") {
			return filepath.SkipDir
		}
		if strings.HasSuffix(path, "_test.go") {
			have[filepath.ToSlash(filepath.Dir(path))] = true
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return slices.Sorted(maps.Keys(have))
}
