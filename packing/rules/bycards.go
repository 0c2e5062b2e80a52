package rules

import (
	"reflect"
	"slices"

	"solander/packing"
	"solander/tariff"
)

// ByCards divides house rules into those that price cards can keep, and those that ask of every parcel what no service of
// them has: a class of mail, cover, or tracking. A class that none has is taken out of what is forbidden. Cards that
// hold no service say nothing about cover and tracking.
func ByCards(all []packing.Rule, cards []tariff.Card) (kept, left []packing.Rule) {
	var services []*tariff.Service
	for i := range cards {
		for j := range cards[i].Services {
			services = append(services, &cards[i].Services[j])
		}
	}
	has := func(class string) bool {
		return slices.ContainsFunc(services, func(s *tariff.Service) bool { return s.Class == class })
	}
	none := func(r packing.Rule, sold func(*tariff.Service) bool) bool {
		return len(services) > 0 && !slices.ContainsFunc(services, func(s *tariff.Service) bool { return sold(s) && goes(s, r.When.Abroad) })
	}
	for _, r := range all {
		t := r.Then
		t.NotClasses = slices.DeleteFunc(slices.Clone(t.NotClasses), func(c string) bool { return !has(c) })
		if len(t.NotClasses) == 0 {
			t.NotClasses = nil
		}
		switch {
		case len(t.OnlyClasses) > 0 && !slices.ContainsFunc(t.OnlyClasses, has), reflect.DeepEqual(t, packing.Then{}),
			t.FullCover && none(r, func(s *tariff.Service) bool { return s.Cover != nil }),
			t.Tracking && none(r, func(s *tariff.Service) bool { return s.Tracking }):
			left = append(left, r)
		default:
			r.Then = t
			kept = append(kept, r)
		}
	}
	return kept, left
}

// goes reports whether a service may go abroad (true), or stay at home; nil asks for either.
func goes(s *tariff.Service, abroad *bool) bool {
	return abroad == nil || s.Abroad == nil || *s.Abroad == *abroad
}
