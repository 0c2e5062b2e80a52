package rules_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"solander/packing"
	"solander/packing/rules"
	"solander/tariff"
)

func TestRulesThatNoCardCanKeep(t *testing.T) {
	all := []packing.Rule{
		{ID: "class", Then: packing.Then{OnlyClasses: []string{"letter", "fast"}}},
		{ID: "no such class", Then: packing.Then{OnlyClasses: []string{"fast"}}},
		{ID: "forbidden", Then: packing.Then{NotClasses: []string{"letter", "slow"}}},
		{ID: "forbids nothing", Then: packing.Then{NotClasses: []string{"slow"}}},
		{ID: "covered", Then: packing.Then{FullCover: true}},
		{ID: "tracked at home", When: packing.When{Abroad: of(false)}, Then: packing.Then{Tracking: true}},
		{ID: "tracked abroad", When: packing.When{Abroad: of(true)}, Then: packing.Then{Tracking: true}},
		{ID: "flat", Then: packing.Then{Shape: packing.Flat}},
	}
	cards := []tariff.Card{{Services: []tariff.Service{{Class: "letter"}, {Class: "parcel", Abroad: of(false), Tracking: true}}}}
	ids := func(list []packing.Rule) (out []string) {
		for _, r := range list {
			out = append(out, r.ID)
		}
		return out
	}
	kept, left := rules.ByCards(all, cards)
	if d := cmp.Diff([]string{"class", "forbidden", "tracked at home", "flat"}, ids(kept)); d != "" {
		t.Error(d)
	}
	if d := cmp.Diff([]string{"no such class", "forbids nothing", "covered", "tracked abroad"}, ids(left)); d != "" {
		t.Error(d)
	}
	if d := cmp.Diff([]string{"letter"}, kept[1].Then.NotClasses); d != "" || len(all[2].Then.NotClasses) != 2 {
		t.Errorf("what is forbidden: %s", d)
	}
	if kept, _ = rules.ByCards(all, nil); len(kept) != 4 {
		t.Errorf("without a card: %q", ids(kept))
	}
}
