package planner_test

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"solander/fault"
	"solander/internal/brute"
	"solander/packing"
	"solander/packing/check"
	"solander/packing/planner"
)

// conflictOf plans a problem and returns the ids of the rules that hold its first order together.
func conflictOf(t *testing.T, p packing.Problem) (ids []string, o packing.OrderPlan) {
	t.Helper()
	got := plan(t, p)
	if err := check.Plan(p, got); err != nil {
		t.Fatalf("the check finds: %v", err)
	}
	for _, c := range got.Orders[0].Conflict {
		ids = append(ids, c.ID)
	}
	return ids, got.Orders[0]
}

// quarrelsome is a usual studio with one order of one plain print.
func quarrelsome(t *testing.T) packing.Problem {
	t.Helper()
	p := usual(t)
	small := print(0)
	small.Grade = "plain"
	p.Orders = []packing.Order{{ID: "o", Destination: packing.Place{Country: "US", Postcode: "97201"}, Sheets: []packing.Sheet{small}}}
	return p
}

// House rules that contradict each other are named, and no others. The studio's print may
// go by ground or by priority.
func TestRulesInConflictAreNamed(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	classes := func(id string, only ...string) packing.Rule {
		return packing.Rule{ID: id, Text: id + " in words", Then: packing.Then{OnlyClasses: only}}
	}
	not := func(id string, classes ...string) packing.Rule {
		return packing.Rule{ID: id, Then: packing.Then{NotClasses: classes}}
	}
	p := quarrelsome(t)
	own, class := p.Rules, "ground"
	idle := packing.Rule{ID: "idle", Then: packing.Then{Tracking: false, NotClasses: []string{"pigeon"}}}
	abroad := packing.Rule{ID: "abroad", When: packing.When{Abroad: new(true)}, Then: packing.Then{OnlyClasses: []string{"pigeon"}}}
	for name, c := range map[string]struct {
		rules []packing.Rule
		want  []string
	}{
		"none":                      {nil, nil},
		"one alone":                 {[]packing.Rule{idle, classes("only", "pigeon"), abroad}, []string{"only"}},
		"two":                       {[]packing.Rule{classes("only", class), idle, abroad, not("never", class)}, []string{"only", "never"}},
		"the smallest set":          {[]packing.Rule{classes("only", class, "pigeon"), not("never", class), abroad, classes("just", "pigeon")}, []string{"just"}},
		"whatever their order":      {[]packing.Rule{not("never", class), classes("only", class)}, []string{"never", "only"}},
		"only the order's own zone": {[]packing.Rule{abroad, idle}, nil},
		"with one of the studio's":  {[]packing.Rule{not("never", "priority"), {ID: "grade", Then: packing.Then{OnlyClasses: []string{"priority", class}}}}, nil},
		"through the service":       {[]packing.Rule{not("never", class), {ID: "signed", Then: packing.Then{NotClasses: []string{"priority", "flat", "letter"}}}}, []string{"never", "signed"}},
	} {
		t.Run(name, func(t *testing.T) {
			q := p
			q.Rules = slices.Concat(own, c.rules)
			got, o := conflictOf(t, q)
			if d := cmp.Diff(c.want, got); d != "" {
				t.Errorf("%+v: %s", o.Reason, d)
			}
			for _, r := range o.Conflict {
				if r.ID == "only" && r.Text != "only in words" {
					t.Errorf("it is told as %q", r.Text)
				}
			}
		})
	}
}

// Where no way would be left without house rules either, no rule is blamed.
func TestNoRuleIsBlamedForTheShelf(t *testing.T) {
	p := readProblem(t, "one-print.json")
	p.Rules = append(p.Rules, packing.Rule{ID: "only", Then: packing.Then{OnlyClasses: []string{"pigeon"}}})
	for name, change := range map[string]func(*packing.Problem){
		"empty shelf": func(p *packing.Problem) { p.Shelf = nil },
		"no card":     func(p *packing.Problem) { p.Cards = nil },
		"no zone":     func(p *packing.Problem) { p.Orders[0].Destination = packing.Place{Country: "CA"} },
		"too large":   func(p *packing.Problem) { p.Orders[0].Sheets[0].Width *= 40 },
	} {
		q := clone(t, p)
		change(&q)
		if got, o := conflictOf(t, q); got != nil || o.Reason == nil {
			t.Errorf("%s: %v, %+v", name, got, o.Reason)
		}
	}
}

// A stopped computation names no rules and holds nothing up.
func TestConflictsStop(t *testing.T) {
	p := readProblem(t, "one-print.json")
	p.Rules = append(p.Rules, packing.Rule{ID: "only", Then: packing.Then{OnlyClasses: []string{"pigeon"}}})
	ctx, stop := context.WithCancel(context.Background())
	stop()
	got, err := planner.Plan(ctx, p, nil)
	if err != nil || len(got.Orders[0].Conflict) != 0 {
		t.Errorf("%v, %+v", err, got.Orders)
	}
}

