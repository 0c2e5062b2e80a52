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
// past its last day is still returned: see Card.Stale.
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
	for _, c := range latest {
		out = append(out, c)
	}
	slices.SortFunc(out, func(a, b *Card) int { return strings.Compare(a.ID, b.ID) })
	return out
}

// Stale says why the prices of a card should not be trusted on a day: a warning code ("card.ended",
// "card.old") and a sentence, or two empty texts.
func (c *Card) Stale(day calendar.Day) (code, text string) {
	switch {
	case !c.To.IsZero() && day.After(c.To):
		return "card.ended", "card " + c.ID + " ended on " + c.To.Long() + "; the postage may have changed since"
	case c.To.IsZero() && day.Sub(c.From) > oldAfter:
		return "card.old", "card " + c.ID + " is of " + c.From.Long() + ", more than a year old; the postage may have changed since"
	}
	return "", ""
}

// Service returns the service with that id, or nil.
func (c *Card) Service(id string) *Service {
	for i := range c.Services {
		if c.Services[i].ID == id {
			return &c.Services[i]
		}
	}
	return nil
}
