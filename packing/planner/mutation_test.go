package planner_test

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

// mutations are typical mistakes: in a file, below the module's root, a text is replaced once.
var mutations = []struct{ name, file, old, wrong string }{
	{"a measure equal to the limit does not fit", "packing/planner/fits.go", "case long+extra > it.long:", "case long+extra >= it.long:"},
	{"clearance counted once", "packing/planner/fits.go", "extra := 2 * l.Clearance.Sides", "extra := l.Clearance.Sides"},
	{"board without its clearance", "packing/planner/fits.go", "s := 2 * l.Clearance.Sides\n\tnames := ruleNames[it.Kind]", "s := 0 * l.Clearance.Sides\n\tnames := ruleNames[it.Kind]"},
	{"a soft bag that does not bulge", "packing/planner/fits.go", "if it.Soft {", "if it.Soft && false {"},
	{"thickness limit forgotten", "packing/planner/fits.go", "case it.Thickest > 0 && room > it.Thickest:", "case it.Thickest > 0 && thick > 2*it.Thickest:"},
	{"empty height not looked at", "packing/planner/fits.go", "if l.Empty != nil && height-need > *l.Empty {", "if l.Empty != nil && height-need > *l.Empty && height < 0 {"},
	{"inside for outside", "packing/planner/fold.go", "s.long, s.short, s.thick = it.outLong, it.outShort, s.thick+2*it.Wall", "s.long, s.short, s.thick = it.long, it.short, s.thick+2*it.Wall"},
	{"one wall", "packing/planner/fold.go", "it.outShort, s.thick+2*it.Wall", "it.outShort, s.thick+it.Wall"},
	{"one board's thickness for two", "packing/planner/fold.go", "s.long, s.short = it.long, it.short\n\t\ts.thick += measure.Length(pieces) * it.Caliper", "s.long, s.short = it.long, it.short\n\t\ts.thick += it.Caliper"},
	{"packaging weighs nothing", "packing/planner/state.go", "s.mass += measure.Mass(count) * it.Mass", "s.mass += 0 * it.Mass"},
	{"stock used twice", "packing/planner/split.go", "out[i] = a[i] + b[i]", "out[i] = max(a[i], b[i])"},
	{"one more than the stock", "packing/planner/split.go", "if int(out[i]) > *t.Stock {", "if int(out[i]) > *t.Stock+1 {"},
	{"issued class forgotten", "packing/planner/state.go", "s.issued |= it.issued", "s.issued |= 0"},
	{"only the long side lies along the axis", "sheet/wind.go", "\tif along > axis {\n\t\talong, across = across, along\n\t}\n", ""},
	{"one end gap", "packing/planner/layers.go", "need := s.long + 2*l.Clearance.Ends", "need := s.long + l.Clearance.Ends"},
	{"the wrap's core forgotten", "packing/planner/layers.go", "return max(x.facts.core, x.w.Core)", "return x.facts.core"},
	{"the largest cut only", "packing/planner/layers.go", "for _, h := range it.cuts {", "for _, h := range it.cuts[len(it.cuts)-1:] {"},
	{"most sheets of a wrap", "packing/planner/pick.go", "w.Most > 0 && f.n > w.Most", "w.Most > 0 && f.n > w.Most+1"},
	{"over is not from", "packing/planner/house.go", "return limit == nil || n > *limit", "return limit == nil || n >= *limit"},
	{"heavier is never cheaper", "packing/planner/fine.go", "f.mass = f.mass || k.p.Rules[i].When.MassTo != nil", "f.mass = f.mass || k.p.Rules[i].When.MassTo != nil && false"},
	{"the arrival is not looked at", "packing/planner/way.go", "return by.IsZero() || o.Service.Days != nil && !o.arrives.After(by)", "return true"},
	{"the first split only", "packing/planner/cheapest.go", "for s := rest; ; s = (s - 1) & rest {", "for s := rest; ; s = 0 {"},
	{"every other part of a set", "packing/planner/cheapest.go", "\t\t\tsub[last]--\n\t\t\tat -= step", "\t\t\tsub[last]--\n\t\t\tat -= step * (1 + sub[last]%2)"},
	{"all surcharges of a group", "tariff/surcharge.go", "if !all[i].applies(p) || outdone(all, i, p) {", "if !all[i].applies(p) {"},
	{"dimensional mass forgotten", "tariff/price.go", "billed = max(billed, d.Mass(p.Size, p.Form))", "billed = max(billed, 0*d.Mass(p.Size, p.Form))"},
	{"a bound too high by the last sheet", "packing/planner/knapsack.go", "return was + int64(q)\n", "return was\n"},
	{"a bound without the price of cover's first step", "packing/planner/knapsack.go", "out := []coverStep{{min(c.Included, all), 0}}", "out := []coverStep{{min(c.Included, all), 500}}"},
	{"the promise of the first order alone", "packing/planner/member.go", "case day.IsZero() || m.ArriveBy.Before(day) != f.any:", "case day.IsZero():"},
	{"cover for the first order's sheets alone", "packing/planner/order.go", "f.value += int64(n) * s.Value", "f.value += int64(n) * s.Value * int64(1-min(1, o.groups[g].member))"},
	{"one of the orders whole is enough", "packing/planner/member.go", "n += m.total\n\t\t} else", "n = max(n, m.total)\n\t\t} else"},
	{"house rules of the first order alone", "packing/planner/member.go", "if f.orders.has(i) && holds(", "if (i == 0 || f.any) && f.orders.has(i) && holds("},
	{"a lead above the price of some step of cover", "packing/planner/net.go", "n.least = slices.Min(n.lead)", "n.least = slices.Max(n.lead)"},
	{"a slot that is the best by the prices left out", "packing/planner/mixture.go", "value+s.at.z-was, m)", "value+s.at.z-was+300*scale, m)"},
	{"sheets side by side without the distance between them", "packing/planner/tiers.go", "gap := q.s.between", "gap := 0 * q.s.between"},
	{"sheets side by side on one another", "packing/planner/tiers.go", "x = max(x, o.X+o.Width)", "x = max(x, o.X)"},
	{"a tier as thick as its thinnest sheet", "packing/planner/piles.go", "rest.thick + t.lots[0].thick", "rest.thick + t.lots[len(t.lots)-1].thick"},
	{"more tiers asked for than the area needs", "packing/planner/piles.go", "int64(b.tiers)*room < area", "int64(b.tiers)*room < 3*area"},
	{"one more side by side than may be", "packing/planner/piles.go", "pieces < d.q.s.beside", "pieces <= d.q.s.beside"},
	{"a gap for each sheet, not for each tier", "packing/planner/beside.go", "return s.tiers - 1", "return x.facts.n - 1"},
	{"the room beside one another of a soft bag that lies flat", "packing/planner/footing.go", "min(r.long, f.bag.long-t), min(r.short, f.bag.short-t)", "min(r.long, f.bag.long-0*t), min(r.short, f.bag.short-0*t)"},
	{"what a soft bag loses at its edges taken from the tissue, too", "packing/planner/footing.go", "min(r.long, f.bag.long-t), min(r.short, f.bag.short-t)", "min(r.long, f.bag.long)-t, min(r.short, f.bag.short)-t"},
	{"tissue not looked at for the room beside one another", "packing/planner/ground.go", "f.long, f.short = min(f.long, long), min(f.short, short)", "f.long, f.short = long, short"},
	{"a base cut a step too short", "packing/planner/base.go", "if s >= least {", "if s+50_000_000 >= least {"},
	{"a cut base as large outside as a whole one", "packing/planner/base.go", "l, w = l-(i.Length-length), w-(i.Width-width)", "l, w = l-0*(i.Length-length), w-0*(i.Width-width)"},
	{"a bound for sheets that all lie on one another", "packing/planner/templates.go", "a.class.thick[g] /= measure.Length(a.inTier)", "a.class.thick[g] /= 1"},
	{"scarce packaging priced but not counted", "packing/planner/lagrange.go", "sum -= lambda[j] * int64(*t.Stock)", "sum -= 0 * lambda[j] * int64(*t.Stock)"},
}