// Random problems with random rules: by the rules named alone every way is barred, without any one of them some
// way is not, and no set of fewer rules bars every way; and when none is named none is to blame. Whether an order
// can go is found by trying everything.
func TestConflictsAgainstEveryWay(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	named := 0
	for seed := range uint64(700) {
		p := brute.Random(90_000 + seed)
		p.Rules = append(p.Rules, strict(seed, &p)...)
		if p.Check() != nil {
			continue
		}
		got := plan(t, p)
		if err := check.Plan(p, got); err != nil {
			t.Fatalf("problem %d: %v", seed, err)
		}
		for _, o := range got.Orders {
			if o.Parcels > 0 || o.Reason.Rule == "shelf.shared" {
				continue
			}
			at := slices.IndexFunc(p.Orders, func(x packing.Order) bool { return x.ID == o.ID })
			if len(o.Conflict) == 0 {
				if goes(p, at, nil) {
					t.Fatalf("problem %d, %s: it could go without rules, and none is named; %+v", seed, o.ID, o.Reason)
				}
				continue
			}
			named++
			var rules []packing.Rule
			for _, c := range o.Conflict {
				rules = append(rules, p.Rules[slices.IndexFunc(p.Rules, func(r packing.Rule) bool { return r.ID == c.ID })])
			}
			if goes(p, at, rules) {
				t.Fatalf("problem %d, %s: by %v it can go", seed, o.ID, o.Conflict)
			}
			smallest(t, p, at, nil, p.Rules, len(rules)-1)
		}
	}
	if named < 40 {
		t.Errorf("only %d orders were held by house rules: too few to mean something", named)
	}
}

// smallest fails when some set of at most so many more rules bars every way.
func smallest(t *testing.T, p packing.Problem, order int, chosen, rules []packing.Rule, most int) {
	t.Helper()
	if !goes(p, order, chosen) {
		t.Errorf("by fewer rules, %+v, the order cannot go either", chosen)
		return
	}
	if most == 0 {
		return
	}
	for i := range rules {
		smallest(t, p, order, slices.Concat(chosen, rules[i:i+1]), rules[i+1:], most-1)
	}
}

func goes(p packing.Problem, order int, rules []packing.Rule) bool {
	p.Orders, p.Rules = p.Orders[order:order+1], rules
	return brute.New(&p).Plan().Held == 0
}

// strict are rules that often quarrel.
func strict(seed uint64, p *packing.Problem) []packing.Rule {
	r := rand.New(rand.NewPCG(seed, 7))
	var classes []string
	for _, c := range p.Cards {
		for _, s := range c.Services {
			classes = append(classes, s.Class)
		}
	}
	pick := func() []string { return []string{classes[r.IntN(len(classes))]} }
	wrap := func() []string { return []string{p.Wraps[r.IntN(len(p.Wraps))].ID} }
	all := []packing.Rule{
		{ID: "q-only", Then: packing.Then{OnlyClasses: pick()}},
		{ID: "q-not", Then: packing.Then{NotClasses: pick()}},
		{ID: "q-wrap", Then: packing.Then{OnlyWraps: wrap()}},
		{ID: "q-never", Then: packing.Then{NotWraps: wrap()}},
		{ID: "q-whole", Then: packing.Then{Together: true}},
		{ID: "q-single", Then: packing.Then{SheetsMost: new(1)}},
		{ID: "q-signed", Then: packing.Then{Signature: true, FullCover: true}},
	}
	r.Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
	return all[:2+r.IntN(4)]
}

// The check finds a list of rules that is not true.
func TestTheCheckFindsAFalseConflict(t *testing.T) {
	if testing.Short() {
		t.Skip("long: make test runs it")
	}
	p, class := quarrelsome(t), "ground"
	p.Rules = append(p.Rules,
		packing.Rule{ID: "only", Then: packing.Then{OnlyClasses: []string{class}}},
		packing.Rule{ID: "idle", Then: packing.Then{NotClasses: []string{"pigeon"}}},
		packing.Rule{ID: "never", Then: packing.Then{NotClasses: []string{class}}})
	true1, _ := conflictOf(t, p)
	if d := cmp.Diff([]string{"only", "never"}, true1); d != "" {
		t.Fatal(d)
	}
	for name, wrong := range map[string][]packing.Conflict{
		"one is needless": {{ID: "only"}, {ID: "idle"}, {ID: "never"}},
		"one is missing":  {{ID: "only"}},
		"it is no rule":   {{ID: "nobody"}},
		"not in order":    {{ID: "never"}, {ID: "only"}},
		"in other words":  {{ID: "only", Text: "what?"}, {ID: "never"}},
		"twice":           {{ID: "only"}, {ID: "only"}, {ID: "never"}},
	} {
		got := planWith(t, t.Context(), p) // changed below
		got.Orders[0].Conflict = wrong
		if err := check.Plan(p, got); !fault.Is(err, fault.Invalid) {
			t.Errorf("%s passes the check", name)
		}
	}
}
