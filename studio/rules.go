package studio

import (
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"solander/address"
	"solander/calendar"
	"solander/fault"
	"solander/order"
	"solander/packing"
	"solander/packing/rules"
	"solander/tariff"
)

// RuleWords are the words by which the studio's house rules are read.
func (s Settings) RuleWords() rules.Words {
	return rules.Words{Units: s.Units, Currency: s.Currency, Wraps: s.Wraps, Country: order.CountryName}
}

// RuleText is a house rule in the studio's own words, or as the sentence that it makes.
func (s Settings) RuleText(r packing.Rule) string {
	if r.Text != "" {
		return r.Text
	}
	return s.RuleWords().Sentence(r)
}

func (s Settings) clashes() []rules.Clash {
	return rules.Studio{Wraps: s.Wraps, Home: address.Home(s.Address.Country)}.Clashes(s.Rules)
}

// RulesByCards divides the house rules of a first studio into those that the cards of a day can keep and the others.
// Of cards only the bundled ones are known then. Faults: Internal when one of them is damaged.
func (s *Studio) RulesByCards(set Settings, day calendar.Day) (kept, left []packing.Rule, err error) {
	bundled, err := s.Cards.Bundled()
	if err != nil {
		return nil, nil, err
	}
	var plain []tariff.Card
	for _, c := range CardsFor(bundled, set, day) {
		plain = append(plain, c.Card)
	}
	kept, left = rules.ByCards(set.Rules, plain)
	return kept, left, nil
}

// RulesAgree refuses house rules of which one can never be kept, by itself or beside another one; it names both. Faults: Invalid,
// in the field of the latter.
func RulesAgree(s Settings) error {
	var l fault.List
	for _, c := range s.clashes() {
		field := fmt.Sprintf("rules[%d].%s", c.B, c.Field)
		switch {
		case c.A == c.B:
			l.Add(fault.Invalidf(field, "“%s” contradicts itself: %s", s.RuleText(s.Rules[c.B]), c.Why).ToMend("change it or take it out"))
		case c.Always:
			l.Add(fault.Invalidf(field, "“%s” and “%s” can never both be kept: %s", s.RuleText(s.Rules[c.A]), s.RuleText(s.Rules[c.B]), c.Why).ToMend("change one of them or take it out"))
		}
	}
	return l.Err()
}

// RuleDoubts says of which house rules some prints cannot keep both, a sentence each: an order of such prints is held. at is the
// place of one rule, or -1 for all.
func RuleDoubts(s Settings, at int) []string {
	var out []string
	for _, c := range s.clashes() {
		if !c.Always && (at < 0 || c.A == at || c.B == at) {
			out = append(out, fmt.Sprintf("What both “%s” and “%s” apply to cannot go: %s.", s.RuleText(s.Rules[c.A]), s.RuleText(s.Rules[c.B]), c.Why))
		}
	}
	return out
}

// RulesKnow refuses a house rule that names a class of post which no price card has, unless it stood so in before: a card may be
// dropped later. Faults: Invalid.
func RulesKnow(s Settings, before []packing.Rule, classes []string) error {
	var l fault.List
	for i, r := range s.Rules {
		for _, c := range slices.Concat(r.Then.OnlyClasses, r.Then.NotClasses) {
			stood := slices.ContainsFunc(before, func(b packing.Rule) bool {
				return b.ID == r.ID && slices.Contains(slices.Concat(b.Then.OnlyClasses, b.Then.NotClasses), c)
			})
			if stood || slices.Contains(classes, c) {
				continue
			}
			part := "only_classes"
			if !slices.Contains(r.Then.OnlyClasses, c) {
				part = "not_classes"
			}
			l.Add(fault.Invalidf(fmt.Sprintf("rules[%d].then.%s", i, part), "“%s” names %q, which is no class of post of any price card", s.RuleText(r), c).
				ToMend("known are %s", strings.Join(classes, ", ")))
		}
	}
	return l.Err()
}

// RulesMay looks at house rules that change: those that stand may stay, whatever was learned of them since. Faults: those of
// RulesAgree and RulesKnow.
func (s *Studio) RulesMay(t *Turn, in Settings) error {
	if reflect.DeepEqual(in.Rules, t.Set.Rules) && reflect.DeepEqual(in.Wraps, t.Set.Wraps) {
		return nil
	}
	classes, err := s.Classes(t)
	if err != nil {
		return err
	}
	return errors.Join(RulesAgree(in), RulesKnow(in, t.Set.Rules, classes))
}

// Classes are the classes of post that price cards for this studio have, each once, ascending; those of all cards while there is
// none for it.
func (s *Studio) Classes(t *Turn) ([]string, error) {
	cards, err := s.AllCards(t)
	var here, all []string
	for _, c := range cards {
		for _, v := range c.Services {
			if all = append(all, v.Class); c.Own || Here(c, t.Set) {
				here = append(here, v.Class)
			}
		}
	}
	if len(here) == 0 {
		here = all
	}
	slices.Sort(here)
	return slices.Compact(here), err
}
