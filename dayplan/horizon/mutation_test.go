package horizon_test

import (
	"encoding/json"
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

var mutate = flag.Bool("mutate", false, "make typical mistakes in the source and see that the tests find each")

// mutations are typical mistakes: in a file a text is replaced once.
var mutations = []struct{ name, file, old, wrong string }{
	{"pieces of a day, not up to it", "option.go", "c.Day > l.day {", "c.Day != l.day {"},
	{"pieces before they come", "option.go", "stock[d+1] != stock[d] {", "false {"},
	{"one piece more than there is", "search.go", "out[i] > k.stock[i] {", "out[i] > k.stock[i]+1 {"},
	{"an order twice", "option.go", "c.Day != day || c.Orders&o.set != 0 {", "c.Day != day {"},
	{"an order left out costs nothing", "option.go", "o.key += int64((whole &^ o.set).Count()) * k.held", "o.key += 0 * int64((whole &^ o.set).Count()) * k.held"},
	{"what takes less is left out", "option.go", "if n > b[i] {", "if n < b[i] {"},
	{"use not looked at when options are left out", "option.go", "case slices.ContainsFunc(out[from:], func(b *option) bool { return noMore(b.use, o.use) }):", "case len(out) > from:"},
	{"options of other orders compared", "option.go", "from = len(out)", "from = 0"},
	{"stock shared out twice", "search.go", "out[i] = a[i] + b[i];", "out[i] = max(a[i], b[i]);"},
	{"states that take the same: the first stays", "search.go", "if key < was.key {", "if key < was.key && false {"},
	{"states compared by their key alone", "search.go", "func(b *state) bool { return noMore(b.use, s.use) }", "func(b *state) bool { return b.key < s.key }"},
	{"scarce pieces priced but not counted", "search.go", "sum, over := -dot(lambda, k.stock), make", "sum, over := 0*dot(lambda, k.stock), make"},
	{"a bound without what the stock is worth", "search.go", "k.paid = dot(k.lambda, k.stock)", "k.paid = 0 * dot(k.lambda, k.stock)"},
	{"a bound of the units before", "search.go", "k.rest[u+1]-k.paid) >= below", "k.rest[u]-k.paid) >= below"},
	{"options left out that the best plan has", "search.go", "k.rest[0]-k.paid-least+o.priced", "k.rest[0]-k.paid-0*least+o.priced"},
	{"what was cut is forgotten", "search.go", "return out[:most], true", "return out[:most], false"},
	{"stopped, and yet proven", "search.go", "k.cut = cut || k.lost\n\tif better", "k.cut = k.lost\n\tif better"},
	{"days waited do not count", "search.go", "b := newSearch(p, s)", "b := newSearch(p, s.ofMoney())"},
	{"days waited before money", "horizon.go", "return c.Cost*s.money + int64(c.Waits)*s.waits", "return c.Cost*s.money + int64(c.Waits)*s.waits*1000"},
	{"a bound rounded up too far", "horizon.go", "return (key + s.money - 1) / s.money * s.money", "return (key/s.money + 2) * s.money"},
	{"a bound by what columns say, not by what is possible", "horizon.go", "out[i].Cost, out[i].Use = out[i].Least, nil", "out[i].Use = nil"},
	{"missing columns forgotten", "horizon.go", "bound = k.proved; !s.exact || p.Loose {", "bound = k.proved; !s.exact {"},
	{"proven although columns are missing", "horizon.go", "&& !p.Loose && s.exact", "&& s.exact"},
}

// Each mistake makes some of the quick tests fail. The source is replaced for the compiler alone; the files stay as they are.
func TestMistakesAreCaught(t *testing.T) {
	if !*mutate {
		t.Skip("takes minutes, since each mistake is compiled and tested: make mutate")
	}
	for _, m := range mutations {
		t.Run(m.name, func(t *testing.T) {
			path, err := filepath.Abs(m.file)
			if err != nil {
				t.Fatal(err)
			}
			source, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			if n := strings.Count(string(source), m.old); n != 1 {
				t.Fatalf("%s holds %q %d times: the mistake must be written anew", m.file, m.old, n)
			}
			dir := t.TempDir()
			changed, overlay := filepath.Join(dir, m.file), filepath.Join(dir, "overlay.json")
			replace, err := json.Marshal(map[string]map[string]string{"Replace": {path: changed}})
			if err != nil {
				t.Fatal(err)
			}
			for name, text := range map[string][]byte{changed: []byte(strings.Replace(string(source), m.old, m.wrong, 1)), overlay: replace} {
				if err := os.WriteFile(name, text, 0o600); err != nil {
					t.Fatal(err)
				}
			}
			out, err := exec.CommandContext(t.Context(), "go", "test", "-short", "-failfast", "-overlay", overlay, ".").CombinedOutput()
			switch {
			case err == nil:
				t.Errorf("not found: %q for %q", m.wrong, m.old)
			case !strings.Contains(string(out), "--- FAIL"):
				t.Errorf("it did not come to a failed test: %s", out)
			}
		})
	}
}