// Each mistake makes some of the quick tests fail. The source is replaced for the compiler alone; the files stay
// as they are.
func TestMistakesAreCaught(t *testing.T) {
	if !*mutate {
		t.Skip("takes minutes, since each mistake is compiled and tested: make mutate")
	}
	root, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	if len(mutations) < 20 {
		t.Fatalf("only %d mistakes", len(mutations))
	}
	for _, m := range mutations {
		t.Run(m.name, func(t *testing.T) {
			out, err := testWith(t, root, m.file, m.old, m.wrong)
			switch {
			case err == nil:
				t.Errorf("not found: in %s %q for %q", m.file, m.wrong, m.old)
			case !strings.Contains(out, "--- FAIL"):
				t.Errorf("it did not come to a failed test: %s", out)
			}
		})
	}
}

// testWith runs the quick tests with a text of a file replaced.
func testWith(t *testing.T, root, file, old, wrong string) (string, error) {
	t.Helper()
	path := filepath.Join(root, file)
	source, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(string(source), old); n != 1 {
		t.Fatalf("%s holds %q %d times: the mistake must be written anew", file, old, n)
	}
	dir := t.TempDir()
	changed := filepath.Join(dir, filepath.Base(file))
	overlay, err := json.Marshal(map[string]map[string]string{"Replace": {path: changed}})
	if err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string][]byte{changed: []byte(strings.Replace(string(source), old, wrong, 1)), filepath.Join(dir, "overlay.json"): overlay} {
		if err := os.WriteFile(name, text, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	command := exec.CommandContext(t.Context(), "go", "test", "-failfast", "-overlay", filepath.Join(dir, "overlay.json"), "-run",
		"TestAgainstEveryPlan|TestEdges|TestMassAtTheStep|TestTheExample|TestBoundsAreBounds|TestMixturesFindTheBest|TestTooMuchIsScarce|TestTwoPrograms|TestNoParcelIsBelowItsTemplates|TestBoundsOfCombinedOrders|TestBothOrdersAreWhole|TestTheHeavierMayBeCheaper|TestSideBySide|TestTheBase|TestSecondOpinion|TestMixed", "./packing/planner")
	command.Dir = root
	out, err := command.CombinedOutput()
	return string(out), err
}
