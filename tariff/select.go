package tariff

import (
	"slices"
	"strings"

	"solander/calendar"
)

// oldAfter is how many days a card without a last day is trusted without a warning.
const oldAfter = 366

// Select returns the cards that hold on a day: of each series the one with the latest From not after it,
// ascending by id. Cards of a price class not listed are left out; no list allows every class. A card
// past its last day is still returned: see Card.Stale. Where a card replaces a class of another series, the one
// of the two that began later keeps the services of that class; a card that keeps
// none is left out, and one that keeps fewer is a copy.
func Select(cards []Card, classes []string, day calendar.Day) []*Card {
	latest := map[string]*Card{}
	for i := range cards {
		c := &cards[i]
		if len(classes) > 0 && !slices.Contains(classes, c.PriceClass) || c.From.After(day) {
			continue
		}
		if was := latest[c.Series]; was == nil || was.From.Before(c.From) {
			latest[c.Series] = c
		}
	}
	out := make([]*Card, 0, len(latest))
	lost := replaced(latest)
	for _, c := range latest {
		classes := lost[c]
		if c = c.without(classes); len(classes) == 0 || len(c.Services) > 0 {
			out = append(out, c)
		}
	}
	slices.SortFunc(out, func(a, b *Card) int { return strings.Compare(a.ID, b.ID) })
	return out
}

// replaced returns the classes that each card loses to another that began later.
func replaced(latest map[string]*Card) map[*Card][]string {
	lost := map[*Card][]string{}
	for _, c := range latest {
		for _, r := range c.Replaces {
			was := latest[r.Series]
			switch {
			case was == nil || was == c:
			case was.From.Before(c.From):
				lost[was] = append(lost[was], r.Class)
			default:
				lost[c] = append(lost[c], r.Class)
			}
		}
	}
	return lost
}

// without is the card without the services of some classes; itself when there are none.
func (c *Card) without(classes []string) *Card {
	if len(classes) == 0 {
		return c
	}
	out := *c
	out.Services = slices.DeleteFunc(slices.Clone(c.Services), func(s Service) bool { return slices.Contains(classes, s.Class) })
	return &out
}

// StartsIn reports whether the card holds a service for parcels that start in a country: some cards are for parcels
// within one country alone. The postcode is not looked at.
func (c *Card) StartsIn(country string) bool {
	return slices.ContainsFunc(c.Services, func(s Service) bool {
		if s.Abroad != nil && !*s.Abroad && len(s.Countries) > 0 && !slices.Contains(s.Countries, country) {
			return false
		}
		return s.Zones == "" || slices.ContainsFunc(c.Zones, func(z ZoneTable) bool {
			return z.Name == s.Zones && (z.Origin.Country == "" || z.Origin.Country == country)
		})
	})
}

// Stale says why the prices of a card should not be trusted on a day: a warning code ("card.ended",
// "card.old") and a sentence, or two empty texts.
func (c *Card) Stale(day calendar.Day) (code, text string) {
	switch {
	case !c.To.IsZero() && day.After(c.To):
		return "card.ended", "the prices of " + c.Name() + " ended on " + c.To.Long() + "; the postage may have changed since"
	case c.To.IsZero() && day.Sub(c.From) > oldAfter:
		return "card.old", "the prices of " + c.Name() + " are of " + c.From.Long() + ", more than a year old; the postage may have changed since"
	}
	return "", ""
}

// Name is what a card is called in a sentence: its operator and its class of price.
func (c *Card) Name() string { return c.Operator + ", " + c.PriceClass }

// Service returns the service with that id, or nil.
func (c *Card) Service(id string) *Service {
	for i := range c.Services {
		if c.Services[i].ID == id {
			return &c.Services[i]
		}
	}
	return nil
}
