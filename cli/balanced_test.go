package cli_test

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"solander/internal/hledger"
	"solander/yearly"
)

// balanced lets another program work out the balances of a journal, holds what the year of the last output says against them, and writes them:
// balanced books.journal, after solander earnings year 2025 --json.
func balanced(of testing.TB) func(ts *testscript.TestScript, neg bool, args []string) {
	return func(ts *testscript.TestScript, neg bool, args []string) {
		if neg || len(args) != 1 {
			ts.Fatalf("usage: balanced books.journal")
		}
		var v struct{ Years []yearly.Year }
		ts.Check(json.Unmarshal([]byte(ts.ReadFile("stdout")), &v))
		if len(v.Years) != 1 {
			ts.Fatalf("%d currencies, want one", len(v.Years))
		}
		t := inStory{of, ts}
		balances := hledger.Balances(t, []byte(ts.ReadFile(args[0])))
		hledger.SameYear(t, v.Years[0], balances)
		for _, name := range slices.Sorted(maps.Keys(balances)) {
			fmt.Fprintf(ts.Stdout(), "%s %s\n", name, balances[name])
		}
	}
}

// inStory fails the story that it runs in, and says there what it says.
type inStory struct {
	testing.TB
	ts *testscript.TestScript
}

func (s inStory) Helper()                           {}
func (s inStory) Logf(format string, args ...any)   { s.ts.Logf(format, args...) }
func (s inStory) Errorf(format string, args ...any) { s.ts.Fatalf(format, args...) }
func (s inStory) Fatalf(format string, args ...any) { s.ts.Fatalf(format, args...) }
func (s inStory) Fatal(args ...any)                 { s.ts.Fatalf("%s", fmt.Sprint(args...)) }
