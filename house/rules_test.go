package house_test

import (
	"strings"
	"testing"

	"solander/fault"
	"solander/house"
	"solander/internal/bed"
	"solander/measure"
	"solander/packing"
	"solander/studio"
)

// House rules that can never both be kept are refused by the names of both; so is one that contradicts itself, and one that names a
// class of post that no price card has. Nothing of them is kept.
func TestRulesThatCannotBeKept(t *testing.T) {
	b := bed.New(t)
	five, three := 5, 3
	for name, c := range map[string]struct {
		rule  packing.Rule
		field string
		told  []string
	}{
		"against one that stands": {
			packing.Rule{ID: "x", Text: "everything is rolled", Then: packing.Then{Shape: packing.Rolled}},
			"rules[7].then.shape",
			[]string{"“prints up to 19 in go flat, not rolled” and “everything is rolled” can never both be kept", "one says flat, the other rolled"},
		},
		"against itself": {
			packing.Rule{ID: "x", When: packing.When{SheetsFrom: &five, SheetsTo: &three}, Then: packing.Then{Tracking: true}},
			"rules[7].when.sheets_to",
			[]string{"“prints 5 or more in a parcel, at most 3 in a parcel: tracked” contradicts itself"},
		},
		"no such class": {
			packing.Rule{ID: "x", Text: "by pigeon", Then: packing.Then{NotClasses: []string{"pigeon"}}},
			"rules[7].then.not_classes",
			[]string{"“by pigeon” names \"pigeon\", which is no class of post", "ground"},
		},
		"for one order": {
			packing.Rule{ID: "x", Text: "signed for", When: packing.When{Orders: []string{"S-1001"}}, Then: packing.Then{Signature: true}},
			"rules[7].when.orders",
			[]string{"a house rule names no orders"},
		},
	} {
		t.Run(name, func(t *testing.T) {
			add := func(s *studio.Settings) error { s.Rules = append(s.Rules, c.rule); return nil }
			err := house.ChangeSettings(b.Ctx, b.Studio, add)
			for _, told := range c.told {
				b.Refused(err, fault.Invalid, c.field, told)
			}
			set, err := b.Settings(b.Ctx)
			b.Must(err)
			if len(set.Rules) != 7 {
				t.Errorf("%d rules stand", len(set.Rules))
			}
			d := house.Defaults(measure.Imperial)
			d.Settings.Rules = append(d.Settings.Rules, c.rule)
			if err := d.Validate(); name != "no such class" && !strings.Contains(err.Error(), c.told[0]) {
				t.Errorf("set-up takes it: %v", err)
			}
		})
	}
}

// A rule that stands may name a class whose card was dropped since: settings that have nothing to do with it can be saved.
func TestAStandingRuleHoldsNothingUp(t *testing.T) {
	set := studio.Settings{Rules: []packing.Rule{{ID: "x", Then: packing.Then{OnlyClasses: []string{"pigeon"}}}}}
	if err := studio.RulesKnow(set, set.Rules, []string{"ground"}); err != nil {
		t.Error(err)
	}
	if err := studio.RulesKnow(set, nil, []string{"ground"}); err == nil {
		t.Error("a new rule may name what no card has")
	}
}

// What only some prints cannot keep is told, not refused.
func TestDoubtsOfRules(t *testing.T) {
	b := bed.New(t)
	set, err := b.Settings(b.Ctx)
	b.Must(err)
	if d := studio.RuleDoubts(set, -1); len(d) != 0 {
		t.Errorf("the default rules are in doubt: %q", d)
	}
	set.Rules = append(set.Rules, packing.Rule{ID: "x", Text: "fine prints are rolled", When: packing.When{Grades: []string{"fine"}}, Then: packing.Then{Shape: packing.Rolled}})
	if err := studio.RulesAgree(set); err != nil {
		t.Errorf("they are refused: %v", err)
	}
	if d := studio.RuleDoubts(set, -1); len(d) != 1 || !strings.Contains(d[0], "What both “prints up to 19 in go flat, not rolled” and “fine prints are rolled” apply to cannot go") {
		t.Errorf("the doubts are %q", d)
	}
}
